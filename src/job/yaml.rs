//! The located tree of a YAML file: every key and scalar keeps its bytes. It owns the limits on what is read; it must not
//! know what a key means.

use super::not_yaml::in_words;
use crate::slip::{Slip, tell};
use crate::source::{FileId, Source, Span};
use granit_parser::{Event, Parser, ScalarStyle, options};
use std::borrow::Cow;
use std::collections::HashMap;

/// Largest job file, in bytes.
pub const LARGEST_FILE: u64 = 16 * 1024 * 1024;
/// Deepest nesting of a job file.
pub const DEEPEST: usize = 48;
/// Most nodes of a job file.
const MOST_NODES: usize = 2_000_000;

/// Bytes of a job file for each of its nodes, at the most.
const BYTES_A_NODE: usize = 8;
/// Most nodes that room is made for before any is read.
const ROOM: usize = 4096;
/// Most keys of a mapping that are held against each other one by one.
const FEW_KEYS: usize = 24;

/// A node of the tree, by its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct NodeId(u32);

/// What a node is.
#[derive(Debug)]
pub enum Node<'a> {
    /// A scalar: its text, and whether it was written without quotes.
    Scalar(Cow<'a, str>, bool),
    /// A mapping: keys and values in order.
    Map(Vec<(NodeId, NodeId)>),
    /// A list.
    List(Vec<NodeId>),
    /// Another node, by its anchor.
    Alias(NodeId),
}

/// A YAML file as a flat list of nodes, so that neither building nor dropping it can run out of stack.
#[derive(Debug)]
pub struct Yaml<'a> {
    nodes: Vec<(Node<'a>, Span)>,
    root: Option<NodeId>,
}

impl<'a> Yaml<'a> {
    /// The top node, if the file has one.
    pub fn root(&self) -> Option<NodeId> {
        self.root
    }

    /// A node, through aliases. The place is that of the use, the content that of the anchor.
    pub fn node(&self, id: NodeId) -> &Node<'a> {
        match &self.nodes[id.0 as usize].0 {
            Node::Alias(target) => &self.nodes[target.0 as usize].0,
            node => node,
        }
    }

    /// Where a node stands; of an alias, where it is used.
    pub fn span(&self, id: NodeId) -> Span {
        self.nodes[id.0 as usize].1
    }

    /// The node that an alias stands for, or the node itself.
    pub fn target(&self, id: NodeId) -> NodeId {
        match &self.nodes[id.0 as usize].0 {
            Node::Alias(target) => *target,
            _ => id,
        }
    }

    /// The text of a scalar.
    pub fn text(&self, id: NodeId) -> Option<&str> {
        match self.node(id) {
            Node::Scalar(text, _) => Some(text),
            _ => None,
        }
    }

    /// The value of a key of a mapping.
    pub fn get(&self, map: NodeId, key: &str) -> Option<(NodeId, NodeId)> {
        let Node::Map(entries) = self.node(map) else { return None };
        entries.iter().find(|(name, _)| self.text(*name) == Some(key)).copied()
    }

    /// How many nodes the file has.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Whether the file has no node at all.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }
}

struct Open {
    node: NodeId,
    /// In a mapping: the key that waits for its value.
    key: Option<NodeId>,
}

struct TreeBuilder<'a> {
    source: &'a Source,
    yaml: Yaml<'a>,
    open: Vec<Open>,
    anchors: HashMap<usize, NodeId>,
    slips: Vec<Slip>,
    documents: usize,
}

/// Reads a YAML file. What is wrong with the YAML itself ends the reading; everything else is told beside the tree.
pub fn read_yaml(source: &Source) -> (Yaml<'_>, Vec<Slip>) {
    let mut builder = TreeBuilder {
        source,
        // Room for a job of usual density; growing moves every node.
        yaml: Yaml { nodes: Vec::with_capacity((source.text().len() / BYTES_A_NODE).min(ROOM)), root: None },
        open: Vec::new(),
        anchors: HashMap::new(),
        slips: Vec::new(),
        documents: 0,
    };
    let options = options! {
        strict_indentation: true,
        disallow_directives: true,
        emit_comments: false,
        flow_nesting_limit: DEEPEST,
        block_nesting_limit: DEEPEST,
    };
    for next in Parser::new_from_str_with_options(source.text(), options) {
        match next {
            Ok((event, span)) => {
                if !builder.event(event, &span) {
                    break;
                }
            }
            Err(error) => {
                builder.yaml_slip(&error);
                break;
            }
        }
    }
    (builder.yaml, builder.slips)
}

impl<'a> TreeBuilder<'a> {
    fn span(&self, span: &granit_parser::Span) -> Span {
        let range = span.byte_range().unwrap_or(0..0);
        Span::new(FileId::JOB, range.start, range.end)
    }

    fn yaml_slip(&mut self, error: &granit_parser::ScanError) {
        let at = error.marker().byte_offset().unwrap_or(0).min(self.source.text().len());
        let end = (at + 1).min(self.source.text().len().max(1));
        let (message, hint) = in_words(self.source, error, at);
        self.slips.push(Slip::at(Span::new(FileId::JOB, at, end), "not-yaml", message).label("reading stopped here").hint(hint));
    }

