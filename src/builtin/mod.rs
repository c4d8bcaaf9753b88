//! The calculations offered to rules, one row each: name, parameters, result, doc, formula, source, example, and how the
//! calculation is lifted to outer bounds. It must not know trees, records of a job, or verdicts.

pub mod drawn;
mod form;
mod lift;
mod moving;
mod plain;
mod plane;
mod power;
mod sight;
mod sun;

pub use form::{Argument, Form, Outcome, Refusal, Thing, Token};

use crate::datum::Kind;
use crate::quantity::{Dimension, Interval};
use std::sync::LazyLock;

/// What a parameter takes.
#[derive(Clone, Copy)]
pub enum Takes {
    /// A number, all of one kind.
    Alike,
    /// A number without a dimension.
    Plain,
    /// A measure of the named dimension.
    Measure(&'static str),
    /// A temperature.
    Temperature,
    /// The size of a conductor.
    Wire,
    /// A word of the named list.
    Word(&'static str),
    /// A point.
    Point,
    /// Several points.
    Points,
    /// A recording of the named dimension.
    Recording(&'static str),
    /// A thing of one of these kinds.
    Thing(&'static [&'static Form]),
}

/// What a built-in gives.
#[derive(Clone, Copy)]
pub enum Gives {
    /// A number of the kind of its first argument.
    Alike,
    /// A count.
    Count,
    /// A measure of the named dimension.
    Measure(&'static str),
    /// Yes or no.
    YesNo,
}

/// A result on outer bounds: it covers every value that the arguments allow.
#[derive(Clone, Debug, PartialEq)]
pub enum Result {
    /// A number.
    Number(Interval),
    /// Yes, no, or neither surely within the tolerances.
    Truth(Option<bool>),
}

/// A calculation offered to rules.
pub struct BuiltIn {
    /// Its name in rules.
    pub name: &'static str,
    /// Its parameters: name, and what each takes.
    pub parameters: &'static [(&'static str, Takes)],
    /// What it gives.
    pub gives: Gives,
    /// What it tells; `{a}` stands for what its parameter `a` is called.
    pub doc: &'static str,
    /// The formula, as an engineer would write it; empty where the doc says it all.
    pub formula: &'static str,
    /// Where the formula comes from, and how it is known.
    pub source: &'static str,
    /// A use of it, as a pack would write it.
    pub example: &'static str,
    /// The calculation.
    pub run: Run,
}

/// How a built-in is calculated.
#[derive(Clone, Copy)]
pub enum Run {
    /// At once.
    Whole(fn(&[Argument]) -> Outcome<Result>),
    /// In two steps: a dear one that does not look at words, and the choice of what the words ask for. Whoever calls may keep
    /// the first for calls that differ in their words alone.
    Staged(fn(&[Argument]) -> Outcome<Stage>, fn(&Stage, &[Argument]) -> Outcome<Result>),
}

/// What a first step found: places where a leaf and a fixed thing close on each other.
#[derive(Clone, Debug, Default)]
pub struct Stage(Vec<Seen>);

/// A place found by a first step.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Seen {
    /// The kind of place.
    zone: &'static str,
    /// Whether it closes while opening.
    opening: bool,
    /// Whether it is one whatever the tolerances.
    surely: bool,
}

/// Every built-in, in the order of the manual.
pub static ROWS: LazyLock<Vec<&'static BuiltIn>> =
    LazyLock::new(|| [plain::ROWS, moving::ROWS, power::ROWS, plane::ROWS, sight::ROWS, sun::ROWS].into_iter().flatten().collect());

impl Run {
    /// The result, both steps together.
    pub fn result(&self, given: &[Argument]) -> Outcome<Result> {
        match self {
            Run::Whole(run) => run(given),
            Run::Staged(first, then) => then(&first(given)?, given),
        }
    }
}

impl BuiltIn {
    /// Names of the parameters.
    pub fn parameter_names(&self) -> Vec<&'static str> {
        self.parameters.iter().map(|(name, _)| *name).collect()
    }

    /// What it tells, by the names of its parameters.
    pub fn says(&self) -> String {
        self.says_of(&self.parameters.iter().map(|(name, _)| format!("`{name}`")).collect::<Vec<_>>())
    }

    /// What it tells of arguments that are called so.
    pub fn says_of(&self, names: &[impl AsRef<str>]) -> String {
        let mut text = String::new();
        // Put in from the left in one go: a name may hold anything that a pack can write.
        let mut rest = self.doc;
        while let Some((before, after)) = rest.split_once('{') {
            let Some((parameter, behind)) = after.split_once('}') else { break };
            let at = self.parameters.iter().position(|(name, _)| *name == parameter);
            text.push_str(before);
            text.push_str(at.and_then(|at| names.get(at)).map_or(parameter, |name| name.as_ref()));
            rest = behind;
        }
        text + rest
    }

    /// Facts that it reads of things, with their kinds of record.
    pub fn reads(&self) -> impl Iterator<Item = (&'static str, &'static str)> {
        let forms = self.parameters.iter().flat_map(|(_, takes)| match takes {
            Takes::Thing(forms) => *forms,
            _ => &[],
        });
        forms.flat_map(|form| form.reads())
    }

    /// The kind of the result for arguments of these kinds, or nothing where they do not fit. Words and things are checked
    /// by whoever knows the vocabulary.
    pub fn result(&self, kinds: &[&Kind]) -> Option<Kind> {
        let fits = self.parameters.iter().zip(kinds).all(|((_, takes), kind)| match takes {
            Takes::Alike => kind.is_number() && dimension_of(kind) == dimension_of(kinds[0]),
            Takes::Plain => kind.is_number() && dimension_of(kind) == Some(Dimension::NONE),
            Takes::Measure(name) => kind.is_number() && dimension_of(kind) == Dimension::named(name),
            Takes::Temperature => **kind == Kind::Temperature,
            Takes::Wire => **kind == Kind::Wire,
            Takes::Word(_) => matches!(kind, Kind::Word(_)),
            Takes::Point => **kind == Kind::Point,
            Takes::Points => **kind == Kind::Points,
            Takes::Recording(name) => Dimension::named(name).is_some_and(|dimension| **kind == Kind::Recording(dimension)),
            Takes::Thing(_) => matches!(kind, Kind::Thing(_)),
        });
        if !fits {
            return None;
        }
        match self.gives {
            Gives::Alike => Some(if kinds.contains(&&Kind::Count) && kinds.iter().all(|kind| **kind == Kind::Count) {
                Kind::Count
            } else {
                Kind::Measure(dimension_of(kinds[0])?)
            }),
            Gives::Count => Some(Kind::Count),
            Gives::Measure(name) => Dimension::named(name).map(Kind::Measure),
            Gives::YesNo => Some(Kind::YesNo),
        }
    }
}

fn dimension_of(kind: &Kind) -> Option<Dimension> {
    match kind {
        Kind::Count => Some(Dimension::NONE),
        Kind::Measure(dimension) => Some(*dimension),
        _ => None,
    }
}
