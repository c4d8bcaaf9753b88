//! Owns voltage along conductors: one run, the longest run, and a branching tree with shared returns. It must not know wire tables.

use super::number::{answer, finite, not_negative, positive, some};
use super::unreckonable::Unreckonable;

/// Most conductors or loads taken in one circuit.
pub const MOST: usize = 10_000;

/// Voltage in volts lost there and back on a run `length` metres long (one way) at `ohms` Ω/m a conductor with `current` amperes.
///
/// Source: Ohm's law for two equal conductors. Errors: a number negative.
pub fn loop_drop(length: f64, ohms: f64, current: f64) -> Result<f64, Unreckonable> {
    let one_way = not_negative("length of the run", length)? * not_negative("resistance per metre", ohms)?;
    answer("voltage drop", 2.0 * one_way * not_negative("current", current)?)
}

/// Voltage in volts lost between conductors of a balanced three-phase run, otherwise as for [`loop_drop`]. Reactance is left out.
///
/// Source: √3 in place of 2. Errors: a number negative.
pub fn three_phase_drop(length: f64, ohms: f64, current: f64) -> Result<f64, Unreckonable> {
    answer("voltage drop", loop_drop(length, ohms, current)? * (libm::sqrt(3.0) / 2.0))
}

/// Voltage in volts lost there and back, from the `resistivity` in Ω·m and the `area` of one conductor in m².
///
/// Source: the trade's K method, 2 K I D / CM. Errors: a number negative, `area` not positive.
pub fn loop_drop_by_area(length: f64, resistivity: f64, area: f64, current: f64) -> Result<f64, Unreckonable> {
    let ohms = not_negative("resistivity", resistivity)? / positive("conductor area", area)?;
    loop_drop(length, ohms, current)
}

/// Longest run in metres (one way) that loses at most `drop` volts at `ohms` Ω/m a conductor with `current` amperes.
///
/// Source: [`loop_drop`] turned round. Errors: `drop` negative, `ohms` or `current` not positive.
pub fn longest_run(drop: f64, ohms: f64, current: f64) -> Result<f64, Unreckonable> {
    let per_metre = 2.0 * positive("resistance per metre", ohms)? * positive("current", current)?;
    answer("longest run", not_negative("permitted voltage drop", drop)? / per_metre)
}

/// Largest resistance in Ω/m of a conductor on a run `length` metres long that may lose `drop` volts with `current` amperes.
///
/// Source: [`loop_drop`] turned round. Errors: `drop` negative, `length` or `current` not positive.
pub fn largest_resistance(drop: f64, length: f64, current: f64) -> Result<f64, Unreckonable> {
    let per_ohm = 2.0 * positive("length of the run", length)? * positive("current", current)?;
    answer("resistance per metre", not_negative("permitted voltage drop", drop)? / per_ohm)
}

/// One conductor of a branching circuit, from the end of another or from the supply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Place in the list (from 0, before this one's own) of the conductor that it goes on from; none where it starts at the supply.
    pub from: Option<usize>,
    /// Length in metres.
    pub length: f64,
    /// Resistance in Ω/m, at its temperature.
    pub ohms: f64,
}

/// A device and the two conductors at whose far ends it hangs; none means right at the supply's terminal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Place in the list of the conductor that feeds it.
    pub feed: Option<usize>,
    /// Place in the list of the conductor that brings its current back.
    pub back: Option<usize>,
    /// Current in amperes, taken to be the same at any voltage.
    pub current: f64,
}

/// What a circuit does.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// Voltage at each load in volts, in the order given. Less than zero says that the supply cannot carry the loads.
    pub volts: Vec<f64>,
    /// Current in each conductor in amperes, in the order given.
    pub currents: Vec<f64>,
    /// Current that the supply gives, in amperes.
    pub supplied: f64,
}

