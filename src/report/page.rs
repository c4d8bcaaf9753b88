//! The frame of every HTML page that the program writes: escaping, the head, the style, the rules for print. It must not know
//! what a page is about.
//!
//! A page is one file that asks for nothing else: no script, no picture or font from elsewhere, and a policy in its head that
//! holds it to that even if some text should break out. It is black on white with system fonts; every colour has a contrast of
//! at least 7 to 1 on its ground. It prints on A4 and on Letter, since it sets margins and no paper.

use std::fmt::Write;

pub use super::escape::xml as text;

/// Several lines, such as an expression: their line feeds and blanks stay, everything else is text.
pub fn lines(raw: &str) -> String {
    raw.split('\n').map(|line| text(line.trim_end_matches('\r'))).collect::<Vec<_>>().join("\n")
}

/// An entry of a page's contents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The id of the heading that it leads to.
    pub id: String,
    /// Its words.
    pub words: String,
    /// Entries below it.
    pub below: Vec<Entry>,
}

/// A page to be written.
#[derive(Debug, Default)]
pub struct Page {
    /// Its title, as plain text.
    pub title: String,
    /// Its contents; without any there is no list.
    pub contents: Vec<Entry>,
    /// What stands before the contents, such as an answer that must be seen first: HTML that has been escaped.
    pub lead: String,
    /// What stands in it: HTML that has been escaped.
    pub body: String,
    /// What stands at its end on every page of the program, as plain text.
    pub caution: String,
    /// Style beyond the common one, such as the size of a drawing.
    pub style: &'static str,
    /// What ties each printed page to its file: letters, digits, blanks and `-.,/:`, nothing else is kept; none where it is not to be tied.
    pub seal: String,
    /// A script that makes the page handier and that it can do without; the page lets no other run.
    pub script: &'static str,
}

