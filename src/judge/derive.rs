//! Works out facts that follow from other facts before a job is judged, and tells measures that are given twice and disagree.
//! It must not know sections.

use super::eval::{Evaluator, Frame};
use super::paths::thing_name;
use super::value::{Slot, Value};
use super::words::value_text;
use crate::datum::Datum;
use crate::job::{Fact, Job, RecordId, Stated};
use crate::language::program::{Derivation, Program};
use crate::quantity::{Exact, Interval};
use crate::slip::Slip;
use crate::source::Span;
use jiff::civil::Date;

/// What a calculation gave for one record.
struct Found {
    record: RecordId,
    datum: Datum,
    /// As reports show it.
    shown: String,
    /// The facts that it was made of.
    parts: Vec<(RecordId, usize)>,
}

/// Fills in every fact that follows from others and is not stated. One that is stated and differs from what follows by more
/// than both can be off counts as not known, and is told at both places.
pub fn derive(program: &Program, job: &mut Job, today: Date) {
    for derivation in &program.derivations {
        for found in worked_out(program, job, derivation, today) {
            settle(program, job, derivation.field, found);
        }
    }
}

fn worked_out(program: &Program, job: &Job, derivation: &Derivation, today: Date) -> Vec<Found> {
    let mut evaluator = Evaluator::new(program, job, today);
    let mut found = Vec::new();
    for (at, record) in job.records.iter().enumerate().filter(|(_, record)| record.def == derivation.def) {
        if matches!(record.facts[derivation.field], Fact::Nothing(_) | Fact::Spoiled(_)) {
            continue;
        }
        let id = RecordId(u32::try_from(at).unwrap_or(u32::MAX));
        let mut slots = vec![Slot::Empty; derivation.slots];
        slots[0] = Slot::Record(id);
        (evaluator.steps, evaluator.uses) = (0, Some(Vec::new()));
        let mut frame = Frame { slots: &mut slots, lets: &[], known_lets: &mut Vec::new() };
        let value = evaluator.value(&derivation.value, &mut frame);
        let uses = evaluator.uses.take().unwrap_or_default();
        let Some(datum) = sure(&value) else { continue };
        let shown = value_text(program, &value).unwrap_or_default();
        let mut parts: Vec<(RecordId, usize)> = uses.iter().map(|part| (part.record, part.field)).collect();
        parts.sort_unstable();
        parts.dedup();
        found.push(Found { record: id, datum, shown, parts });
    }
    found
}

/// A value that is known, up to its tolerance.
fn sure(value: &Value) -> Option<Datum> {
    match value {
        Value::Number(number) if number.doubt.missing.is_empty() && number.interval.lo.is_some() && number.interval.hi.is_some() => {
            Some(Datum::Number(number.interval, number.unit))
        }
        Value::Truth(super::doubt::Truth::Yes) => Some(Datum::YesNo(true)),
        Value::Truth(super::doubt::Truth::No) => Some(Datum::YesNo(false)),
        Value::Word(word) => Some(Datum::Word(*word)),
        Value::Days(days, doubt) if doubt.is_none() => Some(Datum::Days(*days)),
        _ => None,
    }
}

fn settle(program: &Program, job: &mut Job, field: usize, found: Found) {
    let record = &job.records[found.record.0 as usize];
    match &record.facts[field] {
        Fact::Stated(stated) if agree(stated, &found.datum) => {}
        Fact::Stated(stated) => {
            let slip = contradiction(program, job, field, stated, &found);
            let span = stated.span;
            job.slips.push(slip);
            job.records[found.record.0 as usize].facts[field] = Fact::Spoiled(span);
        }
        _ => {
            let span = place_of(job, &found).unwrap_or(record.span);
            let stated = Stated { follows: found.parts, ..Stated::plain(found.datum, span) };
            job.records[found.record.0 as usize].facts[field] = Fact::Stated(Box::new(stated));
        }
    }
}

/// Whether what is stated and what follows can be one value: within both tolerances and half of the last digit as written.
fn agree(stated: &Stated, follows: &Datum) -> bool {
    match (&stated.datum, follows) {
        (Datum::Number(one, _), Datum::Number(other, _)) => {
            let half = stated.digit.and_then(|digit| digit.div(Exact::whole(2))).unwrap_or(Exact::ZERO);
            let widened = one.add(Interval::between(half.negated(), half)).unwrap_or(*one);
            overlap(widened, *other)
        }
        (Datum::Days(one), Datum::Days(other)) => one.first <= other.last && other.first <= one.last,
        (one, other) => one == other,
    }
}

fn overlap(one: Interval, other: Interval) -> bool {
    let below = |high: Option<Exact>, low: Option<Exact>| matches!((high, low), (Some(high), Some(low)) if high < low);
    !below(one.hi, other.lo) && !below(other.hi, one.lo)
}

fn contradiction(program: &Program, job: &Job, field: usize, stated: &Stated, found: &Found) -> Slip {
    let record = job.record(found.record);
    let fact = &program.definition(record.def).fields[field];
    let said = value_text(program, &Value::of(&as_read(stated))).unwrap_or_default();
    let name = thing_name(program, job, found.record);
    let message = format!("{name}: `{}` is {said} here, and {} follows from other facts", fact.name, found.shown);
    let mut slip = Slip::at(stated.span, "given-twice", message).label(fact.doc.clone());
    let mut told: Vec<Span> = Vec::new();
    for (record, part) in &found.parts {
        if let Fact::Stated(other) = &job.record(*record).facts[*part]
            && other.follows.is_empty()
            && !told.contains(&other.span)
            && told.len() < 4
        {
            told.push(other.span);
            slip = slip.other(other.span, "it follows from this");
        }
    }
    slip.hint("measure again, and correct whichever is wrong; until then the measure counts as not known")
}

/// The value without its tolerance, as its author wrote it.
fn as_read(stated: &Stated) -> Datum {
    match (&stated.datum, stated.as_read) {
        (Datum::Number(_, unit), Some(read)) => Datum::Number(Interval::point(read), *unit),
        (datum, _) => datum.clone(),
    }
}

/// A fact of the same record that it follows from; what it follows from elsewhere is not where a reader looks.
fn place_of(job: &Job, found: &Found) -> Option<Span> {
    found.parts.iter().filter(|(record, _)| *record == found.record).find_map(|(record, part)| match &job.record(*record).facts[*part] {
        Fact::Stated(stated) => Some(stated.span),
        _ => None,
    })
}
