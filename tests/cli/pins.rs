//! `--pins` and `--write-pins`: nothing is judged by another text of a pack than the pinned one, and layout is no text.

use super::{GOOD, Seen, Site, TODAY, VIEWS, YARD, good_but, lines, yard_but};

fn pinned() -> Site {
    let site = Site::new().with("jobs/a.yaml", GOOD);
    let seen = site.check(&["jobs", "--write-pins", "pins.yaml"]);
    assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{seen}");
    site
}

fn check(site: &Site) -> Seen {
    site.expect(site.check(&["jobs", "--pins", "pins.yaml"]).code, &["jobs", "--pins", "pins.yaml"])
}

fn digest(site: &Site) -> String {
    let records = lines::records(&site.view("lines", &["jobs"]));
    let job = records.iter().find(|record| record["kind"] == "job").unwrap();
    let yard = job["packs"].as_array().unwrap().iter().find(|pack| pack["name"] == "yard").unwrap();
    assert!(yard["digest"].as_str().unwrap().starts_with(yard["hash"].as_str().unwrap()));
    yard["digest"].as_str().unwrap().to_string()
}

#[test]
fn the_pinned_text_is_judged_by() {
    let site = pinned();
    assert_eq!(check(&site).code, 0);
    let pins = site.read("pins.yaml");
    assert!(
        pins.contains(&format!(
            "  - name: \"yard\"\n    edition: \"2026\"\n    place: \"rules/yard.rules\"\n    sha256: {}\n",
            digest(&site)
        ))
    );
    assert!(pins.contains("name: \"terms\""), "what is adopted is pinned as well\n{pins}");
}

#[test]
fn another_text_is_refused_with_both_digests() {
    let site = pinned();
    let before = digest(&site);
    std::fs::write(site.path("rules/yard.rules"), yard_but("at most 26 in", "at most 60 in")).unwrap();
    let seen = check(&site).says("other-text").says(&before).says(&digest(&site)).keeps_quiet_of("every mandatory clause");
    assert_eq!(seen.code, 2, "{seen}");
    let seen = site.expect(2, &["rules", "--pins", "pins.yaml"]);
    seen.says("other-text");
}

#[test]
fn another_text_is_told_once_with_the_files_counted() {
    let site = pinned().with("more/a.yaml", good_but("[yard]", "[us-gates]"));
    let site = (0..7).fold(site, |site, at| site.with(format!("jobs/b{at}.yaml"), GOOD));
    std::fs::write(site.path("rules/yard.rules"), yard_but("at most 26 in", "at most 60 in")).unwrap();
    let all = ["jobs", "more", "rules", "--pins", "pins.yaml"];
    site.expect(2, &all);
    let told = "so 9 files are not judged: jobs/a.yaml, jobs/b0.yaml, jobs/b1.yaml, jobs/b2.yaml, jobs/b3.yaml and 4 more";
    for view in VIEWS {
        let seen = site.view(view, &all);
        let out = seen.out.split_whitespace().collect::<Vec<_>>().join(" ");
        let once = if view == "test-xml" { 2 } else { 1 };
        assert_eq!((out.matches(told).count(), out.matches("pinned in pins.yaml").count()), (once, once), "{view}\n{seen}");
    }
    // Each file has its own say all the same: a line, a suite, an outcome.
    let records = lines::records(&site.view("lines", &all));
    let refused: Vec<_> = records.iter().filter(|record| record["name"] == "refused-by-pins").collect();
    assert_eq!(refused.len(), 10, "nine by the one pack, one by the other");
    let end = records.last().unwrap();
    assert_eq!((&end["outcomes"]["not judged"], &end["packs"]["with slips"], &end["troubles"]), (&9.into(), &1.into(), &2.into()));
    site.check(&all).says("jobs/b6.yaml: outcome: could not be judged: pack `yard` is not the pinned text").says("pins.yaml:");
}

#[test]
fn layout_and_comments_are_no_text() {
    let site = pinned();
    let laid_out = YARD.replace("  shall   beam", "  # a comment\n  shall\n     beam").replace('\n', "\r\n");
    std::fs::write(site.path("rules/yard.rules"), laid_out).unwrap();
    assert_eq!(check(&site).code, 0);
}

#[test]
fn a_pack_without_a_pin_is_refused() {
    let site = pinned().with("jobs/b.yaml", good_but("[yard]", "[us-gates]"));
    let seen = check(&site).says("pack `us-gates` has no pin in pins.yaml").says("jobs/a.yaml: outcome: every mandatory clause");
    assert_eq!(seen.code, 2);
}

