//! The lines of an item before they are laid out: its head, its clauses, facts and rows, and the comments between them. It
//! must not know columns beyond where a clause's words begin.

use super::tokens::{Around, CONTENT, INDENT, Note, Reader, Token, notes_between};
use crate::language::grammar::Rule;
use pest::iterators::Pair;

/// A clause, or anything else that starts a line of its own.
#[derive(Debug, Default)]
pub struct Line {
    /// Its words.
    pub tokens: Vec<Token>,
    /// Where it starts.
    pub indent: usize,
    /// After how many words the column is at least the second number.
    pub pad: (usize, usize),
    /// The cells, where it is a row of a table.
    pub row: Option<Vec<String>>,
    /// The parts, where it is a fact.
    pub field: Option<Field>,
    /// A comment at its end.
    pub note: Option<String>,
    /// Whether a blank line goes before it.
    pub blank_before: bool,
}

/// A fact: its name, its kind, how it is measured or what it is taken as, and how to measure it.
#[derive(Debug, Default)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// What stands between kind and text.
    pub more: String,
    /// How to measure it, with the quotes.
    pub texts: Vec<String>,
    /// The calculation that gives it, too, with the words before it.
    pub follows: String,
}

/// The lines of an item, its head first.
pub fn item_lines(text: &str, item: Pair<Rule>) -> Vec<Line> {
    let (rule, span) = (item.as_rule(), item.as_span());
    let mut head = Reader::new(text, span.start());
    let mut parts = item.into_inner().peekable();
    while let Some(part) = parts.next_if(|part| !starts_line(part.as_rule(), rule)) {
        head.part(part, rule);
    }
    let mut end = head.end;
    if parts.peek().is_none() {
        head.gap(span.end(), rule, 0, Around::default());
    }
    let mut lines = vec![Line { tokens: head.tokens, ..Line::default() }];
    for part in parts {
        let (start, part_end) = (part.as_span().start(), part.as_span().end());
        let blank_before = between(&mut lines, text, end, start);
        lines.push(line(text, part, rule, blank_before));
        end = part_end;
    }
    lines
}

/// Comments between two lines; the result says whether a blank line goes before the second.
fn between(lines: &mut Vec<Line>, text: &str, from: usize, to: usize) -> bool {
    let (notes, feeds) = notes_between(text, from, to);
    for Note { text, feeds, .. } in notes {
        match lines.last_mut() {
            Some(last) if feeds == 0 => last.note = Some(text),
            _ => lines.push(Line { tokens: vec![Token::note(text)], indent: INDENT, blank_before: feeds > 1, ..Line::default() }),
        }
    }
    feeds > 1
}

/// Whether a part of an item starts a line of its own.
fn starts_line(child: Rule, of: Rule) -> bool {
    match child {
        Rule::word | Rule::text | Rule::texts | Rule::sid | Rule::label | Rule::value => false,
        Rule::among | Rule::at | Rule::gathering | Rule::standing | Rule::in_order | Rule::parameter | Rule::kind => false,
        Rule::repeal_exception => false,
        Rule::expr => of == Rule::formula,
        _ => true,
    }
}

fn line(text: &str, pair: Pair<Rule>, of: Rule, blank_before: bool) -> Line {
    let mut line = Line { indent: INDENT, blank_before, ..Line::default() };
    let rule = pair.as_rule();
    if rule == Rule::row {
        line.row = Some(pair.into_inner().map(|cell| cell.as_str().to_string()).collect());
        return line;
    }
    if rule == Rule::field && !has_notes(text, &pair) {
        line.field = Some(field(pair));
        return line;
    }
    line.pad = pad(&pair, of);
    let start = pair.as_span().start();
    let mut reader = Reader::new(text, start);
    if rule == Rule::expr {
        // The sign of a formula stands in the gap before its calculation, which has been read for its comments.
        reader.tokens.push(Token::word("="));
    }
    reader.pair(pair, Around::default());
    line.tokens = reader.tokens;
    line
}

fn has_notes(text: &str, pair: &Pair<Rule>) -> bool {
    let span = pair.as_span();
    let mut end = span.start();
    let mut noted = false;
    for child in pair.clone().into_inner() {
        noted |= !notes_between(text, end, child.as_span().start()).0.is_empty();
        noted |= child.as_rule() == Rule::texts && child.as_str().split('"').step_by(2).any(|between| between.contains('#'));
        noted |= child.as_rule() == Rule::kind && child.as_str().contains('#');
        // A calculation with comments or texts in it is laid out word by word.
        noted |= child.as_rule() == Rule::follows && child.as_str().contains(['#', '"']);
        end = child.as_span().end();
    }
    noted
}

/// From which word on a line is moved to a column, so that what clauses say stands in one line.
fn pad(pair: &Pair<Rule>, of: Rule) -> (usize, usize) {
    const HEADER: usize = 13;
    let labelled = pair.clone().into_inner().any(|part| part.as_rule() == Rule::label);
    match pair.as_rule() {
        Rule::force if of == Rule::pack => (2, HEADER),
        _ if of == Rule::pack => (1, HEADER),
        Rule::norm if labelled => (0, 0),
        Rule::norm | Rule::let_clause | Rule::except | Rule::remedy | Rule::cite | Rule::because | Rule::by => (1, CONTENT),
        Rule::trial_job | Rule::with | Rule::without | Rule::today | Rule::asks | Rule::finds_nothing | Rule::finds => (1, CONTENT),
        _ => (0, 0),
    }
}

/// The parts of a fact.
fn field(pair: Pair<Rule>) -> Field {
    let mut field = Field::default();
    for part in pair.into_inner() {
        let words = part.as_str().split_whitespace().collect::<Vec<_>>().join(" ");
        match part.as_rule() {
            Rule::word => field.name = words,
            Rule::kind => field.kind = words.replace(" ,", ",").replace(',', ", ").replace(",  ", ", "),
            Rule::follows => field.follows = words,
            Rule::texts => field.texts = part.into_inner().map(|text| text.as_str().to_string()).collect(),
            _ => {
                field.more.push_str(if field.more.is_empty() { "" } else { " " });
                field.more.push_str(&words);
            }
        }
    }
    field
}
