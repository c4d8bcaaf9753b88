//! Looks up tables: exact rows, ranges, steps between rows, straight lines. It must not know verdicts.

use super::doubt::{Doubt, Obstacle};
use super::eval::{Evaluator, Frame, unknown};
use super::in_doubt::{Reach, in_doubt};
use super::value::{Number, Value};
use super::words::{datum_text, value_text};
use crate::datum::{Datum, Kind};
use crate::language::program::{Expr, KeyCell, Program, Row, Table};
use crate::language::tree::Step;
use crate::quantity::{Exact, Interval};
use crate::slip::first_few;

/// Most rows of a table that are told where none answers.
const MOST_ROWS_TOLD: usize = 8;

/// A key that is one value.
#[derive(Clone, Copy)]
pub enum Point<'v, 'a> {
    /// A number.
    Number(Exact),
    /// Any other value.
    Other(&'v Value<'a>),
}

impl<'a> Evaluator<'a> {
    /// The cell of `column` for these keys.
    pub fn look_up(&mut self, table: usize, column: usize, keys: &'a [Expr], expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        let program = self.program;
        let table = &program.tables[table];
        let values: Vec<Value<'a>> = keys.iter().map(|key| self.value(key, frame)).collect();
        let (reaches, doubts): (Vec<_>, Vec<_>) = values.iter().map(Reach::of).unzip();
        let mut doubt = Doubt::default();
        doubts.iter().flatten().for_each(|reasons| doubt.join(reasons));
        let found = if doubts.iter().all(Option::is_none) {
            answer(table, column, &values).map(|answer| answer.value(&expr.kind))
        } else {
            in_doubt(table, column, &reaches, doubt, &expr.kind)
        };
        found.unwrap_or_else(|| unknown(&expr.kind, Doubt::of_obstacle(Obstacle::OutsideTable(expr.span, no_row(program, table, &values)))))
    }
}

/// Which table has no row for which keys, what there is, and what to do.
fn no_row(program: &Program, table: &Table, values: &[Value]) -> String {
    let named = |(column, value): (&usize, &Value)| Some(format!("{} {}", table.columns[*column].name, value_text(program, value)?));
    let keys: Vec<String> = table.keys.iter().zip(values).filter_map(named).collect();
    // The first key that fits no row by itself is the one to look at.
    let strange = table.keys.iter().zip(values).find(|(column, value)| !table.rows.iter().any(|row| answers(&row.cells[**column], value)));
    let exact = |column: &usize| table.columns[*column].key.unwrap_or(Step::Exact) == Step::Exact;
    let mut there: Vec<String> = Vec::new();
    if let Some((column, _)) = strange.filter(|(column, _)| exact(column)) {
        for row in &table.rows {
            let text = match &row.cells[*column] {
                KeyCell::Value(datum) => datum_text(program, datum),
                KeyCell::Nothing => "none".into(),
                KeyCell::Any | KeyCell::Range(..) => continue,
            };
            there.push(text);
        }
    }
    let rows = match strange {
        Some((column, _)) if !there.is_empty() => {
            let shown = first_few(&there, MOST_ROWS_TOLD, ',');
            format!("; its rows for {} are: {shown}", table.columns[*column].name)
        }
        _ => String::new(),
    };
    format!("table `{}` has no row for {}{rows}; put the value right, or add the row", table.name, keys.join(", "))
}

/// What a table answers: a cell, or a number on a line between rows.
pub struct Answer<'a> {
    cell: Option<&'a KeyCell>,
    number: Option<Exact>,
    unit: Option<crate::quantity::Unit>,
    /// The row at or below, for what lies between two answers.
    row: usize,
    /// The row at the other end of a line.
    above: Option<usize>,
}

/// The rows that answer to these keys, by their positions: one, or the two between which a line is drawn.
pub fn rows_of(table: &Table, column: usize, keys: &[Value]) -> Vec<usize> {
    answer(table, column, keys).map_or_else(Vec::new, |answer| std::iter::once(answer.row).chain(answer.above).collect())
}

impl<'a> Answer<'a> {
    /// A cell by itself.
    pub fn cell(cell: &'a KeyCell) -> Answer<'a> {
        Answer { cell: Some(cell), number: None, unit: None, row: 0, above: None }
    }

    /// As a value.
    pub fn value(&self, kind: &Kind) -> Value<'a> {
        match (self.number, self.cell) {
            (Some(number), _) => Value::Number(Number { interval: Interval::point(number), doubt: Doubt::default(), unit: self.unit }),
            (None, Some(KeyCell::Value(datum))) => Value::of(datum),
            (None, _) if *kind == Kind::Count => Value::point(Exact::ZERO),
            (None, _) => Value::Nothing,
        }
    }
}

fn number_of(cell: &KeyCell) -> Option<(Exact, Option<crate::quantity::Unit>)> {
    match cell {
        KeyCell::Value(Datum::Number(interval, unit)) => interval.as_point().map(|number| (number, *unit)),
        _ => None,
    }
}

