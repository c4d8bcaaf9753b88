//! Finds records: from a bound thing up and down, and what a list holds. It must not know conditions.

use super::doubt::{Doubt, Missing};
use super::value::Slot;
use crate::datum::DefId;
use crate::job::{Children, Job, RecordId};
use crate::language::program::{JOB, Program, ThingPath};

/// Where a way through the job ends.
#[derive(Clone, Debug, PartialEq)]
pub enum Reached {
    /// At a record.
    Record(RecordId),
    /// The job says that there is none.
    Nothing,
    /// The job does not say.
    Unknown(Doubt),
}

/// What a list holds, as far as the job tells.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Listed {
    /// Records that it surely holds.
    pub records: Vec<RecordId>,
    /// Why there may be more: the record that would hold them, and what is missing.
    pub maybe_more: Vec<(RecordId, Missing)>,
    /// Doubt about the list itself, where even its place is not known.
    pub doubt: Doubt,
}

impl Listed {
    /// Every reason why the list may not be complete.
    pub fn incomplete(&self) -> Option<Doubt> {
        let mut doubt = self.doubt.clone();
        for (_, missing) in &self.maybe_more {
            doubt.join(&Doubt::of_missing(*missing));
        }
        (!doubt.is_none()).then_some(doubt)
    }
}

/// Follows a path from its slot.
pub fn reach(job: &Job, path: &ThingPath, slots: &[Slot]) -> Reached {
    let mut ups = path.ups;
    let mut at = match path.slot.map(|slot| &slots[slot]) {
        None => RecordId::ROOT,
        Some(Slot::Record(id)) => *id,
        Some(Slot::Phantom(known, steps, doubt)) => {
            // A record that may be there has surely the known record above it; nothing else is known of it.
            let Some(rest) = ups.checked_sub(*steps) else { return Reached::Unknown(doubt.clone()) };
            ups = rest;
            *known
        }
        Some(_) => return Reached::Nothing,
    };
    for _ in 0..ups {
        at = job.record(at).parent.unwrap_or(RecordId::ROOT);
    }
    for down in &path.downs {
        at = match &job.record(at).children[*down] {
            Children::Given(records, _) => match records.first() {
                Some(record) => *record,
                None => return Reached::Nothing,
            },
            Children::Nothing(_) => return Reached::Nothing,
            Children::Unknown(_) => return Reached::Unknown(Doubt::of_missing(Missing::Children(at, *down))),
        };
    }
    Reached::Record(at)
}

/// What a record holds in the list of `def`, which may be a gathered kind.
pub fn listed(program: &Program, job: &Job, record: RecordId, def: DefId, into: &mut Listed) {
    let definition = program.definition(def);
    if !definition.gathers.is_empty() {
        for member in &definition.gathers {
            listed(program, job, record, *member, into);
        }
        return;
    }
    let siblings = &program.definition(job.record(record).def).children;
    let Some(at) = siblings.iter().position(|child| *child == def) else { return };
    match &job.record(record).children[at] {
        Children::Given(records, _) => into.records.extend(records),
        Children::Nothing(_) => {}
        Children::Unknown(_) => into.maybe_more.push((record, Missing::Children(record, at))),
    }
}

/// Every record of `def` below `from`, through the lists between.
pub fn below(program: &Program, job: &Job, from: RecordId, def: DefId) -> Listed {
    let mut chain = vec![def];
    let stop = job.record(from).def;
    while let Some(parent) = program.definition(chain[chain.len() - 1]).parent.filter(|parent| *parent != stop) {
        chain.push(parent);
    }
    if def == JOB {
        return Listed { records: vec![from], ..Listed::default() };
    }
    let mut found = Listed { records: vec![from], ..Listed::default() };
    for def in chain.into_iter().rev() {
        let mut next = Listed { maybe_more: found.maybe_more, ..Listed::default() };
        for record in found.records {
            listed(program, job, record, def, &mut next);
        }
        found = next;
    }
    found
}

/// Steps from a kind of record up to the record that would hold it.
pub fn steps_up(program: &Program, def: DefId, to: DefId) -> usize {
    let (mut at, mut steps) = (def, 0);
    while at != to {
        let Some(parent) = program.definition(at).parent else { break };
        at = parent;
        steps += 1;
    }
    steps
}

/// The place of a fact of a gathered kind in the record's own definition.
pub fn own_field(program: &Program, path_def: DefId, record_def: DefId, field: usize) -> usize {
    if path_def == record_def {
        return field;
    }
    let name = &program.definition(path_def).fields[field].name;
    match program.index[record_def.0 as usize].get(name) {
        Some(crate::language::program::Key::Field(own)) => *own,
        _ => field,
    }
}

/// A thing as reports name it: `gate main / beam low`.
pub fn thing_name(program: &Program, job: &Job, id: RecordId) -> String {
    let mut names = Vec::new();
    let mut at = Some(id);
    while let Some(id) = at {
        let record = job.record(id);
        if record.parent.is_none() {
            break;
        }
        let name = &program.definition(record.def).name;
        names.push(record.id.as_ref().map_or_else(|| name.clone(), |own| format!("{name} {own}")));
        at = record.parent;
    }
    names.reverse();
    if names.is_empty() { "job".into() } else { names.join(" / ") }
}
