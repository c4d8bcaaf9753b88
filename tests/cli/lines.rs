//! The view of JSON lines: every line is valid by the schema that the program prints, the first is `run`, the last is `end`, and
//! what they count agrees.

use super::{GOOD, Seen, Site, TODAY, YARD, good_but, yard_but};
use serde_json::Value;
use std::sync::LazyLock;

static SCHEMA: LazyLock<Value> = LazyLock::new(|| serde_json::from_str(include_str!("../../src/report/lines.schema.json")).unwrap());
static VALIDATOR: LazyLock<jsonschema::Validator> = LazyLock::new(|| jsonschema::draft202012::new(&SCHEMA).unwrap());

/// The keys that the schema describes for a kind of line.
fn described(kind: &str) -> Vec<&'static String> {
    let branches = SCHEMA["oneOf"].as_array().unwrap();
    let branch = branches.iter().find(|branch| branch["properties"]["kind"]["const"] == kind).expect("a kind of line that the schema has");
    branch["properties"].as_object().unwrap().keys().collect()
}

/// The lines of a report, each checked. A run that was refused writes none.
#[track_caller]
pub fn records(seen: &Seen) -> Vec<Value> {
    if seen.out.is_empty() {
        assert!(seen.code == 2 && !seen.err.is_empty(), "an empty report without a reason\n{seen}");
        return Vec::new();
    }
    assert!(seen.out.ends_with('\n'), "the last line is not ended");
    let read = |line: &str| -> Value { serde_json::from_str(line).unwrap_or_else(|error| panic!("{error}: {line}")) };
    let records: Vec<Value> = seen.out[..seen.out.len() - 1].split('\n').map(read).collect();
    for record in &records {
        let wrong: Vec<String> = VALIDATOR.iter_errors(record).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(wrong.is_empty(), "{}\n{record}", wrong.join("\n"));
        let known = described(record["kind"].as_str().unwrap());
        let more: Vec<_> = record.as_object().unwrap().keys().filter(|key| !known.contains(key)).collect();
        assert!(more.is_empty(), "{more:?} are not in the schema\n{record}");
    }
    let (first, last) = (&records[0], &records[records.len() - 1]);
    assert_eq!((&first["kind"], &first["shape"]), (&"run".into(), &1.into()));
    assert_eq!((&last["kind"], &last["exit"]), (&"end".into(), &seen.code.into()), "the last line is no end, or tells another code");
    assert_eq!(records.iter().filter(|record| ["run", "end"].contains(&record["kind"].as_str().unwrap())).count(), 2);
    records
}

fn of_kind<'a>(records: &'a [Value], kind: &str) -> Vec<&'a Value> {
    records.iter().filter(|record| record["kind"] == kind).collect()
}

#[test]
fn the_schema_is_one() {
    assert!(jsonschema::meta::is_valid(&SCHEMA));
    let printed: Value = serde_json::from_str(&Site::empty().run(&["schema", "lines"]).out).unwrap();
    assert_eq!(printed, *SCHEMA);
}

#[test]
fn the_schema_refuses_what_is_none() {
    for wrong in
        ["{}", "[]", "{\"kind\":\"end\"}", "{\"kind\":\"end\",\"jobs\":-1,\"exit\":0}", "{\"kind\":\"verdict\"}", "{\"kind\":\"poem\"}"]
    {
        assert!(!VALIDATOR.is_valid(&serde_json::from_str(wrong).unwrap()), "{wrong}");
    }
}

#[test]
fn the_examples_and_the_packs_give_valid_lines() {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["check", "examples", "rules", "--today", TODAY, "--as", "lines"]);
    let records = records(&Seen::of(&command.output().unwrap()));
    assert!(of_kind(&records, "job").len() > 20 && of_kind(&records, "verdict").len() > 1000);
}

#[test]
fn the_first_line_tells_the_day_and_the_program() {
    let records = records(&Site::new().with("job.yaml", GOOD).view("lines", &["job.yaml"]));
    assert_eq!((&records[0]["today"], &records[0]["program"]), (&TODAY.into(), &"pintle".into()));
    assert_eq!(records[0]["version"], env!("CARGO_PKG_VERSION"));
}

