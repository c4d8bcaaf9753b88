//! Owns how an object stands beside a leaf at one position: along it, facing it, and square to a direction. It must not know limits.

use super::gap::{Fixed, gap_at};
use super::movement::{Movement, Plane};
use super::number::position;
use super::planar::reach_along;
use super::point::Point;
use super::polygon::edges;
use crate::reckon::Unreckonable;

/// An object beside a leaf at one position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// Where along the leaf the object begins, from the pivot's centre line (slide: from the left end), in metres.
    pub begins: f64,
    /// Where along the leaf the object ends, from the same point, in metres: for a post the leaf hangs on, pivot to end of post.
    pub ends: f64,
    /// Length of the leaf that the object faces, in metres; 0 when it stands beyond the leaf's ends.
    pub facing: f64,
    /// The least gap at this position, in metres.
    pub gap: f64,
}

/// How an object stands beside the leaf's first panel at a position from 0 (closed) to 1 (open); none for a leaf that rises.
pub fn beside(movement: &Movement, object: &Fixed, at: f64) -> Result<Option<Beside>, Unreckonable> {
    let gap = gap_at(movement, object, at)?.gap;
    let Some(panel) = movement.panels().first().filter(|_| movement.plane() == Plane::Plan) else {
        return Ok(None);
    };
    let pose = panel.course.pose(at);
    let places = || object.outline().corners().iter().map(|c| pose.own(*c).x);
    let (begins, ends) = (places().fold(f64::INFINITY, f64::min), places().fold(f64::NEG_INFINITY, f64::max));
    let facing = (ends.min(panel.along.high) - begins.max(panel.along.low)).max(0.0);
    Ok(Some(Beside { begins, ends, facing, gap }))
}

/// The gap along a direction in plan at a position: how far the leaf could be pushed that way before it met the object, in metres.
/// The direction is counter-clockwise from +x in radians. None when it would never meet it.
pub fn gap_along(movement: &Movement, object: &Fixed, direction: f64, at: f64) -> Result<Option<f64>, Unreckonable> {
    position(at)?;
    if !direction.is_finite() {
        return Err(Unreckonable::NotFinite { what: "direction of the gap" });
    }
    let toward = Point::at_angle(direction);
    let mut least: Option<f64> = None;
    for panel in movement.panels() {
        let placed = panel.placed(&panel.course.pose(at));
        let level = match movement.plane() {
            Plane::Plan => placed.to_vec(),
            Plane::Elevation => shadow(&placed, (panel.depth.low, panel.depth.high)),
        };
        let heights = match movement.plane() {
            Plane::Plan => panel.depth,
            Plane::Elevation => super::number::Range {
                low: placed_heights(panel, at).fold(f64::INFINITY, f64::min),
                high: placed_heights(panel, at).fold(f64::NEG_INFINITY, f64::max),
            },
        };
        if heights.gap(object.heights()) > 0.0 {
            continue;
        }
        for piece in object.outline().pieces() {
            if let Some(way) = reach_along(&level, &piece, toward) {
                least = Some(least.map_or(way, |so_far| so_far.min(way)));
            }
        }
    }
    Ok(least)
}

/// The outline in plan of a panel that moves in the gate's plane.
fn shadow(placed: &[Point], (low, high): (f64, f64)) -> Vec<Point> {
    let left = edges(placed).map(|(a, _)| a.x).fold(f64::INFINITY, f64::min);
    let right = edges(placed).map(|(a, _)| a.x).fold(f64::NEG_INFINITY, f64::max);
    vec![Point::new(left, low), Point::new(right, low), Point::new(right, high), Point::new(left, high)]
}

/// Heights of the corners of a panel that moves in the gate's plane.
fn placed_heights(panel: &super::movement::Panel, at: f64) -> impl Iterator<Item = f64> {
    panel.placed(&panel.course.pose(at)).into_iter().map(|p| p.y)
}
