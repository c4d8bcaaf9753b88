//! Checks trials against the program of their pack: the sections, clauses and verdicts that they name, what they leave out or
//! say twice. It must not know what a verdict means, nor read any job.

use super::adopt::label_of;
use super::program::{Program, Section};
use super::tree::{Edit, Find, Item, Name, Target, Trial, Unnoticed};
use crate::slip::{Slip, suggest};
use crate::source::Span;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The trials of a pack, checked.
#[derive(Clone, Debug, Default)]
pub struct Trials {
    /// The trials, in the order of their files.
    pub trials: Vec<CheckedTrial>,
    /// Changes that no trial has to notice.
    pub passes: Vec<Pass>,
}

/// A trial, ready to be run.
#[derive(Clone, Debug)]
pub struct CheckedTrial {
    /// Its name.
    pub name: Name,
    /// What it shows.
    pub title: String,
    /// The file of its base job, as written.
    pub job: Name,
    /// What differs from the base job.
    pub edits: Vec<Edit>,
    /// The day of judging.
    pub today: Date,
    /// The ids of the sections that are asked, in the order of the program.
    pub asks: Vec<String>,
    /// What is to be found.
    pub expected: Vec<Expected>,
}

/// One verdict that is expected.
#[derive(Clone, Debug)]
pub struct Expected {
    /// The section's id.
    pub section: String,
    /// The letter of the clause.
    pub label: char,
    /// The thing; `job` where the job itself is asked.
    pub thing: String,
    /// The verdict, as a word.
    pub verdict: String,
    /// Where it is written.
    pub span: Span,
}

/// A change that no trial has to notice.
#[derive(Clone, Debug)]
pub struct Pass {
    /// The place that is changed, as reports write it: `us-gates/lens-height (a)`.
    pub place: String,
    /// The change, in the words of the report.
    pub change: Name,
    /// Why.
    pub because: String,
}

/// The sections that the trials of a pack can ask: its own, and those of other packs that it amends. A minimum's floor goes
/// with the section that it stands below.
pub fn own_sections(program: &Program, pack: &str) -> Vec<usize> {
    let of_pack = |section: &Section| {
        section.id.split_once('/').is_some_and(|(owner, _)| owner == pack) || section.amended_by.iter().any(|by| by == pack)
    };
    let above = |section: &Section| section.floor_of.is_some_and(|above| of_pack(&program.sections[above]));
    let own = program.sections.iter().enumerate().filter(|(_, section)| of_pack(section) || above(section));
    own.map(|(at, _)| at).collect()
}

/// Checks the items of a pack's trial files.
pub fn check_trials(program: &Program, pack: &str, verdicts: VerdictWords, items: Vec<Item>, slips: &mut Vec<Slip>) -> Trials {
    let mut checker = TrialChecker { program, pack, verdicts, own: own_sections(program, pack), slips };
    let mut result = Trials::default();
    let mut names: BTreeMap<String, Span> = BTreeMap::new();
    for item in items {
        match item {
            Item::Trial(trial) => {
                if let Some(first) = names.insert(trial.name.text.clone(), trial.name.span) {
                    let slip = Slip::at(trial.name.span, "doubled-name", format!("a second trial `{}`", trial.name.text));
                    checker.slips.push(slip.label("this one").other(first, "the first").hint("give each trial its own name"));
                }
                result.trials.extend(checker.trial(trial));
            }
            Item::Unnoticed(unnoticed) => result.passes.extend(checker.passes(unnoticed)),
            other => checker.misplaced(&other),
        }
    }
    result
}

/// The verdicts that a pack or a trial can expect: all of them, and those of them that are findings.
#[derive(Clone, Copy, Debug)]
pub struct VerdictWords<'a> {
    /// Every verdict.
    pub all: &'a [&'a str],
    /// Those that are told as findings.
    pub findings: &'a [&'a str],
}

struct TrialChecker<'a> {
    program: &'a Program,
    pack: &'a str,
    verdicts: VerdictWords<'a>,
    own: Vec<usize>,
    slips: &'a mut Vec<Slip>,
}

