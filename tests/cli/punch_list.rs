//! `pintle punch-list` and `check --punch-list`: what was agreed to wait is told and does not fail the check; anything worse, new or
//! overdue does; no entry ever hides what it was not written for.

use super::{GOOD, Seen, Site, TODAY, good_but, lines};

const AGREED: [&str; 6] = ["--reason", "New posts are on order", "--owner", "Field crew 2", "--due", "2026-06-01"];

/// A folder with one job that misses a limit, and its list.
fn listed(job: &str) -> Site {
    let site = Site::new().with("jobs/a.yaml", job);
    let seen = write(&site, &AGREED);
    assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{seen}");
    site
}

fn write(site: &Site, more: &[&str]) -> Seen {
    let mut all = vec!["punch-list", "jobs", "--in", "punch.yaml", "--today", TODAY];
    all.extend(more);
    site.run(&all)
}

fn check(site: &Site) -> Seen {
    site.check(&["jobs", "--punch-list", "punch.yaml"])
}

fn high(by: &str) -> String {
    good_but("height: 24 in", &format!("height: {by}"))
}

#[test]
fn what_was_agreed_upon_is_told_and_lets_the_check_pass() {
    let site = listed(&high("28 in"));
    assert_eq!(site.check(&["jobs"]).code, 1);
    let seen = site.expect(0, &["jobs", "--punch-list", "punch.yaml"]);
    let seen = seen.says("not met: yard/lens-height (a)").says("New posts are on order (Field crew 2, agreed 2026-04-01)");
    seen.says("nothing mandatory fails but what was agreed to wait; on the punch list: 1 not met");
    let records = lines::records(&site.view("lines", &["jobs", "--punch-list", "punch.yaml"]));
    let job = records.iter().find(|record| record["kind"] == "job").unwrap();
    assert_eq!((&job["listed"]["not met"], &job["counts"]["not met"], &job["exit"]), (&1.into(), &1.into(), &0.into()));
}

#[test]
fn the_list_says_what_was_found() {
    let site = listed(&high("28 in +/- 1/8 in"));
    let list = site.read("punch.yaml");
    for text in [
        "job: \"jobs/a.yaml\"",
        "code: \"yard\"",
        "section: \"yard/lens-height\"",
        "clause: \"a\"",
        "thing: \"gate main / beam low\"",
        "verdict: not met",
        "{what: \"beam.height of gate main / beam low\", by: \"2 in +/- 0.125 in\"}",
        "agreed: 2026-04-01",
        "due: 2026-06-01",
    ] {
        assert!(list.contains(text), "{text} is not in\n{list}");
    }
}

#[test]
fn worse_by_more_than_the_tolerance_is_new() {
    let site = listed(&high("28 in +/- 1/8 in"));
    for (height, code) in [
        ("28 in +/- 1/8 in", 0),
        ("28 1/8 in +/- 1/8 in", 0),
        ("28 1/8 in", 0),
        ("714.375 mm", 0),
        ("714.3750001 mm", 1),
        ("28 1/4 in +/- 1/8 in", 1),
        ("28 1/4 in +/- 1 in", 1),
        ("27 in", 0),
        ("26 in +/- 1/8 in", 0),
        ("", 1),
    ] {
        std::fs::write(site.path("jobs/a.yaml"), high(height)).unwrap();
        assert_eq!(check(&site).code, code, "{height}");
    }
    std::fs::write(site.path("jobs/a.yaml"), high("29 in")).unwrap();
    check(&site).says("but not for this: beam.height of gate main / beam low misses by 3 in; agreed was 2 in +/- 0.125 in");
}

#[test]
fn a_miss_in_numbers_that_do_not_end_still_covers_its_own_finding() {
    // 850/3 mm over a limit in inches: kept with cut digits, and found again.
    let site =
        Site::new().with("rules/yard.rules", super::yard_but("beam.span / beam.offset at most 100", "beam.span / beam.offset at most 1/7"));
    let site = site.with("jobs/a.yaml", GOOD);
    assert_eq!(write(&site, &AGREED).code, 0);
    assert!(site.read("punch.yaml").contains("by: \"59.857142858\""), "{}", site.read("punch.yaml"));
    assert_eq!(check(&site).code, 0);
}

