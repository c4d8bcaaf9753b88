//! The reader of job files on the cases of the public YAML test suite: never a panic, and what is read is what the suite's JSON says.
//! Where it is not, by design or by the parser's doing, `tests/yaml-suite/deviations.txt` says so and why; it is held both ways.

use super::root;
use super::tree::Tree;
use super::yaml::unlike;
use pintle::job::yaml::read_yaml;
use pintle::source::Source;
use serde::Deserialize;
use serde_yaml::Value;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Suited {
    id: String,
    name: String,
    yaml: String,
    #[serde(default)]
    fail: bool,
    json: Option<String>,
}

/// How the reading of a case differs from what the suite says; nothing where it does not.
fn deviation(case: &Suited) -> Option<String> {
    let source = Source::new("job.yaml", case.yaml.clone());
    let (yaml, slips) = read_yaml(&source);
    for slip in &slips {
        let span = slip.span.expect("a place");
        assert!(span.start <= span.end && span.end as usize <= source.text().len() + 1, "{}: {span:?}", case.id);
    }
    if let Some(slip) = slips.first() {
        return (!case.fail).then(|| format!("refuses {}", slip.name));
    }
    if case.fail {
        return Some("takes".into());
    }
    let json = case.json.as_ref()?;
    // A file of nothing has no JSON, or that of nothing.
    let Some(_) = yaml.root() else { return (!matches!(json.trim(), "" | "null")).then(|| "reads nothing".into()) };
    let tree = Tree::read(&case.yaml).expect("no slips");
    let value: Value = serde_yaml::from_str(json).unwrap_or_else(|error| panic!("{}: {error}", case.id));
    unlike(&tree, &value, "").map(|_| "reads otherwise".into())
}

#[test]
fn the_yaml_test_suite() {
    let text = std::fs::read_to_string(root().join("tests/yaml-suite/cases.json")).unwrap();
    let cases: Vec<Suited> = serde_json::from_str(&text).unwrap();
    assert_eq!(cases.len(), 402);
    let listed = std::fs::read_to_string(root().join("tests/yaml-suite/deviations.txt")).unwrap();
    let mut listed: BTreeMap<&str, (&str, &str)> = listed
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(|line| {
            let mut parts = line.split(" | ");
            let mut next = || parts.next().unwrap_or("").trim();
            let (id, what, why) = (next(), next(), next());
            assert!(!why.is_empty(), "{id} has no reason");
            (id, (what, why))
        })
        .collect();
    let mut wrong = Vec::new();
    for case in &cases {
        let known = listed.remove(case.id.as_str()).map(|(what, _)| what.to_string());
        let found = deviation(case);
        if found != known {
            let say = |what: &Option<String>| what.clone().unwrap_or_else(|| "none".into());
            wrong.push(format!("{} | {} | {} | listed: {}", case.id, say(&found), case.name, say(&known)));
        }
    }
    wrong.extend(listed.keys().map(|id| format!("{id} is listed, and is no case")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
