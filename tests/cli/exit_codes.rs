//! The exit-code matrix: one row a state of affairs, judged in every view. A code is the same in every view, and the highest wins.

use super::{GOOD, Site, YARD, good_but, yard_but};

/// What is judged, its job file, more arguments, the code.
type Row = (&'static str, String, &'static [&'static str], i32);

fn judged() -> Vec<Row> {
    let expired = good_but("gates:", &variance("2025-12-31")).replace("24 in", "28 in");
    let in_force = good_but("gates:", &variance("2027-12-31")).replace("24 in", "28 in");
    let unfinished: &[&str] = &["--unfinished"];
    vec![
        ("clean", GOOD.into(), &[], 0),
        ("clean, while a survey is going on", GOOD.into(), unfinished, 0),
        ("not met", good_but("24 in", "28 in"), &[], 1),
        ("not met, while a survey is going on", good_but("24 in", "28 in"), unfinished, 1),
        ("marginal", good_but("24 in", "26 in +/- 1/8 in"), &[], 1),
        ("marginal, while a survey is going on", good_but("24 in", "26 in +/- 1/8 in"), unfinished, 1),
        ("open", good_but("height: 24 in", "height:"), &[], 1),
        ("open, while a survey is going on", good_but("height: 24 in", "height:"), unfinished, 0),
        ("open and not met, while a survey is going on", good_but("height: 24 in", "height:").replace("20 ft", "90 ft"), unfinished, 1),
        ("unanswered", good_but("offset: 4 in", "offset: 0 in"), &[], 2),
        ("unanswered, while a survey is going on", good_but("offset: 4 in", "offset: 0 in"), unfinished, 2),
        ("excepted", good_but("height: 24 in", "height: 28 in\n        coded: yes"), &[], 0),
        ("excused by a variance", in_force, &[], 0),
        ("a variance that has expired", expired, &[], 1),
        ("recommended: not met", good_but("offset: 4 in", "offset: 8 in"), &[], 0),
        ("recommended: marginal", good_but("offset: 4 in", "offset: 6 in +/- 1/8 in"), &[], 0),
        ("nothing to judge", GOOD.split("  - id").next().unwrap().replace("gates:", "gates: none"), &[], 2),
        ("code not in force", good_but("2026-03-02", "2025-03-02"), &[], 2),
        ("code not in force, while a survey is going on", good_but("2026-03-02", "2025-03-02"), unfinished, 2),
        ("nobody knows whether the code is in force", good_but("2026-03-02", "").replace("24 in", "28 in"), &[], 1),
        ("the first day of the code", good_but("2026-03-02", "2026-01-01"), &[], 0),
        ("a year in which the code came into force before", good_but("2026-03-02", "2026"), &[], 0),
        ("a code that nobody has", good_but("[yard]", "[yard, town-of-nowhere]"), &[], 2),
        ("no codes", good_but("codes: [yard]\n", ""), &[], 2),
        ("YAML that is none", good_but("gates:", "gates: ["), &[], 2),
        ("a slip in the job: an unknown key", good_but("offset:", "ofset:"), &[], 2),
        ("a slip in the job: a missing unit", good_but("24 in", "24"), &[], 2),
        ("a slip in the job: another kind of unit", good_but("24 in", "24 lb"), &[], 2),
    ]
}

fn variance(expires: &str) -> String {
    format!(
        "variances:
  - id: letter
    section: yard/lens-height
    thing: low
    authority: Hasp County
    reference: letter 12
    reason: the kerb keeps people away
    granted: 2025-02-01
    expires: {expires}
    allows: beam.height at most 32 in
gates:"
    )
}

#[test]
fn every_state_of_a_job_has_its_code_in_every_view() {
    for (what, job, more, code) in judged() {
        let site = Site::new().with("job.yaml", &job);
        for view in super::VIEWS {
            let seen = site.view(view, &[&["job.yaml"], more].concat());
            assert_eq!(seen.code, code, "{what}, {view}\n{job}\n{seen}");
        }
    }
}

#[test]
fn what_could_be_judged_is_printed_beside_slips() {
    let job = good_but("24 in", "28 in").replace("duty:", "colour: red\n        duty:");
    Site::new().with("job.yaml", job).expect(2, &["job.yaml"]).says("unknown-key").says("not met: yard/lens-height (a)");
}

#[test]
fn the_highest_code_of_a_run_wins() {
    let site = Site::new().with("a.yaml", GOOD).with("b.yaml", good_but("24 in", "28 in")).with("c.yaml", good_but("24 in", "24"));
    site.expect(0, &["a.yaml"]);
    site.expect(1, &["a.yaml", "b.yaml"]);
    site.expect(1, &["b.yaml", "a.yaml"]);
    site.expect(2, &["a.yaml", "c.yaml", "b.yaml"]);
    site.expect(2, &["."]);
}

#[test]
fn a_recommended_clause_that_cannot_be_computed_changes_no_code() {
    let pack = yard_but("shall   beam.span / beam.offset", "should  beam.span / beam.offset");
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", good_but("offset: 4 in", "offset: 0 in"));
    site.expect(0, &["job.yaml"]).says("unanswered (recommended)");
}

#[test]
fn slips_of_a_pack_stop_its_jobs() {
    let site = Site::empty().with("rules/yard.rules", yard_but("at most 26 in", "at most 26 lb")).with("job.yaml", GOOD);
    site.expect(2, &["job.yaml"]).says("rules/yard.rules:12:").says("could not be judged");
    site.expect(2, &["rules/yard.rules"]).says("rules/yard.rules:12:");
    site.expect(2, &["rules"]);
}

#[test]
fn a_pack_without_a_vocabulary_has_a_slip() {
    let site = Site::empty().with("rules/yard.rules", yard_but("  adopts     terms\n", "")).with("job.yaml", GOOD);
    site.expect(2, &["rules/yard.rules"]).says("no-vocabulary");
    site.expect(2, &["job.yaml"]).says("no-vocabulary");
}

#[test]
fn a_pack_by_itself_is_clean_or_not() {
    let site = Site::new();
    site.expect(0, &["rules/yard.rules"]).says("has no slips");
    site.expect(0, &["rules"]);
    site.expect(0, &["."]);
}

#[test]
fn files_that_cannot_be_read_are_told_and_the_others_judged() {
    let sparse = |site: &Site, name: &str| std::fs::File::create(site.path(name)).unwrap().set_len(5 << 30).unwrap();
    let site = Site::new().with("good.yaml", GOOD).with_pipe("pipe.yaml").with("bytes.yaml", b"title: \xff\xfe\n").with_folder("empty");
    sparse(&site, "huge.yaml");
    let wide: Vec<u8> = GOOD.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let site = site.with("wide.yaml", wide);
    for name in ["pipe.yaml", "bytes.yaml", "huge.yaml", "wide.yaml", "not-there.yaml", "not/there.yaml", "empty"] {
        site.expect(2, &[name]).says(name);
        if name != "empty" {
            site.expect(2, &[name, "good.yaml"]).says("good.yaml: outcome: every mandatory clause").says(name);
            site.expect(2, &["good.yaml", name]).says("good.yaml: outcome: every mandatory clause").says(name);
        }
    }
    site.expect(2, &["."]).says("good.yaml: outcome: every mandatory clause").says("huge.yaml").says("pipe.yaml").says("bytes.yaml");
}

#[test]
fn every_path_asked_for_holds_something() {
    let site = Site::new().with("good.yaml", GOOD).with_folder("empty").with("other/settings.yaml", "a: 1\n");
    site.expect(2, &["empty", "good.yaml"]).says("empty");
    site.expect(2, &["good.yaml", "other"]).says("other");
}

#[test]
fn a_device_that_never_ends_is_no_job() {
    let site = Site::new();
    for device in ["/dev/zero", "/dev/null"] {
        site.expect(2, &[device]).says(device);
    }
}

#[test]
fn folders_without_a_job_are_no_pass() {
    let site =
        Site::empty().with_folder("empty/more").with("other/settings.yaml", "colour: red\nsizes: [1, 2]\n").with("text/notes.txt", "gates");
    site.expect(2, &["empty"]).says("no job");
    site.expect(2, &["other"]).says("no job");
    site.expect(2, &["text"]).says("no job");
    site.expect(2, &["empty", "other", "text"]).says("no job");
}

#[test]
fn wrong_usage() {
    let site = Site::new().with("job.yaml", GOOD);
    let wrong: [&[&str]; 12] = [
        &[],
        &["check"],
        &["chekc", "job.yaml"],
        &["check", "job.yaml", "--frobnicate"],
        &["check", "job.yaml", "--as", "poem"],
        &["check", "job.yaml", "--threads", "many"],
        &["check", "job.yaml", "--threads", "-1"],
        &["check", "job.yaml", "--packs", "not-there"],
        &["check", "job.yaml", "--out", ""],
        &["check", "job.yaml", "--out"],
        &["check", "job.yaml", "--colour", "red"],
        &["schema", "poem"],
    ];
    for arguments in wrong {
        let seen = site.run(arguments);
        assert_eq!(seen.code, 2, "{arguments:?}\n{seen}");
        assert!(seen.out.is_empty() && !seen.err.is_empty(), "{arguments:?}\n{seen}");
    }
    for day in ["2026-02-30", "2026-13-01", "2026-4-1", "tomorrow", "2026", "01/04/2026", ""] {
        let seen = site.run(&["check", "job.yaml", "--today", day]);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{day}\n{seen}");
        seen.says("--today");
    }
    for (day, hint) in
        [("2026-4-1", "2026-04-01"), ("01/04/2026", "is not guessed"), ("2026", "one day is wanted"), ("2026-02-30", "calendar")]
    {
        site.run(&["check", "job.yaml", "--today", day]).says(hint);
        site.run(&["survey", "--kind", "swing", "--codes", "yard", "--permit-date", day]).says(hint);
    }
}

#[test]
fn asking_for_help_or_the_version_is_no_failure() {
    let site = Site::empty();
    for arguments in [&["--help"][..], &["-h"], &["--version"], &["check", "--help"], &["schema", "--help"], &["schema", "lines"]] {
        let seen = site.run(arguments);
        assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{arguments:?}\n{seen}");
        assert!(!seen.out.is_empty(), "{arguments:?}");
    }
}

#[test]
fn the_day_of_judging_decides_what_is_in_force() {
    let pack = YARD.replace("by job.permit-date", "by job.today");
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", GOOD);
    let before =
        site.run(&["check", "job.yaml", "--today", "2025-12-31"]).says("not in force for this job: yard (in force from 2026-01-01)");
    assert_eq!(before.code, 2);
    assert_eq!(site.run(&["check", "job.yaml", "--today", "2026-01-01"]).code, 0);
}
