//! The digest of a pack's text, which does not change with its layout. It must not know what the text says. `build.rs` uses this file too.

use crate::source::Source;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// The SHA-256 digest of the normalised text of a pack's files.
pub fn digest_of(files: &[Source]) -> String {
    let mut hasher = Sha256::new();
    for file in files {
        hasher.update(normalised(file.text()).as_bytes());
        hasher.update([0]);
    }
    hasher.finalize().iter().fold(String::new(), |mut hash, byte| {
        let _ = write!(hash, "{byte:02x}");
        hash
    })
}

/// The text without comments and with every run of blanks and line feeds as one blank; a line feed stays before an item.
/// Two layouts of the same rules come out the same.
pub fn normalised(text: &str) -> String {
    let mut result = String::with_capacity(text.len());
    for line in text.lines() {
        let mut in_text = false;
        let end = line.bytes().position(|byte| {
            in_text ^= byte == b'"';
            byte == b'#' && !in_text
        });
        let line = end.map_or(line, |at| &line[..at]);
        if line.trim().is_empty() {
            continue;
        }
        let item = !line.starts_with([' ', '\t']);
        result.push(if item { '\n' } else { ' ' });
        push_spaced(&mut result, line.trim());
    }
    result
}

/// One line with single blanks, but for those inside texts.
fn push_spaced(result: &mut String, line: &str) {
    for (at, part) in line.split('"').enumerate() {
        if at > 0 {
            result.push('"');
        }
        // Every second part lies between quotes.
        if at % 2 == 1 {
            result.push_str(part);
            continue;
        }
        let mut words = part.split(' ').filter(|word| !word.is_empty());
        if part.starts_with(' ') {
            result.push(' ');
        }
        if let Some(first) = words.next() {
            result.push_str(first);
            words.for_each(|word| {
                result.push(' ');
                result.push_str(word);
            });
            if part.ends_with(' ') {
                result.push(' ');
            }
        }
    }
}
