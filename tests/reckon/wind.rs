//! Checks of wind load and fog. They must not know where the air comes from.

use super::near;
use pintle::reckon::beam::{fog_loss, through_fog};
use pintle::reckon::wind::{DENSITY_ASCE, DENSITY_EUROCODE, DENSITY_SEA_LEVEL, Sail, bar_coefficient, velocity_pressure};

#[test]
fn pressure() {
    // ASCE 7, 0.613 V², published in a wind-load calculation, high: 25 m/s.
    near(velocity_pressure(25.0, DENSITY_ASCE, 1.0).unwrap(), 383.1, 0.05);
    // ASCE 7, 0.00256 V² in psf and mph, published, high: 90 mph is 20.74 psf, 992.9 Pa; the two printed constants differ by 0.06 %.
    near(velocity_pressure(90.0 * 0.44704, DENSITY_ASCE, 1.0).unwrap(), 992.9, 0.7);
    // EN 1991-1-4, from memory, high: 0.625 V².
    near(velocity_pressure(20.0, DENSITY_EUROCODE, 1.0).unwrap(), 250.0, 1e-9);
}

#[test]
fn load_and_moment() {
    // Published wind-force example, high: 10 m², 15 m/s, 1.225 kg/m³, coefficient 1 gives 1378.125 N.
    let panel = Sail { width: 5.0, height: 2.0, solidity: 1.0, coefficient: 1.0 };
    near(panel.force(velocity_pressure(15.0, DENSITY_SEA_LEVEL, 1.0).unwrap()).unwrap(), 1378.125, 1e-6);
    // Recomputed, high: solid 4 by 1.8 m leaf, coefficient 1.2, 25 m/s.
    let leaf = Sail { width: 4.0, height: 1.8, solidity: 1.0, coefficient: 1.2 };
    let pressure = velocity_pressure(25.0, DENSITY_ASCE, 1.0).unwrap();
    near(leaf.force(pressure).unwrap(), 3310.0, 0.5);
    near(leaf.hinge_moment(pressure, 0.0).unwrap(), 6620.0, 1.0);
    near(leaf.ground_moment(pressure, 0.1).unwrap(), 3310.0, 0.5);
    near(leaf.speed_for_moment(leaf.hinge_moment(pressure, 0.0).unwrap(), DENSITY_ASCE, 0.0).unwrap(), 25.0, 1e-9);
    // ASCE 7 lattice coefficients, from memory, low.
    near(bar_coefficient(0.05).unwrap(), 2.0, 0.0);
    near(bar_coefficient(0.2).unwrap(), 1.8, 0.0);
    near(bar_coefficient(0.5).unwrap(), 1.6, 0.0);
    assert!(bar_coefficient(0.8).is_err());
}

#[test]
fn fog() {
    // Koschmieder's law, published (SPIE 4530) and recomputed, high: 20 m of beam at 200 m visibility.
    near(fog_loss(20.0, 200.0).unwrap(), 1.70, 0.005);
    near(through_fog(20.0, 200.0).unwrap(), 0.676, 0.0005);
    // Recomputed, high: 85 dB/km at 200 m visibility.
    near(fog_loss(1000.0, 200.0).unwrap(), 85.0, 0.1);
}
