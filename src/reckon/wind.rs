//! Owns wind pressure, load and moment on a leaf. It must not know where the gate stands or how fast the wind blows there.

use super::number::{answer, not_negative, positive, share, within};
use super::unreckonable::Unreckonable;

/// Density of air in kg/m³ behind the 0.613 of the US wind-load standard (ASCE 7), which is half of it.
pub const DENSITY_ASCE: f64 = 1.226;
/// Density of air in kg/m³ of the standard atmosphere at sea level, 15 °C.
pub const DENSITY_SEA_LEVEL: f64 = 1.225;
/// Density of air in kg/m³ that EN 1991-1-4 recommends (from memory).
pub const DENSITY_EUROCODE: f64 = 1.25;

/// Velocity pressure in pascals of wind at `speed` m/s in air of `density` kg/m³, times `factor`: the product of the coefficients for
/// height, terrain and direction (1 where none apply).
///
/// Source: Bernoulli; ASCE 7 (0.613 V² in SI). Errors: `speed` negative, `density` or `factor` not positive.
pub fn velocity_pressure(speed: f64, density: f64, factor: f64) -> Result<f64, Unreckonable> {
    let speed = not_negative("wind speed", speed)?;
    let pressure = 0.5 * positive("density of air", density)? * speed * speed * positive("exposure factor", factor)?;
    answer("velocity pressure", pressure)
}

/// A leaf in the wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sail {
    /// Width of the face, in metres.
    pub width: f64,
    /// Height of the face, in metres.
    pub height: f64,
    /// Solid part of the face, 0 to 1.
    pub solidity: f64,
    /// Force coefficient on the solid part: about 1.2 to 1.4 for a solid panel, more for bars (see [`bar_coefficient`]).
    pub coefficient: f64,
}

impl Sail {
    /// Force in newtons on the face at a velocity pressure in pascals.
    ///
    /// Source: definition of the force coefficient. Errors: a length or the pressure negative, solidity not above 0 and at most 1,
    /// coefficient not positive.
    pub fn force(&self, pressure: f64) -> Result<f64, Unreckonable> {
        let area = not_negative("width of the leaf", self.width)? * not_negative("height of the leaf", self.height)?;
        let solid = area * share("solidity", self.solidity)?;
        answer("wind force", not_negative("velocity pressure", pressure)? * solid * positive("force coefficient", self.coefficient)?)
    }

    /// Moment in N·m about a hinge line `offset` metres outside of the near edge, the force taken at the middle of the face.
    ///
    /// Source: statics. Errors: as for [`Sail::force`], and `offset` negative.
    pub fn hinge_moment(&self, pressure: f64, offset: f64) -> Result<f64, Unreckonable> {
        let arm = not_negative("offset of the hinge", offset)? + 0.5 * self.width;
        answer("wind moment", self.force(pressure)? * arm)
    }

    /// Moment in N·m about the ground, the force taken at the middle of a face whose bottom is `clearance` metres up.
    ///
    /// Source: statics. Errors: as for [`Sail::force`], and `clearance` negative.
    pub fn ground_moment(&self, pressure: f64, clearance: f64) -> Result<f64, Unreckonable> {
        let arm = not_negative("bottom clearance", clearance)? + 0.5 * self.height;
        answer("wind moment", self.force(pressure)? * arm)
    }

    /// Wind speed in m/s at which the hinge moment reaches `torque` N·m, in air of `density` kg/m³.
    ///
    /// Source: [`Sail::hinge_moment`] turned round. Errors: as there, and where nothing catches the wind.
    pub fn speed_for_moment(&self, torque: f64, density: f64, offset: f64) -> Result<f64, Unreckonable> {
        let per_pascal = positive("moment of one pascal", self.hinge_moment(1.0, offset)?)?;
        let pressure = not_negative("torque", torque)? / per_pascal;
        answer("wind speed", libm::sqrt(2.0 * pressure / positive("density of air", density)?))
    }
}

/// Force coefficient on the solid part of an open face of flat bars, by solidity: 2.0 below 0.1, 1.8 below 0.3, 1.6 up to 0.7.
///
/// The coefficient falls by steps, but its product with the solidity hardly does: the load grows with every bar except just past a step.
/// Source: ASCE 7, open signs and lattice frameworks, from memory (low confidence). Errors: solidity outside of 0 to 0.7.
pub fn bar_coefficient(solidity: f64) -> Result<f64, Unreckonable> {
    let solidity = within("solidity", solidity, 0.0, 0.7)?;
    Ok(if solidity < 0.1 {
        2.0
    } else if solidity < 0.3 {
        1.8
    } else {
        1.6
    })
}
