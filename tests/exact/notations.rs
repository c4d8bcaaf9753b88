//! How the trade writes a measure: what is read, what is refused, and with what hint.

use super::{FOUR_WAYS, gates, judged_on, value};
use pintle::quantity::{Exact, read};

#[test]
fn tape_readings_and_twins() {
    // The notations of the trade: common practice, no source.
    let same = [
        ("16 ft 6 in", "198 in"),
        ("16 ft 6 1/2 in", "198.5 in"),
        ("5'-6 1/2\"", "66.5 in"),
        ("5' 6 1/2\"", "66.5 in"),
        ("5′ 6½″", "66.5 in"),
        ("2-1/4 in", "2.25 in"),
        ("2 1/4 in", "57.15 mm"),
        ("12 ½ in", "12.5 in"),
        ("26in", "26 in"),
        ("26\u{a0}in", "26 in"),
        ("26\u{202f}in", "26 in"),
        ("26\"", "26 in"),
        ("-3/8 in", "-9.525 mm"),
        ("-1 ft 6 in", "-18 in"),
        ("13 ft 6 in", "4114.8 mm"),
        ("30 ft", "9144 mm"),
        ("6 ft", "1.8288 m"),
        ("2 1/4 in (57 mm)", "57.15 mm"),
        ("2 1/4 in (57.2 mm)", "57.15 mm"),
        ("2 1/4 in (57.1 mm)", "57.15 mm"),
        ("26 in (660 mm)", "26 in"),
        ("72 in (1.83 m)", "72 in"),
        ("72 in (1.8 m)", "72 in"),
        ("30 in (762 mm)", "30 in"),
        ("66 in (5 ft 6 in)", "66 in"),
        ("66 1/2 in (5 ft 6 1/2 in)", "66.5 in"),
        ("1676 mm (5 ft 6 in)", "1676 mm"),
        ("120 cm (1 m 20 cm)", "1200 mm"),
    ];
    for (one, other) in same {
        assert_eq!(value(one), value(other), "{one} and {other}");
    }
    for wrong in [
        "2 1/4 in (58 mm)",
        "26 in (661 mm)",
        "72 in (1.82 m)",
        "72 in (1.9 m)",
        "30 in (762 ms)",
        "30 in (762)",
        "30 in (762 mm",
        "75 lbf (75 lb)",
        // The last part says how far off the twin may be, not the feet before it.
        "66 in (5 ft 7 in)",
        "66 in (5' 11\")",
        "66 in (5 ft 6 1/2 in)",
        "120 cm (1 m 24 cm)",
    ] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
    let with_tolerance = |text: &str| read(text).unwrap_or_else(|slip| panic!("{text}: {}", slip.message)).tolerance;
    assert_eq!(with_tolerance("21 in +/- 1/4 in"), Some(value("1/4 in")));
    assert_eq!(with_tolerance("21 in +/- 1/4"), Some(value("1/4 in")));
    assert_eq!(with_tolerance("21 in ± 3 mm"), Some(value("3 mm")));
    assert_eq!(with_tolerance("20 °C +/- 9 °F"), Some(value("5 K")));
    for wrong in ["21 in +/- 1/4 s", "21 in +/- -1/4 in", "21 in +/-", "21 in +/- 5 %"] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn an_unlike_form_of_a_number_is_refused_with_a_hint() {
    let refused = [
        "",
        " ",
        "+26 in",
        "1 000 mm",
        "1,000 mm",
        "1.000,5 mm",
        "660,4 mm",
        "1_000 mm",
        "1e3 mm",
        "1E3 mm",
        "1e-3 mm",
        "1e400 mm",
        ".5 in",
        "5. in",
        "010 in",
        "00 in",
        "0x10 in",
        "0b10",
        "0o10",
        "٢٦ in",
        "２６ in",
        "26 IN",
        "26 inches",
        "26 zoll",
        "26 in 3 ft",
        "3 in 2 in",
        "26 in 5",
        "- 26 in",
        "--26 in",
        "26 in in",
        "NaN",
        "inf",
        ".inf",
        "1/0 in",
        "2 5/4 in",
        "21/4 in",
        "-11/2 in",
        "8/8 in",
        "5 ft 11/2 in",
        "12:30",
        "26 in 3 s",
        "∞ in",
        "½",
        "26 in # 5",
        "1234567890123456789012345678901 mm",
        "0.123456789012345678901234567890 mm",
    ];
    for text in refused {
        match read(text) {
            Ok(reading) => panic!("`{text}` was read as {reading:?}"),
            Err(slip) => {
                assert!(!slip.message.is_empty() && !slip.hint.is_empty(), "`{text}`: {slip:?}");
                assert!(text.get(slip.at.clone()).is_some(), "`{text}`: no place {:?}", slip.at);
            }
        }
    }
    // A sign on a nought changes nothing.
    assert!(read("-0 in").is_err(), "a nought has no sign");
    // No digit of a number that is as long as allowed is lost.
    assert_eq!(value("123456789012345678901234567890"), Exact::whole(123_456_789_012_345_678_901_234_567_890));
}

#[test]
fn a_measure_without_its_unit_is_refused() {
    for wrong in ["5", "5 s", "5 lb", "5 %", "5 °C", "yes", "none"] {
        let told = judged_on(FOUR_WAYS, &gates(&[(wrong.into(), "1 in".into())]), "2026-03-02");
        assert!(told.is_err(), "`{wrong}` was taken as a length");
    }
}

/// A range has both its ends, the smaller first, and holds both.
#[test]
fn ranges() {
    let pack = "definition gate \"A gate\" among job.gates\n  span length \"S\"\n  rated range of length \"R\"\nsection x \"X\"\n  applies to each gate\n  shall gate.span within gate.rated\n  remedy \"No.\"\n  cite book \"1\"\n";
    let on = |span: &str, rated: &str| {
        judged_on(pack, &format!("gates:\n  - {{id: g, span: {span}, rated: {rated}}}\n"), "2026-03-02")
            .map(|verdicts| verdicts[0].3.clone())
    };
    for (span, rated, wanted) in [
        ("2 ft", "2 ft to 40 ft", "met"),
        ("40 ft", "2 ft to 40 ft", "met"),
        ("12192 mm", "2 to 40 ft", "met"),
        ("609.6 mm", "24 in to 12.192 m", "met"),
        ("609.5 mm", "2 ft to 40 ft", "not met"),
        ("40 ft 1/64 in", "2 ft to 40 ft", "not met"),
        ("2 ft +/- 1 in", "2 ft to 40 ft", "marginal"),
        ("2 ft +/- 1 in", "2 ft to 2 ft", "marginal"),
    ] {
        assert_eq!(on(span, rated).as_deref(), Ok(wanted), "{span} within {rated}");
    }
    for wrong in ["40 ft to 2 ft", "2 ft", "2 to 40", "2 ft to 40 s", "2 ft - 40 ft", "2 ft to", "2 ft to 40 ft to 50 ft", "2 lb to 40 lb"]
    {
        assert!(on("5 ft", wrong).is_err(), "`{wrong}` was taken as a range");
    }
}

#[test]
fn a_compound_measure_goes_from_large_to_small_on_one_scale() {
    for wrong in ["6 in 2 ft", "2 ft 3 ft", "2 ft 1 m", "2 lb 3 in", "2 ft -3", "6 ft 1/2", "5 - 1/2 in", "5 -1/2 in"] {
        assert!(read(wrong).is_err(), "`{wrong}` was read as {:?}", read(wrong));
    }
}

#[test]
fn two_temperatures_are_not_one() {
    assert!(read("20 °C 5 °F").is_err(), "`20 °C 5 °F` was read as {:?}", read("20 °C 5 °F"));
}

#[test]
fn a_bare_tolerance_beside_feet_and_inches_is_not_feet() {
    let tolerance = read("16 ft 6 in +/- 1/4").ok().and_then(|reading| reading.tolerance);
    assert!(tolerance.is_none_or(|tolerance| tolerance == value("1/4 in")), "{tolerance:?}");
}
