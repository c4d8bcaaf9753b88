//! A run on one page of Markdown, for the page of a build: how many jobs are ready, which are not, the worst findings. What it holds
//! is bounded whatever the number of jobs. It must not know files.

use super::ends::End;
use super::escape::{markdown, short};
use super::findings::{Finding, JobReport};
use super::form::{Ending, Form, PackReport};
use super::text::sentence_of;
use super::totals::{CAUTION, counted, outcome, packs};
use crate::judge::rank::{Counts, Rank};
use crate::language::tree::Modal;
use crate::slip::Slip;
use crate::source::Files;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Most rows of a table.
const MOST_ROWS: usize = 50;
/// Longest text of a cell, in characters.
const LONGEST: usize = 330;

/// What one job or pack gives.
#[derive(Default, Serialize, Deserialize)]
pub struct Piece {
    counts: Counts,
    listed: usize,
    /// How a job ended, and its row; none for what is no job.
    job: Option<(End, String)>,
    packs: Vec<String>,
    rows: Vec<(u8, String)>,
    excused: Vec<String>,
    troubles: Vec<String>,
    notes: Vec<String>,
}

/// Rows of a table: the worst are kept, in the order of coming.
#[derive(Default)]
struct Table {
    rows: BTreeMap<(u8, usize), String>,
    met: usize,
}

/// The summary of a run in the making.
#[derive(Default)]
pub struct Summary {
    today: String,
    counts: Counts,
    listed: usize,
    not_ready: Table,
    unfinished: Table,
    findings: Table,
    excused: Table,
    troubles: Table,
    notes: Table,
    packs: BTreeSet<String>,
}

impl Table {
    fn add(&mut self, weight: u8, row: String) {
        self.rows.insert((weight, self.met), row);
        self.met += 1;
        if self.rows.len() > MOST_ROWS {
            self.rows.pop_last();
        }
    }

    fn written(&self, title: &str, head: &str) -> String {
        if self.met == 0 {
            return String::new();
        }
        let columns = head.matches('|').count() - 1;
        let mut text = format!("\n## {title}\n\n{head}\n|{}\n", " --- |".repeat(columns));
        self.rows.values().for_each(|row| text.push_str(row));
        if self.met > self.rows.len() {
            let _ = writeln!(text, "\nThe worst {} of {}; the others are left out here.", self.rows.len(), self.met);
        }
        text
    }
}

fn cell(words: &str) -> String {
    markdown(&short(words, LONGEST))
}

fn row(report: &JobReport, finding: &Finding) -> (u8, String) {
    let reasons: Vec<String> = finding.why.reasons.iter().map(sentence_of).collect();
    let lacking = finding.why.lacking.iter().map(|lacking| format!("{} of {} is not stated", lacking.name, lacking.thing));
    let obstacles = finding.why.obstacles.iter().map(|(obstacle, _)| obstacle.clone());
    let mut why: Vec<String> = if finding.rank == Rank::Open { lacking.collect() } else { reasons.into_iter().chain(obstacles).collect() };
    why.extend(finding.listing.iter().filter(|listing| !listing.covers()).map(|listing| listing.words.clone()));
    if !finding.why.remedy.is_empty() {
        why.push(format!("remedy: {}", finding.why.remedy));
    }
    let weight = match (finding.rank, finding.modal) {
        (Rank::NotMet, Modal::Shall) => 0,
        (Rank::Unanswered, Modal::Shall) => 1,
        (Rank::Marginal, Modal::Shall) => 2,
        (_, Modal::Shall) => 3,
        _ => 4,
    };
    let verdict = if finding.modal == Modal::Shall { finding.verdict.to_string() } else { format!("{} (recommended)", finding.verdict) };
    let place = super::excerpt::place_text(report.files, finding.place);
    let cells = [&verdict, &place, &finding.thing, &finding.clause_name(), &why.join("; ")].map(|words| cell(words));
    (weight, format!("| {} |\n", cells.join(" | ")))
}

/// What a variance excuses, as a row.
fn excused(report: &JobReport, finding: &Finding) -> String {
    let place = super::excerpt::place_text(report.files, finding.place);
    let by = finding.carried_by.clone().unwrap_or_default();
    let cells = [&place, &finding.thing, &finding.clause_name(), &by].map(|words| cell(words));
    format!("| {} |\n", cells.join(" | "))
}

/// Slips that stop the judging, or those that do not, each as a row; one without a place names the job that it was met with.
fn told(files: Files, slips: &[Slip], harmless: bool) -> Vec<String> {
    let row = |slip: &Slip| {
        let sentence = super::slips::sentence(slip, files);
        let job = files.job.filter(|_| slip.span.is_none()).map_or_else(String::new, |job| format!("{}: ", job.name()));
        format!("| {} |\n", cell(&format!("{job}{}", sentence.trim_end())))
    };
    slips.iter().filter(|slip| slip.harmless == harmless).map(row).collect()
}

