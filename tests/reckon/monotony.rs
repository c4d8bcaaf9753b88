//! Checks that more of a cause never gives less of its effect, over random sites. They must not know the formulas.

use pintle::reckon::circuit::{Conductor, Load, Run, longest_run, loop_drop, run_voltages, voltages};
use pintle::reckon::conduit::{Bundle, fill, most_alike};
use pintle::reckon::conduit_table::{ConduitKind, conduits};
use pintle::reckon::force::{Sample, time_above};
use pintle::reckon::sun::{Receiver, SunYear, glare};
use pintle::reckon::wire::{
    Build, Class, Surface, gauge_area, gauge_resistance, listed_areas, listed_gauges, metric_resistance, nominal_gauge_resistance,
};
use pintle::reckon::{battery, hinge, motion, separation, solar_array, wind};
use proptest::prelude::*;
use std::sync::LazyLock;

static YEAR: LazyLock<SunYear> = LazyLock::new(|| SunYear::new(2026).unwrap());

fn tree() -> impl Strategy<Value = Vec<Run>> {
    proptest::collection::vec((any::<prop::sample::Index>(), 0.0..200.0, 0.0..0.05, 0.0..5.0), 1..20).prop_map(|rows| {
        let run = |(at, row): (usize, &(prop::sample::Index, f64, f64, f64))| {
            // One choice more than there are earlier runs: the supply itself.
            let from = row.0.index(at + 1).checked_sub(1);
            Run { from, length: row.1, ohms: row.2, current: row.3 }
        };
        rows.iter().enumerate().map(run).collect()
    })
}

/// Another way round: every load's current through each run on its way, added up pair by pair.
fn by_pairs(volts: f64, runs: &[Run]) -> Vec<f64> {
    let way = |mut at: usize| {
        let mut way = vec![at];
        while let Some(from) = runs[at].from {
            way.push(from);
            at = from;
        }
        way
    };
    let ways: Vec<Vec<usize>> = (0..runs.len()).map(way).collect();
    let shared = |one: &[usize], two: &[usize]| -> f64 {
        one.iter().filter(|at| two.contains(at)).map(|&at| 2.0 * runs[at].length * runs[at].ohms).sum()
    };
    (0..runs.len())
        .map(|at| volts - (0..runs.len()).map(|other| runs[other].current * shared(&ways[at], &ways[other])).sum::<f64>())
        .collect()
}

#[test]
fn tables_fall_with_thickness() {
    for build in [Build::Solid, Build::Stranded] {
        for surface in [Surface::Plain, Surface::Coated] {
            let ohms: Vec<f64> = listed_gauges().filter_map(|gauge| gauge_resistance(gauge, build, surface, 75.0).ok()).collect();
            assert!(ohms.windows(2).all(|pair| pair[0] > pair[1]));
        }
    }
    for class in [Class::Solid, Class::Stranded, Class::Flexible] {
        let ohms: Vec<f64> = listed_areas().filter_map(|area| metric_resistance(area, class, Surface::Plain, 20.0).ok()).collect();
        assert!(ohms.windows(2).all(|pair| pair[0] > pair[1]));
    }
    assert!((-3..40).all(|gauge| gauge_area(gauge).unwrap() > gauge_area(gauge + 1).unwrap()));
}

