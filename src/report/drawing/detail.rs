//! Enlarged details, as drafting practice has them (ISO 128): what is too small to be read at the scale of a drawing is ringed there with
//! a capital letter and drawn once more in a frame of its own, with its own scale. It must not know what words the twin uses.

use super::flat::{Frame, Measured};
use super::labels::Label;
use super::paper::{Paper, SCALES, scale_words};
use super::strokes::{Anchor, Line, cut, mm, segment, text};
use crate::reckon::geometry::Point;
use crate::report::escape;
use crate::scene::Sort;
use std::fmt::Write;

/// A measure that is drawn shorter than this, in millimetres, cannot be read.
const SMALL: f64 = 3.0;
/// How long it is in its detail at least, where the largest scale allows it.
const READABLE: f64 = 12.0;
/// Most details of one drawing: as many as stand in one row.
const MOST: usize = 4;
/// The largest scale, two to one: metres for a millimetre.
const LARGEST: f64 = 0.000_5;
/// The frame, and how much of its height its letter and its figures take.
const FRAME: (f64, f64) = (50.0, 46.0);
const HEAD: f64 = 6.0;
const FEET: f64 = 5.0;
/// From frame to frame.
const APART: f64 = 4.0;

/// A detail: what it shows and how large.
pub struct Detail<'m> {
    letter: char,
    measured: &'m Measured<'m>,
    /// Things that have the same measure.
    also: Vec<&'m str>,
    /// Metres for a millimetre.
    scale: f64,
}

/// The details that a drawing needs, each measure that many things have alike shown once.
pub fn details<'m>(measured: &'m [Measured<'m>], scale: f64) -> Vec<Detail<'m>> {
    let mut found: Vec<Detail> = Vec::new();
    let small = |one: &&Measured| long(one) > 0.0 && long(one) / scale < SMALL;
    for one in measured.iter().filter(small) {
        let measure = &one.dimension.measure;
        let same = found.iter_mut().find(|other| {
            let known = &other.measured.dimension.measure;
            (&known.fact, &known.written, other.measured.across) == (&measure.fact, &measure.written, one.across)
        });
        match same {
            Some(other) if other.measured.item.id == one.item.id => {}
            Some(other) => other.also.push(&one.item.id),
            None => found.push(Detail { letter: 'A', measured: one, also: Vec::new(), scale: larger(long(one), scale) }),
        }
    }
    // What a person can be caught in goes before how thick a thing is.
    found.sort_by_key(|one| rank(one.measured));
    found.truncate(MOST);
    for (letter, one) in ('A'..='Z').zip(&mut found) {
        one.letter = letter;
    }
    found
}

fn rank(measured: &Measured) -> usize {
    match measured.item.sort {
        Sort::Gate => 0,
        Sort::Beam => 1,
        Sort::Post | Sort::Obstacle => 2,
        Sort::Leaf => 4,
        _ => 3,
    }
}

fn long(one: &Measured) -> f64 {
    if one.across { (one.to.x - one.from.x).abs() } else { (one.to.y - one.from.y).abs() }
}

fn middle(one: &Measured) -> Point {
    Point::new(f64::midpoint(one.from.x, one.to.x), f64::midpoint(one.from.y, one.to.y))
}

/// The smallest scale of the row at which a length can be read.
fn larger(long: f64, scale: f64) -> f64 {
    let most = (long / READABLE * 1000.0).min(scale * 500.0);
    let power = libm::pow(10.0, libm::floor(libm::log10(most.max(1e-6))));
    let times = SCALES.into_iter().rev().find(|times| times * power <= most).map_or(power, |times| times * power);
    (times / 1000.0).max(LARGEST)
}

impl Detail<'_> {
    /// What it shows: whose measure, which, how much.
    fn words(&self) -> String {
        let measure = &self.measured.dimension.measure;
        let fact = measure.fact.rsplit('.').next().unwrap_or("");
        let said = format!("{fact} {}", escape::short(&measure.written, 40));
        if self.measured.item.sort == Sort::Gate {
            return said;
        }
        let names: Vec<String> =
            std::iter::once(self.measured.item.id.as_str()).chain(self.also.iter().copied()).map(|id| escape::short(id, 18)).collect();
        format!("{}: {said}", names.join(", "))
    }

    /// The same as a sentence for the twin.
    pub fn sentence(&self) -> String {
        format!("Detail {}, {}: {}.", self.letter, scale_words(self.scale), self.words())
    }
}

