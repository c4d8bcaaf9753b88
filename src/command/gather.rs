//! Finds what to check: job files and packs, each once, in a fixed order. It must not know what is in them.

use crate::language::library::{may_be_file, rule_files};
use crate::language::trial_files::holds_trials;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

/// A mark of a name that takes no more room the longer the name is.
pub type Mark = [u8; 16];

/// Something to check.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// A job file. The flag says whether the user named it, and not only a folder above it.
    Job(PathBuf, bool),
    /// A pack: a rule file, or a folder of rule files.
    Pack(PathBuf),
}

/// What was found, and what could not be looked at.
#[derive(Debug, Default)]
pub struct Gathered {
    /// What to check, in order.
    pub targets: Vec<Target>,
    /// Why something could not be looked at: path and reason.
    pub unreadable: Vec<(PathBuf, String)>,
    /// Links to folders, which are not followed, and job files that a leading dot hides.
    pub left_out: Vec<PathBuf>,
    /// For each path asked for that is a folder: the targets that it holds, by their positions.
    pub folders: Vec<(PathBuf, Vec<usize>)>,
    /// Positions of the targets met in the folder at hand.
    met: Vec<usize>,
    /// The real paths of files that are no targets, wherever they are met in a folder.
    aside: Vec<PathBuf>,
}

/// Gathers the targets of the given paths: first as given, then in the order of names within a folder. What is set `aside` is left
/// out of folders.
pub fn gather(paths: &[PathBuf], aside: &[&Path]) -> Gathered {
    let aside = aside.iter().filter_map(|path| std::fs::canonicalize(path).ok()).collect();
    let mut gathered = Gathered { aside, ..Gathered::default() };
    let mut seen = BTreeMap::new();
    for path in paths {
        let Ok(meta) = std::fs::metadata(path) else {
            gathered.unreadable.push((path.clone(), "there is no such file or folder".into()));
            continue;
        };
        if is_pack(path) {
            take(&mut gathered, &mut seen, Target::Pack(path.clone()));
        } else if meta.is_dir() {
            gathered.met.clear();
            walk(path, &mut gathered, &mut seen);
            let met = std::mem::take(&mut gathered.met);
            gathered.folders.push((path.clone(), met));
        } else {
            take(&mut gathered, &mut seen, Target::Job(path.clone(), true));
        }
    }
    gathered
}

impl Gathered {
    fn is_aside(&self, path: &Path) -> bool {
        !self.aside.is_empty() && std::fs::canonicalize(path).is_ok_and(|real| self.aside.contains(&real))
    }
}

/// The mark of these bytes.
pub fn mark(name: &[u8]) -> Mark {
    let mut short = Mark::default();
    short.copy_from_slice(&Sha256::digest(name)[..16]);
    short
}

/// Takes in a target once; named after its folder, it counts as named.
fn take(gathered: &mut Gathered, seen: &mut BTreeMap<Mark, usize>, target: Target) {
    let (Target::Job(path, _) | Target::Pack(path)) = &target;
    // Of a hundred thousand files only marks are kept, and each path once: the list is what grows with a folder.
    let real = std::fs::canonicalize(path);
    let real = real.as_deref().unwrap_or(path).as_os_str();
    let at = *seen.entry(mark(real.as_encoded_bytes())).or_insert(gathered.targets.len());
    gathered.met.push(at);
    match gathered.targets.get_mut(at) {
        Some(Target::Job(_, named)) => *named |= matches!(target, Target::Job(_, true)),
        Some(Target::Pack(_)) => {}
        None => gathered.targets.push(target),
    }
}

/// A rule file, or a folder with a rule file of the folder's own name.
fn is_pack(path: &Path) -> bool {
    if path.extension().is_some_and(|end| end == "rules") && may_be_file(path) {
        return true;
    }
    let name = path.file_name().or_else(|| path.components().next_back().map(std::path::Component::as_os_str));
    name.is_some_and(|name| may_be_file(&path.join(name).with_extension("rules"))) && !rule_files(path).is_empty()
}

fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case("yaml") || end.eq_ignore_ascii_case("yml"))
}

fn walk(folder: &Path, gathered: &mut Gathered, seen: &mut BTreeMap<Mark, usize>) {
    // Links to folders are not followed: a maze of them would never end.
    let mut entries = WalkDir::new(folder).sort_by_file_name().into_iter();
    while let Some(entry) = entries.next() {
        let entry = match entry {
            Ok(entry) => entry,
            Err(error) => {
                let path = error.path().unwrap_or(folder).to_path_buf();
                let why = error.io_error().map_or_else(|| error.to_string(), std::io::Error::to_string);
                gathered.unreadable.push((path, why));
                continue;
            }
        };
        let path = entry.path();
        let hidden = entry.depth() > 0 && entry.file_name().to_string_lossy().starts_with('.');
        if entry.path_is_symlink() && path.is_dir() || hidden && is_yaml(path) && entry.file_type().is_file() {
            gathered.left_out.push(path.to_path_buf());
            continue;
        }
        // What stands there is for `pintle trial` alone.
        if hidden || entry.file_type().is_dir() && holds_trials(path) {
            if entry.file_type().is_dir() {
                entries.skip_current_dir();
            }
            continue;
        }
        if is_pack(path) {
            if entry.file_type().is_dir() {
                entries.skip_current_dir();
            }
            take(gathered, seen, Target::Pack(entry.into_path()));
        } else if is_yaml(path) && !entry.file_type().is_dir() && !gathered.is_aside(path) {
            take(gathered, seen, Target::Job(entry.into_path(), false));
        }
    }
}
