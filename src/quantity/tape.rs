//! Lengths as a tape in inches is read: to the nearest sixteenth, finer only where that would say too little. A number that is not
//! exactly what is written is marked as near. It must not know limits: who compares asks for finer marks.

use super::exact::Exact;
use super::show::{binary_fraction, feet_and_inches, in_unit, plain, rounded, with_symbol};
use super::unit::Unit;

/// Marks of a tape to the inch.
const MARKS: i128 = 16;
/// Marks to the inch where those of a tape do not tell two numbers apart.
const FINER_MARKS: i128 = 64;
/// Asks for the finer marks, where decimal places are asked for.
pub const SIXTY_FOURTHS: u32 = 1;
/// What is tried in turn where the marks of a tape do not tell two numbers apart: finer marks, then decimals.
pub const FINER: &[u32] = &[SIXTY_FOURTHS, 3];
/// Decimals of an inch that somebody may have written; more are the traces of reckoning.
const WRITTEN_PLACES: u32 = 3;

/// A value in base units in inches or feet, at the marks of a tape, or with at most so many decimal places.
pub fn text(value: Exact, unit: Unit, places: Option<u32>) -> String {
    let unit = unit.plain();
    if is_exact(value, unit) {
        return in_unit(value, unit);
    }
    match places {
        None => at_marks(value, unit, MARKS).or_else(|| at_marks(value, unit, FINER_MARKS)).unwrap_or_else(|| in_inches(value)),
        Some(SIXTY_FOURTHS) => at_marks(value, unit, FINER_MARKS).unwrap_or_else(|| in_inches(value)),
        Some(places) => super::show::at_places(value, Some(unit), Some(places)),
    }
}

/// Whether a number can be written without rounding: at a mark, or with the few decimals that somebody may have written.
fn is_exact(value: Exact, unit: Unit) -> bool {
    let number = unit.from_base(value);
    let marked = || feet_and_inches(value, unit).is_some() || number.is_some_and(|number| binary_fraction(number).is_some());
    number.is_none_or(|number| number.decimals(WRITTEN_PLACES).is_some()) || marked()
}

/// The nearest mark, marked as near; nothing where that is nought, which the number is not.
fn at_marks(value: Exact, unit: Unit, marks: i128) -> Option<String> {
    let step = Unit::named("in")?.factor().div(Exact::whole(marks))?;
    let steps = value.size().div(step)?.add(Exact::ratio(1, 2)?)?.floor();
    let near = Exact::whole(steps).mul(step)?;
    let near = if value.is_negative() { near.negated() } else { near };
    (steps != 0).then(|| format!("≈{}", in_unit(near, unit)))
}

/// In inches and decimals: what is too small for any mark.
fn in_inches(value: Exact) -> String {
    let Some((inch, number)) = Unit::named("in").and_then(|inch| Some((inch, inch.from_base(value)?))) else {
        return "a number with too many digits".into();
    };
    let text = plain(number);
    // A number too small for any usual digit is no nought either.
    let text = if text.trim_start_matches('≈').parse::<f64>() == Ok(0.0) { format!("≈{}", rounded(number, 24)) } else { text };
    with_symbol(&text, inch)
}
