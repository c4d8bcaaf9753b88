//! Numbers what needs attention in a judged job, 1, 2, 3 and on, in one fixed order, so that a list, a drawing and a sheet mean the
//! same finding by the same number. It must not know how any of them looks.

use super::findings::{Finding, JobReport, Waiting};
use crate::judge::rank::Rank;
use crate::language::tree::Modal;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// What a number stands for.
#[derive(Clone, Copy, Debug)]
pub enum What<'r> {
    /// A verdict: not met, unanswered or marginal.
    Verdict(&'r Finding),
    /// Something missing, with every open verdict that waits for it.
    Missing(&'r Waiting),
}

/// One thing that needs attention, with its number.
#[derive(Clone, Debug)]
pub struct Numbered<'r> {
    /// Its number, from 1.
    pub number: usize,
    /// What it is.
    pub what: What<'r>,
    /// Whether the punch list covers all of it.
    pub listed: bool,
}

impl<'r> Numbered<'r> {
    /// The verdict, as a word.
    pub fn verdict(&self) -> &'static str {
        match self.what {
            What::Verdict(finding) => finding.verdict,
            What::Missing(_) => Rank::Open.word(),
        }
    }

    /// The rank of the verdict, from the mildest to the worst.
    pub fn rank(&self) -> Rank {
        match self.what {
            What::Verdict(finding) => finding.rank,
            What::Missing(_) => Rank::Open,
        }
    }

    /// The weight of it; of several clauses that wait, the heaviest.
    pub fn modal(&self) -> Modal {
        match self.what {
            What::Verdict(finding) => finding.modal,
            What::Missing(waiting) if waiting.mandatory => Modal::Shall,
            What::Missing(_) => Modal::Should,
        }
    }

    /// The things that it is at, as reports name them: of a verdict what was judged, of something missing what lacks it.
    pub fn things(&self) -> Vec<&'r str> {
        let mut things: Vec<&'r str> = match self.what {
            What::Verdict(finding) => vec![finding.thing.as_str()],
            What::Missing(waiting) => waiting.lacking.iter().map(|lacking| lacking.thing.as_str()).collect(),
        };
        things.dedup();
        things
    }

    /// What is the matter, in one line without its stop.
    pub fn words(&self) -> String {
        match self.what {
            What::Verdict(finding) => {
                let told = finding.why.reasons.first().map(|reason| reason.sentence.clone());
                let obstacle = || finding.why.obstacles.first().map(|(sentence, _)| sentence.clone());
                told.or_else(obstacle).unwrap_or_else(|| finding.title.clone())
            }
            What::Missing(waiting) => {
                let lacking: Vec<String> =
                    waiting.lacking.iter().map(|lacking| format!("{} of {} is not stated", lacking.name, lacking.thing)).collect();
                if lacking.is_empty() { "something is not stated".into() } else { lacking.join("; ") }
            }
        }
    }

    /// What the punch list says of it, each once.
    pub fn agreed(&self) -> Vec<String> {
        match self.what {
            What::Verdict(finding) => finding.listing.iter().map(|listing| listing.words.clone()).collect(),
            What::Missing(waiting) => waiting.listings.clone(),
        }
    }

    fn order(&self) -> impl Ord + use<'r> {
        let (place, section, label, thing) = match self.what {
            What::Verdict(finding) => (finding.place.start, finding.section.as_str(), finding.label, finding.thing.as_str()),
            What::Missing(waiting) => (waiting.place.start, "", ' ', waiting.lacking.first().map_or("", |lacking| lacking.name.as_str())),
        };
        (self.listed, self.modal(), Reverse(self.rank()), place, section, label, thing)
    }
}

/// Everything in a report that needs attention, numbered: mandatory first, of these the worst verdicts, of those in the order of the
/// job file. What the punch list covers comes last.
pub fn numbered<'r>(report: &'r JobReport) -> Vec<Numbered<'r>> {
    let verdicts = report.findings.iter().map(|finding| Numbered { number: 0, what: What::Verdict(finding), listed: finding.is_listed() });
    let missing = report.waiting.iter().map(|waiting| {
        let listed = !waiting.asked_by.is_empty() && waiting.listed == waiting.asked_by.len();
        Numbered { number: 0, what: What::Missing(waiting), listed }
    });
    let mut all: Vec<Numbered> = verdicts.chain(missing).collect();
    all.sort_by(|one, other| one.order().cmp(&other.order()));
    for (at, one) in all.iter_mut().enumerate() {
        one.number = at + 1;
    }
    all
}

/// The numbers at each thing, as reports name it: `gate main / beam low`. A pair counts at both of its things.
pub fn by_thing(numbered: &[Numbered]) -> BTreeMap<String, Vec<usize>> {
    let mut found: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for one in numbered {
        for thing in one.things().into_iter().flat_map(both) {
            let numbers = found.entry(thing).or_default();
            if !numbers.contains(&one.number) {
                numbers.push(one.number);
            }
        }
    }
    found
}

/// A thing, or the two of a pair: `gate main / beam low & beam high` is at `gate main / beam low` and at `gate main / beam high`.
fn both(thing: &str) -> Vec<String> {
    let Some((first, second)) = thing.split_once(" & ") else { return vec![thing.to_string()] };
    let above = first.rfind(" / ").map_or("", |at| &first[..at + 3]);
    vec![first.to_string(), format!("{above}{second}")]
}
