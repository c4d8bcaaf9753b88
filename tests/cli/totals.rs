//! How jobs ended, counted at the end of a run: every view tells the same counts, each job is counted once, and the count goes with
//! the exit code.

use super::{GOOD, Seen, Site, TODAY, good_but, lines};
use std::collections::BTreeMap;

/// A folder with a job of every end, and packs good and bad.
fn yard() -> Site {
    let site = Site::new()
        .with("jobs/agreed.yaml", good_but("24 in", "28 in"))
        .with("jobs/excused.yaml", good_but("height: 24 in", "height: 28 in\n        coded: yes"))
        .with("jobs/not-met.yaml", good_but("24 in", "29 in"))
        .with("jobs/marginal.yaml", good_but("24 in", "26 in +/- 1/8 in"))
        .with("jobs/open.yaml", good_but("height: 24 in", "height:"))
        .with("jobs/in-doubt.yaml", good_but("permit-date: 2026-03-02", "permit-date:"))
        .with("jobs/ready.yaml", GOOD)
        .with("jobs/slip.yaml", good_but("offset:", "ofset:"))
        .with("jobs/unanswered.yaml", good_but("offset: 4 in", "offset: 0 in"))
        .with("jobs/unreadable.yaml", "codes: [")
        .with("jobs/void-day.yaml", good_but("2026-03-02", "2025-03-02"))
        .with("jobs/void-gate.yaml", "title: Empty\ncodes: [yard]\npermit-date: 2026-03-02\ngates: none\n")
        .with("jobs/no-job.yaml", "nothing: here\n")
        .with("rules/bad.rules", "pack bad\n");
    let list = ["punch-list", "jobs/agreed.yaml", "--in", "punch.yaml", "--today", TODAY];
    let agreed = ["--reason", "On order", "--owner", "Crew 2", "--due", "2026-06-01"];
    assert_eq!(site.run(&[&list[..], &agreed].concat()).code, 0);
    site
}

/// The counts of the last line of the lines.
fn counts(seen: &Seen) -> (BTreeMap<String, u64>, u64, u64, u64) {
    let records = lines::records(seen);
    let end = records.last().unwrap();
    let of = |key: &str| -> BTreeMap<String, u64> {
        end[key].as_object().unwrap().iter().map(|(word, number)| (word.clone(), number.as_u64().unwrap())).collect()
    };
    let (jobs, packs) = (of("outcomes"), of("packs"));
    assert_eq!(end["jobs"].as_u64().unwrap(), jobs.values().sum::<u64>() + packs.values().sum::<u64>(), "{end}");
    // Each job that has a line is counted as its line says; the others could not be judged.
    for (word, number) in &jobs {
        let said = records.iter().filter(|record| record["kind"] == "job" && record["ended"] == word.as_str()).count() as u64;
        assert!(if word == "not judged" { said <= *number } else { said == *number }, "{word}: {said} of {number}");
    }
    (jobs, packs["without slips"], packs["with slips"], end["troubles"].as_u64().unwrap())
}

#[test]
fn every_view_tells_the_same_counts() {
    let site = yard();
    for (more, ends, told) in [
        (&["jobs"][..], [2, 0, 0, 5, 3, 2], "12 jobs: 2 ready, 5 not ready, 3 could not be judged, 2 void"),
        (
            &["jobs", "--punch-list", "punch.yaml"],
            [2, 1, 0, 4, 3, 2],
            "12 jobs: 2 ready, 1 passed with what was agreed to wait, 4 not ready, 3 could not be judged, 2 void",
        ),
        (
            &["jobs", "--punch-list", "punch.yaml", "--unfinished"],
            [2, 1, 2, 2, 3, 2],
            "12 jobs: 2 ready, 1 passed with what was agreed to wait, 2 unfinished, 2 not ready, 3 could not be judged, 2 void",
        ),
        (
            &["jobs/ready.yaml", "rules", "gone.yaml"],
            [1, 0, 0, 0, 0, 0],
            "1 job: 1 ready, 0 not ready, 0 could not be judged, 0 void; 2 packs checked: 1 with slips; besides, 1 trouble with the run itself",
        ),
        (&["rules/yard.rules", "rules/bad.rules"], [0; 6], "2 packs checked: 1 with slips"),
        (&["jobs/ready.yaml", "jobs/no-job.yaml"], [1, 0, 0, 0, 1, 0], "2 jobs: 1 ready, 0 not ready, 1 could not be judged, 0 void"),
    ] {
        let seen = site.view("lines", more);
        let (jobs, ..) = counts(&seen);
        let words = ["ready", "agreed", "unfinished", "not ready", "not judged", "void"];
        assert_eq!(words.map(|word| jobs[word]), ends, "{more:?}");
        let plain = site.view("plain", more).says(&format!("in all: {told}\n"));
        assert_eq!(plain.code, seen.code);
        // What a job's own outcome begins with is what it is counted as.
        for (begins, end) in [("could not be judged", 4), ("void", 5), ("not ready", 3), ("so far", 2), ("nothing mandatory fails but", 1)]
        {
            assert_eq!(plain.out.matches(&format!(": outcome: {begins}")).count() as u64, ends[end], "{begins}\n{plain}");
        }
        let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(one_line(&site.view("text", more).out).contains(&format!("in all {told} caution")), "{more:?}");
        assert!(site.view("summary", more).out.contains(&format!("Judged on {TODAY}: {told}.\n")), "{}", site.view("summary", more));
        assert!(site.view("test-xml", more).out.contains(&format!("<!-- In all {told}. -->\n</testsuites>")), "{more:?}");
        let log = super::sarif::log(&site.view("sarif", more));
        let said = &log["runs"][0]["properties"]["outcomes"];
        assert_eq!(words.map(|word| said[word].as_u64().unwrap()), ends, "{more:?}");
    }
}

#[test]
fn a_job_alone_ends_as_it_does_among_others() {
    let site = yard();
    for name in site.names("jobs") {
        let path = format!("jobs/{name}");
        let seen = site.view("lines", &[&path, "--punch-list", "punch.yaml", "--unfinished"]);
        let (jobs, ..) = counts(&seen);
        let end = jobs.iter().find(|(_, number)| **number > 0).map(|(word, _)| word.as_str()).unwrap();
        let code = match end {
            "ready" | "agreed" | "unfinished" => 0,
            "not ready" => 1,
            _ => 2,
        };
        assert_eq!(seen.code, code, "{name}: {end}\n{seen}");
        // Of one job alone its outcome says it all.
        site.check(&[&path]).keeps_quiet_of("in all: ");
    }
}
