//! Where a trial could stand at a limit: the fact that is compared, and its values just inside the limit, at it and just outside. It
//! must not know trials.

use super::change::Boundary;
use super::nudge::{beside, governing};
use super::text::{around, of_row, quoted, written};
use crate::datum::{DefId, Kind};
use crate::language::program::{Expr, KeyCell, Op, Over, Program, Section};
use crate::language::tree::Comparison;
use crate::language::walk::exprs;
use crate::source::Span;

/// A stated fact with a limit.
pub struct Limit<'a> {
    /// The section, by its position.
    pub section: usize,
    /// The section with the clause or exception that compares.
    pub place: String,
    /// The kind of record that has the fact.
    pub def: DefId,
    /// The fact's key.
    pub fact: &'a str,
    /// The limit, as its author wrote it.
    pub shown: String,
    /// The values on both sides and between, as a job states them, each with its name.
    pub values: [(&'static str, String); 3],
}

/// The limits that a change moves.
///
/// # Errors
/// Why no trial can be offered for it.
pub fn limits<'a>(program: &'a Program, boundary: Boundary, place: &str) -> Result<Vec<Limit<'a>>, String> {
    match boundary {
        Boundary::Compared(span) => compared(program, span, place),
        Boundary::Cell(table, row, column) => in_table(program, table, row, column),
    }
}

/// Every expression of a section, with the place that holds it.
fn placed<'p>(section: &'p Section, visit: &mut dyn FnMut(&str, &'p Expr)) {
    let mut all = |place: String, expr: &'p Expr| exprs(expr, &mut |part| visit(&place, part));
    section.binders.iter().filter_map(|binder| binder.filter.as_ref()).for_each(|expr| all(section.id.clone(), expr));
    section.lets.iter().for_each(|(_, value)| all(section.id.clone(), value));
    for norm in &section.norms {
        norm.condition.iter().chain([&norm.body]).for_each(|expr| all(format!("{} ({})", section.id, norm.label), expr));
    }
    for except in &section.excepts {
        except.filter.iter().chain(&except.unless).for_each(|expr| all(format!("{} ({})", section.id, except.label), expr));
    }
}

fn compared<'a>(program: &'a Program, span: Span, place: &str) -> Result<Vec<Limit<'a>>, String> {
    let mut found: Option<(usize, &'a Expr)> = None;
    for (at, section) in program.sections.iter().enumerate() {
        placed(section, &mut |_, expr| {
            if expr.span == span && matches!(expr.op, Op::Compare(..) | Op::Between(..)) && found.is_none() {
                found = Some((at, expr));
            }
        });
    }
    let Some((section, expr)) = found else {
        return Err("the limit stands in a formula, so no fact of a job can be set beside it; write a trial by hand".into());
    };
    let maker = Maker { program, section, place: place.to_string() };
    let ends: Vec<(&Expr, bool)> = match &expr.op {
        Op::Compare(how, _, right) => vec![(&**right, is_most(*how))],
        Op::Between(_, low, high) => vec![(&**low, false), (&**high, true)],
        _ => Vec::new(),
    };
    let (Op::Compare(_, left, _) | Op::Between(left, ..)) = &expr.op else { return Ok(Vec::new()) };
    let limits = ends.into_iter().filter_map(|(end, most)| {
        let Op::Literal(datum) = &end.op else { return None };
        let shown = governing(written(program, end.span));
        let ordered = matches!(left.kind, Kind::Word(_));
        let sides = beside(datum, shown, &end.kind, ordered, &program.lists).into_iter().map(|(_, text)| text).collect();
        Some(maker.limit(left, shown, sides, most))
    });
    limits.collect()
}

fn is_most(how: Comparison) -> bool {
    matches!(how, Comparison::AtMost | Comparison::LessThan)
}

/// The comparisons of stated facts with a cell of a table, and the stated facts by which a row is found that begins or ends there.
fn in_table(program: &Program, table: usize, row: usize, column: usize) -> Result<Vec<Limit<'_>>, String> {
    let of = &program.tables[table];
    let text = of_row(program, of.rows[row].span, column);
    let shown = governing(&text).to_string();
    let mut found = Vec::new();
    for (section, what) in program.sections.iter().enumerate().filter(|(_, section)| section.floor_pack.is_none()) {
        placed(what, &mut |place, expr| {
            let maker = Maker { program, section, place: place.to_string() };
            match (&expr.op, &of.rows[row].cells[column]) {
                (Op::Compare(how, left, right), KeyCell::Value(datum)) if is_cell(what, right, table, column) => {
                    let sides = beside(datum, &text, &of.columns[column].kind, false, &program.lists);
                    found.extend(maker.limit(left, &shown, sides.into_iter().map(|(_, text)| text).collect(), is_most(*how)).ok());
                }
                (Op::LookUp(looked, _, keys), KeyCell::Range(low, high)) if *looked == table => {
                    let Some(key) = of.keys.iter().position(|key| *key == column).and_then(|at| keys.get(at)) else { return };
                    for (end, _) in [low, high].into_iter().flatten() {
                        let Some([below, at, above]) = around(*end, &text) else { continue };
                        found.extend(maker.limit(key, &at, vec![below, above], true).ok());
                    }
                }
                _ => {}
            }
        });
    }
    found.dedup_by(|one, other| (one.section, one.fact, &one.values) == (other.section, other.fact, &other.values));
    if found.is_empty() {
        return Err(
            "no clause compares a stated fact with this cell alone, so no fact of a job can be set beside it; write a trial by hand, \
            of a job that looks this row up"
                .into(),
        );
    }
    Ok(found)
}

/// Whether an expression is a cell of that column, looked up, of a bound row, or by a name of the section.
fn is_cell(section: &Section, expr: &Expr, table: usize, column: usize) -> bool {
    match &expr.op {
        Op::LookUp(looked, of, _) => (*looked, *of) == (table, column),
        Op::Column(slot, of) => {
            *of == column
                && section.binders.iter().any(|binder| binder.slot == *slot && matches!(binder.over, Over::Rows(rows) if rows == table))
        }
        Op::Let(at) => {
            section.lets.get(*at).is_some_and(|(_, value)| !matches!(value.op, Op::Let(_)) && is_cell(section, value, table, column))
        }
        _ => false,
    }
}

struct Maker<'p> {
    program: &'p Program,
    section: usize,
    place: String,
}

impl<'p> Maker<'p> {
    /// The limit of a fact: the values below and above it, and whether it is the most or the least.
    fn limit(&self, left: &Expr, shown: &str, sides: Vec<String>, most: bool) -> Result<Limit<'p>, String> {
        let Op::Fact(path, field) = &left.op else {
            return Err(format!("{} is worked out and stated by no job; write a trial by hand", quoted(self.program, left.span)));
        };
        let definition = self.program.definition(path.def);
        if !definition.gathers.is_empty() {
            return Err(format!("{} may be any of several kinds of record; write a trial by hand", quoted(self.program, left.span)));
        }
        let mut sides = sides.into_iter();
        let (Some(below), Some(above)) = (sides.next(), sides.next()) else {
            return Err(format!("there are no two values beside {shown}; write a trial by hand"));
        };
        let (inside, outside) = if most { (below, above) } else { (above, below) };
        let values = [("just-inside", inside), ("at", shown.to_string()), ("just-outside", outside)];
        let fact = &definition.fields[*field].name;
        Ok(Limit { section: self.section, place: self.place.clone(), def: path.def, fact, shown: shown.to_string(), values })
    }
}
