//! Owns points and directions in plan and in space, and their arithmetic. It must not know gates.

use std::ops::{Add, Mul, Sub};

use super::number::sized;
use crate::reckon::Unreckonable;

/// A point or direction in plan: x along the gate line from the left jamb seen from the public side, y square to it and
/// positive to the secured side. In metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Along the gate line, in metres.
    pub x: f64,
    /// Square to the gate line, positive to the secured side, in metres.
    pub y: f64,
}

/// A point or direction in space: plan coordinates and z up from the datum. In metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point3 {
    /// Along the gate line, in metres.
    pub x: f64,
    /// Square to the gate line, positive to the secured side, in metres.
    pub y: f64,
    /// Height, in metres.
    pub z: f64,
}

impl Point {
    /// A point from its coordinates in metres.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The same point when both coordinates are finite and of a size that a gate site can have.
    pub(crate) fn checked(self, what: &'static str) -> Result<Self, Unreckonable> {
        sized(what, self.x)?;
        sized(what, self.y)?;
        Ok(self)
    }

    /// The unit direction at an angle from +x, counter-clockwise seen from above, in radians.
    pub(crate) fn at_angle(angle: f64) -> Self {
        let (sin, cos) = libm::sincos(angle);
        Self::new(cos, sin)
    }

    /// Scalar product.
    pub(crate) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The third component of the vector product: positive when `other` lies to the left.
    pub(crate) fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length, in metres.
    pub(crate) fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction turned a quarter to the left.
    pub(crate) fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// The direction of length one, or nothing for a zero vector.
    pub(crate) fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0).then(|| self * (1.0 / length))
    }

    /// The point part of the way to another: 0 here, 1 there.
    pub(crate) fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// The point in space at a height, in metres.
    pub(crate) fn at_height(self, z: f64) -> Point3 {
        Point3::new(self.x, self.y, z)
    }
}

impl Point3 {
    /// A point from its coordinates in metres.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// The same point when all coordinates are finite and of a size that a gate site can have.
    pub(crate) fn checked(self, what: &'static str) -> Result<Self, Unreckonable> {
        sized(what, self.x)?;
        sized(what, self.y)?;
        sized(what, self.z)?;
        Ok(self)
    }

    /// The point in plan below it.
    pub const fn plan(self) -> Point {
        Point::new(self.x, self.y)
    }

    /// Scalar product.
    pub(crate) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector product.
    pub(crate) fn cross(self, other: Self) -> Self {
        Self::new(self.y * other.z - self.z * other.y, self.z * other.x - self.x * other.z, self.x * other.y - self.y * other.x)
    }

    /// Length, in metres.
    pub(crate) fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The point part of the way to another: 0 here, 1 there.
    pub(crate) fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// The angle between two directions, in radians; 0 when either is a zero vector.
    pub(crate) fn angle_to(self, other: Self) -> f64 {
        libm::atan2(self.cross(other).length(), self.dot(other))
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self::new(self.x * by, self.y * by)
    }
}

impl Add for Point3 {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Point3 {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Mul<f64> for Point3 {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self::new(self.x * by, self.y * by, self.z * by)
    }
}
