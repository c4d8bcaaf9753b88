//! The answer on page one: by which texts and on which day, what is let off and by whom; the zone table; what is judged as read; editions.

use super::super::cli::{Site, TODAY, good_but, yard_but};
use super::read::read;
use super::{of_example, sheet};

/// What stands between the title and the first part.
fn top(html: &str) -> String {
    let text = read(html);
    text.split("\n## ").next().unwrap().to_string()
}

const VARIANCE: &str = "variances:\n  - {id: wall, section: yard/lens-height, thing: low, authority: Hasp County, reference: HC 7, reason: A wall, granted: 2026-01-01, \
                        expires: 2026-12-31, allows: beam.height at most 30 in}\n";

#[test]
fn it_names_the_day_and_every_pack_with_its_edition() {
    let text = top(&of_example("county-fire-lane-good", &[]).1);
    assert!(text.contains("Judged on 2026-04-01 by hasp-county 2026, field-practice 2026, us-gates 2026, terms 2026."), "{text}");
}

#[test]
fn what_a_variance_excuses_is_told_with_who_granted_it() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in") + VARIANCE);
    let (code, html) = sheet(&site, "job.yaml", &[]);
    let text = top(&html);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("Yes, but only with 1 not met and excused by a variance"), "{text}");
    assert!(text.contains("Excused, not met: yard/lens-height (a), gate main / beam low: a variance granted for this job by Hasp County, HC 7, until 2026-12-31"));
}

#[test]
fn a_variance_that_nobody_fit_granted_stands_there_as_counting_for_nothing() {
    let own = VARIANCE.replace("Hasp County", "Gate Works");
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in") + &own + "installer: Gate Works\n");
    let (code, html) = sheet(&site, "job.yaml", &[]);
    let text = top(&html);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("No: this job cannot be handed over yet."), "{text}");
    assert!(
        text.contains(
            "Counts for nothing: the variance for yard/lens-height (a) of low is granted by \"Gate Works\", whom the job names as installer"
        ),
        "{text}"
    );
    let told = site.view("plain", &["job.yaml"]);
    assert!(
        told.out.contains(
            "outcome: not ready: mandatory verdicts: 1 not met; 1 variance not granted by an authority of the code, which counts for nothing"
        ),
        "{told}"
    );
    // A pack that does not say whose it is cannot tell who may let anything off.
    let site = Site::empty()
        .with("rules/yard.rules", yard_but("  authority  \"Hasp County\"\n", ""))
        .with("job.yaml", good_but("24 in", "28 in") + VARIANCE);
    let told = site.view("plain", &["job.yaml"]);
    assert!(told.code == 1 && told.out.contains("unknown-authority"), "{told}");
}

#[test]
fn what_is_on_the_punch_list_is_told_with_reason_owner_and_day() {
    let site = Site::new().with("jobs/job.yaml", good_but("24 in", "28 in"));
    let listed = site.run(&[
        "punch-list",
        "jobs",
        "--in",
        "punch.yaml",
        "--reason",
        "New post ordered",
        "--owner",
        "Crew 2",
        "--due",
        "2026-06-01",
        "--today",
        TODAY,
    ]);
    assert_eq!(listed.code, 0, "{listed}");
    let plain = sheet(&site, "jobs/job.yaml", &[]);
    let (code, html) = sheet(&site, "jobs/job.yaml", &["--punch-list", "punch.yaml"]);
    let text = top(&html);
    assert_eq!((plain.0, code), (1, 0), "{text}");
    assert!(text.contains("Yes, but only with 1 agreed to wait on the punch list"), "{text}");
    assert!(text.contains("On the punch list: No. 1, gate main / beam low: on the punch list until 2026-06-01: New post ordered (Crew 2, agreed 2026-04-01)"), "{text}");
    // The list is one of the files that the hash ties the paper to.
    assert_ne!(super::seal(&plain.1), super::seal(&html));
    // Past its day it lets nothing off.
    let late = site.run(&["sheet", "jobs/job.yaml", "--punch-list", "punch.yaml", "--today", "2026-06-02"]);
    assert!(late.code == 1 && !top(&late.out).contains("Yes"), "{late}");
}

#[test]
fn a_broken_punch_list_gives_no_sheet() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in")).with("punch.yaml", "known: [{job: job.yaml}]\n");
    let seen = site.run(&["sheet", "job.yaml", "--punch-list", "punch.yaml", "--today", TODAY]);
    assert!(seen.code == 2 && seen.out.is_empty() && seen.err.contains("punch.yaml"), "{seen}");
}

