//! Written-out calculations: what they say of the examples, that all three views say the same, and that no shown number speaks
//! against its verdict.

mod laws;
mod numbers;
mod same;

use jiff::civil::Date;
use pintle::calculation::pick::Wish;
use pintle::command::calcs::calcs_of_texts;
use pintle::report::calcs::{Document, WIDTH, html, json, text};
use std::path::Path;

const TODAY: &str = "2026-04-01";

/// Job, section and thing of each example that is kept as a snapshot, with a name. The values of the embedded packs have their
/// sources in the packs; what is tested here is how a reckoning is told.
const KEPT: &[(&str, &str, &str, &str)] = &[
    ("voltage-drop", "wiring-good", "us-wiring/run-drop", "run mains-feed"),
    ("voltage-drop-too-much", "cable-too-thin", "us-wiring/voltage-left (c)", "load speaking-post"),
    ("shared-return", "wiring-good", "us-wiring/run-current", "run sensor-cable"),
    ("runs-one-after-another", "wiring-good", "us-wiring/run-start (b)", "run across-cable"),
    ("conduit-fill", "wiring-good", "us-wiring/conduit-fill", "run sensor-cable"),
    ("cover-by-table", "wiring-good", "us-wiring/cover (c)", "run mains-feed"),
    ("line-between-rows", "heaters-overload-accessory-output", "field-practice/heater-draw", "load heater-low"),
    ("count-of-devices", "heaters-overload-accessory-output", "field-practice/heater-count", "supply accessory"),
    ("count-by-condition", "wiring-good", "us-gates/zone-cover (a)", "zone tail / opening"),
    ("sum-too-much", "heaters-overload-accessory-output", "field-practice/supply-limit (b)", "supply accessory"),
    ("date-with-months", "wiring-good", "field-practice/calibration (b)", "test push-opening"),
    ("exception-by-date", "slide-left-good", "field-practice/technician-visit", ""),
    ("variance", "variance-in-force", "field-practice/lens-height", "beam upper"),
    ("missing", "incomplete-survey", "field-practice/lens-height", "beam thigh"),
    ("not-applicable", "slide-left-good", "us-gates/swing-sixteen-inches", ""),
];

fn job(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/jobs/{name}.yaml"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn wish(section: &str, thing: &str) -> Wish {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_string());
    Wish { section: some(section), thing: some(thing) }
}

/// The calculations of an example.
#[track_caller]
fn of_example(name: &str, section: &str, thing: &str) -> Document {
    let today: Date = TODAY.parse().unwrap();
    let county = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/rules/hasp-county.rules")).unwrap();
    calcs_of_texts(&[("hasp-county", &county)], &job(name), today, &wish(section, thing))
        .unwrap_or_else(|why| panic!("{name} {section} {thing}: {why:?}"))
}

/// Without the lines in packs, which move whenever a pack is edited, and without the packs' hashes.
fn settled(text: &str) -> String {
    let mut parts = text.split(".rules:");
    let mut result = parts.next().unwrap_or("").to_string();
    for part in parts {
        result.push_str(".rules:N");
        result.push_str(part.trim_start_matches(|c: char| c.is_ascii_digit()));
    }
    result
}

#[test]
fn examples_are_told_so() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings.bind(|| {
        for (name, file, section, thing) in KEPT {
            let text = text(&of_example(file, section, thing), WIDTH);
            let from = text.find("====").unwrap();
            insta::assert_snapshot!(*name, settled(&text[from..text.find("\ncaution").unwrap()]));
        }
        let document = of_example("wiring-good", "us-wiring/cover (c)", "run mains-feed");
        let page = html(&document);
        insta::assert_snapshot!("page", settled(&page[page.find("<section").unwrap()..page.find("</main>").unwrap()]));
        let mut document: serde_json::Value = serde_json::from_str(&json(&document)).unwrap();
        let calculations = serde_json::to_string_pretty(&document["calculations"].take()).unwrap();
        insta::assert_snapshot!("document", calculations.lines().map(settled_line).collect::<Vec<_>>().join("\n"));
    });
}

/// A line of JSON that tells a line of a file tells none.
fn settled_line(line: &str) -> String {
    if line.trim_start().starts_with("\"line\":") { line[..line.find(':').unwrap()].to_string() + ": 0" } else { line.to_string() }
}

#[test]
fn a_calculation_is_the_same_every_time() {
    let made = || json(&of_example("wiring-good", "", ""));
    assert_eq!(made(), made());
}

#[test]
fn no_line_is_wider_than_a_hundred_columns() {
    for name in ["wiring-good", "cable-too-thin", "two-codes/border-lane", "juniper-yard"] {
        for line in text(&of_example_with_county(name), WIDTH).lines() {
            assert!(line.chars().count() <= WIDTH, "{name}: {line}");
        }
    }
}

/// Examples may name the county's pack, which is not embedded.
fn of_example_with_county(name: &str) -> Document {
    let today: Date = TODAY.parse().unwrap();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/rules");
    let mut packs = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "rules") {
            packs.push((path.file_stem().unwrap().to_str().unwrap().to_string(), std::fs::read_to_string(&path).unwrap()));
        }
    }
    let packs: Vec<(&str, &str)> = packs.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    calcs_of_texts(&packs, &job(name), today, &Wish::default()).unwrap_or_else(|why| panic!("{name}: {why:?}"))
}
