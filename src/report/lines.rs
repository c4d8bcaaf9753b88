//! JSON lines: one object a line, each with its `kind`; the shape is versioned and described by src/report/lines.schema.json.
//! It must not know files.

use super::ends::Tally;
use super::escape::json_line;
use super::findings::{Finding, JobReport};
use super::form::{Ending, Form, PackReport};
use crate::judge::explain::Lacking;
use crate::judge::rank::Rank;
use crate::slip::Slip;
use crate::source::{Files, Span};
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the shape; within one number fields are only added.
pub const SHAPE: u32 = 1;

/// The JSON Schema of a line.
pub const SCHEMA: &str = include_str!("lines.schema.json");

#[derive(Serialize)]
pub(super) struct Place<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
struct RunLine<'a> {
    kind: &'static str,
    shape: u32,
    program: &'static str,
    version: &'static str,
    today: &'a str,
}

#[derive(Serialize)]
struct PackLine<'a> {
    name: &'a str,
    edition: &'a str,
    hash: &'a str,
    digest: &'a str,
    reviewed: Option<&'a str>,
    place: &'a str,
}

#[derive(Serialize)]
struct JobLine<'a> {
    kind: &'static str,
    file: &'a str,
    title: &'a str,
    codes: Vec<&'a str>,
    packs: Vec<PackLine<'a>>,
    counts: BTreeMap<&'static str, usize>,
    rests_on: BTreeMap<&'static str, usize>,
    listed: BTreeMap<&'static str, usize>,
    outcome: String,
    ended: &'static str,
    exit: u8,
}

#[derive(Serialize)]
struct PartLine<'a> {
    name: &'a str,
    thing: &'a str,
    value: &'a str,
    assumed: bool,
    place: Option<Place<'a>>,
}

#[derive(Serialize)]
struct ReasonLine<'a> {
    sentence: &'a str,
    value: Option<&'a str>,
    limit: Option<&'a str>,
    miss: Option<&'a str>,
    clause: Option<Place<'a>>,
    parts: Vec<PartLine<'a>>,
}

#[derive(Serialize)]
pub(super) struct MissingLine<'a> {
    name: &'a str,
    thing: &'a str,
    measure: &'a str,
    place: Option<Place<'a>>,
}

#[derive(Serialize)]
struct SourceLine<'a> {
    title: &'a str,
    clause: &'a str,
    standing: &'static str,
    from_memory: bool,
}

#[derive(Serialize)]
struct VerdictLine<'a> {
    kind: &'static str,
    file: &'a str,
    verdict: &'static str,
    modal: &'static str,
    code: &'a str,
    section: &'a str,
    clause: String,
    title: &'a str,
    thing: &'a str,
    place: Option<Place<'a>>,
    pack_place: Option<Place<'a>>,
    reasons: Vec<ReasonLine<'a>>,
    missing: Vec<MissingLine<'a>>,
    obstacles: Vec<&'a str>,
    remedy: &'a str,
    sources: Vec<SourceLine<'a>>,
    minimum_of: Option<&'a str>,
    below_minimum_of: Option<&'a str>,
    amended_by: &'a [String],
    assumed: bool,
    carried_by: Option<&'a str>,
    listed: Option<ListedLine<'a>>,
}

#[derive(Serialize)]
struct ListedLine<'a> {
    covered: bool,
    says: &'a str,
}

#[derive(Serialize)]
struct SlipLine<'a> {
    kind: &'static str,
    file: &'a str,
    name: &'a str,
    message: &'a str,
    place: Option<Place<'a>>,
    label: &'a str,
    others: Vec<(Option<Place<'a>>, &'a str)>,
    hint: Option<&'a str>,
    harmless: bool,
}

#[derive(Serialize)]
struct CountedLine {
    outcomes: BTreeMap<&'static str, usize>,
    packs: BTreeMap<&'static str, usize>,
    troubles: usize,
}

#[derive(Serialize)]
struct EndLine {
    kind: &'static str,
    jobs: usize,
    #[serde(flatten)]
    counted: Option<CountedLine>,
    exit: u8,
}

