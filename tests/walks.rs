//! Four people's ways through the program, from the first command to the last, each as one run of commands in a folder of its own. It owns no
//! detail of any command: those have tests of their own.

use crate::cli::{Seen, Site, TODAY};
use std::path::Path;

fn example(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name)).unwrap()
}

/// One step of a way: the command, the code it ends with, and words that it says.
fn step(site: &Site, code: i32, call: &str, says: &[&str]) -> Seen {
    let call: Vec<&str> = call.split_whitespace().collect();
    let seen = site.run(&call);
    assert_eq!(seen.code, code, "{call:?}\n{seen}");
    says.iter().fold(seen, |seen, words| seen.says(words))
}

fn put(site: &Site, name: &str, text: impl AsRef<str>) {
    std::fs::write(site.path(name), text.as_ref()).unwrap();
}

fn swapped(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from} is not in the text");
    text.replacen(from, to, 1)
}

/// The text between two marks of what was printed.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let rest = text.split_once(from).unwrap_or_else(|| panic!("{from} is not in\n{text}")).1;
    rest.split_once(to).unwrap_or_else(|| panic!("{to} is not in\n{rest}")).0
}

/// A technician: form, filled job, a beam too high, where it may go, the mend, what is still open, drawing and sheet, and back a year later.
#[test]
fn a_technician() {
    let site = Site::empty();
    let day = format!("--today {TODAY}");
    step(&site, 0, "survey --kind horizontal-slide --codes us-gates,field-practice --permit-date 2026-03-02 --out form.yaml", &[]);
    let form = site.read("form.yaml");
    assert!(form.contains("\n        height:") && form.contains("permit-date: 2026-03-02"), "{form}");
    let empty = step(&site, 1, &format!("check form.yaml {day} --as plain"), &["not ready", " open"]);
    empty.keeps_quiet_of(": met:");

    // What comes back from the site is a form with its answers; one beam sits too high, and one height was forgotten.
    let filled = example("jobs/slide-left-good.yaml");
    let high = swapped(&swapped(&filled, "height: 21 in", "height: 28 in"), "mate-height: 21 in", "mate-height: 28 in");
    put(&site, "job.yaml", swapped(&high, "height: 10 in", "height:"));
    step(&site, 1, &format!("survey job.yaml {day}"), &["height (line ", "to be found", "not met"]);
    put(&site, "job.yaml", &high);
    step(
        &site,
        1,
        &format!("check job.yaml {day}"),
        &["it must be at most 26 in: 2 in too much", "not ready: mandatory verdicts: 1 not met"],
    );

    // The program says where the beam may go; the technician takes its word.
    step(&site, 1, &format!("envelope job.yaml thigh.height {day}"), &["outside"]);
    put(&site, "job.yaml", swapped(&high, "mate-height: 28 in", "mate-height: 21 in"));
    let room = step(&site, 1, &format!("envelope job.yaml thigh.height {day}"), &[]);
    let lower = between(&room.out, "28 in  ", " to ").trim();
    let mended = swapped(&site.read("job.yaml"), "height: 28 in", &format!("height: {lower}"));
    put(&site, "job.yaml", &mended);
    step(&site, 0, &format!("envelope job.yaml thigh.height {day}"), &["1 of 1 inside"]);
    step(&site, 0, &format!("check job.yaml {day}"), &["every mandatory clause that applies is met"]);
    step(&site, 0, &format!("survey job.yaml {day}"), &["nothing is open"]);

    step(&site, 0, &format!("draw job.yaml --view elevation --out gate.svg {day}"), &[]);
    assert!(site.read("gate.svg").contains("<svg"));
    step(&site, 0, &format!("sheet job.yaml --out sheet.html {day}"), &[]);
    let sheet = site.read("sheet.html");
    assert!(sheet.contains("<h1") && sheet.contains("not a certificate"));

    // A year later a lens has been knocked up, and another was not measured.
    let later = swapped(&swapped(&mended, "surveyed: 2026-03-16", "surveyed: 2027-03-20"), &format!("height: {lower}"), "height: 29 in");
    put(&site, "later.yaml", &later);
    let call = "revisit job.yaml later.yaml --today 2027-03-22";
    step(&site, 1, call, &["field-practice/lens-height (a), gate main / beam thigh: met becomes not met"]);
    step(&site, 1, "revisit job.yaml job.yaml --today 2027-03-22", &["Not surveyed again"]);
}

const ORDINANCE: &str = r#"pack quarry-vale "Gate ordinance of Quarry Vale County"
  language   1
  edition    "2026"
  authority  "Quarry Vale County"
  in force   from 2026-07-01 by job.permit-date
  adopts     us-gates as minimum
  adopts     field-practice

source ordinance "Ordinance 31 of Quarry Vale County, on automated gates" invented

amend terms/gate
  school-near  yes-or-no  "Whether a school lies within 500 ft of the gate"
  guarded  yes-or-no taken as no  "Whether a guard stands at the gate while it moves"

