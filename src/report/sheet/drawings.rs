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
        "To scale where points or measures are given; on paper, measure by the scale bar of each drawing. Numbers are those of the open items. The same in words stands below each drawing.",
    ));
    let mut told: Vec<String> = Vec::new();
    for figure in all {
        // Every view of a gate tells the same measures and findings: on paper they stand once.
        let gate = figure.title.split(':').next().unwrap_or("").to_string();
        if !told.contains(&gate) {
            document.blocks.push(measures(&gate, &figure.twin));
            told.push(gate);
        }
        let twin = in_words(&figure.twin);
        document.blocks.push(Block::Drawn(Drawn { title: upper(&figure.title), svg: figure.svg, twin }));
    }
}

/// What is drawn of a gate, each thing with its measures and findings.
fn measures(gate: &str, twin: &Twin) -> Block {
    let cell = |text: &String| if text.is_empty() { Line::new() } else { words(text.clone()) };
    let told = twin.rows.iter().filter(|row| !row[2].is_empty() || !row[3].is_empty());
    let rows = told.map(|row| vec![cell(&row[0]), cell(&row[2]), cell(&row[3])]).collect();
    let caption = format!("{}: measures and findings in the drawings", upper(gate));
    Block::Ledger(Ledger { widths: &[22, 66, 12], ..Ledger::plain(caption, &["Thing", "Measures", "Findings"], rows) })
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
