//! Limits of the fire codes and of the way for people on foot, against published figures: each one just met and just missed, in the
//! units that its source prints. Beside each stands the source and how sure the figure is.

use jiff::civil::Date;
use pintle::command::workbench::judge_texts;

/// A published limit.
struct Limit {
    /// Where it is printed, and how sure it is.
    source: &'static str,
    code: &'static str,
    clause: &'static str,
    /// Facts of the job and of the gate, with `VALUE` for the measure.
    job: &'static str,
    gate: &'static str,
    met: &'static [&'static str],
    not_met: &'static [&'static str],
}

const LIMITS: &[Limit] = &[
    Limit {
        source: "International Fire Code 503.2.1, quoted in public: 13 ft 6 in (4115 mm); high. NFPA 1 prints 4.1 m, which is 14.8 mm less",
        code: "us-fire",
        clause: "us-fire/clear-height (b)",
        job: "",
        gate: "clear-height: VALUE, fire-access: {on-fire-road: yes}",
        met: &["13 ft 6 in", "4115 mm", "4114.8 mm"],
        not_met: &["13 ft 5 in", "4114 mm", "4.1 m"],
    },
    Limit {
        source: "International Fire Code 503.2.1, quoted in public: 20 ft (6096 mm); NFPA 1, notes on 18.2.3.5: 20 ft (6.1 m); high",
        code: "us-fire",
        clause: "us-fire/width (a)",
        job: "",
        gate: "opening: VALUE, fire-access: {on-fire-road: yes}",
        met: &["20 ft", "6096 mm", "6.1 m"],
        not_met: &["19 ft 11 in", "6095 mm"],
    },
    Limit {
        source: "NFPA 1, public outline of 18.2.3.5: 1 ft in 20 ft (0.3 m in 6 m); high",
        code: "us-fire",
        clause: "us-fire/grade-change (a)",
        job: "",
        gate: "fire-access: {on-fire-road: yes, grade-change: VALUE}",
        met: &["5 %", "4.9 %"],
        not_met: &["5.1 %"],
    },
    Limit {
        source: "Municipal code of a town of North Carolina, 95.011: opening begins 25 ft before the gate; high",
        code: "us-fire",
        clause: "us-fire/early-opening (a)",
        job: "",
        gate: "fire-access: {on-fire-road: yes}, controls: [{id: siren, kind: siren-release, acts-from: VALUE}]",
        met: &["25 ft", "7.62 m"],
        not_met: &["24 ft 11 in", "7.61 m"],
    },
    Limit {
        source: "International Fire Code, appendix D, D103.5, scanned public copy: 20 ft (6096 mm); high",
        code: "us-fire-appendix",
        clause: "us-fire-appendix/appendix-width (a)",
        job: "fire-code-year: 2012\n",
        gate: "opening: VALUE, fire-access: {on-fire-road: yes, divided-road: yes}",
        met: &["20 ft", "6096 mm"],
        not_met: &["6095 mm", "12 ft"],
    },
    Limit {
        source: "International Fire Code, appendix D, D103.5, later editions, from memory: 12 ft (3658 mm) each on a divided road; medium",
        code: "us-fire-appendix",
        clause: "us-fire-appendix/appendix-width (a)",
        job: "fire-code-year: 2021\n",
        gate: "opening: VALUE, fire-access: {on-fire-road: yes, divided-road: yes}",
        met: &["12 ft", "3658 mm"],
        not_met: &["3657 mm"],
    },
    Limit {
        source: "14 CCR 1270 and following, two county copies: 2 ft wider than the lane; high",
        code: "us-fire-wildland",
        clause: "us-fire-wildland/lane-and-two-feet (b)",
        job: "",
        gate: "opening: VALUE, fire-access: {on-fire-road: yes, lane-width: 12 ft}",
        met: &["14 ft"],
        not_met: &["13 ft 11 in"],
    },
    Limit {
        source: "14 CCR 1270 and following, two county copies: 15 ft clear; high",
        code: "us-fire-wildland",
        clause: "us-fire-wildland/wildland-height (a)",
        job: "",
        gate: "clear-height: VALUE, fire-access: {on-fire-road: yes}",
        met: &["15 ft", "4572 mm"],
        not_met: &["14 ft 11 in", "4571 mm"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.3, public guide: 32 in, printed as 815 mm, which is 2.2 mm more; high",
        code: "pedestrian-access",
        clause: "pedestrian-access/clear-width (a)",
        job: "",
        gate: "pedestrian-way: {clear-width: VALUE}",
        met: &["32 in", "815 mm"],
        not_met: &["31 7/8 in", "812 mm"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.7, public copy: 34 in to 48 in, printed as 865 mm to 1220 mm; high. The inches govern: 1220 mm is 0.8 mm too high",
        code: "pedestrian-access",
        clause: "pedestrian-access/hardware-height (a)",
        job: "",
        gate: "pedestrian-way: {passage: hinged, hardware-height: VALUE}",
        met: &["34 in", "48 in", "865 mm", "1219 mm"],
        not_met: &["33 7/8 in", "48 1/8 in", "863 mm", "1220 mm"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.8.1, public copy: 5 s from 90 to 12 degrees; high",
        code: "pedestrian-access",
        clause: "pedestrian-access/closing-time (c)",
        job: "",
        gate: "pedestrian-way: {passage: hinged, closer: closer, closing-time: VALUE}",
        met: &["5 s"],
        not_met: &["4.9 s"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.8.2, public copy: spring hinges 1.5 s from 70 degrees; high",
        code: "pedestrian-access",
        clause: "pedestrian-access/closing-time (c)",
        job: "",
        gate: "pedestrian-way: {passage: hinged, closer: spring-hinges, closing-time: VALUE}",
        met: &["1.5 s"],
        not_met: &["1.4 s"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.9, public copy: 5 pounds (22.2 N) for sliding gates; high",
        code: "pedestrian-access",
        clause: "pedestrian-access/opening-force (b)",
        job: "",
        gate: "pedestrian-way: {passage: sliding, opening-force: VALUE}",
        met: &["5 lbf", "22.2 N"],
        not_met: &["5.1 lbf", "22.3 N"],
    },
    Limit {
        source: "2010 ADA Standards 404.2.5, public copy: 1/2 in (13 mm); high. The inches govern: 13 mm is 0.3 mm too high",
        code: "pedestrian-access",
        clause: "pedestrian-access/threshold (a)",
        job: "",
        gate: "pedestrian-way: {threshold: VALUE}",
        met: &["1/2 in", "12.7 mm"],
        not_met: &["9/16 in", "13 mm"],
    },
    Limit {
        source: "ICC A117.1, 403.3, public copy: across the way 1 in 48; high",
        code: "pedestrian-access",
        clause: "pedestrian-access/slope (b)",
        job: "",
        gate: "pedestrian-way: {running-slope: 1 %, cross-slope: VALUE}",
        met: &["2 %", "2.0833 %"],
        not_met: &["2.0834 %", "2.1 %"],
    },
];

#[test]
fn published_limits_of_fire_access_and_of_the_way_on_foot() {
    let today = Date::constant(2026, 3, 2);
    for limit in LIMITS {
        let cases = limit.met.iter().map(|value| (value, "met")).chain(limit.not_met.iter().map(|value| (value, "not met")));
        for (value, wanted) in cases {
            let facts = limit.gate.replace("VALUE", value);
            let job = format!("title: Made up\ncodes: [{}]\n{}gates:\n  - {{id: main, {facts}}}\n", limit.code, limit.job);
            let rows = judge_texts(&[], &[limit.code], &job, today).unwrap_or_else(|slips| panic!("{}: {value}: {slips:?}", limit.clause));
            let found = rows.iter().find(|(section, clause, _, _)| format!("{section} ({clause})") == limit.clause);
            let verdict = found.map(|(_, _, _, verdict)| verdict.to_string());
            assert_eq!(verdict.as_deref(), Some(wanted), "{} at {value}; {}", limit.clause, limit.source);
        }
    }
}
