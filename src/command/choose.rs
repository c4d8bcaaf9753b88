//! Finds the pack that a word on the command line means: a name, a rule file or a folder. It must not know what packs say.

use super::workbench::Workbench;
use crate::language::library::{Shelf, pack_name, rule_files};
use crate::report::escape;
use std::path::Path;

/// A pack to work with: its name, and where it and what it adopts are looked for.
#[derive(Clone, Debug)]
pub struct Chosen {
    /// The name of the pack.
    pub name: String,
    /// Where packs are looked for, in order.
    pub shelves: Vec<Shelf>,
}

/// The pack that a word means. A bare word is a name, even where a file or folder is called so; anything else is a path.
///
/// # Errors
/// A sentence: there is no such pack at that path.
pub fn choose(bench: &Workbench, place: &Path) -> Result<Chosen, String> {
    let name = pack_name(place).unwrap_or("").to_string();
    let is_path = place.components().count() > 1 || place.extension().is_some_and(|end| end == "rules");
    if !is_path {
        return Ok(Chosen { name, shelves: bench.shelves_for(Path::new("")) });
    }
    if rule_files(place).is_empty() {
        return Err(format!("{}: there is no rule file or folder of rule files", escape::path(place)));
    }
    Ok(Chosen { name, shelves: bench.shelves_of_pack(place) })
}
