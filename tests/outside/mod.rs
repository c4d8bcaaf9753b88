//! Numbers from outside: units against a units library, wires and months against values made once by other programs, and
//! published factors. Each file of values starts with the script that made it, and the script with its command.

mod access;
mod european;
mod worked;

use pintle::quantity::unit::UnitKind;
use pintle::quantity::{Days, Exact, Period, Unit, Wire, read};

const UNITS: &str = include_str!("units.csv");
const WIRES: &str = include_str!("wires.csv");
const MONTHS: &str = include_str!("months.csv");

/// The lines of values of a file, cell by cell.
fn lines(text: &str) -> impl Iterator<Item = Vec<&str>> {
    text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
}

fn whole(text: &str) -> i128 {
    text.parse().unwrap_or_else(|_| panic!("`{text}` is no whole number"))
}

fn exact(decimal: &str) -> Exact {
    let (whole_part, places) = decimal.split_once('.').unwrap_or((decimal, ""));
    let scale = 10i128.pow(u32::try_from(places.len()).expect("few places"));
    Exact::ratio(whole(&format!("{whole_part}{places}")), scale).expect("few digits")
}

fn unit(symbol: &str) -> Unit {
    Unit::named(symbol).unwrap_or_else(|| panic!("no unit {symbol}"))
}

/// Source: the units library pint, reckoning with fractions (units.py).
#[test]
fn every_unit_has_the_factor_that_a_units_library_gives() {
    let mut seen = Vec::new();
    for cells in lines(UNITS) {
        let unit = unit(cells[0]);
        assert_eq!(Some(unit.factor()), Exact::ratio(whole(cells[1]), whole(cells[2])), "{}", cells[0]);
        let nought = Exact::ratio(whole(cells[3]), whole(cells[4])).expect("a fraction");
        assert_eq!(unit.to_base(Exact::ZERO), Some(nought), "nought of {}", cells[0]);
        assert_eq!(unit.from_base(nought), Some(Exact::ZERO), "nought of {}", cells[0]);
        let powers: Vec<i8> = cells[5..11].iter().map(|power| power.parse().expect("a power")).collect();
        let dimension = unit.dimension().0;
        assert_eq!([&dimension[..5], &dimension[6..7]].concat(), powers, "the dimension of {}", cells[0]);
        seen.push(unit);
    }
    let left_out: Vec<&str> = Unit::all().filter(|unit| !seen.contains(unit)).map(Unit::symbol).collect();
    assert_eq!(left_out, ["dB", "AWG", "kcmil"], "units without a check");
    assert_eq!(unit("dB").factor(), Exact::ONE);
}

/// Every symbol names one unit, and another way to write a unit names that unit. Spellings: common practice, no source.
#[test]
fn other_symbols_name_the_same_units() {
    let same = [
        ("\"", "in"),
        ("″", "in"),
        ("in.", "in"),
        ("'", "ft"),
        ("′", "ft"),
        ("ft.", "ft"),
        ("in^2", "in²"),
        ("sq-in", "in²"),
        ("ft^2", "ft²"),
        ("sq-ft", "ft²"),
        ("mm^2", "mm²"),
        ("cm^2", "cm²"),
        ("m^2", "m²"),
        ("ft^3", "ft³"),
        ("m^3", "m³"),
        ("lbs", "lb"),
        ("sec", "s"),
        ("hr", "h"),
        ("m/s^2", "m/s²"),
        ("N-m", "N·m"),
        ("Nm", "N·m"),
        ("lbf-ft", "ft-lbf"),
        ("lbf-in", "in-lbf"),
        ("\u{b5}A", "\u{3bc}A"),
        ("uA", "µA"),
        ("\u{3a9}", "ohm"),
        ("k\u{3a9}", "kohm"),
        ("degC", "°C"),
        ("degF", "°F"),
        ("°", "deg"),
        ("°/s", "deg/s"),
        ("dBA", "dB"),
        ("day", "days"),
        ("week", "weeks"),
        ("month", "months"),
        ("year", "years"),
    ];
    for (one, other) in same {
        assert_eq!(unit(one), unit(other), "{one} and {other}");
    }
    let others = Unit::symbols().filter(|symbol| Unit::all().all(|unit| unit.symbol() != *symbol)).count();
    assert_eq!(others, same.len() + 2, "a spelling without a check, besides the two of the next test");
}

