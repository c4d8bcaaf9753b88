//! Owns exact distances in a plane: point, segment, convex piece. It must not know movement.

use super::point::Point;
use super::polygon::edges;

/// The nearest points of two shapes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Nearest<P> {
    /// The least distance, in metres; 0 where the shapes meet.
    pub distance: f64,
    /// The nearest point of the first shape.
    pub on_first: P,
    /// The nearest point of the second shape; the same where the shapes meet.
    pub on_second: P,
}

/// The point of a segment nearest to a point.
pub(crate) fn foot(p: Point, a: Point, b: Point) -> Point {
    let along = b - a;
    let squared = along.dot(along);
    if squared == 0.0 {
        return a;
    }
    a.toward(b, ((p - a).dot(along) / squared).clamp(0.0, 1.0))
}

/// Distance of a point from a segment, in metres.
pub(crate) fn from_segment(p: Point, a: Point, b: Point) -> f64 {
    (p - foot(p, a, b)).length()
}

/// Whether two segments have a point in common.
pub(crate) fn segments_meet(one: (Point, Point), other: (Point, Point)) -> bool {
    let side = |(a, b): (Point, Point), p: Point| (b - a).cross(p - a);
    let (s1, s2) = (side(one, other.0), side(one, other.1));
    let (s3, s4) = (side(other, one.0), side(other, one.1));
    if s1 * s2 < 0.0 && s3 * s4 < 0.0 {
        return true;
    }
    let touches = |(a, b): (Point, Point), p: Point| from_segment(p, a, b) <= 1e-12;
    touches(one, other.0) || touches(one, other.1) || touches(other, one.0) || touches(other, one.1)
}

/// The furthest that one convex piece stands clear of an edge line of the other; negative where no edge line parts them.
fn parting(one: &[Point], other: &[Point]) -> f64 {
    let mut most = f64::NEG_INFINITY;
    for (a, b) in edges(one) {
        let Some(along) = (b - a).unit() else {
            continue;
        };
        // Outside of a counter-clockwise piece is to the right of its edges.
        let clear = other.iter().map(|p| (*p - a).cross(along)).fold(f64::INFINITY, f64::min);
        most = most.max(clear);
    }
    most
}

/// Whether two convex pieces have no inner point in common; touching, to within rounding, is clear.
pub(crate) fn clear_of(one: &[Point], other: &[Point]) -> bool {
    parting(one, other).max(parting(other, one)) >= -1e-9
}

/// The nearest points of two convex pieces, exact up to rounding; where they meet, a point of both.
pub(crate) fn between(one: &[Point], other: &[Point]) -> Nearest<Point> {
    if parting(one, other).max(parting(other, one)) <= 0.0 {
        let shared = shared_point(one, other).unwrap_or_else(|| nearest_apart(one, other).on_second);
        return Nearest { distance: 0.0, on_first: shared, on_second: shared };
    }
    nearest_apart(one, other)
}

/// The nearest points of two convex pieces that do not overlap: one of them is a corner.
fn nearest_apart(one: &[Point], other: &[Point]) -> Nearest<Point> {
    let mut best = Nearest { distance: 0.0, on_first: Point::default(), on_second: Point::default() };
    let mut least = f64::INFINITY;
    let mut keep = |p: Point, q: Point| {
        let squared = (p - q).dot(p - q);
        if squared < least {
            least = squared;
            (best.on_first, best.on_second) = (p, q);
        }
    };
    for (a, b) in edges(other) {
        one.iter().for_each(|p| keep(*p, foot(*p, a, b)));
    }
    for (a, b) in edges(one) {
        other.iter().for_each(|q| keep(foot(*q, a, b), *q));
    }
    best.distance = least.sqrt();
    best
}

/// A point that two overlapping convex pieces have in common: a corner of one in the other, or a crossing of edges.
fn shared_point(one: &[Point], other: &[Point]) -> Option<Point> {
    let corner = |inner: &[Point], outer: &[Point]| inner.iter().copied().find(|p| from_piece(*p, outer) == 0.0);
    let crossing = || {
        edges(one)
            .find_map(|(a, b)| edges(other).find_map(|edge| ray(a, b - a, edge).filter(|way| *way <= 1.0).map(|way| a.toward(b, way))))
    };
    corner(one, other).or_else(|| corner(other, one)).or_else(crossing)
}

/// Distance of a point from a convex piece, in metres; 0 inside.
pub(crate) fn from_piece(p: Point, piece: &[Point]) -> f64 {
    let inside = edges(piece).all(|(a, b)| (b - a).cross(p - a) >= 0.0);
    if inside {
        return 0.0;
    }
    edges(piece).map(|(a, b)| from_segment(p, a, b)).fold(f64::INFINITY, f64::min)
}

/// The part of an outline on the side of a line through a point to which a direction points. A part that falls into several pieces keeps
/// edges along the line between them, so that areas still add up.
pub(crate) fn clipped(outline: &[Point], through: Point, toward: Point) -> Vec<Point> {
    let mut kept = Vec::with_capacity(outline.len() + 2);
    for (a, b) in edges(outline) {
        let (start, end) = ((a - through).dot(toward), (b - through).dot(toward));
        if start >= 0.0 {
            kept.push(a);
        }
        if start * end < 0.0 {
            kept.push(a.toward(b, start / (start - end)));
        }
    }
    kept
}

/// How far along a direction, in its lengths, a ray from a point meets a segment.
fn ray(from: Point, direction: Point, (a, b): (Point, Point)) -> Option<f64> {
    let along = b - a;
    let turn = direction.cross(along);
    if turn.abs() < 1e-15 {
        return None;
    }
    let way = (a - from).cross(along) / turn;
    let share = (a - from).cross(direction) / turn;
    // A hair of slack at the ends: a ray through a corner must not slip between two edges.
    (way >= 0.0 && (-1e-12..=1.0 + 1e-12).contains(&share)).then_some(way)
}
