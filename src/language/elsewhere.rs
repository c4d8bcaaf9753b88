//! Which embedded packs bring a key that a job uses and its own codes do not know. It must not know jobs.

use super::library::{Library, Shelf};
use super::program::Program;
use super::tree::Found;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// For each kind of record and key, the packs that bring it.
type Brought = BTreeMap<(String, String), Vec<String>>;

/// What to do about a key of a kind of record that the program does not know, where embedded packs bring it that do not take part: a
/// fact, or a list or record of its own. Packs that only adopt such a pack are not named.
pub fn brought_by(program: &Program, definition: &str, key: &str) -> Option<String> {
    static BROUGHT: OnceLock<Brought> = OnceLock::new();
    let packs = BROUGHT.get_or_init(gathered).get(&(definition.to_string(), key.to_string()))?;
    let packs: Vec<String> = packs.iter().filter(|name| program.pack(name).is_none()).map(|name| format!("`{name}`")).collect();
    let (all, one) = match packs.len() {
        0 => return None,
        1 => (format!("the pack {} knows", packs[0]), "it"),
        _ => (format!("the packs {} know", packs.join(", ")), "one of them"),
    };
    Some(
        format!("{all} this key, but is not among the codes of this job: add {one} to `codes:`, or take the line out")
            .replace("know this key, but is", "know this key, but are"),
    )
}

fn gathered() -> Brought {
    let mut library = Library::new(vec![Shelf::Embedded]);
    let mut brought = Brought::new();
    for name in library.names() {
        let Some(pack) = library.pack(&name) else { continue };
        let mut add = |definition: &str, key: &str| {
            let packs = brought.entry((definition.to_string(), key.to_string())).or_default();
            if !packs.contains(&name) {
                packs.push(name.clone());
            }
        };
        for definition in &pack.definitions {
            definition.fields.iter().for_each(|field| add(&definition.name.text, &field.name.text));
            let (Found::Among(path) | Found::At(path)) = &definition.found else { continue };
            if let [.., holder, key] = path.names.as_slice() {
                add(&holder.text, &key.text);
            }
        }
        for amend in &pack.amends {
            amend.fields.iter().for_each(|field| add(&amend.target.item, &field.name.text));
        }
    }
    brought
}