/// The sign for ohm has two code points, as the one for micro has; keyboards and programs write either.
#[test]
fn the_sign_for_ohm_is_read_in_both_code_points() {
    assert_eq!((Unit::named("\u{2126}"), Unit::named("k\u{2126}")), (Unit::named("ohm"), Unit::named("kohm")));
    let mut symbols: Vec<&str> = Unit::symbols().collect();
    symbols.sort_unstable();
    assert!(symbols.windows(2).all(|two| two[0] != two[1]), "a symbol is there twice");
}

/// Source: NIST Special Publication 811, appendix B; the exact ones to the last digit.
#[test]
fn published_exact_factors() {
    for (one, number, base) in [
        ("1 in", "25.4", "mm"),
        ("1 ft", "0.3048", "m"),
        ("1 lb", "0.45359237", "kg"),
        ("1 lbf", "4.4482216152605", "N"),
        ("1 mph", "0.44704", "m/s"),
        // The yard, the mile and the calendar's kin follow from the foot and the hour: the same appendix, from memory.
        ("1 yd", "0.9144", "m"),
        ("1 mi", "1.609344", "km"),
        ("1 ft/min", "5.08", "mm/s"),
        ("1 Ah", "3600", "mAh"),
        ("1 Wh", "3600", "J"),
    ] {
        let wanted =
            if one == "1 Ah" { read("1000 mAh").expect("a charge").value } else { unit(base).to_base(exact(number)).expect("a value") };
        assert_eq!(read(one).expect("a measure").value, wanted, "{one} is {number} {base}");
    }
    // g = 9.80665 m/s²: one pound-force is the weight of one pound of mass.
    let weight = read("1 lb").expect("a mass").value.mul(read("9.80665 m/s²").expect("an acceleration").value);
    assert_eq!(weight, Some(read("1 lbf").expect("a force").value));
    // C = (F − 32) / 1.8.
    for fahrenheit in -100..=250i128 {
        let celsius = Exact::whole(fahrenheit - 32).div(exact("1.8")).expect("a number");
        assert_eq!(unit("°F").to_base(Exact::whole(fahrenheit)), unit("°C").to_base(celsius), "{fahrenheit} °F");
    }
}

/// Source: the same appendix; factors that are printed rounded agree to their last digit.
#[test]
fn published_rounded_factors() {
    for (one, number, base) in [
        ("1 psi", "6894.757", "Pa"),
        ("1 psf", "47.88026", "Pa"),
        ("1 ft-lbf", "1.355818", "J"),
        ("1 in-lbf", "0.1129848", "N·m"),
        ("1 fc", "10.76391", "lx"),
        // Lengths and a force that gate codes print in both systems, reckoned with the factors above.
        ("75 lbf", "333.6", "N"),
        ("2 1/4 in", "57.2", "mm"),
        ("16 in", "406.4", "mm"),
        ("4 in", "101.6", "mm"),
        ("6 ft", "1.8288", "m"),
        ("8 ft", "2.4384", "m"),
        ("48 in", "1219.2", "mm"),
        ("72 in", "1828.8", "mm"),
        ("13 ft 6 in", "4114.8", "mm"),
        ("20 ft", "6096", "mm"),
        ("12 ft", "3657.6", "mm"),
        ("26 ft", "7924.8", "mm"),
        ("30 ft", "9144", "mm"),
    ] {
        let places = number.split_once('.').map_or(0, |(_, places)| places.len());
        let digit = Exact::ratio(1, 10i128.pow(u32::try_from(places).expect("few"))).expect("a fraction");
        let here = unit(base).from_base(read(one).expect("a measure").value).expect("a value");
        let off = here.sub(exact(number)).expect("a value").size();
        assert!(off.add(off).is_some_and(|twice| twice <= digit), "{one} is {number} {base}, not {here:?}");
        // The twin check takes the published value as well.
        assert!(read(&format!("{one} ({number} {base})")).is_ok(), "{one} ({number} {base})");
    }
}

