//! Sections of a printed code: what they apply to, their clauses and exceptions, what was amended and what stays in force as a
//! minimum. It must not know other items.

use super::super::document::{Block, Document, Line, Run, marked, words};
use super::{Printing, said};
use crate::language::adopt::{Reading, except_label, label_of};
use crate::language::tree::{Except, Norm, Section};
use crate::source::Span;

type Point = (Line, Vec<Block>);

impl Printing<'_> {
    /// A section with everything that is to be known of it.
    pub(super) fn section(&self, document: &mut Document, reading: &Reading) {
        let section = &reading.section;
        let id = format!("{}/{}", reading.pack, section.name.text);
        let number = self.number(&reading.pack, section.clauses.norms.iter().flat_map(|norm| &norm.cites));
        document.heading(3, id.clone(), format!("{number}{id}: {}", said(section.title.as_ref())));
        if !reading.amended_by.is_empty() {
            let mut by = reading.amended_by.clone();
            by.dedup();
            document.paragraph(words(format!("Written by {}, amended by {}.", reading.pack, by.join(", "))));
        }
        let mut points = self.scope(reading);
        let original = self.original(reading);
        for (at, norm) in section.clauses.norms.iter().enumerate() {
            points.push(self.norm(reading, original, norm, at));
        }
        points.extend(section.clauses.excepts.iter().enumerate().map(|(at, except)| self.except(except, at, section.name.span)));
        points.extend(self.repealed(reading, original));
        points.extend(self.minimum(reading, &id));
        document.blocks.push(Block::Points(points));
    }

    /// The section as its own pack wrote it.
    fn original(&self, reading: &Reading) -> Option<&Section> {
        let pack = self.code.packs.iter().find(|pack| pack.name() == reading.pack)?;
        pack.sections.iter().find(|section| section.name.text == reading.section.name.text)
    }

    /// What it applies to, when, and the values that it names.
    fn scope(&self, reading: &Reading) -> Vec<Point> {
        let clauses = &reading.section.clauses;
        let home = reading.section.name.span;
        let mut points = Vec::new();
        if let (Some(first), Some(last)) = (clauses.applies.first(), clauses.applies.last()) {
            let label = self.label("Applies to", first.span, home);
            points.push((label, vec![Block::Written(self.written(first.span.to(last.span)))]));
        }
        if let Some(force) = &clauses.force {
            points.push((self.label("When", force.span, home), vec![Block::Written(self.written(force.span))]));
        }
        for named in &clauses.lets {
            let label = self.label(&format!("{} is", named.name.text), named.value.span, home);
            points.push((label, vec![Block::Written(self.written(named.value.span))]));
        }
        points
    }

    /// What a part is called, with the pack that amended it.
    fn label(&self, called: &str, part: Span, section: Span) -> Line {
        let mut line = vec![Run::Strong(called.to_string())];
        let (pack, own) = (self.pack_of(part), self.pack_of(section));
        if pack != own {
            line.push(Run::Plain(format!(" (as amended by {pack})")));
        }
        line
    }

    fn norm(&self, reading: &Reading, original: Option<&Section>, norm: &Norm, at: usize) -> Point {
        let letter = label_of(norm.label.as_ref(), at);
        let pack = reading.norm_packs.get(at).map_or(reading.pack.as_str(), String::as_str);
        let former = original.and_then(|section| clause_of(section, &letter)).filter(|_| pack != reading.pack);
        let mut label = vec![Run::Strong(format!("({letter}) {}", norm.modal.word()))];
        if pack != reading.pack {
            let what = if former.is_some() { "as amended by" } else { "added by" };
            label.push(Run::Plain(format!(" ({what} {pack})")));
        }
        let mut said = vec![Block::Written(self.demand(norm)), Block::Paragraph(self.cited(&norm.cites))];
        if let Some(remedy) = &norm.remedy {
            said.push(Block::Paragraph([vec![Run::Strong("Remedy:".into()), Run::plain(" ")], marked(&remedy.text)].concat()));
        }
        if let Some(former) = former {
            said.push(Block::Paragraph(vec![
                Run::Strong("In place of:".into()),
                Run::plain(" "),
                Run::Code(one_line(&self.demand(former))),
            ]));
        }
        (label, said)
    }

    /// What a clause demands, without its modal word and letter.
    pub(super) fn demand(&self, norm: &Norm) -> String {
        let whole = self.written(norm.span);
        let own = norm.label.as_ref().filter(|label| label.span.file == norm.span.file && label.span.start < norm.body.span.start);
        let rest = whole.strip_prefix(norm.modal.word()).unwrap_or(&whole);
        let rest = own.and_then(|label| rest.trim_start().strip_prefix(label.text.as_str())).unwrap_or(rest).trim_start();
        // The lines after the first stood below the words that have been taken off.
        self.dedented(rest, whole.len() - rest.len())
    }

    fn except(&self, except: &Except, at: usize, section: Span) -> Point {
        let called = format!("Exception ({}): {}", except_label(except, at), except.text.text);
        let label = self.label(&called, except.span, section);
        let after = Span { start: except.text.span.end, ..except.span };
        let whole = self.written(after);
        let condition = whole.trim_start();
        let inner: Vec<&str> = condition.lines().map(str::trim).collect();
        (label, vec![Block::Written(inner.join("\n"))])
    }

    /// Clauses and exceptions of the original that the code has not any more.
    fn repealed(&self, reading: &Reading, original: Option<&Section>) -> Vec<Point> {
        let Some(original) = original else { return Vec::new() };
        let clauses = &reading.section.clauses;
        let mut gone = Vec::new();
        for (at, norm) in original.clauses.norms.iter().enumerate() {
            let letter = label_of(norm.label.as_ref(), at);
            if clause_of(&reading.section, &letter).is_none() {
                gone.push((format!("({letter}) repealed"), self.demand(norm)));
            }
        }
        for (at, except) in original.clauses.excepts.iter().enumerate() {
            let number = except_label(except, at);
            if !clauses.excepts.iter().enumerate().any(|(at, other)| except_label(other, at) == number) {
                gone.push((format!("Exception ({number}) repealed"), except.text.text.clone()));
            }
        }
        gone.into_iter()
            .map(|(called, text)| (vec![Run::Strong(called)], vec![Block::Paragraph(vec![Run::Code(one_line(&text))])]))
            .collect()
    }

    /// The text that stays in force beside it as a minimum, where it reads otherwise.
    fn minimum(&self, reading: &Reading, id: &str) -> Vec<Point> {
        let mut points = Vec::new();
        for floor in self.floors {
            let pack = floor.packs.last().map_or("", |pack| pack.name());
            let same = |other: &&Reading| format!("{}/{}", other.pack, other.section.name.text) == id;
            let Some(lower) = floor.sections.iter().find(same).filter(|lower| self.differ(lower, reading)) else { continue };
            let label = vec![
                Run::Strong(format!("Minimum of {pack}")),
                Run::plain(": this text stays in force beside it, and the worse verdict stands"),
            ];
            let said = lower.section.clauses.norms.iter().enumerate().map(|(at, norm)| {
                let letter = label_of(norm.label.as_ref(), at);
                let line = vec![Run::Plain(format!("({letter}) {} ", norm.modal.word())), Run::Code(one_line(&self.demand(norm)))];
                Block::Paragraph(line)
            });
            points.push((label, said.collect()));
        }
        points
    }

    fn differ(&self, lower: &Reading, reading: &Reading) -> bool {
        let (one, other) = (&lower.section.clauses, &reading.section.clauses);
        let spans = |clauses: &crate::language::tree::Clauses| -> Vec<Span> {
            let norms = clauses.norms.iter().map(|norm| norm.span);
            let excepts = clauses.excepts.iter().map(|except| except.span);
            let lets = clauses.lets.iter().map(|named| named.value.span);
            norms.chain(excepts).chain(lets).chain(clauses.applies.iter().map(|binder| binder.span)).collect()
        };
        spans(one) != spans(other)
    }
}

/// The clause of that letter.
fn clause_of<'s>(section: &'s Section, letter: &str) -> Option<&'s Norm> {
    let norms = section.clauses.norms.iter().enumerate();
    norms.into_iter().find(|(at, norm)| label_of(norm.label.as_ref(), *at) == letter).map(|(_, norm)| norm)
}

/// Several lines as one, without the comments among them.
pub(super) fn one_line(text: &str) -> String {
    let kept = text.lines().map(|line| {
        let note = line.char_indices().find(|(at, c)| *c == '#' && line[..*at].matches('"').count().is_multiple_of(2));
        note.map_or(line, |(at, _)| &line[..at]).trim()
    });
    let kept: Vec<&str> = kept.flat_map(|line| line.split(' ')).filter(|word| !word.is_empty()).collect();
    kept.join(" ")
}
