//! Checks of voltage along conductors. They must not know how the tree is walked.

use super::near;
use pintle::reckon::Unreckonable;
use pintle::reckon::circuit::{Run, run_voltages};

#[test]
fn textbook_distributor_with_four_loads() {
    // A textbook of electrical technology, chapter on d.c. distribution, example 1 (published, high): 300 V, 0.01 Ω a conductor and kilometre,
    // loads of 100, 150, 200 and 50 A after 500, 1000, 1600 and 2000 m: 295, 291, 288 and 287.6 V.
    let run = |from, length, current| Run { from, length, ohms: 1e-5, current };
    let runs = [run(None, 500.0, 100.0), run(Some(0), 500.0, 150.0), run(Some(1), 600.0, 200.0), run(Some(2), 400.0, 50.0)];
    let found = run_voltages(300.0, &runs).unwrap();
    for (found, expected) in found.iter().zip([295.0, 291.0, 288.0, 287.6]) {
        near(*found, expected, 1e-9);
    }
}

#[test]
fn exam_distributor_with_two_loads() {
    // An exam-preparation page (published, high): 500 V, 0.02 Ω a conductor and kilometre, 100 A after 2 km, 200 A after 4 km: 476 and 460 V.
    let runs =
        [Run { from: None, length: 2000.0, ohms: 2e-5, current: 100.0 }, Run { from: Some(0), length: 2000.0, ohms: 2e-5, current: 200.0 }];
    let found = run_voltages(500.0, &runs).unwrap();
    near(found[0], 476.0, 1e-9);
    near(found[1], 460.0, 1e-9);
}

#[test]
fn what_is_no_circuit() {
    let run = |from| Run { from, length: 1.0, ohms: 0.01, current: 1.0 };
    assert_eq!(run_voltages(24.0, &[run(Some(0))]), Err(Unreckonable::UnknownStart { which: 1, from: 1 }));
    assert_eq!(run_voltages(24.0, &[run(None), run(Some(7))]), Err(Unreckonable::UnknownStart { which: 2, from: 8 }));
    assert_eq!(run_voltages(24.0, &[]), Err(Unreckonable::Nothing { what: "run" }));
    assert!(run_voltages(24.0, &[run(Some(usize::MAX))]).is_err());
    // Too much for the supply shows as less than zero, not as an error.
    assert!(run_voltages(24.0, &[Run { from: None, length: 1000.0, ohms: 0.1, current: 10.0 }]).unwrap()[0] < 0.0);
}
