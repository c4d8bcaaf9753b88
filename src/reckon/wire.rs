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

/// The surface of copper wires.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Plain copper.
    Plain,
    /// Tinned or otherwise metal-coated copper.
    Coated,
}

/// Class of a metric conductor under IEC 60228.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Class 1, one wire.
    Solid,
    /// Class 2, stranded.
    Stranded,
    /// Class 5 or 6, flexible.
    Flexible,
}

/// Resistivity of annealed copper at 20 °C in Ω·m. Source: International Annealed Copper Standard, IEC 60028, from memory (high confidence).
pub const COPPER_RESISTIVITY: f64 = 1.7241e-8;
/// Temperature at which the straight line of copper's resistance meets zero, in °C below zero. Source: IEC 60028 (0.00393 a kelvin at 20 °C).
pub const COPPER_ZERO: f64 = 234.5;
/// Slope of copper's resistance a kelvin from its value at 75 °C. Source: NEC chapter 9 table 8 note 2, from memory (high confidence).
pub const COPPER_SLOPE_75: f64 = 0.00323;
/// Slope of aluminium's resistance a kelvin from its value at 75 °C. Source: as for copper.
pub const ALUMINIUM_SLOPE_75: f64 = 0.00330;
/// A circular mil in m²: a circle a thousandth of an inch wide.
pub const CIRCULAR_MIL: f64 = core::f64::consts::FRAC_PI_4 * 2.54e-5 * 2.54e-5;

/// Metres in a thousand feet.
const KILOFOOT: f64 = 304.8;

/// Gauge number (1/0 to 4/0 are 0 to −3), then Ω per thousand feet at 75 °C: solid plain, solid coated, stranded plain, stranded coated.
type GaugeRow = (i32, Option<(f64, f64)>, (f64, f64));

/// NEC chapter 9 table 8, copper. Published: a public conductor-properties page; the plain column agrees with a second one (high confidence).
#[expect(clippy::approx_constant, reason = "3.14 is a published resistance here, not a circle")]
const GAUGES: [GaugeRow; 15] = [
    (18, Some((7.77, 8.08)), (7.95, 8.45)),
    (16, Some((4.89, 5.08)), (4.99, 5.29)),
    (14, Some((3.07, 3.19)), (3.14, 3.26)),
    (12, Some((1.93, 2.01)), (1.98, 2.05)),
    (10, Some((1.21, 1.26)), (1.24, 1.29)),
    (8, Some((0.764, 0.786)), (0.778, 0.809)),
    (6, None, (0.491, 0.510)),
    (4, None, (0.308, 0.321)),
    (3, None, (0.245, 0.254)),
    (2, None, (0.194, 0.201)),
    (1, None, (0.154, 0.160)),
    (0, None, (0.122, 0.127)),
    (-1, None, (0.0967, 0.101)),
    (-2, None, (0.0766, 0.0797)),
    (-3, None, (0.0608, 0.0626)),
];

/// Nominal mm², then Ω/km at 20 °C at most: class 1 and 2 plain, coated; class 5 and 6 plain, coated.
type MetricRow = (f64, (f64, f64), (f64, f64));

/// IEC 60228, copper. Published: two cable makers' tables that agree (high confidence).
const METRIC: [MetricRow; 15] = [
    (0.5, (36.0, 36.7), (39.0, 40.1)),
    (0.75, (24.5, 24.8), (26.0, 26.7)),
    (1.0, (18.1, 18.2), (19.5, 20.0)),
    (1.5, (12.1, 12.2), (13.3, 13.7)),
    (2.5, (7.41, 7.56), (7.98, 8.21)),
    (4.0, (4.61, 4.70), (4.95, 5.09)),
    (6.0, (3.08, 3.11), (3.30, 3.39)),
    (10.0, (1.83, 1.84), (1.91, 1.95)),
    (16.0, (1.15, 1.16), (1.21, 1.24)),
    (25.0, (0.727, 0.734), (0.780, 0.795)),
    (35.0, (0.524, 0.529), (0.554, 0.565)),
    (50.0, (0.387, 0.391), (0.386, 0.393)),
    (70.0, (0.268, 0.270), (0.272, 0.277)),
    (95.0, (0.193, 0.195), (0.206, 0.210)),
    (120.0, (0.153, 0.154), (0.161, 0.164)),
];

