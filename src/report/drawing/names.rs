//! Names the things of a drawing: what is written beside which point. It must not know where a name finds room.

use super::View;
use super::block::side_words;
use super::flat::{Form, Frame, Seen};
use super::labels::{Area, Label, labels};
use super::paper::{BAND, Paper, Told, crosses};
use crate::reckon::geometry::Point;
use crate::report::escape;
use crate::scene::{Role, Sort};

/// A section this wide, in millimetres, has no room for the words of both sides in one line.
const NARROW: f64 = 34.0;
/// What is no wider than this, in millimetres, is a line to the eye.
const THIN: f64 = 6.0;

impl Paper<'_> {
    /// The names of things and details, and the words that say which side is which.
    pub fn words(&self, told: &mut Told, ringed: Vec<Label>, measured: &[Area]) -> (String, String) {
        let mut room = String::new();
        let mut taken: Vec<Area> = Vec::new();
        let (w, h) = self.size;
        match self.view {
            View::Plan => {
                taken.push(side_words(&mut room, (w / 2.0, h + BAND - 1.5), "PUBLIC SIDE"));
                taken.push(side_words(&mut room, (w / 2.0, 3.0 - BAND), "SECURED SIDE"));
            }
            View::Section => {
                let y = self.place(Point::new(0.0, 0.0)).1;
                taken.push(side_words(&mut room, (2.0, y + 4.5), "PUBLIC SIDE"));
                // Where the section is narrow the one stands below the other.
                let down = if w < NARROW { 8.5 } else { 4.5 };
                taken.push(side_words(&mut room, (w - 2.0, y + down), "SECURED SIDE"));
            }
            View::Elevation => {}
        }
        let limits = (-BAND, 0.5 - BAND, w + BAND, h + BAND - 0.5);
        let made = labels([self.names(), ringed].concat(), limits, &taken, &[self.lines(), measured.to_vec()].concat());
        if !made.left.is_empty() {
            told.notes.push(format!("Drawn without a name for want of room: {}.", made.left.join(", ")));
        }
        (made.svg, room)
    }

    /// What names had better not lie on: leaves in both their places, fixed things, beams, contact edges.
    fn lines(&self) -> Vec<Area> {
        let mut all = Vec::new();
        if self.view == View::Section {
            // The ground, and the gate line that stands on it.
            let (x, y) = self.place(Point::new(0.0, 0.0));
            all.extend([(-BAND, y - 0.5, self.size.0 + BAND, y + 0.5), (x - 0.4, -BAND, x + 0.4, y)]);
        }
        for seen in &self.shapes {
            let points = seen.form.points();
            let solid = matches!(seen.role, Role::Closed | Role::Fixed);
            let frames: Vec<Frame> = match seen.role {
                Role::Closed | Role::Fixed => Frame::of(points).into_iter().collect(),
                // An open leaf is in the way where it is seen edgewise; else it is a field.
                Role::Open => Frame::of(points).into_iter().filter(|frame| frame.width().min(frame.height()) < THIN * self.scale).collect(),
                Role::Beam | Role::Edge => points.windows(2).filter_map(|pair| Frame::of(pair.iter().copied())).collect(),
                _ => Vec::new(),
            };
            for frame in frames {
                let (low, high) = (self.place(frame.low), self.place(frame.high));
                // A leaf seen from the front is a field that names may stand in.
                let field = solid && self.view != View::Plan && high.0 - low.0 > 25.0 && low.1 - high.1 > 12.0;
                if !field {
                    all.push((low.0 - 0.4, high.1 - 0.4, high.0 + 0.4, low.1 + 0.4));
                }
            }
        }
        all
    }

    /// A name a thing, at a point of it that lies in the drawing.
    fn names(&self) -> Vec<Label> {
        let mut all = Vec::new();
        for (at, item) in self.scene.items.iter().enumerate().filter(|(_, item)| item.sort != Sort::Gate) {
            let own = || self.shapes.iter().filter(|seen| seen.item == at && seen.role != Role::Axis);
            let best = own().find(|seen| !matches!(seen.role, Role::Swept | Role::Open | Role::Blind)).or_else(|| own().next());
            if let Some(point) = best.and_then(|seen| self.anchor(seen)) {
                let distance = item.measures.iter().find(|one| item.sort == Sort::Control && one.fact.ends_with(".distance"));
                let more = distance.map_or_else(String::new, |one| format!(" {}", escape::short(&one.written, 20)));
                all.push(Label { at: point, words: escape::short(&item.id, 24) + &more, findings: item.findings.clone() });
            }
            if let Some(point) = own().find(|seen| seen.role == Role::Open).and_then(|seen| self.anchor(seen)) {
                let angle = item.measures.iter().find(|one| one.fact.ends_with(".opening-angle"));
                let more = angle.map_or_else(String::new, |one| format!(", {}", escape::short(&one.written, 20)));
                let words = format!("{} open{more}", escape::short(&item.id, 24));
                all.push(Label { at: point, words, findings: Vec::new() });
            }
        }
        all
    }

    /// Where the leader of a shape's name begins.
    fn anchor(&self, seen: &Seen) -> Option<(f64, f64)> {
        let window = self.window;
        let at = match (&seen.form, seen.role) {
            (Form::Area(_), Role::Reach) => crosses(&seen.form, window)?,
            (Form::Area(outlines), _) => {
                let frame = Frame::of(outlines.concat())?;
                // A zone often holds other things in its middle.
                let share = if seen.role == Role::Zone { 0.12 } else { 0.5 };
                let across = if seen.role == Role::Open { 0.35 } else { share };
                Point::new(frame.low.x + frame.width() * across, frame.low.y + frame.height() * share)
            }
            (Form::Line(points), Role::Beam) => *points.first()?,
            (Form::Line(points), _) => {
                let (a, b) = (points.first()?, points.last()?);
                Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y))
            }
            (Form::Mark(at), _) => *at,
        };
        let kept = Point::new(at.x.clamp(window.low.x, window.high.x), at.y.clamp(window.low.y, window.high.y));
        Some(self.place(kept))
    }
}
