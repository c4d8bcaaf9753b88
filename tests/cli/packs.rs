//! Where packs are found: where the user says, in `rules/` beside or above the job, among the embedded ones. Which text was used
//! is never left in doubt.

use super::{GOOD, Site, VIEWS, YARD, good_but, lines, yard_but};

/// The limit of 26 in made so low that the good job does not meet it: it shows which text was used.
fn strict() -> String {
    yard_but("at most 26 in", "at most 20 in")
}

/// From where the pack was taken, as the machine-readable report says.
fn place_of(site: &Site, arguments: &[&str]) -> String {
    let records = lines::records(&site.view("lines", arguments));
    let job = records.iter().find(|record| record["kind"] == "job").expect("a judged job");
    let packs = job["packs"].as_array().unwrap();
    let yard = packs.iter().find(|pack| pack["name"] == "yard").expect("the pack yard");
    yard["place"].as_str().unwrap().to_string()
}

#[test]
fn beside_the_job() {
    let site = Site::empty().with("site/rules/yard.rules", YARD).with("site/job.yaml", GOOD);
    assert_eq!(place_of(&site, &["site/job.yaml"]), "site/rules/yard.rules");
    assert_eq!(place_of(&site, &["site"]), "site/rules/yard.rules");
    let seen = site.run_in("site", &["check", "job.yaml", "--today", super::TODAY, "--as", "text"]);
    assert_eq!(seen.code, 0, "{seen}");
    seen.says("from rules/yard.rules");
}

#[test]
fn one_that_lies_where_nobody_looks_is_told_where_to_put() {
    let site = Site::empty().with("yard.rules", YARD).with("job.yaml", GOOD);
    site.view("plain", &["job.yaml"]).says("no pack `yard` is found").says("into a folder `rules` beside the job or above it");
}

#[test]
fn above_the_job() {
    let site = Site::empty().with("rules/yard.rules", YARD).with("county/town/jobs/job.yaml", GOOD).with_folder("county/town/jobs/in");
    assert_eq!(place_of(&site, &["county/town/jobs/job.yaml"]), "rules/yard.rules");
    for folder in ["county", "county/town", "county/town/jobs"] {
        let job = if folder == "county" { "town/jobs/job.yaml" } else { "jobs/job.yaml" };
        let job = if folder == "county/town/jobs" { "job.yaml" } else { job };
        let seen = site.run_in(folder, &["check", job, "--today", super::TODAY, "--as", "plain"]);
        assert_eq!(seen.code, 0, "{folder}\n{seen}");
    }
    let seen = site.run_in("county/town/jobs/in", &["check", "../job.yaml", "--today", super::TODAY, "--as", "plain"]);
    assert_eq!(seen.code, 0, "{seen}");
}

#[test]
fn where_the_user_says() {
    let site = Site::empty()
        .with("job.yaml", GOOD)
        .with("ordinances/yard.rules", YARD)
        .with("split/yard/yard.rules", head())
        .with("split/yard/more.rules", rest());
    for (place, found) in [
        ("ordinances", "ordinances/yard.rules"),
        ("ordinances/yard.rules", "ordinances/yard.rules"),
        ("split", "split/yard"),
        ("split/yard", "split/yard"),
    ] {
        assert_eq!(place_of(&site, &["job.yaml", "--packs", place]), found, "--packs {place}");
        site.expect(0, &["job.yaml", "--packs", place]);
    }
    site.expect(2, &["job.yaml"]).says("unknown-pack");
}

fn head() -> &'static str {
    YARD.split("section").next().unwrap()
}

fn rest() -> String {
    YARD[head().len()..].to_string()
}

#[test]
fn the_embedded_ones() {
    let site = Site::empty().with("job.yaml", good_but("[yard]", "[us-gates, field-practice]"));
    let seen = site.view("lines", &["job.yaml"]);
    let records = lines::records(&seen);
    let job = records.iter().find(|record| record["kind"] == "job").expect("a judged job");
    for pack in job["packs"].as_array().unwrap() {
        assert!(pack["place"].as_str().unwrap().starts_with("embedded/"), "{pack}");
        assert!(!pack["hash"].as_str().unwrap().is_empty() && !pack["edition"].as_str().unwrap().is_empty(), "{pack}");
    }
}

#[test]
fn an_unknown_code_is_answered_with_the_known_ones() {
    let site = Site::new().with("job.yaml", good_but("[yard]", "[yrad]")).with("far.yaml", good_but("[yard]", "[zzzz]"));
    site.expect(2, &["job.yaml"]).says("yard").says("job.yaml:2:");
    site.expect(2, &["far.yaml"]).says("us-gates").says("far.yaml:2:");
}

