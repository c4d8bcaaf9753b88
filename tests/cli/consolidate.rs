//! `consolidate`: a pack by name, by file and by folder; where it goes; what is told when it has slips.

use super::{Site, YARD, assert_harmless, yard_but};

#[test]
fn a_pack_is_found_by_name_and_by_path() {
    let site = Site::new().with("yard/yard.rules", YARD);
    let named = site.run(&["consolidate", "yard"]);
    assert_eq!(named.code, 0, "{named}");
    assert!(named.out.starts_with("# Yard rules, as adopted and amended\n"), "{named}");
    assert!(named.out.contains(" yard/lens-height: A beam low enough to find a person"), "{named}");
    for place in ["rules/yard.rules", "./yard"] {
        let seen = site.run(&["consolidate", place]);
        assert_eq!((seen.code, &seen.out), (0, &named.out), "{place}");
    }
    assert_harmless(&named.out);
}

#[test]
fn a_file_holds_what_standard_output_would() {
    let site = Site::new();
    for view in ["markdown", "html"] {
        let shown = site.run(&["consolidate", "yard", "--as", view]);
        let kept = site.run(&["consolidate", "yard", "--as", view, "--out", "page"]);
        assert_eq!((kept.code, kept.out.as_str()), (0, ""), "{kept}");
        assert_eq!(site.read("page"), shown.out);
    }
    let refused = site.run(&["consolidate", "rules/yard.rules", "--out", "rules/yard.rules"]);
    assert_eq!(refused.code, 2, "{refused}");
    assert_eq!(site.read("rules/yard.rules"), YARD);
}

#[test]
fn a_pack_with_slips_or_none_is_told() {
    let site = Site::empty().with("rules/yard.rules", yard_but("beam.height at most", "beam.hieght at most"));
    let seen = site.run(&["consolidate", "yard"]);
    assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{seen}");
    assert!(seen.err.contains("rules/yard.rules:12:") && seen.err.contains("height"), "{seen}");
    for pack in ["yrad", "gone/pack.rules"] {
        let seen = site.run(&["consolidate", pack]);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{pack}\n{seen}");
        assert!(!seen.err.is_empty(), "{pack}");
    }
    assert_eq!(site.run(&["consolidate"]).code, 2);
}
