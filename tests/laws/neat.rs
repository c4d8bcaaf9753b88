//! The layout of rule files: it says the same as before, done twice it changes nothing, and it keeps every comment.

use super::same::{Made, with_notes};
use super::{Choices, compiled, config, files_below, sentences};
use pintle::language::program::Program;
use pintle::neaten::{Refused, WIDTH, neaten};
use pintle::source::Source;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn neat(text: &str) -> String {
    match neaten(&Source::new("made.rules", text)) {
        Ok(neat) => neat,
        Err(Refused::Slips(slips)) => panic!("{slips:?}\n{text}"),
        Err(Refused::Changed) => panic!("the layout would say something else than\n{text}"),
    }
}

/// Everything that judging knows, without the places in files.
fn meaning(program: &Program) -> String {
    let parts = (&program.codes, &program.definitions, &program.sources, &program.tables, &program.formulas, &program.sections);
    let lists: Vec<_> = program.lists.all().map(|(list, words)| (words, program.lists.texts(list).collect::<Vec<_>>())).collect();
    let all = format!("{parts:?} {lists:?}");
    let mut pieces = all.split("Span {");
    let first = pieces.next().unwrap_or_default().to_string();
    pieces.fold(first, |text, piece| text + piece.split_once('}').map_or("", |(_, rest)| rest))
}

fn notes(text: &str) -> Vec<String> {
    let note = |line: &str| {
        let at = line.char_indices().find(|(at, c)| *c == '#' && line[..*at].matches('"').count().is_multiple_of(2))?;
        Some(line[at.0..].trim_end().to_string())
    };
    text.lines().filter_map(note).collect()
}

/// The same pack with other blanks and with lines broken elsewhere.
fn scrambled(text: &str, choices: &mut Choices) -> String {
    let mut result = String::new();
    for line in text.lines() {
        // A row or a fact stays on its line, and so does whatever follows a comment.
        let fixed = line.contains('|') || line.contains('#') || !line.starts_with("  ");
        // The blanks within a cell belong to it.
        let row = line.contains('|') && !line.contains('"');
        if row {
            result.push_str(&line.replace(" | ", [" |", "|  ", "   | "][choices.of(3)]));
        }
        for (at, part) in line.split('"').enumerate().filter(|_| !row) {
            if at > 0 {
                result.push('"');
            }
            if at % 2 == 1 || line.contains('|') {
                result.push_str(part);
                continue;
            }
            for (number, word) in part.split(' ').enumerate() {
                if number > 0 {
                    let turn =
                        !fixed && matches!(word, "and" | "or" | "then" | "where" | "has" | "unless" | "at" | "+") && choices.chance(5);
                    result.push_str(if turn { "\n      " } else { " " });
                    result.push_str(["", "", "", " ", "   "][choices.of(5)]);
                }
                result.push_str(word);
            }
        }
        result.push('\n');
        if choices.chance(2) {
            result.push_str(["\n", "\n\n\n"][choices.of(2)]);
        }
    }
    result
}

fn law(text: &str, other: &str, name: &str) -> Result<(), TestCaseError> {
    let once = neat(other);
    prop_assert_eq!(&neat(&once), &once, "done twice");
    prop_assert_eq!(notes(&once), notes(other), "comments");
    let (before, after) = (compiled(&[(name, text)], name), compiled(&[(name, &once)], name));
    let program = |compiled: &pintle::command::workbench::Compiled| compiled.program.as_deref().map(meaning);
    prop_assert!(program(&before).is_some(), "{}", sentences(&before));
    let (one, two) = (program(&before).unwrap_or_default(), program(&after).unwrap_or_default());
    let differs = one.bytes().zip(two.bytes()).position(|(one, two)| one != two).unwrap_or(one.len().min(two.len()));
    let here = |text: &str| text.chars().skip(differs.saturating_sub(80)).take(200).collect::<String>();
    prop_assert!(one == two, "{} is not {}\n{}\n{}", here(&one), here(&two), once, sentences(&after));
    Ok(())
}

proptest! {
    #![proptest_config(config(48))]

    #[test]
    fn a_made_up_pack_says_the_same(seed in 0u64..1_000_000, bytes in proptest::collection::vec(any::<u8>(), 1..200)) {
        let made = Made::new(seed);
        let mut choices = Choices::new(&bytes);
        let noted = with_notes(&made.pack, &mut choices);
        law(&made.pack, &noted, "made")?;
        law(&made.pack, &scrambled(&made.pack, &mut choices), "made")?;
    }
}

