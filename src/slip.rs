//! The one shape for everything that is wrong with a file itself, pack or job. It must not know who raises a slip or how
//! it is drawn; the words are written where it is raised.

use crate::source::Span;
use std::collections::HashSet;

/// Something wrong with a file: what, where, what was expected, what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// A name of words, such as `unknown-word`. It never changes with the text of the message.
    pub name: &'static str,
    /// What is wrong, as a sentence without its stop.
    pub message: String,
    /// Where; `None` only where the trouble is a whole file or a command.
    pub span: Option<Span>,
    /// What stands at the place, in a few words.
    pub label: String,
    /// Other places that take part, each with a few words: the first of two doubled names, the other side of a comparison.
    pub others: Vec<(Span, String)>,
    /// What to do.
    pub hint: Option<String>,
    /// Whether the file can be judged all the same: such a slip is told and does not change the exit code.
    pub harmless: bool,
}

/// Longest message, in characters: it may quote what the file holds, and that may be of any length.
const LONGEST: usize = 1000;

/// The message with an end, where a file put something very long into it.
fn bounded(mut message: String) -> String {
    if let Some((at, _)) = message.char_indices().nth(LONGEST) {
        message.truncate(at);
        message.push('…');
    }
    message
}

impl Slip {
    /// A slip at a place.
    pub fn at(span: Span, name: &'static str, message: impl Into<String>) -> Slip {
        Slip { span: Some(span), ..Slip::of_file(name, message) }
    }

    /// A slip of a whole file or of the run.
    pub fn of_file(name: &'static str, message: impl Into<String>) -> Slip {
        Slip { name, message: bounded(message.into()), span: None, label: String::new(), others: Vec::new(), hint: None, harmless: false }
    }

    /// Says in a few words what stands at the place.
    pub fn label(mut self, label: impl Into<String>) -> Slip {
        self.label = label.into();
        self
    }

    /// Adds another place.
    pub fn other(mut self, span: Span, label: impl Into<String>) -> Slip {
        self.others.push((span, label.into()));
        self
    }

    /// Says what to do.
    pub fn hint(mut self, hint: impl Into<String>) -> Slip {
        self.hint = Some(hint.into());
        self
    }

    /// Says what to do, where there is something to say.
    pub fn hint_maybe(mut self, hint: Option<String>) -> Slip {
        self.hint = hint.or(self.hint);
        self
    }

    /// Marks the slip as one that is told but does not stop the judging.
    pub fn harmless(mut self) -> Slip {
        self.harmless = true;
        self
    }
}

/// Most slips that are told of one job file: what is wrong ten thousand times is wrong in one way, and memory has an end.
pub const MOST_SLIPS: usize = 10_000;

/// Takes in one more slip of a job file. Past the most that are told, one says so; it stops the judging, whatever the others do.
pub fn tell(slips: &mut Vec<Slip>, slip: Slip) {
    if slips.len() < MOST_SLIPS {
        slips.push(slip);
    } else if slips.len() == MOST_SLIPS {
        let last = Slip { span: slip.span, ..Slip::of_file("too-many-slips", format!("more than {MOST_SLIPS} slips in one file")) };
        slips.push(last.label("the next one stands here").hint("put these right first; no more are told"));
    }
}

/// The first few of several texts, each told once, and how many more there are; `between` is `,` or, for longer texts, `;`.
pub fn first_few<T: AsRef<str>>(all: &[T], most: usize, between: char) -> String {
    let mut seen = HashSet::new();
    let each: Vec<&str> = all.iter().map(AsRef::as_ref).filter(|text| seen.insert(*text)).collect();
    let more = each.len().saturating_sub(most);
    let first = each.into_iter().take(most).collect::<Vec<_>>().join(&format!("{between} "));
    match (more, between) {
        (0, _) => first,
        (_, ';') => format!("{first}; and {more} more"),
        _ => format!("{first} and {more} more"),
    }
}

/// The known word nearest to `word`, if one is near enough to be what was meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A single letter is near to every other.
    if word.len() > 64 || word.chars().count() < 2 {
        return None;
    }
    let allowed = (word.chars().count() / 3).max(1);
    known
        .into_iter()
        .filter(|candidate| candidate.len() <= 64)
        .map(|candidate| (strsim::damerau_levenshtein(word, candidate), candidate))
        .filter(|(distance, _)| *distance > 0 && *distance <= allowed)
        .min()
        .map(|(_, candidate)| candidate)
}

/// "Did you mean", or the list of what is known when it is short.
pub fn suggest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let known: Vec<&str> = known.into_iter().collect();
    if let Some(near) = nearest(word, known.iter().copied()) {
        return Some(format!("the nearest known word is `{near}`"));
    }
    (!known.is_empty() && known.len() <= 24).then(|| format!("known here: {}", known.join(", ")))
}
