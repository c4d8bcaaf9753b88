//! The packs that the build put into the program: their texts, and what its own reader made of them. It must not know where else packs are.

use super::stored::tree_of;
use super::tree::Tree;
use crate::source::{FileId, Source};

/// The packs, by name. `build.rs` writes them.
pub static EMBEDDED: &[Embedded] = include!(concat!(env!("OUT_DIR"), "/embedded.rs"));

/// An embedded pack.
#[derive(Debug)]
pub struct Embedded {
    /// Its name.
    pub name: &'static str,
    /// The digest of its text.
    pub digest: &'static str,
    /// Its files, in the order of their names.
    pub files: &'static [File],
}

/// A file of an embedded pack.
#[derive(Debug)]
pub struct File {
    /// Its name in the folder of the pack.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
    /// Its tree as stored; nothing where the text has slips, which are told by reading it.
    pub tree: Option<&'static [u8]>,
}

/// The embedded pack of that name.
pub fn embedded(name: &str) -> Option<&'static Embedded> {
    EMBEDDED.iter().find(|pack| pack.name == name)
}

impl Embedded {
    /// Its files as sources.
    pub fn sources(&self) -> Vec<Source> {
        self.files.iter().map(|file| Source::new(format!("embedded/{}/{}", self.name, file.name), file.text)).collect()
    }

    /// Whether these files hold the very texts of this pack, in order.
    pub fn holds(&self, files: &[Source]) -> bool {
        self.files.len() == files.len() && self.files.iter().zip(files).all(|(own, file)| own.text == file.text())
    }

    /// The trees of its files, loaded under these numbers; nothing where one of them has to be read from its text.
    pub fn trees(&self, numbers: &[FileId]) -> Option<Vec<Tree>> {
        if self.files.len() != numbers.len() {
            return None;
        }
        self.files.iter().zip(numbers).map(|(file, number)| tree_of(file.tree?, *number)).collect()
    }
}
