//! Two surveys beside each other as JSON lines, for other programs. It must not know how the differences were found.

use super::effect::word;
use super::escape::{json_line, visible};
use super::revisit::{Revisit, Survey, is_worse};
use crate::survey::again::{Differs, Lone, Value};
use serde::Serialize;

/// The JSON Schema of a line of the report.
pub const SCHEMA: &str = include_str!("revisit.schema.json");

impl Revisit {
    /// The report as JSON lines. Values within their tolerances are told as well, whether or not the text would list them.
    pub fn lines(&self) -> String {
        let mut text = json_line(&RunLine {
            kind: "run",
            shape: 1,
            program: "pintle",
            version: env!("CARGO_PKG_VERSION"),
            old: side(&self.old),
            new: side(&self.new),
            order: self.order.word(),
        });
        for verdict in &self.verdicts {
            text.push_str(&json_line(&VerdictLine {
                kind: "verdict",
                section: &verdict.section,
                clause: verdict.clause,
                modal: verdict.modal.word(),
                thing: visible(&verdict.thing).into_owned(),
                from: word(verdict.from),
                to: word(verdict.to),
                worse: is_worse(verdict),
            }));
        }
        for value in self.again.values.iter().chain(&self.again.within) {
            text.push_str(&json_line(&value_line(value)));
        }
        let lone =
            [("not-again", &self.again.not_again), ("first", &self.again.first), ("new", &self.again.new), ("gone", &self.again.gone)];
        for (says, lone) in lone.into_iter().flat_map(|(says, all)| all.iter().map(move |lone| (says, lone))) {
            text.push_str(&json_line(&lone_line(says, lone)));
        }
        for date in self.dates() {
            let (by, was, is) = (visible(date.by).into_owned(), visible(&date.was).into_owned(), visible(&date.is).into_owned());
            text.push_str(&json_line(&DateLine { kind: "date", by, was, is, sections: date.sections }));
        }
        for due in &self.due {
            text.push_str(&json_line(&DueLine {
                kind: "due",
                section: &due.section,
                clause: due.clause,
                modal: due.modal.word(),
                thing: visible(&due.thing).into_owned(),
                until: due.until.map(|day| day.to_string()),
            }));
        }
        text.push_str(&json_line(&EndLine { kind: "end", same: self.again.same, within: self.again.within.len(), exit: self.exit() }));
        text
    }
}

fn side(survey: &Survey) -> SideLine<'_> {
    let file = visible(&survey.file).into_owned();
    let title = visible(&survey.title).into_owned();
    SideLine { file, title, judged_on: &survey.day, codes: &survey.codes, exit: survey.exit }
}

fn value_line(value: &Value) -> ValueLine {
    let seen = |text: &str| visible(text).into_owned();
    ValueLine {
        kind: "value",
        thing: seen(&value.thing),
        fact: seen(&value.fact),
        differs: match value.differs {
            Differs::Moved => "moved",
            Differs::Changed => "changed",
            Differs::Within => "within",
        },
        was: seen(&value.was),
        is: seen(&value.is),
        difference: value.difference.clone(),
        tolerance: value.tolerance.clone(),
    }
}

fn lone_line(says: &'static str, lone: &Lone) -> LoneLine {
    let seen = |text: &String| visible(text).into_owned();
    let (thing, fact, value) = (seen(&lone.thing), lone.fact.as_ref().map(seen), lone.value.as_ref().map(seen));
    LoneLine { kind: "lone", says, thing, fact, value, protects: lone.protects }
}

#[derive(Serialize)]
struct SideLine<'a> {
    file: String,
    title: String,
    judged_on: &'a str,
    codes: &'a [String],
    exit: u8,
}

#[derive(Serialize)]
struct RunLine<'a> {
    kind: &'static str,
    shape: u8,
    program: &'static str,
    version: &'static str,
    old: SideLine<'a>,
    new: SideLine<'a>,
    order: &'static str,
}

#[derive(Serialize)]
struct VerdictLine<'a> {
    kind: &'static str,
    section: &'a str,
    clause: char,
    modal: &'static str,
    thing: String,
    from: &'static str,
    to: &'static str,
    worse: bool,
}

#[derive(Serialize)]
struct ValueLine {
    kind: &'static str,
    thing: String,
    fact: String,
    differs: &'static str,
    was: String,
    is: String,
    difference: Option<String>,
    tolerance: Option<String>,
}

#[derive(Serialize)]
struct LoneLine {
    kind: &'static str,
    says: &'static str,
    thing: String,
    fact: Option<String>,
    value: Option<String>,
    protects: bool,
}

#[derive(Serialize)]
struct DateLine<'a> {
    kind: &'static str,
    by: String,
    was: String,
    is: String,
    sections: &'a [String],
}

#[derive(Serialize)]
struct DueLine<'a> {
    kind: &'static str,
    section: &'a str,
    clause: char,
    modal: &'static str,
    thing: String,
    until: Option<String>,
}

#[derive(Serialize)]
struct EndLine {
    kind: &'static str,
    same: usize,
    within: usize,
    exit: u8,
}
