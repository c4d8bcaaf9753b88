//! Checks of the sun's position against the published case and an independent program. They must not know how it is found.

use super::near;
use pintle::reckon::Unreckonable;
use pintle::reckon::sun::{Air, Day, Moment, Site, SunPosition, SunYear, day_of_year, days_in_year, rising, sun_position};

const HOUR: f64 = 3600.0;

fn at(latitude: f64, longitude: f64, day: (i32, u8, u8), hours: f64, offset: f64, air: &Air) -> SunPosition {
    let site = Site { latitude: latitude.to_radians(), longitude: longitude.to_radians(), height: 0.0 };
    let day = Day { year: day.0, month: day.1, day: day.2 };
    sun_position(&site, &Moment { day, seconds: hours * HOUR, offset: offset * HOUR }, air).unwrap()
}

/// NREL/TP-560-34302, table A5.1: 2003-10-17 12:30:30 (UTC−7), 39.742476 N, 105.1786 W, 1830.14 m, 820 mbar, 11 °C.
fn published() -> SunPosition {
    let site = Site { latitude: 39.742476_f64.to_radians(), longitude: (-105.1786_f64).to_radians(), height: 1830.14 };
    let day = Day { year: 2003, month: 10, day: 17 };
    let moment = Moment { day, seconds: 12.5 * HOUR + 30.0, offset: -7.0 * HOUR };
    sun_position(&site, &moment, &Air { pressure: 820.0, celsius: 11.0 }).unwrap()
}

/// Angle between two directions, each by azimuth and height, in radians.
fn apart(one: (f64, f64), other: (f64, f64)) -> f64 {
    let chord = |angle: f64| (angle / 2.0).sin().powi(2);
    let half = chord(other.1 - one.1) + one.1.cos() * other.1.cos() * chord(other.0 - one.0);
    2.0 * half.sqrt().asin()
}

#[test]
fn published_case() {
    // NREL/TP-560-34302, carried by several open test suites, high.
    let sun = published();
    near(90.0 - sun.elevation.to_degrees(), 50.111622, 0.0001);
    near(sun.azimuth.to_degrees(), 194.340241, 0.0001);
    // The same, high: incidence on a slope of 30° turned 10° from south to the east.
    let incidence = apart((sun.azimuth, sun.elevation), (170.0_f64.to_radians(), 60.0_f64.to_radians()));
    near(incidence.to_degrees(), 25.187000, 0.0001);
    // NOAA low-precision form, recomputed, high: geometric zenith 50.128, azimuth 194.343.
    near(90.0 - sun.true_elevation.to_degrees(), 50.128, 0.001);
    near(sun.azimuth.to_degrees(), 194.343, 0.005);
}

#[test]
fn published_rising_and_setting() {
    let on =
        |day| rising(39.742476_f64.to_radians(), (-105.1786_f64).to_radians(), Day { year: 2003, month: 10, day }, -7.0 * HOUR).unwrap();
    let clock = |hour: f64, minute: f64, second: f64| hour * HOUR + minute * 60.0 + second;
    // NREL/TP-560-34302, high: rise 06:12:43, transit 11:46:05, set 17:20:19. That set is the one on the universal day of 17 October, which in
    // local time is the evening before; on the local day it is 17:18:50 (17.314 h), as another public test suite has it.
    near(on(17).rise.unwrap(), clock(6.0, 12.0, 43.0), 2.0);
    near(on(17).transit.unwrap(), clock(11.0, 46.0, 5.0), 1.0);
    near(on(16).set.unwrap(), clock(17.0, 20.0, 19.0), 2.0);
    near(on(17).set.unwrap(), 17.314 * HOUR, 2.0);
    // High: no setting in the polar summer, no rising in the polar winter.
    let polar = |month| rising(1.3, 0.3, Day { year: 2026, month, day: 21 }, 0.0).unwrap();
    assert_eq!((polar(6).rise, polar(6).set), (None, None));
    assert_eq!((polar(12).rise, polar(12).set), (None, None));
}