table slowest "Top speed of a leaf beside a school, by users"
  cite    ordinance "4"
  by      usage-class
  usage-class | speed
  I           | 10 in/s
  II          | 10 in/s
  III         | 11 in/s
  IV          | 12 in/s

section school-speed "A leaf beside a school moves slowly"
  applies to each leaf where gate.school-near
  shall   leaf.speed at most slowest.speed(gate.usage-class)
  except  (1) "A guard stands at the gate" where gate.guarded
  remedy  "Set leaf {leaf.id} of gate {gate.id} to {limit}: it moves at {value}."
  cite    ordinance "4"

amend us-gates/control-distance
  shall (a) control.distance at least 7 ft
  remedy  "Move control {control.id} of gate {gate.id}."
  cite    ordinance "6"
"#;

const TRIALS: &str = r#"trial no-school "Where no school is near, the ordinance asks nothing"
  job     "good.yaml"
  today   2026-09-01
  asks    quarry-vale/school-speed
  finds   quarry-vale/school-speed (a) "gate main / leaf leaf" not applicable

trial stop-near-enough "A stop twelve feet from the leaf is far enough"
  job     "good.yaml"
  today   2026-09-01
  asks    us-gates/control-distance
  finds   us-gates/control-distance (a) "gate main / control stop" met

trial beside-a-school "A foot a second is too fast for a gate of class II beside a school"
  job     "good.yaml"
  with    gates.main.school-near = "yes"
  with    gates.main.leaves.leaf.speed = "11 in/s"
  today   2026-09-01
  asks    quarry-vale/school-speed
  finds   quarry-vale/school-speed (a) "gate main / leaf leaf" not met
"#;

/// A safety lead: an ordinance of a county of her own with a fact, a table, an exception and an amendment under a minimum; trials, what they do
/// not notice, the code as it reads, and what it does to the jobs at hand.
#[test]
fn a_safety_lead() {
    let site = Site::empty().with_folder("quarry-vale-trials").with_folder("jobs");
    put(
        &site,
        "quarry-vale.rules",
        swapped(ORDINANCE, "  guarded  yes-or-no taken as no  \"Whether a guard stands at the gate while it moves\"\n", ""),
    );
    step(&site, 2, "check quarry-vale.rules", &["`gate` has no fact `guarded`", "amend terms/gate"]);
    put(&site, "quarry-vale.rules", ORDINANCE);
    let told = step(&site, 0, "check quarry-vale.rules", &["has no slips"]);
    assert!(
        told.out.contains("us-gates/control-distance") && told.out.contains("stricter"),
        "which way the amendment goes is told\n{told}"
    );
    step(&site, 1, "neaten --check quarry-vale.rules", &["quarry-vale.rules"]);
    step(&site, 0, "neaten quarry-vale.rules", &[]);
    step(&site, 0, "neaten --check quarry-vale.rules", &[]);

    let good = example("jobs/slide-left-good.yaml");
    let good = swapped(
        &swapped(&good, "codes: [us-gates, field-practice]", "codes: [quarry-vale]"),
        "    kind: horizontal-slide",
        "    kind: horizontal-slide\n    school-near: no",
    );
    let good = swapped(&good, between(&good, "permit-date: ", "\n"), "2026-08-03");
    put(&site, "quarry-vale-trials/good.yaml", &good);
    put(&site, "quarry-vale-trials/speed.rules", TRIALS);
    let first = step(
        &site,
        1,
        "trial quarry-vale.rules",
        &["quarry-vale/school-speed (1)", "the exception is dropped", "from 2026-07-01 becomes from 2026-06-30"],
    );
    assert!(first.out.contains("3 trials: each finds what is expected"), "{first}");
    let offered = step(&site, 1, "trial quarry-vale.rules --offer", &[]);
    put(&site, "quarry-vale-trials/offered.rules", between(&format!("{}\u{3}", offered.out), "", "\u{3}"));
    let second = step(&site, 1, "trial quarry-vale.rules", &["each finds what is expected"]);
    let missed = |seen: &Seen| between(&seen.out, "noticed, ", " not noticed").parse::<usize>().unwrap();
    assert!(missed(&second) < missed(&first), "what is offered notices more\n{second}");

    step(&site, 0, "consolidate quarry-vale.rules", &["Ordinance 31 of Quarry Vale County", "A guard stands at the gate"]);
    put(&site, "jobs/school.yaml", swapped(&good, "school-near: no", "school-near: yes"));
    put(&site, "jobs/far.yaml", &good);
    let effect = step(
        &site,
        1,
        "effect --from us-gates,field-practice --to quarry-vale.rules jobs --today 2026-09-01",
        &["quarry-vale/school-speed"],
    );
    assert!(effect.out.contains("jobs/school.yaml"), "{effect}");
    step(
        &site,
        1,
        "check jobs --packs quarry-vale.rules --today 2026-09-01 --as plain",
        &["jobs/school.yaml: outcome: not ready", "jobs/far.yaml: outcome: every mandatory"],
    );
}

