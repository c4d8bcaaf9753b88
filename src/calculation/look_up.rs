//! Look-ups written out: keys, the row that answers, its cells, its source. It must not know comparisons.

use super::amount::{Digits, point, shown, unit_of};
use super::fact::place;
use super::tree::{Cited, Detail, Input, Key, LookUp, Row};
use super::work::Work;
use crate::datum::Kind;
use crate::judge::doubt::Doubt;
use crate::judge::eval::Frame;
use crate::judge::look_up::rows_of;
use crate::judge::value::{Number, Value};
use crate::judge::words::datum_text;
use crate::language::program::{Citation, Column, Expr, KeyCell, Program, Table};
use crate::language::tree::Step;
use crate::quantity::{Days, Interval};

impl<'a> Work<'a, '_> {
    /// A look-up with its numbers put in, and what it found.
    pub fn look_up(
        &mut self,
        (table, column): (usize, usize),
        keys: &'a [Expr],
        expr: &'a Expr,
        frame: &mut Frame<'a, '_>,
        inputs: &mut Vec<Input>,
    ) -> (String, Detail) {
        let program = self.evaluator.program;
        let table = &program.tables[table];
        let put_in = self.with_parts(expr, &keys.iter().collect::<Vec<_>>(), frame, inputs);
        let values: Vec<Value<'a>> = keys.iter().map(|key| self.value(key, frame)).collect();
        let named =
            table.keys.iter().zip(keys).zip(&values).map(|((at, key), value)| Key {
                name: table.columns[*at].name.clone(),
                shown: shown(program, value, &key.kind, &self.digits),
            });
        let named = named.collect();
        let mut rows = Vec::new();
        for keys in
            [ends(&values, |number| number.interval.lo, |days| days.first), ends(&values, |number| number.interval.hi, |days| days.last)]
        {
            for row in rows_of(table, column, &keys) {
                if !rows.contains(&row) {
                    rows.push(row);
                }
            }
        }
        let rows = rows.into_iter().map(|row| self.row(table, column, row, &values)).collect();
        let between_rows = table.keys.last().and_then(|last| table.columns[*last].key).and_then(|step| match step {
            Step::Exact => None,
            Step::Down => Some("the next row down counts"),
            Step::Up => Some("the next row up counts"),
            Step::Straight => Some("on a straight line between the rows"),
        });
        let column = table.columns[column].name.clone();
        (put_in, Detail::LookUp(LookUp { table: table.name.clone(), column, between_rows, keys: named, rows }))
    }

    fn row(&self, table: &Table, column: usize, row: usize, values: &[Value<'a>]) -> Row {
        let row = &table.rows[row];
        let keys =
            table.keys.iter().zip(values).map(|(at, value)| cell(self.evaluator.program, &row.cells[*at], &table.columns[*at], value));
        let taken = cell(self.evaluator.program, &row.cells[column], &table.columns[column], &Value::Nothing);
        Row { cells: keys.chain([taken]).collect(), cite: row.cite.clone(), place: place(self.files, row.span) }
    }
}

/// Where values come from: a row's own citation goes before those of its table.
pub fn cited(program: &Program, cites: &[Citation]) -> Vec<Cited> {
    let one = |cite: &Citation| {
        let source = &program.sources[cite.source];
        Cited { title: source.title.clone(), clause: cite.clause.clone(), standing: source.standing.word(), from_memory: cite.from_memory }
    };
    cites.iter().map(one).collect()
}

/// Keys at one end of what they may be; where it is not known, only a row with `any` answers.
fn ends<'a>(
    values: &[Value<'a>],
    number: fn(&Number) -> Option<crate::quantity::Exact>,
    day: fn(&Days) -> jiff::civil::Date,
) -> Vec<Value<'a>> {
    let one = |value: &Value<'a>| match value {
        Value::Number(known) => number(known).map_or_else(
            || Value::Unknown(known.doubt.clone()),
            |at| Value::Number(Number { interval: Interval::point(at), ..known.clone() }),
        ),
        Value::Days(days, _) => Value::Days(Days::day(day(days)), Doubt::default()),
        other => other.clone(),
    };
    values.iter().map(one).collect()
}

/// A cell as its author might write it, a range in the unit of what was looked up.
fn cell(program: &Program, cell: &KeyCell, column: &Column, value: &Value) -> String {
    let unit = match value {
        Value::Number(number) => unit_of(number, &column.kind),
        _ => unit_of(&Number { interval: Interval::WHOLE, doubt: Doubt::default(), unit: None }, &column.kind),
    };
    let end = |at| point(at, &column.kind, unit, &Digits::new()).marked();
    match cell {
        KeyCell::Any => "any".into(),
        KeyCell::Nothing if column.kind == Kind::Count => "none (nought)".into(),
        KeyCell::Nothing => "none".into(),
        KeyCell::Value(datum) => datum_text(program, datum),
        KeyCell::Range(Some((lo, true)), Some((hi, true))) => format!("{} to {}", end(*lo), end(*hi)),
        KeyCell::Range(lo, hi) => {
            let low = lo.map(|(at, included)| format!("{} {}", if included { "at least" } else { "more than" }, end(at)));
            let high = hi.map(|(at, included)| format!("{} {}", if included { "at most" } else { "less than" }, end(at)));
            low.into_iter().chain(high).collect::<Vec<_>>().join(" and ")
        }
    }
}