#[test]
fn five_more_places() {
    // Recomputed with an open-source program of the same algorithm, high: apparent elevation, azimuth.
    let cases = [
        (51.4779, 0.0, (2024, 6, 20), 12.0, 0.0, 61.966, 179.168),
        (51.4779, 0.0, (2024, 12, 21), 12.0, 0.0, 15.141, 180.406),
        (33.45, -112.07, (2024, 6, 20), 18.0, -7.0, 18.680, 286.280),
        (33.45, -112.07, (2024, 12, 21), 8.0, -7.0, 4.985, 122.286),
        (-33.8688, 151.2093, (2024, 9, 22), 17.75, 10.0, 0.936, 270.450),
    ];
    for (latitude, longitude, day, hours, offset, elevation, azimuth) in cases {
        let sun = at(latitude, longitude, day, hours, offset, &Air::STANDARD);
        near(sun.elevation.to_degrees(), elevation, 0.01);
        near(sun.azimuth.to_degrees(), azimuth, 0.001);
    }
}

#[test]
fn seven_hundred_instants() {
    // tests/outside/sun_reference.py: an independent program of the same published algorithm, high. Azimuth is weighed by the cosine of height.
    let rows: Vec<Vec<f64>> = include_str!("outside/sun_positions.csv")
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    assert!(rows.len() >= 500, "{} instants", rows.len());
    for row in rows {
        let site = Site { latitude: row[4].to_radians(), longitude: row[5].to_radians(), height: row[6] };
        let day = Day { year: row[0] as i32, month: row[1] as u8, day: row[2] as u8 };
        let sun = sun_position(&site, &Moment { day, seconds: row[3], offset: 0.0 }, &Air::STANDARD).unwrap();
        let turn = (sun.azimuth.to_degrees() - row[7] + 540.0).rem_euclid(360.0) - 180.0;
        near(turn * sun.true_elevation.cos(), 0.0, 0.0003);
        near(sun.true_elevation.to_degrees(), row[9], 0.0003);
        near(sun.elevation.to_degrees(), row[8], 0.0003);
    }
}

#[test]
fn year_agrees_with_exact_positions() {
    // The way over a year against the exact position, high: 0.0005° in declination and hour angle together, over the pole as everywhere.
    let mut worst = 0.0_f64;
    for year in [1999, 2026, 2028, 2100] {
        let way = SunYear::new(year).unwrap();
        for step in 0..=730 {
            let days = f64::from(step) * (f64::from(days_in_year(year)) + 1.0) / 731.0 - 0.5;
            let sun = way.bearings(days).unwrap();
            let day = Day { year, month: 1, day: 1 };
            let whole = days.floor().clamp(0.0, 364.0);
            let date = if whole >= 1.0 { Day::of_year(year, whole as u16 + 1).unwrap() } else { day };
            let site = Site { latitude: 0.7, longitude: -1.1, height: 0.0 };
            let exact =
                sun_position(&site, &Moment { day: date, seconds: (days - whole) * 86_400.0, offset: 0.0 }, &Air::STANDARD).unwrap();
            let turn = sun.hour_angle - 1.1;
            let up = 0.7_f64.sin() * sun.declination.sin() + 0.7_f64.cos() * sun.declination.cos() * turn.cos();
            let north = 0.7_f64.cos() * sun.declination.sin() - 0.7_f64.sin() * sun.declination.cos() * turn.cos();
            let east = -sun.declination.cos() * turn.sin();
            let lowered = up.asin() - 4.263e-5 * up.asin().cos();
            worst = worst.max(apart((exact.azimuth, exact.true_elevation), (east.atan2(north), lowered)));
        }
    }
    println!("worst difference of the year's way: {:.6} degrees", worst.to_degrees());
    assert!(worst.to_degrees() < 0.0005, "{}", worst.to_degrees());
}

#[test]
fn calendar() {
    // The Gregorian calendar, high.
    assert_eq!((days_in_year(1900), days_in_year(2000), days_in_year(2026), days_in_year(2028)), (365, 366, 365, 366));
    assert_eq!(day_of_year(Day { year: 2028, month: 3, day: 1 }), Ok(61));
    assert_eq!(Day::of_year(2028, 366), Ok(Day { year: 2028, month: 12, day: 31 }));
    assert_eq!(day_of_year(Day { year: 2026, month: 2, day: 29 }), Err(Unreckonable::NoSuchDay { year: 2026, month: 2, day: 29 }));
    assert!(Day::of_year(2026, 366).is_err());
    assert!(Day::of_year(2026, 0).is_err());
    assert!(SunYear::new(2200).is_err());
}
