//! What was printed, read back from the PDF: on A4 and on Letter every heading is there, every finding with its number and verdict, and the
//! hash that ties the paper to its files. Where pdftotext (of poppler-utils) is missing, it says so and passes.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The formats that `check.mjs` prints on.
const PAPERS: [&str; 2] = ["A4", "Letter"];

/// Most pages that these may take on A4: a sheet that nobody reads is none. The longest example and its calculations.
const CEILINGS: [(&str, usize); 2] = [("sheet-longest", 18), ("calcs-longest", 80)];

/// Holds the number of pages on A4 to its ceiling, where pdfinfo is at hand.
pub fn within_ceilings(pdfinfo: Option<PathBuf>, pages: &[(&str, bool, PathBuf)]) {
    let Some(pdfinfo) = pdfinfo else {
        println!("skipped: pdfinfo is not here, so pages are not counted");
        return;
    };
    for (name, most) in CEILINGS {
        let (.., file) = pages.iter().find(|(known, ..)| *known == name).expect("a page of that name");
        let mut pdf = file.clone().into_os_string();
        pdf.push(".A4.pdf");
        let done = Command::new(&pdfinfo).arg(&pdf).output().unwrap();
        let text = String::from_utf8(done.stdout).unwrap();
        let count: usize = text.lines().find_map(|line| line.strip_prefix("Pages:")).and_then(|count| count.trim().parse().ok()).unwrap();
        assert!(count > 2 && count < most, "{name} takes {count} pages of A4, not under {most}");
    }
}

/// Holds each printed page against its file.
pub fn reads_back(pdftotext: Option<PathBuf>, pages: &[(&str, bool, PathBuf)]) {
    let Some(pdftotext) = pdftotext else {
        println!("skipped: pdftotext is not here, so what was printed is not read back");
        return;
    };
    let mut findings = 0;
    for (name, page, file) in pages {
        if !page {
            continue;
        }
        let html = std::fs::read_to_string(file).unwrap();
        let wanted = wanted(&html);
        findings += wanted.iter().filter(|(what, _)| *what == "finding").count();
        for paper in PAPERS {
            let mut pdf = file.clone().into_os_string();
            pdf.push(format!(".{paper}.pdf"));
            let text = squeezed(&text_of(&pdftotext, Path::new(&pdf)));
            for (what, words) in &wanted {
                assert!(text.contains(&squeezed(words)), "{name} on {paper}: no {what} `{words}`");
            }
        }
    }
    assert!(findings > 20, "{findings}");
}

fn text_of(pdftotext: &Path, pdf: &Path) -> String {
    // In the order in which it was written: cell by cell.
    let done = Command::new(pdftotext).arg("-raw").arg(pdf).arg("-").output().unwrap();
    assert!(done.status.success(), "{}: {}", pdf.display(), String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

/// Without blanks and line ends, and with the letters that fonts join taken apart.
fn squeezed(text: &str) -> String {
    let apart = [('\u{fb00}', "ff"), ('\u{fb01}', "fi"), ('\u{fb02}', "fl"), ('\u{fb03}', "ffi"), ('\u{fb04}', "ffl")];
    let mut whole = text.to_string();
    for (joined, letters) in apart {
        whole = whole.replace(joined, letters);
    }
    whole.chars().filter(|c| !c.is_whitespace() && *c != '\u{ad}' && *c != '\u{c}').collect()
}

/// What must be on paper: headings but that of the contents, findings with number and verdict, the hash.
fn wanted(html: &str) -> Vec<(&'static str, String)> {
    let mut all = Vec::new();
    for level in ["h1", "h2", "h3"] {
        for part in html.split(&format!("<{level}")).skip(1).filter(|part| !part.starts_with(" id=\"contents\"")) {
            let inner = part.split_once('>').map_or("", |(_, rest)| rest);
            all.push(("heading", plain(inner.split(&format!("</{level}>")).next().unwrap_or(""))));
        }
    }
    for part in html.split("<tr id=\"finding-").skip(1) {
        let row = part.split_once('>').map_or("", |(_, rest)| rest).split("</tr>").next().unwrap_or("");
        let cells: Vec<String> = row.split("</t").take(2).map(plain).collect();
        assert!(cells[0].contains(part.split('"').next().unwrap()), "{row}");
        all.push(("finding", cells.iter().map(|cell| cell.trim_start_matches("h>").trim_start_matches("d>")).collect()));
    }
    if let Some((_, rest)) = html.split_once("SHA-256 over the job file") {
        let code = rest.split("<code>").nth(1).and_then(|rest| rest.split("</code>").next()).unwrap();
        all.push(("hash", plain(code)));
    }
    all
}

/// Text without its tags.
fn plain(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' if inside => inside = false,
            c if !inside => text.push(c),
            _ => {}
        }
    }
    for (sign, stands_for) in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")] {
        text = text.replace(sign, stands_for);
    }
    text
}

#[test]
fn what_is_wanted_is_found_in_a_page() {
    let page = "<h1>A &amp; B</h1><h2 id=\"contents\">Contents</h2><h2 id=\"x\">Open <code>it</code></h2>\
                <tr id=\"finding-1\"><th scope=\"row\"><strong>1</strong></th><td data-head=\"Verdict\"><span>not met</span> mandatory</td><td>x</td></tr>\
                <p>SHA-256 over the job file: <code>ab12 cd34</code></p>";
    let wanted: Vec<String> = wanted(page).into_iter().map(|(what, words)| format!("{what} {words}")).collect();
    assert_eq!(wanted, ["heading A & B", "heading Open it", "finding 1not met mandatory", "hash ab12 cd34"]);
    assert_eq!(squeezed("of\u{fb01}ce  no.\n 1"), "officeno.1");
}
