//! Explains what fits nowhere in a rule file: the nearest right word, the right form, or where reading stopped. It must
//! not look up names of the pack.

use super::build::Builder;
use super::grammar::{Rule, reach};
use crate::slip::{Slip, nearest};
use crate::source::Span;
use pest::iterators::Pair;

const ITEM_WORDS: [&str; 9] = ["pack", "source", "values", "definition", "table", "formula", "section", "amend", "repeal"];
const TRIAL_ITEMS: [&str; 2] = ["trial", "unnoticed"];
const TRIAL_WORDS: [&str; 6] = ["job", "without", "with", "today", "asks", "finds"];
const CLAUSE_WORDS: [&str; 10] = ["applies", "let", "shall", "should", "except", "remedy", "cite", "in force", "add", "because"];
const PACK_WORDS: [&str; 6] = ["language", "edition", "authority", "in force", "adopts", "reviewed"];

/// What a lay author writes first on a line, and what this language says instead.
const LAY_STARTS: &[(&str, &str)] = &[
    ("must", "write `shall` for what is mandatory, `should` for what is recommended"),
    ("maximum", "write `shall FACT at most LIMIT`"),
    ("minimum", "write `shall FACT at least LIMIT`"),
    ("max", "write `shall FACT at most LIMIT`"),
    ("min", "write `shall FACT at least LIMIT`"),
    ("requires", "write `shall` and the condition"),
    ("require", "write `shall` and the condition"),
    ("when", "write `applies to each … where …`, or `shall if … then …`"),
    ("if", "write `shall if … then …`, or put the condition after `where`"),
    ("rule", "write `section NAME \"Title\"` in column one"),
    ("unless", "`unless` belongs to an exception: `except \"…\" where … unless …`"),
    ("where", "`where` belongs to `applies to each …` or to an exception"),
    ("message", "write `remedy \"…\"`"),
    ("fix", "write `remedy \"…\"`"),
    ("source", "write `cite SOURCE \"clause\"` in a section; `source` is an item in column one"),
    ("note", "write a comment after `#`"),
    ("severity", "the weight is in the word: `shall` or `should`"),
    ("effective", "write `in force from 2026-01-01`"),
    ("import", "write `adopts NAME` in the pack's header"),
    ("include", "write `adopts NAME` in the pack's header"),
    ("extends", "write `adopts NAME` in the pack's header"),
    ("delete", "write `repeal pack/section`"),
    ("change", "write `amend pack/section`"),
    ("//", "comments start with `#`"),
    ("--", "comments start with `#`"),
];

impl Builder {
    /// Something in column one, or indented with nothing above it, that is no item.
    pub fn stray_item(&mut self, pair: &Pair<Rule>) {
        let span = self.span(pair);
        let text = pair.as_str();
        let first_line = text.lines().next().unwrap_or(text).trim_end();
        let word = first_word(first_line);
        let head = Span::new(self.file, span.start as usize, span.start as usize + first_line.len().max(1));
        if text.starts_with(' ') || text.starts_with('\t') {
            let what =
                if text.starts_with('\t') { "a line indented with a tab" } else { "an indented line that belongs to nothing above it" };
            let hint = if text.starts_with('\t') {
                "indent with blanks"
            } else {
                "an item starts in column one; its clauses are indented below it"
            };
            self.slip(Slip::at(head, "stray-line", what).label("this line").hint(hint));
            return;
        }
        if ITEM_WORDS.contains(&word) || TRIAL_ITEMS.contains(&word) {
            self.unread.extend(first_line.split_whitespace().nth(1).map(str::to_string));
            self.stopped(text, span, Rule::only_item, format!("this `{word}` cannot be read to its end"));
            return;
        }
        let hint = if CLAUSE_WORDS.iter().chain(&PACK_WORDS).chain(&TRIAL_WORDS).any(|known| first_line.starts_with(known)) {
            "a clause is indented below its item".to_string()
        } else if let Some(near) = nearest(word, ITEM_WORDS.into_iter().chain(TRIAL_ITEMS)) {
            format!("the nearest right word is `{near}`")
        } else {
            lay_hint(first_line).map_or_else(|| format!("an item starts with one of: {}", ITEM_WORDS.join(", ")), str::to_string)
        };
        self.slip(Slip::at(head, "stray-item", format!("`{word}` starts no item")).label("this line").hint(hint));
    }

