//! `neaten`: files are laid out in place or named by `--check`; a file with slips is not touched.

use super::{Site, YARD};

/// The same pack with blanks that nobody would keep.
fn untidy() -> String {
    YARD.replace("  shall   ", "    shall ").replace("\n\nsection", "\n\n\n\nsection") + "  # the last word\n"
}

#[test]
fn a_file_is_laid_out_in_place_and_stays_so() {
    let site = Site::empty().with("yard.rules", untidy());
    let seen = site.run(&["neaten", "yard.rules"]);
    assert_eq!((seen.code, seen.out.as_str(), seen.err.as_str()), (0, "yard.rules\n", ""), "{seen}");
    assert_eq!(site.read("yard.rules"), format!("{YARD}  # the last word\n"));
    assert_eq!(site.names("."), ["yard.rules"], "nothing is left behind");
    let again = site.run(&["neaten", "yard.rules"]);
    assert_eq!((again.code, again.out.as_str()), (0, ""), "{again}");
}

#[test]
fn a_check_names_what_would_change_and_changes_nothing() {
    let site = Site::empty().with("rules/yard/yard.rules", untidy()).with("rules/neat.rules", YARD);
    let seen = site.run(&["neaten", "--check", "rules"]);
    assert_eq!((seen.code, seen.out.as_str()), (1, "rules/yard/yard.rules\n"), "{seen}");
    assert_eq!(site.read("rules/yard/yard.rules"), untidy());
    site.run(&["neaten", "rules"]);
    assert_eq!(site.run(&["neaten", "--check", "rules"]).code, 0);
}

#[test]
fn a_file_with_slips_is_told_and_left_while_others_are_laid_out() {
    let wrong = untidy().replace("shall beam.height at most", "must beam.height <=");
    let site = Site::empty().with("a.rules", &wrong).with("b.rules", untidy());
    let seen = site.run(&["neaten", "."]);
    assert_eq!((seen.code, seen.out.as_str()), (2, "./b.rules\n"), "{seen}");
    assert!(seen.err.contains("./a.rules:14:5: slip wrong-form: `must`"), "{seen}");
    assert!(seen.err.contains("the file is left as it is"), "{seen}");
    assert_eq!(site.read("a.rules"), wrong);
}

#[test]
fn what_is_not_there_or_no_rule_file_is_told() {
    let site = Site::empty().with("job.yaml", "title: x").with("bytes.rules", [0x70, 0xff]);
    for path in ["gone.rules", "job.yaml", "bytes.rules"] {
        let seen = site.run(&["neaten", path]);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{path}\n{seen}");
        assert!(seen.err.contains(path), "{seen}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_permissions_stay() {
    use std::os::unix::fs::PermissionsExt;
    let site = Site::empty().with("real.rules", untidy()).with_link("link.rules", "real.rules");
    std::fs::set_permissions(site.path("real.rules"), std::fs::Permissions::from_mode(0o640)).unwrap();
    assert_eq!(site.run(&["neaten", "link.rules"]).code, 0);
    assert!(std::fs::symlink_metadata(site.path("link.rules")).unwrap().is_symlink());
    assert_eq!(std::fs::metadata(site.path("real.rules")).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(site.read("real.rules").starts_with(YARD));
    std::fs::set_permissions(site.path("real.rules"), std::fs::Permissions::from_mode(0o440)).unwrap();
    std::fs::write(site.path("other.rules"), untidy()).unwrap();
    std::fs::set_permissions(site.path("other.rules"), std::fs::Permissions::from_mode(0o440)).unwrap();
    let seen = site.run(&["neaten", "other.rules"]);
    assert_eq!(seen.code, 2, "a file that may not be written is not replaced\n{seen}");
    assert_eq!(site.read("other.rules"), untidy());
}
