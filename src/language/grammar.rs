//! The parser that pest makes from grammar/rules.pest, and the nesting count that goes before it. It must not know what
//! the parsed text means.

use crate::slip::Slip;
use crate::source::{FileId, Span};
use pest::Parser;
use pest::iterators::Pair;

pub use made::{Grammar, Rule};

/// What pest makes; its rules carry the grammar's own names, so there is nothing to add to them.
#[allow(missing_docs)]
mod made {
    /// The parser that is made from `grammar/rules.pest`.
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/rules.pest"]
    pub struct Grammar;
}

/// Deepest nesting of brackets in an item.
pub const DEEPEST_BRACKETS: usize = 48;
/// Most words in one item that open something without a bracket: `not`, `if`, `has`, `any of`, `all of`.
pub const MOST_OPENERS: usize = 160;
/// Largest rule file, in bytes.
pub const LARGEST_FILE: usize = 4 * 1024 * 1024;

/// Slips after which nothing of a file is read.
pub const UNREAD: [&str; 3] = ["too-deep", "too-large", "not-rules"];

/// Parses `text` from `rule`. The nesting is counted first, so that neither the parser nor any later walk of its result
/// can run out of stack.
pub fn parse(rule: Rule, text: &str, file: FileId) -> Result<Pair<'_, Rule>, Slip> {
    if text.len() > LARGEST_FILE {
        return Err(Slip::of_file("too-large", format!("a rule file of {} bytes; at most {LARGEST_FILE} are read", text.len()))
            .hint("split the pack into several files"));
    }
    check_nesting(text, file)?;
    match Grammar::parse(rule, text) {
        Ok(mut pairs) => pairs.next().ok_or_else(|| Slip::of_file("not-rules", "nothing to read")),
        Err(error) => Err(from_pest(&error, file)),
    }
}

fn from_pest(error: &pest::error::Error<Rule>, file: FileId) -> Slip {
    let (start, end) = match error.location {
        pest::error::InputLocation::Pos(at) => (at, at + 1),
        pest::error::InputLocation::Span((start, end)) => (start, end),
    };
    Slip::at(Span::new(file, start, end), "not-rules", "this cannot be read as rules").label("reading stopped here")
}

/// Counts brackets and opening words, item by item; texts and comments do not count.
fn check_nesting(text: &str, file: FileId) -> Result<(), Slip> {
    let bytes = text.as_bytes();
    let (mut depth, mut openers, mut at) = (0usize, 0usize, 0usize);
    let mut line_start = true;
    while at < bytes.len() {
        let byte = bytes[at];
        if line_start && !matches!(byte, b' ' | b'\n' | b'\r' | b'#') {
            (depth, openers) = (0, 0);
        }
        line_start = matches!(byte, b'\n' | b'\r');
        match byte {
            b'"' => at = skip_to(bytes, at + 1, |b| matches!(b, b'"' | b'\n' | b'\r')),
            b'#' => {
                at = skip_to(bytes, at, |b| matches!(b, b'\n' | b'\r'));
                continue;
            }
            b'(' => depth += 1,
            b')' => depth = depth.saturating_sub(1),
            _ if byte.is_ascii_lowercase() => {
                let end = skip_to(bytes, at, |b| !(b.is_ascii_alphanumeric() || b == b'-'));
                // `any` and `all` open something only before `of`; elsewhere they are words of a table.
                let list = matches!(&bytes[at..end], b"any" | b"all") && bytes[end..].trim_ascii_start().starts_with(b"of");
                let opens = match &bytes[at..end] {
                    b"not" => !is_verdict(&bytes[end..]),
                    b"if" | b"has" | b"for" => true,
                    _ => list,
                };
                openers += usize::from(opens);
                at = end - 1;
            }
            _ => {}
        }
        if depth > DEEPEST_BRACKETS || openers > MOST_OPENERS {
            let what = if depth > DEEPEST_BRACKETS {
                format!("more than {DEEPEST_BRACKETS} brackets open at once")
            } else {
                format!("more than {MOST_OPENERS} nested conditions in one item")
            };
            return Err(Slip::at(Span::new(file, at, at + 1), "too-deep", what)
                .label("here")
                .hint("name parts with `let`, or split the section"));
        }
        at += 1;
    }
    Ok(())
}

/// Whether what follows `not` makes it a verdict, as trials have them: a name comes next, so nothing nests.
fn is_verdict(after: &[u8]) -> bool {
    let word = after.trim_ascii_start();
    let end = skip_to(word, 0, |b| !(b.is_ascii_alphanumeric() || b == b'-'));
    matches!(&word[..end], b"met" | b"applicable")
}

fn skip_to(bytes: &[u8], from: usize, stop: impl Fn(u8) -> bool) -> usize {
    bytes[from.min(bytes.len())..].iter().position(|byte| stop(*byte)).map_or(bytes.len(), |offset| from + offset)
}

/// Where the grammar stops reading `text` as `rule`: the byte, or the end when all of it fits.
pub fn reach(rule: Rule, text: &str) -> usize {
    match Grammar::parse(rule, text) {
        Ok(_) => text.len(),
        Err(error) => match error.location {
            pest::error::InputLocation::Pos(at) => at,
            pest::error::InputLocation::Span((start, _)) => start,
        },
    }
}
