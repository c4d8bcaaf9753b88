//! Checks of voltage along conductors. They must not know how the tree is walked.

use super::{FOOT, PER_KILOFOOT, near};
use pintle::reckon::Unreckonable;
use pintle::reckon::circuit::{
    Conductor, Load, Run, largest_resistance, longest_run, loop_drop, loop_drop_by_area, run_voltages, three_phase_drop, voltages,
};
use pintle::reckon::wire::{Build, CIRCULAR_MIL, Class, Surface, gauge_resistance, metric_resistance, resistivity_of_k};

fn by_k(current: f64, feet: f64, circular_mils: f64) -> f64 {
    loop_drop_by_area(feet * FOOT, resistivity_of_k(12.9).unwrap(), circular_mils * CIRCULAR_MIL, current).unwrap()
}

fn stranded(gauge: i32) -> f64 {
    gauge_resistance(gauge, Build::Stranded, Surface::Plain, 75.0).unwrap()
}

#[test]
fn licence_exam_examples() {
    // Licence-exam page, high: 20 A, 100 ft, 12 gauge (6530 circular mils), 120 V.
    near(by_k(20.0, 100.0, 6530.0), 7.90, 0.005);
    near(by_k(20.0, 100.0, 6530.0) / 120.0, 0.0658, 0.00005);
    // The same page, high: with 8 gauge (16,510).
    near(by_k(20.0, 100.0, 16510.0), 3.13, 0.005);
    near(by_k(20.0, 100.0, 16510.0) / 120.0, 0.0260, 0.00005);
    // Another licence-exam page, high: 16 A, 70 ft, 12 gauge; 24 A, 150 ft, 10 gauge (10,380), 240 V.
    near(by_k(16.0, 70.0, 6530.0), 4.43, 0.005);
    near(by_k(16.0, 70.0, 6530.0) / 120.0, 0.0369, 0.00005);
    near(by_k(24.0, 150.0, 10380.0), 8.95, 0.005);
    near(by_k(24.0, 150.0, 10380.0) / 240.0, 0.0373, 0.00005);
    // Recomputed, high: 15 A, 100 ft, 12 gauge. A public page prints 5.94 V and 4.95 %, a rounding error of its own.
    near(by_k(15.0, 100.0, 6530.0), 5.93, 0.005);
    near(by_k(15.0, 100.0, 6530.0) / 120.0, 0.0494, 0.00005);
    // An electricians' training page, high: 4 A, 100 ft, 16 gauge stranded: 4.0 V.
    near(loop_drop(100.0 * FOOT, stranded(16), 4.0).unwrap(), 4.0, 0.01);
}

#[test]
fn drops_by_resistance() {
    // Recomputed from NEC table 8, high.
    near(loop_drop(150.0 * FOOT, stranded(12), 5.0).unwrap(), 2.970, 0.0005);
    near(loop_drop(150.0 * FOOT, stranded(12), 5.0).unwrap() / 24.0, 0.12375, 0.00001);
    near(loop_drop(200.0 * FOOT, stranded(18), 0.25).unwrap(), 0.795, 0.0005);
    near(longest_run(0.03 * 24.0, stranded(12), 5.0).unwrap() / FOOT, 36.36, 0.005);
    near(largest_resistance(2.97, 150.0 * FOOT, 5.0).unwrap() / PER_KILOFOOT, 1.98, 1e-6);
    // Recomputed from IEC 60228, high: 45 m of 4 mm² class 2, 5 A, 24 V at 20 °C.
    let ohms = metric_resistance(4.0, Class::Stranded, Surface::Plain, 20.0).unwrap();
    near(loop_drop(45.0, ohms, 5.0).unwrap(), 2.0745, 0.0001);
    near(loop_drop(45.0, ohms, 5.0).unwrap() / 24.0, 0.08644, 0.00001);
    // Recomputed, high: 20 A, 100 ft, 3.31 mm² by standard resistivity at 20 °C, against 7.90 V at 75 °C.
    near(loop_drop_by_area(100.0 * FOOT, 1.7241e-8, 3.31e-6, 20.0).unwrap(), 6.35, 0.005);
    // Licence-exam page, high: three-phase takes 1.732 in place of 2.
    near(three_phase_drop(45.0, ohms, 5.0).unwrap() / loop_drop(45.0, ohms, 5.0).unwrap(), 0.866, 0.0001);
}

