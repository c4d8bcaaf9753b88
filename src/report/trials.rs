//! The report of a rehearsal for people: trials that do not find what is expected, what the trials exercise section by section,
//! what none reaches, and the changes that none notices. It must not know files.

use super::escape::visible;
use super::excerpt::place_text;
use crate::language::check_trial::Pass;
use crate::language::program::PackInfo;
use crate::rehearse::cover::{ClauseCover, SectionCover};
use crate::rehearse::notice::Noticed;
use crate::rehearse::run::{Rehearsal, Unseen};
use crate::rehearse::trial::{Found, Miss, Ready};
use crate::source::{Files, Span};
use std::fmt::Write;

/// Everything that the report of a rehearsal shows.
#[derive(Clone, Copy)]
pub struct TrialReport<'a> {
    /// The pack.
    pub pack: &'a PackInfo,
    /// Its trials.
    pub trials: &'a [Ready],
    /// Changes that its author lets pass.
    pub passes: &'a [Pass],
    /// What came out.
    pub rehearsal: &'a Rehearsal,
    /// The files of the pack and of its trials.
    pub files: Files<'a>,
}

/// The whole report.
pub fn text(report: &TrialReport) -> String {
    let pack = report.pack;
    let mut text = format!("trials of {} {} [{}] — {}\n", pack.name, visible(&pack.edition), pack.hash, visible(&pack.title));
    failing(report, &mut text);
    exercised(&report.rehearsal.cover, &mut text);
    unreached(&report.rehearsal.cover, &mut text);
    for kind in &report.rehearsal.kinds_without {
        let _ = writeln!(text, "\nThe pack has no `shall` for a gate of kind {kind}.");
    }
    assumed(report, &mut text);
    unnoticed(report, &mut text);
    passed(report, &mut text);
    let _ = writeln!(text, "\n{}", summary(report));
    text
}

/// The last sentence: what came out, in numbers.
pub fn summary(report: &TrialReport) -> String {
    let rehearsal = report.rehearsal;
    let failing = rehearsal.misses.iter().filter(|misses| !misses.is_empty()).count();
    let trials = counted(report.trials.len(), "trial");
    let mut text = match failing {
        0 => format!("{trials}: each finds what is expected"),
        some => format!("{trials}: {} not find what is expected", if some == 1 { "one does".into() } else { format!("{some} do") }),
    };
    let noticed = rehearsal.changes - rehearsal.unnoticed.len() - rehearsal.passed.len();
    let _ = write!(text, "; {}: {noticed} noticed, {} not noticed", counted(rehearsal.changes, "change"), rehearsal.unnoticed.len());
    let _ = write!(text, ", {} let pass for a reason", rehearsal.passed.len());
    if !rehearsal.needless.is_empty() {
        let _ = write!(text, "; {} that nothing needs", counted(rehearsal.needless.len(), "such reason"));
    }
    text + "."
}

