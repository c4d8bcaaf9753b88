//! Owns how near a moving leaf comes to a beam: whether it breaks it, where in the travel, how near. It must not know which of this is
//! allowed.

use super::line::Beam;
use crate::reckon::geometry::{Movement, Target, Unreckonable, floor_at, least};

/// Gaps of at most this count as the leaf breaking the beam, in metres: the error of the search.
const BROKEN: f64 = 2e-6;

/// How near a leaf comes to a beam over its whole movement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamGap {
    /// The least distance between leaf and beam, in metres; 0 when the leaf breaks the beam.
    pub gap: f64,
    /// The most by which the gap may be too great, in metres.
    pub error: f64,
    /// The first position at which it occurs, from 0 (closed) to 1 (open).
    pub at: f64,
    /// The first and the last position at which the leaf breaks the beam; in between it may be clear of it.
    pub broken: Option<(f64, f64)>,
}

/// How near the leaf comes to the beam over its whole movement.
pub fn beam_gap(beam: &Beam, movement: &Movement) -> Result<BeamGap, Unreckonable> {
    let targets = [Target::line(beam.from(), beam.to())];
    let found = least((0.0, 1.0), |at, half| floor_at(movement, &targets, at, half))?;
    let broken = if found.value <= BROKEN {
        let backwards = least((0.0, 1.0), |at, half| floor_at(movement, &targets, 1.0 - at, half))?;
        Some((found.at, 1.0 - backwards.at))
    } else {
        None
    };
    Ok(BeamGap { gap: found.value, error: found.error, at: found.at, broken })
}