impl Page {
    /// The whole file.
    pub fn html(&self) -> String {
        let title = text(&self.title);
        let mut html = String::with_capacity(self.body.len() + 8192);
        html.push_str("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        let script = if self.script.is_empty() { String::new() } else { format!("; script-src 'sha256-{}'", digest_of(self.script)) };
        let policy = format!("default-src 'none'; style-src 'unsafe-inline'{script}");
        let _ = writeln!(html, "<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">");
        html.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        let _ = write!(html, "<title>{title}</title>\n<style>\n{STYLE}{}{}</style>\n</head>\n<body>\n", self.style, self.foot());
        html.push_str("<a class=\"skip\" href=\"#content\">Go to the text</a>\n");
        let _ = writeln!(html, "<header>\n<h1>{title}</h1>\n</header>");
        // A page that leads with something has its contents within the text, else before it.
        let led = !self.lead.is_empty();
        if led {
            let _ = write!(html, "<main id=\"content\">\n{}", self.lead);
        }
        if !self.contents.is_empty() {
            html.push_str("<nav aria-labelledby=\"contents\">\n<h2 id=\"contents\">Contents</h2>\n");
            entries(&mut html, &self.contents);
            html.push_str("</nav>\n");
        }
        let _ = writeln!(html, "{}{}</main>", if led { "" } else { "<main id=\"content\">\n" }, self.body);
        if !self.caution.is_empty() {
            let _ = write!(html, "<footer>\n<p>{}</p>\n</footer>\n", super::document::html_line(&super::document::marked(&self.caution)));
        }
        if !self.script.is_empty() {
            let _ = writeln!(html, "<script>{}</script>", self.script);
        }
        html.push_str("</body>\n</html>\n");
        html
    }

    /// The foot of each printed page: what ties it to its file, and its number.
    fn foot(&self) -> String {
        if self.seal.is_empty() {
            return String::new();
        }
        let seal: String = self.seal.chars().filter(|c| c.is_alphanumeric() || " -.,/:".contains(*c)).collect();
        let number = "\"page \" counter(page) \" of \" counter(pages)";
        format!(
            "@page {{ @bottom-left {{ content: \"{seal}\"; font: 8pt sans-serif; }} @bottom-right {{ content: {number}; font: 8pt sans-serif; }} }}\n"
        )
    }
}

/// The SHA-256 digest of a script in base 64, by which a page lets it run.
fn digest_of(script: &str) -> String {
    use sha2::{Digest, Sha256};
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let digest = Sha256::digest(script.as_bytes());
    let mut text = String::with_capacity(44);
    for three in digest.chunks(3) {
        let bits = three.iter().fold(0u32, |bits, byte| bits << 8 | u32::from(*byte)) << (8 * (3 - three.len()));
        for at in 0..4 {
            let sign = SIGNS[(bits >> (18 - 6 * at) & 63) as usize];
            text.push(if at <= three.len() { char::from(sign) } else { '=' });
        }
    }
    text
}

/// Most entries below another one that the contents spread out; more are folded, so that the text is not pushed off the screen.
const MOST_SPREAD: usize = 10;

fn entries(html: &mut String, list: &[Entry]) {
    html.push_str("<ol>\n");
    for entry in list {
        let _ = write!(html, "<li><a href=\"#{}\">{}</a>", text(&entry.id), text(&entry.words));
        if entry.below.len() > MOST_SPREAD {
            let _ = writeln!(html, "\n<details>\n<summary>{} parts</summary>", entry.below.len());
            entries(html, &entry.below);
            html.push_str("</details>\n");
        } else if !entry.below.is_empty() {
            html.push('\n');
            entries(html, &entry.below);
        }
        html.push_str("</li>\n");
    }
    html.push_str("</ol>\n");
}

/// The common style. Greys: #333 on white has a contrast of 12.6 to 1; the link's blue #0b3a8c has 10.6 to 1.
const STYLE: &str = "\
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem 1rem 3rem; max-width: 52rem; color: #000; background: #fff;
  font: 1rem/1.5 system-ui, sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.7rem; line-height: 1.2; }
h2 { font-size: 1.35rem; line-height: 1.25; margin: 2.5rem 0 0.75rem; border-top: 3px solid #000; padding-top: 0.5rem; }
h3 { font-size: 1.1rem; line-height: 1.3; margin: 1.75rem 0 0.5rem; }
h4 { font-size: 1rem; margin: 1rem 0 0.25rem; }
a { color: #0b3a8c; text-decoration: underline; }
a:focus-visible { outline: 3px solid #0b3a8c; outline-offset: 2px; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: 1rem; background: #fff; padding: 0.5rem; }
code, pre { font-family: ui-monospace, monospace; font-size: 0.92em; }
pre { margin: 0.25rem 0; padding: 0.4rem 0.6rem; border-left: 3px solid #333; white-space: pre-wrap; overflow-wrap: anywhere; }
dl { margin: 0.5rem 0; }
dt { font-weight: 600; margin-top: 0.5rem; }
dd { margin: 0 0 0 1.5rem; }
dd p, li p { margin: 0.25rem 0; }
.rows { overflow-x: auto; }
table { border-collapse: collapse; margin: 0.75rem 0; width: calc(100% - 2px); }
caption { text-align: left; font-weight: 600; padding-bottom: 0.25rem; }
th, td { border: 1px solid #333; padding: 0.25rem 0.5rem; text-align: left; vertical-align: top; overflow-wrap: anywhere; }
thead th { border-bottom-width: 3px; }
.stack th, .stack td { overflow-wrap: break-word; }
.stack .long { overflow-wrap: anywhere; }
.stack .whole { white-space: nowrap; }
nav ol { list-style: none; padding-left: 1.25rem; margin: 0.25rem 0; }
nav > ol { padding-left: 0; }
nav summary { cursor: pointer; }
nav a { display: inline-block; padding: 0.1rem 0; min-height: 24px; }
footer { margin-top: 3rem; border-top: 1px solid #333; color: #333; }
@media screen and (max-width: 40rem) {
  .stack table, .stack caption, .stack tbody, .stack tr, .stack td { display: block; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack tr { border: 1px solid #333; border-top: 0; padding: 0.3rem 0.5rem; }
  .stack tbody { border-top: 1px solid #333; }
  .stack td { border: 0; padding: 0.1rem 0; }
  .stack td.empty { display: none; }
  .stack td::before { content: attr(data-head) \": \"; color: #333; }
  .stack td:first-child { font-weight: 600; }
}
@page { margin: 18mm 16mm; }
@media print {
  nav details::details-content { content-visibility: visible; height: auto; block-size: auto; }
  nav summary { display: none; }
  body { max-width: none; padding: 0; font-size: 10pt; }
  .skip { display: none; }
  .rows { overflow: visible; }
  a { color: #000; }
  h2, h3, h4, dt, caption { break-after: avoid; }
  tr, pre, dt { break-inside: avoid; }
  tbody:first-of-type tr:first-child { break-before: avoid; }
  thead { display: table-header-group; }
  p, dd, li { orphans: 3; widows: 3; }
}
";
