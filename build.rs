//! Puts the packs into the program: the rule files right inside each folder of `rules`, and nothing below them (trials stand below, and
//! are no part of the program), each with the tree that the program's own reader makes of it, so that no start has to read them again.

use std::fmt::Write;
use std::path::{Path, PathBuf};

// What pest makes of the grammar names it.
extern crate alloc;

// The reader of rule files, and the layers above it. What the library offers to others is no offer here, which some lints go by.
#[allow(dead_code, unused_imports, clippy::wrong_self_convention)]
#[path = "src/quantity/mod.rs"]
mod quantity;
#[allow(dead_code)]
#[path = "src/slip.rs"]
mod slip;
#[allow(dead_code)]
#[path = "src/source.rs"]
mod source;

#[allow(dead_code)]
#[path = "src/language"]
mod language {
    pub mod build;
    pub mod build_expr;
    pub mod build_section;
    pub mod build_trial;
    pub mod digest;
    pub mod grammar;
    pub mod stored;
    pub mod stray;
    pub mod tree;
    pub mod tree_expr;
    pub mod tree_trial;
}

use source::{FileId, Source};

fn main() -> std::io::Result<()> {
    let rules = Path::new(&std::env::var("CARGO_MANIFEST_DIR").unwrap_or_default()).join("rules");
    let out = PathBuf::from(std::env::var("OUT_DIR").unwrap_or_default());
    println!("cargo::rerun-if-changed={}", rules.display());
    let mut list = String::from("&[\n");
    for pack in sorted(&rules)?.into_iter().filter(|path| path.is_dir()) {
        println!("cargo::rerun-if-changed={}", pack.display());
        let paths = sorted(&pack)?.into_iter().filter(|path| path.extension().is_some_and(|end| end == "rules"));
        let (mut files, mut sources) = (String::new(), Vec::new());
        for path in paths {
            let source = Source::new(name(&path), std::fs::read_to_string(&path)?);
            let tree = stored(&source, &out.join(format!("{}-{}.tree", name(&pack), name(&path))))?;
            let _ =
                write!(files, "File {{ name: {:?}, text: include_str!({:?}), tree: {tree} }}, ", name(&path), path.display().to_string());
            sources.push(source);
        }
        if !files.is_empty() {
            let digest = language::digest::digest_of(&sources);
            let _ = writeln!(list, "    Embedded {{ name: {:?}, digest: {digest:?}, files: &[{files}] }},", name(&pack));
        }
    }
    list.push_str("]\n");
    std::fs::write(out.join("embedded.rs"), list)
}

/// Puts the tree of a file at a place, and says where it is in Rust; a file with slips has none.
fn stored(source: &Source, place: &Path) -> std::io::Result<String> {
    let parsed = language::build::read_rules(source, FileId(0));
    let bytes = if parsed.slips.is_empty() { language::stored::bytes_of(&parsed.tree) } else { None };
    let Some(bytes) = bytes else { return Ok("None".to_string()) };
    std::fs::write(place, bytes)?;
    Ok(format!("Some(include_bytes!({:?}))", place.display().to_string()))
}

fn sorted(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut paths = std::fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<std::io::Result<Vec<_>>>()?;
    paths.sort();
    Ok(paths)
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}
