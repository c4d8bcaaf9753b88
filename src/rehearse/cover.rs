//! What the trials of a pack exercise, clause by clause: met and not met, at the limit, open, exceptions used, and what no
//! trial reaches. It must not know that packs can be changed.

use super::trial::Ready;
use crate::judge::rank::Rank;
use crate::judge::verdict::{Judged, Verdict};
use crate::language::check_trial::own_sections;
use crate::language::program::{Expr, Norm, Op, Program, Section};
use crate::language::walk::exprs;
use crate::source::Span;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// What the trials exercise of one clause.
#[derive(Clone, Debug, Default)]
pub struct ClauseCover {
    /// The letter.
    pub label: char,
    /// Trials in which it is met.
    pub met: usize,
    /// Trials in which it is not met.
    pub not_met: usize,
    /// Trials in which it is open.
    pub open: usize,
    /// Trials in which it applies at all.
    pub reached: usize,
    /// Trials in which something stands exactly at a limit of the clause; none where the clause compares nothing.
    pub at_limit: Option<usize>,
}

/// What the trials exercise of one section.
#[derive(Clone, Debug)]
pub struct SectionCover {
    /// Its id.
    pub id: String,
    /// Its clauses.
    pub clauses: Vec<ClauseCover>,
    /// Its exceptions, each with the number of trials that use it.
    pub exceptions: Vec<(String, usize)>,
}

impl SectionCover {
    /// Whether any clause of it applies in any trial.
    pub fn is_reached(&self) -> bool {
        self.clauses.iter().any(|clause| clause.reached > 0)
    }
}

/// What one trial exercises: of each section by position its clauses' verdicts, and the comparisons at their limit.
struct Seen {
    verdicts: BTreeSet<(usize, char, Rank)>,
    exceptions: BTreeSet<(usize, usize)>,
    at_limit: BTreeSet<Span>,
}

/// What the trials exercise of a pack's own sections, in the order of the pack.
pub fn cover(program: &Program, pack: &str, trials: &[Ready]) -> Vec<SectionCover> {
    let seen: Vec<Seen> = trials.par_iter().map(|trial| seen(program, trial)).collect();
    let own = own_sections(program, pack).into_iter().filter(|at| program.sections[*at].floor_pack.is_none());
    own.map(|at| of_section(&program.sections[at], at, &seen)).collect()
}

fn seen(program: &Program, trial: &Ready) -> Seen {
    let (judged, at_limit) = trial.judge_noting(program);
    let mut seen = Seen { verdicts: BTreeSet::new(), exceptions: BTreeSet::new(), at_limit };
    // A verdict of a floor is one of the section that it stands below.
    let above = |judged: &Judged| program.sections[judged.section].floor_of.unwrap_or(judged.section);
    for one in &judged {
        let label = program.sections[one.section].norms[one.norm].label;
        seen.verdicts.insert((above(one), label, one.verdict.rank()));
        if let Verdict::Excepted(at) = one.verdict {
            seen.exceptions.insert((above(one), at));
        }
    }
    seen
}

fn of_section(section: &Section, at: usize, seen: &[Seen]) -> SectionCover {
    let trials_with = |fits: &dyn Fn(&Seen) -> bool| seen.iter().filter(|seen| fits(seen)).count();
    let clause = |norm: &Norm| {
        let with = |rank: Rank| trials_with(&|seen| seen.verdicts.contains(&(at, norm.label, rank)));
        let limits = limits(section, norm);
        let reached = trials_with(&|seen| Rank::ALL[1..].iter().any(|rank| seen.verdicts.contains(&(at, norm.label, *rank))));
        let at_limit = trials_with(&|seen| limits.iter().any(|limit| seen.at_limit.contains(limit)));
        ClauseCover {
            label: norm.label,
            met: with(Rank::Met),
            not_met: with(Rank::NotMet),
            open: with(Rank::Open),
            reached,
            at_limit: (!limits.is_empty()).then_some(at_limit),
        }
    };
    let used = |number: usize| trials_with(&|seen| seen.exceptions.contains(&(at, number)));
    SectionCover {
        id: section.id.clone(),
        clauses: section.norms.iter().map(clause).collect(),
        exceptions: section.excepts.iter().enumerate().map(|(number, except)| (except.label.clone(), used(number))).collect(),
    }
}

/// The comparisons of a clause, those of the named values that it uses included.
fn limits(section: &Section, norm: &Norm) -> BTreeSet<Span> {
    let mut limits = BTreeSet::new();
    let mut lets: BTreeSet<usize> = BTreeSet::new();
    let mut next: Vec<&Expr> = norm.condition.iter().chain([&norm.body]).collect();
    while let Some(expr) = next.pop() {
        exprs(expr, &mut |part| match &part.op {
            Op::Compare(..) | Op::Between(..) => {
                limits.insert(part.span);
            }
            Op::Let(at) if lets.insert(*at) => next.extend(section.lets.get(*at).map(|(_, value)| value)),
            _ => {}
        });
    }
    limits
}
