//! The drawings of each gate, with their text twins: plan, elevation and section. It must not know how a gate is drawn.

use super::Sheet;
use crate::report::blocks::Drawn;
use crate::report::document::{Block, Document, words};
use crate::report::drawing::figures;

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
        document.blocks.push(Block::Drawn(Drawn { title: figure.title, svg: figure.svg, twin: figure.twin.blocks() }));
    }
}
