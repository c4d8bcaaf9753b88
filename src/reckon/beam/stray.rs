//! Owns stray light: whether one pair's sender reaches another pair's receiver, straight or over a reflector, and how far shiny surfaces
//! must keep from a beam. It must not know which mounting a code prescribes.

use std::f64::consts::{FRAC_PI_2, PI};

use super::line::Beam;
use crate::reckon::geometry::{Point3, Unreckonable, angle, positive};

/// Slack for rounding at an angle or reach that is just met, which counts as reached.
const HAIR: f64 = 1e-9;

/// How a pair works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Optics {
    /// A sender on one side and a receiver on the other.
    ThroughBeam,
    /// Sender and receiver in one housing, with a reflector opposite.
    RetroReflective {
        /// Half-angle about the reflector's axis from which it takes light, in radians.
        reflector: f64,
        /// Half-angle about the way back to the sender into which it returns light, in radians.
        spread: f64,
    },
}

/// A sender and a receiver that belong together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// From the sender to the receiver, or from the housing to the reflector.
    pub beam: Beam,
    /// How it works.
    pub optics: Optics,
    /// Half-angle of the sender's light about the beam, in radians.
    pub emission: f64,
    /// Half-angle about the beam within which the receiver takes light, in radians.
    pub acceptance: f64,
    /// The longest way of the sender's light that a receiver can still notice, in metres: at least the rated range, and at least twice
    /// that for a pair with a reflector, whose light goes there and back.
    pub reach: f64,
}

/// A way by which light can stray.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Straight from sender to receiver.
    Straight,
    /// Over the sending pair's reflector.
    OwnReflector,
    /// Over the receiving pair's reflector.
    TheirReflector,
}

/// Light on one way from one pair's sender to another pair's receiver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stray {
    /// The way.
    pub way: Way,
    /// Whether it arrives. An angle or reach that is just met counts.
    pub arrives: bool,
    /// By how much the worst angle passes its limit, in radians; negative when all are within.
    pub off_by: f64,
    /// By how much the way is longer than the reach, in metres; negative when it is within.
    pub too_far_by: f64,
    /// Length of the way, in metres.
    pub length: f64,
}

impl Pair {
    fn checked(&self) -> Result<(), Unreckonable> {
        angle("half-angle of the sender", self.emission, 0.0, FRAC_PI_2)?;
        angle("half-angle of the receiver", self.acceptance, 0.0, FRAC_PI_2)?;
        positive("reach of the sender", self.reach)?;
        if let Optics::RetroReflective { reflector, spread } = self.optics {
            angle("half-angle of the reflector", reflector, 0.0, FRAC_PI_2)?;
            angle("half-angle of the returned light", spread, 0.0, FRAC_PI_2)?;
        }
        Ok(())
    }

    /// Where the receiver is, and the direction in which it looks.
    fn listens(&self) -> (Point3, Point3) {
        match self.optics {
            Optics::ThroughBeam => (self.beam.to(), self.beam.from() - self.beam.to()),
            Optics::RetroReflective { .. } => (self.beam.from(), self.beam.to() - self.beam.from()),
        }
    }
}

/// Every way by which light of one pair could stray into the receiver of another, and whether it arrives. To judge two pairs ask both
/// ways round.
pub fn stray_light(from: &Pair, into: &Pair) -> Result<Vec<Stray>, Unreckonable> {
    from.checked()?;
    into.checked()?;
    let mut ways = vec![straight(from, into)];
    for (way, pair) in [(Way::OwnReflector, from), (Way::TheirReflector, into)] {
        if let Optics::RetroReflective { reflector, spread } = pair.optics {
            ways.push(over_reflector(from, into, way, (pair.beam, reflector, spread)));
        }
    }
    Ok(ways)
}

/// Whether any light of one pair arrives at the receiver of the other.
pub fn cross_talk(from: &Pair, into: &Pair) -> Result<bool, Unreckonable> {
    Ok(stray_light(from, into)?.iter().any(|stray| stray.arrives))
}

fn straight(from: &Pair, into: &Pair) -> Stray {
    let sender = from.beam.from();
    let (receiver, looks) = into.listens();
    let way = receiver - sender;
    let length = way.length();
    // Sender and receiver at one point see each other, whatever their directions.
    if length <= HAIR {
        return Stray { way: Way::Straight, arrives: true, off_by: -PI, too_far_by: -from.reach, length };
    }
    let off_by = (way.angle_to(from.beam.to() - sender) - from.emission).max((way * -1.0).angle_to(looks) - into.acceptance);
    weighed(Way::Straight, off_by, length, from.reach)
}

fn over_reflector(from: &Pair, into: &Pair, way: Way, (beam, takes, spread): (Beam, f64, f64)) -> Stray {
    let (sender, mirror) = (from.beam.from(), beam.to());
    let (receiver, looks) = into.listens();
    let (there, back) = (mirror - sender, receiver - mirror);
    let off_by = [
        there.angle_to(from.beam.to() - sender) - from.emission,
        (there * -1.0).angle_to(beam.from() - mirror) - takes,
        back.angle_to(there * -1.0) - spread,
        (back * -1.0).angle_to(looks) - into.acceptance,
    ];
    weighed(way, off_by.into_iter().fold(f64::NEG_INFINITY, f64::max), there.length() + back.length(), from.reach)
}

fn weighed(way: Way, off_by: f64, length: f64, reach: f64) -> Stray {
    let too_far_by = length - reach;
    Stray { way, arrives: off_by <= HAIR && too_far_by <= HAIR, off_by, too_far_by, length }
}

/// The distance that shiny surfaces must keep from a beam: its span times the tangent of the half-angle, and for spans shorter than
/// `fixed_below` what the formula gives there. Lengths in metres, the angle in radians.
pub fn shiny_clearance(span: f64, half_angle: f64, fixed_below: f64) -> Result<f64, Unreckonable> {
    let span = positive("span of the beam", span)?;
    let fixed_below = positive("span below which the distance is fixed", fixed_below)?;
    let half_angle = angle("half-angle of the sensor", half_angle, 0.0, 1.5)?;
    Ok(span.max(fixed_below) * libm::tan(half_angle))
}
