//! The checked program: what judging runs. Every name is resolved and every dimension has been checked, so judging cannot
//! meet an unknown word. It owns plain data; it must not know jobs.

use super::tree::{Aggregate, Arithmetic, Comparison, Modal, Quantifier, Standing, Step};
use crate::datum::{Datum, DefId, Kind, ListId, Lists, WordId};
use crate::quantity::{Exact, Reading};
use crate::source::{Sources, Span};
use jiff::civil::Date;
use std::collections::HashMap;

pub use super::vocabulary::{ChildId, Definition, Derivation, Field, FieldId, TakenAs};

/// A source of values.
#[derive(Clone, Debug)]
pub struct SourceInfo {
    /// Its name.
    pub name: String,
    /// What it is.
    pub title: String,
    /// How its values are known.
    pub standing: Standing,
}

/// Where a clause comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Citation {
    /// The source, by its position in the program.
    pub source: usize,
    /// The place in it.
    pub clause: String,
    /// Whether nobody looked it up.
    pub from_memory: bool,
    /// Where the pack says so.
    pub span: Span,
}

/// A way from a bound thing to another: up to enclosing things, then down to single records.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThingPath {
    /// Where it starts; `None` is the job.
    pub slot: Option<usize>,
    /// Steps up.
    pub ups: usize,
    /// Steps down, by the children's positions.
    pub downs: Vec<ChildId>,
    /// The kind of record that it reaches.
    pub def: DefId,
}

/// A checked expression.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// What it does.
    pub op: Op,
    /// The kind of its value.
    pub kind: Kind,
    /// Where it stands in its pack.
    pub span: Span,
}

/// A walk over a collection.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// Where the list is found.
    pub base: ThingPath,
    /// The list, by the child's position, which may be a gathered kind.
    pub list: ChildId,
    /// The slot that holds each record.
    pub slot: usize,
    /// Which of them.
    pub filter: Option<Box<Expr>>,
    /// The bound word.
    pub bound: String,
}

/// What an expression does.
#[derive(Clone, Debug, PartialEq)]
pub enum Op {
    /// A value.
    Literal(Datum),
    /// A fact of a thing. The position is that in the reached definition; for a gathered kind, in its own list of facts.
    Fact(ThingPath, FieldId),
    /// Whether a fact is given.
    FactGiven(ThingPath, FieldId),
    /// Whether a single record is given.
    ThingGiven(ThingPath),
    /// Whether a cell is given.
    ColumnGiven(usize, usize),
    /// A thing itself.
    Thing(ThingPath),
    /// The day of judging.
    Today,
    /// The id of a thing.
    Id(ThingPath),
    /// A cell of the bound row: slot, column.
    Column(usize, usize),
    /// The bound word.
    WordSlot(usize),
    /// A parameter of a formula.
    Parameter(usize),
    /// A named value of the section.
    Let(usize),
    /// Conditions joined by `and` (true) or `or`.
    Junction(bool, Vec<Expr>),
    /// `not`.
    Not(Box<Expr>),
    /// A comparison by order.
    Compare(Comparison, Box<Expr>, Box<Expr>),
    /// `is`.
    Is(Box<Expr>, Box<Expr>),
    /// `is one of`.
    OneOf(Box<Expr>, Vec<Expr>),
    /// Between two ends, both included.
    Between(Box<Expr>, Box<Expr>, Box<Expr>),
    /// A measure within a range.
    InRange(Box<Expr>, Box<Expr>),
    /// A set of words or texts includes one.
    Includes(Box<Expr>, Box<Expr>),
    /// A thing complies with a section, by the section's id.
    Complies(ThingPath, String),
    /// Arithmetic.
    Arithmetic(Arithmetic, Box<Expr>, Box<Expr>),
    /// A whole power.
    Power(Box<Expr>, u32),
    /// `if … then … else …`.
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    /// `every / at least one / no`.
    Quantified(Quantifier, Walk, Box<Expr>),
    /// `count of`, `sum of` and so on.
    Aggregate(Aggregate, Option<Box<Expr>>, Walk),
    /// A look-up: table, column, keys.
    LookUp(usize, usize, Vec<Expr>),
    /// A formula: position, arguments.
    Formula(usize, Vec<Expr>),
    /// A built-in calculation: position, arguments.
    BuiltIn(usize, Vec<Expr>),
}

