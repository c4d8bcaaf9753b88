//! `revisit`: a value has moved only where both readings cannot be of one value; what is worse decides the exit code; what is due holds on
//! its last day and not on the next. Snapshots of what people see: `INSTA_UPDATE=always cargo test revisit`.

use crate::cli::{Site, assert_harmless};
use pintle::command::workbench::{Compiled, Workbench, judge_job, records};
use pintle::job::Job;
use pintle::job::yaml::read_yaml;
use pintle::judge::judge_section::binding_name;
use pintle::language::library::Shelf;
use pintle::source::Source;
use pintle::survey::again::{Again, Differs, Side, again};
use pintle::survey::due::due;
use serde_json::Value;
use std::path::Path;
use std::sync::Arc;

const OLD: &str = "examples/jobs/slide-left-good.yaml";
const NEW: &str = "examples/jobs/slide-left-good-revisited.yaml";
const DAY: [&str; 2] = ["--today", "2027-03-22"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn pintle(arguments: &[&str]) -> (i32, String, String) {
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap_or(-1), text(done.stdout), text(done.stderr))
}

fn revisit(old: &str, new: &str, more: &[&str]) -> (i32, String, String) {
    pintle(&[&["revisit", old, new], more, &DAY].concat())
}

fn packs() -> Arc<Compiled> {
    Workbench::default().compile(vec![Shelf::Embedded], vec!["us-gates".into(), "field-practice".into()])
}

fn read(packs: &Compiled, text: &str) -> (Source, Job) {
    let source = Source::new("job.yaml", text);
    let (yaml, slips) = read_yaml(&source);
    assert!(slips.is_empty(), "{slips:?}\n{text}");
    let job = records(&yaml, &source, packs.program.as_ref().expect("packs"));
    assert!(job.slips.iter().all(|slip| slip.harmless), "{:?}\n{text}", job.slips);
    (source, job)
}

fn between(old: &str, new: &str) -> Again {
    let packs = packs();
    let program = packs.program.as_ref().expect("packs");
    let ((_, old), (_, new)) = (read(&packs, old), read(&packs, new));
    again(Side { program, job: &old }, Side { program, job: &new })
}

fn text_of(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap()
}

/// A job with one beam of that height, and what a tape may be off.
fn beam(height: &str, tape: &str) -> String {
    format!(
        "title: T\ncodes: [us-gates, field-practice]\ntape-tolerance: {tape}\ngates:\n  - id: main\n    kind: swing\n    beams:\n      - {{id: low, height: {height}}}\n"
    )
}

#[test]
fn two_surveys_as_people_see_them() {
    let (code, text, err) = revisit(OLD, NEW, &["--all"]);
    assert_eq!((code, err.as_str()), (1, ""));
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("survey/snapshots");
    settings.bind(|| {
        insta::assert_snapshot!("revisit-slide-left", text);
        insta::assert_snapshot!("revisit-slide-left-lines", revisit(OLD, NEW, &["--as", "lines"]).1);
    });
    crate::printed::assert_sound(&revisit(OLD, NEW, &["--as", "html"]).1);
    // Readings within their tolerances are counted, and listed only where that is asked for.
    let (_, brief, _) = revisit(OLD, NEW, &[]);
    assert!(text.contains("height of gate main / beam low: 10 in becomes 9 7/8 in, -1/8 in"), "{text}");
    assert!(brief.contains("3 within tolerance") || brief.contains("3\nwithin tolerance"), "{brief}");
    assert!(!brief.contains("9 7/8 in"), "{brief}");
}

#[test]
fn its_lines_are_as_the_schema_says() {
    let schema: Value = serde_json::from_str(&pintle(&["schema", "revisit"]).1).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let (_, out, _) = revisit(OLD, NEW, &["--as", "lines"]);
    let lines: Vec<Value> = out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    for line in &lines {
        assert!(validator.is_valid(line), "{line}");
    }
    for kind in ["run", "verdict", "value", "lone", "date", "due", "end"] {
        assert!(lines.iter().any(|line| line["kind"] == kind), "no {kind}");
    }
    assert_eq!(lines.last().unwrap()["exit"], 1);
}

