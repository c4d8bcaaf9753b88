//! The punch list: findings that a folder's people agreed to put right, each with reason, owner and day due. It finds the entry of
//! a finding and says whether it still covers it; it must not know how the list is kept or how a listed finding is drawn.

use super::findings::Finding;
use super::miss::Miss;
use crate::judge::explain::{MOST_REASONS, Reason};
use crate::judge::rank::Rank;
use crate::slip::Slip;
use crate::source::{Source, Span};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Verdicts that a list can hold, by rank. What could not be judged cannot be agreed upon.
pub const LISTABLE: [Rank; 3] = [Rank::Marginal, Rank::Open, Rank::NotMet];

/// What an entry is found by: it survives a job whose lines or lists are put in another order, and edits of other things.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The job file, from the folder of the list.
    pub job: String,
    /// A code of the job under which the clause was judged.
    pub code: String,
    /// `pack/section`.
    pub section: String,
    /// The clause's letter.
    pub clause: char,
    /// The ids of the things.
    pub thing: String,
}

/// What was found wrong when the entry was agreed upon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// The verdict's rank.
    pub rank: Rank,
    /// Each comparison or condition that failed, with its miss where it has one, in the order of the names.
    pub misses: Vec<(String, Option<Miss>)>,
    /// The facts that were missing, in the order of their names.
    pub lacks: Vec<String>,
}

/// What people agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Agreement {
    /// Why it may wait.
    pub reason: String,
    /// Who puts it right.
    pub owner: String,
    /// When it was agreed.
    pub agreed: Date,
    /// The last day on which it may still be there.
    pub due: Date,
}

/// One agreed finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What it is found by.
    pub key: Key,
    /// What was found.
    pub found: Found,
    /// What was agreed.
    pub agreement: Agreement,
}

/// Whether an entry covers a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It does.
    Listed,
    /// Its day is past.
    Overdue,
    /// The finding is worse than agreed.
    Worse,
    /// Several findings answer to its key.
    Ambiguous,
}

/// The entry of a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listing {
    /// The entry, by its position.
    pub entry: usize,
    /// Whether it covers the finding.
    pub standing: Standing,
    /// What there is to say, in words.
    pub words: String,
}

impl Listing {
    /// Whether the finding is covered.
    pub fn covers(&self) -> bool {
        self.standing == Standing::Listed
    }
}

/// A punch list as read.
#[derive(Debug)]
pub struct PunchList {
    /// The file.
    pub source: Source,
    /// Its entries, with their places.
    pub entries: Vec<(Entry, Span)>,
    /// What is wrong with it.
    pub slips: Vec<Slip>,
    by_job: BTreeMap<String, Vec<usize>>,
}

impl Found {
    /// What is wrong by a finding. Nothing where it cannot be told completely, and so not be agreed upon.
    pub fn of(finding: &Finding) -> Option<Found> {
        let reasons = &finding.why.reasons;
        if !LISTABLE.contains(&finding.rank) || reasons.len() >= MOST_REASONS {
            return None;
        }
        let mut misses = Vec::new();
        let mut lacks: Vec<String> = finding.why.lacking.iter().map(|lacking| format!("{} of {}", lacking.name, lacking.thing)).collect();
        if finding.rank != Rank::Open {
            for reason in reasons {
                let miss = Miss::of(reason);
                miss.as_ref().map_or(Some(()), |miss| miss.text().map(|_| ()))?;
                misses.push((what(reason), miss));
            }
        }
        misses.sort_by(|(one, _), (other, _)| one.cmp(other));
        lacks.sort();
        lacks.dedup();
        Some(Found { rank: finding.rank, misses, lacks })
    }

    /// Why this is worse than what was agreed.
    fn worse_than(&self, agreed: &Found) -> Option<String> {
        // Known to be near the limit is better than known to miss it. Any other change is something that nobody agreed to.
        if self.rank != agreed.rank && (self.rank, agreed.rank) != (Rank::Marginal, Rank::NotMet) {
            return Some(format!("it was agreed as {}", agreed.rank.word()));
        }
        if let Some(more) = self.lacks.iter().find(|fact| !agreed.lacks.contains(fact)) {
            return Some(format!("{more} is missing as well"));
        }
        // Several of one name are compared as they stand, from the first.
        let mut left: Vec<&(String, Option<Miss>)> = agreed.misses.iter().collect();
        for (name, miss) in &self.misses {
            let Some(at) = left.iter().position(|(other, _)| other == name) else { return Some(format!("nobody agreed upon {name}")) };
            match (miss, &left.remove(at).1) {
                (Some(now), Some(then)) if now.is_worse_than(then) => return Some(format!("{name} misses by {now}; agreed was {then}")),
                (Some(_), None) | (None, Some(_)) => return Some(format!("{name} cannot be compared with what was agreed")),
                _ => {}
            }
        }
        None
    }
}

