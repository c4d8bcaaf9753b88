//! Cases worked out by hand, on packs of invented rules. Each says how its ends come about.

use super::{Site, of};
use pintle::command::workbench::judge_texts;
use pintle::envelope::trial::Label;
use pintle::envelope::{Envelope, asked_for, envelope};
use pintle::quantity::Exact;
use std::fmt::Write;

const TODAY: &str = "2026-04-01";

/// A pack of sections, each one clause on beams.
fn pack(sections: &[&str]) -> String {
    let mut text = "pack yard \"Yard rules\"\n  language 1\n  edition \"2026\"\n  authority \"Hasp County\"\n  adopts terms\n\n\
                    source book \"Yard book\" invented\n"
        .to_string();
    for (at, section) in sections.iter().enumerate() {
        let _ = write!(
            text,
            "\nsection rule-{} \"A rule\"\n  {section}\n  remedy \"Mend it.\"\n  cite book \"{at}\"\n",
            char::from(b'a' + u8::try_from(at).unwrap())
        );
    }
    text
}

fn job(more: &str, beam: &str) -> String {
    format!("title: Ferrule Yard\ncodes: [yard]\n{more}gates:\n  - id: main\n    beams:\n      - id: low\n        duty: entrapment\n{beam}")
}

fn found(sections: &[&str], more: &str, beam: &str, fact: &str) -> Envelope {
    let site = Site::of_texts(&pack(sections), "yard", &job(more, beam), TODAY);
    let facts = asked_for(site.program(), &site.job, Some(&format!("low.{fact}"))).unwrap();
    envelope(&site.ask(), facts[0])
}

/// Ends of the good ranges, with whether each is held.
fn ends(envelope: &Envelope) -> Vec<(Exact, bool, Exact, bool)> {
    envelope.good().map(|range| (range.lo.at, range.lo.included, range.hi.at, range.hi.included)).collect()
}

fn whole(number: i128) -> Exact {
    Exact::whole(number)
}

