//! Owns the mechanics of a leaf: the speed of its tip, the pull at its hinges, the pull of a slope. It must not know its shape.

use super::number::{answer, not_negative, positive};
use super::unreckonable::Unreckonable;

/// Standard gravity in m/s². Source: 3rd General Conference on Weights and Measures, 1901 (exact).
const GRAVITY: f64 = 9.80665;

/// Mean speed in m/s of the tip of a leaf `length` metres from its hinge that turns `angle` radians in `time` seconds.
///
/// Source: arc over time. Errors: `length` or `angle` negative, `time` not positive.
pub fn mean_tip_speed(length: f64, angle: f64, time: f64) -> Result<f64, Unreckonable> {
    let arc = not_negative("length of the leaf", length)? * not_negative("angle of travel", angle)?;
    answer("mean tip speed", arc / positive("time", time)?)
}

/// Level force in newtons at each of two hinges `spacing` metres apart, outward at the top and inward at the bottom, from the weight of a
/// leaf of `mass` kilograms at rest whose centre of mass hangs `reach` metres from the hinge line.
///
/// Source: statics. Errors: `mass` or `reach` negative, `spacing` not positive.
pub fn hinge_pull(mass: f64, reach: f64, spacing: f64) -> Result<f64, Unreckonable> {
    let moment = weight(mass)? * not_negative("reach of the centre of mass", reach)?;
    answer("level hinge force", moment / positive("hinge spacing", spacing)?)
}

/// Force in newtons that pulls a leaf of `mass` kilograms down a `slope` (rise over run, so 0.02 is 2 %).
///
/// Source: statics. Errors: `mass` or `slope` negative.
pub fn downhill_force(mass: f64, slope: f64) -> Result<f64, Unreckonable> {
    let slope = not_negative("slope", slope)?;
    answer("downhill force", weight(mass)? * (slope / libm::hypot(1.0, slope)))
}

fn weight(mass: f64) -> Result<f64, Unreckonable> {
    Ok(not_negative("mass", mass)? * GRAVITY)
}
