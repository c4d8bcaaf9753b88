//! Draws what is seen in a view: the gate line or the ground, outlines, lines and marks. It must not know where on the sheet it stands.

use super::View;
use super::flat::{Form, Seen};
use super::key::{look, mark};
use super::paper::{BAND, Paper};
use super::strokes::{Line, mm, segment};
use crate::reckon::geometry::Point;
use crate::scene::Role;
use std::fmt::Write;

/// Most points of one outline.
const MOST_POINTS: usize = 1_500;

impl Paper<'_> {
    /// Gate line or ground, and the jambs.
    pub fn background(&self, out: &mut String) {
        let (low, high) = (-BAND, self.size.0 + BAND);
        let y = self.place(Point::new(0.0, 0.0)).1;
        let x = |at: f64| self.place(Point::new(at, 0.0)).0;
        match self.view {
            View::Plan => {
                segment(out, Line::Centre, (low, y), (high, y), "");
                for jamb in [self.scene.opening.low, self.scene.opening.high] {
                    segment(out, Line::Fine, (x(jamb), y - 3.0), (x(jamb), y + 3.0), "");
                }
            }
            View::Elevation => {
                self.ground(out, (low, high));
                for jamb in [self.scene.opening.low, self.scene.opening.high] {
                    segment(out, Line::Centre, (x(jamb), -BAND / 2.0), (x(jamb), y), "");
                }
            }
            View::Section => {
                segment(out, Line::Heavy, (low, y), (high, y), "");
                segment(out, Line::Centre, (x(0.0), -BAND / 2.0), (x(0.0), y + 2.0), "");
            }
        }
    }

    /// The ground along the gate line: as surveyed, else level.
    fn ground(&self, out: &mut String, (low, high): (f64, f64)) {
        let mut points: Vec<(f64, f64)> = self.scene.ground.iter().map(|at| self.place(*at)).collect();
        points.retain(|at| at.0 > low && at.0 < high);
        let level = self.place(Point::new(0.0, 0.0)).1;
        let first = points.first().map_or(level, |at| at.1);
        let last = points.last().map_or(level, |at| at.1);
        points.insert(0, (low, first));
        points.push((high, last));
        for pair in points.windows(2) {
            if let [from, to] = pair {
                segment(out, Line::Heavy, *from, *to, "");
            }
        }
    }

    pub fn shape(&self, out: &mut String, seen: &Seen) {
        let (line, filling) = look(seen);
        let look = line.attributes();
        match &seen.form {
            Form::Area(outlines) => {
                let fill = filling.map_or("none".to_string(), |filling| format!("url(#{}-{})", self.prefix, filling.word()));
                let look = look.replacen("fill=\"none\"", &format!("fill=\"{fill}\" fill-rule=\"evenodd\""), 1);
                let path: String = outlines.iter().map(|outline| self.path(outline, true)).collect();
                let _ = writeln!(out, "<path d=\"{path}\" {look}/>");
            }
            Form::Line(points) => {
                let _ = writeln!(out, "<path d=\"{}\" {look}/>", self.path(points, false));
                if let (Role::Beam, Some(from), Some(to)) = (seen.role, points.first(), points.last()) {
                    self.ends(out, *from, *to);
                }
            }
            Form::Mark(_) => {}
        }
    }

    /// Marks stand over lines.
    pub fn marks(&self, out: &mut String) {
        for seen in &self.shapes {
            if let Form::Mark(at) = seen.form {
                mark(out, self.place(at), seen.role, self.prefix);
            }
        }
    }

    /// A filled square at the sender of a beam, an open one at its mate.
    fn ends(&self, out: &mut String, from: Point, to: Point) {
        for (at, fill) in [(from, "#a01000"), (to, "#fff")] {
            let (x, y) = self.place(at);
            let _ = writeln!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"1.8\" height=\"1.8\" fill=\"{fill}\" stroke=\"#a01000\" stroke-width=\"0.35\"/>",
                mm(x - 0.9),
                mm(y - 0.9)
            );
        }
    }

    /// Path data; points that fall together on paper are left out.
    fn path(&self, points: &[Point], closed: bool) -> String {
        let mut data = String::new();
        let mut last: Option<(f64, f64)> = None;
        let count = points.len();
        let keep = count.div_ceil(MOST_POINTS).max(1);
        for (at, point) in points.iter().enumerate() {
            let end = at == 0 || at + 1 == count;
            let (x, y) = self.place(*point);
            let (x, y) = (x.clamp(-9_999.0, 9_999.0), y.clamp(-9_999.0, 9_999.0));
            let same = last.is_some_and(|(a, b)| (a - x).abs() < 0.04 && (b - y).abs() < 0.04);
            if !end && (same || at % keep != 0) {
                continue;
            }
            let _ = write!(data, "{}{} {}", if last.is_none() { "M" } else { "L" }, mm(x), mm(y));
            last = Some((x, y));
        }
        if closed {
            data.push('Z');
        }
        data
    }
}