/// The order of a step key's cell against a key.
pub fn order(cell: &KeyCell, key: Point) -> Option<std::cmp::Ordering> {
    match (cell, key) {
        (KeyCell::Value(Datum::Number(interval, _)), Point::Number(number)) => Some(interval.as_point()?.cmp(&number)),
        (KeyCell::Value(Datum::Days(days)), Point::Other(Value::Days(key, _))) => Some(days.first.cmp(&key.first)),
        (KeyCell::Value(Datum::Wire(wire)), Point::Other(Value::Wire(key))) => {
            if wire.thinner_than(*key)? {
                Some(std::cmp::Ordering::Less)
            } else if key.thinner_than(*wire)? {
                Some(std::cmp::Ordering::Greater)
            } else {
                Some(std::cmp::Ordering::Equal)
            }
        }
        _ => None,
    }
}

/// Whether a key that is one value answers to a cell.
pub fn answers(cell: &KeyCell, key: &Value) -> bool {
    match (cell, key) {
        (KeyCell::Any, _) | (_, Value::Any) => true,
        (KeyCell::Nothing, Value::Nothing) => true,
        (KeyCell::Nothing, Value::Number(number)) => number.interval.as_point().is_some_and(Exact::is_zero),
        (KeyCell::Value(datum), key) => match (Value::of(datum), key) {
            (Value::Number(cell), Value::Number(key)) => cell.interval == key.interval,
            (Value::Days(cell, _), Value::Days(key, _)) => cell.first <= key.first && key.last <= cell.last,
            (Value::Wire(cell), Value::Wire(key)) => cell.thinner_than(*key) == Some(false) && key.thinner_than(cell) == Some(false),
            (Value::Word(cell), Value::Word(key)) => cell == *key,
            (Value::Truth(cell), Value::Truth(key)) => cell == *key,
            _ => false,
        },
        (KeyCell::Range(low, high), Value::Number(number)) => number.interval.as_point().is_some_and(|number| {
            low.is_none_or(|(end, included)| number > end || included && number == end)
                && high.is_none_or(|(end, included)| number < end || included && number == end)
        }),
        _ => false,
    }
}

/// A key that is one value, to be put in order with cells.
pub fn point<'v, 'a>(key: &'v Value<'a>) -> Point<'v, 'a> {
    match key {
        Value::Number(number) => number.interval.as_point().map_or(Point::Other(key), Point::Number),
        other => Point::Other(other),
    }
}

fn answer<'a>(table: &'a Table, column: usize, keys: &[Value]) -> Option<Answer<'a>> {
    let (_, plain) = table.keys.split_last()?;
    let fits = |row: &Row| plain.iter().zip(keys).all(|(key, value)| answers(&row.cells[*key], value));
    answer_among(table, column, table.rows.iter().enumerate().filter(|(_, row)| fits(row)), keys.last()?)
}

/// What these rows answer to the last key.
pub fn answer_among<'a>(
    table: &'a Table,
    column: usize,
    mut rows: impl Iterator<Item = (usize, &'a Row)>,
    key: &Value,
) -> Option<Answer<'a>> {
    let last = table.keys.last()?;
    let step = table.columns[*last].key.unwrap_or(Step::Exact);
    let cell = |row: &'a Row, at: usize| Answer { row: at, ..Answer::cell(&row.cells[column]) };
    if step == Step::Exact {
        return rows.find(|(_, row)| answers(&row.cells[*last], key)).map(|(at, row)| cell(row, at));
    }
    let mut below: Option<(usize, &Row)> = None;
    let mut above: Option<(usize, &Row)> = None;
    let further = |one: &Row, other: &Row| match (&other.cells[*last], &one.cells[*last]) {
        (KeyCell::Value(Datum::Number(interval, _)), one) => interval.as_point().and_then(|number| order(one, Point::Number(number))),
        (KeyCell::Value(datum), one) => order(one, Point::Other(&Value::of(datum))),
        _ => None,
    };
    for (at, row) in rows {
        match order(&row.cells[*last], point(key)) {
            Some(std::cmp::Ordering::Equal) => return Some(cell(row, at)),
            Some(std::cmp::Ordering::Less) if below.is_none_or(|(_, best)| further(row, best) == Some(std::cmp::Ordering::Greater)) => {
                below = Some((at, row))
            }
            Some(std::cmp::Ordering::Greater) if above.is_none_or(|(_, best)| further(row, best) == Some(std::cmp::Ordering::Less)) => {
                above = Some((at, row))
            }
            _ => {}
        }
    }
    match step {
        Step::Down => below.map(|(at, row)| cell(row, at)),
        Step::Up => above.map(|(at, row)| cell(row, at)),
        _ => straight(below?, above?, *last, column, key),
    }
}

/// On a straight line between two rows, exactly.
fn straight<'a>(below: (usize, &'a Row), above: (usize, &'a Row), key: usize, column: usize, at: &Value) -> Option<Answer<'a>> {
    let Point::Number(at) = point(at) else { return None };
    let (x0, _) = number_of(&below.1.cells[key])?;
    let (x1, _) = number_of(&above.1.cells[key])?;
    let (y0, unit) = number_of(&below.1.cells[column])?;
    let (y1, _) = number_of(&above.1.cells[column])?;
    let share = at.sub(x0)?.div(x1.sub(x0)?)?;
    let number = y1.sub(y0)?.mul(share)?.add(y0)?;
    Some(Answer { cell: None, number: Some(number), unit, row: below.0, above: Some(above.0) })
}
