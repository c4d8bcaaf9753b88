//! Drawings in the reader's units: every dimension line is as long as before and says what it is in inches or in millimetres, the text twin
//! follows, and findings stay.

use super::{TODAY, examples, one, root, source};
use pintle::command::draw::{figures_in, figures_of};
use pintle::quantity::Units;
use pintle::report::drawing::{Figure, View};

/// Half a sixteenth of an inch, the most by which a number at the marks of a tape is off, in metres.
const NEAR: f64 = 0.0254 / 32.0 + 1e-9;

fn in_units(name: &str, units: Units) -> Vec<Figure> {
    let path = root().join("examples/jobs").join(name).with_extension("yaml");
    figures_in(units, source(&format!("{name}.yaml"), &path), &[], TODAY).unwrap_or_else(|why| panic!("{name}: {why:?}"))
}

/// What the dimension lines say: thing and fact, metres, and the value as it is printed.
fn lines(figure: &Figure) -> Vec<(String, f64, String)> {
    let document = super::parsed(figure);
    let own = |node: &roxmltree::Node, name: &str| node.attribute(name).unwrap_or("").to_string();
    let lines = document.descendants().filter(|node| node.attribute("data-fact").is_some());
    let one = |node| {
        (own(&node, "data-thing") + " " + &own(&node, "data-fact"), own(&node, "data-metres").parse().unwrap(), own(&node, "data-value"))
    };
    lines.map(one).collect()
}

#[test]
fn every_dimension_line_says_its_length_in_the_units_that_are_wanted() {
    let mut turned = 0;
    for (name, _) in examples() {
        for (units, foreign, near) in [(Units::Inch, [" mm", " m", " cm"], NEAR), (Units::Metric, [" in", " ft", "\u{0}"], 1e-4)] {
            for figure in in_units(&name, units) {
                for (what, metres, value) in lines(&figure) {
                    assert!(!foreign.iter().any(|unit| value.ends_with(unit)), "{name}, {}: {what} is {value}", figure.title);
                    let text = value.split(" +/- ").next().unwrap();
                    let read =
                        pintle::quantity::read(text.trim_start_matches('≈')).unwrap_or_else(|slip| panic!("{name}: {value}: {slip:?}"));
                    let off = (read.value.to_f64().abs() - metres.abs()).abs();
                    assert!(off <= near, "{name}, {}: {what} is {metres} m, not {value}", figure.title);
                    assert!(text.starts_with('≈') || off < 2.1e-5, "{name}: {what}: {value} is marked as near where it is off by {off} m");
                    turned += usize::from(text.starts_with('≈'));
                }
                let measures = figure.twin.rows.iter().map(|row| row[2].as_str()).collect::<Vec<_>>().join(", ");
                assert!(!foreign.iter().any(|unit| measures.contains(&format!("{unit},"))), "{name}, {}: {measures}", figure.title);
            }
        }
    }
    assert!(turned > 50, "only {turned} numbers were rounded");
}

#[test]
fn a_drawing_shows_the_same_things_and_findings_in_any_units() {
    let path = root().join("examples/jobs/way-out-with-many-faults.yaml");
    let written = figures_of(source("way-out-with-many-faults.yaml", &path), &[], TODAY).unwrap();
    for units in [Units::Inch, Units::Metric] {
        for (one, other) in written.iter().zip(in_units("way-out-with-many-faults", units)) {
            let told = |figure: &Figure| figure.twin.rows.iter().map(|row| (row[0].clone(), row[3].clone())).collect::<Vec<_>>();
            assert_eq!(told(one), told(&other));
        }
    }
}

#[test]
fn twins_in_other_units_say_what_they_said() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings.bind(|| {
        let inches = in_units("slide-right-metric-good", Units::Inch);
        insta::assert_snapshot!("slide-right-metric-good-elevation-in-inches", one(&inches, View::Elevation).twin.text());
        let metric = in_units("slide-left-drawn", Units::Metric);
        insta::assert_snapshot!("slide-left-drawn-section-in-metric", one(&metric, View::Section).twin.text());
    });
}
