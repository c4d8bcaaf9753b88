//! What an author is told of amendments under a minimum: *stricter* is never told where a job is found that meets the amended
//! text and not the minimum, and a witness is what it is said to be.

use crate::second;
use pintle::command::workbench::judge_texts;
use pintle::language::change::Direction;
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::language::minimums::{Minimum, minimum_changes};
use pintle::language::program::Program;
use pintle::language::tree::Modal;
use pintle::rehearse::witness::{Witnesses, sentences, witnesses};
use std::collections::BTreeMap;

/// A town that adopts a pack as a minimum and amends it so; nothing where it has slips.
fn town(pack: &str, amendments: &str) -> Option<(Program, Vec<Minimum>, String)> {
    let town = format!(
        "pack town \"Town\"\n  language   1\n  edition    \"1\"\n  adopts     made as minimum\n\nsource law \"Town law\" invented\n\n{amendments}\n"
    );
    let texts = vec![("made".to_string(), pack.to_string()), ("town".to_string(), town.clone())];
    let mut library = Library::new(vec![Shelf::Memory(texts), Shelf::Embedded]);
    let program = compile(&mut library, &[Wanted { name: "town".into(), span: None }]).0?;
    let changes = minimum_changes(&mut library, "town");
    Some((program, changes, town))
}

/// The clauses and exceptions of a pack, each with its section, as written.
fn clauses(pack: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let mut section = None;
    for line in pack.lines() {
        if let Some(rest) = line.strip_prefix("section ") {
            section = rest.split(' ').next();
        } else if !line.starts_with(' ') {
            section = None;
        } else if let Some(name) = section {
            let starts = ["  shall", "  should", "  except"].iter().any(|word| line.starts_with(word));
            match found.last_mut() {
                Some((_, text)) if line.starts_with("    ") && !text.is_empty() => text.push_str(&format!("{line}\n")),
                _ if starts => found.push((name.to_string(), format!("{line}\n"))),
                // What is restated is cited anew; other lines end a clause.
                _ => found.push((String::new(), String::new())),
            }
        }
    }
    found.retain(|(name, _)| !name.is_empty());
    found
}

/// Texts that differ from a clause in one place each.
fn mutants(clause: &str) -> Vec<String> {
    let mut all = Vec::new();
    let starts = |at: usize| !clause[..at].ends_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '/' | '('));
    for (at, _) in clause.match_indices(|c: char| c.is_ascii_digit()).filter(|(at, _)| starts(*at)) {
        let length = clause[at..].find(|c: char| !c.is_ascii_digit()).unwrap_or(clause.len() - at);
        let Ok(number) = clause[at..at + length].parse::<u64>() else { continue };
        for other in [number + 7, number.saturating_sub(1)] {
            all.push(format!("{}{other}{}", &clause[..at], &clause[at + length..]));
        }
    }
    let words = [("at most", "less than"), ("less than", "at most"), ("at least", "more than"), ("more than", "at least")];
    let joints = [(" and ", " or "), (" or ", " and "), ("shall", "should"), ("every ", "at least one "), ("is not", "is")];
    for (from, to) in words.into_iter().chain(joints) {
        if clause.contains(from) {
            all.push(clause.replacen(from, to, 1));
        }
    }
    all
}

/// What made-up jobs tell of the only section that a town amends.
fn told(program: &Program) -> Vec<(usize, usize, Witnesses)> {
    let floors = program.sections.iter().enumerate().filter_map(|(floor, section)| Some((section.floor_of?, floor)));
    floors.map(|(above, floor)| (above, floor, witnesses(program, above, floor))).collect()
}

/// The letters of the mandatory clauses of a section; all of them where neither it nor its minimum has one.
fn mandatory(program: &Program, at: usize, beside: usize) -> String {
    let shall = |at: usize| program.sections[at].norms.iter().filter(|norm| norm.modal == Modal::Shall).map(|norm| norm.label);
    match shall(at).chain(shall(beside)).count() {
        0 => program.sections[at].norms.iter().map(|norm| norm.label).collect(),
        _ => shall(at).collect(),
    }
}

/// The verdicts of these clauses of a section on a job on one line: whether one is *not met*, and whether all are sure passes.
fn judged(pack: (&str, &str), others: &[(&str, &str)], (section, labels): (&str, &str), job: &str) -> (bool, bool) {
    let packs: Vec<(&str, &str)> = others.iter().copied().chain([pack]).collect();
    // The line is a YAML value by itself; the codes are put in front of its first key.
    let job = job.replacen('{', &format!("{{codes: [{}], ", pack.0), 1);
    let verdicts = judge_texts(&packs, &[pack.0], &job, "2026-06-01".parse().unwrap()).unwrap_or_else(|slips| panic!("{job}\n{slips:?}"));
    let own: Vec<&str> = verdicts.iter().filter(|row| row.0 == section && labels.contains(&row.1)).map(|row| row.3.as_str()).collect();
    (own.contains(&"not met"), own.iter().all(|word| matches!(*word, "met" | "excepted" | "not applicable")))
}

