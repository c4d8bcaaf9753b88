//! Holds facts that name another record by its id against the records that the job lists. It must not know what is asked of
//! them.

use super::record::{Children, Fact, Job, RecordId};
use crate::datum::{Datum, DefId};
use crate::language::program::Program;
use crate::slip::{Slip, first_few, nearest, tell};
use std::collections::HashMap;

/// The name of the slip of an id that leads nowhere.
pub const DANGLING: &str = "no-such-id";

/// Most ids that one slip lists.
const MOST_LISTED: usize = 12;

/// The ids of each kind below one record, so that many facts ask for them once; none where a list is not known yet.
type Ids<'a> = HashMap<(RecordId, DefId), Option<Vec<&'a str>>>;

/// Tells each fact that names a record which is not there: such a fact binds to nothing, and what was meant stays unguarded.
pub fn check_references(job: &mut Job, program: &Program) {
    let (mut found, mut ids) = (Vec::new(), Ids::new());
    for (at, record) in job.records.iter().enumerate() {
        let definition = program.definition(record.def);
        for (fact, field) in record.facts.iter().zip(&definition.fields).filter(|(_, field)| !field.names.is_empty()) {
            let Fact::Stated(stated) = fact else { continue };
            let Datum::Text(text) = &stated.datum else { continue };
            let mut known: Vec<&str> = Vec::new();
            let mut all_known = true;
            for def in &field.names {
                let holder = holder(job, program, RecordId(u32::try_from(at).unwrap_or(u32::MAX)), *def);
                let listed = ids.entry((holder, *def)).or_insert_with(|| ids_below(job, program, holder, *def));
                match listed {
                    Some(listed) => known.extend(listed.iter()),
                    None => all_known = false,
                }
            }
            // While a list is not filled in, what it will hold is not known either, and whatever goes by it stays open.
            if known.contains(&text.as_str()) || !all_known {
                continue;
            }
            let names: Vec<&str> = field.names.iter().map(|def| program.definition(*def).name.as_str()).collect();
            let kinds = names.join(" or ");
            let message = format!("{}: no {kinds} has the id `{text}`", field.name);
            let slip = Slip::at(stated.span, DANGLING, message).label(field.doc.clone());
            found.push(slip.hint(hint(text, &known, &kinds)));
        }
    }
    found.into_iter().for_each(|slip| tell(&mut job.slips, slip));
}

fn hint(text: &str, known: &[&str], kinds: &str) -> String {
    if known.is_empty() {
        return format!("the job says that there is no {kinds} here: list it with this id, or take the value out");
    }
    let listed = first_few(known, MOST_LISTED, ',');
    match nearest(text, known.iter().copied()) {
        Some(near) => format!("the nearest id is `{near}`; ids here: {listed}"),
        None => format!("write one of the ids here: {listed}"),
    }
}

/// The record in which those of a kind are looked for: the nearest one around that holds such a list, or the whole job.
fn holder(job: &Job, program: &Program, from: RecordId, def: DefId) -> RecordId {
    let parent = program.definition(def).parent;
    let mut at = Some(from);
    while let Some(id) = at {
        if Some(job.record(id).def) == parent {
            return id;
        }
        at = job.record(id).parent;
    }
    RecordId::ROOT
}

/// The ids of a kind, gathered ones with those of all their members, below a record.
fn ids_below<'a>(job: &'a Job, program: &Program, holder: RecordId, def: DefId) -> Option<Vec<&'a str>> {
    let definition = program.definition(def);
    let members = if definition.gathers.is_empty() { vec![def] } else { definition.gathers.clone() };
    let mut ids = Vec::new();
    for member in members {
        let parent = program.definition(member).parent?;
        let holders: Vec<RecordId> = match job.record(holder).def == parent {
            true => vec![holder],
            false => (0..job.records.len())
                .filter_map(|at| u32::try_from(at).ok())
                .map(RecordId)
                .filter(|id| job.record(*id).def == parent)
                .collect(),
        };
        for holder in holders {
            let at = program.definition(parent).children.iter().position(|child| *child == member)?;
            match &job.record(holder).children[at] {
                Children::Given(records, _) => ids.extend(records.iter().filter_map(|id| job.record(*id).id.as_deref())),
                Children::Nothing(_) => {}
                Children::Unknown(_) => return None,
            }
        }
    }
    Some(ids)
}
