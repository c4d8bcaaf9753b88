//! `survey --add`: the job reads the same before and after, stripping the added lines gives the bytes back, and a second time adds nothing.

use super::fill::Chance;
use super::{DAY, TODAY, pintle, root, snapshot};
use pintle::command::workbench::{Read, Workbench, judge_job};
use pintle::job::{Children, Fact, Job};
use pintle::language::program::Program;
use pintle::source::Source;
use pintle::survey::beside::{Added, add};
use pintle::survey::open::open;

/// The lines of `after` that `before` does not have; every other line must be there, in order.
fn added_lines<'t>(before: &str, after: &'t str) -> Vec<&'t str> {
    let mut rest = before.split('\n').peekable();
    let mut added = Vec::new();
    for line in after.split('\n') {
        if rest.peek().is_some_and(|next| *next == line) {
            rest.next();
        } else {
            added.push(line);
        }
    }
    assert_eq!(rest.next(), None, "a line is gone\n--- before\n{before}\n--- after\n{after}");
    added
}

/// Everything that a job says, without its places.
fn said(program: &Program, job: &Job) -> String {
    let mut text = String::new();
    for record in &job.records {
        text.push_str(&format!("{:?} {:?} {:?}\n", record.def, record.id, record.parent));
        for fact in &record.facts {
            let one = match fact {
                Fact::Stated(stated) => format!("{} {:?}", pintle::judge::words::datum_text(program, &stated.datum), stated.as_read),
                Fact::Absent => "-".into(),
                Fact::Blank(_) => "blank".into(),
                Fact::Nothing(_) => "none".into(),
                Fact::Spoiled(_) => "spoiled".into(),
            };
            text.push_str(&one);
            text.push('\n');
        }
        for children in &record.children {
            text.push_str(match children {
                Children::Unknown(None) => "not there\n",
                Children::Unknown(Some(_)) => "empty\n",
                Children::Nothing(_) => "none\n",
                Children::Given(..) => "given\n",
            });
        }
    }
    text
}

fn add_to(source: &Source) -> Option<(Added, String, String)> {
    let bench = Workbench::default();
    let folder = root().join("examples/jobs");
    let Read::Job(program, mut job) = bench.read(source, bench.shelves_for(&folder), true) else { return None };
    if job.slips.iter().any(|slip| !slip.harmless) {
        return None;
    }
    let found = judge_job(&program, &mut job, source, TODAY, |program, job, judgement| open(program, job, judgement, TODAY));
    let added = add(source, &program, &job, &found, |open| format!("to be measured, {}", open.number));
    let after = Source::new("after.yaml", added.text.clone());
    let Read::Job(_, again) = bench.read(&after, bench.shelves_for(&folder), true) else { panic!("no job any more:\n{}", added.text) };
    Some((added, said(&program, &job), said(&program, &again)))
}

/// The job file with some of its lines or braces taken out, by chance.
fn thinned(text: &str, chance: &mut Chance) -> String {
    let mut kept = Vec::new();
    for line in text.lines() {
        let own = line.trim_start();
        let single = own.contains(": ") && !own.starts_with(['-', '#', '{']) && !own.ends_with([':', ',', '{', '[']);
        let keep = !single || own.starts_with("codes") || chance.below(6) > 0;
        if !keep {
            continue;
        }
        match (own.starts_with("- {id:"), chance.below(4)) {
            // Takes one fact out of a record in braces.
            (true, 0) if own.ends_with('}') && own.matches(", ").count() > 1 && !own.contains('[') => {
                let cut = line.rfind(", ").unwrap_or(line.len());
                kept.push(format!("{}}}", &line[..cut]));
            }
            _ => kept.push(line.to_string()),
        }
    }
    kept.join("\n") + "\n"
}

