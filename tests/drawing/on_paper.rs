//! What is read back from the SVG of every example: that it is well-formed and holds nothing foreign, that drawn lengths are those of the
//! job, that no name lies on another.

use super::{FIGURES, parsed};
use pintle::report::drawing::Figure;
use roxmltree::Node;
use std::collections::BTreeSet;

/// Elements that a figure may hold.
const ELEMENTS: [&str; 13] =
    ["svg", "title", "desc", "defs", "pattern", "clipPath", "rect", "g", "line", "path", "circle", "polygon", "text"];

fn number(node: &Node, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("no {name}"));
    text.trim_end_matches("mm").parse().unwrap_or_else(|_| panic!("{name}={text}"))
}

fn all(run: impl Fn(&str, &Figure)) {
    for (name, figures) in FIGURES.iter() {
        figures.iter().for_each(|figure| run(name, figure));
    }
}

#[test]
fn every_figure_is_one_picture_with_words_and_nothing_foreign() {
    all(|name, figure| {
        let document = parsed(figure);
        let svg = document.root_element();
        assert_eq!((svg.tag_name().name(), svg.attribute("role")), ("svg", Some("img")), "{name}");
        let named = svg.attribute("aria-labelledby").unwrap();
        for id in named.split(' ') {
            let words = document.descendants().find(|node| node.attribute("id") == Some(id)).and_then(|node| node.text());
            assert!(words.is_some_and(|words| words.len() > 8), "{name}: {id}");
        }
        let ids: Vec<&str> = document.descendants().filter_map(|node| node.attribute("id")).collect();
        assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len(), "{name}: an id twice");
        for node in document.descendants().filter(Node::is_element) {
            assert!(ELEMENTS.contains(&node.tag_name().name()), "{name}: <{}>", node.tag_name().name());
            for attribute in node.attributes() {
                let (key, value) = (attribute.name(), attribute.value());
                assert!(!key.starts_with("on") && !key.contains("href") && key != "style", "{name}: {key}");
                let foreign = value.contains("url(") && !value.starts_with("url(#");
                assert!(!foreign && !value.contains("NaN") && !value.contains("inf"), "{name}: {key}={value}");
            }
        }
    });
}

#[test]
fn no_two_figures_of_a_job_share_an_id() {
    for (name, figures) in FIGURES.iter() {
        let mut seen = BTreeSet::new();
        for figure in figures {
            for node in parsed(figure).descendants() {
                if let Some(id) = node.attribute("id") {
                    assert!(seen.insert(id.to_string()), "{name}: {id}");
                }
            }
        }
    }
}

/// The oracle is the text of the job, read again, and the scale that the sheet states.
#[test]
fn drawn_lengths_are_those_of_the_job() {
    let mut counted = 0;
    all(|name, figure| {
        let document = parsed(figure);
        let scale = number(&document.root_element(), "data-scale") / 1000.0;
        for line in document.descendants().filter(|node| node.attribute("data-fact").is_some()) {
            let drawn = (number(&line, "x1") - number(&line, "x2")).hypot(number(&line, "y1") - number(&line, "y2"));
            let metres = number(&line, "data-metres").abs();
            let what =
                format!("{name}, {}: {} of {}", figure.title, line.attribute("data-fact").unwrap(), line.attribute("data-thing").unwrap());
            // Coordinates have two places of a millimetre of paper; a pixel has 0.26 mm.
            assert!((drawn * scale - metres).abs() <= 0.03 * scale, "{what}: drawn {} m, not {metres} m", drawn * scale);
            let written = line.attribute("data-value").unwrap().split(" +/- ").next().unwrap();
            let reading = pintle::quantity::read(written.trim_start_matches('≈')).unwrap_or_else(|_| panic!("{what}: {written}"));
            assert!((reading.value.to_f64().abs() - metres).abs() < 1e-4, "{what}: {written} is not {metres} m");
        }
    });
    for (_, figures) in FIGURES.iter() {
        counted += figures.iter().map(|figure| figure.svg.matches("data-fact=").count()).sum::<usize>();
    }
    assert!(counted > 600, "only {counted} dimension lines");
}

/// Every example with an opening shows it in plan and elevation.
#[test]
fn every_opening_is_dimensioned() {
    all(|name, figure| {
        if figure.view != pintle::report::drawing::View::Section {
            assert!(figure.svg.contains("data-fact=\"gate.opening\""), "{name} {:?}", figure.view);
        }
    });
}

