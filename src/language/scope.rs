//! The words in reach at a place of a pack: bound things, rows, words, parameters and named values. It must not know how
//! expressions are checked.

use crate::datum::{DefId, Kind, ListId};
use crate::source::Span;

/// What a word in scope stands for.
#[derive(Clone, Debug)]
pub enum Bound {
    /// A record of a kind, at a slot.
    Record(usize, DefId),
    /// A row of a table, at a slot.
    Row(usize, usize),
    /// A word of a list, at a slot.
    Word(usize, ListId),
    /// A parameter of a formula that is no record.
    Parameter(usize, Kind),
    /// A named value, by its position.
    Let(usize, Kind),
}

/// A word in scope.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The word.
    pub name: String,
    /// What it stands for.
    pub bound: Bound,
    /// Where it was bound.
    pub span: Span,
    /// Whether anything named it.
    pub used: bool,
}

/// The words in scope, inner ones last.
#[derive(Clone, Debug, Default)]
pub struct Scope {
    /// The words.
    pub entries: Vec<Entry>,
    /// Slots handed out so far.
    pub slots: usize,
    /// Walks around the place at hand.
    pub depth: usize,
    /// Deepest nesting of walks met, those of formulas and named values included.
    pub deepest: usize,
    /// Parts met, those of called formulas included.
    pub cost: usize,
}

impl Scope {
    /// A slot for one more bound thing.
    pub fn new_slot(&mut self) -> usize {
        self.slots += 1;
        self.slots - 1
    }

    /// The entry of a word; it counts as used.
    pub fn find(&mut self, name: &str) -> Option<Entry> {
        let entry = self.entries.iter_mut().rev().find(|entry| entry.name == name)?;
        entry.used = true;
        Some(entry.clone())
    }

    /// Whether a word is bound already, and where.
    pub fn bound_at(&self, name: &str) -> Option<Span> {
        self.entries.iter().find(|entry| entry.name == name).map(|entry| entry.span)
    }

    /// Binds a word.
    pub fn bind(&mut self, name: &str, bound: Bound, span: Span) {
        self.entries.push(Entry { name: name.to_string(), bound, span, used: false });
    }

    /// Notes that walks are nested so deep here.
    pub fn note_depth(&mut self, more: usize) {
        self.deepest = self.deepest.max(self.depth + more);
    }
}
