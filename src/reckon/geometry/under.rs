//! Owns the gap between the bottom of a moving leaf and the ground below it. It must not know which gaps are hazards.
//!
//! The travel is cut into steps in which every corner is taken to move straight; a corner strays by at most K h²/8, which changes
//! its height over the ground by at most (1 + steepest slope) times that. Along straight lines the gap over ground made of planes
//! is made of straight pieces, so its extremes lie at the ends and where the ground's slope changes; these are gone through.

use super::ground::Ground;
use super::movement::{Movement, Panel, Part, Plane};
use super::point::{Point, Point3};
use super::polygon::edges;
use super::swept::steps_for;
use crate::reckon::Unreckonable;

/// The most by which a gap to the ground may be wrong, in metres.
pub const GROUND_GAP_ERROR: f64 = 5e-5;

/// Straying aimed at, in metres.
const STRAY: f64 = 2e-5;

/// A gap between leaf and ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundGap {
    /// Height over the ground straight below, in metres; negative where the leaf would strike the ground.
    pub gap: f64,
    /// The position at which it occurs, from 0 (closed) to 1 (open).
    pub at: f64,
    /// The point of the leaf, in metres.
    pub place: Point3,
}

/// The gaps under a leaf over its whole movement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnderLeaf {
    /// The least gap under any point of the leaf.
    pub least: GroundGap,
    /// The greatest gap under any point of the bottom edge.
    pub greatest: GroundGap,
    /// The most by which either may be wrong, in metres.
    pub error: f64,
}

/// A corner or edge of the leaf's underside on its way.
struct Line {
    from: (Point3, f64),
    to: (Point3, f64),
    /// Whether it belongs to the bottom edge of the closed leaf.
    bottom: bool,
}

/// The gap between leaf and ground over the whole movement.
pub fn under_leaf(movement: &Movement, ground: &Ground) -> Result<UnderLeaf, Unreckonable> {
    let nowhere = |gap: f64| GroundGap { gap, at: 0.0, place: Point3::default() };
    let (mut least, mut greatest) = (nowhere(f64::INFINITY), nowhere(f64::NEG_INFINITY));
    let mut keep = |line: &Line| -> Result<(), Unreckonable> {
        let ((a, start), (b, end)) = (line.from, line.to);
        for (share, height) in ground.along_line(a.plan(), b.plan())? {
            let place = a.toward(b, share);
            let found = GroundGap { gap: place.z - height, at: start + (end - start) * share, place };
            if found.gap < least.gap {
                least = found;
            }
            if line.bottom && found.gap > greatest.gap {
                greatest = found;
            }
        }
        Ok(())
    };
    for panel in movement.panels() {
        let steps = steps_for(panel, STRAY / (1.0 + ground.steepest()));
        let mut before: Option<(f64, Vec<(Point3, bool)>)> = None;
        for step in 0..=steps {
            let at = step as f64 / steps as f64;
            let (corners, sides) = underside(movement.plane(), panel, at);
            sides.iter().try_for_each(&mut keep)?;
            if let Some((then, earlier)) = before {
                for ((a, bottom), (b, _)) in earlier.into_iter().zip(&corners) {
                    keep(&Line { from: (a, then), to: (*b, at), bottom })?;
                }
            }
            before = Some((at, corners));
        }
    }
    Ok(UnderLeaf { least, greatest, error: GROUND_GAP_ERROR })
}

/// The corners of a panel that can be lowest, each with whether it is on the bottom edge, and the lines between them.
fn underside(plane: Plane, panel: &Panel, at: f64) -> (Vec<(Point3, bool)>, Vec<Line>) {
    let placed = panel.placed(&panel.course.pose(at));
    let depths = match plane {
        Plane::Plan => vec![panel.depth.low],
        Plane::Elevation => vec![panel.depth.low, panel.depth.high],
    };
    let on_bottom = |own: &Point| plane == Plane::Plan || is_bottom(panel, own);
    let marked: Vec<(Point, bool)> = placed.iter().zip(&panel.corners).map(|(p, own)| (*p, on_bottom(own))).collect();
    let mut corners = Vec::new();
    let mut lines = Vec::new();
    for depth in &depths {
        corners.extend(marked.iter().map(|(p, bottom)| (plane.in_space(*p, *depth), *bottom)));
        for ((a, b), (own_a, own_b)) in edges(&placed).zip(edges(&panel.corners)) {
            let (from, to) = ((plane.in_space(a, *depth), at), (plane.in_space(b, *depth), at));
            lines.push(Line { from, to, bottom: on_bottom(&own_a) && on_bottom(&own_b) });
        }
    }
    if let [low, high] = depths.as_slice() {
        lines.extend(marked.iter().map(|(p, bottom)| Line {
            from: (plane.in_space(*p, *low), at),
            to: (plane.in_space(*p, *high), at),
            bottom: *bottom,
        }));
    }
    (corners, lines)
}

/// Whether an own corner lies on the side that is the bottom edge when closed.
fn is_bottom(panel: &Panel, own: &Point) -> bool {
    let [low, high] = panel.parts.sides;
    (low == Part::BottomEdge && own.y == panel.across.low) || (high == Part::BottomEdge && own.y == panel.across.high)
}
