//! A document as a tree: headings, paragraphs, labelled points, tables, words as written. One document is drawn as HTML and
//! as Markdown. It must not know what it is about.

use super::blocks::{self, Drawn, Ledger};
use super::markdown;
use super::page::{self, Entry, Page};
use crate::judge::rank::Rank;
use std::fmt::Write;

/// A part of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Run {
    /// Words.
    Plain(String),
    /// Words that weigh more.
    Strong(String),
    /// Words of a rule file, as written there.
    Code(String),
    /// Words that lead to a heading of the document, by its id.
    Link(String, String),
    /// Words that lead to another file beside the page, by its name.
    Beside(String, String),
    /// A verdict, by its rank and its word.
    Verdict(Rank, String),
}

impl Run {
    /// Words.
    pub fn plain(words: impl Into<String>) -> Run {
        Run::Plain(words.into())
    }

    /// Its words, without what is made of them.
    pub fn words(&self) -> &str {
        match self {
            Run::Plain(words)
            | Run::Strong(words)
            | Run::Code(words)
            | Run::Link(_, words)
            | Run::Beside(_, words)
            | Run::Verdict(_, words) => words,
        }
    }

    fn is_empty(&self) -> bool {
        self.words().is_empty()
    }
}

/// Words in a line.
pub type Line = Vec<Run>;

/// A line of nothing but words.
pub fn words(text: impl Into<String>) -> Line {
    vec![Run::Plain(text.into())]
}

/// Words of which some stand between back-ticks, as words of a rule file do within a sentence.
pub fn marked(text: &str) -> Line {
    let pieces: Vec<&str> = text.split('`').collect();
    // A tick without its twin is a tick.
    if pieces.len().is_multiple_of(2) {
        return words(text);
    }
    let runs = pieces.into_iter().enumerate().filter(|(_, piece)| !piece.is_empty());
    runs.map(|(at, piece)| if at % 2 == 1 { Run::Code(piece.to_string()) } else { Run::plain(piece) }).collect()
}

/// A part of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A heading of a level from 2 on, with the id by which links find it, the words, and whether the contents list it.
    Heading(u8, String, String, bool),
    /// A paragraph.
    Paragraph(Line),
    /// Points, each with what it is called and what is said of it.
    Points(Vec<(Line, Vec<Block>)>),
    /// Words of a rule file on lines of their own.
    Written(String),
    /// A table: what it shows, its headings, its rows.
    Table(String, Vec<String>, Vec<Vec<Line>>),
    /// A table whose rows stand in groups, and which a narrow page stacks.
    Ledger(Ledger),
    /// What is folded away on a screen under a line, and spread out on paper.
    Folded(String, Vec<Block>),
    /// What is folded away on a screen and stands in another form on paper.
    Aside(String, Vec<Block>),
    /// What stands in a frame, such as the answer that everybody looks for first: the kind of frame, and what is in it.
    Boxed(&'static str, Vec<Block>),
    /// Facts side by side, each with its name.
    Facts(Vec<(String, Line)>),
    /// Places to be filled in by hand, each with what belongs there.
    Blanks(Vec<String>),
    /// A drawing with its text twin.
    Drawn(Drawn),
}

/// A document.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What stands before the contents, such as an answer that must be seen first.
    pub lead: Vec<Block>,
    /// Its parts, in order.
    pub blocks: Vec<Block>,
    /// What it ends with.
    pub caution: String,
    /// What ties each printed page to its file; letters, digits, blanks and `-.,/:`.
    pub seal: String,
}

impl Document {
    /// Adds a heading that the contents list.
    pub fn heading(&mut self, level: u8, id: impl Into<String>, text: impl Into<String>) {
        self.blocks.push(Block::Heading(level, id.into(), text.into(), true));
    }

    /// Adds a paragraph.
    pub fn paragraph(&mut self, line: Line) {
        self.blocks.push(Block::Paragraph(line));
    }

    /// Adds a table, unless it has no rows.
    pub fn table(&mut self, caption: impl Into<String>, headings: &[&str], rows: Vec<Vec<Line>>) {
        if !rows.is_empty() {
            self.blocks.push(Block::Table(caption.into(), headings.iter().map(|text| (*text).to_string()).collect(), rows));
        }
    }

