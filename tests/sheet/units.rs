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
