//! Owns gaps that reduce while a leaf moves: at the hinge post, at the receiver, at the tail. It must not know which are hazards.

use super::band::{Band, Standing};
use super::gap::{Fixed, Gap, greatest_gap, least_gap};
use super::movement::Movement;
use super::under::UnderLeaf;
use crate::reckon::Unreckonable;

/// The gaps between a leaf and one object over the whole movement. For the hinge give the post that the leaf hangs on, for the
/// receiver the receiver post, for the tail of a slide leaf the post or wall behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReducingGap {
    /// The least gap.
    pub least: Gap,
    /// The greatest gap.
    pub greatest: Gap,
}

/// The interval of gaps to an object over the whole movement.
pub fn reducing_gap(movement: &Movement, object: &Fixed) -> Result<ReducingGap, Unreckonable> {
    Ok(ReducingGap { least: least_gap(movement, object)?, greatest: greatest_gap(movement, object)? })
}

impl ReducingGap {
    /// How the gaps stand to a hazardous range.
    pub fn standing(&self, band: &Band) -> Standing {
        band.of_all(self.least.gap, self.greatest.gap, self.least.error.max(self.greatest.error))
    }

    /// By how much the gap changes over the movement, in metres.
    pub fn change(&self) -> f64 {
        self.greatest.gap - self.least.gap
    }
}

impl UnderLeaf {
    /// How the gaps under the leaf stand to a hazardous range.
    pub fn standing(&self, band: &Band) -> Standing {
        band.of_all(self.least.gap, self.greatest.gap, self.error)
    }

    /// By how much the gap changes across the leaf and over the movement, in metres.
    pub fn change(&self) -> f64 {
        self.greatest.gap - self.least.gap
    }
}
