//! Two surveys of one site beside each other: verdicts that changed, values that moved, what was not measured again, dates, what is due;
//! as text and as a document. It must not know how any of it was found.

use super::blocks::Ledger;
use super::document::{Block, Document, Line, Run, words};
use super::effect::{VerdictChange, word};
use super::escape::visible;
use super::sheet::top::upper;
use super::totals::CAUTION;
use super::wrap::{WIDTH, wrapped};
use crate::language::tree::Modal;
use crate::slip::first_few;
use crate::survey::again::{Again, Differs, Lone, Value};
use crate::survey::dates::Basis;
use crate::survey::due::Due;
use crate::survey::later::Order;
use std::fmt::Write;

/// What stands first where there is any of it.
const PROTECTION_GONE: &str = "Protection that is gone";
/// Most sections that a date names.
const MOST_NAMED: usize = 4;

/// One of the two surveys.
#[derive(Clone, Debug)]
pub struct Survey {
    /// The job file.
    pub file: String,
    /// Its title.
    pub title: String,
    /// The day by which it is judged.
    pub day: String,
    /// Why that day.
    pub why: &'static str,
    /// Its codes, each with edition and hash.
    pub codes: Vec<String>,
    /// The exit code of a check on that day.
    pub exit: u8,
    /// The day on which it says that it was made.
    pub surveyed: Option<String>,
    /// The dates by which its sections are judged.
    pub bases: Vec<Basis>,
}

/// Everything that there is to tell.
#[derive(Clone, Debug)]
pub struct Revisit {
    /// Whether the newer survey was made later.
    pub order: Order,
    /// The older survey.
    pub old: Survey,
    /// The newer survey.
    pub new: Survey,
    /// Verdicts that are others.
    pub verdicts: Vec<VerdictChange>,
    /// Values and things that are others.
    pub again: Again,
    /// What is due after the newer one.
    pub due: Vec<Due>,
    /// Whether values within their tolerances are listed.
    pub all: bool,
}

/// A date by which sections are judged, with what either survey states for it.
pub struct BothDates<'a> {
    /// The date, or that none decides.
    pub by: &'a str,
    /// What the older survey states.
    pub was: String,
    /// What the newer survey states.
    pub is: String,
    /// The sections of the newer survey, or of the older one where only that is judged by it.
    pub sections: &'a [String],
}

impl Revisit {
    /// Puts the worst first.
    pub fn sort(&mut self) {
        self.verdicts.sort_by(|a, b| (a.weight(), &a.section, a.clause, &a.thing).cmp(&(b.weight(), &b.section, b.clause, &b.thing)));
    }

    /// The exit code: 2 where one of the surveys could not be judged whole or they are the wrong way round; 1 where a mandatory verdict
    /// became worse and asks for something to be done, where protection is gone, or where nobody says that the gate was looked at again;
    /// else 0.
    pub fn exit(&self) -> u8 {
        if self.new.exit >= 2 || self.old.exit >= 2 {
            return self.new.exit.max(self.old.exit);
        }
        if self.order == Order::Swapped {
            return 2;
        }
        let worse = self.verdicts.iter().any(|verdict| is_worse(verdict) && verdict.modal == Modal::Shall);
        u8::from(worse || self.order != Order::Later || self.protection_gone().next().is_some())
    }

    /// Things that protected, or held what does, and are gone.
    pub fn protection_gone(&self) -> impl Iterator<Item = &Lone> {
        self.again.gone.iter().filter(|lone| lone.protects)
    }

    /// Why nothing is proved of the gate since the older survey; nothing where it was surveyed again.
    pub fn doubt(&self) -> Option<String> {
        let (old, new) = (self.old.surveyed.as_deref(), self.new.surveyed.as_deref());
        let (was, is) = (old.unwrap_or("no day"), new.unwrap_or("no day"));
        match self.order {
            Order::Later => None,
            Order::NotLater => Some(format!(
                "Not surveyed again: the newer file names {is} as its day of survey, which is no later than {was} of the older one. Nothing \
                 is proved of the gate since then: what follows compares two readings of the same time."
            )),
            Order::Swapped => Some(format!(
                "The wrong way round: the file given as newer was surveyed on {is}, before the one given as older ({was}). Give the older \
                 one first; below, old and new are exchanged."
            )),
            Order::Copied => Some(format!(
                "Not known to be surveyed again: but for its day of survey, {is} after {was}, the newer file is a copy of the older one, with no \
                 reading, test or visit of its own. Nothing is proved of the gate since then."
            )),
            Order::NotStated => Some(format!(
                "Not known to be surveyed again: the older file names {was} of survey and the newer one {is} (`surveyed`). Nothing is proved \
                 of the gate since then."
            )),
        }
    }

