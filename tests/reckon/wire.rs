//! Checks of conductor sizes and resistances against handbook tables. They must not know how the tables are kept.

use super::{INCH, PER_KILOFOOT, near};
use pintle::reckon::wire::{
    Build, CIRCULAR_MIL, COPPER_SLOPE_75, gauge_area, gauge_diameter, gauge_resistance, metric_resistance, nominal_gauge_resistance,
};

/// A printed number and half a unit of its last digit.
fn half_digit(printed: &str) -> (f64, f64) {
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (printed.parse().unwrap(), 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap()))
}

#[test]
fn diameters_of_every_gauge() {
    // ASTM B258 as printed in an open electronics textbook (copper wire table), high: inches, 4/0 to 40.
    let printed = "0.4600 0.4096 0.3648 0.3249 0.2893 0.2576 0.2294 0.2043 0.1819 0.1620 0.1443 0.1285 0.1144 0.1019 0.09074 0.08081 0.07196 \
                   0.06408 0.05707 0.05082 0.04526 0.04030 0.03589 0.03196 0.02846 0.02535 0.02257 0.02010 0.01790 0.01594 0.01420 0.01264 \
                   0.01126 0.01003 0.008928 0.007950 0.007080 0.006305 0.005615 0.005000 0.004453 0.003965 0.003531 0.003145";
    let printed: Vec<&str> = printed.split_whitespace().collect();
    assert_eq!(printed.len(), 44);
    for (gauge, printed) in (-3..=40).zip(printed) {
        let (inches, half) = half_digit(printed);
        near(gauge_diameter(gauge).unwrap() / INCH, inches, half * 1.001);
    }
    // ASTM B258, high: 12 gauge has 3.3088 mm² and 6530 circular mils.
    near(gauge_area(12).unwrap() * 1e6, 3.3088, 0.0001);
    near(gauge_area(12).unwrap() / CIRCULAR_MIL, 6530.0, 1.0);
    assert!(gauge_diameter(41).is_err());
    assert!(gauge_diameter(-4).is_err());
}

#[test]
fn table_against_the_formula_for_every_size() {
    // Two independent ways: the table, and ASTM B258 with standard copper.
    for gauge in -3..=18 {
        for build in [Build::Solid, Build::Stranded] {
            let Ok(table) = gauge_resistance(gauge, build, 75.0) else { continue };
            let formula = nominal_gauge_resistance(gauge, build, 75.0).unwrap();
            let (least, most) = if build == Build::Solid { (0.99, 1.01) } else { (1.0, 1.025) };
            assert!((least..=most).contains(&(formula / table)), "{gauge} {build:?}: {}", formula / table);
        }
    }
}

#[test]
fn solid_wires_at_20_degrees() {
    // A test-equipment maker's wire table after NBS Handbook 100, 20 °C, Ω per thousand feet, high.
    for (gauge, printed) in [
        (12, 1.588),
        (13, 2.003),
        (14, 2.525),
        (15, 3.184),
        (16, 4.016),
        (17, 5.064),
        (18, 6.385),
        (19, 8.051),
        (20, 10.15),
        (22, 16.14),
        (23, 20.36),
        (24, 25.67),
        (25, 32.37),
        (26, 40.81),
        (27, 51.47),
        (28, 64.90),
        (29, 81.83),
        (30, 103.2),
    ] {
        near(nominal_gauge_resistance(gauge, Build::Solid, 20.0).unwrap() / PER_KILOFOOT / printed, 1.0, 0.001);
    }
}

#[test]
fn stranded_wires_at_20_degrees() {
    // A network processor's design manual, table of seven-strand wires at 20 °C, Ω per thousand feet, high.
    for (gauge, printed) in [
        (1, 0.1288),
        (2, 0.1644),
        (4, 0.2582),
        (6, 0.4105),
        (8, 0.6528),
        (10, 1.028),
        (12, 1.650),
        (14, 2.624),
        (16, 4.172),
        (18, 6.636),
        (20, 10.54),
    ] {
        near(nominal_gauge_resistance(gauge, Build::Stranded, 20.0).unwrap() / PER_KILOFOOT / printed, 1.0, 0.012);
    }
}

#[test]
fn the_slope_at_75_degrees_is_that_of_the_straight_line() {
    // Recomputed, high: one over 234.5 + 75.
    near(COPPER_SLOPE_75, 1.0 / (234.5 + 75.0), 0.000_005);
}

#[test]
fn sizes_that_no_table_lists_are_refused() {
    assert!(gauge_resistance(6, Build::Solid, 75.0).is_err());
    assert!(gauge_resistance(20, Build::Stranded, 75.0).is_err());
    assert!(metric_resistance(3.0, 20.0).is_err());
}
