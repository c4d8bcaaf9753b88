//! Built-ins on the sun: for how long in a year it shines into a receiver, and from the other end of the beam. It must not know
//! what is too long.

use super::drawn::beam;
use super::form::{Form, Thing};
use super::lift::{bounds, middle};
use super::{Argument, BuiltIn, Gives, Outcome, Refusal, Result, Run, Takes};
use crate::reckon::sun::{Receiver, SunYear, glare};
use std::sync::LazyLock;

/// A beam with the bearing of its gate and where on earth it stands.
const BEAM_UNDER_SKY: Form = Form {
    of: "beam",
    facts: &["sender", "mate", "style", "acceptance"],
    below: &[],
    above: Some(&Form {
        of: "gate",
        facts: &["bearing"],
        below: &[],
        above: Some(&Form {
            of: "job",
            facts: &[],
            below: &[("location", &Form { of: "place", facts: &["latitude", "longitude"], below: &[], above: None })],
            above: None,
        }),
    }),
};

const PARAMETERS: &[(&str, Takes)] = &[("beam", Takes::Thing(&[&BEAM_UNDER_SKY])), ("usual-half-angle", Takes::Measure("angle"))];
const SOURCE: &str = "solar position algorithm of NREL/TP-560-34302, windows within a minute, open level horizon";

/// The year for which the sun is reckoned: from year to year the windows move by less than a minute a day.
const YEAR: i32 = 2026;

static SUN: LazyLock<Option<SunYear>> = LazyLock::new(|| SunYear::new(YEAR).ok());

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "sun-time",
        parameters: PARAMETERS,
        gives: Gives::Measure("time"),
        doc: "time in a year in which the sun stands over the horizon within the acceptance angle of a beam's receiver; without a data sheet \
              the usual half-angle",
        formula: "angle between the sun and the receiver's axis at most the half-angle",
        source: SOURCE,
        example: "",
        run: Run::Whole(|given| sun_time(given, false)),
    },
    BuiltIn {
        name: "sun-time-turned",
        parameters: PARAMETERS,
        gives: Gives::Measure("time"),
        doc: "time in a year in which the sun would stand within that angle if the receiver were put to the other end of the beam",
        formula: "angle between the sun and the receiver's axis at most the half-angle",
        source: SOURCE,
        example: "",
        run: Run::Whole(|given| sun_time(given, true)),
    },
];

/// How long the sun shines in; a wider cone never sees it for less time, so directions that may be off widen and narrow the cone.
fn sun_time(given: &[Argument], turned: bool) -> Outcome<Result> {
    let thing = given[0].thing()?;
    let sun = SUN.as_ref().ok_or(Refusal::Unfit("the sun cannot be reckoned"))?;
    let (receiver, loose) = receiver(thing, given[1].number().and_then(middle)?.0.to_radians(), turned)?;
    let seconds = |half_angle: f64| -> Outcome<f64> {
        let receiver = Receiver { half_angle: half_angle.clamp(1e-4, std::f64::consts::FRAC_PI_2), ..receiver };
        Ok(glare(sun, 0.0, &receiver)?.total)
    };
    let (low, high) = if loose == 0.0 {
        let total = seconds(receiver.half_angle)?;
        (total, total)
    } else {
        (seconds(receiver.half_angle - loose)?, seconds(receiver.half_angle + loose)?)
    };
    // Windows are right to within a minute at either end; a total is given to the minute.
    Ok(Result::Number(bounds((low - 30.0).max(0.0), high + 30.0)?))
}

/// The receiver of a beam, and by which angle its direction may be off, in radians.
fn receiver(thing: &Thing, usual: f64, turned: bool) -> Outcome<(Receiver, f64)> {
    let (line, off) = beam(thing)?;
    let gate = thing.above()?;
    let place = gate.above()?.list("location")?.first().ok_or(Refusal::Unfit("the job states no location"))?;
    let ((latitude, a), (longitude, b)) = (middle(place.number("latitude")?)?, middle(place.number("longitude")?)?);
    let (bearing, c) = middle(gate.number("bearing")?)?;
    let half = thing.maybe("acceptance")?.map(|fact| fact.number().and_then(middle)).transpose()?;
    let at_mate = matches!(thing.word("style")?, "through-beam" | "light-curtain") != turned;
    let (at, toward) = if at_mate { (line.to(), line.from()) } else { (line.from(), line.to()) };
    let (x, y, z) = (toward.x - at.x, toward.y - at.y, toward.z - at.z);
    // Bearings turn clockwise; the drawing's y lies counter-clockwise of its x.
    let turn = libm::atan2(y, x).to_degrees();
    let receiver = Receiver {
        latitude: latitude.to_radians(),
        longitude: longitude.to_radians(),
        bearing: (bearing - turn).to_radians(),
        tilt: libm::atan2(z, libm::hypot(x, y)),
        half_angle: half.map_or(usual, |(angle, _)| angle.to_radians()),
        skyline: 0.0,
    };
    let loose = (a + b + c).to_radians() + 2.0 * off / line.span() + half.map_or(0.0, |(_, loose)| loose.to_radians());
    Ok((receiver, loose))
}
