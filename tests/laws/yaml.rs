//! The reader of job files against another YAML reader (serde_yaml, on libyaml): one structure, one text for every scalar.
//!
//! What may differ, by design: this program keeps the text of a scalar where the other makes a number, a yes or no, or nothing
//! of it (compared by what the text says); it refuses tags, directives, merge keys, a second document and odd keys, and nests
//! less deep. Where either refuses a file, nothing is compared. The other reader follows YAML 1.1, in which three letters that are
//! text in YAML 1.2 (§5.4) end a line: files with them are left out. So are files that are no mapping, and the two read the end of
//! a file in a block text otherwise where its line is not ended.

use super::broken::{YAML_TOKENS, broken};
use super::tree::{Style, Tree, fits_plain, write};
use super::{Choices, config, files_below};
use proptest::prelude::*;
use serde_yaml::Value;
use std::fmt::Write as _;
use std::sync::LazyLock;

/// Where two readings first differ.
pub fn unlike(tree: &Tree, value: &Value, at: &str) -> Option<String> {
    match (tree, value) {
        (Tree::Map(entries), Value::Mapping(other)) if entries.len() == other.len() => {
            entries.iter().zip(other).find_map(|((key, value), (other_key, other_value))| {
                let here = format!("{at}.{key}");
                unlike(&Tree::Scalar(key.clone(), true), other_key, &here).or_else(|| unlike(value, other_value, &here))
            })
        }
        (Tree::List(items), Value::Sequence(other)) if items.len() == other.len() => {
            items.iter().zip(other).enumerate().find_map(|(number, (item, other))| unlike(item, other, &format!("{at}[{number}]")))
        }
        (Tree::Scalar(text, _), Value::String(other)) if text == other => None,
        (Tree::Scalar(text, true), other) if says(text, other) => None,
        _ => Some(format!("{at}: {tree:.200?} and {value:.200?}")),
    }
}

/// Whether a text without quotes says what the other reader made of it.
fn says(text: &str, value: &Value) -> bool {
    match value {
        Value::Null => matches!(text, "" | "~" | "null" | "Null" | "NULL"),
        Value::Bool(yes) => text.eq_ignore_ascii_case(if *yes { "true" } else { "false" }),
        Value::Number(number) => {
            let (sign, size) = text.strip_prefix('-').map_or((1, text.trim_start_matches('+')), |size| (-1, size));
            let whole = |radix, prefix| {
                size.strip_prefix(prefix).and_then(|digits| i128::from_str_radix(digits, radix).ok()).map(|size| sign * size)
            };
            let based = whole(16, "0x").or(whole(8, "0o")).or(whole(2, "0b"));
            let here = number.as_i64().map(i128::from).or(number.as_u64().map(i128::from));
            match (based, here) {
                (Some(based), Some(here)) => based == here,
                _ if number.is_nan() => text.eq_ignore_ascii_case(".nan"),
                _ if number.is_infinite() => size.eq_ignore_ascii_case(".inf"),
                _ => text.parse().ok() == here && here.is_some() || text.parse().ok() == number.as_f64(),
            }
        }
        _ => false,
    }
}

/// Compares both readings of a text; whether both took it.
fn agree(text: &str) -> Result<bool, TestCaseError> {
    if text.contains(['\u{85}', '\u{2028}', '\u{2029}']) {
        return Ok(false);
    }
    let text = &if text.ends_with(['\n', '\r']) { text.to_string() } else { format!("{text}\n") };
    let (Ok(tree @ Tree::Map(_)), Ok(value)) = (Tree::read(text), serde_yaml::from_str::<Value>(text)) else { return Ok(false) };
    let difference = unlike(&tree, &value, "");
    prop_assert!(difference.is_none(), "{}\n{text}", difference.unwrap_or_default());
    Ok(true)
}

