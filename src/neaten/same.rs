//! Whether two texts of a rule file say the same: the same parts in the same order, with the same comments. It must not know
//! how the layout is made.

use super::tokens::notes_between;
use crate::language::grammar::{Rule, parse};
use crate::source::FileId;
use pest::iterators::Pair;

/// Whether both texts parse to the same parts, with adjacent texts joined, and hold the same comments.
pub fn says_the_same(one: &str, other: &str) -> bool {
    let (Some(one), Some(other)) = (Parts::of(one), Parts::of(other)) else { return false };
    one.parts == other.parts && one.notes == other.notes
}

/// The parts of a file, each with what it says where it has no parts of its own, and its comments.
#[derive(Default)]
struct Parts {
    parts: Vec<(Rule, String)>,
    notes: Vec<String>,
}

impl Parts {
    fn of(text: &str) -> Option<Parts> {
        let mut all = Parts::default();
        all.take(text, parse(Rule::file, text, FileId(0)).ok()?);
        Some(all)
    }

    fn take(&mut self, text: &str, pair: Pair<Rule>) {
        let (rule, span) = (pair.as_rule(), pair.as_span());
        let at = self.parts.len();
        self.parts.push((rule, String::new()));
        let (mut end, mut leaf, mut joined) = (span.start(), true, String::new());
        for child in pair.into_inner() {
            leaf = false;
            let inner = child.as_span();
            self.gap(text, end, inner.start());
            end = inner.end();
            if inner.as_str().is_empty() {
                // The end of the file, which a last comment without a line feed holds as well.
            } else if rule == Rule::texts {
                joined.push_str(inner.as_str().trim_matches('"'));
            } else {
                self.take(text, child);
            }
        }
        let quoted = rule == Rule::text || rule == Rule::plain;
        if leaf && quoted {
            joined = span.as_str().to_string();
        } else if leaf {
            joined = words(span.as_str());
            self.notes.extend(notes_between(text, end, span.end()).0.into_iter().map(|note| note.text));
        } else {
            self.gap(text, end, span.end());
        }
        self.parts[at].1 = joined;
    }

    /// The words between two parts count as well, and so do the comments there.
    fn gap(&mut self, text: &str, from: usize, to: usize) {
        self.notes.extend(notes_between(text, from, to).0.into_iter().map(|note| note.text));
        let between = words(text.get(from..to).unwrap_or(""));
        if !between.is_empty() {
            self.parts.push((Rule::rest, between));
        }
    }
}

/// What is written without blanks and comments; texts do not stand here.
fn words(text: &str) -> String {
    let mut words = String::new();
    for line in text.lines() {
        let line = line.split('#').next().unwrap_or(line);
        for word in line.split_whitespace() {
            words.push_str(word);
            words.push(' ');
        }
    }
    // Blanks beside brackets and commas say nothing.
    words.trim_end().replace(" (", "(").replace("( ", "(").replace(" )", ")").replace(" ,", ",")
}
