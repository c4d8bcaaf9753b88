//! Numbers in the reader's units: a number that was turned into another unit lies on the same side of its limit when it is read back,
//! verdicts stay, and what was written stands beside.

use super::super::cli::{Site, good_but};
use super::read::read;
use super::{of_example, sheet};
use pintle::quantity::unit::UnitKind;
use pintle::quantity::{Exact, Unit, Units, show};
use proptest::prelude::*;
use std::cmp::Ordering;

/// A shown number as an exact one, in base units; the mark of rounding aside.
fn back(text: &str) -> Exact {
    let text = text.trim_start_matches('≈');
    pintle::quantity::read(text).unwrap_or_else(|slip| panic!("`{text}` cannot be read back: {slip:?}")).value
}

fn measures() -> Vec<Unit> {
    Unit::all().filter(|unit| matches!(unit.kind(), UnitKind::Measure)).filter(|unit| unit.symbol() != "%").collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn a_turned_number_lies_on_the_same_side_of_its_limit(
        unit in prop::sample::select(measures()),
        to in prop::sample::select(vec![Units::Inch, Units::Metric]),
        value in 1i128..200_000, apart in -64i128..=64, lower in prop::sample::select(vec![1i128, 2, 8, 64, 10, 100, 1000]),
    ) {
        let number = |upper: i128| unit.to_base(Exact::ratio(upper, lower).unwrap()).unwrap();
        let (value, limit) = (number(value), number((value + apart).max(0)));
        let (one, other) = show::apart(value, limit, Some(to.of(unit)));
        let sides = (value.cmp(&limit), back(&one).cmp(&back(&other)));
        prop_assert_eq!(sides.0, sides.1, "{} against {}", one, other);
    }
}

/// Whether a comparison word holds between two numbers.
fn holds(word: &str, one: Exact, other: Exact) -> bool {
    match word {
        "at most" => one <= other,
        "at least" => one >= other,
        "less than" => one < other,
        "more than" => one > other,
        _ => one == other,
    }
}

/// Lengths about a limit: of millimetres and fractions, of inches and fractions, a hair beside them.
fn lengths() -> impl Strategy<Value = Exact> {
    let of =
        |symbol: &'static str, upper: i128, lower: i128| Unit::named(symbol).unwrap().to_base(Exact::ratio(upper, lower).unwrap()).unwrap();
    prop_oneof![
        (0i128..4000, prop::sample::select(vec![1i128, 2, 5, 10, 3])).prop_map(move |(upper, lower)| of("mm", upper, lower)),
        (0i128..2000, prop::sample::select(vec![1i128, 2, 16, 64, 10])).prop_map(move |(upper, lower)| of("in", upper, lower)),
        (0i128..900, prop::sample::select(vec![1i128, 4, 100])).prop_map(move |(upper, lower)| of("cm", upper, lower)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6000, ..ProptestConfig::default() })]

    // Read back by the program's own reader, a printed value keeps its printed limit exactly when the value keeps the limit.
    #[test]
    fn a_tape_never_says_otherwise_than_the_verdict(
        value in lengths(), limit in lengths(), near in prop::option::of((-40i128..=40, prop::sample::select(vec![1i128, 16, 64, 1000, 100_000]))),
        word in prop::sample::select(vec!["at most", "at least", "less than", "more than", "is"]),
        symbol in prop::sample::select(vec!["mm", "cm", "m", "in", "ft"]),
    ) {
        // Half of the limits lie a hair beside the value.
        let limit = match near {
            Some((apart, parts)) => value.add(Exact::ratio(apart, parts * 1000).unwrap()).unwrap().max(Exact::ZERO),
            None => limit,
        };
        let unit = Units::Inch.of(Unit::named(symbol).unwrap());
        let (one, other) = show::apart(value, limit, Some(unit));
        prop_assert_eq!(holds(word, value, limit), holds(word, back(&one), back(&other)), "{} {} {}", one, word, other);
        // What is not marked as near is exact, and what is marked is a mark of the tape or says more than one.
        for (exact, text) in [(value, &one), (limit, &other)] {
            prop_assert_eq!(text.starts_with('≈'), back(text) != exact, "{}", text);
            let off = back(text).sub(exact).unwrap().size();
            prop_assert!(off <= Unit::named("in").unwrap().to_base(Exact::ratio(1, 32).unwrap()).unwrap(), "{} is off by {:?}", text, off);
        }
    }

    // Both ends of a reading against its limit, as calculations and explanations have them.
    #[test]
    fn the_ends_of_a_reading_keep_their_side_on_a_tape(low in lengths(), wide in 0i128..200, limit in lengths(), feet in any::<bool>()) {
        let high = low.add(Exact::ratio(wide, 10_000).unwrap()).unwrap();
        let unit = Some(Units::Inch.of(Unit::named(if feet { "m" } else { "mm" }).unwrap()));
        let places = show::places_apart(&[(low, limit), (high, limit)], unit);
        let shown = |value: Exact| back(&show::at_places(value, unit, places));
        for end in [low, high] {
            prop_assert_eq!(end.cmp(&limit), shown(end).cmp(&shown(limit)), "{:?} against {:?}", end, limit);
        }
    }
}

