//! Makes text from files harmless for terminals and logs. It must not know where the text goes on the page.

use std::borrow::Cow;

/// Whether a character could change how a terminal or a reader takes what follows: controls, and marks that turn the
/// direction of writing or take no room.
pub fn is_unsafe(c: char) -> bool {
    let turns = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{061c}');
    let unseen = matches!(c, '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}' | '\u{2028}' | '\u{2029}');
    c.is_control() || turns || unseen
}

/// The text with every unsafe character written out, as in `\x1b`.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_unsafe) {
        return Cow::Borrowed(text);
    }
    let mut result = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match c {
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
    if text.chars().all(harmless) {
        return Cow::Borrowed(text);
    }
    let stand_in = |c: char| match c.len_utf8() {
        1 => "?",
        2 => "??",
        3 => "\u{fffd}",
        _ => "????",
    };
    Cow::Owned(text.chars().fold(String::with_capacity(text.len()), |mut result, c| {
        if harmless(c) {
            result.push(c)
        } else {
            result.push_str(stand_in(c))
        }
        result
    }))
}
