//! The calculations as text that reads like a hand calculation: numbered steps, labels in one column, tables with aligned
//! columns. It must not know what is shown.

use super::Document;
use super::sheet::{Block, Sheet, sheet};
use crate::report::escape::visible;
use crate::report::wrap::{broken, wrapped};

/// Columns before the label of a line.
const INDENT: usize = 4;
/// Columns of a label.
const LABEL: usize = 11;
/// Columns between two columns of a table.
const GAP: usize = 2;
/// The column in which the values stand, where no headings do.
const VALUE: usize = 1;
/// Narrowest column of a table.
const NARROWEST: usize = 6;

/// The document as text, with no line wider than `width`.
pub fn text(document: &Document, width: usize) -> String {
    let mut out = String::new();
    let title = if document.title.is_empty() { String::new() } else { format!(" — {}", document.title) };
    wrapped(&mut out, "", 0, &format!("Calculations of {}{title}", document.file), width);
    wrapped(&mut out, "", 0, &format!("judged on {} by:", document.today), width);
    for pack in &document.packs {
        wrapped(&mut out, "  ", 2, &format!("{} {} [{}] in {}", pack.name, pack.edition, pack.hash, pack.place), width);
    }
    for calculation in &document.calculations {
        drawn(&mut out, &sheet(calculation), width);
    }
    out.push('\n');
    wrapped(&mut out, "caution  ", 9, document.caution, width);
    out
}

fn drawn(out: &mut String, sheet: &Sheet, width: usize) {
    out.push('\n');
    out.push_str(&"=".repeat(width.min(super::WIDTH)));
    out.push('\n');
    wrapped(out, "", 2, &sheet.heading, width);
    blocks(out, &sheet.opening, width);
    for (title, parts) in &sheet.steps {
        out.push('\n');
        wrapped(out, "", 4, title, width);
        blocks(out, parts, width);
    }
    out.push('\n');
    blocks(out, &sheet.ending, width);
}

fn blocks(out: &mut String, blocks: &[Block], width: usize) {
    for block in blocks {
        match block {
            Block::Line(label, text) => wrapped(out, &format!("{}{label:<LABEL$}", " ".repeat(INDENT)), INDENT + LABEL, text, width),
            Block::Table { label: Some(label), rows, .. } => labelled(out, label, rows, width),
            Block::Table { heads, rows, .. } => table(out, heads, rows, width),
        }
    }
}

fn table(out: &mut String, heads: &[String], rows: &[Vec<String>], width: usize) {
    let indent = INDENT + LABEL;
    let lead = " ".repeat(indent);
    let widths = widths(heads.len(), heads.iter(), rows, width.saturating_sub(indent), None);
    row(out, heads, &widths, &lead);
    let rule: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
    row(out, &rule, &widths, &lead);
    for cells in rows {
        row(out, cells, &widths, &lead);
    }
}

/// A table whose columns need no headings: a label stands before it.
fn labelled(out: &mut String, label: &str, rows: &[Vec<String>], width: usize) {
    let mut lead = format!("{}{label:<LABEL$}", " ".repeat(INDENT));
    let columns = rows.first().map_or(0, Vec::len);
    let widths = widths(columns, [].iter(), rows, width.saturating_sub(INDENT + LABEL), Some(VALUE));
    for cells in rows {
        row(out, cells, &widths, &lead);
        lead = " ".repeat(INDENT + LABEL);
    }
}

/// The width of each column: as wide as its widest cell, and the widest give way until all fit, at blanks as long as they can.
/// A column of values is kept whole.
fn widths<'t>(
    columns: usize,
    heads: impl Iterator<Item = &'t String> + Clone,
    rows: &'t [Vec<String>],
    room: usize,
    whole: Option<usize>,
) -> Vec<usize> {
    let most = |at: usize, measure: fn(&str) -> usize| {
        let cells = rows.iter().filter_map(|row| row.get(at)).chain(heads.clone().nth(at));
        cells.map(|cell| measure(&visible(cell))).max().unwrap_or(0).max(1)
    };
    let long = |cell: &str| cell.chars().count();
    let longest_word = |cell: &str| cell.split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
    let mut widths: Vec<(usize, usize)> =
        (0..columns).map(|at| (most(at, long), most(at, if whole == Some(at) { long } else { longest_word }))).collect();
    let room = room.saturating_sub(GAP * columns.saturating_sub(1));
    let mut over = widths.iter().map(|(width, _)| width).sum::<usize>().saturating_sub(room);
    while over > 0 {
        let at_a_blank = widths.iter().enumerate().filter(|(_, (width, word))| width > word).max_by_key(|(_, (width, _))| *width);
        let anywhere = widths.iter().enumerate().filter(|(_, (width, _))| *width > NARROWEST).max_by_key(|(_, (width, _))| *width);
        let Some(at) = at_a_blank.or(anywhere).map(|(at, _)| at) else { break };
        widths[at].0 -= 1;
        over -= 1;
    }
    widths.into_iter().map(|(width, _)| width).collect()
}

fn row(out: &mut String, cells: &[String], widths: &[usize], lead: &str) {
    let parts: Vec<Vec<String>> = cells.iter().zip(widths).map(|(cell, width)| broken(&visible(cell), *width)).collect();
    for at in 0..parts.iter().map(Vec::len).max().unwrap_or(0) {
        let mut line = if at == 0 { lead.to_string() } else { " ".repeat(lead.chars().count()) };
        for (part, width) in parts.iter().zip(widths) {
            let text = part.get(at).map_or("", String::as_str);
            line.push_str(text);
            line.push_str(&" ".repeat(width.saturating_sub(text.chars().count()) + GAP));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
}
