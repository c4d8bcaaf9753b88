//! What the papers of a job show is asked for by every form, and marked as asked for the papers.

use super::{CODES, KINDS, compiled, form_of};

#[test]
fn what_the_papers_show_is_asked_for() {
    let packs = compiled(CODES[8]);
    let program = packs.program.as_ref().expect("packs");
    for kind in KINDS {
        let made = form_of(program, kind, false);
        let asks = |of: &str, fact: &str| {
            let def = program.definition_named(of).expect("a kind of record");
            made.asks(def, program.definition(def).field(fact).unwrap_or_else(|| panic!("{fact}")))
        };
        for (of, fact) in [
            ("job", "site"),
            ("job", "permit"),
            ("operator", "model"),
            ("operator", "serial"),
            ("test", "tester"),
            ("gate", "opening"),
            ("leaf", "length"),
        ] {
            assert!(asks(of, fact), "{kind}: {of}.{fact}");
        }
        assert_eq!(asks("leaf", "opens-to"), matches!(kind, "swing" | "bifold"), "{kind}");
        let yaml = pintle::report::survey::fill_in::yaml(program, &made);
        assert!(yaml.contains("for the papers: no section reads it"), "{kind}");
    }
}

#[test]
fn each_leaf_of_several_is_asked_for_its_drive_its_edge_and_its_protection() {
    let arguments = ["survey", "--kind", "swing", "--leaves", "2", "--codes", "us-gates,field-practice"];
    let (code, yaml, err) = super::pintle(&arguments);
    assert_eq!(code, 0, "{err}");
    for block in ["- id: leaf-1", "- id: leaf-2", "- id: edge-2", "- id: zone-2", "- id: inherent-sensing-2"] {
        assert!(yaml.contains(block), "{block}\n{yaml}");
    }
    let second = |block: &str| yaml.split(block).nth(1).unwrap().split("\n\n").next().unwrap().to_string();
    let leaf = second("- id: leaf-2");
    for key in ["length:", "drive-model:", "drive-serial:", "hinge-gap-least:", "opens-to:"] {
        assert!(leaf.contains(key), "{key}\n{leaf}");
    }
    for block in ["- id: edge-2", "- id: zone-2", "- id: inherent-sensing-2"] {
        assert!(second(block).contains("leaf: leaf-2"), "{block}: {}", second(block));
    }
    // It is a job file: it reads without slips, and nothing passes by it.
    let folder = std::env::temp_dir().join(format!("pintle-leaves-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("form.yaml");
    std::fs::write(&file, &yaml).unwrap();
    let (code, out, err) = super::pintle(&["check", file.to_str().unwrap(), "--today", "2026-04-01"]);
    assert_eq!(code, 1, "{out}{err}");
    let (code, page, _) = super::pintle(&[&arguments[..], &["--as", "html"]].concat());
    assert!(code == 0 && page.contains(">leaf-2</td>") && page.contains("drive-serial"), "{page}");
    std::fs::remove_dir_all(&folder).unwrap();
    // A gate of one leaf has its drive on one plate.
    let (_, one, _) = super::pintle(&["survey", "--kind", "swing", "--codes", "us-gates,field-practice"]);
    assert!(!one.contains("drive-serial") && !one.contains("leaf-2"), "{one}");
    assert_eq!(super::pintle(&["survey", "--kind", "swing", "--leaves", "0", "--codes", "us-gates"]).0, 2);
}
