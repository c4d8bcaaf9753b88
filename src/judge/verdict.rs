//! Verdicts and their order. It must not know how they came about.

use super::doubt::{Doubt, Truth};
use super::rank::Rank;
use super::value::Slot;
use crate::language::program::Section;

/// What judging says of one clause and one thing.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Surely not in force, or its condition surely false.
    NotApplicable,
    /// The clause surely holds.
    Met,
    /// An exception surely holds: its position in the section.
    Excepted(usize),
    /// The clause and every exception surely fail.
    NotMet,
    /// Not met or marginal, within what a variance grants: its position among the job's variances.
    Excused(usize),
    /// In doubt only by the measuring tolerance.
    Marginal(Doubt),
    /// In doubt, with something missing.
    Open(Doubt),
    /// In doubt, since something cannot be computed.
    Unanswered(Doubt),
}

impl Verdict {
    /// The verdict as a word.
    pub fn word(&self) -> &'static str {
        self.rank().word()
    }

    /// From the mildest to the worst, for counting and for the worse of two.
    pub fn rank(&self) -> Rank {
        match self {
            Verdict::NotApplicable => Rank::NotApplicable,
            Verdict::Met => Rank::Met,
            Verdict::Excepted(_) => Rank::Excepted,
            Verdict::Excused(_) => Rank::Excused,
            Verdict::Marginal(_) => Rank::Marginal,
            Verdict::Open(_) => Rank::Open,
            Verdict::Unanswered(_) => Rank::Unanswered,
            Verdict::NotMet => Rank::NotMet,
        }
    }

    /// Whether it is one to show: everything but met, excepted, excused and not applicable.
    pub fn is_finding(&self) -> bool {
        self.rank().is_finding()
    }

    /// Its doubt, where it is one of doubt.
    pub fn doubt(&self) -> Option<&Doubt> {
        match self {
            Verdict::Marginal(doubt) | Verdict::Open(doubt) | Verdict::Unanswered(doubt) => Some(doubt),
            _ => None,
        }
    }

    /// Takes note of the milder verdict beside which this one stands, where values are being varied. What is bad whatever they are keeps
    /// both bad; and what only waits, whatever they are, may yet come to fail by the other.
    pub fn stands_beside(&mut self, milder: &Verdict) {
        let moves = |verdict: &Verdict| verdict.doubt().is_some_and(|doubt| doubt.varied);
        let bad = matches!(milder, Verdict::NotMet | Verdict::Marginal(_) | Verdict::Unanswered(_));
        let (always_bad, may_move) = (bad && !moves(milder), moves(milder));
        match self {
            Verdict::Marginal(doubt) | Verdict::Unanswered(doubt) => doubt.varied &= !always_bad,
            Verdict::Open(doubt) => doubt.varied |= may_move,
            _ => {}
        }
    }

    /// The verdict of a doubt: marginal when the tolerance is the only reason, open when something is missing.
    pub fn of_doubt(doubt: Doubt) -> Verdict {
        if !doubt.missing.is_empty() {
            Verdict::Open(doubt)
        } else if doubt.obstacles.is_empty() && doubt.tolerance {
            Verdict::Marginal(doubt)
        } else {
            Verdict::Unanswered(doubt)
        }
    }
}

/// What decides one clause for one binding.
pub struct Deciding {
    /// Whether the section is in force.
    pub in_force: Truth,
    /// Whether it applies: every condition of `applies to`, and the clause's own.
    pub applies: Truth,
    /// Whether the clause holds.
    pub holds: Truth,
    /// Whether each exception holds.
    pub excepts: Vec<Truth>,
}

impl Deciding {
    /// The verdict, in the order that the design gives.
    pub fn verdict(self) -> Verdict {
        let asked = self.in_force.and(self.applies);
        if asked == Truth::No {
            return Verdict::NotApplicable;
        }
        if self.holds == Truth::Yes {
            return Verdict::Met;
        }
        if let Some(at) = self.excepts.iter().position(|except| *except == Truth::Yes) {
            return Verdict::Excepted(at);
        }
        let satisfied = self.excepts.into_iter().fold(asked.negated().or(self.holds), Truth::or);
        match satisfied {
            Truth::Doubtful(doubt) => Verdict::of_doubt(doubt),
            _ => Verdict::NotMet,
        }
    }
}

/// One clause judged for one binding.
#[derive(Clone, Debug)]
pub struct Judged<'a> {
    /// The section, by its position in the program.
    pub section: usize,
    /// The clause, by its position in the section.
    pub norm: usize,
    /// What is bound, by slot.
    pub slots: Vec<Slot<'a>>,
    /// Binders that were bound; fewer where a condition of `applies to` failed early.
    pub bound: usize,
    /// The verdict.
    pub verdict: Verdict,
    /// Whether an assumed value (`taken as`) took part; of a clause that does not apply, whether a fact that is not stated says so.
    pub assumed: bool,
    /// The pack whose minimum it is that stands, where a floor gave the worse verdict.
    pub floor: Option<String>,
    /// The pack whose minimum asks for something to be done as well, where the amended text stands.
    pub minimum_too: Option<String>,
}

impl Judged<'_> {
    /// The pack whose minimum stands against a variance of this verdict, whichever text it is of; `section` is the one that was judged.
    pub fn minimum<'m>(&'m self, section: &'m Section) -> Option<&'m str> {
        self.floor.as_deref().or(self.minimum_too.as_deref()).or(section.minimum.as_deref())
    }
}
