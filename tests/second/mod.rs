//! A second evaluator: small, slow and obvious. It makes random packs and jobs on a model of its own, judges them straight
//! from the design's words, writes them as text for the program, and compares. It shares no code with the program.
//!
//! `random`, `site`, `express`, `amount` and `dice` make the cases; `write` and `phrase` turn them into text; `judge`,
//! `reckon`, `value`, `fraction` and `day` judge them; `shrink` and `names` make a disagreement small enough to read.

#![allow(dead_code)]

mod amount;
#[cfg(test)]
mod checks;
mod choices;
mod day;
mod dice;
mod express;
mod fraction;
mod judge;
mod model;
mod names;
mod phrase;
mod random;
mod reckon;
mod shrink;
mod site;
mod value;
mod write;

use dice::Dice;
use judge::Verdict;
use shrink::Case;
use std::collections::BTreeMap;

/// The program: pack text, job text, today to verdicts (section, clause, path of the thing, verdict), or its complaint.
pub type Real<'a> = &'a dyn Fn(&str, &str, &str) -> Result<Vec<Verdict>, String>;

fn case(seed: u64) -> Case {
    let mut dice = Dice::new(seed);
    let pack = random::pack(&mut dice);
    let job = site::job(&mut dice, &pack);
    Case { pack, job }
}

/// Compares on so many random cases, and tells the first disagreement.
pub fn agree(rounds: u64, real: Real) -> Result<(), String> {
    agree_from(0, rounds, real)
}

/// The same with other seeds, for longer runs.
pub fn agree_from(first: u64, rounds: u64, real: Real) -> Result<(), String> {
    for seed in first..first + rounds {
        let found = case(seed);
        if answer(&found, real) == Answer::Same {
            continue;
        }
        // A complaint stays a complaint while it shrinks, and two verdict lists stay two lists.
        let kind = std::mem::discriminant(&answer(&found, real));
        let small = shrink::shrink(found, |case| std::mem::discriminant(&answer(case, real)) == kind);
        return Err(told(seed, &small, real));
    }
    Ok(())
}

#[derive(PartialEq)]
enum Answer {
    Same,
    Other(Vec<Verdict>),
    Complaint(String),
}

fn answer(case: &Case, real: Real) -> Answer {
    // A program that falls over is the worst disagreement; it too should be told with a case small enough to read.
    let (pack, job, today) = (write::pack(&case.pack), write::job(&case.job), write::today(&case.job));
    let tried = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| real(&pack, &job, &today)));
    match tried.unwrap_or_else(|_| Err("the program fell over".to_string())) {
        Err(complaint) => Answer::Complaint(complaint),
        Ok(mut verdicts) => {
            verdicts.sort();
            if verdicts == judge::judge(&case.pack, &case.job) { Answer::Same } else { Answer::Other(verdicts) }
        }
    }
}

fn told(seed: u64, case: &Case, real: Real) -> String {
    let ours = judge::judge(&case.pack, &case.job);
    let (theirs, complaint) = match answer(case, real) {
        Answer::Same => (ours.clone(), String::new()),
        Answer::Other(verdicts) => (verdicts, String::new()),
        Answer::Complaint(text) => (vec![], format!("\nthe program complains:\n{text}\n")),
    };
    let lines = |list: &[Verdict], other: &[Verdict]| -> String {
        let line = |v: &Verdict| format!("{} {}/{} {}: {}\n", if other.contains(v) { " " } else { "!" }, v.0, v.1, v.2, v.3);
        list.iter().map(line).collect()
    };
    format!(
        "seed {seed}, today {}\n----- pack\n{}\n----- job\n{}\n----- second evaluator\n{}----- program\n{}{complaint}",
        write::today(&case.job),
        write::pack(&case.pack),
        write::job(&case.job),
        lines(&ours, &theirs),
        lines(&theirs, &ours),
    )
}

/// How often each verdict comes up in so many rounds.
pub fn statistics(rounds: u64) -> BTreeMap<String, u64> {
    let mut counts = BTreeMap::new();
    for seed in 0..rounds {
        let case = case(seed);
        for (_, _, _, verdict) in judge::judge(&case.pack, &case.job) {
            *counts.entry(verdict).or_insert(0) += 1;
        }
    }
    counts
}

/// The texts of one case, to look at or to feed to a parser.
pub fn texts(seed: u64) -> (String, String, String) {
    let case = case(seed);
    (write::pack(&case.pack), write::job(&case.job), write::today(&case.job))
}
