//! Owns the sun's way over one year, for any place: declination and hour angle between exact positions. It must not know who looks at it.

use super::calendar::{Day, days_in_year};
use super::position::clock_difference;
use crate::reckon::number::within;
use crate::reckon::unreckonable::Unreckonable;
use core::f64::consts::{FRAC_PI_2, PI, TAU};
use solar_positioning::time::JulianDate;
use solar_positioning::{Location, SolarPositions};

/// Days between exact positions: a cubic through four of them is amiss by less than 0.0002°.
const STEP: f64 = 4.0;
/// Exact positions before the year, so that every local day of it has two on either side.
const BEFORE: usize = 3;

/// The sun's way over a year: make it once and use it for every receiver of that year, at any place.
#[derive(Clone, Debug)]
pub struct SunYear {
    year: i32,
    knots: Vec<Knot>,
}

/// The sun seen from the earth's centre at 0 h universal time.
#[derive(Clone, Copy, Debug)]
struct Knot {
    declination: f64,
    /// Hour angle at Greenwich past midnight, between −0.1 and 0.1: the equation of time.
    ahead: f64,
}

/// The sun's place over the turning earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearings {
    /// Radians north of the equator.
    pub declination: f64,
    /// Radians west of the meridian of Greenwich, not brought into one turn.
    pub hour_angle: f64,
}

impl SunYear {
    /// The way of the sun over `year`, from about a hundred exact positions.
    ///
    /// Source: solar position algorithm of Reda and Andreas (NREL/TP-560-34302), through a library. Errors: a year outside of 1900 to 2199.
    pub fn new(year: i32) -> Result<Self, Unreckonable> {
        let start = Day { year, month: 1, day: 1 }.julian()?;
        let count = (f64::from(days_in_year(year)) / STEP) as usize + 2 * BEFORE + 1;
        let knots = (0..count).map(|at| Knot::at(start + (at as f64 - BEFORE as f64) * STEP)).collect::<Result<_, _>>()?;
        Ok(Self { year, knots })
    }

    /// The year.
    pub fn year(&self) -> i32 {
        self.year
    }

    /// Where the sun stands `days` after the beginning of the year in universal time (fractions are hours; −1 to 367 are taken).
    ///
    /// Within 0.0005° of the exact position. Errors: days outside of that range.
    pub fn bearings(&self, days: f64) -> Result<Bearings, Unreckonable> {
        Ok(self.place(within("days since the beginning of the year", days, -1.0, 367.0)?))
    }

    /// The same without a check; a day far outside is held to the nearest that is known.
    pub(super) fn place(&self, days: f64) -> Bearings {
        let steps = days / STEP + BEFORE as f64;
        let last = self.knots.len().saturating_sub(3);
        let at = (libm::floor(steps).max(1.0) as usize).clamp(1, last.max(1));
        let x = steps - at as f64;
        let weights = [
            -x * (x - 1.0) * (x - 2.0) / 6.0,
            (x + 1.0) * (x - 1.0) * (x - 2.0) / 2.0,
            -(x + 1.0) * x * (x - 2.0) / 2.0,
            (x + 1.0) * x * (x - 1.0) / 6.0,
        ];
        let (mut declination, mut ahead) = (0.0, 0.0);
        for (weight, knot) in weights.iter().zip(self.knots.iter().skip(at - 1)) {
            declination += weight * knot.declination;
            ahead += weight * knot.ahead;
        }
        let turned = days - libm::floor(days);
        Bearings { declination, hour_angle: PI + TAU * turned + ahead }
    }
}

impl Knot {
    /// From the position on the equator where the sun is rising, where azimuth and height are both sharp, taken back to the earth's centre.
    fn at(julian: f64) -> Result<Self, Unreckonable> {
        let time = JulianDate::new(julian, clock_difference(julian)).map_err(|_| Unreckonable::NoSun)?;
        let prepared = SolarPositions::new().for_time_from_julian(time).map_err(|_| Unreckonable::NoSun)?;
        let seen = prepared.at(Location { latitude: 0.0, longitude: 90.0 }, 0.0, None).map_err(|_| Unreckonable::NoSun)?;
        let (sin_azimuth, cos_azimuth) = libm::sincos(seen.azimuth().to_radians());
        let (sin_zenith, up) = libm::sincos(seen.zenith_angle().to_radians());
        let parallax = (8.794 / 3600.0 / prepared.earth_radius_vector().unwrap_or(1.0)).to_radians();
        let away = 1.0 - parallax * up;
        let (up, east, north) = (away * up + parallax, away * sin_zenith * sin_azimuth, away * sin_zenith * cos_azimuth);
        let hour_angle = libm::atan2(-east, up) - FRAC_PI_2;
        Ok(Self { declination: libm::atan2(north, libm::hypot(up, east)), ahead: libm::remainder(hour_angle - PI, TAU) })
    }
}
