//! What a change of the codes does: the change in sentences, the verdicts that change by section and by job, the worst first; as
//! text. It must not know how anything is judged.

use super::escape::visible;
use super::totals::CAUTION;
use super::trials::counted;
use super::wrap::{WIDTH, wrapped};
use crate::judge::rank::Rank;
use crate::language::change::Change;
use crate::language::program::PackInfo;
use crate::language::tree::Modal;
use crate::slip::first_few;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Most jobs that a line of a section names, and most sections that a sentence on a pack does.
const MOST_NAMED: usize = 5;

/// One side: the codes, and every pack that takes part.
#[derive(Clone, Debug)]
pub struct SideInfo {
    /// The codes.
    pub codes: Vec<String>,
    /// The packs.
    pub packs: Vec<PackInfo>,
}

/// A verdict that one side gives a clause and a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Given {
    /// The verdict, as a word.
    pub word: &'static str,
    /// Its rank, from the mildest to the worst.
    pub rank: Rank,
}

/// A verdict that is another on the other side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerdictChange {
    /// `pack/section`.
    pub section: String,
    /// The clause's letter.
    pub clause: char,
    /// Its weight, on the side that asks it, the new one first.
    pub modal: Modal,
    /// What was judged.
    pub thing: String,
    /// What it was; nothing where the old side does not ask it.
    pub from: Option<Given>,
    /// What it is; nothing where the new side does not ask it.
    pub to: Option<Given>,
}

impl VerdictChange {
    /// Whether it is for the worse or the better; a clause that is asked anew and met is neither.
    pub fn turn(&self) -> Turn {
        match finding_rank(self.to).cmp(&finding_rank(self.from)) {
            Ordering::Greater => Turn::Worse,
            Ordering::Less => Turn::Better,
            Ordering::Equal => Turn::Neither,
        }
    }

    /// Whether it asks for something to be done, and did not before, or is further from being met.
    pub fn is_worse(&self) -> bool {
        self.turn() == Turn::Worse
    }

    /// Orders what became worse before what became better, and among those the worst first.
    pub(super) fn weight(&self) -> (Turn, bool, std::cmp::Reverse<Rank>, Rank) {
        let (from, to) = (rank(self.from), rank(self.to));
        let turn = self.turn();
        let (worst, other) = if turn == Turn::Better { (from, to) } else { (to, from) };
        (turn, self.modal != Modal::Shall, std::cmp::Reverse(worst), other)
    }

    /// `met becomes not met`.
    pub(super) fn step(&self) -> String {
        format!("{} becomes {}", word(self.from), word(self.to))
    }

    pub(super) fn clause_name(&self) -> String {
        format!("{} ({})", self.section, self.clause)
    }

    pub(super) fn modal_note(&self) -> &'static str {
        if self.modal == Modal::Shall { "" } else { " (recommended)" }
    }
}

/// Which way a verdict turns, the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// It asks for something to be done, and did not before, or is further from being met.
    Worse,
    /// The other way.
    Better,
    /// Nothing has to be done by either: asked anew and met, or no longer asked.
    Neither,
}

/// The rank of a verdict that asks for something to be done; the mildest for every other.
fn finding_rank(given: Option<Given>) -> Rank {
    given.map(|given| given.rank).filter(|rank| rank.is_finding()).unwrap_or(Rank::NotApplicable)
}

fn rank(given: Option<Given>) -> Rank {
    given.map_or(Rank::NotApplicable, |given| given.rank)
}

/// The word of a verdict, or that it is not asked: the code has no such clause, or the survey no such thing.
pub(super) fn word(given: Option<Given>) -> &'static str {
    given.map_or("not asked", |given| given.word)
}

/// What the change does to one job.
#[derive(Clone, Debug)]
pub struct JobEffect {
    /// The job file.
    pub file: String,
    /// Its verdicts that change, the worst first.
    pub verdicts: Vec<VerdictChange>,
    /// The exit codes of a check by either side.
    pub exits: (u8, u8),
    /// Why one of the sides could not judge it.
    pub unjudged: Option<String>,
    /// Why either side could not judge it whole.
    pub why: (Option<String>, Option<String>),
}

