//! Shows slips: what is wrong with a file itself. It must not know what the file means.

use super::escape::visible;
use super::excerpt::{Mark, Weight, draw, place_text, under};
use crate::slip::Slip;
use crate::source::Files;
use std::fmt::Write;

/// A slip as a drawn block.
pub fn drawn(slip: &Slip, files: Files, colour: bool) -> String {
    let word = if slip.harmless { "note" } else { "slip" };
    let head = format!("{word} {}: {}", slip.name, slip.message);
    let weight = if slip.harmless { Weight::Light } else { Weight::Heavy };
    let mut marks: Vec<Mark> = slip.span.iter().map(|span| Mark { span: *span, says: slip.label.clone() }).collect();
    marks.extend(slip.others.iter().map(|(span, says)| Mark { span: *span, says: says.clone() }));
    let mut text = draw(files, weight, &head, &marks, colour);
    let first = slip.span.map(|span| span.file);
    for (span, says) in slip.others.iter().filter(|(span, _)| Some(span.file) != first) {
        text.push_str(&draw(files, Weight::Clause, "and here", &[Mark { span: *span, says: says.clone() }], colour));
    }
    if let Some(hint) = &slip.hint {
        text.push_str(&under("do", hint));
    }
    text
}

/// A slip as one sentence.
pub fn sentence(slip: &Slip, files: Files) -> String {
    let mut text = String::new();
    if let Some(span) = slip.span {
        let _ = write!(text, "{}: ", place_text(files, span));
    }
    let word = if slip.harmless { "note" } else { "slip" };
    let _ = write!(text, "{word} {}: {}", slip.name, visible(&slip.message));
    for (span, says) in &slip.others {
        let _ = write!(text, "; {}: {}", place_text(files, *span), visible(says));
    }
    if let Some(hint) = &slip.hint {
        let _ = write!(text, "; {}", visible(hint));
    }
    text.push('\n');
    text
}
