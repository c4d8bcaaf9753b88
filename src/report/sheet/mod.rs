//! The handover sheet of one judged job: the answer first, then everything that was judged, what was not, and on what each limit
//! rests, as a document. It must not judge anything.

pub mod about;
pub mod cure;
pub mod drawings;
pub mod facts;
pub mod judged;
pub mod power;
pub mod records;
pub mod rows;
pub mod seal;
pub mod spot;
pub mod sun;
pub mod taken;
pub mod top;
pub mod unread;
pub mod zones;

use super::document::{Block, Document, Line, Run, words};
use super::findings::JobReport;
use super::numbered::{Numbered, What, numbered};
use super::slips::sentence;
use super::totals::{CAUTION, counted, rests};
use crate::judge::rank::Rank;
use crate::judge::{Judgement, Subject};
use crate::slip::Slip;
use crate::source::Files;
use facts::Facts;
use rows::{Row, rows};
use std::collections::BTreeMap;

/// A judged job with all that its sheet is made of.
pub struct Sheet<'a> {
    /// The job, its program and the day.
    pub subject: Subject<'a>,
    /// Its verdicts.
    pub judgement: &'a Judgement<'a>,
    /// What reports show of them; with every verdict.
    pub report: &'a JobReport<'a>,
    /// What needs attention, numbered.
    pub numbered: Vec<Numbered<'a>>,
    /// Every verdict as a row.
    pub rows: Vec<Row<'a>>,
    /// How many rows are left out because there are too many.
    pub left_out: usize,
    /// The numbers of findings, by clause and thing.
    numbers: BTreeMap<(String, String, Rank), usize>,
    /// Its facts by name.
    pub facts: Facts<'a>,
    /// The text of the punch list that was taken into account, where there was one.
    pub list: Option<&'a str>,
}

