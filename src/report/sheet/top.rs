//! The answer that stands first: whether the job can be handed over, why not, the one move that cures most. It must not know the
//! rest of the sheet.

use super::Sheet;
use super::cure::cure;
use crate::judge::rank::Rank;
use crate::judge::variance::UNFIT;
use crate::report::document::{Block, Line, Run};
use crate::report::findings::JobReport;
use crate::report::numbered::Numbered;
use crate::report::totals::BY_URGENCY;

/// Most findings that the answer names.
const MOST: usize = 5;

/// The frame with the answer: whether, why not, the one move, the worst, what is let off, and by which texts on which day.
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
        inner.push(Block::Paragraph(one_move(sheet)));
        let more = sheet.numbered.len().saturating_sub(MOST);
        let more = if more > 0 { format!(", the first {MOST} of {}", sheet.numbered.len()) } else { String::new() };
        inner.push(Block::Paragraph(vec![Run::Strong(format!("Worst first{more}:"))]));
        inner.push(Block::Points(worst));
    }
    inner.extend(let_off(sheet));
    inner.push(Block::Paragraph(judged_by(sheet)));
    Block::Boxed(kind, inner)
}

/// Whether it can be handed over.
fn sentence(report: &JobReport) -> String {
    let listed: usize = report.listed.total();
    let but: Vec<String> =
        [(report.shall[Rank::Excused], "not met and excused by a variance"), (listed, "agreed to wait on the punch list")]
            .into_iter()
            .filter(|(number, _)| *number > 0)
            .map(|(number, what)| format!("{number} {what}"))
            .collect();
    match report.exit {
        0 if !but.is_empty() => format!("Yes, but only with {} (see below): nothing else mandatory stands in the way.", but.join(" and ")),
        0 => "Yes: as far as these codes were judged, nothing mandatory stands in the way of handing this job over.".into(),
        1 => "No: this job cannot be handed over yet.".into(),
        _ => "No: this job could not be judged as a whole, so it cannot be handed over.".into(),
    }
}

/// What is not as the codes ask and is let off: by whom, by what, until when; and variances that let nothing off, though somebody wrote them
/// down.
fn let_off(sheet: &Sheet) -> Vec<Block> {
    let report = sheet.report;
    let mut points: Vec<Line> = Vec::new();
    for finding in report.carried.iter().filter(|finding| finding.rank == Rank::Excused) {
        let by = finding.carried_by.clone().unwrap_or_default();
        points.push(said("Excused, not met", format!(" {}, {}: {by}", finding.clause_name(), finding.thing)));
    }
    for one in sheet.numbered.iter().filter(|one| one.listed) {
        points.push(said("On the punch list", format!(" No. {}, {}: {}", one.number, one.things().join(", "), one.agreed().join("; "))));
    }
    let unfit = report.notices.iter().filter(|slip| UNFIT.contains(&slip.name));
    points.extend(unfit.map(|slip| said("Counts for nothing", format!(" {}", slip.message))));
    if points.is_empty() {
        return Vec::new();
    }
    let more = points.len().saturating_sub(MOST);
    let mut told: Vec<(Line, Vec<Block>)> = points.into_iter().take(MOST).map(|line| (line, Vec::new())).collect();
    if more > 0 {
        told.push((vec![Run::plain(format!("and {more} more: see the open items and the variances"))], Vec::new()));
    }
    vec![Block::Paragraph(vec![Run::Strong("Excused, or on the punch list:".into())]), Block::Points(told)]
}

fn said(what: &str, text: String) -> Line {
    vec![Run::Strong(format!("{what}:")), Run::plain(text)]
}

/// The day of judging, and each pack with its edition.
fn judged_by(sheet: &Sheet) -> Line {
    let program = sheet.subject.program;
    let edition = |name: &String| program.pack(name).map_or_else(|| name.clone(), |pack| format!("{name} {}", pack.edition));
    let packs: Vec<String> = super::about::packs(program).into_iter().map(edition).collect();
    vec![Run::Strong(format!("Judged on {}", sheet.subject.today)), Run::plain(format!(" by {}.", packs.join(", ")))]
}

/// Counts, and what stops the judging.
fn why(report: &JobReport) -> Option<String> {
    if let Some(why) = &report.unjudged {
        return Some(format!("Why: {why}."));
    }
    let told: Vec<String> = BY_URGENCY
        .iter()
        .map(|rank| (report.shall[*rank] - report.listed[*rank], rank.word()))
        .filter(|(left, _)| *left > 0)
        .map(|(left, word)| format!("{left} {word}"))
        .collect();
    let advice: usize = report.should.of_findings();
    let doubts = report.codes_in_doubt();
    let mut parts = Vec::new();
    if !told.is_empty() {
        parts.push(format!("Of the mandatory verdicts: {}; {} met.", told.join(", "), report.shall[Rank::Met]));
    } else {
        let carried = match report.shall[Rank::Excepted] + report.shall[Rank::Excused] {
            0 => String::new(),
            some => format!(", {some} carried by an exception or a variance"),
        };
        parts.push(format!("{} mandatory verdicts are met{carried}.", report.shall[Rank::Met]));
    }
    if advice > 0 {
        parts.push(format!("{advice} recommended verdict{} to look at.", if advice == 1 { "" } else { "s" }));
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
