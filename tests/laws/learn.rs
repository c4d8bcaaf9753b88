//! Learning a fact, or measuring it more closely, never flips a sure verdict; a tighter limit only adds findings.
//!
//! What is sure of a clause and a thing: not met stays not met, not applicable stays so, and what is met or excepted is never
//! not met later. It may come out milder, in the order in which verdicts are given: a clause that an exception carries may
//! turn out to be met, and one that is met whatever else is true may turn out not to be asked at all.

use super::same::{Made, exact_text};
use super::tree::{Style, Tree, write};
use super::{Choices, EXAMPLES, Verdicts, config, day, verdicts};
use jiff::civil::Date;
use pintle::datum::{Datum, DefId, Kind};
use pintle::language::program::{Expr, Field, JOB, Key, Op, Program};
use pintle::language::tree::{Comparison, Quantifier};
use pintle::quantity::{Days, Dimension, Exact, Interval, read};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// A job without some of its facts and lists: those for which `keep` says no. What a missing fact is taken as is no doubt, so
/// facts with `taken as` stay.
fn without(program: &Program, def: DefId, tree: &Tree, keep: &mut impl FnMut(&str) -> bool) -> Tree {
    let Tree::Map(entries) = tree else { return tree.clone() };
    let mut kept = Vec::new();
    for (key, value) in entries {
        match program.index[def.0 as usize].get(key) {
            Some(Key::Field(field)) => {
                let fixed = program.definition(def).fields[*field].taken.is_some() || key == "codes";
                if fixed || keep(key) {
                    kept.push((key.clone(), value.clone()));
                }
            }
            // A variance is a document, not a fact of the site.
            Some(Key::Child(_)) if key == "variances" => kept.push((key.clone(), value.clone())),
            Some(Key::Child(child)) => {
                let below = program.definition(def).children[*child];
                if keep(key) {
                    let value = match value {
                        Tree::List(items) => Tree::List(items.iter().map(|item| without(program, below, item, keep)).collect()),
                        other => without(program, below, other, keep),
                    };
                    kept.push((key.clone(), value));
                }
            }
            None => kept.push((key.clone(), value.clone())),
        }
    }
    Tree::Map(kept)
}

/// Changes every stated fact of a job, by its definition.
fn each_fact(program: &Program, def: DefId, tree: &mut Tree, change: &mut impl FnMut(&Field, &mut String)) {
    let Tree::Map(entries) = tree else { return };
    for (key, value) in entries {
        match (program.index[def.0 as usize].get(key.as_str()), value) {
            (Some(Key::Field(field)), Tree::Scalar(text, _)) => change(&program.definition(def).fields[*field], text),
            (Some(Key::Field(field)), Tree::Map(long)) => {
                for (_, value) in long.iter_mut().filter(|(key, _)| key == "value") {
                    if let Tree::Scalar(text, _) = value {
                        change(&program.definition(def).fields[*field], text);
                    }
                }
            }
            (Some(Key::Child(child)), Tree::List(items)) => {
                let below = program.definition(def).children[*child];
                items.iter_mut().for_each(|item| each_fact(program, below, item, change));
            }
            (Some(Key::Child(child)), value) => each_fact(program, program.definition(def).children[*child], value, change),
            _ => {}
        }
    }
}

type ByClause<'v> = BTreeMap<(&'v str, &'v str, &'v str), Vec<&'v str>>;

fn by_clause(verdicts: &Verdicts) -> ByClause<'_> {
    let mut map = ByClause::new();
    for (section, clause, thing, verdict) in verdicts {
        map.entry((section, clause, thing)).or_default().push(verdict);
    }
    map
}

/// Where a sure verdict of the doubtful reading is another one in the reading that knows more.
pub(super) fn flipped(doubtful: &Verdicts, surer: &Verdicts) -> Option<String> {
    let (doubtful, surer) = (by_clause(doubtful), by_clause(surer));
    doubtful.into_iter().find_map(|(asked, before)| {
        // What is not asked of a thing any more does not apply to it.
        let after = surer.get(&asked).map_or(&["not applicable"][..], Vec::as_slice);
        let ([before], [after]) = (before.as_slice(), after) else { return None };
        let may_become: &[&str] = match *before {
            "not met" => &["not met"],
            "not applicable" => &["not applicable"],
            "met" => &["met", "not applicable"],
            "excepted" => &["excepted", "met", "not applicable"],
            _ => return None,
        };
        (!may_become.contains(after)).then(|| format!("{asked:?} was {before} and is {after}"))
    })
}

fn written(tree: &Tree) -> String {
    write(tree, Style::default(), &mut Choices::new(&[0]))
}