#[test]
fn example_jobs_read_alike() {
    let mut count = 0;
    for (path, text) in files_below("examples/jobs", "yaml").into_iter().chain(files_below("tests/cases/jobs", "yaml")) {
        let taken = agree(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        // Cases are odd on purpose: the other reader keeps to another YAML, and refuses some of them. The examples it must read.
        let odd = path.components().any(|part| part.as_os_str() == "cases");
        assert!(taken || odd, "{}: only this program reads it", path.display());
        count += usize::from(taken);
    }
    assert!(count > 10, "only {count} files were compared");
}

/// Texts of job files, and what is hard to tell from other things in YAML.
const TEXTS: &[&str] = &[
    "24 in",
    "2 ft to 40 ft",
    "none",
    "yes",
    "no",
    "true",
    "Null",
    "~",
    "",
    "010",
    "0x1F",
    "1e3",
    ".5",
    "12:30",
    "2026-03-02",
    "-101.2 deg",
    "5'-6 1/2\"",
    "a: b",
    "a #b",
    "a:b",
    "a#b",
    "# a",
    "- a",
    "-a",
    "? a",
    "?a",
    "[a]",
    "{a}",
    "a, b",
    "&a",
    "*a",
    "!a",
    "|",
    ">",
    "%a",
    "@a",
    "`a",
    "'a'",
    "\"a\"",
    "a\\b",
    " a",
    "a ",
    "a\nb",
    "a\n\nb\n",
    "\na",
    "a\n",
    "a\n ",
    "  a\nb",
    "é",
    "e\u{301}",
    "汉字",
    "😀",
    "\u{a0}",
    "a\tb",
    "\t",
    "\u{1}",
    "\u{7f}",
    "null",
    "<<",
    "=",
    "---",
    "...",
    "--- a",
    "a: ",
    ": a",
    ":",
    "-",
    "a word and another word and one more",
    "1_000",
    "+12",
    "0.1",
    "660.40",
    "9007199254740993",
    "18446744073709551616",
    "\u{feff}a",
];

fn text() -> impl Strategy<Value = String> {
    let letter = prop_oneof![6 => prop::char::range(' ', '~'), 1 => prop::sample::select(vec!['\n', '\t', 'é', '😀', '\u{2028}', '\u{85}', '\u{feff}'])];
    prop_oneof![4 => prop::sample::select(TEXTS).prop_map(str::to_string), 1 => prop::collection::vec(letter, 0..12).prop_map(|letters| letters.into_iter().collect::<String>())]
}

fn tree() -> impl Strategy<Value = Tree> {
    let scalar = text().prop_map(|text| {
        let plain = fits_plain(&text, true) || matches!(text.as_str(), "none" | "~" | "");
        Tree::Scalar(text, plain)
    });
    let inner = |of: BoxedStrategy<Tree>| {
        let map = prop::collection::vec((text(), of.clone()), 0..5).prop_map(|mut entries| {
            let mut seen = Vec::new();
            // A key that is a merge key or comes twice is refused, one of other kinds is not a text for the other reader.
            entries.retain(|(key, _)| {
                key != "<<" && !key.is_empty() && !seen.contains(key) && {
                    seen.push(key.clone());
                    true
                }
            });
            Tree::Map(entries)
        });
        prop_oneof![map, prop::collection::vec(of, 0..5).prop_map(Tree::List)]
    };
    scalar.boxed().prop_recursive(4, 40, 5, inner)
}

/// A mapping of one scalar, in one of the styles that run over several lines.
fn over_lines(key: &str, text: &str, choices: &mut Choices) -> String {
    let mut out = String::new();
    let chomp = ["", "-", "+"][choices.of(3)];
    match choices.of(4) {
        // Literal and folded: the lines of the text, indented, with an indicator where the first one starts with a blank.
        style @ (0 | 1) => {
            let indent = 1 + choices.of(5);
            let digit = if text.starts_with([' ', '\n']) || choices.chance(4) { indent.to_string() } else { String::new() };
            let _ = writeln!(
                out,
                "{key}: {}{digit}{chomp}{}",
                if style == 0 { "|" } else { ">" },
                if choices.chance(3) { " # a note" } else { "" }
            );
            for line in text.split('\n') {
                let _ = writeln!(out, "{}{line}", " ".repeat(if line.is_empty() { 0 } else { indent }));
            }
        }
        // Quoted and plain, broken where there are single blanks.
        style => {
            let quote = ["\"", ""][style - 2];
            let escaped = if quote.is_empty() {
                text.to_string()
            } else {
                text.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n").replace('\t', "\\t")
            };
            let mut words = escaped.split(' ').peekable();
            let _ = write!(out, "{key}: {quote}");
            while let Some(word) = words.next() {
                out += word;
                if words.peek().is_some() {
                    out += if choices.chance(6) { "\n   " } else { " " };
                }
            }
            let _ = writeln!(out, "{quote}");
        }
    }
    out
}

static EXAMPLE_TEXTS: LazyLock<Vec<String>> =
    LazyLock::new(|| files_below("examples/jobs", "yaml").into_iter().map(|(_, text)| text).collect());

fn any_choices() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(any::<u8>(), 8..64)
}

proptest! {
    #![proptest_config(config(256))]

    /// What was written is what is read, and the other reader reads it alike.
    #[test]
    fn what_is_written_is_read(tree in tree(), bytes in any_choices(), flow in any::<bool>(), aliases in any::<bool>(), comments in any::<bool>(), carriage in any::<bool>()) {
        let style = Style { flow, quotes: true, aliases, comments, carriage };
        let tree = Tree::Map(vec![("top".into(), tree)]);
        let text = write(&tree, style, &mut Choices::new(&bytes));
        let read = Tree::read(&text).map_err(|slips| TestCaseError::fail(format!("{}\n{text}", slips.join("\n"))))?;
        let plainly = |tree: &Tree| {
            let mut tree = tree.clone();
            tree.forget_quotes();
            tree
        };
        prop_assert_eq!(plainly(&read), plainly(&tree), "{}", text);
        agree(&text)?;
    }

    #[test]
    fn texts_over_several_lines_read_alike(texts in prop::collection::vec(text(), 1..4), bytes in any_choices(), carriage in any::<bool>()) {
        let mut choices = Choices::new(&bytes);
        let all: String = texts.iter().enumerate().map(|(number, text)| over_lines(&format!("k{number}"), text, &mut choices)).collect();
        agree(&if carriage { all.replace('\n', "\r\n") } else { all })?;
    }

    #[test]
    fn broken_example_jobs_read_alike(number in 0usize..1000, bytes in any_choices()) {
        agree(&broken(&EXAMPLE_TEXTS[number % EXAMPLE_TEXTS.len()], &bytes, YAML_TOKENS))?;
    }

    #[test]
    fn shuffled_words_read_alike(tokens in prop::collection::vec(prop::sample::select(YAML_TOKENS), 0..60)) {
        agree(&tokens.concat())?;
    }
}
