//! Asks on a terminal for what a command line does not say: one question a line, on standard error. It must not know what the answers
//! are for.

use crate::language::library::{Library, Shelf};
use crate::report::escape::visible;
use std::io::{BufRead, IsTerminal, Write};

/// How often one question is asked before it is given up.
const TRIES: usize = 3;

/// Whether there is somebody to ask: both the answers and the questions go through a terminal.
pub fn can_ask() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// Whether what is written would go to a screen.
pub fn out_is_terminal() -> bool {
    std::io::stdout().is_terminal()
}

/// The packs that a job is to meet.
pub fn codes(shelves: &[Shelf]) -> Vec<String> {
    let names = Library::new(shelves.to_vec()).names();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let answer = line("Which codes? Names with commas between them", &names).unwrap_or_default();
    answer.split(',').map(str::trim).filter(|name| !name.is_empty()).map(str::to_string).collect()
}

/// One of these words.
pub fn one_of(question: &str, known: &[&str]) -> Option<String> {
    one_of_from(question, known, &mut std::io::stdin().lock(), &mut std::io::stderr().lock())
}

/// A line, or nothing where it is left empty.
pub fn line(question: &str, known: &[&str]) -> Option<String> {
    line_from(question, known, &mut std::io::stdin().lock(), &mut std::io::stderr().lock())
}

fn one_of_from(question: &str, known: &[&str], from: &mut dyn BufRead, to: &mut dyn Write) -> Option<String> {
    for _ in 0..TRIES {
        let answer = line_from(question, known, from, to)?;
        if known.contains(&answer.as_str()) {
            return Some(answer);
        }
        let _ = writeln!(to, "`{}` is none of them", visible(&answer));
    }
    None
}

fn line_from(question: &str, known: &[&str], from: &mut dyn BufRead, to: &mut dyn Write) -> Option<String> {
    let words = if known.is_empty() { String::new() } else { format!(" ({})", known.join(", ")) };
    let _ = write!(to, "{}: ", visible(&format!("{question}{words}"))).and_then(|()| to.flush());
    let mut answer = String::new();
    match from.read_line(&mut answer) {
        Ok(read) if read > 0 => Some(answer.trim().to_string()).filter(|answer| !answer.is_empty()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{line_from, one_of_from};

    fn asked(answers: &str) -> (Option<String>, String) {
        let mut said = Vec::new();
        let answer = one_of_from("How does the gate move?", &["swing", "bifold"], &mut answers.as_bytes(), &mut said);
        (answer, String::from_utf8(said).expect("text"))
    }

    #[test]
    fn a_word_is_asked_for_until_it_is_known() {
        assert_eq!(asked("swing\n"), (Some("swing".into()), "How does the gate move? (swing, bifold): ".into()));
        let (answer, said) = asked("sliding\x1b[2J\n bifold \n");
        assert_eq!(answer, Some("bifold".into()));
        assert!(said.contains("`sliding\\x1b[2J` is none of them"), "{said}");
    }

    #[test]
    fn it_is_given_up_in_the_end() {
        assert_eq!(asked("a\nb\nc\nswing\n").0, None);
        assert_eq!(asked("").0, None);
        assert_eq!(asked("\n").0, None);
        assert_eq!(line_from("File", &[], &mut &b"a.yaml\n"[..], &mut Vec::new()), Some("a.yaml".into()));
    }
}