/// Everything that there is to tell.
#[derive(Clone, Debug)]
pub struct Effect {
    /// The day of judging.
    pub today: String,
    /// The day that each permit was taken to be of, where somebody asked for it.
    pub permit: Option<String>,
    /// The old side.
    pub from: SideInfo,
    /// The new side.
    pub to: SideInfo,
    /// What differs between the sides.
    pub changes: Vec<Change>,
    /// The jobs, those with the worst change first.
    pub jobs: Vec<JobEffect>,
}

/// Verdict changes of one clause, by what was and is.
pub(super) struct Group<'a> {
    pub(super) name: String,
    pub(super) note: &'static str,
    pub(super) steps: Vec<(String, Vec<(&'a str, &'a VerdictChange)>)>,
}

impl Effect {
    /// Puts the worst first.
    pub fn sort(&mut self) {
        for job in &mut self.jobs {
            job.verdicts.sort_by(|a, b| (a.weight(), &a.section, a.clause, &a.thing).cmp(&(b.weight(), &b.section, b.clause, &b.thing)));
        }
        let weight = |job: &JobEffect| {
            let worse = job.verdicts.iter().filter(|verdict| verdict.is_worse()).count();
            let lost = job.unjudged.is_some() || job.exits.0 < 2 && job.exits.1 >= 2;
            let first = job
                .verdicts
                .first()
                .map_or((Turn::Neither, true, std::cmp::Reverse(Rank::NotApplicable), Rank::NotMet), VerdictChange::weight);
            (!lost, first, std::cmp::Reverse(worse))
        };
        self.jobs.sort_by(|a, b| (weight(a), &a.file).cmp(&(weight(b), &b.file)));
    }

    /// The exit code: 2 or 3 where a job could not be judged by both sides, or only by the old one; 1 where a mandatory verdict
    /// became worse and asks for something to be done; else 0.
    pub fn exit(&self) -> u8 {
        let worse = |verdict: &VerdictChange| verdict.is_worse() && verdict.modal == Modal::Shall;
        let exit = |job: &JobEffect| match job.exits {
            (_, to) if job.unjudged.is_some() => to,
            (from, to) if to >= 2 && from < 2 => to,
            _ => u8::from(job.verdicts.iter().any(worse)),
        };
        self.jobs.iter().map(exit).max().unwrap_or(0)
    }

