//! The option `--units`: in which units numbers are shown. It must not know which commands have it.

use crate::quantity::Units;
use clap::ValueEnum;

/// The units of what is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Wanted {
    /// Inch, foot, pound
    Inch,
    /// Millimetre, metre, kilogram
    Metric,
    /// Each number as its author wrote it
    AsWritten,
}

impl Wanted {
    /// The units that are meant.
    pub fn units(self) -> Units {
        match self {
            Wanted::Inch => Units::Inch,
            Wanted::Metric => Units::Metric,
            Wanted::AsWritten => Units::AsWritten,
        }
    }
}
