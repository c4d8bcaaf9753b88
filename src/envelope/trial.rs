//! Tries values: puts measures into a copy of the job, as points or as bounds, judges the sections concerned, and says what can
//! be said of every value within the bounds. It must not know how values are chosen.

use super::chosen::{Chosen, bounds_of, choices};
use super::concern::sections_concerned;
use super::simplest::inside;
use crate::datum::{Datum, Kind};
use crate::job::{Fact, Job, RecordId, Stated};
use crate::judge::Subject;
use crate::judge::derive::derive_again;
use crate::judge::doubt::{Doubt, Obstacle};
use crate::judge::eval::{Evaluator, FactUse, Frame};
use crate::judge::judge_sections;
use crate::judge::value::Slot;
use crate::judge::variance::{Variance, may_excuse};
use crate::judge::verdict::{Judged, Verdict};
use crate::language::program::Program;
use crate::language::tree::Modal;
use crate::quantity::{Exact, Interval, Unit};
use jiff::civil::Date;
use std::collections::BTreeSet;

/// What a value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Label {
    /// Every verdict that can depend on it is met, excepted, excused or not applicable.
    Good,
    /// None of them fails, and some are open, since another fact is missing.
    Waiting,
    /// One of them is not met, marginal or unanswered.
    Bad,
}

/// A measure that is varied.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    /// The fact.
    pub fact: FactUse,
    /// The unit of its author, or the one that the reader wants: values are tried in it.
    pub unit: Option<Unit>,
    /// Its measuring tolerance, in base units.
    pub tolerance: Exact,
}

/// Which copy of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum On {
    /// The job as it is.
    Job,
    /// One with other readings at chosen values.
    Chosen(usize),
}

/// One clause asked of one thing, by what is the same whatever the measures are: the section and clause (those of the text
/// above, for a minimum) and what is bound.
pub type Key = (usize, char, Vec<(u8, usize, usize)>);

/// How a verdict falls short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Short {
    /// Surely not met, and no variance could excuse it.
    Fails,
    /// Neither good nor bad for every value within the bounds.
    Unsure,
    /// In doubt for every value within the bounds, for other reasons: open or not.
    Throughout(Label),
}

/// What is judged, and the copies of the job that it is judged on.
pub struct Trial<'a> {
    program: &'a Program,
    variances: &'a [Variance],
    today: Date,
    axes: Vec<Axis>,
    varied: Vec<FactUse>,
    /// The sections that may depend on the measures.
    sections: Vec<usize>,
    /// Whether only mandatory clauses count.
    mandatory: bool,
    /// The job as it is.
    job: Job,
    /// The same with other readings at chosen values within their tolerances.
    chosen: Chosen,
    /// Verdicts that fall short whatever the measures are.
    left_out: BTreeSet<Key>,
    /// How often the job was judged.
    pub judged: usize,
}

/// Which clauses count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counting {
    /// Every clause.
    Every,
    /// Mandatory ones.
    Mandatory,
}

