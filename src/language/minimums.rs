//! What a pack does to the texts that it adopts as a minimum, told to its author: each change with whether it is proved to be
//! stricter or looser. It must not know jobs.

use super::adopt::{Adopted, adopt};
use super::change::{Change, Direction, Side, changes};
use super::library::Library;

/// Every change of a pack to a section that it must keep as a minimum, as sentences. A change that is not proved to be stricter
/// does no harm, since the minimum stays in force beside it; its author should know.
pub fn minimum_sentences(library: &mut Library, name: &str) -> Vec<String> {
    let mut quiet = Vec::new();
    let Some(root) = adopt(library, name, &mut quiet) else { return Vec::new() };
    if root.minimums.is_empty() {
        return Vec::new();
    }
    let floors: Vec<Adopted> = root.minimums.iter().filter_map(|minimum| adopt(library, minimum, &mut quiet)).collect();
    let held: Vec<String> =
        floors.iter().flat_map(|floor| &floor.sections).map(|reading| format!("{}/{}", reading.pack, reading.section.name.text)).collect();
    let codes = [root];
    let old = Side { codes: &floors, floors: &[], files: &library.sources };
    let new = Side { codes: &codes, floors: &[], files: &library.sources };
    let told = |change: &&Change| held.contains(&change.item) && change.direction != Direction::NoVerdict;
    changes(old, new).iter().filter(told).map(sentence).collect()
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
