//! Picks the verdicts whose calculations are asked for, and says what there is where nothing is found. It must not know how a
//! calculation is made.

use crate::job::Job;
use crate::judge::judge_section::{binding_name, bound_record};
use crate::judge::{Judged, Verdict};
use crate::language::program::{Expr, Norm, Op, Program, Section};
use crate::language::walk::exprs;

/// How many near names are told.
const MOST_NEAR: usize = 5;

/// What is asked for.
#[derive(Clone, Debug, Default)]
pub struct Wish {
    /// `pack/section`, with or without `(b)`, or a part of an id; every clause that reckons where nothing is said.
    pub section: Option<String>,
    /// A thing by its name or a part of it; every thing where nothing is said.
    pub thing: Option<String>,
}

/// The positions of the verdicts asked for, in the order of the codes; the error says what there is.
///
/// # Errors
/// A sentence with the nearest names, where nothing matches.
pub fn picked(program: &Program, job: &Job, judged: &[Judged], wish: &Wish) -> Result<Vec<usize>, String> {
    let sections: Vec<usize> = match &wish.section {
        None => judged.iter().enumerate().filter(|(_, one)| reckons_at(program, one)).map(|(at, _)| at).collect(),
        Some(section) => named(program, judged, section)?,
    };
    let things = match &wish.thing {
        None => sections,
        Some(thing) => of_thing(program, job, judged, &sections, thing)?,
    };
    // What does not apply is shown only where there is nothing else that was asked for by name.
    let applies: Vec<usize> = things.iter().copied().filter(|at| judged[*at].verdict != Verdict::NotApplicable).collect();
    match (applies.is_empty(), &wish.section) {
        (true, Some(_)) if !things.is_empty() => Ok(things),
        (true, _) => Err("no clause that applies to this job reckons with anything; name a section to see its condition".into()),
        (false, _) => Ok(applies),
    }
}

fn reckons_at(program: &Program, judged: &Judged) -> bool {
    let section = &program.sections[judged.section];
    reckons(section, &section.norms[judged.norm])
}

/// Whether a clause reckons: arithmetic, a formula, a table, a built-in, something made of a collection.
pub fn reckons(section: &Section, norm: &Norm) -> bool {
    let mut waiting: Vec<&Expr> = norm.condition.iter().chain([&norm.body]).collect();
    let mut seen = vec![false; section.lets.len()];
    while let Some(expr) = waiting.pop() {
        let mut found = false;
        let mut lets = Vec::new();
        exprs(expr, &mut |part| match &part.op {
            Op::Arithmetic(..)
            | Op::Power(..)
            | Op::Formula(..)
            | Op::LookUp(..)
            | Op::BuiltIn(..)
            | Op::Aggregate(..)
            | Op::Column(..) => {
                found = true;
            }
            Op::Let(at) => lets.push(*at),
            _ => {}
        });
        if found {
            return true;
        }
        for at in lets {
            if !std::mem::replace(&mut seen[at], true) {
                waiting.push(&section.lets[at].1);
            }
        }
    }
    false
}

/// `pack/section (b)` as an id and a letter.
fn taken_apart(wanted: &str) -> (&str, Option<char>) {
    let wanted = wanted.trim();
    let label = wanted.strip_suffix(')').and_then(|rest| rest.rsplit_once('('));
    match label.map(|(id, label)| (id.trim(), label.trim().chars().collect::<Vec<_>>())) {
        Some((id, label)) if label.len() == 1 => (id, label.first().copied()),
        _ => (wanted, None),
    }
}

fn named(program: &Program, judged: &[Judged], wanted: &str) -> Result<Vec<usize>, String> {
    let (id, label) = taken_apart(wanted);
    let section = |one: &Judged| &program.sections[one.section];
    let whole = program.sections.iter().any(|known| known.id == id);
    let fits = |known: &str| if whole { known == id } else { !id.is_empty() && known.contains(id) };
    let found: Vec<usize> = judged.iter().enumerate().filter(|(_, one)| fits(&section(one).id)).map(|(at, _)| at).collect();
    let clause = |at: &usize| label.is_none_or(|label| section(&judged[*at]).norms[judged[*at].norm].label == label);
    let of_clause: Vec<usize> = found.iter().copied().filter(clause).collect();
    if !of_clause.is_empty() {
        return Ok(of_clause);
    }
    let known = program.sections.iter().any(|known| fits(&known.id));
    Err(match label {
        Some(label) if known && !found.is_empty() => {
            let mut labels: Vec<String> =
                found.iter().map(|at| format!("({})", section(&judged[*at]).norms[judged[*at].norm].label)).collect();
            labels.sort();
            labels.dedup();
            format!("section `{id}` has no clause ({label}); it has {}", labels.join(", "))
        }
        _ if known => format!("section `{id}` is asked of nothing in this job"),
        _ => format!(
            "no section `{id}` in the codes of this job; the nearest are {}",
            nearest(id, program.sections.iter().map(|known| known.id.clone()))
        ),
    })
}

fn of_thing(program: &Program, job: &Job, judged: &[Judged], among: &[usize], wanted: &str) -> Result<Vec<usize>, String> {
    let wanted = wanted.trim();
    let name = |at: usize| binding_name(program, job, &judged[at]);
    let exact = |at: usize| name(at) == wanted || job.record(bound_record(program, &judged[at])).id.as_deref() == Some(wanted);
    let mut found: Vec<usize> = among.iter().copied().filter(|at| exact(*at)).collect();
    if found.is_empty() && !wanted.is_empty() {
        found = among.iter().copied().filter(|at| name(*at).contains(wanted)).collect();
    }
    if found.is_empty() {
        return Err(format!("nothing called `{wanted}` is judged there; there is {}", nearest(wanted, among.iter().map(|at| name(*at)))));
    }
    Ok(found)
}

/// The few names that are nearest to a word, each once.
fn nearest(word: &str, known: impl Iterator<Item = String>) -> String {
    let word: String = word.chars().take(64).collect();
    let tail = |name: &str| name.rsplit('/').next().unwrap_or(name).trim().to_string();
    let far = |name: &str| {
        let whole = strsim::jaro_winkler(&word, name).max(strsim::jaro_winkler(&tail(&word), &tail(name)));
        // A floating likeness as a whole number keeps the order total.
        (whole * 1_000_000.0).round() as i64
    };
    let mut near: Vec<(std::cmp::Reverse<i64>, String)> = known.map(|name| (std::cmp::Reverse(far(&name)), name)).collect();
    near.sort();
    near.dedup();
    let names: Vec<String> = near.into_iter().take(MOST_NEAR).map(|(_, name)| format!("`{name}`")).collect();
    if names.is_empty() { "nothing".into() } else { names.join(", ") }
}
