//! Holds the shape of the house: what may import what, how long files are, what each file says of itself.

use std::path::{Path, PathBuf};

/// Uniform tables that may be longer than other files.
const TABLES: [&str; 1] = ["src/quantity/unit.rs"];

fn sources() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files: Vec<_> = walkdir::WalkDir::new(&root)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            (path.strip_prefix(root.parent().unwrap()).unwrap().to_path_buf(), text)
        })
        .collect();
    files.sort();
    files
}

/// The layers, in the order in which lib.rs declares them.
fn layers() -> Vec<String> {
    let lib = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).unwrap();
    lib.lines().filter_map(|line| line.strip_prefix("pub mod ")).map(|name| name.trim_end_matches(';').to_string()).collect()
}

fn layer_of(path: &Path) -> String {
    let name = path.iter().nth(1).unwrap().to_str().unwrap();
    name.trim_end_matches(".rs").to_string()
}

#[test]
fn a_module_imports_only_what_stands_above_it() {
    let layers = layers();
    let place = |name: &str| layers.iter().position(|layer| layer == name);
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let layer = layer_of(&path);
        let Some(own) = place(&layer) else { continue };
        for part in text.split("crate::").skip(1) {
            let name: String = part.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect();
            if place(&name).is_some_and(|other| other > own) {
                wrong.push(format!("{}: {layer} imports {name}, which stands below it", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_layer_is_on_the_map() {
    let lib = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).unwrap();
    for layer in layers() {
        assert!(lib.contains(&format!("| [`{layer}`] |")), "{layer} is not on the map in lib.rs");
    }
}

#[test]
fn files_open_with_what_they_own_and_stay_short() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let name = path.display().to_string();
        if !text.starts_with("//! ") {
            wrong.push(format!("{name} does not open with a sentence on what it owns"));
        }
        let lines = text.lines().count();
        if lines > 500 && !TABLES.contains(&name.as_str()) {
            wrong.push(format!("{name} has {lines} lines; split it at 500"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn nothing_is_left_undone() {
    for (path, text) in sources() {
        for word in ["todo!", "unimplemented!", "dbg!", "FIXME", "unwrap()"] {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}

#[test]
fn pages_name_only_files_that_exist() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for page in ["README.md", "DEVELOPERS.md", "rules/README.md", "rules/TRIALS.md"] {
        let text = std::fs::read_to_string(root.join(page)).unwrap();
        for part in text.split('`').skip(1).step_by(2) {
            let is_path = ["src/", "tests/", "rules/", "grammar/", "examples/"].iter().any(|folder| part.starts_with(folder))
                && !part.contains([' ', '*', '{', 'N']);
            assert!(!is_path || root.join(part).exists(), "{page} names {part}, which does not exist");
        }
    }
}
