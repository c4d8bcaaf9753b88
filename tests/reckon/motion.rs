//! Checks of motion, hinges, separation distances and measuring. They must not know how the numbers are reckoned.

use super::{FOOT, near};
use pintle::reckon::{Unreckonable, hinge, measuring, motion, separation};

#[test]
fn run_times_and_speeds() {
    // Recomputed, high: 20 ft at 1 ft/s.
    near(motion::run_time(20.0 * FOOT, FOOT).unwrap(), 20.0, 1e-9);
    // Recomputed, high: a 3.6 m leaf through 90° in 15 s.
    near(motion::mean_tip_speed(3.6, std::f64::consts::FRAC_PI_2, 15.0).unwrap(), 0.377, 0.0005);
    near(motion::mean_speed(6.0, 30.0).unwrap(), 0.2, 1e-12);
    // Recomputed, high: 10 m at 0.5 m/s with 0.25 m/s² both ways: 1 m and 2 s in total at each end of half speed.
    near(motion::ramped_run_time(10.0, 0.5, 0.25, 0.25).unwrap(), 22.0, 1e-9);
    // Recomputed, high: too short for the top speed: 0.25 m up and 0.25 m down at 0.5 m/s² is 1 s each.
    near(motion::ramped_run_time(0.5, 10.0, 0.5, 0.5).unwrap(), 2.0, 1e-9);
}

#[test]
fn kinetic_energy() {
    // Recomputed, high: 500 kg at 0.2 m/s; 150 kg swing leaf with a tip at 0.3 m/s.
    near(motion::sliding_energy(500.0, 0.2).unwrap(), 10.0, 1e-9);
    near(motion::swinging_energy(150.0, 0.3).unwrap(), 2.25, 1e-9);
    // Recomputed, high: 300 kg at 0.2 m/s is 6 J.
    near(motion::sliding_energy(300.0, 0.2).unwrap(), 6.0, 1e-9);
    // Recomputed, high: the same swing leaf by its inertia, m L² / 3 with L = 4 m.
    near(motion::turning_energy(150.0 * 16.0 / 3.0, 0.3 / 4.0).unwrap(), 2.25, 1e-9);
}

#[test]
fn stopping() {
    // Recomputed, high: 0.3 m/s through 0.02 + 0.1 + 0.08 s, then 1 m/s²: 60 mm and 45 mm.
    near(motion::stopping_distance(0.3, &[0.02, 0.1, 0.08], 1.0).unwrap(), 0.105, 1e-12);
    near(motion::stopping_time(0.3, &[0.02, 0.1, 0.08], 1.0).unwrap(), 0.5, 1e-12);
    near(motion::deceleration_over(0.3, 0.045).unwrap(), 1.0, 1e-12);
    assert_eq!(motion::stopping_distance(0.3, &[], 1.0), Err(Unreckonable::Nothing { what: "response time" }));
}

#[test]
fn hinges() {
    // Recomputed, high: 150 kg, centre of mass 2 m out, hinges 1.5 m apart.
    let load = hinge::hinge_load(150.0, 2.0, 1.5, 1.0).unwrap();
    near(load.level, 1961.0, 0.5);
    near(load.upright, 1471.0, 0.1);
    // Recomputed, high: 120 N at the tip of a 4 m leaf is 960 N half a metre from the hinge.
    near(hinge::force_at_radius(120.0, 4.0, 0.5).unwrap(), 960.0, 1e-9);
    // Recomputed, high: 300 kg on 2 %.
    near(hinge::downhill_force(300.0, 0.02).unwrap(), 58.83, 0.01);
}

#[test]
fn separation_distances() {
    // A manufacturer's published worked example, high: 14 mm detail, 0.015 + 0.150 s gives 330 mm.
    near(separation::curtain_distance(0.165, 0.014).unwrap(), 0.330, 1e-9);
    // Formula from memory, recomputed, high: 30 mm and 0.08 s.
    near(separation::curtain_distance(0.08, 0.030).unwrap(), 0.288, 1e-9);
    // Formula from memory, recomputed, high: 30 mm and 0.3 s: 728 mm by hand speed, hence 608 mm by walking speed.
    near(separation::curtain_distance(0.3, 0.030).unwrap(), 0.608, 1e-9);
    // Formula from memory, recomputed, high: never under 100 mm; never under 500 mm by walking speed.
    near(separation::curtain_distance(0.0, 0.014).unwrap(), 0.1, 1e-9);
    near(separation::curtain_distance(0.26, 0.014).unwrap(), 0.5, 1e-9);
    // Formula from memory, recomputed, high: over 40 mm.
    near(separation::curtain_distance(0.4, 0.05).unwrap(), 1.49, 1e-9);
    // Formula from memory, recomputed, high: single beam 1840 mm, two and more 1490 mm.
    near(separation::beams_distance(0.4, 1).unwrap(), 1.84, 1e-9);
    near(separation::beams_distance(0.4, 2).unwrap(), 1.49, 1e-9);
    near(separation::beams_distance(0.4, 4).unwrap(), 1.49, 1e-9);
    assert!(separation::beams_distance(0.4, 5).is_err());
    // Formula from memory, recomputed, high: level field 300 mm up.
    near(separation::level_field_distance(0.4, 0.3, 0.05).unwrap(), 1.72, 1e-9);
    // Formula from memory, high: 1 m up keeps 850 mm; 70 mm detail may not lie under 300 mm.
    near(separation::level_field_distance(0.4, 1.0, 0.05).unwrap(), 1.49, 1e-9);
    assert!(separation::level_field_distance(0.4, 0.29, 0.07).is_err());
}

#[test]
fn tapes_and_chances() {
    use measuring::TapeClass::{One, Two};
    // Directive 2014/32/EU annex X (UK SI 2016/1153), high: 2.4 m from the hook; 5.0 m; 6.2 m in class I.
    near(measuring::tape_error(Two, 2.4, false).unwrap(), 0.9e-3, 1e-12);
    near(measuring::tape_error(Two, 2.4, true).unwrap(), 1.1e-3, 1e-12);
    near(measuring::tape_error(Two, 5.0, false).unwrap(), 1.3e-3, 1e-12);
    near(measuring::tape_error(One, 6.2, false).unwrap(), 0.8e-3, 1e-12);
    // ISO 14253-1, from memory, high: 57.15 mm with 0.5 mm.
    near(measuring::guarded_most(57.15, 0.5).unwrap(), 56.65, 1e-9);
    // JCGM 106, from memory, recomputed, high: 56.90 with 0.25 is one standard deviation below 57.15.
    near(measuring::chance_at_most(57.15, 56.90, 0.25).unwrap(), 0.841, 0.0005);
    // Recomputed, high: 5 m of steel 20 K warmer.
    near(measuring::steel_growth(5.0, 20.0).unwrap(), 1.15e-3, 1e-9);
    // Recomputed, high: six faults in a million hours, then one.
    near(measuring::years_between_faults(1.0).unwrap(), 114.2, 0.05);
    near(measuring::years_between_faults(6.0).unwrap(), 19.03, 0.005);
}
