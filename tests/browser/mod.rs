//! Every page and drawing that the program writes, opened in a browser: nothing on its console, nothing asked of a network, no barrier that
//! axe knows, nothing cut off on paper, no scrolling sideways on a narrow screen; and the published checker of HTML has nothing against it.
//! What it takes is installed by `tests/browser/install.sh`; where that is missing the test says so and passes.

mod paper;
mod picture;

use std::path::{Path, PathBuf};
use std::process::Command;

/// What is opened: its name, whether it is a page (else a drawing), and the arguments that write it, `OUT` standing for the file and `SITE` for the folder of its name.
const WRITTEN: &[(&str, bool, &[&str])] = &[
    ("code", true, &["consolidate", "us-gates", "--as", "html", "--out", "OUT"]),
    ("code-amended", true, &["consolidate", "hasp-county", "--packs", "examples/rules", "--as", "html", "--out", "OUT"]),
    ("calcs-wiring", true, &["calcs", "examples/jobs/wiring-good.yaml", "us-wiring", "--as", "html", "--out", "OUT"]),
    ("calcs-short", true, &["calcs", "examples/jobs/cable-too-thin.yaml", "us-wiring/voltage-left", "--as", "html", "--out", "OUT"]),
    ("sheet-slide", true, &["sheet", "examples/jobs/slide-left-drawn.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-slide-right", true, &["sheet", "examples/jobs/slide-right-metric-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-swing-out", true, &["sheet", "examples/jobs/swing-out-solar-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-swing-double", true, &["sheet", "examples/jobs/swing-double-metric-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-lift", true, &["sheet", "examples/jobs/vertical-lift-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    (
        "sheet-vertical-pivot",
        true,
        &["sheet", "examples/jobs/vertical-pivot-metric-good.yaml", "--packs", "examples/rules", "--out", "OUT"],
    ),
    (
        "sheet-overhead-pivot",
        true,
        &["sheet", "examples/jobs/overhead-pivot-metric-good.yaml", "--packs", "examples/rules", "--out", "OUT"],
    ),
    ("sheet-arm", true, &["sheet", "examples/jobs/barrier-arm-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-bifold", true, &["sheet", "examples/jobs/bifold-metric-good.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-faults", true, &["sheet", "examples/jobs/way-out-with-many-faults.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-open", true, &["sheet", "examples/jobs/incomplete-survey.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("sheet-longest", true, &["sheet", "examples/jobs/cable-too-thin.yaml", "--packs", "examples/rules", "--out", "OUT"]),
    ("calcs-longest", true, &["calcs", "examples/jobs/cable-too-thin.yaml", "--as", "html", "--out", "OUT"]),
    ("spot-check", true, &["sheet", "examples/jobs/marginal-measures.yaml", "--spot-check", "--out", "OUT"]),
    ("form", true, &["survey", "--kind", "swing", "--codes", "us-gates,field-practice,us-wiring", "--as", "html", "--out", "OUT"]),
    ("still-to-measure", true, &["survey", "examples/jobs/incomplete-survey.yaml", "--as", "html", "--out", "OUT"]),
    (
        "a-year-later",
        true,
        &["revisit", "examples/jobs/slide-left-good.yaml", "examples/jobs/slide-left-good-revisited.yaml", "--as", "html", "--out", "OUT"],
    ),
    ("index", true, &["sheet", "examples/jobs", "--packs", "examples/rules", "--out", "SITE"]),
    ("pair", false, &["envelope", "examples/jobs/beam-too-high.yaml", "upper", "--pair", "height,offset", "--out", "OUT"]),
    (
        "pair-inches",
        false,
        &["envelope", "examples/jobs/swing-double-metric-good.yaml", "outer", "--pair", "height,offset", "--units", "inch", "--out", "OUT"],
    ),
    ("slide-plan", false, &["draw", "examples/jobs/slide-left-drawn.yaml", "--view", "plan", "--out", "OUT"]),
    ("slide-elevation", false, &["draw", "examples/jobs/slide-left-drawn.yaml", "--view", "elevation", "--out", "OUT"]),
    ("slide-section", false, &["draw", "examples/jobs/slide-left-drawn.yaml", "--view", "section", "--out", "OUT"]),
    ("swing-plan", false, &["draw", "examples/jobs/swing-double-metric-good.yaml", "--view", "plan", "--out", "OUT"]),
    ("bifold-plan", false, &["draw", "examples/jobs/bifold-metric-good.yaml", "--view", "plan", "--out", "OUT"]),
    ("faults-plan", false, &["draw", "examples/jobs/way-out-with-many-faults.yaml", "--view", "plan", "--out", "OUT"]),
    ("open-elevation", false, &["draw", "examples/jobs/juniper-yard.yaml", "--view", "elevation", "--out", "OUT"]),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The folder of the build, in which the tools and the pages are kept.
fn build_folder() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from)
}

fn on_path(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).flat_map(|folder| names.iter().map(move |name| folder.join(name))).find(|file| file.is_file())
}

/// Writes every page; the result is the name, whether it is a page, and the file.
fn written(folder: &Path) -> Vec<(&'static str, bool, PathBuf)> {
    std::fs::create_dir_all(folder).unwrap();
    WRITTEN
        .iter()
        .map(|(name, page, arguments)| {
            let file = folder.join(name).with_extension(if *page { "html" } else { "svg" });
            let site = folder.join(name);
            let file = if arguments.contains(&"SITE") { site.join("index.html") } else { file };
            let arguments = arguments.iter().map(|one| match *one {
                "OUT" => file.as_os_str(),
                "SITE" => site.as_os_str(),
                one => one.as_ref(),
            });
            let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
            command.current_dir(root()).args(arguments);
            if !matches!(WRITTEN.iter().find(|(known, ..)| known == name), Some((.., ["consolidate", ..]))) {
                command.args(["--today", "2026-04-01"]);
            }
            let done = command.output().unwrap();
            assert!(done.status.code() < Some(2), "{name}: {}", String::from_utf8_lossy(&done.stderr));
            (*name, *page, file)
        })
        .collect()
}

#[test]
fn pages_stand_up_in_a_browser_and_on_paper() {
    let tools = build_folder().join("browser");
    let node = on_path(&["node"]);
    let chromium = on_path(&["chromium", "chromium-browser"]);
    let (Some(node), Some(chromium), true) = (node, chromium, tools.join("node_modules").is_dir()) else {
        println!("skipped: node, chromium or what tests/browser/install.sh installs is not here");
        return;
    };
    let folder = std::env::temp_dir().join(format!("pintle-pages-{}", std::process::id()));
    let pages = written(&folder);
    let entries: Vec<serde_json::Value> = pages
        .iter()
        .map(|(name, page, file)| serde_json::json!({"name": name, "file": file, "kind": if *page { "page" } else { "drawing" }}))
        .collect();
    let list = folder.join("list.json");
    std::fs::write(&list, serde_json::to_string(&entries).unwrap()).unwrap();
    let done = Command::new(node).arg(root().join("tests/browser/check.mjs")).arg(&list).arg(&tools).arg(chromium).output().unwrap();
    let told = format!("{}{}", String::from_utf8_lossy(&done.stdout), String::from_utf8_lossy(&done.stderr));
    assert!(done.status.success(), "{told}");
    paper::within_ceilings(on_path(&["pdfinfo"]), &pages);
    paper::reads_back(on_path(&["pdftotext"]), &pages);
    checked_by_the_published_checker(&tools, &pages);
    std::fs::remove_dir_all(&folder).unwrap();
}

fn checked_by_the_published_checker(tools: &Path, pages: &[(&str, bool, PathBuf)]) {
    let jar = tools.join("node_modules/vnu-jar/build/dist/vnu.jar");
    let (Some(java), true) = (on_path(&["java"]), jar.is_file()) else {
        println!("skipped: java or the checker of HTML is not here");
        return;
    };
    let mut command = Command::new(java);
    command.arg("-jar").arg(jar).args(["--errors-only", "--also-check-svg"]);
    let done = command.args(pages.iter().map(|(.., file)| file)).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}
