//! Folders of jobs: the same bytes whatever the threads and the order on the disk, each file once, and nothing in a folder that
//! hangs or is entered twice.

use super::{GOOD, Site, VIEWS, good_but, lines};

/// How many jobs have been reported on.
fn jobs_in(site: &Site, arguments: &[&str]) -> Vec<String> {
    let seen = site.view("lines", arguments);
    let records = lines::records(&seen);
    records.iter().filter(|record| record["kind"] == "job").map(|record| record["file"].as_str().unwrap().to_string()).collect()
}

/// More jobs than are judged in one go, in folders within folders; every seventh is not met, every eleventh has a slip.
fn many(site: Site, order: impl Iterator<Item = usize>) -> Site {
    order.fold(site, |site, number| {
        let job = match number {
            _ if number % 7 == 0 => good_but("24 in", &format!("{} in", 27 + number)),
            _ if number % 11 == 0 => good_but("24 in", "24"),
            _ => good_but("Ferrule Yard", &format!("Yard {number}")),
        };
        site.with(format!("jobs/{}/{}/job-{number}.yaml", number % 3, number % 5), job)
    })
}

#[test]
fn the_same_bytes_whatever_the_threads_and_the_order_on_the_disk() {
    let count = 300;
    let forward = many(Site::new(), 0..count);
    // A step that shares no factor with the count visits every number once.
    let shuffled = many(Site::new(), (0..count).map(|number| number * 139 % count));
    for view in VIEWS {
        let first = forward.view(view, &["jobs", "--threads", "1"]);
        assert_eq!(first.code, 2);
        // The summary is of one page, whatever the number of jobs.
        assert!(view == "summary" || first.out.contains("job-299.yaml"));
        for threads in ["2", "8", "0"] {
            assert_eq!(first, forward.view(view, &["jobs", "--threads", threads]), "{view}, {threads} threads");
        }
        assert_eq!(first, forward.view(view, &["jobs"]), "{view}, as many threads as there are cores");
        assert_eq!(first, shuffled.view(view, &["jobs", "--threads", "2"]), "{view}, made in another order");
    }
}

#[test]
fn the_same_bytes_whatever_the_surroundings() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in"));
    for view in VIEWS {
        let run = |sets: &[(&str, &str)]| {
            let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
            command.current_dir(site.path("")).args(["check", "job.yaml", "--today", super::TODAY, "--as", view]);
            super::Seen::of(&command.envs(sets.iter().copied()).output().unwrap())
        };
        let first = run(&[]);
        let surroundings: [&[(&str, &str)]; 6] = [
            &[("LANG", "de_DE.UTF-8"), ("LC_ALL", "tr_TR.UTF-8")],
            &[("TZ", "Pacific/Kiritimati")],
            &[("COLUMNS", "20")],
            &[("TERM", "dumb")],
            &[("NO_COLOR", "1")],
            &[("HOME", "/nowhere"), ("XDG_CACHE_HOME", "/nowhere")],
        ];
        for sets in surroundings {
            assert_eq!(first, run(sets), "{view}, {sets:?}");
        }
    }
}

#[test]
fn the_order_is_as_given_and_by_name_within_a_folder() {
    let site = Site::new()
        .with("b.yaml", GOOD)
        .with("a.yaml", GOOD)
        .with("jobs/z.yaml", GOOD)
        .with("jobs/m/q.yaml", GOOD)
        .with("jobs/c.yml", GOOD);
    assert_eq!(jobs_in(&site, &["b.yaml", "jobs", "a.yaml"]), ["b.yaml", "jobs/c.yml", "jobs/m/q.yaml", "jobs/z.yaml", "a.yaml"]);
}

#[test]
fn a_file_that_is_named_twice_is_judged_once() {
    let site = Site::new().with("jobs/job.yaml", GOOD).with_link("jobs/link.yaml", "job.yaml").with_link("other", "jobs");
    let whole = site.path("jobs/job.yaml");
    for arguments in [
        &["jobs/job.yaml", "jobs/job.yaml"][..],
        &["jobs/job.yaml", "./jobs/../jobs//job.yaml"],
        &["jobs/job.yaml", whole.to_str().unwrap()],
        &["jobs", "jobs/job.yaml"],
        &["jobs", "jobs"],
        &["jobs", "."],
        &["jobs/job.yaml", "jobs/link.yaml"],
        &["jobs/link.yaml", "jobs"],
        &["other", "jobs"],
    ] {
        assert_eq!(jobs_in(&site, arguments).len(), 1, "{arguments:?}");
    }
}

#[test]
fn a_pack_that_is_named_twice_is_checked_once() {
    let site = Site::new();
    let seen = site.check(&["rules", "rules/yard.rules", "."]);
    assert_eq!(seen.out.matches("has no slips").count(), 1, "{seen}");
}

#[test]
fn a_maze_of_links_is_not_entered() {
    let mut site = Site::new().with("jobs/job.yaml", GOOD);
    // Followed, these links would give thousands of millions of paths.
    for number in 0..6 {
        site = site.with_folder(&format!("jobs/room-{number}"));
        for door in 0..6 {
            site = site.with_link(&format!("jobs/room-{number}/door-{door}"), &format!("../room-{door}"));
        }
        site = site.with_link(&format!("jobs/room-{number}/up"), "../..").with_link(&format!("jobs/room-{number}/self"), ".");
    }
    let site = site.with_link("jobs/round", "round").with("outside/job.yaml", GOOD).with_link("jobs/out", "../outside");
    assert_eq!(jobs_in(&site, &["jobs"]), ["jobs/job.yaml"]);
}

