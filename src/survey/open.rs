//! What of a job is still open: every fact and list that a verdict waits for, with the clauses that wait, in the order of a walk round
//! the gate. It must not know how it is shown.

use super::blank::{GATE, KIND, Known};
use super::form::{Form, form};
use super::order;
use crate::datum::{Datum, DefId};
use crate::job::{Children, Fact, Job, RecordId};
use crate::judge::doubt::{Missing, Truth};
use crate::judge::{Judgement, Verdict};
use crate::language::program::{ChildId, FieldId, Program};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// What is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lacks {
    /// A fact.
    Fact(FieldId),
    /// The day of a date of which only the month or the year is stated.
    Day(FieldId),
    /// A list, or whether there is a single record.
    List(ChildId),
}

/// Something that is still open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// Its running number.
    pub number: usize,
    /// The record that it belongs to.
    pub record: RecordId,
    /// What is missing of it.
    pub lacks: Lacks,
    /// Whether its key stands in the file with nothing behind it.
    pub has_key: bool,
    /// The clauses that wait for it: section and clause, by their positions.
    pub waits: BTreeSet<(usize, usize)>,
    /// The codes of which it decides whether they are in force, by their positions.
    pub codes: BTreeSet<usize>,
    /// Of a list: the facts that sections can use of each.
    pub each: Vec<FieldId>,
}

/// Clauses and codes that wait for one thing.
type Waiting = (BTreeSet<(usize, usize)>, BTreeSet<usize>);

/// What the verdicts wait for.
pub fn open(program: &Program, job: &Job, judgement: &Judgement, today: Date) -> Vec<Open> {
    let mut found: BTreeMap<(RecordId, Lacks), Waiting> = BTreeMap::new();
    for judged in &judgement.judged {
        let Verdict::Open(doubt) = &judged.verdict else { continue };
        for missing in &doubt.missing {
            found.entry(lacks(*missing)).or_default().0.insert((judged.section, judged.norm));
        }
    }
    for (code, truth) in judgement.codes.iter().enumerate() {
        let Truth::Doubtful(doubt) = truth else { continue };
        for missing in &doubt.missing {
            found.entry(lacks(*missing)).or_default().1.insert(code);
        }
    }
    let mut forms: BTreeMap<String, Option<Form>> = BTreeMap::new();
    let mut all: Vec<Open> = found
        .into_iter()
        .map(|((record, lacks), (waits, codes))| {
            let each = each(program, job, (record, lacks), &mut forms, today);
            Open { number: 0, record, lacks, has_key: has_key(job, record, lacks), waits, codes, each }
        })
        .collect();
    all.sort_by_cached_key(|open| place(program, job, open));
    for (at, open) in all.iter_mut().enumerate() {
        open.number = at + 1;
    }
    all
}

/// The record that lacks it, and what.
fn lacks(missing: Missing) -> (RecordId, Lacks) {
    match missing {
        Missing::Fact(record, field) => (record, Lacks::Fact(field)),
        Missing::Day(record, field) => (record, Lacks::Day(field)),
        Missing::Children(record, child) => (record, Lacks::List(child)),
    }
}

fn has_key(job: &Job, record: RecordId, lacks: Lacks) -> bool {
    let record = job.record(record);
    match lacks {
        Lacks::Fact(field) => !matches!(record.facts[field], Fact::Absent),
        Lacks::Day(_) => true,
        Lacks::List(child) => !matches!(record.children[child], Children::Unknown(None)),
    }
}

/// A step down to a record: the place of its kind in the walk, then its own among its like. Facts come before everything below.
pub(super) type Step = (usize, u32, usize);

fn place(program: &Program, job: &Job, open: &Open) -> Vec<Step> {
    let mut steps = way(program, job, open.record);
    steps.push(match open.lacks {
        Lacks::Fact(field) | Lacks::Day(field) => (0, 0, field),
        Lacks::List(child) => {
            let (at, def) = order::place(program, program.definition(job.record(open.record).def).children[child]);
            (at, def, 0)
        }
    });
    steps
}

/// The steps from the job down to a record.
pub(super) fn way(program: &Program, job: &Job, record: RecordId) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut at = Some(record);
    while let Some(id) = at {
        let (step, def) = order::place(program, job.record(id).def);
        steps.push((step, def, id.0 as usize));
        at = job.record(id).parent;
    }
    steps.reverse();
    steps
}

/// The facts that sections can use of each thing of an unknown list, for the kind of its gate.
fn each(
    program: &Program,
    job: &Job,
    (record, lacks): (RecordId, Lacks),
    forms: &mut BTreeMap<String, Option<Form>>,
    today: Date,
) -> Vec<FieldId> {
    let (Lacks::List(child), Some(kind)) = (lacks, kind_of(program, job, record)) else { return Vec::new() };
    let def: DefId = program.definition(job.record(record).def).children[child];
    let made = forms
        .entry(kind.clone())
        .or_insert_with(|| form(program, &Known { kind: &kind, permit: None, drawn: false, leaves: 1, units: job.units }, today));
    let part = made.as_ref().and_then(|form| form.parts().into_iter().find(|part| part.def == def).cloned());
    part.map_or_else(Vec::new, |part| part.questions.iter().map(|question| question.field).collect())
}

/// How the gate moves that a record is, or belongs to.
fn kind_of(program: &Program, job: &Job, record: RecordId) -> Option<String> {
    let gate = program.definition_named(GATE)?;
    let field = program.definition(gate).field(KIND)?;
    let mut at = Some(record);
    while let Some(id) = at {
        let record = job.record(id);
        if record.def == gate {
            let Fact::Stated(stated) = &record.facts[field] else { return None };
            let Datum::Word(word) = stated.datum else { return None };
            return Some(program.word(word).to_string());
        }
        at = record.parent;
    }
    None
}
