//! The small rose beside a plan: north, and where the sun comes up and goes down. It must not know where it stands on the sheet.

use super::strokes::{Anchor, Line, mm, segment, text};
use crate::scene::Sky;
use std::fmt::Write;

/// Half of its width, without its letters.
pub const RADIUS: f64 = 9.0;

/// Draws it about a point.
pub fn compass(out: &mut String, (x, y): (f64, f64), sky: &Sky) {
    // Angles turn counter-clockwise from across; on paper down is more.
    let toward = |degrees: f64, far: f64| {
        let (sin, cos) = libm::sincos(degrees.to_radians());
        (x + cos * far, y - sin * far)
    };
    let _ = writeln!(out, "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>", mm(x), mm(y), mm(RADIUS), Line::Fine.attributes());
    let tip = toward(sky.north, RADIUS);
    let (left, right) = (toward(sky.north + 160.0, RADIUS * 0.5), toward(sky.north - 160.0, RADIUS * 0.5));
    let points = [tip, left, (x, y), right].map(|(x, y)| format!("{},{}", mm(x), mm(y))).join(" ");
    let _ = writeln!(out, "<polygon points=\"{points}\" fill=\"#000\"/>");
    let letter = toward(sky.north, RADIUS + 2.6);
    text(out, (letter.0, letter.1 + 1.1), 3.2, Anchor::Middle, " font-weight=\"bold\"", "N");
    for (at, way) in sky.sun.iter().enumerate() {
        let line = if at == 0 { Line::Fine } else { Line::Area };
        for (degrees, _) in [way.rise, way.set] {
            segment(out, line, toward(degrees, RADIUS * 0.55), toward(degrees, RADIUS + 1.2), "");
            let sun = toward(degrees, RADIUS + 1.2);
            let fill = if at == 0 { "#fff" } else { "#7a1500" };
            let _ = writeln!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"0.8\" fill=\"{fill}\" stroke=\"#000\" stroke-width=\"0.25\"/>",
                mm(sun.0),
                mm(sun.1)
            );
        }
    }
}

/// What it says, a line each.
pub fn words(sky: &Sky) -> Vec<String> {
    let mut lines = vec![format!("Gate line from the left jamb: bearing {}", sky.bearing.written)];
    for (at, way) in sky.sun.iter().enumerate() {
        let mark = if at == 0 { "white" } else { "filled" };
        lines.push(format!("Sun on {} ({mark}): up at {:.0} deg, down at {:.0} deg", way.day, way.rise.1, way.set.1));
    }
    lines
}
