//! Finds packs by name: in the folders that the user names, in `rules/` beside or above the jobs, and among those embedded
//! in the program. It must not know what the packs say.

use super::embedded::{EMBEDDED, embedded};
use super::pack::{Pack, digest_of};
use super::trial_files::holds_trials;
use crate::slip::{Slip, suggest};
use crate::source::{Source, Sources, read_plain};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Most rule files of one pack.
const MOST_FILES: usize = 200;

/// Somewhere to look for packs.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Shelf {
    /// A folder that holds packs: `name.rules`, or `name/` with rule files.
    Folder(PathBuf),
    /// One pack: a file or a folder of rule files.
    Pack(PathBuf),
    /// Packs given as text, by name; for tests and editors.
    Memory(Vec<(String, String)>),
    /// The packs embedded in the program.
    Embedded,
}

/// The packs found so far, read as they are asked for.
#[derive(Debug)]
pub struct Library {
    shelves: Vec<Shelf>,
    packs: BTreeMap<String, Option<Arc<Pack>>>,
    /// Every pack file read.
    pub sources: Sources,
    /// Slips of finding: two texts under one name, unreadable files.
    pub slips: Vec<Slip>,
}

impl Library {
    /// A library over these shelves; an earlier shelf goes before a later one.
    pub fn new(shelves: Vec<Shelf>) -> Library {
        Library { shelves, packs: BTreeMap::new(), sources: Sources::default(), slips: Vec::new() }
    }

    /// The pack of that name, read at the first call.
    pub fn pack(&mut self, name: &str) -> Option<Arc<Pack>> {
        if let Some(known) = self.packs.get(name) {
            return known.clone();
        }
        if !is_plain(name) {
            return None;
        }
        let mut found: Vec<Arc<Pack>> = Vec::new();
        let mut kept = 0..0;
        for shelf in self.shelves.clone() {
            let Some((place, files)) = self.files_on(&shelf, name) else { continue };
            // The same text in another place is no second text; it is read only when it differs.
            if found.first().is_some_and(|first| self.sources.hold(kept.clone(), &files) || digest_of(&files) == first.digest) {
                continue;
            }
            let begin = self.sources.len();
            let same = embedded(name).filter(|pack| pack.holds(&files));
            found.push(Arc::new(Pack::read(files, &place, &mut self.sources, same)));
            if found.len() == 1 {
                kept = begin..self.sources.len();
            }
        }
        let first = found.first().cloned();
        if let (Some(first), Some(other)) = (&first, found.get(1)) {
            let message = format!("two different texts of pack `{name}`: {} is used, {} is not", first.place, other.place);
            let hint = "give one of them another name, or take one away; a report names the text that was used by its hash";
            self.slips
                .push(Slip::at(first.span(), "two-texts", message).label("used").other(other.span(), "not used").hint(hint).harmless());
        }
        self.packs.insert(name.to_string(), first.clone());
        first
    }

    /// Names of all packs that can be found, for hints and listings.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = self.shelves.iter().flat_map(names_on).collect();
        names.sort();
        names.dedup();
        names
    }

    /// What to say when a pack is not found.
    pub fn not_found_hint(&self, name: &str) -> String {
        let names = self.names();
        let place = "put the pack into a folder `rules` beside the job or above it, or name its place with --packs";
        match suggest(name, names.iter().map(String::as_str)) {
            Some(hint) if hint.starts_with("known") => format!("{hint}; {place}"),
            Some(hint) => hint,
            None => place.into(),
        }
    }

    fn files_on(&mut self, shelf: &Shelf, name: &str) -> Option<(String, Vec<Source>)> {
        match shelf {
            Shelf::Embedded => embedded(name).map(|pack| (format!("embedded/{name}"), pack.sources())),
            Shelf::Memory(packs) => {
                let (_, text) = packs.iter().find(|(known, _)| known == name)?;
                Some((name.to_string(), vec![Source::new(format!("{name}.rules"), text.clone())]))
            }
            Shelf::Folder(folder) => {
                let places = [folder.join(name), folder.join(format!("{name}.rules"))];
                let mut filled = places.into_iter().filter(|place| !rule_files(place).is_empty());
                let (place, other) = (filled.next()?, filled.next());
                if let Some(other) = other {
                    let message = format!("a folder and a file of one name: {} and {}", place.display(), other.display());
                    self.slips
                        .push(Slip::of_file("two-texts", message).hint("keep the pack in one of them; which is meant cannot be told"));
                }
                self.read_place(&place)
            }
            Shelf::Pack(place) => (pack_name(place)? == name).then(|| self.read_place(place)).flatten(),
        }
    }

    fn read_place(&mut self, place: &Path) -> Option<(String, Vec<Source>)> {
        let mut files = Vec::new();
        let paths = rule_files(place);
        if paths.len() > MOST_FILES {
            let message = format!("{}: {} rule files in one pack; at most {MOST_FILES}", place.display(), paths.len());
            self.slips.push(Slip::of_file("too-large", message).hint("join some of the files"));
        }
        for path in paths.into_iter().take(MOST_FILES) {
            match read_rule_file(&path) {
                Ok(text) => files.push(Source::new(path.display().to_string(), text)),
                Err(why) => {
                    let why = if path.is_dir() { "the folder cannot be read".to_string() } else { why };
                    self.slips.push(Slip::of_file("unreadable-pack", format!("{}: {why}", path.display())));
                }
            }
        }
        (!files.is_empty()).then(|| (place.display().to_string(), files))
    }
}

