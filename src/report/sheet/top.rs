//! The answer that stands first: whether the job can be handed over, why not, the one move that cures most. It must not know the
//! rest of the sheet.

use super::Sheet;
use super::cure::cure;
use crate::report::document::{Block, Line, Run};
use crate::report::findings::JobReport;
use crate::report::numbered::Numbered;

/// Most findings that the answer names.
const MOST: usize = 5;

/// The frame with the answer.
pub fn answer(sheet: &Sheet) -> Block {
    let report = sheet.report;
    let kind = match report.exit {
        0 => "ready",
        1 => "not-ready",
        _ => "unjudged",
    };
    let mut inner = vec![Block::Paragraph(vec![Run::plain(sentence(report))])];
    if let Some(why) = why(report) {
        inner.push(Block::Paragraph(vec![Run::plain(why)]));
    }
    let worst: Vec<(Line, Vec<Block>)> = sheet.numbered.iter().take(MOST).map(|one| (worst(one), Vec::new())).collect();
    if !worst.is_empty() {
        let more = sheet.numbered.len().saturating_sub(MOST);
        let more = if more > 0 { format!(", the first {MOST} of {}", sheet.numbered.len()) } else { String::new() };
        inner.push(Block::Paragraph(vec![Run::Strong(format!("Worst first{more}:"))]));
        inner.push(Block::Points(worst));
        inner.push(Block::Paragraph(one_move(sheet)));
    }
    Block::Boxed(kind, inner)
}

/// Whether it can be handed over.
fn sentence(report: &JobReport) -> String {
    match report.exit {
        0 => "Yes: as far as these codes were judged, nothing mandatory stands in the way of handing this job over.".into(),
        1 => "No: this job cannot be handed over yet.".into(),
        _ => "No: this job could not be judged as a whole, so it cannot be handed over.".into(),
    }
}

/// Counts, and what stops the judging.
fn why(report: &JobReport) -> Option<String> {
    if let Some(why) = &report.unjudged {
        return Some(format!("Why: {why}."));
    }
    let named = [(7, "not met"), (6, "unanswered"), (4, "marginal"), (5, "open")];
    let told: Vec<String> =
        named.iter().filter(|(rank, _)| report.shall[*rank] > 0).map(|(rank, word)| format!("{} {word}", report.shall[*rank])).collect();
    let advice: usize = report.should[4..].iter().sum();
    let doubts = report.codes_in_doubt();
    let mut parts = Vec::new();
    if !told.is_empty() {
        parts.push(format!("Of the mandatory clauses that apply {}; {} met.", told.join(", "), report.shall[1]));
    } else {
        let carried = match report.shall[2] + report.shall[3] {
            0 => String::new(),
            some => format!(", {some} carried by an exception or a variance"),
        };
        parts.push(format!("{} mandatory clauses are met{carried}.", report.shall[1]));
    }
    if advice > 0 {
        parts.push(format!("{advice} recommended clause{} to look at.", if advice == 1 { "" } else { "s" }));
    }
    if !doubts.is_empty() {
        parts.push(format!("Whether a code is in force is not known: {}.", doubts.join("; ")));
    }
    Some(parts.join(" "))
}

fn worst(one: &Numbered) -> Line {
    let advice = if one.modal() == crate::language::tree::Modal::Shall { "" } else { " (recommended)" };
    vec![
        Run::Link(format!("finding-{}", one.number), format!("No. {}", one.number)),
        Run::plain(" "),
        Run::Verdict(one.rank(), one.verdict().into()),
        Run::plain(format!("{advice} {}: {}", one.things().join(", "), one.words())),
    ]
}

fn one_move(sheet: &Sheet) -> Line {
    match cure(&sheet.subject, sheet.report) {
        Ok(cure) => vec![
            Run::Strong("One move that cures most: ".into()),
            Run::plain(format!("{}. It settles {}. ({}.)", cure.what, cure.cures, upper(&cure.how))),
        ],
        Err(why) => vec![Run::Strong("One move that cures most: ".into()), Run::plain(format!("none is told: {why}."))],
    }
}

/// With its first letter large.
pub fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}
