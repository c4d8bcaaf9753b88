//! Owns the light left at a receiver: excess gain over the span, loss in fog, and what dirt asks for. It must not know geometry beyond
//! a span, nor which gain a code prescribes.

use crate::reckon::geometry::{Unreckonable, positive};
use crate::reckon::number::{self, answer, not_negative};

/// Contrast threshold of meteorological visibility: the natural logarithm of 50, as published to four digits.
const VISIBILITY: f64 = 3.912;

/// Decibels in a factor of e.
const DECIBELS: f64 = 4.342_944_819_032_518;

/// How often the light crosses the span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Crossing {
    /// From sender to receiver.
    Once,
    /// To a reflector and back.
    Twice,
}

/// How dirty the lenses get at a site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dirt {
    /// Clean air, lenses wiped.
    Clean,
    /// Slight dirt.
    Slight,
    /// Moderate dirt.
    Moderate,
    /// Heavy dirt.
    Heavy,
}

/// The light at a receiver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// Excess gain in clear air, as a factor: 1 is just enough.
    pub clear: f64,
    /// The share of the light that fog lets through on its whole way.
    pub through_fog: f64,
    /// Excess gain left in the fog, as a factor.
    pub left: f64,
    /// Excess gain left per gain needed, as a factor: below 1 it is not enough.
    pub margin: f64,
}

impl Crossing {
    fn times(self) -> f64 {
        match self {
            Self::Once => 1.0,
            Self::Twice => 2.0,
        }
    }
}

impl Dirt {
    /// The excess gain that is advised, as a factor.
    pub fn gain_needed(self) -> f64 {
        match self {
            Self::Clean => 1.5,
            Self::Slight => 5.0,
            Self::Moderate => 10.0,
            Self::Heavy => 50.0,
        }
    }
}

/// Excess gain in clear air at a span, from the gain at the rated range: it falls with the square of the distance when the light crosses
/// once and with the fourth power when it crosses twice. Lengths in metres, gains as factors.
///
/// Near the sensor real curves bend down again, so the result is a ceiling for spans far below the rated range.
pub fn excess_gain(span: f64, rated_range: f64, gain_at_range: f64, crossing: Crossing) -> Result<f64, Unreckonable> {
    let span = positive("span of the beam", span)?;
    let rated_range = positive("rated range", rated_range)?;
    let gain_at_range = positive("excess gain at the rated range", gain_at_range)?;
    let ratio = rated_range / span;
    let squared = ratio * ratio;
    Ok(match crossing {
        Crossing::Once => gain_at_range * squared,
        Crossing::Twice => gain_at_range * squared * squared,
    })
}

/// The share of light that fog lets through over a way, for a visibility at 2 % contrast, both in metres.
///
/// Source: Koschmieder's law; near infra-red is taken to fare no better than visible light. A beam with a reflector crosses twice its span.
pub fn through_fog(way: f64, visibility: f64) -> Result<f64, Unreckonable> {
    Ok(libm::exp(-fog_exponent(way, visibility)?))
}

/// The loss of light in fog over a way, for a visibility, both in metres; in decibels. Source: as for [`through_fog`].
pub fn fog_loss(way: f64, visibility: f64) -> Result<f64, Unreckonable> {
    answer("loss in fog", DECIBELS * fog_exponent(way, visibility)?)
}

fn fog_exponent(way: f64, visibility: f64) -> Result<f64, Unreckonable> {
    let visibility = number::positive("visibility", visibility)?;
    answer("optical length", VISIBILITY / visibility * not_negative("way of the light", way)?)
}

/// The gain left at a span in fog, and how it compares with a gain needed. Lengths in metres, gains as factors.
pub fn gain_left(
    span: f64,
    rated_range: f64,
    gain_at_range: f64,
    crossing: Crossing,
    visibility: f64,
    needed: f64,
) -> Result<Gain, Unreckonable> {
    let clear = excess_gain(span, rated_range, gain_at_range, crossing)?;
    let through_fog = through_fog(span * crossing.times(), visibility)?;
    let needed = positive("excess gain needed", needed)?;
    let left = clear * through_fog;
    Ok(Gain { clear, through_fog, left, margin: left / needed })
}
