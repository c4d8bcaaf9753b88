//! Hostile input as data: a folder a family, a file a row, each run by the real program on a small stack, with its slips, its exit
//! code and bounds on time and memory. `rows.txt` lists every row there is, with its cases or the reason why it has none.
//!
//! A case is added by adding a file; `case.rs` tells how one is written. `PINTLE_UPDATE=1` writes the exit code and the slips that
//! came out into the files, for a reviewer to read. `PINTLE_TIMES=1 cargo test hostile -- --nocapture` prints
//! what each took.

mod case;
mod memory;
mod replay;
mod run;

use case::Case;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const FAMILIES: [&str; 5] = ["yaml", "packs", "files", "outputs", "numbers"];

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile")
}

/// The cases of a family, by their names.
fn cases(family: &str) -> BTreeMap<String, Case> {
    let entries = std::fs::read_dir(here().join(family)).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path()).filter(|path| path.extension().is_some_and(|end| end == "case"));
    let read = |path: PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let case = Case::read(&text).unwrap_or_else(|why| panic!("{family}/{name}: {why}"));
        (name, case)
    };
    paths.map(read).collect()
}

#[track_caller]
fn all_hold(family: &str) {
    let mut failures = Vec::new();
    for (name, case) in cases(family) {
        let outcomes = run::outcomes(&case);
        if std::env::var_os("PINTLE_UPDATE").is_some() {
            let path = here().join(family).join(format!("{name}.case"));
            let text = std::fs::read_to_string(&path).unwrap();
            let came: Vec<(i32, &str)> = outcomes.iter().map(|outcome| (outcome.exit, outcome.slips.as_str())).collect();
            std::fs::write(&path, case.with_outcomes(&text, &came)).unwrap();
        }
        failures.extend(outcomes.into_iter().filter_map(|outcome| outcome.wrong).map(|why| format!("{family}/{name}: {why}")));
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

#[test]
fn job_files() {
    all_hold("yaml");
}

#[test]
fn packs() {
    all_hold("packs");
}

#[test]
fn files() {
    all_hold("files");
}

#[test]
fn outputs() {
    all_hold("outputs");
}

#[test]
fn numbers() {
    all_hold("numbers");
}

/// Whether a test of this name stands in a file, or the file itself where no name is given.
fn stands(place: &str) -> bool {
    let (file, name) = place.split_once(' ').map_or((place, None), |(file, name)| (file, Some(name)));
    let Ok(text) = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(file)) else { return false };
    name.is_none_or(|name| text.contains(&format!("fn {name}(")))
}

#[test]
fn every_row_has_a_case_a_test_or_a_reason() {
    let text = std::fs::read_to_string(here().join("rows.txt")).unwrap();
    let mut cased: Vec<(String, String)> = Vec::new();
    for family in FAMILIES {
        cased.extend(cases(family).into_iter().map(|(name, case)| (case.row.clone(), format!("{family}/{name}"))));
    }
    let (mut wrong, mut row, mut answered) = (Vec::new(), String::new(), BTreeMap::new());
    for line in text.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let Some(answer) = line.strip_prefix("  ") else {
            row = line.split(' ').next().unwrap_or("").to_string();
            if answered.insert(row.clone(), 0).is_some() {
                wrong.push(format!("{row} is listed twice"));
            }
            continue;
        };
        *answered.entry(row.clone()).or_insert(0) += 1;
        match answer.split_once(' ') {
            Some(("case", name)) => match cased.iter().position(|known| *known == (row.clone(), name.to_string())) {
                Some(at) => drop(cased.swap_remove(at)),
                None => wrong.push(format!("{row}: no case {name} of this row")),
            },
            Some(("test", place)) if !stands(place) => wrong.push(format!("{row}: no test {place}")),
            Some(("test", _)) => {}
            Some(("none", why)) if why.len() > 20 => {}
            _ => wrong.push(format!("{row}: `{answer}` is no case, test or reason")),
        }
    }
    wrong.extend(cased.iter().map(|(row, name)| format!("{name} of row {row} is not listed")));
    wrong.extend(answered.iter().filter(|(_, many)| **many == 0).map(|(row, _)| format!("{row} has neither a case nor a reason")));
    for (family, rows) in [("Y", 25), ("R", 16), ("F", 14), ("O", 12), ("N", 12)] {
        let missing = (1..=rows).map(|number| format!("{family}-{number:02}")).filter(|row| !answered.contains_key(row));
        wrong.extend(missing.map(|row| format!("{row} is not listed")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Nothing deeper than this is ever read, so that no walk of what was read can run out of a small stack.
#[test]
fn the_limits_on_depth_are_these() {
    use pintle::job::yaml::{DEEPEST, LARGEST_FILE};
    use pintle::language::grammar;
    assert_eq!((DEEPEST, LARGEST_FILE), (48, 16 * 1024 * 1024));
    assert_eq!((grammar::DEEPEST_BRACKETS, grammar::MOST_OPENERS, grammar::LARGEST_FILE), (48, 160, 4 * 1024 * 1024));
    let nested = |depth: usize| format!("a: {}{}\n", "[".repeat(depth - 1), "]".repeat(depth - 1));
    let slips = |text: &str| pintle::job::yaml::read_yaml(&pintle::source::Source::new("job.yaml", text)).1;
    assert!(slips(&nested(DEEPEST)).is_empty(), "{:?}", slips(&nested(DEEPEST)));
    assert_eq!(slips(&nested(DEEPEST + 1)).len(), 1);
}