#[test]
fn a_marginal_reading_on_the_right_side_of_the_limit_is_listed_as_such() {
    let site = listed(&high("25 15/16 in +/- 1/8 in"));
    assert!(site.read("punch.yaml").contains("by: \"-0.0625 in +/- 0.125 in\""), "{}", site.read("punch.yaml"));
    for (height, code) in [("25 15/16 in +/- 1/8 in", 0), ("26 1/16 in +/- 1/8 in", 0), ("26 1/16 in", 1), ("26 1/8 in +/- 1/4 in", 1)] {
        std::fs::write(site.path("jobs/a.yaml"), high(height)).unwrap();
        assert_eq!(check(&site).code, code, "{height}");
    }
}

#[test]
fn a_list_among_the_jobs_is_no_job() {
    let site = Site::new().with("jobs/a.yaml", high("28 in"));
    let mut all = vec!["punch-list", "jobs", "--in", "jobs/punch.yaml", "--today", TODAY];
    all.extend(AGREED);
    for _ in 0..2 {
        let seen = site.run(&all);
        assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{seen}");
    }
    let seen = site.check(&["jobs", "--punch-list", "jobs/punch.yaml", "--write-pins", "jobs/pins.yaml"]);
    assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{seen}");
    let seen = site.check(&["jobs", "--punch-list", "jobs/punch.yaml", "--pins", "jobs/pins.yaml"]);
    assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{seen}");
}

#[test]
fn entries_survive_another_order_and_edits_of_other_things() {
    let second = "      - id: other\n        duty: vehicle\n        height: 30 in\n        offset: 4 in\n        span: 20 ft\n";
    let site = listed(&high("28 in"));
    let moved = high("28 in")
        .replace("    beams:\n", &format!("    beams:\n{second}"))
        .replace("title: Ferrule Yard\n", "\n\n# moved\ntitle: Other\n");
    std::fs::write(site.path("jobs/a.yaml"), moved).unwrap();
    assert_eq!(check(&site).code, 0, "{}", check(&site));
    // From another folder the list still means the same jobs.
    let seen = site.run_in("jobs", &["check", "a.yaml", "--punch-list", "../punch.yaml", "--today", TODAY]);
    assert_eq!(seen.code, 0, "{seen}");
}

#[test]
fn another_thing_clause_job_or_code_is_new() {
    let site = listed(&high("28 in"));
    for (from, to) in [("id: low", "id: lower"), ("id: main", "id: rear")] {
        std::fs::write(site.path("jobs/a.yaml"), high("28 in").replace(from, to)).unwrap();
        let seen = check(&site).says("unmatched-entry");
        assert_eq!(seen.code, 1, "{to}\n{seen}");
    }
    std::fs::write(site.path("jobs/a.yaml"), high("28 in").replace("span: 20 ft", "span: 200 ft")).unwrap();
    assert_eq!(check(&site).code, 1, "another section of the same beam");
    let site = listed(&high("28 in")).with("jobs/b.yaml", high("28 in"));
    assert_eq!(check(&site).code, 1, "the same in another job");
}

#[test]
fn an_entry_that_matches_nothing_is_told_and_taken_off() {
    let site = listed(&high("28 in"));
    std::fs::write(site.path("jobs/a.yaml"), GOOD).unwrap();
    site.expect(0, &["jobs", "--punch-list", "punch.yaml"])
        .says("punch.yaml:5:5: note unmatched-entry: nothing is found any more for yard/lens-height (a)");
    write(&site, &[]).says("0 kept, 0 added, 1 taken off");
    assert!(site.read("punch.yaml").ends_with("entries: []\n"), "{}", site.read("punch.yaml"));
    check(&site).keeps_quiet_of("unmatched-entry");
}