#[test]
fn the_line_of_a_job_agrees_with_the_lines_of_its_verdicts() {
    let site = Site::new()
        .with("a.yaml", GOOD)
        .with("b.yaml", good_but("24 in", "28 in").replace("offset: 4 in", "offset: 8 in"))
        .with("c.yaml", good_but("height: 24 in", "height:"))
        .with("d.yaml", good_but("offset: 4 in", "offset: 0 in"))
        .with("e.yaml", good_but("24 in", "26 in +/- 1/8 in"))
        .with("f.yaml", good_but("height: 24 in", "height: 28 in\n        coded: yes"))
        .with("g.yaml", good_but("offset:", "ofset:"));
    let records = records(&site.view("lines", &["."]));
    let jobs = of_kind(&records, "job");
    assert_eq!(jobs.len(), 7);
    for job in jobs {
        let verdicts: Vec<_> = of_kind(&records, "verdict").into_iter().filter(|verdict| verdict["file"] == job["file"]).collect();
        for (word, count) in job["counts"].as_object().unwrap().iter().filter(|(word, _)| *word != "not applicable") {
            let lines = verdicts.iter().filter(|verdict| verdict["verdict"] == word.as_str()).count();
            assert_eq!(count, lines, "{word} of {}", job["file"]);
        }
        assert!(verdicts.iter().any(|verdict| verdict["verdict"] != "not applicable"));
        let alone = site.view("lines", &[job["file"].as_str().unwrap()]);
        assert_eq!(job["exit"], alone.code, "{}", job["file"]);
    }
    let codes: Vec<_> = of_kind(&records, "job").iter().map(|job| job["exit"].as_i64().unwrap()).collect();
    assert_eq!(codes, [0, 1, 1, 2, 1, 0, 2]);
}

#[test]
fn a_finding_has_everything_that_is_needed_to_show_it() {
    let records = records(&Site::new().with("job.yaml", good_but("24 in", "28 in")).view("lines", &["job.yaml"]));
    let found: Vec<_> = of_kind(&records, "verdict").into_iter().filter(|verdict| verdict["verdict"] == "not met").collect();
    let [found] = found[..] else { panic!("one finding: {found:?}") };
    assert_eq!((&found["section"], &found["clause"], &found["modal"]), (&"yard/lens-height".into(), &"a".into(), &"shall".into()));
    assert_eq!((&found["place"]["file"], &found["place"]["line"]), (&"job.yaml".into(), &9.into()));
    assert_eq!((&found["pack_place"]["file"], &found["pack_place"]["line"]), (&"rules/yard.rules".into(), &12.into()));
    assert_eq!((&found["reasons"][0]["value"], &found["reasons"][0]["limit"]), (&"28 in".into(), &"26 in".into()));
    assert_eq!(found["sources"][0]["standing"], "invented");
    assert!(found["remedy"].as_str().unwrap().contains("Lower beam low of gate main"));
    assert!(found["reasons"][0]["miss"].as_str().unwrap().contains("2 in"), "{found}");
}

#[test]
fn an_open_verdict_names_what_is_missing_and_how_to_measure_it() {
    let records = records(&Site::new().with("job.yaml", good_but("height: 24 in", "height:")).view("lines", &["job.yaml"]));
    let open = of_kind(&records, "verdict").into_iter().find(|verdict| verdict["verdict"] == "open").expect("an open verdict");
    assert_eq!(open["missing"][0]["name"], "beam.height");
    assert_eq!((&open["missing"][0]["place"]["file"], &open["missing"][0]["place"]["line"]), (&"job.yaml".into(), &9.into()));
    assert!(!open["missing"][0]["measure"].as_str().unwrap().is_empty());
}

#[test]
fn slips_have_their_places() {
    let site = Site::new().with("job.yaml", good_but("height: 24 in", "height: 24 in\n        heigth: 3 in"));
    let records = records(&site.view("lines", &["job.yaml"]));
    let slip = of_kind(&records, "slip")[0];
    assert_eq!((&slip["name"], &slip["place"]["line"], &slip["place"]["column"]), (&"unknown-key".into(), &10.into(), &9.into()));
    assert!(slip["hint"].as_str().unwrap().contains("height"), "{slip}");
}

#[test]
fn every_kind_of_trouble_gives_valid_lines() {
    let site =
        Site::new().with("job.yaml", GOOD).with("bad.yaml", "{").with("empty.yaml", "").with("code.yaml", good_but("[yard]", "[lost]"));
    let site =
        site.with("broken/broken.rules", yard_but("pack yard", "pack broken").replace("at most 26 in", "<= 26 lb")).with_pipe("pipe.yaml");
    let site = site.with("packs/yard.rules", YARD.replace("26 in", "27 in")).with("all.yaml", good_but("[yard]", "[broken]"));
    for arguments in [
        &["."][..],
        &["bad.yaml"],
        &["empty.yaml"],
        &["code.yaml"],
        &["broken"],
        &["pipe.yaml"],
        &["gone.yaml"],
        &["job.yaml", "--packs", "packs"],
        &["all.yaml", "--packs", "broken"],
        &["job.yaml", "--unfinished", "--threads", "1"],
    ] {
        assert!(!records(&site.view("lines", arguments)).is_empty(), "{arguments:?}");
    }
}
