//! The example jobs: what `check --as plain` says of each is kept as a snapshot in tests/snapshots-examples, and a table says how
//! each ends. `INSTA_UPDATE=always cargo test examples` writes the snapshots; read what was written.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

/// The day that the examples themselves name.
const TODAY: &str = "2026-04-01";
/// A day long after, on which only recommendations about regular visits have come up.
const LATER: &str = "2026-11-20";

/// What an example is there to show.
enum Shows {
    /// Everything mandatory that applies is met.
    Good,
    /// One mandatory clause is not met, and which.
    OneThingWrong(&'static str),
    /// Several mandatory clauses are not met, nothing is open: the sections, by pack and name.
    Faults(&'static [&'static str]),
    /// Measures too near to their limits.
    Marginal,
    /// Facts that nobody has measured yet.
    Open,
    /// The small job of the README and the design: a beginning of a survey.
    Beginning,
}

use Shows::{Beginning, Faults, Good, Marginal, OneThingWrong, Open};

const EXAMPLES: &[(&str, Shows)] = &[
    ("barrier-arm-good", Good),
    ("beam-too-high", OneThingWrong("field-practice/lens-height")),
    ("bifold-metric-good", Good),
    ("bracket-fixed-after-test", OneThingWrong("field-practice/beam-tried")),
    ("branch-over-the-fire-lane", OneThingWrong("us-fire/clear-height")),
    ("cable-too-thin", OneThingWrong("us-wiring/voltage-left")),
    ("control-within-reach", OneThingWrong("us-gates/control-distance")),
    ("county-fire-lane-good", Good),
    ("county-no-siren-release", OneThingWrong("hasp-county/siren-release")),
    ("county-too-near-the-road", OneThingWrong("hasp-county/road-setback")),
    ("europe-held-lift-metric-good", Good),
    ("europe-slide-metric-good", Good),
    (
        "europe-swing-as-found",
        Faults(&[
            "eu-gates/beam-tried-with-box",
            "eu-gates/force-falls-off",
            "eu-gates/force-meter",
            "eu-gates/force-peak",
            "eu-gates/force-worked-out",
            "eu-gates/hinge-fingers",
            "eu-gates/open-leaf-distance",
            "eu-gates/stays-up",
        ]),
    ),
    ("fire-lane-and-footway-good", Good),
    ("heaters-overload-accessory-output", OneThingWrong("field-practice/supply-limit")),
    ("incomplete-survey", Open),
    ("juniper-yard", Beginning),
    ("leaf-too-near-wall", OneThingWrong("us-gates/swing-sixteen-inches")),
    ("marginal-measures", Marginal),
    ("old-operator-2012", Good),
    ("one-means-while-opening", OneThingWrong("us-gates/means-by-direction")),
    ("overhead-pivot-metric-good", Good),
    ("reversal-too-slow", OneThingWrong("us-gates/reversal")),
    ("screening-stops-at-48-in", OneThingWrong("us-gates/leaf-screening")),
    ("sensor-not-listed", OneThingWrong("us-gates/compatible-beam")),
    ("sign-on-one-side-only", OneThingWrong("us-gates/signs")),
    ("slide-left-drawn", Good),
    ("slide-left-good", Good),
    // Its survey and its visits are of a year later, so on this day they have yet to come.
    (
        "slide-left-good-revisited",
        Faults(&["field-practice/lens-height", "field-practice/survey-in-order", "field-practice/visits-in-order"]),
    ),
    ("slide-right-metric-good", Good),
    ("swing-double-metric-good", Good),
    ("swing-in-good", Good),
    ("swing-out-solar-good", Good),
    ("town-farm-yard-good", Good),
    ("town-school-way-too-fast", OneThingWrong("tenterford/quiet-speed")),
    ("two-codes/border-lane", OneThingWrong("field-practice/lens-height")),
    ("variance-expired", OneThingWrong("field-practice/lens-height")),
    ("variance-in-force", Good),
    ("vertical-lift-good", Good),
    ("vertical-pivot-metric-good", Good),
    (
        "way-out-with-many-faults",
        Faults(&[
            "pedestrian-access/clear-width",
            "pedestrian-access/closing-time",
            "pedestrian-access/control-reach",
            "pedestrian-access/hardware-height",
            "us-fire-appendix/appendix-width",
            "us-fire-appendix/padlock",
            "us-fire/opener-tried",
            "us-fire/stays-open",
            "us-fire/stays-ready",
            "us-fire/waiting-engine",
            "us-fire/width",
        ]),
    ),
    ("wiring-good", Good),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn check(path: &str, today: &str, more: &[&str]) -> (i32, String) {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    let done = command.current_dir(root()).args(["check", path, "--as", "plain", "--today", today]).args(more).output().unwrap();
    assert!(done.stderr.is_empty(), "{path}: {}", String::from_utf8_lossy(&done.stderr));
    (done.status.code().unwrap_or(-1), String::from_utf8(done.stdout).unwrap())
}

/// What `check` says of each example by itself, and how it ends.
static ALONE: LazyLock<BTreeMap<&str, (i32, String)>> =
    LazyLock::new(|| EXAMPLES.iter().map(|(name, _)| (*name, check(&path_of(name), TODAY, &[]))).collect());

fn path_of(name: &str) -> String {
    format!("examples/jobs/{name}.yaml")
}

/// Names of the example jobs on the disk: their paths below examples/jobs, without the end.
fn on_disk() -> BTreeSet<String> {
    let folder = root().join("examples/jobs");
    let files = walkdir::WalkDir::new(&folder).into_iter().map(|entry| entry.unwrap().into_path());
    let jobs = files.filter(|path| path.extension().is_some_and(|end| end == "yaml"));
    jobs.map(|path| path.strip_prefix(&folder).unwrap().with_extension("").to_str().unwrap().to_string()).collect()
}

/// Clauses that are not met, as `pack/section (letter)`, each once; recommended ones left out.
fn not_met(report: &str) -> BTreeSet<String> {
    let found = report.lines().filter_map(|line| line.split_once(": not met: "));
    found.map(|(_, rest)| rest.split(", ").next().unwrap().to_string()).collect()
}

#[test]
fn every_example_is_in_the_table() {
    let listed: BTreeSet<String> = EXAMPLES.iter().map(|(name, _)| (*name).to_string()).collect();
    assert_eq!(listed, on_disk());
}

#[test]
fn every_example_says_what_it_said() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots-examples");
    settings.bind(|| {
        for (name, _) in EXAMPLES {
            let (code, report) = &ALONE[name];
            assert!(!report.contains(env!("CARGO_MANIFEST_DIR")), "{name}: a path of this machine");
            insta::assert_snapshot!(name.replace('/', "-"), format!("{report}exit {code}\n"));
        }
    });
}

