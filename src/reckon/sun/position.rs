//! Owns the sun's position at one place and moment, refraction, and rising and setting. It must not know what the sun shines into.

use super::calendar::Day;
use crate::reckon::number::{angle, within};
use crate::reckon::unreckonable::Unreckonable;
use core::f64::consts::{FRAC_PI_2, PI};
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarEvents, SolarPositions};

/// A place on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Radians, positive north.
    pub latitude: f64,
    /// Radians, positive east.
    pub longitude: f64,
    /// Metres above sea level; matters less than a thousandth of a degree.
    pub height: f64,
}

/// A moment in local standard time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Local day.
    pub day: Day,
    /// Seconds after local midnight; may run over the day.
    pub seconds: f64,
    /// Seconds that local standard time is ahead of universal time: less than zero in the west.
    pub offset: f64,
}

/// The air that bends the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Millibars (hectopascals) at the place, 1 to 2000.
    pub pressure: f64,
    /// Degrees Celsius.
    pub celsius: f64,
}

impl Air {
    /// 1010 mbar and 10 °C, for which the refraction formula is made.
    pub const STANDARD: Self = Self { pressure: 1010.0, celsius: 10.0 };
}

/// Where the sun's centre stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Radians clockwise from true north, 0 to 2π.
    pub azimuth: f64,
    /// Radians over the level as seen, bent by the air.
    pub elevation: f64,
    /// Radians over the level, without air.
    pub true_elevation: f64,
}

/// When the sun rises, stands highest and sets, in seconds after local midnight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rising {
    /// Upper edge over the level; none where it does not rise that day.
    pub rise: Option<f64>,
    /// South or north, whichever is highest.
    pub transit: Option<f64>,
    /// Upper edge under the level; none where it does not set that day.
    pub set: Option<f64>,
}

/// Where the sun stands.
///
/// Source: solar position algorithm of Reda and Andreas (NREL/TP-560-34302), through a library: ±0.0003° without the air. Seconds between
/// atomic and universal time are estimated: 1 s amiss is 0.00001°. The bend of the air is known to about 0.1° at the horizon. Errors: a latitude
/// beyond ±90° or longitude beyond ±180°, a height outside of −500 to 9000 m, a day that is not, an offset over 14 h, odd air.
pub fn sun_position(site: &Site, moment: &Moment, air: &Air) -> Result<SunPosition, Unreckonable> {
    let location = location(site.latitude, site.longitude)?;
    let height = within("height above sea level", site.height, -500.0, 9_000.0)?;
    let julian = julian(moment)?;
    let time = JulianDate::new(julian, clock_difference(julian)).map_err(|_| Unreckonable::NoSun)?;
    let position = SolarPositions::new().at_from_julian(time, location, height, None).map_err(|_| Unreckonable::NoSun)?;
    let true_elevation = position.elevation_angle().to_radians();
    let elevation = true_elevation + refraction(true_elevation, air)?;
    Ok(SunPosition { azimuth: position.azimuth().to_radians(), elevation, true_elevation })
}

fn refraction(true_elevation: f64, air: &Air) -> Result<f64, Unreckonable> {
    let pressure = within("air pressure in mbar", air.pressure, 1.0, 2_000.0)?;
    let celsius = within("air temperature in °C", air.celsius, -90.0, 60.0)?;
    let density = pressure / 1010.0 * 283.0 / (273.0 + celsius);
    Ok(density * standard_refraction(true_elevation))
}

/// Lift in radians by the air of [`Air::STANDARD`].
pub(super) fn standard_refraction(true_elevation: f64) -> f64 {
    let degrees = true_elevation.to_degrees();
    if degrees < -0.833_37 {
        return 0.0;
    }
    let lift = 1.02 / (60.0 * libm::tan((degrees + 10.3 / (degrees + 5.11)).to_radians()));
    lift.to_radians()
}

/// When the sun rises, stands highest and sets on a local day, to within a second in mid-latitudes without hills.
///
/// Source: as for [`sun_position`], the upper edge seen through 0.5667° of air. Errors: as there.
pub fn rising(latitude: f64, longitude: f64, day: Day, offset: f64) -> Result<Rising, Unreckonable> {
    let location = location(latitude, longitude)?;
    let start = julian(&Moment { day, seconds: 0.0, offset })?;
    let difference = clock_difference(start);
    let events = SolarEvents::new();
    let seconds = |found: solar_positioning::Result<Option<f64>>| {
        found.map(|found| found.map(|julian| (julian - start) * 86_400.0)).map_err(|_| Unreckonable::NoSun)
    };
    let end = start + 1.0;
    Ok(Rising {
        rise: seconds(events.next_rise_from_julian(start, end, location, difference, Horizon::SunriseSunset))?,
        transit: seconds(events.next_transit_from_julian(start, end, location.longitude, difference))?,
        set: seconds(events.next_set_from_julian(start, end, location, difference, Horizon::SunriseSunset))?,
    })
}

/// A place as the library wants it, in degrees.
pub(super) fn location(latitude: f64, longitude: f64) -> Result<Location, Unreckonable> {
    let latitude = angle("latitude", latitude, -FRAC_PI_2, FRAC_PI_2)?.to_degrees().clamp(-90.0, 90.0);
    let longitude = angle("longitude", longitude, -PI, PI)?.to_degrees().clamp(-180.0, 180.0);
    Ok(Location { latitude, longitude })
}

/// An offset from universal time in seconds that some place on earth has.
pub(super) fn checked_offset(offset: f64) -> Result<f64, Unreckonable> {
    within("offset from universal time in seconds", offset, -14.0 * 3600.0, 14.0 * 3600.0)
}

fn julian(moment: &Moment) -> Result<f64, Unreckonable> {
    let seconds = within("seconds after midnight", moment.seconds, -86_400.0, 172_800.0)?;
    Ok(moment.day.julian()? + (seconds - checked_offset(moment.offset)?) / 86_400.0)
}

/// Seconds by which atomic time is ahead of universal time.
pub(super) fn clock_difference(julian: f64) -> f64 {
    let year = 2000.0 + (julian - 2_451_544.5) / 365.2425;
    solar_positioning::delta_t::estimate(year).unwrap_or(70.0)
}
