//! Standard output that cannot be written: a full device, a reader that has gone away. Neither is a pass, and neither is a panic.

use super::{GOOD, Site, TODAY, VIEWS, good_but};
use std::process::{Command, Stdio};

fn run(site: &Site, arguments: &[&str], out: Stdio) -> (i32, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    let done =
        command.args(arguments).current_dir(site.path("")).stdout(out).stderr(Stdio::piped()).spawn().unwrap().wait_with_output().unwrap();
    (done.status.code().unwrap_or(-1), String::from_utf8(done.stderr).unwrap())
}

fn full() -> Stdio {
    std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap().into()
}

/// The writing end of a pipe whose reading end is closed.
fn closed() -> Stdio {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    writer.into()
}

#[test]
fn a_full_device_is_no_pass() {
    let site = Site::new().with("job.yaml", GOOD).with("other.yaml", good_but("24 in", "28 in"));
    for view in VIEWS {
        for path in ["job.yaml", "other.yaml", ".", "rules"] {
            let (code, err) = run(&site, &["check", path, "--today", TODAY, "--as", view], full());
            assert_eq!(code, 2, "{view} {path}: {err}");
            assert!(err.contains("report") && !err.contains("panicked"), "{view} {path}: {err}");
        }
    }
}

#[test]
fn a_reader_that_has_gone_away_is_no_pass_and_no_message() {
    let site = Site::new().with("job.yaml", GOOD);
    let site = (0..200).fold(site, |site, number| site.with(format!("jobs/{number}.yaml"), good_but("24 in", "28 in")));
    for view in VIEWS {
        for path in ["job.yaml", "jobs"] {
            let (code, err) = run(&site, &["check", path, "--today", TODAY, "--as", view], closed());
            assert_eq!((code, err.as_str()), (2, ""), "{view} {path}");
        }
    }
}

#[test]
fn a_schema_that_cannot_be_written() {
    let site = Site::empty();
    assert_eq!(run(&site, &["schema", "lines"], full()).0, 2);
    assert_eq!(run(&site, &["schema", "lines"], closed()), (2, String::new()));
}

#[test]
fn help_that_cannot_be_written() {
    let site = Site::empty();
    for arguments in [&["--help"][..], &["check", "--help"], &["--version"]] {
        assert_eq!(run(&site, arguments, full()).0, 2, "{arguments:?}");
    }
}

#[test]
fn a_schema_that_cannot_be_written_is_told() {
    assert!(!run(&Site::empty(), &["schema", "lines"], full()).1.is_empty());
}

#[test]
fn standard_error_that_cannot_be_written_changes_nothing() {
    let site = Site::new().with("job.yaml", GOOD);
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.args(["check", "job.yaml", "gone.yaml", "--today", TODAY, "--as", "plain"]).current_dir(site.path(""));
    let done = command.stdout(Stdio::piped()).stderr(full()).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8(done.stdout).unwrap().contains("job.yaml: outcome: every mandatory clause"));
}

#[test]
fn results_go_to_standard_output_and_troubles_of_the_run_to_standard_error() {
    let site = Site::new().with("job.yaml", good_but("24 in", "24"));
    for view in VIEWS {
        let seen = site.view(view, &["job.yaml"]);
        assert!(seen.err.is_empty() && seen.out.contains("job.yaml"), "{view}\n{seen}");
        let seen = site.view(view, &["gone.yaml"]);
        assert!(seen.err.contains("gone.yaml"), "{view}\n{seen}");
    }
}
