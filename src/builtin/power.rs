//! Built-ins on wiring and power: resistance of copper, the voltage that a circuit leaves at a load, batteries, solar arrays,
//! transformers. It must not know which limit is set.

use super::form::{Form, Thing, number, numbers};
use super::lift::{Moves, lifted};
use super::{Argument, BuiltIn, Gives, Outcome, Refusal, Result, Run, Takes};
use crate::quantity::{Exact, Interval, Wire};
use crate::reckon::wire::Build;
use crate::reckon::{Unreckonable, battery, circuit, wire};

const CURRENT: Takes = Takes::Measure("current");
const VOLTAGE: Takes = Takes::Measure("voltage");
const CHARGE: Takes = Takes::Measure("charge");
const POWER: Takes = Takes::Measure("power");
const ENERGY: Takes = Takes::Measure("energy");
const TIME: Takes = Takes::Measure("time");

const RUN: Form = Form { of: "run", facts: &["from", "length", "size", "build", "temperature"], below: &[], above: None };
const GATE: Form = Form {
    of: "gate",
    facts: &[],
    below: &[
        ("runs", &RUN),
        ("loads", &Form { of: "load", facts: &["run", "draw"], below: &[], above: None }),
        ("supplies", &Form { of: "supply", facts: &["voltage"], below: &[], above: None }),
    ],
    above: None,
};
const LOAD: Form = Form { of: "load", facts: &["run", "supply"], below: &[], above: Some(&GATE) };

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "copper-ohms",
        parameters: &[("size", Takes::Wire), ("build", Takes::Word("conductor-build")), ("temperature", Takes::Temperature)],
        gives: Gives::Measure("resistance-per-length"),
        doc: "resistance of one plain copper conductor, one way, as warm as it gets",
        formula: "R75 (1 + 0.00323 (T - 75)) for gauges; R20 (234.5 + T) / 254.5 for metric sizes; by diameter where no table lists it",
        source: "NFPA 70 chapter 9 table 8 and note 2; IEC 60228; ASTM B258",
        example: "copper-ohms(12 AWG, stranded, 75 °C) at most 1.981 ohm/kft",
        run: Run::Whole(|given| {
            let (size, build) = (given[0].wire()?, given[1].word()?);
            Ok(Result::Number(lifted(&[given[2].number()?], &[Moves::Up], |x| ohms(size, build == "solid", x[0]))?))
        }),
    },
    BuiltIn {
        name: "longest-run",
        parameters: &[("drop", VOLTAGE), ("ohms", Takes::Measure("resistance-per-length")), ("current", CURRENT)],
        gives: Gives::Measure("length"),
        doc: "longest run, one way, that loses no more voltage there and back",
        formula: "L = ΔU / (2 R I)",
        source: "Ohm's law",
        example: "longest-run(2.4 V, 1.98 ohm/kft, 2 A) at least 303 ft",
        run: Run::Whole(|given| {
            let loss = number(given, 1)?.mul(number(given, 2)?)?.mul(Interval::point(Exact::whole(2)))?;
            Ok(Result::Number(number(given, 0)?.div(loss)?))
        }),
    },
    BuiltIn {
        name: "volts-at",
        parameters: &[("load", Takes::Thing(&[&LOAD]))],
        gives: Gives::Measure("voltage"),
        doc: "voltage left at a load: the supply's, less what every run on the way loses with all the loads that it carries drawing at once",
        formula: "U - Σ 2 L R I, where I is the sum of the loads beyond",
        source: "Kirchhoff's laws for constant currents; copper as in copper-ohms, 75 °C where no temperature is stated",
        example: "",
        run: Run::Whole(|given| volts_at(given[0].thing()?)),
    },
    BuiltIn {
        name: "transformer-rating",
        parameters: &[("power", POWER), ("efficiency", Takes::Plain), ("power-factor", Takes::Plain), ("margin", Takes::Plain)],
        gives: Gives::Measure("power"),
        doc: "rating that a transformer or power unit needs for a power drawn from it",
        formula: "S = P / (η cos φ) (1 + margin)",
        source: "electrical engineering",
        example: "transformer-rating(40 W, 80 %, 1, 25 %) at most 63 VA",
        run: Run::Whole(|given| {
            shares(&given[1..3])?;
            let through = number(given, 1)?.mul(number(given, 2)?)?;
            let more = number(given, 3)?.add(Interval::point(Exact::ONE))?;
            Ok(Result::Number(number(given, 0)?.div(through)?.mul(more)?))
        }),
    },
    BuiltIn {
        name: "battery-time",
        parameters: &[("capacity", CHARGE), ("rate", TIME), ("exponent", Takes::Plain), ("current", CURRENT)],
        gives: Gives::Measure("time"),
        doc: "time for which a battery gives a current, from its capacity at the rate on its data sheet",
        formula: "t = H (C / (I H))^k",
        source: "Peukert's law, published",
        example: "battery-time(33 Ah, 20 h, 1.15, 5 A) at most 5.6 h",
        run: Run::Whole(peukert),
    },
    BuiltIn {
        name: "cold-factor",
        parameters: &[("temperature", Takes::Temperature)],
        gives: Gives::Measure("ratio"),
        doc: "how many times the capacity a lead-acid battery needs at a temperature",
        formula: "straight between the rows of the published table, 80 °F to 20 °F",
        source: "a battery sizing page after the method of IEEE 1013, published",
        example: "cold-factor(20 °F) at most 1.59001",
        run: Run::Whole(|given| {
            let celsius = |x: &[f64]| battery::lead_temperature_factor(x[0] - KELVIN);
            Ok(Result::Number(lifted(&numbers(given)?, &[Moves::Down], celsius)?))
        }),
    },
    BuiltIn {
        name: "days-without-sun",
        parameters: &[("capacity", CHARGE), ("daily", CHARGE), ("depth", Takes::Plain), ("cold", Takes::Plain), ("aged", Takes::Plain)],
        gives: Gives::Measure("ratio"),
        doc: "days for which a battery carries a daily charge: its usable depth, the cold and its age taken off",
        formula: "d = C depth aged / (cold Q)",
        source: "simplified method of IEEE 1013, published",
        example: "days-without-sun(33 Ah, 6 Ah, 50 %, 1.4, 80 %) at most 1.6",
        run: Run::Whole(|given| {
            shares(&[given[2].clone(), given[4].clone()])?;
            let usable = number(given, 0)?.mul(number(given, 2)?)?.mul(number(given, 4)?)?;
            Ok(Result::Number(usable.div(number(given, 3)?)?.div(number(given, 1)?)?))
        }),
    },
    BuiltIn {
        name: "array-needed",
        parameters: &[("energy", ENERGY), ("sun", TIME), ("efficiency", Takes::Plain), ("ratio", Takes::Plain)],
        gives: Gives::Measure("power"),
        doc: "rating of a solar array for a daily energy, peak sun hours of the worst month, efficiency and array-to-load ratio",
        formula: "P = E / (h η) r",
        source: "simplified method of IEEE 1562, published",
        example: "array-needed(144 Wh, 4 h, 70 %, 1.2) at most 62 W",
        run: Run::Whole(|given| {
            shares(&given[2..3])?;
            let harvest = number(given, 1)?.mul(number(given, 2)?)?;
            Ok(Result::Number(number(given, 0)?.div(harvest)?.mul(number(given, 3)?)?))
        }),
    },
];

