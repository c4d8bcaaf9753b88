//! The terminal view of one job: each finding at the job's line and at the pack's clause. It must not know files.

use super::as_read;
use super::escape::visible;
use super::excerpt::{Mark, Weight, draw, under};
use super::findings::{Finding, JobReport, Waiting};
use super::form::{Ending, Form, PackReport};
use super::slips::drawn;
use super::totals::{CAUTION, counted, outcome, packs, rests};
use crate::judge::rank::Rank;
use crate::language::tree::Modal;
use crate::slip::{Slip, first_few};
use crate::source::{FileId, Files};
use std::fmt::Write;

/// Most findings drawn in full for one job; the others take one line each.
const MOST_DRAWN: usize = 60;

/// The terminal view of a run.
pub struct Text {
    /// Whether it is coloured.
    pub colour: bool,
}

impl Form for Text {
    type Piece = String;

    fn job(&self, report: &JobReport, slips: &[Slip]) -> String {
        job(report, slips, self.colour) + "\n"
    }

    fn unjudged(&self, files: Files, slips: &[Slip]) -> String {
        unjudged(files, slips, self.colour) + "\n"
    }

    fn refused(&self, files: Files, why: &str) -> String {
        head(files, "") + &under("outcome", &format!("could not be judged: {why}")) + "\n"
    }

    fn pack(&self, pack: &PackReport) -> String {
        let minimums: String = pack.minimums.iter().map(|one| under("minimum", one)).collect();
        self.told(pack.files, pack.slips) + &under("pack", &pack.words()) + &minimums + "\n"
    }

    fn told(&self, files: Files, slips: &[Slip]) -> String {
        slips.iter().map(|slip| drawn(slip, files, self.colour) + "\n").collect()
    }

    fn add(&mut self, piece: String) -> String {
        piece
    }

    fn end(&mut self, ending: &Ending) -> String {
        let told = if ending.tally.is_worth_telling() { under("in all", &ending.tally.words()) + "\n" } else { String::new() };
        told + &under("caution", CAUTION)
    }
}

/// A judged job.
pub fn job(report: &JobReport, slips: &[Slip], colour: bool) -> String {
    let mut text = head(report.files, &report.title);
    for slip in slips {
        text.push_str(&drawn(slip, report.files, colour));
        text.push('\n');
    }
    for (at, one) in report.findings.iter().enumerate() {
        if at < MOST_DRAWN {
            text.push_str(&finding(one, report.files, colour));
            text.push('\n');
        } else {
            text.push_str(&super::plain::finding(one, report.files));
        }
    }
    for (at, one) in report.waiting.iter().enumerate() {
        if at < MOST_DRAWN {
            text.push_str(&waiting(one, report.files, colour));
            text.push('\n');
        } else {
            text.push_str(&super::plain::waiting(one, report.files));
        }
    }
    for notice in &report.notices {
        text.push_str(&drawn(notice, report.files, colour));
        text.push('\n');
    }
    text.push_str(&foot(report));
    text
}

/// A job that could not be judged at all.
pub fn unjudged(files: Files, slips: &[Slip], colour: bool) -> String {
    let mut text = head(files, "");
    for slip in slips {
        text.push_str(&drawn(slip, files, colour));
        text.push('\n');
    }
    text.push_str(&under("outcome", "could not be judged: put the slips above right first"));
    text
}

fn head(files: Files, title: &str) -> String {
    let name = files.job.map_or("", |job| job.name());
    let title = if title.is_empty() { String::new() } else { format!(" — {}", visible(title)) };
    format!("{}{title}\n\n", visible(name))
}

