//! The columns of facts and of table rows. It must not know clauses.

use super::lay::joined_parts;
use super::lines::{Field, Line};
use super::tokens::INDENT;
use std::fmt::Write;

/// Where the kind of a fact starts.
const KIND: usize = INDENT + 17;
/// Where what follows a kind starts.
const MORE: usize = KIND + 10;
/// Where the text of a fact starts.
const TEXT: usize = KIND + 26;
/// A text that would start further right goes to a line of its own.
const FURTHEST: usize = 100;

/// How wide each column of an item's rows is.
pub fn row_widths(lines: &[Line]) -> Vec<usize> {
    let mut widths = Vec::new();
    for cells in lines.iter().filter_map(|line| line.row.as_ref()) {
        widths.resize(widths.len().max(cells.len()), 0);
        for (width, cell) in widths.iter_mut().zip(cells) {
            *width = (*width).max(cell.chars().count());
        }
    }
    widths
}

/// Writes a row; the last cell has nothing after it.
pub fn row(out: &mut String, cells: &[String], widths: &[usize]) {
    let _ = write!(out, "{:INDENT$}", "");
    for (at, (cell, width)) in cells.iter().zip(widths).enumerate() {
        if at + 1 < cells.len() {
            let _ = write!(out, "{cell:width$} | ");
        } else {
            out.push_str(cell);
        }
    }
}

/// Writes a fact in its columns; what is too long for its column moves the rest on.
pub fn field(out: &mut String, field: &Field) {
    let mut line = format!("{:INDENT$}{}", "", field.name);
    for (column, words) in [(KIND, &field.kind), (MORE, &field.more)] {
        if !words.is_empty() {
            let gap = column.saturating_sub(line.chars().count()).max(1);
            let _ = write!(line, "{:gap$}{words}", "");
        }
    }
    if !field.texts.is_empty() {
        let reached = line.chars().count();
        let start = if reached > FURTHEST { TEXT } else { TEXT.max(reached + 1) };
        let _ = if reached > FURTHEST { write!(line, "\n{:start$}", "") } else { write!(line, "{:gap$}", "", gap = start - reached) };
        line.push_str(&joined_parts(&field.texts, start).join(&format!("\n{:start$}", "")));
    }
    out.push_str(&line);
    if !field.follows.is_empty() {
        let _ = write!(out, "\n{:KIND$}{}", "", field.follows);
    }
}
