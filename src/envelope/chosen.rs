//! Copies of the job with readings at chosen values within their tolerances: what fails with one of them cannot be good with the
//! readings as they are. It must not know how a job is judged.

use crate::datum::Datum;
use crate::job::{Fact, Job, RecordId};
use crate::judge::eval::FactUse;
use crate::quantity::{Exact, Interval};

/// Most readings of which every combination of values is tried.
const MOST_READINGS: usize = 6;
/// Most readings of which the middle is tried beside the ends.
const MOST_WITH_MIDDLES: usize = 3;
/// Most searches for a combination; what they do not show is told as not decided.
const MOST_SEARCHES: usize = 12;

/// The copies, and how many were looked for.
pub struct Chosen {
    /// The copies: first every reading at its low end, then every one at its high end, then those found since.
    pub jobs: Vec<Job>,
    /// The widest bounds of a reading, in base units.
    pub widest: Exact,
    searches: usize,
}

impl Chosen {
    /// Every reading but the varied ones at its low end, and at its high end. With no tolerance there is nothing to choose.
    pub fn new(job: &Job, varied: &[FactUse]) -> Chosen {
        let readings: Vec<(FactUse, Exact, Exact)> = facts(job)
            .filter(|fact| !varied.contains(fact))
            .filter_map(|fact| bounds_of(job, fact).map(|(lo, hi)| (fact, lo, hi)))
            .collect();
        let widest = readings.iter().filter_map(|(_, lo, hi)| hi.sub(*lo)).max().unwrap_or(Exact::ZERO);
        let mut jobs = if readings.is_empty() { Vec::new() } else { vec![job.clone(), job.clone()] };
        for (fact, lo, hi) in readings {
            settle(&mut jobs[0], fact, lo);
            settle(&mut jobs[1], fact, hi);
        }
        Chosen { jobs, widest, searches: 0 }
    }

    /// Whether one more search may be made.
    pub fn may_search(&mut self) -> bool {
        self.searches += 1;
        self.searches <= MOST_SEARCHES
    }
}

/// Copies with every combination of the readings at their ends, and of few readings also at their middles.
pub fn choices<'j>(job: &'j Job, readings: &[FactUse]) -> impl Iterator<Item = Job> + use<'j> {
    let few = if readings.len() > MOST_READINGS { &[] } else { readings };
    let values: Vec<(FactUse, Vec<Exact>)> = few
        .iter()
        .filter_map(|fact| {
            let (lo, hi) = bounds_of(job, *fact)?;
            let middle = Interval::between(lo, hi).middle().filter(|_| few.len() <= MOST_WITH_MIDDLES);
            Some((*fact, [lo, hi].into_iter().chain(middle).collect()))
        })
        .collect();
    let total: usize = if values.is_empty() { 0 } else { values.iter().map(|(_, values)| values.len()).product() };
    (0..total).map(move |mut number| {
        let mut copy = job.clone();
        for (fact, values) in &values {
            settle(&mut copy, *fact, values[number % values.len()]);
            number /= values.len();
        }
        copy
    })
}

fn facts(job: &Job) -> impl Iterator<Item = FactUse> {
    job.records.iter().enumerate().flat_map(|(at, record)| {
        let id = RecordId(u32::try_from(at).unwrap_or(u32::MAX));
        (0..record.facts.len()).map(move |field| FactUse { record: id, field })
    })
}

/// The bounds of a reading, where it has a tolerance.
pub fn bounds_of(job: &Job, fact: FactUse) -> Option<(Exact, Exact)> {
    let Fact::Stated(stated) = &job.record(fact.record).facts[fact.field] else { return None };
    match stated.datum {
        Datum::Number(Interval { lo: Some(lo), hi: Some(hi) }, _) => (lo != hi).then_some((lo, hi)),
        _ => None,
    }
}

/// Puts a reading at one value.
fn settle(job: &mut Job, fact: FactUse, at: Exact) {
    if let Fact::Stated(stated) = &mut job.records[fact.record.0 as usize].facts[fact.field]
        && let Datum::Number(interval, _) = &mut stated.datum
    {
        *interval = Interval::point(at);
    }
}
