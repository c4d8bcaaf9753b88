//! Enlarged details, read back from the SVG: what is too small to be read is ringed and drawn once more, to its own scale, in a frame that
//! lies on nothing else; the twin tells the same.

use super::{FIGURES, made_up, one, parsed};
use pintle::report::drawing::{Figure, View};
use roxmltree::{Document, Node};

fn number(node: &Node, name: &str) -> f64 {
    node.attribute(name).unwrap_or("0").trim_end_matches("mm").parse().unwrap_or_else(|_| panic!("{name}: {node:?}"))
}

fn details<'d>(document: &'d Document) -> Vec<Node<'d, 'd>> {
    document.descendants().filter(|node| node.attribute("data-part") == Some("detail")).collect()
}

fn shift(node: &Node) -> (f64, f64) {
    let text = node.attribute("transform").and_then(|text| text.strip_prefix("translate(")).unwrap_or("0 0)").trim_end_matches(')');
    let (x, y) = text.split_once(' ').unwrap();
    (x.parse().unwrap(), y.parse().unwrap())
}

fn all(run: impl Fn(&str, &Figure)) {
    for (name, figures) in FIGURES.iter() {
        figures.iter().for_each(|figure| run(name, figure));
    }
}

/// The oracle is the measure as the job gives it, and the scale that the detail states.
#[test]
fn what_is_too_small_to_read_is_drawn_once_more_to_its_own_scale() {
    let mut counted = 0;
    for (name, figures) in FIGURES.iter() {
        for figure in figures {
            let document = parsed(figure);
            let sheet = number(&document.root_element(), "data-scale");
            for detail in details(&document) {
                let (letter, scale) = (detail.attribute("data-letter").unwrap(), number(&detail, "data-scale"));
                let line = detail.descendants().find(|node| node.attribute("data-enlarged").is_some()).unwrap();
                let drawn = (number(&line, "x1") - number(&line, "x2")).hypot(number(&line, "y1") - number(&line, "y2"));
                let metres = number(&line, "data-metres").abs();
                assert!(
                    (drawn * scale / 1000.0 - metres).abs() <= 0.03 * scale / 1000.0,
                    "{name} {}: {letter} {drawn} mm, {metres} m",
                    figure.title
                );
                assert!(metres / (sheet / 1000.0) < 3.0, "{name}: {letter} could be read as it was");
                assert!(
                    scale < sheet / 2.0 && (drawn >= 6.0 || scale <= 0.5),
                    "{name} {}: {letter} is {drawn} mm at 1:{scale}",
                    figure.title
                );
                let told = format!("Detail {letter}, ");
                assert!(figure.twin.text().contains(&told), "{name}: {told}");
                let named = document.descendants().any(|node| node.text() == Some(&format!("detail {letter}")));
                assert!(named || figure.twin.text().contains("for want of room: "), "{name} {}: no ring {letter}", figure.title);
                counted += 1;
            }
        }
    }
    assert!(counted > 60, "only {counted} details");
}

#[test]
fn frames_of_details_lie_on_nothing_else_and_within_the_sheet() {
    all(|name, figure| {
        let document = parsed(figure);
        let svg = document.root_element();
        let (wide, high) = (number(&svg, "width"), number(&svg, "height"));
        let boxes: Vec<[f64; 4]> = details(&document)
            .iter()
            .map(|detail| {
                let (x, y) = shift(detail);
                let frame = detail
                    .children()
                    .filter(|node| node.tag_name().name() == "rect")
                    .map(|rect| (number(&rect, "width"), number(&rect, "height")));
                let (w, h) = frame.fold((0.0, 0.0), |(w, h): (f64, f64), (a, b)| (w.max(a), h.max(b)));
                [x, y, x + w, y + h]
            })
            .collect();
        let main = document.descendants().find(|node| node.has_tag_name("g") && node.attribute("transform").is_some()).unwrap();
        let (_, top) = shift(&main);
        let below =
            main.descendants().filter(|node| node.attribute("data-part").is_some()).flat_map(|part| part.children().collect::<Vec<_>>());
        let lowest = below
            .filter(|node| node.has_tag_name("rect"))
            .map(|rect| top + number(&rect, "y") + number(&rect, "height"))
            .fold(0.0, f64::max);
        for (at, one) in boxes.iter().enumerate() {
            assert!(one[0] >= 0.0 && one[2] <= wide && one[3] <= high, "{name} {}: {one:?} beyond {wide} x {high}", figure.title);
            assert!(one[1] >= lowest, "{name} {}: {one:?} on the drawing above, which ends at {lowest}", figure.title);
            for other in &boxes[at + 1..] {
                assert!(one[2] <= other[0] || other[2] <= one[0], "{name}: {one:?} on {other:?}");
            }
        }
    });
}

#[test]
fn a_gap_under_the_leaf_is_enlarged_and_a_made_up_one_is_not() {
    let gate = |opening: &str| {
        format!(
            "  - id: main\n    kind: horizontal-slide\n{opening}    bottom-gap: 1 1/4 in\n    leaves:\n      - {{id: leaf, length: 24 ft, height: 6 ft}}\n"
        )
    };
    let figures = made_up(&gate("    opening: 20 ft\n"));
    let figure = one(&figures, View::Elevation);
    assert!(figure.svg.contains("data-enlarged=\"gate.bottom-gap\""), "{}", figure.svg);
    assert!(figure.twin.text().contains("bottom-gap 1 1/4 in."), "{}", figure.twin.text());
    // A drawing that rests on a made-up opening has no scale, and so no detail.
    let figures = made_up(&gate(""));
    assert!(!one(&figures, View::Elevation).svg.contains("data-enlarged"), "not to scale");
}
