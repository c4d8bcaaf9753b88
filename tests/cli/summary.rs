//! The view of one page of Markdown: what it tells, that it stays one page, and that no name in it becomes markup.

use super::{GOOD, Site, TODAY, good_but};

#[test]
fn a_run_on_one_page() {
    let site = Site::new().with("jobs/a.yaml", GOOD).with("jobs/b.yaml", good_but("24 in", "28 in")).with("jobs/c.yaml", "codes: [");
    let seen = site.view("summary", &["jobs"]);
    assert_eq!(seen.code, 2);
    for text in [
        "# Gate check: could not be judged\n",
        "Judged on 2026-04-01: 3 jobs: 1 ready, 1 not ready, 1 could not be judged, 0 void.",
        "Verdicts: 1 not met, 5 met.",
        "| jobs/b.yaml | not ready: mandatory verdicts: 1 not met |",
        "| not met | jobs/b.yaml:9:17 | gate main / beam low | yard/lens-height \\(a\\) | beam.height is 28 in; it must be at most 26 in: 2 in too much; remedy: Lower beam",
        "- yard 2026 ",
        "not a certificate",
    ] {
        assert!(seen.out.contains(text), "{text} is not in\n{seen}");
    }
}

#[test]
fn the_heading_says_how_it_ended() {
    for (job, heading) in
        [(GOOD.to_string(), "ready"), (good_but("24 in", "28 in"), "not ready"), (good_but("24 in", "24"), "could not be judged")]
    {
        let seen = Site::new().with("job.yaml", job).view("summary", &["job.yaml"]);
        assert!(seen.out.starts_with(&format!("# Gate check: {heading}\n")), "{seen}");
    }
    let seen = Site::new().with("job.yaml", GOOD).view("summary", &["job.yaml", "gone.yaml"]);
    assert!(seen.out.starts_with("# Gate check: could not be judged\n") && seen.out.contains("gone.yaml"), "{seen}");
}

#[test]
fn what_was_agreed_upon_is_counted_apart() {
    let site = Site::new().with("jobs/a.yaml", good_but("24 in", "28 in"));
    let list =
        ["punch-list", "jobs", "--in", "punch.yaml", "--today", TODAY, "--reason", "On order", "--owner", "Crew 2", "--due", "2026-06-01"];
    assert_eq!(site.run(&list).code, 0);
    let seen = site.view("summary", &["jobs", "--punch-list", "punch.yaml"]).says("On the punch list, and not below: 1.");
    assert_eq!(seen.code, 0, "{seen}");
    assert!(seen.out.starts_with("# Gate check: nothing but what was agreed to wait\n"), "{seen}");
    assert!(seen.out.contains("1 job: 0 ready, 1 passed with what was agreed to wait, 0 not ready"), "{seen}");
    seen.keeps_quiet_of("## Findings");
}

#[test]
fn what_the_pins_forbid_is_told_once() {
    let site = Site::new().with("jobs/a.yaml", GOOD).with("jobs/b.yaml", GOOD).with("pins.yaml", "pins: 1\npacks: []\n");
    let seen = site.view("summary", &["jobs", "--pins", "pins.yaml"]);
    assert_eq!(seen.code, 2);
    assert_eq!(seen.out.matches("| pins.yaml: slip not-pinned: pack \\`yard\\` has no pin").count(), 1, "{seen}");
    assert!(seen.out.contains("| jobs/b.yaml | could not be judged: pack \\`terms\\` has no pin; pack \\`yard\\` has no pin |"), "{seen}");
}

#[test]
fn what_is_still_open_is_not_called_ready() {
    let site = Site::new().with("jobs/a.yaml", good_but("height: 24 in", "height:")).with("jobs/b.yaml", GOOD);
    let site = site.with("jobs/c.yaml", good_but("permit-date: 2026-03-02", "permit-date:"));
    let seen = site.view("summary", &["jobs", "--unfinished"]);
    assert_eq!(seen.code, 0, "{seen}");
    assert!(seen.out.starts_with("# Gate check: nothing fails so far, unfinished\n"), "{seen}");
    for text in [
        "3 jobs: 1 ready, 2 unfinished, 0 not ready",
        "## Unfinished",
        "| jobs/a.yaml | so far nothing mandatory fails; still to be settled: 1 open |",
        "1 code in doubt whether in force",
    ] {
        assert!(seen.out.contains(text), "{text} is not in\n{seen}");
    }
    site.check(&["jobs/c.yaml"]).says("not ready: ").says("1 code in doubt whether in force");
}

#[test]
fn a_large_folder_stays_one_page() {
    let site = (0..120).fold(Site::new(), |site, at| site.with(format!("jobs/{at:03}.yaml"), good_but("24 in", "28 in")));
    let site = site.with("jobs/zzz.yaml", good_but("24 in", "24"));
    let seen = site.view("summary", &["jobs"]);
    assert_eq!(seen.out.matches("\n| not met |").count(), 50, "{seen}");
    assert!(seen.out.contains("The worst 50 of 121; the others are left out here."), "{seen}");
    assert!(seen.out.contains("| jobs/zzz.yaml |"), "the worst job comes last in the folder and is told all the same");
    assert_eq!(seen, site.view("summary", &["jobs", "--threads", "1"]));
}

#[test]
fn names_of_any_kind_stay_names() {
    for (id, shown) in [
        ("a | b", "a \\| b"),
        ("`x` <img src=x onerror=y>", "\\`x\\` &lt;img src=x onerror=y&gt;"),
        ("[x](http://evil.example)", "\\[x\\]\\(http\\://evil.example\\)"),
        ("www.evil.example", "www\\.evil.example"),
        ("*b* _i_ ~s~ #1 $m$ @all &amp; :smile:", "\\*b\\* \\_i\\_ \\~s\\~ \\#1 \\$m\\$ &#64;all &amp;amp; \\:smile:"),
        ("a\\n\\n# head", "a\\\\n\\\\n\\# head"),
        ("\\u202e\\x1b[31m", "\\\\u\\{202e\\}\\\\x1b\\[31m"),
    ] {
        let site = Site::new().with("job.yaml", good_but("24 in", "28 in").replace("id: low", &format!("id: \"{id}\"")));
        let seen = site.view("summary", &["job.yaml"]);
        super::assert_harmless(&seen.out);
        assert!(seen.out.contains(&format!("beam {shown} |")), "{shown} is not in\n{seen}");
    }
}

#[test]
fn what_a_variance_excuses_has_its_table() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs/variance-in-force.yaml");
    let seen = Site::new().view("summary", &[path.to_str().unwrap()]);
    assert!(seen.out.contains("## Excused by a variance") && seen.out.contains("letter BS-2026-041"), "{seen}");
}
