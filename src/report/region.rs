//! Draws the permitted region of two measures as SVG: to scale, readable in black and white, with a text twin. Everything that a
//! file contains is escaped here. It must not know how a region is found.

use super::envelopes::{EnvelopeReport, number, permitted, set_by};
use super::escape;
use super::wrap::broken;
use crate::envelope::Envelope;
use crate::envelope::region::{Region, Tile, step};
use crate::envelope::trial::Label;
use crate::quantity::Exact;
use std::fmt::Write;

/// Longest side of the plot, and the shortest that a plot to one scale may have.
const LONGEST: f64 = 480.0;
const SHORTEST: f64 = 160.0;
/// Room around the plot: left, above, right, below.
const ROOM: [f64; 4] = [96.0, 84.0, 32.0, 118.0];
/// The look of the lines across the plot at each step.
const GRID: &str = "stroke=\"#777\" stroke-width=\"0.6\" stroke-dasharray=\"1 4\"";
/// From line to line of small print, and how many characters of it fit.
const LINE: f64 = 15.0;
const FITS: usize = 88;
/// Half of the mark of an edge.
const MARK: f64 = 8.0;

/// How much of a drawing is never narrower than this many characters of its texts need.
const NARROWEST: f64 = 620.0;

const STYLE: &str = "<style>text{font:13px sans-serif;fill:#000}.small{font-size:11px}line,path,rect{vector-effect:non-scaling-stroke}</style>
<defs>
<pattern id=\"permitted\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#fff\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\" stroke=\"#000\" stroke-width=\"1.6\"/></pattern>
<pattern id=\"mandatory\" width=\"11\" height=\"11\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><rect width=\"11\" height=\"11\" fill=\"#fff\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"11\" stroke=\"#000\" stroke-width=\"0.7\"/></pattern>
<pattern id=\"undecided\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\"><rect width=\"4\" height=\"4\" fill=\"#fff\"/><circle cx=\"2\" cy=\"2\" r=\"0.9\" fill=\"#000\"/></pattern>
<pattern id=\"open\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\"><rect width=\"7\" height=\"7\" fill=\"#fff\"/><line x1=\"0\" y1=\"3\" x2=\"7\" y2=\"3\" stroke=\"#000\" stroke-width=\"0.8\"/></pattern>
</defs>
";

/// Where values come to lie on the sheet.
struct Sheet {
    window: [(f64, f64); 2],
    size: [f64; 2],
}

impl Sheet {
    fn new(region: &Region) -> Sheet {
        let window = region.window.map(|(lo, hi)| (lo.to_f64(), hi.to_f64()));
        let span = window.map(|(lo, hi)| (hi - lo).max(f64::MIN_POSITIVE));
        let base = |side: usize| region.axes[side].unit.map_or(1.0, |unit| unit.factor().to_f64());
        let real = [span[0] * base(0), span[1] * base(1)];
        let alike = region.axes[0].unit.map(|unit| unit.dimension()) == region.axes[1].unit.map(|unit| unit.dimension());
        let longest = real[0].max(real[1]);
        let one_scale = [LONGEST * real[0] / longest, LONGEST * real[1] / longest];
        // Two measures of one kind are drawn to one scale where that leaves room to read.
        let size = if alike && one_scale.iter().all(|side| *side >= SHORTEST) { one_scale } else { [LONGEST, LONGEST * 0.75] };
        Sheet { window, size }
    }

    fn x(&self, at: Exact) -> f64 {
        let (lo, hi) = self.window[0];
        ROOM[0] + (at.to_f64() - lo) / (hi - lo) * self.size[0]
    }

    fn y(&self, at: Exact) -> f64 {
        let (lo, hi) = self.window[1];
        ROOM[1] + (hi - at.to_f64()) / (hi - lo) * self.size[1]
    }
}

