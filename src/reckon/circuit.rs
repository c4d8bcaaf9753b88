//! Owns the voltage along a branching tree of cable runs. It must not know wire tables.

use super::number::{answer, not_negative, positive, some};
use super::unreckonable::Unreckonable;

/// Most runs taken in one circuit.
pub const MOST: usize = 5_000;

/// A run of two conductors with what hangs at its far end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Place in the list (from 0, before this one's own) of the run that it goes on from; none where it starts at the supply.
    pub from: Option<usize>,
    /// Length in metres, one way.
    pub length: f64,
    /// Resistance of each conductor in Ω/m, at its temperature.
    pub ohms: f64,
    /// Current in amperes of the device at its far end, taken to be the same at any voltage; 0 where there is none.
    pub current: f64,
}

/// Voltage in volts at the far end of each run of a branching tree, in the order given. Less than zero says that the supply cannot carry
/// the loads.
///
/// Source: Kirchhoff's laws for constant currents: a run carries its own load and those of all runs that go on from it, there and back.
/// Exact but for rounding, below a part in 10¹² of the supply voltage for circuits of up to 100 runs. Errors: a number negative or not
/// finite, `volts` not positive, a run that goes on from itself, a later one or none in the list, more than [`MOST`] runs, no run.
pub fn run_voltages(volts: f64, runs: &[Run]) -> Result<Vec<f64>, Unreckonable> {
    let volts = positive("supply voltage", volts)?;
    let mut currents = Vec::with_capacity(runs.len());
    for (at, run) in some("run", runs, MOST)?.iter().enumerate() {
        not_negative("length of the run", run.length)?;
        not_negative("resistance per metre", run.ohms)?;
        currents.push(not_negative("current of a load", run.current)?);
        if let Some(from) = run.from.filter(|&from| from >= at) {
            return Err(Unreckonable::UnknownStart { which: at + 1, from: from.saturating_add(1) });
        }
    }
    for (at, run) in runs.iter().enumerate().rev() {
        if let Some(from) = run.from {
            currents[from] += currents[at];
        }
    }
    let mut left: Vec<f64> = Vec::with_capacity(runs.len());
    for (run, current) in runs.iter().zip(currents) {
        let before = run.from.map_or(volts, |from| left[from]);
        left.push(answer("voltage at a load", before - 2.0 * run.length * run.ohms * current)?);
    }
    Ok(left)
}