fn judged(program: &Program, tree: &Tree, today: Date) -> Result<Verdicts, TestCaseError> {
    verdicts(program, &written(tree), today).map_err(|slips| TestCaseError::fail(format!("{}\n{}", slips.join("\n"), written(tree))))
}

fn never_flips(program: &Program, doubtful: &Tree, surer: &Tree, today: Date) -> Result<(), TestCaseError> {
    let (before, after) = (judged(program, doubtful, today)?, judged(program, surer, today)?);
    if let Some(told) = flipped(&before, &after) {
        return Err(TestCaseError::fail(format!("{told}\n----- before\n{}\n----- after\n{}", written(doubtful), written(surer))));
    }
    Ok(())
}

/// Hands a program, a job and its day to a law: even numbers give example jobs, odd ones made-up ones.
fn on_a_job(number: usize, law: impl Fn(&Program, &Tree, Date) -> Result<(), TestCaseError>) -> Result<(), TestCaseError> {
    let read = |text: &str| Tree::read(text).map_err(|slips| TestCaseError::fail(slips.join("\n")));
    if number.is_multiple_of(2) {
        let example = &EXAMPLES[number / 2 % EXAMPLES.len()];
        law(example.program(), &read(&example.text)?, day())
    } else {
        let made = Made::new(number as u64);
        law(made.program(), &read(&made.job)?, made.today).map_err(|error| match error {
            TestCaseError::Fail(told) => TestCaseError::fail(format!("{told}\n----- pack\n{}", made.pack)),
            other => other,
        })
    }
}

/// A value within what a tolerance allows, and exact from then on.
fn closer(field: &Field, text: &mut String, tolerances: &BTreeMap<Dimension, Exact>, choices: &mut Choices) {
    match &field.kind {
        Kind::Date => {
            let Ok(days) = Days::read(text) else { return };
            if !days.is_known() {
                *text = if choices.chance(8) { days.first } else { days.last }.to_string();
            }
        }
        Kind::Measure(dimension) => {
            let Ok(reading) = read(text) else { return };
            let job = tolerances.get(dimension).filter(|_| field.measured).copied();
            let (Some(unit), Some(tolerance)) = (reading.unit, reading.tolerance.or(job)) else { return };
            let part = Exact::ratio(choices.of(9) as i128 - 4, 4).and_then(|part| part.mul(tolerance));
            let value = part.and_then(|part| reading.value.add(part)).and_then(|value| unit.from_base(value));
            // What cannot be below nought is nought at the least, however near it was read.
            if let Some(value) = value.filter(|value| field.signed || !value.is_negative()) {
                *text = format!("{} {} +/- 0", exact_text(value, choices), unit.symbol());
            }
        }
        _ => {}
    }
}

/// The tolerances that a job states for whole dimensions.
fn tolerances(program: &Program, tree: &Tree) -> BTreeMap<Dimension, Exact> {
    let mut found = BTreeMap::new();
    each_fact(program, JOB, &mut tree.clone(), &mut |field, text| {
        if let (true, Kind::Measure(dimension), Ok(reading)) = (field.gives_tolerance, &field.kind, read(text)) {
            found.insert(*dimension, reading.value);
        }
    });
    found
}

/// Every limit of a condition that decides by being written there, with its comparison, and whether the condition is asked
/// for (true) or asked to fail.
fn limits(expr: &mut Expr, asked: bool, visit: &mut impl FnMut(&mut Interval, &Kind, Comparison, bool)) {
    match &mut expr.op {
        Op::Junction(_, parts) => parts.iter_mut().for_each(|part| limits(part, asked, visit)),
        Op::Not(inner) => limits(inner, !asked, visit),
        Op::Compare(comparison, left, right) => {
            if let Op::Literal(Datum::Number(limit, _)) = &mut right.op {
                visit(limit, &left.kind, *comparison, asked);
            }
        }
        Op::Quantified(quantifier, walk, body) => {
            let (of_filter, of_body) = match quantifier {
                Quantifier::Every => (!asked, asked),
                Quantifier::AtLeastOne => (asked, asked),
                Quantifier::No => (!asked, !asked),
            };
            walk.filter.iter_mut().for_each(|filter| limits(filter, of_filter, visit));
            limits(body, of_body, visit);
        }
        _ => {}
    }
}

