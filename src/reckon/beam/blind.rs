//! Owns the blind area of a zone: where the middle of a body can stand or lie, in some direction, without breaking any beam. It must
//! not know which blind area is too much.
//!
//! Bounds. For one direction of the body the places that break a line are a polygon, so the blind area of a finite set of directions is
//! found exactly, and it can only be too small. Places within half the body's short side of a line break it in every direction, so what
//! lies outside of these can only be too large. With beams side by side the two agree to within 0.1 %. Where they differ the area is
//! cut into cells. A cell is surely seen when a body smaller all round by the cell's half diagonal cannot slip past the lines from the
//! cell's middle; surely blind when a body larger by as much can, or when in one direction no place of the cell's hull is within the
//! polygon of places that break a line. Cells are halved, largest first, until those left undecided are at most 0.1 % of the blind
//! area, or 1 cm². Both bounds are proved; between them an undecided cell counts as its centroid does.

use std::f64::consts::{FRAC_PI_2, PI};

use super::body::{Stance, half_turn};
use super::doubt::{decided, small_beside};
use super::line::Beam;
use crate::reckon::geometry::{Ground, Point, Polygon, Region, Unreckonable, capsule};

/// Directions nearer to each other than this are tried as one, in radians.
const ALIKE: f64 = 1e-3;

/// Directions tried, evenly over half a turn, beside those of the lines.
const EVEN_DIRECTIONS: usize = 4;

/// Corners on the round end of a line of places.
const ROUND_END: usize = 16;

/// The part of a zone where a body goes unseen.
#[derive(Clone, Debug)]
pub struct BlindArea {
    /// The area, in square metres, to within 0.1 % or 1 cm².
    pub area: f64,
    /// A proved lower bound on the area, in square metres.
    pub at_least: f64,
    /// A proved upper bound on the area, in square metres; 0 when no place is blind.
    pub at_most: f64,
    /// Places that are not within half the body's short side of a beam.
    most: Region,
    /// Those of them that are seen in every direction tried.
    left: Region,
}

impl BlindArea {
    /// The places of the body's middle that are blind in one of the directions tried: nearly all that are.
    pub fn places(&self) -> Region {
        self.most.minus(&self.left)
    }
}

/// The blind area of a zone for a body in one stance, over a set of beams.
///
/// The body stands on the ground, its middle in the zone, turned anyhow; it breaks a beam when its footprint meets a part of the beam
/// that is over the ground and below the body's height.
pub fn blind_area(zone: &Polygon, beams: &[Beam], ground: &Ground, stance: Stance) -> Result<BlindArea, Unreckonable> {
    let lines = breakable(beams, ground, stance.height())?;
    let core: Vec<Vec<Point>> = lines.iter().map(|(a, b)| capsule(*a, *b, stance.half_short, ROUND_END)).collect();
    let most = Region::of(zone).outside_all(&core);
    let enough = |left: f64, blind: f64| left <= small_beside(blind);
    // What is seen in every direction tried so far. Only ever cut down: joining many areas that nearly share edges is slow.
    let mut left = most.clone();
    let even = (0..EVEN_DIRECTIONS).map(|i| PI * (i as f64 + 0.5) / EVEN_DIRECTIONS as f64);
    for direction in likely_directions(&lines).into_iter().chain(even) {
        if enough(left.area(), most.area() - left.area()) {
            break;
        }
        let seen: Vec<Vec<Point>> = lines.iter().map(|line| stance.breaking(*line, direction)).collect();
        left = left.inside_of(&seen);
    }
    let (at_most, at_least) = (most.area(), most.area() - left.area());
    if enough(left.area(), at_least) {
        return Ok(BlindArea { area: at_most, at_least, at_most, most, left });
    }
    let doubt = decided(left.outlines(), &lines, stance, at_least);
    let at_least = at_least + doubt.blind;
    let (area, at_most) = (at_least + doubt.likely, at_least + doubt.open);
    Ok(BlindArea { area, at_least, at_most, most, left })
}

/// The parts of all beams that a body of a height can break, each once.
pub(crate) fn breakable(beams: &[Beam], ground: &Ground, height: f64) -> Result<Vec<(Point, Point)>, Unreckonable> {
    let mut lines: Vec<(Point, Point)> = Vec::new();
    for beam in beams {
        for line in beam.below_height(ground, height)? {
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    Ok(lines)
}

/// Directions in which a body slips past lines most easily: along each line, and square to it.
fn likely_directions(lines: &[(Point, Point)]) -> Vec<f64> {
    let mut directions = Vec::with_capacity(2 * lines.len());
    for (a, b) in lines {
        let way = *b - *a;
        if way.length() > 0.0 {
            let along = half_turn(libm::atan2(way.y, way.x));
            directions.extend([along, half_turn(along + FRAC_PI_2)]);
        }
    }
    directions.sort_by(f64::total_cmp);
    directions.dedup_by(|a, b| (*a - *b).abs() < ALIKE);
    // Half a turn on the directions begin again.
    let around = directions.first().zip(directions.last()).is_some_and(|(first, last)| first + PI - last < ALIKE);
    if directions.len() > 1 && around {
        directions.pop();
    }
    directions
}
