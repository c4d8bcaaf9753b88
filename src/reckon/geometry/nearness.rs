//! Owns how near a moving panel is to a fixed convex body, and bounds on that for a whole interval of positions. It must not know
//! what the body is, nor how the search for an extreme goes.
//!
//! Proof of the bound. At a position m let the nearest points of leaf and (convex piece of the) object lie in direction n, a unit
//! vector. For every other position t the gap is at least the clearance along n: the least n·P(t) over the leaf's corners P, minus
//! the greatest n·q over the object. By Taylor's theorem n·P(t) ≥ n·P(m) - |n·P'(m)| w - K w²/2 for |t - m| ≤ w, where K bounds the
//! corner's acceleration in the plane of n (motion.rs). That is the floor handed to the search (extremum.rs); the plain bound
//! gap(m) - V w with the top speed V is used where it is higher, which also makes the search end. The search stops with the true
//! least at most one micrometre below the value given (at most 0.05 mm after 4,000 steps).
//!
//! The greatest gap has a ceiling in the same way: for a matter point p of the leaf and the convex object B the gap is at most the
//! distance from p(t) to B; that distance is convex along the tangent, so it is greatest at an end of the tangent, plus K w²/2. The
//! same holds for the nearest point of the object seen from the leaf.

use super::extremum::Probe;
use super::motion::Pose;
use super::movement::{Movement, Panel, Part, Plane};
use super::number::Range;
use super::planar::{Nearest, between, from_piece};
use super::point::{Point, Point3};
use super::polygon::Piece;
use super::solid::{self, Solid};

/// Gaps of less than this are contact, in metres.
pub(crate) const CONTACT: f64 = 1e-9;

/// A fixed convex body: an upright prism, whose outline makes plan movement cheap to reckon, or any other.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// The outline of an upright prism and its heights.
    pub upright: Option<(Piece, Range)>,
    pub body: Solid,
}

/// What is seen of one panel and one target at a position.
pub(crate) struct Seen<'a> {
    panel: &'a Panel,
    pose: Pose,
    placed: [Point; 4],
    pub nearest: Nearest<Point3>,
}

impl Target {
    /// An upright prism from a convex outline and its heights.
    pub fn upright(outline: Piece, heights: Range) -> Self {
        let body = Solid::prism(&outline, (heights.low, heights.high), Plane::Plan.axes());
        Self { upright: Some((outline, heights)), body }
    }

    /// A straight line in space.
    pub fn line(from: Point3, to: Point3) -> Self {
        Self { upright: None, body: Solid::line(from, to) }
    }
}

/// Every panel with every target at a position.
pub(crate) fn seen<'a>(movement: &'a Movement, targets: &'a [Target], at: f64) -> impl Iterator<Item = (Seen<'a>, &'a Target)> {
    movement.panels().iter().flat_map(move |panel| {
        let pose = panel.course.pose(at);
        let placed = panel.placed(&pose);
        targets.iter().map(move |target| {
            let nearest = nearest(movement.plane(), panel, &placed, target);
            (Seen { panel, pose, placed, nearest }, target)
        })
    })
}

/// The nearest points of a placed panel and a target.
fn nearest(plane: Plane, panel: &Panel, placed: &[Point], target: &Target) -> Nearest<Point3> {
    let (Plane::Plan, Some((outline, heights))) = (plane, &target.upright) else {
        return solid::between(&Solid::prism(placed, (panel.depth.low, panel.depth.high), plane.axes()), &target.body);
    };
    let level = between(placed, outline);
    let (one, other) = facing_heights(panel.depth, *heights);
    Nearest {
        distance: libm::hypot(level.distance, one - other),
        on_first: level.on_first.at_height(one),
        on_second: level.on_second.at_height(other),
    }
}

/// The heights at which two ranges are nearest: their facing ends, or one height in both.
fn facing_heights(one: Range, other: Range) -> (f64, f64) {
    if one.low > other.high {
        (one.low, other.high)
    } else if other.low > one.high {
        (one.high, other.low)
    } else {
        let shared = one.low.max(other.low);
        (shared, shared)
    }
}