#[test]
fn exit_codes_say_whether_something_is_worse() {
    let later = |path: &str, day: &str| {
        let text = text_of(path);
        let own = text.lines().find(|line| line.starts_with("surveyed: ")).unwrap();
        // A reading of its own, so that it is no copy.
        text.replace(own, &format!("surveyed: {day}"))
            .replace("alarm-level: 104 dB", "alarm-level: 103.5 dB")
            .replace("alarm-level: 103 dB", "alarm-level: 103.5 dB")
    };
    let site = Site::empty().with("same.yaml", later(OLD, "2027-03-15")).with("worse.yaml", later(NEW, "2026-03-16"));
    let (same, worse) = (site.path("same.yaml"), site.path("worse.yaml"));
    let (same, worse) = (same.to_str().unwrap(), worse.to_str().unwrap());
    assert_eq!(revisit(OLD, same, &[]).0, 0, "surveyed again, and nothing mandatory is worse");
    assert_eq!(revisit(OLD, NEW, &[]).0, 1, "a beam stands too high");
    assert_eq!(revisit(worse, NEW, &[]).0, 0, "what was wrong before is no worse");
    assert_eq!(revisit(worse, same, &[]).0, 0, "something is better");
    let (code, out, err) = revisit(OLD, "examples/jobs/nowhere.yaml", &[]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    let site = Site::empty().with("slip.yaml", beam("21", "1/8 in")).with("other.yaml", beam("21 in", "1/8 in").replace("main", "north"));
    let slip = site.path("slip.yaml");
    let (code, out, err) = revisit(OLD, slip.to_str().unwrap(), &[]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(err.contains("could not be judged"), "{err}");
    let other = site.path("other.yaml");
    let (code, _, err) = revisit(OLD, other.to_str().unwrap(), &[]);
    assert_eq!(code, 2, "two sites");
    assert!(err.contains("share no thing"), "{err}");
}

#[test]
fn a_copy_is_no_second_survey() {
    let (code, text, _) = revisit(OLD, OLD, &[]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("Not surveyed again") && text.contains("Nothing is proved") && !text.contains("ready on both days"), "{text}");
    let (_, page, _) = revisit(OLD, OLD, &["--as", "html"]);
    assert!(page.contains("Nothing is proved: the gate is not known to have been surveyed again"), "{page}");
    let (_, lines, _) = revisit(OLD, OLD, &["--as", "lines"]);
    assert!(lines.lines().next().unwrap().contains("\"order\":\"not-later\""), "{lines}");
    // The wrong way round, and without a day.
    let (code, text, _) = revisit(NEW, OLD, &["--then", "2027-03-16"]);
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("The wrong way round"), "{text}");
    let undated = text_of(NEW).replace("surveyed: 2027-03-15\n", "");
    let site = Site::empty()
        .with("undated.yaml", undated)
        .with("copy.yaml", text_of(OLD).replace("surveyed: 2026-03-16", "surveyed: 2027-03-15"))
        .with("year.yaml", text_of(NEW).replace("surveyed: 2027-03-15", "surveyed: 2026"))
        .with("to-come.yaml", text_of(NEW).replace("surveyed: 2027-03-15", "surveyed: 2031-01-02"));
    for (name, says) in [
        ("undated.yaml", "Not known to be surveyed again"),
        ("to-come.yaml", "Not known to be surveyed again"),
        ("year.yaml", "Not surveyed again"),
        ("copy.yaml", "copy of the older one"),
    ] {
        let path = site.path(name);
        let (code, text, _) = revisit(OLD, path.to_str().unwrap(), &[]);
        assert_eq!(code, 1, "{text}");
        assert!(text.contains(says), "{text}");
    }
}

#[test]
fn protection_that_is_gone_is_worse_whatever_the_verdicts_say() {
    let old = "title: T\ncodes: [field-practice]\nsurveyed: 2026-03-16\ngates:\n  - id: main\n    kind: swing\n    beams:\n      - {id: low, height: 21 in}\n    edges:\n      - {id: strip}\n";
    let new = old.replace("2026-03-16", "2027-03-15");
    let bare = new.replace("beams:\n      - {id: low, height: 21 in}", "beams: none").replace("edges:\n      - {id: strip}", "edges: none");
    let moved = new.replace("id: low", "id: other");
    let no_gate = new.replace("  - id: main", "  - id: side\n    kind: swing\n  - id: other");
    let site = Site::empty()
        .with("old.yaml", old)
        .with("new.yaml", new)
        .with("bare.yaml", bare)
        .with("moved.yaml", moved)
        .with("no-gate.yaml", no_gate);
    let seen = |name: &str, view: &str| {
        let seen = site.run(&["revisit", "old.yaml", name, "--as", view, "--today", "2027-03-22"]);
        (seen.code, seen.out)
    };
    let (_, text) = seen("new.yaml", "text");
    assert!(!text.contains("Protection that is gone"), "{text}");
    let (code, text) = seen("bare.yaml", "text");
    assert_eq!(code, 1, "{text}");
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
    assert!(text.contains("worse: 2 things that protected are gone"), "{text}");
    assert!(
        at("Protection that is gone\n  gate main / beam low\n  gate main / edge strip\n")
            < text.find("Verdicts that change").unwrap_or(text.len())
    );
    let (_, page) = seen("bare.yaml", "html");
    assert!(page.contains("<h2 id=\"protection-gone\">"), "{page}");
    let (_, lines) = seen("bare.yaml", "lines");
    assert!(lines.contains("\"thing\":\"gate main / edge strip\",\"fact\":null,\"value\":null,\"protects\":true"), "{lines}");
    let (code, text) = seen("moved.yaml", "text");
    assert!(code == 1 && text.contains("worse: 1 thing that protected is gone"), "another id is another thing: {text}");
}

#[test]
fn what_nobody_measured_again_is_in_doubt() {
    let old = text_of(OLD);
    let (start, rest) = old.split_once("    signs:\n").unwrap();
    let (_, end) = rest.split_once("    pedestrian-way:").unwrap();
    let less = format!("{start}    pedestrian-way:{end}").replace("    fall-angle: 20 deg\n", "");
    let found = between(&old, &less);
    let lone: Vec<String> = found.not_again.iter().map(|lone| format!("{:?} {}", lone.fact, lone.value.as_deref().unwrap_or(""))).collect();
    assert_eq!(lone, ["Some(\"fall-angle\") 20 deg", "Some(\"signs\") 2 of them"]);
    assert!(found.gone.is_empty(), "nobody said that the signs are gone: {:?}", found.gone);
    let site = Site::empty().with("less.yaml", less);
    let (code, text, _) = revisit(OLD, site.path("less.yaml").to_str().unwrap(), &[]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("us-gates/signs (a), gate main: met becomes open"), "{text}");
}

#[test]
fn moved_is_what_both_readings_cannot_share() {
    // Everything in 1/640 mm, in which 1/64 in and 1 mm are whole: an own sum, beside the program's fractions.
    let mut seed: u64 = 20_270_322;
    let mut next = |n: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % n
    };
    let mut seen = [0; 3];
    for _ in 0..400 {
        let mut one = || {
            let (off, own) = (next(9), next(3) == 0);
            let (text, size, unit, tape) = if next(2) == 0 {
                let sixty_fourths = 1300 + next(40);
                (format!("{} {}/64 in", sixty_fourths / 64, sixty_fourths % 64), sixty_fourths * 254, "64 in", 254)
            } else {
                let mm = 516 + next(16);
                (format!("{mm} mm"), mm * 640, "mm", 640)
            };
            let tolerance = if unit == "mm" { format!("{off} mm") } else { format!("{off}/64 in") };
            let text = if own { format!("{text} +/- {tolerance}") } else { text };
            (text, i64::try_from(size).unwrap(), tolerance, i64::try_from(off * tape).unwrap())
        };
        let (a, b) = (one(), one());
        let found = between(&beam(&a.0, &a.2), &beam(&b.0, &b.2));
        let differs = found.values.iter().chain(&found.within).find(|value| value.fact == "height").map(|value| value.differs);
        let expected = match (a.1 - b.1).abs() {
            0 => None,
            apart if apart > a.3 + b.3 => Some(Differs::Moved),
            _ => Some(Differs::Within),
        };
        assert_eq!(differs, expected, "{a:?} {b:?}");
        seen[expected.map_or(0, |differs| 1 + usize::from(differs == Differs::Within))] += 1;
    }
    assert!(seen.iter().all(|times| *times > 3), "{seen:?}");
}