    /// The clauses whose verdicts change, the worst first.
    pub(super) fn groups(&self) -> Vec<Group<'_>> {
        let mut by_clause: BTreeMap<String, Vec<(&str, &VerdictChange)>> = BTreeMap::new();
        for job in &self.jobs {
            for verdict in job.turned() {
                by_clause.entry(verdict.clause_name()).or_default().push((&job.file, verdict));
            }
        }
        let mut groups: Vec<_> = by_clause.into_iter().collect();
        for (_, all) in &mut groups {
            all.sort_by_key(|(_, verdict)| verdict.weight());
        }
        groups.sort_by(|(name, a), (other, b)| {
            let weight = |all: &[(&str, &VerdictChange)]| (all.first().map(|(_, verdict)| verdict.weight()), std::cmp::Reverse(all.len()));
            (weight(a), name).cmp(&(weight(b), other))
        });
        groups.into_iter().map(|(name, all)| unify(name, all)).collect()
    }

    /// How often a verdict changes with nothing to be done by either side, by what was and is.
    pub(super) fn quiet(&self) -> Vec<String> {
        let mut steps: BTreeMap<String, (usize, BTreeSet<&str>)> = BTreeMap::new();
        for (job, verdict) in self.jobs.iter().flat_map(|job| job.verdicts.iter().map(move |verdict| (job, verdict))) {
            if verdict.turn() == Turn::Neither {
                let step = steps.entry(verdict.step()).or_default();
                (step.0, _) = (step.0 + 1, step.1.insert(&job.file));
            }
        }
        let one = |(step, (times, jobs)): (String, (usize, BTreeSet<&str>))| format!("{step}: {times} in {}", counted(jobs.len(), "job"));
        steps.into_iter().map(one).collect()
    }

    /// How many verdicts change, in how many jobs, in one sentence.
    pub(super) fn summary(&self) -> String {
        let verdicts: usize = self.jobs.iter().map(|job| job.verdicts.len()).sum();
        let touched = self.jobs.iter().filter(|job| !job.verdicts.is_empty()).count();
        let turned = |turn| self.jobs.iter().flat_map(|job| &job.verdicts).filter(|verdict| verdict.turn() == turn).count();
        let (worse, better) = (turned(Turn::Worse), turned(Turn::Better));
        let unjudged = self.jobs.iter().filter(|job| job.unjudged.is_some()).count();
        let newly = |from: bool, to: bool| {
            self.jobs.iter().filter(|job| job.unjudged.is_none() && (job.exits.0 == 0) == from && (job.exits.1 == 0) == to).count()
        };
        let change = if verdicts == 1 { "verdict changes" } else { "verdicts change" };
        let mut text =
            format!("{verdicts} {change} in {touched} of {} jobs, {worse} for the worse, {better} for the better", self.jobs.len());
        if verdicts > worse + better {
            let _ = write!(text, ", {} with nothing to be done by either", verdicts - worse - better);
        }
        for (count, what) in
            [(newly(true, false), "no longer ready"), (newly(false, true), "ready now"), (unjudged, "not judged by both sides")]
        {
            if count > 0 {
                let _ = write!(text, "; {count} {} {what}", if count == 1 { "job is" } else { "jobs are" });
            }
        }
        text + "."
    }

    /// What was supposed of the jobs, as a sentence before others; empty where they were judged as they are.
    pub(super) fn supposed(&self) -> String {
        self.permit.as_ref().map_or_else(String::new, |day| format!("Each job was judged as if its permit were of {day}. "))
    }

    /// The changes as sentences; where one pack gains or loses many sections as wholes, one sentence tells of them.
    fn sentences(&self) -> Vec<String> {
        let mut alike: BTreeMap<(&str, &str), Vec<&str>> = BTreeMap::new();
        for change in &self.changes {
            if let Some((pack, section, says)) = whole(change) {
                alike.entry((pack, says)).or_default().push(section);
            }
        }
        let mut told = BTreeSet::new();
        let sentences = self.changes.iter().filter_map(|change| {
            let many = whole(change).and_then(|(pack, _, says)| alike.get_key_value(&(pack, says)));
            match many.filter(|(_, sections)| sections.len() > MOST_NAMED) {
                None => Some(change.sentence()),
                Some((&(pack, says), sections)) => told.insert((pack, says)).then(|| {
                    let (number, named) = (sections.len(), first_few(sections, MOST_NAMED, ','));
                    format!("{number} sections of {pack}: each {says}, {}: {named}", change.direction.word())
                }),
            }
        });
        sentences.collect()
    }

    /// The report as text.
    pub fn text(&self) -> String {
        let mut text = format!("From {}\nTo {}\n", self.from.named(), self.to.named());
        text.push_str("\nWhat changes\n");
        for sentence in self.sentences() {
            wrapped(&mut text, "  ", 4, &sentence, WIDTH);
        }
        if self.changes.is_empty() {
            text.push_str("  nothing\n");
        }
        text.push_str("\nVerdicts\n");
        wrapped(&mut text, "  ", 2, &format!("{}{}", self.supposed(), self.summary()), WIDTH);
        let groups = self.groups();
        if !groups.is_empty() {
            text.push_str("\nBy section, the worst first\n");
        }
        for group in groups {
            wrapped(&mut text, "  ", 4, &format!("{}{}", group.name, group.note), WIDTH);
            for (step, jobs) in &group.steps {
                wrapped(&mut text, "    ", 6, &format!("{step}: {}", named_jobs(jobs)), WIDTH);
            }
        }
        let quiet = self.quiet();
        if !quiet.is_empty() {
            text.push_str("\nWith nothing to be done by either\n");
            quiet.iter().for_each(|line| wrapped(&mut text, "  ", 4, line, WIDTH));
        }
        let told: Vec<&JobEffect> = self.jobs.iter().filter(|job| job.is_told()).collect();
        if !told.is_empty() {
            text.push_str("\nBy job, the worst first\n");
        }
        // What keeps many jobs from being judged is mostly one thing, and said once.
        let mut alike: BTreeMap<String, Vec<&str>> = BTreeMap::new();
        for job in &told {
            if job.unjudged.is_some() {
                alike.entry(job.outcome()).or_default().push(&job.file);
            }
        }
        for (outcome, files) in alike.iter().filter(|(_, files)| files.len() > 1) {
            wrapped(&mut text, "  ", 4, &format!("{} jobs {outcome}:", files.len()), WIDTH);
            files.iter().for_each(|file| wrapped(&mut text, "    ", 6, file, WIDTH));
        }
        let single = |job: &&&JobEffect| job.unjudged.is_none() || alike.get(&job.outcome()).is_none_or(|files| files.len() == 1);
        for job in told.iter().filter(single) {
            wrapped(&mut text, "  ", 4, &format!("{}: {}", job.file, job.outcome()), WIDTH);
            for verdict in job.turned() {
                let name = format!("{}{}, {}: {}", verdict.clause_name(), verdict.modal_note(), verdict.thing, verdict.step());
                wrapped(&mut text, "    ", 6, &name, WIDTH);
            }
        }
        text.push('\n');
        wrapped(&mut text, "", 2, &format!("caution: {CAUTION}"), WIDTH);
        text
    }
}

