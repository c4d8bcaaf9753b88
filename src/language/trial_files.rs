//! Finds and reads the trial files of a pack: the folder `trials` of a pack's folder, or `NAME-trials` beside `NAME.rules`. It
//! must not know what trials say, and nothing that judges jobs calls it.

use super::build::read_rules;
use super::library::{may_be_file, read_rule_file, rule_files};
use super::tree::Item;
use crate::slip::Slip;
use crate::source::{Source, Sources};
use std::path::{Path, PathBuf};

/// The end of the name of the folder beside a pack that is one file.
pub const BESIDE: &str = "-trials";

/// The folder in which the trials of a pack stand, whether or not it is there.
pub fn trials_folder(place: &Path) -> PathBuf {
    if place.is_dir() {
        return place.join("trials");
    }
    let name = place.file_stem().unwrap_or_default().to_string_lossy();
    place.with_file_name(format!("{name}{BESIDE}"))
}

/// Whether a folder holds the trials of a pack that is one file beside it: those are no packs and no jobs.
pub fn holds_trials(folder: &Path) -> bool {
    let name = folder.file_name().and_then(|name| name.to_str()).and_then(|name| name.strip_suffix(BESIDE));
    name.is_some_and(|name| may_be_file(&folder.with_file_name(format!("{name}.rules"))))
}

/// Reads every trial file of a folder into `sources`: the items, and the slips of reading.
pub fn read_trial_files(folder: &Path, sources: &mut Sources) -> (Vec<Item>, Vec<Slip>) {
    let (mut items, mut slips) = (Vec::new(), Vec::new());
    for path in rule_files(folder) {
        match read_rule_file(&path) {
            Ok(text) => {
                let file = sources.add(Source::new(path.display().to_string(), text));
                let Some(source) = sources.get(file) else { continue };
                let parsed = read_rules(source, file);
                items.extend(parsed.tree.items);
                slips.extend(parsed.slips);
            }
            Err(why) => slips.push(Slip::of_file("unreadable-trials", format!("{}: {why}", path.display()))),
        }
    }
    (items, slips)
}
