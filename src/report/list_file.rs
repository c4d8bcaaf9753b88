//! Small YAML files that belong to a folder and not to a job, read strictly: every key is known, every value has its form, and what
//! is not so is a slip at its line. It owns their reading and the writing of a text; it must not know what a list is for.

use super::escape::{is_order, is_unsafe};
use crate::job::yaml::{Node, NodeId, Yaml, read_yaml};
use crate::quantity::Days;
use crate::slip::{Slip, suggest};
use crate::source::{FileId, Source, Span};
use jiff::civil::Date;

/// A file being read.
pub struct ListFile<'a> {
    yaml: Yaml<'a>,
    /// What is wrong with it.
    pub slips: Vec<Slip>,
}

/// One mapping of the file.
#[derive(Clone, Copy)]
pub struct Item {
    node: NodeId,
}

impl<'a> ListFile<'a> {
    /// Reads a file whose top says `kind: 1` and `list:` with its items, and nothing else.
    pub fn read(source: &'a Source, kind: &'static str, list: &'static str) -> (ListFile<'a>, Vec<Item>) {
        let (yaml, slips) = read_yaml(source);
        let mut file = ListFile { yaml, slips };
        let start = Span::new(FileId::JOB, 0, usize::from(!source.text().is_empty()));
        if !file.slips.is_empty() {
            return (file, Vec::new());
        }
        let Some(root) = file.yaml.root() else {
            file.slip(start, "malformed-list", "an empty file", format!("it starts with `{kind}: 1`"));
            return (file, Vec::new());
        };
        let Some(top) = file.item(root, &[kind, list]) else { return (file, Vec::new()) };
        if file.text(top, kind).is_some_and(|version| version != "1") {
            file.slip_at(top, kind, "unknown-version", "a newer kind of list", "this program reads 1".into());
            return (file, Vec::new());
        }
        let items = file.items(top, list);
        (file, items)
    }

    /// Where an item stands.
    pub fn span(&self, item: Item) -> Span {
        self.yaml.span(item.node)
    }

    /// The mapping at a node; its keys are among these.
    pub fn item(&mut self, node: NodeId, known: &[&str]) -> Option<Item> {
        let span = self.yaml.span(node);
        let Node::Map(entries) = self.yaml.node(node) else {
            self.slip(span, "malformed-entry", "keys with values are wanted here", format!("it has the keys {}", known.join(", ")));
            return None;
        };
        let unknown: Vec<(Span, String)> = entries
            .iter()
            .filter_map(|(key, _)| Some((self.yaml.span(*key), self.yaml.text(*key)?.to_string())))
            .filter(|(_, key)| !known.contains(&key.as_str()))
            .collect();
        let good = unknown.is_empty();
        for (span, key) in unknown {
            let hint = suggest(&key, known.iter().copied()).unwrap_or_default();
            self.slip(span, "unknown-key", &format!("no key `{key}` here"), hint);
        }
        good.then_some(Item { node })
    }

    /// The nodes of a list, unread; none where it is left out. Nothing comes of what is no list.
    pub fn nodes(&mut self, item: Item, key: &'static str) -> Option<Vec<NodeId>> {
        let Some((name, value)) = self.yaml.get(item.node, key) else { return Some(Vec::new()) };
        if let Node::List(items) = self.yaml.node(value) {
            return Some(items.clone());
        }
        let span = self.yaml.span(name);
        self.slip(span, "malformed-entry", &format!("`{key}` is no list"), "write its items below it, each with a dash".into());
        None
    }

    fn items(&mut self, item: Item, key: &'static str) -> Vec<Item> {
        if self.yaml.get(item.node, key).is_none() {
            let span = self.span(item);
            self.slip(span, "malformed-list", &format!("no `{key}`"), format!("write `{key}: []` where there is nothing"));
        }
        self.nodes(item, key).unwrap_or_default().into_iter().map(|node| Item { node }).collect()
    }

    /// Again as an item with known keys; an item of a list is unread until then.
    pub fn known(&mut self, item: Item, keys: &[&str]) -> Option<Item> {
        self.item(item.node, keys)
    }

    /// The text at a node that is one.
    pub fn text_of(&mut self, node: NodeId) -> Option<String> {
        let text = self.yaml.text(node).filter(|text| !text.trim().is_empty()).map(str::to_string);
        if text.is_none() {
            let span = self.yaml.span(node);
            self.slip(span, "malformed-entry", "a text is wanted here", "write it between quotes".into());
        }
        text
    }

    /// The text of a key that must be there and must say something.
    pub fn text(&mut self, item: Item, key: &'static str) -> Option<String> {
        match self.yaml.get(item.node, key) {
            Some((_, value)) => self.text_of(value),
            None => {
                let span = self.span(item);
                self.slip(span, "malformed-entry", &format!("an entry without `{key}`"), "until it has one it counts for nothing".into());
                None
            }
        }
    }

    /// The text of a key that may be left out.
    pub fn text_maybe(&mut self, item: Item, key: &'static str) -> Option<String> {
        self.yaml.get(item.node, key)?;
        self.text(item, key)
    }

    /// The whole day of a key.
    pub fn day(&mut self, item: Item, key: &'static str) -> Option<Date> {
        let text = self.text(item, key)?;
        match Days::read(&text) {
            Ok(days) if days.is_known() => Some(days.first),
            _ => {
                self.slip_at(item, key, "malformed-entry", "no whole day", "write it as in 2026-03-02".into());
                None
            }
        }
    }

    /// Tells a slip at the value of a key, or at the item.
    pub fn slip_at(&mut self, item: Item, key: &str, name: &'static str, message: &str, hint: String) {
        let span = self.yaml.get(item.node, key).map_or_else(|| self.span(item), |(_, value)| self.yaml.span(value));
        self.slip(span, name, &format!("`{key}`: {message}"), hint);
    }

    /// Tells a slip.
    pub fn slip(&mut self, span: Span, name: &'static str, message: &str, hint: String) {
        let slip = Slip::at(span, name, message).label("here");
        self.slips.push(slip.hint_maybe((!hint.is_empty()).then_some(hint)));
    }
}

/// A text between quotes, on one line, with everything written out that a reader might not see.
pub fn quoted(text: &str) -> String {
    let mut result = String::with_capacity(text.len() + 2);
    result.push('"');
    for (at, c) in text.char_indices() {
        match (c, u32::from(c)) {
            ('#', _) if is_order(&text[at..]) => result.push_str("\\x23"),
            ('"' | '\\', _) => result.extend(['\\', c]),
            ('\n', _) => result.push_str("\\n"),
            (_, code @ 0..=0xff) if is_unsafe(c) => result.push_str(&format!("\\x{code:02x}")),
            (_, code @ 0..=0xffff) if is_unsafe(c) => result.push_str(&format!("\\u{code:04x}")),
            (_, code) if is_unsafe(c) => result.push_str(&format!("\\U{code:08x}")),
            _ => result.push(c),
        }
    }
    result.push('"');
    result
}
