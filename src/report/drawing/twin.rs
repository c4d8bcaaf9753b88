//! The text twin of a figure: every thing with what is drawn of it, its measures, what is schematic, its findings. It must not know where
//! anything lies on paper.

use super::paper::NO_SCALE;
use super::paper::Told;
use super::{Heading, View, compass};
use crate::report::document::{Block, words};
use crate::report::escape::visible;
use crate::scene::{Item, Measure, Scene};
use std::fmt::Write;

/// The headings of the table.
const HEADINGS: [&str; 4] = ["Thing", "What is drawn", "Measures", "Findings"];
/// Columns of the words on a terminal.
const WIDE: usize = 100;

/// A figure in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Twin {
    /// What the table shows.
    pub caption: String,
    /// Thing, what is drawn, measures, findings.
    pub rows: Vec<[String; 4]>,
    /// Sentences on scale, directions, what is left out.
    pub notes: Vec<String>,
    /// The findings that the rows name by number, a sentence each.
    pub findings: Vec<String>,
}

/// The twin of a view.
pub fn twin(scene: &Scene, view: View, heading: &Heading, title: &str, told: &Told) -> Twin {
    let aside = |at: usize| match (told.outside.contains(&at), told.absent.contains(&at)) {
        (true, _) => "; outside of this drawing",
        (_, true) => "; not shown in this view",
        _ => "",
    };
    let mut rows: Vec<[String; 4]> = scene.items.iter().enumerate().map(|(at, item)| row(scene, item, aside(at))).collect();
    for (thing, numbers) in &scene.elsewhere {
        rows.push([own_name(scene, thing), "not part of a drawing".into(), String::new(), listed(numbers)]);
    }
    let unsure = heading.unsure.iter().map(|why| format!("Not all judged: {why}."));
    let mut notes: Vec<String> = unsure.collect();
    // A drawing that rests on a made-up length has no scale; its first note tells what is made up.
    if told.scale != NO_SCALE {
        notes.push(format!("Scale {}; lengths between things that are given by points or measures are to scale.", told.scale));
    }
    if let (View::Plan, Some(sky)) = (view, &scene.sky) {
        notes.push(compass::words(sky).join(". ") + ".");
    }
    notes.extend(scene.left_out.iter().chain(&told.notes).chain(&told.details).cloned());
    let used: Vec<usize> =
        scene.items.iter().flat_map(|item| item.findings.iter()).chain(scene.elsewhere.iter().flat_map(|(_, all)| all)).copied().collect();
    let own = heading.findings.iter().filter(|(number, ..)| used.contains(number));
    let findings = own.map(|(number, verdict, words)| format!("{number} {verdict}: {words}")).collect();
    Twin { caption: title.to_string(), rows, notes, findings }
}

/// A thing without the gate's own name before it.
fn own_name(scene: &Scene, thing: &str) -> String {
    thing.strip_prefix(&format!("{} / ", scene.gate)).unwrap_or(thing).to_string()
}

fn row(scene: &Scene, item: &Item, aside: &str) -> [String; 4] {
    let mut drawn = item.drawn.clone() + aside;
    for guess in &item.guessed {
        let _ = write!(drawn, "; {guess}");
    }
    let measures: Vec<String> = item.measures.iter().map(measure).collect();
    [own_name(scene, &item.thing), drawn, measures.join(", "), listed(&item.findings)]
}

/// A measure by its fact; one that follows from points says so.
fn measure(measure: &Measure) -> String {
    let fact = measure.fact.split_once('.').map_or(measure.fact.as_str(), |(_, fact)| fact);
    let from = if measure.follows { " (from the points)" } else { "" };
    format!("{fact} {}{from}", measure.written)
}

fn listed(numbers: &[usize]) -> String {
    numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ")
}

impl Twin {
    /// The twin as parts of a document: the table, then its notes and findings.
    pub fn blocks(&self) -> Vec<Block> {
        let headings = HEADINGS.iter().map(|heading| (*heading).to_string()).collect();
        let cell = |text: &String| words(if text.is_empty() { "none".to_string() } else { text.clone() });
        let rows = self.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
        let mut blocks = vec![Block::Table(self.caption.clone(), headings, rows)];
        blocks.extend(self.notes.iter().map(|note| Block::Paragraph(words(note.clone()))));
        if !self.findings.is_empty() {
            blocks.push(Block::Points(self.findings.iter().map(|finding| (words(finding.clone()), Vec::new())).collect()));
        }
        blocks
    }

    /// The twin as text for a terminal.
    pub fn text(&self) -> String {
        let mut out = format!("{}\n", visible(&self.caption));
        for [thing, drawn, measures, findings] in &self.rows {
            out.push('\n');
            field(&mut out, "  ", thing);
            for (name, text) in [("drawn", drawn), ("measures", measures), ("findings", findings)] {
                if !text.is_empty() {
                    field(&mut out, &format!("    {name:<10}"), text);
                }
            }
        }
        out.push('\n');
        self.notes.iter().for_each(|note| field(&mut out, "  ", note));
        if !self.findings.is_empty() {
            out.push_str("\n  findings\n");
            self.findings.iter().for_each(|finding| field(&mut out, "    ", finding));
        }
        out
    }
}

/// A text in lines of at most so many columns, the later ones set in as far as the first.
fn field(out: &mut String, before: &str, text: &str) {
    let text = visible(text);
    let room = WIDE - before.chars().count();
    let mut line = String::new();
    let mut first = true;
    let mut flush = |line: &mut String| {
        let blank = " ".repeat(before.chars().count());
        let _ = writeln!(out, "{}{line}", if first { before } else { &blank });
        first = false;
        line.clear();
    };
    for word in text.split(' ') {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
            flush(&mut line);
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    flush(&mut line);
}