impl Form for Summary {
    type Piece = Piece;

    fn wants_all(&self) -> bool {
        true
    }

    fn begin(&mut self, today: &str) -> String {
        self.today = today.to_string();
        String::new()
    }

    fn job(&self, report: &JobReport, slips: &[Slip]) -> Piece {
        let name = report.files.job.map_or("", |job| job.name());
        let findings = report.all.iter().filter(|finding| finding.rank.is_finding() && !finding.is_listed());
        let mut counts = report.shall;
        counts += report.should;
        Piece {
            counts,
            listed: report.all.iter().filter(|finding| finding.is_listed()).count(),
            job: Some((report.end(), format!("| {} | {} |\n", cell(name), cell(&outcome(report))))),
            packs: packs(report),
            excused: report.all.iter().filter(|finding| finding.rank == Rank::Excused).map(|finding| excused(report, finding)).collect(),
            rows: findings.map(|finding| row(report, finding)).collect(),
            troubles: told(report.files, slips, false),
            notes: [told(report.files, slips, true), told(report.files, &report.notices, true)].concat(),
        }
    }

    fn unjudged(&self, files: Files, slips: &[Slip]) -> Piece {
        let name = files.job.map_or("", |job| job.name());
        Piece { job: Some((End::NotJudged, format!("| {} | could not be judged |\n", cell(name)))), ..self.told(files, slips) }
    }

    fn refused(&self, files: Files, why: &str) -> Piece {
        let name = files.job.map_or("", |job| job.name());
        let row = format!("| {} | {} |\n", cell(name), cell(&format!("could not be judged: {why}")));
        Piece { job: Some((End::NotJudged, row)), ..Piece::default() }
    }

    fn pack(&self, pack: &PackReport) -> Piece {
        Piece { packs: pack.info().map(|_| pack.words()).into_iter().collect(), ..self.told(pack.files, pack.slips) }
    }

    fn told(&self, files: Files, slips: &[Slip]) -> Piece {
        Piece { troubles: told(files, slips, false), notes: told(files, slips, true), ..Piece::default() }
    }

    fn add(&mut self, piece: Piece) -> String {
        self.counts += piece.counts;
        self.listed += piece.listed;
        match piece.job {
            Some((End::NotJudged | End::Void, row)) => self.not_ready.add(0, row),
            Some((End::NotReady, row)) => self.not_ready.add(1, row),
            Some((End::Unfinished, row)) => self.unfinished.add(0, row),
            Some((End::Ready | End::Agreed, _)) | None => {}
        }
        piece.excused.into_iter().for_each(|row| self.excused.add(0, row));
        piece.rows.into_iter().for_each(|(weight, row)| self.findings.add(weight, row));
        piece.troubles.into_iter().for_each(|row| self.troubles.add(0, row));
        piece.notes.into_iter().for_each(|row| self.notes.add(0, row));
        self.packs.extend(piece.packs);
        while self.packs.len() > MOST_ROWS {
            self.packs.pop_last();
        }
        String::new()
    }

    fn trouble(&mut self, what: &str) -> String {
        self.troubles.add(0, format!("| {} |\n", cell(what)));
        String::new()
    }

    fn end(&mut self, ending: &Ending) -> String {
        let said = ["ready", "not ready", "could not be judged", "a fault of the program"];
        let said = match ending.exit {
            0 if ending.tally.of(End::Unfinished) > 0 => "nothing fails so far, unfinished",
            0 if ending.tally.of(End::Agreed) > 0 => "nothing but what was agreed to wait",
            exit => said.get(usize::from(exit)).copied().unwrap_or(said[3]),
        };
        let mut text = format!("# Gate check: {said}\n\n");
        let _ = writeln!(text, "Judged on {}: {}.", self.today, ending.tally.words());
        let _ = writeln!(text, "\nVerdicts: {}.", counted(&self.counts));
        if self.listed > 0 {
            let _ = writeln!(text, "\nOn the punch list, and not below: {}.", self.listed);
        }
        text.push_str(&self.troubles.written("In the way of judging", "| what |"));
        text.push_str(&self.not_ready.written("Not ready", "| job | outcome |"));
        text.push_str(&self.unfinished.written("Unfinished", "| job | outcome |"));
        text.push_str(&self.findings.written("Findings", "| verdict | where | what | clause | why |"));
        text.push_str(&self.excused.written("Excused by a variance", "| where | what | clause | by |"));
        text.push_str(&self.notes.written("Told beside", "| what |"));
        if !self.packs.is_empty() {
            text.push_str("\n## Packs\n\n");
            self.packs.iter().for_each(|pack| {
                let _ = writeln!(text, "- {}", cell(pack));
            });
        }
        let _ = writeln!(text, "\n{}", markdown(CAUTION));
        text
    }
}