/// The drawing of the region of the two envelopes of a report.
pub fn svg(report: &EnvelopeReport, region: &Region, [one, two]: [&Envelope; 2]) -> String {
    let sheet = Sheet::new(region);
    let told = edges(report, region);
    let lines: Vec<(char, Vec<String>)> = told.iter().map(|(letter, text)| (*letter, broken(text, FITS))).collect();
    let deep = lines.iter().map(|(_, lines)| lines.len() as f64 * LINE + 4.0).sum::<f64>();
    let below = ROOM[1] + sheet.size[1] + ROOM[3] + 10.0;
    let (width, height) = ((ROOM[0] + sheet.size[0] + ROOM[2]).max(NARROWEST), below + deep);
    let title = format!("{} and {}: permitted region", full_name(one), full_name(two));
    let mut out = String::new();
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\" aria-labelledby=\"title words\">"
    );
    let _ = writeln!(out, "<title id=\"title\">{}</title>", escape::xml(&title));
    let _ = writeln!(out, "<desc id=\"words\">{}</desc>", escape::xml(&words(report, [one, two], &told)));
    out.push_str(STYLE);
    let _ = writeln!(out, "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>");
    caption(&mut out, report, [one, two]);
    if let Some(mandatory) = &region.mandatory {
        let good: Vec<Tile> = mandatory.iter().filter(|tile| tile.label == Some(Label::Good)).cloned().collect();
        tiles(&mut out, &sheet, &good, "mandatory");
    }
    tiles(&mut out, &sheet, &region.tiles, "permitted");
    scales(&mut out, &sheet, region, [one, two]);
    today(&mut out, &sheet, region);
    key(&mut out, &sheet, region);
    marks(&mut out, &sheet, region);
    named(&mut out, below, &lines);
    out.push_str("</svg>\n");
    out
}

fn full_name(envelope: &Envelope) -> String {
    format!("{} of {}", envelope.name, envelope.thing)
}

/// The drawing in words.
fn words(report: &EnvelopeReport, envelopes: [&Envelope; 2], edges: &[(char, String)]) -> String {
    let one = |it: &Envelope| {
        let today = it.today_at.map_or_else(|| "is not stated".to_string(), |at| format!("is {} today", number(&it.axis, at)));
        let range = permitted(&it.axis, &it.ranges, it.looked_at);
        format!("{} {today}; as long as the other stays as it is, permitted: {range}.", full_name(it))
    };
    let job = report.files.job.map_or("", |job| job.name());
    let edges: String = edges.iter().map(|(letter, text)| format!(" Edge {letter} is set by {text}.")).collect();
    format!("{job}. {} {} The rest of the job is as it is.{edges}", one(envelopes[0]), one(envelopes[1]))
}

/// What sets each edge, by its letter.
pub fn edges(report: &EnvelopeReport, region: &Region) -> Vec<(char, String)> {
    ('A'..='Z').zip(&region.edges).map(|(letter, edge)| (letter, set_by(report.files, &edge.set_by))).collect()
}

/// The letters of the edges, each on its edge and clear of the others where that can be.
fn marks(out: &mut String, sheet: &Sheet, region: &Region) {
    let mut taken: Vec<(f64, f64)> = region.today[0].zip(region.today[1]).map(|(x, y)| (sheet.x(x), sheet.y(y))).into_iter().collect();
    for (letter, edge) in ('A'..='Z').zip(&region.edges) {
        let places: Vec<(f64, f64)> = edge.places.iter().map(|[x, y]| (sheet.x(*x), sheet.y(*y))).collect();
        let clear = |at: &(f64, f64)| taken.iter().map(|other| libm::hypot(at.0 - other.0, at.1 - other.1)).fold(f64::INFINITY, f64::min);
        // The middle of the edge, else what lies furthest from the letters before.
        let middle = places.get(places.len() / 2).copied();
        let middle = middle.filter(|at| clear(at) > 2.5 * MARK);
        let Some((x, y)) = middle.or_else(|| places.iter().copied().max_by(|one, other| clear(one).total_cmp(&clear(other)))) else {
            continue;
        };
        taken.push((x, y));
        let _ = writeln!(
            out,
            "<circle class=\"edge\" cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{MARK}\" fill=\"#fff\" stroke=\"#000\"/><text x=\"{x:.2}\" y=\"{:.2}\" text-anchor=\"middle\">{letter}</text>",
            y + 4.5
        );
    }
}

