//! What a built-in reads of a thing: which facts, of which records round it, and how it asks for them. It must not know where
//! the records come from.

use crate::datum::{Place, Recording};
use crate::quantity::{Exact, Interval, Wire, interval};
use crate::reckon::Unreckonable;

/// What a built-in reads of one kind of record.
pub struct Form {
    /// The kind of record, as the vocabulary names it.
    pub of: &'static str,
    /// Facts.
    pub facts: &'static [&'static str],
    /// Lists and single records below it, by their keys.
    pub below: &'static [(&'static str, &'static Form)],
    /// The record that holds it.
    pub above: Option<&'static Form>,
}

impl Form {
    /// Every fact that it reads, with the kind of record.
    pub fn reads(&self) -> Vec<(&'static str, &'static str)> {
        let mut all: Vec<_> = self.facts.iter().map(|fact| (self.of, *fact)).collect();
        for form in self.below.iter().map(|(_, form)| *form).chain(self.above) {
            all.extend(form.reads());
        }
        all
    }
}

/// A reason, kept by whoever called, why something is not known.
pub type Token = usize;

/// An argument of a built-in.
#[derive(Clone, Debug)]
pub enum Argument<'a> {
    /// A number, within its bounds.
    Number(Interval),
    /// Yes or no.
    YesNo(bool),
    /// A word.
    Word(&'a str),
    /// A text.
    Text(&'a str),
    /// The size of a conductor.
    Wire(Wire),
    /// A range.
    Range(Exact, Exact),
    /// A point.
    Point(&'a Place),
    /// Several points.
    Points(&'a [Place]),
    /// A recording.
    Recording(&'a Recording),
    /// A thing.
    Thing(Thing<'a>),
    /// Not stated, and not there unless it is stated.
    Absent(Token),
    /// Not known.
    Unknown(Token),
}

/// What was gathered of a thing by a form.
#[derive(Clone, Debug)]
pub struct Thing<'a> {
    /// Its id.
    pub id: Option<&'a str>,
    /// What it is, as the vocabulary names it.
    pub of: &'static str,
    /// Facts that are known, or why not; one that the job says is not there is left out.
    pub facts: Vec<(&'static str, Argument<'a>)>,
    /// Lists and single records below it, or why they are not known.
    pub below: Vec<(&'static str, Result<Vec<Thing<'a>>, Token>)>,
    /// The record that holds it.
    pub above: Option<Box<Thing<'a>>>,
}

/// Why a built-in gives nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// Something is not known, for these reasons.
    Waits(Vec<Token>),
    /// A fact that the job says is not there.
    IsNone(&'static str),
    /// The calculation cannot be made with these numbers.
    Unreckonable(Unreckonable),
    /// Not a gate of a kind for which the calculation is made, or another plain reason as a clause.
    Unfit(&'static str),
    /// The exact value needs more digits than are kept.
    TooManyDigits,
    /// The divisor is, or may be, nought.
    DivisionByNought,
}

impl From<Unreckonable> for Refusal {
    fn from(why: Unreckonable) -> Refusal {
        Refusal::Unreckonable(why)
    }
}

impl From<interval::Obstacle> for Refusal {
    fn from(why: interval::Obstacle) -> Refusal {
        match why {
            interval::Obstacle::TooManyDigits => Refusal::TooManyDigits,
            interval::Obstacle::DivisionByNought => Refusal::DivisionByNought,
        }
    }
}

/// A result, or why there is none.
pub type Outcome<T> = Result<T, Refusal>;

impl<'a> Thing<'a> {
    /// A fact that the calculation cannot do without.
    pub fn fact(&self, name: &'static str) -> Outcome<&Argument<'a>> {
        match self.facts.iter().find(|(known, _)| *known == name) {
            Some((_, Argument::Absent(token) | Argument::Unknown(token))) => Err(Refusal::Waits(vec![*token])),
            Some((_, argument)) => Ok(argument),
            None => Err(Refusal::IsNone(name)),
        }
    }

    /// A fact that the calculation can do without where the job does not state it.
    pub fn maybe(&self, name: &'static str) -> Outcome<Option<&Argument<'a>>> {
        match self.facts.iter().find(|(known, _)| *known == name) {
            Some((_, Argument::Unknown(token))) => Err(Refusal::Waits(vec![*token])),
            Some((_, Argument::Absent(_))) | None => Ok(None),
            Some((_, argument)) => Ok(Some(argument)),
        }
    }

    /// Tells every one of these facts that is missing at once.
    pub fn demand(&self, names: &[&'static str]) -> Outcome<()> {
        let mut tokens = Vec::new();
        for name in names {
            match self.fact(name) {
                Ok(_) => {}
                Err(Refusal::Waits(more)) => tokens.extend(more),
                Err(other) => return Err(other),
            }
        }
        if tokens.is_empty() { Ok(()) } else { Err(Refusal::Waits(tokens)) }
    }

    /// A number.
    pub fn number(&self, name: &'static str) -> Outcome<Interval> {
        self.fact(name).and_then(|fact| fact.number())
    }

    /// A word.
    pub fn word(&self, name: &'static str) -> Outcome<&'a str> {
        self.fact(name).and_then(|fact| fact.word())
    }

    /// A point.
    pub fn point(&self, name: &'static str) -> Outcome<&'a Place> {
        self.fact(name).and_then(|fact| fact.point())
    }

    /// A list or single record below it.
    pub fn list(&self, key: &'static str) -> Outcome<&[Thing<'a>]> {
        match self.below.iter().find(|(known, _)| *known == key) {
            Some((_, Ok(things))) => Ok(things),
            Some((_, Err(token))) => Err(Refusal::Waits(vec![*token])),
            None => Ok(&[]),
        }
    }

    /// The record that holds it.
    pub fn above(&self) -> Outcome<&Thing<'a>> {
        self.above.as_deref().ok_or(Refusal::Unfit("nothing holds this thing"))
    }
}

impl<'a> Argument<'a> {
    /// As a number.
    pub fn number(&self) -> Outcome<Interval> {
        match self {
            Argument::Number(interval) => Ok(*interval),
            other => Err(other.refusal()),
        }
    }

    /// As a word.
    pub fn word(&self) -> Outcome<&'a str> {
        match self {
            Argument::Word(word) | Argument::Text(word) => Ok(word),
            other => Err(other.refusal()),
        }
    }

    /// As a point.
    pub fn point(&self) -> Outcome<&'a Place> {
        match self {
            Argument::Point(place) => Ok(place),
            other => Err(other.refusal()),
        }
    }

    /// As several points.
    pub fn points(&self) -> Outcome<&'a [Place]> {
        match self {
            Argument::Points(places) => Ok(places),
            other => Err(other.refusal()),
        }
    }

    /// As a recording.
    pub fn recording(&self) -> Outcome<&'a Recording> {
        match self {
            Argument::Recording(recording) => Ok(recording),
            other => Err(other.refusal()),
        }
    }

    /// As the size of a conductor.
    pub fn wire(&self) -> Outcome<Wire> {
        match self {
            Argument::Wire(wire) => Ok(*wire),
            other => Err(other.refusal()),
        }
    }

    /// As yes or no.
    pub fn yes(&self) -> Outcome<bool> {
        match self {
            Argument::YesNo(yes) => Ok(*yes),
            other => Err(other.refusal()),
        }
    }

    /// As a thing.
    pub fn thing(&self) -> Outcome<&Thing<'a>> {
        match self {
            Argument::Thing(thing) => Ok(thing),
            other => Err(other.refusal()),
        }
    }

    fn refusal(&self) -> Refusal {
        match self {
            Argument::Absent(token) | Argument::Unknown(token) => Refusal::Waits(vec![*token]),
            _ => Refusal::Unfit("a value is of another kind than the calculation takes"),
        }
    }
}

/// An argument as a number.
pub fn number(given: &[Argument], at: usize) -> Outcome<Interval> {
    given[at].number()
}

/// Every argument as a number.
pub fn numbers(given: &[Argument]) -> Outcome<Vec<Interval>> {
    given.iter().map(Argument::number).collect()
}
