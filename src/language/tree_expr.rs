//! Expressions of the tree: what is written between the words of a clause. It owns plain data only; it must not know which
//! words exist.

use super::tree::{Name, Path, Target};
use crate::quantity::{Period, Reading, Wire};
use crate::source::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// An expression.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Expr {
    /// What it is.
    pub node: Node,
    /// Where it stands.
    pub span: Span,
}

/// A comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Comparison {
    /// `at most`.
    AtMost,
    /// `at least`.
    AtLeast,
    /// `less than`.
    LessThan,
    /// `more than`.
    MoreThan,
}

impl Comparison {
    /// The words.
    pub fn words(self) -> &'static str {
        match self {
            Comparison::AtMost => "at most",
            Comparison::AtLeast => "at least",
            Comparison::LessThan => "less than",
            Comparison::MoreThan => "more than",
        }
    }

    /// The words between two days.
    pub fn words_of_days(self) -> &'static str {
        match self {
            Comparison::AtMost => "on or before",
            Comparison::AtLeast => "on or after",
            Comparison::LessThan => "before",
            Comparison::MoreThan => "after",
        }
    }
}

/// How a quantified body is required.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Quantifier {
    /// Of every one.
    Every,
    /// Of at least one.
    AtLeastOne,
    /// Of none.
    No,
}

/// What is made of a collection.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Aggregate {
    /// How many there are.
    Count,
    /// How many different values there are.
    CountDistinct,
    /// Their sum.
    Sum,
    /// The least of them.
    Least,
    /// The greatest of them.
    Greatest,
}

/// Arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Arithmetic {
    /// `+`.
    Add,
    /// `-`.
    Subtract,
    /// `*`.
    Times,
    /// `/`.
    Over,
}

/// A walk over a collection.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Walk {
    /// The bound word.
    pub bound: Name,
    /// The collection.
    pub among: Path,
    /// Which of them.
    pub filter: Option<Box<Expr>>,
}

/// What an expression is.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Node {
    /// Conditions joined by `and` (true) or `or`; `any of` and `all of` lists are the same thing with labels.
    Junction(bool, Vec<Expr>),
    /// `not`.
    Not(Box<Expr>),
    /// A comparison by order.
    Compare(Comparison, Box<Expr>, Box<Expr>),
    /// `is`, or with true `is not`.
    Is(bool, Box<Expr>, Box<Expr>),
    /// `is one of`, or with true `is not one of`.
    OneOf(bool, Box<Expr>, Vec<Expr>),
    /// `is given`, or with true `is not given`.
    Given(bool, Box<Expr>),
    /// `within` a range, or between two ends.
    Within(Box<Expr>, Box<Expr>, Option<Box<Expr>>),
    /// `includes`.
    Includes(Box<Expr>, Box<Expr>),
    /// `complies with`.
    Complies(Box<Expr>, Target),
    /// Arithmetic.
    Arithmetic(Arithmetic, Box<Expr>, Box<Expr>),
    /// A whole power.
    Power(Box<Expr>, u32),
    /// `if … then … else …`.
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    /// `every / at least one / no … among … has …`.
    Quantified(Quantifier, Walk, Box<Expr>),
    /// `count of …`, `sum of …` and so on.
    Aggregate(Aggregate, Option<Box<Expr>>, Walk),
    /// A table look-up, a formula or a built-in calculation.
    Call(Path, Vec<Expr>),
    /// A path, a bound word, or a word of a list.
    Name(Path),
    /// A word that starts with a capital.
    Capital(String),
    /// A number with or without a unit; the text is kept because it may be a word of a list, such as `3R`.
    Quantity(String, Result<Reading, ()>),
    /// A wire size.
    Wire(Wire),
    /// A length of time by the calendar.
    Period(Period),
    /// A day.
    Date(Date),
    /// A text.
    Text(String),
}
