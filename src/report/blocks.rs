//! Blocks of a document for pages that are handed over: tables in groups, folded lists, frames, places to fill in, drawings, and
//! their style. It must not know what a page is about.

use super::document::{Block, Line, html_blocks, html_line};
use super::page::text;
use std::fmt::Write;

/// A table whose rows stand in groups.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    /// What it shows.
    pub caption: String,
    /// Its headings.
    pub heads: Vec<String>,
    /// Its rows; the first cell of a row names it.
    pub groups: Vec<Group>,
    /// The ids by which links find its rows, in order; none where no link leads to them.
    pub ids: Vec<String>,
    /// How wide its columns are on paper and on a wide screen, in parts of a hundred; none where their words decide.
    pub widths: &'static [u8],
    /// Whether somebody is to write into its empty cells.
    pub room: bool,
}

/// Rows that belong together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Group {
    /// What they have in common; nothing where there is nothing to say.
    pub title: Line,
    /// The rows.
    pub rows: Vec<Vec<Line>>,
}

/// A drawing with its text twin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// What it shows.
    pub title: String,
    /// The drawing, as SVG whose texts have been escaped.
    pub svg: String,
    /// The same in words.
    pub twin: Vec<Block>,
}

impl Ledger {
    /// A table without groups.
    pub fn plain(caption: impl Into<String>, heads: &[&str], rows: Vec<Vec<Line>>) -> Ledger {
        let heads = heads.iter().map(|head| (*head).to_string()).collect();
        Ledger { caption: caption.into(), heads, groups: vec![Group { title: Line::new(), rows }], ..Ledger::default() }
    }

    /// Every row, those of a group below a row with its title.
    pub fn flat(&self) -> Vec<Vec<Line>> {
        let mut rows = Vec::new();
        for group in &self.groups {
            if !group.title.is_empty() {
                let rest = std::iter::repeat_n(Line::new(), self.heads.len().saturating_sub(1));
                rows.push(std::iter::once(group.title.clone()).chain(rest).collect());
            }
            rows.extend(group.rows.iter().cloned());
        }
        rows
    }
}

/// A table in groups.
pub(super) fn ledger(html: &mut String, ledger: &Ledger) {
    let _ =
        writeln!(html, "<table class=\"ledger{}\">\n<caption>{}</caption>", if ledger.room { " room" } else { "" }, text(&ledger.caption));
    if !ledger.widths.is_empty() {
        let columns: String = ledger.widths.iter().map(|width| format!("<col style=\"width:{width}%\">")).collect();
        let _ = writeln!(html, "<colgroup>{columns}</colgroup>");
    }
    html.push_str("<thead>\n<tr>");
    for head in &ledger.heads {
        let _ = write!(html, "<th scope=\"col\">{}</th>", text(head));
    }
    html.push_str("</tr>\n</thead>\n");
    let mut ids = ledger.ids.iter();
    for group in &ledger.groups {
        html.push_str("<tbody>\n");
        if !group.title.is_empty() {
            let columns = ledger.heads.len();
            let _ =
                writeln!(html, "<tr class=\"group\"><th scope=\"rowgroup\" colspan=\"{columns}\">{}</th></tr>", html_line(&group.title));
        }
        for row in &group.rows {
            let id = ids.next().map_or_else(String::new, |id| format!(" id=\"{}\"", text(id)));
            let _ = write!(html, "<tr{id}>");
            for (at, cell) in row.iter().enumerate() {
                let head = ledger.heads.get(at).map_or("", String::as_str);
                let _ = match (at, cell.is_empty()) {
                    (0, _) => write!(html, "<th scope=\"row\"{}>{}</th>", fit(cell), html_line(cell)),
                    (_, true) => write!(html, "<td class=\"empty\"></td>"),
                    _ => write!(html, "<td data-head=\"{}\"{}>{}</td>", text(head), fit(cell), html_line(cell)),
                };
            }
            html.push_str("</tr>\n");
        }
        html.push_str("</tbody>\n");
    }
    html.push_str("</table>\n");
}

/// Longest word that a column is made wide for, in characters.
const LONG_WORD: usize = 24;
/// Longest cell that is kept on one line, in characters: a date, a measure.
const WHOLE: usize = 13;

