//! Looks up tables: exact rows, ranges, steps between rows, straight lines. An uncertain key is answered only where every
//! value it may have is answered. It must not know verdicts.

use super::doubt::{Doubt, Obstacle};
use super::eval::{Evaluator, Frame, unknown};
use super::value::{Number, Value};
use super::words::{datum_text, value_text};
use crate::datum::{Datum, Kind};
use crate::language::program::{Expr, KeyCell, Program, Row, Table};
use crate::language::tree::Step;
use crate::quantity::{Exact, Interval};

/// Most rows of a table that are told where none answers.
const MOST_ROWS_TOLD: usize = 8;

/// A key that is one value.
#[derive(Clone, Copy)]
enum Point<'v, 'a> {
    Number(Exact),
    Other(&'v Value<'a>),
}

impl<'a> Evaluator<'a> {
    /// The cell of `column` for these keys.
    pub fn look_up(&mut self, table: usize, column: usize, keys: &'a [Expr], expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        let program = self.program;
        let table = &program.tables[table];
        let values: Vec<Value<'a>> = keys.iter().map(|key| self.value(key, frame)).collect();
        let mut doubt = Doubt::default();
        // Every key as the values at the ends of what it may be; a known key is the same at both ends.
        let (mut low, mut high): (Vec<Value<'a>>, Vec<Value<'a>>) = (Vec::new(), Vec::new());
        for value in &values {
            match value {
                Value::Unknown(reasons) => return unknown(&expr.kind, reasons.clone()),
                Value::Nothing => {
                    low.push(Value::Nothing);
                    high.push(Value::Nothing);
                }
                Value::Number(number) if number.interval.as_point().is_none() => {
                    let (Some(lo), Some(hi)) = (number.interval.lo, number.interval.hi) else {
                        return unknown(&expr.kind, number.doubt.clone());
                    };
                    doubt.join(&number.doubt);
                    low.push(Value::point(lo));
                    high.push(Value::point(hi));
                }
                Value::Days(days, reasons) if !days.is_known() => {
                    doubt.join(reasons);
                    low.push(Value::Days(crate::quantity::Days::day(days.first), Doubt::default()));
                    high.push(Value::Days(crate::quantity::Days::day(days.last), Doubt::default()));
                }
                Value::Truth(super::doubt::Truth::Doubtful(reasons)) => return unknown(&expr.kind, reasons.clone()),
                known => {
                    low.push(known.clone());
                    high.push(known.clone());
                }
            }
        }
        let outside = || unknown(&expr.kind, Doubt::of_obstacle(Obstacle::OutsideTable(expr.span, no_row(program, table, &values))));
        let at_low = answer(table, column, &low);
        if at_low.is_none() && (doubt.is_none() || surely_outside(table, &low, &high)) {
            return outside();
        }
        let Some(at_low) = at_low else { return unknown(&expr.kind, doubt) };
        if doubt.is_none() {
            return at_low.value(&expr.kind);
        }
        let Some(at_high) = answer(table, column, &high) else { return unknown(&expr.kind, doubt) };
        between(table, column, &low, &high, &at_low, &at_high, doubt, &expr.kind)
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
            if !there.contains(&text) {
                there.push(text);
            }
        }
    }
    let more = there.len().saturating_sub(MOST_ROWS_TOLD);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let rows = match strange {
        Some((column, _)) if !there.is_empty() => {
            let shown = there.iter().take(MOST_ROWS_TOLD).cloned().collect::<Vec<_>>().join(", ");
            format!("; its rows for {} are: {shown}{more}", table.columns[*column].name)
        }
        _ => String::new(),
    };
    format!("table `{}` has no row for {}{rows}; put the value right, or add the row", table.name, keys.join(", "))
}

