//! Adds what is open to the text of a job file, as commented lines beside the thing that lacks it: nothing that stands there is touched,
//! and the file says what it said before. It must not know how questions are found.

use super::open::{Lacks, Open};
use crate::job::yaml::{Node, NodeId, Yaml, read_yaml};
use crate::job::{Children, Job, RecordId};
use crate::language::program::{Key, Program};
use crate::source::{Source, Span};
use std::collections::BTreeMap;

/// A file with lines added.
#[derive(Debug, PartialEq, Eq)]
pub struct Added {
    /// Its text.
    pub text: String,
    /// How many lines were added.
    pub lines: usize,
    /// How many stand there already, filled in or not.
    pub there: usize,
    /// How many could not be added without changing what the file says.
    pub left_out: usize,
}

/// The text with a line for everything that is open and has no key yet; `says` tells what stands in a line behind its key.
pub fn add(source: &Source, program: &Program, job: &Job, open: &[Open], says: impl Fn(&Open) -> String) -> Added {
    let (yaml, _) = read_yaml(source);
    let mut nodes = BTreeMap::new();
    if let Some(root) = yaml.root() {
        place_records(&yaml, program, job, RecordId::ROOT, root, &mut nodes);
    }
    let file = File::new(source, &yaml);
    let mut wanted: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    let (mut there, mut left_out) = (0, 0);
    for one in open {
        if one.has_key {
            there += 1;
            continue;
        }
        let Some(place) = nodes.get(&one.record).and_then(|node| file.place_in(program, job, one.record, *node)) else {
            left_out += 1;
            continue;
        };
        let line = format!("{}# {}:   # {}", " ".repeat(place.indent), key_of(program, job, one), says(one));
        if file.stands_at(place.at, &line) {
            there += 1;
        } else {
            wanted.entry(place.at).or_default().push(line);
        }
    }
    let kept = kept(source, &yaml, &file, wanted, &mut left_out);
    Added { text: file.with(&kept), lines: kept.values().map(Vec::len).sum(), there, left_out }
}

/// Where an answer stands in the file, or where it would be added: by line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Its key is there.
    Key(usize),
    /// On a line of its own below this one.
    Below(usize),
    /// Between the braces that end on this line.
    Braces(usize),
}

/// The spot of everything that is open; none where the file has no place for it.
pub fn spots(source: &Source, program: &Program, job: &Job, open: &[Open]) -> Vec<Option<Spot>> {
    let (yaml, _) = read_yaml(source);
    let mut nodes = BTreeMap::new();
    if let Some(root) = yaml.root() {
        place_records(&yaml, program, job, RecordId::ROOT, root, &mut nodes);
    }
    let file = File::new(source, &yaml);
    let line = |at: usize| source.place(at).line;
    let spot = |one: &Open| {
        let node = *nodes.get(&one.record)?;
        if one.has_key {
            let Node::Map(entries) = yaml.node(node) else { return None };
            let key = key_of(program, job, one);
            let (key, _) = entries.iter().find(|(at, _)| yaml.text(*at) == Some(key.as_str()))?;
            return Some(Spot::Key(line(yaml.span(*key).start as usize)));
        }
        let span = yaml.span(node);
        if source.slice(span.range()).starts_with('{') {
            return Some(Spot::Braces(line((span.end as usize).saturating_sub(1))));
        }
        let place = file.place_in(program, job, one.record, node)?;
        Some(Spot::Below(line(place.at.saturating_sub(1))))
    };
    open.iter().map(spot).collect()
}

/// The places at which lines can be added so that the file says what it said.
fn kept(
    source: &Source,
    yaml: &Yaml,
    file: &File,
    wanted: BTreeMap<usize, Vec<String>>,
    left_out: &mut usize,
) -> BTreeMap<usize, Vec<String>> {
    let says_the_same = |lines: &BTreeMap<usize, Vec<String>>| {
        let other = Source::new(source.name(), file.with(lines));
        let (read, slips) = read_yaml(&other);
        slips.is_empty() && alike(yaml, yaml.root(), &read, read.root())
    };
    if says_the_same(&wanted) {
        return wanted;
    }
    let mut kept = BTreeMap::new();
    for (at, lines) in wanted {
        let more = lines.len();
        kept.insert(at, lines);
        if !says_the_same(&kept) {
            kept.remove(&at);
            *left_out += more;
        }
    }
    kept
}

/// The key that an open answer is written behind.
pub fn key_of(program: &Program, job: &Job, open: &Open) -> String {
    let definition = program.definition(job.record(open.record).def);
    match open.lacks {
        Lacks::Fact(field) | Lacks::Day(field) => definition.fields[field].name.clone(),
        Lacks::List(child) => program.definition(definition.children[child]).key.clone(),
    }
}

/// Finds the node of each record by walking both in the same order.
fn place_records(yaml: &Yaml, program: &Program, job: &Job, record: RecordId, node: NodeId, into: &mut BTreeMap<RecordId, NodeId>) {
    into.insert(record, yaml.target(node));
    let Node::Map(entries) = yaml.node(node) else { return };
    let index = &program.index[job.record(record).def.0 as usize];
    for (key, value) in entries {
        let Some(Key::Child(child)) = yaml.text(*key).and_then(|text| index.get(text)) else { continue };
        let Children::Given(records, _) = &job.record(record).children[*child] else { continue };
        let nodes: Vec<NodeId> = match yaml.node(*value) {
            Node::List(items) => items.clone(),
            _ => vec![*value],
        };
        if nodes.len() == records.len() {
            for (record, node) in records.iter().zip(nodes) {
                place_records(yaml, program, job, *record, node, into);
            }
        }
    }
}