#[test]
fn shipped_packs_are_laid_out_and_say_the_same() {
    for (path, text) in files_below("rules", "rules").into_iter().chain(files_below("examples/rules", "rules")) {
        assert_eq!(neat(&text), text, "{}: run `pintle neaten rules examples/rules`", path.display());
        let long = text.lines().find(|line| line.chars().count() > WIDTH && !line.contains('|'));
        assert_eq!(long, None, "{}: longer than {WIDTH}", path.display());
    }
}

#[test]
fn shipped_packs_come_back_from_any_blanks() {
    let bytes: Vec<u8> = (0u8..=250).map(|at| at.wrapping_mul(37)).collect();
    // Each pack as one text, and the same from files with other blanks, laid out again.
    let mut packs: BTreeMap<String, (String, String)> = BTreeMap::new();
    for (path, text) in files_below("rules", "rules").into_iter().chain(files_below("examples/rules", "rules")) {
        // Trials are no part of a pack.
        if path.components().any(|part| part.as_os_str().to_string_lossy().ends_with("trials")) {
            continue;
        }
        let folder = path.parent().and_then(|folder| folder.file_name()).unwrap().to_str().unwrap();
        let name = if folder == "rules" { path.file_stem().unwrap().to_str().unwrap() } else { folder };
        let other = scrambled(&text, &mut Choices::new(&bytes));
        let once = neat(&other);
        assert_eq!(neat(&once), once, "{}: done twice", path.display());
        assert_eq!(notes(&once), notes(&other), "{}: comments", path.display());
        let (before, after) = packs.entry(name.to_string()).or_default();
        before.push_str(&text);
        after.push_str(&once);
    }
    for (name, (before, after)) in &packs {
        let program = |text: &str| {
            let compiled = compiled(&[(name.as_str(), text)], name);
            compiled.program.as_deref().map(meaning).unwrap_or_else(|| panic!("{name}: {}", sentences(&compiled)))
        };
        assert!(program(before) == program(after), "{name} means something else");
    }
}

#[test]
fn line_ends_and_byte_order_marks() {
    let text = "pack p \"P\"\r\n  language 1\r\n  edition \"1\" # first\r\n\r\n\r\n# last\r\n";
    assert_eq!(neat(text), "pack p \"P\"\r\n  language   1\r\n  edition    \"1\"  # first\r\n\r\n# last\r\n");
    assert_eq!(neat("\u{feff}pack p \"P\"\n  language 1"), "pack p \"P\"\n  language   1\n");
    assert_eq!(neat(""), "");
}

proptest! {
    #![proptest_config(config(64))]

    #[test]
    fn a_broken_file_is_left_or_laid_out_for_good(number in 0usize..1000, bytes in proptest::collection::vec(any::<u8>(), 4..64)) {
        let all = files_below("rules", "rules");
        let text = &all[number % all.len()].1;
        let lines: Vec<&str> = text.lines().collect();
        let mut choices = Choices::new(&bytes);
        // Some lines of the file, so that a slip elsewhere does not hide what happens here, and a few odd signs among them.
        let from = choices.of(256) * 7 % lines.len();
        let mut part: Vec<char> = lines[from..lines.len().min(from + 24)].join("\n").chars().collect();
        for _ in 0..choices.of(6) {
            let at = (choices.of(256) * 256 + choices.of(256)) % part.len().max(1);
            let odd = [' ', '\n', '#', '"', '(', ')', ',', '|', '=', '\t', '\r', '-', '\u{e9}', '\u{200b}', '0', 'a'];
            match choices.of(3) {
                0 => part.insert(at.min(part.len()), odd[choices.of(odd.len())]),
                1 if at < part.len() => drop(part.remove(at)),
                _ => part.insert(at.min(part.len()), '\n'),
            }
        }
        let part: String = part.into_iter().collect();
        match neaten(&Source::new("part.rules", part.clone())) {
            Ok(once) => prop_assert_eq!(neat(&once), once),
            Err(Refused::Slips(slips)) => prop_assert!(!slips.is_empty()),
            Err(Refused::Changed) => prop_assert!(false, "the layout would say something else than\n{}", part),
        }
    }
}
