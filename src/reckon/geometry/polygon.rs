//! Owns plan outlines: their checks, area, containment and cutting into convex pieces. It must not know what stands on them.

use super::planar::{from_segment, segments_meet};
use super::point::Point;
use crate::reckon::Unreckonable;

/// The most corners taken: outlines of posts, walls and zones have a handful.
pub const MOST_CORNERS: usize = 200;

/// Corners nearer to each other than this are one corner, in metres.
const SAME: f64 = 1e-9;

/// An outline in plan that encloses an area and does not cross itself, corners counter-clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Polygon {
    corners: Vec<Point>,
}

/// A convex piece of an outline, corners counter-clockwise.
pub(crate) type Piece = Vec<Point>;

impl Polygon {
    /// An outline from its corners in either sense, in metres; the last corner is joined to the first.
    pub fn new(corners: &[Point]) -> Result<Self, Unreckonable> {
        if corners.len() > MOST_CORNERS {
            return Err(Unreckonable::TooManyCorners { corners: corners.len(), most: MOST_CORNERS });
        }
        let mut kept: Vec<Point> = Vec::with_capacity(corners.len());
        for corner in corners {
            let corner = corner.checked("corner of the outline")?;
            if kept.last().is_none_or(|last| (corner - *last).length() > SAME) {
                kept.push(corner);
            }
        }
        while kept.len() > 1 && kept.first().zip(kept.last()).is_some_and(|(a, b)| (*a - *b).length() <= SAME) {
            kept.pop();
        }
        let area = signed_area(&kept);
        let extent = kept.iter().map(|c| c.x.abs().max(c.y.abs())).fold(1.0, f64::max);
        if kept.len() < 3 || area.abs() <= SAME * extent {
            return Err(Unreckonable::DegeneratePolygon { corners: kept.len() });
        }
        if area < 0.0 {
            kept.reverse();
        }
        if crosses_itself(&kept) {
            return Err(Unreckonable::CrossingOutline);
        }
        Ok(Self { corners: kept })
    }

    /// A rectangle along the axes from one corner to the opposite one, in metres.
    pub fn rectangle(one: Point, opposite: Point) -> Result<Self, Unreckonable> {
        Self::new(&[one, Point::new(opposite.x, one.y), opposite, Point::new(one.x, opposite.y)])
    }

    /// The corners, counter-clockwise, in metres.
    pub fn corners(&self) -> &[Point] {
        &self.corners
    }

    /// The enclosed area, in square metres.
    pub fn area(&self) -> f64 {
        signed_area(&self.corners)
    }

    /// Length of the outline, in metres.
    pub fn perimeter(&self) -> f64 {
        edges(&self.corners).map(|(a, b)| (b - a).length()).sum()
    }

    /// Whether a point lies inside or on the outline.
    pub fn contains(&self, point: Point) -> bool {
        encloses(&self.corners, point)
    }

    /// The least distance from a point, in metres; 0 inside.
    pub fn distance_to(&self, point: Point) -> f64 {
        if self.contains(point) {
            return 0.0;
        }
        self.outline_distance(point)
    }

    /// The least distance from a point to the outline itself, in metres, also from inside.
    pub(crate) fn outline_distance(&self, point: Point) -> f64 {
        edges(&self.corners).map(|(a, b)| from_segment(point, a, b)).fold(f64::INFINITY, f64::min)
    }

    /// Convex pieces that make up the outline: itself when it is convex, triangles otherwise.
    pub(crate) fn pieces(&self) -> Vec<Piece> {
        if is_convex(&self.corners) {
            return vec![self.corners.clone()];
        }
        triangles(&self.corners)
    }
}

/// The edges of a closed outline, as pairs of corners.
pub(crate) fn edges(corners: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

/// Area with its sign: positive when the corners run counter-clockwise.
pub(crate) fn signed_area(corners: &[Point]) -> f64 {
    let Some(first) = corners.first() else {
        return 0.0;
    };
    edges(corners).map(|(a, b)| (a - *first).cross(b - *first)).sum::<f64>() / 2.0
}

/// Whether a point is inside an outline or on it, by counting the edges that it sees to its right.
pub(crate) fn encloses(corners: &[Point], point: Point) -> bool {
    let mut inside = false;
    for (a, b) in edges(corners) {
        if from_segment(point, a, b) <= SAME {
            return true;
        }
        if (a.y > point.y) != (b.y > point.y) {
            let crossing = a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x);
            if crossing > point.x {
                inside = !inside;
            }
        }
    }
    inside
}

/// Whether an outline turns left at every corner, straight corners allowed.
fn is_convex(corners: &[Point]) -> bool {
    turns(corners).all(|(a, b, c)| (b - a).cross(c - b) >= -1e-12)
}

/// Each corner with its neighbours before and after.
fn turns(corners: &[Point]) -> impl Iterator<Item = (Point, Point, Point)> + '_ {
    let next = corners.iter().cycle().skip(1);
    let after = corners.iter().cycle().skip(2);
    corners.iter().zip(next).zip(after).map(|((a, b), c)| (*a, *b, *c))
}

/// Whether two edges of an outline meet anywhere but at a corner that they share.
fn crosses_itself(corners: &[Point]) -> bool {
    let all: Vec<(Point, Point)> = edges(corners).collect();
    let last = all.len().saturating_sub(1);
    let folds_back = turns(corners).any(|(a, b, c)| (b - a).cross(c - b) == 0.0 && (b - a).dot(c - b) < 0.0);
    let meets = all.iter().enumerate().any(|(i, one)| {
        let apart = all.iter().enumerate().skip(i + 2).filter(|(j, _)| !(i == 0 && *j == last));
        apart.map(|(_, other)| *other).any(|other| segments_meet(*one, other))
    });
    folds_back || meets
}

/// Cuts a simple outline into triangles by taking one ear after the other.
fn triangles(corners: &[Point]) -> Vec<Piece> {
    let mut left: Vec<Point> = corners.to_vec();
    let mut cut = Vec::with_capacity(corners.len());
    while left.len() > 3 {
        let all: Vec<(Point, Point, Point)> = turns(&left).collect();
        let ear = all.iter().position(|&(a, b, c)| {
            (b - a).cross(c - b) > 0.0 && !left.iter().any(|p| *p != a && *p != b && *p != c && within(*p, a, b, c))
        });
        // A simple outline always has an ear; when rounding hides it, the most open corner goes, which is flat.
        let index = ear.unwrap_or(0);
        if let Some(&(a, b, c)) = all.get(index)
            && ear.is_some()
        {
            cut.push(vec![a, b, c]);
        }
        left.remove((index + 1) % left.len());
    }
    cut.push(left);
    cut.retain(|piece| signed_area(piece) > 0.0);
    cut
}

/// Whether a point lies in a counter-clockwise triangle or on its edges.
fn within(p: Point, a: Point, b: Point, c: Point) -> bool {
    (b - a).cross(p - a) >= 0.0 && (c - b).cross(p - b) >= 0.0 && (a - c).cross(p - c) >= 0.0
}
