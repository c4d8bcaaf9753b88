//! Look-ups: whatever a key that is in doubt turns out to be, a sure verdict stays; and a row with `any` answers for it.

use super::learn::flipped;
use super::{Choices, compiled, config, day, sentences, verdicts};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt::Write;

const KINDS: [&str; 4] = ["swing", "barrier-arm", "horizontal-slide", "bifold"];
/// Ends of ranges, in inches; and steps, in feet.
const CUTS: [usize; 6] = [4, 8, 9, 10, 14, 20];
const STEPS: [usize; 5] = [0, 4, 5, 9, 12];

/// Ranges that do not meet: cut at some of the ends, with gaps.
fn ranges(choices: &mut Choices) -> Vec<String> {
    if choices.chance(4) {
        return vec!["any".into()];
    }
    let cuts: Vec<usize> = CUTS.into_iter().filter(|_| choices.chance(10)).collect();
    let mut cells = Vec::new();
    if let (Some(first), Some(last)) = (cuts.first(), cuts.last()) {
        cells.push(format!("less than {first} in"));
        cells.extend(cuts.windows(2).map(|pair| format!("{} in to less than {} in", pair[0], pair[1])));
        cells.push(format!("at least {last} in"));
    }
    cells.retain(|_| choices.chance(13));
    if cells.is_empty() { vec!["5 in to 9 in".into()] } else { cells }
}

/// A pack with one table of two keys and a last one, its rows made up so that no two of them meet.
fn pack(choices: &mut Choices) -> String {
    let step = ["", " next row down", " next row up", " straight between rows"][choices.of(4)];
    let mut rows = String::new();
    // One word for all kinds would be no word of a list.
    let kinds: Vec<&str> = KINDS.into_iter().take(3).filter(|_| choices.chance(12)).collect();
    for kind in if kinds.is_empty() { &KINDS[..1] } else { &kinds } {
        for high in ranges(choices) {
            let long: Vec<String> = if !step.is_empty() {
                STEPS.into_iter().filter(|_| choices.chance(9)).map(|feet| format!("{feet} ft")).collect()
            } else if choices.chance(6) {
                vec!["any".into()]
            } else {
                vec!["less than 5 ft".into(), "5 ft to 9 ft".into()]
            };
            for long in long {
                let value = ["1 in", "2 in", "2 in", "3 in", "none"][choices.of(5)];
                let _ = writeln!(rows, "  {kind} | {high} | {long} | {value}");
            }
        }
    }
    format!(
        "pack made \"Made up\"\n  language 1\n  edition \"1\"\n  adopts terms\nsource book \"A made-up code\" invented\n\
         table t \"Made up\"\n  cite book \"1\"\n  by kind, high, long{step}\n  kind | high | long | value\n{rows}  bifold | 1 in to 2 in | {} | 9 in\n\
         section s \"Made up\"\n  applies to each beam\n  shall (a) t.value(gate.kind, beam.height, beam.span) at most beam.offset\n  \
         shall (b) t.value(gate.kind, beam.height, beam.span) at least beam.offset\n  cite book \"2\"\n",
        if step.is_empty() { "less than 1 ft" } else { "1 ft" }
    )
}

/// A measure as it is first known, and as it turns out to be within that.
fn measure(choices: &mut Choices, key: &str, unit: &str, most: usize) -> (String, String) {
    let (at, off) = (choices.of(most), choices.of(4) + 1);
    match choices.of(4) {
        0 => (format!(", {key}: {at} {unit}"), format!(", {key}: {at} {unit}")),
        1 => (String::new(), format!(", {key}: {at} {unit}")),
        _ => {
            let now = (at + choices.of(2 * off + 1)).max(1);
            (format!(", {key}: {} {unit} +/- {off} {unit}", at + off), format!(", {key}: {now} {unit}"))
        }
    }
}

/// A job as it is first known, and with more known of it.
fn jobs(choices: &mut Choices) -> (String, String) {
    let mut both = (String::from("codes: [made]\ngates:\n"), String::from("codes: [made]\ngates:\n"));
    for gate in 0..12 {
        let kind = KINDS[choices.of(4)];
        let known = if choices.chance(11) { format!(", kind: {kind}") } else { String::new() };
        let (height, span) = (measure(choices, "height", "in", 22), measure(choices, "span", "ft", 13));
        let offset = ["1 in", "2 in", "1.5 in", "2.5 in"][choices.of(4)];
        let _ = writeln!(both.0, "  - {{id: g{gate}{known}, beams: [{{id: b, offset: {offset}{}{}}}]}}", height.0, span.0);
        let _ = writeln!(both.1, "  - {{id: g{gate}, kind: {kind}, beams: [{{id: b, offset: {offset}{}{}}}]}}", height.1, span.1);
    }
    both
}

#[test]
fn what_keys_turn_out_to_be_flips_nothing() {
    let seen = RefCell::new(BTreeMap::new());
    TestRunner::new(config(400))
        .run(&prop::collection::vec(any::<u8>(), 400), |bytes| {
            let mut choices = Choices::new(&bytes);
            let text = pack(&mut choices);
            let compiled = compiled(&[("made", &text)], "made");
            let Some(program) = &compiled.program else { return Err(TestCaseError::fail(format!("{}\n{text}", sentences(&compiled)))) };
            let (doubtful, surer) = jobs(&mut choices);
            let judged =
                |job: &str| verdicts(program, job, day()).map_err(|slips| TestCaseError::fail(format!("{}\n{job}", slips.join("\n"))));
            let (before, after) = (judged(&doubtful)?, judged(&surer)?);
            for (_, _, thing, verdict) in &before {
                let gate = thing.split(" / ").next().unwrap_or("").trim_start_matches("gate ");
                let line = doubtful.lines().find(|line| line.contains(&format!("{{id: {gate},"))).unwrap_or("");
                let in_doubt = !line.contains("kind") || !line.contains("height") || !line.contains("span") || line.contains("+/-");
                *seen.borrow_mut().entry((in_doubt, verdict.clone())).or_insert(0) += 1;
            }
            prop_assert!(
                flipped(&before, &after).is_none(),
                "{}\n{text}\n{doubtful}\n{surer}",
                flipped(&before, &after).unwrap_or_default()
            );
            Ok(())
        })
        .unwrap();
    // The law must have had something to say: keys in doubt that were answered, and those that were not.
    let seen = seen.borrow();
    for verdict in ["met", "not met", "marginal", "open", "unanswered"] {
        let times = seen.get(&(true, verdict.to_string())).copied().unwrap_or(0);
        assert!(times > 20, "keys in doubt came out {verdict} {times} times: {seen:?}");
    }
}
