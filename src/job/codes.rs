//! Reads the codes that a job names, before any vocabulary is known. It must not know what a code says.

use super::record::CodeName;
use super::yaml::{Node, NodeId, Yaml};
use crate::slip::Slip;
use crate::source::Span;

/// The codes that a job names; read before any vocabulary is known.
pub fn codes_of(yaml: &Yaml) -> Result<Vec<CodeName>, Slip> {
    let missing = |span: Option<Span>| {
        let slip = match span {
            Some(span) => Slip::at(span, "no-codes", "the job names no codes").label("here"),
            None => Slip::of_file("no-codes", "the job names no codes"),
        };
        slip.hint("add the packs that the job must meet, as in `codes: [us-gates, field-practice]`")
    };
    let Some(root) = yaml.root() else {
        return Err(no_job());
    };
    if !matches!(yaml.node(root), Node::Map(_)) {
        let slip = Slip::at(yaml.span(root), "no-job", "no job in this file").label("the file holds this");
        return Err(slip.hint("a job file is a YAML mapping that starts with `title:` and `codes:`"));
    }
    let Some((key, value)) = yaml.get(root, "codes") else { return Err(missing(None)) };
    let names: Vec<NodeId> = match yaml.node(value) {
        Node::List(items) => items.clone(),
        _ => vec![value],
    };
    let empty = |name: &NodeId| matches!(yaml.text(*name), Some("~" | ""));
    if names.iter().all(empty) {
        return Err(missing(Some(yaml.span(key))));
    }
    names.into_iter().map(|name| code_name(yaml, name, key)).collect()
}

/// One code of the list. An entry that names none is told, since a code that is passed over would judge nothing.
fn code_name(yaml: &Yaml, name: NodeId, key: NodeId) -> Result<CodeName, Slip> {
    let Some(text) = yaml.text(name).filter(|text| !matches!(*text, "~" | "")) else {
        let span = if yaml.span(name).range().is_empty() { yaml.span(key) } else { yaml.span(name) };
        return Err(Slip::at(span, "odd-code", "an entry of `codes` that names no pack")
            .label("here")
            .hint("write the name of a pack, or take the entry out"));
    };
    let (name_text, edition) = text.split_once(' ').map_or((text, None), |(name, edition)| (name, Some(edition.trim().to_string())));
    Ok(CodeName { name: name_text.to_string(), edition, span: yaml.span(name) })
}

/// A file that holds no job.
pub fn no_job() -> Slip {
    Slip::of_file("no-job", "no job in this file").hint("a job file is a YAML mapping that starts with `title:` and `codes:`")
}
