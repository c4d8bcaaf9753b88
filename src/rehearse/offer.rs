//! Offers the boundary trials that are missing: just inside a limit, at it, just outside. Each starts from a trial that is there
//! and expects what the pack says today, for its author to compare with the printed code. It must not know files.

use super::offer_limits::{Limit, limits};
use super::run::Rehearsal;
use super::text::folded;
use super::trial::{Found, Ready};
use crate::job::{Job, RecordId};
use crate::language::check_trial::CheckedTrial;
use crate::language::program::Program;
use crate::language::tree::{Edit, Name, Path};
use crate::neaten::neaten;
use crate::source::{FileId, Source, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Records that are tried for one limit before it is given up.
const MOST_TRIED: usize = 60;

/// The boundary trials that are missing, as rule text. What is left out is said in remarks, with the reason.
pub fn offers(program: &Program, trials: &[Ready], bases: &BTreeMap<String, serde_yaml::Value>, rehearsal: &Rehearsal) -> String {
    let mut text = String::new();
    let mut names: BTreeSet<String> = trials.iter().map(|trial| trial.trial.name.text.clone()).collect();
    let mut done = BTreeSet::new();
    let mut without = 0;
    for unseen in &rehearsal.unnoticed {
        let Some(boundary) = unseen.limit else {
            without += 1;
            continue;
        };
        if !done.insert(boundary) {
            continue;
        }
        let limits = match limits(program, boundary, &unseen.place) {
            Ok(limits) => limits,
            Err(why) => {
                let _ = writeln!(text, "# {}, {}: left out: {why}\n", unseen.place, folded(&unseen.words));
                continue;
            }
        };
        for limit in limits {
            match offer(program, trials, bases, &limit, &mut names) {
                Some(offered) => text.push_str(&offered),
                None => {
                    let _ = writeln!(
                        text,
                        "# {}: left out: in no trial do the verdicts differ on the two sides of {} of {}; add a trial in which it decides\n",
                        limit.place, limit.shown, limit.fact
                    );
                }
            }
        }
    }
    if without > 0 {
        let changes = if without == 1 {
            "1 change that is not noticed is".to_string()
        } else {
            format!("{without} changes that are not noticed are")
        };
        let _ = writeln!(text, "# {changes} of no limit, but of a word, a part or a row: `pintle trial` without --offer lists them");
    }
    laid_out(text)
}

/// The offer in the one layout, so that it can be added to a file as it is.
fn laid_out(text: String) -> String {
    match neaten(&Source::new("offer.rules", text.as_str())) {
        Ok(neat) => neat,
        Err(_) => text,
    }
}

/// The three trials for one limit, from the first job and record in which the verdicts on its two sides differ.
fn offer(
    program: &Program,
    trials: &[Ready],
    bases: &BTreeMap<String, serde_yaml::Value>,
    limit: &Limit,
    names: &mut BTreeSet<String>,
) -> Option<String> {
    let mut tried = 0;
    for trial in trials.iter().filter(|trial| trial.asks.contains(&limit.section)) {
        let records = (0..trial.job.records.len()).filter_map(|at| u32::try_from(at).ok()).map(RecordId);
        for record in records.filter(|id| trial.job.record(*id).def == limit.def) {
            tried += 1;
            if tried > MOST_TRIED {
                return None;
            }
            let Some(mut way) = way_to(program, &trial.job, record) else { continue };
            way.push(limit.fact.to_string());
            if let Some(text) = beside_limit(program, trial, bases.get(&trial.trial.job.text)?, limit, &way, names) {
                return Some(text);
            }
        }
    }
    None
}

fn beside_limit(
    program: &Program,
    trial: &Ready,
    base: &serde_yaml::Value,
    limit: &Limit,
    way: &[String],
    names: &mut BTreeSet<String>,
) -> Option<String> {
    let runs = limit.values.iter().map(|(_, value)| run(program, trial, base, limit, way, value)).collect::<Option<Vec<_>>>()?;
    let all = |found: &&Found| runs.iter().all(|run| run.contains(*found));
    if runs[0] == runs[2] {
        return None;
    }
    let mut text = String::new();
    for ((side, value), found) in limit.values.iter().zip(&runs) {
        let tells: Vec<&Found> = found.iter().filter(|one| is_finding(one) || !all(one)).collect();
        let _ = writeln!(text, "{}", head(limit, side, value, &trial.trial, way, names));
        for one in &tells {
            let _ = writeln!(text, "  {}", one.as_rule());
        }
        if tells.is_empty() {
            text.push_str("  finds nothing\n");
        }
        text.push('\n');
    }
    Some(text)
}

fn is_finding(found: &Found) -> bool {
    crate::judge::rank::Rank::finding_words().contains(&found.verdict)
}

/// The verdicts of the section with the fact at one value.
fn run(program: &Program, trial: &Ready, base: &serde_yaml::Value, limit: &Limit, way: &[String], value: &str) -> Option<BTreeSet<Found>> {
    let nowhere = Span::new(FileId(0), 0, 0);
    let name = |text: &str| Name { text: text.to_string(), span: nowhere };
    let edit = Edit { way: Path { names: way.iter().map(|step| name(step)).collect(), span: nowhere }, value: Some(name(value)) };
    let mut changed = trial.trial.clone();
    changed.edits.push(edit);
    let ready = Ready::new(program, changed, base).ok()?;
    // As `asks` takes it: every text of the section, those of minimums included.
    let id = &program.sections[limit.section].id;
    let texts: Vec<usize> = (0..program.sections.len()).filter(|at| program.sections[*at].id == *id).collect();
    let judged = ready.judge(program, &texts);
    Some(judged.iter().map(|one| ready.found(program, one)).collect())
}

/// A trial up to what it finds.
fn head(limit: &Limit, side: &str, value: &str, from: &CheckedTrial, way: &[String], names: &mut BTreeSet<String>) -> String {
    let (section, label) = limit.place.split_once(' ').unwrap_or((limit.place.as_str(), ""));
    let item = section.split_once('/').map_or(section, |(_, item)| item);
    let plain: String = format!("{item}-{}-{}-{side}", label.trim_matches(['(', ')']), limit.fact).replace("--", "-");
    let name = (1..).map(|count| if count == 1 { plain.clone() } else { format!("{plain}-{count}") }).find(|name| !names.contains(name));
    let name = name.unwrap_or(plain);
    names.insert(name.clone());
    let mut text = format!("trial {name} \"{} at {value}; the limit is {}\"\n  job     \"{}\"\n", limit.fact, limit.shown, from.job.text);
    for edit in &from.edits {
        let steps: Vec<&str> = edit.way.names.iter().map(|step| step.text.as_str()).collect();
        let _ = match &edit.value {
            Some(value) => writeln!(text, "  with    {} = \"{}\"", steps.join("."), value.text),
            None => writeln!(text, "  without {}", steps.join(".")),
        };
    }
    let _ = write!(text, "  with    {} = \"{value}\"\n  asks    {section}\n  today   {}", way.join("."), from.today);
    text
}

/// Keys and ids from the job down to a record, where they can be written as a way.
fn way_to(program: &Program, job: &Job, record: RecordId) -> Option<Vec<String>> {
    let mut way = Vec::new();
    let mut at = record;
    while let Some(parent) = job.record(at).parent {
        let definition = program.definition(job.record(at).def);
        if !definition.single {
            way.push(job.record(at).id.clone()?);
        }
        way.push(definition.key.clone());
        at = parent;
    }
    let writable = |step: &String| step.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_')) && !step.is_empty();
    way.reverse();
    way.iter().all(writable).then_some(way)
}
