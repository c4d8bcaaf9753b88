//! What was taken as something, since the job does not state it: each such value once, with the things and the clauses that rest on it.
//! It must not know how a list is drawn.

use super::judged::{in_a_row, without_shared};
use super::rows::Row;
use crate::report::document::{Line, Run};
use std::collections::{BTreeMap, BTreeSet};

/// A value that decides whether a clause is asked at all stands in no calculation of it.
const UNNAMED: &str = "what decides whether it is asked";

/// A line for each value that was taken, in the order of the facts.
pub fn taken(rows: &[Row]) -> Vec<Line> {
    let mut found: BTreeMap<String, (BTreeSet<&str>, BTreeSet<String>)> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.finding.assumed) {
        let clause = row.finding.clause_name();
        if row.assumed.is_empty() {
            found.entry(UNNAMED.into()).or_default().1.insert(clause.clone());
        }
        for assumed in &row.assumed {
            let (what, thing) = apart(assumed);
            let (things, clauses) = found.entry(what).or_default();
            things.extend(thing);
            clauses.insert(clause.clone());
        }
    }
    found.into_iter().map(|(what, (things, clauses))| line(what, things, clauses)).collect()
}

/// `test.part of gate main / test force is closing-edge`: what was taken, and whose it is.
fn apart(assumed: &str) -> (String, Option<&str>) {
    match assumed.split_once(" of ").and_then(|(fact, rest)| Some((fact, rest.rsplit_once(" is ")?))) {
        Some((fact, (thing, value))) => (format!("{fact} is {value}"), Some(thing)),
        None => (assumed.to_string(), None),
    }
}

fn line(what: String, things: BTreeSet<&str>, clauses: BTreeSet<String>) -> Line {
    let things: Vec<&str> = things.into_iter().collect();
    let (above, own) = without_shared(&things);
    let own: Vec<&str> = own.iter().map(String::as_str).collect();
    let whose = if own.is_empty() { String::new() } else { format!(" of {above}{}", in_a_row(&own)) };
    let clauses: Vec<String> = clauses.into_iter().collect();
    vec![Run::Strong(what), Run::plain(format!("{whose}; for {}", clauses.join(", ")))]
}
