//! Works out facts that follow from other facts before a job is judged, and tells measures that are given twice and disagree.
//! It must not know sections.

use super::doubt::Obstacle;
use super::eval::{Evaluator, FactUse, Frame};
use super::paths::thing_name;
use super::value::{Slot, Value};
use super::words::{datum_text, middle_text};
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
pub fn derive(program: &Program, job: &mut Job) {
    let slips = derive_where(program, job, |_| true);
    job.slips.extend(slips);
}

/// Works these facts out again after what they follow from has changed; one that cannot be worked out is not stated.
pub fn derive_again(program: &Program, job: &mut Job, facts: &[FactUse]) {
    for fact in facts {
        job.records[fact.record.0 as usize].facts[fact.field] = Fact::Absent;
    }
    derive_where(program, job, |fact| facts.contains(&fact));
}

/// The result is what is told of drawings that no gate can have.
fn derive_where(program: &Program, job: &mut Job, wanted: impl Fn(FactUse) -> bool) -> Vec<Slip> {
    let mut told = Vec::new();
    for derivation in &program.derivations {
        let (found, slips) = worked_out(program, job, derivation);
        told.extend(slips);
        for one in found.into_iter().filter(|one| wanted(FactUse { record: one.record, field: derivation.field })) {
            settle(program, job, derivation.field, one);
        }
    }
    told
}

fn worked_out(program: &Program, job: &Job, derivation: &Derivation) -> (Vec<Found>, Vec<Slip>) {
    let mut slips = Vec::new();
    // What follows from facts does not know the day; checking has seen to that.
    let mut evaluator = Evaluator::new(program, job, Date::MIN);
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
        let Some(datum) = sure(&value) else {
            slips.extend(nonsense(program, job, (id, derivation.field), &value, &uses));
            continue;
        };
        let shown = middle_text(program, &datum);
        let mut parts: Vec<(RecordId, usize)> = uses.iter().map(|part| (part.record, part.field)).collect();
        parts.sort_unstable();
        parts.dedup();
        found.push(Found { record: id, datum, shown, parts });
    }
    (found, slips)
}

/// Numbers of a drawing that no gate can have: told, since what follows from them would only be missing.
fn nonsense(program: &Program, job: &Job, (id, field): (RecordId, usize), value: &Value, uses: &[FactUse]) -> Option<Slip> {
    let why = value.unknown_doubt()?.obstacles.iter().find_map(|obstacle| match obstacle {
        Obstacle::Unreckonable(_, why) => Some(why),
        _ => None,
    })?;
    let record = job.record(id);
    let fact = &program.definition(record.def).fields[field].name;
    let own = uses.iter().filter(|part| part.record == id).find_map(|part| match &job.record(id).facts[part.field] {
        Fact::Stated(stated) if stated.follows.is_empty() => Some(stated.span),
        _ => None,
    });
    let message = format!("{}: `{fact}` cannot be worked out: {why}", thing_name(program, job, id));
    let slip = Slip::at(own.unwrap_or(record.span), "odd-drawing", message).label("drawn here");
    Some(slip.hint("correct the points or sizes, or take them out and state what was measured"))
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
            widened.touches(*other)
        }
        (Datum::Days(one), Datum::Days(other)) => one.first <= other.last && other.first <= one.last,
        (one, other) => one == other,
    }
}

fn contradiction(program: &Program, job: &Job, field: usize, stated: &Stated, found: &Found) -> Slip {
    let record = job.record(found.record);
    let fact = &program.definition(record.def).fields[field];
    let said = datum_text(program, &as_read(stated));
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
