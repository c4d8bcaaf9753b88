//! Checks of recorded impact forces. They must not know how the record is walked.

use super::near;
use pintle::reckon::force::{
    DYNAMIC_TIME, ForceFigures, Movement, Place, RESIDUAL_LEVEL, STATIC_LEVEL, Sample, TOTAL_TIME, mean_reading, peak_limit, read_record,
    time_above,
};

fn record(samples: &[(f64, f64)]) -> Vec<Sample> {
    samples.iter().map(|&(time, force)| Sample { time, force }).collect()
}

fn figures(samples: &[(f64, f64)]) -> ForceFigures {
    read_record(&record(samples), STATIC_LEVEL, RESIDUAL_LEVEL).unwrap()
}

fn passes(figures: &ForceFigures, limit: f64) -> bool {
    figures.peak <= limit && figures.dynamic.span <= DYNAMIC_TIME && figures.residual.span <= TOTAL_TIME && !figures.residual.unfinished
}

#[test]
fn limits_by_movement_and_gap() {
    use Movement::{Level, Swinging, Tilting, Upright};
    // EN 12453 annex A: 400 and 1400 N published (trade-federation leaflet), the whole table from memory, high.
    for movement in [Level, Swinging, Upright, Tilting] {
        near(peak_limit(movement, Place::Edge(0.3)).unwrap(), 400.0, 0.0);
        near(peak_limit(movement, Place::Edge(0.05)).unwrap(), 400.0, 0.0);
        near(peak_limit(movement, Place::Edge(0.5)).unwrap(), 400.0, 0.0);
        near(peak_limit(movement, Place::Face).unwrap(), 1400.0, 0.0);
        assert!(peak_limit(movement, Place::Edge(0.049)).is_err());
    }
    for (movement, limit) in [(Level, 1400.0), (Swinging, 1400.0), (Upright, 400.0), (Tilting, 400.0)] {
        near(peak_limit(movement, Place::Edge(0.501)).unwrap(), limit, 0.0);
    }
}

#[test]
fn records_that_pass_and_fail() {
    // EN 12453 annex A, high: slide, gap 300 mm, peak 390 N, under 150 N at 0.6 s, 20 N at 4 s.
    let slide = figures(&[(0.0, 0.0), (0.05, 390.0), (0.6, 149.0), (4.0, 20.0), (5.0, 10.0)]);
    assert!(passes(&slide, peak_limit(Movement::Level, Place::Edge(0.3)).unwrap()));
    // High: the same with 410 N.
    let harder = figures(&[(0.0, 0.0), (0.05, 410.0), (0.6, 149.0), (4.0, 20.0), (5.0, 10.0)]);
    assert!(!passes(&harder, peak_limit(Movement::Level, Place::Edge(0.3)).unwrap()));
    // High: swing, gap 800 mm, peak 1200 N, 140 N at 0.7 s, 24 N at 4.9 s passes; lift with the same fails.
    let swing = figures(&[(0.0, 0.0), (0.05, 1200.0), (0.7, 140.0), (4.9, 24.0), (5.2, 0.0)]);
    assert!(passes(&swing, peak_limit(Movement::Swinging, Place::Edge(0.8)).unwrap()));
    assert!(!passes(&swing, peak_limit(Movement::Upright, Place::Edge(0.8)).unwrap()));
}

#[test]
fn times_above_a_level() {
    // Recomputed, high: a triangle of 300 N over 2 s is above 150 N for 1 s, from 0.5 to 1.5 s.
    let triangle = time_above(&record(&[(0.0, 0.0), (1.0, 300.0), (2.0, 0.0)]), 150.0).unwrap();
    near(triangle.total, 1.0, 1e-12);
    near(triangle.span, 1.0, 1e-12);
    assert!(!triangle.unfinished);
    // Recomputed, high: two bounces; the span counts the dip between them.
    let bounces = time_above(&record(&[(0.0, 0.0), (0.1, 200.0), (0.2, 100.0), (0.3, 200.0), (0.4, 0.0)]), 150.0).unwrap();
    near(bounces.total, 0.025 + 0.05 + 0.05 + 0.025, 1e-9);
    near(bounces.span, 0.25, 1e-9);
    // A record that stops too early says so.
    assert!(time_above(&record(&[(0.0, 200.0), (0.5, 180.0)]), 150.0).unwrap().unfinished);
    // Never above: nothing; exactly on the level is not above.
    near(time_above(&record(&[(0.0, 150.0), (1.0, 150.0)]), 150.0).unwrap().span, 0.0, 0.0);
}

#[test]
fn peaks_steps_and_means() {
    let figures = figures(&[(1.0, 0.0), (1.1, 320.0), (1.5, 310.0), (2.0, 0.0)]);
    near(figures.peak, 320.0, 0.0);
    near(figures.peak_time, 1.1, 0.0);
    near(figures.length, 1.0, 1e-12);
    near(figures.widest_step, 0.5, 1e-12);
    // EN 12445, from memory, high: the mean of 380, 400 and 410 N.
    near(mean_reading(&[380.0, 400.0, 410.0]).unwrap(), 396.7, 0.05);
    assert!(mean_reading(&[]).is_err());
    assert!(read_record(&record(&[(0.0, 1.0)]), 150.0, 25.0).is_err());
    assert!(read_record(&record(&[(0.0, 1.0), (0.0, 2.0)]), 150.0, 25.0).is_err());
    assert!(read_record(&record(&[(0.0, 1.0), (1.0, f64::NAN)]), 150.0, 25.0).is_err());
}
