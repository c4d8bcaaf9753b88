//! Dimensions: what kind of thing a number measures. Angle, loudness and light are dimensions of their own.

use std::fmt;

/// Exponents over length, mass, time, current, temperature difference, angle, luminous flux and sound level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Dimension(pub [i8; 8]);

const BASES: [&str; 8] = ["length", "mass", "time", "current", "temperature-difference", "angle", "light", "sound-level"];

/// Names that packs may declare, with their exponents. The first name of a dimension is the one that messages use.
const NAMED: &[(&str, [i8; 8])] = &[
    ("ratio", [0, 0, 0, 0, 0, 0, 0, 0]),
    ("length", [1, 0, 0, 0, 0, 0, 0, 0]),
    ("area", [2, 0, 0, 0, 0, 0, 0, 0]),
    ("volume", [3, 0, 0, 0, 0, 0, 0, 0]),
    ("mass", [0, 1, 0, 0, 0, 0, 0, 0]),
    ("time", [0, 0, 1, 0, 0, 0, 0, 0]),
    ("speed", [1, 0, -1, 0, 0, 0, 0, 0]),
    ("acceleration", [1, 0, -2, 0, 0, 0, 0, 0]),
    ("frequency", [0, 0, -1, 0, 0, 0, 0, 0]),
    ("force", [1, 1, -2, 0, 0, 0, 0, 0]),
    ("pressure", [-1, 1, -2, 0, 0, 0, 0, 0]),
    ("energy", [2, 1, -2, 0, 0, 0, 0, 0]),
    ("torque", [2, 1, -2, 0, 0, 0, 0, 0]),
    ("power", [2, 1, -3, 0, 0, 0, 0, 0]),
    ("current", [0, 0, 0, 1, 0, 0, 0, 0]),
    ("charge", [0, 0, 1, 1, 0, 0, 0, 0]),
    ("voltage", [2, 1, -3, -1, 0, 0, 0, 0]),
    ("resistance", [2, 1, -3, -2, 0, 0, 0, 0]),
    ("resistance-per-length", [1, 1, -3, -2, 0, 0, 0, 0]),
    ("field-strength", [1, 1, -3, -1, 0, 0, 0, 0]),
    ("temperature-difference", [0, 0, 0, 0, 1, 0, 0, 0]),
    ("angle", [0, 0, 0, 0, 0, 1, 0, 0]),
    ("angular-speed", [0, 0, -1, 0, 0, 1, 0, 0]),
    ("illuminance", [-2, 0, 0, 0, 0, 0, 1, 0]),
    ("sound-level", [0, 0, 0, 0, 0, 0, 0, 1]),
];

impl Dimension {
    /// A plain ratio.
    pub const NONE: Dimension = Dimension([0; 8]);
    /// Length.
    pub const LENGTH: Dimension = Dimension([1, 0, 0, 0, 0, 0, 0, 0]);
    /// Area.
    pub const AREA: Dimension = Dimension([2, 0, 0, 0, 0, 0, 0, 0]);

    /// The dimension of that name.
    pub fn named(name: &str) -> Option<Dimension> {
        NAMED.iter().find(|(known, _)| *known == name).map(|(_, exponents)| Dimension(*exponents))
    }

    /// Every name that a pack may declare.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMED.iter().map(|(name, _)| *name)
    }

    /// The dimension of a product; `None` when an exponent leaves the range.
    pub fn times(self, other: Dimension) -> Option<Dimension> {
        self.combine(other, i8::checked_add)
    }

    /// The dimension of a quotient.
    pub fn over(self, other: Dimension) -> Option<Dimension> {
        self.combine(other, i8::checked_sub)
    }

    /// The dimension of a whole power.
    pub fn power(self, power: u32) -> Option<Dimension> {
        (0..power).try_fold(Dimension::NONE, |product, _| product.times(self))
    }

    fn combine(self, other: Dimension, step: fn(i8, i8) -> Option<i8>) -> Option<Dimension> {
        let mut exponents = [0; 8];
        for (index, slot) in exponents.iter_mut().enumerate() {
            // Exponents past eight have no use in the trade and would only let numbers grow.
            *slot = step(self.0[index], other.0[index]).filter(|exponent| exponent.abs() <= 8)?;
        }
        Some(Dimension(exponents))
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((name, _)) = NAMED.iter().find(|(_, exponents)| *exponents == self.0) {
            return f.write_str(name);
        }
        let mut first = true;
        for (name, exponent) in BASES.iter().zip(self.0).filter(|(_, exponent)| *exponent != 0) {
            if !first {
                f.write_str(" ")?;
            }
            first = false;
            if exponent == 1 { f.write_str(name)? } else { write!(f, "{name}^{exponent}")? }
        }
        Ok(())
    }
}
