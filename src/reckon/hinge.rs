//! Owns what a hanging leaf does to its hinges, and force along its radius. It must not know what the leaf is made of.

use super::number::{answer, finite, not_negative, positive};
use super::unreckonable::Unreckonable;

/// Standard gravity in m/s². Source: 3rd General Conference on Weights and Measures, 1901 (exact).
pub const GRAVITY: f64 = 9.80665;

/// What two hinges carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HingeLoad {
    /// Level force at each hinge from the weight, outward at the top and inward at the bottom, in newtons.
    pub level: f64,
    /// Upright force on both hinges together, in newtons.
    pub upright: f64,
}

/// Forces at two hinges `spacing` metres apart, from a leaf of `mass` kilograms whose centre of mass hangs `reach` metres from the hinge
/// line. `factor` is 1 for a leaf at rest and larger for the knocks of use.
///
/// Source: statics. Errors: `mass` or `reach` negative, `spacing` or `factor` not positive.
pub fn hinge_load(mass: f64, reach: f64, spacing: f64, factor: f64) -> Result<HingeLoad, Unreckonable> {
    let upright = not_negative("mass", mass)? * GRAVITY * positive("load factor", factor)?;
    let level = upright * not_negative("reach of the centre of mass", reach)? / positive("hinge spacing", spacing)?;
    Ok(HingeLoad { level: answer("level hinge force", level)?, upright: answer("upright hinge force", upright)? })
}

/// Force in newtons at `radius` metres from the hinge, where `tip_force` newtons at `tip_radius` metres has the same torque.
///
/// A force measured at the tip says nothing good about the hinge side: the nearer, the larger. Source: statics (lever).
/// Errors: `tip_force` not finite, a radius not positive.
pub fn force_at_radius(tip_force: f64, tip_radius: f64, radius: f64) -> Result<f64, Unreckonable> {
    let torque = finite("force at the tip", tip_force)? * positive("radius of the tip", tip_radius)?;
    answer("force at the radius", torque / positive("radius", radius)?)
}

/// Force in newtons that pulls a leaf of `mass` kilograms down a `slope` (rise over run, so 0.02 is 2 %).
///
/// Source: statics. Errors: `mass` or `slope` negative.
pub fn downhill_force(mass: f64, slope: f64) -> Result<f64, Unreckonable> {
    let slope = not_negative("slope", slope)?;
    let weight = not_negative("mass", mass)? * GRAVITY;
    answer("downhill force", weight * (slope / libm::hypot(1.0, slope)))
}
