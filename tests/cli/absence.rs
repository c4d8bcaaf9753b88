//! Nothing passes by being absent: files, codes, clauses that apply. One test for each item that design.md lists where it says when
//! a run may end with 0. What is absent within a job is in absence_of_parts.rs.

use super::{GOOD, Site, YARD, good_but, yard_but};

// Every requested file was read and judged.

#[test]
fn a_file_that_holds_no_job() {
    let texts: [(&str, &[u8]); 13] = [
        ("empty", b""),
        ("a line end", b"\n"),
        ("blanks", b"   \n\t\n"),
        ("a byte order mark", b"\xef\xbb\xbf"),
        ("comments only", b"# title: Ferrule Yard\n# codes: [yard]\n"),
        ("a document mark", b"---\n"),
        ("document marks and a comment", b"---\n# nothing\n...\n"),
        ("null", b"~\n"),
        ("an empty mapping", b"{}\n"),
        ("an empty list", b"[]\n"),
        ("a list", b"- title: Ferrule Yard\n- codes: [yard]\n"),
        ("a word", b"yard\n"),
        ("a number", b"17\n"),
    ];
    for (what, text) in texts {
        let site = Site::new().with("named.yaml", text).with("in-folder/job.yaml", text);
        let seen = site.expect(2, &["named.yaml"]).says("named.yaml");
        assert!(!seen.out.contains("every mandatory"), "{what}\n{seen}");
        site.expect(2, &["in-folder"]);
    }
}

#[test]
fn a_yaml_file_of_something_else_that_the_user_named() {
    let site = Site::new().with("good.yaml", GOOD).with("settings.yaml", "colour: red\n");
    site.expect(2, &["settings.yaml"]).says("settings.yaml");
    site.expect(2, &["good.yaml", "settings.yaml"]).says("settings.yaml");
    site.expect(2, &["settings.yaml", "."]).says("settings.yaml");
}

#[test]
fn a_yaml_file_of_something_else_that_the_user_named_after_its_folder() {
    let site = Site::new().with("jobs/good.yaml", GOOD).with("jobs/settings.yaml", "colour: red\n");
    site.expect(2, &["jobs", "jobs/settings.yaml"]).says("settings.yaml");
}

#[test]
fn yaml_files_that_are_passed_over_are_told() {
    let nearly = "code: [yard]\nsite: Ferrule Road\nowner: nobody\n";
    let site = Site::new().with("jobs/good.yaml", GOOD).with("jobs/nearly.yaml", nearly);
    site.check(&["jobs"]).says("nearly.yaml");
}

#[test]
fn files_of_a_folder_that_look_like_a_job_are_never_passed_over() {
    for (what, text) in [
        ("no codes", good_but("codes: [yard]\n", "")),
        ("codes misspelt", good_but("codes:", "code:")),
        ("codes in capitals", good_but("codes:", "Codes:")),
        ("codes one level too deep", good_but("codes: [yard]", "site:\n  codes: [yard]")),
        ("only a title", "title: Ferrule Yard\n".into()),
        ("only gates", "gates: none\n".into()),
        ("YAML that is none", "{title: Ferrule Yard\n".into()),
        ("YAML that is none, and no word of a job", "a: [1\n".into()),
    ] {
        let site = Site::new().with("jobs/good.yaml", GOOD).with("jobs/other.yaml", &text);
        let seen = site.check(&["jobs"]);
        assert_eq!(seen.code, 2, "{what}\n{seen}");
        seen.says("other.yaml").says("good.yaml: outcome: every mandatory clause");
    }
}

#[test]
fn two_jobs_in_one_file() {
    for between in ["---\n", "...\n---\n", "--- # the second\n"] {
        let bad = good_but("24 in", "90 in");
        for text in [format!("{GOOD}{between}{bad}"), format!("{bad}{between}{GOOD}"), format!("{GOOD}{between}{GOOD}")] {
            let seen = Site::new().with("job.yaml", text).expect(2, &["job.yaml"]);
            assert!(!seen.out.contains("every mandatory clause that applies is met"), "{seen}");
        }
    }
}

// Each job had all its codes found …

#[test]
fn codes_that_are_not_there() {
    for codes in
        ["", "~", "[]", "[~]", "none", "[none]", "\"\"", "[\"\"]", "[\" \"]", "yes", "[yard, nowhere]", "[nowhere, yard]", "[terms]"]
    {
        let site = Site::new().with("job.yaml", good_but("[yard]", codes));
        let seen = site.check(&["job.yaml"]);
        assert_eq!(seen.code, 2, "codes: {codes}\n{seen}");
        assert!(!seen.out.contains("every mandatory clause that applies is met"), "{seen}");
    }
}

#[test]
fn one_code_as_a_plain_word_is_a_code() {
    for codes in ["yard", "\"yard\"", "\n  - yard", "[yard 2026]", "yard 2026"] {
        Site::new().with("job.yaml", good_but("[yard]", codes)).expect(0, &["job.yaml"]);
    }
}

