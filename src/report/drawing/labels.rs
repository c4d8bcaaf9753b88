//! Finds room for the names of things in a drawing, so that none lies on another, and draws them with their leaders and the numbers of
//! their findings. It must not know what is named.

use super::strokes::{Anchor, Line, mm, segment, text, width};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Size of names.
pub const SIZE: f64 = 3.0;
/// Height of a line of names with its room.
const HIGH: f64 = 4.0;
/// Most lines at one point.
const LINES: usize = 5;
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

/// Names at one point, below one another.
struct Stack {
    at: (f64, f64),
    lines: Vec<(String, Vec<usize>)>,
}

impl Stack {
    fn size(&self) -> (f64, f64) {
        let wide = self.lines.iter().map(|(words, findings)| width(words, SIZE) + flag_width(findings)).fold(0.0, f64::max) + 1.2;
        (wide, self.lines.len() as f64 * HIGH)
    }
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
    if findings.is_empty() { 0.0 } else { width(&numbers(findings), 2.6) * 1.2 + 2.6 }
}

/// Names at one point stand below one another; what is too much for one stack is counted in its last line.
fn stacked(labels: Vec<Label>) -> Vec<Stack> {
    let mut all: Vec<Stack> = Vec::new();
    for label in labels {
        let near = |other: &Stack| libm::hypot(other.at.0 - label.at.0, other.at.1 - label.at.1) < 1.2;
        match all.iter_mut().find(|other| near(other)) {
            Some(stack) => stack.lines.push((label.words, label.findings)),
            None => all.push(Stack { at: label.at, lines: vec![(label.words, label.findings)] }),
        }
    }
    for stack in &mut all {
        stack.lines.sort_by_key(|(_, findings)| findings.is_empty());
        if stack.lines.len() > LINES {
            let rest = stack.lines.split_off(LINES - 1);
            let findings: BTreeSet<usize> = rest.iter().flat_map(|(_, findings)| findings.iter().copied()).collect();
            stack.lines.push((format!("and {} more", rest.len()), findings.into_iter().collect()));
        }
    }
    all
}

/// Finds places within `room` that are clear of `taken` and of one another, and of `lines` where that can be. Names with findings are
/// placed first.
pub fn labels(labels: Vec<Label>, room: Area, taken: &[Area], lines: &[Area]) -> Labels {
    let mut all = stacked(labels);
    all.sort_by_key(|stack| stack.lines.iter().all(|(_, findings)| findings.is_empty()));
    let mut taken = taken.to_vec();
    taken.extend(all.iter().map(|stack| (stack.at.0 - 0.9, stack.at.1 - 0.9, stack.at.0 + 0.9, stack.at.1 + 0.9)));
    let mut made = Labels { svg: String::new(), left: Vec::new() };
    for (at, stack) in all.iter().enumerate() {
        let clear = [taken.as_slice(), lines].concat();
        let found = (at < MOST).then(|| place(stack, room, &clear, 40.0).or_else(|| place(stack, room, &taken, 90.0))).flatten();
        match found {
            Some(found) => {
                taken.push(found);
                draw(&mut made.svg, stack, found);
            }
            None => made.left.extend(stack.lines.iter().map(|(words, _)| words.clone())),
        }
    }
    made
}

/// The nearest free place about a point, no further than `most`: near first, then the sides, then slantwise.
fn place(stack: &Stack, room: Area, taken: &[Area], most: f64) -> Option<Area> {
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
    let (wide, high) = stack.size();
    for far in [4.0, 6.5, 9.0, 12.5, 17.0, 22.0, 28.0, 36.0, 46.0, 60.0, 80.0].into_iter().filter(|far| *far <= most) {
        for (x, y) in WAYS {
            let (cx, cy) = (stack.at.0 + x * far, stack.at.1 + y * far);
            let left = if x > 0.1 {
                cx
            } else if x < -0.1 {
                cx - wide
            } else {
                cx - wide / 2.0
            };
            let top = if y > 0.5 {
                cy - HIGH / 2.0
            } else if y < -0.5 {
                cy + HIGH / 2.0 - high
            } else {
                cy - high / 2.0
            };
            let area = (left, top, left + wide, top + high);
            let inside = area.0 >= room.0 && area.1 >= room.1 && area.2 <= room.2 && area.3 <= room.3;
            if inside && !taken.iter().any(|other| meet(area, *other)) {
                return Some(area);
            }
        }
    }
    None
}

fn draw(out: &mut String, stack: &Stack, (left, top, right, bottom): Area) {
    let middle = f64::midpoint(top, bottom);
    // The leader goes to the nearer end of the names.
    let end = (
        stack.at.0.clamp(left, right),
        if stack.at.1 > bottom {
            bottom
        } else if stack.at.1 < top {
            top
        } else {
            middle
        },
    );
    segment(out, Line::Fine, stack.at, end, " opacity=\"0.75\"");
    let _ = writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"0.55\" fill=\"#000\"/>", mm(stack.at.0), mm(stack.at.1));
    let _ = writeln!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\" fill-opacity=\"0.88\"/>",
        mm(left),
        mm(top),
        mm(right - left),
        mm(bottom - top)
    );
    for (at, (words, findings)) in stack.lines.iter().enumerate() {
        let line = top + (at as f64 + 0.5) * HIGH;
        text(out, (left + 0.5, line + 1.05), SIZE, Anchor::Start, "", words);
        if !findings.is_empty() {
            flag(out, (left + 1.2 + width(words, SIZE), line), findings);
        }
    }
}

/// The numbers of findings, white on black; the left middle of the box is at `at`.
pub fn flag(out: &mut String, at: (f64, f64), findings: &[usize]) {
    let wide = flag_width(findings) - 0.6;
    let _ =
        writeln!(out, "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"3.6\" rx=\"0.6\" fill=\"#000\"/>", mm(at.0), mm(at.1 - 1.8), mm(wide));
    text(out, (at.0 + wide / 2.0, at.1 + 0.95), 2.6, Anchor::Middle, " fill=\"#fff\" font-weight=\"bold\"", &numbers(findings));
}