/// A key cell of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeyCell {
    /// Every value.
    Any,
    /// The value `none`.
    Nothing,
    /// One value.
    Value(Datum),
    /// A range; each end is a number and whether it is included.
    Range(Option<(Exact, bool)>, Option<(Exact, bool)>),
}

/// A column of a table.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its heading.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// How a value between rows is looked up; `None` for a value column.
    pub key: Option<Step>,
}

/// A row of a table.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its cells, by column; a value cell is a `Value` or `Nothing`.
    pub cells: Vec<KeyCell>,
    /// Where it stands.
    pub span: Span,
    /// The text of its `cite` cell.
    pub cite: Option<String>,
}

/// A table.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its name.
    pub name: String,
    /// What it tells.
    pub doc: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// The columns that are keys, in the order of `by`.
    pub keys: Vec<usize>,
    /// Where its values come from.
    pub cites: Vec<Citation>,
    /// Where it stands.
    pub span: Span,
}

/// A named calculation.
#[derive(Clone, Debug)]
pub struct Formula {
    /// Its name.
    pub name: String,
    /// Names and kinds of its parameters.
    pub parameters: Vec<(String, Kind)>,
    /// The calculation.
    pub body: Expr,
    /// What it tells.
    pub doc: String,
    /// Where it comes from.
    pub cite: Option<Citation>,
    /// How many slots its frame needs.
    pub slots: usize,
}

/// What a part of `applies to` walks.
#[derive(Clone, Debug, PartialEq)]
pub enum Over {
    /// Records, within the thing bound at a slot where one encloses them.
    Things(DefId, Option<usize>),
    /// Two records beside one another; the other's slot is the next.
    Pairs(DefId, Option<usize>),
    /// Rows of a table.
    Rows(usize),
    /// Words of a list.
    Words(ListId),
}

/// One part of `applies to`.
#[derive(Clone, Debug, PartialEq)]
pub struct Binder {
    /// What is walked.
    pub over: Over,
    /// The slot of what is bound.
    pub slot: usize,
    /// The bound word.
    pub name: String,
    /// The other bound word of a pair.
    pub other: Option<String>,
    /// Which of them.
    pub filter: Option<Expr>,
    /// Where it stands.
    pub span: Span,
}

/// When something is in force.
#[derive(Clone, Debug, PartialEq)]
pub struct Force {
    /// First day, included.
    pub from: Option<Date>,
    /// First day on which it is no longer in force.
    pub before: Option<Date>,
    /// The date that decides.
    pub by: Expr,
    /// Where it stands.
    pub span: Span,
}

/// A part of a text for people.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Plain words.
    Words(String),
    /// A value, rounded to a step where one was written.
    Value(Expr, Option<Reading>),
    /// The limit of the deciding comparison, rounded to a step where one was written.
    Limit(Option<Reading>),
    /// The value of the deciding comparison, rounded to a step where one was written.
    Measured(Option<Reading>),
}

/// A clause.
#[derive(Clone, Debug, PartialEq)]
pub struct Norm {
    /// Its weight.
    pub modal: Modal,
    /// Its letter, without brackets.
    pub label: char,
    /// When it is asked.
    pub condition: Option<Expr>,
    /// What it asks.
    pub body: Expr,
    /// What to do when it is not met.
    pub remedy: Vec<Piece>,
    /// Where it comes from.
    pub cites: Vec<Citation>,
    /// Where it stands.
    pub span: Span,
    /// The pack that wrote it.
    pub pack: String,
    /// Whether its section names who compared it with the printed text; its pack may do so for all of them.
    pub reviewed: bool,
}

