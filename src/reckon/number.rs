//! Owns the checks that every number passes on its way in and out. It must not know what the number is for beyond its name.

use super::unreckonable::Unreckonable;

/// A finite number.
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    if value.is_finite() { Ok(value) } else { Err(Unreckonable::NotFinite { what }) }
}

/// A finite number of more than zero.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    let value = finite(what, value)?;
    if value > 0.0 { Ok(value) } else { Err(Unreckonable::NotPositive { what, value }) }
}

/// A finite number of zero or more.
pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    let value = finite(what, value)?;
    if value < 0.0 { Err(Unreckonable::Negative { what, value }) } else { Ok(value) }
}

/// A finite number between two bounds, both taken.
pub(crate) fn within(what: &'static str, value: f64, least: f64, most: f64) -> Result<f64, Unreckonable> {
    let value = finite(what, value)?;
    if (least..=most).contains(&value) { Ok(value) } else { Err(Unreckonable::Outside { what, value, least, most }) }
}

/// A finite angle between two bounds in radians, both taken.
pub(crate) fn angle(what: &'static str, value: f64, least: f64, most: f64) -> Result<f64, Unreckonable> {
    let value = finite(what, value)?;
    if (least..=most).contains(&value) { Ok(value) } else { Err(Unreckonable::OutsideAngle { what, value, least, most }) }
}

/// A list of at least one and at most so many.
pub(crate) fn some<'a, T>(what: &'static str, list: &'a [T], most: usize) -> Result<&'a [T], Unreckonable> {
    match list.len() {
        0 => Err(Unreckonable::Nothing { what }),
        count if count > most => Err(Unreckonable::TooMany { what, count, most }),
        _ => Ok(list),
    }
}

/// An answer, unless it outgrew the numbers.
pub(crate) fn answer(what: &'static str, value: f64) -> Result<f64, Unreckonable> {
    if value.is_finite() { Ok(value) } else { Err(Unreckonable::Overgrown { what }) }
}
