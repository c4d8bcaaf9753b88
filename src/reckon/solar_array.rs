//! Owns the size of a solar array for a daily need. It must not know where the sun stands or what the battery is.

use super::number::{answer, not_negative, positive, share};
use super::unreckonable::Unreckonable;

/// Rated power in watts of an array that gives `energy` joules a day from `sun` seconds of peak sun, with an overall `efficiency` (wiring,
/// dirt, heat, battery; 0.65 to 0.80) and `ratio` times the need (1.1 to 1.3; 1.3 to 1.6 where it is critical or the sun is low; 1 for none).
///
/// Source: array-to-load method of IEEE 1562, from memory (medium confidence). Errors: `energy` negative, `sun` or `ratio` not positive,
/// efficiency not above 0 and at most 1.
pub fn array_power(energy: f64, sun: f64, efficiency: f64, ratio: f64) -> Result<f64, Unreckonable> {
    let harvest = positive("peak sun time", sun)? * share("efficiency", efficiency)?;
    answer("array power", not_negative("daily energy", energy)? / harvest * positive("array-to-load ratio", ratio)?)
}

/// Energy in joules that an array of `power` watts gives in a day.
///
/// Source and errors: as for [`array_power`].
pub fn daily_harvest(power: f64, sun: f64, efficiency: f64) -> Result<f64, Unreckonable> {
    let per_watt = not_negative("peak sun time", sun)? * share("efficiency", efficiency)?;
    answer("daily harvest", not_negative("array power", power)? * per_watt)
}

/// How many times the daily need of `energy` joules an array gives: its array-to-load ratio.
///
/// Source and errors: as for [`array_power`], `energy` not positive.
pub fn array_to_load(power: f64, sun: f64, efficiency: f64, energy: f64) -> Result<f64, Unreckonable> {
    answer("array-to-load ratio", daily_harvest(power, sun, efficiency)? / positive("daily energy", energy)?)
}

/// Days in which an array fills up a battery short of `deficit` joules while the gate goes on drawing `energy` joules a day; none where it
/// gives no more than the gate draws.
///
/// Source: energy balance. Errors: as for [`array_power`], `deficit` negative.
pub fn recovery_days(power: f64, sun: f64, efficiency: f64, energy: f64, deficit: f64) -> Result<Option<f64>, Unreckonable> {
    let surplus = daily_harvest(power, sun, efficiency)? - not_negative("daily energy", energy)?;
    let deficit = not_negative("deficit", deficit)?;
    if surplus > 0.0 { Ok(Some(answer("days of recovery", deficit / surplus)?)) } else { Ok(None) }
}
