//! Owns the search for the least value of a function over the travel, with a proven bound. It must not know what the function means.
//!
//! The function comes with a floor: at the middle of an interval it gives its value there and a number that it nowhere undercuts
//! in the interval. Intervals are split in the order of their floors until no floor lies more than [`FINE`] below the least value
//! seen. So the true least lies between the least value minus the error given back and the least value itself.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::reckon::Unreckonable;

/// The error aimed at, in metres: one micrometre.
pub(crate) const FINE: f64 = 1e-6;

/// The error that is accepted after [`PATIENCE`] steps, in metres: half of the tenth of a millimetre promised.
const COARSE: f64 = 5e-5;

/// Steps after which the coarser error is enough.
const PATIENCE: usize = 4_000;

/// Steps after which the search is given up.
const MOST_STEPS: usize = 1_000_000;

/// What rounding of the arithmetic can amount to at the sizes taken, in metres.
const ROUNDING: f64 = 1e-9;

/// Positions nearer than this are one position, as a share of the travel.
const SAME_POSITION: f64 = 1e-6;

/// A value in the middle of an interval, and a floor for the whole interval.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Probe {
    pub value: f64,
    pub floor: f64,
}

/// The least value, where it was found first, and by how much the true least may be lower.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Least {
    pub value: f64,
    pub at: f64,
    pub error: f64,
}

/// An interval with its middle, half width, value and floor; the lowest floor comes first.
struct Interval {
    middle: f64,
    half: f64,
    probe: Probe,
}

impl PartialEq for Interval {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Interval {}

impl PartialOrd for Interval {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Interval {
    fn cmp(&self, other: &Self) -> Ordering {
        // Reversed: the heap gives the greatest, and the lowest floor, then the lowest value, is wanted first.
        let floors = other.probe.floor.total_cmp(&self.probe.floor);
        floors.then_with(|| other.probe.value.total_cmp(&self.probe.value)).then_with(|| other.middle.total_cmp(&self.middle))
    }
}

/// The least value between two positions, for a function probed at a middle and half width.
pub(crate) fn least((from, to): (f64, f64), mut probe: impl FnMut(f64, f64) -> Probe) -> Result<Least, Unreckonable> {
    let (mut best, whole) = start((from, to), &mut probe);
    let mut open = BinaryHeap::from([whole]);
    let mut steps = 0;
    while let Some(next) = open.pop() {
        if next.probe.value < best.value {
            (best.value, best.at) = (next.probe.value, next.middle);
        }
        let short = (best.value - next.probe.floor).max(0.0);
        if short <= FINE || (steps > PATIENCE && short <= COARSE) {
            best.error = best.error.max(short);
            break;
        }
        if steps > MOST_STEPS {
            return Err(Unreckonable::TooFine);
        }
        steps += 1;
        let half = next.half / 2.0;
        for middle in [next.middle - half, next.middle + half] {
            let probe = probe(middle, half);
            if probe.value < best.value {
                (best.value, best.at) = (probe.value, middle);
            }
            if probe.floor < best.value - FINE {
                open.push(Interval { middle, half, probe });
            } else {
                best.error = best.error.max(best.value - probe.floor);
            }
        }
    }
    best.error = best.error.max(ROUNDING);
    let earliest = first((from, to), best, &mut probe);
    // The search for the first position takes any value within the error, so that it stops a little short of an end it closes on.
    if best.at - earliest > SAME_POSITION {
        best.at = earliest;
    }
    Ok(best)
}

/// The better of the two ends, and the whole interval.
fn start((from, to): (f64, f64), probe: &mut impl FnMut(f64, f64) -> Probe) -> (Least, Interval) {
    let (first, last) = (probe(from, 0.0).value, probe(to, 0.0).value);
    let (value, at) = if last < first { (last, to) } else { (first, from) };
    let (middle, half) = ((from + to) / 2.0, (to - from) / 2.0);
    let probe = probe(middle, half);
    (Least { value, at, error: 0.0 }, Interval { middle, half, probe })
}

/// The first position at which the function comes as low as its least, within the error of the search.
fn first((from, to): (f64, f64), least: Least, probe: &mut impl FnMut(f64, f64) -> Probe) -> f64 {
    let target = least.value + FINE / 4.0;
    if probe(from, 0.0).value <= target {
        return from;
    }
    let mut stack = vec![((from + to) / 2.0, (to - from) / 2.0)];
    let mut steps = 0;
    while let Some((middle, half)) = stack.pop() {
        // Everything left on the stack lies later than what was found already.
        if middle - half >= least.at {
            return least.at;
        }
        steps += 1;
        if steps > PATIENCE {
            return least.at;
        }
        let seen = probe(middle, half);
        if seen.floor > target {
            continue;
        }
        if half <= SAME_POSITION / 1e3 {
            if seen.value <= target {
                return middle;
            }
            continue;
        }
        stack.push((middle + half / 2.0, half / 2.0));
        stack.push((middle - half / 2.0, half / 2.0));
    }
    least.at
}
