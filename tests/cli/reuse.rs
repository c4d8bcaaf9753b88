//! Results of an earlier run: the report is the same with them and without, whatever changed between the runs.

use super::{GOOD, Site, TODAY, VIEWS, YARD, good_but, yard_but};
use proptest::prelude::*;
use sha2::{Digest, Sha256};

fn check(site: &Site, more: &[&str]) -> (i32, String) {
    let seen = site.run(&[&["check", "jobs", "--today", TODAY, "--threads", "2"], more].concat());
    (seen.code, seen.out)
}

/// What is done to a folder between two runs.
fn change(site: Site, number: u8) -> Site {
    let job = |number: u8| format!("jobs/{:02}.yaml", number % 12);
    match number % 8 {
        0 => site.with(job(number / 8), good_but("24 in", "29 in")),
        1 => site.with(job(number / 8), GOOD),
        2 => site.with("rules/yard.rules", yard_but("at most 26 in", "at most 23 in")),
        3 => site.with("rules/yard.rules", YARD),
        4 => site.with("rules/other.rules", yard_but("pack yard", "pack other")),
        5 => {
            let _ = std::fs::remove_file(site.path(job(number / 8)));
            site
        }
        6 => site.with(job(number / 8), "title: no job\ncodes: [nowhere]\n"),
        _ => site.with("punch.yaml", format!("# list {number}\nentries: []\n")),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    #[test]
    fn a_report_is_the_same_with_and_without(changes in proptest::collection::vec(any::<u8>(), 1..5), view in 0..VIEWS.len(), unfinished: bool) {
        let mut site = (0..8).fold(Site::new(), |site, number| site.with(format!("jobs/{number:02}.yaml"), good_but("24 in", &format!("{} in", 22 + number))));
        let more = [&["--as", VIEWS[view]][..], if unfinished { &["--unfinished"] } else { &[] }].concat();
        for number in std::iter::once(1).chain(changes) {
            site = change(site, number);
            let plain = check(&site, &more);
            for _ in 0..2 {
                prop_assert_eq!(&check(&site, &[&more[..], &["--reuse", "results"]].concat()), &plain);
            }
        }
    }
}

/// A line of kept results with the digest of the result that stands in it.
fn sealed(line: &str) -> String {
    let (key, rest) = line.split_once(' ').unwrap();
    let (_, result) = rest.split_once(' ').unwrap();
    let bytes: Vec<u8> = (0..key.len()).step_by(2).map(|at| u8::from_str_radix(&key[at..at + 2], 16).unwrap()).collect();
    let mut hasher = Sha256::new();
    for part in [bytes.as_slice(), result.as_bytes()] {
        hasher.update((part.len() as u64).to_le_bytes());
        hasher.update(part);
    }
    let sum: String = hasher.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    format!("{key} {sum} {result}\n")
}

#[test]
fn what_nothing_changed_is_not_judged_again() {
    let site = Site::new().with("jobs/a.yaml", GOOD).with("jobs/b.yaml", good_but("24 in", "28 in"));
    let first = check(&site, &["--as", "plain", "--reuse", "results"]);
    let kept = std::fs::read_to_string(site.path("results")).unwrap();
    assert_eq!(kept.lines().count(), 2);
    // Results that were put there by hand, with digests that fit, come out again: each was used, and not made anew.
    let other: String = kept.lines().map(|line| sealed(&line.replace("outcome", "outcame"))).collect();
    std::fs::write(site.path("results"), &other).unwrap();
    let used = check(&site, &["--as", "plain", "--reuse", "results"]).1;
    assert_eq!((used.matches("outcame").count(), used.matches("outcome").count()), (2, 0), "{used}");
    assert_eq!(std::fs::read_to_string(site.path("results")).unwrap(), other);
    let other = kept.replace("outcome", "outcame");
    assert_ne!(other, kept);
    std::fs::write(site.path("results"), &other).unwrap();
    assert_eq!(check(&site, &["--as", "plain", "--reuse", "results"]), first, "its digest no longer fits, so it is judged again");
    assert_eq!(std::fs::read_to_string(site.path("results")).unwrap(), kept);
    for broken in [kept.replace('}', ""), kept[..kept.len() / 2].to_string(), format!("{kept}rest"), kept.replace('0', "1")] {
        std::fs::write(site.path("results"), &broken).unwrap();
        assert_eq!(check(&site, &["--as", "plain", "--reuse", "results"]), first, "{broken}");
    }
}

/// A full log leaves out what is mild; where it has room again, what was left out of kept results is made after all.
#[test]
fn a_log_that_was_full_keeps_nothing_back_once_it_has_room() {
    let beams = |height: &str, number: usize| -> String {
        (0..number).map(|at| format!("      - {{id: b{at}, duty: entrapment, height: {height}, offset: 4 in, span: 20 ft}}\n")).collect()
    };
    let job = |height: &str, number: usize| GOOD[..GOOD.find("      - id: low").unwrap()].to_string() + &beams(height, number);
    let site = (0..20).fold(Site::new(), |site, at| site.with(format!("jobs/{at:02}.yaml"), job("28 in", 270)));
    let site = site.with("jobs/99.yaml", job("24 in", 3));
    let both = |site: &Site| {
        let plain = check(site, &["--as", "sarif"]);
        assert!(check(site, &["--as", "sarif", "--reuse", "results"]) == plain, "the log differs with kept results");
        plain.1
    };
    assert!(!both(&site).contains("jobs/99.yaml"), "the log is full of worse results");
    let site = (0..20).fold(site, |site, at| site.with(format!("jobs/{at:02}.yaml"), GOOD));
    assert!(both(&site).contains("jobs/99.yaml"));
}

#[test]
fn the_day_the_view_and_the_options_count() {
    let site =
        Site::new().with("jobs/a.yaml", GOOD.replace("permit-date: 2026-03-02", "permit-date: 2025-03-02")).with("jobs/b.yaml", GOOD);
    for more in [
        &["--as", "plain"][..],
        &["--as", "lines"],
        &["--as", "plain", "--unfinished"],
        &["--as", "plain", "--packs", "rules"],
        &["--as", "text", "--colour", "always"],
        &["--as", "text", "--colour", "never"],
    ] {
        let with = check(&site, &[more, &["--reuse", "results"]].concat());
        assert_eq!(with, check(&site, more), "{more:?}");
    }
    let later = ["check", "jobs", "--as", "lines", "--today", "2027-01-01"];
    let with = site.run(&[&later[..], &["--reuse", "results"]].concat());
    assert_eq!(with.out, site.run(&later).out);
}

#[test]
fn nothing_but_results_is_written_over() {
    let site = Site::new().with("jobs/a.yaml", GOOD).with("notes.txt", "dear diary\n");
    for place in ["notes.txt", "jobs/a.yaml", "rules/yard.rules", "jobs"] {
        let seen = site.run(&["check", "jobs", "--today", TODAY, "--reuse", place]);
        assert!(seen.code == 2 && seen.err.contains("--reuse"), "{place}: {seen}");
    }
    assert_eq!(std::fs::read_to_string(site.path("notes.txt")).unwrap(), "dear diary\n");
    let seen = site.run(&["check", "jobs", "--today", TODAY, "--reuse", "x", "--out", "x"]);
    assert!(seen.code == 2, "{seen}");
}

/// A recording beside a job is part of what the result rests on, and is not in its key: such a job is judged every time.
#[test]
fn a_job_with_a_recording_is_judged_every_time() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs");
    let job = std::fs::read_to_string(root.join("europe-slide-metric-good.yaml")).unwrap();
    let mut site = Site::empty().with("jobs/a.yaml", &job);
    for entry in std::fs::read_dir(root.join("recordings")).unwrap().map(Result::unwrap) {
        site = site.with(format!("jobs/recordings/{}", entry.file_name().to_string_lossy()), std::fs::read(entry.path()).unwrap());
    }
    let plain = check(&site, &["--as", "plain"]);
    assert_eq!(check(&site, &["--as", "plain", "--reuse", "results"]), plain);
    let kept = std::fs::read_to_string(site.path("results")).unwrap();
    assert_eq!(kept.lines().count(), usize::from(!job.contains("recordings/")), "{kept:.300}");
    assert_eq!(check(&site, &["--as", "plain", "--reuse", "results"]), plain);
}
