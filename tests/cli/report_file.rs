//! `--out`: the report is complete or not there, an older one stays until then, and no input is ever written over.

use super::{GOOD, Site, TODAY, VIEWS, YARD, good_but, lines};
use std::process::{Command, Stdio};
use std::time::Duration;

/// The folder holds nothing but what was there, and the report.
#[track_caller]
fn only(site: &Site, names: &[&str]) {
    assert_eq!(site.names("."), names, "something was left behind");
}

#[test]
fn a_report_file_holds_what_standard_output_would() {
    for (job, code) in [(GOOD.to_string(), 0), (good_but("24 in", "28 in"), 1), (good_but("24 in", "24"), 2)] {
        let site = Site::new().with("job.yaml", job);
        for view in VIEWS {
            let shown = site.view(view, &["job.yaml"]);
            let kept = site.view(view, &["job.yaml", "--out", "report"]);
            assert_eq!((kept.code, kept.out.as_str()), (code, ""), "{view}\n{kept}");
            assert_eq!(site.read("report"), shown.out, "{view}");
        }
        only(&site, &["job.yaml", "report", "rules"]);
    }
}

#[test]
fn colour_never_reaches_a_report_file() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in"));
    site.view("text", &["job.yaml", "--out", "report", "--colour", "always"]);
    super::assert_harmless(&site.read("report"));
}

#[test]
fn a_report_is_written_beside_files_that_are_missing() {
    let site = Site::new().with("job.yaml", GOOD);
    let seen = site.view("lines", &["job.yaml", "gone.yaml", "--out", "report"]);
    assert_eq!(seen.code, 2);
    assert!(site.read("report").ends_with("\"exit\":2}\n"), "{}", site.read("report"));
}

#[test]
fn a_report_that_cannot_be_written() {
    let site = Site::new().with("job.yaml", GOOD).with("file", "x").with_folder("folder").with_link("to-folder", "folder");
    for out in ["gone/report", "file/report", "folder", "to-folder", ".", ".."] {
        for view in VIEWS {
            let seen = site.view(view, &["job.yaml", "--out", out]);
            assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{view} {out}\n{seen}");
            seen.says(out);
        }
    }
    only(&site, &["file", "folder", "job.yaml", "rules", "to-folder"]);
    assert_eq!(site.names("folder"), [""; 0]);
    assert_eq!(site.read("file"), "x");
}

#[test]
fn a_full_disk_leaves_the_older_report() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in")).with("report", "the older one");
    for view in VIEWS {
        // No file may grow; the signal that the shell ignores would end the program instead of the write.
        let script = format!("trap '' XFSZ; ulimit -f 0; exec \"$0\" check job.yaml --today {TODAY} --as {view} --out report");
        let done = Command::new("sh").args(["-c", &script, env!("CARGO_BIN_EXE_pintle")]).current_dir(site.path("")).output().unwrap();
        assert_eq!(done.status.code(), Some(2), "{view}: {}", String::from_utf8_lossy(&done.stderr));
        assert!(String::from_utf8_lossy(&done.stderr).contains("report"), "{view}");
        assert_eq!(site.read("report"), "the older one", "{view}");
        only(&site, &["job.yaml", "report", "rules"]);
    }
}

#[test]
fn a_full_disk_leaves_the_older_list_and_pins() {
    let site = Site::new().with("jobs/a.yaml", good_but("24 in", "28 in"));
    let list = format!("punch-list jobs --in list --today {TODAY} --reason ordered --owner crew --due 2026-06-01");
    let pins = format!("check jobs --today {TODAY} --as plain --write-pins pins");
    for (call, name) in [(list, "list"), (pins, "pins")] {
        assert!(site.run(&call.split(' ').collect::<Vec<_>>()).code < 2, "{call}");
        let older = site.read(name);
        std::fs::write(site.path("jobs/a.yaml"), good_but("24 in", "29 in")).unwrap();
        std::fs::write(site.path("rules/yard.rules"), super::yard_but("26 in", "25 in")).unwrap();
        let script = format!("trap '' XFSZ; ulimit -f 0; exec \"$0\" {call}");
        let done = Command::new("sh").args(["-c", &script, env!("CARGO_BIN_EXE_pintle")]).current_dir(site.path("")).output().unwrap();
        assert_eq!(done.status.code(), Some(2), "{call}: {}", String::from_utf8_lossy(&done.stderr));
        assert_eq!(site.read(name), older, "{call}");
    }
    only(&site, &["jobs", "list", "pins", "rules"]);
}

/// What a run that nobody interrupts reports.
fn whole(jobs: &Site, view: &str) -> String {
    jobs.view(view, &["jobs"]).out
}

