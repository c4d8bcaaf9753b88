//! The job of a trial: the author's base job as a YAML value, with what differs put in, written out again for the ordinary
//! reader. It must not know what a key means.

use crate::job::yaml::{Node, NodeId, Yaml, read_yaml};
use crate::language::tree::{Edit, Name};
use crate::slip::Slip;
use crate::source::Source;
use serde_yaml::Value;

/// Reads a base job. The value is refused where writing it out again would change what a reader sees: YAML takes `1.10` for
/// a number and writes `1.1`, and a trial must not be about another job than its author wrote.
pub fn read_base(source: &Source) -> Result<Value, Slip> {
    let value: Value = serde_yaml::from_str(source.text())
        .map_err(|error| Slip::of_file("not-a-base-job", format!("{}: {error}", source.name())).hint("write the base job as plain YAML"))?;
    let written = Source::new(source.name(), write(&value)?);
    let ((before, slips), (after, _)) = (read_yaml(source), read_yaml(&written));
    if let Some(slip) = slips.into_iter().find(|slip| !slip.harmless) {
        return Err(Slip::of_file("not-a-base-job", format!("{}: {}", source.name(), slip.message)).hint_maybe(slip.hint));
    }
    let roots = before.root().zip(after.root());
    match roots.and_then(|(one, other)| first_difference(&before, one, &after, other)) {
        None => Ok(value),
        Some(node) => {
            let line = source.place(before.span(node).start as usize).line;
            let message = format!("{}:{line}: this value does not stay as it is written when the job is changed", source.name());
            Err(Slip::of_file("not-a-base-job", message).hint("put it in quotes, or leave the key out where there is no value"))
        }
    }
}

/// The value as YAML text.
pub fn write(value: &Value) -> Result<String, Slip> {
    serde_yaml::to_string(value).map_err(|error| Slip::of_file("not-a-base-job", format!("the changed job cannot be written: {error}")))
}

/// The first node that reads differently in the two trees. The located tree has a limit on its depth, so this ends.
fn first_difference(one: &Yaml, at: NodeId, other: &Yaml, beside: NodeId) -> Option<NodeId> {
    match (one.node(at), other.node(beside)) {
        (Node::Scalar(a, plain_a), Node::Scalar(b, plain_b)) => {
            // Only for these does it matter to the reader of jobs whether they stand in quotes.
            let quotes_matter = matches!(a.as_ref(), "none" | "~" | "");
            (a != b || quotes_matter && plain_a != plain_b).then_some(at)
        }
        (Node::List(a), Node::List(b)) if a.len() == b.len() => {
            a.iter().zip(b).find_map(|(one_item, other_item)| first_difference(one, *one_item, other, *other_item))
        }
        (Node::Map(a), Node::Map(b)) if a.len() == b.len() => a.iter().zip(b).find_map(|((key_a, value_a), (key_b, value_b))| {
            first_difference(one, *key_a, other, *key_b).or_else(|| first_difference(one, *value_a, other, *value_b))
        }),
        _ => Some(at),
    }
}

/// Puts what differs into a job.
pub fn put(job: &mut Value, edit: &Edit) -> Result<(), Slip> {
    let new = match &edit.value {
        None => None,
        Some(text) => Some(serde_yaml::from_str::<Value>(&text.text).map_err(|error| {
            let slip = Slip::at(text.span, "not-a-value", format!("this cannot be read as YAML: {error}")).label("here");
            slip.hint("write it as it would stand behind the key, such as 30 in, none, [opening] or {id: low, height: 30 in}")
        })?),
    };
    let Some((last, above)) = edit.way.names.split_last() else { return Ok(()) };
    let holder = above.iter().try_fold(job, |at, step| descend(at, step))?;
    match holder {
        Value::Mapping(map) => match new {
            Some(value) => {
                map.insert(Value::String(last.text.clone()), value);
                Ok(())
            }
            None => map.remove(last.text.as_str()).map(|_| ()).ok_or_else(|| nothing_there(last, "has no such key")),
        },
        Value::Sequence(list) => put_record(list, last, new),
        _ => Err(nothing_there(last, "holds a value at this place, and nothing below it")),
    }
}

/// Replaces, adds or takes out a record of a list.
fn put_record(list: &mut Vec<Value>, id: &Name, new: Option<Value>) -> Result<(), Slip> {
    let place = list.iter().position(|record| has_id(record, &id.text));
    match (new, place) {
        (None, Some(place)) => {
            list.remove(place);
        }
        (None, None) => return Err(nothing_there(id, "has no record of this id")),
        (Some(Value::Mapping(facts)), place) => {
            let mut record = serde_yaml::Mapping::new();
            record.insert("id".into(), Value::String(id.text.clone()));
            record.extend(facts.into_iter().filter(|(key, _)| key.as_str() != Some("id")));
            match place {
                Some(place) => list[place] = Value::Mapping(record),
                None => list.push(Value::Mapping(record)),
            }
        }
        (Some(_), _) => {
            return Err(Slip::at(id.span, "not-a-value", "a record of a list has facts of its own")
                .label("this record")
                .hint("write them in braces, as in \"{height: 30 in, span: 20 ft}\""));
        }
    }
    Ok(())
}

fn descend<'v>(at: &'v mut Value, step: &Name) -> Result<&'v mut Value, Slip> {
    let found = match at {
        Value::Mapping(map) => map.get_mut(step.text.as_str()),
        Value::Sequence(list) => list.iter_mut().find(|record| has_id(record, &step.text)),
        _ => None,
    };
    found.ok_or_else(|| nothing_there(step, "has nothing of this name at this place"))
}

fn has_id(record: &Value, id: &str) -> bool {
    match record.get("id") {
        Some(Value::String(text)) => text == id,
        Some(Value::Number(number)) => number.to_string() == id,
        _ => false,
    }
}

fn nothing_there(step: &Name, what: &str) -> Slip {
    Slip::at(step.span, "no-such-place", format!("`{}`: the base job {what}", step.text))
        .label("here")
        .hint("name keys and the ids of records from the job down, as in gates.main.beams.low.height")
}