impl<'a> Sheet<'a> {
    /// Makes ready what a sheet shows.
    pub fn new(subject: Subject<'a>, judgement: &'a Judgement<'a>, report: &'a JobReport<'a>, list: Option<&'a str>) -> Sheet<'a> {
        let facts = Facts { program: subject.program, job: subject.job, source: subject.source };
        let (numbered, rows) = (numbered(report), rows(subject, judgement, report));
        let mut numbers = BTreeMap::new();
        for one in &numbered {
            let of: Vec<(String, String)> = match one.what {
                What::Verdict(finding) => vec![(finding.clause_name(), finding.thing.clone())],
                What::Missing(waiting) => waiting.asked_by.clone(),
            };
            of.into_iter().for_each(|(clause, thing)| {
                numbers.entry((clause, thing, one.rank())).or_insert(one.number);
            });
        }
        Sheet { subject, judgement, report, numbered, rows: rows.kept, left_out: rows.left_out, numbers, facts, list }
    }

    /// The sheet.
    pub fn document(&self) -> Document {
        let seal = seal::seal(&self.subject, self.list);
        let mut document = Document {
            title: format!("Handover sheet: {}", self.name()),
            caution: CAUTION.into(),
            seal: format!("Sheet {}", seal::short(&seal)),
            ..Document::default()
        };
        document.lead.push(top::answer(self));
        about::site(self, &mut document);
        about::codes(self, &mut document);
        about::decision(self, &mut document);
        judged::open_items(self, &mut document);
        drawings::drawings(self, &mut document);
        judged::sections(self, &mut document);
        unread::unread(self, &mut document);
        records::variances(self, &mut document);
        records::as_found(self, &mut document);
        records::tests(self, &mut document);
        zones::matrix(self, &mut document);
        power::budget(self, &mut document);
        power::wiring(self, &mut document);
        sun::windows(self, &mut document);
        records::visits(self, &mut document);
        self.rests(&mut document);
        self.signatures(&mut document, &seal);
        document
    }

    /// The job's title, or its file.
    pub fn name(&self) -> String {
        if self.report.title.is_empty() { self.subject.source.name().to_string() } else { self.report.title.clone() }
    }

    /// The number of a finding in a row, where it has one that the sheet lists.
    pub fn number_of(&self, row: &Row) -> Option<usize> {
        let key = (row.finding.clause_name(), row.finding.thing.clone(), row.finding.rank);
        self.numbers.get(&key).copied().filter(|number| *number <= judged::MOST_LISTED)
    }

    /// Whether somebody named compared the clause with the printed text.
    pub fn reviewed(&self, finding: &super::findings::Finding) -> bool {
        let program = self.subject.program;
        let norms = program.sections.iter().filter(|section| section.id == finding.section).flat_map(|section| &section.norms);
        let mut norms = norms.filter(|norm| norm.label == finding.label).peekable();
        norms.peek().is_some() && norms.all(|norm| super::findings::is_reviewed(program, norm))
    }

    fn rests(&self, document: &mut Document) {
        document.heading(2, "rests", "What the verdicts rest on");
        for (pack, counts) in &self.report.counts {
            document.paragraph(words(format!("By {pack}: {}.", counted(counts))));
        }
        let rests = rests(&self.report.rests_on);
        let told = if rests.is_empty() {
            "No verdict rests on memory, practice, an assumption or a variance.".into()
        } else {
            format!("Verdicts rest on {rests}.")
        };
        document.paragraph(words(told));
        let taken = taken::taken(&self.rows);
        if !taken.is_empty() {
            let points = taken.into_iter().map(|line| (line, Vec::new())).collect();
            document
                .blocks
                .push(Block::Folded("What was taken as something, since the job does not state it".into(), vec![Block::Points(points)]));
        }
        document.heading(2, "cautions", "Cautions");
        let points = CAUTIONS.iter().map(|text| (words(*text), Vec::new())).collect();
        document.blocks.push(Block::Points(points));
    }

    fn signatures(&self, document: &mut Document, seal: &str) {
        document.heading(2, "signatures", "Signatures");
        for who in ["Handed over by", "Taken over by", "Inspected by"] {
            document.blocks.push(Block::Heading(
                3,
                format!("sign-{}", who.split(' ').next().unwrap_or("").to_lowercase()),
                who.into(),
                false,
            ));
            let places = ["Name", "Licence or office", "Date", "Signature"].iter().map(|place| (*place).to_string());
            document.blocks.push(Block::Blanks(places.collect()));
        }
        document.heading(2, "seal", "What ties this paper to its files");
        document.paragraph(vec![
            Run::plain(format!(
                "SHA-256 over the job file, every file of its packs{}, the day of judging and the program's version: ",
                if self.list.is_some() { ", the punch list" } else { "" }
            )),
            Run::Code(seal::fours(seal)),
        ]);
        let program =
            format!("Made by pintle {}, judged on {}, from {}.", env!("CARGO_PKG_VERSION"), self.subject.today, self.subject.source.name());
        document.paragraph(words(format!(
            "{program} The same files on the same day give the same sheet, to the byte. Change one, and the hash is another."
        )));
    }
}

/// What every sheet says, whatever was judged.
const CAUTIONS: [&str; 5] = [
    "This sheet checks what was written down. It did not see the gate: a measure that was misread is judged as it was written.",
    "The local authority decides, and licensed practice. This is no permit, no certificate and no listing.",
    "Values marked `from memory` or `practice` are to be confirmed in the printed code or with the authority before anyone relies on them.",
    "Work on a gate with its power locked off and the leaf held. Keep people away from it while it is tried.",
    "A gate changes: after a repair, an impact, a change of setting or of what stands near it, it is to be tried and judged again.",
];

/// A sheet of a job that could not be read as a whole: nothing in it can be taken for a judgement.
pub fn unread_job(name: &str, files: Files, slips: &[Slip]) -> Document {
    let mut document = Document { title: format!("No handover sheet: {name}"), caution: CAUTION.into(), ..Document::default() };
    let mut inner = vec![Block::Paragraph(vec![Run::plain(
        "No: this job could not be read as a whole, so nothing was judged and it cannot be handed over.",
    )])];
    inner.push(Block::Paragraph(words("This page is not a handover sheet. Put right what is listed here, then make the sheet again.")));
    document.blocks.push(Block::Boxed("unjudged", inner));
    document.heading(2, "slips", "In the way of judging");
    let points: Vec<(Line, Vec<Block>)> = slips.iter().map(|slip| (words(sentence(slip, files).trim_end()), Vec::new())).collect();
    if points.is_empty() {
        document.paragraph(words("The file holds no job."));
    } else {
        document.blocks.push(Block::Points(points));
    }
    document
}
