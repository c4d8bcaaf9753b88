//! The envelope of one measure: its ranges, what sets their ends, where today's value lies, what is open and what falls short
//! whatever the measure is. It must not know how it is shown.

use super::clause::{Clause, clauses, same};
use super::domain::domain;
use super::ends::{Range, range};
use super::solve::{Searched, Segment, solve};
use super::trial::{Axis, Counting, Key, Label, Trial};
use crate::datum::{Datum, Kind};
use crate::job::{Fact, Job, RecordId};
use crate::judge::Subject;
use crate::judge::eval::FactUse;
use crate::judge::paths::thing_name;
use crate::language::program::{self, Program, TakenAs};
use crate::language::tree::Modal;
use crate::quantity::{Exact, Unit};
use crate::source::Span;
use std::collections::BTreeSet;

/// Today's value of a measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Today {
    /// The value as read, in the author's unit.
    pub at: Exact,
    /// Whether nobody stated it and the vocabulary takes it as this.
    pub assumed: bool,
    /// What it is.
    pub label: Label,
    /// What it is when only mandatory clauses count.
    pub mandatory: Label,
    /// The clauses that fall short for it.
    pub short: Vec<Clause>,
}

/// The envelope of one measure.
#[derive(Clone, Debug)]
pub struct Envelope {
    /// As a pack names it: `beam.height`.
    pub name: String,
    /// Whose it is: `gate main / beam low`.
    pub thing: String,
    /// How to measure it.
    pub doc: String,
    /// Where it stands in the job, or belongs.
    pub place: Span,
    /// The measure, with its author's unit and its tolerance.
    pub axis: Axis,
    /// The least and the greatest value that was looked at, in that unit.
    pub looked_at: (Exact, Exact),
    /// Today's value as read, in that unit; nothing where the job does not state it.
    pub today_at: Option<Exact>,
    /// What today's value is.
    pub today: Option<Today>,
    /// The ranges of values that are good, that wait, or that could not be decided, from the least to the greatest.
    pub ranges: Vec<Range>,
    /// The ranges for mandatory clauses alone, where they differ.
    pub mandatory: Option<Vec<Range>>,
    /// Where no value is good: the clauses that between them leave none.
    pub between: Vec<Clause>,
    /// Clauses that are open while the measure lies in a range that waits.
    pub waiting: Vec<Clause>,
    /// Clauses about the device that fall short whatever the measure is, the rest of the job as it is.
    pub always: Vec<Clause>,
    /// Every verdict that can depend on the measure.
    pub depends: BTreeSet<Key>,
}

impl Envelope {
    /// Whether nothing in force limits the measure.
    pub fn is_free(&self) -> bool {
        self.depends.is_empty()
    }

    /// The ranges of good values.
    pub fn good(&self) -> impl Iterator<Item = &Range> {
        self.ranges.iter().filter(|range| range.label == Some(Label::Good))
    }
}

