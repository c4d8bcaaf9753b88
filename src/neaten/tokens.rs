//! Tokens of a clause: its words in order, each with the places where a line may be broken before it. It must not know
//! columns.

use crate::language::grammar::Rule;
use pest::iterators::Pair;

/// A comment between words.
#[derive(Debug)]
pub struct Note {
    /// The comment with its `#`.
    pub text: String,
    /// Line feeds between it and what stands before; none where it ends a line.
    pub feeds: usize,
    /// Whether its line is indented.
    pub indented: bool,
}

/// The comments of a gap between words, and the line feeds after the last of them.
pub fn notes_between(text: &str, from: usize, to: usize) -> (Vec<Note>, usize) {
    let mut notes = Vec::new();
    // The first line of the gap goes on where the word before it ends, unless the gap opens the file.
    let mut feeds = usize::from(from == 0);
    for (at, line) in text.get(from..to).unwrap_or("").split('\n').enumerate() {
        feeds += usize::from(at > 0);
        if let Some((before, note)) = line.split_once('#') {
            notes.push(Note { text: format!("#{}", note.trim_end()), feeds, indented: !before.is_empty() });
            feeds = 0;
        }
    }
    (notes, feeds)
}

/// What the column of a broken line hangs on.
#[derive(Clone, Copy, Debug)]
pub enum Anchor {
    /// The column of an earlier token, moved to the right or left.
    Token(usize, isize),
    /// A column of its own.
    Column(usize),
}

/// A place where a line may be broken.
#[derive(Clone, Copy, Debug)]
pub struct Turn {
    /// Where the next line starts.
    pub anchor: Anchor,
    /// How deep in the clause it lies: a line is broken at its outermost place first.
    pub depth: usize,
    /// Whether a line starts here in any case.
    pub always: bool,
}

/// A word, a text or a comment of a clause.
#[derive(Clone, Debug)]
pub struct Token {
    /// What is written. A text may come in several parts, each on a line of its own; anything else is one part.
    pub parts: Vec<String>,
    /// Whether it is one or more adjacent texts, which may be joined and broken anew.
    pub texts: bool,
    /// Whether it is a comment, after which a line must end.
    pub note: bool,
    /// Whether no blank stands before it.
    pub tight: bool,
    /// Whether the author began a line with it.
    pub broken: bool,
    /// Where a line may be broken before it.
    pub turn: Option<Turn>,
}

impl Token {
    /// A comment on a line of its own.
    pub fn note(text: String) -> Token {
        Token { parts: vec![text], texts: false, note: true, tight: false, broken: true, turn: None }
    }

    /// A word where no line can be broken.
    pub fn word(text: &str) -> Token {
        Token { parts: vec![text.to_string()], texts: false, note: false, tight: false, broken: false, turn: None }
    }

    /// Whether it is that word.
    pub fn is(&self, word: &str) -> bool {
        !self.texts && self.parts.iter().all(|part| part == word)
    }
}

/// Where the lines of an item start.
pub const INDENT: usize = 2;
/// Where what a clause says begins, and where a broken line starts that hangs on nothing nearer.
pub const CONTENT: usize = 10;
/// Added to the depth of a place where a line is broken only when nothing else helps.
const LAST: usize = 64;

/// Reads the tokens of one pair.
pub struct Reader<'i> {
    text: &'i str,
    /// The tokens so far.
    pub tokens: Vec<Token>,
    /// One past the last byte read.
    pub end: usize,
    pending: Option<Turn>,
}

