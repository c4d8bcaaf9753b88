//! The view of SARIF: what the standard asks of a log, that every kind is used truly, and what survives edits. The published schema
//! is not kept here; where `PINTLE_SARIF_SCHEMA` names a copy, every log of these tests is checked by it as well.

use super::{GOOD, Seen, Site, TODAY, YARD, good_but, yard_but};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::LazyLock;

static SCHEMA: LazyLock<Option<jsonschema::Validator>> = LazyLock::new(|| {
    let path = std::env::var_os("PINTLE_SARIF_SCHEMA")?;
    let text = std::fs::read_to_string(path).expect("the schema that PINTLE_SARIF_SCHEMA names");
    Some(jsonschema::validator_for(&serde_json::from_str(&text).unwrap()).unwrap())
});

/// The log of a run, checked against what the standard asks.
#[track_caller]
pub fn log(seen: &Seen) -> Value {
    if seen.out.is_empty() {
        assert!(seen.code == 2 && !seen.err.is_empty(), "an empty report without a reason\n{seen}");
        return Value::Null;
    }
    let log: Value = serde_json::from_str(&seen.out).unwrap_or_else(|error| panic!("{error}\n{seen}"));
    if let Some(schema) = &*SCHEMA {
        let wrong: Vec<String> = schema.iter_errors(&log).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    assert_eq!(log["runs"].as_array().unwrap().len(), 1);
    assert_eq!(run["columnKind"], "unicodeCodePoints");
    assert!(!run["tool"]["driver"]["name"].as_str().unwrap().is_empty());
    let invocation = &run["invocations"][0];
    assert_eq!((&invocation["exitCode"], &invocation["executionSuccessful"]), (&seen.code.into(), &json!(seen.code < 2)));
    for note in invocation["toolExecutionNotifications"].as_array().unwrap() {
        said(&note["message"]);
        note["locations"].as_array().into_iter().flatten().for_each(place);
        let known = run["tool"]["driver"]["notifications"].as_array().unwrap();
        assert!(known.iter().any(|name| name["id"] == note["descriptor"]["id"]), "{note}");
    }
    let mut prints: BTreeMap<&str, &Value> = BTreeMap::new();
    for result in results(&log) {
        check_result(run, result);
        let print = result["partialFingerprints"]["clauseAndThing/v1"].as_str().unwrap();
        assert!(prints.insert(print, result).is_none(), "two results of one fingerprint: {result}");
    }
    log
}

fn check_result(run: &Value, result: &Value) {
    let (kind, level) = (result["kind"].as_str().unwrap(), result["level"].as_str().unwrap());
    assert!(["pass", "fail", "open", "review", "notApplicable"].contains(&kind), "{kind}");
    assert_eq!(kind == "fail", level != "none", "only failures have a level: {result}");
    let verdict = match result["properties"]["verdict"].as_str().unwrap() {
        "met" | "excepted" => "pass",
        "not met" | "excused" => "fail",
        "marginal" => "review",
        "open" | "unanswered" => "open",
        other => other,
    };
    assert_eq!(kind, if verdict == "not applicable" { "notApplicable" } else { verdict }, "{result}");
    said(&result["message"]);
    result["locations"].as_array().unwrap().iter().chain(result["relatedLocations"].as_array().unwrap()).for_each(place);
    let rule = &result["rule"];
    let extension = &run["tool"]["extensions"][usize::try_from(rule["toolComponent"]["index"].as_u64().unwrap()).unwrap()];
    let descriptor = &extension["rules"][usize::try_from(rule["index"].as_u64().unwrap()).unwrap()];
    assert_eq!((&descriptor["id"], &rule["id"]), (&result["ruleId"], &result["ruleId"]));
    assert!(result["ruleId"].as_str().unwrap().starts_with(&format!("{}/", extension["name"].as_str().unwrap())), "{result}");
    for part in ["shortDescription", "fullDescription", "help"] {
        said(&descriptor[part]);
        assert!(descriptor[part]["text"].as_str().unwrap().chars().count() <= 1024, "{descriptor}");
    }
    // Where one result has the list, all have it, even if it is empty.
    for suppression in result["suppressions"].as_array().unwrap() {
        assert!(["inSource", "external"].contains(&suppression["kind"].as_str().unwrap()));
        assert!(["accepted", "rejected"].contains(&suppression["status"].as_str().unwrap()));
        assert!(!suppression["justification"].as_str().unwrap().is_empty());
    }
}

/// A message says something and holds no placeholder and no link.
fn said(message: &Value) {
    let text = message["text"].as_str().unwrap_or_else(|| panic!("{message}"));
    assert!(!text.trim().is_empty() && !text.contains("]("), "{text}");
    let single = text.replace("{{", "").replace("}}", "");
    assert!(!single.contains(['{', '}']), "{text}");
}

fn place(place: &Value) {
    let uri = place["physicalLocation"]["artifactLocation"]["uri"].as_str().unwrap();
    let plain = |c: char| c.is_ascii_alphanumeric() || "-._~/%".contains(c);
    assert!(uri.strip_prefix("file://").unwrap_or(uri).chars().all(plain) && !uri.is_empty(), "{uri}");
    let region = &place["physicalLocation"]["region"];
    if !region.is_null() {
        let at = |key: &str| region[key].as_u64().unwrap();
        assert!(at("startLine") > 0 && at("startColumn") > 0, "{region}");
        assert!((at("startLine"), at("startColumn")) <= (at("endLine"), at("endColumn")), "{region}");
    }
}

fn results(log: &Value) -> &Vec<Value> {
    log["runs"][0]["results"].as_array().unwrap()
}

fn of<'a>(log: &'a Value, verdict: &str) -> Vec<&'a Value> {
    results(log).iter().filter(|result| result["properties"]["verdict"] == verdict).collect()
}