    /// Takes in one event; false ends the reading.
    fn event(&mut self, event: Event<'a>, place: &granit_parser::Span) -> bool {
        let span = self.span(place);
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                if self.documents == 2 {
                    let slip = Slip::at(span, "several-documents", "a second document in one job file").label("it starts here");
                    self.slips.push(slip.hint("one job a file: put the second document into a file of its own"));
                    return false;
                }
            }
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_tag(tag.is_some(), span);
                let plain = style == ScalarStyle::Plain;
                let span = self.trimmed(span, plain, style);
                return self.add(Node::Scalar(text, plain), span, anchor).is_some();
            }
            Event::SequenceStart(_, anchor, tag) => {
                self.refuse_tag(tag.is_some(), span);
                return self.open(Node::List(Vec::new()), span, anchor);
            }
            Event::MappingStart(_, anchor, tag) => {
                self.refuse_tag(tag.is_some(), span);
                return self.open(Node::Map(Vec::new()), span, anchor);
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Alias(anchor) => return self.alias(anchor, span),
            _ => {}
        }
        true
    }

    /// A block scalar's place ends at the next token; the blank lines after its text do not belong to it.
    fn trimmed(&self, span: Span, plain: bool, style: ScalarStyle) -> Span {
        let blocks = matches!(style, ScalarStyle::Literal | ScalarStyle::Folded);
        if !plain && !blocks {
            return span;
        }
        let text = self.source.slice(span.range());
        if plain && text == "~" && span.start == span.end {
            return span;
        }
        Span::new(FileId::JOB, span.start as usize, span.start as usize + text.trim_end().len())
    }

    fn refuse_tag(&mut self, tagged: bool, span: Span) {
        if tagged {
            let slip = Slip::at(span, "yaml-tag", "a YAML tag")
                .label("on this value")
                .hint("take the `!…` out; each value is read by the kind that its definition gives it");
            tell(&mut self.slips, slip);
        }
    }

    fn add(&mut self, node: Node<'a>, span: Span, anchor: usize) -> Option<NodeId> {
        if self.yaml.nodes.len() >= MOST_NODES {
            self.slips.push(
                Slip::at(span, "too-large", format!("more than {MOST_NODES} values in one job file"))
                    .label("reading stopped here")
                    .hint("split the job"),
            );
            return None;
        }
        let id = NodeId(u32::try_from(self.yaml.nodes.len()).unwrap_or(u32::MAX));
        self.yaml.nodes.push((node, span));
        if anchor != 0 {
            self.anchors.insert(anchor, id);
        }
        match self.open.last_mut() {
            None => self.yaml.root = self.yaml.root.or(Some(id)),
            Some(Open { node, key }) => match &mut self.yaml.nodes[node.0 as usize].0 {
                Node::List(items) => items.push(id),
                Node::Map(entries) => match key.take() {
                    None => *key = Some(id),
                    Some(name) => entries.push((name, id)),
                },
                _ => {}
            },
        }
        Some(id)
    }

    fn open(&mut self, node: Node<'a>, span: Span, anchor: usize) -> bool {
        if self.open.len() >= DEEPEST {
            self.slips.push(
                Slip::at(span, "too-deep", format!("more than {DEEPEST} levels of nesting"))
                    .label("reading stopped here")
                    .hint("a job file is not nested so deep"),
            );
            return false;
        }
        let Some(id) = self.add(node, span, anchor) else { return false };
        self.open.push(Open { node: id, key: None });
        true
    }

    fn close(&mut self, span: Span) {
        let Some(open) = self.open.pop() else { return };
        let (node, place) = &mut self.yaml.nodes[open.node.0 as usize];
        place.end = place.end.max(span.end);
        let text = self.source.slice(place.range());
        place.end = place.start + u32::try_from(text.trim_end().len()).unwrap_or(0);
        if let Node::Map(entries) = node {
            let entries: Vec<NodeId> = entries.iter().map(|(key, _)| *key).collect();
            self.check_keys(&entries);
        }
    }

    fn alias(&mut self, anchor: usize, span: Span) -> bool {
        let Some(target) = self.anchors.get(&anchor).copied() else { return true };
        if self.open.iter().any(|open| open.node == target) {
            self.slips.push(
                Slip::at(span, "circle", "an alias inside the value that it stands for")
                    .label("it would never end")
                    .hint("write the value out"),
            );
            return false;
        }
        // An alias of an alias cannot be written in YAML, so the target holds content.
        self.add(Node::Alias(target), span, 0).is_some()
    }

    /// The place of the last of these keys that is this word.
    fn before(&self, keys: &[NodeId], text: &str) -> Option<Span> {
        keys.iter().rev().find(|key| self.yaml.text(**key) == Some(text)).map(|key| self.yaml.span(*key))
    }

    /// Keys must be plain words, each once; merge keys are refused, since a rule would look for a key that is not there.
    fn check_keys(&mut self, keys: &[NodeId]) {
        let few = keys.len() <= FEW_KEYS;
        let mut seen: HashMap<&str, Span> = HashMap::with_capacity(if few { 0 } else { keys.len() });
        let mut found = Vec::new();
        for (at, key) in keys.iter().enumerate() {
            let span = self.yaml.span(*key);
            let Some(text) = self.yaml.text(*key) else {
                found.push(
                    Slip::at(span, "odd-key", "a key that is no word").label("this key").hint("keys are the words that definitions name"),
                );
                continue;
            };
            if text == "<<" {
                found.push(
                    Slip::at(span, "merge-key", "a merge key").label("here").hint("write the values out, or use an alias for each of them"),
                );
            } else if let Some(first) = if few { self.before(&keys[..at], text) } else { seen.insert(text, span) } {
                found.push(
                    Slip::at(span, "doubled-key", format!("a second `{text}`"))
                        .label("this one")
                        .other(first, "the first")
                        .hint("take one of them out"),
                );
            }
        }
        found.into_iter().for_each(|slip| tell(&mut self.slips, slip));
    }
}
