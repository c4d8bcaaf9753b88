//! Owns what cold and a strong current take from a battery. It must not know what charges or drains it.

use super::number::{answer, finite, positive, within};
use super::unreckonable::Unreckonable;

/// °F and how many times the capacity a lead-acid battery needs there. Published: a battery sizing page (high confidence).
const LEAD_FACTORS: [(f64, f64); 7] = [(80.0, 1.00), (70.0, 1.04), (60.0, 1.11), (50.0, 1.19), (40.0, 1.30), (30.0, 1.40), (20.0, 1.59)];

/// How many times the capacity a lead-acid battery needs at `celsius` °C, straight between the published points; 1 over 26.7 °C (80 °F).
///
/// Source: table published on a battery sizing page after the IEEE method (high confidence). Errors: colder than −6.67 °C (20 °F), where the
/// table ends, or over 60 °C.
pub fn lead_temperature_factor(celsius: f64) -> Result<f64, Unreckonable> {
    let coldest = (20.0 - 32.0) / 1.8;
    // A reading of 20 °F turned into Celsius may fall a rounding step below the end.
    let fahrenheit = within("temperature of the battery in °C", celsius, coldest - 1e-9, 60.0)? * 1.8 + 32.0;
    let above = LEAD_FACTORS.iter().zip(LEAD_FACTORS.iter().skip(1));
    for (&(warm, less), &(cool, more)) in above {
        if fahrenheit >= cool {
            return Ok(if fahrenheit >= warm { less } else { less + (more - less) * (warm - fahrenheit) / (warm - cool) });
        }
    }
    Ok(1.59)
}

/// Time in seconds for which a battery of `capacity` coulombs, rated over `rated_time` seconds, gives `current` amperes: rated time times
/// (capacity over current times rated time) to the power of `exponent`.
///
/// The one-hour form, capacity over current to the power, gives wrong times for a capacity rated over 20 h and is not offered.
/// Source: Peukert's law, published (high confidence); exponent 1.05 to 1.15 sealed, 1.2 to 1.6 flooded. Errors: a number not positive, the
/// exponent outside of 1 to 2.
pub fn peukert_time(capacity: f64, rated_time: f64, exponent: f64, current: f64) -> Result<f64, Unreckonable> {
    let rated_time = positive("rated time", rated_time)?;
    let rated_current = positive("battery capacity", capacity)? / rated_time;
    let exponent = within("Peukert exponent", exponent, 1.0, 2.0)?;
    let ratio = finite("ratio of currents", rated_current / positive("current", current)?)?;
    answer("discharge time", rated_time * libm::pow(ratio, exponent))
}