/// The class of a cell: one with a word so long that it must be broken anywhere, lest it make the table wider than its page, and one
/// so short that it is not broken at all.
pub(super) fn fit(cell: &Line) -> &'static str {
    let words: String = cell.iter().map(super::document::Run::words).collect();
    if words.split([' ', '-']).any(|word| word.chars().count() > LONG_WORD) {
        return " class=\"long\"";
    }
    if words.starts_with(|c: char| c.is_ascii_digit()) && words.chars().count() <= WHOLE { " class=\"whole\"" } else { "" }
}

/// What is folded away on a screen.
pub(super) fn folded(html: &mut String, line: &str, inner: &[Block]) {
    let _ = writeln!(html, "<details>\n<summary>{}</summary>", text(line));
    html_blocks(html, inner);
    html.push_str("</details>\n");
}

/// What is folded away on a screen and not printed.
pub(super) fn aside(html: &mut String, line: &str, inner: &[Block]) {
    let _ = writeln!(html, "<details class=\"aside\">\n<summary>{}</summary>", text(line));
    html_blocks(html, inner);
    html.push_str("</details>\n");
}

/// What stands in a frame.
pub(super) fn boxed(html: &mut String, kind: &str, inner: &[Block]) {
    let _ = writeln!(html, "<div class=\"frame {}\">", text(kind));
    html_blocks(html, inner);
    html.push_str("</div>\n");
}

/// Places to be filled in by hand.
pub(super) fn blanks(html: &mut String, places: &[String]) {
    html.push_str("<dl class=\"blanks\">\n");
    for place in places {
        let _ = writeln!(html, "<div><dt>{}</dt><dd><span class=\"unseen\">to be filled in by hand</span></dd></div>", text(place));
    }
    html.push_str("</dl>\n");
}

/// Facts side by side.
pub(super) fn facts(html: &mut String, facts: &[(String, Line)]) {
    html.push_str("<dl class=\"facts\">\n");
    for (name, said) in facts {
        let _ = writeln!(html, "<div><dt>{}</dt><dd>{}</dd></div>", text(name), html_line(said));
    }
    html.push_str("</dl>\n");
}

/// A drawing, with its twin below.
pub(super) fn drawn(html: &mut String, drawn: &Drawn) {
    let _ = writeln!(html, "<figure>\n{}\n<figcaption>{}</figcaption>\n</figure>", drawn.svg.trim_end(), text(&drawn.title));
    aside(html, &format!("{}, in words", drawn.title), &drawn.twin);
}

/// The style that these blocks need; none where a document has none of them.
pub(super) fn style(lead: &[Block], blocks: &[Block]) -> &'static str {
    let plain =
        |block: &Block| matches!(block, Block::Heading(..) | Block::Paragraph(_) | Block::Points(_) | Block::Written(_) | Block::Table(..));
    if lead.iter().chain(blocks).all(plain) { "" } else { STYLE }
}

