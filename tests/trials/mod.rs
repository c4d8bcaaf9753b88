//! Trials: every pack of the house is rehearsed, a pack with known holes has each of them reported, slips of trials are told, and a
//! changed program is the program of a pack whose text was changed likewise.
//!
//! - `ceilings.txt`: for each pack, how many changes its trials may leave unnoticed. A number can only fall.
//! - `packs/`: packs with trials beside them; what `pintle trial` says of them is kept as a snapshot.
//! - `slips/*.rules`: a trial file beside `packs/holes.rules`; its slips are kept as a snapshot, source first.

mod likewise;
mod named;

use pintle::command::trial::{Hindered, Stage, stage};
use pintle::judge::rank::Rank;
use pintle::language::build::read_rules;
use pintle::language::check_trial::{VerdictWords, check_trials};
use pintle::rehearse::offer::offers;
use pintle::rehearse::run::rehearse;
use pintle::report::trials::{TrialReport, text};
use pintle::report::{slips, trial_lines};
use pintle::source::{Files, Source};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn settings() -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings
}

/// A pack with its trials, which have no slips.
fn staged(place: &Path) -> Stage {
    match stage(place, &[]) {
        Ok(stage) => stage,
        Err(Hindered::Why(why)) => panic!("{why}"),
        Err(Hindered::Slips(told, sources)) => {
            let files = Files { packs: &sources, job: None };
            let told: String = told.iter().map(|slip| slips::sentence(slip, files)).collect();
            panic!("{}\n{told}", place.display())
        }
    }
}

/// What `pintle trial` says, without the folder of the checkout.
fn reported(stage: &Stage) -> (String, String, String) {
    let rehearsal = rehearse(&stage.program, &stage.pack, &stage.files, &stage.ready, &stage.trials.passes);
    let pack = stage.program.pack(&stage.pack).unwrap();
    let files = Files { packs: &stage.sources, job: None };
    let report = TrialReport { pack, trials: &stage.ready, passes: &stage.trials.passes, rehearsal: &rehearsal, files };
    let here = format!("{}/", root().display());
    let plain = |text: String| text.replace(&here, "");
    let offered = offers(&stage.program, &stage.ready, &stage.bases, &rehearsal);
    (plain(text(&report)), plain(trial_lines::lines(&report, 1)), offered)
}

