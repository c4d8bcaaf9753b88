//! What a calculation says in words that every view shares: where a number comes from, how a source is known. It must not know
//! where on the page they stand.

use crate::calculation::tree::{Cited, Given, Input, Member, Origin, Place, Step};

/// A source as one text.
pub(super) fn source(cited: &Cited) -> String {
    let clause = if cited.clause.is_empty() { String::new() } else { format!(", {}", cited.clause) };
    let memory = if cited.from_memory { ", from memory" } else { "" };
    let standing = match cited.standing {
        "practice" => "common practice, no source",
        "invented" => "invented, to show something",
        other => other,
    };
    format!("{}{clause} ({standing}{memory})", cited.title)
}

/// A place in a pack.
pub(super) fn place(place: &Place) -> String {
    format!("{}:{}", place.file, place.line)
}

/// Where a number comes from: whose it is, and the rest.
pub(super) fn origin(input: &Input) -> (String, String) {
    match &input.from {
        Origin::Fact(given) => (of_fact(&input.written, given), fact(given, &input.shown.text)),
        Origin::Step { number } => (String::new(), format!("step {number}")),
        Origin::Argument { put_in } => (String::new(), format!("given as {put_in}")),
        Origin::Row { row, cite, sources, place: at } => {
            let from = cite.iter().cloned().chain(sources.iter().map(source)).collect::<Vec<_>>().join("; ");
            (format!("row {row}"), [at.as_ref().map(place).unwrap_or_default(), from].join(", "))
        }
        Origin::Today => (String::new(), "day of judging".into()),
    }
}

/// Whose a fact is, with its own name where the expression calls it by another.
fn of_fact(written: &str, given: &Given) -> String {
    if written == given.name { given.thing.clone() } else { format!("{} of {}", given.name, given.thing) }
}

fn fact(given: &Given, shown: &str) -> String {
    let line = given.place.as_ref().map_or_else(String::new, |place| format!("line {}", place.line));
    let mut parts = Vec::new();
    match &given.as_written {
        _ if given.assumed => parts.push("assumed: the job does not state it".to_string()),
        Some(text) if text == shown => parts.push(line),
        Some(text) => parts.push(format!("{line}, written {text}")),
        None if shown == "none" => parts.push("not stated, which counts as none".into()),
        None => parts.push(format!("not stated, belongs at {line}")),
    }
    parts.extend(given.tolerance.clone());
    parts.extend(given.follows_from.map(|step| format!("follows from step {step}")));
    parts.join("; ")
}

/// A condition and what came of it.
pub(super) fn outcome(put_in: &str, outcome: &str) -> String {
    if put_in == outcome { outcome.to_string() } else { format!("{put_in}: {outcome}") }
}

/// Whether a result is that of a condition.
pub(super) fn is_outcome(text: &str) -> bool {
    matches!(text, "yes" | "no" | "not sure")
}

/// What a member of a walk gives.
pub(super) fn member(member: &Member) -> Vec<String> {
    let gives = match (&member.put_in, &member.shown) {
        (Some(put_in), Some(shown)) if is_outcome(&shown.text) => outcome(put_in, &shown.text),
        (Some(put_in), Some(shown)) if *put_in != shown.marked() => format!("{put_in} {} {}", shown.sign(), shown.text),
        (_, Some(shown)) => shown.marked(),
        _ => String::new(),
    };
    let taken = match &member.filter {
        Some(filter) => outcome(filter, member.taken_in),
        None => member.taken_in.to_string(),
    };
    let share = member.share.as_ref().map_or_else(String::new, crate::calculation::tree::Shown::marked);
    vec![member.thing.clone(), taken, gives, share]
}

/// The words of a step's title.
pub(super) fn title(step: &Step) -> String {
    format!("{}. {}", step.number, step.title)
}
