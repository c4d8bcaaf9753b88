//! The tree of a rule file: what is written, with its places, before any name is looked up. It owns plain data only; it
//! must not know which words exist.

pub use super::tree_expr::*;
pub use super::tree_trial::*;
use crate::source::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A word with its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Name {
    /// The word.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// A text with its place; adjacent texts are joined.
pub type Text = Name;

/// Words joined by points, such as `gate.operator.made`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Path {
    /// The words.
    pub names: Vec<Name>,
    /// Where the whole stands.
    pub span: Span,
}

/// `pack/section`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Target {
    /// The pack.
    pub pack: String,
    /// The item in it.
    pub item: String,
    /// Where the whole stands.
    pub span: Span,
}

/// A rule file.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Tree {
    /// Its items, in order.
    pub items: Vec<Item>,
}

/// An item of a rule file.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Item {
    /// The header of a pack.
    Pack(Header),
    /// Where values come from.
    Source(SourceItem),
    /// A word list.
    Values(Values),
    /// A kind of record.
    Definition(Definition),
    /// Tabulated values.
    Table(Table),
    /// A named calculation.
    Formula(Formula),
    /// A requirement.
    Section(Section),
    /// A change to an item of an adopted pack.
    Amend(Amend),
    /// The removal of a section, clause or exception of an adopted pack.
    Repeal(Repeal),
    /// A job with what is expected to be found in it.
    Trial(Trial),
    /// Small changes that no trial has to notice.
    Unnoticed(Unnoticed),
}

/// The header of a pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Header {
    /// Name of the pack.
    pub name: Name,
    /// Its title.
    pub title: Option<Text>,
    /// Version of the rule language that it is written in.
    pub language: Option<(u32, Span)>,
    /// The edition.
    pub edition: Option<Text>,
    /// Who publishes it.
    pub authority: Option<Text>,
    /// Who reviewed it, when, with which copy in hand.
    pub reviewed: Option<Text>,
    /// From when it applies.
    pub force: Option<Force>,
    /// Packs that it builds on.
    pub adopts: Vec<Adopts>,
}

/// One adoption.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Adopts {
    /// The adopted pack.
    pub name: Name,
    /// Whether its text stays as a floor.
    pub as_minimum: bool,
}

/// `in force from … before … by …`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Force {
    /// First day, included.
    pub from: Option<Date>,
    /// First day on which it is no longer in force.
    pub before: Option<Date>,
    /// The date fact that decides.
    pub by: Option<Path>,
    /// Where the whole stands.
    pub span: Span,
}

/// How a value is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Standing {
    /// A published document.
    Published,
    /// Common practice, no source.
    Practice,
    /// Made up for a demonstration.
    Invented,
}

impl Standing {
    /// The word that packs and reports use.
    pub fn word(self) -> &'static str {
        match self {
            Standing::Published => "published",
            Standing::Practice => "practice",
            Standing::Invented => "invented",
        }
    }
}

/// A source of values.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct SourceItem {
    /// Its name.
    pub name: Name,
    /// What it is.
    pub title: Text,
    /// How its values are known.
    pub standing: Standing,
}

/// A word list.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Values {
    /// Its name.
    pub name: Name,
    /// What the words stand for.
    pub doc: Option<Text>,
    /// The words.
    pub words: Vec<Name>,
    /// Whether the words are in order, so that they can be compared.
    pub ordered: bool,
}

/// Where records of a definition are found.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Found {
    /// The root, or a union: nowhere by itself.
    Nowhere,
    /// Each in a list.
    Among(Path),
    /// One at a key.
    At(Path),
}

/// A kind of record.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Definition {
    /// Its name.
    pub name: Name,
    /// What it is.
    pub doc: Option<Text>,
    /// Where its records are found.
    pub found: Found,
    /// Lists whose records it gathers.
    pub gathers: Vec<Path>,
    /// Its facts.
    pub fields: Vec<Field>,
}

/// A fact of a record.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Field {
    /// Its key.
    pub name: Name,
    /// Its kind, as written.
    pub kind: KindName,
    /// Whether it may be below nought.
    pub signed: bool,
    /// Whether it is measured, so that a tolerance applies.
    pub measured: bool,
    /// Whether it is itself the tolerance of every measured value of its dimension.
    pub gives_tolerance: bool,
    /// What it is taken as when it is not stated.
    pub taken: Option<Taken>,
    /// How to measure it.
    pub doc: Option<Text>,
    /// The calculation from other facts that gives it, too.
    pub follows: Option<Expr>,
}

/// The kind of a fact or parameter, as written.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum KindName {
    /// A single word: a dimension, `count`, `text`, a definition …
    Word(Name),
    /// `id of …`: a text that is the id of a record of one of these kinds.
    IdOf(Vec<Name>),
    /// `recording of …`.
    RecordingOf(Name),
    /// `one of …`.
    OneOf(Vec<Name>),
    /// `any of …`.
    AnyOf(Vec<Name>),
    /// `range of …`.
    RangeOf(Name),
    /// `list of …`.
    ListOf(Name),
}