/// What failed, by the facts that took part and not by their values.
fn what(reason: &Reason) -> String {
    let names: BTreeSet<String> = reason.parts.iter().map(|part| format!("{} of {}", part.name, part.thing)).collect();
    if names.is_empty() { reason.sentence.clone() } else { names.into_iter().collect::<Vec<_>>().join(", ") }
}

impl PunchList {
    /// A list of these entries.
    pub fn new(source: Source, entries: Vec<(Entry, Span)>, slips: Vec<Slip>) -> PunchList {
        let mut by_job: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, (entry, _)) in entries.iter().enumerate() {
            by_job.entry(entry.key.job.clone()).or_default().push(at);
        }
        PunchList { source, entries, slips, by_job }
    }

    /// Finds the entries of one job's findings and marks each finding that has one.
    pub fn mark(&self, job: &str, findings: &mut [Finding], today: Date) {
        let Some(entries) = self.by_job.get(job) else { return };
        let mut matched: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (at, finding) in findings.iter().enumerate().filter(|(_, finding)| LISTABLE.contains(&finding.rank)) {
            let names = |entry: &Key| {
                entry.section == finding.section
                    && entry.clause == finding.label
                    && entry.thing == finding.key
                    && finding.roots.contains(&entry.code)
            };
            if let Some(entry) = entries.iter().find(|entry| names(&self.entries[**entry].0.key)) {
                matched.entry(*entry).or_default().push(at);
            }
        }
        for (entry, found) in matched {
            for at in &found {
                let (standing, words) = self.standing(entry, &findings[*at], found.len(), today);
                findings[*at].listing = Some(Listing { entry, standing, words });
            }
        }
    }

    fn standing(&self, entry: usize, finding: &Finding, how_many: usize, today: Date) -> (Standing, String) {
        let entry = &self.entries[entry].0;
        let agreed = &entry.agreement;
        if how_many > 1 {
            return (Standing::Ambiguous, "its entry on the punch list names several findings and counts for none".into());
        }
        if today > agreed.due {
            return (
                Standing::Overdue,
                format!("on the punch list, and overdue since {}: {} ({})", agreed.due, agreed.reason, agreed.owner),
            );
        }
        let worse = match Found::of(finding) {
            Some(found) => found.worse_than(&entry.found),
            None => Some("there is more wrong than can be compared".into()),
        };
        match worse {
            Some(why) => (Standing::Worse, format!("on the punch list, but not for this: {why}")),
            None => {
                let words =
                    format!("on the punch list until {}: {} ({}, agreed {})", agreed.due, agreed.reason, agreed.owner, agreed.agreed);
                (Standing::Listed, words)
            }
        }
    }

    /// Tells the entries that match nothing, and those that are overdue. `used` are the entries that found something, `judged` the
    /// jobs that were judged. Of other jobs it is known only whether they are there: `named` gives the name by which an entry must
    /// call the file that its own name leads to.
    pub fn stale(
        &self,
        used: &BTreeSet<usize>,
        judged: &BTreeSet<String>,
        today: Date,
        named: &dyn Fn(&str) -> Option<String>,
    ) -> Vec<Slip> {
        let mut slips = Vec::new();
        let mut names: BTreeMap<&str, Option<String>> = BTreeMap::new();
        for (at, (entry, span)) in self.entries.iter().enumerate() {
            let Key { job, section, clause, thing, .. } = &entry.key;
            let what = format!("{section} ({clause}) of {thing} in {job}");
            let note = |name, message: String, hint: &str| Slip::at(*span, name, message).label("this entry").hint(hint).harmless();
            let is_judged = judged.contains(job);
            let name = if is_judged { None } else { names.entry(job).or_insert_with(|| named(job)).as_ref() };
            if is_judged && !used.contains(&at) {
                let hint = "it hides nothing; `pintle punch-list` takes it off";
                slips.push(note("unmatched-entry", format!("nothing is found any more for {what}"), hint));
            } else if !is_judged && name.is_none() {
                let hint = "it hides nothing; where the job has another name now, write that, or let `pintle punch-list` take it off";
                slips.push(note("unmatched-entry", format!("there is no such job any more: {what}"), hint));
            } else if let Some(name) = name.filter(|name| *name != job) {
                let hint = format!("it hides nothing; name the job from the list's folder: `{name}`");
                slips.push(note("unmatched-entry", format!("the job is not named as the list names it: {what}"), &hint));
            } else if today > entry.agreement.due {
                let hint = "it hides nothing; put the work right, or agree upon another day";
                slips.push(note("overdue-entry", format!("{what} was due on {}", entry.agreement.due), hint));
            }
        }
        slips
    }
}
