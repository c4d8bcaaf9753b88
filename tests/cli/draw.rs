//! `pintle draw`: files, words, exit codes, hostile texts.

use super::{GOOD, Site, TODAY, assert_harmless};

fn draw(site: &Site, arguments: &[&str]) -> super::Seen {
    let mut all = vec!["draw", "job.yaml", "--today", TODAY];
    all.extend(arguments);
    site.run(&all)
}

#[test]
fn a_gate_is_drawn_in_every_view() {
    let site = Site::new().with("job.yaml", GOOD);
    for view in ["plan", "elevation", "section"] {
        let seen = draw(&site, &["--view", view, "--gate", "main"]);
        assert_eq!(seen.code, 0, "{seen}");
        assert!(seen.out.starts_with("<svg ") && seen.out.trim_end().ends_with("</svg>"), "{seen}");
        let words = draw(&site, &["--view", view, "--as", "words"]).says("beam low");
        assert_eq!(words.code, 0, "{words}");
        assert_harmless(&words.out);
    }
}

#[test]
fn what_cannot_be_drawn_is_told() {
    let site = Site::new().with("job.yaml", GOOD).with("bare.yaml", "title: x\ncodes: [yard]\npermit-date: 2026-01-01\ngates: none\n");
    let seen = draw(&site, &["--gate", "mian"]).says("no gate is called `mian`").says("main");
    assert_eq!((seen.code, seen.out.as_str()), (2, ""));
    let seen = site.run(&["draw", "bare.yaml", "--today", TODAY]).says("nothing to draw");
    assert_eq!((seen.code, seen.out.as_str()), (2, ""));
    assert_eq!(site.run(&["draw", "nothing.yaml"]).code, 2);
    assert_eq!(draw(&site, &["--packs", "nowhere"]).code, 2);
}

#[test]
fn a_drawing_never_takes_the_place_of_its_job() {
    let site = Site::new().with("job.yaml", GOOD);
    assert_eq!(draw(&site, &["--out", "job.yaml"]).code, 2);
    assert_eq!(draw(&site, &["--out", "plan.svg"]).code, 0);
    assert!(std::fs::read_to_string(site.path("plan.svg")).unwrap().starts_with("<svg "));
}

#[test]
fn a_job_with_slips_is_drawn_as_one_that_is_not_all_judged() {
    let site = Site::new().with("job.yaml", GOOD.replacen("title:", "tilte:", 1));
    let seen = draw(&site, &["--as", "words"]).says("Not all judged: ");
    assert_eq!(seen.code, 2, "{seen}");
}

#[test]
fn a_drawing_and_an_envelope_speak_the_units_that_are_wanted() {
    let site = Site::new().with("job.yaml", super::good_but("height: 24 in", "height: 660.5 mm"));
    let words = draw(&site, &["--as", "words", "--units", "inch"]).says("height ≈26 in");
    assert_eq!(words.code, 0, "{words}");
    let words = draw(&site, &["--as", "words", "--units", "metric"]).says("height 660.5 mm").says("offset 101.6 mm");
    assert_eq!(words.code, 0, "{words}");
    // 660.5 mm is over 26 in by less than a tape shows: the number says so all the same.
    let envelope = site.run(&["envelope", "job.yaml", "low.height", "--units", "inch", "--today", TODAY]);
    assert_eq!(envelope.code, 1, "{envelope}");
    let row = envelope.out.lines().find(|line| line.trim_start().starts_with("height")).unwrap();
    assert!(row.contains("≈26.004 in  at most 26 in  outside: ≈0.003937 in too much"), "{row}");
    let refused = site.run(&["envelope", "job.yaml", "low", "--units", "inch", "--as", "lines", "--today", TODAY]);
    assert!(refused.code == 2 && refused.err.contains("--units is for the text view"), "{refused}");
}
