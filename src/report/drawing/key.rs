//! The key of a figure: a sample of every line type and filling that is in it, with its words. It must not know measures.

use super::flat::{Form, Seen};
use super::strokes::{Anchor, Filling, Line, mm, segment, text, width};
use crate::scene::Role;
use std::fmt::Write;

/// How a shape is drawn: its outline, and its filling where it is an area.
pub fn look(seen: &Seen) -> (Line, Option<Filling>) {
    match seen.role {
        Role::Closed if seen.cut => (Line::Outline, Some(Filling::Matter)),
        Role::Closed => (Line::Outline, None),
        Role::Open => (Line::Alternate, None),
        Role::Swept => (Line::Alternate, Some(Filling::Swept)),
        Role::Fixed if seen.guessed => (Line::Guessed, None),
        Role::Fixed if seen.cut => (Line::Outline, Some(Filling::Matter)),
        Role::Fixed => (Line::Outline, None),
        Role::Zone | Role::ZoneNamed => (Line::Area, Some(Filling::Zone)),
        Role::Blind => (Line::Fine, Some(Filling::Blind)),
        Role::Beam => (Line::Beam, None),
        Role::Edge => (Line::Heavy, None),
        Role::Reach => (Line::Places, None),
        Role::Run => (Line::Hidden, None),
        Role::Roller | Role::Axis => (Line::Fine, None),
    }
}

fn words(seen: &Seen) -> &'static str {
    match seen.role {
        Role::Closed if seen.cut => "leaf closed, cut",
        Role::Closed => "leaf closed",
        Role::Open => "leaf open",
        Role::Swept => "all that the leaf sweeps",
        Role::Fixed if seen.guessed => "post or obstacle, place and size schematic",
        Role::Fixed => "post or obstacle, by its corners",
        Role::Zone => "hazard zone, by its corners",
        Role::ZoneNamed => "hazard zone named by a word; the mark has no size",
        Role::Blind => "an upright body 300 x 200 x 700 mm goes unseen",
        Role::Beam => "beam",
        Role::Edge => "contact edge",
        Role::Reach => "places as far from the gate as a control is",
        Role::Run => "cable run",
        Role::Roller => "roller",
        Role::Axis => "axis",
    }
}

/// An entry of the key: sample, words.
type Entry = (Line, Option<Filling>, Role, &'static str);

/// The entries for the shapes of a figure.
fn entries(shapes: &[Seen], gate_line: &'static str) -> Vec<Entry> {
    let mut all: Vec<Entry> = Vec::new();
    for seen in shapes {
        let (line, filling) = look(seen);
        let filling = filling.filter(|_| matches!(seen.form, Form::Area(_)) || seen.role == Role::ZoneNamed);
        let entry = (line, filling, seen.role, words(seen));
        if !all.contains(&entry) {
            all.push(entry);
        }
    }
    all.sort_by_key(|(line, filling, role, _)| (*role, *line, *filling));
    all.push((Line::Centre, None, Role::Axis, gate_line));
    all
}

/// Draws the key from a corner in as many columns as fit; the result is its height.
pub fn key(out: &mut String, (x, y): (f64, f64), wide: f64, shapes: &[Seen], gate_line: &'static str, prefix: &str) -> f64 {
    const SIZE: f64 = 2.6;
    const STEP: f64 = 4.6;
    let entries = entries(shapes, gate_line);
    let widest = entries.iter().map(|(.., words)| width(words, SIZE)).fold(0.0, f64::max) + 20.0;
    let columns = ((wide / widest).floor() as usize).clamp(1, entries.len().max(1));
    let rows = entries.len().div_ceil(columns);
    for (at, (line, filling, role, words)) in entries.iter().enumerate() {
        let (column, row) = (at / rows, at % rows);
        let (left, middle) = (x + column as f64 * widest, y + row as f64 * STEP + STEP / 2.0);
        sample(out, (left, middle), *line, *filling, *role, prefix);
        text(out, (left + 15.0, middle + 0.95), SIZE, Anchor::Start, "", words);
    }
    rows as f64 * STEP
}

fn sample(out: &mut String, (left, middle): (f64, f64), line: Line, filling: Option<Filling>, role: Role, prefix: &str) {
    let look = line.attributes();
    match (role, filling) {
        (Role::ZoneNamed, _) => mark(out, (left + 6.0, middle), Role::ZoneNamed, prefix),
        (Role::Roller, _) => mark(out, (left + 6.0, middle), Role::Roller, prefix),
        (Role::Axis, _) if line == Line::Fine => mark(out, (left + 6.0, middle), Role::Axis, prefix),
        (_, Some(filling)) => {
            let fill = format!("url(#{prefix}-{})", filling.word());
            let look = look.replacen("fill=\"none\"", &format!("fill=\"{fill}\""), 1);
            let _ = writeln!(out, "<rect x=\"{}\" y=\"{}\" width=\"12\" height=\"3\" {look}/>", mm(left), mm(middle - 1.5));
        }
        (Role::Fixed, None) => {
            let _ = writeln!(out, "<rect x=\"{}\" y=\"{}\" width=\"12\" height=\"3\" {look}/>", mm(left), mm(middle - 1.5));
        }
        _ => segment(out, line, (left, middle), (left + 12.0, middle), ""),
    }
}

/// A mark that has no size of its own.
pub fn mark(out: &mut String, (x, y): (f64, f64), role: Role, prefix: &str) {
    let (cx, cy) = (mm(x), mm(y));
    let _ = match role {
        Role::ZoneNamed => writeln!(
            out,
            "<circle cx=\"{cx}\" cy=\"{cy}\" r=\"2\" {}/>",
            Line::Area.attributes().replacen("fill=\"none\"", &format!("fill=\"url(#{prefix}-zone)\""), 1)
        ),
        Role::Beam => writeln!(
            out,
            "<circle cx=\"{cx}\" cy=\"{cy}\" r=\"1\" fill=\"#fff\" stroke=\"#a01000\" stroke-width=\"0.5\"/><circle cx=\"{cx}\" cy=\"{cy}\" r=\"0.3\" fill=\"#a01000\"/>"
        ),
        Role::Axis => writeln!(out, "<path d=\"M{} {cy}h5M{cx} {}v5\" {}/>", mm(x - 2.5), mm(y - 2.5), Line::Centre.attributes()),
        Role::Run => writeln!(out, "<circle cx=\"{cx}\" cy=\"{cy}\" r=\"0.9\" {}/>", Line::Hidden.attributes()),
        Role::Roller => writeln!(out, "<circle cx=\"{cx}\" cy=\"{cy}\" r=\"1.2\" {}/>", Line::Fine.attributes()),
        Role::Reach => Ok(()),
        _ => writeln!(out, "<rect x=\"{}\" y=\"{}\" width=\"1.6\" height=\"1.6\" fill=\"#000\"/>", mm(x - 0.8), mm(y - 0.8)),
    };
}
