//! Owns the published cross-sections of conduits and insulated conductors. It must not know how full a conduit may be.
//!
//! Square inches govern, as printed to three or four digits; the square millimetres printed beside them are rounded on their own and can
//! differ by 0.5 %.

use super::conduit::Trade;
use super::unreckonable::Unreckonable;

/// A kind of conduit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConduitKind {
    /// Electrical metallic tubing.
    MetallicTubing,
    /// Rigid metal conduit.
    RigidMetal,
    /// Rigid plastic conduit, schedule 40.
    Plastic40,
    /// Rigid plastic conduit, schedule 80.
    Plastic80,
}

/// A kind of insulated conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Insulation {
    /// THHN, THWN and THWN-2.
    Thhn,
    /// XHHW and XHHW-2.
    Xhhw,
    /// TFFN fixture wire, 18 and 16 gauge only.
    Tffn,
}

/// A square inch in m².
const SQUARE_INCH: f64 = 0.0254 * 0.0254;

const fn trade(size: f64, square_inches: f64) -> Trade {
    Trade { size, area: square_inches * SQUARE_INCH }
}

/// NEC chapter 9 table 4, metallic tubing (EMT). Published: two public data files that agree (high confidence).
pub const METALLIC_TUBING: [Trade; 10] = [
    trade(0.5, 0.304),
    trade(0.75, 0.533),
    trade(1.0, 0.864),
    trade(1.25, 1.496),
    trade(1.5, 2.036),
    trade(2.0, 3.356),
    trade(2.5, 5.858),
    trade(3.0, 8.846),
    trade(3.5, 11.545),
    trade(4.0, 14.753),
];

/// NEC chapter 9 table 4, rigid metal conduit (RMC). Published from 1-1/4 in up; the first three from memory (high confidence).
pub const RIGID_METAL: [Trade; 10] = [
    trade(0.5, 0.314),
    trade(0.75, 0.549),
    trade(1.0, 0.887),
    trade(1.25, 1.526),
    trade(1.5, 2.071),
    trade(2.0, 3.408),
    trade(2.5, 4.866),
    trade(3.0, 7.499),
    trade(3.5, 10.010),
    trade(4.0, 12.882),
];

/// NEC chapter 9 table 4, plastic schedule 40 (PVC, HDPE). Published: two public data files that agree (high confidence).
pub const PLASTIC_40: [Trade; 10] = [
    trade(0.5, 0.285),
    trade(0.75, 0.508),
    trade(1.0, 0.832),
    trade(1.25, 1.453),
    trade(1.5, 1.986),
    trade(2.0, 3.291),
    trade(2.5, 4.695),
    trade(3.0, 7.268),
    trade(3.5, 9.737),
    trade(4.0, 12.554),
];

/// NEC chapter 9 table 4, plastic schedule 80 (PVC). Published: two public data files that agree up to 2 in (high confidence).
pub const PLASTIC_80: [Trade; 10] = [
    trade(0.5, 0.217),
    trade(0.75, 0.409),
    trade(1.0, 0.688),
    trade(1.25, 1.237),
    trade(1.5, 1.711),
    trade(2.0, 2.874),
    trade(2.5, 4.119),
    trade(3.0, 6.442),
    trade(3.5, 8.688),
    trade(4.0, 11.258),
];

/// Gauge number (1/0 to 4/0 are 0 to −3), then square inches: THHN, XHHW.
///
/// NEC chapter 9 table 5. Published: a public copy of the 2008 table (high confidence).
const CONDUCTORS: [(i32, f64, f64); 13] = [
    (14, 0.0097, 0.0139),
    (12, 0.0133, 0.0181),
    (10, 0.0211, 0.0243),
    (8, 0.0366, 0.0437),
    (6, 0.0507, 0.0590),
    (4, 0.0824, 0.0814),
    (3, 0.0973, 0.0962),
    (2, 0.1158, 0.1146),
    (1, 0.1562, 0.1534),
    (0, 0.1855, 0.1825),
    (-1, 0.2223, 0.2190),
    (-2, 0.2679, 0.2642),
    (-3, 0.3237, 0.3197),
];

/// Every size of a kind of conduit, from small to large.
pub fn conduits(kind: ConduitKind) -> &'static [Trade] {
    match kind {
        ConduitKind::MetallicTubing => &METALLIC_TUBING,
        ConduitKind::RigidMetal => &RIGID_METAL,
        ConduitKind::Plastic40 => &PLASTIC_40,
        ConduitKind::Plastic80 => &PLASTIC_80,
    }
}

/// Cross-section in m² inside a conduit of a trade size in inches.
///
/// Source: NEC chapter 9 table 4. Errors: a size that the table does not list.
pub fn conduit_area(kind: ConduitKind, size: f64) -> Result<f64, Unreckonable> {
    let missing = Unreckonable::NotListed { table: "table of conduits", size };
    conduits(kind).iter().find(|trade| trade.size == size).map(|trade| trade.area).ok_or(missing)
}

/// Cross-section in m² of an insulated conductor of American gauge; 1/0 to 4/0 are 0 to −3.
///
/// Source: NEC chapter 9 table 5 (fixture wire from memory, medium confidence). Errors: a gauge that the table does not list.
pub fn conductor_area(insulation: Insulation, gauge: i32) -> Result<f64, Unreckonable> {
    let row = CONDUCTORS.iter().find(|row| row.0 == gauge);
    let square_inches = match insulation {
        Insulation::Thhn => row.map(|row| row.1),
        Insulation::Xhhw => row.map(|row| row.2),
        Insulation::Tffn => match gauge {
            18 => Some(0.0055),
            16 => Some(0.0072),
            _ => None,
        },
    };
    let missing = Unreckonable::NotListed { table: "table of insulated conductors", size: f64::from(gauge) };
    square_inches.map(|area| area * SQUARE_INCH).ok_or(missing)
}