/// A carve-out.
#[derive(Clone, Debug, PartialEq)]
pub struct Except {
    /// Its number, without brackets.
    pub label: String,
    /// What it is called.
    pub text: String,
    /// When it holds.
    pub filter: Option<Expr>,
    /// When it does not hold after all.
    pub unless: Option<Expr>,
    /// Where it stands.
    pub span: Span,
}

/// A section.
#[derive(Clone, Debug)]
pub struct Section {
    /// `pack/section`.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The codes under which its text reads so; the first is the one that it was checked for.
    pub roots: Vec<usize>,
    /// Packs that amended it, in order.
    pub amended_by: Vec<String>,
    /// The section above whose text this is the floor, by its position.
    pub floor_of: Option<usize>,
    /// The pack that is a minimum, where this is a floor.
    pub floor_pack: Option<String>,
    /// The pack that is a minimum, where this reads as it does there: then no floor stands beside it, and it is the minimum itself.
    pub minimum: Option<String>,
    /// What it is asked of.
    pub binders: Vec<Binder>,
    /// Named values.
    pub lets: Vec<(String, Expr)>,
    /// Its clauses.
    pub norms: Vec<Norm>,
    /// Its carve-outs.
    pub excepts: Vec<Except>,
    /// When it applies.
    pub force: Option<Force>,
    /// How many slots its frame needs.
    pub slots: usize,
    /// Where its name stands.
    pub span: Span,
}

/// A pack that takes part.
#[derive(Clone, Debug)]
pub struct PackInfo {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// Who publishes it.
    pub authority: String,
    /// Who reviewed it.
    pub reviewed: Option<String>,
    /// Where it was found.
    pub place: String,
    /// A short hash of its normalised text: how its digest begins.
    pub hash: String,
    /// The SHA-256 digest of its normalised text.
    pub digest: String,
}

/// A code of the job: a pack that the job itself names.
#[derive(Clone, Debug)]
pub struct Code {
    /// Its name.
    pub name: String,
    /// When it is in force.
    pub force: Option<Force>,
    /// The packs that take part, adopted ones first; the code itself is the last.
    pub packs: Vec<String>,
}

/// What a key of a record in a job file names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// A fact, by its position.
    Field(FieldId),
    /// A list or single record, by its position among the children.
    Child(ChildId),
}

/// Everything that judging needs to know.
#[derive(Clone, Debug)]
pub struct Program {
    /// The job's codes.
    pub codes: Vec<Code>,
    /// Every pack that takes part.
    pub packs: Vec<PackInfo>,
    /// Words and word lists.
    pub lists: Lists,
    /// Kinds of record; the first is the job.
    pub definitions: Vec<Definition>,
    /// For each kind of record, what its keys name.
    pub index: Vec<HashMap<String, Key>>,
    /// Sources.
    pub sources: Vec<SourceInfo>,
    /// Tables.
    pub tables: Vec<Table>,
    /// Formulas.
    pub formulas: Vec<Formula>,
    /// Facts that follow from others, those that others rest on first.
    pub derivations: Vec<Derivation>,
    /// Sections, in the order of their packs.
    pub sections: Vec<Section>,
    /// Slips that do not stop the judging.
    pub notices: Vec<crate::slip::Slip>,
    /// The files that spans point into.
    pub files: Sources,
}

impl Program {
    /// The kind of record.
    pub fn definition(&self, def: DefId) -> &Definition {
        &self.definitions[def.0 as usize]
    }

    /// The kind of record of that name.
    pub fn definition_named(&self, name: &str) -> Option<DefId> {
        self.definitions.iter().position(|definition| definition.name == name).map(|at| DefId(u32::try_from(at).unwrap_or(u32::MAX)))
    }

    /// The text of a word.
    pub fn word(&self, word: WordId) -> &str {
        self.lists.text(word)
    }

    /// What is known of a pack.
    pub fn pack(&self, name: &str) -> Option<&PackInfo> {
        self.packs.iter().find(|pack| pack.name == name)
    }
}

/// The kind of record of the job.
pub const JOB: DefId = DefId(0);
