//! One trial: its job read by the ordinary reader, judged, and compared with what its author expects. It must not know that
//! packs can be changed.

use super::base;
use crate::job::refer::DANGLING;
use crate::job::yaml::read_yaml;
use crate::job::{Fact, Job, RecordId, read_job};
use crate::judge::derive::derive_again;
use crate::judge::eval::{Evaluator, FactUse};
use crate::judge::judge_section::binding_name;
use crate::judge::rank::Rank;
use crate::judge::run::{Judgement, judge_sections};
use crate::judge::value::Slot;
use crate::judge::variance::{Variance, variances};
use crate::judge::verdict::Judged;
use crate::language::check_trial::{CheckedTrial, Expected};
use crate::language::program::Program;
use crate::language::tree::Edit;
use crate::slip::Slip;
use crate::source::{Source, Span};
use serde_yaml::Value;
use std::collections::BTreeSet;

/// A trial, ready to be judged.
pub struct Ready {
    /// What its author wrote.
    pub trial: CheckedTrial,
    /// Its job.
    pub job: Job,
    /// The text of its job, which no file holds.
    pub source: Source,
    /// The sections that are asked, by their positions, with the floors that stand below them.
    pub asks: Vec<usize>,
    variances: Vec<Variance>,
}

/// A verdict: section, clause, thing and word.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Found {
    /// The section's id.
    pub section: String,
    /// The letter of the clause.
    pub label: char,
    /// The thing, as reports name it.
    pub thing: String,
    /// The verdict, as a word.
    pub verdict: &'static str,
}

/// Where a trial and its author do not agree.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Miss {
    /// Something is expected and comes out otherwise: its place, what is expected, and the verdicts that come out.
    NotFound(Span, Wanted, Vec<&'static str>),
    /// Something is found that is not expected.
    Unexpected(Found),
}

/// What was expected, in words.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wanted {
    /// Section and clause, as reports write them.
    pub clause: String,
    /// The thing.
    pub thing: String,
    /// The verdict.
    pub verdict: String,
}

/// What decides whether two runs came to the same: section, clause, verdict, and what was bound.
pub type Trace = (usize, char, Rank, Vec<(u8, usize)>);

impl Ready {
    /// Makes the job of a trial and reads it.
    pub fn new(program: &Program, trial: CheckedTrial, base: &Value) -> Result<Ready, Vec<Slip>> {
        let (source, job) = make_job(program, base, &trial.edits, &trial).map_err(|slip| vec![slip])?;
        let (variances, malformed) = variances(program, &job, &source);
        // A rule must hold by itself where an id leads nowhere, although the reader of jobs refuses that first.
        let wrong = job.slips.iter().filter(|slip| !slip.harmless && slip.name != DANGLING).chain(&malformed);
        let slips: Vec<Slip> = wrong.map(|slip| in_changed_job(&trial, slip)).collect();
        if !slips.is_empty() {
            return Err(slips);
        }
        let asked = |number: &usize| {
            let section = &program.sections[*number];
            trial.asks.contains(&section.id)
        };
        let asks = (0..program.sections.len()).filter(asked).collect();
        Ok(Ready { trial, job, source, asks, variances })
    }

    /// What comes out of every asked section.
    pub fn judgement<'a>(&'a self, program: &'a Program) -> Judgement<'a> {
        judge_sections(&mut Evaluator::new(program, &self.job, self.trial.today), &self.variances, self.asks.iter().copied())
    }

    /// Judges some sections by a program, which need not be the one that the trial was read by.
    pub fn judge<'a>(&'a self, program: &'a Program, sections: &[usize]) -> Vec<Judged<'a>> {
        self.judge_by(&mut Evaluator::new(program, &self.job, self.trial.today), sections)
    }

    /// The job with the facts that follow from others worked out anew by a program that takes a fact as another value where the job
    /// does not state it; nothing where no fact of the job follows from others.
    pub fn derived_again(&self, program: &Program) -> Option<Job> {
        let follows = |fact: &Fact| matches!(fact, Fact::Stated(stated) if !stated.follows.is_empty());
        let mut facts = Vec::new();
        for (at, record) in self.job.records.iter().enumerate() {
            let id = RecordId(u32::try_from(at).unwrap_or(u32::MAX));
            facts.extend((0..record.facts.len()).filter(|field| follows(&record.facts[*field])).map(|field| FactUse { record: id, field }));
        }
        (!facts.is_empty()).then(|| {
            let mut job = self.job.clone();
            derive_again(program, &mut job, &facts);
            job
        })
    }

