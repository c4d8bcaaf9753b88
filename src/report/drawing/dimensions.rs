//! Lays dimension lines out beside a drawing, in rows and columns in which none meets another, and draws them. It must not know what is
//! measured.

use super::flat::Measured;
use super::labels::Area;
use super::strokes::{Anchor, Line, mm, segment, text, width};
use crate::report::escape;
use crate::scene::Sort;
use std::fmt::Write;

/// Size of the figures.
const SIZE: f64 = 2.8;
/// From row to row.
const STEP: f64 = 6.5;
/// From the room round the drawing to the first row.
const FIRST: f64 = 5.0;
/// Most rows or columns on a side.
const MOST: usize = 9;

/// A side of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    Below,
    Above,
    Left,
    Right,
}

/// A dimension line, in millimetres from the drawing's upper left corner.
struct Placed<'m> {
    measured: &'m Measured<'m>,
    /// Things that have the same measure between the same points.
    also: Vec<&'m str>,
    from: (f64, f64),
    to: (f64, f64),
    words: String,
    side: Side,
    row: usize,
}

/// Dimension lines beside a drawing.
pub struct Dimensions {
    /// What draws them.
    pub svg: String,
    /// How much room they take: left, above, right, below, beside the room round the drawing.
    pub room: [f64; 4],
    /// How many measures found no room.
    pub left: usize,
    /// Where extension lines run.
    pub areas: Vec<Area>,
}

/// Lays out and draws. `place` turns a point of the view into millimetres; the drawing is `size` large with `band` of room round it.
pub fn dimensions(
    measured: &[Measured],
    place: &dyn Fn(crate::reckon::geometry::Point) -> (f64, f64),
    size: (f64, f64),
    band: f64,
) -> Dimensions {
    let mut all: Vec<Placed> = Vec::new();
    for one in measured {
        let (from, to) = (place(one.from), place(one.to));
        let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() < 0.05 && (a.1 - b.1).abs() < 0.05;
        let along = |at: (f64, f64)| if one.across { (at.0, 0.0) } else { (0.0, at.1) };
        let same = all.iter_mut().find(|other| {
            other.measured.across == one.across
                && other.measured.dimension.measure.written == one.dimension.measure.written
                && other.measured.dimension.measure.fact == one.dimension.measure.fact
                && near(along(other.from), along(from))
                && near(along(other.to), along(to))
        });
        match same {
            Some(other) => other.also.push(&one.item.id),
            None => all.push(Placed { measured: one, also: Vec::new(), from, to, words: String::new(), side: Side::Below, row: 0 }),
        }
    }
    for one in &mut all {
        one.words = words(one);
        one.side = side(one, size);
    }
    all.sort_by(|a, b| long(a).total_cmp(&long(b)));
    let left = rows(&mut all, size, band);
    let deep = |side: Side| {
        let rows = all.iter().filter(|one| one.side == side).map(|one| one.row + 1).max().unwrap_or(0);
        if rows == 0 { 0.0 } else { FIRST + rows as f64 * STEP }
    };
    // Figures beyond the end of a line may reach further than the drawing.
    let ends = |across: bool| {
        let own = all.iter().filter(|one| one.measured.across == across).map(|one| stretch(one, size, band).0);
        own.fold((0.0, 0.0), |(low, high): (f64, f64), (l, h)| (low.min(l), high.max(h)))
    };
    let ((left_end, right_end), (top_end, bottom_end)) = (ends(true), ends(false));
    let room = [
        deep(Side::Left).max(1.0 - left_end - band),
        deep(Side::Above).max(1.0 - top_end - band),
        deep(Side::Right).max(1.0 + right_end - size.0 - band),
        deep(Side::Below).max(1.0 + bottom_end - size.1 - band),
    ];
    let mut svg = String::new();
    // Figures stand over every line, so that none runs through them.
    all.iter().for_each(|one| extensions(&mut svg, one, size, band));
    all.iter().for_each(|one| line(&mut svg, one, size, band));
    svg.push_str("<g data-part=\"figures\">\n");
    all.iter().for_each(|one| figures(&mut svg, one, size, band));
    svg.push_str("</g>\n");
    let areas = all
        .iter()
        .flat_map(|one| reaches(one, size, band))
        .map(|(a, b)| (a.0.min(b.0) - 0.3, a.1.min(b.1) - 0.3, a.0.max(b.0) + 0.3, a.1.max(b.1) + 0.3));
    let areas = areas.collect();
    Dimensions { svg, room, left, areas }
}

/// What stands on the line: whose it is, which, how much; what follows from others in brackets.
fn words(one: &Placed) -> String {
    let measure = &one.measured.dimension.measure;
    let fact = measure.fact.rsplit('.').next().unwrap_or("");
    let value = if measure.follows { format!("({})", escape::short(&measure.written, 40)) } else { escape::short(&measure.written, 40) };
    if one.measured.item.sort == Sort::Gate {
        return format!("{fact} {value}");
    }
    let mut names = vec![escape::short(&one.measured.item.id, 18)];
    names.extend(one.also.iter().take(2).map(|id| escape::short(id, 18)));
    let more = if one.also.len() > 2 { format!(" and {} more", one.also.len() - 2) } else { String::new() };
    format!("{}{more}: {fact} {value}", names.join(", "))
}

fn side(one: &Placed, size: (f64, f64)) -> Side {
    let middle = (f64::midpoint(one.from.0, one.to.0), f64::midpoint(one.from.1, one.to.1));
    match one.measured.across {
        true if middle.1 < size.1 * 0.3 => Side::Above,
        true => Side::Below,
        false if middle.0 < size.0 / 2.0 => Side::Left,
        false => Side::Right,
    }
}

