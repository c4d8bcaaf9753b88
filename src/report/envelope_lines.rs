//! Envelopes as JSON lines: one object a measure; src/report/lines.schema.json describes it. It must not know how an envelope is
//! found.

use super::envelopes::{EnvelopeReport, distance_in_base, number};
use super::escape::json_line;
use super::lines::{MissingLine, Place, missing, place};
use crate::envelope::Envelope;
use crate::envelope::clause::Clause;
use crate::envelope::ends::{End, Range};
use crate::envelope::measure::Today;
use crate::envelope::trial::{Axis, Label};
use crate::source::Files;
use serde::Serialize;

#[derive(Serialize)]
struct EnvelopeLine<'a> {
    kind: &'static str,
    file: &'a str,
    measure: &'a str,
    thing: &'a str,
    how: &'a str,
    place: Option<Place<'a>>,
    unit: Option<&'static str>,
    tolerance: Option<String>,
    looked_at: [String; 2],
    limited: bool,
    today: Option<TodayLine<'a>>,
    ranges: Vec<RangeLine<'a>>,
    mandatory: Option<Vec<RangeLine<'a>>>,
    waiting: Vec<ClauseLine<'a>>,
    always: Vec<ClauseLine<'a>>,
    bound_with: Vec<String>,
}

#[derive(Serialize)]
struct TodayLine<'a> {
    value: String,
    assumed: bool,
    lies: &'static str,
    mandatory: &'static str,
    short: Vec<ClauseLine<'a>>,
}

#[derive(Serialize)]
struct RangeLine<'a> {
    is: &'static str,
    lower: EndLine<'a>,
    upper: EndLine<'a>,
}

#[derive(Serialize)]
struct EndLine<'a> {
    at: String,
    included: bool,
    exact: bool,
    set_by: Vec<ClauseLine<'a>>,
}

#[derive(Serialize)]
struct ClauseLine<'a> {
    section: &'a str,
    clause: String,
    modal: &'static str,
    title: &'a str,
    thing: &'a str,
    verdict: &'static str,
    written: &'a str,
    pack_place: Option<Place<'a>>,
    missing: Vec<MissingLine<'a>>,
    obstacles: &'a [String],
    minimum_of: Option<&'a str>,
}

/// A line for each measure.
pub fn envelopes(report: &EnvelopeReport) -> String {
    report.envelopes.iter().filter(|one| !report.brief || !one.is_free()).map(|one| envelope_line(report, one)).collect()
}

fn envelope_line(report: &EnvelopeReport, one: &Envelope) -> String {
    let (files, axis) = (report.files, &one.axis);
    json_line(&EnvelopeLine {
        kind: "envelope",
        file: files.job.map_or("", |job| job.name()),
        measure: &one.name,
        thing: &one.thing,
        how: &one.doc,
        place: place(files, one.place),
        unit: axis.unit.map(|unit| unit.symbol()),
        tolerance: (!axis.tolerance.is_zero()).then(|| distance_in_base(axis, axis.tolerance)),
        looked_at: [number(axis, one.looked_at.0), number(axis, one.looked_at.1)],
        limited: !one.is_free(),
        today: one.today.as_ref().map(|today| today_line(files, axis, today)),
        ranges: one.ranges.iter().map(|range| range_line(files, axis, range)).collect(),
        mandatory: one.mandatory.as_ref().map(|ranges| ranges.iter().map(|range| range_line(files, axis, range)).collect()),
        waiting: clause_lines(files, &one.waiting),
        always: clause_lines(files, &one.always),
        bound_with: report.bound_with(one),
    })
}

fn today_line<'a>(files: Files<'a>, axis: &Axis, today: &'a Today) -> TodayLine<'a> {
    TodayLine {
        value: number(axis, today.at),
        assumed: today.assumed,
        lies: lies(today.label),
        mandatory: lies(today.mandatory),
        short: clause_lines(files, &today.short),
    }
}

fn lies(label: Label) -> &'static str {
    match label {
        Label::Good => "inside",
        Label::Waiting => "open",
        Label::Bad => "outside",
    }
}

fn range_line<'a>(files: Files<'a>, axis: &Axis, range: &'a Range) -> RangeLine<'a> {
    let end = |end: &'a End| EndLine {
        at: number(axis, end.at),
        included: end.included,
        exact: end.exact,
        set_by: clause_lines(files, &end.set_by),
    };
    let is = match range.label {
        Some(Label::Good) => "permitted",
        Some(_) => "open",
        None => "undecided",
    };
    RangeLine { is, lower: end(&range.lo), upper: end(&range.hi) }
}

fn clause_lines<'a>(files: Files<'a>, clauses: &'a [Clause]) -> Vec<ClauseLine<'a>> {
    let line = |clause: &'a Clause| ClauseLine {
        section: &clause.section,
        clause: clause.label.to_string(),
        modal: clause.modal.word(),
        title: &clause.title,
        thing: &clause.thing,
        verdict: clause.verdict,
        written: &clause.written,
        pack_place: place(files, clause.span),
        missing: missing(files, &clause.lacking),
        obstacles: &clause.obstacles,
        minimum_of: clause.floor.as_deref(),
    };
    clauses.iter().map(line).collect()
}