impl<'i> Reader<'i> {
    /// A reader that starts at a byte.
    pub fn new(text: &'i str, start: usize) -> Reader<'i> {
        Reader { text, tokens: Vec::new(), end: start, pending: None }
    }

    /// Reads the words of a part of an item.
    pub fn part(&mut self, part: Pair<Rule>, of: Rule) {
        let around = Around::default();
        self.gap(part.as_span().start(), of, 0, around);
        self.turn_before(part.as_rule(), of, 0, around);
        self.pair(part, around.inside(Rule::item, of));
    }

    /// Reads the words of a pair with everything in it.
    pub fn pair(&mut self, pair: Pair<Rule>, around: Around) {
        let (rule, span) = (pair.as_rule(), pair.as_span());
        if rule == Rule::texts {
            return self.texts(pair);
        }
        if is_one_word(rule) {
            return self.word(span.as_str(), span.start(), rule);
        }
        let first = self.tokens.len();
        for child in pair.into_inner() {
            self.gap(child.as_span().start(), rule, first, around);
            self.turn_before(child.as_rule(), rule, first, around);
            let inside = around.inside(child.as_rule(), rule);
            self.pair(child, inside);
        }
        self.gap(span.end(), rule, first, around);
    }

    /// Marks where a line may be broken before a child; `first` is the first token of the parent.
    fn turn_before(&mut self, child: Rule, parent: Rule, first: usize, around: Around) {
        let depth = around.depth;
        let at = |anchor| Some(Turn { anchor, depth, always: false });
        let turn = match (child, parent) {
            (Rule::junction, _) if around.far_left => at(Anchor::Column(CONTENT)),
            // A choice begins with its number, its conditions after it.
            (Rule::junction, Rule::choice) => at(Anchor::Token(first + 1, 0)),
            (Rule::junction, _) => at(Anchor::Token(first, 0)),
            (Rule::operator, _) => at(Anchor::Token(first, -2)),
            (Rule::relation, _) => Some(Turn { anchor: Anchor::Token(first, 2), depth: depth + LAST, always: false }),
            (Rule::expr, Rule::rule_if) if self.last_is("then") => at(Anchor::Token(first, 0)),
            (Rule::expr, Rule::quantified) => at(Anchor::Token(first, 2)),
            (Rule::filter, Rule::quantified | Rule::aggregate) => at(Anchor::Token(first, 0)),
            (Rule::filter | Rule::unless, _) => at(Anchor::Column(CONTENT)),
            (Rule::choice, _) => {
                let anchor = if around.nested { Anchor::Token(first, 2) } else { Anchor::Column(CONTENT + 2) };
                Some(Turn { anchor, depth, always: true })
            }
            (Rule::texts, Rule::section | Rule::definition | Rule::table | Rule::formula) => at(Anchor::Column(INDENT)),
            _ => None,
        };
        self.pending = turn.or(self.pending);
    }

    /// Reads the words, brackets and comments up to a byte; `first` is the first token of the pair that they belong to.
    pub fn gap(&mut self, to: usize, rule: Rule, first: usize, around: Around) {
        while self.end < to {
            let rest = self.text.get(self.end..to).unwrap_or("");
            let word = rest.trim_start();
            let start = self.end + rest.len() - word.len();
            let length = match word.chars().next() {
                None => return,
                Some('#') => word.find('\n').unwrap_or(word.len()),
                Some('(' | ')' | ',' | '=') => 1,
                Some(_) => word.find([' ', '\n', '(', ')', ',', '#']).unwrap_or(word.len()),
            };
            let word = &word[..length];
            let turn = |anchor| Some(Turn { anchor, depth: around.depth, always: false });
            match (word, rule) {
                ("then" | "else", Rule::rule_if | Rule::conditional) | ("has", Rule::quantified) | ("for", Rule::aggregate) => {
                    self.pending = turn(Anchor::Token(first, 0));
                }
                ("among" | "at" | "gathering", Rule::among | Rule::at | Rule::gathering) => self.pending = turn(Anchor::Column(INDENT)),
                _ => {}
            }
            self.word(word, start, rule);
            self.pending = match (word, rule) {
                (",", Rule::call | Rule::set) => turn(self.first_argument(first)),
                (",", Rule::applies | Rule::gathering | Rule::add_values | Rule::by | Rule::asks) => turn(Anchor::Column(CONTENT)),
                (",", Rule::unnoticed) => Some(Turn { anchor: Anchor::Column(INDENT), depth: around.depth + 1, always: false }),
                (",", Rule::values) => Some(Turn { anchor: Anchor::Column(INDENT), depth: around.depth + 1, always: false }),
                ("=", Rule::values) => turn(Anchor::Column(INDENT)),
                _ => self.pending,
            };
        }
    }

    /// The column of the first argument: right after the bracket.
    fn first_argument(&self, first: usize) -> Anchor {
        let bracket = self.tokens.iter().skip(first).position(|token| token.is("("));
        Anchor::Token(first + bracket.map_or(0, |at| at + 1), 0)
    }

    fn last_is(&self, word: &str) -> bool {
        self.tokens.last().is_some_and(|token| token.is(word))
    }

    fn word(&mut self, word: &str, start: usize, rule: Rule) {
        let between = self.text.get(self.end..start).unwrap_or("");
        let after_bracket = self.last_is("(");
        let note = word.starts_with('#');
        let tight = matches!(word, ")" | ",") || word == "(" && rule == Rule::call || rule == Rule::power || after_bracket && !note;
        let text = if matches!(rule, Rule::text | Rule::plain) || note { word.trim_end().to_string() } else { folded(word) };
        self.tokens.push(Token { parts: vec![text], texts: false, note, tight, broken: between.contains('\n'), turn: self.pending.take() });
        self.end = start + word.len();
    }

    fn texts(&mut self, pair: Pair<Rule>) {
        let span = pair.as_span();
        let broken = self.text.get(self.end..span.start()).unwrap_or("").contains('\n');
        let turn = self.pending.take();
        let parts: Vec<(usize, String)> = pair.into_inner().map(|part| (part.as_span().start(), part.as_str().to_string())).collect();
        let first = self.tokens.len();
        let noted = span.as_str().split('"').step_by(2).any(|between| between.contains('#'));
        if !noted {
            let parts = parts.into_iter().map(|(_, text)| text).collect();
            self.tokens.push(Token { parts, texts: true, note: false, tight: false, broken, turn });
            self.end = span.end();
            return;
        }
        // With comments between them, each text stays as it is.
        for (at, (start, text)) in parts.into_iter().enumerate() {
            self.gap(start, Rule::texts, first, Around::default());
            self.pending = if at == 0 { turn } else { Some(Turn { anchor: Anchor::Token(first, 0), depth: 0, always: true }) };
            self.word(&text, start, Rule::text);
        }
    }
}

/// What a pair stands in.
#[derive(Clone, Copy, Debug, Default)]
pub struct Around {
    /// How deep in the clause.
    depth: usize,
    /// Whether its conditions go on at the left and not below the first of them: those that say to what a section applies
    /// and when an exception holds begin far to the right.
    far_left: bool,
    /// Whether it stands within brackets or a walk.
    nested: bool,
}

impl Around {
    fn inside(self, child: Rule, parent: Rule) -> Around {
        let far_left = match (child, parent) {
            (Rule::filter, Rule::binder | Rule::except) | (Rule::unless, _) => true,
            (Rule::expr, Rule::filter | Rule::unless) => self.far_left,
            _ => false,
        };
        let nested = self.nested || matches!(child, Rule::group | Rule::quantified | Rule::call | Rule::conditional);
        Around { depth: self.depth + 1, far_left, nested }
    }
}

/// Rules that are one word, whatever blanks it holds.
fn is_one_word(rule: Rule) -> bool {
    matches!(
        rule,
        Rule::word
            | Rule::value
            | Rule::sid
            | Rule::path
            | Rule::label
            | Rule::text
            | Rule::date
            | Rule::quantity
            | Rule::count
            | Rule::standing
            | Rule::plain
            | Rule::modal
            | Rule::junction
            | Rule::operator
            | Rule::power
            | Rule::capital
    )
}

/// A word with single blanks inside.
fn folded(word: &str) -> String {
    word.split_whitespace().collect::<Vec<_>>().join(" ")
}