/// A program with one limit of its clauses tightened: its section, or nothing where there is no such limit.
fn tightened(program: &Program, choices: &mut Choices) -> Option<(Program, String)> {
    let mut program = program.clone();
    let mut count = 0;
    let each = |program: &mut Program, visit: &mut dyn FnMut(usize, &mut Interval, &Kind, Comparison, bool)| {
        for (at, section) in program.sections.iter_mut().enumerate() {
            for norm in &mut section.norms {
                limits(&mut norm.body, true, &mut |limit, kind, comparison, asked| visit(at, limit, kind, comparison, asked));
            }
        }
    };
    each(&mut program, &mut |_, _, _, _, _| count += 1);
    let chosen = (choices.of(256) * 256 + choices.of(256)) % usize::max(count, 1);
    let (part, mut at, mut done) = (1 + choices.of(24) as i128, 0, None);
    each(&mut program, &mut |section, limit, kind, comparison, asked| {
        at += 1;
        let Some(point) = limit.as_point().filter(|_| at == chosen + 1) else { return };
        let step = if *kind == Kind::Count {
            Exact::whole(part)
        } else {
            point.size().add(Exact::ONE).and_then(|size| size.mul(Exact::ratio(part, 16)?)).unwrap_or(Exact::ONE)
        };
        // `at most` is tightened downward where it is asked for, upward where it is asked to fail.
        let down = matches!(comparison, Comparison::AtMost | Comparison::LessThan) == asked;
        let moved = if down { point.sub(step) } else { point.add(step) };
        if let Some(moved) = moved {
            *limit = Interval::point(moved);
            done = Some(section);
        }
    });
    let id = program.sections[done?].id.clone();
    Some((program, id))
}

fn is_finding(verdict: &str) -> bool {
    matches!(verdict, "not met" | "marginal" | "open" | "unanswered")
}

fn any_choices() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(any::<u8>(), 1..257)
}

proptest! {
    #![proptest_config(config(160))]

    /// Some facts are not known at first, and others besides.
    #[test]
    fn learning_facts_flips_no_sure_verdict(number in 0usize..100_000, bytes in any_choices(), many in 1usize..15, less in 0usize..15) {
        on_a_job(number, |program, tree, today| {
            let mut choices = Choices::new(&bytes);
            let surer = without(program, JOB, tree, &mut |_| !choices.chance(less.min(many)));
            let doubtful = without(program, JOB, &surer, &mut |_| !choices.chance(many));
            never_flips(program, &doubtful, &surer, today)
        })?;
    }

    #[test]
    fn measuring_more_closely_flips_no_sure_verdict(number in 0usize..100_000, bytes in any_choices(), less in 0usize..4) {
        on_a_job(number, |program, tree, today| {
            let mut choices = Choices::new(&bytes);
            let doubtful = without(program, JOB, tree, &mut |_| !choices.chance(less));
            let (tolerances, mut surer) = (tolerances(program, &doubtful), doubtful.clone());
            each_fact(program, JOB, &mut surer, &mut |field, text| closer(field, text, &tolerances, &mut choices));
            never_flips(program, &doubtful, &surer, today)
        })?;
    }

    #[test]
    fn a_tighter_limit_only_adds_findings(number in 0usize..100_000, bytes in any_choices(), less in 0usize..4) {
        on_a_job(number, |program, tree, today| {
            let mut choices = Choices::new(&bytes);
            let tree = without(program, JOB, tree, &mut |_| !choices.chance(less));
            let Some((tighter, section)) = tightened(program, &mut choices) else { return Ok(()) };
            let (before, after) = (judged(program, &tree, today)?, judged(&tighter, &tree, today)?);
            let after = by_clause(&after);
            for (asked, verdicts) in by_clause(&before).into_iter().filter(|(asked, _)| asked.0 == section) {
                let lost = verdicts.iter().any(|verdict| is_finding(verdict)) && !after.get(&asked).is_some_and(|after| after.iter().any(|verdict| is_finding(verdict) || *verdict == "excused"));
                prop_assert!(!lost, "{:?} was {:?} and is {:?} with a tighter limit\n{}", asked, verdicts, after.get(&asked), written(&tree));
            }
            Ok(())
        })?;
    }
}

/// Each fact of each example job by itself.
#[test]
fn each_fact_learned_last_flips_no_sure_verdict() {
    for (number, example) in EXAMPLES.iter().enumerate() {
        let tree = Tree::read(&example.text).expect("no slips");
        let surer = judged(example.program(), &tree, day()).expect("no slips");
        let mut count = 0;
        without(example.program(), JOB, &tree, &mut |_| {
            count += 1;
            true
        });
        // Every so many, each job from another start: together they take out facts of every kind.
        for missing in (number % 20..count).step_by(20) {
            let mut at = 0;
            let doubtful = without(example.program(), JOB, &tree, &mut |_| {
                at += 1;
                at != missing + 1
            });
            let before = judged(example.program(), &doubtful, day()).expect("no slips");
            let told = flipped(&before, &surer);
            assert!(told.is_none(), "{}: {}\n{}", example.name, told.unwrap_or_default(), written(&doubtful));
        }
    }
}