#[test]
fn packs_of_the_house_are_rehearsed() {
    let ceilings = std::fs::read_to_string(root().join("tests/trials/ceilings.txt")).unwrap();
    let mut wrong = Vec::new();
    for line in ceilings.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty()) {
        let (place, ceiling) = line.split_once(' ').expect("a place and a number");
        let ceiling: usize = ceiling.trim().parse().unwrap();
        let stage = staged(&root().join(place));
        let rehearsal = rehearse(&stage.program, &stage.pack, &stage.files, &stage.ready, &stage.trials.passes);
        let failing: Vec<&str> = stage
            .ready
            .iter()
            .zip(&rehearsal.misses)
            .filter(|(_, misses)| !misses.is_empty())
            .map(|(trial, _)| trial.trial.name.text.as_str())
            .collect();
        if !failing.is_empty() {
            wrong.push(format!("{place}: these do not find what is expected: {}", failing.join(", ")));
        }
        if !rehearsal.needless.is_empty() {
            wrong.push(format!("{place}: {} reasons that nothing needs", rehearsal.needless.len()));
        }
        let unnoticed = rehearsal.unnoticed.len();
        if unnoticed > ceiling {
            wrong.push(format!(
                "{place}: {unnoticed} changes that no trial notices; at most {ceiling} were left. See `pintle trial {place}`"
            ));
        } else if unnoticed < ceiling {
            wrong.push(format!("{place}: only {unnoticed} changes are left unnoticed: lower the {ceiling} in tests/trials/ceilings.txt"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_pack_with_rules_ships_trials() {
    let ceilings = std::fs::read_to_string(root().join("tests/trials/ceilings.txt")).unwrap();
    for pack in pintle::language::library::packs_in(&root().join("rules")) {
        let name = pack.strip_prefix(root()).unwrap().display().to_string();
        let known =
            ceilings.lines().any(|line| line.split_once(' ').is_some_and(|(place, _)| place.trim_start_matches("# none: ") == name));
        let told = ceilings.contains(&format!("# none: {name} "));
        assert!(known || told, "tests/trials/ceilings.txt says nothing of {name}");
    }
}

#[test]
fn known_holes_are_reported() {
    let stage = staged(&root().join("tests/trials/packs/holes.rules"));
    let (text, lines, offered) = reported(&stage);
    settings().bind(|| {
        insta::assert_snapshot!("holes-text", text);
        insta::assert_snapshot!("holes-lines", lines);
        insta::assert_snapshot!("holes-offered", offered);
    });
    for line in lines.lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        assert!(line["kind"].is_string());
    }
}

#[test]
fn what_is_offered_can_be_pasted() {
    let place = root().join("tests/trials/packs/holes.rules");
    let (_, _, offered) = reported(&staged(&place));
    let laid = pintle::neaten::neaten(&pintle::source::Source::new("offered.rules", offered.as_str()));
    assert_eq!(laid.ok().as_deref(), Some(offered.as_str()), "an offer is laid out as every file is");
    let site = Site::new("pasted");
    site.copy_holes();
    site.write("holes-trials/offered.rules", &offered);
    let pasted = staged(&site.0.join("holes.rules"));
    let rehearsal = rehearse(&pasted.program, &pasted.pack, &pasted.files, &pasted.ready, &pasted.trials.passes);
    let failing =
        pasted.ready.iter().zip(&rehearsal.misses).filter(|(trial, misses)| trial.trial.name.text != "wrong" && !misses.is_empty());
    assert_eq!(failing.count(), 0, "{offered}");
    let limit =
        |words: &str| rehearsal.unnoticed.iter().any(|unseen| unseen.place == "holes/lens-height (a)" && unseen.words.contains(words));
    assert!(!limit("at most 30 in"), "the limit is still unnoticed");
}

/// A limit written with `within`, limits out of a table and by its keys are offered, and what is left out is said with its reason; a
/// change that a minimum hides and an assumed value at a limit are told as such.
#[test]
fn limits_of_every_kind_are_offered() {
    let (text, lines, offered) = reported(&staged(&root().join("tests/trials/packs/limits.rules")));
    settings().bind(|| {
        insta::assert_snapshot!("limits-text", text);
        insta::assert_snapshot!("limits-offered", offered);
    });
    assert!(text.contains("since a minimum hides it") && lines.contains("\"hidden_by\":{\"minimum\":\"us-gates\""), "{text}");
    assert!(text.contains("tilt is taken as 0 deg where it is not stated, and that lies exactly at the limit"), "{text}");
    let site = Site::new("limits");
    for name in ["limits.rules", "limits-trials/limits.rules", "limits-trials/jobs/site.yaml"] {
        site.write(name, &std::fs::read_to_string(root().join("tests/trials/packs").join(name)).unwrap());
    }
    site.write("limits-trials/offered.rules", &offered);
    let pasted = staged(&site.0.join("limits.rules"));
    let rehearsal = rehearse(&pasted.program, &pasted.pack, &pasted.files, &pasted.ready, &pasted.trials.passes);
    assert!(rehearsal.misses.iter().all(Vec::is_empty), "{offered}");
    let left: Vec<&str> = rehearsal.unnoticed.iter().map(|unseen| unseen.words.as_str()).collect();
    for words in ["within 0 deg becomes", "to 5 deg becomes", "most of at most 12 ft: 6 ft becomes 6"] {
        assert!(!left.iter().any(|unseen| unseen.contains(words)), "{words} is still unnoticed: {left:?}");
    }
}

/// A pack is found by its name, in the folder that somebody stands in, and from the folder of its trials; else it is said what to type.
#[test]
fn the_pack_of_a_trial_is_found() {
    let run = |folder: &str, place: &str| {
        let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root().join(folder)).args(["trial", place]).output().unwrap();
        (done.status.code().unwrap(), String::from_utf8(done.stdout).unwrap() + &String::from_utf8(done.stderr).unwrap())
    };
    for (folder, place) in [("", "us-fire-wildland"), ("rules/us-fire-wildland", "."), ("rules/us-fire-wildland/trials", ".")] {
        let (exit, out) = run(folder, place);
        assert!(exit == 0 && out.contains("trials of us-fire-wildland"), "{folder}, {place}: {out}");
    }
    let (exit, out) = run("tests/trials/packs/whole-trials", ".");
    assert!(exit == 0 && out.contains("trials of whole"), "{out}");
    let (exit, out) = run("tests/trials/packs", "whole");
    assert!(exit == 0 && out.contains("trials of whole"), "{out}");
    let (exit, out) = run("tests/trials/packs", ".");
    assert!(exit == 2 && out.contains("type one of:") && out.contains("pintle trial ./holes.rules"), "{out}");
    let elsewhere = Site::new("elsewhere");
    let (exit, out) = run(elsewhere.0.to_str().unwrap(), "us-fire-wildland");
    assert!(exit == 0 || exit == 2 && out.contains("`pintle trial rules/us-fire-wildland`"), "{out}");
    let (exit, out) = run("", "no-such-pack");
    assert!(exit == 2 && out.contains("no pack `no-such-pack` is found here"), "{out}");
}

#[test]
fn slips_of_trials() {
    settings().bind(|| {
        insta::glob!("slips/*.rules", |path| {
            let text = std::fs::read_to_string(path).unwrap();
            let site = Site::new(path.file_stem().unwrap().to_str().unwrap());
            site.copy_holes();
            site.write("holes-trials/holes.rules", &text);
            let told = match stage(&site.0.join("holes.rules"), &[]) {
                Ok(_) => "none\n".to_string(),
                Err(Hindered::Why(why)) => why,
                Err(Hindered::Slips(told, sources)) => {
                    let files = Files { packs: &sources, job: None };
                    told.iter().map(|slip| slips::drawn(slip, files, false) + "\n").collect()
                }
            };
            let told = told.replace(&format!("{}/", site.0.display()), "");
            insta::assert_snapshot!(format!("{text}\n=== slips\n{told}"));
        });
    });
}

/// Verdicts are words of a trial, and nothing that nests.
#[test]
fn a_trial_may_find_much() {
    let finds = "  finds  holes/room \"gate main\" not met\n  finds  holes/never \"gate main\" not applicable\n".repeat(400);
    let site = Site::new("many-finds");
    site.copy_holes();
    let head = "trial many \"Many\"\n  job    \"jobs/site.yaml\"\n  today  2026-03-02\n";
    site.write("holes-trials/holes.rules", &format!("{head}{finds}"));
    let told: Vec<&str> = match stage(&site.0.join("holes.rules"), &[]) {
        Err(Hindered::Slips(told, _)) => told.iter().map(|slip| slip.name).collect(),
        _ => Vec::new(),
    };
    assert!(!told.is_empty() && !told.contains(&"too-deep"), "a verdict that is expected twice is a slip, and no other: {told:?}");
}

/// No check reads trials, whatever slips they have.
#[test]
fn a_check_passes_trials_over() {
    let site = Site::new("passed-over");
    site.copy_holes();
    site.write("holes-trials/holes.rules", "nonsense\n");
    site.write(
        "folder/folder.rules",
        &std::fs::read_to_string(root().join("tests/trials/packs/holes.rules")).unwrap().replace("pack holes", "pack folder"),
    );
    site.write("folder/trials/more.rules", "nonsense\n");
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").arg("check").arg(&site.0).output().unwrap();
    let out = String::from_utf8(done.stdout).unwrap();
    assert_eq!(done.status.code(), Some(0), "{out}");
    assert!(!out.contains("nonsense"), "{out}");
}

#[test]
fn exit_codes_of_trial() {
    let run = |place: &str| {
        let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).args(["trial", place]).output().unwrap();
        done.status.code()
    };
    assert_eq!(run("tests/trials/packs/whole.rules"), Some(0), "nothing slips through");
    assert_eq!(run("tests/trials/packs/holes.rules"), Some(1), "holes");
    assert_eq!(run("tests/trials/packs/nothing.rules"), Some(2), "no such pack");
    assert_eq!(run("rules/terms"), Some(2), "no trials");
}

/// A folder for one test.
struct Site(PathBuf);

impl Site {
    fn new(name: &str) -> Site {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("trials-{name}"));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Site(folder)
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.0.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// The pack with holes, its trials and their base job.
    fn copy_holes(&self) {
        for name in ["holes.rules", "holes-trials/holes.rules", "holes-trials/jobs/site.yaml"] {
            self.write(name, &std::fs::read_to_string(root().join("tests/trials/packs").join(name)).unwrap());
        }
    }
}

/// The blocks of a page between three backticks and a word.
fn block<'t>(page: &'t str, word: &str) -> &'t str {
    let (_, rest) = page.split_once(&format!("\n```{word}\n")).unwrap_or_else(|| panic!("no block `{word}`"));
    rest.split_once("```").expect("the end of a block").0
}