#[test]
fn an_entry_of_a_job_that_is_gone_or_called_otherwise_is_told() {
    let site = listed(&high("28 in"));
    // The job has another name now: its finding is new, and the entry says so for itself.
    std::fs::rename(site.path("jobs/a.yaml"), site.path("jobs/b.yaml")).unwrap();
    let seen = site.expect(1, &["jobs", "--punch-list", "punch.yaml"]).says("unmatched-entry");
    seen.says("there is no such job any more: yard/lens-height (a) of gate main / beam low in jobs/a.yaml");
    // A name that leads to the job and is not the list's own covers nothing, and is told with the right one.
    std::fs::rename(site.path("jobs/b.yaml"), site.path("jobs/a.yaml")).unwrap();
    let list = site.read("punch.yaml");
    for other in ["./jobs/a.yaml", "jobs/../jobs/a.yaml"] {
        std::fs::write(site.path("punch.yaml"), list.replace("\"jobs/a.yaml\"", &format!("\"{other}\""))).unwrap();
        let seen = check(&site).says("name the job from the list's folder: `jobs/a.yaml`");
        assert_eq!(seen.code, 1, "{other}\n{seen}");
    }
    // Of a job that is there and was not looked at nothing is said.
    std::fs::write(site.path("punch.yaml"), list).unwrap();
    let site = site.with("jobs/c.yaml", GOOD);
    site.check(&["jobs/c.yaml", "--punch-list", "punch.yaml"]).keeps_quiet_of("unmatched-entry");
}

#[test]
fn a_job_of_a_stream_has_its_entries_whether_it_is_a_file_or_not() {
    let site = listed(&high("28 in"));
    let stream = serde_json::json!({"name": "jobs/a.yaml", "text": high("28 in")}).to_string();
    let check = |folder: &str, list: &str| {
        let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
        command.current_dir(site.path(folder)).args(["check", "-", "--today", TODAY, "--as", "plain", "--punch-list", list]);
        Seen::of(&command.write_stdin(stream.as_str()).output().unwrap())
    };
    assert_eq!(check("", "punch.yaml").code, 0);
    std::fs::remove_file(site.path("jobs/a.yaml")).unwrap();
    let seen = check("", "punch.yaml").says("on the punch list: 1 not met");
    assert_eq!(seen.code, 0, "{seen}");
    let seen = check("jobs", "../punch.yaml").keeps_quiet_of("on the punch list: 1");
    assert_eq!(seen.code, 1, "named from another folder it is another job\n{seen}");
}

#[test]
fn an_overdue_entry_hides_nothing() {
    let site = listed(&high("28 in"));
    let on = |day: &str| site.run(&["check", "jobs", "--punch-list", "punch.yaml", "--today", day, "--as", "plain"]);
    assert_eq!(on("2026-06-01").code, 0);
    let seen = on("2026-06-02").says("overdue since 2026-06-01").says("overdue-entry");
    assert_eq!(seen.code, 1, "{seen}");
    // Written anew it stays until somebody agrees upon another day.
    let late = ["punch-list", "jobs", "--in", "punch.yaml", "--today", "2026-06-02"];
    site.run(&late).says("0 kept, 0 added, 0 taken off; findings that it does not cover: 1");
    assert!(site.read("punch.yaml").contains("due: 2026-06-01"));
    let again: Vec<&str> = late.iter().copied().chain(["--reason", "Late", "--owner", "Crew", "--due", "2026-07-01"]).collect();
    site.run(&again).says("0 kept, 1 added");
    assert_eq!(on("2026-06-02").code, 0);
}

#[test]
fn the_list_remembers_what_has_become_better() {
    let site = listed(&high("28 in"));
    std::fs::write(site.path("jobs/a.yaml"), high("27 in")).unwrap();
    write(&site, &[]).says("1 kept, 0 added, 0 taken off");
    std::fs::write(site.path("jobs/a.yaml"), high("28 in")).unwrap();
    assert_eq!(check(&site).code, 1);
}

