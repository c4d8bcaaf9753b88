//! The foot of a figure: scale bar, notes and title block. It must not know what is drawn above it.

use super::strokes::{Anchor, Line, cut, mm, text, width, wrapped};
use crate::report::escape;
use std::fmt::Write;

/// Size of notes and of the words of the title block.
const SMALL: f64 = 2.6;

/// A scale bar from a corner, whole steps of the unit that the job is written in; the result is its width.
pub fn scale_bar(out: &mut String, (x, y): (f64, f64), metres_a_mm: f64, feet: bool) -> f64 {
    let (unit, symbol) = if feet { (0.3048, "ft") } else { (1.0, "m") };
    let (unit, symbol) = match (feet, unit / metres_a_mm) {
        (true, long) if long > 60.0 => (0.0254, "in"),
        (false, long) if long > 200.0 => (0.001, "mm"),
        _ => (unit, symbol),
    };
    // Steps of about 8 to 20 mm on paper.
    let raw = 10.0 * metres_a_mm / unit;
    let power = libm::pow(10.0, libm::floor(libm::log10(raw)));
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|times| times * power).find(|step| *step >= raw).unwrap_or(raw);
    let long = step * unit / metres_a_mm;
    out.push_str("<g data-part=\"bar\">\n");
    for at in 0..4 {
        let fill = if at % 2 == 0 { "#000" } else { "#fff" };
        let left = x + f64::from(at) * long;
        let _ = writeln!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"1.6\" fill=\"{fill}\" stroke=\"#000\" stroke-width=\"0.25\"/>",
            mm(left),
            mm(y),
            mm(long)
        );
    }
    for at in 0..=4 {
        let value = step * f64::from(at);
        let number = if value.fract() == 0.0 { format!("{value:.0}") } else { format!("{value:.3}").trim_end_matches('0').to_string() };
        let words = if at == 4 { format!("{number} {symbol}") } else { number };
        text(out, (x + f64::from(at) * long, y + 4.6), SMALL, Anchor::Middle, "", &words);
    }
    out.push_str("</g>\n");
    4.0 * long
}

/// Notes as wrapped lines below one another; the result is their height.
pub fn notes(out: &mut String, (x, y): (f64, f64), wide: f64, notes: &[String]) -> f64 {
    let mut down = 0.0;
    for note in notes {
        for line in wrapped(&escape::short(note, 600), SMALL, wide, 3) {
            down += 3.7;
            text(out, (x, y + down), SMALL, Anchor::Start, "", &line);
        }
    }
    if notes.is_empty() { 0.0 } else { down + 2.0 }
}

/// What stands in the title block.
pub struct Title<'t> {
    /// The job's title and file.
    pub job: [&'t str; 2],
    /// Gate and kind.
    pub gate: String,
    /// The view.
    pub view: &'t str,
    /// The scale, in words.
    pub scale: String,
    /// The day of judging.
    pub today: &'t str,
    /// How many findings there are.
    pub findings: String,
    /// What the reader is warned of.
    pub caution: &'t str,
}

/// The title block from a corner; the result is its height.
pub fn title_block(out: &mut String, (x, y): (f64, f64), wide: f64, title: &Title) -> f64 {
    let cells = [
        (0.0, 0.42, "Job", title.job[0]),
        (0.42, 0.68, "Gate", title.gate.as_str()),
        (0.68, 1.0, "Judged on", title.today),
        (0.0, 0.42, "View", title.view),
        (0.42, 0.68, "Scale", title.scale.as_str()),
        (0.68, 1.0, "Findings", title.findings.as_str()),
    ];
    const HIGH: f64 = 9.0;
    for (at, (from, to, name, words)) in cells.iter().enumerate() {
        let (left, right) = (x + from * wide, x + to * wide);
        let top = y + if at < 3 { 0.0 } else { HIGH };
        let _ = writeln!(
            out,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{HIGH}\" {}/>",
            mm(left),
            mm(top),
            mm(right - left),
            Line::Fine.attributes()
        );
        text(out, (left + 1.2, top + 3.0), 2.2, Anchor::Start, " fill=\"#333\"", name);
        let shown = cut(&escape::short(words, 200), 3.0, (right - left - 2.4) / 1.2);
        text(out, (left + 1.2, top + 7.2), 3.0, Anchor::Start, " font-weight=\"bold\"", &shown);
    }
    let mut down = 2.0 * HIGH;
    let file = format!("File {}. {}", title.job[1], title.caution);
    for line in wrapped(&escape::short(&file, 600), 2.4, wide - 2.4, 4) {
        down += 3.5;
        text(out, (x + 1.2, y + down), 2.4, Anchor::Start, "", &line);
    }
    down += 1.8;
    let _ = writeln!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" {}/>",
        mm(x),
        mm(y),
        mm(wide),
        mm(down),
        Line::Outline.attributes()
    );
    down
}

/// Words in the middle of a line, such as the side of the gate that lies there.
pub fn side_words(out: &mut String, at: (f64, f64), words: &str) -> (f64, f64, f64, f64) {
    let half = width(words, SMALL) / 2.0 + 1.0;
    text(out, at, SMALL, Anchor::Middle, " letter-spacing=\"0.3\" fill=\"#333\"", words);
    (at.0 - half * 1.2, at.1 - 3.0, at.0 + half * 1.2, at.1 + 1.2)
}