#[test]
fn a_tape_is_read_in_sixteenths() {
    let shown = |text: &str| {
        let reading = pintle::quantity::read(text).unwrap();
        show::in_unit(reading.value, Units::Inch.of(reading.unit.unwrap()))
    };
    for (written, inches) in [
        ("660.4 mm", "26 in"),
        ("660.5 mm", "≈26 in"),
        ("100 mm", "≈3 15/16 in"),
        ("57 mm", "≈2 1/4 in"),
        ("0.5 mm", "≈1/64 in"),
        ("0.1 mm", "≈0.003937 in"),
        ("6 m", "≈19 ft 8 1/4 in"),
        ("0.15 m", "≈5 7/8 in"),
        ("26.3 in", "26.3 in"),
        ("26 1/64 in", "26 1/64 in"),
        ("12 ft 3 in", "12 ft 3 in"),
        ("0 mm", "0 in"),
    ] {
        assert_eq!(shown(written), inches, "{written}");
    }
}

#[test]
fn a_unit_stands_for_one_of_its_own_kind_and_turning_twice_changes_nothing() {
    for unit in Unit::all() {
        for units in [Units::AsWritten, Units::Inch, Units::Metric] {
            let turned = units.of(unit);
            assert_eq!((turned.dimension(), turned.kind()), (unit.dimension(), unit.kind()), "{}", unit.symbol());
            assert_eq!(units.of(turned), turned, "{}", unit.symbol());
        }
        assert_eq!(Units::AsWritten.of(unit), unit);
    }
}

#[test]
fn the_value_as_written_stands_beside_and_verdicts_stay() {
    let site = Site::new().with("job.yaml", good_but("24 in", "26 1/64 in"));
    let written = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(written.contains("| 26 1/64 in | at most 26 in | 1/64 in over the limit"), "{written}");
    let (code, html) = sheet(&site, "job.yaml", &["--units", "metric"]);
    let text = read(&html);
    assert_eq!(code, 1);
    assert!(text.contains("660.796875 mm (as written: 26 1/64 in) | at most 660.4 mm"), "{text}");
    assert!(text.contains("beam.height is 660.796875 mm; it must be at most 660.4 mm"), "{text}");
    let site = Site::new().with("job.yaml", good_but("24 in", "660.5 mm"));
    let text = read(&sheet(&site, "job.yaml", &["--units", "inch"]).1);
    let row = text.lines().find(|line| line.starts_with("(a) gate main / beam low | not met")).unwrap().to_string();
    let shown = row.split(" | ").nth(2).unwrap().split(" (").next().unwrap().to_string();
    assert_eq!(back(&shown).cmp(&back("26 in")), Ordering::Greater, "{row}");
    assert!(row.contains("(as written: 660.5 mm)"), "{row}");
}

#[test]
fn every_verdict_is_the_same_in_any_units() {
    for name in ["way-out-with-many-faults", "slide-right-metric-good", "marginal-measures", "europe-swing-as-found"] {
        let verdicts = |units: &str| {
            let (code, html) = of_example(name, &["--units", units]);
            let text = read(&html);
            let rows =
                text.lines().filter(|line| line.starts_with('(')).map(|line| line.split(" | ").take(2).collect::<Vec<_>>().join(" | "));
            (code, rows.collect::<Vec<_>>())
        };
        let written = verdicts("as-written");
        assert!(written.1.len() > 20, "{name}");
        assert_eq!(written, verdicts("inch"), "{name}");
        assert_eq!(written, verdicts("metric"), "{name}");
    }
}

#[test]
fn check_and_calcs_show_the_same_units_and_the_same_verdicts() {
    let site = Site::new().with("job.yaml", good_but("24 in", "26 1/64 in"));
    for view in ["plain", "text"] {
        let seen = site.view(view, &["job.yaml", "--units", "metric"]);
        assert_eq!(seen.code, 1);
        assert!(seen.out.contains("660.796875 mm") && seen.out.contains("660.4 mm"), "{seen}");
    }
    let written = site.view("plain", &["job.yaml"]).out;
    assert!(written.contains("26 1/64 in") && !written.contains("mm"), "{written}");
    let refused = site.view("lines", &["job.yaml", "--units", "metric"]);
    assert!(refused.code == 2 && refused.err.contains("--units is for the views text and plain"), "{refused}");
    let calcs = site.run(&["calcs", "job.yaml", "yard/lens-height", "--units", "metric", "--today", super::super::cli::TODAY]);
    assert_eq!(calcs.code, 0, "{calcs}");
    assert!(calcs.out.contains("660.796875 mm") && calcs.out.contains("at most 660.4 mm"), "{calcs}");
}