fn seen(site: &Site, more: &[&str]) -> Value {
    log(&site.view("sarif", more))
}

#[test]
fn the_examples_and_the_packs_give_valid_logs() {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["check", "examples", "rules", "--today", TODAY, "--as", "sarif"]);
    let log = log(&Seen::of(&command.output().unwrap()));
    for verdict in ["met", "not met", "open", "marginal", "excused", "excepted", "not applicable"] {
        assert!(!of(&log, verdict).is_empty() || verdict == "not applicable", "{verdict}");
    }
    let packs = log["runs"][0]["tool"]["extensions"].as_array().unwrap();
    assert!(
        packs.len() >= 5 && packs.iter().all(|pack| pack["properties"]["sha256"].as_str().unwrap().len() == 64 && pack["version"] != "")
    );
}

#[test]
fn every_verdict_has_its_true_kind() {
    let site = Site::new()
        .with("met.yaml", GOOD)
        .with("not-met.yaml", good_but("24 in", "28 in"))
        .with("should.yaml", good_but("offset: 4 in", "offset: 8 in"))
        .with("open.yaml", good_but("height: 24 in", "height:"))
        .with("marginal.yaml", good_but("24 in", "26 in +/- 1/8 in"))
        .with("unanswered.yaml", good_but("offset: 4 in", "offset: 0 in"))
        .with("excepted.yaml", good_but("height: 24 in", "height: 28 in\n        coded: yes"))
        .with("idle.yaml", good_but("duty: entrapment", "duty: vehicle"));
    let kinds = |job: &str, verdict: &str| {
        let log = seen(&site, &[&format!("{job}.yaml")]);
        let found = of(&log, verdict);
        assert_eq!(found.len(), if verdict == "met" { 3 } else { found.len().max(1) }, "{job}");
        format!("{} {}", found[0]["kind"].as_str().unwrap(), found[0]["level"].as_str().unwrap())
    };
    for (job, verdict, kind) in [
        ("met", "met", "pass none"),
        ("not-met", "not met", "fail error"),
        ("should", "not met", "fail warning"),
        ("open", "open", "open none"),
        ("marginal", "marginal", "review none"),
        ("unanswered", "unanswered", "open none"),
        ("excepted", "excepted", "pass none"),
        ("idle", "not applicable", "notApplicable none"),
    ] {
        assert_eq!(kinds(job, verdict), kind, "{job}");
    }
}