    /// Whether a verdict is listed: a good one that only one of the surveys asks for is no news, unless everything is.
    fn tells(&self, verdict: &VerdictChange) -> bool {
        let good = |given: Option<super::effect::Given>| given.is_none_or(|given| !given.rank.is_finding());
        self.all || !(good(verdict.from) && good(verdict.to) && (verdict.from.is_none() || verdict.to.is_none()))
    }

    /// What there is, in one sentence.
    pub fn summary(&self) -> String {
        let worse = self.verdicts.iter().filter(|verdict| is_worse(verdict)).count();
        let counted = |number: usize, one: &str, many: &str| format!("{number} {}", if number == 1 { one } else { many });
        let moved = self.again.values.iter().filter(|value| value.differs == Differs::Moved).count();
        let others = self.again.values.len() - moved;
        let ready = |exit: u8| ["ready", "not ready", "could not be judged whole"].get(usize::from(exit)).copied().unwrap_or("a fault");
        let (was, is) = (ready(self.old.exit), ready(self.new.exit));
        let state = match (self.order, was == is) {
            (Order::Later, true) => format!("{was} on both days"),
            (Order::Later, false) => format!("{was} becomes {is}"),
            (_, true) => format!("as written down, {was} by both files"),
            (..) => format!("as written down, {was} by the older file and {is} by the newer one"),
        };
        let gone = match self.protection_gone().count() {
            0 => String::new(),
            some => format!("worse: {} gone; ", counted(some, "thing that protected is", "things that protected are")),
        };
        format!(
            "{gone}{state}; {}, {worse} for the worse; {} beyond tolerance, {others} changed, {} within tolerance, {} the same; {} not measured \
             again.",
            counted(self.verdicts.len(), "verdict changes", "verdicts change"),
            counted(moved, "value moved", "values moved"),
            self.again.within.len(),
            self.again.same,
            self.again.not_again.len()
        )
    }

