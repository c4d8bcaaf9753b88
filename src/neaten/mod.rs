//! One layout for rule files: only blanks, line feeds and the joints of long texts change, comments stay. It must not know
//! what any name means.
//!
//! A line that an author broke where it may be broken stays broken there, since such breaks group conditions; every other
//! blank is ours. What comes out is compared with what went in, so that a fault of ours cannot change a rule.

mod columns;
mod lay;
mod lines;
mod same;
mod tokens;

use crate::language::build::read_rules;
use crate::language::grammar::{Rule, parse};
use crate::slip::Slip;
use crate::source::{FileId, Source};
use lines::{Line, item_lines};
use pest::iterators::Pair;
use std::fmt::Write;
use tokens::{Note, notes_between};

/// Longest line that the layout makes, in characters; a line that cannot be broken may be longer.
pub const WIDTH: usize = 160;

/// Why a file was not laid out.
#[derive(Debug)]
pub enum Refused {
    /// It has slips; they are told, and the file is left alone.
    Slips(Vec<Slip>),
    /// The layout would have changed what the file says: a fault of this program.
    Changed,
}

/// The text of a rule file in the one layout.
///
/// # Errors
/// The file has slips, or a check found that the layout would not say the same.
pub fn neaten(source: &Source) -> Result<String, Refused> {
    let file = FileId(0);
    let slips = read_rules(source, file).slips;
    if !slips.is_empty() {
        return Err(Refused::Slips(slips));
    }
    let text = source.text().replace("\r\n", "\n").replace('\r', "\n");
    let neat = lay_out(&text).map_err(|slip| Refused::Slips(vec![slip]))?;
    if !same::says_the_same(&text, &neat) {
        return Err(Refused::Changed);
    }
    // A file keeps the kind of line ends that it begins with.
    let first_end = source.text().find(['\n', '\r']).map(|at| &source.text()[at..]);
    Ok(if first_end.is_some_and(|rest| rest.starts_with("\r\n")) { neat.replace('\n', "\r\n") } else { neat })
}

fn lay_out(text: &str) -> Result<String, Slip> {
    let mut page = Page::default();
    let mut end = 0;
    for pair in parse(Rule::file, text, FileId(0))?.into_inner().filter(|pair| pair.as_rule() != Rule::EOI) {
        let start = pair.as_span().start();
        page.between(text, end, start, Some(pair.as_rule()));
        end = pair.as_span().end();
        page.item(text, pair);
    }
    page.between(text, end, text.len(), None);
    Ok(page.text)
}

/// The page as it grows: items and the comments between them.
#[derive(Default)]
struct Page {
    text: String,
    /// The kind of the last item.
    last: Option<Rule>,
}

impl Page {
    /// What stands between two items: comments, and as many blank lines as fit there.
    fn between(&mut self, text: &str, from: usize, to: usize, next: Option<Rule>) {
        let (notes, feeds) = notes_between(text, from, to);
        let lists = |rule| matches!(rule, Some(Rule::source | Rule::values));
        // Short items of one kind may stand close; any others are held apart.
        let close = lists(self.last) && (next.is_none() || next == self.last);
        let mut apart = self.last.is_none() || close;
        for note in &notes {
            self.note(note, &mut apart);
        }
        if next.is_some() && !self.text.is_empty() {
            self.text.push_str(if feeds > 1 || !apart { "\n" } else { "" });
        }
    }

    fn note(&mut self, note: &Note, apart: &mut bool) {
        if note.feeds == 0 && !self.text.is_empty() {
            self.text.truncate(self.text.trim_end().len());
            let _ = writeln!(self.text, "  {}", note.text);
            return;
        }
        let own = note.indented && self.last.is_some();
        let blank = !self.text.is_empty() && (note.feeds > 1 || !own && !*apart);
        let _ = writeln!(self.text, "{}{}{}", if blank { "\n" } else { "" }, if own { "  " } else { "" }, note.text);
        *apart |= !own;
    }

    fn item(&mut self, text: &str, pair: Pair<Rule>) {
        self.last = Some(pair.as_rule());
        let lines = item_lines(text, pair);
        let rows = columns::row_widths(&lines);
        for line in &lines {
            if line.blank_before {
                self.text.push('\n');
            }
            match line {
                Line { row: Some(cells), .. } => columns::row(&mut self.text, cells, &rows),
                Line { field: Some(field), .. } => columns::field(&mut self.text, field),
                Line { tokens, indent, pad, .. } => lay::lay(&mut self.text, tokens, *indent, *pad),
            }
            if let Some(note) = &line.note {
                self.text.push_str("  ");
                self.text.push_str(note);
            }
            self.text.push('\n');
        }
    }
}
