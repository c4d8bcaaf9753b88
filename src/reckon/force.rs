//! Owns what a recorded impact force says: peak, times above levels, means of repeats. It must not know whether that is allowed.

use super::number::{answer, finite, positive, some, within};
use super::unreckonable::Unreckonable;

/// Level in newtons under which a force counts as static.
///
/// This and the next three: EN 12453 annex A, from a trade-federation leaflet (published, high confidence). The functions take levels as
/// arguments, since another standard brings its own.
pub const STATIC_LEVEL: f64 = 150.0;
/// Level in newtons to which the force must have fallen in the end.
pub const RESIDUAL_LEVEL: f64 = 25.0;
/// Longest time in seconds above [`STATIC_LEVEL`].
pub const DYNAMIC_TIME: f64 = 0.75;
/// Time in seconds after which the force is at most [`RESIDUAL_LEVEL`].
pub const TOTAL_TIME: f64 = 5.0;

/// One moment of a force record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Seconds since any start.
    pub time: f64,
    /// Newtons.
    pub force: f64,
}

/// How long a record stays over a level. The force is taken to run straight from sample to sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeAbove {
    /// All the time above the level, in seconds.
    pub total: f64,
    /// From the first moment above it to the last, dips included, in seconds: the one to hold against a limit.
    pub span: f64,
    /// The record ends while the force is still above the level, so that the true time is unknown and longer.
    pub unfinished: bool,
}

/// What a record says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceFigures {
    /// Largest force sampled, in newtons.
    pub peak: f64,
    /// When, in seconds on the record's own clock.
    pub peak_time: f64,
    /// Time above the static level.
    pub dynamic: TimeAbove,
    /// Time above the residual level.
    pub residual: TimeAbove,
    /// From first to last sample, in seconds.
    pub length: f64,
    /// Widest step between two samples, in seconds: a peak may hide in it.
    pub widest_step: f64,
}

/// Reads a record of at least two samples, the times increasing, against two levels in newtons.
///
/// Source: definitions of EN 12453 annex A (times above 150 N and 25 N), from memory. Errors: fewer than two samples, a number not finite,
/// times that do not increase, a level not positive.
pub fn read_record(record: &[Sample], static_level: f64, residual_level: f64) -> Result<ForceFigures, Unreckonable> {
    let (Some(first), Some(last), true) = (record.first(), record.last(), record.len() >= 2) else {
        return Err(Unreckonable::Nothing { what: "force record of at least two samples" });
    };
    let mut figures = ForceFigures {
        peak: f64::NEG_INFINITY,
        peak_time: first.time,
        dynamic: time_above(record, positive("static level", static_level)?)?,
        residual: time_above(record, positive("residual level", residual_level)?)?,
        length: answer("length of the record", last.time - first.time)?,
        widest_step: 0.0,
    };
    for sample in record {
        if sample.force > figures.peak {
            figures.peak = sample.force;
            figures.peak_time = sample.time;
        }
    }
    for (earlier, later) in record.iter().zip(record.iter().skip(1)) {
        figures.widest_step = figures.widest_step.max(later.time - earlier.time);
    }
    Ok(figures)
}

/// How long a record stays above `level` newtons.
///
/// Source: definition. Errors: a number not finite, times that do not increase.
pub fn time_above(record: &[Sample], level: f64) -> Result<TimeAbove, Unreckonable> {
    let level = finite("level", level)?;
    let mut total = 0.0;
    let mut from = None;
    let mut to = 0.0;
    let mut earlier: Option<&Sample> = None;
    for later in record {
        finite("time of a sample", later.time)?;
        finite("force of a sample", later.force)?;
        if let Some(earlier) = earlier {
            if later.time <= earlier.time {
                return Err(Unreckonable::TimesOutOfOrder { time: later.time });
            }
            if let Some((start, end)) = part_above(*earlier, *later, level) {
                total += end - start;
                from = from.or(Some(start));
                to = end;
            }
        }
        earlier = Some(later);
    }
    let span = from.map_or(0.0, |from| to - from);
    let unfinished = earlier.is_some_and(|last| last.force > level);
    Ok(TimeAbove { total: answer("time above the level", total)?, span: answer("time above the level", span)?, unfinished })
}

/// The times between which a straight run from one sample to the next is above the level.
fn part_above(earlier: Sample, later: Sample, level: f64) -> Option<(f64, f64)> {
    let crossing = || {
        let share = (level - earlier.force) / (later.force - earlier.force);
        earlier.time + share.clamp(0.0, 1.0) * (later.time - earlier.time)
    };
    match (earlier.force > level, later.force > level) {
        (true, true) => Some((earlier.time, later.time)),
        (true, false) => Some((earlier.time, crossing())),
        (false, true) => Some((crossing(), later.time)),
        (false, false) => None,
    }
}

/// Mean of repeated readings, in their unit. EN 12453 takes the mean of three.
///
/// Source: definition. Errors: no reading, more than 10,000, one not finite.
pub fn mean_reading(readings: &[f64]) -> Result<f64, Unreckonable> {
    let mut sum = 0.0;
    for &reading in some("reading", readings, 10_000)? {
        sum += finite("reading", reading)?;
    }
    answer("mean reading", sum / readings.len() as f64)
}

/// How a gate's closing edge moves, as the force limits tell them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Movement {
    /// Level: sliding.
    Level,
    /// Turning about an upright axis: swinging.
    Swinging,
    /// Straight up and down.
    Upright,
    /// Turning about a level axis: pivot and arm.
    Tilting,
}

/// Where on the gate the force is met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// Between the closing edge and what it closes on, at a gap in metres of at least 0.05.
    Edge(f64),
    /// A flat face of more than 0.1 m² with no side below 0.1 m, away from closing edges.
    Face,
}

/// Largest dynamic peak in newtons that EN 12453 allows: 400 N up to a gap of 0.5 m; over that 1400 N for level and swinging movement; 1400 N
/// on flat faces.
///
/// Source: EN 12453 annex A; the 400 and 1400 N logic published (trade-federation leaflet), the whole table from memory (high confidence).
/// Errors: a gap below 0.05 m, for which the standard has no limit.
pub fn peak_limit(movement: Movement, place: Place) -> Result<f64, Unreckonable> {
    let Place::Edge(gap) = place else { return Ok(1400.0) };
    let wide = within("gap at the closing edge", gap, 0.05, f64::MAX)? > 0.5;
    Ok(match movement {
        Movement::Level | Movement::Swinging if wide => 1400.0,
        Movement::Level | Movement::Swinging | Movement::Upright | Movement::Tilting => 400.0,
    })
}
