//! North, and where the sun comes up and goes down, in the drawing's own directions. It must not know beams.

use super::facts::{Facts, Measure};
use crate::job::RecordId;
use crate::reckon::sun::{Air, Day, Moment, Site, rising, sun_position};

/// The year for which the sun is reckoned, as in judging: its directions differ by less than a tenth of a degree in others.
const YEAR: i32 = 2026;

/// Directions about a gate. Angles are in degrees, counter-clockwise from +x as seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Sky {
    /// The bearing of the gate line, as the job gives it.
    pub bearing: Measure,
    /// Toward north.
    pub north: f64,
    /// Toward where the sun comes up and goes down: on the longest day, then on the shortest. Empty where the place is not given, or the sun
    /// does not set.
    pub sun: Vec<SunWay>,
}

/// Where the sun comes up and goes down on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct SunWay {
    /// The day, in words.
    pub day: &'static str,
    /// Toward sunrise, and its compass bearing.
    pub rise: (f64, f64),
    /// Toward sunset, and its compass bearing.
    pub set: (f64, f64),
}

/// The directions about a gate; nothing without its bearing.
pub fn sky(facts: Facts, gate: RecordId) -> Option<Sky> {
    let bearing = facts.angle(gate, "bearing").filter(|bearing| bearing.at.abs() <= 720.0)?;
    // Bearings turn clockwise; the drawing's y lies counter-clockwise of its x.
    let toward = |compass: f64| bearing.at - compass;
    let mut sun = Vec::new();
    let place = facts.list(RecordId::ROOT, "location").and_then(|places| places.first().copied());
    let at = place.and_then(|place| facts.angle(place, "latitude").zip(facts.angle(place, "longitude")));
    if let Some((latitude, longitude)) = at {
        for (day, month) in [("21 June", 6), ("21 December", 12)] {
            if let Some((rise, set)) = way(latitude.at, longitude.at, month) {
                sun.push(SunWay { day, rise: (toward(rise), rise), set: (toward(set), set) });
            }
        }
    }
    Some(Sky { north: toward(0.0), bearing, sun })
}

/// Compass bearings of sunrise and sunset on the 21st of a month, in degrees.
fn way(latitude: f64, longitude: f64, month: u8) -> Option<(f64, f64)> {
    let day = Day { year: YEAR, month, day: 21 };
    let offset = (longitude / 15.0).round() * 3600.0;
    let (latitude, longitude) = (latitude.to_radians(), longitude.to_radians());
    let times = rising(latitude, longitude, day, offset).ok()?;
    let site = Site { latitude, longitude, height: 0.0 };
    let azimuth = |seconds: f64| {
        let position = sun_position(&site, &Moment { day, seconds, offset }, &Air::STANDARD).ok()?;
        Some(position.azimuth.to_degrees())
    };
    Some((azimuth(times.rise?)?, azimuth(times.set?)?))
}
