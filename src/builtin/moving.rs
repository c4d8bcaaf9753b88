//! Built-ins on moving and standing leaves: speed, energy, stopping, force at the hinge, recorded force, wind. Those that are
//! sums, products and quotients are exact. It must not know records.

use super::form::{number, numbers};
use super::lift::{Moves, bounds, lifted};
use super::{Argument, BuiltIn, Gives, Outcome, Refusal, Result, Run, Takes};
use crate::quantity::{Exact, Interval};
use crate::reckon::{force, leaf, wind};

const LENGTH: Takes = Takes::Measure("length");
const SPEED: Takes = Takes::Measure("speed");
const TIME: Takes = Takes::Measure("time");
const MASS: Takes = Takes::Measure("mass");
const FORCE: Takes = Takes::Measure("force");
const RECORDING: Takes = Takes::Recording("force");

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "run-time",
        parameters: &[("travel", LENGTH), ("speed", SPEED)],
        gives: Gives::Measure("time"),
        doc: "time for a travel at a steady speed",
        formula: "t = s / v",
        source: "mechanics",
        example: "run-time(20 ft, 1 ft/s) at most 20 s",
        run: Run::Whole(|given| Ok(Result::Number(number(given, 0)?.div(number(given, 1)?)?))),
    },
    BuiltIn {
        name: "tip-speed",
        parameters: &[("length", LENGTH), ("angle", Takes::Measure("angle")), ("time", TIME)],
        gives: Gives::Measure("speed"),
        doc: "mean speed of the leading edge of a leaf that turns",
        formula: "v = r φ / t, φ in radians",
        source: "mechanics",
        example: "tip-speed(12 ft, 90 deg, 15 s) at most 1.3 ft/s",
        run: Run::Whole(|given| {
            Ok(Result::Number(lifted(&numbers(given)?, &[Moves::Up, Moves::Up, Moves::Down], |x| {
                leaf::mean_tip_speed(x[0], x[1].to_radians(), x[2])
            })?))
        }),
    },
    BuiltIn {
        name: "sliding-energy",
        parameters: &[("mass", MASS), ("speed", SPEED)],
        gives: Gives::Measure("energy"),
        doc: "kinetic energy of a leaf that moves straight",
        formula: "E = m v² / 2",
        source: "mechanics",
        example: "sliding-energy(400 kg, 0.3 m/s) at most 18 J",
        run: Run::Whole(|given| Ok(Result::Number(energy(given, 2)?))),
    },
    BuiltIn {
        name: "swinging-energy",
        parameters: &[("mass", MASS), ("tip-speed", SPEED)],
        gives: Gives::Measure("energy"),
        doc: "kinetic energy of an even leaf that turns about its end, from the speed of its leading edge",
        formula: "E = m v² / 6, since I = m r² / 3",
        source: "mechanics",
        example: "swinging-energy(300 kg, 0.4 m/s) at most 8 J",
        run: Run::Whole(|given| Ok(Result::Number(energy(given, 6)?))),
    },
    BuiltIn {
        name: "stopping-distance",
        parameters: &[("speed", SPEED), ("response", TIME), ("deceleration", Takes::Measure("acceleration"))],
        gives: Gives::Measure("length"),
        doc: "distance from a signal to standstill: all response times together, then an even loss of speed",
        formula: "s = v t + v² / (2 a)",
        source: "mechanics",
        example: "stopping-distance(0.3 m/s, 0.2 s, 0.5 m/s²) at most 15 cm",
        run: Run::Whole(|given| {
            let [speed, time, loss] = [number(given, 0)?, number(given, 1)?, number(given, 2)?];
            let rolling = speed.pow(2)?.div(loss.mul(Interval::point(Exact::whole(2)))?)?;
            Ok(Result::Number(speed.mul(time)?.add(rolling)?))
        }),
    },
    BuiltIn {
        name: "force-at-radius",
        parameters: &[("tip-force", FORCE), ("tip-radius", LENGTH), ("radius", LENGTH)],
        gives: Gives::Measure("force"),
        doc: "force at a distance from the hinge, from the force at the tip",
        formula: "F = F tip · r tip / r",
        source: "mechanics: one torque",
        example: "force-at-radius(150 N, 3 m, 0.5 m) at most 900 N",
        run: Run::Whole(|given| Ok(Result::Number(number(given, 0)?.mul(number(given, 1)?)?.div(number(given, 2)?)?))),
    },
    BuiltIn {
        name: "hinge-pull",
        parameters: &[("mass", MASS), ("reach", LENGTH), ("spacing", LENGTH)],
        gives: Gives::Measure("force"),
        doc: "level force at each of two hinges from the weight of a leaf whose centre of mass reaches out so far",
        formula: "H = m g a / h",
        source: "mechanics: the couple of both hinges",
        example: "hinge-pull(300 kg, 1.8 m, 1.2 m) at most 4.42 kN",
        run: Run::Whole(|given| {
            let moves = [Moves::Up, Moves::Up, Moves::Down];
            Ok(Result::Number(lifted(&numbers(given)?, &moves, |x| leaf::hinge_pull(x[0], x[1], x[2]))?))
        }),
    },
    BuiltIn {
        name: "downhill-force",
        parameters: &[("mass", MASS), ("slope", Takes::Plain)],
        gives: Gives::Measure("force"),
        doc: "force that pulls a leaf down a slope, rise over run",
        formula: "F = m g sin(atan(i))",
        source: "mechanics",
        example: "downhill-force(500 kg, 2 %) at most 99 N",
        run: Run::Whole(|given| {
            Ok(Result::Number(lifted(&numbers(given)?, &[Moves::Up, Moves::Up], |x| leaf::downhill_force(x[0], x[1]))?))
        }),
    },
    BuiltIn {
        name: "peak-of",
        parameters: &[("recording", RECORDING)],
        gives: Gives::Measure("force"),
        doc: "the largest value of {recording}",
        formula: "max F(t)",
        source: "EN 12453, evaluation of the force curve, from memory",
        example: "",
        run: Run::Whole(|given| {
            let peak = given[0].recording()?.samples.iter().map(|(_, force)| *force).max();
            peak.map(|peak| Result::Number(Interval::point(peak))).ok_or(Refusal::Unfit("the recording is empty"))
        }),
    },
    BuiltIn {
        name: "time-above",
        parameters: &[("recording", RECORDING), ("level", FORCE)],
        gives: Gives::Measure("time"),
        doc: "time from the first moment above a level to the last, dips included; a recording that ends above it tells no time",
        formula: "straight from sample to sample",
        source: "EN 12453, evaluation of the force curve, from memory",
        example: "",
        run: Run::Whole(time_above),
    },
    BuiltIn {
        name: "wind-pressure",
        parameters: &[("speed", SPEED)],
        gives: Gives::Measure("pressure"),
        doc: "velocity pressure of air of 1.225 kg/m³",
        formula: "q = ρ v² / 2",
        source: "mechanics; density of the standard atmosphere",
        example: "wind-pressure(30 m/s) at most 552 Pa",
        run: Run::Whole(|given| {
            let half = Exact::ratio(1225, 2000).ok_or(Refusal::TooManyDigits)?;
            Ok(Result::Number(number(given, 0)?.pow(2)?.mul(Interval::point(half))?))
        }),
    },
    BuiltIn {
        name: "wind-force",
        parameters: &[
            ("width", LENGTH),
            ("height", LENGTH),
            ("solidity", Takes::Plain),
            ("coefficient", Takes::Plain),
            ("pressure", Takes::Measure("pressure")),
        ],
        gives: Gives::Measure("force"),
        doc: "wind force on a leaf: its solid part, a force coefficient, the velocity pressure",
        formula: "F = b h φ c q",
        source: "mechanics; handbook coefficients",
        example: "wind-force(4 m, 1.8 m, 30 %, 1.6, 500 Pa) at most 1.8 kN",
        run: Run::Whole(|given| {
            let sail = given.iter().skip(1).try_fold(number(given, 0)?, |force, next| Ok::<_, Refusal>(force.mul(next.number()?)?));
            let solid = number(given, 2)?;
            if solid.lo.is_some_and(Exact::is_negative) || solid.hi.is_some_and(|most| most > Exact::ONE) {
                return Err(Refusal::Unfit("the solidity lies outside of 0 to 1"));
            }
            Ok(Result::Number(sail?))
        }),
    },
    BuiltIn {
        name: "bar-coefficient",
        parameters: &[("solidity", Takes::Plain)],
        gives: Gives::Measure("ratio"),
        doc: "force coefficient of a leaf of flat bars by its solid part, up to 70 %",
        formula: "2.0 below 10 %, 1.8 below 30 %, 1.6 above",
        source: "a table of a wind code, from memory",
        example: "bar-coefficient(20 %) at most 1.8",
        run: Run::Whole(|given| {
            // It falls by steps as the solid part grows, and each step is a tenth.
            let at = |end: Option<Exact>| -> Outcome<Option<Exact>> {
                let Some(end) = end else { return Ok(None) };
                #[allow(clippy::cast_possible_truncation)]
                let tenths = (wind::bar_coefficient(end.to_f64())? * 10.0).round() as i128;
                Ok(Exact::ratio(tenths, 10))
            };
            let solidity = number(given, 0)?;
            Ok(Result::Number(Interval { lo: at(solidity.hi)?, hi: at(solidity.lo)? }))
        }),
    },
];

fn energy(given: &[Argument], divisor: i128) -> Outcome<Interval> {
    let (mass, speed) = (number(given, 0)?, number(given, 1)?);
    Ok(mass.mul(speed.pow(2)?)?.div(Interval::point(Exact::whole(divisor)))?)
}

fn time_above(given: &[Argument]) -> Outcome<Result> {
    let recording = given[0].recording()?;
    let samples: Vec<force::Sample> =
        recording.samples.iter().map(|(time, force)| force::Sample { time: time.to_f64(), force: force.to_f64() }).collect();
    let level = number(given, 1)?;
    let span = |level: Option<Exact>| -> Outcome<Option<f64>> {
        let Some(level) = level else { return Ok(None) };
        let above = force::time_above(&samples, level.to_f64())?;
        if above.unfinished {
            return Err(Refusal::Unfit("the recording ends while the force is still above the level"));
        }
        Ok(Some(above.span))
    };
    // The time above a level never rises with the level.
    let (short, long) = (span(level.hi)?, span(level.lo)?);
    match (short, long) {
        (Some(short), Some(long)) => Ok(Result::Number(bounds(short, long)?)),
        _ => Err(Refusal::Waits(Vec::new())),
    }
}
