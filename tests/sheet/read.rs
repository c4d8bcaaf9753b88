//! Reads a page as a person would: its text, line by line, a row of a table on one line. Checks what every page must hold to.

/// Tags that end a line.
const BREAKS: [&str; 16] =
    ["p", "h1", "h2", "h3", "h4", "li", "tr", "caption", "summary", "dt", "dd", "figcaption", "title", "div", "header", "pre"];

/// A page as text; hashes are masked, since they change with every byte of a pack.
pub fn read(html: &str) -> String {
    let body = html.split_once("<body>").map_or(html, |(_, body)| body);
    let (mut text, mut rest) = (String::new(), body);
    while let Some(at) = rest.find('<') {
        text.push_str(&rest[..at].replace('\n', " "));
        let end = rest[at..].find('>').map_or(rest.len(), |end| at + end + 1);
        let tag = rest[at..end].trim_matches(['<', '>']);
        let name = tag.trim_start_matches('/').split([' ', '>']).next().unwrap_or("");
        match (name, tag.starts_with('/')) {
            ("h1", false) => text.push_str("\n# "),
            ("h2", false) => text.push_str("\n## "),
            ("h3", false) => text.push_str("\n### "),
            ("li", false) => text.push_str("- "),
            ("td" | "th", true) => text.push_str(" | "),
            ("dt", true) => text.push_str(": "),
            ("svg", false) => {
                rest = rest[end..].split_once("</svg>").map_or("", |(_, after)| after);
                continue;
            }
            (name, true) if BREAKS.contains(&name) && name != "dt" => text.push('\n'),
            _ => {}
        }
        rest = &rest[end..];
    }
    text.push_str(rest);
    let plain = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&");
    let lines = plain.lines().map(|line| masked(line.split_whitespace().collect::<Vec<_>>().join(" ").trim_end_matches(" |")));
    let mut kept = String::new();
    for line in lines.filter(|line| !line.is_empty() && line != "|") {
        kept.push_str(if line.starts_with('#') { "\n" } else { "" });
        kept.push_str(&line);
        kept.push('\n');
    }
    kept
}

fn masked(line: &str) -> String {
    let is_hex = |word: &str| word.chars().all(|c| c.is_ascii_hexdigit());
    let words: Vec<&str> = line.split(' ').collect();
    let masked = words.iter().map(|word| match word.trim_end_matches([',', '.']).len() {
        12.. if is_hex(word) => "HASH",
        4 if is_hex(word.trim_end_matches([',', '.'])) && words.iter().filter(|other| other.len() == 4 && is_hex(other)).count() >= 8 => {
            "HASH"
        }
        _ => word,
    });
    masked.collect::<Vec<_>>().join(" ").replace(concat!("pintle ", env!("CARGO_PKG_VERSION")), "pintle VERSION")
}

/// Every tag is closed in order; text holds no bare sign of HTML.
pub fn balanced(html: &str) {
    const VOID: [&str; 6] = ["meta", "br", "wbr", "input", "col", "!doctype"];
    let without_style = html.split("<style>").enumerate().map(|(at, part)| {
        if at == 0 { part.to_string() } else { format!("<style>{}", part.split_once("</style>").map_or("", |(_, rest)| rest)) }
    });
    let html: String = without_style.collect::<String>().replace("<style>", "");
    let mut open: Vec<&str> = Vec::new();
    for part in html.split('<').skip(1) {
        let tag = part.split('>').next().unwrap();
        let name = tag.trim_start_matches('/').split([' ', '\n', '/']).next().unwrap();
        if VOID.contains(&name) || tag.ends_with('/') {
            continue;
        }
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closed out of order near `{}`", part.chars().take(120).collect::<String>());
        } else {
            assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "a strange tag: {name}");
            open.push(name);
        }
    }
    assert!(open.is_empty(), "not closed: {open:?}");
}

/// One first heading, no level left out, every link within the page leads somewhere, every id once, captions and scopes on tables.
pub fn accessible(html: &str) {
    assert!(html.contains("<html lang=\"en\">") && html.contains("<main") && html.contains("<title>"));
    assert_eq!(html.matches("<h1").count(), 1);
    let mut level = 1;
    for part in html.split("<h").skip(1) {
        let Some(next) = part.chars().next().and_then(|c| c.to_digit(10)) else { continue };
        assert!(next <= level + 1, "from h{level} to h{next}: {}", part.chars().take(80).collect::<String>());
        level = next;
    }
    let mut ids: Vec<&str> = html.split(" id=\"").skip(1).map(|part| part.split('"').next().unwrap()).collect();
    for link in html.split("href=\"#").skip(1).map(|part| part.split('"').next().unwrap()) {
        assert!(ids.contains(&link), "no place `{link}`");
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id stands twice");
    for table in html.split("<table").skip(1) {
        let table = table.split("</table>").next().unwrap();
        assert!(table.contains("<caption>") && table.contains("scope=\"col\""), "{}", table.chars().take(200).collect::<String>());
    }
}
