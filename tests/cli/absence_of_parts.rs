//! Nothing passes by being absent, within a job: facts, lists, records, dates, and variances that do not hold. Unknown is open,
//! `none` is none, and what a file says wrongly is a slip.

use super::{GOOD, Site, YARD, good_but};

/// A pack that asks of lists, of a single record, and of a fact that may be none.
const PARTS: &str = r#"pack parts "Parts"
  language   1
  edition    "2026"
  authority  "Hasp County"
  adopts     terms

source book "Parts book of Hasp County" invented

section edges "Every edge acts while closing"
  applies to each gate
  shall   every e among gate.edges has e.watches includes closing
  cite    book "1"

section operator "The operator is listed"
  applies to each gate
  shall   gate.operator.listed
  cite    book "2"

section kept-moving "The leaf is slow enough"
  applies to each leaf
  shall   leaf.speed at most 12 in/s
  cite    book "3"
"#;

const WHOLE: &str = "title: Ferrule Yard
codes: [parts]
gates:
  - id: main
    edges:
      - {id: rim, watches: [closing]}
    operator: {listed: yes}
    leaves:
      - {id: leaf, speed: 11 in/s}
";

#[track_caller]
fn parts(from: &str, to: &str, code: i32) -> super::Seen {
    let job = super::changed(WHOLE, from, to);
    let seen = Site::empty().with("rules/parts.rules", PARTS).with("job.yaml", &job).check(&["job.yaml"]);
    assert_eq!(seen.code, code, "{job}\n{seen}");
    seen
}

#[test]
fn the_whole_job_passes() {
    parts("closing", "closing", 0);
}

#[test]
fn a_list_that_is_not_there_is_unknown_and_none_is_none() {
    let edges = "    edges:\n      - {id: rim, watches: [closing]}\n";
    parts(edges, "", 1).says("open: gate.edges of gate main is not stated");
    parts(edges, "    edges:\n", 1).says("gate.edges of gate main is not stated");
    parts(edges, "    edges: ~\n", 1).says("gate.edges of gate main is not stated");
    parts(edges, "    edges: none\n", 0);
    parts(edges, "    edges: []\n", 2).says("empty-list");
    parts(edges, "    edges: no\n", 2).says("not-a-record");
    parts(edges, "    edges: None\n", 2);
    parts(edges, "    edges: {id: rim, watches: [closing]}\n", 2).says("not-a-list");
    parts(edges, "    edges:\n      - ~\n", 2);
}

#[test]
fn gates_that_are_not_there() {
    let head = "title: Ferrule Yard\ncodes: [parts]\n";
    for (gates, code) in [("", 1), ("gates:\n", 1), ("gates: none\n", 2), ("gates: []\n", 2), ("gates: {}\n", 2), ("gates: [{}]\n", 2)] {
        let site = Site::empty().with("rules/parts.rules", PARTS).with("job.yaml", format!("{head}{gates}"));
        let seen = site.check(&["job.yaml"]);
        assert!(seen.code >= code, "{gates}\n{seen}");
        assert!(!seen.out.contains("every mandatory clause that applies is met"), "{gates}\n{seen}");
    }
}

#[test]
fn a_single_record_that_is_not_there() {
    parts("    operator: {listed: yes}\n", "", 1).says("open").says("parts/operator (a)");
    parts("{listed: yes}", "", 1).says("open");
    parts("{listed: yes}", "{}", 1).says("listed");
    parts("{listed: yes}", "{listed: }", 1).says("listed");
    parts("{listed: yes}", "{listed: no}", 1).says("not met");
    let seen = parts("{listed: yes}", "none", 2);
    assert!(seen.out.contains("unanswered") || seen.out.contains("slip"), "{seen}");
}

#[test]
fn a_fact_that_is_not_there() {
    for (from, to) in [("height: 24 in", "height:"), ("height: 24 in", "height: ~"), ("        height: 24 in\n", "")] {
        let seen = Site::new().with("job.yaml", good_but(from, to)).expect(1, &["job.yaml"]);
        seen.says("open: beam.height of gate main / beam low is not stated").says("yard/lens-height (a)");
    }
    for to in ["height: none", "height: unknown", "height: \"\"", "height: ?", "height: tbd", "height: 24", "height: in", "height: [24 in]"]
    {
        let seen = Site::new().with("job.yaml", good_but("height: 24 in", to)).check(&["job.yaml"]);
        assert_eq!(seen.code, 2, "{to}\n{seen}");
    }
}

#[test]
fn the_fact_on_which_a_section_depends() {
    let site = Site::new().with("job.yaml", good_but("duty: entrapment", "duty:").replace("24 in", "90 in"));
    site.expect(1, &["job.yaml"]).says("open").says("duty");
}

#[test]
fn a_fact_that_may_be_none_and_is_compared() {
    parts(", speed: 11 in/s", "", 2).says("unanswered");
    parts("speed: 11 in/s", "speed: none", 2).says("unanswered");
    parts("speed: 11 in/s", "speed:", 1).says("open");
}

