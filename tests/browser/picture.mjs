// Takes a picture of the first screen of a sheet: its title and the frame with the answer.
//
// Usage: node picture.mjs PAGE TOOLS CHROMIUM PICTURE
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [file, tools, chromiumPath, picture] = process.argv.slice(2);
const { chromium } = createRequire(join(tools, "package.json"))("playwright-core");
const WIDTH = 1000;
const ROOM = 16;

const browser = await chromium.launch({ executablePath: chromiumPath, headless: true, args: ["--no-sandbox", "--disable-gpu", "--disable-quic"] });
try {
  const page = await browser.newPage({ viewport: { width: WIDTH, height: 900 } });
  await page.goto(pathToFileURL(file).href);
  const bottom = await page.evaluate(() => document.querySelector(".frame").getBoundingClientRect().bottom);
  await page.screenshot({ path: picture, clip: { x: 0, y: 0, width: WIDTH, height: Math.ceil(bottom + ROOM) } });
} finally {
  await browser.close();
}
