//! Words of a pack as its author wrote them, for sentences about changes. It must not know what they mean.

use super::nudge::{governing, step_of};
use crate::language::program::{KeyCell, Program};
use crate::quantity::{Exact, Unit, read, show};
use crate::source::Span;

/// Longest part of a pack that a sentence quotes, in characters.
const LONGEST: usize = 72;

/// What is written at a place.
pub fn written(program: &Program, span: Span) -> &str {
    program.files.get(span.file).map_or("", |source| source.slice(span.range()))
}

/// The text on one line, cut where it is long, and without the quotes that would end a text of the rule language.
pub fn folded(text: &str) -> String {
    let uncommented = text.lines().map(|line| line.split('#').next().unwrap_or(""));
    let words = uncommented.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ").replace('"', "'");
    if words.chars().count() <= LONGEST {
        return words;
    }
    words.chars().take(LONGEST).chain(['…']).collect()
}

/// What is written at a place, as a sentence quotes it.
pub fn quoted(program: &Program, span: Span) -> String {
    format!("`{}`", folded(written(program, span)))
}

/// A cell of a row as it is written.
pub fn of_row(program: &Program, row: Span, column: usize) -> String {
    written(program, row).split('|').nth(column).unwrap_or("").trim().to_string()
}

/// The ends of a range cell, each moved by the last digit in which the cell is written.
pub fn ranges(low: Option<&(Exact, bool)>, high: Option<&(Exact, bool)>, text: &str) -> Vec<(KeyCell, String)> {
    let unit = unit_of(text);
    let step = step_of(text, unit).unwrap_or(Exact::ONE);
    let shown = |value: Exact| unit.map_or_else(|| show::plain(value), |unit| show::in_unit(value, unit));
    let mut cells = Vec::new();
    for by in [step.negated(), step] {
        if let Some((end, included)) = low
            && let Some(moved) = end.add(by)
        {
            let words = format!("{} begins at {}", folded(text), shown(moved));
            cells.push((KeyCell::Range(Some((moved, *included)), high.copied()), words));
        }
        if let Some((end, included)) = high
            && let Some(moved) = end.add(by)
        {
            let words = format!("{} ends at {}", folded(text), shown(moved));
            cells.push((KeyCell::Range(low.copied(), Some((moved, *included))), words));
        }
    }
    cells
}

/// The end of a range cell between the values beside it, as a job states them.
pub fn around(end: Exact, text: &str) -> Option<[String; 3]> {
    let unit = unit_of(text);
    let step = step_of(text, unit)?;
    let shown = |value: Exact| unit.map_or_else(|| show::plain(value), |unit| show::in_unit(value, unit));
    Some([shown(end.sub(step)?), shown(end), shown(end.add(step)?)])
}

/// The unit of the last number of a range cell.
fn unit_of(text: &str) -> Option<Unit> {
    let last = text.rsplit(" to ").next()?;
    let number = last.find(|c: char| c.is_ascii_digit()).and_then(|at| last.get(at..))?;
    read(governing(number)).ok()?.unit
}