#[test]
fn textbook_distributor_with_four_loads() {
    // A textbook of electrical technology, chapter on d.c. distribution, example 1 (published, high): 300 V, 0.01 Ω a conductor and kilometre,
    // loads of 100, 150, 200 and 50 A after 500, 1000, 1600 and 2000 m: 295, 291, 288 and 287.6 V.
    let run = |from, length, current| Run { from, length, ohms: 1e-5, current };
    let runs = [run(None, 500.0, 100.0), run(Some(0), 500.0, 150.0), run(Some(1), 600.0, 200.0), run(Some(2), 400.0, 50.0)];
    let found = run_voltages(300.0, 0.0, &runs).unwrap();
    for (found, expected) in found.iter().zip([295.0, 291.0, 288.0, 287.6]) {
        near(*found, expected, 1e-9);
    }
}

#[test]
fn exam_distributor_with_two_loads() {
    // An exam-preparation page (published, high): 500 V, 0.02 Ω a conductor and kilometre, 100 A after 2 km, 200 A after 4 km: 476 and 460 V.
    let runs =
        [Run { from: None, length: 2000.0, ohms: 2e-5, current: 100.0 }, Run { from: Some(0), length: 2000.0, ohms: 2e-5, current: 200.0 }];
    let found = run_voltages(500.0, 0.0, &runs).unwrap();
    near(found[0], 476.0, 1e-9);
    near(found[1], 460.0, 1e-9);
}

#[test]
fn shared_return() {
    // Recomputed, high: two devices of 1 A at 10 m on feeds of their own (0.02 Ω/m) and one return (0.02 Ω/m): 0.2 V on the way, 0.4 V back.
    let wire = |from| Conductor { from, length: 10.0, ohms: 0.02 };
    let conductors = [wire(None), wire(None), wire(None)];
    let load = |feed| Load { feed: Some(feed), back: Some(2), current: 1.0 };
    let flow = voltages(24.0, 0.0, &conductors, &[load(0), load(1)]).unwrap();
    near(flow.volts[0], 23.4, 1e-12);
    near(flow.volts[1], 23.4, 1e-12);
    near(flow.currents[2], 2.0, 0.0);
    near(flow.supplied, 2.0, 0.0);
    // Recomputed, high: the return goes on to a second device; the supply has 0.1 Ω inside.
    let conductors = [wire(None), wire(Some(0)), wire(None), wire(Some(2))];
    let loads = [Load { feed: Some(0), back: Some(2), current: 1.0 }, Load { feed: Some(1), back: Some(3), current: 0.5 }];
    let flow = voltages(24.0, 0.1, &conductors, &loads).unwrap();
    near(flow.volts[0], 24.0 - 0.15 - 0.3 - 0.3, 1e-12);
    near(flow.volts[1], 24.0 - 0.15 - 0.6 - 0.2, 1e-12);
    // A device at the supply's own terminals.
    near(voltages(24.0, 0.1, &[], &[Load { feed: None, back: None, current: 1.0 }]).unwrap().volts[0], 23.9, 1e-12);
}

#[test]
fn what_is_no_circuit() {
    let wire = |from| Conductor { from, length: 1.0, ohms: 0.01 };
    let load = |feed, back| Load { feed, back, current: 1.0 };
    let both = voltages(24.0, 0.0, &[wire(None)], &[load(Some(0), Some(0))]);
    assert_eq!(both, Err(Unreckonable::FeedAndReturn { which: 1 }));
    let forward = voltages(24.0, 0.0, &[wire(Some(0))], &[load(None, None)]);
    assert_eq!(forward, Err(Unreckonable::UnknownStart { which: 1, from: 1 }));
    let nowhere = voltages(24.0, 0.0, &[], &[load(Some(7), None)]);
    assert_eq!(nowhere, Err(Unreckonable::UnknownStart { which: 1, from: 8 }));
    assert_eq!(voltages(24.0, 0.0, &[], &[]), Err(Unreckonable::Nothing { what: "load" }));
    assert!(run_voltages(24.0, 0.0, &[Run { from: Some(usize::MAX), length: 1.0, ohms: 0.1, current: 1.0 }]).is_err());
    // Too much for the supply shows as less than zero, not as an error.
    assert!(run_voltages(24.0, 0.0, &[Run { from: None, length: 1000.0, ohms: 0.1, current: 10.0 }]).unwrap()[0] < 0.0);
}
