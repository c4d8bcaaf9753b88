//! Owns the deciding of areas of which it is in doubt whether a body goes unseen from them, cell by cell. It must not know zones or
//! beams. The bounds are told in blind.rs.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::body::{Stance, hull};
use super::slip_past::slips_past;
use crate::reckon::geometry::{Point, clear_of, clipped, from_segment, signed_area};

/// The part of the blind area by which it may be wrong.
pub const BLIND_ERROR: f64 = 1e-3;

/// A blind area is good enough when it is known to within this, in square metres, however small it is.
const SMALLEST: f64 = 1e-4;

/// Cells that are looked into at most.
const MOST_CELLS: usize = 200_000;

/// The area that does not matter beside a blind area, in square metres.
pub(crate) fn small_beside(blind: f64) -> f64 {
    (BLIND_ERROR * blind).max(SMALLEST)
}

/// A piece of area, given by outlines that count as they turn, not yet known to be blind or seen.
struct Cell {
    outlines: Vec<Vec<Point>>,
    area: f64,
}

/// What became of a doubtful area.
pub(crate) struct Decided {
    /// Area that is surely blind, in square metres.
    pub blind: f64,
    /// Area left undecided, in square metres.
    pub open: f64,
    /// The undecided area of cells whose middle is blind, in square metres.
    pub likely: f64,
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
        let corner = |cell: &Self| cell.outlines.first().and_then(|o| o.first()).copied().unwrap_or_default();
        let (a, b) = (corner(self), corner(other));
        self.area.total_cmp(&other.area).then(a.x.total_cmp(&b.x)).then(a.y.total_cmp(&b.y))
    }
}

/// Decides a doubtful area cell by cell, until what is undecided is small against what is surely blind, in square metres.
pub(crate) fn decided(outlines: Vec<Vec<Point>>, lines: &[(Point, Point)], stance: Stance, surely: f64) -> Decided {
    let mut doubt = Doubt { lines, stance, blind: 0.0, open: 0.0, cells: BinaryHeap::new() };
    for outline in separate(outlines) {
        doubt.sort(outline);
    }
    for _ in 0..MOST_CELLS {
        if doubt.open <= small_beside(surely + doubt.blind) {
            break;
        }
        let Some(cell) = doubt.cells.pop() else { break };
        doubt.open -= cell.area;
        for half in halves(&cell.outlines) {
            doubt.sort(half);
        }
    }
    doubt.finished()
}

/// A doubtful area on its way to being decided.
struct Doubt<'a> {
    lines: &'a [(Point, Point)],
    stance: Stance,
    blind: f64,
    open: f64,
    cells: BinaryHeap<Cell>,
}

impl Doubt<'_> {
    /// Puts a piece where it belongs: seen, blind, or still open.
    fn sort(&mut self, outlines: Vec<Vec<Point>>) {
        let area: f64 = outlines.iter().map(|o| signed_area(o)).sum();
        let (middle, half) = extent(&outlines);
        let diagonal = half.length() + 1e-9;
        let sized = |by: f64| (self.stance.half_long + by, self.stance.half_short + by);
        if area <= 0.0 || slips_past(middle, self.lines, sized(-diagonal)).is_none() {
            return;
        }
        let blind = slips_past(middle, self.lines, sized(diagonal)).is_some() || all_blind(&outlines, area, self.lines, self.stance);
        if blind {
            self.blind += area;
        } else {
            self.open += area;
            self.cells.push(Cell { outlines, area });
        }
    }

    /// What became of the area.
    fn finished(self) -> Decided {
        let exact = (self.stance.half_long, self.stance.half_short);
        let middle_is_blind = |cell: &&Cell| slips_past(centroid(&cell.outlines, cell.area), self.lines, exact).is_some();
        let open = self.cells.iter().map(|cell| cell.area).sum();
        let likely = self.cells.iter().filter(middle_is_blind).map(|cell| cell.area).sum();
        Decided { blind: self.blind, open, likely }
    }
}

/// Whether a body is blind from every place of an area, in the direction in which it slips past most easily from the area's centroid.
fn all_blind(outlines: &[Vec<Point>], area: f64, lines: &[(Point, Point)], stance: Stance) -> bool {
    let middle = centroid(outlines, area);
    let Some(direction) = slips_past(middle, lines, (stance.half_long, stance.half_short)) else {
        return false;
    };
    let around = hull(outlines.concat());
    let near = |line: &&(Point, Point)| {
        let reach = stance.half_long + stance.half_short;
        around.iter().any(|p| from_segment(*p, line.0, line.1) <= reach)
    };
    lines.iter().filter(near).all(|line| clear_of(&around, &stance.breaking(*line, direction)))
}

/// The two halves of an area, cut square to its longer extent.
fn halves(outlines: &[Vec<Point>]) -> [Vec<Vec<Point>>; 2] {
    let (middle, half) = extent(outlines);
    let square = if half.x >= half.y { Point::new(1.0, 0.0) } else { Point::new(0.0, 1.0) };
    let side = |sign: f64| outlines.iter().map(|o| clipped(o, middle, square * sign)).filter(|o| o.len() > 2).collect();
    [side(1.0), side(-1.0)]
}

/// The centroid of outlines that enclose an area between them.
fn centroid(outlines: &[Vec<Point>], area: f64) -> Point {
    let Some(origin) = outlines.first().and_then(|o| o.first()).copied() else {
        return Point::default();
    };
    let mut sum = Point::default();
    for outline in outlines {
        for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
            let (a, b) = (*a - origin, *b - origin);
            sum = sum + (a + b) * (a.cross(b) / 6.0);
        }
    }
    origin + sum * (1.0 / area)
}

/// Outlines parted into shapes of an outer outline with its holes: an outer one is followed by its holes.
fn separate(outlines: Vec<Vec<Point>>) -> Vec<Vec<Vec<Point>>> {
    let mut shapes: Vec<Vec<Vec<Point>>> = Vec::new();
    for outline in outlines {
        match shapes.last_mut() {
            Some(shape) if signed_area(&outline) < 0.0 => shape.push(outline),
            _ => shapes.push(vec![outline]),
        }
    }
    shapes
}

/// The middle and half size of outlines.
fn extent(outlines: &[Vec<Point>]) -> (Point, Point) {
    let corners = || outlines.iter().flatten();
    let low = |pick: fn(&Point) -> f64| corners().map(pick).fold(f64::INFINITY, f64::min);
    let high = |pick: fn(&Point) -> f64| corners().map(pick).fold(f64::NEG_INFINITY, f64::max);
    let (from, to) = (Point::new(low(|c| c.x), low(|c| c.y)), Point::new(high(|c| c.x), high(|c| c.y)));
    (from.toward(to, 0.5), (to - from) * 0.5)
}
