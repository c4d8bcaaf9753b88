//! The calculations as one self-contained page that prints on A4 and Letter: headings, lists of labels, tables with headings.
//! It must not know what is shown.

use super::Document;
use super::sheet::{Block, Sheet, sheet};
use crate::report::page::{Entry, Page, text as escaped};
use std::fmt::Write;

/// Styles of this report beside those of every page.
const STYLE: &str = "\
dl.calc { display: grid; grid-template-columns: 6rem 1fr; gap: 0.1rem 0.8rem; }
dl.calc dt { margin: 0; }
dl.calc dd { margin: 0; overflow-wrap: anywhere; }
.step { margin-left: 1rem; }
.result { font-weight: 600; }
@page { margin: 10mm 9mm 12mm; }
@media print {
  nav { display: none; }
  main { columns: 3; column-gap: 4mm; column-fill: auto; }
  body { font-size: 6pt; line-height: 1.14; }
  h1 { font-size: 12pt; margin: 0; }
  h2 { font-size: 7.2pt; margin: 0.35rem 0 0.1rem; padding-top: 0.1rem; border-top-width: 1px; }
  h3 { font-size: 6.4pt; margin: 0.15rem 0 0.05rem; }
  p, ul { margin: 0.15rem 0; }
  table { margin: 0.05rem 0; border-collapse: separate; border-spacing: 0; border: 0.5px solid #333; border-width: 0.5px 0 0 0.5px; }
  caption { padding: 0; font-weight: 400; }
  th, td { padding: 0.05rem 0.12rem; border-width: 0 0.5px 0.5px 0; min-width: 7mm; }
  thead th { border-bottom-width: 0.75px; }
  dl.calc { grid-template-columns: 2.5rem 1fr; gap: 0 0.2rem; margin: 0.05rem 0; }
  dl.calc dt { font-weight: 400; }
  .step { margin-left: 0.2rem; }
}
";

/// The document as a page.
pub fn html(document: &Document) -> String {
    let mut page = Page { style: STYLE, caution: document.caution.into(), ..Page::default() };
    let name = if document.title.is_empty() { &document.file } else { &document.title };
    page.title = format!("Calculations: {name}");
    let body = &mut page.body;
    let _ = writeln!(body, "<p>Job file {}, judged on {} by:</p>\n<ul>", escaped(&document.file), escaped(&document.today));
    for pack in &document.packs {
        let text = format!("{} {} [{}] in {}", pack.name, pack.edition, pack.hash, pack.place);
        let _ = writeln!(body, "<li>{}</li>", escaped(&text));
    }
    body.push_str("</ul>\n");
    for (at, calculation) in document.calculations.iter().enumerate() {
        let (id, sheet) = (format!("calculation-{}", at + 1), sheet(calculation));
        section(body, &id, &sheet);
        let words = format!("{} ({}), {}: {}", calculation.section, calculation.clause, calculation.thing, calculation.verdict);
        // The contents stand in groups, a section each; the calculations of one follow one another.
        let entry = |words| Entry { id: id.clone(), words, below: Vec::new() };
        match page.contents.last_mut() {
            Some(group) if group.words == calculation.section => group.below.push(entry(words)),
            _ => page.contents.push(Entry { below: vec![entry(words)], ..entry(calculation.section.clone()) }),
        }
    }
    page.html()
}

fn section(body: &mut String, id: &str, sheet: &Sheet) {
    let _ = writeln!(body, "<section>\n<h2 id=\"{id}\">{}</h2>", escaped(&sheet.heading));
    blocks(body, &sheet.opening);
    for (title, parts) in &sheet.steps {
        let _ = writeln!(body, "<div class=\"step\">\n<h3>{}</h3>", escaped(title));
        blocks(body, parts);
        body.push_str("</div>\n");
    }
    body.push_str("<h3>Outcome</h3>\n");
    blocks(body, &sheet.ending);
    body.push_str("</section>\n");
}

fn blocks(body: &mut String, blocks: &[Block]) {
    let mut listed = false;
    for block in blocks {
        match block {
            Block::Line(label, text) => {
                if !std::mem::replace(&mut listed, true) {
                    body.push_str("<dl class=\"calc\">\n");
                }
                // Every line of the page has a label of its own, for who hears it read.
                let label = if label.is_empty() { "that is" } else { *label };
                let class = if label == "result" { " class=\"result\"" } else { "" };
                let _ = writeln!(body, "<dt>{}</dt><dd{class}>{}</dd>", escaped(label), escaped(text));
            }
            Block::Table { caption, heads, rows, .. } => {
                if std::mem::take(&mut listed) {
                    body.push_str("</dl>\n");
                }
                table(body, caption, heads, rows);
            }
        }
    }
    if listed {
        body.push_str("</dl>\n");
    }
}

fn table(body: &mut String, caption: &str, heads: &[String], rows: &[Vec<String>]) {
    let _ = writeln!(body, "<div class=\"rows\">\n<table>\n<caption>{}</caption>\n<thead><tr>", escaped(caption));
    for head in heads {
        let _ = writeln!(body, "<th scope=\"col\">{}</th>", escaped(head));
    }
    body.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        body.push_str("<tr>");
        for (at, cell) in row.iter().enumerate() {
            let _ = match at {
                0 => write!(body, "<th scope=\"row\">{}</th>", escaped(cell)),
                _ => write!(body, "<td>{}</td>", escaped(cell)),
            };
        }
        body.push_str("</tr>\n");
    }
    body.push_str("</tbody>\n</table>\n</div>\n");
}