/// The oracle is the unit itself: what the last figure of the bar says, against its length at the scale of the drawing.
#[test]
fn every_drawing_to_scale_has_a_bar_that_is_right() {
    let mut bars = 0;
    all(|name, figure| {
        let document = parsed(figure);
        let bar = document.descendants().find(|node| node.attribute("data-part") == Some("bar"));
        assert!(bar.is_some() || figure.svg.contains("NOT TO SCALE"), "{name}, {}", figure.title);
        let Some(bar) = bar else { return };
        let scale = number(&document.root_element(), "data-scale") / 1000.0;
        let long: f64 = bar.children().filter(|node| node.tag_name().name() == "rect").map(|rect| number(&rect, "width")).sum();
        let texts = bar.descendants().filter_map(|node| node.text()).filter(|text| !text.trim().is_empty());
        let end = texts.collect::<Vec<_>>().pop().unwrap();
        let (figures, unit) = end.split_once(' ').unwrap();
        let metres = match unit {
            "ft" => 0.3048,
            "in" => 0.0254,
            "m" => 1.0,
            "mm" => 0.001,
            other => panic!("{other}"),
        };
        assert!(
            (long * scale - figures.parse::<f64>().unwrap() * metres).abs() < 0.05 * scale,
            "{name}, {}: {long} mm for {figures} {unit}",
            figure.title
        );
        assert!(figure.svg.contains("Measure by this bar: it holds at any size of print."), "{name}");
        let wide = document.root_element().attribute("width").unwrap().trim_end_matches("mm");
        assert!(figure.svg.contains(&format!("only where this drawing is printed {wide} mm wide.")), "{name}");
    });
    for (_, figures) in FIGURES.iter() {
        bars += figures.iter().map(|figure| figure.svg.matches("data-part=\"bar\"").count()).sum::<usize>();
    }
    assert!(bars > 60, "only {bars} bars");
}

/// In the section of an arm there is room beside it: no name lies on the gate line, which arm and zone share.
#[test]
fn no_name_in_the_section_of_an_arm_lies_on_it() {
    let (_, figures) = FIGURES.iter().find(|(name, _)| *name == "barrier-arm-good").unwrap();
    let section = figures.iter().find(|figure| figure.view == pintle::report::drawing::View::Section).unwrap();
    let document = parsed(section);
    let upright = document.descendants().filter(|node| node.tag_name().name() == "line" && node.attribute("x1") == node.attribute("x2"));
    let gate_line = upright.filter(|line| line.attribute("stroke-dasharray").is_some()).map(|line| number(&line, "x1")).next().unwrap();
    let names = boxes(section, "names");
    assert!(names.len() > 4, "{names:?}");
    for area in names {
        assert!(!(area[0] < gate_line && gate_line < area[2]), "{area:?} on {gate_line}");
    }
}

type Area = [f64; 4];

fn boxes(figure: &Figure, part: &str) -> Vec<Area> {
    let document = parsed(figure);
    let group = document.descendants().find(|node| node.attribute("data-part") == Some(part));
    let rects = group.iter().flat_map(|group| group.children()).filter(|node| node.tag_name().name() == "rect");
    // The black box of a finding's number lies on its name's own ground.
    let grounds = rects.filter(|rect| rect.attribute("fill") == Some("#fff"));
    grounds
        .map(|rect| {
            let (x, y) = (number(&rect, "x"), number(&rect, "y"));
            [x, y, x + number(&rect, "width"), y + number(&rect, "height")]
        })
        .collect()
}

fn meet(one: &Area, other: &Area) -> bool {
    const SLACK: f64 = 0.02;
    one[0] + SLACK < other[2] && other[0] + SLACK < one[2] && one[1] + SLACK < other[3] && other[1] + SLACK < one[3]
}

#[test]
fn no_name_and_no_figure_lies_on_another() {
    let mut names = 0;
    all(|name, figure| {
        for part in ["names", "figures"] {
            let all = boxes(figure, part);
            for (at, one) in all.iter().enumerate() {
                for other in &all[at + 1..] {
                    assert!(!meet(one, other), "{name}, {}: {part} {one:?} on {other:?}", figure.title);
                }
            }
        }
        let crossing = boxes(figure, "names").iter().any(|one| boxes(figure, "figures").iter().any(|other| meet(one, other)));
        assert!(!crossing, "{name}, {}: a name on a figure", figure.title);
    });
    for (_, figures) in FIGURES.iter() {
        names += figures.iter().map(|figure| boxes(figure, "names").len()).sum::<usize>();
    }
    assert!(names > 500, "only {names} names");
}

#[test]
fn every_text_lies_on_the_sheet() {
    all(|name, figure| {
        let document = parsed(figure);
        let svg = document.root_element();
        let (wide, high) = (number(&svg, "width"), number(&svg, "height"));
        assert!(wide < 420.0 && high < 420.0, "{name}: {wide} x {high} mm");
        let shift = document.descendants().find_map(|node| node.attribute("transform")?.strip_prefix("translate(")).unwrap();
        let (x, y) = shift.trim_end_matches(')').split_once(' ').unwrap();
        let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
        for part in ["names", "figures"] {
            for area in boxes(figure, part) {
                let inside = area[0] + x >= 0.0 && area[1] + y >= 0.0 && area[2] + x <= wide && area[3] + y <= high;
                assert!(inside, "{name}, {}: {part} {area:?} beyond {wide} x {high}", figure.title);
            }
        }
    });
}

#[test]
fn xmllint_has_nothing_against_them() {
    let there = std::process::Command::new("xmllint").arg("--version").output().is_ok();
    if !there {
        println!("xmllint is not here: figures are not checked by it");
        return;
    }
    let folder = std::env::temp_dir().join(format!("pintle-figures-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut command = std::process::Command::new("xmllint");
    command.arg("--noout").arg("--nonet");
    for (at, (_, figures)) in FIGURES.iter().enumerate() {
        for figure in figures {
            let path = folder.join(format!("{at}-{}.svg", figure.title.replace([' ', '/', ':', ','], "-")));
            std::fs::write(&path, &figure.svg).unwrap();
            command.arg(path);
        }
    }
    let done = command.output().unwrap();
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}