/// Source: ASTM B258 by its formula, to fifty digits (wires.py).
#[test]
fn wire_areas_hold_the_true_area_and_are_narrow() {
    let mut count = 0;
    for cells in lines(WIRES) {
        let wire = if cells[0] == "kcmil" { Wire::Kcmil(Exact::ONE) } else { Wire::Awg(cells[0].parse().expect("a gauge")) };
        let (area, truth) = (wire.area(), exact(cells[2]));
        assert!(area.contains(truth), "the area of {wire} is {truth:?}, not in {area:?}");
        let width = area.hi.zip(area.lo).and_then(|(hi, lo)| hi.sub(lo)).expect("both ends");
        assert!(width <= truth.div(Exact::whole(100_000_000)).expect("a number"), "the bounds of {wire} are wide: {area:?}");
        count += 1;
    }
    assert_eq!(count, 45, "gauges 40 to 4/0, and one thousand circular mils");
}

/// The diameter in inches of a wire, from the middle of its bounds.
fn diameter(wire: Wire) -> f64 {
    let area = wire.area().middle().expect("both ends").to_f64();
    (area * 4.0 / std::f64::consts::PI).sqrt() / 25.4
}

#[test]
fn published_wire_sizes() {
    // Diameters in inches. Source: a published encyclopaedia table of ASTM B258 for 12, 18, 10 and 4/0; the others
    // are the same table from memory.
    for (size, published, places) in [
        ("12 AWG", 0.08081, 5),
        ("18 AWG", 0.04030, 5),
        ("10 AWG", 0.10190, 5),
        ("4/0 AWG", 0.4600, 4),
        ("14 AWG", 0.06408, 5),
        ("16 AWG", 0.05082, 5),
        ("8 AWG", 0.1285, 4),
        ("6 AWG", 0.1620, 4),
        ("2 AWG", 0.2576, 4),
        ("1/0 AWG", 0.3249, 4),
        ("36 AWG", 0.0050, 4),
    ] {
        let wire = Wire::read(size).expect("a size");
        assert!((diameter(wire) - published).abs() <= 0.5001 * 10f64.powi(-places), "{size}: {} and {published} in", diameter(wire));
    }
    // Areas in mm²: reckoned from the published diameter of 12 AWG; the others from memory.
    for (size, published, places) in [
        ("12 AWG", 3.3088, 4),
        ("14 AWG", 2.08, 2),
        ("18 AWG", 0.823, 3),
        ("10 AWG", 5.261, 3),
        ("4/0 AWG", 107.2, 1),
        ("250 kcmil", 126.7, 1),
    ] {
        let area = Wire::read(size).expect("a size").area().middle().expect("both ends").to_f64();
        assert!((area - published).abs() <= 0.5001 * 10f64.powi(-places), "{size}: {area} and {published} mm²");
    }
    // 12 AWG is 6530 circular mils in published wire tables, printed to three figures.
    let thousands = Wire::read("12 AWG").expect("a size").area().middle().expect("both ends").to_f64()
        / Wire::Kcmil(Exact::ONE).area().middle().expect("both ends").to_f64();
    assert!((thousands - 6.530).abs() <= 0.005, "{thousands} kcmil");
}

/// Source: python-dateutil's relativedelta (months.py).
#[test]
fn months_later_as_another_calendar_reckons() {
    let mut count = 0;
    for cells in lines(MONTHS) {
        let period = Period { months: cells[1].parse().expect("months"), days: cells[2].parse().expect("days") };
        let later = Days::read(cells[0]).expect("a day").later(period).expect("in the calendar");
        assert!(later.is_known());
        assert_eq!(later.first.to_string(), cells[3], "{} and {} months {} days", cells[0], cells[1], cells[2]);
        count += 1;
    }
    assert!(count > 400, "{count} vectors");
}

/// A unit that measures converts there and back without loss.
#[test]
fn every_measure_converts_there_and_back() {
    for unit in Unit::all().filter(|unit| unit.kind() != UnitKind::Wire) {
        for number in ["1", "0.001", "123456.789", "1000000000000"] {
            let number = exact(number);
            assert_eq!(unit.to_base(number).and_then(|base| unit.from_base(base)), Some(number), "{}", unit.symbol());
        }
    }
}
