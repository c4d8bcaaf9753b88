//! Looks for made-up jobs that tell an amended section from the minimum below it: met by one and not by the other. What is
//! found is a witness; that nothing is found proves nothing. It must not know files.

use super::base::write;
use super::made_up::{Dice, Maker};
use crate::job::read_job;
use crate::job::yaml::read_yaml;
use crate::judge::derive::derive;
use crate::judge::eval::Evaluator;
use crate::judge::rank::Rank;
use crate::judge::verdict::Verdict;
use crate::language::change::Direction;
use crate::language::minimums::Minimum;
use crate::language::program::{Program, Section};
use crate::language::tree::Modal;
use crate::source::Source;
use jiff::civil::{Date, date};
use rayon::prelude::*;
use serde_yaml::Value;

/// Jobs that are made up for one section before the search is given up.
const MOST_JOBS: u64 = 800;

/// The day on which made-up jobs are judged.
const TODAY: Date = date(2026, 6, 1);

/// Made-up jobs that tell a section from its minimum, each on one line as YAML.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Witnesses {
    /// One that meets the section and not the minimum.
    pub looser: Option<String>,
    /// One that meets the minimum and not the section.
    pub stricter: Option<String>,
    /// Jobs that were made up.
    pub tried: u64,
}

/// What a pack does to its minimums, for its author: each change with its word, and for each section that is not proved to be
/// stricter what made-up jobs tell.
pub fn sentences(program: &Program, minimums: &[Minimum]) -> Vec<String> {
    let own = |section: &Section| minimums.iter().filter(|one| one.section.as_deref() == Some(section.id.as_str())).collect::<Vec<_>>();
    let beside = minimums.iter().any(|one| one.section.is_none());
    let pairs = program.sections.iter().enumerate().filter_map(|(floor, section)| Some((section.floor_of?, floor)));
    let asked = pairs.filter(|(above, _)| {
        let own = own(&program.sections[*above]);
        beside || own.iter().any(|one| one.direction != Direction::Stricter)
    });
    let asked: Vec<(usize, usize)> = asked.collect();
    let told: Vec<String> = asked
        .into_par_iter()
        .map(|(above, floor)| {
            let proved = own(&program.sections[above]).iter().all(|one| one.direction == Direction::Looser) && !beside;
            verdict(&program.sections[above].id, proved, &witnesses(program, above, floor))
        })
        .collect();
    minimums.iter().map(|one| one.says.clone()).chain(told.into_iter().filter(|line| !line.is_empty())).collect()
}

fn verdict(id: &str, proved: bool, found: &Witnesses) -> String {
    let job = |job: &str| format!("`{job}`");
    match (&found.looser, &found.stricter) {
        (Some(looser), Some(stricter)) => format!(
            "{id} as a whole: not comparable with the minimum: the job {} meets it and not the minimum, the job {} meets the minimum and not it",
            job(looser),
            job(stricter)
        ),
        (Some(looser), None) => format!("{id} as a whole: the job {} meets it and not the minimum", job(looser)),
        _ if proved => String::new(),
        (None, Some(stricter)) => format!(
            "{id} as a whole: the job {} meets the minimum and not it; of {} made-up jobs none shows the opposite, which proves nothing",
            job(stricter),
            found.tried
        ),
        (None, None) => format!("{id} as a whole: {} made-up jobs tell it from the minimum nowhere, which proves nothing", found.tried),
    }
}

/// Looks for jobs that tell a section from the minimum below it.
pub fn witnesses(program: &Program, above: usize, floor: usize) -> Witnesses {
    let maker = Maker::of(program, &[above, floor]);
    let mut dice = Dice::new(above as u64 + 1);
    let mut found = Witnesses::default();
    let mandatory = [above, floor].iter().any(|at| program.sections[*at].norms.iter().any(|norm| norm.modal == Modal::Shall));
    let meets = |job: &Value, at: usize| met(program, job, at, mandatory);
    while found.tried < MOST_JOBS && (found.looser.is_none() || found.stricter.is_none()) {
        let job = maker.job(&mut dice);
        found.tried += 1;
        let tells = |job: &Value, met: usize, not: usize| meets(job, met) == Some(true) && meets(job, not) == Some(false);
        if found.looser.is_none() && tells(&job, above, floor) {
            found.looser = Some(on_one_line(&least(job, &|job| tells(job, above, floor))));
        } else if found.stricter.is_none() && tells(&job, floor, above) {
            found.stricter = Some(on_one_line(&least(job, &|job| tells(job, floor, above))));
        }
    }
    found
}

/// Whether a job surely meets, or surely does not meet, a section; clauses that only recommend count where none does more.
fn met(program: &Program, job: &Value, section: usize, mandatory: bool) -> Option<bool> {
    let source = Source::new("made-up.yaml", write(job).ok()?);
    let (yaml, slips) = read_yaml(&source);
    let mut job = read_job(&yaml, program);
    if slips.iter().chain(&job.slips).any(|slip| !slip.harmless) {
        return None;
    }
    derive(program, &mut job);
    let mut judged = Vec::new();
    Evaluator::new(program, &job, TODAY).section(section, &mut judged);
    judged.retain(|one| !mandatory || program.sections[section].norms[one.norm].modal == Modal::Shall);
    if judged.iter().any(|one| one.verdict == Verdict::NotMet) {
        return Some(false);
    }
    judged.iter().all(|one| one.verdict.rank() <= Rank::Excepted).then_some(true)
}

/// The job without whatever it can do without.
fn least(mut job: Value, holds: &dyn Fn(&Value) -> bool) -> Value {
    let mut at = 0;
    while let Some(less) = without(&job, &mut at.clone()) {
        if holds(&less) {
            job = less;
        } else {
            at += 1;
        }
    }
    job
}

/// The value without its part of that number, counted outside in; nothing where there are not so many.
fn without(value: &Value, number: &mut usize) -> Option<Value> {
    match value {
        Value::Mapping(map) => {
            for key in map.keys().filter(|key| key.as_str() != Some("id")) {
                if *number == 0 {
                    let mut less = map.clone();
                    less.remove(key);
                    return Some(Value::Mapping(less));
                }
                *number -= 1;
                if let Some(part) = without(&map[key], number) {
                    let mut less = map.clone();
                    less.insert(key.clone(), part);
                    return Some(Value::Mapping(less));
                }
            }
            None
        }
        Value::Sequence(list) => {
            for (place, item) in list.iter().enumerate() {
                if list.len() > 1 {
                    if *number == 0 {
                        let less = list.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, item)| item.clone());
                        return Some(Value::Sequence(less.collect()));
                    }
                    *number -= 1;
                }
                if let Some(part) = without(item, number) {
                    let mut less = list.clone();
                    less[place] = part;
                    return Some(Value::Sequence(less));
                }
            }
            None
        }
        _ => None,
    }
}

/// A made-up job as YAML on one line. Its texts are words and measures, which need no quotes.
fn on_one_line(value: &Value) -> String {
    match value {
        Value::Mapping(map) => {
            let parts = map.iter().map(|(key, value)| format!("{}: {}", key.as_str().unwrap_or(""), on_one_line(value)));
            format!("{{{}}}", parts.collect::<Vec<_>>().join(", "))
        }
        Value::Sequence(list) => format!("[{}]", list.iter().map(on_one_line).collect::<Vec<_>>().join(", ")),
        Value::String(text) => text.clone(),
        _ => String::new(),
    }
}
