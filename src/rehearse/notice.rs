//! Which changes of a pack its trials notice. Each thread has a program of its own, into which a changed item is put and taken
//! out again, and judges only the sections that the change can touch. It must not know how changes are made.

use super::change::{Change, Changed};
use super::touched::Uses;
use super::trial::{Found, Ready, Trace, trace};
use crate::judge::rank::Rank;
use crate::judge::verdict::Judged;
use crate::language::program::Program;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Changes that one program is used for; between them it is cloned anew, which lets threads share the work evenly.
const BATCH: usize = 32;

/// What the trials make of a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Noticed {
    /// A trial fails by it.
    Yes,
    /// A verdict of this trial changes, but the trial does not name that verdict.
    Unnamed {
        /// The trial, by its position.
        trial: usize,
        /// The verdict that it could name.
        verdict: Found,
    },
    /// Where the pack's own text stands alone, a verdict of this trial changes; the text of this pack, which stays in force beside it
    /// as a minimum, gives a verdict that is no better, and that stands.
    Hidden {
        /// The trial, by its position.
        trial: usize,
        /// The pack that is the minimum.
        by: String,
    },
    /// No verdict of any trial changes.
    No,
}

/// What a trial's verdicts of one section came to with the pack as it is.
struct Before {
    /// By section.
    traces: Vec<Option<Vec<Trace>>>,
}

/// What the trials make of each change, in the order of the changes. Only trials that pass take part.
pub fn noticed(program: &Program, changes: &mut [Change], trials: &[Ready], passing: &[usize]) -> Vec<Noticed> {
    let uses = Uses::of(program);
    let before: Vec<Before> = passing.par_iter().map(|at| judged_before(program, &trials[*at])).collect();
    let batches = changes.par_chunks_mut(BATCH).map(|batch| {
        let mut own = program.clone();
        let one = |change: &mut Change| {
            let touched = uses.touched(&change.item);
            let taken = matches!(change.item, Changed::Taken(..));
            change.item.swap(&mut own);
            let mut outcome = look(program, &own, &touched, taken, trials, passing, &before);
            if outcome == Noticed::No {
                outcome = hidden(program, &own, &touched, trials, passing);
            }
            change.item.swap(&mut own);
            outcome
        };
        batch.iter_mut().map(one).collect::<Vec<_>>()
    });
    batches.collect::<Vec<_>>().into_iter().flatten().collect()
}

fn judged_before(program: &Program, trial: &Ready) -> Before {
    let mut traces = vec![None; program.sections.len()];
    for at in &trial.asks {
        traces[*at] = Some(Vec::new());
    }
    for one in trace(program, &trial.judge(program, &trial.asks)) {
        if let Some(traces) = &mut traces[one.0] {
            traces.push(one);
        }
    }
    Before { traces }
}

/// Tries the trials that see anything of the touched sections, those that judged something there first.
fn look(
    program: &Program,
    changed: &Program,
    touched: &[usize],
    taken: bool,
    trials: &[Ready],
    passing: &[usize],
    before: &[Before],
) -> Noticed {
    let mut unnamed = Noticed::No;
    let seen = |before: &Before| {
        touched.iter().filter_map(|at| before.traces[*at].as_ref()).flatten().filter(|one| one.2 > Rank::NotApplicable).count()
    };
    let mut order: Vec<(usize, usize)> = (0..passing.len()).map(|at| (usize::from(seen(&before[at]) == 0), at)).collect();
    order.sort_unstable();
    for (_, at) in order {
        let (number, before) = (passing[at], &before[at]);
        let trial = &trials[number];
        let sections: Vec<usize> = touched.iter().copied().filter(|section| before.traces[*section].is_some()).collect();
        if sections.is_empty() {
            continue;
        }
        // What facts follow from may be an assumed value, too.
        let derived = if taken { trial.derived_again(changed) } else { None };
        let judged = trial.judge_job(changed, derived.as_ref().unwrap_or(&trial.job), &sections);
        let was: Vec<&Trace> = sections.iter().filter_map(|section| before.traces[*section].as_ref()).flatten().collect();
        let now = trace(changed, &judged);
        if was.len() == now.len() && was.iter().zip(&now).all(|(was, now)| *was == now) {
            continue;
        }
        if !trial.misses(changed, &judged, &sections).is_empty() {
            return Noticed::Yes;
        }
        if unnamed == Noticed::No
            && let Some(verdict) = gone(program, changed, trial, &sections, &judged)
        {
            unnamed = Noticed::Unnamed { trial: number, verdict };
        }
    }
    unnamed
}

/// Whether a change that no trial notices is one that a minimum hides: some trial gives another verdict where the touched texts stand
/// without the minimums below them.
fn hidden(program: &Program, changed: &Program, touched: &[usize], trials: &[Ready], passing: &[usize]) -> Noticed {
    let floor_of =
        |at: usize| program.sections.iter().find(|section| section.floor_of == Some(at)).and_then(|floor| floor.floor_pack.clone());
    for (at, by) in touched.iter().filter_map(|at| Some((*at, floor_of(*at)?))) {
        for number in passing.iter().copied().filter(|number| trials[*number].asks.contains(&at)) {
            let trial = &trials[number];
            let alone = |by: &Program| trace(by, &trial.judge(by, &[at]));
            if alone(program) != alone(changed) {
                return Noticed::Hidden { trial: number, by };
            }
        }
    }
    Noticed::No
}

/// A verdict of the pack as it is that the changed pack does not give.
fn gone(program: &Program, changed: &Program, trial: &Ready, sections: &[usize], now: &[Judged]) -> Option<Found> {
    let now: BTreeSet<Found> = now.iter().map(|judged| trial.found(changed, judged)).collect();
    let was = trial.judge(program, sections);
    was.iter().map(|judged| trial.found(program, judged)).find(|found| !now.contains(found))
}