    /// A clause that fits nowhere; `only` is the rule for one clause of the item at hand.
    pub fn stray_clause(&mut self, pair: &Pair<Rule>, only: Rule) {
        let span = self.span(pair);
        let text = pair.as_str();
        let known: &[&str] = match only {
            Rule::only_pack_clause => &PACK_WORDS,
            Rule::only_trial_clause => &TRIAL_WORDS,
            _ => &CLAUSE_WORDS,
        };
        if known
            .iter()
            .any(|word| text.strip_prefix(word).is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '-')))
        {
            let word = known.iter().find(|word| text.starts_with(**word)).copied().unwrap_or("clause");
            self.stopped(text, span, only, format!("this `{word}` clause cannot be read to its end"));
            return;
        }
        let first_line = text.lines().next().unwrap_or(text).trim_end();
        let word = first_word(first_line);
        let head = span.part(0..first_line.len().max(1));
        let message = if word.is_empty() { "this line starts no clause".to_string() } else { format!("`{word}` starts no clause") };
        let hint = if first_line.starts_with('\t') {
            "indent with blanks".to_string()
        } else if let Some(hint) = quote_hint(first_line).or_else(|| name_hint(word)) {
            hint
        } else if only == Rule::only_pack_clause && word.starts_with(|c: char| c.is_ascii_digit()) {
            format!("the edition has a line of its own: `edition    \"{word}\"`")
        } else if let Some(hint) = lay_hint(first_line).filter(|_| only != Rule::only_trial_clause) {
            hint.to_string()
        } else if only != Rule::only_trial_clause && looks_like_fact(first_line) {
            "a fact is: name kind [signed] [measured] [taken as value] \"how to measure it\"; words to choose from stand without brackets"
                .into()
        } else if let Some(near) = nearest(word, known.iter().copied()) {
            format!("the nearest right word is `{near}`")
        } else {
            format!("a clause here starts with one of: {}", known.join(", "))
        };
        self.slip(Slip::at(head, "stray-clause", message).label("this line").hint(hint));
    }

    /// A line in a definition or table that is neither fact nor row.
    pub fn stray_line(&mut self, pair: &Pair<Rule>) {
        let span = self.span(pair);
        let text = pair.as_str().trim_end();
        let head = span.part(0..text.len().max(1));
        let hint = if text.contains('\t') {
            "separate words with blanks, not tabs"
        } else if text.contains('|') {
            "a row is cells with `|` between them, none outside, and nothing after the last cell but a comment"
        } else {
            "a fact is: name kind [signed] [measured] [taken as value] \"how to measure it\""
        };
        self.slip(Slip::at(head, "stray-line", "this line fits nowhere here").label("this line").hint(hint));
    }

    /// Says where reading stopped, what stands there, and what the trade's author probably meant.
    fn stopped(&mut self, text: &str, span: Span, only: Rule, message: String) {
        let text = text.trim_end();
        // Only with something after it does the grammar say that all of the text was read and more is wanted.
        let stop = reach(only, text).max(reach(only, &format!("{text} ?"))).min(text.len());
        let rest = text.get(stop..).unwrap_or("");
        let line = rest.lines().next().unwrap_or("").trim_end();
        let word = line.split(' ').next().unwrap_or("");
        let last = text.char_indices().next_back().map_or(0, |(at, _)| at);
        let at = span.part(stop.min(last)..(stop + word.len().max(1)).min(text.len()));
        let label = if rest.is_empty() { "something is missing at the end" } else { "reading stopped here" };
        let hint = match only {
            Rule::only_trial_clause => "a file, a value and a thing stand in quotes; rules/TRIALS.md shows every clause".to_string(),
            _ => stop_hint(text, stop, word),
        };
        self.slip(Slip::at(at, "unreadable-clause", message).label(label).hint(hint));
    }
}

/// Whether a line is meant as a fact: behind its name stands how it is known.
fn looks_like_fact(line: &str) -> bool {
    let rest = line.trim_start().split_once(' ').map_or("", |(_, rest)| rest.trim_start());
    ["one of ", "any of ", "yes-or-no", "list of ", "range of "].iter().any(|kind| rest.starts_with(kind))
}

/// What is wrong with the quotes of a line.
fn quote_hint(line: &str) -> Option<String> {
    if line.contains(['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}']) && line.matches('"').count() == 0 {
        return Some("write straight double quotes, as in \"Title\"".into());
    }
    (line.matches('"').count() % 2 == 1).then(|| "a text starts and ends with \" on one line; here one of the two is missing".into())
}

