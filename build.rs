//! Lists the packs to embed: the rule files right inside each folder of `rules`, and nothing below them. Trials stand below, and
//! are no part of the program.

use std::fmt::Write;
use std::path::{Path, PathBuf};

fn main() -> std::io::Result<()> {
    let rules = Path::new(&std::env::var("CARGO_MANIFEST_DIR").unwrap_or_default()).join("rules");
    println!("cargo::rerun-if-changed={}", rules.display());
    let mut list = String::from("&[\n");
    for pack in sorted(&rules)?.into_iter().filter(|path| path.is_dir()) {
        println!("cargo::rerun-if-changed={}", pack.display());
        let files = sorted(&pack)?.into_iter().filter(|path| path.extension().is_some_and(|end| end == "rules"));
        let files = files.fold(String::new(), |mut files, file| {
            let _ = write!(files, "({:?}, include_str!({:?})), ", name(&file), file.display().to_string());
            files
        });
        if !files.is_empty() {
            let _ = writeln!(list, "    ({:?}, &[{files}]),", name(&pack));
        }
    }
    list.push_str("]\n");
    std::fs::write(Path::new(&std::env::var("OUT_DIR").unwrap_or_default()).join("embedded.rs"), list)
}

fn sorted(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut paths = std::fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<std::io::Result<Vec<_>>>()?;
    paths.sort();
    Ok(paths)
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}
