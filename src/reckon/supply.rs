//! Owns what a supply must give: accessory budget over simultaneous loads, transformer rating. It must not know which devices exist.

use super::number::{answer, not_negative, positive, share, some};
use super::unreckonable::Unreckonable;

/// Most states in which an accessory budget is drawn up.
pub const MOST_STATES: u32 = 64;

/// What draws from an accessory output, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Current in amperes while it draws.
    pub current: f64,
    /// In which states of the gate it draws: bit 0 for the first state, and so on. All bits set: always.
    pub states: u64,
}

/// Draws of the accessories, state by state.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// Sum in amperes in each state, in order.
    pub sums: Vec<f64>,
    /// The state with the largest sum, from 0; the first of equals.
    pub worst: usize,
    /// That sum in amperes.
    pub most: f64,
    /// Sum in amperes if everything drew at once.
    pub together: f64,
    /// What the worst state leaves of the limit, in amperes; less than zero where it is too much.
    pub spare: f64,
}

/// Adds up what draws at once in each of `states` states (such as at rest, opening, closing, a cold night) against a `limit` in amperes.
///
/// Source: addition. Errors: nothing drawn, more than 10,000 draws, a current or the limit negative, no state or more than [`MOST_STATES`].
pub fn budget(draws: &[Draw], states: u32, limit: f64) -> Result<Budget, Unreckonable> {
    let limit = not_negative("limit of the accessory output", limit)?;
    if states == 0 {
        return Err(Unreckonable::Nothing { what: "state of the gate" });
    }
    if states > MOST_STATES {
        return Err(Unreckonable::TooMany { what: "states of the gate", count: states as usize, most: MOST_STATES as usize });
    }
    let mut together = 0.0;
    for draw in some("accessory", draws, 10_000)? {
        together += not_negative("current of an accessory", draw.current)?;
    }
    let together = answer("sum of the currents", together)?;
    let sum = |state: u32| draws.iter().filter(|draw| draw.states >> state & 1 == 1).map(|draw| draw.current).sum::<f64>();
    let sums: Vec<f64> = (0..states).map(sum).collect();
    let (mut worst, mut most) = (0, 0.0);
    for (state, &sum) in sums.iter().enumerate() {
        if sum > most {
            (worst, most) = (state, sum);
        }
    }
    Ok(Budget { sums, worst, most, together, spare: limit - most })
}

/// Rating in volt-amperes that a transformer or power unit needs for `power` watts on its output, with an `efficiency` and `power_factor`
/// (each above 0, at most 1) and a `margin` to spare (0.25 is a quarter more).
///
/// Source: definitions of efficiency and power factor; the margin is common practice, no source. Errors: a number out of those ranges.
pub fn transformer_rating(power: f64, efficiency: f64, power_factor: f64, margin: f64) -> Result<f64, Unreckonable> {
    let through = share("efficiency", efficiency)? * share("power factor", power_factor)?;
    answer("transformer rating", not_negative("power", power)? / through * (1.0 + not_negative("margin", margin)?))
}

/// Current in amperes that a `rating` in volt-amperes gives at `volts`.
///
/// Source: definition. Errors: `rating` negative, `volts` not positive.
pub fn rated_current(rating: f64, volts: f64) -> Result<f64, Unreckonable> {
    answer("rated current", not_negative("rating", rating)? / positive("voltage", volts)?)
}
