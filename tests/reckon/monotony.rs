//! Checks that more of a cause never gives less of its effect, over random sites. They must not know the formulas.

use pintle::reckon::circuit::{Run, run_voltages};
use pintle::reckon::force::{Sample, time_above};
use pintle::reckon::sun::{Receiver, SunYear, glare};
use pintle::reckon::wire::{Build, gauge_area, gauge_resistance, metric_resistance, nominal_gauge_resistance};
use pintle::reckon::{battery, leaf};
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
    let falls = |ohms: Vec<f64>| ohms.len() > 5 && ohms.windows(2).all(|pair| pair[0] > pair[1]);
    for build in [Build::Solid, Build::Stranded] {
        assert!(falls((-3..=18).rev().filter_map(|gauge| gauge_resistance(gauge, build, 75.0).ok()).collect()));
    }
    let areas = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0];
    assert!(falls(areas.iter().map(|area| metric_resistance(*area, 20.0).unwrap()).collect()));
    assert!((-3..40).all(|gauge| gauge_area(gauge).unwrap() > gauge_area(gauge + 1).unwrap()));
}

proptest! {
    #[test]
    fn resistance_grows_with_heat(gauge in -3..=40, cooler in -60.0..250.0_f64, warmer in -60.0..250.0_f64) {
        let (cooler, warmer) = (cooler.min(warmer), cooler.max(warmer));
        let nominal = |celsius| nominal_gauge_resistance(gauge, Build::Stranded, celsius).unwrap();
        prop_assert!(nominal(cooler) <= nominal(warmer));
        let table = |celsius| gauge_resistance(12, Build::Stranded, celsius).unwrap();
        prop_assert!(table(cooler) <= table(warmer) && table(cooler) > 0.0);
    }

    #[test]
    fn tree_agrees_with_pairs_of_loads(runs in tree()) {
        let found = run_voltages(1000.0, &runs).unwrap();
        for (found, expected) in found.iter().zip(by_pairs(1000.0, &runs)) {
            prop_assert!((found - expected).abs() < 1e-9 * (1000.0 + expected.abs()), "{} {}", found, expected);
        }
    }

    #[test]
    fn voltage_falls_with_any_load_or_length(runs in tree(), which in any::<prop::sample::Index>(), more in 0.0..5.0) {
        let before = run_voltages(24.0, &runs).unwrap();
        let which = which.index(runs.len());
        for change in 0..3 {
            let mut changed = runs.clone();
            match change {
                0 => changed[which].current += more,
                1 => changed[which].length += more,
                _ => changed[which].ohms += more,
            }
            let after = run_voltages(24.0, &changed).unwrap();
            prop_assert!(before.iter().zip(&after).all(|(before, after)| *after <= before + 1e-9 * (1.0 + before.abs())));
        }
        // Down the tree the voltage never rises.
        for (at, run) in runs.iter().enumerate() {
            prop_assert!(before[at] <= run.from.map_or(24.0, |from| before[from]) + 1e-12);
        }
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
    fn hinges_and_slopes(mass in 1.0..1e3, reach in 0.1..5.0, spacing in 0.3..2.0, slope in 0.0..1.0, more in 1.0..3.0) {
        let level = |reach, spacing| leaf::hinge_pull(mass, reach, spacing).unwrap();
        prop_assert!(level(reach * more, spacing) >= level(reach, spacing));
        prop_assert!(level(reach, spacing * more) <= level(reach, spacing));
        let pull = |mass, slope| leaf::downhill_force(mass, slope).unwrap();
        prop_assert!(pull(mass, slope * more) >= pull(mass, slope) && pull(mass * more, slope) >= pull(mass, slope));
        prop_assert!(pull(mass, slope) <= mass * 9.80665 * (1.0 + 1e-12));
    }

    #[test]
    fn times_above_lower_levels_are_longer(forces in proptest::collection::vec(0.0..1500.0, 2..60), low in 1.0..700.0_f64, high in 1.0..700.0_f64) {
        let record: Vec<Sample> = forces.iter().enumerate().map(|(at, &force)| Sample { time: at as f64 * 0.1, force }).collect();
        let (low, high) = (low.min(high), low.max(high));
        let (more, less) = (time_above(&record, low).unwrap(), time_above(&record, high).unwrap());
        let length = (forces.len() - 1) as f64 * 0.1;
        prop_assert!(more.span >= less.span - 1e-9 && more.span <= length + 1e-9);
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