#[test]
fn nothing_that_is_there_is_touched() {
    let mut lines = 0;
    for name in ["incomplete-survey", "slide-left-good", "swing-in-good", "vertical-lift-good", "juniper-yard", "europe-slide-metric-good"]
    {
        let whole = std::fs::read_to_string(root().join(format!("examples/jobs/{name}.yaml"))).unwrap();
        for seed in 1..=12 {
            let mut chance = Chance::new(seed);
            let mut text = if seed == 1 { whole.clone() } else { thinned(&whole, &mut chance) };
            match chance.below(4) {
                0 => text = text.replace('\n', "\r\n"),
                1 => text.truncate(text.trim_end().len()),
                _ => {}
            }
            let source = Source::new("job.yaml", text.clone());
            let Some((added, before, after)) = add_to(&source) else { continue };
            assert_eq!(before, after, "{name} {seed}\n{}", added.text);
            assert_eq!(added.left_out, 0, "{name} {seed}\n{text}");
            let new = added_lines(&text, &added.text);
            assert_eq!(new.len(), added.lines, "{name} {seed}\n{}", added.text);
            for line in &new {
                assert!(line.trim_start().starts_with("# ") && line.contains(":   # to be measured, "), "{name} {seed}: {line}");
            }
            lines += new.len();
            let again = add_to(&Source::new("job.yaml", added.text.clone())).expect("a job");
            assert_eq!((again.0.lines, again.0.text.as_str()), (0, added.text.as_str()), "{name} {seed}: a second time");
        }
    }
    assert!(lines > 100, "{lines}");
}

#[test]
fn odd_ways_of_writing_stay_what_they_are() {
    let head = "title: T\ncodes: [us-gates]\n";
    for gates in [
        "gates: [{id: main, kind: swing, leaves: [{id: a, height: 6 ft}, {id: \"b\n      c\", height: 5 ft}]}]\n",
        "gates:\n  - id: main\n    kind: swing\n    operator: &box\n      model: |+\n        a\n        b\n\n\n    leaves:\n      - {id: a}\n",
        "gates:\n- kind: swing\n  id: main\n  operator: {model: x}   # remark\n  leaves:\n  - id: a # one\n    # another remark\n\n  - {id: b,\n     height: 5 ft}",
        "gates:\n  -\n    id: main\n    leaves:\n      -\n        id: a\n    kind: swing\n",
        "\"gates\":\n  - \"id\": main\n    \"kind\": 'swing'\n    leaves:\n      - &x {id: a}\n",
    ] {
        let text = format!("{head}{gates}");
        let source = Source::new("job.yaml", text.clone());
        let (added, before, after) = add_to(&source).unwrap_or_else(|| panic!("not read:\n{text}"));
        assert_eq!(before, after, "{}", added.text);
        assert!(added.lines > 5, "{} lines, {} left out\n{}", added.lines, added.left_out, added.text);
        added_lines(&text, &added.text);
    }
}

#[test]
fn the_file_is_added_to_in_place() {
    let folder = std::env::temp_dir().join(format!("pintle-survey-add-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("job.yaml");
    let text = "\u{feff}title: Ferrule Yard\ncodes: [us-gates]\ngates:\n  - id: main\n    kind: barrier-arm\n    leaves:\n      - {id: arm, length: 12 ft}\n";
    std::fs::write(&path, text).unwrap();
    let shown = path.to_str().unwrap();
    let (code, out, err) = pintle(&[&["survey", shown, "--add"], &DAY[..]].concat());
    assert_eq!((code, err.as_str()), (1, ""), "{out}");
    let after = std::fs::read_to_string(&path).unwrap();
    added_lines(text, &after);
    snapshot("added-barrier-arm", after.trim_start_matches('\u{feff}'));
    assert!(after.starts_with('\u{feff}'), "the mark of order is gone");
    let (_, again, _) = pintle(&[&["survey", shown, "--add"], &DAY[..]].concat());
    assert!(again.contains(": 0 lines added, "), "{again}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), after);
    // A file with slips is left alone.
    std::fs::write(&path, text.replace("12 ft", "12")).unwrap();
    let (code, _, err) = pintle(&[&["survey", shown, "--add"], &DAY[..]].concat());
    assert_eq!(code, 2, "{err}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text.replace("12 ft", "12"));
    std::fs::remove_dir_all(&folder).unwrap();
}
