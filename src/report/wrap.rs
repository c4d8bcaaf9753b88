//! Breaks a text into lines of a width, on the terminal and in a drawing's small print. It must not know what the text says.

use super::escape::visible;

/// Most characters of a line of a report: findings, what changes, what two surveys differ in, what is still open.
pub const WIDTH: usize = 110;

/// A text behind a label; what does not fit goes on below it.
pub fn wrapped(out: &mut String, lead: &str, hang: usize, text: &str, width: usize) {
    for (at, part) in broken(&visible(text), width.saturating_sub(hang.max(lead.chars().count()))).iter().enumerate() {
        let before = if at == 0 { lead.to_string() } else { " ".repeat(hang) };
        out.push_str(format!("{before}{part}").trim_end());
        out.push('\n');
    }
}

/// Lines of at most so many characters, broken at blanks; a word that is too long by itself is cut.
pub fn broken(text: &str, room: usize) -> Vec<String> {
    let room = room.max(1);
    let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0);
    for word in text.split(' ') {
        let mut word: Vec<char> = word.chars().collect();
        if used > 0 && used + 1 + word.len() > room {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        while word.len() > room {
            let rest = word.split_off(room);
            lines.push(word.iter().collect());
            word = rest;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        used += word.len();
        line.extend(word);
    }
    lines.push(line);
    lines
}
