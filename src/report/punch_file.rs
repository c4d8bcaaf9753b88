//! How a punch list is kept: a YAML file with one entry a finding. It owns the reading and the writing; it must not know findings.

use super::list_file::{Item, ListFile, quoted};
use super::miss::Miss;
use super::punch_list::{Agreement, Entry, Found, Key, LISTABLE, PunchList};
use crate::slip::Slip;
use crate::source::{Source, Span};
use std::collections::BTreeMap;
use std::fmt::Write;

const KEYS: [&str; 12] = ["job", "code", "section", "clause", "thing", "verdict", "misses", "lacks", "reason", "owner", "agreed", "due"];

const HEAD: &str = "# Findings that are known and still to be put right. `pintle check --punch-list` tells them and fails only on
# others; `pintle punch-list` writes this file and takes off what is no longer found. Comments are not kept.
punch-list: 1
";

/// Reads a list. An entry with a slip is left out, so that it covers nothing.
pub fn read(source: Source) -> PunchList {
    let (entries, slips) = entries(&source);
    PunchList::new(source, entries, slips)
}

fn entries(source: &Source) -> (Vec<(Entry, Span)>, Vec<Slip>) {
    let (mut file, items) = ListFile::read(source, "punch-list", "entries");
    let mut entries: Vec<(Entry, Span)> = Vec::new();
    let mut places: BTreeMap<Key, Span> = BTreeMap::new();
    for item in items {
        let Some(entry) = entry(&mut file, item) else { continue };
        let span = file.span(item);
        match places.get(&entry.key) {
            Some(first) => {
                let slip = Slip::at(span, "doubled-entry", "a second entry for one finding").label("this one").other(*first, "the first");
                file.slips.push(slip.hint("take one of them out"));
            }
            None => {
                places.insert(entry.key.clone(), span);
                entries.push((entry, span));
            }
        }
    }
    (entries, file.slips)
}

fn entry(file: &mut ListFile, item: Item) -> Option<Entry> {
    let item = file.known(item, &KEYS)?;
    let texts = ["job", "code", "section", "thing", "clause", "verdict", "reason", "owner"].map(|key| file.text(item, key));
    let (agreed, due) = (file.day(item, "agreed"), file.day(item, "due"));
    let [Some(job), Some(code), Some(section), Some(thing), Some(clause), Some(verdict), Some(reason), Some(owner)] = texts else {
        return None;
    };
    let (agreed, due) = (agreed?, due?);
    let mut letters = clause.chars();
    let (Some(clause), None) = (letters.next(), letters.next()) else {
        file.slip_at(item, "clause", "malformed-entry", "no letter of a clause", "write it without brackets, as in \"a\"".into());
        return None;
    };
    let Some(rank) = LISTABLE.into_iter().find(|rank| rank.word() == verdict) else {
        let known: Vec<&str> = LISTABLE.iter().map(|rank| rank.word()).collect();
        file.slip_at(item, "verdict", "malformed-entry", "no verdict that can be listed", format!("one of: {}", known.join(", ")));
        return None;
    };
    if agreed > due {
        file.slip_at(item, "due", "malformed-entry", "due before it was agreed", "both days are included".into());
        return None;
    }
    let misses = misses(file, item)?;
    let nodes = file.nodes(item, "lacks")?;
    let lacks = nodes.into_iter().map(|node| file.text_of(node)).collect::<Option<Vec<String>>>()?;
    let key = Key { job, code, section, clause, thing };
    Some(Entry { key, found: Found { rank, misses, lacks }, agreement: Agreement { reason, owner, agreed, due } })
}

fn misses(file: &mut ListFile, item: Item) -> Option<Vec<(String, Option<Miss>)>> {
    let mut misses = Vec::new();
    for node in file.nodes(item, "misses")? {
        let one = file.item(node, &["what", "by"])?;
        let what = file.text(one, "what")?;
        let by = match file.text_maybe(one, "by").map(|text| Miss::read(&text)) {
            None => None,
            Some(Ok(miss)) => Some(miss),
            Some(Err(why)) => {
                file.slip_at(one, "by", "malformed-entry", &why, "write it as in \"2 in +/- 0.125 in\"".into());
                return None;
            }
        };
        misses.push((what, by));
    }
    Some(misses)
}

/// The file of these entries, which are in order.
pub fn written(entries: &[Entry]) -> String {
    let mut text = HEAD.to_string();
    text.push_str(if entries.is_empty() { "entries: []\n" } else { "entries:\n" });
    for Entry { key, found, agreement } in entries {
        let texts = [("code", &key.code), ("section", &key.section), ("thing", &key.thing)];
        let _ = writeln!(text, "  - job: {}", quoted(&key.job));
        for (name, value) in texts {
            let _ = writeln!(text, "    {name}: {}", quoted(value));
        }
        let _ = writeln!(text, "    clause: {}\n    verdict: {}", quoted(&key.clause.to_string()), found.rank.word());
        if !found.misses.is_empty() {
            text.push_str("    misses:\n");
        }
        for (what, miss) in &found.misses {
            let by = miss.map_or_else(String::new, |miss| format!(", by: {}", quoted(&miss.to_string())));
            let _ = writeln!(text, "      - {{what: {}{by}}}", quoted(what));
        }
        if !found.lacks.is_empty() {
            text.push_str("    lacks:\n");
        }
        for fact in &found.lacks {
            let _ = writeln!(text, "      - {}", quoted(fact));
        }
        let Agreement { reason, owner, agreed, due } = agreement;
        let _ = writeln!(text, "    reason: {}\n    owner: {}\n    agreed: {agreed}\n    due: {due}", quoted(reason), quoted(owner));
    }
    text
}