#[test]
fn the_other_way_round_it_is_the_contrary() {
    let (old, new) = (text_of(OLD), text_of(NEW));
    let (there, back) = (between(&old, &new), between(&new, &old));
    assert_eq!((&there.new, &there.gone), (&back.gone, &back.new));
    assert_eq!((&there.first, &there.not_again), (&back.not_again, &back.first));
    let turned = |all: &[pintle::survey::again::Value]| -> Vec<(String, String, String, String)> {
        all.iter().map(|value| (value.thing.clone(), value.fact.clone(), value.is.clone(), value.was.clone())).collect()
    };
    let straight = |all: &[pintle::survey::again::Value]| -> Vec<(String, String, String, String)> {
        all.iter().map(|value| (value.thing.clone(), value.fact.clone(), value.was.clone(), value.is.clone())).collect()
    };
    assert_eq!(straight(&there.values), turned(&back.values));
    assert_eq!((straight(&there.within), there.same), (turned(&back.within), back.same));
    let nothing = between(&new, &new);
    assert_eq!(Again { same: nothing.same, one_site: true, ..Again::default() }, nothing);
}

#[test]
fn the_order_of_things_and_words_does_not_count() {
    let job =
        |beams: &str| format!("title: T\ncodes: [us-gates, field-practice]\ngates:\n  - id: main\n    kind: swing\n    beams:\n{beams}");
    let one = job("      - {id: a, watches: [opening, closing]}\n      - {id: b, height: 21 in}\n");
    let other = job("      - {id: b, height: 21.0 in}\n      - {id: a, watches: [closing, opening]}\n");
    let found = between(&one, &other);
    assert_eq!((found.values, found.within, found.new, found.gone), (vec![], vec![], vec![], vec![]));
}

