//! Owns a beam as a straight line in space: its span and its height over the ground below. It must not know what a beam protects.

use crate::reckon::geometry::{Ground, Point, Point3, Unreckonable};

/// Ends of a beam nearer than this are at one point, in metres.
const SAME: f64 = 1e-9;

/// A beam from its sender to its receiver or reflector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    from: Point3,
    to: Point3,
}

/// A height over the ground at a place on a beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightAt {
    /// Distance along the beam from its sender, in metres.
    pub along: f64,
    /// Height over the ground straight below, in metres.
    pub height: f64,
}

/// The height of a beam over the ground along its whole length.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightOverGrade {
    /// Where it is lowest.
    pub least: HeightAt,
    /// Where it is highest.
    pub greatest: HeightAt,
    /// All places where the slope of the ground changes, both ends included; between them the height runs straight.
    pub course: Vec<HeightAt>,
}

impl Beam {
    /// A beam between two points, in metres.
    pub fn new(from: Point3, to: Point3) -> Result<Self, Unreckonable> {
        let (from, to) = (from.checked("sender of the beam")?, to.checked("receiver of the beam")?);
        if (to - from).length() <= SAME {
            return Err(Unreckonable::ZeroSpan { what: "beam" });
        }
        Ok(Self { from, to })
    }

    /// The sender, in metres.
    pub fn from(&self) -> Point3 {
        self.from
    }

    /// The receiver or reflector, in metres.
    pub fn to(&self) -> Point3 {
        self.to
    }

    /// Distance from sender to receiver or reflector, in metres.
    pub fn span(&self) -> f64 {
        (self.to - self.from).length()
    }

    /// Height over the ground along the whole beam, exact for the ground as surveyed.
    pub fn height_over(&self, ground: &Ground) -> Result<HeightOverGrade, Unreckonable> {
        let span = self.span();
        let over = |(share, height): (f64, f64)| HeightAt { along: share * span, height: self.from.toward(self.to, share).z - height };
        let below = ground.along_line(self.from.plan(), self.to.plan())?;
        let course: Vec<HeightAt> = below.into_iter().map(over).collect();
        let pick = |wanted: fn(f64, f64) -> bool| {
            course.iter().copied().reduce(|best, next| if wanted(next.height, best.height) { next } else { best })
        };
        match (pick(|a, b| a < b), pick(|a, b| a > b)) {
            (Some(least), Some(greatest)) => Ok(HeightOverGrade { least, greatest, course }),
            _ => Err(Unreckonable::ZeroSpan { what: "beam" }),
        }
    }

    /// The parts of the beam in plan that are over the ground and less than a height above it: what a body of that height, standing
    /// on the ground, can break. A beam exactly at the top of the body does not count.
    pub(crate) fn below_height(&self, ground: &Ground, height: f64) -> Result<Vec<(Point, Point)>, Unreckonable> {
        let span = self.span();
        let course = self.height_over(ground)?.course;
        let mut parts: Vec<(f64, f64)> = Vec::new();
        for (a, b) in course.iter().zip(course.iter().skip(1)) {
            let Some((start, end)) = share_within((a.height, b.height), height) else {
                continue;
            };
            let (start, end) = (a.along + (b.along - a.along) * start, a.along + (b.along - a.along) * end);
            match parts.last_mut() {
                Some(last) if start - last.1 <= SAME => last.1 = end,
                _ => parts.push((start, end)),
            }
        }
        let place = |along: f64| self.from.toward(self.to, along / span).plan();
        Ok(parts.into_iter().map(|(start, end)| (place(start), place(end))).collect())
    }
}

/// The share of a straight run of heights that lies from 0 up to, but not at, a height.
fn share_within((a, b): (f64, f64), height: f64) -> Option<(f64, f64)> {
    if a == b {
        return (0.0..height).contains(&a).then_some((0.0, 1.0));
    }
    let (at_ground, at_height) = (-a / (b - a), (height - a) / (b - a));
    let start = at_ground.min(at_height).max(0.0);
    let end = at_ground.max(at_height).min(1.0);
    (start < end).then_some((start, end))
}
