//! The embedded packs as the build stored them: each tree is the one that its text gives, place for place, and the digest is that of the texts.

use pintle::language::build::read_rules;
use pintle::language::embedded::EMBEDDED;
use pintle::language::library::{Library, Shelf};
use pintle::language::pack::digest_of;
use pintle::language::stored::{bytes_of, tree_of};
use pintle::source::{FileId, Source};

#[test]
fn every_stored_tree_is_the_tree_of_its_text() {
    let mut files = 0;
    for pack in EMBEDDED {
        for (file, source) in pack.files.iter().zip(pack.sources()) {
            let number = FileId(7);
            let read = read_rules(&source, number);
            assert!(read.slips.is_empty(), "{} has slips", source.name());
            let tree = tree_of(file.tree.unwrap_or_default(), number).unwrap_or_else(|| panic!("{} has no tree", source.name()));
            assert_eq!(format!("{:?}", tree.items), format!("{:?}", read.tree.items), "{}", source.name());
            files += 1;
        }
        assert_eq!(pack.digest, digest_of(&pack.sources()), "{}", pack.name);
    }
    assert!(files > 40, "{files} files");
}

#[test]
fn a_stored_tree_of_every_item_comes_back() {
    // What embedded packs need not hold: trials, amendments, repeals, every form of value.
    let mut trees = 0;
    for folder in ["rules", "examples", "tests/cases"] {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in walkdir::WalkDir::new(root).sort_by_file_name().into_iter().filter_map(Result::ok) {
            if entry.path().extension().is_some_and(|end| end == "rules") {
                let Ok(text) = std::fs::read_to_string(entry.path()) else { continue };
                let tree = read_rules(&Source::new("a.rules", text), FileId(3)).tree;
                let back = bytes_of(&tree).and_then(|bytes| tree_of(&bytes, FileId(3)));
                assert_eq!(format!("{back:?}"), format!("{:?}", Some(tree)), "{}", entry.path().display());
                trees += 1;
            }
        }
    }
    assert!(trees > 60, "{trees} trees");
}

/// The sections of a pack that is on this shelf alone.
fn sections(texts: &[String]) -> String {
    let folder = std::env::temp_dir().join(format!("pintle-embedded-{}-{:?}", std::process::id(), std::thread::current().id()));
    let pack = folder.join("us-fire");
    std::fs::create_dir_all(&pack).expect("a folder");
    for (at, text) in texts.iter().enumerate() {
        std::fs::write(pack.join(format!("{at}.rules")), text).expect("a file written");
    }
    let mut library = Library::new(vec![Shelf::Folder(folder.clone())]);
    let shown = library.pack("us-fire").map(|pack| format!("{} {:?}", pack.digest, pack.sections));
    let _ = std::fs::remove_dir_all(folder);
    shown.expect("the pack")
}

#[test]
fn another_text_of_a_known_name_is_read_itself() {
    let own = EMBEDDED.iter().find(|pack| pack.name == "us-fire").expect("the pack");
    let mut texts: Vec<String> = own.files.iter().map(|file| file.text.to_string()).collect();
    let same = sections(&texts);
    assert!(same.starts_with(own.digest));
    let changed = texts.iter_mut().find(|text| text.contains(" 20 ft")).expect("a file with a measure");
    *changed = changed.replacen(" 20 ft", " 21 ft", 1);
    let other = sections(&texts);
    assert!(
        !other.starts_with(own.digest) && same.split_once(' ') != other.split_once(' '),
        "a changed text was taken for the embedded one"
    );
}
