//! Draws a document as Markdown, with every sign that Markdown would obey written out. It must not know what it is about.

use super::document::{Block, Document, Line, Run, marked};
use super::escape::visible;
use super::page::Entry;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Whatever a file contains, as words of a Markdown line.
pub fn text(raw: &str) -> String {
    let mut result = String::with_capacity(raw.len() + 16);
    for c in visible(raw).chars() {
        // A list, a heading or a link could begin with any of these; escaped they are themselves.
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '&' | '~' | '#' | '$' | '@' | '!') {
            result.push('\\');
        }
        result.push(c);
    }
    // Addresses would become links by themselves.
    result.replace("://", "\\://").replace("www.", "www\\.")
}

/// Words as written in a rule file, within a line.
pub fn code(raw: &str) -> String {
    let seen = visible(raw);
    let fence = "`".repeat(longest_ticks(&seen) + 1);
    let pad = if seen.starts_with('`') || seen.ends_with('`') || seen.is_empty() { " " } else { "" };
    format!("{fence}{pad}{seen}{pad}{fence}")
}

fn longest_ticks(text: &str) -> usize {
    text.split(|c| c != '`').map(str::len).max().unwrap_or(0)
}

/// A whole document, with its contents.
pub fn document(document: &Document) -> String {
    let links = anchors(&document.blocks);
    let mut out = format!("# {}\n", text(&document.title));
    blocks(&mut out, &document.lead, &anchors(&document.blocks), "");
    let contents = document.contents();
    if !contents.is_empty() {
        out.push_str("\n## Contents\n\n");
        entries(&mut out, &contents, &links, 0);
    }
    blocks(&mut out, &document.blocks, &links, "");
    if !document.caution.is_empty() {
        let _ = write!(out, "\n---\n\n{}\n", line(&marked(&document.caution), &links));
    }
    out
}

/// The anchor that a viewer gives each heading, by the heading's id.
fn anchors(blocks: &[Block]) -> BTreeMap<String, String> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::from([("contents".to_string(), 1)]);
    let mut anchors = BTreeMap::new();
    for block in blocks {
        let Block::Heading(_, id, words, _) = block else { continue };
        let kept = words.to_lowercase().chars().filter(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ')).collect::<String>();
        let plain = kept.replace(' ', "-");
        let times = seen.entry(plain.clone()).or_insert(0);
        anchors.insert(id.clone(), if *times == 0 { plain } else { format!("{plain}-{times}") });
        *times += 1;
    }
    anchors
}

fn entries(out: &mut String, list: &[Entry], links: &BTreeMap<String, String>, depth: usize) {
    for entry in list {
        let anchor = links.get(&entry.id).map_or("", String::as_str);
        let _ = writeln!(out, "{:indent$}- [{}](#{anchor})", "", text(&entry.words), indent = depth * 2);
        entries(out, &entry.below, links, depth + 1);
    }
}

/// Blocks, each line after the first of a point indented by `indent`.
fn blocks(out: &mut String, list: &[Block], links: &BTreeMap<String, String>, indent: &str) {
    for block in list {
        match block {
            Block::Heading(level, _, words, _) => {
                let _ = write!(out, "\n{} {}\n", "#".repeat(usize::from(*level)), text(words));
            }
            Block::Paragraph(words) => {
                let _ = write!(out, "\n{indent}{}\n", line(words, links));
            }
            Block::Written(text) => written(out, text, indent),
            Block::Points(points) => {
                out.push('\n');
                for (label, said) in points {
                    let _ = writeln!(out, "{indent}- {}", line(label, links));
                    blocks(out, said, links, &format!("{indent}  "));
                    if !said.is_empty() {
                        out.push('\n');
                    }
                }
                out.truncate(out.trim_end_matches('\n').len());
                out.push('\n');
            }
            Block::Table(caption, headings, rows) => table(out, caption, headings, rows, links),
            Block::Ledger(ledger) => table(out, &ledger.caption, &ledger.heads, &ledger.flat(), links),
            Block::Folded(words, inner) | Block::Aside(words, inner) => {
                let _ = write!(out, "\n{indent}{}\n", line(&[Run::Plain(words.clone())], links));
                blocks(out, inner, links, indent);
            }
            Block::Boxed(_, inner) => blocks(out, inner, links, indent),
            Block::Facts(facts) => {
                out.push('\n');
                facts.iter().for_each(|(name, said)| {
                    let _ = writeln!(out, "{indent}- {}: {}", text(name), line(said, links));
                });
            }
            Block::Blanks(places) => places.iter().for_each(|place| {
                let _ = write!(out, "\n{indent}{}: ……\n", text(place));
            }),
            Block::Drawn(drawn) => {
                let _ = write!(out, "\n{indent}{}\n", text(&drawn.title));
                blocks(out, &drawn.twin, links, indent);
            }
        }
    }
}

fn written(out: &mut String, text: &str, indent: &str) {
    let fence = "`".repeat(longest_ticks(text).max(2) + 1);
    let _ = write!(out, "\n{indent}{fence}\n");
    for line in text.split('\n') {
        let _ = writeln!(out, "{indent}{}", visible(line.trim_end_matches('\r')));
    }
    let _ = writeln!(out, "{indent}{fence}");
}

fn table(out: &mut String, caption: &str, headings: &[String], rows: &[Vec<Line>], links: &BTreeMap<String, String>) {
    if !caption.is_empty() {
        let _ = write!(out, "\n{}\n", text(caption));
    }
    let heads: Vec<String> = headings.iter().map(|heading| text(heading)).collect();
    let _ = write!(out, "\n| {} |\n|{}\n", heads.join(" | "), " --- |".repeat(headings.len()));
    for row in rows {
        let cells: Vec<String> = row.iter().map(|cell| line(cell, links).replace('\n', " ")).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
}

fn line(line: &[Run], links: &BTreeMap<String, String>) -> String {
    let mut out = String::new();
    for run in line {
        match run {
            Run::Plain(words) => out.push_str(&text(words)),
            Run::Strong(words) | Run::Verdict(_, words) => out.push_str(&format!("**{}**", text(words))),
            Run::Beside(_, words) => out.push_str(&text(words)),
            // Within a table a bar would end the cell even in code; the escape is taken out by the viewer.
            Run::Code(words) => out.push_str(&code(words).replace('|', "\\|")),
            Run::Link(id, words) => match links.get(id) {
                Some(anchor) => out.push_str(&format!("[{}](#{anchor})", text(words))),
                None => out.push_str(&text(words)),
            },
        }
    }
    // A line that begins like a list or a numbered point would become one.
    let marks = out.starts_with(['-', '+', '=']);
    let number = out.find(|c: char| !c.is_ascii_digit()).filter(|at| *at > 0 && out[*at..].starts_with(['.', ')']));
    match number {
        _ if marks => format!("\\{out}"),
        Some(at) => format!("{}\\{}", &out[..at], &out[at..]),
        None => out,
    }
}
