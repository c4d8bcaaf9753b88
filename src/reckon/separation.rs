//! Owns the distance at which a sensor must stand from a danger so that the danger stops first (ISO 13855). It must not know gates.

use super::number::{answer, not_negative, positive, within};
use super::unreckonable::Unreckonable;

/// Speed of a reaching hand in m/s. Source: ISO 13855:2010, from memory (high confidence).
pub const HAND_SPEED: f64 = 2.0;
/// Speed of a walking person in m/s. Source: ISO 13855:2010, from memory (high confidence).
pub const WALKING_SPEED: f64 = 1.6;

/// Least distance in metres to a light curtain across the way of approach, with `time` seconds from beam broken to rest and smallest
/// detected object `detail` metres (0 to 0.07).
///
/// Up to 40 mm detail: hand speed plus eight times what the detail exceeds 14 mm, at least 0.1 m; where that is over 0.5 m, walking speed,
/// but not less than 0.5 m. Over 40 mm: walking speed plus 0.85 m.
/// Source: ISO 13855:2010, from memory (high confidence; the 2024 edition renames the addends). Errors: `time` negative, detail outside.
pub fn curtain_distance(time: f64, detail: f64) -> Result<f64, Unreckonable> {
    let time = not_negative("stopping time", time)?;
    let detail = within("detection capability", detail, 0.0, 0.07)?;
    if detail > 0.04 {
        return answer("separation distance", WALKING_SPEED * time + 0.85);
    }
    let intrusion = (8.0 * (detail - 0.014)).max(0.0);
    let by_hand = (HAND_SPEED * time + intrusion).max(0.1);
    if by_hand <= 0.5 {
        return Ok(by_hand);
    }
    answer("separation distance", (WALKING_SPEED * time + intrusion).max(0.5))
}

/// Least distance in metres to a fence of 1 to 4 separate beams across the way of approach, with `time` seconds to rest: walking speed
/// plus 1.2 m for one beam, 0.85 m for two to four.
///
/// Source: ISO 13855:2010, from memory (high confidence). Errors: `time` negative, no beam or more than 4.
pub fn beams_distance(time: f64, beams: u32) -> Result<f64, Unreckonable> {
    let time = not_negative("stopping time", time)?;
    let beams = within("number of beams", f64::from(beams), 1.0, 4.0)?;
    answer("separation distance", WALKING_SPEED * time + if beams < 2.0 { 1.2 } else { 0.85 })
}

/// Least distance in metres from the danger to the far edge of a level sensing field `height` metres over the ground, with `time` seconds
/// to rest and smallest detected object `detail` metres.
///
/// Walking speed plus 1.2 m less 0.4 of the height, that addend at least 0.85 m. The field must lie no higher than 1 m and no lower than
/// 15 times what the detail exceeds 50 mm.
/// Source: ISO 13855:2010, from memory (high confidence). Errors: `time` negative, detail not positive, height outside of those bounds.
pub fn level_field_distance(time: f64, height: f64, detail: f64) -> Result<f64, Unreckonable> {
    let time = not_negative("stopping time", time)?;
    let lowest = (15.0 * (positive("detection capability", detail)? - 0.05)).max(0.0);
    let height = within("height of the sensing field", height, lowest, 1.0)?;
    answer("separation distance", WALKING_SPEED * time + (1.2 - 0.4 * height).max(0.85))
}
