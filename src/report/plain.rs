//! The plain view: one sentence a line, for logs and screen readers. It must not know files.

use super::as_read;
use super::escape::visible;
use super::excerpt::place_text;
use super::findings::{Finding, JobReport, Waiting};
use super::form::{Ending, Form, PackReport};
use super::slips::sentence;
use super::text::sentence_of;
use super::totals::{CAUTION, counted, outcome, rests};
use crate::language::tree::Modal;
use crate::slip::Slip;
use crate::slip::first_few;
use crate::source::Files;
use std::fmt::Write;

/// The plain view of a run.
pub struct Plain;

impl Form for Plain {
    type Piece = String;

    fn job(&self, report: &JobReport, slips: &[Slip]) -> String {
        job(report, slips)
    }

    fn unjudged(&self, files: Files, slips: &[Slip]) -> String {
        unjudged(files, slips)
    }

    fn refused(&self, files: Files, why: &str) -> String {
        let name = files.job.map_or("", |job| job.name());
        format!("{}: outcome: could not be judged: {}\n", visible(name), visible(why))
    }

    fn pack(&self, pack: &PackReport) -> String {
        let minimum = |one: &String| format!("{}: minimum: {}\n", visible(pack.path), visible(one));
        self.told(pack.files, pack.slips) + &visible(&pack.words()) + "\n" + &pack.minimums.iter().map(minimum).collect::<String>()
    }

    fn told(&self, files: Files, slips: &[Slip]) -> String {
        slips.iter().map(|slip| sentence(slip, files)).collect()
    }

    fn add(&mut self, piece: String) -> String {
        piece
    }

    fn end(&mut self, ending: &Ending) -> String {
        let told = if ending.tally.is_worth_telling() { format!("in all: {}\n", ending.tally.words()) } else { String::new() };
        told + &format!("caution: {CAUTION}\n")
    }
}

/// A judged job.
pub fn job(report: &JobReport, slips: &[Slip]) -> String {
    let mut text = String::new();
    for slip in slips.iter().chain(&report.notices) {
        text.push_str(&sentence(slip, report.files));
    }
    for one in &report.findings {
        text.push_str(&finding(one, report.files));
    }
    for one in &report.waiting {
        text.push_str(&waiting(one, report.files));
    }
    let name = report.files.job.map_or("", |job| job.name());
    for one in &report.carried {
        let _ = writeln!(
            text,
            "{}: {}: {}, {}: {}",
            place_text(report.files, one.place),
            one.verdict,
            one.clause_name(),
            visible(&one.thing),
            visible(one.carried_by.as_deref().unwrap_or(""))
        );
    }
    for (pack, counts) in &report.counts {
        let _ = writeln!(text, "{}: judged by {pack}: {}", visible(name), counted(counts));
    }
    let rests = rests(&report.rests_on);
    if !rests.is_empty() {
        let _ = writeln!(text, "{}: rests on: {rests}", visible(name));
    }
    if !report.as_read.is_empty() {
        let _ = writeln!(text, "{}: judged as read, no tolerance stated: {}", visible(name), visible(&as_read::told(&report.as_read)));
    }
    let _ = writeln!(text, "{}: outcome: {}", visible(name), outcome(report));
    text
}

/// A job that could not be judged at all.
fn unjudged(files: Files, slips: &[Slip]) -> String {
    let mut text: String = slips.iter().map(|slip| sentence(slip, files)).collect();
    let name = files.job.map_or("", |job| job.name());
    let _ = writeln!(text, "{}: outcome: could not be judged", visible(name));
    text
}

/// One finding as one line.
pub fn finding(one: &Finding, files: Files) -> String {
    let modal = if one.modal == Modal::Shall { "" } else { " (recommended)" };
    let mut text = format!("{}: {}{modal}: {}, {}: ", place_text(files, one.place), one.verdict, one.clause_name(), visible(&one.thing));
    let reasons: Vec<String> = one.why.reasons.iter().map(|reason| sentence_of(reason) + &values_of(reason)).collect();
    text.push_str(&visible(&if reasons.is_empty() { one.title.clone() } else { reasons.join("; ") }));
    for (obstacle, _) in &one.why.obstacles {
        let _ = write!(text, "; {}", visible(obstacle));
    }
    if !one.why.remedy.is_empty() {
        let _ = write!(text, "; remedy: {}", visible(one.why.remedy.trim_end_matches('.')));
    }
    if let Some(standing) = one.standing() {
        let _ = write!(text, "; {standing}");
    }
    let sources: Vec<String> = one.from.iter().map(super::findings::Provenance::text).collect();
    let _ = write!(text, "; source: {}", visible(&sources.join("; ")));
    if let Some(listing) = &one.listing {
        let _ = write!(text, "; {}", visible(&listing.words));
    }
    text.push('\n');
    text
}

/// The facts of a condition that is no comparison: without a drawing, their values must be told.
fn values_of(reason: &crate::judge::explain::Reason) -> String {
    if reason.limit.is_some() || reason.parts.len() < 2 {
        return String::new();
    }
    let parts: Vec<String> = reason.parts.iter().take(6).map(|part| format!("{} is {}", part.name, part.shown)).collect();
    format!(" ({})", parts.join(", "))
}

/// Something missing, as one line.
pub fn waiting(one: &Waiting, files: Files) -> String {
    let modal = if one.mandatory { "" } else { " (recommended)" };
    let facts: Vec<String> =
        one.lacking.iter().map(|lacking| format!("{} of {} is not stated ({})", lacking.name, lacking.thing, lacking.doc)).collect();
    let asked: Vec<&str> = one.asked_by.iter().map(|(clause, _)| clause.as_str()).collect();
    let mut text = format!(
        "{}: open{modal}: {}; asked by {}",
        place_text(files, one.place),
        visible(&facts.join("; ")),
        visible(&first_few(&asked, 12, ','))
    );
    for words in &one.listings {
        let _ = write!(text, "; {} of {}: {}", one.listed, one.asked_by.len(), visible(words));
    }
    text.push('\n');
    text
}