/// What a table answers: a cell, or a number on a line between rows.
struct Answer<'a> {
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
    fn value(&self, kind: &Kind) -> Value<'a> {
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
fn order(cell: &KeyCell, key: Point) -> Option<std::cmp::Ordering> {
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
fn answers(cell: &KeyCell, key: &Value) -> bool {
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

fn point<'v, 'a>(key: &'v Value<'a>) -> Point<'v, 'a> {
    match key {
        Value::Number(number) => number.interval.as_point().map_or(Point::Other(key), Point::Number),
        other => Point::Other(other),
    }
}

fn answer<'a>(table: &'a Table, column: usize, keys: &[Value]) -> Option<Answer<'a>> {
    let (last, plain) = table.keys.split_last()?;
    let step = table.columns[*last].key.unwrap_or(Step::Exact);
    let fits = |row: &Row| plain.iter().zip(keys).all(|(key, value)| answers(&row.cells[*key], value));
    let key = keys.last()?;
    let rows = table.rows.iter().enumerate().filter(|(_, row)| fits(row));
    let cell = |row: &'a Row, at: usize| Answer { cell: Some(&row.cells[column]), number: None, unit: None, row: at, above: None };
    if step == Step::Exact {
        return rows.into_iter().find(|(_, row)| answers(&row.cells[*last], key)).map(|(at, row)| cell(row, at));
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

/// Whether no row answers to any keys from `low` to `high`: then it is not the doubt about them that is in the way.
fn surely_outside(table: &Table, low: &[Value], high: &[Value]) -> bool {
    let Some((last, plain)) = table.keys.split_last() else { return false };
    let (Some(low_key), Some(high_key)) = (low.last(), high.last()) else { return false };
    let may_fit = |row: &&Row| plain.iter().zip(low.iter().zip(high)).all(|(key, (low, high))| may_answer(&row.cells[*key], low, high));
    let begins = |row: &Row| order(&row.cells[*last], point(high_key)).is_none_or(std::cmp::Ordering::is_le);
    let ends = |row: &Row| order(&row.cells[*last], point(low_key)).is_none_or(std::cmp::Ordering::is_ge);
    let mut rows = table.rows.iter().filter(may_fit);
    match table.columns[*last].key.unwrap_or(Step::Exact) {
        Step::Exact => !rows.any(|row| may_answer(&row.cells[*last], low_key, high_key)),
        Step::Down => !rows.any(begins),
        Step::Up => !rows.any(ends),
        Step::Straight => {
            let rows: Vec<&Row> = rows.collect();
            !rows.iter().any(|row| begins(row)) || !rows.iter().any(|row| ends(row))
        }
    }
}

/// Whether a key from `low` to `high` might answer to a cell; only numbers can be told not to.
fn may_answer(cell: &KeyCell, low: &Value, high: &Value) -> bool {
    let (Value::Number(low_key), Value::Number(high_key)) = (low, high) else { return low != high || answers(cell, low) };
    let (Some(low_key), Some(high_key)) = (low_key.interval.as_point(), high_key.interval.as_point()) else { return true };
    match cell {
        KeyCell::Range(from, to) => {
            from.is_none_or(|(end, included)| high_key > end || included && high_key == end)
                && to.is_none_or(|(end, included)| low_key < end || included && low_key == end)
        }
        KeyCell::Value(Datum::Number(interval, _)) => interval.as_point().is_none_or(|number| low_key <= number && number <= high_key),
        KeyCell::Nothing => low_key <= Exact::ZERO && Exact::ZERO <= high_key,
        KeyCell::Any | KeyCell::Value(_) => true,
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

/// The bounds of what lies between two answers: over both ends and every row between them. Rows found by their own range
/// must be the same one, since a gap between ranges has no answer.
#[allow(clippy::too_many_arguments)]
fn between<'a>(
    table: &'a Table,
    column: usize,
    low: &[Value],
    high: &[Value],
    at_low: &Answer<'a>,
    at_high: &Answer<'a>,
    doubt: Doubt,
    kind: &Kind,
) -> Value<'a> {
    let (Some((last, _)), Some(low_key), Some(high_key)) = (table.keys.split_last(), low.last(), high.last()) else {
        return unknown(kind, doubt);
    };
    let step = table.columns[*last].key.unwrap_or(Step::Exact);
    if at_low.row == at_high.row && at_low.number.is_none() && at_high.number.is_none() {
        return at_low.value(kind);
    }
    if step == Step::Exact {
        return unknown(kind, doubt);
    }
    let number = |answer: &Answer<'a>| match answer.value(kind) {
        Value::Number(number) => Some(number),
        _ => None,
    };
    let (Some(first), Some(second)) = (number(at_low), number(at_high)) else { return unknown(kind, doubt) };
    let mut interval = first.interval.hull(second.interval);
    for row in &table.rows {
        let inside = order(&row.cells[*last], point(low_key)).is_some_and(std::cmp::Ordering::is_ge)
            && order(&row.cells[*last], point(high_key)).is_some_and(std::cmp::Ordering::is_le);
        if let Some((number, _)) = number_of(&row.cells[column]).filter(|_| inside) {
            interval = interval.hull(Interval::point(number));
        }
    }
    Value::Number(Number { interval, doubt, unit: first.unit.or(second.unit) })
}
