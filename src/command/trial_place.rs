//! Finds the pack whose trials somebody wants to run: a file, a folder, the folder that somebody stands in, or a bare name. It must
//! not know what packs or trials say.

use super::workbench::Workbench;
use crate::language::library::{Library, Shelf, may_be_file, may_be_folder, read_rule_file, rule_files};
use crate::language::trial_files::{BESIDE, holds_trials};
use crate::report::escape;
use std::path::{Path, PathBuf};

/// Where a pack with its trials stands.
///
/// # Errors
/// A sentence: there is none, or several, and what to type.
pub fn trial_place(bench: &Workbench, place: &Path) -> Result<PathBuf, String> {
    if place.exists() {
        return of_existing(place);
    }
    let shown = escape::path(place);
    let bare = place.components().count() == 1 && place.extension().is_none();
    let Some(name) = place.to_str().filter(|_| bare) else {
        return Err(format!("{shown}: there is no such file or folder; name a pack's file or its folder, such as rules/us-gates"));
    };
    let folders = bench.shelves_for(Path::new("")).into_iter().filter_map(|shelf| match shelf {
        Shelf::Pack(at) => at.parent().map(Path::to_path_buf),
        Shelf::Folder(at) => Some(at),
        Shelf::Embedded | Shelf::Memory(_) => None,
    });
    let here = std::iter::once(PathBuf::new());
    let places = here.chain(folders).flat_map(|folder| [folder.join(name), folder.join(format!("{name}.rules"))]);
    let found = places.into_iter().find(|at| may_be_file(at) || may_be_folder(at) && !rule_files(at).is_empty());
    if let Some(found) = found {
        return Ok(found);
    }
    if Library::new(vec![Shelf::Embedded]).names().iter().any(|known| known == name) {
        return Err(format!(
            "{shown}: the program holds this pack, but not its trials, which stand beside it in the project's source: go there and type \
             `pintle trial rules/{name}`"
        ));
    }
    Err(format!("no pack `{shown}` is found here, in --packs or in a folder `rules` here or above; name its file or its folder"))
}

/// The pack at a place that is there: of a folder of trials its pack, of a folder with one pack's file that file.
fn of_existing(place: &Path) -> Result<PathBuf, String> {
    let real = std::fs::canonicalize(place).map_err(|error| format!("{}: {error}", escape::path(place)))?;
    if !real.is_dir() {
        return Ok(place.to_path_buf());
    }
    let name = real.file_name().and_then(|name| name.to_str()).unwrap_or("");
    if name == "trials" && !rule_files(&real.join("..")).is_empty() {
        return Ok(place.join(".."));
    }
    if holds_trials(&real) {
        let pack = format!("{}.rules", name.strip_suffix(BESIDE).unwrap_or(name));
        return Ok(real.parent().map_or_else(|| PathBuf::from(&pack), |above| above.join(&pack)));
    }
    let packs: Vec<PathBuf> = rule_files(place).into_iter().filter(|file| has_header(file)).collect();
    match packs.as_slice() {
        [only] if only.file_stem().and_then(|stem| stem.to_str()).is_some_and(|stem| stem != name && names_itself(only, stem)) => {
            Ok(only.clone())
        }
        [] | [_] => Ok(place.to_path_buf()),
        several => {
            let all: Vec<String> = several.iter().map(|file| format!("pintle trial {}", escape::path(file))).collect();
            Err(format!(
                "{}: {} packs stand here, each with trials of its own; type one of: {}",
                escape::path(place),
                several.len(),
                all.join("; ")
            ))
        }
    }
}

fn has_header(file: &Path) -> bool {
    read_rule_file(file).is_ok_and(|text| text.lines().any(|line| line.starts_with("pack ")))
}

/// Whether the header in a file has the file's own name, as a pack of one file has.
fn names_itself(file: &Path, stem: &str) -> bool {
    let named = |line: &str| line.strip_prefix("pack ").and_then(|rest| rest.split_whitespace().next()) == Some(stem);
    read_rule_file(file).is_ok_and(|text| text.lines().any(named))
}
