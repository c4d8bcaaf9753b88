//! The program and the second evaluator must agree on thousands of made-up packs and jobs.

use crate::second;
use jiff::civil::Date;
use pintle::command::workbench::judge_texts;

fn program(pack: &str, job: &str, today: &str) -> Result<Vec<(String, String, String, String)>, String> {
    let today: Date = today.parse().map_err(|error| format!("{today}: {error}"))?;
    let verdicts = judge_texts(&[("made", pack)], &["made"], job, today).map_err(|slips| slips.join("\n"))?;
    let plain = |section: String| section.trim_start_matches("made/").to_string();
    let mut verdicts: Vec<_> =
        verdicts.into_iter().map(|(section, clause, thing, verdict)| (plain(section), format!("({clause})"), thing, verdict)).collect();
    verdicts.sort();
    Ok(verdicts)
}

#[test]
fn the_second_evaluator_agrees() {
    let rounds = std::env::var("PINTLE_ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(3000);
    if let Err(difference) = second::agree(rounds, &program) {
        panic!("{difference}");
    }
}

#[test]
fn every_verdict_is_exercised() {
    let counts = second::statistics(1500);
    for word in ["met", "not met", "excepted", "not applicable", "marginal", "open", "unanswered"] {
        assert!(counts.get(word).is_some_and(|count| *count > 20), "{word} hardly occurs: {counts:?}");
    }
}
