//! The drawings of each gate, with their text twins: plan, elevation and section. It must not know how a gate is drawn.

use super::Sheet;
use super::top::upper;
use crate::report::blocks::{Drawn, Ledger};
use crate::report::document::{Block, Document, Line, words};
use crate::report::drawing::{Twin, figures};

/// Every figure of the job.
pub fn drawings(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "drawings", "Drawings");
    let subject = &sheet.subject;
    let all = figures(subject.program, subject.job, subject.source, sheet.report, &subject.today.to_string());
    if all.is_empty() {
        document.paragraph(words("The job lists no gate that could be drawn."));
        return;
    }
    document.paragraph(words(
        "To scale where points or measures are given; numbers in a drawing are those of the open items. Each is told in words below it.",
    ));
    if !subject.job.units.as_written() {
        document.paragraph(words("The drawings show each number as its author wrote it."));
    }
    for figure in all {
        let twin = in_words(&figure.twin);
        document.blocks.push(Block::Drawn(Drawn { title: upper(&figure.title), svg: figure.svg, twin }));
    }
}

/// The same in words: a table of things, then what is to be known of the drawing, then the findings that it names by number.
fn in_words(twin: &Twin) -> Vec<Block> {
    let cell = |text: &String| if text.is_empty() { Line::new() } else { words(text.clone()) };
    let rows = twin.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
    let heads = ["Thing", "What is drawn", "Measures", "Findings"];
    let table = Ledger { widths: &[18, 36, 34, 12], ..Ledger::plain(upper(&twin.caption), &heads, rows) };
    let mut blocks = vec![Block::Ledger(table)];
    blocks.extend(twin.notes.iter().map(|note| Block::Paragraph(words(note.clone()))));
    if !twin.findings.is_empty() {
        blocks.push(Block::Points(twin.findings.iter().map(|finding| (words(finding.clone()), Vec::new())).collect()));
    }
    blocks
}