#[test]
fn an_entry_of_the_codes_that_is_no_word() {
    for codes in ["[yard, [field-practice]]", "[yard, {field-practice: }]", "\n  - yard\n  - hasp-county:", "[yard, ~]", "[yard, \"\"]"] {
        let site = Site::new().with("job.yaml", good_but("[yard]", codes));
        let seen = site.check(&["job.yaml"]);
        assert_eq!(seen.code, 2, "codes: {codes}\n{seen}");
    }
}

#[test]
fn another_edition_than_the_permit_names() {
    let site = Site::new().with("job.yaml", good_but("[yard]", "[yard 2019]"));
    site.expect(2, &["job.yaml"]).says("wrong-edition").says("2019").says("2026");
}

#[test]
fn a_pack_that_another_adopts() {
    let site = Site::empty().with("rules/yard.rules", yard_but("adopts     terms", "adopts     terms\n  adopts     lost-pack"));
    site.with("job.yaml", GOOD).expect(2, &["job.yaml"]).says("lost-pack");
}

// … and in force …

#[test]
fn one_of_two_codes_is_not_in_force() {
    let lane = YARD.replace("pack yard", "pack lane").replace("2026-01-01", "2026-03-03").replace("book", "lane-book");
    let site = Site::new().with("rules/lane.rules", lane);
    let site = site
        .with("job.yaml", good_but("[yard]", "[yard, lane]"))
        .with("later.yaml", good_but("[yard]", "[yard, lane]").replace("03-02", "03-03"));
    site.expect(2, &["job.yaml"]).says("not in force").says("lane");
    site.expect(0, &["later.yaml"]);
}

#[test]
fn nobody_knows_whether_a_code_is_in_force() {
    for date in ["", "~", "2025"] {
        let job = good_but("permit-date: 2026-03-02", &format!("permit-date: {date}"));
        let pack = yard_but("from 2026-01-01", "from 2025-07-01");
        let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", job);
        let seen = site.expect(1, &["job.yaml"]);
        assert!(!seen.out.contains("every mandatory clause that applies is met"), "permit-date: {date}\n{seen}");
    }
    Site::new().with("job.yaml", good_but("permit-date: 2026-03-02\n", "")).expect(1, &["job.yaml"]);
}

#[test]
fn a_missing_date_on_which_a_code_hangs_is_told() {
    Site::new().with("job.yaml", good_but("permit-date: 2026-03-02\n", "")).expect(1, &["job.yaml"]).says("permit-date");
}

#[test]
fn a_code_that_is_no_longer_in_force() {
    let pack = yard_but("from 2026-01-01", "from 2020-01-01 before 2026-03-02");
    let site =
        Site::empty().with("rules/yard.rules", pack).with("job.yaml", GOOD).with("day-before.yaml", good_but("2026-03-02", "2026-03-01"));
    site.expect(2, &["job.yaml"]).says("not in force");
    site.expect(0, &["day-before.yaml"]);
}

// … and at least one mandatory verdict that applies.

#[test]
fn no_clause_applies() {
    let head = YARD.split("section reach").next().unwrap();
    let site = Site::empty().with("rules/yard.rules", head).with("vehicle.yaml", good_but("entrapment", "vehicle")).with("good.yaml", GOOD);
    site.expect(0, &["good.yaml"]);
    site.expect(2, &["vehicle.yaml"]).says("nothing has been shown");
    site.expect(2, &["good.yaml", "vehicle.yaml"]);
    site.expect(2, &["vehicle.yaml", "--unfinished"]);
}

#[test]
fn a_code_of_recommendations_only() {
    let site = Site::empty().with("rules/yard.rules", YARD.replace("shall ", "should")).with("job.yaml", GOOD);
    site.expect(2, &["job.yaml"]).says("nothing has been shown");
}

#[test]
fn a_code_without_a_section() {
    let head = YARD.split("source book").next().unwrap();
    let seen = Site::empty().with("rules/yard.rules", head).with("job.yaml", GOOD).expect(2, &["job.yaml"]);
    assert!(!seen.out.contains("every mandatory clause that applies is met"), "{seen}");
}

#[test]
fn an_empty_pack() {
    for text in ["", "# nothing yet\n", "\n\n"] {
        let site = Site::empty().with("rules/yard.rules", text).with("job.yaml", GOOD);
        site.expect(2, &["job.yaml"]);
        site.expect(2, &["rules/yard.rules"]);
    }
}

#[test]
fn sections_that_are_not_in_force_yet() {
    let pack = YARD.replace("  applies to each beam", "  in force from 2026-03-03 by job.permit-date\n  applies to each beam");
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", good_but("24 in", "90 in"));
    site.expect(2, &["job.yaml"]).says("nothing has been shown");
}
