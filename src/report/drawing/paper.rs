//! Puts a view of a scene on paper: chooses the scale, what lies inside, and where each part of the sheet goes. Lengths are millimetres of
//! paper. It must not know what words the twin uses.

use super::block::{Title, notes, scale_bar, side_words, title_block};
use super::dimensions::dimensions;
use super::flat::{Form, Frame, Seen, measures, shapes};
use super::key::{key, look, mark};
use super::labels::{Area, Label, labels};
use super::strokes::{Line, mm, patterns, segment};
use super::{Heading, View, compass};
use crate::reckon::geometry::Point;
use crate::report::escape;
use crate::scene::{Role, Scene, Sort};
use std::fmt::Write;

/// Most that a drawing is across and upward.
const MOST: (f64, f64) = (178.0, 112.0);
/// Room for names round a drawing.
const BAND: f64 = 11.0;
/// Room at the edge of the sheet.
const EDGE: f64 = 6.0;
/// Least width of a sheet.
const NARROWEST: f64 = 226.0;
/// Most points of one outline.
const MOST_POINTS: usize = 1_500;

/// Scales are these numbers times a power of ten.
const SCALES: [f64; 8] = [1.0, 1.25, 1.5, 2.0, 2.5, 4.0, 5.0, 7.5];

/// What a drawing tells beside itself.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// The scale, in words.
    pub scale: String,
    /// Things that lie outside, by their positions in the scene.
    pub outside: Vec<usize>,
    /// Sentences on what is not in the drawing.
    pub notes: Vec<String>,
}

/// A drawing on its way to paper.
struct Paper<'s> {
    scene: &'s Scene,
    view: View,
    prefix: &'s str,
    shapes: Vec<Seen>,
    window: Frame,
    /// Metres for a millimetre.
    scale: f64,
    size: (f64, f64),
}

/// Draws; the result is the `svg` element and what is told beside it.
pub fn draw(scene: &Scene, view: View, heading: &Heading, title: &str, prefix: &str) -> (String, Told) {
    let mut told = Told::default();
    let mut all = shapes(scene, view);
    let window = window(scene, view, &mut all, &mut told);
    let scale = scale(window);
    let size = (window.width() / scale, window.height() / scale);
    let paper = Paper { scene, view, prefix, shapes: all, window, scale, size };
    told.scale = scale_words(scale);
    let svg = paper.sheet(heading, title, &mut told);
    (svg, told)
}

/// The part of the view that is drawn: the gate with its leaves, and what is near them. The rest is left out, by name.
fn window(scene: &Scene, view: View, shapes: &mut Vec<Seen>, told: &mut Told) -> Frame {
    let opening = match view {
        View::Section => vec![Point::new(0.0, 0.0)],
        _ => vec![Point::new(scene.opening.low, 0.0), Point::new(scene.opening.high, 0.0)],
    };
    let leaf = |role: Role| matches!(role, Role::Closed | Role::Open | Role::Swept);
    let of = |wanted: &dyn Fn(Role) -> bool| Frame::of(shapes.iter().filter(|seen| wanted(seen.role)).flat_map(|seen| seen.form.points()));
    let gate = Frame::of(opening).unwrap_or(Frame { low: Point::new(0.0, 0.0), high: Point::new(4.0, 1.0) });
    let mut core = of(&leaf).map_or(gate, |leaf| leaf.with(gate));
    let wide = core.width().max(core.height()).max(1e-4);
    let near = core.grown(wide * 0.4 + 0.5 * wide.min(1.0));
    for seen in shapes.iter().filter(|seen| seen.role != Role::Reach) {
        if let Some(frame) = Frame::of(seen.form.points()).filter(|frame| near.holds(*frame)) {
            core = core.with(frame);
        }
    }
    let room = core.width().max(core.height()).max(1e-4) * 0.02;
    let mut window = core.grown(room);
    // A long low drawing leaves room on paper: it shows more of what lies beside the gate, and names find a place.
    let lacking = match view {
        View::Plan => window.width() * 0.26 - window.height(),
        View::Elevation => window.width() * 0.2 - window.height(),
        View::Section => 0.0,
    };
    if lacking > 0.0 {
        window.high.y += if view == View::Plan { lacking / 2.0 } else { lacking };
        window.low.y -= if view == View::Plan { lacking / 2.0 } else { 0.0 };
    }
    let mut outside: Vec<usize> = Vec::new();
    shapes.retain(|seen| {
        let meets = Frame::of(seen.form.points()).is_some_and(|frame| window.meets(frame));
        let round = seen.role == Role::Reach && crosses(&seen.form, window).is_none() && !matches!(seen.form, Form::Mark(_));
        if !meets || round {
            outside.push(seen.item);
        }
        meets && !round
    });
    let gone = |item: &usize| !shapes.iter().any(|seen| seen.item == *item);
    outside.retain(gone);
    outside.sort_unstable();
    outside.dedup();
    if !outside.is_empty() {
        let names: Vec<&str> = outside.iter().filter_map(|at| scene.items.get(*at)).map(|item| item.id.as_str()).collect();
        told.notes.push(format!("Outside of this drawing: {}.", names.join(", ")));
    }
    told.outside = outside;
    window
}