/// The clauses that set the edges, below the key.
fn named(out: &mut String, top: f64, edges: &[(char, Vec<String>)]) {
    let mut down = top;
    for (letter, lines) in edges {
        let _ = writeln!(out, "<text x=\"16\" y=\"{down:.2}\">{letter}</text>");
        for line in lines {
            let _ = writeln!(out, "<text class=\"small\" x=\"36\" y=\"{down:.2}\">{}</text>", escape::xml(line));
            down += LINE;
        }
        down += 4.0;
    }
}

fn caption(out: &mut String, report: &EnvelopeReport, [one, two]: [&Envelope; 2]) {
    let lines = [
        format!("{} — {}", report.title, report.files.job.map_or("", |job| job.name())),
        if one.thing == two.thing {
            format!("{} (across) and {} (upward), {}", one.name, two.name, one.thing)
        } else {
            format!("{} (across) and {} (upward)", full_name(one), full_name(two))
        },
    ];
    for (at, line) in lines.iter().enumerate() {
        let _ = writeln!(out, "<text x=\"16\" y=\"{}\">{}</text>", 26 + at * 20, escape::xml(&super::escape::short(line, 84)));
    }
}

/// The rectangles that are not surely bad; neighbours above each other that are alike are drawn as one.
fn tiles(out: &mut String, sheet: &Sheet, tiles: &[Tile], good: &str) {
    let mut open: Option<Tile> = None;
    let mut draw = |tile: &Tile| {
        let fill = match tile.label {
            Some(Label::Good) => good,
            Some(Label::Waiting) => "open",
            None => "undecided",
            Some(Label::Bad) => return,
        };
        let [(x0, x1), (y0, y1)] = tile.sides;
        let (left, right, top, bottom) = (sheet.x(x0), sheet.x(x1), sheet.y(y1), sheet.y(y0));
        let _ = writeln!(
            out,
            "<rect x=\"{left:.2}\" y=\"{top:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"url(#{fill})\"/>",
            right - left + 0.05,
            bottom - top + 0.05
        );
    };
    for tile in tiles {
        match &mut open {
            Some(last) if last.label == tile.label && last.sides[0] == tile.sides[0] && last.sides[1].1 == tile.sides[1].0 => {
                last.sides[1].1 = tile.sides[1].1;
            }
            last => {
                last.iter().for_each(&mut draw);
                *last = Some(tile.clone());
            }
        }
    }
    open.iter().for_each(&mut draw);
}

/// Both axes with their steps, in the units of the job.
fn scales(out: &mut String, sheet: &Sheet, region: &Region, envelopes: [&Envelope; 2]) {
    let (left, right, top, bottom) = (ROOM[0], ROOM[0] + sheet.size[0], ROOM[1], ROOM[1] + sheet.size[1]);
    let _ = writeln!(
        out,
        "<rect x=\"{left:.2}\" y=\"{top:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" stroke=\"#000\"/>",
        sheet.size[0], sheet.size[1]
    );
    for side in [0, 1] {
        let (lo, hi) = region.window[side];
        let step = step(lo, hi, region.axes[side].unit);
        let first = lo.div(step).map_or(0, Exact::ceiling);
        for at in (first..first.saturating_add(40)).map_while(|steps| Exact::whole(steps).mul(step).filter(|at| *at <= hi)) {
            let text = escape::xml(&number(&region.axes[side], at));
            let _ = if side == 0 {
                let x = sheet.x(at);
                writeln!(
                    out,
                    "<line x1=\"{x:.2}\" y1=\"{top:.2}\" x2=\"{x:.2}\" y2=\"{bottom:.2}\" {GRID}/><line x1=\"{x:.2}\" y1=\"{bottom:.2}\" x2=\"{x:.2}\" y2=\"{:.2}\" stroke=\"#000\"/><text class=\"small\" x=\"{x:.2}\" y=\"{:.2}\" text-anchor=\"middle\">{text}</text>",
                    bottom + 5.0,
                    bottom + 18.0
                )
            } else {
                let y = sheet.y(at);
                writeln!(
                    out,
                    "<line x1=\"{left:.2}\" y1=\"{y:.2}\" x2=\"{right:.2}\" y2=\"{y:.2}\" {GRID}/><line x1=\"{:.2}\" y1=\"{y:.2}\" x2=\"{left:.2}\" y2=\"{y:.2}\" stroke=\"#000\"/><text class=\"small\" x=\"{:.2}\" y=\"{:.2}\" text-anchor=\"end\">{text}</text>",
                    left - 5.0,
                    left - 8.0,
                    y + 4.0
                )
            };
        }
    }
    let [one, two] = envelopes.map(|it| escape::xml(&it.name));
    let _ = writeln!(out, "<text x=\"{:.2}\" y=\"{:.2}\" text-anchor=\"middle\">{one}</text>", left + sheet.size[0] / 2.0, bottom + 38.0);
    let middle = top + sheet.size[1] / 2.0;
    let _ = writeln!(out, "<text x=\"20\" y=\"{middle:.2}\" text-anchor=\"middle\" transform=\"rotate(-90 20 {middle:.2})\">{two}</text>");
}

/// Today's point: a ring with a cross; a line where only one of the measures is stated.
fn today(out: &mut String, sheet: &Sheet, region: &Region) {
    let (left, right, top, bottom) = (ROOM[0], ROOM[0] + sheet.size[0], ROOM[1], ROOM[1] + sheet.size[1]);
    let path = match region.today {
        [Some(x), Some(y)] => {
            let (x, y) = (sheet.x(x), sheet.y(y));
            let _ = writeln!(out, "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"7\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"2\"/>");
            format!("M{:.2} {y:.2}H{:.2}M{x:.2} {:.2}V{:.2}", x - 11.0, x + 11.0, y - 11.0, y + 11.0)
        }
        [Some(x), None] => format!("M{:.2} {top:.2}V{bottom:.2}", sheet.x(x)),
        [None, Some(y)] => format!("M{left:.2} {:.2}H{right:.2}", sheet.y(y)),
        [None, None] => return,
    };
    let _ = writeln!(out, "<path d=\"{path}\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>");
}

/// What the fillings mean.
fn key(out: &mut String, sheet: &Sheet, region: &Region) {
    let top = ROOM[1] + sheet.size[1] + 54.0;
    let has = |label: Option<Label>| region.tiles.iter().any(|tile| tile.label == label);
    let mut entries = vec![("url(#permitted)", "permitted: every clause that depends on them is met")];
    if region.mandatory.is_some() {
        entries.push(("url(#mandatory)", "permitted by mandatory clauses alone"));
    }
    if has(Some(Label::Waiting)) {
        entries.push(("url(#open)", "open: another fact is missing"));
    }
    if has(None) {
        entries.push(("url(#undecided)", "not decided at this scale; count it as not permitted"));
    }
    for (at, (fill, text)) in entries.iter().enumerate() {
        let y = top + 18.0 * f64::from(u8::try_from(at).unwrap_or(0));
        let _ = writeln!(out, "<rect x=\"{:.2}\" y=\"{y:.2}\" width=\"22\" height=\"13\" fill=\"{fill}\" stroke=\"#000\"/>", ROOM[0]);
        let _ = writeln!(out, "<text class=\"small\" x=\"{:.2}\" y=\"{:.2}\">{text}</text>", ROOM[0] + 30.0, y + 11.0);
    }
    let ring = ROOM[0] + 360.0;
    let _ = writeln!(out, "<circle cx=\"{ring:.2}\" cy=\"{:.2}\" r=\"5\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"2\"/>", top + 6.0);
    let _ = writeln!(out, "<text class=\"small\" x=\"{:.2}\" y=\"{:.2}\">as the job is today</text>", ring + 14.0, top + 11.0);
}
