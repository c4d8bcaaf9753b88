//! Owns a reference body as a box that stands upright or any other way, and the outline of all places from which it breaks a beam. It must
//! not know the sizes that any code prescribes.

use std::f64::consts::PI;

use crate::reckon::geometry::{Point, Unreckonable, positive};

/// A reference body: a box of three sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    a: f64,
    b: f64,
    c: f64,
}

/// A body put down: the sizes of its footprint and its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// Half of the longer side of the footprint, in metres.
    pub(crate) half_long: f64,
    /// Half of the shorter side of the footprint, in metres.
    pub(crate) half_short: f64,
    /// Height, in metres.
    pub(crate) height: f64,
}

impl Body {
    /// A box of three sizes in any order, in metres.
    pub fn new(a: f64, b: f64, c: f64) -> Result<Self, Unreckonable> {
        let mut sizes = [positive("size of the body", a)?, positive("size of the body", b)?, positive("size of the body", c)?];
        sizes.sort_by(f64::total_cmp);
        let [c, b, a] = sizes;
        Ok(Self { a, b, c })
    }

    /// Upright: its longest side up.
    pub fn upright(&self) -> Stance {
        Stance::of(self.b, self.c, self.a)
    }
}

impl Stance {
    /// A footprint and a height, in metres.
    pub fn new(length: f64, width: f64, height: f64) -> Result<Self, Unreckonable> {
        let length = positive("length of the footprint", length)?;
        let width = positive("width of the footprint", width)?;
        Ok(Self::of(length, width, positive("height of the body", height)?))
    }

    fn of(length: f64, width: f64, height: f64) -> Self {
        Self { half_long: length.max(width) / 2.0, half_short: length.min(width) / 2.0, height }
    }

    /// Height, in metres.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// The places of the middle from which the body, its long side in a direction, breaks a line.
    pub(crate) fn breaking(&self, (a, b): (Point, Point), direction: f64) -> Vec<Point> {
        let along = Point::at_angle(direction);
        let (long, short) = (along * self.half_long, along.left() * self.half_short);
        let corners = [long + short, long - short, short - long, (long + short) * -1.0];
        hull(corners.iter().flat_map(|c| [a + *c, b + *c]).collect())
    }
}

/// Directions modulo half a turn, in radians from 0 up to, but not at, pi.
pub(crate) fn half_turn(direction: f64) -> f64 {
    let turned = direction - PI * (direction / PI).floor();
    if turned >= PI { 0.0 } else { turned }
}

/// The convex outline around points, counter-clockwise.
pub(crate) fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut kept: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = kept.as_slice()
                && (*b - *a).cross(*p - *b) <= 0.0
            {
                kept.pop();
            }
            kept.push(*p);
        }
        kept.pop();
        kept
    };
    let mut outline = chain(&mut points.iter());
    outline.extend(chain(&mut points.iter().rev()));
    outline
}