/// Where a line goes: the byte at which the next line starts, and how far it is indented.
struct Place {
    at: usize,
    indent: usize,
}

struct File<'a> {
    source: &'a Source,
    yaml: &'a Yaml<'a>,
    /// Scalars that go over several lines; nothing can stand between their lines.
    long: Vec<Span>,
}

impl<'a> File<'a> {
    fn new(source: &'a Source, yaml: &'a Yaml<'a>) -> File<'a> {
        let mut long = Vec::new();
        let mut waiting: Vec<NodeId> = yaml.root().into_iter().collect();
        while let Some(node) = waiting.pop() {
            // What an alias stands for is met where its anchor is.
            if yaml.target(node) != node {
                continue;
            }
            match yaml.node(node) {
                Node::Scalar(..) if source.slice(yaml.span(node).range()).contains(['\n', '\r']) => long.push(yaml.span(node)),
                Node::Map(entries) => waiting.extend(entries.iter().flat_map(|(key, value)| [*key, *value])),
                Node::List(items) => waiting.extend(items),
                _ => {}
            }
        }
        File { source, yaml, long }
    }

    /// Where lines of a record go: in a block below its own facts, above what it holds; of a record in braces below its end.
    fn place_in(&self, program: &Program, job: &Job, record: RecordId, node: NodeId) -> Option<Place> {
        let span = self.yaml.span(node);
        let Node::Map(entries) = self.yaml.node(node) else { return None };
        let start = span.start as usize;
        if self.source.slice(span.range()).starts_with('{') {
            return Some(Place { at: self.line_after(span.end as usize), indent: self.column(start) });
        }
        let index = &program.index[job.record(record).def.0 as usize];
        let holds = |key: NodeId| matches!(self.yaml.text(key).and_then(|text| index.get(text)), Some(Key::Child(_)));
        let facts = entries.iter().take_while(|(key, _)| !holds(*key));
        let (first, _) = entries.first()?;
        let indent = self.column(self.yaml.span(*first).start as usize);
        let Some((key, value)) = facts.last() else { return Some(Place { at: self.line_start(start), indent }) };
        let end = self.yaml.span(*key).end.max(self.yaml.span(*value).end);
        Some(Place { at: self.line_after(end as usize), indent })
    }

    /// The start of the line that holds a byte.
    fn line_start(&self, at: usize) -> usize {
        let starts = self.source.line_starts();
        let line = starts.partition_point(|start| *start as usize <= at);
        starts.get(line.saturating_sub(1)).map_or(0, |start| *start as usize)
    }

    /// The start of the line after that of a byte, and after any scalar that goes on there.
    fn line_after(&self, at: usize) -> usize {
        let starts = self.source.line_starts();
        let after = |at: usize| starts.iter().map(|start| *start as usize).find(|start| *start > at).unwrap_or(self.source.text().len());
        let mut next = after(at.saturating_sub(1));
        while let Some(span) = self.long.iter().find(|span| (span.start as usize) < next && next < span.end as usize) {
            next = after(span.end as usize);
        }
        next
    }

    fn column(&self, at: usize) -> usize {
        self.source.slice(self.line_start(at)..at).chars().count()
    }

    /// Whether a line like that stands among the comments at a place.
    fn stands_at(&self, at: usize, line: &str) -> bool {
        let below = self.source.text().get(at..).unwrap_or("");
        below.lines().map(str::trim).take_while(|below| below.starts_with('#')).any(|below| below == line.trim())
    }

    /// The text with lines at places.
    fn with(&self, lines: &BTreeMap<usize, Vec<String>>) -> String {
        let text = self.source.text();
        let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
        let (mut result, mut from) = (String::with_capacity(text.len() + 4096), 0);
        for (at, lines) in lines {
            result.push_str(&text[from..*at]);
            from = *at;
            // A last line may have no end of its own.
            let open_end = *at == text.len() && !text.ends_with(['\n', '\r']);
            for line in lines {
                let whole = if open_end { [end, line.as_str()] } else { [line.as_str(), end] };
                whole.iter().for_each(|part| result.push_str(part));
            }
        }
        result.push_str(&text[from..]);
        result
    }
}

/// Whether two trees hold the same.
fn alike(one: &Yaml, a: Option<NodeId>, other: &Yaml, b: Option<NodeId>) -> bool {
    let (Some(a), Some(b)) = (a, b) else { return a.is_none() && b.is_none() };
    match (one.node(a), other.node(b)) {
        (Node::Scalar(text, plain), Node::Scalar(same, as_plain)) => text == same && plain == as_plain,
        (Node::List(items), Node::List(same)) => {
            items.len() == same.len() && items.iter().zip(same).all(|(a, b)| alike(one, Some(*a), other, Some(*b)))
        }
        (Node::Map(entries), Node::Map(same)) => {
            let both = |((key, value), (name, given)): (&(NodeId, NodeId), &(NodeId, NodeId))| {
                alike(one, Some(*key), other, Some(*name)) && alike(one, Some(*value), other, Some(*given))
            };
            entries.len() == same.len() && entries.iter().zip(same).all(both)
        }
        _ => false,
    }
}
