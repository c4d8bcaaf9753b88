//! Job files as trees without places: read through the program's own reader, written in any style.

use super::Choices;
use pintle::job::yaml::{Node, NodeId, Yaml, read_yaml};
use pintle::source::Source;
use std::fmt::Write as _;

/// A value of a job file. A scalar keeps whether it stood without quotes, since `none` in quotes is a text.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Tree {
    Scalar(String, bool),
    Map(Vec<(String, Tree)>),
    List(Vec<Tree>),
}

impl Tree {
    /// Reads a job file, through its aliases; the slips where it has any.
    pub fn read(text: &str) -> Result<Tree, Vec<String>> {
        let source = Source::new("job.yaml", text);
        let (yaml, slips) = read_yaml(&source);
        if !slips.is_empty() {
            return Err(slips.iter().map(|slip| format!("{}: {}", slip.name, slip.message)).collect());
        }
        yaml.root().map(|root| Tree::of(&yaml, root)).ok_or_else(|| vec!["nothing in it".into()])
    }

    fn of(yaml: &Yaml, id: NodeId) -> Tree {
        match yaml.node(id) {
            Node::Scalar(text, plain) => Tree::Scalar(text.to_string(), *plain),
            Node::Map(entries) => {
                let key = |key: NodeId| yaml.text(key).unwrap_or("?").to_string();
                Tree::Map(entries.iter().map(|(name, value)| (key(*name), Tree::of(yaml, *value))).collect())
            }
            Node::List(items) => Tree::List(items.iter().map(|item| Tree::of(yaml, *item)).collect()),
            Node::Alias(_) => unreachable!("an alias stands for another node"),
        }
    }

    /// Changes every scalar.
    pub fn each_scalar(&mut self, change: &mut impl FnMut(&mut String, bool)) {
        match self {
            Tree::Scalar(text, plain) => change(text, *plain),
            Tree::Map(entries) => entries.iter_mut().for_each(|(_, value)| value.each_scalar(change)),
            Tree::List(items) => items.iter_mut().for_each(|item| item.each_scalar(change)),
        }
    }

    /// Forgets which scalars stood without quotes; a blank and a tilde are one then.
    pub fn forget_quotes(&mut self) {
        match self {
            Tree::Scalar(text, plain) => {
                if *plain && text == "~" {
                    text.clear();
                }
                *plain = false;
            }
            Tree::Map(entries) => entries.iter_mut().for_each(|(_, value)| value.forget_quotes()),
            Tree::List(items) => items.iter_mut().for_each(Tree::forget_quotes),
        }
    }

    /// Puts the keys of every mapping into another order.
    pub fn reorder(&mut self, choices: &mut Choices) {
        match self {
            Tree::Scalar(..) => {}
            Tree::Map(entries) => {
                for at in (1..entries.len()).rev() {
                    // A choice of nought leaves the key where it is.
                    entries.swap(at, at - choices.of(at + 1));
                }
                entries.iter_mut().for_each(|(_, value)| value.reorder(choices));
            }
            Tree::List(items) => items.iter_mut().for_each(|item| item.reorder(choices)),
        }
    }
}

/// What may differ between two texts that say the same.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// Lists and records may stand in brackets or on lines of their own, with any indentation.
    pub flow: bool,
    /// Quotes may be put where they change nothing.
    pub quotes: bool,
    /// Values that come again may be written as aliases.
    pub aliases: bool,
    /// Comments and blank lines may stand between.
    pub comments: bool,
    /// Lines end in CR LF.
    pub carriage: bool,
}

pub struct Writer<'c, 'b> {
    out: String,
    style: Style,
    choices: &'c mut Choices<'b>,
    anchors: Vec<Tree>,
}

/// Writes a job file.
pub fn write(tree: &Tree, style: Style, choices: &mut Choices) -> String {
    let mut writer = Writer { out: String::new(), style, choices, anchors: Vec::new() };
    writer.block(tree, 0);
    let mut text = writer.out;
    if style.comments {
        text = with_comments(&text, choices);
    }
    if style.carriage { text.replace('\n', "\r\n") } else { text }
}

/// No scalar runs over two lines here, so a comment may end any line or stand between any two.
fn with_comments(text: &str, choices: &mut Choices) -> String {
    let notes = ["# a note", "#", "    # gates: none", "# - id: {x: [", "", "", "   ", "# \"", "#\ttab"];
    let mut out = String::new();
    for line in text.lines() {
        for _ in 0..choices.of(16).saturating_sub(12) {
            out.push_str(notes[choices.of(notes.len())]);
            out.push('\n');
        }
        out.push_str(line);
        if choices.chance(3) {
            out.push_str([" # and so on", "   #", " # 5 in: \"", "  "][choices.of(4)]);
        }
        out.push('\n');
    }
    out
}

impl Writer<'_, '_> {
    fn block(&mut self, tree: &Tree, indent: usize) {
        match tree {
            Tree::Map(entries) if !entries.is_empty() => {
                for (at, (key, value)) in entries.iter().enumerate() {
                    if at > 0 {
                        self.blanks(indent);
                    }
                    let key = self.scalar_text(key, false, false);
                    let _ = write!(self.out, "{key}:");
                    self.after_key(value, indent);
                }
            }
            Tree::List(items) if !items.is_empty() => {
                for (at, item) in items.iter().enumerate() {
                    if at > 0 {
                        self.blanks(indent);
                    }
                    self.out.push('-');
                    self.item(item, indent);
                }
            }
            inline => self.inline(inline, indent),
        }
    }

    fn blanks(&mut self, count: usize) {
        self.out.extend(std::iter::repeat_n(' ', count));
    }