/// The envelope of a measure.
pub fn envelope(subject: &Subject, fact: FactUse) -> Envelope {
    let Subject { program, job, source, .. } = *subject;
    let record = job.record(fact.record);
    let definition = program.definition(record.def);
    let field = &definition.fields[fact.field];
    let (axis, value) = axis_of(program, job, fact);
    let mut trial = Trial::new(subject, vec![axis], Counting::Every);
    let depends = trial.dependent();
    let looked_at = domain(&field.kind, axis.unit, value.map(|(at, _)| at));
    let mut envelope = Envelope {
        name: format!("{}.{}", definition.name, field.name),
        thing: thing_name(program, job, fact.record),
        doc: field.doc.clone(),
        place: place(&record.facts[fact.field], record.span),
        axis,
        looked_at,
        today_at: value.map(|(at, _)| at),
        today: None,
        ranges: Vec::new(),
        mandatory: None,
        between: Vec::new(),
        waiting: Vec::new(),
        always: Vec::new(),
        depends,
    };
    let any = trial.any();
    envelope.always = clauses(&mut trial, source, &any, true);
    envelope.always.retain(|clause| concerns(job, clause.record, fact.record));
    if envelope.is_free() {
        return envelope;
    }
    envelope.today = value.map(|(at, assumed)| today(&mut trial, subject, at, assumed));
    let searched = Searched { lo: looked_at.0, hi: looked_at.1, start: value.map(|(at, _)| at), whole: field.kind == Kind::Count };
    let segments = solve(&mut trial, searched);
    envelope.ranges = ranges(&mut trial, subject, &segments, searched);
    envelope.waiting = waiting(&mut trial, subject, &segments);
    if envelope.good().next().is_none() {
        envelope.between = between(&mut trial, subject, searched);
    }
    if envelope.depends.iter().any(|key| is_recommended(program, key)) {
        let mut trial = Trial::new(subject, vec![axis], Counting::Mandatory);
        let segments = solve(&mut trial, searched);
        let mandatory = ranges(&mut trial, subject, &segments, searched);
        envelope.mandatory = (!alike(&mandatory, &envelope.ranges)).then_some(mandatory);
    }
    envelope
}

fn is_recommended(program: &Program, (section, label, _): &Key) -> bool {
    let norms = &program.sections[*section].norms;
    norms.iter().any(|norm| norm.label == *label && norm.modal == Modal::Should)
}

/// Whether ranges are the same, whatever sets their ends.
fn alike(one: &[Range], other: &[Range]) -> bool {
    let shape = |range: &Range| (range.label, range.lo.at, range.lo.included, range.hi.at, range.hi.included);
    one.iter().map(shape).eq(other.iter().map(shape))
}

/// The clauses that between them leave no value: what falls short at both ends of what was looked at, and today.
fn between(trial: &mut Trial, subject: &Subject, Searched { lo, hi, start, .. }: Searched) -> Vec<Clause> {
    let mut found: Vec<Clause> = Vec::new();
    for at in [Some(lo), start, Some(hi)].into_iter().flatten() {
        let bounds = trial.outer(&[(at, at)]);
        for clause in clauses(trial, subject.source, &bounds, false) {
            if !found.iter().any(|known| same(known, &clause)) {
                found.push(clause);
            }
        }
    }
    found
}

/// Where a fact stands, or where it belongs.
fn place(fact: &Fact, record: Span) -> Span {
    match fact {
        Fact::Stated(stated) => stated.span,
        Fact::Blank(span) | Fact::Nothing(span) | Fact::Spoiled(span) => *span,
        Fact::Absent => record,
    }
}

/// Whether what is judged is the device itself, in it, or around it.
fn concerns(job: &Job, judged: RecordId, device: RecordId) -> bool {
    let holds = |outer: RecordId, inner: RecordId| std::iter::successors(Some(inner), |id| job.record(*id).parent).any(|id| id == outer);
    holds(judged, device) || holds(device, judged)
}

/// A measure as it is varied, and today's value in its unit with whether that is assumed.
pub fn axis_of(program: &Program, job: &Job, fact: FactUse) -> (Axis, Option<(Exact, bool)>) {
    let record = job.record(fact.record);
    let field = &program.definition(record.def).fields[fact.field];
    let number = |datum: &Datum| match datum {
        Datum::Number(interval, unit) => Some((*interval, *unit)),
        _ => None,
    };
    let (stated, as_read, assumed) = match (&record.facts[fact.field], &field.taken) {
        (Fact::Stated(stated), _) => (number(&stated.datum), stated.as_read, false),
        (Fact::Absent, Some(TakenAs::Value(datum))) => (number(datum), None, true),
        _ => (None, None, false),
    };
    let unit = stated.and_then(|(_, unit)| unit).or_else(|| unit_of_others(job, record, &field.kind));
    // Ends are looked for in the reader's unit, so that one which cannot be written in it is drawn inward and not merely rounded.
    let unit = unit.map(|unit| job.units.of(unit));
    let read = stated.and_then(|(interval, _)| as_read.or(interval.middle()));
    let tolerance = match stated {
        Some((interval, _)) => interval.hi.zip(read).and_then(|(hi, read)| hi.sub(read)),
        None => usual_tolerance(job, field),
    };
    let axis = Axis { fact, unit, tolerance: tolerance.unwrap_or(Exact::ZERO) };
    (axis, read.and_then(|read| axis.from_base(read)).map(|at| (at, assumed)))
}

