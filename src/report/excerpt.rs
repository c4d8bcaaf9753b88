//! Draws places in files with miette: our own source reader with a line index, safe text and cut lines, and a theme of our
//! own. It must not know what a finding is.

use super::escape::{is_unsafe, same_length, short, visible};
use super::wrap::WIDTH;
use crate::source::{Files, Source, Span};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, Severity, SourceCode, SourceSpan,
    SpanContents, ThemeCharacters, ThemeStyles,
};
use owo_colors::Style;
use std::borrow::Cow;
use std::fmt;

/// Longest line that is drawn, in bytes; a longer one is told in words.
const LONGEST_LINE: usize = 400;

/// A place with what is said of it.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Where.
    pub span: Span,
    /// What is said.
    pub says: String,
}

struct Lines<'a> {
    source: &'a Source,
    name: String,
    text: &'a str,
}

impl SourceCode for Lines<'_> {
    fn read_span<'b>(&'b self, span: &SourceSpan, before: usize, after: usize) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let starts = self.source.line_starts();
        let line_of = |offset: usize| starts.partition_point(|start| *start as usize <= offset).saturating_sub(1);
        let first = line_of(span.offset()).saturating_sub(before);
        let last = (line_of(span.offset() + span.len().saturating_sub(1)) + after).min(starts.len().saturating_sub(1));
        let start = starts.get(first).map_or(0, |start| *start as usize);
        let end = starts.get(last + 1).map_or(self.text.len(), |next| *next as usize);
        let data = self.text.get(start..end).ok_or(MietteError::OutOfBounds)?;
        // With no lines around it, miette asks for the place itself.
        let here = self.text.get(start..span.offset()).filter(|_| before + after == 0);
        let column = here.map_or(0, |part| part.chars().count());
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            data.as_bytes(),
            (start, end - start).into(),
            first,
            column,
            last - first + 1,
        )))
    }
}

struct Drawn<'a> {
    head: String,
    lines: Option<Lines<'a>>,
    marks: Vec<LabeledSpan>,
    severity: Severity,
}

impl fmt::Debug for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.head)
    }
}

impl fmt::Display for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.head)
    }
}

impl std::error::Error for Drawn<'_> {}

impl Diagnostic for Drawn<'_> {
    fn severity(&self) -> Option<Severity> {
        Some(self.severity)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.lines.as_ref().map(|lines| lines as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.marks.iter().cloned()))
    }
}

/// Our own look: a thin margin, the marked text underlined from above.
fn theme(colour: bool) -> GraphicalTheme {
    let characters = ThemeCharacters {
        error: "■".into(),
        warning: "□".into(),
        advice: "§".into(),
        vbar: '┊',
        vbar_break: '⋮',
        ltop: '┌',
        lbot: '└',
        underbar: '┬',
        underline: '▔',
        ..ThemeCharacters::unicode()
    };
    GraphicalTheme { characters, styles: if colour { styles() } else { ThemeStyles::none() } }
}

/// Weight tells what to put right; the one colour is that of the marked text.
fn styles() -> ThemeStyles {
    let plain = Style::new();
    ThemeStyles {
        error: plain.bold(),
        warning: plain,
        advice: plain,
        link: plain.underline(),
        linum: plain.dimmed(),
        highlights: vec![plain.magenta()],
        ..ThemeStyles::none()
    }
}

/// How heavy a block looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Something to put right.
    Heavy,
    /// Something to look at.
    Light,
    /// A place in a pack.
    Clause,
}

/// Draws one block: a heading and the marked places of one file.
pub fn draw(files: Files, weight: Weight, head: &str, marks: &[Mark], colour: bool) -> String {
    let severity = match weight {
        Weight::Heavy => Severity::Error,
        Weight::Light => Severity::Warning,
        Weight::Clause => Severity::Advice,
    };
    let mut drawn = Drawn { head: short(head, 400), lines: None, marks: Vec::new(), severity };
    let mut told = Vec::new();
    let source = marks.first().and_then(|mark| files.source(mark.span.file));
    if let (Some(source), Some(main)) = (source, marks.first()) {
        for mark in marks.iter().filter(|mark| mark.span.file == main.span.file) {
            if fits(source, mark.span) {
                drawn.marks.push(label(mark, std::ptr::eq(mark, main)));
            } else {
                told.push(mark);
            }
        }
        if !drawn.marks.is_empty() {
            drawn.lines = Some(Lines { source, name: visible(source.name()).into_owned(), text: source.shown(harmless) });
        }
    }
    let mut text = String::new();
    let handler = GraphicalReportHandler::new_themed(theme(colour))
        .with_links(false)
        .with_width(WIDTH)
        .with_context_lines(1)
        .with_wrap_lines(false)
        .with_cause_chain();
    if handler.render_report(&mut text, &drawn).is_err() {
        text = format!("  {}\n", drawn.head);
    }
    for mark in told {
        text.push_str(&in_words(files, mark));
    }
    text
}

fn harmless(text: &str) -> Option<String> {
    match same_length(text) {
        Cow::Borrowed(_) => None,
        Cow::Owned(text) => Some(text),
    }
}

fn label(mark: &Mark, main: bool) -> LabeledSpan {
    let (start, length) = (mark.span.start as usize, mark.span.range().len());
    let says = (!mark.says.is_empty()).then(|| short(&mark.says, 300));
    if main { LabeledSpan::new_primary_with_span(says, (start, length)) } else { LabeledSpan::new(says, start, length) }
}

/// Whether a place can be drawn: on lines that are not too long, and not over many of them.
fn fits(source: &Source, span: Span) -> bool {
    let (first, last) = (source.place(span.start as usize).line, source.place(span.end as usize).line);
    last - first < 12 && (first.saturating_sub(1)..=last + 1).all(|line| source.line(line).len() <= LONGEST_LINE)
}

/// A place that is too long to draw.
fn in_words(files: Files, mark: &Mark) -> String {
    let place = place_text(files, mark.span);
    format!("      at {place}: `{}` {}\n", short(files.text(mark.span), 60), visible(&mark.says))
}

/// `file:line:column`, safe to print.
pub fn place_text(files: Files, span: Span) -> String {
    match files.place(span) {
        Some((name, place)) => format!("{}:{}:{}", visible(name), place.line, place.column),
        None => String::new(),
    }
}

/// A text laid out under a word in the margin, wrapped; for the lines below a block.
pub fn under(word: &str, text: &str) -> String {
    beside(word, 9, text)
}

/// The same with a margin of another width, for words that are longer.
pub fn beside(word: &str, margin: usize, text: &str) -> String {
    let mut result = String::new();
    let margin = margin + 2;
    let mut line = format!("{:<margin$}", format!("  {word}"));
    let mut used = margin;
    for part in visible(text).split(' ') {
        let width = part.chars().filter(|c| !is_unsafe(*c)).count();
        if used + width + 1 > WIDTH && used > margin {
            result.push_str(line.trim_end());
            result.push('\n');
            line = " ".repeat(margin);
            used = margin;
        }
        line.push_str(part);
        line.push(' ');
        used += width + 1;
    }
    result.push_str(line.trim_end());
    result.push('\n');
    result
}