    /// The headings as contents: those of the third level below those of the second.
    pub fn contents(&self) -> Vec<Entry> {
        let mut contents: Vec<Entry> = Vec::new();
        for block in &self.blocks {
            let Block::Heading(level, id, text, true) = block else { continue };
            let entry = Entry { id: id.clone(), words: text.clone(), below: Vec::new() };
            match contents.last_mut() {
                Some(last) if *level > 2 => last.below.push(entry),
                _ => contents.push(entry),
            }
        }
        contents
    }

    /// The document as one HTML file.
    pub fn html(&self) -> String {
        let (mut lead, mut body) = (String::new(), String::new());
        html_blocks(&mut lead, &self.lead);
        html_blocks(&mut body, &self.blocks);
        let (title, caution, seal) = (self.title.clone(), self.caution.clone(), self.seal.clone());
        let style = blocks::style(&self.lead, &self.blocks);
        Page { title, lead, contents: self.contents(), body, caution, style, seal, ..Page::default() }.html()
    }

    /// The document as Markdown.
    pub fn markdown(&self) -> String {
        markdown::document(self)
    }
}

/// Blocks as HTML.
pub(super) fn html_blocks(html: &mut String, list: &[Block]) {
    for block in list {
        match block {
            Block::Heading(level, id, words, _) => {
                let _ = writeln!(html, "<h{level} id=\"{}\">{}</h{level}>", page::text(id), page::text(words));
            }
            Block::Paragraph(line) => {
                let _ = writeln!(html, "<p>{}</p>", html_line(line));
            }
            Block::Written(text) => {
                let _ = writeln!(html, "<pre>{}</pre>", page::lines(text));
            }
            Block::Points(points) if points.iter().all(|(_, said)| said.is_empty()) => {
                let items: String = points.iter().map(|(label, _)| format!("<li>{}</li>\n", html_line(label))).collect();
                let _ = write!(html, "<ul>\n{items}</ul>\n");
            }
            Block::Points(points) => {
                html.push_str("<dl>\n");
                for (label, said) in points {
                    let _ = write!(html, "<dt>{}</dt>\n<dd>\n", html_line(label));
                    html_blocks(html, said);
                    html.push_str("</dd>\n");
                }
                html.push_str("</dl>\n");
            }
            Block::Table(caption, headings, rows) => html_table(html, caption, headings, rows),
            Block::Ledger(ledger) => blocks::ledger(html, ledger),
            Block::Folded(line, inner) => blocks::folded(html, line, inner),
            Block::Aside(line, inner) => blocks::aside(html, line, inner),
            Block::Boxed(kind, inner) => blocks::boxed(html, kind, inner),
            Block::Facts(facts) => blocks::facts(html, facts),
            Block::Blanks(places) => blocks::blanks(html, places),
            Block::Drawn(drawn) => blocks::drawn(html, drawn),
        }
    }
}

fn html_table(html: &mut String, caption: &str, headings: &[String], rows: &[Vec<Line>]) {
    let _ = write!(html, "<div class=\"rows stack\">\n<table>\n<caption>{}</caption>\n<thead>\n<tr>", page::text(caption));
    for heading in headings {
        let _ = write!(html, "<th scope=\"col\">{}</th>", page::text(heading));
    }
    html.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in rows {
        // On a narrow screen a row becomes a list, each cell behind the words of its heading.
        let cell = |(at, cell): (usize, &Line)| match headings.get(at).filter(|_| !cell.iter().all(Run::is_empty)) {
            Some(head) => format!("<td data-head=\"{}\"{}>{}</td>", page::text(head), blocks::fit(cell), html_line(cell)),
            None => "<td class=\"empty\"></td>".to_string(),
        };
        let cells: String = row.iter().enumerate().map(cell).collect();
        let _ = writeln!(html, "<tr>{cells}</tr>");
    }
    html.push_str("</tbody>\n</table>\n</div>\n");
}

/// A line as HTML.
pub(super) fn html_line(line: &[Run]) -> String {
    line.iter()
        .map(|run| match run {
            Run::Plain(words) => page::text(words),
            Run::Strong(words) => format!("<strong>{}</strong>", page::text(words)),
            Run::Code(words) => format!("<code>{}</code>", page::text(words)),
            Run::Link(id, words) => format!("<a href=\"#{}\">{}</a>", page::text(id), page::text(words)),
            Run::Beside(file, words) => format!("<a href=\"{}\">{}</a>", page::text(file), page::text(words)),
            Run::Verdict(rank, word) => format!("<span class=\"verdict v{}\">{}</span>", *rank as usize, page::text(word)),
        })
        .collect()
}
