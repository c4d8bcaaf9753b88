//! Owns areas made of several outlines: union, difference, overlap, growth and area, on a grid of one nanometre. It must not know
//! what the areas stand for.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};

use super::number::{LARGEST, positive};
use super::point::Point;
use super::polygon::{Polygon, encloses, signed_area};
use crate::reckon::Unreckonable;

/// Grid lines in a metre: coordinates are kept as whole nanometres, far inside of what the 64-bit engine takes.
const GRID: f64 = 1e9;

/// Sides of the polygon that stands for a full circle when an area is grown.
const CIRCLE: u32 = 512;

/// What the grid can take from a grown area, in metres.
const SLACK: f64 = 1e-8;

/// Outer outlines counter-clockwise and holes clockwise, none overlapping another, in nanometres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    outlines: Vec<Vec<IntPoint<i64>>>,
}

impl Region {
    /// The area inside an outline.
    pub fn of(outline: &Polygon) -> Self {
        Self { outlines: vec![on_grid(outline.corners())] }
    }

    /// The area inside any of several simple outlines, each with its corners in either sense.
    pub(crate) fn inside_any<'a>(outlines: impl IntoIterator<Item = &'a [Point]>) -> Self {
        let mut all = Vec::new();
        for outline in outlines {
            let mut corners = on_grid(outline);
            if signed_area(outline) < 0.0 {
                corners.reverse();
            }
            all.push(corners);
        }
        Self::taken(Overlay::from_subj(&all), OverlayRule::Subject)
    }

    /// The area in either.
    pub fn union(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Union)
    }

    /// The area here that is not in the other.
    pub fn minus(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Difference)
    }

    /// The area in both.
    pub fn overlap(&self, other: &Self) -> Self {
        self.with(other, OverlayRule::Intersect)
    }

    /// The area here that is inside none of several convex outlines, each counter-clockwise.
    pub(crate) fn outside_all(&self, outlines: &[Vec<Point>]) -> Self {
        let others: Vec<Vec<IntPoint<i64>>> = outlines.iter().map(|outline| on_grid(outline)).collect();
        Self::taken(Overlay::from_subj_and_clip(&self.outlines, &others), OverlayRule::Difference)
    }

    /// The area here that is inside any of several convex outlines, each counter-clockwise.
    pub(crate) fn inside_of(&self, outlines: &[Vec<Point>]) -> Self {
        let others: Vec<Vec<IntPoint<i64>>> = outlines.iter().map(|outline| on_grid(outline)).collect();
        Self::taken(Overlay::from_subj_and_clip(&self.outlines, &others), OverlayRule::Intersect)
    }

    /// The area within a distance of this area, in metres. Never too small; round corners reach at most 0.002 % of the distance too far.
    pub fn grown(&self, distance: f64) -> Result<Self, Unreckonable> {
        let distance = positive("distance around the area", distance)?;
        // The corners of the round parts are put on a circle that is larger by just so much that their sides touch the true circle.
        let half_step = std::f64::consts::PI / f64::from(CIRCLE);
        let reach = ((distance / libm::cos(half_step) + SLACK) * GRID).ceil() as i64;
        let join = IntLineJoin::Round(ArcOptions { max_step: Angle::from_bits(u32::MAX / CIRCLE), rotation_precision: 32 });
        let style = IntOutlineStyle::new(reach).line_join(join);
        let outlines = self.outlines.outline(&style).map_err(|_| Unreckonable::TooLarge {
            what: "distance around the area",
            value: distance,
            most: LARGEST,
        })?;
        Ok(Self { outlines: outlines.into_iter().flatten().collect() })
    }

    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.outlines.is_empty()
    }

    /// The area, in square metres.
    pub fn area(&self) -> f64 {
        let doubled: i128 = self.outlines.iter().map(|outline| doubled_area(outline)).sum();
        doubled as f64 / 2.0 / (GRID * GRID)
    }

    /// Length of all outlines, in metres.
    pub fn perimeter(&self) -> f64 {
        self.outlines().iter().flat_map(|o| super::polygon::edges(o).map(|(a, b)| (b - a).length()).collect::<Vec<_>>()).sum()
    }

    /// The outlines, outer ones counter-clockwise and holes clockwise, in metres.
    pub fn outlines(&self) -> Vec<Vec<Point>> {
        let metres = |p: &IntPoint<i64>| Point::new(p.x as f64 / GRID, p.y as f64 / GRID);
        self.outlines.iter().map(|outline| outline.iter().map(metres).collect()).collect()
    }

    /// Whether a point is in it; on the outline counts as in.
    pub fn contains(&self, point: Point) -> bool {
        let mut inside = false;
        for outline in self.outlines() {
            let on_edge = super::polygon::edges(&outline).any(|(a, b)| super::planar::from_segment(point, a, b) <= 1.0 / GRID);
            if on_edge {
                return true;
            }
            inside ^= encloses(&outline, point);
        }
        inside
    }

    /// The least distance of a point from it, in metres; 0 inside. Nothing when it is empty.
    pub fn distance_to(&self, point: Point) -> Option<f64> {
        if self.contains(point) {
            return Some(0.0);
        }
        let outlines = self.outlines();
        let all = outlines.iter().flat_map(|outline| super::polygon::edges(outline));
        all.map(|(a, b)| super::planar::from_segment(point, a, b)).reduce(f64::min)
    }

    fn with(&self, other: &Self, rule: OverlayRule) -> Self {
        Self::taken(Overlay::from_subj_and_clip(&self.outlines, &other.outlines), rule)
    }

    fn taken(mut overlay: Overlay<i64>, rule: OverlayRule) -> Self {
        Self { outlines: overlay.overlay(rule, FillRule::NonZero).into_iter().flatten().collect() }
    }
}

/// Corners in whole nanometres.
fn on_grid(corners: &[Point]) -> Vec<IntPoint<i64>> {
    // Coordinates were checked to be at most a kilometre, so that the casts lose nothing.
    corners.iter().map(|c| IntPoint::new((c.x * GRID).round() as i64, (c.y * GRID).round() as i64)).collect()
}

/// Twice the area of an outline, with its sign, in square nanometres.
fn doubled_area(outline: &[IntPoint<i64>]) -> i128 {
    let next = outline.iter().cycle().skip(1);
    let wide = |v: i64| i128::from(v);
    outline.iter().zip(next).map(|(a, b)| wide(a.x) * wide(b.y) - wide(b.x) * wide(a.y)).sum()
}

/// The outline of all points within a distance of a segment, its ends rounded by corners on the circle.
pub(crate) fn capsule(a: Point, b: Point, distance: f64, sides: usize) -> Vec<Point> {
    let along = (b - a).unit().unwrap_or(Point::new(1.0, 0.0));
    let start = libm::atan2(along.y, along.x) - std::f64::consts::FRAC_PI_2;
    let turn = |i: usize| std::f64::consts::PI * i as f64 / sides as f64;
    let far = (0..=sides).map(|i| b + Point::at_angle(start + turn(i)) * distance);
    let near = (0..=sides).map(|i| a + Point::at_angle(start + std::f64::consts::PI + turn(i)) * distance);
    far.chain(near).collect()
}