#[test]
fn a_failure_points_at_the_value_and_at_the_clause() {
    let site = Site::new().with("a b/jób#1.yaml", good_but("24 in", "28 in"));
    let log = seen(&site, &["a b"]);
    let [found] = of(&log, "not met")[..] else { panic!() };
    let at = &found["locations"][0]["physicalLocation"];
    assert_eq!(at["artifactLocation"]["uri"], "a%20b/j%C3%B3b%231.yaml");
    assert_eq!(at["region"], json!({"startLine": 9, "startColumn": 17, "endLine": 9, "endColumn": 22}));
    assert_eq!(found["locations"][0]["logicalLocations"][0]["fullyQualifiedName"], "gate main / beam low");
    let clause = &found["relatedLocations"][0]["physicalLocation"];
    assert_eq!((&clause["artifactLocation"]["uri"], &clause["region"]["startLine"]), (&"rules/yard.rules".into(), &12.into()));
    let whole = site.path("a b/jób#1.yaml");
    let log = seen(&site, &[whole.to_str().unwrap()]);
    let uri = of(&log, "not met")[0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].as_str().unwrap().to_string();
    assert!(uri.starts_with("file:///") && uri.ends_with("/a%20b/j%C3%B3b%231.yaml"), "{uri}");
}

#[test]
fn a_fingerprint_survives_moved_lines_and_another_order() {
    let prints = |job: String| {
        let log = seen(&Site::new().with("job.yaml", job), &["job.yaml"]);
        of(&log, "not met").iter().map(|found| found["partialFingerprints"].clone()).collect::<Vec<_>>()
    };
    let second = "      - {id: other, duty: vehicle, height: 30 in, offset: 4 in, span: 20 ft}\n";
    let before = prints(good_but("24 in", "28 in"));
    let moved = good_but("24 in", "29 in").replace("    beams:\n", &format!("    beams:\n{second}")).replace("title:", "\n# moved\ntitle:");
    assert_eq!(before, prints(moved));
    assert_ne!(before, prints(good_but("24 in", "28 in").replace("id: low", "id: lower")));
    let log = seen(&Site::new().with("job.yaml", good_but("24 in", "28 in")), &["./job.yaml"]);
    assert_eq!(of(&log, "not met")[0]["partialFingerprints"], before[0]);
}

#[test]
fn variances_and_the_punch_list_are_suppressions() {
    let variance = "variances:\n  - {id: wall, section: yard/lens-height, thing: low, authority: Hasp County, reference: HC 7, reason: A wall, granted: 2026-01-01, expires: 2026-12-31, allows: beam.height at most 30 in}\n";
    let site = Site::new().with("jobs/a.yaml", good_but("24 in", "28 in")).with("jobs/b.yaml", good_but("24 in", "28 in") + variance);
    let list =
        ["punch-list", "jobs", "--in", "punch.yaml", "--today", TODAY, "--reason", "On order", "--owner", "Crew 2", "--due", "2026-06-01"];
    assert_eq!(site.run(&list).code, 0);
    let log = seen(&site, &["jobs", "--punch-list", "punch.yaml"]);
    let [listed] = of(&log, "not met")[..] else { panic!() };
    assert_eq!((&listed["suppressions"][0]["kind"], &listed["suppressions"][0]["status"]), (&"external".into(), &"accepted".into()));
    let [excused] = of(&log, "excused")[..] else { panic!() };
    assert_eq!(excused["suppressions"][0]["kind"], "inSource");
    let why = excused["suppressions"][0]["justification"].as_str().unwrap();
    assert_eq!(why, "a variance granted for this job by Hasp County, HC 7, until 2026-12-31: A wall");
    std::fs::write(site.path("jobs/a.yaml"), good_but("24 in", "29 in")).unwrap();
    let log = seen(&site, &["jobs", "--punch-list", "punch.yaml"]);
    assert_eq!(of(&log, "not met")[0]["suppressions"][0]["status"], "rejected");
}