/// A point of an outline that lies in a frame: the lowest one, the leftmost of those.
fn crosses(form: &Form, window: Frame) -> Option<Point> {
    let inside = |at: &Point| window.holds(Frame { low: *at, high: *at });
    form.points().into_iter().filter(inside).reduce(|one, other| if (other.y, other.x) < (one.y, one.x) { other } else { one })
}

/// Metres for a millimetre: the largest scale of the row at which the window fits.
fn scale(window: Frame) -> f64 {
    let least = (window.width() / MOST.0).max(window.height() / MOST.1) * 1000.0;
    let power = libm::pow(10.0, libm::floor(libm::log10(least.max(1e-6))));
    let times = SCALES.into_iter().find(|times| times * power >= least).map_or(10.0 * power, |times| times * power);
    times / 1000.0
}

fn scale_words(scale: f64) -> String {
    let number = |value: f64| {
        let text = format!("{value:.2}");
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    };
    let times = scale * 1000.0;
    if times >= 1.0 { format!("1:{} in full size", number(times)) } else { format!("{}:1 in full size", number(1.0 / times)) }
}

impl Paper<'_> {
    /// A point of the view on paper, from the upper left corner of the drawing.
    fn place(&self, at: Point) -> (f64, f64) {
        ((at.x - self.window.low.x) / self.scale, (self.window.high.y - at.y) / self.scale)
    }

    /// The whole sheet.
    fn sheet(&self, heading: &Heading, title: &str, told: &mut Told) -> String {
        let measured: Vec<_> = measures(self.scene, self.view)
            .into_iter()
            .filter(|one| {
                let ends = Frame::of([one.from, one.to]);
                ends.is_some_and(|ends| self.window.grown(self.scale).holds(ends)) && !told.outside.contains(&self.at(one.item))
            })
            .collect();
        let lines = dimensions(&measured, &|at| self.place(at), self.size, BAND);
        if lines.left > 0 {
            told.notes.push(format!("{} measures found no room and stand in the table alone.", lines.left));
        }
        let (words, room) = self.words(told);
        let sides = (EDGE + lines.room[0] + BAND, EDGE + lines.room[2] + BAND);
        let wide = (sides.0 + self.size.0 + sides.1).max(NARROWEST);
        let left = sides.0 + (wide - sides.0 - self.size.0 - sides.1) / 2.0;
        let top = EDGE + lines.room[1] + BAND;
        let mut body = String::new();
        let _ = writeln!(body, "<g transform=\"translate({} {})\">", mm(left), mm(top));
        let _ = writeln!(body, "<g clip-path=\"url(#{}-window)\">", self.prefix);
        self.background(&mut body);
        self.shapes.iter().for_each(|seen| self.shape(&mut body, seen));
        self.marks(&mut body);
        body.push_str("</g>\n");
        body.push_str(&room);
        body.push_str(&lines.svg);
        let _ = write!(body, "<g data-part=\"names\">\n{words}</g>\n</g>\n");
        let mut down = top + self.size.1 + BAND + lines.room[3] + 6.0;
        down += self.foot(&mut body, (EDGE, down), wide - 2.0 * EDGE, heading, told);
        self.whole(&body, (wide, down + EDGE), heading, title)
    }

    fn at(&self, item: &crate::scene::Item) -> usize {
        self.scene.items.iter().position(|own| std::ptr::eq(own, item)).unwrap_or(usize::MAX)
    }

    /// The element round the body.
    fn whole(&self, body: &str, (wide, high): (f64, f64), heading: &Heading, title: &str) -> String {
        let prefix = self.prefix;
        let mut out = String::with_capacity(body.len() + 4096);
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" width=\"{0}mm\" height=\"{1}mm\" role=\"img\" aria-labelledby=\"{prefix}-title {prefix}-words\" font-family=\"sans-serif\" fill=\"#000\" data-scale=\"{2}\">",
            mm(wide),
            mm(high),
            self.scale * 1000.0
        );
        let _ = writeln!(out, "<title id=\"{prefix}-title\">{}</title>", escape::xml(title));
        let words = format!("{}. {}. The table beside this figure says the same in words.", heading.job, self.scene.gate);
        let _ = writeln!(out, "<desc id=\"{prefix}-words\">{}</desc>", escape::xml(&words));
        let _ = writeln!(out, "<defs>\n{}", patterns(prefix));
        let _ = writeln!(
            out,
            "<clipPath id=\"{prefix}-window\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n</defs>",
            mm(-BAND),
            mm(-BAND),
            mm(self.size.0 + 2.0 * BAND),
            mm(self.size.1 + 2.0 * BAND)
        );
        let _ = writeln!(out, "<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>", mm(wide), mm(high));
        out.push_str(body);
        out.push_str("</svg>\n");
        out
    }

    /// Gate line or ground, and the jambs.
    fn background(&self, out: &mut String) {
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

    fn shape(&self, out: &mut String, seen: &Seen) {
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
    fn marks(&self, out: &mut String) {
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

    /// The names of things, and the words that say which side is which.
    fn words(&self, told: &mut Told) -> (String, String) {
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
                taken.push(side_words(&mut room, (w - 2.0, y + 4.5), "SECURED SIDE"));
            }
            View::Elevation => {}
        }
        let limits = (-BAND, 0.5 - BAND, w + BAND, h + BAND - 0.5);
        let made = labels(self.names(), limits, &taken, &self.lines());
        if !made.left.is_empty() {
            told.notes.push(format!("Drawn without a name for want of room: {}.", made.left.join(", ")));
        }
        (made.svg, room)
    }

    /// What names had better not lie on: leaves, fixed things, beams, contact edges.
    fn lines(&self) -> Vec<Area> {
        let mut all = Vec::new();
        for seen in &self.shapes {
            let points = seen.form.points();
            let solid = matches!(seen.role, Role::Closed | Role::Fixed);
            let frames: Vec<Frame> = match seen.role {
                Role::Closed | Role::Fixed => Frame::of(points).into_iter().collect(),
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

    /// Scale bar, compass, key, notes and title block; the result is their height.
    fn foot(&self, out: &mut String, (x, y): (f64, f64), wide: f64, heading: &Heading, told: &Told) -> f64 {
        let feet =
            self.scene.items.iter().flat_map(|item| &item.measures).find(|one| one.fact.contains("opening") || one.fact.contains("length"));
        let feet = feet.is_some_and(|one| one.written.contains("ft") || one.written.contains("in"));
        scale_bar(out, (x + 3.0, y), self.scale, feet);
        let mut down = 9.0;
        let mut key_wide = wide;
        let mut sky_high = 0.0;
        if let (View::Plan, Some(sky)) = (self.view, &self.scene.sky) {
            let right = x + wide - compass::RADIUS - 5.0;
            compass::compass(out, (right, y + compass::RADIUS + 2.0), sky);
            key_wide = wide - 2.0 * compass::RADIUS - 12.0;
            sky_high = 2.0 * compass::RADIUS + 6.0;
        }
        let line = if self.view == View::Plan { "gate line" } else { "jambs, gate line" };
        down += key(out, (x, y + down), key_wide, &self.shapes, line, self.prefix) + 1.0;
        down = f64::max(down, sky_high);
        down += notes(out, (x, y + down), wide, &self.notes(told));
        let title = Title {
            job: [&heading.job, &heading.file],
            gate: format!("{}{}", self.scene.gate, self.scene.kind.as_ref().map_or_else(String::new, |kind| format!(", {kind}"))),
            view: self.view.words(),
            scale: told.scale.clone(),
            today: &heading.today,
            findings: match heading.findings.len() {
                0 => "none".into(),
                some => format!("{some} in the job"),
            },
            caution: &heading.caution,
        };
        down + title_block(out, (x, y + down), wide, &title)
    }

    /// What a reader must know beside the drawing.
    fn notes(&self, told: &Told) -> Vec<String> {
        let mut notes = Vec::new();
        let gate: &[usize] = self.scene.items.iter().find(|item| item.sort == Sort::Gate).map_or(&[], |item| &item.findings);
        let beside = self.scene.elsewhere.iter().map(|(_, numbers)| numbers.len()).sum::<usize>();
        if !gate.is_empty() {
            notes.push(format!("Findings at the gate itself: {}.", runs(gate)));
        }
        if beside > 0 {
            notes.push(format!("Findings at things that no drawing shows: {beside}; the table names them."));
        }
        let drawn = |at: usize| self.shapes.iter().any(|seen| seen.item == at && seen.guessed);
        let items = self.scene.items.iter().enumerate();
        let guessed: Vec<&str> = items.filter(|(at, _)| drawn(*at)).map(|(_, item)| item.id.as_str()).collect();
        if !guessed.is_empty() {
            notes.push(format!(
                "Schematic, placed without points: {}. Only figures on dimension lines are measures of the job.",
                guessed.join(", ")
            ));
        }
        if let (View::Plan, Some(sky)) = (self.view, &self.scene.sky) {
            notes.push(compass::words(sky).join(". ") + ".");
        }
        notes.extend(self.scene.left_out.iter().cloned());
        notes.extend(told.notes.iter().cloned());
        notes
    }
}

/// Numbers in order, those that follow one another as `7 to 12`.
fn runs(numbers: &[usize]) -> String {
    let mut all: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match all.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => all.push((*number, *number)),
        }
    }
    let texts = all.iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    });
    texts.collect::<Vec<_>>().join(", ")
}