/// One finding: a heading, the job's line, the pack's clause, what to do, where it comes from.
pub(super) fn finding(one: &Finding, files: Files, colour: bool) -> String {
    let weight = if one.modal == Modal::Shall { Weight::Heavy } else { Weight::Light };
    let modal = if one.modal == Modal::Shall { "" } else { " (recommended)" };
    let heading = format!("{}{modal}: {}: {}", one.verdict, one.thing, one.title);
    let mut text = draw(files, weight, &heading, &job_marks(one), colour);
    let clause_head = format!("{}{}", one.clause_name(), changed(one));
    let says = one.why.reasons.first().map_or("", |reason| if reason.limit.is_some() { "the limit" } else { "the condition" });
    text.push_str(&draw(files, Weight::Clause, &clause_head, &[Mark { span: one.clause, says: says.into() }], colour));
    for reason in one.why.reasons.iter().skip(1) {
        text.push_str(&under("also", &sentence_of(reason)));
    }
    if one.rank == Rank::Marginal {
        text.push_str(&under(
            "measure",
            "the limit lies within the measuring tolerance: measure again more finely, or move away from the limit",
        ));
    }
    for (obstacle, span) in &one.why.obstacles {
        text.push_str(&under("because", &format!("{obstacle} ({})", super::excerpt::place_text(files, *span))));
    }
    if !one.why.remedy.is_empty() {
        text.push_str(&under("remedy", &one.why.remedy));
    }
    for from in &one.from {
        text.push_str(&under("source", &from.text()));
    }
    if let Some(listing) = &one.listing {
        text.push_str(&under("listed", &listing.words));
    }
    text
}

fn changed(one: &Finding) -> String {
    let mut text = String::new();
    if one.floor.is_none() && !one.amended_by.is_empty() {
        let _ = write!(text, ", as amended by {}", one.amended_by.join(", "));
    }
    if let Some(standing) = one.standing() {
        let _ = write!(text, ", {standing}");
    }
    text
}

/// What the reason says, and by how much it misses.
pub fn sentence_of(reason: &crate::judge::explain::Reason) -> String {
    match &reason.miss {
        Some(miss) => format!("{}: {miss}", reason.sentence),
        None => reason.sentence.clone(),
    }
}

/// The place of the finding first, then every other fact that took part.
fn job_marks(one: &Finding) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut main = String::new();
    let parts = one.why.reasons.first().map_or(&[][..], |reason| reason.parts.as_slice());
    for part in parts.iter().take(8) {
        let Some(span) = part.span.filter(|span| span.file == FileId::JOB) else { continue };
        if span == one.place || marks.iter().any(|mark: &Mark| mark.span == span) {
            continue;
        }
        marks.push(Mark { span, says: format!("{}: {}", part.name, part.shown) });
    }
    if let Some(reason) = one.why.reasons.first() {
        main = sentence_of(reason);
    }
    marks.insert(0, Mark { span: one.place, says: main });
    marks
}

/// Something missing, with what waits for it.
pub(super) fn waiting(one: &Waiting, files: Files, colour: bool) -> String {
    let names: Vec<String> = one.lacking.iter().map(|lacking| format!("{} ({})", lacking.name, lacking.thing)).collect();
    let count = one.asked_by.len();
    let (modal, weight) = if one.mandatory { ("", Weight::Heavy) } else { (" (recommended)", Weight::Light) };
    let heading =
        format!("open{modal}: {} not stated; {count} verdict{} for this", names.join(", "), if count == 1 { " waits" } else { "s wait" });
    let mut marks: Vec<Mark> = Vec::new();
    for lacking in one.lacking.iter().take(8) {
        if !marks.iter().any(|mark| mark.span == lacking.span) {
            marks.push(Mark { span: lacking.span, says: format!("{} belongs here", lacking.name) });
        }
    }
    let mut text = draw(files, weight, &heading, &marks, colour);
    for lacking in &one.lacking {
        text.push_str(&under("find out", &format!("{}: {}", lacking.name, lacking.doc)));
    }
    let asked: Vec<&str> = one.asked_by.iter().map(|(clause, _)| clause.as_str()).collect();
    text.push_str(&under("asked by", &first_few(&asked, 8, ',')));
    for words in &one.listings {
        text.push_str(&under("listed", &format!("{} of {count}: {words}", one.listed)));
    }
    text
}

fn foot(report: &JobReport) -> String {
    let mut text = String::new();
    for one in &report.carried {
        let by = one.carried_by.as_deref().unwrap_or("");
        text.push_str(&under(one.verdict, &format!("{}, {}: {by}", one.clause_name(), one.thing)));
    }
    for (pack, counts) in &report.counts {
        text.push_str(&under("judged", &format!("{pack}: {}", counted(counts))));
    }
    let rests = rests(&report.rests_on);
    if !rests.is_empty() {
        text.push_str(&under("rests on", &rests));
    }
    if !report.as_read.is_empty() {
        text.push_str(&under("as read", &format!("no tolerance stated: {}", as_read::told(&report.as_read))));
    }
    for pack in packs(report) {
        text.push_str(&under("pack", &pack));
    }
    text.push_str(&under("outcome", &outcome(report)));
    text
}
