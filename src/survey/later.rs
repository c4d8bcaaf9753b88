//! Whether the newer of two surveys was made after the older one, by the days that they name. It must not know what they say of the gate.

use super::again::{Again, Side};
use crate::datum::Datum;
use crate::job::Fact;
use crate::language::program::{JOB, Key};
use crate::quantity::Days;

/// The fact of a job that tells the day of its survey.
const SURVEYED: &str = "surveyed";

/// Facts of a job that tell of the survey and not of the gate.
const OF_THE_SURVEY: [&str; 2] = [SURVEYED, "surveyor"];

/// How the days of two surveys lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The newer one was surely made later.
    Later,
    /// Both name the same day, or it is not sure that the newer one's is later.
    NotLater,
    /// The newer one was surely made before the older one.
    Swapped,
    /// One of them names no day, or neither does.
    NotStated,
    /// The newer one names a later day and differs in nothing that somebody would have read at the gate: a copy under another day.
    Copied,
}

impl Order {
    /// How the days lie.
    pub fn of(old: Option<Days>, new: Option<Days>) -> Order {
        match (old, new) {
            (Some(old), Some(new)) if new.first > old.last => Order::Later,
            (Some(old), Some(new)) if new.last < old.first => Order::Swapped,
            (Some(_), Some(_)) => Order::NotLater,
            _ => Order::NotStated,
        }
    }

    /// The same, seen that the surveys differ in nothing but who made them and when.
    pub fn but_for_copies(self, again: &Again) -> Order {
        let same = again.values.iter().all(|value| OF_THE_SURVEY.contains(&value.fact.as_str()));
        let whole = [&again.first, &again.new, &again.gone, &again.not_again].iter().all(|list| list.is_empty());
        if self == Order::Later && same && whole && again.within.is_empty() { Order::Copied } else { self }
    }

    /// As a word.
    pub fn word(self) -> &'static str {
        match self {
            Order::Later => "later",
            Order::NotLater => "not-later",
            Order::Swapped => "swapped",
            Order::NotStated => "not-stated",
            Order::Copied => "copied",
        }
    }
}

/// The day on which a job says that it was surveyed.
pub fn surveyed(side: Side) -> Option<Days> {
    let Some(Key::Field(at)) = side.program.index[JOB.0 as usize].get(SURVEYED) else { return None };
    let Fact::Stated(stated) = &side.job.records.first()?.facts[*at] else { return None };
    match stated.datum {
        Datum::Days(days) => Some(days),
        _ => None,
    }
}
