//! The ranks of verdicts, from the mildest to the worst, and counts by rank. It must not know how a verdict came about.

use serde::{Deserialize, Serialize};
use std::ops::{AddAssign, Index, IndexMut};

/// What kind of verdict one is; the worse, the greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Rank {
    /// Not in force, or not asked of this thing.
    NotApplicable,
    /// The clause surely holds.
    Met,
    /// An exception of the code surely holds.
    Excepted,
    /// Within what a variance grants.
    Excused,
    /// In doubt only by the measuring tolerance.
    Marginal,
    /// In doubt, with something missing.
    Open,
    /// In doubt, since something cannot be computed.
    Unanswered,
    /// The clause and every exception surely fail.
    NotMet,
}

impl Rank {
    /// Every rank, the mildest first.
    pub const ALL: [Rank; 8] =
        [Rank::NotApplicable, Rank::Met, Rank::Excepted, Rank::Excused, Rank::Marginal, Rank::Open, Rank::Unanswered, Rank::NotMet];

    /// The words of the ranks, the mildest first.
    pub const WORDS: [&'static str; 8] = ["not applicable", "met", "excepted", "excused", "marginal", "open", "unanswered", "not met"];

    /// The verdict as a word.
    pub fn word(self) -> &'static str {
        Rank::WORDS[self as usize]
    }

    /// Whether it is one to show: everything but met, excepted, excused and not applicable.
    pub fn is_finding(self) -> bool {
        self >= Rank::Marginal
    }

    /// The words of the findings, the mildest first.
    pub fn finding_words() -> &'static [&'static str] {
        &Rank::WORDS[Rank::Marginal as usize..]
    }
}

/// How many verdicts there are of each rank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counts([usize; 8]);

impl Counts {
    /// All of them together.
    pub fn total(&self) -> usize {
        self.0.iter().sum()
    }

    /// Those that are findings, together.
    pub fn of_findings(&self) -> usize {
        self.worst_first().filter(|(rank, _)| rank.is_finding()).map(|(_, count)| count).sum()
    }

    /// The ranks of which there is any, the worst first, and how many.
    pub fn worst_first(&self) -> impl Iterator<Item = (Rank, usize)> {
        Rank::ALL.into_iter().rev().map(|rank| (rank, self[rank])).filter(|(_, count)| *count > 0)
    }
}

impl Index<Rank> for Counts {
    type Output = usize;

    fn index(&self, rank: Rank) -> &usize {
        &self.0[rank as usize]
    }
}

impl IndexMut<Rank> for Counts {
    fn index_mut(&mut self, rank: Rank) -> &mut usize {
        &mut self.0[rank as usize]
    }
}

impl AddAssign for Counts {
    fn add_assign(&mut self, more: Counts) {
        self.0.iter_mut().zip(more.0).for_each(|(count, more)| *count += more);
    }
}