pub(super) fn place(files: Files<'_>, span: Span) -> Option<Place<'_>> {
    let source = files.source(span.file)?;
    let (start, end) = (source.place(span.start as usize), source.place(span.end as usize));
    Some(Place { file: source.name(), line: start.line, column: start.column, end_line: end.line, end_column: end.column })
}

/// The view of JSON lines of a run.
pub struct Lines;

impl Form for Lines {
    type Piece = String;

    fn wants_all(&self) -> bool {
        true
    }

    fn begin(&mut self, today: &str) -> String {
        json_line(&RunLine { kind: "run", shape: SHAPE, program: "pintle", version: env!("CARGO_PKG_VERSION"), today })
    }

    fn job(&self, report: &JobReport, slips: &[Slip]) -> String {
        job(report, slips)
    }

    fn unjudged(&self, files: Files, slips: &[Slip]) -> String {
        self.told(files, slips)
    }

    /// Each job has a line that says why there are no verdicts on it.
    fn refused(&self, files: Files, why: &str) -> String {
        self.told(files, &[refused(format!("not judged: {why}"))])
    }

    fn pack(&self, pack: &PackReport) -> String {
        let refused = (!pack.against.is_empty()).then(|| refused(pack.words()));
        let slips: Vec<Slip> = refused.into_iter().chain(pack.slips.iter().cloned()).collect();
        self.told(pack.files, &slips)
    }

    fn told(&self, files: Files, slips: &[Slip]) -> String {
        slips.iter().map(|slip| slip_line(slip, files)).collect()
    }

    fn add(&mut self, piece: String) -> String {
        piece
    }

    /// The last line of a run: without it, the report is not complete.
    fn end(&mut self, ending: &Ending) -> String {
        end(ending.judged, ending.exit, Some(&ending.tally))
    }
}

/// What stands for a file that the pins forbid to look at.
fn refused(message: String) -> Slip {
    Slip::of_file("refused-by-pins", message).hint("what the pins have against a pack is told once, at the end")
}

/// The last line of a report; one that is no check of jobs counts none.
pub fn end(jobs: usize, exit: u8, tally: Option<&Tally>) -> String {
    let counted = tally.map(|tally| CountedLine { outcomes: tally.jobs(), packs: tally.packs(), troubles: tally.troubles });
    json_line(&EndLine { kind: "end", jobs, counted, exit })
}

/// A judged job: a line for it, one for each slip and one for each verdict but *not applicable*.
pub fn job(report: &JobReport, slips: &[Slip]) -> String {
    let files = report.files;
    let file = files.job.map_or("", |job| job.name());
    let mut counts = BTreeMap::new();
    for rank in Rank::ALL {
        counts.insert(rank.word(), report.shall[rank] + report.should[rank]);
    }
    let on = &report.rests_on;
    let rests = [
        ("from memory", on.from_memory),
        ("unreviewed", on.unreviewed),
        ("practice", on.practice),
        ("assumed", on.assumed),
        ("not asked as unstated", on.freed),
        ("variance", on.variance),
        ("judged as read", on.judged_as_read),
    ];
    let packs = report.program.packs.iter().map(|pack| PackLine {
        name: &pack.name,
        edition: &pack.edition,
        hash: &pack.hash,
        digest: &pack.digest,
        reviewed: pack.reviewed.as_deref(),
        place: &pack.place,
    });
    let mut text = json_line(&JobLine {
        kind: "job",
        file,
        title: &report.title,
        codes: report.program.codes.iter().map(|code| code.name.as_str()).collect(),
        packs: packs.collect(),
        counts,
        rests_on: rests.into_iter().collect(),
        listed: report.listed.worst_first().map(|(rank, count)| (rank.word(), count)).collect(),
        outcome: super::totals::outcome(report),
        ended: report.end().word(),
        exit: report.exit,
    });
    for slip in slips.iter().chain(&report.notices) {
        text.push_str(&slip_line(slip, files));
    }
    for finding in &report.all {
        text.push_str(&verdict_line(finding, files, file));
    }
    text
}

fn slip_line(slip: &Slip, files: Files) -> String {
    json_line(&SlipLine {
        kind: "slip",
        file: files.job.map_or("", |job| job.name()),
        name: slip.name,
        message: &slip.message,
        place: slip.span.and_then(|span| place(files, span)),
        label: &slip.label,
        others: slip.others.iter().map(|(span, says)| (place(files, *span), says.as_str())).collect(),
        hint: slip.hint.as_deref(),
        harmless: slip.harmless,
    })
}

/// What is missing.
pub(super) fn missing<'a>(files: Files<'a>, lacking: &'a [Lacking]) -> Vec<MissingLine<'a>> {
    let line = |lacking: &'a Lacking| MissingLine {
        name: &lacking.name,
        thing: &lacking.thing,
        measure: &lacking.doc,
        place: place(files, lacking.span),
    };
    lacking.iter().map(line).collect()
}

fn verdict_line(one: &Finding, files: Files, file: &str) -> String {
    let reasons = one.why.reasons.iter().map(|reason| ReasonLine {
        sentence: &reason.sentence,
        value: reason.value.as_deref(),
        limit: reason.limit.as_deref(),
        miss: reason.miss.as_deref(),
        clause: place(files, reason.span),
        parts: reason
            .parts
            .iter()
            .map(|part| PartLine {
                name: &part.name,
                thing: &part.thing,
                value: &part.shown,
                assumed: part.assumed,
                place: part.span.and_then(|span| place(files, span)),
            })
            .collect(),
    });
    let sources = one.from.iter().map(|from| SourceLine {
        title: &from.title,
        clause: &from.clause,
        standing: from.standing.word(),
        from_memory: from.from_memory,
    });
    json_line(&VerdictLine {
        kind: "verdict",
        file,
        verdict: one.verdict,
        modal: one.modal.word(),
        code: &one.code,
        section: &one.section,
        clause: one.label.to_string(),
        title: &one.title,
        thing: &one.thing,
        place: place(files, one.place),
        pack_place: place(files, one.clause),
        reasons: reasons.collect(),
        missing: missing(files, &one.why.lacking),
        obstacles: one.why.obstacles.iter().map(|(obstacle, _)| obstacle.as_str()).collect(),
        remedy: &one.why.remedy,
        sources: sources.collect(),
        minimum_of: one.floor.as_deref(),
        below_minimum_of: one.minimum_too.as_deref(),
        amended_by: &one.amended_by,
        assumed: one.assumed,
        carried_by: one.carried_by.as_deref(),
        listed: one.listing.as_ref().map(|listing| ListedLine { covered: listing.covers(), says: &listing.words }),
    })
}
