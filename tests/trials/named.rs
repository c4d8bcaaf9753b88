//! Trials that somebody names: only these are run, with what they find in full; other words are further packs.

use super::{root, settings};
use serde_json::Value;
use std::collections::BTreeSet;

fn trial(arguments: &[&str]) -> (i32, String) {
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).arg("trial").args(arguments).output().unwrap();
    (done.status.code().unwrap(), String::from_utf8(done.stdout).unwrap() + &String::from_utf8(done.stderr).unwrap())
}

const HOLES: &str = "tests/trials/packs/holes.rules";

#[test]
fn named_trials_are_run_alone_and_told_in_full() {
    let (exit, text) = trial(&[HOLES, "wrong", "height-unknown", "too-high", "wrong"]);
    assert_eq!(exit, 1, "one of them does not find what is expected");
    settings().bind(|| insta::assert_snapshot!("holes-named", text));
    let (exit, text) = trial(&[HOLES, "good"]);
    assert!(exit == 0 && text.ends_with("1 trial of 4: each finds what is expected. No change of the pack was tried.\n"), "{text}");
    assert!(!text.contains("noticed by no trial") && !text.contains("too-high"), "{text}");
}

#[test]
fn lines_are_as_the_schema_says() {
    let schema: Value = serde_json::from_str(pintle::report::trial_lines::SCHEMA).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let (mut kinds, mut shown) = (BTreeSet::new(), 0);
    for call in [&[HOLES][..], &["tests/trials/packs/limits.rules"], &["tests/trials/packs/whole.rules"], &[HOLES, "too-high"]] {
        for line in trial(&[call, &["--as", "lines"]].concat()).1.lines() {
            let line: Value = serde_json::from_str(line).unwrap();
            let errors: Vec<String> = validator.iter_errors(&line).map(|error| error.to_string()).collect();
            assert!(errors.is_empty(), "{line}: {errors:?}");
            kinds.insert(line["kind"].as_str().unwrap().to_string());
            shown += 1;
        }
    }
    assert!(shown > 50, "{shown}");
    let told: BTreeSet<String> =
        schema["oneOf"].as_array().unwrap().iter().map(|one| one["properties"]["kind"]["const"].as_str().unwrap().to_string()).collect();
    assert_eq!(kinds, told);
}

#[test]
fn named_trials_as_lines_hold_every_verdict() {
    let (exit, lines) = trial(&[HOLES, "too-high", "--as", "lines"]);
    let lines: Vec<Value> = lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!((exit, lines.len()), (0, 3));
    assert_eq!(lines[1]["verdicts"][0]["verdict"], "not met");
    assert!(lines[1]["findings"][0].as_str().unwrap().contains("it must be at most 30 in: 10 in too much"), "{}", lines[1]);
    assert_eq!((&lines[2]["trials"], &lines[2]["of"], &lines[2]["exit"]), (&1.into(), &4.into(), &0.into()));
}

#[test]
fn a_word_that_is_no_trial_is_a_pack_or_told() {
    let (exit, text) = trial(&[HOLES, "good", "tests/trials/packs/whole.rules"]);
    assert!(exit == 0 && text.contains("trial good of holes") && text.contains("trials of whole"), "{text}");
    let (exit, text) = trial(&[HOLES, "to-high"]);
    assert!(exit == 2 && text.contains("holes has no trial of that name") && text.contains("nearest known word is `too-high`"), "{text}");
    let (exit, text) = trial(&[HOLES, "good", "--offer"]);
    assert!(exit == 2 && text.contains("name the pack alone"), "{text}");
}
