//! `pintle envelope` from outside: exit codes, what is refused, views and drawings, hostile texts.

use super::lines::records;
use super::{GOOD, Seen, Site, TODAY, assert_harmless, good_but};

fn envelope(site: &Site, arguments: &[&str]) -> Seen {
    let all: Vec<&str> = ["envelope", "--today", TODAY].into_iter().chain(arguments.iter().copied()).collect();
    site.run(&all)
}

#[test]
fn the_code_tells_where_todays_values_lie() {
    let open = good_but("height: 24 in", "height:");
    let should = good_but("offset: 4 in", "offset: 8 in");
    let site = Site::new()
        .with("good.yaml", GOOD)
        .with("high.yaml", good_but("24 in", "28 in"))
        .with("open.yaml", open)
        .with("should.yaml", should);
    for (code, arguments) in [
        (0, &["good.yaml", "low"][..]),
        (0, &["good.yaml"]),
        (1, &["high.yaml", "low"]),
        (0, &["high.yaml", "low.offset"]),
        (1, &["open.yaml", "low"]),
        // A recommended clause does not change the code.
        (0, &["should.yaml", "low.offset"]),
        // Nothing depends on any measure of the gate itself.
        (2, &["good.yaml", "main"]),
    ] {
        let seen = envelope(&site, arguments);
        assert_eq!(seen.code, code, "{arguments:?}\n{seen}");
    }
}

#[test]
fn what_cannot_be_judged_is_told() {
    let site = Site::new().with("good.yaml", GOOD).with("slip.yaml", good_but("24 in", "24 lb")).with("none.yaml", "a: b\n");
    for (arguments, says) in [
        (&["gone.yaml"][..], "gone.yaml"),
        (&["slip.yaml", "low"], "unlike"),
        (&["none.yaml"], "could not be judged"),
        (&["good.yaml", "lwo"], "the nearest known word is `low`"),
        (&["good.yaml", "gate main / beam lo"], "gate main / beam low"),
        (&["good.yaml", "low.hight"], "the nearest known word is `height`"),
        (&["good.yaml", "low", "--pair", "height,offset"], "--out"),
        (&["good.yaml", "low", "--pair", "height", "--out", "a.svg"], "two measures"),
        (&["good.yaml", "low", "--pair", "height,height", "--out", "a.svg"], "twice"),
        (&["good.yaml", "--out", "good.yaml"], "--out"),
        (&["good.yaml", "--packs", "gone"], "no such file"),
    ] {
        let seen = envelope(&site, arguments);
        assert_eq!(seen.code, 2, "{arguments:?}\n{seen}");
        assert!(format!("{}{}", seen.out, seen.err).contains(says), "{arguments:?}\n{seen}");
    }
    assert_eq!(site.read("good.yaml"), GOOD);
}

#[test]
fn a_device_is_named_as_reports_name_it() {
    let site = Site::new().with("job.yaml", GOOD);
    let by_id = envelope(&site, &["job.yaml", "low"]);
    assert_eq!(by_id.out, envelope(&site, &["job.yaml", "gate main / beam low"]).out);
    assert!(by_id.out.contains("at most 26 in"), "{by_id}");
    assert!(by_id.out.contains("yard/lens-height (a): beam.height at most 26 in (rules/yard.rules:12:11)"), "{by_id}");
    // Span and offset bind each other: 20 ft are 60 times 4 in.
    assert!(by_id.out.contains("as long as this stays as it is:"), "{by_id}");
}

#[test]
fn the_lines_are_valid_and_carry_the_ends() {
    let site = Site::new().with("job.yaml", good_but("height: 24 in", "height: 24 in +/- 1/4 in")).with("slip.yaml", "{");
    let lines = records(&envelope(&site, &["job.yaml", "low", "--as", "lines"]));
    let height = lines.iter().find(|line| line["measure"] == "beam.height").expect("a line of the height");
    assert_eq!((&height["ranges"][0]["upper"]["at"], &height["tolerance"]), (&"25 3/4 in".into(), &"1/4 in".into()));
    assert_eq!(height["ranges"][0]["upper"]["set_by"][0]["section"], "yard/lens-height");
    assert_eq!(height["today"]["lies"], "inside");
    let _ = records(&envelope(&site, &["slip.yaml", "low", "--as", "lines"]));
}

