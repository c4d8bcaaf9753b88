//! Owns how a beam lies to a moving leaf: whether the leaf breaks it, where in the travel, how near, and on which side. It must not
//! know which of this is allowed.

use super::line::Beam;
use crate::reckon::geometry::{Movement, Part, Plane, Point, Target, Unreckonable, floor_at, least, position};

/// Gaps of at most this count as the leaf breaking the beam, in metres: the error of the search.
const BROKEN: f64 = 2e-6;

/// How near a leaf comes to a beam over its whole movement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamGap {
    /// The least distance between leaf and beam, in metres; 0 when the leaf breaks the beam.
    pub gap: f64,
    /// The most by which the gap may be too great, in metres.
    pub error: f64,
    /// The first position at which it occurs, from 0 (closed) to 1 (open).
    pub at: f64,
    /// The first and the last position at which the leaf breaks the beam; in between it may be clear of it.
    pub broken: Option<(f64, f64)>,
}

/// The side of a leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aside {
    /// In front: toward the public side of the closed leaf.
    PublicSide,
    /// Behind: toward the secured side of the closed leaf.
    SecuredSide,
    /// Partly or wholly within the leaf's thickness, or from one side to the other.
    Both,
    /// Not alongside the leaf: past its ends, over or under it.
    Beyond,
}

/// How a beam lies to one panel of a leaf at one position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BesideLeaf {
    /// The side on which the part alongside the panel lies.
    pub side: Aside,
    /// The least and the greatest signed distance of that part from the panel's middle plane, in metres, positive toward the secured
    /// side of the closed leaf; none when no part is alongside.
    pub from_plane: Option<(f64, f64)>,
    /// The least distance of that part from the nearer face, in metres, 0 within the thickness; none when no part is alongside.
    pub from_face: Option<f64>,
}

/// How near the leaf comes to the beam over its whole movement.
pub fn beam_gap(beam: &Beam, movement: &Movement) -> Result<BeamGap, Unreckonable> {
    let targets = [Target::line(beam.from(), beam.to())];
    let found = least((0.0, 1.0), |at, half| floor_at(movement, &targets, at, half))?;
    let broken = if found.value <= BROKEN {
        let backwards = least((0.0, 1.0), |at, half| floor_at(movement, &targets, 1.0 - at, half))?;
        Some((found.at, 1.0 - backwards.at))
    } else {
        None
    };
    Ok(BeamGap { gap: found.value, error: found.error, at: found.at, broken })
}

/// How the beam lies to each panel of the leaf at a position from 0 (closed) to 1 (open).
pub fn beside_leaf(beam: &Beam, movement: &Movement, at: f64) -> Result<Vec<BesideLeaf>, Unreckonable> {
    position(at)?;
    let plane = movement.plane();
    let ((a, a_depth), (b, b_depth)) = (plane.in_plane(beam.from()), plane.in_plane(beam.to()));
    let mut found = Vec::with_capacity(movement.panels().len());
    for panel in movement.panels() {
        let pose = panel.course.pose(at);
        let (own_a, own_b) = (pose.own(a), pose.own(b));
        // A leaf that moves in plan has its faces across the panel; one that moves in its own plane has them square to that.
        let (limits, heights, across, thickness, sign) = match plane {
            Plane::Plan => {
                let sign = if panel.parts.sides == [Part::PublicFace, Part::SecuredFace] { 1.0 } else { -1.0 };
                (panel.along, panel.depth, (own_a.y, own_b.y), panel.across, sign)
            }
            Plane::Elevation => (panel.along, panel.across, (a_depth, b_depth), panel.depth, 1.0),
        };
        let up = match plane {
            Plane::Plan => (a_depth, b_depth),
            Plane::Elevation => (own_a.y, own_b.y),
        };
        let alongside = clip((own_a.x, own_b.x), (limits.low, limits.high))
            .zip(clip(up, (heights.low, heights.high)))
            .map(|(one, other)| (one.0.max(other.0), one.1.min(other.1)))
            .filter(|(from, to)| from <= to);
        let middle = (thickness.low + thickness.high) / 2.0;
        let half = (thickness.high - thickness.low) / 2.0;
        found.push(sided(alongside, across, middle, half, sign));
    }
    Ok(found)
}

/// The side and distances of the part alongside.
fn sided(alongside: Option<(f64, f64)>, (a, b): (f64, f64), middle: f64, half: f64, sign: f64) -> BesideLeaf {
    let Some((from, to)) = alongside else {
        return BesideLeaf { side: Aside::Beyond, from_plane: None, from_face: None };
    };
    let off = |share: f64| (a + (b - a) * share - middle) * sign;
    let (low, high) = (off(from).min(off(to)), off(from).max(off(to)));
    let (side, from_face) = if low >= half {
        (Aside::SecuredSide, low - half)
    } else if high <= -half {
        (Aside::PublicSide, -high - half)
    } else {
        (Aside::Both, 0.0)
    };
    BesideLeaf { side, from_plane: Some((low, high)), from_face: Some(from_face) }
}

/// The share of a straight run of numbers that lies in a range.
fn clip((a, b): (f64, f64), (low, high): (f64, f64)) -> Option<(f64, f64)> {
    if a == b {
        return (low..=high).contains(&a).then_some((0.0, 1.0));
    }
    let (one, other) = ((low - a) / (b - a), (high - a) / (b - a));
    let (from, to) = (one.min(other).max(0.0), one.max(other).min(1.0));
    (from <= to).then_some((from, to))
}

/// The distance of a beam from a leaf at one position, in metres; 0 when the leaf breaks it there.
pub fn beam_gap_at(beam: &Beam, movement: &Movement, at: f64) -> Result<f64, Unreckonable> {
    let targets = [Target::line(beam.from(), beam.to())];
    Ok(floor_at(movement, &targets, position(at)?, 0.0).value)
}

/// The nearest point in plan of a beam to a point, in metres.
pub fn plan_distance(beam: &Beam, point: Point) -> f64 {
    crate::reckon::geometry::from_segment(point, beam.from().plan(), beam.to().plan())
}