#[test]
fn links_that_lead_nowhere_are_told() {
    let site = Site::new().with("jobs/job.yaml", GOOD).with_link("jobs/lost.yaml", "gone.yaml").with_link("jobs/round.yaml", "round.yaml");
    site.expect(2, &["jobs"]).says("lost.yaml").says("round.yaml").says("job.yaml: outcome: every mandatory clause");
}

#[test]
fn pipes_and_folders_with_the_name_of_a_job_do_not_hang() {
    let site = Site::new().with("jobs/job.yaml", GOOD).with_pipe("jobs/pipe.yaml").with("jobs/folder.yaml/within.yaml", GOOD);
    let seen = site.expect(2, &["jobs"]);
    let seen = seen.says("pipe.yaml").says("jobs/folder.yaml/within.yaml: outcome: every mandatory clause");
    seen.says("jobs/job.yaml: outcome: every mandatory clause");
    // A pipe is no pack either.
    let site = Site::new().with("jobs/job.yaml", GOOD).with_pipe("jobs/pipe.rules").with_pipe("rules/more.rules");
    assert_eq!(site.check(&["jobs"]).code, 0);
    site.expect(2, &["rules/more.rules"]);
}

#[test]
fn hidden_files_and_folders_are_passed_over_unless_named() {
    let bad = good_but("24 in", "90 in");
    let site = Site::new()
        .with("jobs/job.yaml", GOOD)
        .with("jobs/.hidden.yaml", &bad)
        .with("jobs/.git/config.yaml", &bad)
        .with(".jobs/job.yaml", &bad);
    assert_eq!(jobs_in(&site, &["jobs"]), ["jobs/job.yaml"]);
    assert_eq!(jobs_in(&site, &["."]), ["./jobs/job.yaml"]);
    site.expect(1, &["jobs/.hidden.yaml"]);
    assert_eq!(jobs_in(&site, &[".jobs"]), [".jobs/job.yaml"]);
    assert_eq!(jobs_in(&site, &["jobs/.git"]), ["jobs/.git/config.yaml"]);
}

#[test]
fn the_end_of_a_name_may_be_in_capitals() {
    let site = Site::new().with("jobs/job.yaml", GOOD).with("jobs/OTHER.YAML", good_but("24 in", "90 in"));
    site.expect(1, &["jobs"]).says("OTHER.YAML");
}

#[test]
fn a_job_may_have_any_name_when_it_is_named() {
    let site = Site::new().with("survey", GOOD).with("survey.txt", GOOD).with("--survey", GOOD).with(" ", GOOD).with("gäte 🚧.yaml", GOOD);
    assert_eq!(jobs_in(&site, &["survey", "survey.txt", " ", "gäte 🚧.yaml", "./--survey"]).len(), 5);
    assert_eq!(jobs_in(&site, &["--", "--survey"]), ["--survey"]);
}

#[test]
fn a_pack_beside_jobs_is_checked_once_and_the_jobs_by_it() {
    let site = Site::new().with("jobs/job.yaml", GOOD);
    let seen = site.expect(0, &["."]);
    seen.says("./rules/yard.rules: yard 2026").says("./jobs/job.yaml: outcome: every mandatory clause");
}

#[test]
fn names_that_are_no_text_stay_apart() {
    use std::os::unix::ffi::OsStrExt;
    let name = |byte: u8| [b"job-".as_slice(), &[byte], b".yaml"].concat();
    let site = [0xfe, 0xff].into_iter().fold(Site::new(), |site, byte| site.with(std::ffi::OsStr::from_bytes(&name(byte)), GOOD));
    for view in VIEWS {
        let seen = site.view(view, &["."]);
        assert_eq!(seen.code, 0, "{seen}");
    }
    assert_eq!(jobs_in(&site, &["."]).len(), 2);
}

#[test]
fn names_that_are_no_text_are_shown_apart() {
    use std::os::unix::ffi::OsStrExt;
    let name = |byte: u8| [b"job-".as_slice(), &[byte], b".yaml"].concat();
    let site = [0xfe, 0xff].into_iter().fold(Site::new(), |site, byte| site.with(std::ffi::OsStr::from_bytes(&name(byte)), GOOD));
    let jobs = jobs_in(&site, &["."]);
    assert_ne!(jobs[0], jobs[1]);
}

#[test]
fn a_thousand_folders_deep() {
    let deep = "d/".repeat(500);
    let site = Site::new().with(format!("jobs/{deep}job.yaml"), GOOD);
    assert_eq!(jobs_in(&site, &["jobs"]).len(), 1);
}

#[test]
fn a_linked_folder_and_a_hidden_job_are_told() {
    let site = Site::new()
        .with("jobs/a.yaml", GOOD)
        .with("jobs/.b.yaml", GOOD)
        .with("jobs/.git/c.yaml", GOOD)
        .with("elsewhere/d.yaml", good_but("24 in", "28 in"))
        .with_link("jobs/linked", "../elsewhere");
    let seen = site.view("plain", &["jobs"]);
    assert_eq!(seen.code, 0, "{seen}");
    let seen = seen.says("jobs/.b.yaml, jobs/linked: not looked at");
    assert!(!seen.err.contains(".git"), "{seen}");
}