/// The pack, the section and what is said of it, where a section as a whole came or went.
fn whole(change: &Change) -> Option<(&str, &str, &str)> {
    let says = change.says.strip_prefix("the section ").filter(|_| change.part.is_empty())?;
    change.item.split_once('/').map(|(pack, section)| (pack, section, says))
}

/// The verdicts of a clause by what was and is, in the order in which they come.
fn unify<'a>(name: String, all: Vec<(&'a str, &'a VerdictChange)>) -> Group<'a> {
    let note = all.first().map_or("", |(_, verdict)| verdict.modal_note());
    let mut steps: Vec<(String, Vec<(&str, &VerdictChange)>)> = Vec::new();
    for one in all {
        let step = one.1.step();
        match steps.iter_mut().find(|(known, _)| *known == step) {
            Some((_, known)) => known.push(one),
            None => steps.push((step, vec![one])),
        }
    }
    Group { name, note, steps }
}

pub(super) fn named_jobs(all: &[(&str, &VerdictChange)]) -> String {
    let named: Vec<String> = all.iter().map(|(file, verdict)| format!("{file} {}", verdict.thing)).collect();
    first_few(&named, MOST_NAMED, ';')
}

impl JobEffect {
    /// The verdicts that turn to the worse or the better.
    pub(super) fn turned(&self) -> impl Iterator<Item = &VerdictChange> {
        self.verdicts.iter().filter(|verdict| verdict.turn() != Turn::Neither)
    }

    pub(super) fn is_told(&self) -> bool {
        self.turned().next().is_some() || self.unjudged.is_some() || self.exits.0 != self.exits.1
    }

    /// Whether it can be handed over, before and after.
    pub(super) fn outcome(&self) -> String {
        if let Some(why) = &self.unjudged {
            return format!("not judged: {why}");
        }
        let words = |exit, why: &Option<String>| {
            let word = ["ready", "not ready", "could not be judged whole"].get(usize::from(exit)).copied().unwrap_or("a fault");
            why.as_ref().map_or_else(|| word.to_string(), |why| format!("{word} ({why})"))
        };
        let (from, to) = (words(self.exits.0, &self.why.0), words(self.exits.1, &self.why.1));
        if from == to { format!("{from} by either") } else { format!("{from} becomes {to}") }
    }
}

impl SideInfo {
    fn named(&self) -> String {
        let pack =
            |pack: &PackInfo| format!("\n  {} {} [{}] in {}", visible(&pack.name), visible(&pack.edition), pack.hash, visible(&pack.place));
        visible(&self.codes.join(", ")).into_owned() + &self.packs.iter().map(pack).collect::<String>()
    }
}