#[test]
fn malformed_pins_are_told_at_their_line_and_let_nothing_pass() {
    let site = pinned();
    let pins = site.read("pins.yaml");
    let sha = digest(&site);
    for (from, to, says) in [
        ("pins: 1", "pins: 2", "unknown-version"),
        ("packs:", "packets:", "the nearest known word is `packs`"),
        ("name: \"yard\"", "nom: \"yard\"", "unknown-key"),
        (sha.as_str(), "abc", "no digest"),
        (sha.as_str(), &sha.to_uppercase(), "no digest"),
        ("    edition: \"2026\"\n", "", "an entry without `edition`"),
        ("pins: 1", "pins: [", "not-yaml"),
    ] {
        std::fs::write(site.path("pins.yaml"), pins.replace(from, to)).unwrap();
        let seen = check(&site).says(says).says("not-pinned");
        assert_eq!(seen.code, 2, "{to}\n{seen}");
    }
    let again = &pins[pins.find("  - name").unwrap()..];
    std::fs::write(site.path("pins.yaml"), format!("{pins}{again}")).unwrap();
    assert_eq!(check(&site).says("doubled-entry").code, 2);
    for gone in ["gone.yaml", "jobs"] {
        let seen = site.check(&["jobs", "--pins", gone]);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{seen}");
    }
}

#[test]
fn two_texts_of_one_name_cannot_be_pinned() {
    let site = Site::empty().with("a/rules/yard.rules", YARD).with("b/rules/yard.rules", yard_but("26 in", "27 in"));
    let site = site.with("a/job.yaml", GOOD).with("b/job.yaml", GOOD);
    let seen = site.check(&["a", "b", "--write-pins", "pins.yaml"]).says("two texts of pack `yard`");
    assert_eq!(seen.code, 2);
    assert!(!site.path("pins.yaml").exists());
}

#[test]
fn pins_never_take_the_place_of_an_input_or_of_the_report() {
    let site = pinned();
    for more in
        [&["--write-pins", "jobs/a.yaml"][..], &["--write-pins", "p", "--out", "p"], &["--write-pins", "jobs"], &["--out", "pins.yaml"]]
    {
        let mut all = vec!["jobs/a.yaml", "--packs", "rules"];
        all.extend(more);
        let seen = site.check(&all);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{more:?}\n{seen}");
    }
    // A job or a pack of a folder that was named is an input as well.
    for to in ["jobs/a.yaml", "rules/yard.rules"] {
        let seen = site.check(&["jobs", "--write-pins", to]).says("no file of pins");
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{seen}");
    }
    assert_eq!((site.read("jobs/a.yaml").as_str(), site.read("rules/yard.rules").as_str()), (GOOD, YARD));
    let seen = site.check(&["gone", "--write-pins", "new.yaml"]);
    assert_eq!(seen.code, 2, "{seen}");
    assert!(!site.path("new.yaml").exists());
}

#[test]
fn an_older_file_of_pins_is_written_anew() {
    let site = pinned();
    let pins = site.read("pins.yaml");
    std::fs::write(site.path("rules/yard.rules"), yard_but("at most 26 in", "at most 25 in")).unwrap();
    assert_eq!(site.check(&["jobs", "--write-pins", "pins.yaml"]).code, 0);
    assert_ne!(site.read("pins.yaml"), pins);
    assert_eq!(check(&site).code, 0);
}

#[test]
fn what_rests_on_packs_that_nobody_reviewed_is_counted() {
    let site = Site::new().with("job.yaml", GOOD);
    let one = yard_but(
        "  applies to each beam where beam.duty is entrapment\n  shall",
        "  reviewed \"2026-02, copy in hand\"\n  applies to each beam where beam.duty is entrapment\n  shall",
    );
    let last = yard_but("  cite    book \"3\"\n", "  cite    book \"3\"\n  reviewed \"2026-02, copy in hand\"\n");
    for pack in [one, last] {
        std::fs::write(site.path("rules/yard.rules"), pack).unwrap();
        site.check(&["job.yaml"]).says("rests on: a clause that nobody has reviewed: 2");
    }
    std::fs::write(site.path("rules/yard.rules"), yard_but("  cite    book \"3\"\n", "  cite    book \"3\"\n  reviewed \" \"\n")).unwrap();
    site.check(&["job.yaml"]).says("rests on: a clause that nobody has reviewed: 3");
    std::fs::write(site.path("rules/yard.rules"), yard_but("  adopts", "  reviewed \"2026-02, by two people, copy in hand\"\n  adopts"))
        .unwrap();
    site.check(&["job.yaml"]).keeps_quiet_of("nobody has reviewed");
    let records = lines::records(&site.view("lines", &["job.yaml"]));
    let job = records.iter().find(|record| record["kind"] == "job").unwrap();
    assert_eq!(job["rests_on"]["unreviewed"], 0);
    assert_eq!(
        job["packs"].as_array().unwrap().iter().find(|pack| pack["name"] == "yard").unwrap()["reviewed"],
        "2026-02, by two people, copy in hand"
    );
    for view in VIEWS {
        assert_eq!(site.run(&["check", "job.yaml", "--today", TODAY, "--as", view]).code, 0);
    }
}