/// `taken as …`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Taken {
    /// The value, as written; `none` is the word.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// Tabulated values.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Table {
    /// Its name.
    pub name: Name,
    /// What it tells.
    pub doc: Option<Text>,
    /// Its keys.
    pub keys: Vec<Key>,
    /// Where its values come from.
    pub cites: Vec<Cite>,
    /// Its rows; the first is the heading.
    pub rows: Vec<Vec<Text>>,
}

/// A key of a table.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Key {
    /// The column.
    pub name: Name,
    /// How a value between rows is looked up.
    pub step: Step,
}

/// How a value between rows is looked up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Step {
    /// The row must match.
    Exact,
    /// The nearest row at or below.
    Down,
    /// The nearest row at or above.
    Up,
    /// On a straight line between the rows on either side.
    Straight,
}

/// A named calculation.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Formula {
    /// Its name.
    pub name: Name,
    /// Its parameters with their kinds.
    pub parameters: Vec<(Name, Name)>,
    /// The kind of its result.
    pub gives: KindName,
    /// What it tells.
    pub doc: Option<Text>,
    /// The calculation.
    pub body: Expr,
    /// Where it comes from.
    pub cite: Option<Cite>,
}

/// Where a clause comes from.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Cite {
    /// The source.
    pub source: Name,
    /// The place in it.
    pub clause: Option<Text>,
    /// Whether nobody looked it up.
    pub from_memory: bool,
    /// Where the whole stands.
    pub span: Span,
}

/// The weight of a norm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Modal {
    /// Mandatory.
    Shall,
    /// Recommended.
    Should,
}

impl Modal {
    /// The word itself.
    pub fn word(self) -> &'static str {
        match self {
            Modal::Shall => "shall",
            Modal::Should => "should",
        }
    }
}

/// A clause that demands or recommends.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Norm {
    /// Its weight.
    pub modal: Modal,
    /// Its letter.
    pub label: Option<Name>,
    /// When it is asked.
    pub condition: Option<Expr>,
    /// What it asks.
    pub body: Expr,
    /// What to do when it is not met.
    pub remedy: Option<Text>,
    /// Where it comes from.
    pub cites: Vec<Cite>,
    /// Whether its section names who compared it with the printed text.
    pub reviewed: bool,
    /// Where the whole stands.
    pub span: Span,
}

/// A carve-out.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Except {
    /// Its number.
    pub label: Option<Name>,
    /// What it is called.
    pub text: Text,
    /// When it holds.
    pub filter: Option<Expr>,
    /// When it does not hold after all.
    pub unless: Option<Expr>,
    /// Where the whole stands.
    pub span: Span,
}

/// What a section is asked of.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Over {
    /// Each record of a definition, or each word of a list.
    Each(Name),
    /// Each two records of a definition beside one another; the second name is that of the other record.
    Pair(Name, Name),
    /// Each row of a table.
    Row(Name),
}

/// One part of `applies to`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Binder {
    /// What is walked.
    pub over: Over,
    /// The bound word.
    pub bound: Name,
    /// Which of them.
    pub filter: Option<Expr>,
    /// Where the whole stands.
    pub span: Span,
}

/// A named value within a section.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Let {
    /// Its name.
    pub name: Name,
    /// Its value.
    pub value: Expr,
}

/// A requirement.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Section {
    /// Its name.
    pub name: Name,
    /// Its title.
    pub title: Option<Text>,
    /// Its clauses.
    pub clauses: Clauses,
}

/// The clauses of a section or of an amendment.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Clauses {
    /// What it is asked of.
    pub applies: Vec<Binder>,
    /// Named values.
    pub lets: Vec<Let>,
    /// What is demanded.
    pub norms: Vec<Norm>,
    /// What an amendment adds.
    pub added: Vec<Norm>,
    /// Carve-outs.
    pub excepts: Vec<Except>,
    /// When it applies.
    pub force: Option<Force>,
    /// Whether one of them could not be read, so that what it named is not known.
    pub unread: bool,
}

/// A change to an item of an adopted pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Amend {
    /// What is changed.
    pub target: Target,
    /// Changed and added clauses.
    pub clauses: Clauses,
    /// Changed and added rows; the first is the heading.
    pub rows: Vec<Vec<Text>>,
    /// Added facts.
    pub fields: Vec<Field>,
    /// Added words.
    pub words: Vec<Name>,
    /// Where the whole stands.
    pub span: Span,
}

/// A removal.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Repeal {
    /// What is removed, or from what.
    pub target: Target,
    /// Letters of clauses that are removed.
    pub labels: Vec<Name>,
    /// Numbers of exceptions that are removed.
    pub exceptions: Vec<Name>,
    /// Why.
    pub because: Option<Text>,
    /// By what right.
    pub cite: Option<Cite>,
    /// Where the whole stands.
    pub span: Span,
}