impl<'a> Trial<'a> {
    /// A trial of these measures. What falls short whatever they are is found first, and left out.
    pub fn new(subject: &Subject<'a>, axes: Vec<Axis>, counting: Counting) -> Trial<'a> {
        let Subject { program, job, variances, today, .. } = *subject;
        let mut varied: Vec<FactUse> = axes.iter().map(|axis| axis.fact).collect();
        varied.extend(followers(job, &varied));
        let named: Vec<_> = varied.iter().map(|fact| (job.record(fact.record).def, fact.field)).collect();
        let sections = sections_concerned(program, variances, &named);
        let mandatory = counting == Counting::Mandatory;
        let (chosen, job) = (Chosen::new(job, &varied), job.clone());
        let left_out = BTreeSet::new();
        let mut trial = Trial { program, variances, today, axes, varied, sections, mandatory, job, chosen, left_out, judged: 0 };
        let any = trial.any();
        let always = trial.short(On::Job, &any);
        trial.left_out = always.into_iter().filter(|(_, short)| *short != Short::Unsure).map(|(key, _)| key).collect();
        trial
    }

    /// The measures.
    pub fn axes(&self) -> &[Axis] {
        &self.axes
    }

    /// Judges with the measures within bounds in base units, and hands over what `see` makes of each verdict.
    /// Only verdicts that fall short are shown to it, of clauses that count.
    pub fn judge<T>(&mut self, on: On, bounds: &[Interval], see: impl Fn(&Evaluator, &Judged) -> T) -> Vec<T> {
        let job = match on {
            On::Job => &mut self.job,
            On::Chosen(at) => &mut self.chosen.jobs[at],
        };
        for (axis, bounds) in self.axes.iter().zip(bounds) {
            put(job, axis, *bounds);
        }
        let followers = &self.varied[self.axes.len()..];
        if !followers.is_empty() {
            derive_again(self.program, job, followers);
        }
        self.judged += 1;
        let mut evaluator = Evaluator::new(self.program, job, self.today);
        evaluator.varied = &self.varied;
        let judgement = judge_sections(&mut evaluator, self.variances, self.sections.iter().copied());
        let (program, mandatory) = (self.program, self.mandatory);
        let weight = |judged: &Judged| program.sections[judged.section].norms[judged.norm].modal;
        let counts = |judged: &&Judged| judged.verdict.is_finding() && (!mandatory || weight(judged) == Modal::Shall);
        judgement.judged.iter().filter(counts).map(|judged| see(&evaluator, judged)).collect()
    }

    /// What falls short within the bounds, but for what is left out, and how.
    fn short(&mut self, on: On, bounds: &[Interval]) -> Vec<(Key, Short)> {
        let (program, variances) = (self.program, self.variances);
        let exact = bounds.iter().all(|bounds| bounds.as_point().is_some());
        let found = self.judge(on, bounds, |evaluator, judged| {
            let excusable = !exact && matches!(judged.verdict, Verdict::NotMet | Verdict::Marginal(_));
            let excusable = excusable && may_be_excused(evaluator, variances, judged);
            (key_of(program, judged), short_of(&judged.verdict, excusable))
        });
        found.into_iter().filter(|(key, _)| !self.left_out.contains(key)).collect()
    }

    /// Bounds that hold every value that the measures can have: a count is never below nought.
    pub fn any(&self) -> Vec<Interval> {
        let kind = |fact: &FactUse| &self.program.definition(self.job.record(fact.record).def).fields[fact.field].kind;
        let any = |fact| if *kind(fact) == Kind::Count { Interval { lo: Some(Exact::ZERO), hi: None } } else { Interval::WHOLE };
        self.varied.iter().map(any).collect()
    }

    /// Every verdict that can depend on the measures.
    pub fn dependent(&mut self) -> BTreeSet<Key> {
        let any = self.any();
        self.short(On::Job, &any).into_iter().map(|(key, _)| key).collect()
    }

    /// Whether a verdict falls short whatever the measures are.
    pub fn is_left_out(&self, key: &Key) -> bool {
        self.left_out.contains(key)
    }

    /// Bounds in base units for values from one end to the other in the author's units, widened by the tolerances.
    pub fn outer(&self, sides: &[(Exact, Exact)]) -> Vec<Interval> {
        let outer = |(axis, side): (&Axis, &(Exact, Exact))| {
            let (lo, hi) = (axis.to_base(side.0)?.sub(axis.tolerance)?, axis.to_base(side.1)?.add(axis.tolerance)?);
            Some(Interval::between(lo, hi))
        };
        self.axes.iter().zip(sides).map(|both| outer(both).unwrap_or(Interval::WHOLE)).collect()
    }

    /// Bounds that every reading within the sides has in common, where there are any.
    fn core(&self, sides: &[(Exact, Exact)]) -> Option<Vec<Interval>> {
        let core = |(axis, side): (&Axis, &(Exact, Exact))| {
            let (lo, hi) = (axis.to_base(side.1)?.sub(axis.tolerance)?, axis.to_base(side.0)?.add(axis.tolerance)?);
            (lo <= hi).then_some(Interval { lo: Some(lo), hi: Some(hi) })
        };
        self.axes.iter().zip(sides).map(core).collect()
    }

    /// What one value of each measure is, and whether it is only bad because its numbers have too many digits.
    pub fn label(&mut self, at: &[Exact]) -> (Label, bool) {
        let sides: Vec<(Exact, Exact)> = at.iter().map(|at| (*at, *at)).collect();
        let bounds = self.outer(&sides);
        let found = self.labels(&bounds);
        let worst = found.iter().map(|(label, _)| *label).max().unwrap_or(Label::Good);
        let digits = found.iter().filter(|(label, _)| *label == Label::Bad).all(|(_, digits)| *digits);
        (worst, worst == Label::Bad && digits)
    }

    /// What each verdict that falls short makes of the bounds, and whether it is only for too many digits.
    fn labels(&mut self, bounds: &[Interval]) -> Vec<(Label, bool)> {
        let program = self.program;
        let found = self.judge(On::Job, bounds, |_, judged| {
            let digits = judged.verdict.doubt().is_some_and(too_long);
            (key_of(program, judged), label_of(&judged.verdict), digits)
        });
        found.into_iter().filter(|(key, ..)| !self.left_out.contains(key)).map(|(_, label, digits)| (label, digits)).collect()
    }

    /// What every value within the sides surely is; nothing where that is not shown.
    pub fn classify(&mut self, sides: &[(Exact, Exact)]) -> Option<Label> {
        let bounds = self.outer(sides);
        let found = self.short(On::Job, &bounds);
        if found.iter().any(|(_, short)| matches!(short, Short::Fails | Short::Throughout(Label::Bad))) {
            return Some(Label::Bad);
        }
        if found.iter().all(|(_, short)| *short != Short::Unsure) {
            return Some(if found.is_empty() { Label::Good } else { Label::Waiting });
        }
        // What is in doubt on what all readings have in common is in doubt for each of them.
        if let Some(core) = self.core(sides)
            && self.labels(&core).iter().any(|(label, _)| *label == Label::Bad)
        {
            return Some(Label::Bad);
        }
        (self.is_narrow(sides) && self.fails_as_chosen(sides, &bounds)).then_some(Label::Bad)
    }

    /// Whether the sides are so narrow that another reading's tolerance may be what is in doubt.
    fn is_narrow(&self, sides: &[(Exact, Exact)]) -> bool {
        let width = |(axis, side): (&Axis, &(Exact, Exact))| axis.to_base(side.1)?.sub(axis.to_base(side.0)?);
        let widest = self.chosen.widest;
        !widest.is_zero() && self.axes.iter().zip(sides).map(width).all(|width| width.is_some_and(|width| width <= widest))
    }

    /// Whether, with other readings at some values within their tolerances, a verdict surely fails: were it good with the readings
    /// as they are, it would be good with them known better.
    fn fails_as_chosen(&mut self, sides: &[(Exact, Exact)], bounds: &[Interval]) -> bool {
        let fails = |trial: &mut Self, at| trial.short(On::Chosen(at), bounds).iter().any(|(_, short)| *short == Short::Fails);
        if (0..self.chosen.jobs.len()).rev().any(|at| fails(self, at)) {
            return true;
        }
        // A value in the middle tells which readings are in the way; they are chosen so that it fails there.
        let middle: Vec<(Exact, Exact)> = sides.iter().filter_map(|side| inside(side.0, side.1)).map(|at| (at, at)).collect();
        if middle.len() < sides.len() || !self.chosen.may_search() {
            return false;
        }
        let at = self.outer(&middle);
        let readings = self.readings_in_doubt(&at);
        let job = self.job.clone();
        for choice in choices(&job, &readings) {
            self.chosen.jobs.push(choice);
            let last = self.chosen.jobs.len() - 1;
            if self.short(On::Chosen(last), &at).iter().any(|(_, short)| *short == Short::Fails) {
                return fails(self, last);
            }
            self.chosen.jobs.pop();
        }
        false
    }

    /// The other readings that take part where a verdict is marginal.
    fn readings_in_doubt(&mut self, bounds: &[Interval]) -> Vec<FactUse> {
        let program = self.program;
        let found = self.judge(On::Job, bounds, |evaluator, judged| {
            let marginal = matches!(judged.verdict, Verdict::Marginal(_));
            (key_of(program, judged), if marginal { facts_used(evaluator, judged) } else { Vec::new() })
        });
        let used = found.into_iter().filter(|(key, _)| !self.left_out.contains(key)).flat_map(|(_, used)| used);
        let readings: BTreeSet<FactUse> = used.filter(|fact| !self.varied.contains(fact)).collect();
        readings.into_iter().filter(|fact| bounds_of(&self.job, *fact).is_some()).collect()
    }
}

impl Axis {
    /// A number of the author's unit in base units.
    pub fn to_base(&self, number: Exact) -> Option<Exact> {
        self.unit.map_or(Some(number), |unit| unit.to_base(number))
    }