#[test]
fn slips_and_troubles_are_notifications_and_no_success() {
    let site = Site::new()
        .with("job.yaml", good_but("offset:", "ofset:"))
        .with("broken.yaml", "codes: [")
        .with("late.yaml", good_but("2026-03-02", "2025-03-02"));
    for (path, name) in [("job.yaml", "unknown-key"), ("broken.yaml", "not-yaml"), ("late.yaml", "not-judged")] {
        let log = seen(&site, &[path]);
        let notes = &log["runs"][0]["invocations"][0]["toolExecutionNotifications"];
        assert_eq!((&notes[0]["descriptor"]["id"], &notes[0]["level"]), (&name.into(), &"error".into()), "{notes}");
    }
    let log = seen(&site, &["job.yaml", "gone.yaml"]);
    let notes = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].to_string();
    assert!(notes.contains("gone.yaml"), "{notes}");
    let log = seen(&Site::new().with("job.yaml", good_but("permit-date: 2026-03-02", "permit-date:")), &["job.yaml"]);
    let notes = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].to_string();
    assert!(notes.contains("code-in-doubt") && notes.contains("job.permit-date"), "{notes}");
}

#[test]
fn of_a_large_run_the_worst_results_are_kept_and_the_rest_is_named() {
    // 90 beams, 3 sections: 270 results a job.
    let beams = |height: &str| -> String {
        (0..90).map(|at| format!("      - {{id: b{at}, duty: entrapment, height: {height}, offset: 4 in, span: 20 ft}}\n")).collect()
    };
    let job = |height: &str| GOOD[..GOOD.find("      - id: low").unwrap()].to_string() + &beams(height);
    let site = (0..24).fold(Site::new(), |site, at| site.with(format!("jobs/{at:02}.yaml"), job("24 in")));
    let site = site.with("jobs/99.yaml", job("28 in"));
    let one = site.view("sarif", &["jobs", "--threads", "1"]);
    assert_eq!(one, site.view("sarif", &["jobs"]), "the same bytes, however many threads");
    let log = log(&one);
    assert_eq!(results(&log).len(), 5000);
    assert_eq!(of(&log, "not met").len(), 90, "the last job's failures are kept");
    let notes = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].as_array().unwrap();
    let note = notes.iter().find(|note| note["descriptor"]["id"] == "left-out").expect("what was left out");
    assert_eq!(note["level"], "note");
    assert!(note["message"]["text"].as_str().unwrap().contains("the 5000 worst results of 6750. Left out: 1750 met"), "{note}");
}

#[test]
fn two_texts_of_one_pack_are_two_extensions() {
    let site = Site::empty().with("a/rules/yard.rules", YARD).with("b/rules/yard.rules", yard_but("26 in", "20 in"));
    let site = site.with("a/job.yaml", GOOD).with("b/job.yaml", GOOD);
    let log = seen(&site, &["a", "b"]);
    let yards = log["runs"][0]["tool"]["extensions"].as_array().unwrap().iter().filter(|pack| pack["name"] == "yard").count();
    assert_eq!((yards, of(&log, "not met").len()), (2, 1));
}

#[test]
fn names_of_any_kind_stay_names() {
    let id = "a [x](http://evil.example) {0} {{1}} <b> \\u202e\\x1b\\\" é😀";
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in").replace("id: low", &format!("id: \"{id}\"")));
    let shown = site.view("sarif", &["job.yaml"]);
    super::assert_harmless(&shown.out);
    let found = log(&shown);
    assert!(of(&found, "not met")[0]["message"]["text"].as_str().unwrap().contains("a [x] (http://evil.example) {{0}} {{{{1}}}}"));
}
