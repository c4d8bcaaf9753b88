//! Values while judging: what is known of them, and why no more. It must not know expressions.

use super::doubt::{Doubt, Truth};
use crate::datum::{Datum, Place, Recording, WordId};
use crate::job::RecordId;
use crate::quantity::{Days, Exact, Interval, Period, Unit, Units, Wire};

/// A number known within bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// The bounds.
    pub interval: Interval,
    /// Why it is not one point.
    pub doubt: Doubt,
    /// The unit that its author wrote.
    pub unit: Option<Unit>,
}

/// A value while judging.
#[derive(Clone, Debug, PartialEq)]
pub enum Value<'a> {
    /// A condition.
    Truth(Truth),
    /// A number.
    Number(Number),
    /// A day, or some day of a span of days.
    Days(Days, Doubt),
    /// A length of time by the calendar.
    Period(Period),
    /// A word.
    Word(WordId),
    /// Every word: an `any` cell of a table.
    Any,
    /// Some words.
    WordSet(&'a [WordId]),
    /// A text.
    Text(&'a str),
    /// Several texts.
    TextList(&'a [String]),
    /// A range, both ends included.
    Range(Exact, Exact, Option<Unit>),
    /// A range cell, whose ends may be left out or open.
    RangeCell(Option<(Exact, bool)>, Option<(Exact, bool)>),
    /// The size of a conductor.
    Wire(Wire),
    /// A point.
    Point(&'a Place),
    /// Several points.
    Points(&'a [Place]),
    /// A recording.
    Recording(&'a Recording),
    /// A thing.
    Thing(RecordId),
    /// Nothing: the job says that there is none.
    Nothing,
    /// Not known at all.
    Unknown(Doubt),
}

impl<'a> Value<'a> {
    /// A stated value; a number with a tolerance is in doubt by it.
    pub fn of(datum: &'a Datum) -> Value<'a> {
        match datum {
            Datum::YesNo(yes) => Value::Truth(Truth::sure(*yes)),
            Datum::Number(interval, unit) => {
                let doubt = if interval.as_point().is_some() { Doubt::default() } else { Doubt::of_tolerance() };
                Value::Number(Number { interval: *interval, doubt, unit: *unit })
            }
            Datum::Days(days) => Value::Days(*days, Doubt::default()),
            Datum::Period(period) => Value::Period(*period),
            Datum::Word(word) => Value::Word(*word),
            Datum::WordSet(words) => Value::WordSet(words),
            Datum::Text(text) => Value::Text(text),
            Datum::TextList(texts) => Value::TextList(texts),
            Datum::Range(low, high, unit) => Value::Range(*low, *high, *unit),
            Datum::Wire(wire) => Value::Wire(*wire),
            Datum::Point(place) => Value::Point(place),
            Datum::Points(places) => Value::Points(places),
            Datum::Recording(recording) => Value::Recording(recording),
        }
    }

    /// The same with its numbers in the units that a reader wants.
    pub fn shown_in(mut self, units: Units) -> Value<'a> {
        if let Value::Number(Number { unit: Some(unit), .. }) | Value::Range(_, _, Some(unit)) = &mut self {
            *unit = units.of(*unit);
        }
        self
    }

    /// A number that is one point.
    pub fn point(at: Exact) -> Value<'a> {
        Value::Number(Number { interval: Interval::point(at), doubt: Doubt::default(), unit: None })
    }

    /// The doubt of a value that is not known at all.
    pub fn unknown_doubt(&self) -> Option<&Doubt> {
        match self {
            Value::Unknown(doubt) => Some(doubt),
            _ => None,
        }
    }
}

/// What a slot of a frame holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Slot<'a> {
    /// Nothing yet.
    #[default]
    Empty,
    /// A record.
    Record(RecordId),
    /// A record that may be there: a list that the job does not state. It hangs so many steps below this record.
    Phantom(RecordId, usize, Doubt),
    /// A row of a table.
    Row(usize),
    /// A word.
    Word(WordId),
    /// An argument of a formula.
    Value(Value<'a>),
}
