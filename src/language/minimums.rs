//! What a pack does to the texts that it adopts as a minimum, told to its author: each change with whether it is proved to be
//! stricter or looser. It must not know jobs.

use super::adopt::{Adopted, adopt};
use super::change::{Change, Direction, Side, changes};
use super::library::Library;

/// A change of what must be kept as a minimum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Minimum {
    /// The section, as `pack/section`; none where a table or a formula changed that sections rest on.
    pub section: Option<String>,
    /// What is proved of the change.
    pub direction: Direction,
    /// The change and its word, as a sentence.
    pub says: String,
}

/// Every change of a pack to what it must keep as a minimum. A change that is not proved to be stricter does no harm, since the
/// minimum stays in force beside it; its author should know.
pub fn minimum_changes(library: &mut Library, name: &str) -> Vec<Minimum> {
    let mut quiet = Vec::new();
    let Some(root) = adopt(library, name, &mut quiet) else { return Vec::new() };
    if root.minimums.is_empty() {
        return Vec::new();
    }
    let floors: Vec<Adopted> = root.minimums.iter().filter_map(|minimum| adopt(library, minimum, &mut quiet)).collect();
    let sections = floors.iter().flat_map(|floor| &floor.sections).map(|reading| format!("{}/{}", reading.pack, reading.section.name.text));
    let sections: Vec<String> = sections.collect();
    let tables = floors.iter().flat_map(|floor| &floor.tables).map(|(_, table)| format!("table {}", table.name.text));
    let formulas = floors.iter().flat_map(|floor| &floor.formulas).map(|(_, formula)| format!("formula {}", formula.name.text));
    let others: Vec<String> = tables.chain(formulas).collect();
    let codes = [root];
    let old = Side { codes: &floors, floors: &[], files: &library.sources };
    let new = Side { codes: &codes, floors: &[], files: &library.sources };
    let told = |change: &Change| {
        let section = sections.contains(&change.item).then(|| change.item.clone());
        let held = section.is_some() || others.contains(&change.item);
        (held && change.direction != Direction::NoVerdict).then(|| Minimum { section, direction: change.direction, says: sentence(change) })
    };
    changes(old, new).iter().filter_map(told).collect()
}

fn sentence(change: &Change) -> String {
    let part = if change.part.is_empty() { String::new() } else { format!(" {}", change.part) };
    let word = match change.direction {
        Direction::Stricter => "stricter than the minimum",
        Direction::Looser => "looser than the minimum, which stays in force beside it",
        Direction::Different | Direction::NoVerdict => {
            "not proved to be stricter or looser than the minimum, which stays in force beside it"
        }
    };
    format!("{}{part}: {}: {word}", change.item, change.says)
}