#[test]
fn without_an_agreement_nothing_is_added() {
    let site = Site::new().with("jobs/a.yaml", high("28 in"));
    write(&site, &[]).says("0 kept, 0 added, 0 taken off; findings that it does not cover: 1");
    assert_eq!(check(&site).code, 1);
    for some in [&AGREED[..2], &AGREED[2..4], &AGREED[..4]] {
        assert_eq!(write(&site, some).code, 2, "{some:?}");
    }
    for (at, wrong) in [(1, " "), (3, ""), (5, "2026-03-31"), (5, "soon")] {
        let mut more = AGREED;
        more[at] = wrong;
        assert_eq!(write(&site, &more).code, 2, "{more:?}");
    }
}

#[test]
fn entries_of_jobs_that_were_not_looked_at_stay() {
    let site = Site::new().with("jobs/a.yaml", high("28 in")).with("jobs/b.yaml", high("29 in"));
    assert_eq!(write(&site, &AGREED).code, 0);
    let one = ["punch-list", "jobs/a.yaml", "--in", "punch.yaml", "--today", TODAY];
    site.run(&one).says("2 kept");
    site.check(&["jobs/a.yaml", "--punch-list", "punch.yaml"]).keeps_quiet_of("unmatched-entry");
    // A job that cannot be read says nothing of what is found in it.
    std::fs::write(site.path("jobs/b.yaml"), "codes: [yard\n").unwrap();
    let seen = write(&site, &[]).says("2 kept");
    assert_eq!(seen.code, 2, "{seen}");
    std::fs::remove_file(site.path("jobs/b.yaml")).unwrap();
    write(&site, &[]).says("1 kept, 0 added, 1 taken off");
}

#[test]
fn a_missing_fact_is_listed_by_what_is_missing() {
    let site = listed(&high(""));
    assert!(site.read("punch.yaml").contains("verdict: open\n    lacks:\n      - \"beam.height of gate main / beam low\""));
    site.expect(0, &["jobs", "--punch-list", "punch.yaml"]).says("on the punch list: 1 open");
    for (job, code) in
        [(high("28 in"), 1), (high("26 in +/- 1 in"), 1), (high("").replace("        duty: entrapment\n", ""), 1), (GOOD.into(), 0)]
    {
        std::fs::write(site.path("jobs/a.yaml"), job).unwrap();
        assert_eq!(check(&site).code, code, "{}", check(&site));
    }
}

#[test]
fn what_could_not_be_judged_is_never_listed() {
    let site = Site::new().with("jobs/a.yaml", good_but("offset: 4 in", "offset: 0 in").replace("24 in", "28 in"));
    assert_eq!(write(&site, &AGREED).says("could not be judged").code, 2);
    assert_eq!(site.read("punch.yaml").matches("- job:").count(), 1);
    assert_eq!(check(&site).code, 2);
    std::fs::write(site.path("jobs/a.yaml"), high("28 in").replace("offset:", "ofset:")).unwrap();
    assert_eq!(check(&site).code, 2);
}