#[test]
fn no_snapshot_is_left_of_an_example_that_is_gone() {
    let names: BTreeSet<String> = EXAMPLES.iter().map(|(name, _)| name.replace('/', "-") + ".snap").collect();
    for entry in std::fs::read_dir(root().join("tests/snapshots-examples")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        // insta puts what differs beside the snapshot, with an end of its own.
        let name = name.trim_end_matches(".new");
        assert!(names.contains(name), "tests/snapshots-examples/{name}: no such example");
    }
}

#[test]
fn every_example_ends_as_the_table_says() {
    for (name, shows) in EXAMPLES {
        let path = path_of(name);
        let (code, report) = &ALONE[name];
        let outcome = report.lines().find(|line| line.contains(": outcome: ")).unwrap_or_else(|| panic!("{name}: no outcome\n{report}"));
        match shows {
            Good => {
                assert_eq!(*code, 0, "{name}\n{report}");
                assert!(outcome.contains("every mandatory clause that applies is met"), "{name}: {outcome}");
            }
            OneThingWrong(section) => {
                assert_eq!(*code, 1, "{name}\n{report}");
                let mandatory = outcome.split("; ").next().unwrap();
                assert!(mandatory.ends_with("mandatory verdicts: 1 not met"), "{name}: {outcome}");
                let clauses: Vec<String> = not_met(report).into_iter().collect();
                assert!(clauses.len() == 1 && clauses[0].starts_with(&format!("{section} (")), "{name}: {clauses:?}");
            }
            Faults(sections) => {
                assert_eq!(*code, 1, "{name}\n{report}");
                assert!(!outcome.contains(" open") && !outcome.contains(" unanswered"), "{name}: {outcome}");
                let clauses = not_met(report);
                let found: BTreeSet<&str> = clauses.iter().map(|clause| clause.split(" (").next().unwrap_or(clause)).collect();
                assert_eq!(found.into_iter().collect::<Vec<_>>(), *sections, "{name}");
            }
            Marginal => {
                assert_eq!(*code, 1, "{name}\n{report}");
                assert!(outcome.ends_with("mandatory verdicts: 3 marginal"), "{name}: {outcome}");
            }
            Open => {
                assert_eq!((*code, check(&path, TODAY, &["--unfinished"]).0), (1, 0), "{name}\n{report}");
                assert!(not_met(report).is_empty() && outcome.contains(" open"), "{name}: {outcome}");
            }
            Beginning => {
                assert_eq!((*code, check(&path, TODAY, &["--unfinished"]).0), (1, 1), "{name}\n{report}");
                assert!(outcome.contains(" not met") && outcome.contains(" open"), "{name}: {outcome}");
            }
        }
    }
}

