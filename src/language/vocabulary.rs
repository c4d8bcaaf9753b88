//! The checked vocabulary: kinds of record with their facts, and how facts follow from others. It owns plain data; it must not
//! know sections or jobs.

use super::program::Expr;
use crate::datum::{Datum, DefId, Kind};
use crate::source::Span;

/// A fact of a definition, by its position.
pub type FieldId = usize;
/// A child of a definition, by its position.
pub type ChildId = usize;

/// What a missing fact is taken as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TakenAs {
    /// There is none.
    Nothing,
    /// This value.
    Value(Datum),
}

/// A fact of a kind of record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its key.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// Whether it may be below nought.
    pub signed: bool,
    /// The kinds of record of which it names one by its id; none for any other fact.
    pub names: Vec<DefId>,
    /// Whether it is measured.
    pub measured: bool,
    /// Whether it gives the tolerance of measured values of its kind.
    pub gives_tolerance: bool,
    /// What it is taken as when it is not stated.
    pub taken: Option<TakenAs>,
    /// Whether it follows from other facts, too.
    pub follows: bool,
    /// Whether any section reads it, by itself or by what it rests on.
    pub read: bool,
    /// How to measure it.
    pub doc: String,
    /// Where it is defined.
    pub span: Span,
}

/// A calculation that gives a fact of a record from others.
#[derive(Clone, Debug)]
pub struct Derivation {
    /// The kind of record.
    pub def: DefId,
    /// The fact.
    pub field: FieldId,
    /// The calculation; the record is bound at the first slot.
    pub value: Expr,
    /// How many slots it needs.
    pub slots: usize,
}

/// A kind of record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Definition {
    /// Its name.
    pub name: String,
    /// What it is.
    pub doc: String,
    /// The kind of record that it is found in; none for the job.
    pub parent: Option<DefId>,
    /// The key under which it is found there.
    pub key: String,
    /// Whether there is one at the key, and not a list.
    pub single: bool,
    /// Its facts.
    pub fields: Vec<Field>,
    /// Kinds of record found in it.
    pub children: Vec<DefId>,
    /// Kinds of record that it gathers; a gathered kind has no records of its own.
    pub gathers: Vec<DefId>,
    /// Where it is defined.
    pub span: Span,
}

impl Definition {
    /// The fact of that key.
    pub fn field(&self, name: &str) -> Option<FieldId> {
        self.fields.iter().position(|field| field.name == name)
    }
}