impl Paper<'_> {
    /// The rings round what is drawn as a detail, and the names of the details.
    pub fn rings(&self, details: &[Detail]) -> (String, Vec<Label>) {
        let (mut rings, mut names) = (String::new(), Vec::new());
        for one in details {
            let (x, y) = self.place(middle(one.measured));
            let radius = 2.0 + long(one.measured) / self.scale / 2.0;
            let _ = writeln!(rings, "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>", mm(x), mm(y), mm(radius), Line::Fine.attributes());
            let at = (x + radius * 0.71, y - radius * 0.71);
            names.push(Label { at, words: format!("detail {}", one.letter), findings: Vec::new() });
        }
        (rings, names)
    }

    /// Draws the details in a row from a corner; the result is their height.
    pub fn details(&self, out: &mut String, (x, y): (f64, f64), details: &[Detail]) -> f64 {
        for (at, one) in details.iter().enumerate() {
            self.detail(out, (x + at as f64 * (FRAME.0 + APART), y), one);
        }
        if details.is_empty() { 0.0 } else { FRAME.1 + 6.0 }
    }

    fn detail(&self, out: &mut String, (x, y): (f64, f64), detail: &Detail) {
        let size = (FRAME.0, FRAME.1 - HEAD - FEET);
        let (middle, scale) = (middle(detail.measured), detail.scale);
        let half = Point::new(size.0 / 2.0 * scale, size.1 / 2.0 * scale);
        let window =
            Frame { low: Point::new(middle.x - half.x, middle.y - half.y), high: Point::new(middle.x + half.x, middle.y + half.y) };
        let meets = |form: &super::flat::Form| Frame::of(form.points()).is_some_and(|frame| window.meets(frame));
        let shapes = self.shapes.iter().filter(|seen| meets(&seen.form)).cloned().collect();
        let inner = Paper { scene: self.scene, view: self.view, prefix: self.prefix, shapes, window, scale, size };
        let letter = detail.letter;
        let _ = writeln!(
            out,
            "<g data-part=\"detail\" data-letter=\"{letter}\" data-scale=\"{}\" transform=\"translate({} {})\">",
            scale * 1000.0,
            mm(x),
            mm(y)
        );
        let clip = format!("{}-detail-{letter}", self.prefix);
        let _ = writeln!(out, "<clipPath id=\"{clip}\"><rect width=\"{}\" height=\"{}\"/></clipPath>", mm(size.0), mm(size.1));
        let _ = writeln!(out, "<g transform=\"translate(0 {})\">\n<g clip-path=\"url(#{clip})\">", mm(HEAD));
        inner.background(out);
        inner.shapes.iter().for_each(|seen| inner.shape(out, seen));
        inner.marks(out);
        out.push_str("</g>\n");
        inner.measure(out, detail.measured);
        out.push_str("</g>\n");
        for (top, high) in [(0.0, FRAME.1), (HEAD, size.1)] {
            let _ =
                writeln!(out, "<rect y=\"{}\" width=\"{}\" height=\"{}\" {}/>", mm(top), mm(FRAME.0), mm(high), Line::Fine.attributes());
        }
        text(out, (2.0, 4.4), 4.0, Anchor::Start, " font-weight=\"bold\"", &letter.to_string());
        text(out, (8.0, 4.2), 2.6, Anchor::Start, "", &format!("detail, {}", scale_words(scale)));
        text(out, (2.0, FRAME.1 - 1.6), 2.8, Anchor::Start, "", &cut(&detail.words(), 2.8, FRAME.0 - 4.0));
        out.push_str("</g>\n");
    }

    /// The dimension line within a detail, near its lower or its right side.
    fn measure(&self, out: &mut String, one: &Measured) {
        let (from, to) = (self.place(one.from), self.place(one.to));
        let at = if one.across { self.size.1 - 3.5 } else { self.size.0 - 4.0 };
        let on = |end: (f64, f64)| if one.across { (end.0, at) } else { (at, end.1) };
        for end in [from, to] {
            let past = if one.across { (end.0, at + 1.5) } else { (at + 1.5, end.1) };
            segment(out, Line::Fine, end, past, " opacity=\"0.6\"");
        }
        let measure = &one.dimension.measure;
        let more = format!(" data-enlarged=\"{}\" data-metres=\"{}\"", escape::xml(&measure.fact), measure.at);
        segment(out, Line::Fine, on(from), on(to), &more);
        for (x, y) in [on(from), on(to)] {
            let _ = writeln!(out, "<path d=\"M{} {}l1.6 -1.6\" stroke=\"#000\" stroke-width=\"0.35\"/>", mm(x - 0.8), mm(y + 0.8));
        }
    }
}
