//! Owns the widest body that stays unseen inside a zone. It must not know which width is too much.
//!
//! The distance from a place to the nearest beam or edge of the zone is greatest in the middle of the widest unseen body. The zone is cut
//! into rectangles; each has a ceiling: the distance at its middle plus half its diagonal, the greatest distance to any one line over
//! its corners (distances to lines are convex, so no inner place is further), and the same for the mean of two lines, which is exact
//! between two parallel beams. Rectangles are cut in the order of their ceilings until none lies above the best by more than the error.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::blind::breakable;
use super::line::Beam;
use crate::reckon::geometry::{Ground, Point, Polygon, Unreckonable, from_segment, positive};

/// The most by which a width may be too small, in metres.
pub const WIDTH_ERROR: f64 = 1e-4;

/// Cuts after which the search is given up.
const MOST_CUTS: usize = 200_000;

/// The widest round body that stays unseen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnseenWidth {
    /// Its width, in metres: never too great, and too small by at most the error. 0 when there is none.
    pub width: f64,
    /// Where its middle is, in metres.
    pub place: Point,
    /// The most by which the width may be too small, in metres.
    pub error: f64,
}

/// A rectangle with the distance at its middle and a ceiling for the distance anywhere in it.
struct Cell {
    middle: Point,
    half: Point,
    value: f64,
    ceiling: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        let ceilings = self.ceiling.total_cmp(&other.ceiling).then_with(|| self.value.total_cmp(&other.value));
        ceilings.then_with(|| other.middle.x.total_cmp(&self.middle.x)).then_with(|| other.middle.y.total_cmp(&self.middle.y))
    }
}

/// The widest round body of a height, in metres, that fits inside the zone without breaking a beam.
pub fn widest_unseen(zone: &Polygon, beams: &[Beam], ground: &Ground, height: f64) -> Result<UnseenWidth, Unreckonable> {
    let mut lines = breakable(beams, ground, positive("height of the body", height)?)?;
    let corners = zone.corners();
    lines.extend(corners.iter().copied().zip(corners.iter().copied().cycle().skip(1)));
    let (low, high) = extent(corners);
    let (middle, half) = (low.toward(high, 0.5), (high - low) * 0.5);
    let mut best = UnseenWidth { width: 0.0, place: middle, error: WIDTH_ERROR };
    let mut open = BinaryHeap::from([cell(zone, &lines, middle, half)]);
    let mut cuts = 0;
    while let Some(next) = open.pop() {
        if next.value * 2.0 > best.width {
            (best.width, best.place) = (next.value * 2.0, next.middle);
        }
        if next.ceiling * 2.0 <= best.width + WIDTH_ERROR {
            break;
        }
        if cuts > MOST_CUTS {
            return Err(Unreckonable::TooFine);
        }
        cuts += 1;
        let (step, half) = if next.half.x >= next.half.y {
            (Point::new(next.half.x / 2.0, 0.0), Point::new(next.half.x / 2.0, next.half.y))
        } else {
            (Point::new(0.0, next.half.y / 2.0), Point::new(next.half.x, next.half.y / 2.0))
        };
        for middle in [next.middle - step, next.middle + step] {
            let cell = cell(zone, &lines, middle, half);
            if cell.ceiling * 2.0 > best.width + WIDTH_ERROR {
                open.push(cell);
            }
        }
    }
    Ok(best)
}

/// The lowest and highest coordinates of corners.
fn extent(corners: &[Point]) -> (Point, Point) {
    let fold = |pick: fn(&Point) -> f64, start: f64, keep: fn(f64, f64) -> f64| corners.iter().map(pick).fold(start, keep);
    let low = Point::new(fold(|c| c.x, f64::INFINITY, f64::min), fold(|c| c.y, f64::INFINITY, f64::min));
    let high = Point::new(fold(|c| c.x, f64::NEG_INFINITY, f64::max), fold(|c| c.y, f64::NEG_INFINITY, f64::max));
    (low, high)
}

/// A rectangle with its value and ceiling; a rectangle wholly outside of the zone has a ceiling of 0.
fn cell(zone: &Polygon, lines: &[(Point, Point)], middle: Point, half: Point) -> Cell {
    let distances = |p: Point| lines.iter().map(move |(a, b)| from_segment(p, *a, *b));
    let nearest = distances(middle).fold(f64::INFINITY, f64::min);
    let inside = zone.contains(middle);
    if !inside && zone.distance_to(middle) > half.length() {
        return Cell { middle, half, value: 0.0, ceiling: 0.0 };
    }
    let corners = [half, Point::new(half.x, -half.y), Point::new(-half.x, half.y), half * -1.0].map(|c| middle + c);
    let at_corners: Vec<[f64; 4]> = lines.iter().map(|(a, b)| corners.map(|c| from_segment(c, *a, *b))).collect();
    let most = |of: [f64; 4]| of.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let single = at_corners.iter().map(|of| most(*of)).fold(f64::INFINITY, f64::min);
    let closest = distances(middle).enumerate().min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(index, _)| index);
    let mean = |first: &[f64; 4]| {
        let of_two = at_corners.iter().map(|other| {
            let [a, b, c, d] = *first;
            let [e, f, g, h] = *other;
            most([a + e, b + f, c + g, d + h]) / 2.0
        });
        of_two.fold(f64::INFINITY, f64::min)
    };
    let pair = at_corners.get(closest).map_or(f64::INFINITY, mean);
    let ceiling = (nearest + half.length()).min(single).min(pair);
    Cell { middle, half, value: if inside { nearest } else { 0.0 }, ceiling }
}