    /// A number of base units in the author's unit.
    pub fn from_base(&self, number: Exact) -> Option<Exact> {
        self.unit.map_or(Some(number), |unit| unit.from_base(number))
    }
}

/// Facts that follow from these, one from another: they vary with them.
fn followers(job: &Job, varied: &[FactUse]) -> Vec<FactUse> {
    let mut found: Vec<FactUse> = Vec::new();
    loop {
        let before = found.len();
        for (at, record) in job.records.iter().enumerate() {
            for (field, fact) in record.facts.iter().enumerate() {
                let Fact::Stated(stated) = fact else { continue };
                let own = FactUse { record: RecordId(u32::try_from(at).unwrap_or(u32::MAX)), field };
                let known = |part: &(RecordId, usize)| {
                    let part = FactUse { record: part.0, field: part.1 };
                    varied.contains(&part) || found.contains(&part)
                };
                if !varied.contains(&own) && !found.contains(&own) && stated.follows.iter().any(known) {
                    found.push(own);
                }
            }
        }
        if found.len() == before {
            return found;
        }
    }
}

/// Puts a measure into a job.
fn put(job: &mut Job, axis: &Axis, bounds: Interval) {
    let record = &mut job.records[axis.fact.record.0 as usize];
    let (span, fact) = (record.span, &mut record.facts[axis.fact.field]);
    let datum = Datum::Number(bounds, axis.unit);
    match fact {
        Fact::Stated(stated) => stated.datum = datum,
        other => {
            *other = Fact::Stated(Box::new(Stated::plain(datum, span)));
        }
    }
}

/// As [`may_excuse`], for verdicts that do not outlive the judging.
fn may_be_excused(evaluator: &Evaluator, variances: &[Variance], judged: &Judged) -> bool {
    let mut own = Evaluator::new(evaluator.program, evaluator.job, evaluator.today);
    own.varied = evaluator.varied;
    may_excuse(&mut own, variances, judged)
}

/// The facts that take part in what a clause asks.
fn facts_used(evaluator: &Evaluator, judged: &Judged) -> Vec<FactUse> {
    let section = &evaluator.program.sections[judged.section];
    let mut own = Evaluator::new(evaluator.program, evaluator.job, evaluator.today);
    (own.at_hand, own.uses) = (judged.section, Some(Vec::new()));
    let (mut slots, mut known_lets) = (judged.slots.clone(), vec![None; section.lets.len()]);
    let mut frame = Frame { slots: &mut slots, lets: &section.lets, known_lets: &mut known_lets };
    let _ = own.truth(&section.norms[judged.norm].body, &mut frame);
    own.uses.unwrap_or_default()
}

fn too_long(doubt: &Doubt) -> bool {
    !doubt.obstacles.is_empty() && doubt.obstacles.iter().all(|obstacle| matches!(obstacle, Obstacle::TooManyDigits(_)))
}

fn label_of(verdict: &Verdict) -> Label {
    match verdict {
        Verdict::Open(_) => Label::Waiting,
        verdict if verdict.is_finding() => Label::Bad,
        _ => Label::Good,
    }
}

/// How a verdict on bounds falls short. Where the varied measures are no reason of its doubt, it is the same for each value.
fn short_of(verdict: &Verdict, excusable: bool) -> Short {
    let Some(doubt) = verdict.doubt() else { return if excusable { Short::Unsure } else { Short::Fails } };
    // A budget that is spent on bounds may do for a point.
    let spent = |obstacle: &Obstacle| matches!(obstacle, Obstacle::TooManySteps(_) | Obstacle::TooManyDigits(_));
    if doubt.varied || excusable || doubt.obstacles.iter().any(spent) { Short::Unsure } else { Short::Throughout(label_of(verdict)) }
}

/// What is judged, whatever the measures are. Of a pair it does not matter which way round.
pub fn key_of(program: &Program, judged: &Judged) -> Key {
    let section = &program.sections[judged.section];
    let number = |id: RecordId| id.0 as usize;
    let part = |slot: &Slot| match slot {
        Slot::Record(id) => (1, number(*id), 0),
        Slot::Phantom(id, steps, _) => (2, number(*id), *steps),
        Slot::Row(row) => (3, *row, 0),
        Slot::Word(word) => (4, word.0 as usize, 0),
        Slot::Empty | Slot::Value(_) => (0, 0, 0),
    };
    let mut parts = Vec::new();
    for binder in section.binders.iter().take(judged.bound) {
        let one = part(&judged.slots[binder.slot]);
        if binder.other.is_some() {
            let two = part(&judged.slots[binder.slot + 1]);
            parts.extend([one.min(two), one.max(two)]);
        } else {
            parts.push(one);
        }
    }
    (section.floor_of.unwrap_or(judged.section), section.norms[judged.norm].label, parts)
}
