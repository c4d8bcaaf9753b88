//! A changed program equals the program of the pack whose text was changed likewise. Texts are compared as programs without the
//! places that their parts have in the files.

use super::root;
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::language::program::Program;
use pintle::rehearse::change::{Boundary, Change, changes};
use pintle::source::FileId;

const PACK: &str = r#"pack likewise "A pack that is changed"
  language   1
  edition    "1"
  in force   from 2026-03-02 before 2031-01-01 by job.today
  adopts     terms

source ordinance "Invented ordinance" invented

table needed "Needed" 
  cite    ordinance "1"
  by      kind
  kind  | means | room
  swing | 2     | 2 1/4 in
  bifold | 1    | 16 ft 6 in

values lamp-level "Brightness of a lamp" = low, medium, high

definition lamp "A lamp" among gate.lamps
  tilt    angle measured taken as 0 deg "Off level"
  level   one of lamp-level taken as high "How bright it is"
  shaded  yes-or-no taken as no "Is it shaded?"
  depth   length measured taken as 0 in "How deep it sits"

section one "One"
  applies to each gate where gate.latch and gate.kind is swing
  in force from 2018-08-01 by gate.operator.made
  shall (a) gate.opening at most 30 in (762 mm)
  shall (b) if gate.alarm then needed.means(gate.kind) at least 2 and gate.fall-angle less than 1.5 deg
  shall (c) gate.kind is one of (swing, bifold) or gate.operator.made at least 2020-02-29
  except  (1) "First" where gate.public-near unless gate.latch
  cite    ordinance "2"
"#;

/// The change as the report words it, and what is written before and after it in the text of the pack.
const CASES: [(&str, &str, &str, &str); 23] = [
    ("likewise", "in force: from 2026-03-02 becomes from 2026-03-03", "from 2026-03-02", "from 2026-03-03"),
    ("likewise", "in force: before 2031-01-01 becomes before 2030-12-31", "before 2031-01-01", "before 2030-12-31"),
    ("likewise/one (a)", "at most 30 in becomes at most 31 in", "at most 30 in (762 mm)", "at most 31 in"),
    ("likewise/one (a)", "at most 30 in becomes at most 29 in", "at most 30 in (762 mm)", "at most 29 in"),
    ("likewise/one (a)", "at most 30 in becomes less than 30 in", "opening at most", "opening less than"),
    ("likewise/one (b)", "less than 1.5 deg becomes less than 1.6 deg", "1.5 deg", "1.6 deg"),
    ("likewise/one (b)", "if `gate.alarm` dropped", "if gate.alarm then ", ""),
    ("likewise/one (b)", "at least 2 becomes at least 3", "at least 2 and", "at least 3 and"),
    ("likewise/one (c)", "`bifold` dropped from the list", "(swing, bifold)", "(swing)"),
    ("likewise/one (c)", "at least 2020-02-29 becomes at least 2020-03-01", "2020-02-29", "2020-03-01"),
    ("likewise/one", "in force: from 2018-08-01 becomes from 2018-07-31", "from 2018-08-01", "from 2018-07-31"),
    ("likewise/one", "applies to: `gate.latch` dropped", "gate.latch and gate.kind", "gate.kind"),
    ("likewise/one", "applies to: is swing becomes is vertical-lift", "gate.kind is swing", "gate.kind is vertical-lift"),
    ("likewise/one (1)", "unless `gate.latch` dropped", " unless gate.latch", ""),
    ("likewise/one (1)", "the exception is dropped", "  except  (1) \"First\" where gate.public-near unless gate.latch\n", ""),
    ("likewise/needed", "means of swing: 2 becomes 1", "swing | 2 ", "swing | 1 "),
    ("likewise/needed", "room of swing: 2 1/4 in becomes 2 1/2 in", "2 1/4 in", "2 1/2 in"),
    ("likewise/lamp", "tilt: taken as 0 deg becomes taken as 1 deg", "taken as 0 deg", "taken as 1 deg"),
    ("likewise/lamp", "tilt: taken as 0 deg becomes taken as -1 deg", "taken as 0 deg", "taken as -1 deg"),
    ("likewise/lamp", "level: taken as high becomes taken as low", "taken as high", "taken as low"),
    ("likewise/lamp", "shaded: taken as no becomes taken as yes", "taken as no ", "taken as yes "),
    ("likewise/lamp", "depth: taken as 0 in becomes taken as 1 in", "taken as 0 in", "taken as 1 in"),
    ("likewise/needed", "room of bifold: 16 ft 6 in becomes 16 ft 7 in", "16 ft 6 in", "16 ft 7 in"),
];

