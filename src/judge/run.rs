//! Judges a whole job: every section, floors, variances, codes in force. It must not know files or reports.

use super::doubt::Truth;
use super::eval::{Evaluator, Frame};
use super::judge_section::binding_name;
use super::rank::{Counts, Rank};
use super::variance::{Variance, apply};
use super::verdict::{Judged, Verdict};
use crate::job::Job;
use crate::language::program::Program;
use crate::language::tree::Modal;
use crate::slip::Slip;
use crate::source::Source;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A judged job with everything that its verdicts, expressions and places point into.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job.
    pub job: &'a Job,
    /// The job file.
    pub source: &'a Source,
    /// The variances granted for it, which verdicts name by their positions.
    pub variances: &'a [Variance],
    /// The day of judging.
    pub today: Date,
}

/// Everything that judging a job says.
pub struct Judgement<'a> {
    /// Verdicts, in the order of the codes' sections.
    pub judged: Vec<Judged<'a>>,
    /// For each code of the job, whether it is in force.
    pub codes: Vec<Truth>,
    /// What each variance of the job is, in words.
    pub granted: Vec<String>,
    /// What is told and changes no verdict: variances that count for nothing.
    pub notices: Vec<Slip>,
}

impl Judgement<'_> {
    /// Counts the verdicts, mandatory and recommended apart.
    pub fn counts(&self, program: &Program) -> (Counts, Counts) {
        let (mut shall, mut should) = (Counts::default(), Counts::default());
        for judged in &self.judged {
            let counts = if program.sections[judged.section].norms[judged.norm].modal == Modal::Shall { &mut shall } else { &mut should };
            counts[judged.verdict.rank()] += 1;
        }
        (shall, should)
    }

    /// The exit code that the verdicts ask for: 0 met, 1 a mandatory verdict is not met, marginal or open, 2 could not judge. `known`
    /// counts mandatory verdicts that were agreed upon before.
    pub fn exit_code(&self, program: &Program, job: &Job, unfinished: bool, known: &Counts) -> u8 {
        let (shall, _) = self.counts(program);
        let has = |rank: Rank| shall[rank] > known[rank];
        if has(Rank::Unanswered) || self.void(program, job).is_some() {
            return 2;
        }
        u8::from(
            has(Rank::NotMet)
                || has(Rank::Marginal)
                || has(Rank::Open) && !unfinished
                || self.codes.iter().any(|code| *code != Truth::Yes) && !unfinished,
        )
    }
}

/// Judges a job by a program on a day.
pub fn judge<'a>(program: &'a Program, job: &'a Job, variances: &'a [Variance], today: Date) -> Judgement<'a> {
    judge_sections(&mut Evaluator::new(program, job, today), variances, 0..program.sections.len())
}

/// Judges some sections of a job. A section and its minimums must be asked for together, and every text of one section.
pub fn judge_sections<'a>(
    evaluator: &mut Evaluator<'a>,
    variances: &'a [Variance],
    sections: impl IntoIterator<Item = usize>,
) -> Judgement<'a> {
    let (program, job) = (evaluator.program, evaluator.job);
    let codes: Vec<Truth> = program.codes.iter().map(|code| code_in_force(evaluator, code.force.as_ref())).collect();
    let sections = sections.into_iter();
    // Room for a few verdicts a section: growing moves every one of them.
    let mut judged = Vec::with_capacity(4 * sections.size_hint().0);
    for number in sections {
        let first = judged.len();
        evaluator.section(number, &mut judged);
        // In force under any of the codes that carry it is in force.
        let truth =
            program.sections[number].roots.iter().filter_map(|root| codes.get(*root)).fold(Truth::No, |any, code| any.or(code.clone()));
        if truth != Truth::Yes {
            for one in &mut judged[first..] {
                one.verdict = under_code(std::mem::replace(&mut one.verdict, Verdict::NotApplicable), &truth);
            }
        }
    }
    let mut judged = stand_on_floors(program, job, judged);
    let notices = apply(evaluator, variances, &mut judged);
    let granted = variances.iter().map(|variance| variance.words.clone()).collect();
    Judgement { judged, codes, granted, notices }
}

fn code_in_force<'a>(evaluator: &mut Evaluator<'a>, force: Option<&'a crate::language::program::Force>) -> Truth {
    let Some(force) = force else { return Truth::Yes };
    let (mut slots, mut lets) = (Vec::new(), Vec::new());
    let mut frame = Frame { slots: &mut slots, lets: &[], known_lets: &mut lets };
    evaluator.in_force(force, &mut frame)
}

/// A verdict under a code that is not, or perhaps not, in force.
fn under_code(verdict: Verdict, in_force: &Truth) -> Verdict {
    match (in_force, verdict) {
        (Truth::No, _) => Verdict::NotApplicable,
        (Truth::Doubtful(doubt), Verdict::NotMet) => Verdict::of_doubt(doubt.clone()),
        (Truth::Doubtful(doubt), Verdict::Marginal(other) | Verdict::Open(other) | Verdict::Unanswered(other)) => {
            Verdict::of_doubt(other.and(doubt))
        }
        (_, verdict) => verdict,
    }
}

/// A minimum stays in force beside the amended text: of both verdicts on one clause and thing the worse stands.
fn stand_on_floors<'a>(program: &Program, job: &Job, judged: Vec<Judged<'a>>) -> Vec<Judged<'a>> {
    if program.sections.iter().all(|section| section.floor_pack.is_none()) {
        return judged;
    }
    let mut kept: Vec<Judged<'a>> = Vec::with_capacity(judged.len());
    let mut places: BTreeMap<(usize, char, String), usize> = BTreeMap::new();
    for mut one in judged {
        let section = &program.sections[one.section];
        let above = section.floor_of.unwrap_or(one.section);
        let key = (above, section.norms[one.norm].label, binding_name(program, job, &one));
        one.floor.clone_from(&section.floor_pack);
        match places.get(&key) {
            Some(at) => {
                let stands = &mut kept[*at];
                let worse = weight(program, &one) > weight(program, stands);
                if worse {
                    std::mem::swap(stands, &mut one);
                }
                let modal = |judged: &Judged| program.sections[judged.section].norms[judged.norm].modal;
                if modal(stands) == modal(&one) {
                    stands.verdict.stands_beside(&one.verdict);
                }
                // What the amended text already asks for does not hide that the minimum is not met either.
                if one.floor.is_some() && one.verdict.is_finding() && (!worse || stands.floor.is_none()) {
                    stands.minimum_too = one.floor;
                }
            }
            None => {
                places.insert(key, kept.len());
                kept.push(one);
            }
        }
    }
    kept
}

/// What stands first: a mandatory clause that fails before a recommended one, then the worse verdict.
fn weight(program: &Program, judged: &Judged) -> (bool, Rank, bool) {
    let mandatory = program.sections[judged.section].norms[judged.norm].modal == Modal::Shall;
    let rank = judged.verdict.rank();
    (mandatory && judged.verdict.is_finding(), rank, mandatory)
}
