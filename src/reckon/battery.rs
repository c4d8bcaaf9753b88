//! Owns a gate's daily need of charge, battery size and days of autonomy. It must not know what charges the battery.

use super::number::{answer, finite, not_negative, positive, share, within};
use super::unreckonable::Unreckonable;

/// Seconds in a day.
pub const DAY: f64 = 86_400.0;

/// Charge in coulombs that a gate draws in a day: `standby` amperes all day and `cycles` times `run` amperes for `run_time` seconds.
///
/// Source: charge is current times time; the split is common practice, no source. Errors: a number negative.
pub fn daily_charge(standby: f64, cycles: f64, run: f64, run_time: f64) -> Result<f64, Unreckonable> {
    let moving =
        not_negative("cycles a day", cycles)? * not_negative("current while moving", run)? * not_negative("time a cycle", run_time)?;
    answer("daily charge", not_negative("standby current", standby)? * DAY + moving)
}

/// How a battery is sized.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reserve {
    /// Days without charging.
    pub days: f64,
    /// Part of the capacity that may be used, above 0 and at most 1: depth of discharge.
    pub depth: f64,
    /// How many times the capacity is needed in the cold, 1 or more: see [`lead_temperature_factor`].
    pub cold: f64,
    /// Part of the rated capacity that an aged battery still has, above 0 and at most 1.
    pub aged: f64,
}

impl Reserve {
    /// Part of the rated capacity that can be counted on.
    fn usable(&self) -> Result<f64, Unreckonable> {
        let cold = within("temperature factor", self.cold, 1.0, 100.0)?;
        Ok(share("depth of discharge", self.depth)? * share("remaining capacity", self.aged)? / cold)
    }
}

/// Capacity needed in coulombs for a daily need of `daily` coulombs.
///
/// Source: simplified IEEE 1013 method as published on battery sizing pages: need times days, over depth, times temperature factor.
/// Errors: `daily` or days negative, another number out of its range.
pub fn needed_capacity(daily: f64, reserve: &Reserve) -> Result<f64, Unreckonable> {
    let need = not_negative("daily charge", daily)? * not_negative("days without charging", reserve.days)?;
    answer("battery capacity", need / reserve.usable()?)
}

/// Capacity needed in coulombs for a daily need of `energy` joules at `volts`.
///
/// Source and errors: as for [`needed_capacity`], and `volts` not positive.
pub fn needed_capacity_for_energy(energy: f64, volts: f64, reserve: &Reserve) -> Result<f64, Unreckonable> {
    needed_capacity(not_negative("daily energy", energy)? / positive("battery voltage", volts)?, reserve)
}

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

/// Charge in coulombs that the battery gives at `current` amperes.
///
/// Source and errors: as for [`peukert_time`].
pub fn peukert_charge(capacity: f64, rated_time: f64, exponent: f64, current: f64) -> Result<f64, Unreckonable> {
    answer("charge at that current", current * peukert_time(capacity, rated_time, exponent, current)?)
}

/// Days for which a battery of `capacity` coulombs carries `daily` coulombs a day; `reserve.days` is not used.
///
/// Source: [`needed_capacity`] turned round. Errors: `capacity` negative, `daily` not positive, another number out of its range.
pub fn days_of_autonomy(capacity: f64, daily: f64, reserve: &Reserve) -> Result<f64, Unreckonable> {
    let usable = not_negative("battery capacity", capacity)? * reserve.usable()?;
    answer("days of autonomy", usable / positive("daily charge", daily)?)
}

/// The same where part of the need is drawn at high currents: each of `uses` is (amperes, seconds a day), and counts for more than its charge
/// where its current is over the rated one (never for less).
///
/// Source: Peukert's law applied use by use, as common practice, no source. Errors: no use, a current or time negative, nothing drawn at all,
/// and as for [`days_of_autonomy`] and [`peukert_time`].
pub fn days_of_autonomy_by_use(
    capacity: f64,
    rated_time: f64,
    exponent: f64,
    uses: &[(f64, f64)],
    reserve: &Reserve,
) -> Result<f64, Unreckonable> {
    let mut daily = 0.0;
    for &(current, time) in super::number::some("use of the battery", uses, 10_000)? {
        let time = not_negative("time of use a day", time)?;
        if not_negative("current of use", current)? > 0.0 {
            let given = peukert_charge(capacity, rated_time, exponent, current)?.min(capacity);
            daily += current * time * (capacity / positive("charge at that current", given)?);
        }
    }
    days_of_autonomy(capacity, daily, reserve)
}
