//! What makes the judging of a job show nothing, whatever its verdicts are. It must not know how that is told.

use super::doubt::Truth;
use super::rank::Rank;
use super::run::Judgement;
use crate::datum::DefId;
use crate::job::{Children, Job};
use crate::language::program::{JOB, Program};

/// The kind of record without which there is nothing to be shown safe.
const GATE: &str = "gate";

/// Why a judgement shows nothing; codes by their positions in the program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Void {
    /// Codes that the job names and that are not in force for it.
    NotInForce(Vec<usize>),
    /// Codes without a section.
    Empty(Vec<usize>),
    /// The job states that it has no gate.
    NoGate,
    /// No mandatory clause applies.
    NothingApplies,
}

impl Judgement<'_> {
    /// Why this judgement shows nothing; nothing where it shows something.
    pub fn void(&self, program: &Program, job: &Job) -> Option<Void> {
        let of = |wanted: &dyn Fn(usize) -> bool| (0..program.codes.len()).filter(|code| wanted(*code)).collect::<Vec<usize>>();
        let out = of(&|code| self.codes.get(code) == Some(&Truth::No));
        if !out.is_empty() {
            return Some(Void::NotInForce(out));
        }
        let empty = of(&|code| !program.sections.iter().any(|section| section.roots.contains(&code)));
        if !empty.is_empty() {
            return Some(Void::Empty(empty));
        }
        if program.definition_named(GATE).is_some_and(|gate| is_none(program, job, gate)) {
            return Some(Void::NoGate);
        }
        let (shall, _) = self.counts(program);
        (shall.total() == shall[Rank::NotApplicable]).then_some(Void::NothingApplies)
    }
}

/// Whether the job states that it has no record of a kind; a list that is not stated is open.
fn is_none(program: &Program, job: &Job, of: DefId) -> bool {
    let child = program.definition(JOB).children.iter().position(|child| *child == of);
    match child.and_then(|child| job.records.first()?.children.get(child)) {
        Some(Children::Nothing(_)) => true,
        Some(Children::Given(records, _)) => records.is_empty(),
        _ => false,
    }
}
