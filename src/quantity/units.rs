//! Which units a reader wants to see: those of the authors, inch and pound, or metric. It owns which unit stands for which; values
//! themselves never change, so no verdict can. It must not know who asks.

use super::unit::Unit;

/// The units that numbers are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// As each author wrote them.
    #[default]
    AsWritten,
    /// Inch, foot, pound.
    Inch,
    /// Millimetre, metre, kilogram.
    Metric,
}

/// Units that stand for one another, finer with finer: inch and pound, metric.
const PAIRS: &[(&str, &str)] = &[
    ("in", "mm"),
    ("in", "cm"),
    ("ft", "m"),
    ("yd", "m"),
    ("mi", "km"),
    ("kft", "m"),
    ("in²", "mm²"),
    ("in²", "cm²"),
    ("ft²", "m²"),
    ("ft³", "m³"),
    ("lb", "kg"),
    ("oz", "g"),
    ("ft/s", "m/s"),
    ("in/s", "mm/s"),
    ("in/s", "cm/s"),
    ("ft/min", "m/min"),
    ("mph", "km/h"),
    ("lbf", "N"),
    ("lbf", "kN"),
    ("psi", "kPa"),
    ("psf", "Pa"),
    ("ft-lbf", "J"),
    ("in-lbf", "N·m"),
    ("ohm/kft", "ohm/km"),
    ("ohm/kft", "ohm/m"),
    ("°F", "°C"),
    ("fc", "lx"),
];

impl Units {
    /// The unit in which a number of this unit is shown.
    pub fn of(self, unit: Unit) -> Unit {
        let symbol = unit.symbol();
        let stands = |(inch, metric): &&(&str, &str)| match self {
            Units::AsWritten => false,
            Units::Inch => *metric == symbol,
            Units::Metric => *inch == symbol,
        };
        let found = PAIRS.iter().find(stands).and_then(|(inch, metric)| Unit::named(if self == Units::Inch { inch } else { metric }));
        let found = found.unwrap_or(unit);
        // Whoever wants inches has a tape in hand that is marked in sixteenths.
        if self == Units::Inch { found.on_tape() } else { found }
    }

    /// Whether a number of this unit is shown in another one.
    pub fn changes(self, unit: Unit) -> bool {
        self.of(unit).plain() != unit.plain()
    }

    /// Whether every number is shown as its author wrote it.
    pub fn as_written(self) -> bool {
        self == Units::AsWritten
    }
}
