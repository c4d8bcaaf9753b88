//! Runs the bodies of the fuzz targets over the small corpora that are kept, as an ordinary test. A find becomes a file there, named by
//! what it is.

#[path = "../fuzz/bodies.rs"]
mod bodies;

use std::path::Path;

type Target = (&'static str, fn(&[u8]));

#[test]
fn the_corpora_of_the_fuzz_targets() {
    let targets: [Target; 9] = [
        ("job", bodies::job),
        ("pack", bodies::pack),
        ("both", bodies::both),
        ("quantity", bodies::quantity),
        ("reports", bodies::reports),
        ("neaten", bodies::neaten),
        ("beside", bodies::beside::beside),
        ("trial", bodies::beside::trial),
        ("survey", bodies::beside::survey),
    ];
    for (name, body) in targets {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(name);
        let mut paths: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        assert!(paths.len() >= 12, "{name}: {} files", paths.len());
        for path in paths {
            let bytes = std::fs::read(&path).unwrap();
            let done = std::panic::catch_unwind(|| body(&bytes));
            assert!(done.is_ok(), "{}", path.display());
        }
    }
}
