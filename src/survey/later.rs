//! Whether the newer of two surveys was made after the older one, by the days that they name. It must not know what they say of the gate.

use super::again::Side;
use crate::datum::Datum;
use crate::job::Fact;
use crate::language::program::{JOB, Key};
use crate::quantity::Days;

/// The fact of a job that tells the day of its survey.
const SURVEYED: &str = "surveyed";

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

    /// As a word.
    pub fn word(self) -> &'static str {
        match self {
            Order::Later => "later",
            Order::NotLater => "not-later",
            Order::Swapped => "swapped",
            Order::NotStated => "not-stated",
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