    /// The dates of both surveys.
    pub fn dates(&self) -> Vec<BothDates<'_>> {
        let stated = |bases: &[Basis], by: &Option<String>, day: &str| match bases.iter().find(|basis| basis.by == *by) {
            None => "not asked".to_string(),
            Some(_) if by.as_deref() == Some("today") => day.to_string(),
            Some(basis) => basis.stated.join(", "),
        };
        let mut all: Vec<&Basis> = self.new.bases.iter().collect();
        all.extend(self.old.bases.iter().filter(|basis| self.new.bases.iter().all(|other| other.by != basis.by)));
        all.into_iter()
            .map(|basis| BothDates {
                by: basis.by.as_deref().unwrap_or("no date: in force on any day"),
                was: stated(&self.old.bases, &basis.by, &self.old.day),
                is: stated(&self.new.bases, &basis.by, &self.new.day),
                sections: &basis.sections,
            })
            .collect()
    }

    /// The report as text.
    pub fn text(&self) -> String {
        let mut text = String::new();
        for (side, survey) in [("Old", &self.old), ("New", &self.new)] {
            let head = format!(
                "{side}: {}, {}, judged by {} on {} ({})",
                survey.file,
                survey.title,
                survey.codes.join(", "),
                survey.day,
                survey.why
            );
            wrapped(&mut text, "", 5, &head, WIDTH);
        }
        text.push('\n');
        if let Some(doubt) = self.doubt() {
            wrapped(&mut text, "", 0, &doubt, WIDTH);
        }
        wrapped(&mut text, "", 0, &self.summary(), WIDTH);
        section(&mut text, PROTECTION_GONE, self.protection_gone().map(lone_line));
        let (told, quiet): (Vec<&VerdictChange>, Vec<&VerdictChange>) = self.verdicts.iter().partition(|verdict| self.tells(verdict));
        section(&mut text, "Verdicts that change, the worst first", told.into_iter().map(verdict_line));
        if !quiet.is_empty() {
            wrapped(&mut text, "  ", 4, &format!("and {} good ones of what is asked of one survey alone", quiet.len()), WIDTH);
        }
        section(&mut text, "Moved beyond tolerance, or changed", self.moved_first().map(value_line));
        if self.all {
            section(&mut text, "Other readings within tolerance", self.again.within.iter().map(value_line));
        }
        section(&mut text, "Not measured again", self.again.not_again.iter().map(lone_line));
        section(&mut text, "Stated for the first time", self.again.first.iter().map(lone_line));
        section(&mut text, "New", self.again.new.iter().map(lone_line));
        section(&mut text, "Gone", self.again.gone.iter().filter(|lone| !lone.protects).map(lone_line));
        section(&mut text, "Dates by which sections are judged", self.dates().iter().map(date_line));
        section(&mut text, "Due next", self.due.iter().map(due_line));
        text.push('\n');
        wrapped(&mut text, "", 0, &format!("caution: {CAUTION}"), WIDTH);
        text
    }

    /// The values that moved, before those that only read otherwise, such as the days of tests done again.
    fn moved_first(&self) -> impl Iterator<Item = &Value> {
        let values = |moved: bool| self.again.values.iter().filter(move |value| (value.differs == Differs::Moved) == moved);
        values(true).chain(values(false))
    }

    /// The answer in a frame: whether it is worse, and why that may not be known.
    fn answer(&self) -> Block {
        let (kind, sentence) = match (self.exit(), self.order) {
            // Nothing worse is no good news where it was not ready before: the frame never looks as if it were.
            (0, _) if self.new.exit > 0 => {
                ("not-ready", "Not ready: surveyed again, and nothing mandatory is worse, but neither is it in order.")
            }
            (0, _) => ("ready", "Surveyed again, and nothing mandatory is worse."),
            (1, Order::Later) => ("not-ready", "Surveyed again, and something is worse."),
            (1, _) => ("unjudged", "Nothing is proved: the gate is not known to have been surveyed again."),
            (_, Order::Swapped) => ("unjudged", "Nothing is proved: the surveys are given the wrong way round."),
            _ => ("unjudged", "One of the surveys could not be judged whole."),
        };
        let mut inner = vec![Block::Paragraph(words(sentence))];
        inner.extend(self.doubt().map(|doubt| Block::Paragraph(words(doubt))));
        inner.push(Block::Paragraph(words(upper(&self.summary()))));
        Block::Boxed(kind, inner)
    }

    /// The report as a document.
    pub fn document(&self) -> Document {
        let title = format!("Revisit: {}", if self.new.title.is_empty() { &self.new.file } else { &self.new.title });
        let mut document = Document { title, caution: CAUTION.to_string(), ..Document::default() };
        document.lead.push(self.answer());
        let rows = self.protection_gone().map(lone_row).map(|row| row.into_iter().take(1).collect()).collect::<Vec<_>>();
        if !rows.is_empty() {
            table(&mut document, "protection-gone", PROTECTION_GONE, &["thing"], rows);
        }
        let rows = self.verdicts.iter().filter(|verdict| self.tells(verdict)).map(|verdict| {
            let clause = format!("{}{}", verdict.clause_name(), verdict.modal_note());
            let to = match verdict.to {
                Some(given) => vec![Run::Verdict(given.rank, word(verdict.to).into())],
                None => words(word(verdict.to)),
            };
            vec![words(clause), words(&verdict.thing), words(word(verdict.from)), to]
        });
        table(&mut document, "verdicts", "Verdicts that change, the worst first", &["clause", "thing", "was", "is"], rows.collect());
        let heads = ["thing", "fact", "was", "is", "difference", "both may be off by"];
        table(&mut document, "values", "Moved beyond tolerance, or changed", &heads, self.moved_first().map(value_row).collect());
        if self.all {
            table(&mut document, "within", "Other readings within tolerance", &heads, self.again.within.iter().map(value_row).collect());
        }
        let lone = |all: &[Lone]| all.iter().map(lone_row).collect::<Vec<_>>();
        table(&mut document, "not-again", "Not measured again", &["thing", "fact", "was"], lone(&self.again.not_again));
        table(&mut document, "first", "Stated for the first time", &["thing", "fact", "is"], lone(&self.again.first));
        let things = [("new", "new", &self.again.new), ("gone", "gone", &self.again.gone)];
        let told = |word, lone: &Lone| {
            vec![words(&lone.thing), words(if lone.protects { format!("{word}; it protects") } else { String::from(word) })]
        };
        let rows = things.into_iter().flat_map(|(word, _, all)| all.iter().map(move |lone| told(word, lone)));
        table(&mut document, "things", "New and gone", &["thing", "state"], rows.collect());
        let rows = self.dates().into_iter().map(|date| {
            let sections = format!("{}: {}", date.sections.len(), named(date.sections));
            vec![words(date.by), words(date.was), words(date.is), words(sections)]
        });
        table(&mut document, "dates", "Dates by which sections are judged", &["date", "old", "new", "sections"], rows.collect());
        let rows = self.due.iter().map(|due| {
            let clause = format!("{} ({}){}", due.section, due.clause, modal_note(due.modal));
            vec![words(until(due)), words(clause), words(&due.thing), words(&due.title)]
        });
        table(&mut document, "due", "Due next", &["until", "clause", "thing", "what"], rows.collect());
        let side = |name: &str, survey: &Survey| {
            let surveyed = survey.surveyed.clone().unwrap_or_else(|| "not stated".into());
            let judged = format!("{} ({})", survey.day, survey.why);
            vec![words(name), words(&survey.file), words(surveyed), words(judged), words(survey.codes.join(", "))]
        };
        let heads = ["survey", "file", "surveyed", "judged on", "codes"];
        table(&mut document, "surveys", "The two surveys", &heads, vec![side("old", &self.old), side("new", &self.new)]);
        document
    }
}

