//! The schema of job files beside the reader of job files: what the reader takes, the schema takes; a misspelt key, an unknown word, a missing unit
//! and the like are marked by both.

use crate::cases::parts::Case;
use crate::cli::Site;
use pintle::command::workbench::{Compiled, Read, Workbench};
use pintle::language::library::Shelf;
use pintle::report::job_schema::job_schema;
use pintle::source::Source;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Slips that a schema can see. Others are of what two keys say together, of the way YAML is written, or finer than a pattern.
const SEEN: [&str; 8] =
    ["unknown-key", "unknown-word", "missing-unit", "not-a-list", "not-a-record", "missing-id", "empty-list", "none-not-allowed"];

/// A local pack with a fact of its own.
const LOCAL: &str = r#"pack yard "The yard"
  language   1
  edition    "2026"
  adopts     us-gates

amend terms/gate
  bollards-by-the-road  count  "How many stand there"
"#;

fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn files(folder: &str, end: &str) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = walkdir::WalkDir::new(root(folder))
        .into_iter()
        .filter_map(|entry| Some(entry.ok()?.into_path()))
        .filter(|path| path.extension().is_some_and(|is| is == end))
        .collect();
    found.sort();
    assert!(!found.is_empty(), "{folder}");
    found
}

/// Schemas by codes, each made once.
#[derive(Default)]
struct Schemas(HashMap<Vec<String>, Option<jsonschema::Validator>>);

impl Schemas {
    fn of(&mut self, compiled: &Arc<Compiled>, codes: &[String]) -> Option<&jsonschema::Validator> {
        let made = || {
            let schema = serde_json::from_str(&job_schema(compiled.program.as_ref()?, codes)).unwrap();
            assert!(jsonschema::draft7::meta::is_valid(&schema), "{codes:?}");
            Some(jsonschema::draft7::new(&schema).unwrap())
        };
        self.0.entry(codes.to_vec()).or_insert_with(made).as_ref()
    }
}

/// What the schema says of a text, where it is YAML.
fn marked(validator: &jsonschema::Validator, text: &str) -> Option<Vec<String>> {
    let job: serde_json::Value = serde_yaml::from_str(text).ok()?;
    Some(validator.iter_errors(&job).map(|error| format!("{}: {error}", error.instance_path())).collect())
}

#[test]
fn what_the_reader_takes_the_schema_takes() {
    let bench = Workbench::default();
    let mut schemas = Schemas::default();
    let mut looked = 0;
    for path in files("examples/jobs", "yaml") {
        let text = std::fs::read_to_string(&path).unwrap();
        let source = Source::new("job.yaml", text.clone());
        let shelves = bench.shelves_for(path.parent().unwrap());
        let Read::Job(program, _) = bench.read(&source, shelves.clone(), true) else { continue };
        let codes: Vec<String> = program.codes.iter().map(|code| code.name.clone()).collect();
        let compiled = bench.compile(shelves, codes.clone());
        let wrong = marked(schemas.of(&compiled, &codes).unwrap(), &text).expect("YAML");
        assert!(wrong.is_empty(), "{}: {wrong:#?}", path.display());
        looked += 1;
    }
    assert!(looked > 30, "{looked}");
}

#[test]
fn what_the_reader_takes_of_cases_the_schema_takes() {
    let mut looked = 0;
    for path in files("tests/cases/verdicts", "case") {
        let case = Case::read(&std::fs::read_to_string(&path).unwrap());
        let bench = Workbench::default();
        let compiled = bench.compile(vec![Shelf::Memory(case.packs.clone()), Shelf::Embedded], case.codes.clone());
        let mut schemas = Schemas::default();
        let Some(validator) = schemas.of(&compiled, &case.codes) else { continue };
        if case.expected.trim_start().starts_with("slip ") {
            continue;
        }
        let wrong = marked(validator, &case.job).expect("YAML");
        let wrong: Vec<&String> = wrong.iter().filter(|error| !error.contains("\"codes\" is a required")).collect();
        assert!(wrong.is_empty(), "{}: {wrong:#?}", path.display());
        looked += 1;
    }
    assert!(looked > 100, "{looked}");
}

#[test]
fn what_both_can_see_both_mark() {
    let bench = Workbench::default();
    let mut schemas = Schemas::default();
    let mut seen = std::collections::BTreeSet::new();
    for path in files("tests/cases/jobs", "yaml") {
        let text = std::fs::read_to_string(&path).unwrap();
        let source = Source::new("job.yaml", text.clone());
        let Read::Job(program, job) = bench.read(&source, vec![Shelf::Embedded], true) else { continue };
        let codes: Vec<String> = program.codes.iter().map(|code| code.name.clone()).collect();
        let compiled = bench.compile(vec![Shelf::Embedded], codes.clone());
        let Some(wrong) = marked(schemas.of(&compiled, &codes).unwrap(), &text) else { continue };
        let names: Vec<&str> = job.slips.iter().filter(|slip| !slip.harmless).map(|slip| slip.name).collect();
        if names.is_empty() {
            assert!(wrong.is_empty(), "{}: {wrong:#?}", path.display());
        }
        if names.iter().any(|name| SEEN.contains(name)) {
            assert!(!wrong.is_empty(), "{}: {names:?}", path.display());
            seen.extend(names.into_iter().filter(|name| SEEN.contains(name)));
        }
    }
    assert_eq!(seen.len(), SEEN.len(), "no case of some of {SEEN:?}: only {seen:?}");
}

#[test]
fn the_command_prints_it() {
    let site = Site::new().with("rules/yard.rules", LOCAL);
    let printed = site.run(&["schema", "job", "--codes", "yard"]);
    assert_eq!((printed.code, printed.err.as_str()), (0, ""), "{printed}");
    let schema: serde_json::Value = serde_json::from_str(&printed.out).unwrap();
    let gate = &schema["definitions"]["record gate"]["properties"];
    assert!(gate["bollards-by-the-road"]["description"].as_str().unwrap().starts_with("How many stand there (a whole number"), "{gate}");
    assert_eq!(schema["properties"]["codes"]["default"], serde_json::json!(["yard"]));
    for (arguments, why) in [
        (&["schema", "job"][..], "--codes"),
        (&["schema", "lines", "--codes", "yard"], "the other schemas are the same for all packs"),
        (&["schema", "job", "--codes", "yonder"], "yonder"),
        (&["schema", "job", "--codes", "yard", "--packs", "not-there"], "there is no such file or folder"),
    ] {
        let seen = site.run(arguments);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{arguments:?}\n{seen}");
        seen.says(why);
    }
}
