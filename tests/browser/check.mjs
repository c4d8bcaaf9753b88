// Opens every page of a list in Chromium and says what is wrong with it, a line each; no line, nothing wrong.
//
// Usage: node check.mjs LIST.json TOOLS CHROMIUM
//   LIST.json  [{"name": "...", "file": "/abs/page.html", "kind": "page" | "drawing"}]
//   TOOLS      the folder in which install.sh put node_modules
//   CHROMIUM   the browser
//
// Of every entry: no error on the console, no request to anything but the file itself. Of a page also: no violation that axe finds; at 320
// CSS pixels nothing scrolls sideways but what says so; printed on A4 and on Letter nothing is cut off and every word is there.
import { createRequire } from "node:module";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [list, tools, chromiumPath] = process.argv.slice(2);
const require = createRequire(join(tools, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const pages = JSON.parse(readFileSync(list, "utf8"));

const PAPERS = { A4: 210, Letter: 215.9 };
const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
const wrong = [];
const tell = (entry, what) => wrong.push(`${entry.name}: ${what}`);

// What sticks out to the right: everything that is wider than the view, but for what stands in a region that scrolls by itself, and for the
// parts of a drawing, which its own frame cuts.
const sticksOut = () => {
  const width = document.documentElement.clientWidth;
  const scrolls = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const flow = getComputedStyle(at).overflowX;
      if (flow === "auto" || flow === "scroll") return true;
    }
    return false;
  };
  const shown = (node) => node.getClientRects().length > 0 && getComputedStyle(node).visibility !== "hidden";
  const out = [...document.body.querySelectorAll("*")].filter((node) => {
    const box = node.getBoundingClientRect();
    return !node.ownerSVGElement && shown(node) && box.right > width + 1 && box.left >= 0 && !scrolls(node);
  });
  return out.slice(0, 3).map((node) => `<${node.tagName.toLowerCase()}> ${(node.textContent || "").trim().slice(0, 40)}`);
};

async function open(browser, entry, size) {
  const context = await browser.newContext({ viewport: size, offline: true });
  const page = await context.newPage();
  const own = pathToFileURL(entry.file).href;
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) tell(entry, `console: ${message.text()}`);
  });
  page.on("pageerror", (error) => tell(entry, `error: ${error.message}`));
  page.on("request", (request) => {
    if (request.url().split("#")[0] !== own) tell(entry, `asks for ${request.url()}`);
  });
  await page.goto(own, { waitUntil: "load" });
  return { context, page };
}

async function accessible(entry, page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
  for (const one of found.violations) tell(entry, `axe ${one.id}: ${one.help}: ${one.nodes[0]?.html.slice(0, 120)}`);
}

async function narrow(browser, entry) {
  const { context, page } = await open(browser, entry, { width: 320, height: 640 });
  const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  if (sideways > 0) tell(entry, `scrolls sideways by ${sideways} pixels at 320: ${(await page.evaluate(sticksOut)).join("; ")}`);
  await context.close();
}

async function printed(browser, entry) {
  for (const [paper, millimetres] of Object.entries(PAPERS)) {
    // The page's own margins: 16 mm at either side.
    const width = Math.floor(((millimetres - 32) / 25.4) * 96);
    const { context, page } = await open(browser, entry, { width, height: 900 });
    await page.emulateMedia({ media: "print" });
    const clipped = await page.evaluate(() => {
      // What is for readers of the screen alone is cut off on purpose.
      const unseen = (node) => getComputedStyle(node).clipPath === "inset(50%)";
      const cuts = (node) => !unseen(node) && ["auto", "scroll", "hidden"].includes(getComputedStyle(node).overflowX) && node.scrollWidth > node.clientWidth + 1;
      return [...document.body.querySelectorAll("*")].filter((node) => !(node instanceof SVGElement) && cuts(node)).length;
    });
    if (clipped > 0) tell(entry, `${paper}: ${clipped} parts cut off their contents in print`);
    const out = await page.evaluate(sticksOut);
    if (out.length > 0) tell(entry, `${paper}: sticks out in print: ${out.join("; ")}`);
    const pdf = await page.pdf({ format: paper, preferCSSPageSize: false, path: `${entry.file}.${paper}.pdf` });
    if (pdf.length < 1000) tell(entry, `${paper}: no pages come out`);
    await context.close();
  }
}

// The index of a folder: it narrows down, it sorts, and it says how many jobs it shows.
async function narrowed(browser, entry) {
  const { context, page } = await open(browser, entry, { width: 1280, height: 900 });
  const shown = () => page.evaluate(() => [...document.getElementById("jobs").tBodies[0].rows].filter((row) => !row.hidden).map((row) => row.cells[0].textContent));
  const all = await shown();
  await page.fill("#place", "stilebrook");
  const there = await shown();
  await page.fill("#section", "lens-height");
  await page.selectOption("#verdict", "not met");
  const few = await shown();
  if (!(all.length > there.length && there.length > few.length && few.length > 0)) tell(entry, `shows ${all.length}, ${there.length}, ${few.length} jobs`);
  const said = await page.textContent("#shown");
  if (!said.startsWith(`${few.length} of ${all.length} `)) tell(entry, `says "${said}" of ${few.length}`);
  await page.fill("#place", "");
  await page.fill("#section", "");
  await page.selectOption("#verdict", "");
  await page.click("#jobs thead th:first-child button");
  const up = await shown();
  if (up.length !== all.length || [...up].sort((a, b) => (a < b ? -1 : 1)).join() !== up.join()) tell(entry, "does not sort its jobs");
  await context.close();
}

const data = mkdtempSync(join(tmpdir(), "pintle-browser-"));
const browser = await chromium.launch({ executablePath: chromiumPath, headless: true, args: [...FLAGS, `--crash-dumps-dir=${data}`] });
try {
  for (const entry of pages) {
    const { context, page } = await open(browser, entry, { width: 1280, height: 900 });
    if (entry.kind === "page") await accessible(entry, page);
    await context.close();
    if (entry.kind === "page") {
      await narrow(browser, entry);
      await printed(browser, entry);
      if (entry.name === "index") await narrowed(browser, entry);
    }
  }
} finally {
  await browser.close();
  rmSync(data, { recursive: true, force: true });
}
wrong.forEach((line) => console.log(line));
process.exitCode = wrong.length > 0 ? 1 : 0;
