//! Owns the question whether gaps lie in a hazardous range given from outside. It must not know any limit of its own.

use super::number::sized;
use crate::reckon::Unreckonable;

/// A range of hazardous gaps, both ends excluded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    over: f64,
    under: f64,
}

/// How gaps stand to a hazardous range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// No gap is in the range.
    Clear,
    /// A gap is nearer to a limit than the reckoning's error.
    AtLimit,
    /// A gap is in the range.
    Hazardous,
}

impl Band {
    /// Hazardous when more than `over` and less than `under`, in metres.
    pub fn new(over: f64, under: f64) -> Result<Self, Unreckonable> {
        sized("lower end of the hazardous range", over)?;
        sized("upper end of the hazardous range", under)?;
        if over >= under {
            return Err(Unreckonable::EmptyRange { what: "hazardous range", from: over, to: under });
        }
        Ok(Self { over, under })
    }

    /// How all gaps from the least to the greatest stand, each end known to within an error, in metres.
    ///
    /// A gap changes steadily along the travel, so every value between the ends occurs: a gap that is harmless at both ends can
    /// still pass through the range.
    pub fn of_all(&self, least: f64, greatest: f64, error: f64) -> Standing {
        if least + error < self.under && greatest - error > self.over {
            return Standing::Hazardous;
        }
        if least - error < self.under && greatest + error > self.over {
            return Standing::AtLimit;
        }
        Standing::Clear
    }

    /// Whether gaps of more than a size are wholly above the range, whatever the error.
    pub(crate) fn clears(&self, least: f64, error: f64) -> bool {
        least - error >= self.under
    }

    /// The lower end, in metres.
    pub(crate) fn lower(&self) -> f64 {
        self.over
    }
}
