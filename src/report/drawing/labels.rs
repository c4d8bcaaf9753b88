//! Finds room for the names of things in a drawing, so that none lies on another, and draws them with their leaders and the numbers of
//! their findings. It must not know what is named.

use super::strokes::{Anchor, Line, mm, segment, text, width};
use std::fmt::Write;

/// Size of names.
pub const SIZE: f64 = 3.0;
/// Height of a name with its room.
const HIGH: f64 = 4.2;
/// Most names in one drawing.
const MOST: usize = 70;

/// A name to be put beside a point.
#[derive(Clone, Debug)]
pub struct Label {
    /// The point that it belongs to, in millimetres.
    pub at: (f64, f64),
    /// The name.
    pub words: String,
    /// Numbers of findings.
    pub findings: Vec<usize>,
}

/// A box on the paper: left, top, right, bottom.
pub type Area = (f64, f64, f64, f64);

/// Names that were drawn, and those for which there was no room.
pub struct Labels {
    /// What draws them.
    pub svg: String,
    /// Names without room.
    pub left: Vec<String>,
}

fn meet(one: Area, other: Area) -> bool {
    one.0 < other.2 && other.0 < one.2 && one.1 < other.3 && other.1 < one.3
}

/// The numbers of findings, the first few of them.
pub fn numbers(findings: &[usize]) -> String {
    let mut texts: Vec<String> = findings.iter().take(5).map(usize::to_string).collect();
    if findings.len() > 5 {
        texts.push(format!("+{}", findings.len() - 5));
    }
    texts.join(", ")
}

fn flag_width(findings: &[usize]) -> f64 {
    if findings.is_empty() { 0.0 } else { width(&numbers(findings), 2.6) + 2.4 }
}

/// Names at one point become one name.
fn joined(labels: Vec<Label>) -> Vec<Label> {
    let mut all: Vec<(Label, usize)> = Vec::new();
    for label in labels {
        let near = |other: &Label| libm::hypot(other.at.0 - label.at.0, other.at.1 - label.at.1) < 1.2;
        match all.iter_mut().find(|(other, _)| near(other)) {
            Some((other, count)) => {
                *count += 1;
                if *count <= 3 {
                    other.words = format!("{}, {}", other.words, label.words);
                } else if *count == 4 {
                    other.words.push_str(" and more");
                }
                other.findings.extend(label.findings);
                other.findings.sort_unstable();
                other.findings.dedup();
            }
            None => all.push((label, 1)),
        }
    }
    all.into_iter().map(|(label, _)| label).collect()
}

/// Finds places within `room` that are clear of `taken` and of one another. Names with findings are placed first.
pub fn labels(labels: Vec<Label>, room: Area, taken: &[Area]) -> Labels {
    let mut all = joined(labels);
    all.sort_by_key(|label| label.findings.is_empty());
    let mut taken = taken.to_vec();
    taken.extend(all.iter().map(|label| (label.at.0 - 0.9, label.at.1 - 0.9, label.at.0 + 0.9, label.at.1 + 0.9)));
    let mut made = Labels { svg: String::new(), left: Vec::new() };
    for (at, label) in all.iter().enumerate() {
        let wide = width(&label.words, SIZE) + flag_width(&label.findings) + 1.2;
        match (at < MOST).then(|| place(label.at, wide, room, &taken)).flatten() {
            Some(found) => {
                taken.push(found);
                draw(&mut made.svg, label, found);
            }
            None => made.left.push(label.words.clone()),
        }
    }
    made
}

/// The nearest free place about a point: near first, then the sides, then slantwise.
fn place(at: (f64, f64), wide: f64, room: Area, taken: &[Area]) -> Option<Area> {
    const WAYS: [(f64, f64); 12] = [
        (0.7, -0.7),
        (-0.7, -0.7),
        (0.7, 0.7),
        (-0.7, 0.7),
        (0.0, -1.0),
        (0.0, 1.0),
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.95, -0.3),
        (-0.95, -0.3),
        (0.95, 0.3),
        (-0.95, 0.3),
    ];
    for far in [4.0, 6.5, 9.0, 12.5, 17.0, 22.0, 28.0, 36.0, 46.0, 60.0] {
        for (x, y) in WAYS {
            let (cx, cy) = (at.0 + x * far, at.1 + y * far);
            let left = if x > 0.1 {
                cx
            } else if x < -0.1 {
                cx - wide
            } else {
                cx - wide / 2.0
            };
            let area = (left, cy - HIGH / 2.0, left + wide, cy + HIGH / 2.0);
            let inside = area.0 >= room.0 && area.1 >= room.1 && area.2 <= room.2 && area.3 <= room.3;
            if inside && !taken.iter().any(|other| meet(area, *other)) {
                return Some(area);
            }
        }
    }
    None
}

fn draw(out: &mut String, label: &Label, (left, top, right, bottom): Area) {
    let middle = f64::midpoint(top, bottom);
    // The leader goes to the nearer end of the name.
    let end = (
        label.at.0.clamp(left, right),
        if label.at.1 > bottom {
            bottom
        } else if label.at.1 < top {
            top
        } else {
            middle
        },
    );
    segment(out, Line::Fine, label.at, end, " opacity=\"0.75\"");
    let _ = writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"0.55\" fill=\"#000\"/>", mm(label.at.0), mm(label.at.1));
    let _ = writeln!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\" fill-opacity=\"0.88\"/>",
        mm(left),
        mm(top),
        mm(right - left),
        mm(bottom - top)
    );
    text(out, (left + 0.5, middle + 1.05), SIZE, Anchor::Start, "", &label.words);
    if !label.findings.is_empty() {
        let wide = flag_width(&label.findings);
        flag(out, (right - wide, middle), &label.findings);
    }
}

/// The numbers of findings, white on black; the left middle of the box is at `at`.
pub fn flag(out: &mut String, at: (f64, f64), findings: &[usize]) {
    let wide = flag_width(findings) - 0.6;
    let _ =
        writeln!(out, "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"3.6\" rx=\"0.6\" fill=\"#000\"/>", mm(at.0), mm(at.1 - 1.8), mm(wide));
    text(out, (at.0 + wide / 2.0, at.1 + 0.95), 2.6, Anchor::Middle, " fill=\"#fff\" font-weight=\"bold\"", &numbers(findings));
}
