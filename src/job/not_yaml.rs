//! Says in plain words why a text is not YAML, and what to do: the reader of it fills in a form and never learnt YAML. It must not know
//! what a job is made of.

use crate::source::Source;
use granit_parser::{ErrorKind, ScanError};

/// Longest key on one line.
const LONGEST_KEY: usize = 1_024;

/// Lines above that are looked through for a bracket or a quote that was never closed.
const LINES_BACK: usize = 40;

/// What is wrong at byte `at`, and what to do.
pub fn in_words(source: &Source, error: &ScanError, at: usize) -> (String, String) {
    let place = source.place(at);
    let written = source.line(place.line);
    let before: String = written.chars().take(place.column - 1).collect();
    let (what, hint) = match error.kind() {
        _ if written.trim_start_matches(' ').starts_with('\t') || error.info().contains("tab") => {
            ("a tab among the blanks".into(), "indent with blanks, not tabs".into())
        }
        _ if written.starts_with('%') => (error.kind().to_string(), "take the directive out; a job file is plain YAML".into()),
        ErrorKind::MappingValueNotAllowed if before.contains(": ") => {
            ("a second colon in a value".into(), "put the whole value in quotes, as in title: \"Main entrance: north side\"".into())
        }
        ErrorKind::MappingValueNotAllowed => (
            "a key that stands deeper than its neighbours".into(),
            "the line above has its value already: begin this key in the same column as the keys that it belongs to".into(),
        ),
        ErrorKind::SimpleKeyExpected | ErrorKind::InvalidSimpleKey if written.chars().count() > LONGEST_KEY => {
            ("a key that is too long".into(), "a key on one line has at most 1,024 characters".into())
        }
        ErrorKind::SimpleKeyExpected | ErrorKind::InvalidSimpleKey => (
            "a line without a colon where a key is wanted".into(),
            "write the key, a colon, a blank and the value, as in kind: swing".into(),
        ),
        ErrorKind::ExpectedBlockMappingKey | ErrorKind::ExpectedBlockSequenceEntry => (
            "a line in a column where nothing above it begins".into(),
            "begin it in the same column as the keys, or the dashes, of the block that it belongs to".into(),
        ),
        ErrorKind::InvalidTrailingDoubleQuotedScalar | ErrorKind::InvalidTrailingSingleQuotedScalar => (
            "something stands behind the closing quote".into(),
            "leave the quotes out of a measure, as in 16 ft 4 in; write a quote within a quoted text twice or use the other kind around it"
                .into(),
        ),
        ErrorKind::UnexpectedCharacter { character } if !character.is_control() => {
            (format!("a value cannot begin with `{character}`"), format!("put the value in quotes, as in \"{character} …\""))
        }
        ErrorKind::UnexpectedCharacter { character } => {
            (format!("the control mark U+{:04X}", u32::from(*character)), "take it out: it is no letter".into())
        }
        ErrorKind::ExpectedFlowSequenceSeparator | ErrorKind::ExpectedFlowMappingSeparator => (
            "a comma or the closing bracket is missing".into(),
            "write commas between what stands in brackets, and close what was opened".into(),
        ),
        ErrorKind::UnclosedQuotedScalar | ErrorKind::InvalidQuotedScalarIndent => match open_quote(source, place.line) {
            Some(line) => (format!("the quote that opens on line {line} is not closed"), "close it at the end of its value".into()),
            None => ("a quote that is not closed".into(), "close it at the end of its value".into()),
        },
        kind if error.info().contains("nest") || error.info().contains("limit") => {
            (kind.to_string(), "a job file is not nested so deep, and its keys are short".into())
        }
        kind => match open_bracket(source, place.line) {
            Some((line, bracket)) => {
                let close = if bracket == '[' { ']' } else { '}' };
                (format!("the bracket `{bracket}` that opens on line {line} is not closed"), format!("close it with `{close}`"))
            }
            None => (kind.to_string(), "look at the indentation, quotes and brackets on this line and the one above".into()),
        },
    };
    (format!("this is not YAML: {what}"), hint)
}

/// The line above `line`, its number counted from 1, whose bracket is open still, and the bracket.
fn open_bracket(source: &Source, line: usize) -> Option<(usize, char)> {
    (1..=line).rev().take(LINES_BACK).find_map(|number| {
        let mut open = Vec::new();
        let mut quote = None;
        let mut last = ' ';
        for c in source.line(number).chars() {
            match (quote, c) {
                (None, '#') if last == ' ' => break,
                // Behind a digit a quote is a mark of feet or inches.
                (None, '"' | '\'') if matches!(last, ' ' | '[' | '{' | ',') => quote = Some(c),
                (Some(mark), c) if mark == c => quote = None,
                (None, '[' | '{') => open.push(c),
                (None, ']' | '}') => _ = open.pop(),
                _ => {}
            }
            last = c;
        }
        open.first().map(|bracket| (number, *bracket))
    })
}

/// The line, at or above `line`, whose value begins with a quote that it does not close.
fn open_quote(source: &Source, line: usize) -> Option<usize> {
    (1..=line).rev().take(LINES_BACK).find(|number| {
        let value = source.line(*number).split_once(": ").map_or("", |(_, value)| value.trim());
        ['"', '\''].iter().any(|quote| value.starts_with(*quote) && value.matches(*quote).count() == 1)
    })
}
