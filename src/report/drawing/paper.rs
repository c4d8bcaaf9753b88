//! Puts a view of a scene on paper: chooses the scale, what lies inside, and where each part of the sheet goes. Lengths are millimetres of
//! paper. It must not know what words the twin uses.

use super::block::{Title, notes, scale_bar, title_block};
use super::detail::{Detail, details};
use super::dimensions::dimensions;
use super::flat::{Form, Frame, Seen, measures, shapes};
use super::key::key;
use super::strokes::{mm, patterns};
use super::{Heading, View, compass};
use crate::reckon::geometry::Point;
use crate::report::escape;
use crate::scene::{Role, Scene, Sort};
use std::fmt::Write;

/// Most that a drawing is across and upward.
const MOST: (f64, f64) = (178.0, 112.0);
/// Room for names round a drawing.
pub const BAND: f64 = 11.0;
/// Room at the edge of the sheet.
const EDGE: f64 = 6.0;
/// Least width of a sheet.
const NARROWEST: f64 = 226.0;

/// Scales are these numbers times a power of ten.
pub const SCALES: [f64; 8] = [1.0, 1.25, 1.5, 2.0, 2.5, 4.0, 5.0, 7.5];

/// What a drawing tells beside itself.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// The scale, in words.
    pub scale: String,
    /// Things that lie outside, by their positions in the scene.
    pub outside: Vec<usize>,
    /// Things that this view does not show, by their positions in the scene.
    pub absent: Vec<usize>,
    /// Sentences on what is not in the drawing.
    pub notes: Vec<String>,
    /// What each enlarged detail shows, a sentence each; the drawing says so at the detail.
    pub details: Vec<String>,
}

/// A drawing on its way to paper.
pub struct Paper<'s> {
    /// The scene.
    pub scene: &'s Scene,
    /// The view.
    pub view: View,
    /// What ids begin with.
    pub prefix: &'s str,
    /// What is seen.
    pub shapes: Vec<Seen>,
    /// The part of the view that is drawn.
    pub window: Frame,
    /// Metres for a millimetre.
    pub scale: f64,
    /// How large the drawing is.
    pub size: (f64, f64),
}

/// Draws; the result is the `svg` element and what is told beside it.
pub fn draw(scene: &Scene, view: View, heading: &Heading, title: &str, prefix: &str) -> (String, Told) {
    let mut told = Told::default();
    let mut all = shapes(scene, view);
    let window = window(scene, view, &mut all, &mut told);
    let drawn = |at: &usize| all.iter().any(|seen| seen.item == *at) || told.outside.contains(at);
    let absent = (0..scene.items.len()).filter(|at| !drawn(at) && scene.items.get(*at).is_some_and(|item| !item.shapes.is_empty()));
    told.absent = absent.collect();
    let scale = scale(window);
    let size = (window.width() / scale, window.height() / scale);
    let paper = Paper { scene, view, prefix, shapes: all, window, scale, size };
    let made_up = made_up(scene);
    told.scale = if made_up.is_empty() { scale_words(scale) } else { NO_SCALE.into() };
    if !made_up.is_empty() {
        told.notes.insert(0, format!("NOT TO SCALE: not in the job, and made up for this drawing: {}.", made_up.join(", ")));
    }
    let svg = paper.sheet(heading, title, &mut told);
    (svg, told)
}

/// What stands for the scale of a drawing that rests on made-up lengths.
pub const NO_SCALE: &str = "not to scale";