/// Whether a name is one step of a path and no way to anywhere: a job or a pack from a stranger must not lead out of a shelf.
fn is_plain(name: &str) -> bool {
    let mut steps = Path::new(name).components();
    let one = matches!((steps.next(), steps.next()), (Some(std::path::Component::Normal(step)), None) if step == name);
    one && !name.contains(['/', '\\', ':', '\0'])
}

/// The name under which a file or folder is known as a pack.
pub fn pack_name(place: &Path) -> Option<&str> {
    if place.extension().is_some_and(|end| end == "rules") { place.file_stem()?.to_str() } else { place.file_name()?.to_str() }
}

fn names_on(shelf: &Shelf) -> Vec<String> {
    match shelf {
        Shelf::Embedded => EMBEDDED.iter().map(|pack| pack.name.to_string()).collect(),
        Shelf::Memory(packs) => packs.iter().map(|(name, _)| name.clone()).collect(),
        Shelf::Pack(place) => pack_name(place).map(str::to_string).into_iter().collect(),
        Shelf::Folder(folder) => packs_in(folder).iter().filter_map(|place| pack_name(place).map(str::to_string)).collect(),
    }
}

/// The packs in a folder: rule files, and folders that hold rule files.
pub fn packs_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let holds_rules = |place: &PathBuf| !holds_trials(place) && !rule_files(place).is_empty();
    let mut places: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).filter(holds_rules).collect();
    places.sort();
    places
}

/// The rule files of a pack, in the order of their names.
pub fn rule_files(place: &Path) -> Vec<PathBuf> {
    let is_rules = |path: &Path| path.extension().is_some_and(|end| end == "rules") && may_be_file(path);
    if is_rules(place) {
        return vec![place.to_path_buf()];
    }
    let entries = match std::fs::read_dir(place) {
        Ok(entries) => entries,
        Err(error) if is_absent(&error) => return Vec::new(),
        Err(_) => return vec![place.to_path_buf()],
    };
    // A folder that cannot be read to its end stands among its files: reading it fails, and that is told.
    let path = |entry: std::io::Result<std::fs::DirEntry>| entry.map_or_else(|_| place.to_path_buf(), |entry| entry.path());
    let mut files: Vec<PathBuf> = entries.map(path).filter(|path| path == place || is_rules(path)).collect();
    files.sort();
    files
}

/// Whether a plain file may stand there. One of which nothing can be learnt is not taken for absent: another text of its name would
/// judge in its place, and nobody would know.
pub fn may_be_file(path: &Path) -> bool {
    std::fs::metadata(path).map_or_else(|error| !is_absent(&error), |meta| meta.is_file())
}

/// Whether a folder may stand there, by the same rule.
pub fn may_be_folder(path: &Path) -> bool {
    std::fs::metadata(path).map_or_else(|error| !is_absent(&error), |meta| meta.is_dir())
}

/// Whether an error says that nothing of that name stands there.
fn is_absent(error: &std::io::Error) -> bool {
    use std::io::ErrorKind::{InvalidFilename, InvalidInput, NotADirectory, NotFound};
    matches!(error.kind(), NotFound | NotADirectory | InvalidFilename | InvalidInput)
}

/// Reads a rule file; the error is a sentence.
pub fn read_rule_file(path: &Path) -> Result<String, String> {
    let most = super::grammar::LARGEST_FILE;
    let bytes = read_plain(path, most as u64, |size| format!("{size} bytes; at most {most} are read"))?;
    String::from_utf8(bytes).map_err(|error| format!("not UTF-8 from byte {}", error.utf8_error().valid_up_to()))
}