#[test]
fn the_long_form_without_a_value() {
    for (form, code) in [
        ("{value: 24 in, by: technician 2}", 0),
        ("{value: , by: technician 2}", 1),
        ("{as-found: 24 in}", 2),
        ("{as-found: 24 in, value: }", 1),
        ("{valeu: 24 in}", 2),
    ] {
        let seen = Site::new().with("job.yaml", good_but("height: 24 in", &format!("height: {form}"))).check(&["job.yaml"]);
        assert_eq!(seen.code, code, "{form}\n{seen}");
    }
}

#[test]
fn a_thing_stated_twice() {
    for (what, job) in [
        ("a key", good_but("height: 24 in", "height: 24 in\n        height: 90 in")),
        ("a key, the other way round", good_but("height: 24 in", "height: 90 in\n        height: 24 in")),
        ("the codes", good_but("codes: [yard]", "codes: [yard]\ncodes: [field-practice]")),
        ("a list", format!("{GOOD}    beams: none\n")),
        ("the gates", format!("{GOOD}gates: none\n")),
        ("an id", format!("{GOOD}      - {{id: low, duty: vehicle, height: 90 in, offset: 4 in, span: 20 ft}}\n")),
    ] {
        let seen = Site::new().with("job.yaml", &job).check(&["job.yaml"]);
        assert_eq!(seen.code, 2, "{what} stated twice\n{seen}");
    }
}

#[test]
fn a_thing_without_an_id() {
    for id in ["", "id:", "id: ~", "id: \"\"", "id: \" \""] {
        let seen = Site::new().with("job.yaml", good_but("- id: low", &format!("- {id}"))).check(&["job.yaml"]);
        assert_eq!(seen.code, 2, "`{id}`\n{seen}");
    }
}

#[test]
fn an_entry_of_a_list_of_words_that_is_no_word() {
    for watches in ["[closing, [opening]]", "[closing, {opening: }]", "[{closing: yes}]", "[closing, ~]"] {
        let seen = parts("[closing]", watches, 2);
        assert!(seen.out.contains("slip"), "watches: {watches}\n{seen}");
    }
}

#[test]
fn a_date_that_is_only_partly_known() {
    let pack = YARD.replace("from 2026-01-01", "from 2026-02-15");
    let site = Site::empty().with("rules/yard.rules", pack);
    let site = site.with("month.yaml", good_but("2026-03-02", "2026-02")).with("sure.yaml", good_but("2026-03-02", "2026-03"));
    let seen = site.view("plain", &["month.yaml"]);
    assert_eq!(seen.code, 1, "{seen}");
    site.expect(0, &["sure.yaml"]);
}

/// A job whose beam is too high, with a variance in which one thing is changed.
fn variance(from: &str, to: &str) -> Site {
    let variance = "variances:
  - id: letter
    section: yard/lens-height
    clause: a
    thing: low
    authority: Hasp County
    reference: letter 12
    reason: a kerb
    granted: 2026-01-01
    expires: 2026-12-31
    allows: beam.height at most 32 in
gates:";
    let job = good_but("gates:", &super::changed(variance, from, to)).replace("24 in", "28 in");
    Site::new().with("job.yaml", job)
}

/// Of this one the job's own finding tells enough.
const LIMIT: &str = "whose own limit is not met";

#[test]
fn a_variance_that_does_not_hold_excuses_nothing() {
    variance("letter", "letter").expect(0, &["job.yaml"]).says("excused");
    for (what, from, to) in [
        ("expired the day before", "2026-12-31", "2026-03-31"),
        ("granted the day after", "2026-01-01", "2026-04-02"),
        ("of another thing", "thing: low", "thing: high"),
        ("of another section", "yard/lens-height", "yard/offset"),
        ("of a section that is not there", "yard/lens-height", "yard/lens"),
        ("of another clause", "clause: a", "clause: b"),
        (LIMIT, "at most 32 in", "at most 27 in"),
        ("without a reason", "    reason: a kerb\n", ""),
        ("without an authority", "authority: Hasp County", "authority:"),
        ("without a last day", "    expires: 2026-12-31\n", ""),
        ("with a last month", "expires: 2026-12-31", "expires: 2026-12"),
        ("without a limit", "    allows: beam.height at most 32 in\n", ""),
        ("with a limit that says nothing", "beam.height at most 32 in", "beam.height at most 32 lb"),
    ] {
        let seen = variance(from, to).check(&["job.yaml"]);
        assert!(seen.code > 0, "{what}\n{seen}");
        assert!(seen.out.contains("not met: yard/lens-height (a)"), "{what}\n{seen}");
        assert!(
            what == LIMIT || seen.out.contains("variance") || seen.out.contains("granted limit"),
            "{what}: it is not told that the variance counts for nothing\n{seen}"
        );
    }
    variance("2026-12-31", "2026-04-01").expect(0, &["job.yaml"]);
    variance("2026-01-01", "2026-04-01").expect(0, &["job.yaml"]);
}

#[test]
fn a_variance_never_makes_up_for_a_missing_fact() {
    let job = std::fs::read_to_string(variance("letter", "letter").path("job.yaml")).unwrap();
    let site = Site::new().with("job.yaml", super::changed(&job, "height: 28 in", "height:"));
    site.expect(1, &["job.yaml"]).says("open").keeps_quiet_of(": excused:");
}
