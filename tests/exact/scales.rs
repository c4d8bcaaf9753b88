//! Temperature scales, wire sizes, dates.

use super::{judged_on, unit, value, words};
use pintle::quantity::show::in_unit;
use pintle::quantity::{Days, Exact, Period, Wire, read};

/// Scales: the ice and steam points and where both scales meet; from memory.
#[test]
fn temperature_scales() {
    for (celsius, fahrenheit) in
        [("0", "32"), ("100", "212"), ("-40", "-40"), ("37", "98.6"), ("20", "68"), ("-17.5", "0.5"), ("-273.15", "-459.67")]
    {
        let (one, other) = (value(&format!("{celsius} °C")), value(&format!("{fahrenheit} °F")));
        assert_eq!(one, other, "{celsius} °C and {fahrenheit} °F");
        assert_eq!(in_unit(one, unit("°F")), format!("{fahrenheit} °F"));
        assert_eq!(in_unit(other, unit("°C")), format!("{celsius} °C"));
    }
    assert_eq!(value("-273.15 °C"), Exact::ZERO);
    assert_eq!(value("20 °C"), Exact::ratio(29_315, 100).expect("a fraction"));
    assert!(read("20 °C (68 °F)").is_ok() && read("20 °C (69 °F)").is_err());
    // A temperature is no temperature difference, neither in a job nor in a rule.
    let facts = "definition gate \"A gate\" among job.gates\n  low temperature \"L\"\n  high temperature \"H\"\n  rise temperature-difference \"R\"\n";
    let section =
        |clause: &str| format!("{facts}section x \"X\"\n  applies to each gate\n  shall {clause}\n  remedy \"No.\"\n  cite book \"1\"\n");
    let job = "gates:\n  - {id: g, low: 20 °C, high: 77 °F, rise: 5 K}\n";
    assert_eq!(words(&section("gate.low at most gate.high and gate.high at most 25 °C and gate.high at least 77 °F"), job), "a met");
    assert!(
        judged_on(&section("gate.low at most gate.high"), "gates:\n  - {id: g, low: 20 °C, high: 25 °C, rise: 5 °C}\n", "2026-03-02")
            .is_err()
    );
    for wrong in ["gate.low + gate.high at most 40 °C", "gate.low at most 5 K", "gate.rise at most 5 °C"] {
        assert!(judged_on(&section(wrong), job, "2026-03-02").is_err(), "{wrong} was taken");
    }
}

#[test]
fn wires_are_ordered_by_area() {
    let gauges: Vec<Wire> = (-3..=40).rev().map(Wire::Awg).collect();
    for (at, wire) in gauges.iter().enumerate() {
        assert_eq!(Wire::read(&wire.to_string()), Ok(*wire));
        for (beside, other) in gauges.iter().enumerate() {
            assert_eq!(wire.thinner_than(*other), Some(at < beside), "{wire} and {other}");
            let areas = (wire.area(), other.area());
            assert!(at >= beside || areas.0.hi < areas.1.lo, "the areas of {wire} and {other}");
        }
    }
    // From thin to thick, over all three ways to write a size. Areas: 12 AWG 3.309 mm², 10 AWG 5.261, 4/0 107.2, 250 kcmil 126.7 (from memory, but for 12 AWG).
    let mixed = [
        "0.5 mm²",
        "18 AWG",
        "1.5 mm²",
        "14 AWG",
        "2.5 mm²",
        "12 AWG",
        "4 mm²",
        "10 AWG",
        "6 mm²",
        "4/0 AWG",
        "120 mm²",
        "250 kcmil",
        "150 mm²",
        "300 kcmil",
    ];
    let mixed: Vec<Wire> = mixed.iter().map(|text| Wire::read(text).expect("a size")).collect();
    for (at, wire) in mixed.iter().enumerate() {
        for (beside, other) in mixed.iter().enumerate() {
            assert_eq!(wire.thinner_than(*other), Some(at < beside), "{wire} and {other}");
        }
    }
    // A size that lies within the bounds of another, which rest on pi: neither is surely the thinner one.
    let (round, close) = (Wire::read("1 kcmil").expect("a size"), Wire::read("0.5067074790974975 mm²").expect("a size"));
    assert_eq!((round.thinner_than(close), close.thinner_than(round)), (None, None));
    for wrong in [
        "5/0 AWG",
        "0/0 AWG",
        "-1 AWG",
        "41 AWG",
        "12.5 AWG",
        "12 awg",
        "12AWG mm²",
        "0 mm²",
        "-2 mm²",
        "12",
        "AWG",
        "/0 AWG",
        "+1/0 AWG",
        "1/0",
        // Cables of two, three and four conductors; read as fractions they would pass for far thicker ones.
        "18/2 AWG",
        "12/3 AWG",
        "16/4 AWG",
        "10/2 AWG",
        "12 1/2 AWG",
        "12-1/2 AWG",
        "3/2 mm²",
        "2 1/2 mm²",
        "500/2 kcmil",
    ] {
        assert!(Wire::read(wrong).is_err(), "`{wrong}` was read as {:?}", Wire::read(wrong));
    }
    let hint = Wire::read("12/3 AWG").map_err(|(_, hint)| hint);
    assert_eq!(hint, Err("write the size of one conductor alone, such as 12 AWG; how many a cable has is no part of it".into()));
}