#[test]
fn two_texts_of_one_name_are_told_in_every_view() {
    let site = Site::empty().with("rules/yard.rules", YARD).with("site/rules/yard.rules", strict()).with("other/yard.rules", strict());
    let site = site.with("job.yaml", GOOD).with("site/job.yaml", GOOD);
    for (arguments, used, left, code) in [
        (&["site/job.yaml"][..], "site/rules/yard.rules", "rules/yard.rules", 1),
        (&["job.yaml", "--packs", "other"], "other/yard.rules", "rules/yard.rules", 1),
        (&["job.yaml", "--packs", "rules", "--packs", "other"], "rules/yard.rules", "other/yard.rules", 0),
        (&["job.yaml", "--packs", "other", "--packs", "rules"], "other/yard.rules", "rules/yard.rules", 1),
    ] {
        for view in VIEWS {
            let seen = site.view(view, arguments);
            assert_eq!(seen.code, code, "{view} {arguments:?}\n{seen}");
            let seen = seen.says("two different texts of pack").says(used).says(left);
            if view != "text" {
                seen.says("two-texts").says(&format!("{used} is used")).says(&format!("{left} is not"));
            }
        }
        assert_eq!(place_of(&site, arguments), used);
    }
}

#[test]
fn words_with_hyphens_are_not_broken() {
    let site = Site::empty().with("rules/yard.rules", YARD).with("site/rules/yard.rules", strict()).with("site/job.yaml", GOOD);
    site.view("text", &["site/job.yaml"]).says("two-texts");
}

#[test]
fn a_local_text_of_an_embedded_pack_is_told() {
    let own = "pack field-practice \"Another\"\n  language   1\n  edition    \"1\"\n  adopts     terms\n\nsource own \"Own\" invented\n
section low \"Low\"\n  applies to each beam\n  shall   beam.height at most 90 in\n  cite    own \"1\"\n";
    let site = Site::empty().with("rules/field-practice.rules", own).with("job.yaml", good_but("[yard]", "[field-practice]"));
    site.expect(0, &["job.yaml"]).says("two-texts").says("embedded/field-practice");
}

#[test]
fn the_same_text_in_two_places_is_one_text() {
    let spaced = YARD.replace("  shall   ", "  # as before\n  shall ").replace("  cite    ", "  cite ");
    let site = Site::new().with("copy/yard.rules", YARD).with("spaced/yard.rules", spaced).with("job.yaml", GOOD);
    let ends = site.with("ends/yard.rules", YARD.replace('\n', "\r\n"));
    for place in ["copy", "spaced", "ends"] {
        ends.expect(0, &["job.yaml", "--packs", place]).keeps_quiet_of("two-texts");
    }
}

#[test]
fn the_hash_follows_the_meaning() {
    let hash = |text: &str| {
        let site = Site::empty().with("rules/yard.rules", text).with("job.yaml", GOOD);
        let records = lines::records(&site.view("lines", &["job.yaml"]));
        let job = records.iter().find(|record| record["kind"] == "job").unwrap();
        job["packs"].as_array().unwrap().iter().find(|pack| pack["name"] == "yard").unwrap()["hash"].to_string()
    };
    let first = hash(YARD);
    assert_eq!(first, hash(&YARD.replace("\n\n", "\n\n# a comment\n\n")));
    assert_ne!(first, hash(&yard_but("26 in", "27 in")));
    assert_ne!(first, hash(&yard_but("is the most", "is  the most")));
}

#[test]
fn a_pack_with_slips_is_never_passed_over_for_another_text() {
    let broken = "pack field-practice \"Broken\n";
    let site = Site::empty().with("rules/field-practice.rules", broken).with("job.yaml", good_but("[yard]", "[field-practice]"));
    site.expect(2, &["job.yaml"]).says("rules/field-practice.rules:1:");
}

#[test]
fn a_pack_kept_under_another_name() {
    let site = Site::empty().with("rules/barn.rules", YARD).with("job.yaml", GOOD).with("barn.yaml", good_but("[yard]", "[barn]"));
    site.expect(2, &["rules/barn.rules"]).says("barn");
    site.expect(2, &["barn.yaml"]).says("barn");
    site.expect(2, &["job.yaml"]).says("yard");
}

#[test]
fn a_pack_that_cannot_be_read() {
    let site = Site::new().with("site/rules/yard.rules", b"\xff\xfe").with("site/job.yaml", GOOD);
    site.expect(2, &["site/job.yaml"]).says("unreadable-pack").says("site/rules/yard.rules");
}

#[test]
fn a_pack_that_cannot_be_read_and_has_no_other_text() {
    let site = Site::empty().with("rules/yard.rules", b"\xff\xfe").with("job.yaml", GOOD);
    site.expect(2, &["job.yaml"]);
}

#[test]
fn a_pack_that_cannot_be_read_is_not_called_unknown() {
    let site = Site::empty().with("rules/yard.rules", b"\xff\xfe").with("job.yaml", GOOD);
    site.expect(2, &["job.yaml"]).says("rules/yard.rules").says("UTF-8");
}

