//! Checks of recorded impact forces. They must not know how the record is walked.

use super::near;
use pintle::reckon::force::{Sample, time_above};

fn record(samples: &[(f64, f64)]) -> Vec<Sample> {
    samples.iter().map(|&(time, force)| Sample { time, force }).collect()
}

#[test]
fn times_above_a_level() {
    // Recomputed, high: a triangle of 300 N over 2 s is above 150 N from 0.5 to 1.5 s.
    let triangle = time_above(&record(&[(0.0, 0.0), (1.0, 300.0), (2.0, 0.0)]), 150.0).unwrap();
    near(triangle.span, 1.0, 1e-12);
    assert!(!triangle.unfinished);
    // Recomputed, high: two bounces; the span counts the dip between them.
    let bounces = time_above(&record(&[(0.0, 0.0), (0.1, 200.0), (0.2, 100.0), (0.3, 200.0), (0.4, 0.0)]), 150.0).unwrap();
    near(bounces.span, 0.25, 1e-9);
    // A record that stops too early says so.
    assert!(time_above(&record(&[(0.0, 200.0), (0.5, 180.0)]), 150.0).unwrap().unfinished);
    // Never above: nothing; exactly on the level is not above.
    near(time_above(&record(&[(0.0, 150.0), (1.0, 150.0)]), 150.0).unwrap().span, 0.0, 0.0);
}

#[test]
fn records_out_of_order_are_refused() {
    assert!(time_above(&record(&[(0.0, 1.0), (0.0, 2.0)]), 150.0).is_err());
    assert!(time_above(&record(&[(0.0, 1.0), (1.0, f64::NAN)]), 150.0).is_err());
}