/// Every gauge number that [`gauge_resistance`] lists, from thin to thick.
pub fn listed_gauges() -> impl Iterator<Item = i32> {
    GAUGES.iter().map(|row| row.0)
}

/// Every nominal area in mm² that [`metric_resistance`] lists, from thin to thick.
pub fn listed_areas() -> impl Iterator<Item = f64> {
    METRIC.iter().map(|row| row.0)
}

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

/// Resistance in Ω/m, one way, of a copper conductor of American gauge at `celsius` °C.
///
/// Source: NEC chapter 9 table 8 (75 °C) and its note 2. The table is rounded to three digits, which is up to 0.5 %. Errors: a gauge or build that the table does not list, a temperature outside of −60 to 250 °C.
pub fn gauge_resistance(gauge: i32, build: Build, surface: Surface, celsius: f64) -> Result<f64, Unreckonable> {
    let missing = Unreckonable::NotListed {
        table: match build {
            Build::Solid => "table of solid gauge conductors",
            Build::Stranded => "table of stranded gauge conductors",
        },
        size: f64::from(gauge),
    };
    let row = GAUGES.iter().find(|row| row.0 == gauge).ok_or(missing)?;
    let (plain, coated) = match build {
        Build::Solid => row.1.ok_or(missing)?,
        Build::Stranded => row.2,
    };
    let at_75 = match surface {
        Surface::Plain => plain,
        Surface::Coated => coated,
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

/// Largest resistance in Ω/m, one way, that a copper conductor of nominal `area` in mm² may have at `celsius` °C.
///
/// Source: IEC 60228 (20 °C), straight line to other temperatures. Errors: an area that the table does not list (coated solid conductors stop
/// at 16 mm²), a temperature outside of −60 to 250 °C.
pub fn metric_resistance(area: f64, class: Class, surface: Surface, celsius: f64) -> Result<f64, Unreckonable> {
    let missing = Unreckonable::NotListed { table: "table of metric conductors", size: positive("conductor area", area)? };
    let row = METRIC.iter().find(|row| row.0 == area).ok_or(missing)?;
    let at_20 = match (class, surface) {
        (Class::Solid, Surface::Coated) if area > 16.0 => return Err(missing),
        (Class::Solid | Class::Stranded, Surface::Plain) => row.1.0,
        (Class::Solid | Class::Stranded, Surface::Coated) => row.1.1,
        (Class::Flexible, Surface::Plain) => row.2.0,
        (Class::Flexible, Surface::Coated) => row.2.1,
    };
    resistance_at(at_20 / 1000.0, 20.0, celsius)
}

/// A copper resistance (any unit) known at one temperature, at another, both in °C.
///
/// Source: straight line through −234.5 °C, IEC 60028. Errors: `resistance` negative, a temperature outside of −60 to 250 °C.
pub fn resistance_at(resistance: f64, known_at: f64, celsius: f64) -> Result<f64, Unreckonable> {
    let factor = (COPPER_ZERO + temperature(celsius)?) / (COPPER_ZERO + temperature(known_at)?);
    answer("resistance", not_negative("resistance", resistance)? * factor)
}

/// A resistance (any unit) known at 75 °C, at `celsius` °C, with the slope of its metal such as [`ALUMINIUM_SLOPE_75`].
///
/// Source: NEC chapter 9 table 8 note 2. Errors: `resistance` negative, a slope outside of 0 to 0.005, a temperature outside of −60 to 250 °C.
pub fn resistance_from_75(resistance: f64, slope: f64, celsius: f64) -> Result<f64, Unreckonable> {
    let slope = within("slope of resistance", slope, 0.0, 0.005)?;
    answer("resistance", not_negative("resistance", resistance)? * (1.0 + slope * (temperature(celsius)? - 75.0)))
}

/// Resistivity in Ω·m behind a trade constant `k` in Ω·circular mil per foot, such as 12.9 for copper and 21.2 for aluminium at 75 °C.
///
/// Source: definition. Errors: `k` not positive.
pub fn resistivity_of_k(k: f64) -> Result<f64, Unreckonable> {
    answer("resistivity", positive("constant K", k)? * CIRCULAR_MIL / 0.3048)
}

fn temperature(celsius: f64) -> Result<f64, Unreckonable> {
    within("temperature of the conductor in °C", celsius, -60.0, 250.0)
}
