//! Look-ups with keys that are not quite known: what every row that could answer has in common. It must not know how keys are
//! evaluated.

use super::doubt::{Doubt, Truth};
use super::eval::unknown;
use super::look_up::{Answer, answer_among, answers, order, point};
use super::value::{Number, Value};
use crate::datum::{Datum, Kind};
use crate::language::program::{KeyCell, Row, Table};
use crate::language::tree::Step;
use crate::quantity::{Days, Exact};

/// What a key may be.
pub enum Reach<'v, 'a> {
    /// This value.
    Known(&'v Value<'a>),
    /// A number between two ends, as far as they are known.
    Between(Option<Exact>, Option<Exact>),
    /// Some day of these.
    During(Days),
    /// Anything.
    Anything,
}

impl<'v, 'a> Reach<'v, 'a> {
    /// What a key of this value may be, and why it is no more certain.
    pub fn of(value: &'v Value<'a>) -> (Reach<'v, 'a>, Option<&'v Doubt>) {
        match value {
            Value::Unknown(doubt) | Value::Truth(Truth::Doubtful(doubt)) => (Reach::Anything, Some(doubt)),
            Value::Number(number) if number.interval.as_point().is_none() => {
                (Reach::Between(number.interval.lo, number.interval.hi), Some(&number.doubt))
            }
            Value::Days(days, doubt) if !days.is_known() => (Reach::During(*days), Some(doubt)),
            known => (Reach::Known(known), None),
        }
    }

    /// Whether nothing bounds it on some side.
    fn is_endless(&self) -> bool {
        matches!(self, Reach::Anything | Reach::Between(None, _) | Reach::Between(_, None))
    }

    /// The key at both ends of what it may be; nothing where an end is not known.
    fn ends(&self) -> Option<(Value<'a>, Value<'a>)> {
        match self {
            Reach::Known(value) => Some(((*value).clone(), (*value).clone())),
            Reach::Between(lo, hi) => Some((Value::point((*lo)?), Value::point((*hi)?))),
            Reach::During(days) => {
                let day = |date| Value::Days(Days::day(date), Doubt::default());
                Some((day(days.first), day(days.last)))
            }
            Reach::Anything => None,
        }
    }

    /// Whether the key might answer to a cell.
    fn may_answer(&self, cell: &KeyCell) -> bool {
        match (self, cell) {
            (_, KeyCell::Any) | (Reach::Anything, _) => true,
            (Reach::Known(value), cell) => answers(cell, value),
            (Reach::Between(lo, hi), KeyCell::Range(from, to)) => {
                let begins = from.is_none_or(|(end, included)| hi.is_none_or(|hi| hi > end || included && hi == end));
                begins && to.is_none_or(|(end, included)| lo.is_none_or(|lo| lo < end || included && lo == end))
            }
            (Reach::Between(lo, hi), cell) => {
                let holds = |at: Exact| lo.is_none_or(|lo| lo <= at) && hi.is_none_or(|hi| at <= hi);
                match cell {
                    KeyCell::Nothing => holds(Exact::ZERO),
                    KeyCell::Value(Datum::Number(number, _)) => number.as_point().is_none_or(holds),
                    _ => true,
                }
            }
            (Reach::During(days), KeyCell::Value(Datum::Days(cell))) => cell.first <= days.last && days.first <= cell.last,
            (Reach::During(_), _) => false,
        }
    }

    /// Whether the key answers to a cell whatever it is. What reaches from one end of a cell to the other answers to all of it.
    fn surely_answers(&self, cell: &KeyCell) -> bool {
        matches!(cell, KeyCell::Any) || self.ends().is_some_and(|(low, high)| answers(cell, &low) && answers(cell, &high))
    }
}

/// The cell of `column` where keys are in doubt: known where every row that could answer gives the same, and one of them answers
/// whatever the keys are. Nothing where no row could answer.
pub fn in_doubt<'a>(table: &'a Table, column: usize, keys: &[Reach<'_, 'a>], doubt: Doubt, kind: &Kind) -> Option<Value<'a>> {
    let ((last, plain), (key, others)) = (table.keys.split_last()?, keys.split_last()?);
    let fits = |row: &&Row| plain.iter().zip(others).all(|(at, key)| key.may_answer(&row.cells[*at]));
    let surely = |row: &Row| plain.iter().zip(others).all(|(at, key)| key.surely_answers(&row.cells[*at]));
    let step = table.columns[*last].key.unwrap_or(Step::Exact);
    let rows: Vec<&Row> = table.rows.iter().filter(fits).collect();
    // A key that may be anything is what is in the way, and not the table.
    let outside = |doubt: Doubt| if keys.iter().any(Reach::is_endless) { Some(unknown(kind, doubt)) } else { None };
    if step == Step::Exact {
        let rows: Vec<&Row> = rows.into_iter().filter(|row| key.may_answer(&row.cells[*last])).collect();
        let Some(first) = rows.first() else { return outside(doubt) };
        let same = rows.iter().all(|row| row.cells[column] == first.cells[column]);
        let sure = rows.iter().any(|row| surely(row) && key.surely_answers(&row.cells[*last]));
        return Some(if same && sure { Answer::cell(&first.cells[column]).value(kind) } else { unknown(kind, doubt) });
    }
    let Some((low, high)) = key.ends() else { return Some(unknown(kind, doubt)) };
    let begins = |row: &Row| order(&row.cells[*last], point(&high)).is_none_or(std::cmp::Ordering::is_le);
    let ends = |row: &Row| order(&row.cells[*last], point(&low)).is_none_or(std::cmp::Ordering::is_ge);
    let (any_begins, any_ends) = (rows.iter().any(|row| begins(row)), rows.iter().any(|row| ends(row)));
    if (step != Step::Up && !any_begins) || (step != Step::Down && !any_ends) {
        return outside(doubt);
    }
    // Rows of which it is not known whether they count may stand between those that do.
    if !rows.iter().all(|row| surely(row)) {
        return Some(unknown(kind, doubt));
    }
    let answer = |key: &Value<'a>| answer_among(table, column, table.rows.iter().enumerate().filter(|(_, row)| fits(row)), key);
    let (Some(at_low), Some(at_high)) = (answer(&low), answer(&high)) else { return Some(unknown(kind, doubt)) };
    let inside = rows.iter().filter(|row| begins(row) && ends(row)).map(|row| Answer::cell(&row.cells[column]));
    let values: Vec<Value<'a>> = [at_low, at_high].into_iter().chain(inside).map(|answer| answer.value(kind)).collect();
    Some(all_of(&values, step, doubt, kind))
}

/// What may be any of these values: the same one, or a number within their bounds.
fn all_of<'a>(values: &[Value<'a>], step: Step, doubt: Doubt, kind: &Kind) -> Value<'a> {
    let numbers: Vec<&Number> =
        values.iter().filter_map(|value| if let Value::Number(number) = value { Some(number) } else { None }).collect();
    let Some(first) = values.first() else { return unknown(kind, doubt) };
    // Beside a cell that is no number a straight line has no answer.
    let on_a_line = step != Step::Straight || numbers.len() == values.len();
    if on_a_line && values.iter().all(|value| value == first) {
        return first.clone();
    }
    if numbers.len() < values.len() {
        return unknown(kind, doubt);
    }
    let interval = numbers.iter().skip(1).fold(numbers[0].interval, |hull, number| hull.hull(number.interval));
    Value::Number(Number { interval, doubt, unit: numbers.iter().find_map(|number| number.unit) })
}
