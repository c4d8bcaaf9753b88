//! The report of a few trials that somebody named: what each finds in full, as a check would draw it, and how that stands to what its
//! author expects. It must not know files.

use super::escape::visible;
use super::excerpt::{place_text, under};
use super::findings::{Inputs, JobReport, report};
use super::plain;
use super::text::{finding, waiting};
use super::trials::{counted, miss_place, miss_sentence};
use crate::language::program::{PackInfo, Program};
use crate::rehearse::trial::{Found, Miss, Ready};
use crate::source::{Files, Sources};
use serde_json::{Value, json};
use std::fmt::Write;

/// What somebody wants to see.
#[derive(Clone, Copy)]
pub struct Named<'a> {
    /// The program of the pack.
    pub program: &'a Program,
    /// The pack.
    pub pack: &'a PackInfo,
    /// The files of the pack and of its trials.
    pub sources: &'a Sources,
    /// How many trials there are in all.
    pub of: usize,
}

/// One trial with what came out.
struct Done<'a> {
    ready: &'a Ready,
    verdicts: Vec<Found>,
    misses: Vec<Miss>,
    report: JobReport<'a>,
}

impl<'a> Named<'a> {
    fn run(&self, ready: &'a Ready) -> Done<'a>
    where
        Self: 'a,
    {
        let program: &'a Program = self.program;
        let judgement = ready.judgement(program);
        let inputs = Inputs {
            program,
            job: &ready.job,
            source: &ready.source,
            today: ready.trial.today,
            unfinished: false,
            all: false,
            known: None,
        };
        let mut report = report(&inputs, &judgement);
        report.files = self.files(ready);
        let verdicts = judgement.judged.iter().map(|one| ready.found(program, one)).collect();
        Done { ready, verdicts, misses: ready.misses(program, &judgement.judged, &ready.asks), report }
    }

    fn files(&self, ready: &'a Ready) -> Files<'a> {
        Files { packs: self.sources, job: Some(&ready.source) }
    }

    /// The report for people, and whether each trial finds what is expected.
    pub fn text(&self, trials: &[&'a Ready], colour: bool) -> (String, bool) {
        let done: Vec<Done> = trials.iter().map(|ready| self.run(ready)).collect();
        let mut text = String::new();
        for one in &done {
            text.push_str(&self.one(one, colour));
        }
        let _ = writeln!(text, "{} No change of the pack was tried.", summary(&done, self.of));
        (text, as_expected(&done))
    }

    fn one(&self, done: &Done, colour: bool) -> String {
        let (trial, files) = (&done.ready.trial, done.report.files);
        let pack = self.pack;
        let title = if trial.title.is_empty() { String::new() } else { format!(" — {}", visible(&trial.title)) };
        let mut text = format!("trial {} of {} {} [{}]{title}\n\n", trial.name.text, pack.name, visible(&pack.edition), pack.hash);
        for one in &done.report.findings {
            text.push_str(&finding(one, files, colour));
            text.push('\n');
        }
        for one in &done.report.waiting {
            text.push_str(&waiting(one, files, colour));
            text.push('\n');
        }
        for one in &done.report.carried {
            let by = one.carried_by.as_deref().unwrap_or("");
            text.push_str(&under(one.verdict, &format!("{}, {}: {by}", one.clause_name(), one.thing)));
        }
        let amiss = |span| done.misses.iter().any(|miss| matches!(miss, Miss::NotFound(at, ..) if *at == span));
        for one in trial.expected.iter().filter(|one| !amiss(one.span)) {
            text.push_str(&under("expected", &format!("{} ({}), {}: {}", one.section, one.label, one.thing, one.verdict)));
        }
        for miss in &done.misses {
            let place = place_text(files, miss_place(done.ready, miss));
            let write = match miss {
                Miss::Unexpected(found) => format!("; `{}` would expect it", found.as_rule()),
                Miss::NotFound(..) => String::new(),
            };
            text.push_str(&under("amiss", &format!("{}{write} ({place})", miss_sentence(miss))));
        }
        let ends = if done.misses.is_empty() { "finds what is expected" } else { "does not find what is expected" };
        text + &under("outcome", ends) + "\n"
    }

    /// The same as JSON lines.
    pub fn lines(&self, trials: &[&'a Ready]) -> (String, bool) {
        let done: Vec<Done> = trials.iter().map(|ready| self.run(ready)).collect();
        let pack = self.pack;
        let mut all = vec![json!({
            "kind": "run", "shape": super::trial_lines::SHAPE, "program": "pintle", "version": env!("CARGO_PKG_VERSION"),
            "pack": pack.name, "edition": pack.edition, "hash": pack.hash, "place": pack.place,
        })];
        all.extend(done.iter().map(line));
        let expected = as_expected(&done);
        all.push(
            json!({ "kind": "end", "trials": done.len(), "of": self.of, "summary": summary(&done, self.of), "exit": u8::from(!expected) }),
        );
        let text = all.iter().map(|line| super::escape::json(&line.to_string()).into_owned() + "\n").collect();
        (text, expected)
    }
}

fn line(done: &Done) -> Value {
    let (trial, files) = (&done.ready.trial, done.report.files);
    let place = |span| files.place(span).map(|(file, place)| json!({ "file": file, "line": place.line, "column": place.column }));
    let miss = |miss| json!({ "says": miss_sentence(miss), "place": place(miss_place(done.ready, miss)) });
    let verdict =
        |one: &Found| json!({ "section": one.section, "clause": one.label.to_string(), "thing": one.thing, "verdict": one.verdict });
    let findings = done.report.findings.iter().map(|one| plain::finding(one, files));
    let says: Vec<String> =
        findings.chain(done.report.waiting.iter().map(|one| plain::waiting(one, files))).map(|says| says.trim_end().to_string()).collect();
    json!({
        "kind": "trial", "name": trial.name.text, "title": trial.title, "as_expected": done.misses.is_empty(), "place": place(trial.name.span),
        "misses": done.misses.iter().map(miss).collect::<Vec<_>>(), "verdicts": done.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "findings": says,
    })
}

fn as_expected(done: &[Done]) -> bool {
    done.iter().all(|one| one.misses.is_empty())
}

fn summary(done: &[Done], of: usize) -> String {
    let failing = done.iter().filter(|one| !one.misses.is_empty()).count();
    let ends = match failing {
        0 => "each finds what is expected".to_string(),
        1 => "one does not find what is expected".to_string(),
        some => format!("{some} do not find what is expected"),
    };
    format!("{} of {of}: {ends}.", counted(done.len(), "trial"))
}