fn long(one: &Placed) -> f64 {
    if one.measured.across { (one.to.0 - one.from.0).abs() } else { (one.to.1 - one.from.1).abs() }
}

/// The stretch that a line takes in its row, figures and all, and the middle of the figures: on the line where they fit, else beyond one of
/// its ends, on the side where there is more room.
fn stretch(one: &Placed, size: (f64, f64), band: f64) -> ((f64, f64), f64) {
    let (a, b, most) = if one.measured.across { (one.from.0, one.to.0, size.0) } else { (one.from.1, one.to.1, size.1) };
    let (low, high) = (a.min(b), a.max(b));
    let wide = width(&one.words, SIZE);
    if wide + 2.0 <= high - low {
        return ((low, high), f64::midpoint(low, high));
    }
    let beyond = wide + 2.2;
    let before =
        if one.measured.across { most + band - high < beyond && low + band >= beyond } else { low + band >= beyond || low > most - high };
    if before { ((low - beyond, high), low - 1.6 - wide / 2.0) } else { ((low, high + beyond), high + 1.6 + wide / 2.0) }
}

/// Gives every line the first row in which it meets no other; the result is how many found none.
fn rows(all: &mut Vec<Placed>, size: (f64, f64), band: f64) -> usize {
    let mut taken: Vec<(Side, usize, (f64, f64))> = Vec::new();
    let before = all.len();
    all.retain_mut(|one| {
        let ((low, high), _) = stretch(one, size, band);
        let free = (0..MOST).find(|row| {
            taken.iter().filter(|(side, at, _)| *side == one.side && at == row).all(|(_, _, (l, h))| high + 1.5 < *l || *h + 1.5 < low)
        });
        match free {
            Some(row) => {
                one.row = row;
                taken.push((one.side, row, (low, high)));
                true
            }
            None => false,
        }
    });
    before - all.len()
}

/// Where a line lies: below the drawing by so much, or beside it.
fn row_at(one: &Placed, size: (f64, f64), band: f64) -> f64 {
    let off = band + FIRST + one.row as f64 * STEP;
    match one.side {
        Side::Below => size.1 + off,
        Side::Above | Side::Left => -off,
        Side::Right => size.0 + off,
    }
}

/// From where to where the extension lines of a dimension line run.
fn reaches(one: &Placed, size: (f64, f64), band: f64) -> Vec<((f64, f64), (f64, f64))> {
    let at = row_at(one, size, band);
    let mut all = Vec::new();
    for end in [one.from, one.to] {
        let (start, across) = if one.measured.across { (end.1, true) } else { (end.0, false) };
        let way = (at - start).signum();
        let reach = |along: f64| if across { (end.0, along) } else { (along, end.1) };
        if (at - start).abs() > 1.5 {
            all.push((reach(start + way), reach(at + way * 1.5)));
        }
    }
    all
}

fn extensions(out: &mut String, one: &Placed, size: (f64, f64), band: f64) {
    for (from, to) in reaches(one, size, band) {
        segment(out, Line::Fine, from, to, " opacity=\"0.6\"");
    }
}

fn line(out: &mut String, one: &Placed, size: (f64, f64), band: f64) {
    let at = row_at(one, size, band);
    let across = one.measured.across;
    let on = |along: f64| if across { (along, at) } else { (at, along) };
    let dimension = one.measured.dimension;
    let more = format!(
        " data-thing=\"{}\" data-fact=\"{}\" data-value=\"{}\" data-metres=\"{}\"",
        escape::xml(&dimension.thing),
        escape::xml(&dimension.measure.fact),
        escape::xml(&dimension.measure.written),
        dimension.measure.at
    );
    let (a, b) = if across { (one.from.0, one.to.0) } else { (one.from.1, one.to.1) };
    segment(out, Line::Fine, on(a), on(b), &more);
    // Figures beyond an end stand on the line drawn on.
    let ((low, high), _) = stretch(one, size, band);
    for (from, to) in [(low, a.min(b)), (a.max(b), high)] {
        if to - from > 0.05 {
            segment(out, Line::Fine, on(from), on(to), "");
        }
    }
    for (x, y) in [on(a), on(b)] {
        let _ = writeln!(out, "<path d=\"M{} {}l1.6 -1.6\" stroke=\"#000\" stroke-width=\"0.35\"/>", mm(x - 0.8), mm(y + 0.8));
    }
}

fn figures(out: &mut String, one: &Placed, size: (f64, f64), band: f64) {
    let at = row_at(one, size, band);
    let (_, middle) = stretch(one, size, band);
    let half = width(&one.words, SIZE) / 2.0;
    let ground = |out: &mut String, x: f64, y: f64, w: f64, h: f64| {
        let (x, y, w, h) = (mm(x), mm(y), mm(w), mm(h));
        let _ = writeln!(out, "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"#fff\" fill-opacity=\"0.85\"/>");
    };
    if one.measured.across {
        ground(out, middle - half, at - 3.3, 2.0 * half, 3.0);
        text(out, (middle, at - 0.9), SIZE, Anchor::Middle, "", &one.words);
    } else {
        ground(out, at - 3.3, middle - half, 3.0, 2.0 * half);
        let turn = format!(" transform=\"rotate(-90 {} {})\"", mm(at - 0.9), mm(middle));
        text(out, (at - 0.9, middle), SIZE, Anchor::Middle, &turn, &one.words);
    }
}
