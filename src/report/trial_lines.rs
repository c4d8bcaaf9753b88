//! A rehearsal as JSON lines: one object a line, each with its `kind`. It must not know files.

use super::trials::{TrialReport, hidden_by, miss_place, miss_sentence, summary, unnamed, unreached_names};
use crate::rehearse::run::Unseen;
use crate::source::Span;
use serde_json::{Value, json};

/// The JSON Schema of a line of the report.
pub const SCHEMA: &str = include_str!("trial.schema.json");

/// Version of the shape; within one number fields are only added.
pub const SHAPE: u32 = 1;

/// The whole report.
pub fn lines(report: &TrialReport, exit: u8) -> String {
    let (pack, rehearsal) = (report.pack, report.rehearsal);
    let mut all = vec![json!({
        "kind": "run", "shape": SHAPE, "program": "pintle", "version": env!("CARGO_PKG_VERSION"),
        "pack": pack.name, "edition": pack.edition, "hash": pack.hash, "place": pack.place,
    })];
    for (trial, misses) in report.trials.iter().zip(&rehearsal.misses) {
        let miss = |miss| json!({ "says": miss_sentence(miss), "place": place(report, miss_place(trial, miss)) });
        all.push(json!({
            "kind": "trial", "name": trial.trial.name.text, "title": trial.trial.title, "as_expected": misses.is_empty(),
            "place": place(report, trial.trial.name.span), "misses": misses.iter().map(miss).collect::<Vec<_>>(),
        }));
    }
    for section in &rehearsal.cover {
        for clause in &section.clauses {
            all.push(json!({
                "kind": "clause", "section": section.id, "clause": clause.label.to_string(), "met": clause.met, "not_met": clause.not_met,
                "at_limit": clause.at_limit, "open": clause.open, "reached": clause.reached,
            }));
        }
        for (label, used) in &section.exceptions {
            all.push(json!({ "kind": "exception", "section": section.id, "exception": label, "used": used }));
        }
    }
    all.extend(unreached_names(&rehearsal.cover).into_iter().map(|name| json!({ "kind": "unreached", "name": name })));
    all.extend(rehearsal.kinds_without.iter().map(|kind| json!({ "kind": "no-shall", "gate_kind": kind })));
    all.extend(
        rehearsal
            .assumed
            .iter()
            .map(|one| json!({ "kind": "assumed-at-limit", "where": one.place, "says": one.words, "place": place(report, one.span) })),
    );
    all.extend(rehearsal.unnoticed.iter().map(|unseen| change(report, unseen, None)));
    all.extend(rehearsal.passed.iter().map(|(unseen, because)| change(report, unseen, Some(because))));
    for pass in rehearsal.needless.iter().filter_map(|at| report.passes.get(*at)) {
        let at = place(report, pass.change.span);
        all.push(json!({ "kind": "needless-pass", "changes": pass.place, "change": pass.change.text, "place": at }));
    }
    all.push(json!({
        "kind": "end", "trials": report.trials.len(), "changes": rehearsal.changes, "unnoticed": rehearsal.unnoticed.len(),
        "passed": rehearsal.passed.len(), "summary": summary(report), "exit": exit,
    }));
    all.iter().map(|line| super::escape::json(&line.to_string()).into_owned() + "\n").collect()
}

fn change(report: &TrialReport, unseen: &Unseen, because: Option<&String>) -> Value {
    let hint = unnamed(report, unseen).map(|(trial, verdict)| json!({ "trial": trial, "would_notice_with": verdict.as_rule() }));
    json!({
        "kind": "unnoticed", "changes": unseen.place, "change": unseen.words, "place": place(report, unseen.span),
        "because": because, "hint": hint, "hidden_by": hidden_by(report, unseen).map(|(trial, by)| json!({ "trial": trial, "minimum": by })),
    })
}

fn place(report: &TrialReport, span: Span) -> Value {
    let Some((file, place)) = report.files.place(span) else { return Value::Null };
    json!({ "file": file, "line": place.line, "column": place.column })
}