/// The gap at a position, and a floor for all positions within a half width of it.
pub(crate) fn floor_at(movement: &Movement, targets: &[Target], at: f64, half: f64) -> Probe {
    let mut probe = Probe { value: f64::INFINITY, floor: f64::INFINITY };
    for (seen, target) in seen(movement, targets, at) {
        let distance = seen.nearest.distance;
        if distance < CONTACT {
            return Probe { value: 0.0, floor: 0.0 };
        }
        probe.value = probe.value.min(distance);
        let away = (seen.nearest.on_first - seen.nearest.on_second) * (1.0 / distance);
        let floor = seen.clearance(movement.plane(), away, half) - target.body.reach(away);
        let plain = distance - seen.panel.limits.speed(seen.panel.radius) * half;
        probe.floor = probe.floor.min(floor.max(plain)).max(0.0);
    }
    probe
}

/// The gap at a position with its sign turned, and likewise a floor under that, which is a ceiling over the gap.
pub(crate) fn ceiling_at(movement: &Movement, targets: &[Target], at: f64, half: f64) -> Probe {
    let (mut value, mut ceiling) = (f64::INFINITY, f64::INFINITY);
    for (seen, target) in seen(movement, targets, at) {
        let distance = seen.nearest.distance;
        value = value.min(if distance < CONTACT { 0.0 } else { distance });
        let plain = distance + seen.panel.limits.speed(seen.panel.radius) * half;
        ceiling = ceiling.min(plain);
        ceiling = ceiling.min(seen.furthest(movement.plane(), target, half));
    }
    Probe { value: -value, floor: -ceiling }
}

impl Seen<'_> {
    /// The least that the panel reaches along a direction within a half width of the position.
    fn clearance(&self, plane: Plane, away: Point3, half: f64) -> f64 {
        let (m, w) = plane.in_plane(away);
        let size = m.length();
        let corners = self.placed.iter().zip(&self.panel.corners);
        let flat = corners.map(|(p, own)| {
            let slide = m.dot(self.pose.velocity_at(*p)).abs();
            m.dot(*p) - slide * half - 0.5 * self.panel.limits.bend(own.length()) * size * half * half
        });
        flat.fold(f64::INFINITY, f64::min) + (w * self.panel.depth.low).min(w * self.panel.depth.high)
    }

    /// The most that the gap to a target can be within a half width of the position.
    fn furthest(&self, plane: Plane, target: &Target, half: f64) -> f64 {
        let (p, p_depth) = plane.in_plane(self.nearest.on_first);
        let (q, q_depth) = plane.in_plane(self.nearest.on_second);
        let limits = self.panel.limits;
        let level = target.upright.as_ref().filter(|_| plane == Plane::Plan);
        let to_target = |point: Point| match level {
            Some((outline, heights)) => libm::hypot(from_piece(point, outline), self.panel.depth.gap(*heights)),
            None => target.body.distance_to(plane.in_space(point, p_depth)),
        };
        let leaf = match level {
            Some(_) => None,
            None => Some(Solid::prism(&self.placed, (self.panel.depth.low, self.panel.depth.high), plane.axes())),
        };
        let to_leaf = |point: Point| match (&leaf, level) {
            (Some(body), _) => body.distance_to(plane.in_space(point, q_depth)),
            (None, heights) => {
                let up = heights.map_or(0.0, |(_, heights)| self.panel.depth.gap(*heights));
                libm::hypot(from_piece(point, &self.placed), up)
            }
        };
        let step = self.pose.velocity_at(p) * half;
        let bend = 0.5 * limits.bend(self.pose.own(p).length()) * half * half;
        let by_leaf = to_target(p + step).max(to_target(p - step)) + bend;
        let step = self.pose.velocity_at(q) * half;
        let seen = limits.bend_seen((q - self.pose.origin).length() + limits.drift(half));
        let by_target = to_leaf(q + step).max(to_leaf(q - step)) + 0.5 * seen * half * half;
        by_leaf.min(by_target)
    }

    /// The part of the leaf that faces the target.
    pub fn part(&self, plane: Plane) -> Part {
        let toward = self.nearest.on_second - self.nearest.on_first;
        let (m, w) = plane.in_plane(toward);
        if w.abs() > m.length() {
            let [low, high] = self.panel.parts.caps;
            return if w > 0.0 { high } else { low };
        }
        self.panel.part_toward(Point::new(m.dot(self.pose.along), self.pose.along.cross(m)))
    }
}
