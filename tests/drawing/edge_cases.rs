//! Jobs that a drawing must survive: names that would be code, gates of which nothing is known, sizes that no gate has, very many things.

use super::{made_up, one, parsed};
use pintle::report::drawing::{Figure, View};
use roxmltree::Node;

const HOSTILE: &str = "</text><script>alert(1)</script><a href='https://example.invalid'>&\\\" onload=x \\u202e\\u0007";

fn sound(figures: &[Figure]) {
    for figure in figures {
        let document = parsed(figure);
        for node in document.descendants().filter(Node::is_element) {
            assert!(!matches!(node.tag_name().name(), "script" | "a" | "style" | "image" | "foreignObject"), "{}", figure.title);
        }
        assert!(!figure.svg.contains("NaN") && !figure.svg.contains("inf\""), "{}", figure.title);
        let svg = document.root_element();
        for side in ["width", "height"] {
            let size: f64 = svg.attribute(side).unwrap().trim_end_matches("mm").parse().unwrap();
            assert!((50.0..1200.0).contains(&size), "{}: {side} {size}", figure.title);
        }
        assert!(figure.svg.len() < 600_000, "{}: {} bytes", figure.title, figure.svg.len());
    }
}

#[test]
fn hostile_names_stay_text() {
    let figures = made_up(&format!(
        "  - id: \"{HOSTILE}\"\n    kind: horizontal-slide\n    opening: 4 m\n    leaves: [{{id: \"{HOSTILE}\", length: 5 m}}]\n    \
         beams: [{{id: \"{HOSTILE}\", height: 300 mm, offset: 100 mm, span: 4.2 m}}]\n    \
         posts: [{{id: \"{HOSTILE}\", kind: receiver, jamb: right, side: secured, gap: 30 mm}}]\n    \
         controls: [{{id: \"{HOSTILE}\", kind: keypad, distance: 900 mm}}]\n"
    ));
    sound(&figures);
    for figure in &figures {
        let document = parsed(figure);
        assert!(document.descendants().filter_map(|node| node.text()).any(|text| text.contains("<script>")), "it is shown as text");
        let unsafe_one = |text: &str| text.chars().any(|c| c == '\u{202e}' || c == '\u{7}');
        assert!(!unsafe_one(&figure.svg) && !unsafe_one(&figure.twin.text()), "{}", figure.title);
    }
}

#[test]
fn a_gate_of_which_nothing_is_known_says_so_and_shows_no_measure() {
    let figures = made_up("  - {id: bare}\n");
    assert_eq!(figures.len(), 3);
    sound(&figures);
    for figure in &figures {
        assert!(!figure.svg.contains("data-fact"), "no measure is invented: {}", figure.svg);
        let words = figure.twin.text();
        assert!(words.contains("its opening is not given"), "{words}");
        assert!(words.contains("The job does not say whether there are leaves, posts, obstacles, zones, beams"), "{words}");
    }
}

#[test]
fn a_job_without_gates_has_no_figures() {
    let text = "title: None\ncodes: [us-gates]\npermit-date: 2026-02-12\ngates: none\n";
    let figures = pintle::command::draw::figures_of(pintle::source::Source::new("none.yaml", text), &[], super::TODAY).unwrap();
    assert!(figures.is_empty());
}

#[test]
fn sizes_that_no_gate_has_still_fit_on_paper() {
    for kind in ["horizontal-slide", "swing", "bifold", "vertical-lift", "vertical-pivot", "overhead-pivot", "barrier-arm"] {
        for (opening, length, height) in [
            ("1 mm", "1 mm", "1 mm"),
            ("10 km", "10 km", "2 m"),
            ("10 km", "1 mm", "3 m"),
            ("4 m", "900 m", "1 mm"),
            ("1 mm", "5 m", "9 km"),
        ] {
            let gate = format!(
                "  - id: main\n    kind: {kind}\n    opening: {opening}\n    bottom-gap: 3 m\n    leaves: [{{id: leaf, length: {length}, height: {height}, \
                 opening-angle: 90 deg, opens-to: public, travel: {opening}}}]\n    beams: [{{id: far, height: 2 km, offset: 1 mm, span: 1 mm}}]\n    \
                 obstacles: [{{id: wall, kind: wall, side: public, distance: 8 km}}]\n"
            );
            sound(&made_up(&gate));
        }
    }
}

#[test]
fn points_that_no_gate_has_still_fit_on_paper() {
    for (from, to) in [("[0 m, 0 m, 0 m]", "[0 m, 0 m]"), ("[-9 km, 9 km]", "[9 km, -9 km]"), ("[1 m, 1 m]", "[1 m, 4 m]")] {
        for kind in ["horizontal-slide", "swing", "bifold", "vertical-pivot", "barrier-arm", "overhead-pivot"] {
            let text = format!(
                "title: Odd\ncodes: [us-gates]\npermit-date: 2026-02-12\ngates:\n  - id: main\n    kind: {kind}\n    opening: 4 m\n    leaves:\n      - {{id: leaf, \
                 from: {from}, to: {to}, thickness: 50 mm, height: 2 m, travel: 4 m, opening-angle: 90 deg, opens-to: secured, fold-length: 2 m}}\n    \
                 beams: [{{id: one, sender: [0 m, 0 m, 1 m], mate: [0 m, 0 m, 1 m]}}]\n    zones: [{{id: z, place: face, outline: [[0 m, 0 m], [1 m, 0 m], [2 m, 0 m]]}}]\n"
            );
            // A drawing that no gate can have is a slip, and told; the figures are made all the same where there is none.
            if let Ok(figures) = pintle::command::draw::figures_of(pintle::source::Source::new("odd.yaml", text), &[], super::TODAY) {
                sound(&figures);
            }
        }
    }
}

#[test]
fn of_a_thousand_obstacles_those_left_out_are_named() {
    let many: String = (0..1000)
        .map(|at| {
            let x = f64::from(at % 40) * 0.5;
            let y = 1.0 + f64::from(at / 40) * 0.4;
            format!(
                "      - {{id: pillar-{at}, kind: pillar, outline: [[{x} m, {y} m], [{} m, {y} m], [{x} m, {} m]]}}\n",
                x + 0.2,
                y + 0.2
            )
        })
        .collect();
    let figures = made_up(&format!(
        "  - id: main\n    kind: horizontal-slide\n    opening: 6 m\n    leaves: [{{id: leaf, length: 7 m, height: 2 m}}]\n    obstacles:\n{many}"
    ));
    sound(&figures);
    let plan = one(&figures, View::Plan);
    let words = plan.twin.text();
    assert!(words.contains("pillar-999") && words.contains("not drawn: more than a drawing holds"), "every one is told");
    assert!(plan.twin.rows.iter().filter(|row| row[0].starts_with("obstacle pillar-")).count() == 1000);
    assert!(plan.svg.contains("Not drawn of the obstacles: pillar-30, pillar-31"), "the first of those left out are named in the figure");
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let path = super::root().join("examples/jobs/way-out-with-many-faults.yaml");
    let again = || {
        let figures = pintle::command::draw::figures_of(super::source("a.yaml", &path), &[], super::TODAY).unwrap();
        figures.into_iter().map(|figure| figure.svg + &figure.twin.text()).collect::<Vec<_>>()
    };
    assert_eq!(again(), again());
}
