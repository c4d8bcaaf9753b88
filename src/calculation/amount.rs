//! Numbers of a calculation for people: in the unit that somebody wrote, with as many digits as the comparisons of the same
//! calculation need to look the way they came out. It must not know expressions.

use super::tree::Shown;
use crate::datum::Kind;
use crate::judge::doubt::Truth;
use crate::judge::value::{Number, Value};
use crate::judge::words::value_text;
use crate::language::program::Program;
use crate::quantity::unit::UnitKind;
use crate::quantity::{Dimension, Exact, Unit, show};
use std::collections::BTreeMap;

/// Decimal places for numbers that a comparison would otherwise show as if they were equal, or the wrong way round.
pub type Digits = BTreeMap<Exact, u32>;

/// The unit in which a number of a kind is shown: the one that somebody wrote, where it fits.
pub fn unit_of(number: &Number, kind: &Kind) -> Option<Unit> {
    match kind {
        Kind::Measure(dimension) => {
            let fits = |unit: &Unit| unit.dimension() == *dimension && unit.kind() == UnitKind::Measure;
            number.unit.filter(fits).or_else(|| Unit::usual(*dimension))
        }
        Kind::Temperature => number.unit.filter(|unit| unit.kind() == UnitKind::Temperature).or_else(|| Unit::named("°C")),
        _ => None,
    }
}

/// A value of a kind for people.
pub fn shown(program: &Program, value: &Value, kind: &Kind, digits: &Digits) -> Shown {
    match value {
        Value::Number(number) => number_shown(number, kind, unit_of(number, kind), digits),
        Value::Truth(Truth::Doubtful(_)) => Shown::words("not sure"),
        other => Shown::words(value_text(program, other).unwrap_or_else(|| "not known".into())),
    }
}

/// A number in a unit: a point, a reading with its tolerance, between two ends, or one end.
pub fn number_shown(number: &Number, kind: &Kind, unit: Option<Unit>, digits: &Digits) -> Shown {
    let one = |value: Exact| point(value, kind, unit, digits);
    let (lo, hi) = (number.interval.lo, number.interval.hi);
    // A count of which nothing is known is not told as one from nought up.
    let unknown = !number.doubt.missing.is_empty() && hi.is_none() && lo.is_none_or(Exact::is_zero);
    match (lo, hi) {
        (Some(lo), Some(hi)) if lo == hi => one(lo),
        (Some(lo), Some(hi)) => {
            let plain = digits.get(&lo).is_none() && digits.get(&hi).is_none();
            let read_only = number.doubt.tolerance && number.doubt.missing.is_empty();
            reading(number, kind, unit).filter(|_| plain && read_only).unwrap_or_else(|| range(&one(lo), &one(hi)))
        }
        _ if unknown => Shown::words("not known"),
        (Some(lo), None) => joined("at least ", &one(lo), "", &Shown::words("")),
        (None, Some(hi)) => joined("at most ", &one(hi), "", &Shown::words("")),
        (None, None) => Shown::words("not known"),
    }
}

/// Between two ends, which are one where they look the same.
pub fn range(lo: &Shown, hi: &Shown) -> Shown {
    if lo.text == hi.text { Shown { rounded: true, ..lo.clone() } } else { joined("", lo, " to ", hi) }
}

fn joined(before: &str, one: &Shown, between: &str, other: &Shown) -> Shown {
    Shown { text: format!("{before}{}{between}{}", one.text, other.text), rounded: one.rounded || other.rounded }
}

/// `28 in ± 1/8 in`, where both come out without rounding.
fn reading(number: &Number, kind: &Kind, unit: Option<Unit>) -> Option<Shown> {
    if matches!(kind, Kind::Temperature) {
        return None;
    }
    let middle = number.interval.middle()?;
    let half = number.interval.hi?.sub(middle)?;
    let (middle, half) = (point(middle, kind, unit, &Digits::new()), point(half, kind, unit, &Digits::new()));
    (!middle.rounded && !half.rounded).then(|| joined("", &middle, " ± ", &half))
}

/// One number in a unit.
pub fn point(value: Exact, kind: &Kind, unit: Option<Unit>, digits: &Digits) -> Shown {
    let text = show::at_places(value, unit, digits.get(&value).copied());
    let rounded = text.starts_with('≈');
    let bare = text.trim_start_matches('≈');
    let base = match (unit, kind) {
        (None, Kind::Measure(dimension)) if *dimension != Dimension::NONE => format!(" {}", base_units(*dimension)),
        _ => String::new(),
    };
    Shown { text: format!("{bare}{base}"), rounded }
}

/// Base units of a dimension for which the list has no unit, such as `m·A`.
fn base_units(dimension: Dimension) -> String {
    let symbols = ["m", "kg", "s", "A", "K", "deg", "lm", "dB"];
    let parts = symbols.iter().zip(dimension.0).filter(|(_, exponent)| *exponent != 0).map(|(symbol, exponent)| match exponent {
        1 => (*symbol).to_string(),
        2 => format!("{symbol}²"),
        3 => format!("{symbol}³"),
        other => format!("{symbol}^{other}"),
    });
    parts.collect::<Vec<_>>().join("·")
}

/// Whether a value may stand in arithmetic without brackets: one number, no sign, one unit.
pub fn stands_alone(text: &str) -> bool {
    let mut parts = text.split(' ');
    let number = parts.next().unwrap_or("");
    let simple = number.trim_start_matches('≈').chars().next().is_some_and(|c| c.is_ascii_digit()) && !number.contains('/');
    let unit = parts.next().is_none_or(|unit| !unit.starts_with(|c: char| c.is_ascii_digit()));
    simple && unit && parts.next().is_none()
}
