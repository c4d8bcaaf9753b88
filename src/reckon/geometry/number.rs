//! Owns the checks that every number passes on its way in. It must not know what the number is for beyond its name.

use crate::reckon::Unreckonable;

/// The largest length or coordinate taken, in metres: far beyond any gate site, and small enough that nothing overflows.
pub const LARGEST: f64 = 1_000.0;

/// The smallest length taken where one must be more than zero, in metres: a nanometre, below anything that can be measured.
const SMALLEST: f64 = 1e-9;

/// A finite number of a size that a gate site can have, in metres.
pub(crate) fn sized(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    if !value.is_finite() {
        return Err(Unreckonable::NotFinite { what });
    }
    if value.abs() > LARGEST {
        return Err(Unreckonable::TooLarge { what, value, most: LARGEST });
    }
    Ok(value)
}

/// A length or factor of more than zero, lengths in metres.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    let value = sized(what, value)?;
    if value <= 0.0 {
        return Err(Unreckonable::NotPositive { what, value });
    }
    if value < SMALLEST {
        return Err(Unreckonable::TooSmall { what, value, least: SMALLEST });
    }
    Ok(value)
}

/// A length of zero or more, in metres.
pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    let value = sized(what, value)?;
    if value < 0.0 {
        return Err(Unreckonable::Negative { what, value });
    }
    Ok(value)
}

/// A position in the travel: 0 closed, 1 open.
pub(crate) fn position(position: f64) -> Result<f64, Unreckonable> {
    if !position.is_finite() {
        return Err(Unreckonable::NotFinite { what: "position in the travel" });
    }
    if !(0.0..=1.0).contains(&position) {
        return Err(Unreckonable::OutsideTravel { position });
    }
    Ok(position)
}

/// A range from a lower to a higher number, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The lower end, in metres.
    pub low: f64,
    /// The upper end, in metres.
    pub high: f64,
}

impl Range {
    /// A checked range with `low` below `high`, in metres.
    pub fn new(what: &'static str, low: f64, high: f64) -> Result<Self, Unreckonable> {
        sized(what, low)?;
        sized(what, high)?;
        if low >= high {
            return Err(Unreckonable::EmptyRange { what, from: low, to: high });
        }
        Ok(Self { low, high })
    }

    /// Distance between two ranges, in metres; 0 where they meet.
    pub(crate) fn gap(self, other: Self) -> f64 {
        (other.low - self.high).max(self.low - other.high).max(0.0)
    }
}
