//! Laws of calculations on made-up packs and jobs: nothing falls over, and no shown number speaks against what came of it.

use super::numbers::{Ratio, ReadBack, order, read_back};
use crate::second;
use jiff::civil::Date;
use pintle::calculation::pick::Wish;
use pintle::calculation::tree::{Calculation, Detail, Limit, Step};
use pintle::command::calcs::calcs_of_texts;
use pintle::report::calcs::{Document, WIDTH, html, json, text};
use std::cmp::Ordering;

fn made(seed: u64) -> Option<Document> {
    let (pack, job, today) = second::texts(seed);
    let today: Date = today.parse().unwrap();
    let wish = Wish { section: Some("made/".into()), thing: None };
    calcs_of_texts(&[("made", &pack)], &job, today, &wish).ok()
}

fn less(one: Option<Ratio>, other: Option<Ratio>, wanted: &[Ordering]) -> bool {
    one.zip(other).is_some_and(|(one, other)| order(one, other).is_some_and(|order| wanted.contains(&order)))
}

/// What the shown numbers say: whether the limit is kept, surely or not.
fn says(value: &ReadBack, how: &str, limit: &ReadBack) -> &'static str {
    let (lt, le) = (&[Ordering::Less][..], &[Ordering::Less, Ordering::Equal][..]);
    let (yes, no) = match how {
        "at most" => (less(value.high, limit.low, le), less(limit.high, value.low, lt)),
        "less than" => (less(value.high, limit.low, lt), less(limit.high, value.low, le)),
        "at least" => (less(limit.high, value.low, le), less(value.high, limit.low, lt)),
        _ => (less(limit.high, value.low, lt), less(value.high, limit.low, le)),
    };
    match (yes, no) {
        (true, _) => "yes",
        (_, true) => "no",
        _ => "not sure",
    }
}

/// Whether a limit reads as what came of it; nothing where it is no number.
fn agrees(value: &str, limit: &Limit) -> Option<bool> {
    let bound = &limit.shown.text;
    let day = |text: &str| text.parse::<Date>().ok();
    if let (Some(value), Some(bound)) = (day(value), day(bound)) {
        let holds = match limit.how {
            "at most" => value <= bound,
            "less than" => value < bound,
            "at least" => value >= bound,
            _ => value > bound,
        };
        return Some(holds == (limit.holds == "yes"));
    }
    Some(says(&read_back(value)?, limit.how, &read_back(bound)?) == limit.holds)
}

/// Numbers compared in this calculation that could be read back; the error is one that speaks against its outcome.
fn check(one: &Calculation) -> Result<u64, String> {
    let mut read = 0;
    for (at, step) in one.steps.iter().enumerate() {
        if step.number != at + 1 {
            return Err(format!("step {} stands where {} belongs", step.number, at + 1));
        }
        let Detail::Comparison(comparison) = &step.detail else { continue };
        for limit in &comparison.limits {
            match agrees(&comparison.value.text, limit) {
                Some(true) => read += 1,
                Some(false) => return Err(format!("{:?} {} {:?}: {}", comparison.value, limit.how, limit.shown, limit.holds)),
                None => {}
            }
        }
    }
    let decides = one.decided_by.and_then(|number| one.steps.get(number - 1));
    match (one.verdict, decides.map(|step: &Step| step.result.text.as_str())) {
        ("met", Some("no" | "not sure")) | ("not met", Some("yes" | "not sure")) | ("excepted", Some("not sure")) => {
            Err("the step that decides does not say what the verdict says".into())
        }
        _ => Ok(read),
    }
}

#[test]
fn no_shown_number_speaks_against_the_outcome() {
    let rounds = std::env::var("PINTLE_ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(1500);
    let (mut calculations, mut read) = (0, 0);
    for seed in 0..rounds {
        let Some(document) = made(seed) else { continue };
        for one in &document.calculations {
            calculations += 1;
            read +=
                check(one).unwrap_or_else(|why| panic!("seed {seed}, {} ({}) of {}: {why}\n{one:#?}", one.section, one.clause, one.thing));
        }
    }
    assert!(calculations > rounds && read > rounds / 2, "{calculations} calculations, {read} comparisons read back");
}

#[test]
fn every_view_of_a_made_up_job_is_whole_and_harmless() {
    for seed in 0..200 {
        let Some(document) = made(seed) else { continue };
        let (text, page) = (text(&document, WIDTH), html(&document));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "seed {seed}");
        assert_eq!(page.matches("<section").count(), document.calculations.len(), "seed {seed}");
        serde_json::from_str::<serde_json::Value>(&json(&document)).unwrap();
    }
}

/// Numbers that differ by less than a reader would see: the digits grow until the outcome can be seen.
#[test]
fn nearly_the_limit_is_told_from_the_limit() {
    let pack = "pack made \"Near the limit\"\n  language 1\n  edition \"1\"\n  authority \"Nobody\"\n  adopts terms\n\
                source none-such \"Made up\" invented\n\
                section near \"A third of a length\"\n  applies to each gate\n  let third = gate.opening / 3\n  shall third at most 20 ft\n  \
                cite none-such \"1\"\n";
    let job = |opening: &str| format!("title: Near\ncodes: [made]\ngates:\n  - {{id: main, opening: {opening}}}\n");
    let wish = Wish { section: Some("made/near".into()), thing: None };
    for (opening, holds) in [
        ("60 ft", "yes"),
        ("60.000001 ft", "no"),
        ("60.00000000000001 ft", "no"),
        ("59.9999999999999 ft", "yes"),
        ("60.0000000000000000000001 ft", "no"),
        ("18288 mm", "yes"),
        ("18288.0000001 mm", "no"),
    ] {
        let document = calcs_of_texts(&[("made", pack)], &job(opening), "2026-04-01".parse().unwrap(), &wish).unwrap();
        let one = &document.calculations[0];
        assert!(check(one).is_ok_and(|read| read > 0), "{opening}: {one:#?}");
        let last = one.steps.last().unwrap();
        assert_eq!(last.result.text, holds, "{opening}");
        // The step that reckons the value shows it with the same digits as the comparison.
        let Detail::Comparison(comparison) = &last.detail else { panic!("{last:#?}") };
        assert_eq!(one.steps[0].result, comparison.value, "{opening}");
    }
}
