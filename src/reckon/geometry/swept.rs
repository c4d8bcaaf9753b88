//! Owns the area that a leaf sweeps in its plane of movement and its footprint in plan. It must not know obstacles.
//!
//! The travel is cut into steps, and in each step every corner is taken to move straight. A corner with acceleration K then strays
//! from its true course by at most K h²/8 for a step h, so the swept outline is right to within that distance everywhere. The
//! step is chosen from the outline's length and area so that the area is right to 0.025 %; 0.1 % is promised.

use super::motion::{Course, Pose};
use super::movement::{Movement, Panel, Plane};
use super::planar::foot;
use super::point::Point;
use super::polygon::{Polygon, edges, signed_area};
use super::region::Region;
use crate::reckon::Unreckonable;

/// The part of the area by which the swept area may be wrong.
pub const AREA_ERROR: f64 = 1e-3;

/// The part of the area aimed at: a quarter of what is promised.
const AIM: f64 = 2.5e-4;

/// The most steps a travel is cut into.
const MOST_STEPS: usize = 4_000;

/// The area that a leaf sweeps.
#[derive(Clone, Debug)]
pub struct Swept {
    /// The plane of the area: x and y, or x and z.
    pub plane: Plane,
    /// All that the leaf covers at any position.
    pub whole: Region,
    /// What it moves into when opening: the whole without the closed leaf.
    pub opening: Region,
    /// What it moves into when closing: the whole without the open leaf.
    pub closing: Region,
}

/// The area that the leaf sweeps in its plane of movement.
pub fn swept(movement: &Movement) -> Result<Swept, Unreckonable> {
    let rough = covered(movement, f64::INFINITY);
    let stray = AIM * rough.area() / rough.perimeter();
    let whole = covered(movement, stray);
    let still = |at: f64| -> Result<Region, Unreckonable> {
        let outlines = movement.outlines_at(at)?;
        Ok(Region::inside_any(outlines.iter().map(Vec::as_slice)))
    };
    let (opening, closing) = (whole.minus(&still(0.0)?), whole.minus(&still(1.0)?));
    Ok(Swept { plane: movement.plane(), whole, opening, closing })
}

/// The area in plan that the leaf covers at any position: the swept area of a leaf that moves in plan, a strip otherwise.
pub fn footprint(movement: &Movement) -> Result<Region, Unreckonable> {
    if movement.plane() == Plane::Plan {
        return Ok(swept(movement)?.whole);
    }
    let corners = swept(movement)?.whole.outlines().concat();
    let low = corners.iter().map(|c| c.x).fold(f64::INFINITY, f64::min);
    let high = corners.iter().map(|c| c.x).fold(f64::NEG_INFINITY, f64::max);
    let depth = movement.depth();
    Ok(Region::of(&Polygon::rectangle(Point::new(low, depth.low), Point::new(high, depth.high))?))
}

/// Steps needed for no corner of a panel to stray by more than a distance, in metres.
pub(crate) fn steps_for(panel: &Panel, stray: f64) -> usize {
    let needed = (panel.limits.bend(panel.radius) / (8.0 * stray)).sqrt().ceil();
    (needed as usize).clamp(1, MOST_STEPS)
}

/// All that the leaf covers at any position; without a bound on straying, a rough figure from a few steps.
fn covered(movement: &Movement, stray: f64) -> Region {
    let mut parts: Vec<Vec<Point>> = Vec::new();
    for panel in movement.panels() {
        let steps = steps_for(panel, if stray.is_finite() { stray } else { 1e-2 });
        parts.push(panel.placed(&panel.course.pose(0.0)).to_vec());
        if let Course::Turn { pivot, from, through } = panel.course {
            turned(&panel.corners, (pivot, from, through), steps, &mut parts);
        } else {
            let poses: Vec<Pose> = (0..=steps).map(|i| panel.course.pose(i as f64 / steps as f64)).collect();
            for edge in edges(&panel.corners) {
                brushed(edge, &poses, &mut parts);
            }
        }
    }
    Region::inside_any(parts.iter().map(Vec::as_slice))
}

/// The areas that the edges of a turning panel brush over. Each edge is cut where it is nearest to the pivot; along either half the
/// distance from the pivot only grows, so its area has four sides: the half edge at both ends of the turn, and two arcs.
fn turned(corners: &[Point], (pivot, from, through): (Point, f64, f64), steps: usize, parts: &mut Vec<Vec<Point>>) {
    let turns: Vec<Point> = (0..=steps).map(|i| Point::at_angle(from + through * i as f64 / steps as f64)).collect();
    let arc = |own: Point| turns.iter().map(move |turn| pivot + *turn * own.x + turn.left() * own.y);
    for (a, b) in edges(corners) {
        let nearest = foot(Point::default(), a, b);
        for end in [a, b] {
            if end != nearest {
                parts.push(arc(nearest).chain(arc(end).rev()).collect());
            }
        }
    }
}

/// The areas that an edge brushes over. At each pose it is cut at the point nearest to the centre about which the panel turns at that
/// moment; the matter on either side of that point moves to one side of the edge only, so that the two strips do not fold over.
fn brushed((a, b): (Point, Point), poses: &[Pose], parts: &mut Vec<Vec<Point>>) {
    let cut = |pose: &Pose| {
        let (start, end) = (pose.place(a), pose.place(b));
        let still = (pose.spin.abs() > 1e-9).then(|| pose.origin + pose.velocity.left() * (1.0 / pose.spin));
        (start, still.map_or(end, |centre| foot(centre, start, end)), end)
    };
    let cuts: Vec<(Point, Point, Point)> = poses.iter().map(cut).collect();
    strips(&cuts.iter().map(|(start, middle, _)| (*start, *middle)).collect::<Vec<_>>(), parts);
    strips(&cuts.iter().map(|(_, middle, end)| (*middle, *end)).collect::<Vec<_>>(), parts);
}

/// The areas between successive places of a segment, joined as long as it moves to the same side of itself.
///
/// One outline for many steps, rather than many small ones: joining many outlines that nearly share edges is slow.
fn strips(places: &[(Point, Point)], parts: &mut Vec<Vec<Point>>) {
    let mut run: Vec<(Point, Point)> = Vec::new();
    let mut side = 0.0;
    let mut flush = |run: &mut Vec<(Point, Point)>| {
        if run.len() > 1 {
            parts.push(run.iter().map(|(a, _)| *a).chain(run.iter().rev().map(|(_, b)| *b)).collect());
        }
        run.clear();
    };
    for (before, after) in places.iter().zip(places.iter().skip(1)) {
        let turn = signed_area(&[before.0, after.0, after.1, before.1]);
        let changed = turn != 0.0 && side != 0.0 && (turn > 0.0) != (side > 0.0);
        if changed {
            flush(&mut run);
        }
        if turn != 0.0 {
            side = turn;
        }
        if run.is_empty() {
            run.push(*before);
        }
        run.push(*after);
    }
    flush(&mut run);
}