/// The lengths that a drawing of the gate rests on and that the job does not give.
fn made_up(scene: &Scene) -> Vec<String> {
    let mut all = Vec::new();
    if !scene.opening_known {
        all.push("the opening".to_string());
    }
    let measured = |item: &crate::scene::Item| item.measures.iter().any(|one| one.fact.ends_with(".length"));
    let leaves = scene.items.iter().filter(|item| item.sort == Sort::Leaf && item.shapes.iter().any(|shape| shape.guessed));
    all.extend(leaves.filter(|item| !measured(item)).map(|item| format!("the length of {}", item.id)));
    all
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
    if view == View::Section {
        // A section is narrow and high; beside it names and measures find places that lie on nothing.
        let beside = f64::max(window.height() * 1.2 - window.width(), 0.0) / 2.0;
        (window.low.x, window.high.x) = (window.low.x - beside, window.high.x + beside);
    }
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
pub fn crosses(form: &Form, window: Frame) -> Option<Point> {
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

/// A scale in words.
pub fn scale_words(scale: f64) -> String {
    let number = |value: f64| {
        let text = format!("{value:.2}");
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    };
    let times = scale * 1000.0;
    if times >= 1.0 { format!("1:{} at full size", number(times)) } else { format!("{}:1 at full size", number(1.0 / times)) }
}

impl Paper<'_> {
    /// A point of the view on paper, from the upper left corner of the drawing.
    pub fn place(&self, at: Point) -> (f64, f64) {
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
        // What is made up is not enlarged: a detail would lend it a scale.
        let details = if told.scale == NO_SCALE { Vec::new() } else { details(&measured, self.scale) };
        told.details = details.iter().map(Detail::sentence).collect();
        let (rings, ringed) = self.rings(&details);
        let (words, room) = self.words(told, ringed, &lines.areas);
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
        body.push_str(&rings);
        body.push_str(&room);
        body.push_str(&lines.svg);
        let _ = write!(body, "<g data-part=\"names\">\n{words}</g>\n</g>\n");
        let mut down = top + self.size.1 + BAND + lines.room[3] + 6.0;
        down += self.details(&mut body, (EDGE, down), &details);
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

    /// Scale bar, compass, key, notes and title block; the result is their height.
    fn foot(&self, out: &mut String, (x, y): (f64, f64), wide: f64, heading: &Heading, told: &Told) -> f64 {
        use super::strokes::{Anchor, text};
        let feet =
            self.scene.items.iter().flat_map(|item| &item.measures).find(|one| one.fact.contains("opening") || one.fact.contains("length"));
        let feet = feet.is_some_and(|one| one.written.contains("ft") || one.written.contains("in"));
        let made_up = made_up(self.scene);
        if made_up.is_empty() {
            let long = scale_bar(out, (x + 3.0, y), self.scale, feet);
            // A printer or a page makes the drawing smaller: the bar shrinks with it, the scale in figures does not.
            let whole = format!(
                "{} only where this drawing is printed {} mm wide.",
                scale_words(self.scale).replace(" at full size", ""),
                mm(wide + 2.0 * EDGE)
            );
            for (line, words) in ["Measure by this bar: it holds at any size of print.", whole.as_str()].into_iter().enumerate() {
                text(out, (x + long + 11.0, y + 1.2 + 3.6 * line as f64), 2.6, Anchor::Start, "", words);
            }
        } else {
            let words = super::strokes::cut(&format!("NOT TO SCALE: {} made up, not in the job", made_up.join(", ")), 4.0, wide - 6.0);
            text(out, (x + 3.0, y + 3.0), 4.0, Anchor::Start, " font-weight=\"bold\"", &words);
        }
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
        down += notes(out, (x, y + down), wide, &self.notes(heading, told));
        let title = Title {
            job: [&heading.job, &heading.file],
            gate: format!("{}{}", self.scene.gate, self.scene.kind.as_ref().map_or_else(String::new, |kind| format!(", {kind}"))),
            view: self.view.words(),
            scale: told.scale.clone(),
            today: &heading.today,
            findings: match (heading.findings.len(), &heading.unsure) {
                (_, Some(_)) => "not all judged, see below".into(),
                (0, None) => "none".into(),
                (some, None) => format!("{some} in the job"),
            },
            caution: &heading.caution,
        };
        down + title_block(out, (x, y + down), wide, &title)
    }

    /// What a reader must know beside the drawing.
    fn notes(&self, heading: &Heading, told: &Told) -> Vec<String> {
        let mut notes: Vec<String> = heading.unsure.iter().map(|why| format!("Not all judged: {why}.")).collect();
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
                "Schematic, placed without points, the place not to scale: {}. Only figures on dimension lines are measures of the job.",
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