    /// Judges some sections of a job that differs from the trial's in facts alone.
    pub fn judge_job<'a>(&'a self, program: &'a Program, job: &'a Job, sections: &[usize]) -> Vec<Judged<'a>> {
        self.judge_by(&mut Evaluator::new(program, job, self.trial.today), sections)
    }

    /// Judges every asked section, and notes the comparisons that stand exactly at their limit.
    pub fn judge_noting<'a>(&'a self, program: &'a Program) -> (Vec<Judged<'a>>, BTreeSet<Span>) {
        let mut evaluator = Evaluator::new(program, &self.job, self.trial.today);
        evaluator.at_limit = Some(BTreeSet::new());
        let judged = self.judge_by(&mut evaluator, &self.asks);
        (judged, evaluator.at_limit.unwrap_or_default())
    }

    fn judge_by<'a>(&'a self, evaluator: &mut Evaluator<'a>, sections: &[usize]) -> Vec<Judged<'a>> {
        judge_sections(evaluator, &self.variances, sections.iter().copied()).judged
    }

    /// Where verdicts of these sections and the author do not agree.
    pub fn misses(&self, program: &Program, judged: &[Judged], sections: &[usize]) -> Vec<Miss> {
        let of_sections = |one: &&Expected| sections.iter().any(|number| program.sections[*number].id == one.section);
        let expected: Vec<&Expected> = self.trial.expected.iter().filter(of_sections).collect();
        let named = |one: &&Judged| {
            let section = &program.sections[one.section];
            one.verdict.is_finding()
                || expected.iter().any(|other| other.section == section.id && other.label == section.norms[one.norm].label)
        };
        let found: BTreeSet<Found> = judged.iter().filter(named).map(|one| self.found(program, one)).collect();
        let same = |one: &Found, other: &Expected| (&one.section, one.label, &one.thing) == (&other.section, other.label, &other.thing);
        let mut misses = Vec::new();
        for other in &expected {
            let verdicts: Vec<&'static str> = found.iter().filter(|one| same(one, other)).map(|one| one.verdict).collect();
            if !verdicts.contains(&other.verdict.as_str()) {
                misses.push(Miss::NotFound(other.span, Wanted::of(other), verdicts));
            }
        }
        let stated = |one: &Found| expected.iter().any(|other| same(one, other) && one.verdict == other.verdict);
        let findings = judged.iter().filter(|one| one.verdict.is_finding()).map(|one| self.found(program, one));
        let unexpected: BTreeSet<Found> = findings.filter(|one| !stated(one)).collect();
        misses.extend(unexpected.into_iter().map(Miss::Unexpected));
        misses
    }

    /// A verdict in words.
    pub fn found(&self, program: &Program, judged: &Judged) -> Found {
        let section = &program.sections[judged.section];
        Found {
            section: section.id.clone(),
            label: section.norms[judged.norm].label,
            thing: binding_name(program, &self.job, judged),
            verdict: judged.verdict.word(),
        }
    }
}

impl Wanted {
    fn of(expected: &Expected) -> Wanted {
        let clause = format!("{} ({})", expected.section, expected.label);
        Wanted { clause, thing: expected.thing.clone(), verdict: expected.verdict.clone() }
    }
}

impl Found {
    /// The clause of a trial that expects this.
    pub fn as_rule(&self) -> String {
        let thing = if self.thing == "job" { String::new() } else { format!(" \"{}\"", self.thing.replace('"', "'")) };
        format!("finds {} ({}){thing} {}", self.section, self.label, self.verdict)
    }
}

/// The base job with what differs, as text and as records.
pub fn make_job(program: &Program, base: &Value, edits: &[Edit], trial: &CheckedTrial) -> Result<(Source, Job), Slip> {
    let mut value = base.clone();
    edits.iter().try_for_each(|edit| base::put(&mut value, edit))?;
    let text = base::write(&value).map_err(|slip| Slip { span: Some(trial.name.span), ..slip })?;
    let source = Source::new(format!("{}, as trial {} reads it", trial.job.text, trial.name.text), text);
    let (yaml, slips) = read_yaml(&source);
    let mut job = read_job(&yaml, program);
    crate::judge::derive::derive(program, &mut job);
    job.slips.extend(slips);
    Ok((source, job))
}

/// A slip of the changed job, which nobody can open, told at the trial.
fn in_changed_job(trial: &CheckedTrial, slip: &Slip) -> Slip {
    let message = format!("the job of trial `{}` has a slip: {}", trial.name.text, slip.message);
    Slip::at(trial.name.span, slip.name, message).label("this trial").hint_maybe(slip.hint.clone())
}

/// What decides whether two runs came to the same.
pub fn trace(program: &Program, judged: &[Judged]) -> Vec<Trace> {
    let bound = |slot: &Slot| match slot {
        Slot::Record(id) => Some((0, id.0 as usize)),
        Slot::Phantom(id, ..) => Some((1, id.0 as usize)),
        Slot::Row(packed) => Some((2, *packed)),
        Slot::Word(word) => Some((3, word.0 as usize)),
        Slot::Empty | Slot::Value(_) => None,
    };
    let one = |judged: &Judged| {
        let section = &program.sections[judged.section];
        // Other slots hold what walks within the clause happened to leave.
        let binders = section.binders.iter().take(judged.bound);
        let slots = binders.flat_map(|binder| binder.slot..=binder.slot + usize::from(binder.other.is_some()));
        let things = slots.filter_map(|slot| judged.slots.get(slot).and_then(bound)).collect();
        (judged.section, section.norms[judged.norm].label, judged.verdict.rank(), things)
    };
    judged.iter().map(one).collect()
}
