//! A clause that falls short for a thing, with what a report needs to name it. It must not know how it is shown.

use super::trial::{On, Trial, key_of};
use crate::job::RecordId;
use crate::judge::Judged;
use crate::judge::eval::Evaluator;
use crate::judge::explain::{Lacking, explain};
use crate::judge::judge_section::{binding_name, bound_record};
use crate::language::tree::Modal;
use crate::quantity::Interval;
use crate::source::{Source, Span};

/// A clause, and how it falls short for a thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Clause {
    /// `pack/section`.
    pub section: String,
    /// The clause's letter.
    pub label: char,
    /// The weight of the clause.
    pub modal: Modal,
    /// The section's title.
    pub title: String,
    /// What is judged.
    pub thing: String,
    /// The verdict, as a word.
    pub verdict: &'static str,
    /// Where in its pack it is decided.
    pub span: Span,
    /// What the pack says there, on one line.
    pub written: String,
    /// What is missing, where it is open.
    pub lacking: Vec<Lacking>,
    /// Why it cannot be answered, where so.
    pub obstacles: Vec<String>,
    /// The pack whose minimum it is, where a minimum stands.
    pub floor: Option<String>,
    /// The record that is judged.
    pub record: RecordId,
}

/// The clauses that fall short with the measures within these bounds, each once: those that can depend on the measures
/// (`always` unset), or those that fall short whatever they are.
pub fn clauses(trial: &mut Trial, source: &Source, bounds: &[Interval], always: bool) -> Vec<Clause> {
    let found = trial.judge(On::Job, bounds, |evaluator, judged| (key_of(evaluator.program, judged), clause(evaluator, source, judged)));
    let mut kept: Vec<Clause> = Vec::new();
    for (key, clause) in found {
        if trial.is_left_out(&key) == always && !kept.iter().any(|known| same(known, &clause)) {
            kept.push(clause);
        }
    }
    kept
}

/// Whether two clauses read alike: two codes may carry one text.
pub fn same(one: &Clause, two: &Clause) -> bool {
    (&one.section, one.label, &one.thing, one.span) == (&two.section, two.label, &two.thing, two.span)
}

fn clause(evaluator: &Evaluator, source: &Source, judged: &Judged) -> Clause {
    let (program, job) = (evaluator.program, evaluator.job);
    let section = &program.sections[judged.section];
    let norm = &section.norms[judged.norm];
    let why = explain(program, job, source, evaluator.today, judged);
    let span = why.reasons.first().map_or(norm.span, |reason| reason.span);
    let line_of = |span: Span| {
        let text = program.files.get(span.file).map_or("", |file| file.slice(span.range()));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    // A limit without the condition under which it holds reads as one that always does.
    let apart = |condition: &Span| condition.file != span.file || condition.start < span.start || span.end < condition.end;
    let written = match norm.condition.as_ref().map(|condition| condition.span).filter(apart) {
        Some(condition) => format!("if {} then {}", line_of(condition), line_of(span)),
        None => line_of(span),
    };
    Clause {
        section: section.id.clone(),
        label: norm.label,
        modal: norm.modal,
        title: section.title.clone(),
        thing: binding_name(program, job, judged),
        verdict: judged.verdict.word(),
        span,
        written,
        lacking: why.lacking,
        obstacles: why.obstacles.into_iter().map(|(obstacle, _)| obstacle).collect(),
        floor: judged.floor.clone(),
        record: bound_record(program, judged),
    }
}