#[test]
fn the_first_lines_of_an_example_name_the_section_that_is_not_met() {
    for (name, shows) in EXAMPLES {
        let text = std::fs::read_to_string(root().join(path_of(name))).unwrap();
        let remarks: String =
            text.lines().take_while(|line| line.starts_with('#')).map(|line| line.trim_start_matches("# ").to_string() + " ").collect();
        let wrong = remarks.contains("ne thing wrong");
        match shows {
            OneThingWrong(section) if wrong && remarks.contains('/') => {
                assert!(
                    remarks.contains(section) || remarks.contains("two codes") || remarks.contains("hasp-county (24 in)"),
                    "{name}: {remarks}"
                );
            }
            OneThingWrong(_) | Faults(_) | Beginning => {}
            Good | Marginal | Open => assert!(!wrong, "{name} is none with one thing wrong: {remarks}"),
        }
        assert!(remarks.is_empty() || remarks.contains(&format!("--today {TODAY}")), "{name}: on which day? {remarks}");
    }
}

#[test]
fn on_a_later_day_nothing_mandatory_changes() {
    let (code, later) = check("examples/jobs", LATER, &[]);
    assert_eq!(code, 1);
    // What was seen on a later visit is of a day to come for the first of the two days.
    for (name, (_, first)) in ALONE.iter().filter(|(name, _)| **name != "slide-left-good-revisited") {
        let start = format!("{}:", path_of(name));
        let own: String = later.lines().filter(|line| line.starts_with(&start)).map(|line| format!("{line}\n")).collect();
        // Recommendations stand behind a semicolon.
        let outcome = |report: &str| {
            let line = report.lines().find(|line| line.contains(": outcome: ")).map(str::to_string);
            line.map(|line| line.split("; ").next().unwrap().to_string())
        };
        assert_eq!((not_met(first), outcome(first)), (not_met(&own), outcome(&own)), "{name}");
    }
}

#[test]
fn every_kind_of_gate_is_among_the_good_ones() {
    let terms = std::fs::read_to_string(root().join("rules/terms/terms.rules")).unwrap();
    let line = terms.lines().find(|line| line.starts_with("values gate-kind ")).expect("the kinds of gate");
    let kinds: BTreeSet<&str> = line.rsplit_once('=').unwrap().1.split(',').map(str::trim).collect();
    assert!(kinds.len() > 3, "{kinds:?}");
    let good = EXAMPLES.iter().filter(|(_, shows)| matches!(shows, Good));
    let texts: Vec<String> = good.map(|(name, _)| std::fs::read_to_string(root().join(path_of(name))).unwrap()).collect();
    let has = |kind: &str| {
        texts.iter().any(|text| text.lines().any(|line| line.trim_start().trim_start_matches("- ").trim_end() == format!("kind: {kind}")))
    };
    let missing: Vec<&&str> = kinds.iter().filter(|kind| !has(kind)).collect();
    assert!(missing.is_empty(), "no good example of {missing:?}");
}

#[test]
fn the_examples_as_one_folder_say_the_same() {
    let (code, together) = check("examples/jobs", TODAY, &[]);
    assert_eq!(code, 1);
    for (name, (_, alone)) in &*ALONE {
        let findings = alone.split("caution: ").next().unwrap();
        assert!(together.contains(findings), "{name} says something else among the others");
    }
}
