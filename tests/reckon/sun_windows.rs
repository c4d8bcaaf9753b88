//! Checks of the year's sun windows against an independent program and against plain sense. They must not know how they are found.

use super::near;
use pintle::reckon::sun::{Day, End, Glare, Receiver, SunYear, compare_ends, day_of_year, glare};
use std::collections::BTreeMap;

const HOUR: f64 = 3600.0;

fn receiver(latitude: f64, longitude: f64, bearing: f64, tilt: f64, half_angle: f64) -> Receiver {
    Receiver {
        latitude: latitude.to_radians(),
        longitude: longitude.to_radians(),
        bearing: bearing.to_radians(),
        tilt: tilt.to_radians(),
        half_angle: half_angle.to_radians(),
        skyline: 0.0,
    }
}

/// The receivers of tests/outside/sun_reference.py: name, year, hours ahead of universal time, receiver.
fn receivers() -> [(&'static str, i32, f64, Receiver); 7] {
    [
        ("low-west", 2026, -7.0, receiver(39.1, -101.2, 265.0, 0.0, 10.0)),
        ("low-east", 2026, -7.0, receiver(39.1, -101.2, 85.0, 0.0, 10.0)),
        ("high-south", 2027, 1.0, receiver(52.3, 4.9, 180.0, 30.0, 5.0)),
        ("north-of-the-circle", 2028, 1.0, receiver(68.5, 17.4, 10.0, 1.0, 8.0)),
        ("south-of-the-equator", 2026, 10.0, receiver(-33.9, 151.2, 300.0, 2.0, 12.0)),
        ("near-the-equator", 2025, 3.0, receiver(0.5, 36.8, 90.0, 0.0, 4.0)),
        ("by-the-date-line", 2026, 12.0, receiver(-16.5, 179.9, 250.0, 5.0, 15.0)),
    ]
}

/// Whether a window holds a run of whole minutes and ends within a minute of it; two seconds are left for rounding.
fn agrees(from: f64, to: f64, first: f64, last: f64) -> bool {
    let begins = (first - 1.0) * 60.0 - 2.0 <= from && from <= first * 60.0 + 2.0;
    let ends = last * 60.0 - 2.0 <= to && to <= (last + 1.0) * 60.0 + 2.0;
    begins && ends
}

#[test]
fn every_window_of_seven_receivers() {
    // tests/outside/sun_reference.py, an independent program of the published algorithm, minute by minute over a year, high.
    let mut runs: BTreeMap<&str, Vec<(u16, f64, f64)>> = BTreeMap::new();
    for line in include_str!("outside/sun_windows.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        runs.entry(cells[0]).or_default().push((cells[1].parse().unwrap(), cells[2].parse().unwrap(), cells[3].parse().unwrap()));
    }
    for (name, year, hours, receiver) in receivers() {
        let found = glare(&SunYear::new(year).unwrap(), hours * HOUR, &receiver).unwrap();
        let expected = &runs[name];
        let mut held = 0;
        for window in &found.windows {
            let day = day_of_year(window.day).unwrap();
            let fits = expected.iter().filter(|run| run.0 == day && agrees(window.from, window.to, run.1, run.2)).count();
            held += fits;
            // A window that falls between two of the other program's minutes is the only one it may not have.
            assert!(fits == 1 || window.to - window.from < 62.0, "{name}: {window:?} on day {day}");
        }
        assert_eq!(held, expected.len(), "{name}");
        let minutes: f64 = expected.iter().map(|run| run.2 - run.1 + 1.0).sum();
        println!("{name}: {:.2} min here, {minutes} whole minutes there, {} windows", found.total / 60.0, expected.len());
        near(found.total / 60.0, minutes, (expected.len() as f64).sqrt() + 1.0);
    }
}

#[test]
fn sums_agree_with_the_windows() {
    for (_, year, hours, receiver) in receivers() {
        let found = glare(&SunYear::new(year).unwrap(), hours * HOUR, &receiver).unwrap();
        let mut by_day: BTreeMap<Day, f64> = BTreeMap::new();
        for window in &found.windows {
            assert!(window.from < window.to && window.closest <= receiver.half_angle + 1e-4, "{window:?}");
            assert!((window.from..=window.to).contains(&window.closest_at), "{window:?}");
            *by_day.entry(window.day).or_default() += window.to - window.from;
        }
        assert!(found.windows.windows(2).all(|pair| pair[0].day < pair[1].day || pair[0].to < pair[1].from));
        assert_eq!(by_day.len(), usize::from(found.days));
        near(by_day.values().sum(), found.total, 1e-6);
        let (day, seconds) = found.longest.unwrap();
        near(by_day[&day], seconds, 1e-6);
        assert!(by_day.values().all(|other| *other <= seconds + 1e-9));
        let closest = found.closest.unwrap();
        assert!(found.windows.iter().all(|window| window.closest >= closest.closest));
    }
}

#[test]
fn an_axis_due_west_on_the_equinox() {
    // Plain geometry, high: the sun sets due west at the equinoxes, so that its closest approach falls near 20 March and 22 September.
    let sun = SunYear::new(2026).unwrap();
    let found = glare(&sun, 0.0, &receiver(40.0, 0.0, 270.0, 0.0, 3.0)).unwrap();
    let days: Vec<u16> = found.windows.iter().map(|window| day_of_year(window.day).unwrap()).collect();
    assert!(days.iter().all(|day| (68..=92).contains(day) || (253..=278).contains(day)), "{days:?}");
    assert!(found.closest.unwrap().closest.to_degrees() < 0.2);
}

#[test]
fn the_better_end() {
    let sun = SunYear::new(2026).unwrap();
    // Plain geometry, high: north of the tropics the sun is never low in the north, so that a receiver looks north.
    let ends = compare_ends(&sun, -7.0 * HOUR, &receiver(39.1, -101.2, 180.0, 20.0, 15.0)).unwrap();
    assert_eq!(ends.better, End::There);
    assert_eq!(ends.there.total, 0.0);
    assert!(ends.here.total > 0.0);
    let turned = compare_ends(&sun, -7.0 * HOUR, &receiver(39.1, -101.2, 0.0, -20.0, 15.0)).unwrap();
    assert_eq!(turned.better, End::Here);
    // High: where neither end sees the sun.
    let ends = compare_ends(&sun, -7.0 * HOUR, &receiver(39.1, -101.2, 0.0, 0.0, 10.0)).unwrap();
    assert_eq!(ends.better, End::Either);
}

#[test]
fn corners_of_the_earth() {
    let sun = SunYear::new(2028).unwrap();
    for latitude in [-90.0, -66.6, 0.0, 66.6, 90.0] {
        for longitude in [-180.0, 0.0, 180.0] {
            for tilt in [-90.0, 0.0, 90.0] {
                let found = glare(&sun, 14.0 * HOUR, &receiver(latitude, longitude, 123.0, tilt, 20.0)).unwrap();
                assert!(found.total.is_finite() && found.total <= 366.0 * 86_400.0);
            }
        }
    }
    // Plain sense, high: on the pole the sun is up, half the year, in every direction; a cone of 90° to the zenith holds all of it.
    let pole = glare(&sun, 0.0, &receiver(90.0, 0.0, 0.0, 90.0, 90.0)).unwrap();
    near(pole.total / 86_400.0, 186.0 + 3.0, 2.0);
}

#[test]
fn a_skyline_hides_the_sun() {
    let sun = SunYear::new(2026).unwrap();
    let open = receiver(39.1, -101.2, 265.0, 0.0, 10.0);
    let total = |skyline: f64| glare(&sun, -7.0 * HOUR, &Receiver { skyline: skyline.to_radians(), ..open }).unwrap().total;
    assert!(total(-0.27) > total(0.0) && total(0.0) > total(5.0) && total(5.0) > total(9.9));
    near(total(10.5), 0.0, 0.0);
}

#[test]
fn twice_the_same() {
    let found = || -> Glare { glare(&SunYear::new(2026).unwrap(), 0.0, &receiver(39.1, -101.2, 265.0, 0.0, 10.0)).unwrap() };
    assert_eq!(found(), found());
}
