//! `pintle calcs`: what is picked, exit codes, the report file, hostile texts.

use super::{GOOD, Site, TODAY, YARD, assert_harmless, good_but};

fn calcs(site: &Site, arguments: &[&str]) -> super::Seen {
    let mut all = vec!["calcs", "job.yaml", "--today", TODAY];
    all.extend(arguments);
    site.run(&all)
}

fn yard(job: &str) -> Site {
    Site::new().with("job.yaml", job)
}

#[test]
fn a_section_is_picked_by_its_id_or_a_part_of_it() {
    let site = yard(GOOD);
    for wanted in ["yard/lens-height", "yard/lens-height (a)", "lens-h"] {
        let seen = calcs(&site, &[wanted]).says("yard/lens-height (a)").says("Value against limit");
        assert_eq!(seen.code, 0, "{wanted}\n{seen}");
    }
    assert_eq!(calcs(&site, &["yard/lens-height", "--thing", "gate main / beam low"]).code, 0);
    assert_eq!(calcs(&site, &["yard/lens-height", "--thing", "low"]).code, 0);
}

#[test]
fn what_is_not_there_is_told_with_what_is_near() {
    let site = yard(GOOD);
    let told = [
        (vec!["yard/lens-hight"], "`yard/lens-height`"),
        (vec!["yard/lens-height (f)"], "it has (a)"),
        (vec!["yard/lens-height", "--thing", "gate main / beam lwo"], "`gate main / beam low`"),
        (vec!["yard/lens-height", "--packs", "nowhere"], "no such file"),
    ];
    for (arguments, says) in told {
        let seen = calcs(&site, &arguments).says(says);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{arguments:?}\n{seen}");
    }
    assert_eq!(site.run(&["calcs", "nothing.yaml"]).code, 2);
    assert_eq!(site.run(&["calcs", "rules/yard.rules"]).code, 2);
    assert_eq!(site.run(&["calcs", "rules"]).code, 2);
}

#[test]
fn a_job_with_slips_is_told_as_such() {
    let seen = calcs(&yard(&good_but("24 in", "24 inch-es")), &["yard/lens-height"]);
    assert_eq!(seen.code, 2, "{seen}");
    assert!(!seen.err.is_empty());
}

#[test]
fn a_report_goes_to_its_file_and_never_over_the_job() {
    for view in ["text", "html", "json"] {
        let site = yard(GOOD);
        let seen = calcs(&site, &["lens-height", "--as", view, "--out", "report"]);
        assert_eq!((seen.code, seen.out.as_str()), (0, ""), "{view}\n{seen}");
        assert_eq!(site.read("report"), calcs(&site, &["lens-height", "--as", view]).out);
        assert_eq!(calcs(&site, &["lens-height", "--as", view, "--out", "job.yaml"]).code, 2);
        assert_eq!(site.read("job.yaml"), GOOD);
    }
}

#[test]
fn the_schema_is_printed() {
    let printed: serde_json::Value = serde_json::from_str(&Site::empty().run(&["schema", "calcs"]).out).unwrap();
    assert_eq!(printed, serde_json::from_str::<serde_json::Value>(pintle::report::calcs::SCHEMA).unwrap());
}

#[test]
fn hostile_names_stay_texts() {
    let nasty = "<script>alert(1)</script>&\\u001b[2J\\u202e\\u200b\\u0007\\u2028";
    let longest = "w".repeat(80);
    for id in [nasty, longest.as_str(), "a b \\\" ' c", "|  |"] {
        let job = good_but("id: low", &format!("id: \"{id}\"")).replace("Ferrule Yard", "<b>Ferrule</b> Yard");
        let pack = YARD.replace("shall", "# <i> of a remark\n  shall");
        let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", job);
        for view in ["text", "html", "json"] {
            let seen = calcs(&site, &["lens-height", "--as", view]);
            assert_eq!(seen.code, 0, "{view}\n{seen}");
            assert_harmless(&seen.out);
            assert_harmless(&seen.err);
            match view {
                "json" => drop(serde_json::from_str::<serde_json::Value>(&seen.out).unwrap()),
                "html" => assert!(!seen.out.contains("<script") && !seen.out.contains("<b>") && !seen.out.contains("<i>"), "{seen}"),
                _ => assert!(seen.out.lines().all(|line| line.chars().count() <= 100), "{seen}"),
            }
        }
        assert_harmless(&calcs(&site, &["lens-height", "--thing", "\u{1b}[2J\u{202e}"]).err);
        assert_harmless(&calcs(&site, &["\u{1b}[2J\u{202e}"]).err);
    }
}