/// Absolute nought below the freezing point, in kelvin.
const KELVIN: f64 = 273.15;

/// Parts of a whole lie above 0 and are at most 1.
fn shares(given: &[Argument]) -> Outcome<()> {
    for share in given {
        let share = share.number()?;
        if share.lo.is_some_and(|lo| lo <= Exact::ZERO) || share.hi.is_some_and(|hi| hi > Exact::ONE) {
            return Err(Refusal::Unfit("a part of a whole lies outside of 0 to 100 %"));
        }
    }
    Ok(())
}

/// Time falls as the current rises, and rises with the capacity; with the rate and the exponent it goes either way.
fn peukert(given: &[Argument]) -> Outcome<Result> {
    let fixed = |at: usize| number(given, at)?.as_point().ok_or(Refusal::Unfit("the rate and the exponent must be exact"));
    let (rate, exponent) = (fixed(1)?.to_f64(), fixed(2)?.to_f64());
    let time = |x: &[f64]| battery::peukert_time(x[0], rate, exponent, x[1]);
    Ok(Result::Number(lifted(&[number(given, 0)?, number(given, 3)?], &[Moves::Up, Moves::Down], time)?))
}

/// Ohms per metre of a plain conductor at a temperature in kelvin.
fn ohms(size: Wire, solid: bool, kelvin: f64) -> std::result::Result<f64, Unreckonable> {
    let celsius = kelvin - KELVIN;
    match size {
        Wire::Awg(number) => {
            let build = if solid { Build::Solid } else { Build::Stranded };
            let gauge = i32::from(number);
            wire::gauge_resistance(gauge, build, celsius).or_else(|_| wire::nominal_gauge_resistance(gauge, build, celsius))
        }
        // The standard sets one limit for solid and stranded.
        Wire::Metric(area) => wire::metric_resistance(area.to_f64(), celsius),
        Wire::Kcmil(size) => {
            let area = size.to_f64() * 1000.0 * wire::CIRCULAR_MIL;
            wire::resistance_at(1.04 * wire::COPPER_RESISTIVITY / area, 20.0, celsius)
        }
    }
}