#[test]
fn a_run_that_is_interrupted_leaves_the_older_report_and_is_no_pass() {
    let jobs = (0..400).fold(Site::new(), |site, number| site.with(format!("jobs/{number}.yaml"), GOOD));
    std::fs::write(jobs.path("report"), "the older one").unwrap();
    for view in VIEWS {
        let mut run = Command::new(env!("CARGO_BIN_EXE_pintle"));
        run.args(["check", "jobs", "--today", TODAY, "--as", view, "--out", "report"]).current_dir(jobs.path("")).stderr(Stdio::null());
        let mut run = run.spawn().unwrap();
        std::thread::sleep(Duration::from_millis(30));
        let sent = Command::new("kill").args(["-INT", &run.id().to_string()]).status().unwrap();
        let ended = run.wait().unwrap();
        // Where the run was already over, the report is whole and the code is that of a run.
        if jobs.read("report") == "the older one" {
            assert!(sent.success() && ended.code() != Some(0), "{view}: {ended:?}");
        } else {
            // Interrupted after the report had taken its place, a run ends without a code.
            assert!(matches!(ended.code(), Some(0) | None), "{view}: {ended:?}");
            assert_eq!(jobs.read("report"), whole(&jobs, view), "{view}: the report is not whole");
            std::fs::write(jobs.path("report"), "the older one").unwrap();
        }
    }
}

#[test]
fn a_run_that_is_killed_leaves_the_older_report_or_the_whole_new_one() {
    let jobs = (0..400).fold(Site::new(), |site, number| site.with(format!("jobs/{number}.yaml"), good_but("24 in", "28 in")));
    let whole = jobs.view("lines", &["jobs"]).out;
    let (mut older, mut newer) = (0, 0);
    for round in 0..16 {
        let jobs = &jobs;
        std::fs::write(jobs.path("report"), "the older one").unwrap();
        let mut run = Command::new(env!("CARGO_BIN_EXE_pintle"));
        run.args(["check", "jobs", "--today", TODAY, "--as", "lines", "--out", "report"]).current_dir(jobs.path("")).stderr(Stdio::null());
        let mut run = run.spawn().unwrap();
        std::thread::sleep(Duration::from_millis(round * 16));
        let _ = run.kill();
        run.wait().unwrap();
        match jobs.read("report") {
            text if text == "the older one" => older += 1,
            text => {
                assert!(text == whole, "round {round}: a part of a report, {} of {} bytes", text.len(), whole.len());
                newer += 1;
            }
        }
    }
    assert!(older > 0, "no run was killed before its end: {older} older, {newer} newer");
}

#[test]
fn an_input_is_never_written_over() {
    let site = Site::new().with("job.yaml", GOOD).with("more/other.yaml", GOOD).with_link("link.yaml", "job.yaml");
    let whole = site.path("job.yaml");
    for out in ["job.yaml", "./job.yaml", "more/../job.yaml", "link.yaml", whole.to_str().unwrap()] {
        for view in VIEWS {
            let seen = site.view(view, &["more/other.yaml", "job.yaml", "--out", out]);
            assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{view} {out}\n{seen}");
            assert_eq!(site.read("job.yaml"), GOOD, "{view} {out}");
        }
    }
    let seen = site.check(&["rules/yard.rules", "--out", "rules/yard.rules"]);
    assert_eq!((seen.code, site.read("rules/yard.rules").as_str()), (2, YARD));
}

#[test]
fn a_job_of_a_folder_is_never_written_over() {
    let site = Site::new().with("jobs/a.yaml", GOOD).with("jobs/b.yaml", GOOD);
    let seen = site.check(&["jobs", "--out", "jobs/b.yaml"]);
    assert_eq!((seen.code, site.read("jobs/b.yaml").as_str()), (2, GOOD));
}

#[test]
fn a_pack_in_use_is_never_written_over() {
    let site = Site::new().with("job.yaml", GOOD).with("packs/yard.rules", YARD);
    let seen = site.check(&["job.yaml", "--out", "rules/yard.rules"]);
    assert_eq!((seen.code, site.read("rules/yard.rules").as_str()), (2, YARD));
    let site = site.with("pins", "x");
    let seen = site.check(&["job.yaml", "--pins", "pins", "--out", "pins"]);
    assert_eq!((seen.code, site.read("pins").as_str()), (2, "x"));
    let seen = site.check(&["job.yaml", "--packs", "packs/yard.rules", "--out", "packs/yard.rules"]);
    assert_eq!((seen.code, site.read("packs/yard.rules").as_str()), (2, YARD));
}

#[test]
fn a_report_takes_the_place_of_nothing_but_a_plain_file() {
    use std::os::unix::fs::FileTypeExt;
    let site = Site::new().with("job.yaml", GOOD).with_pipe("pipe");
    let seen = site.check(&["job.yaml", "--out", "pipe"]);
    assert!(std::fs::symlink_metadata(site.path("pipe")).unwrap().file_type().is_fifo(), "{seen}");
    assert_eq!(seen.code, 2, "{seen}");
}

#[test]
fn a_report_in_the_folder_it_reports_on_is_the_same_again() {
    let site = Site::new().with("jobs/a.yaml", GOOD);
    let first = site.view("lines", &["jobs", "--out", "jobs/report.jsonl"]);
    let kept = site.read("jobs/report.jsonl");
    let second = site.view("lines", &["jobs", "--out", "jobs/report.jsonl"]);
    assert_eq!((first, kept), (second, site.read("jobs/report.jsonl")));
    let records = lines::records(&super::Seen { code: 0, out: site.read("jobs/report.jsonl"), err: String::new() });
    assert_eq!(records.last().unwrap()["jobs"], 1);
}