/// Verdicts are told by their words; weight and frame only make the bad ones quicker to find, also in black and white.
const STYLE: &str = "\
body { max-width: 62rem; }
.frame { border: 2px solid #000; border-left-width: 14px; padding: 0.75rem 1.25rem; margin: 1rem 0; }
.frame p { margin: 0.5rem 0; }
.frame > p:first-child { font-size: 1.35rem; line-height: 1.3; font-weight: 700; }
.frame.ready { border-color: #14532d; }
.frame.not-ready { border-color: #8c1d18; border-left-style: double; }
.frame.unjudged { border-color: #333; border-style: dashed; }
.verdict { white-space: nowrap; display: inline-block; line-height: 1.25; margin: 0.05em 0 0.2em; }
.ledger a[href^=\"#finding\"], .frame a { white-space: nowrap; }
.v4, .v5, .v6, .v7 { font-weight: 700; border: 1px solid #000; padding: 0 0.3em; }
.v7 { border-width: 3px; }
.v6 { border-style: double; border-width: 3px; }
.v5 { border-style: dashed; }
table.ledger { font-size: 0.92rem; width: calc(100% - 2px); }
table.ledger th, table.ledger td { overflow-wrap: break-word; padding: 0.2rem 0.4rem; }
table.ledger .long { overflow-wrap: anywhere; }
table.ledger td:empty::before { content: none; }
table.ledger tbody { border-top: 2px solid #000; }
table.ledger tbody th { font-weight: 400; text-align: left; }
table.ledger tr.group th { background: #eee; font-weight: 400; }
table.ledger .whole { white-space: nowrap; }
table.room td.empty { height: 2.6rem; }
details { margin: 0.75rem 0; }
summary { font-weight: 600; padding: 0.3rem 0; cursor: pointer; }
summary:focus-visible { outline: 3px solid #0b3a8c; outline-offset: 2px; }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(17rem, 100%), 1fr)); gap: 0 2rem; font-size: 0.92rem; }
.facts div { display: flex; gap: 0.75rem; break-inside: avoid; border-bottom: 1px dotted #555; padding: 0.1rem 0; }
.facts dt { font-weight: 400; margin: 0; flex: 1 1 45%; overflow-wrap: anywhere; }
.facts dd { margin: 0; flex: 1 1 55%; font-weight: 600; overflow-wrap: anywhere; }
main nav { font-size: 0.92rem; }
main nav > ol { columns: 18rem; column-gap: 2rem; }
main nav li { break-inside: avoid; }
.blanks { display: grid; grid-template-columns: repeat(auto-fit, minmax(14rem, 1fr)); gap: 0 1.5rem; }
.blanks dt { font-weight: 400; font-size: 0.9rem; }
.blanks dd { margin: 0; height: 2.4rem; border-bottom: 1px solid #000; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
figure { margin: 1rem 0; }
figure svg { display: block; width: 100%; height: auto; }
figcaption { font-size: 0.9rem; }
@media screen and (max-width: 40rem) {
  table.ledger, table.ledger caption, table.ledger tbody, table.ledger tr, table.ledger th, table.ledger td { display: block; }
  table.ledger thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  table.ledger tr { border: 1px solid #333; border-top: 0; padding: 0.3rem 0.5rem; }
  table.ledger th, table.ledger td { border: 0; padding: 0.1rem 0; }
  table.ledger tbody tr:not(.group) th { font-weight: 600; }
  table.ledger td.empty { display: none; }
  table.ledger td::before { content: attr(data-head) \": \"; color: #333; }
}
@page { margin: 9mm 9mm 12mm; }
@media print {
  main nav { display: none; }
  body { font-size: 7.8pt; line-height: 1.25; }
  h1 { font-size: 14pt; margin: 0 0 0.4rem; }
  h2 { margin: 0.8rem 0 0.3rem; padding-top: 0.2rem; border-top-width: 2px; font-size: 11.5pt; }
  h3 { margin: 0.5rem 0 0.15rem; font-size: 9.2pt; }
  p, ul, dl { margin: 0.25rem 0; }
  .frame { margin: 0.4rem 0; padding: 0.4rem 0.8rem; }
  .frame > p:first-child { font-size: 12.5pt; }
  .facts dt, .blanks dt { break-after: auto; }
  .facts { grid-template-columns: repeat(4, minmax(0, 1fr)); gap: 0 0.8rem; font-size: 7.2pt; line-height: 1.18; }
  .facts div { gap: 0.4rem; padding: 0; }
  .blanks { grid-template-columns: repeat(4, 1fr); }
  .blanks dd { height: 1.7rem; }
  details { margin: 0.3rem 0; }
  details.aside { display: none; }
  details ul { columns: 3; column-gap: 1rem; font-size: 7.2pt; line-height: 1.18; }
  figure { margin: 0.3rem 0; }
  figcaption { font-size: 7.8pt; break-before: avoid; }
  h2 + p { break-after: avoid; }
  figure svg { max-height: 126mm; width: auto; max-width: 100%; margin: 0 auto; }
  table.ledger { font-size: 6.5pt; line-height: 1.12; margin: 0.2rem 0; border-collapse: separate; border-spacing: 0; border: 1px solid #333; border-width: 0 0 0 1px; }
  table.ledger th, table.ledger td { padding: 0.08rem 0.2rem 0.05rem; border-width: 0 1px 1px 0; }
  table.ledger thead th { border-top-width: 1px; border-bottom-width: 1.5px; }
  table.ledger tbody { border-top: 0; }
  table.ledger thead, table.ledger thead tr { break-after: avoid; }
  table.ledger tbody:first-of-type tr:first-child { break-before: avoid; }
  table.ledger tr.group { break-after: avoid; }
  details::details-content { content-visibility: visible; height: auto; block-size: auto; }
  summary { list-style: none; break-after: avoid; }
  summary::-webkit-details-marker { display: none; }
  .frame, figure, .blanks div { break-inside: avoid; }
  footer { margin-top: 0.6rem; }
}
";
