//! Sets the words of a clause in lines: where the author broke them, and at the outermost place where a line is too long. It
//! must not know what the words mean.

use super::WIDTH;
use super::tokens::{Anchor, CONTENT, Token};
use std::fmt::Write;

/// A line that hangs on something further right than this starts at the left instead.
const FURTHEST: usize = 36;
/// The last line of a broken text is at least this long.
const STUB: usize = 24;
/// A text that is broken has at least this much room.
const ROOM: usize = 60;

/// Writes the words of a clause, which starts at `indent`. After `pad.0` words the column is at least `pad.1`.
pub fn lay(out: &mut String, tokens: &[Token], indent: usize, pad: (usize, usize)) {
    let mut setting = Setting { tokens, pad, columns: vec![indent; tokens.len()] };
    let mut from = 0;
    let mut start = indent;
    while from < tokens.len() {
        let mut to = (from + 1..tokens.len()).find(|at| setting.must_break(*at)).unwrap_or(tokens.len());
        if let Some(at) = setting.break_in(from, to, start) {
            to = at;
        }
        setting.place(from, to, start);
        if from > 0 {
            out.push('\n');
        }
        setting.write(out, from, to, start);
        from = to;
        start = setting.start_of(from);
    }
}

struct Setting<'a> {
    tokens: &'a [Token],
    pad: (usize, usize),
    /// The column of each token that has been placed.
    columns: Vec<usize>,
}

impl Setting<'_> {
    /// Whether a line starts with this token, however much room there is.
    fn must_break(&self, at: usize) -> bool {
        let (token, before) = (&self.tokens[at], &self.tokens[at - 1]);
        let turn = token.turn.is_some_and(|turn| turn.always || token.broken);
        turn || before.note || token.note && token.broken
    }

    /// The column of a line that starts with this token.
    fn start_of(&self, at: usize) -> usize {
        // A comment stands where the line after it starts.
        let Some(token) = self.tokens.get(at..).and_then(|rest| rest.iter().find(|token| !token.note)) else { return CONTENT };
        let column = match token.turn.map(|turn| turn.anchor) {
            Some(Anchor::Token(to, by)) => self.columns.get(to).map_or(CONTENT, |column| column.saturating_add_signed(by).max(2)),
            Some(Anchor::Column(column)) => column,
            None => CONTENT + 2,
        };
        if column > FURTHEST { CONTENT + 2 } else { column }
    }

    /// Where a line is broken that would be too long: at its outermost place, and there as far right as it fits.
    fn break_in(&mut self, from: usize, to: usize, start: usize) -> Option<usize> {
        self.place(from, to, start);
        let end = |setting: &Self, at: usize| setting.columns[at] + setting.width_at(at);
        if (from..to).all(|at| end(self, at) <= WIDTH) {
            return None;
        }
        let places: Vec<(usize, usize)> = (from + 1..to).filter_map(|at| self.tokens[at].turn.map(|turn| (turn.depth, at))).collect();
        let fits = places.iter().filter(|(_, at)| (from..*at).all(|before| end(self, before) <= WIDTH));
        let outermost = fits.min_by_key(|(depth, at)| (*depth, std::cmp::Reverse(*at)));
        outermost.or_else(|| places.first()).map(|(_, at)| *at)
    }

    /// Finds the columns of the tokens of one line.
    fn place(&mut self, from: usize, to: usize, start: usize) {
        let mut column = start;
        for at in from..to {
            if at > from {
                column += usize::from(!self.tokens[at].tight);
                column += usize::from(self.tokens[at].note);
            }
            if at == self.pad.0 && at > 0 {
                column = column.max(self.pad.1);
            }
            self.columns[at] = column;
            let parts = self.tokens[at].parts_at(column);
            column += parts.last().map_or(0, |part| part.chars().count());
        }
    }

    /// How wide a token is at its column; a text that has room can be broken, so it always fits.
    fn width_at(&self, at: usize) -> usize {
        let parts = self.tokens[at].parts_at(self.columns[at]);
        parts.iter().map(|part| part.chars().count()).max().unwrap_or(0)
    }

    fn write(&self, out: &mut String, from: usize, to: usize, start: usize) {
        let mut column = 0;
        for at in from..to {
            let own = if at == from { start } else { self.columns[at] };
            let _ = write!(out, "{:gap$}", "", gap = own.saturating_sub(column));
            let parts = self.tokens[at].parts_at(own);
            for (number, part) in parts.iter().enumerate() {
                let _ = if number > 0 { write!(out, "\n{:own$}{part}", "") } else { write!(out, "{part}") };
            }
            column = own + parts.last().map_or(0, |part| part.chars().count());
        }
    }
}

impl Token {
    /// What is written, as it stands at a column.
    fn parts_at(&self, column: usize) -> Vec<String> {
        if self.texts { joined_parts(&self.parts, column) } else { self.parts.clone() }
    }
}

/// Adjacent texts as they stand at a column: as the author broke them, or joined and broken anew where one is too long.
pub fn joined_parts(parts: &[String], column: usize) -> Vec<String> {
    let room = WIDTH.saturating_sub(column);
    if room < ROOM || parts.iter().all(|part| part.chars().count() <= room) {
        return parts.to_vec();
    }
    let whole: String = parts.iter().map(|part| part.trim_matches('"')).collect();
    let lines = broken(&whole, room);
    // A last line of one or two words reads badly; the lines before it have words to spare.
    let stub = lines.last().is_some_and(|last| last.chars().count() < STUB);
    if stub { broken(&whole, room - STUB) } else { lines }
}

/// A text in quoted lines of at most `room` characters. The blank stays with the words before it, so that the lines join to
/// what they were; a word that is too long stands as it is.
fn broken(text: &str, room: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut rest = text;
    while rest.chars().count() + 2 > room {
        let limit = rest.char_indices().nth(room - 2).map_or(rest.len(), |(at, _)| at);
        let blanks = || rest.match_indices(' ').map(|(at, _)| at + 1);
        let outside = |at: &usize| rest[..*at].matches('{').count() == rest[..*at].matches('}').count();
        let fits = |at: &usize| *at <= limit;
        let cut = blanks().filter(fits).rfind(outside).or_else(|| blanks().rfind(fits));
        let Some(cut) = cut.or_else(|| blanks().next()).filter(|cut| *cut < rest.len()) else { break };
        lines.push(format!("\"{}\"", &rest[..cut]));
        rest = &rest[cut..];
    }
    lines.push(format!("\"{rest}\""));
    lines
}