/// Two leaves, each with a drive of its own, and what watches the meeting edge of each.
fn of_two_leaves(devices: &str) -> String {
    let more = format!(
        "    kind: swing\n    leaves: [{{id: left}}, {{id: right}}]\n    zones:\n      - {{id: edge-left, place: leading-edge, leaf: left, while: [closing], gap: 0 in}}\n      \
         - {{id: edge-right, place: leading-edge, leaf: right, while: [closing], gap: 0 in}}\n      - {{id: nobody, place: hinge, while: [opening], gap: 1 in}}\n{devices}"
    );
    let job = good_but("    beams:", &format!("{more}    beams:"))
        .replace("duty: entrapment", "duty: entrapment\n        zone: leading-edge\n        leaves: [left]\n        watches: [closing]");
    let site = Site::new().with("job.yaml", job);
    read(&sheet(&site, "job.yaml", &[]).1)
}

#[test]
fn the_zone_table_credits_a_place_with_what_watches_its_own_leaf() {
    let text = of_two_leaves("    inherent:\n      - {id: drive-left, type: A, watches: [opening, closing], leaf: left}\n");
    assert!(
        text.contains("edge-left | leading edge, leaf left, gap 0 in | no danger stated; A drive-left | danger; B1 low; A drive-left"),
        "{text}"
    );
    assert!(text.contains("edge-right | leading edge, leaf right, gap 0 in | no danger stated | danger; no means listed"), "{text}");
    assert!(
        text.contains("nobody | hinge, leaf not stated, so no device is known to watch it, gap 1 in | danger; no means listed"),
        "{text}"
    );
}

#[test]
fn a_device_that_names_no_leaf_of_two_stands_in_no_cell() {
    let text = of_two_leaves(
        "    inherent:\n      - {id: drive, type: A, watches: [opening, closing]}\n    edges:\n      - {id: rubber, zone: leading-edge, leaf: right, watches: [closing]}\n",
    );
    assert!(text.contains("edge-right | leading edge, leaf right, gap 0 in | no danger stated | danger; B2 rubber"), "{text}");
    assert!(text.contains("on a gate of several leaves no leaf: drive."), "{text}");
}

#[test]
fn a_beam_that_only_spares_vehicles_is_no_means() {
    let text = of_two_leaves("").replace("B1 low", "");
    assert!(text.contains("danger; no means listed"), "{text}");
    let job = good_but("duty: entrapment", "duty: vehicle\n        zone: leading-edge\n        watches: [closing]")
        .replace("    beams:", "    zones: [{id: edge, place: leading-edge, while: [closing], gap: 0 in}]\n    beams:");
    let site = Site::new().with("job.yaml", job);
    let text = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(text.contains("edge | leading edge, gap 0 in | no danger stated | danger; no means listed"), "{text}");
}

#[test]
fn what_is_judged_as_read_is_named() {
    let site = Site::new().with("job.yaml", good_but("offset: 4 in", "offset: 4 in +/- 1/8 in"));
    let named = "gate main / beam low: height, span";
    let text = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(text.contains(&format!("2 measured values have no stated tolerance and are judged exactly as read: {named}.")), "{text}");
    for view in ["text", "plain"] {
        let told = site.view(view, &["job.yaml"]).out;
        assert!(told.contains(&format!("no tolerance stated: {named}")), "{told}");
    }
    // Bounded, however many there are.
    let beams: String =
        (0..40).map(|at| format!("      - {{id: b{at}, duty: entrapment, height: 24 in, offset: 4 in, span: 20 ft}}\n")).collect();
    let many = good_but("      - id: low\n", &format!("{beams}      - id: low\n"));
    let told = Site::new().with("job.yaml", many).view("plain", &["job.yaml"]).out;
    assert!(told.contains("gate main / beam b11: height, offset, span; and 29 more"), "{told}");
}

#[test]
fn a_published_source_without_its_edition_is_told_as_such() {
    let pack = yard_but("\"Yard book of Hasp County\" invented", "\"Standard 12\" published")
        .replace("section reach", "source dated \"Standard 13:2019\" published\n\nsection reach")
        .replace("cite    book \"2\"", "cite    dated \"2\"");
    let pack = pack.replace(
        "  applies to each beam where beam.duty is entrapment\n  shall",
        "  applies to each beam where beam.duty is entrapment\n  in force from 2025-01-01 by job.permit-date\n  shall",
    );
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", good_but("24 in", "28 in"));
    let text = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(text.contains("[1] Standard 12, edition not stated; [2] Standard 13:2019."), "{text}");
    assert!(text.contains("A beam low enough to find a person lens-height in force from 2025-01-01 by job.permit-date."), "{text}");
}