/// The tolerance that a reading of the fact would have.
fn usual_tolerance(job: &Job, field: &program::Field) -> Option<Exact> {
    let Kind::Measure(dimension) = field.kind else { return None };
    let stated = job.tolerances.iter().find(|(of, _)| *of == dimension).filter(|_| field.measured);
    stated.map(|(_, tolerance)| *tolerance)
}

/// The unit in which a fact that is not stated would be: that of the device's other facts, of the job's, or the usual one.
fn unit_of_others(job: &Job, own: &crate::job::Record, kind: &Kind) -> Option<Unit> {
    let dimension = match kind {
        Kind::Measure(dimension) => *dimension,
        Kind::Temperature => return Unit::named("°C"),
        _ => return None,
    };
    let written = |record: &crate::job::Record| {
        record.facts.iter().find_map(|fact| match fact {
            Fact::Stated(stated) => match stated.datum {
                Datum::Number(_, Some(unit)) if unit.dimension() == dimension => Some(unit),
                _ => None,
            },
            _ => None,
        })
    };
    written(own).or_else(|| job.records.iter().find_map(written)).or_else(|| Unit::usual(dimension))
}

fn today(trial: &mut Trial, subject: &Subject, at: Exact, assumed: bool) -> Today {
    let (label, _) = trial.label(&[at]);
    let bounds = trial.outer(&[(at, at)]);
    let short = clauses(trial, subject.source, &bounds, false);
    let worst = |clause: &Clause| if clause.verdict == "open" { Label::Waiting } else { Label::Bad };
    let mandatory = short.iter().filter(|clause| clause.modal == Modal::Shall).map(worst).max().unwrap_or(Label::Good);
    Today { at, assumed, label, mandatory, short }
}

/// The ranges of the segments that are not bad, with what sets the ends of the good ones.
fn ranges(trial: &mut Trial, subject: &Subject, segments: &[Segment], searched: Searched) -> Vec<Range> {
    let axis = trial.axes()[0];
    let mut found = Vec::new();
    for (at, segment) in segments.iter().enumerate().filter(|(_, segment)| segment.label != Some(Label::Bad)) {
        let before = at.checked_sub(1).map(|before| &segments[before]);
        let after = segments.get(at + 1);
        let near = |one: Exact, other: Exact| one == other || searched.whole && one.add(Exact::ONE) == Some(other);
        let exact =
            (before.is_none_or(|before| near(before.hi.at, segment.lo.at)), after.is_none_or(|after| near(segment.hi.at, after.lo.at)));
        let mut range = range(&axis, segment, exact);
        for (end, beyond) in [(&mut range.lo, before.map(|it| it.tried.1)), (&mut range.hi, after.map(|it| it.tried.0))] {
            let Some(beyond) = beyond.filter(|_| segment.label == Some(Label::Good)) else { continue };
            let bounds = trial.outer(&[(beyond, beyond)]);
            end.set_by = clauses(trial, subject.source, &bounds, false);
        }
        found.push(range);
    }
    found
}

/// The clauses that are open in the segments that wait.
fn waiting(trial: &mut Trial, subject: &Subject, segments: &[Segment]) -> Vec<Clause> {
    let mut found: Vec<Clause> = Vec::new();
    for segment in segments.iter().filter(|segment| segment.label == Some(Label::Waiting)) {
        let bounds = trial.outer(&[(segment.tried.0, segment.tried.0)]);
        for clause in clauses(trial, subject.source, &bounds, false) {
            if !found.contains(&clause) {
                found.push(clause);
            }
        }
    }
    found
}