#[test]
fn a_pair_is_drawn_to_a_file() {
    let site = Site::new().with("job.yaml", GOOD);
    let seen = envelope(&site, &["job.yaml", "low", "--pair", "span,offset", "--out", "region.svg"]);
    assert_eq!(seen.code, 0, "{seen}");
    let drawn = site.read("region.svg");
    assert!(drawn.starts_with("<svg ") && drawn.ends_with("</svg>\n"), "{drawn}");
    for part in ["<title", "<desc", "beam.span", "beam.offset", "url(#permitted)", "as the job is today"] {
        assert!(drawn.contains(part), "{part}\n{drawn}");
    }
    assert!(seen.out.contains("span") && !seen.out.contains("<svg"), "{seen}");
    // The same command writes the same bytes.
    let again = envelope(&site, &["job.yaml", "low", "--pair", "low.span,low.offset", "--out", "again.svg"]);
    assert_eq!((again.code, site.read("again.svg")), (0, drawn));
}

#[test]
fn every_edge_of_a_region_names_the_clause_that_sets_it() {
    // The height ends at 26 in, the offset at 6 in (recommended), the span at a hundred times the offset.
    let site = Site::new().with("job.yaml", GOOD);
    for (pair, clauses) in
        [("height,offset", ["yard/lens-height (a)", "yard/offset (a)"]), ("span,offset", ["yard/reach (a)", "yard/offset (a)"])]
    {
        let seen = envelope(&site, &["job.yaml", "low", "--pair", pair, "--out", "region.svg"]);
        let drawn = site.read("region.svg");
        let told: Vec<&str> = seen.out.split("\n  edge ").skip(1).collect();
        for clause in clauses {
            let edge = told.iter().find(|edge| edge.contains(clause)).unwrap_or_else(|| panic!("{clause} sets no edge\n{seen}"));
            let letter = edge.chars().next().unwrap();
            assert!(drawn.contains(&format!("Edge {letter} is set by {clause}")), "{drawn}");
            assert!(drawn.contains(&format!("text-anchor=\"middle\">{letter}</text>")), "{drawn}");
        }
        assert_eq!(drawn.matches("class=\"edge\"").count(), told.len(), "{drawn}");
    }
    // An edge that a condition sets cites the condition.
    let pack = super::yard_but("shall   beam.height at most 26 in", "shall   if beam.offset at most 3 in then beam.height at most 26 in");
    let site = Site::new().with("rules/yard.rules", pack).with("job.yaml", GOOD);
    let seen = envelope(&site, &["job.yaml", "low", "--pair", "height,offset", "--out", "region.svg"]);
    assert!(seen.out.contains("if beam.offset at most 3 in then beam.height at most 26 in"), "{seen}");
}

#[test]
fn axes_have_ticks_in_the_units_that_are_wanted() {
    let site = Site::new().with("job.yaml", GOOD);
    for (units, tick) in [("inch", ">12 in<"), ("metric", ">500 mm<")] {
        let seen = envelope(&site, &["job.yaml", "low", "--pair", "height,offset", "--units", units, "--out", "region.svg"]);
        let drawn = site.read("region.svg");
        assert!(seen.code == 0 && drawn.contains(tick), "{units}\n{seen}\n{drawn}");
    }
}

#[test]
fn hostile_texts_are_harmless() {
    let title = good_but("title: Ferrule Yard", "title: \"<script>\\e[31m&'\\\" \\u202e\"");
    let hostile = title.replace("id: low", "id: \"lo\\e[2Jw<b>\"");
    let site = Site::new().with("job.yaml", hostile);
    let seen = envelope(&site, &["job.yaml", "--pair", "lo\u{1b}[2Jw<b>.span,lo\u{1b}[2Jw<b>.offset", "--out", "region.svg"]);
    assert_harmless(&seen.out);
    let drawn = site.read("region.svg");
    assert_harmless(&drawn);
    assert!(!drawn.contains("<script>") && !drawn.contains("<b>"), "{drawn}");
    for arguments in [&["job.yaml"][..], &["job.yaml", "--as", "lines"], &["job.yaml", "\u{1b}[2J"]] {
        let seen = envelope(&site, arguments);
        assert_harmless(&seen.out);
        assert_harmless(&seen.err);
    }
}

#[test]
fn the_report_may_go_to_a_file() {
    let site = Site::new().with("job.yaml", GOOD);
    let seen = envelope(&site, &["job.yaml", "low", "--out", "report.txt"]);
    assert!(seen.code == 0 && seen.out.is_empty(), "{seen}");
    assert_eq!(site.read("report.txt"), envelope(&site, &["job.yaml", "low"]).out);
}
