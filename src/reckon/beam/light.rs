//! Owns the light that fog leaves on a way. It must not know beams, nor which gain a code prescribes.

use crate::reckon::geometry::Unreckonable;
use crate::reckon::number::{self, answer, not_negative};

/// Contrast threshold of meteorological visibility: the natural logarithm of 50, as published to four digits.
const VISIBILITY: f64 = 3.912;

/// The share of light that fog lets through over a way, for a visibility at 2 % contrast, both in metres.
///
/// Source: Koschmieder's law; near infra-red is taken to fare no better than visible light. A beam with a reflector crosses twice its span.
pub fn through_fog(way: f64, visibility: f64) -> Result<f64, Unreckonable> {
    let visibility = number::positive("visibility", visibility)?;
    let thickness = answer("optical length", VISIBILITY / visibility * not_negative("way of the light", way)?)?;
    Ok(libm::exp(-thickness))
}
