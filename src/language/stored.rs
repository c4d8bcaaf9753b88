//! The tree of a rule file as bytes, so that a start need not read the text again. `build.rs` uses this file too. The bytes are read only by
//! the program that they were built into.

use super::tree::Tree;
use crate::source::{FileId, as_spans_of};

/// The bytes of a tree; nothing where it has none.
pub fn bytes_of(tree: &Tree) -> Option<Vec<u8>> {
    postcard::to_stdvec(tree).ok()
}

/// The tree of these bytes, as one of `file`.
pub fn tree_of(bytes: &[u8], file: FileId) -> Option<Tree> {
    as_spans_of(file, || postcard::from_bytes(bytes).ok())
}
