//! The spot check: just the measures near a limit, without the job's readings.

use super::super::cli::{GOOD, Site, good_but};
use super::read::read;
use super::{of_example, sheet};

/// The measures that a spot check lists.
fn listed(html: &str) -> Vec<String> {
    let text = read(html);
    let rows = text.lines().filter(|line| line.split(" | ").count() >= 4 && line.starts_with(|c: char| c.is_ascii_digit()));
    rows.map(|line| line.split(" | ").nth(1).unwrap().to_string()).collect()
}

fn of_heights(tolerance: &str, heights: &[&str]) -> Vec<String> {
    let beams: String = heights
        .iter()
        .enumerate()
        .map(|(at, height)| format!("      - {{id: b{at}, duty: entrapment, height: {height}, offset: 4.0 in, span: 20 ft, coded: no}}\n"))
        .collect();
    let head = GOOD.split("      - id: low").next().unwrap().replace("permit-date", &format!("{tolerance}\npermit-date"));
    let site = Site::new().with("job.yaml", head + &beams);
    listed(&sheet(&site, "job.yaml", &["--spot-check"]).1)
}

#[test]
fn just_what_lies_within_twice_the_tolerance_of_a_limit() {
    // The limit is 26 in, the tolerance 1/8 in: from 25 3/4 in to 26 1/4 in.
    let heights = ["25 in", "25 11/16 in", "25 3/4 in", "25 7/8 in", "26 in", "26 1/4 in", "26 5/16 in", "30 in"];
    let found = of_heights("tape-tolerance: 1/8 in", &heights);
    let expected: Vec<String> = [2, 3, 4, 5].iter().map(|at| format!("height of gate main / beam b{at}")).collect();
    assert_eq!(found, expected);
}

#[test]
fn without_a_tolerance_the_last_digit_stands_for_it() {
    // Whole inches: two of them on either side; eighths: a quarter.
    let found = of_heights("", &["23 in", "24 in", "28 in", "29 in", "25 5/8 in", "25 3/4 in"]);
    let expected: Vec<String> = [1, 2, 5].iter().map(|at| format!("height of gate main / beam b{at}")).collect();
    assert_eq!(found, expected);
}

/// What is listed where a section is asked of beams below 30 in alone, for beams that are all too long for the other section.
fn of_threshold(condition: &str, heights: &[&str]) -> Vec<String> {
    let beams: String = heights
        .iter()
        .enumerate()
        .map(|(at, height)| format!("      - {{id: b{at}, duty: vehicle, height: {height}, offset: 4.0 in, span: 20 ft, coded: no}}\n"))
        .collect();
    let job = GOOD.split("      - id: low").next().unwrap().replace("permit-date", "tape-tolerance: 1/8 in\npermit-date") + &beams;
    let pack = super::super::cli::YARD.to_string()
        + &format!("\nsection hood \"A hood\"\n  applies to each beam where {condition}\n  shall   beam.hood\n  cite    book \"4\"\n");
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", job);
    listed(&sheet(&site, "job.yaml", &["--spot-check"]).1)
}

#[test]
fn a_threshold_by_which_a_section_applies_at_all_counts_also_where_it_does_not_apply() {
    // Asked below 30 in, and read to 1/8 in: from 29 3/4 in to 30 1/4 in a reading a little off brings the section to bear or takes it away.
    let found = of_threshold("beam.height less than 30 in", &["29 5/8 in", "29 3/4 in", "30 in", "30 1/4 in", "30 5/16 in"]);
    assert_eq!(found, [1, 2, 3].map(|at| format!("height of gate main / beam b{at}")));
    // What something else settles is near nothing: these beams are there for vehicles.
    assert_eq!(of_threshold("beam.duty is entrapment and beam.height less than 30 in", &["30 in"]), Vec::<String>::new());
    assert_eq!(of_threshold("beam.duty is vehicle and beam.height less than 30 in", &["30 in"]).len(), 1);
    assert_eq!(of_threshold("beam.duty is vehicle or beam.height less than 30 in", &["30 in"]), Vec::<String>::new());
}

#[test]
fn the_readings_of_the_job_are_not_shown() {
    let site = Site::new().with("job.yaml", good_but("24 in", "25 15/16 in +/- 1/16 in").replace("offset: 4 in", "offset: 4.0 in"));
    let (code, html) = sheet(&site, "job.yaml", &["--spot-check"]);
    assert_eq!(code, 0);
    assert_eq!(listed(&html), ["height of gate main / beam low"]);
    assert!(!html.contains("25 15/16"), "{}", read(&html));
    assert!(html.contains("Centre of the lens above the grade"));
}

#[test]
fn a_spot_check_reads_so() {
    insta::with_settings!({snapshot_path => "snapshots", prepend_module_to_snapshot => false}, {
        insta::assert_snapshot!("spot-check", read(&of_example("marginal-measures", &["--spot-check"]).1));
    });
}