    /// The value of a key: on the same line in one piece, or below it.
    fn after_key(&mut self, value: &Tree, indent: usize) {
        let list = matches!(value, Tree::List(_));
        if self.one_piece(value) {
            return self.inline(value, indent);
        }
        let anchor = self.anchor(value);
        if let Some(anchor) = anchor {
            let _ = write!(self.out, " {anchor}");
            if anchor.starts_with('*') {
                self.out.push('\n');
                return;
            }
        }
        self.out.push('\n');
        // A list may stand as far left as its key.
        let step = if self.style.flow { self.choices.of(4) + usize::from(!list) } else { 2 };
        self.blanks(indent + step);
        self.block(value, indent + step);
    }

    /// An item of a list: a record may start on the line of the dash.
    fn item(&mut self, item: &Tree, indent: usize) {
        if self.one_piece(item) {
            return self.inline(item, indent);
        }
        let pad = if self.style.flow { 1 + self.choices.of(3) } else { 1 };
        if self.style.flow && self.choices.chance(3) {
            self.out.push('\n');
            self.blanks(indent + 1 + pad);
        } else {
            self.blanks(pad);
        }
        self.block(item, indent + 1 + pad);
    }

    fn one_piece(&mut self, value: &Tree) -> bool {
        match value {
            Tree::Scalar(..) => true,
            Tree::Map(entries) => entries.is_empty() || self.style.flow && self.choices.chance(4),
            Tree::List(items) => items.is_empty() || self.style.flow && self.choices.chance(6),
        }
    }

    fn inline(&mut self, value: &Tree, indent: usize) {
        let empty = matches!(value, Tree::Scalar(text, true) if text.is_empty());
        if !empty {
            let gap = if self.style.flow && self.choices.chance(2) { 3 } else { 1 };
            self.blanks(gap);
        }
        self.flow(value, indent, false);
        self.out.push('\n');
    }

    /// One value in flow style.
    fn flow(&mut self, value: &Tree, indent: usize, inside: bool) {
        if let Some(anchor) = self.anchor(value) {
            self.out.push_str(&anchor);
            if anchor.starts_with('*') {
                // The name of an anchor must not take in a comma or a bracket.
                self.out.push_str(if inside { " " } else { "" });
                return;
            }
            self.out.push(' ');
        }
        match value {
            Tree::Scalar(text, plain) => {
                let text = self.scalar_text(text, *plain, inside);
                self.out.push_str(&text);
            }
            Tree::Map(entries) => {
                self.out.push('{');
                for (at, (key, value)) in entries.iter().enumerate() {
                    self.comma(at, indent);
                    let key = self.scalar_text(key, false, true);
                    let _ = write!(self.out, "{key}: ");
                    self.flow(value, indent, true);
                }
                self.out.push('}');
            }
            Tree::List(items) => {
                self.out.push('[');
                for (at, item) in items.iter().enumerate() {
                    self.comma(at, indent);
                    self.flow(item, indent, true);
                }
                self.out.push(']');
            }
        }
    }

    fn comma(&mut self, at: usize, indent: usize) {
        if at == 0 {
            return;
        }
        self.out.push(',');
        if self.style.flow && self.choices.chance(3) {
            self.out.push('\n');
            self.blanks(indent + 4);
        } else {
            self.out.push(' ');
        }
    }

    /// An anchor at the first of equal values, an alias at a later one.
    fn anchor(&mut self, value: &Tree) -> Option<String> {
        let worth = match value {
            Tree::Scalar(text, _) => !text.is_empty(),
            Tree::Map(entries) => !entries.is_empty(),
            Tree::List(items) => !items.is_empty(),
        };
        if !self.style.aliases || !worth {
            return None;
        }
        if let Some(at) = self.anchors.iter().position(|known| known == value) {
            return self.choices.chance(12).then(|| format!("*a{at}"));
        }
        if !self.choices.chance(8) {
            return None;
        }
        self.anchors.push(value.clone());
        Some(format!("&a{}", self.anchors.len() - 1))
    }

    /// A scalar on one line. What stood without quotes and means something so (`none`, nothing at all) stays so.
    pub fn scalar_text(&mut self, text: &str, plain: bool, inside: bool) -> String {
        let bare = plain && matches!(text, "none" | "~" | "");
        if bare || fits_plain(text, inside) && !(self.style.quotes && self.choices.chance(5)) {
            return if inside && text.is_empty() { "~".into() } else { text.to_string() };
        }
        let single = !text.contains(|c: char| c.is_control() || matches!(c, '\u{feff}' | '\u{85}' | '\u{2028}' | '\u{2029}'));
        if single && !(self.style.quotes && self.choices.chance(8)) {
            return format!("'{}'", text.replace('\'', "''"));
        }
        double_quoted(text)
    }
}

/// Whether a text may stand without quotes.
pub fn fits_plain(text: &str, inside: bool) -> bool {
    let mut chars = text.chars();
    let Some(first) = chars.next() else { return false };
    let second = chars.next();
    let starts = match first {
        '-' => second.is_some_and(|c| c != ' ' && !(inside && ",[]{}".contains(c))),
        // The other reader takes `?a` and `:a` in brackets for marks, so they are never left bare.
        _ => !"?:#,[]{}&*!|>'\"%@`".contains(first),
    };
    let odd = text.contains(|c: char| c.is_control() || c == '\u{feff}' || inside && ",[]{}".contains(c));
    starts
        && !odd
        && text.trim() == text
        && !text.contains(": ")
        && !text.contains(" #")
        && !text.ends_with(':')
        && !text.starts_with("---")
        && !text.starts_with("...")
}

fn double_quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() || c == '\u{feff}' => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out + "\""
}