/// What is wrong with a word that was meant as a name.
fn name_hint(word: &str) -> Option<String> {
    let meant =
        word.starts_with(|c: char| c.is_ascii_alphabetic()) && word.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'));
    let right: String = word.to_ascii_lowercase().replace('_', "-");
    (meant && right != word && word.contains(['_', '-'])).then(|| format!("a name is lower-case words joined by hyphens: `{right}`"))
}

fn stop_hint(text: &str, stop: usize, word: &str) -> String {
    if let Some(hint) = text.lines().find_map(quote_hint) {
        return hint;
    }
    let named = text.split_whitespace().nth(1).filter(|name| word.is_empty() || name.starts_with(word) || word.starts_with(*name));
    if let Some(hint) = named.and_then(name_hint) {
        return hint;
    }
    if text.starts_with("in force") {
        if word.is_empty() {
            return "say from which day, and by which date: `in force from 2026-03-01 by job.permit-date`".into();
        }
        if matches!(word, "until" | "to" | "through" | "till") {
            return "write `before` and the first day on which it is no longer in force".into();
        }
        let days = crate::quantity::Days::read(word);
        if word.starts_with(|c: char| c.is_ascii_digit()) && !days.as_ref().is_ok_and(|days| days.is_known()) {
            return days.err().map_or_else(|| "write the whole day, as in 2026-05-01".into(), |(_, hint)| hint);
        }
    }
    let before = text.get(..stop).unwrap_or("").trim_end();
    let ends_in_number = before.rsplit([' ', '(']).next().is_some_and(|last| last.starts_with(|c: char| c.is_ascii_digit()));
    let hint = match word {
        "&&" | "&" => "write `and`",
        "||" | "|" => "write `or`",
        "!" => "write `not`",
        "then" => "`if … then …` stands right after `shall` or `should`; as a value it needs `else`",
        "else" => "a clause `shall if … then …` has no `else`; write a second clause",
        _ if text.starts_with("source ") && (word.is_empty() || stop + word.len() == text.len()) => {
            "end it with how it is known: `published`, `practice` or `invented`"
        }
        _ if before.ends_with("count of") => {
            "what is counted has a name of its own, and the whole stands in round brackets: `(count of l among gate.leaves) at least 2`"
        }
        _ if ["sum of", "least of", "greatest of"].iter().any(|words| before.ends_with(words)) => {
            "the whole stands in round brackets and names each thing: `(sum of l.mass for l among gate.leaves) at most 300 kg`"
        }
        "" if ["at most", "at least", "more than", "less than", "within"].iter().any(|words| before.ends_with(words)) => {
            "a limit stands after it: a measure such as `26 in`, a fact, or a look-up in a table"
        }
        _ if !word.starts_with('"') && wants_text(before) => "a text stands in quotes, as in `edition \"2026\"`",
        "-" | "+" | "*" | "/" => "put a blank on both sides of the sign",
        _ if ends_in_number && !word.is_empty() && crate::quantity::Unit::named(word).is_none() => {
            return crate::quantity::read::suggest_unit(word);
        }
        _ if text.starts_with("adopts ") => "behind the name of a pack stands nothing, or `as minimum`",
        _ if text.starts_with("amend ") => {
            "behind `amend` stand one pack, a slash and one name, as in `amend terms/gate`; what changes of it stands below"
        }
        _ if text.starts_with("cite ") => "behind the name of the source stands the place on the paper, in quotes: `cite ordinance \"4\"`",
        _ if before == "applies to" => {
            return format!("write `each` before what it is asked of: `applies to each {}`", word.trim_end_matches(','));
        }
        _ if text.starts_with("applies ") && before.ends_with(',') => {
            "behind a comma stands `each` and a further thing; for one of several words write `is one of (…, …)`"
        }
        "before" | "after" | "until" | "since" => "of two days the earlier is `less than` the other, and the later is `more than`",
        _ => "check the word here; rules/README.md shows every form",
    };
    hint.to_string()
}

/// Whether all that was read is a word after which a text stands.
fn wants_text(before: &str) -> bool {
    matches!(before, "edition" | "authority" | "reviewed" | "remedy" | "because" | "job")
}

fn first_word(line: &str) -> &str {
    let line = line.trim_start();
    let end = line.find(|c: char| c.is_whitespace() || matches!(c, ':' | '(' | '"')).unwrap_or(line.len());
    line.get(..end).unwrap_or("")
}

fn lay_hint(line: &str) -> Option<&'static str> {
    let line = line.trim_start();
    LAY_STARTS
        .iter()
        .find(|(start, _)| line.strip_prefix(start).is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '-')))
        .map(|(_, hint)| *hint)
}
