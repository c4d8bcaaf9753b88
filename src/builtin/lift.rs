//! Lifts calculations on floating numbers to outer bounds: by how each argument moves the result, never by matching ends, and
//! rounded outward. It must not know which calculation it lifts.

use super::form::{Outcome, Refusal};
use crate::quantity::{Exact, Interval};
use crate::reckon::Unreckonable;

/// How an argument moves a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// The result never falls as the argument rises.
    Up,
    /// The result never rises as the argument rises.
    Down,
}

/// By which part a floating result may be off: far more than the rounding of a few dozen steps, far less than any measure.
const SLACK: f64 = 1e-11;

/// A calculation on bounds. An end that rests on an unknown bound is unknown.
pub fn lifted(arguments: &[Interval], moves: &[Moves], run: impl Fn(&[f64]) -> Result<f64, Unreckonable>) -> Outcome<Interval> {
    let end = |low: bool| -> Outcome<Option<Exact>> {
        let mut numbers = Vec::with_capacity(arguments.len());
        for (argument, moves) in arguments.iter().zip(moves) {
            let lower = (*moves == Moves::Up) == low;
            match if lower { argument.lo } else { argument.hi } {
                Some(bound) => numbers.push(bound.to_f64()),
                None => return Ok(None),
            }
        }
        let value = run(&numbers)?;
        outward(value, low).map(Some)
    };
    Ok(Interval { lo: end(true)?, hi: end(false)? })
}

/// Binary places kept after the point of a base unit: 6e-14 of a metre or a second, and short enough to reckon on with.
const PLACES: u32 = 44;

/// A floating number as an exact one, at most so large (`low`) or at least so large, its own error included.
fn outward(value: f64, low: bool) -> Outcome<Exact> {
    let slack = value.abs() * SLACK;
    let scale = f64::from(PLACES).exp2();
    let scaled = if low { ((value - slack) * scale).floor() } else { ((value + slack) * scale).ceil() };
    if !scaled.is_finite() || scaled.abs() > 1e37 {
        return Err(Refusal::TooManyDigits);
    }
    #[allow(clippy::cast_possible_truncation)]
    Exact::ratio(scaled as i128, 1 << PLACES).ok_or(Refusal::TooManyDigits)
}

/// Between two floating numbers, rounded outward.
pub fn bounds(low: f64, high: f64) -> Outcome<Interval> {
    Ok(Interval { lo: Some(outward(low, true)?), hi: Some(outward(high, false)?) })
}

/// A number with an error either way, as bounds.
pub fn give_or_take(value: f64, error: f64) -> Outcome<Interval> {
    bounds(value - error, value + error)
}

/// The middle of bounds as a floating number, and half of their width rounded up.
pub fn middle(interval: Interval) -> Outcome<(f64, f64)> {
    match (interval.lo, interval.hi) {
        (Some(lo), Some(hi)) => {
            let (lo, hi) = (lo.to_f64(), hi.to_f64());
            let half = ((hi - lo) / 2.0).max(0.0);
            let middle = lo + half;
            Ok((middle, if half > 0.0 { half * (1.0 + SLACK) + middle.abs() * SLACK } else { 0.0 }))
        }
        _ => Err(Refusal::Unfit("a number has no bound on one side")),
    }
}
