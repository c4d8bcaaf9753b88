//! Owns a leaf in movement: its panels, the plane they move in, where they are at each position, and the names of their parts.
//! It must not know obstacles, ground or rules.

use super::motion::{Course, Limits, Pose};
use super::number::{Range, position};
use super::point::{Point, Point3};
use super::solid::Solid;
use crate::reckon::Unreckonable;

/// A part of a leaf, as the trade names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The edge that leads when closing.
    LeadingEdge,
    /// The tail end of a slide leaf.
    TrailingEdge,
    /// The edge or tail at the hinge or pivot.
    HingeEdge,
    /// The edge where two panels fold.
    FoldEdge,
    /// A side of a leaf that rises.
    SideEdge,
    /// The edge nearest the ground when closed.
    BottomEdge,
    /// The edge furthest from the ground when closed.
    TopEdge,
    /// The face toward the public side when closed.
    PublicFace,
    /// The face toward the secured side when closed.
    SecuredFace,
}

/// The plane in which a leaf moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plane {
    /// Level: points are x and y.
    Plan,
    /// The gate's own plane: points are x and z.
    Elevation,
}

/// The parts at the low and high side of a panel's three axes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parts {
    /// Along the panel.
    pub ends: [Part; 2],
    /// Across the panel, in the plane of movement.
    pub sides: [Part; 2],
    /// Square to the plane of movement.
    pub caps: [Part; 2],
}

/// One stiff panel: a rectangle in its own coordinates, carried along a course, with a depth square to the plane of movement.
#[derive(Clone, Debug)]
pub(crate) struct Panel {
    pub course: Course,
    /// Own coordinates of the corners, counter-clockwise.
    pub corners: [Point; 4],
    pub across: Range,
    pub depth: Range,
    pub parts: Parts,
    pub limits: Limits,
    /// Distance of the furthest corner from the panel's origin.
    pub radius: f64,
}

/// A leaf in movement from closed (position 0) to open (position 1).
#[derive(Clone, Debug)]
pub struct Movement {
    plane: Plane,
    panels: Vec<Panel>,
}

impl Panel {
    pub fn new(course: Course, (s0, s1): (f64, f64), (c0, c1): (f64, f64), depth: Range, parts: Parts) -> Self {
        let corners = [Point::new(s0, c0), Point::new(s1, c0), Point::new(s1, c1), Point::new(s0, c1)];
        let radius = corners.iter().map(|c| c.length()).fold(0.0, f64::max);
        let across = Range { low: c0, high: c1 };
        Self { limits: course.limits(), course, corners, across, depth, parts, radius }
    }

    /// The body in space at a position.
    fn solid(&self, plane: Plane, at: f64) -> Solid {
        Solid::prism(&self.placed(&self.course.pose(at)), (self.depth.low, self.depth.high), plane.axes())
    }

    /// The corners in the plane of movement for a pose.
    pub fn placed(&self, pose: &Pose) -> [Point; 4] {
        self.corners.map(|c| pose.place(c))
    }

    /// The part at an end or side, for a direction in own coordinates that points away from the panel.
    pub fn part_toward(&self, direction: Point) -> Part {
        let [low, high] = if direction.x.abs() >= direction.y.abs() { self.parts.ends } else { self.parts.sides };
        let positive = if direction.x.abs() >= direction.y.abs() { direction.x > 0.0 } else { direction.y > 0.0 };
        if positive { high } else { low }
    }
}

impl Plane {
    /// The two directions of the plane in space, and the direction square to it.
    pub(crate) fn axes(self) -> (Point3, Point3, Point3) {
        let (x, y, z) = (Point3::new(1.0, 0.0, 0.0), Point3::new(0.0, 1.0, 0.0), Point3::new(0.0, 0.0, 1.0));
        match self {
            Self::Plan => (x, y, z),
            Self::Elevation => (x, z, y),
        }
    }

    /// The point in space for a point of the plane and a depth square to it.
    pub(crate) fn in_space(self, point: Point, depth: f64) -> Point3 {
        match self {
            Self::Plan => Point3::new(point.x, point.y, depth),
            Self::Elevation => Point3::new(point.x, depth, point.y),
        }
    }

    /// The point of the plane and the depth square to it for a point in space.
    pub(crate) fn in_plane(self, point: Point3) -> (Point, f64) {
        match self {
            Self::Plan => (Point::new(point.x, point.y), point.z),
            Self::Elevation => (Point::new(point.x, point.z), point.y),
        }
    }
}

impl Movement {
    pub(crate) fn new(plane: Plane, panels: Vec<Panel>) -> Self {
        Self { plane, panels }
    }

    /// The plane in which the leaf moves.
    pub fn plane(&self) -> Plane {
        self.plane
    }

    pub(crate) fn panels(&self) -> &[Panel] {
        &self.panels
    }

    /// The outline of each panel in the plane of movement at a position from 0 (closed) to 1 (open), in metres.
    pub fn outlines_at(&self, at: f64) -> Result<Vec<Vec<Point>>, Unreckonable> {
        position(at)?;
        Ok(self.panels.iter().map(|panel| panel.placed(&panel.course.pose(at)).to_vec()).collect())
    }

    /// The extent of the leaf square to its plane of movement: heights for a leaf that moves in plan, y otherwise. In metres.
    pub fn depth(&self) -> Range {
        let low = self.panels.iter().map(|p| p.depth.low).fold(f64::INFINITY, f64::min);
        let high = self.panels.iter().map(|p| p.depth.high).fold(f64::NEG_INFINITY, f64::max);
        Range { low, high }
    }

    /// The corners of each panel in space at a position from 0 (closed) to 1 (open), in metres.
    pub fn corners_at(&self, at: f64) -> Result<Vec<Vec<Point3>>, Unreckonable> {
        position(at)?;
        Ok(self.panels.iter().map(|panel| panel.solid(self.plane, at).corners).collect())
    }
}