#[test]
fn a_malformed_list_is_told_at_its_line_and_hides_nothing() {
    let site = listed(&high("28 in"));
    let list = site.read("punch.yaml");
    for (from, to, says) in [
        ("punch-list: 1", "punch-list: 2", "unknown-version"),
        ("entries:", "entrys:", "unknown-key"),
        ("    owner:", "    owns:", "punch.yaml:14:5: slip unknown-key: no key `owns` here; known here: job, "),
        ("\"Field crew 2\"", "\"\"", "malformed-entry"),
        ("\"New posts are on order\"", "[]", "malformed-entry"),
        ("    due: 2026-06-01\n", "", "an entry without `due`"),
        ("due: 2026-06-01", "due: 2026-06", "no whole day"),
        ("due: 2026-06-01", "due: 2025-06-01", "due before it was agreed"),
        ("by: \"2 in\"", "by: \"2 hands\"", "no unit `hands`"),
        ("by: \"2 in\"", "by: \"two\"", "malformed-entry"),
        ("verdict: not met", "verdict: unanswered", "no verdict that can be listed"),
        ("clause: \"a\"", "clause: \"(a)\"", "no letter of a clause"),
        ("entries:\n", "entries:\n  - 3\n", "malformed-entry"),
        ("      - {what:", "      x: {what:", "`misses` is no list"),
        ("    reason:", "    lacks: all\n    reason:", "`lacks` is no list"),
        ("entries:\n", "entries: some\nrest:\n", "unknown-key"),
        ("job:", "job: job:", "not-yaml"),
    ] {
        assert!(list.contains(from), "{from} is not in\n{list}");
        std::fs::write(site.path("punch.yaml"), list.replacen(from, to, 1)).unwrap();
        let seen = check(&site).says(says).says("not met: yard/lens-height (a)");
        assert_eq!(seen.code, 2, "{to}\n{seen}");
        let kept = site.read("punch.yaml");
        let seen = write(&site, &AGREED).says("the list stays as it is");
        assert_eq!((seen.code, site.read("punch.yaml")), (2, kept), "{to}");
    }
    for text in ["", "# nothing\n", "- a\n"] {
        std::fs::write(site.path("punch.yaml"), text).unwrap();
        assert_eq!(check(&site).code, 2, "{text:?}");
    }
    let entry = &list[list.find("  - job").unwrap()..];
    std::fs::write(site.path("punch.yaml"), format!("{list}{entry}")).unwrap();
    assert_eq!(check(&site).says("doubled-entry").code, 2);
}

#[test]
fn a_good_entry_counts_beside_a_malformed_one() {
    let site = listed(&high("28 in"));
    let list = site.read("punch.yaml");
    std::fs::write(site.path("punch.yaml"), format!("{list}  - job: \"x\"\n")).unwrap();
    let seen = check(&site).says("on the punch list until");
    assert_eq!(seen.code, 2, "{seen}");
}

#[test]
fn a_list_that_cannot_be_read_or_must_not_be_written() {
    let site = listed(&high("28 in")).with_folder("folder").with_pipe("pipe");
    for list in ["gone.yaml", "folder", "pipe"] {
        let seen = site.check(&["jobs", "--punch-list", list]);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{list}\n{seen}");
    }
    assert_eq!(site.run(&["punch-list", "jobs", "gone", "--in", "new.yaml"]).code, 2);
    assert!(!site.path("new.yaml").exists(), "a list of a run that could not look at everything");
    for list in ["folder", "pipe", "jobs/a.yaml", "gone/punch.yaml"] {
        let mut all = vec!["punch-list", "jobs/a.yaml", "--in", list, "--today", TODAY];
        all.extend(AGREED);
        assert_eq!(site.run(&all).code, 2, "{list}");
    }
    assert_eq!(site.read("jobs/a.yaml"), high("28 in"));
    let seen = site.check(&["jobs", "--punch-list", "punch.yaml", "--out", "punch.yaml"]);
    assert_eq!(seen.code, 2, "{seen}");
    assert!(site.read("punch.yaml").contains("entries:"));
}

#[test]
fn the_same_run_writes_the_same_list() {
    let site = (0..20).fold(Site::new(), |site, number| site.with(format!("jobs/{number}.yaml"), high("28 in")));
    write(&site, &AGREED);
    let first = site.read("punch.yaml");
    write(&site, &["--threads", "1"]);
    assert_eq!(site.read("punch.yaml"), first);
}

#[test]
fn names_of_any_kind_are_kept_and_found_again() {
    let id = "a \\\"b\\\": #|<]]>`\\u202e\\x1b\\\\ é 漢";
    let site = listed(&high("28 in").replace("id: low", &format!("id: \"{id}\"")));
    super::assert_harmless(&site.read("punch.yaml"));
    assert_eq!(check(&site).code, 0, "{}\n{}", check(&site), site.read("punch.yaml"));
}