/// Every end of a longer, thinner, warmer or more loaded circuit moves the voltage down, so both corners bound it.
fn volts_at(load: &Thing) -> Outcome<Result> {
    let gate = load.above()?;
    let (supplies, runs, loads) = (gate.list("supplies")?, gate.list("runs")?, gate.list("loads")?);
    let fed_by = load.word("supply")?;
    let supply = supplies.iter().find(|supply| supply.id == Some(fed_by));
    let supply = supply.ok_or(Refusal::Unfit("the load names a supply that the gate does not list"))?;
    let way = load.word("run")?;
    let order = from_the_supply(runs)?;
    let at = order.iter().position(|run| runs[*run].id == Some(way));
    let at = at.ok_or(Refusal::Unfit("the load names a run that the gate does not list"))?;
    let volts = supply.number("voltage")?;
    let mut lengths = Vec::with_capacity(order.len());
    let mut currents = vec![Interval::point(Exact::ZERO); order.len()];
    // Runs beside the way add their currents; how long they are does not matter.
    let on_way = way_to(runs, &order, at)?;
    for (place, run) in order.iter().enumerate() {
        if on_way.contains(&place) {
            runs[*run].demand(&["length", "size"])?;
            lengths.push(runs[*run].number("length")?);
        } else {
            lengths.push(Interval::point(Exact::ZERO));
        }
    }
    for other in loads {
        let Some(run) = other.maybe("run")? else { continue };
        let run = run.word()?;
        if let Some(place) = order.iter().position(|at| runs[*at].id == Some(run)) {
            currents[place] = currents[place].add(other.number("draw")?)?;
        }
    }
    let side = |low: bool| -> Outcome<Interval> {
        let pick = |interval: Interval, high: bool| if high { interval.hi } else { interval.lo }.map(Exact::to_f64);
        let mut circuit = Vec::with_capacity(order.len());
        for (place, run) in order.iter().enumerate() {
            let (length, current) = (pick(lengths[place], low), pick(currents[place], low));
            let (Some(length), Some(current)) = (length, current) else { return Err(Refusal::Waits(Vec::new())) };
            let ohms = if on_way.contains(&place) { ohms_of(&runs[*run], low)? } else { 0.0 };
            circuit.push(circuit::Run { from: start_of(runs, &order, *run)?, length, ohms, current });
        }
        let volts = pick(volts, !low).ok_or(Refusal::Waits(Vec::new()))?;
        let left = circuit::run_voltages(volts, &circuit)?[at];
        super::lift::bounds(left, left)
    };
    Ok(Result::Number(Interval { lo: side(true)?.lo, hi: side(false)?.hi }))
}

/// Positions in the order of the runs from the supply to one of them.
fn way_to(runs: &[Thing], order: &[usize], end: usize) -> Outcome<Vec<usize>> {
    let mut way = vec![end];
    while let Some(before) = start_of(runs, order, order[way[way.len() - 1]])? {
        way.push(before);
    }
    Ok(way)
}

fn ohms_of(run: &Thing, warm: bool) -> Outcome<f64> {
    let size = run.fact("size")?.wire()?;
    let solid = run.maybe("build")?.is_some_and(|build| build.word() == Ok("solid"));
    let kelvin = match run.maybe("temperature")? {
        Some(temperature) => {
            let bounds = temperature.number()?;
            if warm { bounds.hi } else { bounds.lo }.map_or(75.0 + KELVIN, Exact::to_f64)
        }
        None => 75.0 + KELVIN,
    };
    Ok(ohms(size, solid, kelvin)?)
}

/// Positions of the runs, each after the one that it goes on from.
fn from_the_supply(runs: &[Thing]) -> Outcome<Vec<usize>> {
    let mut order: Vec<usize> = Vec::with_capacity(runs.len());
    while order.len() < runs.len() {
        let before = order.len();
        for (at, run) in runs.iter().enumerate() {
            if order.contains(&at) {
                continue;
            }
            let from = run.maybe("from")?.map(Argument::word).transpose()?;
            let start = from.and_then(|from| runs.iter().position(|other| other.id == Some(from)));
            if start.is_none_or(|start| order.contains(&start)) {
                order.push(at);
            }
        }
        if order.len() == before {
            return Err(Refusal::Unfit("runs go on from each other in a circle"));
        }
    }
    Ok(order)
}

fn start_of(runs: &[Thing], order: &[usize], run: usize) -> Outcome<Option<usize>> {
    let Some(from) = runs[run].maybe("from")? else { return Ok(None) };
    let from = from.word()?;
    Ok(order.iter().position(|at| runs[*at].id == Some(from)))
}
