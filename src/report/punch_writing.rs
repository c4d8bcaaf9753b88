//! Writes a punch list anew from a run: keeps what is still found, takes off what is not, and adds what was agreed upon. It must
//! not know files.

use super::findings::JobReport;
use super::form::{Ending, Form, PackReport};
use super::punch_file::written;
use super::punch_list::{Agreement, Entry, Found, Key, LISTABLE, PunchList, Standing};
use crate::slip::Slip;
use crate::source::Files;
use std::collections::{BTreeMap, BTreeSet};

/// How many entries there are of each kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Still found, and no worse.
    pub kept: usize,
    /// New ones, and those agreed upon again.
    pub added: usize,
    /// No longer found.
    pub taken_off: usize,
    /// Findings that are on no list, or that no entry covers.
    pub left: usize,
}

/// What one job gives: its key, and each finding with the entry that it has.
pub type Seen = Option<(String, Vec<One>)>;

/// One finding of a job.
pub struct One {
    key: Key,
    found: Option<Found>,
    listing: Option<(usize, Standing)>,
}

/// A list that is being written.
pub struct Writing<'a> {
    /// The list as it was.
    pub old: &'a PunchList,
    /// What is agreed for findings that the list does not cover; without it, the list only gets shorter.
    pub agreement: Option<Agreement>,
    /// Whether a job of the old list that was not looked at is still there.
    pub is_there: &'a (dyn Fn(&str) -> bool + Sync),
    /// What was done.
    pub tally: Tally,
    /// The new list, at the end of the run; none where something that was asked for could not be looked at.
    pub text: Option<String>,
    troubled: bool,
    seen: BTreeMap<Key, Vec<One>>,
    judged: BTreeSet<String>,
}

impl<'a> Writing<'a> {
    /// Begins.
    pub fn new(old: &'a PunchList, agreement: Option<Agreement>, is_there: &'a (dyn Fn(&str) -> bool + Sync)) -> Writing<'a> {
        let (seen, judged) = (BTreeMap::new(), BTreeSet::new());
        Writing { old, agreement, is_there, tally: Tally::default(), text: None, troubled: false, seen, judged }
    }

    /// The entry of a finding, if it is to have one.
    fn entry(&mut self, one: One) -> Option<(Key, Entry)> {
        let old = one.listing.map(|(entry, standing)| (&self.old.entries[entry].0, standing));
        let new = self.agreement.clone().zip(one.found.clone());
        match (old, new, one.found) {
            // No worse than agreed: the list remembers the better state.
            (Some((old, Standing::Listed)), _, Some(found)) => {
                self.tally.kept += 1;
                Some((old.key.clone(), Entry { key: old.key.clone(), found, agreement: old.agreement.clone() }))
            }
            (old, Some((agreement, found)), _) => {
                self.tally.added += 1;
                let key = old.map_or(one.key, |(old, _)| old.key.clone());
                Some((key.clone(), Entry { key, found, agreement }))
            }
            (old, ..) => {
                self.tally.left += 1;
                old.map(|(old, _)| (old.key.clone(), old.clone()))
            }
        }
    }

    fn entries(&mut self) -> Vec<Entry> {
        let mut entries: BTreeMap<Key, Entry> = BTreeMap::new();
        for (_, mut ones) in std::mem::take(&mut self.seen) {
            // One entry cannot stand for several findings.
            if ones.len() > 1 {
                self.tally.left += ones.len();
                continue;
            }
            entries.extend(ones.pop().and_then(|one| self.entry(one)));
        }
        for (old, _) in &self.old.entries {
            if entries.contains_key(&old.key) {
                continue;
            }
            if !self.judged.contains(&old.key.job) && (self.is_there)(&old.key.job) {
                self.tally.kept += 1;
                entries.insert(old.key.clone(), old.clone());
            } else {
                self.tally.taken_off += 1;
            }
        }
        entries.into_values().collect()
    }
}

impl Form for Writing<'_> {
    type Piece = Seen;

    fn wants_all(&self) -> bool {
        true
    }

    fn job(&self, report: &JobReport, slips: &[Slip]) -> Seen {
        // Of a job that could not be read as a whole, nobody knows what is no longer found.
        let job = report.key.clone().filter(|_| !slips.iter().any(|slip| !slip.harmless))?;
        let findings = report.all.iter().filter(|finding| LISTABLE.contains(&finding.rank));
        let ones = findings.map(|finding| One {
            key: Key {
                job: job.clone(),
                code: finding.roots.iter().min().cloned().unwrap_or_default(),
                section: finding.section.clone(),
                clause: finding.label,
                thing: finding.key.clone(),
            },
            found: Found::of(finding),
            listing: finding.listing.as_ref().map(|listing| (listing.entry, listing.standing)),
        });
        let ones = ones.collect();
        Some((job, ones))
    }

    fn unjudged(&self, _files: Files, _slips: &[Slip]) -> Seen {
        None
    }

    fn refused(&self, _files: Files, _why: &str) -> Seen {
        None
    }

    fn pack(&self, _pack: &PackReport) -> Seen {
        None
    }

    fn told(&self, _files: Files, _slips: &[Slip]) -> Seen {
        None
    }

    fn add(&mut self, piece: Seen) -> String {
        if let Some((job, ones)) = piece {
            self.judged.insert(job);
            ones.into_iter().for_each(|one| self.seen.entry(one.key.clone()).or_default().push(one));
        }
        String::new()
    }

    fn trouble(&mut self, _what: &str) -> String {
        self.troubled = true;
        String::new()
    }

    fn end(&mut self, _ending: &Ending) -> String {
        let entries = self.entries();
        self.text = (!self.troubled).then(|| written(&entries));
        String::new()
    }
}
