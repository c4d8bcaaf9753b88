//! Line types, fillings and the writing of SVG elements. Lengths are millimetres of paper. It must not know what is drawn.

use crate::report::escape;
use std::fmt::Write;

/// Width of outlines, and of everything else: two to one.
pub const THICK: f64 = 0.5;
/// See [`THICK`].
pub const THIN: f64 = 0.25;

/// A line type.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Line {
    /// Continuous thick: visible outlines.
    Outline,
    /// Continuous thin: dimensions, extensions, leaders, hatches.
    Fine,
    /// Dotted thick: outlines of which place or size is guessed.
    Guessed,
    /// Long-dash-dot thin: gate line, axes, jambs.
    Centre,
    /// Dash-double-dot thin: the other end of a movement.
    Alternate,
    /// Dashed thin: bounds of an area that has no edge of its own.
    Area,
    /// Dash-dot thick: beams.
    Beam,
    /// Dotted thin: all places at one distance.
    Places,
    /// Dashed thick: buried runs, which are hidden.
    Hidden,
    /// Extra thick: contact edges, the ground.
    Heavy,
}

impl Line {
    /// Width, dashes, colour. Every colour has a contrast of at least 4.5 to 1 on white, and says nothing by itself.
    fn look(self) -> (f64, &'static str, &'static str) {
        match self {
            Line::Outline => (THICK, "", "#000"),
            Line::Fine => (THIN, "", "#000"),
            Line::Guessed => (THICK, "0.6 0.9", "#000"),
            Line::Centre => (THIN, "6 1 0.6 1", "#000"),
            Line::Alternate => (0.3, "4 1 0.6 1 0.6 1", "#000"),
            Line::Area => (THIN, "2.2 1.2", "#7a1500"),
            Line::Beam => (THICK, "5 1.2 1 1.2", "#a01000"),
            Line::Places => (0.3, "0.4 1.1", "#0b3a8c"),
            Line::Hidden => (THICK, "2.4 1.2", "#333"),
            Line::Heavy => (1.0, "", "#000"),
        }
    }

    /// The attributes of a stroke.
    pub fn attributes(self) -> String {
        let (width, dashes, colour) = self.look();
        let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
        format!("fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}")
    }
}

/// A filling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Filling {
    /// Cut or solid matter: close lines at 45 degrees.
    Matter,
    /// What the leaf sweeps: sparse dots.
    Swept,
    /// A zone: wide lines at 135 degrees.
    Zone,
    /// Ground on which a body is not seen: crossed lines.
    Blind,
}

impl Filling {
    /// The end of its pattern's id.
    pub fn word(self) -> &'static str {
        match self {
            Filling::Matter => "matter",
            Filling::Swept => "swept",
            Filling::Zone => "zone",
            Filling::Blind => "blind",
        }
    }
}

/// The patterns of the fillings, their ids beginning with `prefix`.
pub fn patterns(prefix: &str) -> String {
    let line = |size: f64, colour: &str, width: f64| {
        format!("<line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"{size}\" stroke=\"{colour}\" stroke-width=\"{width}\"/>")
    };
    let pattern = |filling: Filling, size: f64, turn: i32, inside: String| {
        format!(
            "<pattern id=\"{prefix}-{}\" width=\"{size}\" height=\"{size}\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate({turn})\">{inside}</pattern>\n",
            filling.word()
        )
    };
    let cross = line(2.0, "#555", 0.3) + "<line x1=\"0\" y1=\"0\" x2=\"2\" y2=\"0\" stroke=\"#555\" stroke-width=\"0.3\"/>";
    [
        pattern(Filling::Matter, 1.2, 45, line(1.2, "#000", 0.3)),
        pattern(Filling::Swept, 2.4, 0, "<circle cx=\"0.6\" cy=\"0.6\" r=\"0.18\" fill=\"#555\"/>".into()),
        pattern(Filling::Zone, 2.6, -45, line(2.6, "#7a1500", 0.25)),
        pattern(Filling::Blind, 2.0, 45, cross),
    ]
    .concat()
}

/// A number of millimetres: two places, and never a minus nought.
pub fn mm(at: f64) -> String {
    let text = format!("{at:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" || text.is_empty() { "0".into() } else { text.to_string() }
}

/// A line from point to point; `more` holds further attributes.
pub fn segment(out: &mut String, line: Line, from: (f64, f64), to: (f64, f64), more: &str) {
    let _ = writeln!(
        out,
        "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" {}{more}/>",
        mm(from.0),
        mm(from.1),
        mm(to.0),
        mm(to.1),
        line.attributes()
    );
}

/// How a text stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
}

/// A text; everything unsafe in it is written out.
pub fn text(out: &mut String, at: (f64, f64), size: f64, anchor: Anchor, more: &str, words: &str) {
    let anchor = match anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
    };
    let _ =
        writeln!(out, "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{more}>{}</text>", mm(at.0), mm(at.1), mm(size), escape::xml(words));
}

/// About how wide a text comes out, in millimetres: never less than common fonts make it.
pub fn width(words: &str, size: f64) -> f64 {
    let wide = |c: char| match c {
        'i' | 'l' | 'j' | 't' | 'f' | 'r' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '(' | ')' | '-' | '/' => 0.36,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.92,
        c if c.is_ascii_uppercase() => 0.7,
        c if c.is_ascii() => 0.59,
        c if u32::from(c) < 0x1100 => 0.7,
        _ => 1.05,
    };
    words.chars().map(wide).sum::<f64>() * size
}

/// A text in lines that fit; at most so many, the last cut with a mark.
pub fn wrapped(words: &str, size: f64, wide: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in words.split(' ') {
        let last = lines.last().map_or("", String::as_str);
        let joined = if last.is_empty() { word.to_string() } else { format!("{last} {word}") };
        if !last.is_empty() && width(&joined, size) > wide {
            lines.push(cut(word, size, wide));
        } else if let Some(last) = lines.last_mut() {
            *last = cut(&joined, size, wide);
        }
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = cut(&format!("{last} …"), size, wide);
            if !last.ends_with('…') {
                last.push('…');
            }
        }
    }
    lines
}

/// A text cut to a width, with a mark where it was cut.
pub fn cut(words: &str, size: f64, wide: f64) -> String {
    if width(words, size) <= wide {
        return words.to_string();
    }
    let mut kept = String::new();
    for c in words.chars() {
        kept.push(c);
        if width(&kept, size) + size > wide {
            kept.pop();
            break;
        }
    }
    format!("{kept}…")
}