#[test]
fn stricter_is_never_told_against_a_witness() {
    let rounds: u64 = std::env::var("PINTLE_CASES").ok().and_then(|number| number.parse().ok()).unwrap_or(8);
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for seed in 0..rounds {
        let (pack, ..) = second::texts(seed * 17 + 3);
        let every = usize::try_from(seed).unwrap();
        for (section, clause) in clauses(&pack) {
            for mutant in mutants(&clause).into_iter().skip(every % 4).step_by(4) {
                let amendment = format!("amend made/{section}\n{mutant}  cite law \"1\"\n");
                let Some((program, changes, town)) = town(&pack, &amendment) else { continue };
                let directions: Vec<Direction> = changes.iter().map(|change| change.direction).collect();
                for (above, floor, found) in told(&program) {
                    let id = &program.sections[above].id;
                    let says = format!("{directions:?}\n{pack}\n{town}\n{found:?}");
                    match directions.as_slice() {
                        [Direction::Stricter] => assert_eq!(found.looser, None, "stricter {says}"),
                        [Direction::Looser] => assert_eq!(found.stricter, None, "looser {says}"),
                        _ => {}
                    }
                    let word = |found: &Option<String>| if found.is_some() { "a witness" } else { "none" };
                    let kind = format!("{directions:?} looser {} stricter {}", word(&found.looser), word(&found.stricter));
                    *seen.entry(kind).or_default() += 1;
                    let (amended, minimum) = (mandatory(&program, above, floor), mandatory(&program, floor, above));
                    if let Some(job) = &found.looser {
                        assert_eq!(judged(("made", &pack), &[], (id, &minimum), job), (true, false), "does not fail the minimum: {says}");
                    }
                    if let Some(job) = &found.stricter {
                        assert_eq!(judged(("made", &pack), &[], (id, &minimum), job), (false, true), "fails the minimum: {says}");
                        assert!(judged(("town", &town), &[("made", &pack)], (id, &amended), job).0, "meets the amended text: {says}");
                    }
                }
            }
        }
    }
    // Each kind comes up for the law to mean something.
    for kind in [
        "[Stricter] looser none stricter a witness",
        "[Looser] looser a witness stricter none",
        "[Different] looser none stricter a witness",
    ] {
        let count: usize = seen.iter().filter(|(seen, _)| seen.contains(kind)).map(|(_, count)| count).sum();
        assert!(count >= 1, "{kind}: {count}\n{seen:#?}");
    }
}

const YARD: &str = r#"pack made "Yard"
  language   1
  edition    "1"
  adopts     terms
source book "A book" invented
table reach "How far"
  cite    book "t"
  by      kind
  kind             | least
  horizontal-slide | 5 in
  swing            | 4 in
  vertical-lift    | 5 in
  vertical-pivot   | 5 in
  overhead-pivot   | 5 in
  barrier-arm      | 5 in
  bifold           | 5 in
section low "Low"
  applies to each beam where beam.duty is entrapment
  shall (a) beam.height at most 26 in and beam.height more than 3 in
  shall (b) beam.height at least reach.least(gate.kind)
  cite    book "1"
section wired "Wired"
  applies to each load where load.steady
  shall   sum of l.draw for l among gate.loads at most 500 mA
  cite    book "2"
"#;

#[test]
fn what_made_up_jobs_tell_is_said_of_the_section_as_a_whole() {
    for (amendment, says) in [
        ("amend made/low\n  shall (a) beam.height at most 24 in and beam.height more than 3 in\n  cite law \"1\"\n", ""),
        (
            "amend made/wired\n  shall   sum of l.draw for l among gate.loads at most 600 mA\n  cite law \"1\"\n",
            "made/wired as a whole: the job `{gates: [{id: gate, loads: [{id: load, draw: 5",
        ),
        (
            "amend made/low\n  shall (a) beam.height at most 30 in and beam.height more than 5 in\n  cite law \"1\"\n",
            "made/low as a whole: not comparable with the minimum: the job ",
        ),
        (
            "amend made/low\n  shall (a) not (beam.height more than 24 in or beam.height at most 3 in)\n  cite law \"1\"\n",
            "none shows the opposite, which proves nothing",
        ),
        (
            "amend made/low\n  shall (a) not (beam.height more than 26 in or beam.height at most 3 in)\n  cite law \"1\"\n",
            "made-up jobs tell it from the minimum nowhere, which proves nothing",
        ),
        ("amend made/reach\n  kind | least\n  swing | 3 in\n", "made/low as a whole: the job `{gates: [{id: gate, kind: swing, "),
    ] {
        let (program, changes, _) = town(YARD, amendment).unwrap_or_else(|| panic!("{amendment}"));
        let lines = sentences(&program, &changes);
        let whole: Vec<&String> = lines.iter().filter(|line| line.contains("as a whole")).collect();
        assert_eq!(lines.len() - whole.len(), changes.len(), "{lines:#?}");
        match says {
            "" => assert!(whole.is_empty(), "{amendment}\n{lines:#?}"),
            says => assert!(whole.len() == 1 && whole[0].contains(says), "{amendment}\n{lines:#?}"),
        }
    }
}
