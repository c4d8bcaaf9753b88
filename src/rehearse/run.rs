//! The whole rehearsal of a pack: its trials run, what they exercise, and the changes that they notice and do not. It must not
//! know how a rehearsal is reported.

use super::assumed::{AtLimit, at_limits};
use super::change::{Boundary, Change, changes};
use super::cover::{SectionCover, cover};
use super::notice::{Noticed, noticed};
use super::trial::{Miss, Ready};
use crate::datum::Kind;
use crate::job::read_job;
use crate::job::yaml::read_yaml;
use crate::judge::judge;
use crate::judge::verdict::Verdict;
use crate::language::check_trial::{Pass, own_sections};
use crate::language::program::{JOB, Program};
use crate::language::tree::Modal;
use crate::source::{FileId, Source, Span};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Everything that the rehearsal of a pack says.
pub struct Rehearsal {
    /// For each trial, where it and its author do not agree.
    pub misses: Vec<Vec<Miss>>,
    /// What the trials exercise, section by section.
    pub cover: Vec<SectionCover>,
    /// How many changes were made.
    pub changes: usize,
    /// Changes that no trial notices.
    pub unnoticed: Vec<Unseen>,
    /// Changes that no trial notices, with the reason that the author gives.
    pub passed: Vec<(Unseen, String)>,
    /// Passes that nothing needs: their position among the passes.
    pub needless: Vec<usize>,
    /// Kinds of gate that the pack leaves without any `shall`.
    pub kinds_without: Vec<String>,
    /// Limits at which the value lies that is taken for a fact where nobody states it.
    pub assumed: Vec<AtLimit>,
}

/// A change that no trial notices.
pub struct Unseen {
    /// What is changed.
    pub place: String,
    /// How.
    pub words: String,
    /// Where it stands in the pack.
    pub span: Span,
    /// The limit that is changed, where it is one that a trial could stand at.
    pub limit: Option<Boundary>,
    /// What the trials make of it.
    pub noticed: Noticed,
}

impl Rehearsal {
    /// Whether every trial finds what it expects, and every change is noticed or let pass for a reason that is needed.
    pub fn is_clean(&self) -> bool {
        self.misses.iter().all(Vec::is_empty) && self.unnoticed.is_empty() && self.needless.is_empty()
    }
}

/// Rehearses a pack: `files` are its own.
pub fn rehearse(program: &Program, pack: &str, files: &[FileId], trials: &[Ready], passes: &[Pass]) -> Rehearsal {
    let run = |trial: &Ready| trial.misses(program, &trial.judge(program, &trial.asks), &trial.asks);
    let misses: Vec<Vec<Miss>> = trials.par_iter().map(run).collect();
    let passing: Vec<usize> = (0..trials.len()).filter(|at| misses[*at].is_empty()).collect();
    let mut changes = changes(program, pack, files);
    let outcomes = noticed(program, &mut changes, trials, &passing);
    let made = changes.len();
    let mut needed = vec![false; passes.len()];
    let by_words: BTreeMap<(&str, &str), usize> =
        passes.iter().enumerate().map(|(at, pass)| ((pass.place.as_str(), pass.change.text.as_str()), at)).collect();
    let (mut unnoticed, mut passed) = (Vec::new(), Vec::new());
    for (change, noticed) in changes.into_iter().zip(outcomes).filter(|(_, noticed)| *noticed != Noticed::Yes) {
        let Change { place, words, span, limit, .. } = change;
        let pass = by_words.get(&(place.as_str(), words.as_str())).copied();
        let unseen = Unseen { place, words, span, limit, noticed };
        match pass {
            Some(at) => {
                needed[at] = true;
                passed.push((unseen, passes[at].because.clone()));
            }
            None => unnoticed.push(unseen),
        }
    }
    let needless = (0..passes.len()).filter(|at| !needed[*at]).collect();
    let kinds_without = kinds_without(program, pack);
    let (cover, assumed) = (cover(program, pack, trials), at_limits(program, pack));
    Rehearsal { misses, cover, changes: made, unnoticed, passed, needless, kinds_without, assumed }
}

/// Kinds of gate of which the pack surely asks nothing, whatever else a job may say: every mandatory clause is judged for a gate
/// of which nothing but its kind is known.
fn kinds_without(program: &Program, pack: &str) -> Vec<String> {
    let gate = program.definition_named("gate").map(|def| program.definition(def)).filter(|gate| gate.parent == Some(JOB) && !gate.single);
    let kind = gate.and_then(|gate| Some((gate.key.as_str(), &gate.fields.get(gate.field("kind")?)?.kind)));
    let Some((key, Kind::Word(list))) = kind else { return Vec::new() };
    let own = own_sections(program, pack);
    let asked = |word: &str| {
        let source = Source::new("kind", format!("{key}:\n  - {{id: gate, kind: {word}}}\n"));
        let (yaml, _) = read_yaml(&source);
        let job = read_job(&yaml, program);
        let judgement = judge(program, &job, &[], Date::MAX);
        judgement.judged.iter().any(|judged| {
            let mandatory = program.sections[judged.section].norms[judged.norm].modal == Modal::Shall;
            mandatory && own.contains(&judged.section) && judged.verdict != Verdict::NotApplicable
        })
    };
    program.lists.texts(*list).filter(|word| !asked(word)).map(str::to_string).collect()
}
