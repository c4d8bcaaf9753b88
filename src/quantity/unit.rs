//! The closed list of units: symbol, dimension, exact factor. It must not know how numbers are written or shown.

use super::dimension::Dimension;
use super::exact::Exact;
use serde::{Deserialize, Serialize};

/// A unit of the list, by its row; inches and feet also as a tape is read, see [`Unit::on_tape`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Unit(u8);

/// What a unit measures beyond a plain dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitKind {
    /// A measure of a dimension.
    Measure,
    /// A temperature on a scale; it is not a temperature difference.
    Temperature,
    /// Whole days.
    Days,
    /// Whole months, which are never turned into days.
    Months,
    /// A wire size.
    Wire,
}

struct Row {
    /// As shown.
    symbol: &'static str,
    /// As also read.
    also: &'static [&'static str],
    kind: UnitKind,
    exponents: [i8; 8],
    /// Base units (metre, kilogram, second, ampere, kelvin, degree of angle, lumen, decibel) in one of it: upper, lower.
    factor: (i128, i128),
}

const fn row(symbol: &'static str, also: &'static [&'static str], exponents: [i8; 8], upper: i128, lower: i128) -> Row {
    Row { symbol, also, kind: UnitKind::Measure, exponents, factor: (upper, lower) }
}

const fn special(symbol: &'static str, also: &'static [&'static str], kind: UnitKind, exponents: [i8; 8], upper: i128, lower: i128) -> Row {
    Row { symbol, also, kind, exponents, factor: (upper, lower) }
}

const LENGTH: [i8; 8] = [1, 0, 0, 0, 0, 0, 0, 0];
const AREA: [i8; 8] = [2, 0, 0, 0, 0, 0, 0, 0];
const VOLUME: [i8; 8] = [3, 0, 0, 0, 0, 0, 0, 0];
const MASS: [i8; 8] = [0, 1, 0, 0, 0, 0, 0, 0];
const TIME: [i8; 8] = [0, 0, 1, 0, 0, 0, 0, 0];
const SPEED: [i8; 8] = [1, 0, -1, 0, 0, 0, 0, 0];
const ACCELERATION: [i8; 8] = [1, 0, -2, 0, 0, 0, 0, 0];
const FREQUENCY: [i8; 8] = [0, 0, -1, 0, 0, 0, 0, 0];
const FORCE: [i8; 8] = [1, 1, -2, 0, 0, 0, 0, 0];
const PRESSURE: [i8; 8] = [-1, 1, -2, 0, 0, 0, 0, 0];
const ENERGY: [i8; 8] = [2, 1, -2, 0, 0, 0, 0, 0];
const POWER: [i8; 8] = [2, 1, -3, 0, 0, 0, 0, 0];
const CURRENT: [i8; 8] = [0, 0, 0, 1, 0, 0, 0, 0];
const CHARGE: [i8; 8] = [0, 0, 1, 1, 0, 0, 0, 0];
const VOLTAGE: [i8; 8] = [2, 1, -3, -1, 0, 0, 0, 0];
const RESISTANCE: [i8; 8] = [2, 1, -3, -2, 0, 0, 0, 0];
const RESISTANCE_PER_LENGTH: [i8; 8] = [1, 1, -3, -2, 0, 0, 0, 0];
const FIELD_STRENGTH: [i8; 8] = [1, 1, -3, -1, 0, 0, 0, 0];
const DIFFERENCE: [i8; 8] = [0, 0, 0, 0, 1, 0, 0, 0];
const ANGLE: [i8; 8] = [0, 0, 0, 0, 0, 1, 0, 0];
const ANGULAR_SPEED: [i8; 8] = [0, 0, -1, 0, 0, 1, 0, 0];
const ILLUMINANCE: [i8; 8] = [-2, 0, 0, 0, 0, 0, 1, 0];
const LEVEL: [i8; 8] = [0, 0, 0, 0, 0, 0, 0, 1];
const RATIO: [i8; 8] = [0; 8];

/// Pounds-force in newtons, 4.4482216152605, as an exact ratio.
const LBF: (i128, i128) = (44_482_216_152_605, 10_000_000_000_000);

// Factors: NIST Special Publication 811, appendix B (exact ones only); tests compare them with a units library.
static ROWS: &[Row] = &[
    row("in", &["\"", "″", "in."], LENGTH, 127, 5000),
    row("ft", &["'", "′", "ft."], LENGTH, 381, 1250),
    row("yd", &[], LENGTH, 1143, 1250),
    row("mi", &[], LENGTH, 201_168, 125),
    row("kft", &[], LENGTH, 1524, 5),
    row("mm", &[], LENGTH, 1, 1000),
    row("cm", &[], LENGTH, 1, 100),
    row("m", &[], LENGTH, 1, 1),
    row("km", &[], LENGTH, 1000, 1),
    row("in²", &["in^2", "sq-in"], AREA, 16_129, 25_000_000),
    row("ft²", &["ft^2", "sq-ft"], AREA, 145_161, 1_562_500),
    row("mm²", &["mm^2"], AREA, 1, 1_000_000),
    row("cm²", &["cm^2"], AREA, 1, 10_000),
    row("m²", &["m^2"], AREA, 1, 1),
    row("ft³", &["ft^3"], VOLUME, 55_306_341, 1_953_125_000),
    row("m³", &["m^3"], VOLUME, 1, 1),
    row("lb", &["lbs"], MASS, 45_359_237, 100_000_000),
    row("oz", &[], MASS, 45_359_237, 1_600_000_000),
    row("kg", &[], MASS, 1, 1),
    row("g", &[], MASS, 1, 1000),
    row("s", &["sec"], TIME, 1, 1),
    row("ms", &[], TIME, 1, 1000),
    row("min", &[], TIME, 60, 1),
    row("h", &["hr"], TIME, 3600, 1),
    row("ft/s", &[], SPEED, 381, 1250),
    row("in/s", &[], SPEED, 127, 5000),
    row("ft/min", &[], SPEED, 127, 25_000),
    row("m/s", &[], SPEED, 1, 1),
    row("mm/s", &[], SPEED, 1, 1000),
    row("cm/s", &[], SPEED, 1, 100),
    row("m/min", &[], SPEED, 1, 60),
    row("mph", &[], SPEED, 1397, 3125),
    row("km/h", &[], SPEED, 5, 18),
    row("m/s²", &["m/s^2"], ACCELERATION, 1, 1),
    row("Hz", &[], FREQUENCY, 1, 1),
    row("kHz", &[], FREQUENCY, 1000, 1),
    row("MHz", &[], FREQUENCY, 1_000_000, 1),
    row("lbf", &[], FORCE, LBF.0, LBF.1),
    row("N", &[], FORCE, 1, 1),
    row("kN", &[], FORCE, 1000, 1),
    row("psi", &[], PRESSURE, 8_896_443_230_521, 1_290_320_000),
    row("psf", &[], PRESSURE, 8_896_443_230_521, 185_806_080_000),
    row("Pa", &[], PRESSURE, 1, 1),
    row("kPa", &[], PRESSURE, 1000, 1),
    row("J", &[], ENERGY, 1, 1),
    row("N·m", &["N-m", "Nm"], ENERGY, 1, 1),
    row("ft-lbf", &["lbf-ft"], ENERGY, 3_389_544_870_828_501, 2_500_000_000_000_000),
    row("in-lbf", &["lbf-in"], ENERGY, 1_129_848_290_276_167, 10_000_000_000_000_000),
    row("Wh", &[], ENERGY, 3600, 1),
    row("W", &[], POWER, 1, 1),
    row("kW", &[], POWER, 1000, 1),
    row("VA", &[], POWER, 1, 1),
    row("A", &[], CURRENT, 1, 1),
    row("mA", &[], CURRENT, 1, 1000),
    row("µA", &["μA", "uA"], CURRENT, 1, 1_000_000),
    row("Ah", &[], CHARGE, 3600, 1),
    row("mAh", &[], CHARGE, 18, 5),
    row("V", &[], VOLTAGE, 1, 1),
    row("mV", &[], VOLTAGE, 1, 1000),
    row("kV", &[], VOLTAGE, 1000, 1),
    row("ohm", &["\u{3a9}", "\u{2126}"], RESISTANCE, 1, 1),
    row("kohm", &["k\u{3a9}", "k\u{2126}"], RESISTANCE, 1000, 1),
    row("ohm/kft", &[], RESISTANCE_PER_LENGTH, 5, 1524),
    row("ohm/km", &[], RESISTANCE_PER_LENGTH, 1, 1000),
    row("ohm/m", &[], RESISTANCE_PER_LENGTH, 1, 1),
    row("V/m", &[], FIELD_STRENGTH, 1, 1),
    row("K", &[], DIFFERENCE, 1, 1),
    special("°C", &["degC"], UnitKind::Temperature, DIFFERENCE, 1, 1),
    special("°F", &["degF"], UnitKind::Temperature, DIFFERENCE, 5, 9),
    row("deg", &["°"], ANGLE, 1, 1),
    row("deg/s", &["°/s"], ANGULAR_SPEED, 1, 1),
    row("lx", &[], ILLUMINANCE, 1, 1),
    row("fc", &[], ILLUMINANCE, 1_562_500, 145_161),
    row("dB", &["dBA"], LEVEL, 1, 1),
    row("%", &[], RATIO, 1, 100),
    special("days", &["day"], UnitKind::Days, RATIO, 1, 1),
    special("weeks", &["week"], UnitKind::Days, RATIO, 7, 1),
    special("months", &["month"], UnitKind::Months, RATIO, 1, 1),
    special("years", &["year"], UnitKind::Months, RATIO, 12, 1),
    special("AWG", &[], UnitKind::Wire, AREA, 1, 1),
    special("kcmil", &[], UnitKind::Wire, AREA, 1, 1),
];

/// Marks a unit whose numbers are shown as a tape is read; the list is shorter than this.
const TAPE: u8 = 0x80;

impl Unit {
    /// The unit of that symbol.
    pub fn named(symbol: &str) -> Option<Unit> {
        let at = ROWS.iter().position(|row| row.symbol == symbol || row.also.contains(&symbol))?;
        u8::try_from(at).ok().map(Unit)
    }

    /// Every unit, in the order of the list.
    pub fn all() -> impl Iterator<Item = Unit> {
        (0..u8::try_from(ROWS.len()).unwrap_or(u8::MAX)).map(Unit)
    }

    /// Every symbol that is read, the shown ones and the others.
    pub fn symbols() -> impl Iterator<Item = &'static str> {
        ROWS.iter().flat_map(|row| std::iter::once(row.symbol).chain(row.also.iter().copied()))
    }

    fn row(self) -> &'static Row {
        &ROWS[(self.0 & !TAPE) as usize]
    }

    /// Inches or feet whose numbers are shown as a tape is read, in sixteenths; every other unit is itself. What such a unit measures is
    /// the same, so it only says how a number looks.
    pub fn on_tape(self) -> Unit {
        if self.is_fractional() { Unit(self.0 | TAPE) } else { self }
    }

    /// Whether its numbers are shown as a tape is read.
    pub fn is_on_tape(self) -> bool {
        self.0 & TAPE != 0
    }

    /// The unit of the list.
    pub fn plain(self) -> Unit {
        Unit(self.0 & !TAPE)
    }

    /// As shown.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// What it measures, beyond its dimension.
    pub fn kind(self) -> UnitKind {
        self.row().kind
    }

    /// Its dimension; for a temperature on a scale, that of a temperature difference.
    pub fn dimension(self) -> Dimension {
        Dimension(self.row().exponents)
    }

    /// Base units in one of it, exact.
    pub fn factor(self) -> Exact {
        let (upper, lower) = self.row().factor;
        Exact::ratio(upper, lower).unwrap_or(Exact::ONE)
    }

    /// Degrees of this scale at absolute nought, turned: what must be added to a reading before the factor applies.
    pub fn offset(self) -> Exact {
        match self.symbol() {
            "°C" => Exact::ratio(5463, 20).unwrap_or(Exact::ZERO),
            "°F" => Exact::ratio(45_967, 100).unwrap_or(Exact::ZERO),
            _ => Exact::ZERO,
        }
    }

    /// A number of this unit in base units.
    pub fn to_base(self, number: Exact) -> Option<Exact> {
        let shifted = if self.kind() == UnitKind::Temperature { number.add(self.offset())? } else { number };
        shifted.mul(self.factor())
    }

    /// A number of base units in this unit.
    pub fn from_base(self, number: Exact) -> Option<Exact> {
        let scaled = number.div(self.factor())?;
        if self.kind() == UnitKind::Temperature { scaled.sub(self.offset()) } else { Some(scaled) }
    }

    /// Whether the trade writes halves, quarters and so on of it.
    pub fn is_fractional(self) -> bool {
        matches!(self.symbol(), "in" | "ft")
    }

    /// Symbols of the units of a dimension, for a hint.
    pub fn symbols_of(dimension: Dimension) -> Vec<&'static str> {
        ROWS.iter().filter(|row| row.kind == UnitKind::Measure && row.exponents == dimension.0).map(|row| row.symbol).collect()
    }

    /// The unit in which a computed value of a dimension is shown when nobody wrote one.
    pub fn usual(dimension: Dimension) -> Option<Unit> {
        let metric =
            ["m", "m²", "m³", "kg", "s", "m/s", "N", "Pa", "J", "W", "A", "V", "ohm", "ohm/km", "Ah", "deg", "lx", "dB", "Hz", "K"];
        let usual = metric.iter().filter_map(|symbol| Unit::named(symbol)).find(|unit| unit.dimension() == dimension);
        usual.or_else(|| {
            Unit::all().find(|unit| unit.dimension() == dimension && unit.kind() == UnitKind::Measure && dimension != Dimension::NONE)
        })
    }
}
