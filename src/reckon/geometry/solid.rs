//! Owns convex bodies in space and the exact distance between two of them. It must not know movement or gates.

use super::planar::Nearest;
use super::point::{Point, Point3};

/// A convex body given by its corners, edges and faces; a line has no faces.
#[derive(Clone, Debug)]
pub(crate) struct Solid {
    pub corners: Vec<Point3>,
    pub edges: Vec<(Point3, Point3)>,
    /// Outward unit normal and its offset: inside is where the scalar product is at most the offset.
    pub faces: Vec<(Point3, f64)>,
}

impl Solid {
    /// The straight line between two points.
    pub fn line(a: Point3, b: Point3) -> Self {
        Self { corners: vec![a, b], edges: vec![(a, b)], faces: Vec::new() }
    }

    /// A body with a convex outline, counter-clockwise in the plane of `u` and `v`, that runs from `low` to `high` along `w`.
    /// `u`, `v` and `w` are unit directions square to each other, right- or left-handed.
    pub fn prism(outline: &[Point], (low, high): (f64, f64), (u, v, w): (Point3, Point3, Point3)) -> Self {
        let place = |p: Point, depth: f64| u * p.x + v * p.y + w * depth;
        let count = outline.len();
        let mut solid =
            Self { corners: Vec::with_capacity(2 * count), edges: Vec::with_capacity(3 * count), faces: Vec::with_capacity(count + 2) };
        for (a, b) in super::polygon::edges(outline) {
            solid.corners.extend([place(a, low), place(a, high)]);
            solid.edges.push((place(a, low), place(a, high)));
            solid.edges.push((place(a, low), place(b, low)));
            solid.edges.push((place(a, high), place(b, high)));
            if let Some(along) = (b - a).unit() {
                let outward = u * along.y - v * along.x;
                solid.faces.push((outward, outward.dot(place(a, 0.0))));
            }
        }
        solid.faces.push((w, high));
        solid.faces.push((w * -1.0, -low));
        solid
    }

    /// The furthest that the body reaches along a direction.
    pub fn reach(&self, direction: Point3) -> f64 {
        self.corners.iter().map(|c| c.dot(direction)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Distance of a point from the body, in metres; 0 inside.
    pub fn distance_to(&self, point: Point3) -> f64 {
        between(&Self { corners: vec![point], edges: vec![(point, point)], faces: Vec::new() }, self).distance
    }

    /// A point that a line has in common with the body; a body without faces has no inside.
    fn pierced_by(&self, (a, b): (Point3, Point3)) -> Option<Point3> {
        if self.faces.is_empty() {
            return None;
        }
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (normal, offset) in &self.faces {
            let (start, end) = (normal.dot(a) - offset, normal.dot(b) - offset);
            if start > 0.0 && end > 0.0 {
                return None;
            }
            if start > 0.0 {
                from = from.max(start / (start - end));
            } else if end > 0.0 {
                to = to.min(start / (start - end));
            }
        }
        (from <= to).then(|| a.toward(b, (from + to) / 2.0))
    }

    /// The point of a face straight opposite a point outside, where there is one.
    fn facing(&self, p: Point3) -> Option<(f64, Point3)> {
        let mut found: Option<(f64, Point3)> = None;
        for (normal, offset) in &self.faces {
            let height = normal.dot(p) - offset;
            if height < 0.0 || found.is_some_and(|(least, _)| height >= least) {
                continue;
            }
            let foot = p - *normal * height;
            if self.faces.iter().all(|(n, o)| n.dot(foot) - o <= 1e-12) {
                found = Some((height, foot));
            }
        }
        found
    }
}

/// The nearest points of two convex bodies, exact up to rounding.
///
/// Two bodies apart are nearest at a corner and a face, or at two edges; two bodies that meet have an edge of one piercing the
/// other. So going through the corners, edges and faces of both finds the answer.
pub(crate) fn between(one: &Solid, other: &Solid) -> Nearest<Point3> {
    let enters = |body: &Solid, by: &Solid| by.edges.iter().find_map(|edge| body.pierced_by(*edge));
    if let Some(shared) = enters(one, other).or_else(|| enters(other, one)) {
        return Nearest { distance: 0.0, on_first: shared, on_second: shared };
    }
    let nowhere = Point3::default();
    let mut best = Nearest { distance: f64::INFINITY, on_first: nowhere, on_second: nowhere };
    let mut keep = |distance: f64, on_first: Point3, on_second: Point3| {
        if distance < best.distance {
            best = Nearest { distance, on_first, on_second };
        }
    };
    for p in &one.corners {
        if let Some((height, foot)) = other.facing(*p) {
            keep(height, *p, foot);
        }
    }
    for q in &other.corners {
        if let Some((height, foot)) = one.facing(*q) {
            keep(height, foot, *q);
        }
    }
    for first in &one.edges {
        for second in &other.edges {
            let (p, q) = nearest_on_lines(*first, *second);
            keep((p - q).length(), p, q);
        }
    }
    best
}

/// The nearest points of two straight lines between points.
pub(crate) fn nearest_on_lines((a, b): (Point3, Point3), (c, d): (Point3, Point3)) -> (Point3, Point3) {
    let (u, v, w) = (b - a, d - c, a - c);
    let (uu, uv, vv) = (u.dot(u), u.dot(v), v.dot(v));
    let (uw, vw) = (u.dot(w), v.dot(w));
    let share = |value: f64, of: f64| {
        if of > 0.0 { (value / of).clamp(0.0, 1.0) } else { 0.0 }
    };
    let skew = uu * vv - uv * uv;
    let mut s = if skew > 1e-14 * uu * vv { ((uv * vw - vv * uw) / skew).clamp(0.0, 1.0) } else { 0.0 };
    let mut t = if vv > 0.0 { (uv * s + vw) / vv } else { 0.0 };
    if !(0.0..=1.0).contains(&t) || vv == 0.0 {
        t = t.clamp(0.0, 1.0);
        s = share(t * uv - uw, uu);
    } else if skew <= 1e-14 * uu * vv {
        s = share(t * uv - uw, uu);
    }
    (a + u * s, c + v * t)
}
