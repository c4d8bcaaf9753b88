//! What the papers of a job show or ask by hand and no section may read: a form asks for it all the same, or somebody drives back for a
//! serial number. It must not know sections.

use super::blank::Known;
use super::needs::{Asker, Needs};
use crate::language::program::Program;

/// Facts by kind of record and name, each with the kinds of gate that have it; none where all have it.
const PAPERS: [(&str, &str, &[&str]); 14] = [
    ("job", "site", &[]),
    ("job", "owner", &[]),
    ("job", "installer", &[]),
    ("job", "surveyor", &[]),
    ("job", "surveyed", &[]),
    ("job", "permit", &[]),
    ("job", "permit-date", &[]),
    ("gate", "opening", &[]),
    ("operator", "model", &[]),
    ("operator", "serial", &[]),
    ("operator", "made", &[]),
    ("leaf", "length", &[]),
    ("leaf", "opens-to", &["swing", "bifold"]),
    ("test", "tester", &[]),
];
/// The same where the gate has several leaves.
const DRIVES: [(&str, &str, &[&str]); 3] = [("leaf", "drive-model", &[]), ("leaf", "drive-serial", &[]), ("leaf", "drive-made", &[])];
/// Kinds of record that the papers do not ask for by themselves.
const ASKED_BY_SECTIONS: [&str; 1] = ["test"];

/// Adds what the papers need and no section asks for.
pub fn add(program: &Program, known: &Known, needs: &mut Needs) {
    let kind = known.kind;
    // Where there are several leaves each has a plate of its own to read.
    let drives = DRIVES.into_iter().filter(|_| known.leaves > 1);
    for (of, name, kinds) in PAPERS.into_iter().chain(drives) {
        let Some(def) = program.definition_named(of) else { continue };
        let Some(field) = program.definition(def).field(name) else { continue };
        let idle = ASKED_BY_SECTIONS.contains(&of) && !needs.facts.keys().any(|(asked, _)| *asked == def);
        if !idle && (kinds.is_empty() || kinds.contains(&kind)) {
            let askers = needs.facts.entry((def, field)).or_default();
            if askers.is_empty() {
                askers.insert(Asker::Papers);
            }
        }
    }
}
