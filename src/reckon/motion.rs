//! Owns speed, run time, kinetic energy and stopping of a moving leaf. It must not know the shape of a leaf or what it may strike.

use super::number::{answer, not_negative, positive, some};
use super::unreckonable::Unreckonable;

/// Mean speed in m/s of what moves `travel` metres in `time` seconds.
///
/// Source: definition. Errors: `travel` negative, `time` not positive.
pub fn mean_speed(travel: f64, time: f64) -> Result<f64, Unreckonable> {
    answer("mean speed", not_negative("travel", travel)? / positive("time", time)?)
}

/// Time in seconds for `travel` metres at a steady `speed` in m/s.
///
/// Source: definition. Errors: `travel` negative, `speed` not positive.
pub fn run_time(travel: f64, speed: f64) -> Result<f64, Unreckonable> {
    answer("run time", not_negative("travel", travel)? / positive("speed", speed)?)
}

/// Time in seconds for `travel` metres from rest to rest, with a top `speed` in m/s and a gain and loss of speed in m/s².
///
/// A travel too short for the top speed is run with the lower one that it allows. Source: mechanics of steady acceleration.
/// Errors: `travel` negative, the others not positive.
pub fn ramped_run_time(travel: f64, speed: f64, gain: f64, loss: f64) -> Result<f64, Unreckonable> {
    let travel = not_negative("travel", travel)?;
    let speed = positive("speed", speed)?;
    let gain = positive("acceleration", gain)?;
    let loss = positive("deceleration", loss)?;
    let ramps = speed * speed * (0.5 / gain + 0.5 / loss);
    let time = if ramps <= travel {
        (travel - ramps) / speed + speed / gain + speed / loss
    } else {
        let top = libm::sqrt(travel / (0.5 / gain + 0.5 / loss));
        top / gain + top / loss
    };
    answer("run time", time)
}

/// Mean speed in m/s of the tip of a leaf `length` metres from its hinge that turns `angle` radians in `time` seconds.
///
/// Source: arc over time. Errors: `length` or `angle` negative, `time` not positive.
pub fn mean_tip_speed(length: f64, angle: f64, time: f64) -> Result<f64, Unreckonable> {
    let arc = not_negative("length of the leaf", length)? * not_negative("angle of travel", angle)?;
    answer("mean tip speed", arc / positive("time", time)?)
}

/// Kinetic energy in joules of a leaf of `mass` kilograms sliding at `speed` m/s: half the mass times the speed squared.
///
/// Source: mechanics. Errors: either negative.
pub fn sliding_energy(mass: f64, speed: f64) -> Result<f64, Unreckonable> {
    let speed = not_negative("speed", speed)?;
    answer("kinetic energy", 0.5 * not_negative("mass", mass)? * speed * speed)
}

/// Kinetic energy in joules of an evenly built swinging leaf of `mass` kilograms whose tip moves at `tip_speed` m/s: a third of that of the
/// same mass sliding so fast.
///
/// Source: mechanics, moment of inertia of a rod about its end. Errors: either negative.
pub fn swinging_energy(mass: f64, tip_speed: f64) -> Result<f64, Unreckonable> {
    answer("kinetic energy", sliding_energy(mass, tip_speed)? / 3.0)
}

/// Kinetic energy in joules of any leaf that turns: `inertia` about its hinge in kg·m², `spin` in rad/s.
///
/// Source: mechanics. Errors: either negative.
pub fn turning_energy(inertia: f64, spin: f64) -> Result<f64, Unreckonable> {
    let spin = not_negative("angular speed", spin)?;
    answer("kinetic energy", 0.5 * not_negative("moment of inertia", inertia)? * spin * spin)
}

/// Distance in metres that a leaf still moves at its edge after it should stop: at `speed` m/s through every one of `responses` (seconds:
/// sensor, control, brake), then slowing at `loss` m/s².
///
/// Source: mechanics. Errors: no response given, more than 64, a number negative, `loss` not positive.
pub fn stopping_distance(speed: f64, responses: &[f64], loss: f64) -> Result<f64, Unreckonable> {
    let speed = not_negative("speed", speed)?;
    let waiting = total_response(responses)?;
    answer("stopping distance", speed * waiting + speed * speed / (2.0 * positive("deceleration", loss)?))
}

/// Time in seconds from the order to stop to rest: every one of `responses` in seconds, then from `speed` m/s at `loss` m/s².
///
/// Source: mechanics. Errors: as for [`stopping_distance`].
pub fn stopping_time(speed: f64, responses: &[f64], loss: f64) -> Result<f64, Unreckonable> {
    let waiting = total_response(responses)?;
    answer("stopping time", waiting + not_negative("speed", speed)? / positive("deceleration", loss)?)
}

/// Mean deceleration in m/s² that brings `speed` m/s to rest within `distance` metres.
///
/// Source: mechanics. Errors: `speed` negative, `distance` not positive.
pub fn deceleration_over(speed: f64, distance: f64) -> Result<f64, Unreckonable> {
    let speed = not_negative("speed", speed)?;
    answer("deceleration", speed * speed / (2.0 * positive("distance", distance)?))
}

fn total_response(responses: &[f64]) -> Result<f64, Unreckonable> {
    let mut total = 0.0;
    for &response in some("response time", responses, 64)? {
        total += not_negative("response time", response)?;
    }
    answer("sum of response times", total)
}
