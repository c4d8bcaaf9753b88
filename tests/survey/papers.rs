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