/// A build engineer: a folder in a pipeline with a punch list, pins, kept results and reports for programs.
#[test]
fn a_build_engineer() {
    let site = Site::empty().with_folder("jobs").with_folder("rules");
    put(
        &site,
        "jobs/a.yaml",
        swapped(&example("jobs/slide-left-good.yaml"), "[us-gates, field-practice]", "[us-gates, field-practice, yard]"),
    );
    put(&site, "jobs/b.yaml", example("jobs/beam-too-high.yaml"));
    put(&site, "rules/yard.rules", crate::cli::YARD);
    let day = format!("--today {TODAY}");
    step(
        &site,
        1,
        &format!("check jobs {day} --as summary"),
        &["# Gate check: not ready", "2 jobs: 1 ready, 1 not ready, 0 could not be judged, 0 void", "| jobs/b.yaml |"],
    );
    step(&site, 0, "check --help", &["Exit codes", "pintle punch-list"]);
    step(&site, 1, &format!("check jobs {day} --write-pins pins.yaml"), &[]);
    site.run(&[
        "punch-list",
        "jobs",
        "--in",
        "punch.yaml",
        "--reason",
        "New posts",
        "--owner",
        "Crew 2",
        "--due",
        "2026-06-01",
        "--today",
        TODAY,
    ]);
    let guarded = format!("check jobs {day} --punch-list punch.yaml --pins pins.yaml");
    step(&site, 0, &format!("{guarded} --as summary"), &["nothing but what was agreed to wait"]);

    let first = step(&site, 0, &format!("{guarded} --as sarif --reuse kept"), &["\"version\": \"2.1.0\""]);
    serde_json::from_str::<serde_json::Value>(&first.out).unwrap();
    assert_eq!(step(&site, 0, &format!("{guarded} --as sarif --reuse kept"), &[]).out, first.out, "kept results give the same bytes");
    let xml = step(&site, 0, &format!("{guarded} --as test-xml"), &[]);
    roxmltree::Document::parse(&xml.out).unwrap();
    for line in step(&site, 0, &format!("{guarded} --as lines"), &[]).out.lines() {
        serde_json::from_str::<serde_json::Value>(line).unwrap();
    }

    // What was agreed is over; a pack is not the pinned one; a job gets worse: each stops the build, and says why.
    step(&site, 1, &guarded.replace(TODAY, "2026-06-02"), &["overdue"]);
    put(&site, "rules/yard.rules", swapped(crate::cli::YARD, "at most 26 in", "at most 30 in"));
    let told = step(&site, 2, &guarded, &["yard", "--write-pins", "1 file is not judged: jobs/a.yaml", "1 could not be judged"]);
    assert_eq!(told.out.matches("pinned in").count(), 1, "once, however many jobs there are");
    put(&site, "rules/yard.rules", crate::cli::YARD);
    put(&site, "jobs/b.yaml", swapped(&site.read("jobs/b.yaml"), "height: 28 in", "height: 29 in"));
    step(&site, 1, &guarded, &["3 in too much"]);
}

/// An inspector with a sheet in hand: what each limit rests on, from the sheet to the calculation, the code and the list of sources.
#[test]
fn an_inspector() {
    let site = Site::empty();
    put(&site, "job.yaml", example("jobs/cable-too-thin.yaml"));
    let day = format!("--today {TODAY}");
    step(&site, 1, &format!("sheet job.yaml --out sheet.html {day}"), &[]);
    let sheet = site.read("sheet.html");
    for words in ["us-wiring", "from memory", "not a certificate", "voltage-left"] {
        assert!(sheet.contains(words), "{words} is not on the sheet");
    }
    // The paper is tied to the very files.
    let lines = step(&site, 1, &format!("check job.yaml --as lines {day}"), &[]);
    let hash = between(&lines.out, "\"hash\":\"", "\"");
    assert!(sheet.contains(hash), "{hash} is not on the sheet");
    put(&site, "other.yaml", format!("{}\n# changed\n", site.read("job.yaml")));
    step(&site, 1, &format!("sheet other.yaml --out other.html {day}"), &[]);
    assert_ne!(site.read("other.html"), sheet);

    step(&site, 1, &format!("sheet job.yaml --spot-check --out spot.html {day}"), &[]);
    assert!(site.read("spot.html").contains("<table"));
    let call = ["calcs", "job.yaml", "us-wiring/voltage-left (c)", "--thing", "speaking-post", "--today", TODAY];
    let calculation = site.run(&call).says("written").says("result");
    assert!(calculation.out.contains("  line "), "each number says its line\n{calculation}");
    step(&site, 0, "consolidate us-wiring", &["voltage-left", "from memory"]);
    let sources = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/SOURCES.md")).unwrap();
    assert!(sources.contains("us-wiring"), "the list of sources has the pack");
}
