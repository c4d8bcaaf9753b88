//! Owns how long a recorded impact force stays above a level. It must not know whether that is allowed.

use super::number::{answer, finite};
use super::unreckonable::Unreckonable;

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
    /// From the first moment above it to the last, dips included, in seconds: the one to hold against a limit.
    pub span: f64,
    /// The record ends while the force is still above the level, so that the true time is unknown and longer.
    pub unfinished: bool,
}

/// How long a record stays above `level` newtons.
///
/// Source: definition. Errors: a number not finite, times that do not increase.
pub fn time_above(record: &[Sample], level: f64) -> Result<TimeAbove, Unreckonable> {
    let level = finite("level", level)?;
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
                from = from.or(Some(start));
                to = end;
            }
        }
        earlier = Some(later);
    }
    let span = from.map_or(0.0, |from| to - from);
    let unfinished = earlier.is_some_and(|last| last.force > level);
    Ok(TimeAbove { span: answer("time above the level", span)?, unfinished })
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
