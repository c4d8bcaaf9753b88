//! Owns the size and resistance of one conductor: gauge and metric tables, the gauge formula, temperature. It must not know circuits.

use super::number::{answer, not_negative, positive, within};
use super::unreckonable::Unreckonable;

/// How a gauge conductor is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// One wire.
    Solid,
    /// Seven or nineteen wires, as the table lists the size.
    Stranded,
}

/// Resistivity of annealed copper at 20 °C in Ω·m. Source: International Annealed Copper Standard, IEC 60028, from memory (high confidence).
pub const COPPER_RESISTIVITY: f64 = 1.7241e-8;
/// Temperature at which the straight line of copper's resistance meets zero, in °C below zero. Source: IEC 60028 (0.00393 a kelvin at 20 °C).
pub const COPPER_ZERO: f64 = 234.5;
/// Slope of copper's resistance a kelvin from its value at 75 °C. Source: NEC chapter 9 table 8 note 2, from memory (high confidence).
pub const COPPER_SLOPE_75: f64 = 0.00323;
/// A circular mil in m²: a circle a thousandth of an inch wide.
pub const CIRCULAR_MIL: f64 = core::f64::consts::FRAC_PI_4 * 2.54e-5 * 2.54e-5;

/// Metres in a thousand feet.
const KILOFOOT: f64 = 304.8;

/// Gauge number (1/0 to 4/0 are 0 to −3), then Ω per thousand feet at 75 °C of plain copper: solid, stranded.
type GaugeRow = (i32, Option<f64>, f64);

/// NEC chapter 9 table 8, copper. Published: a public conductor-properties page, which agrees with a second one (high confidence).
#[expect(clippy::approx_constant, reason = "3.14 is a published resistance here, not a circle")]
const GAUGES: [GaugeRow; 15] = [
    (18, Some(7.77), 7.95),
    (16, Some(4.89), 4.99),
    (14, Some(3.07), 3.14),
    (12, Some(1.93), 1.98),
    (10, Some(1.21), 1.24),
    (8, Some(0.764), 0.778),
    (6, None, 0.491),
    (4, None, 0.308),
    (3, None, 0.245),
    (2, None, 0.194),
    (1, None, 0.154),
    (0, None, 0.122),
    (-1, None, 0.0967),
    (-2, None, 0.0766),
    (-3, None, 0.0608),
];

/// IEC 60228, nominal mm² and Ω/km at 20 °C at most, of plain copper of class 1 and 2. Published: two cable makers' tables that agree
/// (high confidence).
const METRIC: [(f64, f64); 15] = [
    (0.5, 36.0),
    (0.75, 24.5),
    (1.0, 18.1),
    (1.5, 12.1),
    (2.5, 7.41),
    (4.0, 4.61),
    (6.0, 3.08),
    (10.0, 1.83),
    (16.0, 1.15),
    (25.0, 0.727),
    (35.0, 0.524),
    (50.0, 0.387),
    (70.0, 0.268),
    (95.0, 0.193),
    (120.0, 0.153),
];

/// Diameter in metres of a solid wire of American gauge; 1/0 to 4/0 are 0 to −3.
///
/// Source: ASTM B258, 0.005 in × 92^((36 − n)/39), published (high confidence). Errors: a gauge outside of −3 to 40.
pub fn gauge_diameter(gauge: i32) -> Result<f64, Unreckonable> {
    let gauge = within("wire gauge", f64::from(gauge), -3.0, 40.0)?;
    Ok(0.005 * 0.0254 * libm::pow(92.0, (36.0 - gauge) / 39.0))
}

/// Area of copper in m² of an American gauge.
///
/// Source and errors: as for [`gauge_diameter`].
pub fn gauge_area(gauge: i32) -> Result<f64, Unreckonable> {
    let diameter = gauge_diameter(gauge)?;
    Ok(core::f64::consts::FRAC_PI_4 * diameter * diameter)
}

/// Resistance in Ω/m, one way, of a plain copper conductor of American gauge at `celsius` °C.
///
/// Source: NEC chapter 9 table 8 (75 °C) and its note 2. The table is rounded to three digits, which is up to 0.5 %. Errors: a gauge or build that the table does not list, a temperature outside of −60 to 250 °C.
pub fn gauge_resistance(gauge: i32, build: Build, celsius: f64) -> Result<f64, Unreckonable> {
    let missing = Unreckonable::NotListed {
        table: match build {
            Build::Solid => "table of solid gauge conductors",
            Build::Stranded => "table of stranded gauge conductors",
        },
        size: f64::from(gauge),
    };
    let row = GAUGES.iter().find(|row| row.0 == gauge).ok_or(missing)?;
    let at_75 = match build {
        Build::Solid => row.1.ok_or(missing)?,
        Build::Stranded => row.2,
    };
    Ok(at_75 / KILOFOOT * (1.0 + COPPER_SLOPE_75 * (temperature(celsius)? - 75.0)))
}

/// Resistance in Ω/m at `celsius` °C of a plain copper conductor of any American gauge, from its diameter: for thin wires that the table
/// does not list. Solid: nominal. Stranded: 4 % more, for the lay of the wires and for tolerance, so that it errs to the safe side. Tinning
/// adds up to 7 % at 18 gauge and up to 15 % on thinner strands.
///
/// Source: ASTM B258, standard resistivity; the 4 % from a published handbook table of stranded wires (high confidence; within 1.2 % of it at every size, mostly 0.2 %). Solid
/// within 1 % of [`gauge_resistance`], stranded up to 2.5 % over it. Errors: a gauge outside of −3 to 40, a temperature outside of −60 to
/// 250 °C.
pub fn nominal_gauge_resistance(gauge: i32, build: Build, celsius: f64) -> Result<f64, Unreckonable> {
    let longer = match build {
        Build::Solid => 1.0,
        Build::Stranded => 1.04,
    };
    resistance_at(longer * COPPER_RESISTIVITY / gauge_area(gauge)?, 20.0, celsius)
}

/// Largest resistance in Ω/m, one way, that a plain copper conductor, solid or stranded, of nominal `area` in mm² may have at `celsius` °C.
///
/// Source: IEC 60228 (20 °C), straight line to other temperatures. Errors: an area that the table does not list, a temperature outside of
/// −60 to 250 °C.
pub fn metric_resistance(area: f64, celsius: f64) -> Result<f64, Unreckonable> {
    let missing = Unreckonable::NotListed { table: "table of metric conductors", size: positive("conductor area", area)? };
    let row = METRIC.iter().find(|row| row.0 == area).ok_or(missing)?;
    resistance_at(row.1 / 1000.0, 20.0, celsius)
}

/// A copper resistance (any unit) known at one temperature, at another, both in °C.
///
/// Source: straight line through −234.5 °C, IEC 60028. Errors: `resistance` negative, a temperature outside of −60 to 250 °C.
pub fn resistance_at(resistance: f64, known_at: f64, celsius: f64) -> Result<f64, Unreckonable> {
    let factor = (COPPER_ZERO + temperature(celsius)?) / (COPPER_ZERO + temperature(known_at)?);
    answer("resistance", not_negative("resistance", resistance)? * factor)
}

fn temperature(celsius: f64) -> Result<f64, Unreckonable> {
    within("temperature of the conductor in °C", celsius, -60.0, 250.0)
}
