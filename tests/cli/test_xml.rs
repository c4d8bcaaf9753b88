//! The view of test XML: well-formed whatever names hold, counted rightly, valid by its own schema where `xmllint` is at hand, and a
//! failure or an error exactly where the run does not pass.

use super::{GOOD, Seen, Site, TODAY, good_but};
use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};

const SCHEMA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/report/test-xml.xsd");

/// Checks a report.
#[track_caller]
pub fn check(seen: &Seen) {
    if seen.out.is_empty() {
        assert!(seen.code == 2 && !seen.err.is_empty(), "an empty report without a reason\n{seen}");
        return;
    }
    let document = roxmltree::Document::parse(&seen.out).unwrap_or_else(|error| panic!("{error}\n{seen}"));
    let (mut failures, mut errors) = (0, 0);
    for suite in document.root_element().children().filter(|node| node.has_tag_name("testsuite")) {
        let cases: Vec<_> = suite.children().filter(|node| node.has_tag_name("testcase")).collect();
        let ended = |tag: &str| cases.iter().filter(|case| case.children().any(|child| child.has_tag_name(tag))).count();
        let told = |name: &str| suite.attribute(name).unwrap().parse::<usize>().unwrap();
        assert_eq!((told("tests"), told("failures")), (cases.len(), ended("failure")), "{suite:?}");
        assert_eq!((told("errors"), told("skipped")), (ended("error"), ended("skipped")), "{suite:?}");
        let names: BTreeSet<_> = cases.iter().map(|case| (case.attribute("classname"), case.attribute("name"))).collect();
        assert_eq!(names.len(), cases.len(), "two cases of one name: {suite:?}");
        failures += told("failures");
        errors += told("errors");
    }
    let worst = if errors > 0 { 2 } else { i32::from(failures > 0) };
    assert_eq!(seen.code.min(2), worst, "{failures} failures, {errors} errors\n{seen}");
    by_schema(&seen.out);
}

/// Checks a report by its schema; the program for it is not on every machine.
fn by_schema(text: &str) {
    let mut command = Command::new("xmllint");
    command.args(["--noout", "--nonet", "--schema", SCHEMA, "-"]).stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped());
    let Ok(mut run) = command.spawn() else { return };
    run.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    let done = run.wait_with_output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}

#[test]
fn the_schema_is_printed_and_well_formed() {
    let printed = Site::empty().run(&["schema", "test-xml"]);
    assert_eq!(printed.out, std::fs::read_to_string(SCHEMA).unwrap());
    assert!(roxmltree::Document::parse(&printed.out).is_ok());
}

#[test]
fn the_examples_and_the_packs_give_valid_reports() {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["check", "examples", "rules", "--today", TODAY, "--as", "test-xml"]);
    check(&Seen::of(&command.output().unwrap()));
}

#[test]
fn every_verdict_ends_as_it_must() {
    let case = |job: String, more: &[&str], name: &str| {
        let site = Site::new().with("job.yaml", job);
        let mut all = vec!["job.yaml"];
        all.extend(more);
        let seen = site.view("test-xml", &all);
        check(&seen);
        let document = roxmltree::Document::parse(&seen.out).unwrap();
        let case = document.descendants().find(|node| node.has_tag_name("testcase") && node.attribute("name") == Some(name));
        let case = case.unwrap_or_else(|| panic!("{name}\n{seen}"));
        assert_eq!(case.attribute("classname"), Some("job.yaml"));
        let child = case.children().find(roxmltree::Node::is_element);
        child.map_or("passed".to_string(), |child| {
            format!("{} {}", child.tag_name().name(), child.attribute("type").unwrap_or("")).trim().to_string()
        })
    };
    let lens = "yard/lens-height (a), gate main / beam low";
    assert_eq!(case(GOOD.into(), &[], lens), "passed");
    assert_eq!(case(good_but("24 in", "28 in"), &[], lens), "failure not met");
    assert_eq!(case(good_but("24 in", "26 in +/- 1/8 in"), &[], lens), "failure marginal");
    assert_eq!(case(good_but("height: 24 in", "height:"), &[], lens), "failure open");
    assert_eq!(case(good_but("height: 24 in", "height:"), &["--unfinished"], lens), "skipped");
    assert_eq!(case(good_but("height: 24 in", "height: 28 in\n        coded: yes"), &[], lens), "passed");
    assert_eq!(case(good_but("offset: 4 in", "offset: 8 in"), &[], "yard/offset (a), gate main / beam low"), "skipped");
    assert_eq!(case(good_but("offset: 4 in", "offset: 0 in"), &[], "yard/reach (a), gate main / beam low"), "error unanswered");
    assert_eq!(case(good_but("duty: entrapment", "duty: vehicle"), &[], "yard/lens-height (a), job"), "skipped");
    assert_eq!(case(good_but("offset:", "ofset:"), &[], "slip: unknown-key"), "error unknown-key");
    assert_eq!(case(good_but("2026-03-02", "2025-03-02"), &[], "judged"), "error not judged");
    assert_eq!(case(good_but("permit-date: 2026-03-02", "permit-date:"), &[], "codes in force"), "failure open");
    assert_eq!(case("codes: [".into(), &[], "slip: not-yaml"), "error not-yaml");
}

#[test]
fn what_was_agreed_upon_is_skipped() {
    let site = Site::new().with("jobs/a.yaml", good_but("24 in", "28 in"));
    let list =
        ["punch-list", "jobs", "--in", "punch.yaml", "--today", TODAY, "--reason", "On order", "--owner", "Crew 2", "--due", "2026-06-01"];
    assert_eq!(site.run(&list).code, 0);
    let seen = site.view("test-xml", &["jobs", "--punch-list", "punch.yaml"]);
    check(&seen);
    seen.says("<skipped message=\"on the punch list until 2026-06-01: On order (Crew 2");
}

#[test]
fn what_could_not_be_looked_at_is_an_error() {
    let site = Site::new().with("job.yaml", GOOD).with_folder("empty");
    for path in ["gone.yaml", "empty"] {
        let seen = site.view("test-xml", &["job.yaml", path]);
        check(&seen);
        assert!(seen.out.contains(path), "{seen}");
    }
}

#[test]
fn names_of_any_kind_stay_names() {
    // What XML cannot hold even as a reference, what would end a section of text, and what would be markup.
    for id in ["\\x01\\x1b\\uFFFE\\uFFFF", "]]>", "<a href='x'>&amp;\\\"", "&#27;", "a\\nb\\tc", "\\u202e", "--><!--"] {
        let site = Site::new().with("job.yaml", good_but("24 in", "28 in").replace("id: low", &format!("id: \"{id}\"")));
        let seen = site.view("test-xml", &["job.yaml"]);
        check(&seen);
        super::assert_harmless(&seen.out);
    }
}