#[test]
fn the_page_on_trials_does_what_it_says() {
    let page = std::fs::read_to_string(root().join("rules/TRIALS.md")).unwrap();
    let site = Site::new("page");
    site.write("hinge-bay.rules", block(&page, "rules"));
    site.write("hinge-bay-trials/jobs/slide.yaml", block(&page, "job"));
    site.write("hinge-bay-trials/lenses.rules", block(&page, "trials"));
    let (text, _, _) = reported(&staged(&site.0.join("hinge-bay.rules")));
    assert!(text.ends_with(&format!("\n{}", block(&page, "report"))), "{text}");
}

/// Trial files that break off anywhere, or lack any one line: slips or trials come of them, and nothing else.
#[test]
fn broken_trial_files_are_told() {
    let whole = std::fs::read_to_string(root().join("tests/trials/packs/holes-trials/holes.rules")).unwrap();
    let stage = staged(&root().join("tests/trials/packs/holes.rules"));
    let cut = whole.char_indices().map(|(at, _)| whole[..at].to_string());
    let lines: Vec<&str> = whole.lines().collect();
    let shorter =
        (0..lines.len()).map(|gone| lines.iter().enumerate().filter(|(at, _)| *at != gone).map(|(_, line)| format!("{line}\n")).collect());
    for text in cut.chain(shorter) {
        let mut sources = stage.program.files.clone();
        let file = sources.add(Source::new("broken.rules", text));
        let parsed = read_rules(sources.get(file).unwrap(), file);
        let mut told = parsed.slips;
        let words = VerdictWords { all: &Rank::WORDS, findings: Rank::finding_words() };
        check_trials(&stage.program, &stage.pack, words, parsed.tree.items, &mut told);
        let files = Files { packs: &sources, job: None };
        for slip in &told {
            assert!(slip.span.is_some_and(|span| files.source(span.file).is_some()), "{slip:?}");
            assert!(!slips::drawn(slip, files, false).is_empty());
        }
    }
}
