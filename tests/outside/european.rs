//! What eu-gates says of gates whose outcome is known from outside the project. Each row names its source and how sure it is:
//! `published` was seen in a publication, `memory` is a standard that nobody looked up, `reckoned` follows from the figures.

use jiff::civil::date;
use pintle::command::workbench::judge_texts;

const JOB: &str = "
title: Gates whose outcome is known
codes: [eu-gates]
gates:
  - id: slide
    kind: horizontal-slide
    users: untrained
    automatic-closing: yes
    controls: [{id: timer, kind: timer, in-sight: yes}]
    zones: [{id: front, place: leading-edge, while: [closing], gap: 0 mm}]
    inherent: [{id: limit, type: C, watches: [closing]}]
    edges: none
    beams: none
    leaves: [{id: one}]
    tests:
      - {id: k-23, kind: force, date: 2026-01-05, result: passed, gap: 300 mm, force: 390 N, time-over-150: 0.6 s, time-over-25: 4 s}
      - {id: k-24, kind: force, date: 2026-01-05, result: passed, gap: 300 mm, force: 410 N}
      - {id: k-27, kind: force, date: 2026-01-05, result: passed, gap: 300 mm, first-reading: 380 N, second-reading: 400 N, third-reading: 410 N}
  - id: slide-with-beam
    kind: horizontal-slide
    users: untrained
    automatic-closing: yes
    controls: [{id: timer, kind: timer, in-sight: yes}]
    zones: [{id: front, place: leading-edge, while: [closing], gap: 0 mm}]
    inherent: [{id: limit, type: C, watches: [closing]}]
    edges: none
    leaves: [{id: one}]
    beams: [{id: b, duty: entrapment, zone: leading-edge, watches: [closing]}]
  - id: swing
    kind: swing
    operator: {installed: 2025-12-01}
    surface-slope: 5 %
    bottom-gap: 225 mm
    bottom-gap-least: 50 mm
    tests:
      - {id: k-25, kind: force, date: 2026-01-05, result: passed, gap: 800 mm, force: 1200 N, time-over-150: 0.7 s, time-over-25: 4.9 s}
      - {id: k-89-tip, kind: force, date: 2026-01-05, result: passed, leaf: k-89, while: [opening], gap: 300 mm, force: 120 N}
    leaves:
      - {id: k-29-7-mm, length: 3 m, hinge-gap-least: 7 mm, hinge-gap-widest: 7 mm, leaf-to-object: 200 mm, object-depth: 200 mm}
      - {id: k-29-20-mm, length: 3 m, hinge-gap-least: 20 mm, hinge-gap-widest: 20 mm, leaf-to-object: 200 mm, object-depth: 300 mm}
      - {id: k-29-26-mm, length: 3 m, hinge-gap-least: 26 mm, hinge-gap-widest: 26 mm, leaf-to-object: 500 mm, object-depth: 300 mm}
      - {id: k-89, length: 4 m}
      - {id: k-90, length: 3.5 m}
    zones: [{id: near-hinge, place: hinge, while: [opening], gap: 30 mm, leaf: k-89, hinge-distance: 0.5 m, by-analysis: yes}]
  - {id: lift, kind: vertical-lift, tests: [{id: k-26, kind: force, date: 2026-01-05, result: passed, gap: 800 mm, force: 1200 N}]}
";

