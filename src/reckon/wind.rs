//! Owns the force coefficient of wind on a leaf of bars. It must not know where the gate stands or how fast the wind blows there.

use super::number::within;
use super::unreckonable::Unreckonable;

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
