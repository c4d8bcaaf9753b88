//! Checks of conductor sizes and resistances against handbook tables. They must not know how the tables are kept.

use super::{INCH, PER_KILOFOOT, near};
use pintle::reckon::wire::{
    ALUMINIUM_SLOPE_75, Build, CIRCULAR_MIL, COPPER_SLOPE_75, Class, Surface, gauge_area, gauge_diameter, gauge_resistance, listed_areas,
    listed_gauges, metric_resistance, nominal_gauge_resistance, resistance_at, resistance_from_75, resistivity_of_k,
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
#[expect(clippy::approx_constant, reason = "3.14 is a published resistance here, not a circle")]
fn gauge_table_for_every_size() {
    // NEC chapter 9 table 8, 75 °C, Ω per thousand feet, high. Plain stranded from a second public page than the one that the program's table was
    // typed from (14 to 8 gauge there are solid, as its values show: 3.07, 1.93, 1.21, 0.764).
    let stranded = [
        (6, 0.491),
        (4, 0.308),
        (3, 0.245),
        (2, 0.194),
        (1, 0.154),
        (0, 0.122),
        (-1, 0.0967),
        (-2, 0.0766),
        (-3, 0.0608),
        // An exam-course page and a licence page, high.
        (18, 7.95),
        (16, 4.99),
        (14, 3.14),
        (12, 1.98),
        (10, 1.24),
        (8, 0.778),
    ];
    for (gauge, printed) in stranded {
        near(gauge_resistance(gauge, Build::Stranded, Surface::Plain, 75.0).unwrap() / PER_KILOFOOT, printed, 1e-9);
    }
    for (gauge, printed) in [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)] {
        near(gauge_resistance(gauge, Build::Solid, Surface::Plain, 75.0).unwrap() / PER_KILOFOOT, printed, 1e-9);
    }
    assert_eq!(listed_gauges().count(), stranded.len());
    // The same table's Ω/km column for 18 to 8 gauge, published, high: printed to three or four digits on its own.
    for (gauge, solid, stranded) in
        [(18, 25.5, 26.1), (16, 16.0, 16.4), (14, 10.1, 10.3), (12, 6.34, 6.50), (10, 3.984, 4.070), (8, 2.506, 2.551)]
    {
        near(gauge_resistance(gauge, Build::Solid, Surface::Plain, 75.0).unwrap() * 1e3 / solid, 1.0, 0.004);
        near(gauge_resistance(gauge, Build::Stranded, Surface::Plain, 75.0).unwrap() * 1e3 / stranded, 1.0, 0.004);
    }
    // Solid thicker than 8 gauge and sizes such as 20 gauge are not in the table.
    assert!(gauge_resistance(6, Build::Solid, Surface::Plain, 75.0).is_err());
    assert!(gauge_resistance(20, Build::Stranded, Surface::Plain, 75.0).is_err());
}

