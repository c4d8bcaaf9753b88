//! Owns the gap between a moving leaf and a fixed object over the whole movement. It must not know which gaps are hazards.
//! The bound on the error is proved in nearness.rs and kept by extremum.rs.

use super::extremum::{Least, least};
use super::movement::{Movement, Part};
use super::nearness::{CONTACT, Target, ceiling_at, floor_at, seen};
use super::number::{Range, position};
use super::point::Point3;
use super::polygon::Polygon;
use crate::reckon::Unreckonable;

/// The most by which a gap given may be wrong, in metres.
pub const GAP_ERROR: f64 = 5e-5;

/// A fixed object: an outline in plan with a range of heights.
#[derive(Clone, Debug)]
pub struct Fixed {
    outline: Polygon,
    heights: Range,
    targets: Vec<Target>,
}

/// A gap between leaf and object.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The gap, in metres; 0 where they touch.
    pub gap: f64,
    /// By how much the true extreme may lie beyond the gap, in metres: below a least gap, above a greatest one.
    pub error: f64,
    /// The first position at which it occurs, from 0 (closed) to 1 (open).
    pub at: f64,
    /// The part of the leaf that is nearest there; none where the object stands in the leaf from the start.
    pub part: Option<Part>,
    /// The point of the leaf that is nearest there, in metres.
    pub on_leaf: Point3,
    /// The point of the object that is nearest there, in metres; the same point where they touch.
    pub on_object: Point3,
}

impl Fixed {
    /// An object from its outline and its range of heights above the datum, in metres.
    pub fn new(outline: Polygon, heights: Range) -> Result<Self, Unreckonable> {
        let heights = Range::new("heights of the object", heights.low, heights.high)?;
        let targets = outline.pieces().into_iter().map(|piece| Target::upright(piece, heights)).collect();
        Ok(Self { outline, heights, targets })
    }

    /// The outline in plan.
    pub fn outline(&self) -> &Polygon {
        &self.outline
    }

    /// The range of heights above the datum, in metres.
    pub fn heights(&self) -> Range {
        self.heights
    }

    /// The part of the object below a height, in metres; nothing when it stands wholly above.
    pub fn below(&self, height: f64) -> Option<Self> {
        if self.heights.high <= height {
            return Some(self.clone());
        }
        Self::new(self.outline.clone(), Range { low: self.heights.low, high: height }).ok()
    }
}

/// The least gap between leaf and object over the whole movement.
pub fn least_gap(movement: &Movement, object: &Fixed) -> Result<Gap, Unreckonable> {
    least_gap_between(movement, object, (0.0, 1.0))
}

/// The least gap between two positions.
pub(crate) fn least_gap_between(movement: &Movement, object: &Fixed, positions: (f64, f64)) -> Result<Gap, Unreckonable> {
    let found = least(positions, |at, half| floor_at(movement, &object.targets, at, half))?;
    Ok(dressed(movement, &object.targets, found, 1.0))
}

/// The greatest gap between leaf and object over the whole movement.
pub fn greatest_gap(movement: &Movement, object: &Fixed) -> Result<Gap, Unreckonable> {
    greatest_gap_between(movement, object, (0.0, 1.0))
}

/// The greatest gap between two positions.
pub(crate) fn greatest_gap_between(movement: &Movement, object: &Fixed, positions: (f64, f64)) -> Result<Gap, Unreckonable> {
    let found = least(positions, |at, half| ceiling_at(movement, &object.targets, at, half))?;
    Ok(dressed(movement, &object.targets, found, -1.0))
}

/// The gap at one position from 0 (closed) to 1 (open).
pub fn gap_at(movement: &Movement, object: &Fixed, at: f64) -> Result<Gap, Unreckonable> {
    let value = floor_at(movement, &object.targets, position(at)?, 0.0).value;
    Ok(dressed(movement, &object.targets, Least { value, at, error: 1e-9 }, 1.0))
}

/// The gap at a position, without the search's wrapping; the position must be known to be good.
pub(crate) fn gap_value(movement: &Movement, object: &Fixed, at: f64) -> f64 {
    floor_at(movement, &object.targets, at, 0.0).value
}

/// The gap found, with the part and points that are nearest at its position.
pub(crate) fn dressed(movement: &Movement, targets: &[Target], found: Least, sign: f64) -> Gap {
    let nearest_at =
        |at: f64| seen(movement, targets, at).map(|(seen, _)| seen).min_by(|a, b| a.nearest.distance.total_cmp(&b.nearest.distance));
    let points = nearest_at(found.at).map(|seen| (seen.nearest.on_first, seen.nearest.on_second)).unwrap_or_default();
    // At contact there is no nearest part; a moment before there was.
    let moments = [0.0, 1e-6, 1e-4, 1e-2].map(|before| found.at - before);
    let apart = moments.into_iter().filter(|at| *at >= 0.0).filter_map(nearest_at).find(|s| s.nearest.distance >= CONTACT);
    Gap {
        gap: (found.value * sign).max(0.0),
        error: found.error,
        at: found.at,
        part: apart.map(|seen| seen.part(movement.plane())),
        on_leaf: points.0,
        on_object: points.1,
    }
}