#[test]
fn a_folder_and_a_file_of_one_name() {
    let site = Site::new().with("rules/yard/yard.rules", strict()).with("job.yaml", GOOD);
    let seen = site.check(&["job.yaml"]);
    seen.says("rules/yard.rules").says("two-texts");
}

#[test]
fn an_empty_folder_hides_no_pack() {
    let site = Site::new().with_folder("rules/yard").with("job.yaml", GOOD);
    site.expect(0, &["job.yaml"]);
}

#[test]
fn the_same_packs_however_the_job_is_named() {
    let site = Site::empty().with("a/job.yaml", GOOD).with("b/rules/yard.rules", YARD);
    let whole = site.path("a/job.yaml");
    let check = |job: &str| site.run_in("b", &["check", job, "--today", super::TODAY, "--as", "plain"]).code;
    assert_eq!(check(whole.to_str().unwrap()), 2, "the pack stands elsewhere");
    assert_eq!(check("../a/job.yaml"), 2, "the same job by another path");
}

#[test]
fn no_file_of_a_pack_is_left_out() {
    let bad = "section last \"Last\"\n  applies to each beam\n  shall   beam.height at most 1 in\n  cite    book \"9\"\n";
    let filler = |number: usize| {
        format!("section s{number} \"S\"\n  applies to each beam\n  shall   beam.height at most 90 in\n  cite    book \"8\"\n")
    };
    let mut site = Site::empty().with("job.yaml", GOOD).with("rules/yard/yard.rules", YARD);
    for number in 0..230 {
        site = site.with(
            format!("rules/yard/s{number}.rules"),
            if number % 10 == 0 { bad.replace("last", &format!("s{number}")) } else { filler(number) },
        );
    }
    let seen = site.check(&["job.yaml"]);
    assert!(seen.code == 2 || seen.out.matches(": not met: ").count() == 23, "{} of 23 told\n", seen.out.matches(": not met: ").count());
}

#[test]
fn packs_that_adopt_one_another() {
    let adopts = |name: &str, other: &str| {
        YARD.replace("pack yard", &format!("pack {name}")).replace("adopts     terms", &format!("adopts     terms\n  adopts     {other}"))
    };
    let site = Site::empty()
        .with("rules/yard.rules", adopts("yard", "lane"))
        .with("rules/lane.rules", adopts("lane", "yard"))
        .with("job.yaml", GOOD);
    let seen = site.expect(2, &["job.yaml"]);
    seen.says("lane").says("yard");
    let site = Site::empty().with("rules/yard.rules", adopts("yard", "yard")).with("job.yaml", GOOD);
    site.expect(2, &["job.yaml"]);
}

#[test]
fn a_job_that_names_one_code_twice_is_judged_once() {
    let site = Site::new().with("job.yaml", good_but("[yard]", "[yard, yard]").replace("24 in", "28 in"));
    let seen = site.check(&["job.yaml"]);
    assert!(seen.code > 0 && seen.out.matches("not met: yard/lens-height").count() <= 1, "{seen}");
}

/// A town that keeps the yard's rules as a minimum and amends them so.
fn town(amendment: &str) -> String {
    format!(
        "pack town \"Town\"\n  language   1\n  edition    \"1\"\n  adopts     yard as minimum\n\nsource law \"Town law\" invented\n\n\
         amend yard/lens-height\n{amendment}\n  cite law \"1\"\n"
    )
}

#[test]
fn an_author_is_told_which_way_an_amendment_under_a_minimum_goes() {
    for (amendment, says) in [
        ("  shall   beam.height at most 24 in", "yard/lens-height (a): 26 in becomes 24 in: stricter than the minimum"),
        ("  shall   beam.height at most 30 in", "26 in becomes 30 in: looser than the minimum, which stays in force beside it"),
        ("  shall   beam.span at most 30 ft", "not proved to be stricter or looser than the minimum, which stays in force beside it"),
    ] {
        let remedy = "  remedy \"Lower beam {beam.id}: {value}, {limit}.\"";
        let site = Site::new().with("rules/town.rules", town(&format!("{amendment}\n{remedy}")));
        let told = site.view("plain", &["rules/town.rules"]);
        assert_eq!(told.code, 0, "{told}");
        assert_eq!(told.out.contains("as a whole: "), !says.contains("stricter than"), "{told}");
        told.says(says);
        let drawn = site.view("text", &["rules/town.rules"]);
        assert!(drawn.out.contains("  minimum  yard/lens-height (a): "), "{drawn}");
    }
    // What changes no verdict is not told, and a pack without a minimum is told nothing.
    let site = Site::new().with("rules/town.rules", town("  shall   beam.height at most 26 in").replace(" as minimum", ""));
    site.expect(0, &["rules/town.rules"]).keeps_quiet_of("minimum");
}