impl<'a> TrialChecker<'a> {
    /// A trial, if nothing in it hinders running it.
    fn trial(&mut self, trial: Trial) -> Option<CheckedTrial> {
        let before = self.slips.len();
        let jobs: Vec<(Name, Span)> = trial.jobs.iter().map(|job| (job.clone(), job.span)).collect();
        let job = self.only_one(&trial, "job", "job \"jobs/slide.yaml\"", &jobs).cloned();
        let today = self.only_one(&trial, "today", "today 2026-03-02", &trial.days).copied();
        if let Some(job) = job.as_ref().filter(|job| leads_out(&job.text)) {
            let slip = Slip::at(job.span, "job-elsewhere", format!("`{}` leads out of the folder of the trials", job.text));
            self.slips.push(slip.label("here").hint("keep the base job in the folder of the trials, or in a folder below it"));
        }
        let asks = self.asks(&trial.asks);
        let expected = self.finds(&trial, &asks);
        if self.slips.len() > before {
            return None;
        }
        let title = trial.title.map_or_else(String::new, |title| title.text);
        Some(CheckedTrial { name: trial.name, title, job: job?, edits: trial.edits, today: today?, asks, expected })
    }

    /// The one clause of its kind: missing and doubled ones are told.
    fn only_one<'t, T>(&mut self, trial: &Trial, word: &str, example: &str, written: &'t [(T, Span)]) -> Option<&'t T> {
        match written {
            // What could not be read may be the clause that is missing.
            [] if trial.spoiled => {}
            [] => {
                let message = format!("trial `{}` has no `{word}`", trial.name.text);
                let slip = Slip::at(trial.name.span, "missing-clause", message).label("this trial");
                self.slips.push(slip.hint(format!("write, as an example, `{example}`")));
            }
            [_] => {}
            [(_, first), (_, second), ..] => {
                let slip =
                    Slip::at(*second, "doubled-clause", format!("a second `{word}` in trial `{}`", trial.name.text)).label("this one");
                self.slips.push(slip.other(*first, "the first").hint("keep one of them"));
            }
        }
        written.first().map(|(value, _)| value)
    }

    /// The ids of the sections that are asked: those named, or all that are the pack's own.
    fn asks(&mut self, written: &[Target]) -> Vec<String> {
        let wanted: Vec<String> = written.iter().filter_map(|target| self.section(target)).map(|section| section.id.clone()).collect();
        let mut asked: Vec<String> = Vec::new();
        for section in self.own.iter().map(|at| &self.program.sections[*at]) {
            if (written.is_empty() || wanted.contains(&section.id)) && !asked.contains(&section.id) {
                asked.push(section.id.clone());
            }
        }
        asked
    }

    /// One of the pack's own sections.
    fn section(&mut self, target: &Target) -> Option<&'a Section> {
        let id = format!("{}/{}", target.pack, target.item);
        let program = self.program;
        let own = self.own.iter().map(|at| &program.sections[*at]);
        if let Some(section) = own.clone().find(|section| section.id == id) {
            return Some(section);
        }
        let slip = if program.sections.iter().any(|section| section.id == id) {
            Slip::at(target.span, "foreign-section", format!("`{id}` is no section of `{}`", self.pack))
                .label("here")
                .hint("a trial asks only sections of its own pack and those that the pack amends; put it beside the pack that has it")
        } else {
            let hint = suggest(&target.item, own.filter_map(|section| section.id.split_once('/')).map(|(_, name)| name));
            Slip::at(target.span, "unknown-section", format!("there is no section `{id}`")).label("here").hint_maybe(hint)
        };
        self.slips.push(slip);
        None
    }

    fn finds(&mut self, trial: &Trial, asks: &[String]) -> Vec<Expected> {
        let mut expected: Vec<Expected> = Vec::new();
        for find in &trial.finds {
            let Some(one) = self.expected(find, asks) else { continue };
            let twin = |other: &&Expected| (&other.section, other.label, &other.thing) == (&one.section, one.label, &one.thing);
            if let Some(first) = expected.iter().find(twin).filter(|other| other.verdict == one.verdict) {
                let slip = Slip::at(one.span, "doubled-clause", "this verdict is expected twice").label("again");
                self.slips.push(slip.other(first.span, "first").hint("keep one of them"));
            }
            expected.push(one);
        }
        if trial.finds_nothing.is_none() && trial.finds.is_empty() && !trial.spoiled {
            let slip = Slip::at(trial.name.span, "missing-clause", format!("trial `{}` does not say what it finds", trial.name.text));
            let hint = "write `finds PACK/SECTION (a) \"THING\" VERDICT` for each finding, or `finds nothing`";
            self.slips.push(slip.label("this trial").hint(hint));
        }
        if let (Some(nothing), Some(first)) =
            (trial.finds_nothing, trial.finds.iter().find(|find| self.verdicts.findings.contains(&find.verdict.text.as_str())))
        {
            let slip = Slip::at(first.span, "contradicting-finds", "this trial finds nothing, and finds this").label("here");
            self.slips.push(
                slip.other(nothing, "`finds nothing`").hint("beside `finds nothing` stand only met, excepted, excused, not applicable"),
            );
        }
        expected
    }

    fn expected(&mut self, find: &Find, asks: &[String]) -> Option<Expected> {
        if !self.verdicts.all.contains(&find.verdict.text.as_str()) {
            let message = format!("`{}` is no verdict", find.verdict.text);
            let slip = Slip::at(find.verdict.span, "unknown-verdict", message).label("here");
            self.slips.push(slip.hint(format!("verdicts are: {}", self.verdicts.all.join(", "))));
        }
        let section = self.section(&find.target)?;
        let (id, labels): (String, Vec<char>) = (section.id.clone(), section.norms.iter().map(|norm| norm.label).collect());
        if !asks.contains(&id) {
            let slip = Slip::at(find.target.span, "not-asked", format!("this trial does not ask `{id}`")).label("here");
            self.slips.push(slip.hint("name the section in `asks` too, or take this line out"));
        }
        let label = self.label(find, &id, &labels)?;
        let thing = find.thing.as_ref().map_or("job", |thing| thing.text.as_str()).to_string();
        Some(Expected { section: id, label, thing, verdict: find.verdict.text.clone(), span: find.span })
    }

    fn label(&mut self, find: &Find, id: &str, labels: &[char]) -> Option<char> {
        let all = labels.iter().map(|label| format!("({label})")).collect::<Vec<_>>().join(", ");
        let written = find.label.as_ref().and_then(|label| label_of(Some(label), 0).chars().next());
        let (span, message) = match (written, labels) {
            (Some(label), _) if labels.contains(&label) => return Some(label),
            (None, [label]) => return Some(*label),
            (Some(label), _) => (find.label.as_ref()?.span, format!("`{id}` has no clause ({label})")),
            (None, _) => (find.target.span, format!("`{id}` has several clauses")),
        };
        self.slips.push(Slip::at(span, "unknown-clause", message).label("here").hint(format!("its clauses: {all}")));
        None
    }

    fn passes(&mut self, unnoticed: Unnoticed) -> Vec<Pass> {
        let Some(because) = unnoticed.because else {
            let slip = Slip::at(unnoticed.span, "missing-reason", "an `unnoticed` without `because`").label("here");
            self.slips.push(slip.hint("say why no trial has to notice the change: `because \"…\"`"));
            return Vec::new();
        };
        let label = unnoticed.label.map_or_else(String::new, |label| format!(" {}", label.text));
        let place = format!("{}/{}{label}", unnoticed.target.pack, unnoticed.target.item);
        let pass = |change: Name| Pass { place: place.clone(), change, because: because.text.clone() };
        unnoticed.changes.into_iter().map(pass).collect()
    }

    /// An item of a pack among trials.
    fn misplaced(&mut self, item: &Item) {
        let (word, span) = match item {
            Item::Pack(item) => ("pack", item.name.span),
            Item::Source(item) => ("source", item.name.span),
            Item::Values(item) => ("values", item.name.span),
            Item::Definition(item) => ("definition", item.name.span),
            Item::Table(item) => ("table", item.name.span),
            Item::Formula(item) => ("formula", item.name.span),
            Item::Section(item) => ("section", item.name.span),
            Item::Amend(item) => ("amend", item.span),
            Item::Repeal(item) => ("repeal", item.span),
            Item::Trial(_) | Item::Unnoticed(_) => return,
        };
        let slip = Slip::at(span, "misplaced-rule", format!("a `{word}` among trials")).label("here");
        self.slips.push(slip.hint("rules belong to the files of the pack itself; here stand only `trial` and `unnoticed`"));
    }
}

/// Whether a path leads anywhere but down from where it starts. A pack from a stranger must not read other files.
fn leads_out(path: &str) -> bool {
    use std::path::{Component, Path};
    let down = |part: Component| matches!(part, Component::Normal(_) | Component::CurDir);
    path.is_empty() || path.contains('\\') || !Path::new(path).components().all(down)
}