proptest! {
    #[test]
    fn resistance_grows_with_heat(gauge in -3..=40, cooler in -60.0..250.0_f64, warmer in -60.0..250.0_f64) {
        let (cooler, warmer) = (cooler.min(warmer), cooler.max(warmer));
        let nominal = |celsius| nominal_gauge_resistance(gauge, Build::Stranded, celsius).unwrap();
        prop_assert!(nominal(cooler) <= nominal(warmer));
        let table = |celsius| gauge_resistance(12, Build::Stranded, Surface::Plain, celsius).unwrap();
        prop_assert!(table(cooler) <= table(warmer) && table(cooler) > 0.0);
    }

    #[test]
    fn drop_grows_with_length_resistance_and_current(length in 0.0..1e3, ohms in 0.0..1.0, current in 0.0..100.0, more in 1.0..3.0) {
        let drop = loop_drop(length, ohms, current).unwrap();
        prop_assert!(loop_drop(length * more, ohms, current).unwrap() >= drop);
        prop_assert!(loop_drop(length, ohms * more, current).unwrap() >= drop);
        prop_assert!(loop_drop(length, ohms, current * more).unwrap() >= drop);
    }

    #[test]
    fn longest_run_is_the_inverse(drop in 0.1..20.0, ohms in 1e-4..1.0, current in 0.01..50.0) {
        let length = longest_run(drop, ohms, current).unwrap();
        let back = loop_drop(length, ohms, current).unwrap();
        prop_assert!((back / drop - 1.0).abs() < 1e-12);
    }

    #[test]
    fn tree_agrees_with_pairs_of_loads(runs in tree()) {
        let found = run_voltages(1000.0, 0.0, &runs).unwrap();
        for (found, expected) in found.iter().zip(by_pairs(1000.0, &runs)) {
            prop_assert!((found - expected).abs() < 1e-9 * (1000.0 + expected.abs()), "{} {}", found, expected);
        }
    }

    #[test]
    fn voltage_falls_with_any_load_or_length(runs in tree(), which in any::<prop::sample::Index>(), more in 0.0..5.0) {
        let before = run_voltages(24.0, 0.1, &runs).unwrap();
        let which = which.index(runs.len());
        for change in 0..3 {
            let mut changed = runs.clone();
            match change {
                0 => changed[which].current += more,
                1 => changed[which].length += more,
                _ => changed[which].ohms += more,
            }
            let after = run_voltages(24.0, 0.1, &changed).unwrap();
            prop_assert!(before.iter().zip(&after).all(|(before, after)| *after <= before + 1e-9 * (1.0 + before.abs())));
        }
        // Down the tree the voltage never rises.
        for (at, run) in runs.iter().enumerate() {
            prop_assert!(before[at] <= run.from.map_or(24.0, |from| before[from]) + 1e-12);
        }
    }

    #[test]
    fn sharing_a_return_never_helps(length in 1.0..100.0, ohms in 1e-3..0.05, currents in proptest::collection::vec(0.0..2.0, 1..6)) {
        let wire = Conductor { from: None, length, ohms };
        let count = currents.len();
        let shared: Vec<Load> = currents.iter().enumerate().map(|(at, &current)| Load { feed: Some(at), back: Some(count), current }).collect();
        let own: Vec<Load> = currents.iter().enumerate().map(|(at, &current)| Load { feed: Some(at), back: Some(count + at), current }).collect();
        let shared = voltages(24.0, 0.0, &vec![wire; count + 1], &shared).unwrap();
        let own = voltages(24.0, 0.0, &vec![wire; 2 * count], &own).unwrap();
        prop_assert!(shared.volts.iter().zip(&own.volts).all(|(shared, own)| *shared <= own + 1e-12));
    }

    #[test]
    fn fill_grows_with_conductors(count in 1_u32..200, area in 1e-6..1e-4, size in 0_usize..10) {
        let inside = conduits(ConduitKind::Plastic40)[size].area;
        let ratio = |count| fill(&[Bundle { count, area }], inside, false).unwrap().ratio;
        prop_assert!(ratio(count) < ratio(count + 1));
        let most = most_alike(area, inside).unwrap();
        // As many as are taken fill the conduit by at most a fifth of one conductor over the limit.
        if let Ok(most) = u32::try_from(most) && most > 0 {
            let full = fill(&[Bundle { count: most, area }], inside, false).unwrap();
            prop_assert!(full.ratio <= full.limit + 0.21 * area / inside);
        }
    }

    #[test]
    fn batteries(daily in 1e3..1e6, days in 0.5..10.0, depth in 0.1..1.0, cold in 1.0..2.0, aged in 0.5..1.0, more in 1.0..2.0) {
        let reserve = battery::Reserve { days, depth, cold, aged };
        let capacity = battery::needed_capacity(daily, &reserve).unwrap();
        prop_assert!(battery::needed_capacity(daily * more, &reserve).unwrap() >= capacity);
        let colder = battery::Reserve { cold: cold * more, ..reserve };
        prop_assert!(battery::needed_capacity(daily, &colder).unwrap() >= capacity);
        let back = battery::days_of_autonomy(capacity, daily, &reserve).unwrap();
        prop_assert!((back / days - 1.0).abs() < 1e-9);
        prop_assert!(battery::days_of_autonomy(capacity * more, daily, &reserve).unwrap() >= back);
        let by_use = battery::days_of_autonomy_by_use(capacity, 72_000.0, 1.2, &[(daily / 3600.0, 3600.0)], &reserve).unwrap();
        prop_assert!(by_use <= back * (1.0 + 1e-9));
    }

    #[test]
    fn cold_takes_capacity(cooler in -6.6..60.0_f64, warmer in -6.6..60.0_f64) {
        let (cooler, warmer) = (cooler.min(warmer), cooler.max(warmer));
        prop_assert!(battery::lead_temperature_factor(cooler).unwrap() >= battery::lead_temperature_factor(warmer).unwrap());
    }

    #[test]
    fn discharge_time_falls_with_current(capacity in 1e4..1e6, exponent in 1.0..2.0, current in 0.01..100.0, more in 1.0..5.0) {
        let time = |current| battery::peukert_time(capacity, 72_000.0, exponent, current).unwrap();
        prop_assert!(time(current * more) <= time(current));
    }

    #[test]
    fn arrays(energy in 1e3..1e7, sun in 3600.0..30_000.0, efficiency in 0.3..1.0, more in 1.0..3.0) {
        let power = solar_array::array_power(energy, sun, efficiency, 1.0).unwrap();
        prop_assert!(solar_array::array_power(energy * more, sun, efficiency, 1.0).unwrap() >= power);
        prop_assert!(solar_array::array_power(energy, sun * more, efficiency, 1.0).unwrap() <= power);
        prop_assert!((solar_array::array_to_load(power, sun, efficiency, energy).unwrap() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn movement(travel in 0.0..20.0, speed in 0.01..2.0, gain in 0.05..5.0, loss in 0.05..5.0, more in 1.0..3.0, wait in 0.0..2.0) {
        let time = motion::ramped_run_time(travel, speed, gain, loss).unwrap();
        prop_assert!(time >= motion::run_time(travel, speed).unwrap() * (1.0 - 1e-12));
        prop_assert!(motion::ramped_run_time(travel * more, speed, gain, loss).unwrap() >= time);
        prop_assert!(motion::ramped_run_time(travel, speed * more, gain, loss).unwrap() <= time * (1.0 + 1e-12));
        let distance = motion::stopping_distance(speed, &[wait], loss).unwrap();
        prop_assert!(motion::stopping_distance(speed * more, &[wait], loss).unwrap() >= distance);
        prop_assert!(motion::stopping_distance(speed, &[wait, 0.1], loss).unwrap() >= distance);
        prop_assert!(motion::stopping_distance(speed, &[wait], loss * more).unwrap() <= distance);
    }

    #[test]
    fn hinges_and_wind(mass in 1.0..1e3, reach in 0.1..5.0, spacing in 0.3..2.0, more in 1.0..3.0, solidity in 0.05..0.5, speed in 1.0..60.0) {
        let level = |reach, spacing| hinge::hinge_load(mass, reach, spacing, 1.0).unwrap().level;
        prop_assert!(level(reach * more, spacing) >= level(reach, spacing));
        prop_assert!(level(reach, spacing * more) <= level(reach, spacing));
        let pressure = |speed| wind::velocity_pressure(speed, 1.226, 1.0).unwrap();
        let sail = wind::Sail { width: reach, height: spacing, solidity, coefficient: 1.3 };
        let moment = |sail: wind::Sail, speed| sail.hinge_moment(pressure(speed), 0.0).unwrap();
        prop_assert!(moment(sail, speed * more) >= moment(sail, speed));
        let (denser, wider) = (wind::Sail { solidity: solidity * 2.0, ..sail }, wind::Sail { width: reach * more, ..sail });
        prop_assert!(moment(denser, speed) >= moment(sail, speed));
        prop_assert!(moment(wider, speed) >= moment(sail, speed));
    }

    #[test]
    fn slower_stopping_needs_more_distance(time in 0.0..3.0, more in 0.0..3.0, detail in 0.0..0.07_f64, other in 0.0..0.07_f64) {
        let curtain = |time, detail| separation::curtain_distance(time, detail).unwrap();
        prop_assert!(curtain(time + more, detail) >= curtain(time, detail));
        prop_assert!(curtain(time, detail.max(other)) >= curtain(time, detail.min(other)));
        prop_assert!(separation::beams_distance(time + more, 2).unwrap() >= separation::beams_distance(time, 2).unwrap());
        prop_assert!(separation::beams_distance(time, 1).unwrap() >= separation::beams_distance(time, 2).unwrap());
    }

    #[test]
    fn times_above_lower_levels_are_longer(forces in proptest::collection::vec(0.0..1500.0, 2..60), low in 1.0..700.0_f64, high in 1.0..700.0_f64) {
        let record: Vec<Sample> = forces.iter().enumerate().map(|(at, &force)| Sample { time: at as f64 * 0.1, force }).collect();
        let (low, high) = (low.min(high), low.max(high));
        let (more, less) = (time_above(&record, low).unwrap(), time_above(&record, high).unwrap());
        prop_assert!(more.total >= less.total - 1e-9 && more.span >= less.span - 1e-9);
        let length = (forces.len() - 1) as f64 * 0.1;
        prop_assert!(less.total <= less.span + 1e-9 && more.span <= length + 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_wider_cone_takes_more_sun(
        latitude in -1.5..1.5, longitude in -3.1..3.1, bearing in 0.0..6.3, tilt in -0.3..0.8, half_angle in 0.02..0.25, more in 1.05..2.0,
    ) {
        let narrow = Receiver { latitude, longitude, bearing, tilt, half_angle, skyline: 0.0 };
        let wide = Receiver { half_angle: half_angle * more, ..narrow };
        let total = |receiver: &Receiver| glare(&YEAR, 0.0, receiver).unwrap().total;
        prop_assert!(total(&wide) >= total(&narrow));
        let hidden = Receiver { skyline: 0.05, ..narrow };
        prop_assert!(total(&hidden) <= total(&narrow));
    }

    #[test]
    fn the_clock_does_not_change_the_sun(bearing in 0.0..6.3, hours in -12_i32..=12) {
        let receiver = Receiver { latitude: 0.68, longitude: -1.8, bearing, tilt: 0.0, half_angle: 0.17, skyline: 0.0 };
        let total = |hours: i32| glare(&YEAR, f64::from(hours) * 3600.0, &receiver).unwrap().total;
        // The year begins and ends with other hours: at most a day's worth at either end.
        prop_assert!((total(hours) - total(0)).abs() < 2.0 * 7200.0);
    }
}