#[test]
fn the_tolerance_is_drawn_in() {
    // 30 in less 1/8 in of the tape is 29 7/8 in: a reading of that much may be 30 in, and no more.
    let rule = "applies to each beam\n  shall beam.height at most 30 in";
    let one = found(&[rule], "tape-tolerance: 1/8 in\n", "        height: 28 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, of(239, 8), true)]);
    assert!(one.ranges[0].hi.exact && one.ranges[0].hi.set_by[0].section == "yard/rule-a");
    let verdict = |height: &str| {
        let text = job("tape-tolerance: 1/8 in\n", &format!("        height: {height}\n"));
        judge_texts(&[("yard", &pack(&[rule]))], &["yard"], &text, TODAY.parse().unwrap()).unwrap()[0].3.clone()
    };
    assert_eq!([verdict("29 7/8 in"), verdict("29 57/64 in"), verdict("30 9/64 in")], ["met", "marginal", "not met"]);
}

#[test]
fn a_tolerance_of_its_own_goes_before_that_of_the_job() {
    let one = found(
        &["applies to each beam\n  shall beam.height at most 30 in"],
        "tape-tolerance: 1/8 in\n",
        "        height: 28 in +/- 1/2 in\n",
        "height",
    );
    assert_eq!(ends(&one), [(whole(0), true, of(59, 2), true)]);
}

#[test]
fn less_than_does_not_hold_its_end() {
    let one = found(
        &["applies to each beam\n  shall beam.height less than 30 in", "applies to each beam\n  shall beam.height more than 10 in"],
        "",
        "        height: 28 in\n",
        "height",
    );
    assert_eq!(ends(&one), [(whole(10), false, whole(30), false)]);
}

#[test]
fn a_metric_limit_is_found_in_inches() {
    // 762 mm are 30 in; 660.4 mm are 26 in. The job is in inches, the rules are not.
    let rules = ["applies to each beam\n  shall beam.height at most 762 mm", "applies to each beam\n  shall beam.height at least 660.4 mm"];
    assert_eq!(ends(&found(&rules, "", "        height: 28 in\n", "height")), [(whole(26), true, whole(30), true)]);
}

#[test]
fn an_end_that_cannot_be_written_is_rounded_inward() {
    // 100 mm are 3.937… in: 3 59/64 in is the greatest 64th below, 100/25.4 * 64 = 251.9.
    let one = found(&["applies to each beam\n  shall beam.height at most 100 mm"], "", "        height: 2 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, of(251, 64), true)]);
    assert!(!one.ranges[0].hi.exact);
}

#[test]
fn an_end_that_is_no_fraction_is_rounded_inward() {
    // The square of the height at most 2 square feet: 12 in times the root of 2 are 16.97… in, 1086.1 64ths.
    let one = found(&["applies to each beam\n  shall beam.height^2 at most 2 ft²"], "", "        height: 2 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, of(1086, 64), true)]);
}

#[test]
fn ranges_may_be_several_and_a_single_value() {
    let rules = [
        "applies to each beam\n  shall any of\n    (1) beam.height at most 10 in\n    (2) beam.height within 20 in to 24 in\n    (3) beam.height within 30 in to 30 in",
    ];
    let one = found(&rules, "", "        height: 28 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, whole(10), true), (whole(20), true, whole(24), true), (whole(30), true, whole(30), true)]);
}

#[test]
fn a_single_value_may_be_left_out() {
    let one = found(&["applies to each beam\n  shall not beam.height within 30 in to 30 in"], "", "        height: 28 in\n", "height");
    let hi = one.looked_at.1;
    assert_eq!(ends(&one), [(whole(0), true, whole(30), false), (whole(30), false, hi, true)]);
}

#[test]
fn two_measures_bind_each_other() {
    // Height and offset together at most 30 in; the tape is off by 1/8 in for each: 30 - 4 - 1/4.
    let rule = "applies to each beam\n  shall beam.height + beam.offset at most 30 in";
    let one = found(&[rule], "tape-tolerance: 1/8 in\n", "        height: 28 in\n        offset: 4 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, of(103, 4), true)]);
    assert_eq!(one.today.unwrap().label, Label::Bad);
}

#[test]
fn another_measure_in_two_places_is_in_doubt_both_ways() {
    // The difference of two readings: either may be off either way.
    let rule = "applies to each beam\n  shall difference(beam.height, beam.mate-height) at most 1 in";
    let one = found(&[rule], "tape-tolerance: 1/8 in\n", "        height: 28 in\n        mate-height: 28 in\n", "height");
    assert_eq!(ends(&one), [(of(109, 4), true, of(115, 4), true)]);
    assert!(one.ranges.iter().all(|range| range.label.is_some()), "{:?}", one.ranges);
}

#[test]
fn what_is_open_is_told_and_never_assumed() {
    let rules = [
        "applies to each beam\n  shall (a) beam.height at most 30 in\n  shall (b) if beam.height at least 20 in then beam.offset at most 5 in",
    ];
    let one = found(&rules, "", "        height: 28 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, whole(20), false)]);
    let waits: Vec<_> = one.ranges.iter().filter(|range| range.label == Some(Label::Waiting)).collect();
    assert_eq!((waits.len(), waits[0].lo.at, waits[0].hi.at), (1, whole(20), whole(30)));
    assert_eq!(one.waiting[0].lacking[0].name, "beam.offset");
    assert_eq!(one.today.unwrap().label, Label::Waiting);
}

#[test]
fn what_fails_whatever_the_measure_is_does_not_count() {
    let rules = [
        "applies to each beam\n  shall beam.height at most 30 in and beam.height at least 0 in",
        "applies to each beam\n  shall beam.offset at most 5 in and beam.height at least 0 in",
    ];
    let one = found(&rules, "", "        height: 28 in\n        offset: 9 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, whole(30), true)]);
    assert_eq!(one.always[0].section, "yard/rule-b");
}

#[test]
fn recommended_clauses_narrow_it_and_mandatory_ones_alone_are_told() {
    let rules = ["applies to each beam\n  shall beam.height at most 30 in", "applies to each beam\n  should beam.height at most 20 in"];
    let one = found(&rules, "", "        height: 28 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, whole(20), true)]);
    assert_eq!(one.mandatory.as_ref().unwrap()[0].hi.at, whole(30));
    let today = one.today.unwrap();
    assert_eq!((today.label, today.mandatory), (Label::Bad, Label::Good));
}

#[test]
fn a_variance_widens_it_up_to_what_it_allows() {
    let granted = "variances:\n  - {id: v, section: yard/rule-a, thing: low, authority: Hasp County, reference: V-1, reason: kerb, \
                   granted: 2026-01-01, expires: 2026-12-31, allows: beam.height at most 32 in}\n";
    let one = found(&["applies to each beam\n  shall beam.height at most 30 in"], granted, "        height: 28 in\n", "height");
    assert_eq!(ends(&one), [(whole(0), true, whole(32), true)]);
}

#[test]
fn a_measure_that_is_not_stated_has_its_envelope_too() {
    let one =
        found(&["applies to each beam\n  shall beam.height at most 30 in"], "tape-tolerance: 1/8 in\n", "        offset: 4 in\n", "height");
    assert_eq!((ends(&one), one.today), (vec![(whole(0), true, of(239, 8), true)], None));
}

#[test]
fn counts_step_by_one() {
    let site = Site::of_texts(
        &pack(&["applies to each gate\n  shall gate.dwellings less than 12", "applies to each gate\n  shall gate.dwellings at least 3"]),
        "yard",
        "title: Ferrule Yard\ncodes: [yard]\ngates:\n  - id: main\n    dwellings: 4\n",
        TODAY,
    );
    let one = envelope(&site.ask(), asked_for(site.program(), &site.job, Some("main.dwellings")).unwrap()[0]);
    assert_eq!(ends(&one), [(whole(3), true, whole(11), true)]);
    assert!(one.ranges[0].hi.exact);
}

#[test]
fn an_end_with_many_decimals_is_exact() {
    // More than 10 in, 0.254 m, with a tolerance of 6.35 mm: more than 0.26035 m, which itself is in doubt.
    let one = found(&["applies to each beam\n  shall beam.height more than 10 in"], "", "        height: 0.4 m +/- 6.35 mm\n", "height");
    let range = one.good().next().unwrap();
    assert_eq!((range.lo.at, range.lo.included, range.lo.exact), (of(26035, 100_000), false, true));
}
