//! Owns what a measuring tool may be wrong by, and what that leaves of a limit. It must not know which measure is judged.

use super::number::{answer, finite, not_negative, positive};
use super::unreckonable::Unreckonable;

/// Accuracy class of a tape or rule under the measuring instruments directive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapeClass {
    /// Class I: the finest.
    One,
    /// Class II: usual good tapes.
    Two,
    /// Class III.
    Three,
}

/// Most that a tape may be wrong by, in metres, over `length` metres, at 20 °C and under its stated pull. The length is rounded up to the
/// next whole metre. `from_hook` adds the share of an end face.
///
/// Source: directive 2014/32/EU, annex X (UK SI 2016/1153, schedule 1I). Errors: `length` not positive.
pub fn tape_error(class: TapeClass, length: f64, from_hook: bool) -> Result<f64, Unreckonable> {
    let metres = libm::ceil(positive("length measured", length)?);
    let (fixed, each, hook) = match class {
        TapeClass::One => (0.1e-3, 0.1e-3, 0.1e-3),
        TapeClass::Two => (0.3e-3, 0.2e-3, 0.2e-3),
        TapeClass::Three => (0.6e-3, 0.4e-3, 0.3e-3),
    };
    answer("permissible error", fixed + each * metres + if from_hook { hook } else { 0.0 })
}

/// Growth in metres of a steel tape over `length` metres that is `warmer` kelvin above 20 °C (less than zero: colder). A warm tape reads short.
///
/// Source: 11.5 millionths a kelvin, handbook value for carbon steel, from memory. Errors: a number not finite, `length` negative.
pub fn steel_growth(length: f64, warmer: f64) -> Result<f64, Unreckonable> {
    answer("growth of the tape", 11.5e-6 * not_negative("length measured", length)? * finite("temperature difference", warmer)?)
}

/// The highest reading that proves a measure to be at most `limit`, where readings are uncertain by `expanded` (k = 2), both in the same unit.
///
/// Source: ISO 14253-1 decision rule, from memory (medium confidence). Errors: `limit` not finite, `expanded` negative.
pub fn guarded_most(limit: f64, expanded: f64) -> Result<f64, Unreckonable> {
    answer("guarded limit", finite("limit", limit)? - not_negative("uncertainty", expanded)?)
}

/// Chance that a thing measured at `reading` is really at most `limit`, with a standard uncertainty of `standard` (k = 1), normally spread.
///
/// Source: JCGM 106, from memory. Errors: a number not finite, `standard` not positive.
pub fn chance_at_most(limit: f64, reading: f64, standard: f64) -> Result<f64, Unreckonable> {
    let distance = finite("limit", limit)? - finite("reading", reading)?;
    let z = distance / positive("standard uncertainty", standard)?;
    Ok(0.5 * libm::erfc(-z * core::f64::consts::FRAC_1_SQRT_2))
}

/// Years of steady service in which one fault is expected, at `rate` faults a million hours. Years of 8760 hours.
///
/// Source: definition of a failure rate. Errors: `rate` not positive.
pub fn years_between_faults(rate: f64) -> Result<f64, Unreckonable> {
    answer("time between faults", 1e6 / positive("fault rate", rate)? / 8760.0)
}
