//! How jobs ended, each in one of six ways, and how many jobs and packs of a run ended in which: one count for every view. It must
//! not know single findings.

use super::findings::JobReport;
use crate::judge::rank::Rank;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How a job ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum End {
    /// Every mandatory clause that applies is met, excepted or excused.
    Ready,
    /// Nothing mandatory fails but what the punch list lets wait.
    Agreed,
    /// Nothing mandatory fails so far, and something is open that was let pass.
    Unfinished,
    /// A mandatory clause is not met, marginal or open.
    NotReady,
    /// It has slips, cannot be read, or something in it cannot be computed.
    NotJudged,
    /// Nothing judges it: no code in force, no gate, no mandatory clause that applies.
    Void,
}

impl End {
    /// All of them, from the best.
    pub const ALL: [End; 6] = [End::Ready, End::Agreed, End::Unfinished, End::NotReady, End::NotJudged, End::Void];

    /// The end as one word or two, for programs.
    pub const fn word(self) -> &'static str {
        match self {
            End::Ready => "ready",
            End::Agreed => "agreed",
            End::Unfinished => "unfinished",
            End::NotReady => "not ready",
            End::NotJudged => "not judged",
            End::Void => "void",
        }
    }

    /// What is said of a number of jobs.
    const fn told(self) -> &'static str {
        match self {
            End::Ready => "ready",
            End::Agreed => "passed with what was agreed to wait",
            End::Unfinished => "unfinished",
            End::NotReady => "not ready",
            End::NotJudged => "could not be judged",
            End::Void => "void",
        }
    }
}

impl JobReport<'_> {
    /// How the job ended.
    pub fn end(&self) -> End {
        let open = self.shall[Rank::Open] > self.listed[Rank::Open] || !self.codes_in_doubt().is_empty();
        match self.exit {
            _ if self.unjudged.is_some() => End::Void,
            0 if open => End::Unfinished,
            0 if self.listed.total() > 0 => End::Agreed,
            0 => End::Ready,
            1 => End::NotReady,
            _ => End::NotJudged,
        }
    }
}

/// What is counted of a file that was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Counted {
    /// A job, by how it ended.
    Job(End),
    /// A pack that was checked by itself, and whether nothing is wrong with it.
    Pack(bool),
}

/// How many of a run ended in which way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    jobs: [usize; 6],
    packs: [usize; 2],
    /// What stood in the way of the run itself: a path that is not there, a punch list with slips, pins that do not fit.
    pub troubles: usize,
}

impl Tally {
    /// Counts one more.
    pub fn count(&mut self, counted: Counted) {
        match counted {
            Counted::Job(end) => self.jobs[end as usize] += 1,
            Counted::Pack(good) => self.packs[usize::from(!good)] += 1,
        }
    }

    /// How many jobs ended so.
    pub fn of(&self, end: End) -> usize {
        self.jobs[end as usize]
    }

    /// Whether there is more to count than the one file that was asked for.
    pub fn is_worth_telling(&self) -> bool {
        self.jobs.iter().chain(&self.packs).sum::<usize>() != 1 || self.troubles > 0
    }

    /// Jobs by how they ended, for programs.
    pub fn jobs(&self) -> BTreeMap<&'static str, usize> {
        End::ALL.into_iter().map(|end| (end.word(), self.of(end))).collect()
    }

    /// Packs checked by themselves, for programs.
    pub fn packs(&self) -> BTreeMap<&'static str, usize> {
        ["without slips", "with slips"].into_iter().zip(self.packs).collect()
    }

    /// The counts in one sentence. The four that every run is asked for are always told, nought or not.
    pub fn words(&self) -> String {
        let jobs: usize = self.jobs.iter().sum();
        let packs: usize = self.packs.iter().sum();
        let mut text = String::new();
        if jobs > 0 || packs == 0 {
            let told = End::ALL.into_iter().filter(|end| self.of(*end) > 0 || !matches!(end, End::Agreed | End::Unfinished));
            let told: Vec<String> = told.map(|end| format!("{} {}", self.of(end), end.told())).collect();
            let _ = write!(text, "{jobs} job{}: {}", if jobs == 1 { "" } else { "s" }, told.join(", "));
        }
        if packs > 0 {
            text.push_str(if text.is_empty() { "" } else { "; " });
            let _ = write!(text, "{packs} pack{} checked: {} with slips", if packs == 1 { "" } else { "s" }, self.packs[1]);
        }
        if self.troubles > 0 {
            let _ = write!(text, "; besides, {} trouble{} with the run itself", self.troubles, if self.troubles == 1 { "" } else { "s" });
        }
        text
    }
}