/// Voltages and currents in a branching circuit: any tree of feeding conductors and any tree of returns, shared as they are wired.
///
/// `volts` is the supply's open voltage and `inner` its own resistance in Ω (0 where its voltage is held). A shared conductor carries the sum
/// of its loads. Source: Kirchhoff's laws for constant currents. Exact but for rounding, below a part in 10¹² of the supply voltage for
/// circuits of up to 100 conductors. Errors: a number negative or not finite, `volts` not positive, a place that is not in the list or
/// not before its user, a conductor that feeds and returns, more than [`MOST`] of either, no load.
pub fn voltages(volts: f64, inner: f64, conductors: &[Conductor], loads: &[Load]) -> Result<Flow, Unreckonable> {
    let volts = positive("supply voltage", volts)?;
    let inner = not_negative("resistance of the supply", inner)?;
    if conductors.len() > MOST {
        return Err(Unreckonable::TooMany { what: "conductors", count: conductors.len(), most: MOST });
    }
    let loads = some("load", loads, MOST)?;
    for (at, conductor) in conductors.iter().enumerate() {
        not_negative("length of the run", conductor.length)?;
        not_negative("resistance per metre", conductor.ohms)?;
        if let Some(from) = conductor.from.filter(|&from| from >= at) {
            return Err(Unreckonable::UnknownStart { which: at + 1, from: from.saturating_add(1) });
        }
    }
    let ways = [gather(conductors, loads, |load| load.feed)?, gather(conductors, loads, |load| load.back)?];
    let [feeding, returning] = &ways;
    let both = feeding.uses.iter().zip(&returning.uses).position(|(fed, back)| *fed && *back);
    if let Some(at) = both {
        return Err(Unreckonable::FeedAndReturn { which: at + 1 });
    }
    let supplied = feeding.total;
    let lost = [losses(conductors, feeding), losses(conductors, returning)];
    let at_load = |load: &Load| {
        let along = |way: &[f64], end: Option<usize>| end.and_then(|end| way.get(end)).copied().unwrap_or(0.0);
        answer("voltage at a load", volts - inner * supplied - along(&lost[0], load.feed) - along(&lost[1], load.back))
    };
    let volts = loads.iter().map(at_load).collect::<Result<_, _>>()?;
    let currents = feeding.currents.iter().zip(&returning.currents).map(|(fed, back)| fed + back).collect();
    Ok(Flow { volts, currents, supplied })
}

/// Currents of one way, feeding or returning.
struct Way {
    currents: Vec<f64>,
    uses: Vec<bool>,
    total: f64,
}

/// Adds each load to the conductor it hangs on, then each conductor to the one it goes on from.
fn gather(conductors: &[Conductor], loads: &[Load], end: impl Fn(&Load) -> Option<usize>) -> Result<Way, Unreckonable> {
    let mut way = Way { currents: vec![0.0; conductors.len()], uses: vec![false; conductors.len()], total: 0.0 };
    for (at, load) in loads.iter().enumerate() {
        let current = not_negative("current of a load", load.current)?;
        way.total = answer("sum of the currents", way.total + current)?;
        if let Some(end) = end(load) {
            let unknown = Unreckonable::UnknownStart { which: at + 1, from: end.saturating_add(1) };
            *way.currents.get_mut(end).ok_or(unknown)? += current;
            way.uses[end] = true;
        }
    }
    for at in (0..conductors.len()).rev() {
        if let Some(from) = conductors[at].from {
            way.currents[from] += way.currents[at];
            way.uses[from] |= way.uses[at];
        }
    }
    Ok(way)
}

/// Volts lost from the supply to the far end of each conductor.
fn losses(conductors: &[Conductor], way: &Way) -> Vec<f64> {
    let mut lost: Vec<f64> = Vec::with_capacity(conductors.len());
    for (conductor, current) in conductors.iter().zip(&way.currents) {
        let before = conductor.from.and_then(|from| lost.get(from)).copied().unwrap_or(0.0);
        lost.push(before + conductor.length * conductor.ohms * current);
    }
    lost
}

/// A run of two conductors with what hangs at its far end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Place in the list (from 0, before this one's own) of the run that it goes on from; none where it starts at the supply.
    pub from: Option<usize>,
    /// Length in metres, one way.
    pub length: f64,
    /// Resistance of each conductor in Ω/m, at its temperature.
    pub ohms: f64,
    /// Current in amperes of the device at its far end; 0 where there is none.
    pub current: f64,
}

/// Voltage in volts at the far end of each run of a branching tree, every run with its own pair of conductors.
///
/// Source and errors: as for [`voltages`], of which it is the usual case.
pub fn run_voltages(volts: f64, inner: f64, runs: &[Run]) -> Result<Vec<f64>, Unreckonable> {
    some("run", runs, MOST / 2)?;
    let mut conductors = Vec::with_capacity(runs.len() * 2);
    let mut loads = Vec::with_capacity(runs.len());
    for (at, run) in runs.iter().enumerate() {
        finite("length of the run", run.length)?;
        if let Some(from) = run.from.filter(|&from| from >= at) {
            return Err(Unreckonable::UnknownStart { which: at + 1, from: from.saturating_add(1) });
        }
        for side in 0..2 {
            conductors.push(Conductor { from: run.from.map(|from| 2 * from + side), length: run.length, ohms: run.ohms });
        }
        loads.push(Load { feed: Some(2 * at), back: Some(2 * at + 1), current: run.current });
    }
    Ok(voltages(volts, inner, &conductors, &loads)?.volts)
}