/// A number of things: one, or several with an `s`.
pub fn counted(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

fn failing(report: &TrialReport, text: &mut String) {
    for (trial, misses) in report.trials.iter().zip(&report.rehearsal.misses).filter(|(_, misses)| !misses.is_empty()) {
        let _ = writeln!(text, "\ntrial {} does not find what is expected", trial.trial.name.text);
        for miss in misses {
            let span = miss_place(trial, miss);
            let _ = writeln!(text, "  {}: {}", place_text(report.files, span), visible(&miss_sentence(miss)));
        }
    }
}

/// Where a trial is to be mended.
pub fn miss_place(trial: &Ready, miss: &Miss) -> Span {
    match miss {
        Miss::NotFound(span, ..) => *span,
        Miss::Unexpected(_) => trial.trial.name.span,
    }
}

/// What a trial and its author do not agree about.
pub fn miss_sentence(miss: &Miss) -> String {
    match miss {
        Miss::NotFound(_, wanted, verdicts) => {
            let found = if verdicts.is_empty() { "not judged".to_string() } else { verdicts.join(", ") };
            format!("{}, {}: expected {}, found {found}", wanted.clause, wanted.thing, wanted.verdict)
        }
        Miss::Unexpected(found) => format!("{} ({}), {}: {} is not expected", found.section, found.label, found.thing, found.verdict),
    }
}

/// The table of what the trials exercise.
fn exercised(cover: &[SectionCover], text: &mut String) {
    let name = |section: &SectionCover, label: &str| format!("{} ({label})", section.id);
    let clauses = cover.iter().flat_map(|section| section.clauses.iter().map(|clause| name(section, &clause.label.to_string())));
    let width = clauses.map(|name| name.chars().count()).max().unwrap_or(0).max(7) + 2;
    let _ = writeln!(text, "\n{:width$}met  not met  at the limit  open", "clause");
    for section in cover {
        for clause in &section.clauses {
            let [met, not_met, at_limit, open] = marks(clause);
            let name = name(section, &clause.label.to_string());
            let line = format!("{name:width$}{met:5}{not_met:9}{at_limit:14}{open}");
            let _ = writeln!(text, "{}", line.trim_end());
        }
        for (label, used) in &section.exceptions {
            let _ = writeln!(text, "{:width$}exception {}", name(section, label), if *used > 0 { "used" } else { "never used" });
        }
    }
}

/// What the table says of a clause: met, not met, at the limit, open.
fn marks(clause: &ClauseCover) -> [&'static str; 4] {
    let mark = |number: usize| if number > 0 { "yes" } else { "no" };
    [mark(clause.met), mark(clause.not_met), clause.at_limit.map_or("-", mark), mark(clause.open)]
}

fn unreached(cover: &[SectionCover], text: &mut String) {
    let names = unreached_names(cover);
    if !names.is_empty() {
        let _ = writeln!(text, "\nreached by no trial");
        for name in names {
            let _ = writeln!(text, "  {name}");
        }
    }
}

/// Sections, clauses and exceptions that no trial reaches.
pub fn unreached_names(cover: &[SectionCover]) -> Vec<String> {
    let mut names = Vec::new();
    for section in cover {
        if !section.is_reached() {
            names.push(section.id.clone());
            continue;
        }
        let clauses = section.clauses.iter().filter(|clause| clause.reached == 0);
        names.extend(clauses.map(|clause| format!("{} ({})", section.id, clause.label)));
        let exceptions = section.exceptions.iter().filter(|(_, used)| *used == 0);
        names.extend(exceptions.map(|(label, _)| format!("{} ({label})", section.id)));
    }
    names
}

fn unnoticed(report: &TrialReport, text: &mut String) {
    let (hidden, rest): (Vec<&Unseen>, Vec<&Unseen>) =
        report.rehearsal.unnoticed.iter().partition(|unseen| matches!(unseen.noticed, Noticed::Hidden { .. }));
    let line = |unseen: &Unseen| format!("  {}: {}: {}", place_text(report.files, unseen.span), unseen.place, visible(&unseen.words));
    if !rest.is_empty() {
        let _ = writeln!(text, "\nnoticed by no trial");
    }
    for unseen in rest {
        let _ = writeln!(text, "{}", line(unseen));
        if let Some((trial, verdict)) = unnamed(report, unseen) {
            let _ = writeln!(text, "      trial {trial} would notice it with `{}`", visible(&verdict.as_rule()));
        }
    }
    if !hidden.is_empty() {
        let _ = writeln!(text, "\nnoticed by no trial, since a minimum hides it");
    }
    for unseen in &hidden {
        let by = hidden_by(report, unseen).map_or_else(String::new, |(trial, by)| format!(" (hidden by {by} in trial {trial})"));
        let _ = writeln!(text, "{}{by}", line(unseen));
    }
    if !hidden.is_empty() {
        text.push_str(HIDDEN);
    }
}

/// What to do about changes that a minimum hides.
const HIDDEN: &str =
    "  What stays in force as a minimum gives a verdict no better than this text there, whatever this text says. Where this text is to be
  the stricter one, add a trial of a job that meets the minimum and not this text. Where it is the looser one, it does nothing beside the
  minimum: take it out, or write `unnoticed` with that reason.\n";

/// A trial in which a change shows but for a minimum, and the pack that is the minimum.
pub fn hidden_by<'a>(report: &TrialReport<'a>, unseen: &'a Unseen) -> Option<(&'a str, &'a str)> {
    match &unseen.noticed {
        Noticed::Hidden { trial, by } => Some((report.trials.get(*trial)?.trial.name.text.as_str(), by)),
        Noticed::Yes | Noticed::No | Noticed::Unnamed { .. } => None,
    }
}

/// Limits at which an assumed value lies. It is no failing: the author is to know that there the pack decides by a value that nobody saw.
fn assumed(report: &TrialReport, text: &mut String) {
    if !report.rehearsal.assumed.is_empty() {
        let _ = writeln!(text, "\nan assumed value lies exactly at a limit");
    }
    for one in &report.rehearsal.assumed {
        let _ = writeln!(text, "  {}: {}: {}", place_text(report.files, one.span), one.place, visible(&one.words));
    }
}

/// A trial whose verdict changes without its saying so, and that verdict.
pub fn unnamed<'a>(report: &TrialReport<'a>, unseen: &'a Unseen) -> Option<(&'a str, &'a Found)> {
    match &unseen.noticed {
        Noticed::Unnamed { trial, verdict } => Some((report.trials.get(*trial)?.trial.name.text.as_str(), verdict)),
        Noticed::Yes | Noticed::No | Noticed::Hidden { .. } => None,
    }
}

/// Each reason once, with the changes that it lets pass, in the order in which they come.
fn reasons(passed: &[(Unseen, String)]) -> Vec<(&str, Vec<&Unseen>)> {
    let mut all: Vec<(&str, Vec<&Unseen>)> = Vec::new();
    for (unseen, because) in passed {
        match all.iter_mut().find(|(known, _)| known == because) {
            Some((_, covered)) => covered.push(unseen),
            None => all.push((because, vec![unseen])),
        }
    }
    all
}

fn passed(report: &TrialReport, text: &mut String) {
    if !report.rehearsal.passed.is_empty() {
        let _ = writeln!(text, "\nnoticed by no trial, for a reason");
        for (because, covered) in reasons(&report.rehearsal.passed) {
            let _ = writeln!(text, "  {}", visible(because));
            for unseen in covered {
                let _ = writeln!(text, "    {}: {}", unseen.place, visible(&unseen.words));
            }
        }
    }
    if !report.rehearsal.needless.is_empty() {
        let _ = writeln!(text, "\nlet pass, but noticed or not there");
        for pass in report.rehearsal.needless.iter().filter_map(|at| report.passes.get(*at)) {
            let _ = writeln!(text, "  {}: {}: {}", place_text(report.files, pass.change.span), pass.place, visible(&pass.change.text));
        }
    }
}