#[test]
fn dates_and_partly_known_dates() {
    let days = |text: &str| Days::read(text).map(|days| (days.first.to_string(), days.last.to_string()));
    let span = |first: &str, last: &str| Ok((first.to_string(), last.to_string()));
    assert_eq!(days("2026-03-02"), span("2026-03-02", "2026-03-02"));
    assert_eq!(days("2024-02"), span("2024-02-01", "2024-02-29"));
    assert_eq!(days("2100-02"), span("2100-02-01", "2100-02-28"));
    assert_eq!(days("2026"), span("2026-01-01", "2026-12-31"));
    for wrong in [
        "2026-02-29",
        "2100-02-29",
        "2026-13",
        "2026-00",
        "2026-00-01",
        "2026-01-00",
        "2026-1-1",
        "26-01-01",
        "0999-01-01",
        "01/02/2026",
        "2026-01-01T00:00",
        "2026-",
        "",
        "٢٠٢٦",
    ] {
        assert!(Days::read(wrong).is_err(), "`{wrong}` was read as {:?}", Days::read(wrong));
    }
    // A day of February that is not known, a month later: a day of March that is not known.
    let later = Days::read("2026-01").expect("a month").later(Period { months: 1, days: 0 }).expect("in the calendar");
    assert_eq!((later.first.to_string(), later.last.to_string()), ("2026-02-01".into(), "2026-02-28".into()));
}

#[test]
fn a_date_some_months_later_in_a_rule() {
    let pack = "definition gate \"A gate\" among job.gates\n  tested date \"T\"\nsection x \"X\"\n  applies to each gate\n  shall gate.tested + 6 months at least job.today\n  remedy \"No.\"\n  cite book \"1\"\n";
    // The last day of August and six months: the last day of February (python-dateutil's relativedelta says the same).
    for (tested, today, wanted) in [
        ("2025-08-31", "2026-02-28", "met"),
        ("2025-08-31", "2026-03-01", "not met"),
        ("2023-08-31", "2024-02-29", "met"),
        ("2023-08-30", "2024-03-01", "not met"),
        ("2025-08", "2026-02-01", "met"),
        ("2025-08", "2026-02-15", "open"),
        ("2025-08", "2026-03-01", "not met"),
    ] {
        let verdicts = judged_on(pack, &format!("gates:\n  - {{id: g, tested: {tested}}}\n"), today).expect("no slips");
        assert_eq!(verdicts[0].3, wanted, "{tested} on {today}");
    }
}