fn compiled(name: &str, text: &str) -> (Program, Vec<FileId>) {
    let mut library = Library::new(vec![Shelf::Memory(vec![(name.to_string(), text.to_string())]), Shelf::Embedded]);
    let (program, slips) = compile(&mut library, &[Wanted { name: name.to_string(), span: None }]);
    let program = program.unwrap_or_else(|| panic!("{slips:?}"));
    (program, library.pack(name).unwrap().files.clone())
}

/// Codes, sections, tables, formulas and facts of a program, without places.
fn meaning(program: &Program) -> String {
    let rules = format!("{:?}{:?}{:?}{:?}", program.codes, program.sections, program.tables, program.formulas);
    let text = format!("{rules}{:?}", program.definitions);
    let mut result = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("Span { ") {
        result.push_str(before);
        rest = after.split_once('}').map_or("", |(_, rest)| rest);
    }
    // That a section reads a fact is for reports only, and noted once, when a program is made.
    (result + rest).replace("read: true", "read: false")
}

#[test]
fn a_changed_program_is_that_of_the_changed_text() {
    let (mut program, files) = compiled("likewise", PACK);
    let before = meaning(&program);
    let mut all: Vec<Change> = changes(&program, "likewise", &files);
    for (place, words, from, to) in CASES {
        let known: Vec<String> = all.iter().map(|change| format!("{}: {}", change.place, change.words)).collect();
        let change = all.iter_mut().find(|change| change.place == place && change.words == words);
        let change = change.unwrap_or_else(|| panic!("no change {place}: {words}; there are\n{}", known.join("\n")));
        assert_eq!(PACK.matches(from).count(), 1, "{from}");
        let (other, _) = compiled("likewise", &PACK.replace(from, to));
        change.item.swap(&mut program);
        let (one, other) = (meaning(&program), meaning(&other));
        change.item.swap(&mut program);
        assert_eq!(one, other, "{place}: {words}");
        assert_ne!(one, before, "{place}: {words} changes nothing");
    }
    assert_eq!(meaning(&program), before, "a change is taken back whole");
    // A length below nought could not be written, so it is not tried.
    assert!(!all.iter().any(|change| change.words.contains("-1 in")));
}

/// Every so many literals of the packs of the house: the same change in the text gives the same program.
#[test]
fn a_moved_limit_is_that_of_the_moved_text() {
    for pack in ["us-gates", "field-practice", "us-wiring"] {
        let mut texts: Vec<(String, String)> = Vec::new();
        let mut library = Library::new(vec![Shelf::Folder(root().join("rules"))]);
        let (program, _) = compile(&mut library, &[Wanted { name: pack.into(), span: None }]);
        let mut program = program.unwrap();
        let files = library.pack(pack).unwrap().files.clone();
        let mut all: Vec<Change> = changes(&program, pack, &files);
        let compared = |at: &usize| matches!(all[*at].limit, Some(Boundary::Compared(_)));
        let limits: Vec<usize> = (0..all.len()).filter(|at| compared(at) && all[*at].words.contains(" becomes ")).collect();
        for at in limits.into_iter().step_by(23) {
            let change = &mut all[at];
            let (old, new) =
                change.words.rsplit_once(": ").map_or(change.words.as_str(), |(_, words)| words).split_once(" becomes ").unwrap();
            // The comparison itself, or the literal alone, is what stands at the place of the change.
            let source = library.sources.get(change.span.file).unwrap();
            let written = source.slice(change.span.range());
            let (how_old, how_new) = (&old[..8.min(old.len())], &new[..8.min(new.len())]);
            let changed = if written.contains(how_old) && how_old != how_new {
                let at = written.rfind(how_old).unwrap();
                format!("{}{how_new}{}", &written[..at], &written[at + how_old.len()..])
            } else {
                let words = ["at most ", "at least ", "less than ", "more than ", "within ", "to "];
                words.iter().find_map(|word| new.strip_prefix(word)).unwrap_or(new).to_string()
            };
            texts.clear();
            let mut text = String::new();
            for file in &files {
                let this = library.sources.get(*file).unwrap();
                let range = change.span.range();
                if *file == change.span.file {
                    text.push_str(&this.text()[..range.start]);
                    text.push_str(&changed);
                    text.push_str(&this.text()[range.end..]);
                } else {
                    text.push_str(this.text());
                }
            }
            texts.push((pack.to_string(), text));
            let mut other = Library::new(vec![Shelf::Memory(texts.clone()), Shelf::Embedded]);
            let (other, slips) = compile(&mut other, &[Wanted { name: pack.into(), span: None }]);
            // Some steps make a pack with a slip, such as a limit that no gate can meet; then there is nothing to compare.
            let Some(other) = other else {
                assert!(!slips.is_empty());
                continue;
            };
            change.item.swap(&mut program);
            assert_eq!(meaning(&program), meaning(&other), "{}: {}", change.place, change.words);
            change.item.swap(&mut program);
        }
    }
}
