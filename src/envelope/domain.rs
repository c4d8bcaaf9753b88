//! Where a measure is looked for: no gate has a part longer than this. It must not know rules.

use crate::datum::Kind;
use crate::quantity::{Dimension, Exact, Unit};

/// The largest value of a dimension that is looked at, in base units.
const LARGEST: &[(&str, i128)] = &[
    ("ratio", 1000),
    ("length", 100),
    ("area", 10_000),
    ("volume", 10_000),
    ("mass", 20_000),
    ("time", 3600),
    ("speed", 20),
    ("force", 20_000),
    ("pressure", 10_000_000),
    ("energy", 10_000_000),
    ("power", 100_000),
    ("current", 1000),
    ("charge", 3_600_000),
    ("voltage", 1000),
    ("resistance", 100_000),
    ("angle", 360),
    ("temperature-difference", 500),
    ("sound-level", 200),
];
/// The same for every other dimension.
const LARGEST_OTHER: i128 = 1_000_000;
/// The largest count.
const LARGEST_COUNT: i128 = 1000;

/// The ends between which a measure is looked for, whole numbers of its author's unit. Below nought only where that has a
/// meaning: angles, temperatures, and measures that are below nought today.
pub fn domain(kind: &Kind, unit: Option<Unit>, today: Option<Exact>) -> (Exact, Exact) {
    let inward = |value: Exact| unit.map_or(Some(value), |unit| unit.from_base(value)).map_or(0, Exact::floor);
    let (mut low, mut high) = match kind {
        Kind::Temperature => (inward(Exact::whole(173)) + 1, inward(Exact::whole(473))),
        Kind::Count => (0, LARGEST_COUNT),
        Kind::Measure(dimension) => {
            let named = LARGEST.iter().find(|(name, _)| Dimension::named(name) == Some(*dimension));
            let high = inward(Exact::whole(named.map_or(LARGEST_OTHER, |(_, largest)| *largest))).max(1);
            let signed = Dimension::named("angle") == Some(*dimension) || today.is_some_and(Exact::is_negative);
            (if signed { -high } else { 0 }, high)
        }
        _ => (0, 0),
    };
    if let Some(today) = today {
        let room = |end: i128| end.checked_mul(2).unwrap_or(end);
        low = if Exact::whole(low) > today { room(today.floor()) } else { low };
        high = if Exact::whole(high) < today { room(today.ceiling()) } else { high };
    }
    (Exact::whole(low), Exact::whole(high))
}