#[test]
fn what_is_due_holds_on_its_last_day_and_not_on_the_next() {
    let packs = packs();
    let program = packs.program.as_ref().expect("packs");
    let today = jiff::civil::date(2027, 3, 22);
    let mut tried = 0;
    for path in [NEW, OLD, "examples/jobs/swing-in-good.yaml", "examples/jobs/barrier-arm-good.yaml"] {
        let (source, mut job) = read(&packs, &text_of(path));
        let all = due(program, &job, &[], today);
        assert!(!all.is_empty(), "{path}");
        for one in all {
            let mut good = |day| {
                judge_job(program, &mut job, &source, day, |program, job, judgement| {
                    let same = |judged: &&pintle::judge::Judged| {
                        let section = &program.sections[judged.section];
                        section.id == one.section
                            && section.norms[judged.norm].label == one.clause
                            && binding_name(program, job, judged) == one.thing
                    };
                    let mut found = judgement.judged.iter().filter(same).peekable();
                    assert!(found.peek().is_some(), "{path} {one:?}");
                    found.all(|judged| !judged.verdict.is_finding())
                })
            };
            match one.until {
                None => assert!(!good(today), "{path} {one:?}"),
                Some(until) => {
                    assert!(until >= today && good(today) && good(until), "{path} {one:?}");
                    assert!(!good(until.tomorrow().unwrap()), "{path} {one:?}");
                    tried += 1;
                }
            }
        }
    }
    assert!(tried >= 3, "{tried}");
}

#[test]
fn hostile_texts_stay_texts() {
    let old = beam("21 in", "1/8 in");
    let new = beam("27 in", "1/8 in")
        .replace("title: T", "title: \"<script>alert(1)</script> \\e[2J\"")
        .replace("id: low", "id: \"<b>\\e[31m low\"")
        .replace("tape-tolerance", "surveyor: \"a\\u202eb & <i>\"\ntape-tolerance");
    let site = Site::empty().with("old.yaml", old).with("new.yaml", new);
    for view in ["text", "lines", "html"] {
        let seen = site.run(&["revisit", "old.yaml", "new.yaml", "--as", view, "--today", "2027-03-22"]);
        assert_harmless(&seen.out);
        assert_harmless(&seen.err);
        if view == "html" {
            crate::printed::assert_sound(&seen.out);
            assert!(!seen.out.contains("<script") && !seen.out.contains("<b>"), "{}", seen.out);
        }
    }
    let seen = site.run(&["survey", "new.yaml", "--as", "html", "--today", "2027-03-22"]);
    crate::printed::assert_sound(&seen.out);
    assert!(!seen.out.contains("<script") && !seen.out.contains("<b>"), "{}", seen.out);
    let seen = site.run(&["survey", "new.yaml", "--add", "--today", "2027-03-22"]);
    assert_harmless(&seen.out);
    assert_harmless(&site.read("new.yaml"));
}
