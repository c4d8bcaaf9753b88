//! Names, figures and the words of the two sides do not lie on one another, by the widths of a common font and not by the program's own
//! guess of them: over every example and every view, elevations with their stacked names above all.

use super::{FIGURES, parsed};
use pintle::report::drawing::View;
use roxmltree::Node;

/// Advance widths of Helvetica from blank to tilde, in thousandths (its published font metrics; from memory).
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278,
    278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722,
    667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556,
    556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

fn wide(text: &str) -> f64 {
    text.chars().map(|c| (c as usize).checked_sub(32).and_then(|at| WIDTHS.get(at)).map_or(0.6, |width| f64::from(*width) / 1000.0)).sum()
}

fn number(node: &Node, name: &str) -> f64 {
    node.attribute(name).unwrap_or("0").parse().unwrap()
}

/// The box of a text that is not turned, or turned by a quarter: from the top of its capitals to its base line.
fn area(text: &Node) -> [f64; 4] {
    let (x, y, size) = (number(text, "x"), number(text, "y"), number(text, "font-size"));
    let long = wide(text.text().unwrap_or("")) * size;
    let start = if text.attribute("text-anchor") == Some("middle") { long / 2.0 } else { 0.0 };
    let high = 0.72 * size;
    if text.attribute("transform").is_some() {
        [x - high, y - long + start, x, y + start]
    } else {
        [x - start, y - high, x - start + long, y]
    }
}

fn meet(one: &[f64; 4], other: &[f64; 4]) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}

#[test]
fn no_text_of_a_drawing_lies_on_another() {
    let mut elevations = 0;
    for (name, figures) in FIGURES.iter() {
        for figure in figures {
            let document = parsed(figure);
            // Everything within the drawing itself; its key, notes and title block stand below it.
            let main = document.descendants().find(|node| node.has_tag_name("g") && node.attribute("transform").is_some()).unwrap();
            let texts: Vec<Node> = main.descendants().filter(|node| node.has_tag_name("text")).collect();
            for (at, one) in texts.iter().enumerate() {
                for other in &texts[at + 1..] {
                    let (a, b) = (one.text().unwrap_or(""), other.text().unwrap_or(""));
                    assert!(!meet(&area(one), &area(other)), "{name}, {}: `{a}` on `{b}`", figure.title);
                }
            }
            elevations += if figure.view == View::Elevation { texts.len() } else { 0 };
        }
    }
    assert!(elevations > 200, "only {elevations} texts in elevations");
}