#[test]
fn table_against_the_formula_for_every_size() {
    // Two independent ways: the table, and ASTM B258 with standard copper. Coated conductors always resist more.
    for gauge in listed_gauges() {
        for build in [Build::Solid, Build::Stranded] {
            let Ok(table) = gauge_resistance(gauge, build, Surface::Plain, 75.0) else { continue };
            let formula = nominal_gauge_resistance(gauge, build, 75.0).unwrap();
            let (least, most) = if build == Build::Solid { (0.99, 1.01) } else { (1.0, 1.025) };
            assert!((least..=most).contains(&(formula / table)), "{gauge} {build:?}: {}", formula / table);
            let coated = gauge_resistance(gauge, build, Surface::Coated, 75.0).unwrap() / table;
            assert!((1.025..=1.07).contains(&coated), "{gauge} {build:?} coated: {coated}");
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
fn temperature() {
    let strand = |celsius| gauge_resistance(12, Build::Stranded, Surface::Plain, celsius).unwrap() / PER_KILOFOOT;
    // NEC chapter 9 table 8 note 2 from memory, recomputed, high: 12 gauge stranded at 20, 60, 90 °C.
    near(strand(20.0), 1.6283, 0.0001);
    near(strand(60.0), 1.8841, 0.0001);
    near(strand(90.0), 2.0759, 0.0001);
    // The same, high: 18 gauge solid at 20 °C.
    near(gauge_resistance(18, Build::Solid, Surface::Plain, 20.0).unwrap() / PER_KILOFOOT, 6.390, 0.001);
    // Recomputed, high: the slope is one over 234.5 + 75.
    near(COPPER_SLOPE_75, 1.0 / (234.5 + 75.0), 0.000_005);
    // Published on a voltage-drop page, medium: at 20 °C about 82 % of the table.
    near(strand(20.0) / strand(75.0), 0.82, 0.005);
    // Note 2 from memory, recomputed, high: aluminium at 20 °C.
    near(resistance_from_75(3.18, ALUMINIUM_SLOPE_75, 20.0).unwrap(), 2.603, 0.001);
    // A cable maker's factors under IEC 60228, published, medium (that table rounds the slope to 0.004): R at 20 °C over R at t.
    for (celsius, factor) in
        [(5.0, 1.064), (10.0, 1.042), (30.0, 0.962), (40.0, 0.926), (50.0, 0.893), (60.0, 0.862), (70.0, 0.833), (90.0, 0.781)]
    {
        near(1.0 / resistance_at(1.0, 20.0, celsius).unwrap() / factor, 1.0, 0.0045);
    }
}

#[test]
fn metric_table_for_every_size() {
    // IEC 60228 from a third public page (after DIN VDE 0295), Ω/km at 20 °C, high: area, class 2, class 5, tinned class 2, tinned class 5.
    let printed = [
        (0.5, 36.0, 39.0, 36.7, 40.1),
        (0.75, 24.5, 26.0, 24.8, 26.7),
        (1.0, 18.1, 19.5, 18.2, 20.0),
        (1.5, 12.1, 13.3, 12.2, 13.7),
        (2.5, 7.41, 7.98, 7.56, 8.21),
        (4.0, 4.61, 4.95, 4.70, 5.09),
        (6.0, 3.08, 3.30, 3.11, 3.39),
        (10.0, 1.83, 1.91, 1.84, 1.95),
        (16.0, 1.15, 1.21, 1.16, 1.24),
        (25.0, 0.727, 0.780, 0.734, 0.795),
        (35.0, 0.524, 0.554, 0.529, 0.565),
        (50.0, 0.387, 0.386, 0.391, 0.393),
        (70.0, 0.268, 0.272, 0.270, 0.277),
        (95.0, 0.193, 0.206, 0.195, 0.210),
        (120.0, 0.153, 0.161, 0.154, 0.164),
    ];
    assert_eq!(listed_areas().count(), printed.len());
    for (area, stranded, flexible, tinned, tinned_flexible) in printed {
        let found = |class, surface| metric_resistance(area, class, surface, 20.0).unwrap() * 1e3;
        near(found(Class::Stranded, Surface::Plain), stranded, 1e-9);
        near(found(Class::Solid, Surface::Plain), stranded, 1e-9);
        near(found(Class::Flexible, Surface::Plain), flexible, 1e-9);
        near(found(Class::Stranded, Surface::Coated), tinned, 1e-9);
        near(found(Class::Flexible, Surface::Coated), tinned_flexible, 1e-9);
    }
    // Recomputed, high: 2.5 mm² class 2 at 70 °C.
    near(metric_resistance(2.5, Class::Stranded, Surface::Plain, 70.0).unwrap() * 1e3, 8.866, 0.001);
    assert!(metric_resistance(25.0, Class::Solid, Surface::Coated, 20.0).is_err());
    assert!(metric_resistance(3.0, Class::Stranded, Surface::Plain, 20.0).is_err());
}

#[test]
fn trade_constant() {
    // Licence-exam page, high: K 12.9 is close to copper at 75 °C by the standard's own slope.
    let copper = resistance_at(1.7241e-8, 20.0, 75.0).unwrap();
    near(resistivity_of_k(12.9).unwrap() / copper, 1.0, 0.03);
}