fn table(document: &mut Document, id: &str, heading: &str, heads: &[&str], rows: Vec<Vec<Line>>) {
    document.heading(2, id, heading);
    if rows.is_empty() {
        document.paragraph(words("Nothing."));
    }
    if !rows.is_empty() {
        document.blocks.push(Block::Ledger(Ledger::plain(heading, heads, rows)));
    }
}

fn section(text: &mut String, heading: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{heading}");
    for line in lines {
        wrapped(text, "  ", 4, &line, WIDTH);
    }
}

/// Whether a verdict asks for something to be done and was better before.
pub(super) fn is_worse(verdict: &VerdictChange) -> bool {
    verdict.is_worse() && verdict.to.is_some_and(|given| given.rank.is_finding())
}

fn modal_note(modal: Modal) -> &'static str {
    if modal == Modal::Shall { "" } else { " (recommended)" }
}

fn verdict_line(verdict: &VerdictChange) -> String {
    format!("{}{}, {}: {}", verdict.clause_name(), verdict.modal_note(), verdict.thing, verdict.step())
}

fn value_line(value: &Value) -> String {
    let mut line = format!("{} of {}: {} becomes {}", value.fact, value.thing, value.was, value.is);
    if let Some(difference) = &value.difference {
        let _ = write!(line, ", {difference}");
        line.push_str(&match &value.tolerance {
            Some(tolerance) => format!("; both readings together may be off by {tolerance}"),
            None => "; no tolerance is stated".to_string(),
        });
    }
    line
}

fn value_row(value: &Value) -> Vec<Line> {
    let tolerance = match (&value.difference, &value.tolerance) {
        (_, Some(tolerance)) => tolerance.clone(),
        (Some(_), None) => "not stated".into(),
        (None, None) => String::new(),
    };
    let difference = value.difference.clone().unwrap_or_default();
    vec![words(&value.thing), words(&value.fact), words(&value.was), words(&value.is), words(difference), words(tolerance)]
}

fn lone_line(lone: &Lone) -> String {
    let value = lone.value.as_ref().map_or_else(String::new, |value| format!(" ({value})"));
    match &lone.fact {
        Some(fact) => format!("{fact} of {}{value}", lone.thing),
        None => format!("{}{value}", lone.thing),
    }
}

fn lone_row(lone: &Lone) -> Vec<Line> {
    vec![words(&lone.thing), words(lone.fact.as_deref().unwrap_or("")), words(lone.value.as_deref().unwrap_or(""))]
}

/// The first few sections by name.
fn named(sections: &[String]) -> String {
    first_few(sections, MOST_NAMED, ',')
}

fn date_line(date: &BothDates) -> String {
    let stated = match (date.was.as_str(), date.is.as_str()) {
        ("", "") => String::new(),
        (was, is) if was == is => format!(" ({is} in both)"),
        (was, is) => format!(" ({was} becomes {is})"),
    };
    let many = if date.sections.len() == 1 { "section" } else { "sections" };
    format!("{}{stated}: {} {many}: {}", date.by, date.sections.len(), named(date.sections))
}

fn until(due: &Due) -> String {
    due.until.map_or_else(|| "overdue".to_string(), |day| day.to_string())
}

fn due_line(due: &Due) -> String {
    let when = due.until.map_or_else(|| "overdue".to_string(), |day| format!("by {day}"));
    format!("{when}: {}, {} ({}){}", due.thing, due.section, due.clause, modal_note(due.modal)) + &visible(&format!(": {}", due.title))
}