/// Vector, source, how sure, section, clause, thing, verdict.
type Row = (&'static str, &'static str, &'static str, &'static str, &'static str, &'static str, &'static str);

const LEAFLET: &str = "trade federation's leaflet on forces; EN 12453 Annex A";
const WIDTHS: &str = "EN 12453 Annex A, full table";
const LEVELS: &str = "EN 12453 Table 1";

const ROWS: &[Row] = &[
    ("sliding, 300 mm, 390 N", LEAFLET, "published, high", "force-peak", "a", "gate slide / test k-23", "met"),
    ("down to 150 N at 0.6 s", LEAFLET, "published, high", "force-falls-off", "a", "gate slide / test k-23", "met"),
    ("down to 20 N at 4 s", LEAFLET, "published, high", "force-falls-off", "b", "gate slide / test k-23", "met"),
    ("sliding, 300 mm, 410 N", LEAFLET, "published, high", "force-peak", "a", "gate slide / test k-24", "not met"),
    ("swing, 800 mm, 1200 N", LEAFLET, "published, high", "force-peak", "a", "gate swing / test k-25", "met"),
    ("down to 140 N at 0.7 s", LEAFLET, "published, high", "force-falls-off", "a", "gate swing / test k-25", "met"),
    ("down to 24 N at 4.9 s", LEAFLET, "published, high", "force-falls-off", "b", "gate swing / test k-25", "met"),
    ("lifting, 800 mm, 1200 N", WIDTHS, "memory, high", "force-peak", "a", "gate lift / test k-26", "not met"),
    (
        "mean of 380, 400, 410 N is 396.7 N",
        "EN 12453 annex on measuring",
        "memory, high",
        "force-peak",
        "b",
        "gate slide / test k-27",
        "met",
    ),
    ("automatic, public, limits on force alone", LEVELS, "memory, medium", "edge-protection", "d", AUTOMATIC, "not met"),
    ("automatic, public, limits on force and a beam", LEVELS, "memory, medium", "edge-protection", "d", AUTOMATIC_WITH_BEAM, "met"),
    ("hinge gap 7 mm", "EN 12453; 8 mm in a French order too", "memory, high", "hinge-fingers", "b", "gate swing / leaf k-29-7-mm", "met"),
    ("hinge gap 20 mm", "EN 12453", "memory, high", "hinge-fingers", "b", "gate swing / leaf k-29-20-mm", "not met"),
    ("hinge gap 26 mm", "EN 12453", "memory, high", "hinge-fingers", "b", "gate swing / leaf k-29-26-mm", "met"),
    ("200 mm to a wall 200 mm deep", "EN 12453", "memory, medium", "open-leaf-distance", "a", "gate swing / leaf k-29-7-mm", "met"),
    ("200 mm to a wall 300 mm deep", "EN 12453", "memory, medium", "open-leaf-distance", "a", "gate swing / leaf k-29-20-mm", "not met"),
    ("500 mm to a wall 300 mm deep", "EN 12453", "memory, medium", "open-leaf-distance", "a", "gate swing / leaf k-29-26-mm", "met"),
    (
        "120 N at 4 m is 960 N at 0.5 m",
        "one torque",
        "reckoned, high",
        "force-worked-out",
        "b",
        "gate swing / zone near-hinge / opening",
        "not met",
    ),
    ("3.5 m over 1 in 20 is 175 mm", "trigonometry", "reckoned, high", "ground-rise", "a", "gate swing / leaf k-90", "met"),
    ("4 m over 1 in 20 is 200 mm", "trigonometry", "reckoned, high", "ground-rise", "a", "gate swing / leaf k-89", "not met"),
];

const AUTOMATIC: &str = "gate slide / zone front / least-protection untrained, automatic / closing";
const AUTOMATIC_WITH_BEAM: &str = "gate slide-with-beam / zone front / least-protection untrained, automatic / closing";

#[test]
fn gates_whose_outcome_is_known_are_judged_so() {
    let verdicts = judge_texts(&[], &["eu-gates"], JOB, date(2026, 3, 2)).expect("no slips");
    for (what, source, sure, section, clause, thing, wanted) in ROWS {
        let id = format!("eu-gates/{section}");
        let found: Vec<&str> =
            verdicts.iter().filter(|row| row.0 == id && row.1 == *clause && row.2 == *thing).map(|row| row.3.as_str()).collect();
        assert_eq!(found, [*wanted], "{what}: {id} ({clause}), {thing}; source: {source} ({sure})");
    }
}

/// The shares of one torque and of a slope are told in the unit of the source.
#[test]
fn reckoned_figures_are_those_of_the_source() {
    use pintle::quantity::read;
    let torque = read("120 N").expect("a force").value.mul(read("4 m").expect("a length").value).expect("a torque");
    let near = torque.div(read("0.5 m").expect("a length").value).expect("a force");
    assert_eq!(near, read("960 N").expect("a force").value);
    let rise = read("3.5 m").expect("a length").value.mul(read("5 %").expect("a ratio").value).expect("a length");
    assert_eq!(rise, read("175 mm").expect("a length").value);
}
