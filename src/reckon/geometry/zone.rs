//! Owns the finding of hazard zones: where, in which direction and how narrow a leaf and a fixed object close on each other. It must
//! not know what means protect a zone, nor any limit of its own.
//!
//! In each direction the travel is gone through at 33 stations, and every run over which the gap does not grow is a place where
//! something can be caught. The least and greatest gap of a run are then searched to within the error of gap.rs. A run that begins
//! and ends between two neighbouring stations, and is not the least gap of all, can go unseen.

use super::band::{Band, Standing};
use super::gap::{Fixed, Gap, gap_value, greatest_gap_between, least_gap, least_gap_between};
use super::movement::{Movement, Part, Plane};
use super::number::sized;
use crate::reckon::Unreckonable;

/// Steps between stations.
const STEPS: usize = 32;

/// Positions nearer than this to a station are not a station of their own, as a share of the travel.
const BESIDE: f64 = 1e-3;

/// Growth of a gap from station to station that still counts as none, in metres: a leaf that passes an object.
const STEADY: f64 = 1e-6;

/// The direction in which a leaf moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// From closed to open.
    Opening,
    /// From open to closed.
    Closing,
}

/// A place where leaf and object close on each other, or pass, with a gap in the hazardous range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HazardZone {
    /// Which object, counted from 0 in the order given.
    pub object: usize,
    /// The part of the leaf that is nearest at the least gap.
    pub part: Option<Part>,
    /// The direction of movement in which it closes.
    pub direction: Direction,
    /// The least gap in that direction, in metres.
    pub gap: f64,
    /// The most by which it may be too great, in metres.
    pub error: f64,
    /// The position of the least gap, from 0 (closed) to 1 (open).
    pub at: f64,
    /// Whether it is surely in the range or at a limit.
    pub standing: Standing,
}

/// The hazard zones between a leaf and fixed objects, for gaps in a hazardous range, up to a height over the datum in metres.
///
/// Zones come in the order of the objects, opening before closing, then in the order of the travel.
pub fn hazard_zones(movement: &Movement, objects: &[Fixed], band: Band, reach: f64) -> Result<Vec<HazardZone>, Unreckonable> {
    let reach = sized("height to which people can be caught", reach)?;
    let mut zones = Vec::new();
    if movement.plane() == Plane::Plan && movement.depth().low >= reach {
        return Ok(zones);
    }
    for (index, object) in objects.iter().enumerate() {
        let Some(object) = object.below(reach) else {
            continue;
        };
        let least = least_gap(movement, &object)?;
        if band.clears(least.gap, least.error) {
            continue;
        }
        for direction in [Direction::Opening, Direction::Closing] {
            for run in runs(movement, &object, direction, least) {
                if let Some(zone) = judged(movement, &object, band, run)? {
                    zones.push(HazardZone { object: index, direction, ..zone });
                }
            }
        }
    }
    Ok(zones)
}

/// A stretch of the travel over which the gap does not grow.
struct Run {
    /// Where the greatest gap of the run is searched.
    top: (f64, f64),
    /// Where its least gap is searched.
    bottom: (f64, f64),
    /// The greatest gap at a station.
    greatest: f64,
}

/// The runs of a direction: stations are gone through in the order of movement.
fn runs(movement: &Movement, object: &Fixed, direction: Direction, least: Gap) -> Vec<Run> {
    let mut stations: Vec<f64> = (0..=STEPS).map(|i| i as f64 / STEPS as f64).collect();
    // Not right beside a station: over a hair of the travel any gap seems steady.
    if stations.iter().all(|at| (at - least.at).abs() > BESIDE) {
        stations.push(least.at);
        stations.sort_by(f64::total_cmp);
    }
    if direction == Direction::Closing {
        stations.reverse();
    }
    let seen: Vec<(f64, f64)> = stations.into_iter().map(|at| (at, gap_value(movement, object, at))).collect();
    let mut found: Vec<Run> = Vec::new();
    let mut open: Option<Run> = None;
    let mut before: Option<f64> = None;
    for ((at, gap), (next, gap_next)) in seen.iter().zip(seen.iter().skip(1)) {
        if *gap_next <= gap + STEADY {
            let run = open.get_or_insert(Run { top: (before.unwrap_or(*at), *next), bottom: (*at, *next), greatest: *gap });
            run.bottom.1 = *next;
        } else if let Some(mut run) = open.take() {
            run.bottom.1 = *next;
            found.push(run);
        }
        before = Some(*at);
    }
    found.extend(open);
    found
}

/// The zone of a run, when its gaps reach the range.
fn judged(movement: &Movement, object: &Fixed, band: Band, run: Run) -> Result<Option<HazardZone>, Unreckonable> {
    let ordered = |(a, b): (f64, f64)| (a.min(b), a.max(b));
    let least = least_gap_between(movement, object, ordered(run.bottom))?;
    let greatest = if run.greatest > band.lower() + least.error {
        run.greatest
    } else {
        greatest_gap_between(movement, object, ordered(run.top))?.gap
    };
    let standing = band.of_all(least.gap, greatest.max(least.gap), least.error);
    Ok((standing != Standing::Clear).then_some(HazardZone {
        object: 0,
        part: least.part,
        direction: Direction::Opening,
        gap: least.gap,
        error: least.error,
        at: least.at,
        standing,
    }))
}
