//! Makes text from files harmless for terminals and logs. It must not know where the text goes on the page.

use std::borrow::Cow;

/// Whether a character could change how a terminal or a reader takes what follows: controls, and marks that turn the
/// direction of writing or take no room.
pub fn is_unsafe(c: char) -> bool {
    if c.is_ascii() {
        return c.is_ascii_control();
    }
    let turns = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{061c}');
    let unseen =
        matches!(c, '\u{200b}'..='\u{200d}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{2028}' | '\u{2029}' | '\u{ad}' | '\u{180e}');
    let filler = matches!(c, '\u{fff9}'..='\u{fffb}' | '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}' | '\u{e0000}'..='\u{e0fff}');
    c.is_control() || turns || unseen || filler
}

/// Whether every byte is a printable one of ASCII: most texts are, and it is quickly asked.
fn is_plain(text: &str) -> bool {
    text.bytes().all(|byte| matches!(byte, b' '..=b'~'))
}

/// What build servers take as an order to themselves wherever it stands in a log.
const ORDERS: [&str; 2] = ["##[", "##vso["];

/// Whether an order to a build server begins here.
pub fn is_order(text: &str) -> bool {
    ORDERS.iter().any(|order| text.starts_with(order))
}

/// The text with every unsafe character written out, as in `\x1b`, and with nothing in it that a build server that keeps the log would
/// obey: two colons can begin such a line wherever a text is broken into lines.
pub fn visible(text: &str) -> Cow<'_, str> {
    if (is_plain(text) || !text.chars().any(is_unsafe)) && !text.contains("::") && !text.contains("##") {
        return Cow::Borrowed(text);
    }
    let mut result = String::with_capacity(text.len() + 16);
    for (at, c) in text.char_indices() {
        match c {
            ':' if text[at + 1..].starts_with(':') => result.push_str("\\x3a"),
            '#' if is_order(&text[at..]) => result.push_str("\\x23"),
            '\n' => result.push_str("\\n"),
            '\r' => result.push_str("\\r"),
            '\t' => result.push_str("\\t"),
            c if is_unsafe(c) && u32::from(c) < 256 => result.push_str(&format!("\\x{:02x}", u32::from(c))),
            c if is_unsafe(c) => result.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => result.push(c),
        }
    }
    Cow::Owned(result)
}

/// A path, with bytes that are no UTF-8 written out, so that two paths never look alike.
pub fn path(path: &std::path::Path) -> String {
    path.as_os_str().as_encoded_bytes().utf8_chunks().fold(String::new(), |mut text, chunk| {
        text.push_str(chunk.valid());
        chunk.invalid().iter().for_each(|byte| text.push_str(&format!("\\x{byte:02x}")));
        text
    })
}

/// Visible text for the inside of an element of XML, SVG or HTML or of a quoted attribute. What XML cannot hold at all is written out as well.
pub fn xml(text: &str) -> String {
    let mut result = String::with_capacity(text.len() + 16);
    for c in visible(text).chars() {
        match c {
            '&' => result.push_str("&amp;"),
            '<' => result.push_str("&lt;"),
            '>' => result.push_str("&gt;"),
            '"' => result.push_str("&quot;"),
            '\'' => result.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => result.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => result.push(c),
        }
    }
    result
}

/// A value of ours as one line of JSON, safe on a terminal.
pub fn json_line<T: serde::Serialize>(value: &T) -> String {
    // Our own plain structs of texts and numbers always serialise.
    let mut text = serde_json::to_string(value).unwrap_or_default();
    if let Cow::Owned(escaped) = json(&text) {
        text = escaped;
    }
    text + "\n"
}

/// JSON as serialised, with every unsafe character in its texts written as a JSON escape: it says the same, and a terminal obeys
/// none of it. Line ends stand between values only, and stay.
pub fn json(text: &str) -> Cow<'_, str> {
    let unsafe_here = |c: char| c != '\n' && is_unsafe(c);
    if (is_plain(text) || !text.chars().any(unsafe_here)) && !text.contains("##") {
        return Cow::Borrowed(text);
    }
    let mut result = String::with_capacity(text.len() + 16);
    for (at, c) in text.char_indices() {
        if unsafe_here(c) || c == '#' && is_order(&text[at..]) {
            c.encode_utf16(&mut [0; 2]).iter().for_each(|unit| result.push_str(&format!("\\u{unit:04x}")));
        } else {
            result.push(c);
        }
    }
    Cow::Owned(result)
}

/// Visible text for a line of Markdown or a cell of a table in it: no mark of it means anything, and no link comes about.
pub fn markdown(text: &str) -> String {
    let seen = visible(text);
    let mut result = String::with_capacity(seen.len() + 16);
    let mut rest = seen.chars().peekable();
    while let Some(c) = rest.next() {
        let next = rest.peek().copied().unwrap_or(' ');
        match c {
            '&' => result.push_str("&amp;"),
            '<' => result.push_str("&lt;"),
            '>' => result.push_str("&gt;"),
            '@' => result.push_str("&#64;"),
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '(' | ')' | '#' | '+' | '!' | '|' | '~' | '$' => result.extend(['\\', c]),
            // Readers make links of addresses, and pictures of words between colons.
            ':' if next == '/' || next.is_ascii_alphabetic() => result.push_str("\\:"),
            '.' if result.ends_with(['w', 'W']) && next != ' ' => result.push_str("\\."),
            c => result.push(c),
        }
    }
    result
}

/// At most `most` characters of the visible text, with a mark where it was cut.
pub fn short(text: &str, most: usize) -> String {
    let seen = visible(text);
    if seen.chars().count() <= most {
        return seen.into_owned();
    }
    let cut: String = seen.chars().take(most.saturating_sub(1)).collect();
    format!("{cut}…")
}

/// The text with every unsafe character but line ends and tabs replaced by a stand-in of as many bytes, so that places in it stay the same.
pub fn same_length(text: &str) -> Cow<'_, str> {
    let harmless = |c: char| !is_unsafe(c) || matches!(c, '\n' | '\r' | '\t');
    let orders = text.contains("##");
    let lone = text.as_bytes().windows(2).any(|pair| pair[0] == b'\r' && pair[1] != b'\n') || text.ends_with('\r');
    if !lone && !orders && text.chars().all(harmless) {
        return Cow::Borrowed(text);
    }
    let stand_in = |c: char| match c.len_utf8() {
        1 => "?",
        2 => "??",
        3 => "\u{fffd}",
        _ => "????",
    };
    let mut result = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            // A carriage return by itself ends a line; left as it is, a terminal would write over the line.
            '\r' if rest.peek() != Some(&'\n') => result.push('\n'),
            c if harmless(c) => result.push(c),
            c => result.push_str(stand_in(c)),
        }
    }
    if orders {
        result = ORDERS.iter().fold(result, |text, order| text.replace(order, &order.replacen('#', "?", 1)));
    }
    Cow::Owned(result)
}
