//! The handover sheet from outside: what a person reads on it, what must not get into it, folders of sheets, spot checks, units, the
//! hash that ties paper to file. `INSTA_UPDATE=always cargo test sheet` writes the snapshots; read what was written.

mod answer;
mod folder;
mod near;
mod read;
mod units;

use super::cli::{GOOD, Site, TODAY, good_but, yard_but};
use read::read;

/// The sheet of a job in a folder.
fn sheet(site: &Site, job: &str, more: &[&str]) -> (i32, String) {
    let mut arguments = vec!["sheet", job, "--today", TODAY];
    arguments.extend(more);
    let seen = site.run(&arguments);
    (seen.code, seen.out)
}

/// The sheet of an example, made where the project stands.
fn of_example(name: &str, more: &[&str]) -> (i32, String) {
    let path = format!("examples/jobs/{name}.yaml");
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["sheet", &path, "--today", TODAY]).args(more);
    let output = command.output().unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stdout).unwrap())
}

#[test]
fn a_good_job_reads_so() {
    let (code, html) = of_example("slide-left-good", &[]);
    insta::with_settings!({snapshot_path => "snapshots", prepend_module_to_snapshot => false}, {
        insta::assert_snapshot!("slide-left-good", read(&html));
    });
    assert_eq!(code, 0);
}

#[test]
fn a_job_with_many_faults_reads_so() {
    let (code, html) = of_example("way-out-with-many-faults", &[]);
    insta::with_settings!({snapshot_path => "snapshots", prepend_module_to_snapshot => false}, {
        insta::assert_snapshot!("way-out-with-many-faults", read(&html));
    });
    assert_eq!(code, 1);
}

#[test]
fn an_incomplete_job_reads_so() {
    let (code, html) = of_example("incomplete-survey", &[]);
    insta::with_settings!({snapshot_path => "snapshots", prepend_module_to_snapshot => false}, {
        insta::assert_snapshot!("incomplete-survey", read(&html));
    });
    assert_eq!(code, 1);
}

#[test]
fn the_exit_code_is_that_of_check() {
    for (job, expected) in [
        (GOOD.to_string(), 0),
        (good_but("24 in", "28 in"), 1),
        (good_but("height: 24 in", "height:"), 1),
        (good_but("24 in", "24 inn"), 2),
        (good_but("codes: [yard]", "codes: [nowhere]"), 2),
        ("title: nothing\n".to_string(), 2),
    ] {
        let site = Site::new().with("job.yaml", &job);
        let checked = site.check(&["job.yaml"]).code;
        assert_eq!((sheet(&site, "job.yaml", &[]).0, checked), (expected, expected), "{job}");
    }
}

#[test]
fn the_answer_stands_before_everything_else() {
    for name in ["slide-left-good", "way-out-with-many-faults", "incomplete-survey"] {
        let text = read(&of_example(name, &[]).1);
        let lines: Vec<&str> = text.lines().filter(|line| !line.is_empty()).collect();
        let at = lines.iter().position(|line| line.starts_with("# Handover sheet")).unwrap();
        let answer = lines[at + 1];
        let good = name == "slide-left-good";
        assert!(
            answer.starts_with(if good { "Yes: as far as these codes were judged" } else { "No: this job cannot" }),
            "{name}: {answer}"
        );
    }
}

#[test]
fn a_job_with_slips_gives_no_sheet_that_looks_whole() {
    for job in [good_but("24 in", "24 inn"), good_but("span", "spam"), good_but("[yard]", "[yard, nowhere]"), "gates: [".to_string()] {
        let site = Site::new().with("job.yaml", &job);
        let (code, html) = sheet(&site, "job.yaml", &[]);
        assert_eq!(code, 2, "{job}");
        let text = read(&html);
        assert!(text.contains("# No handover sheet"), "{text}");
        assert!(text.contains("nothing was judged and it cannot be handed over"), "{text}");
        for word in ["# Handover sheet", "Signature", "Every section judged", " met"] {
            assert!(!text.contains(word), "`{word}` in:\n{text}");
        }
    }
}

#[test]
fn every_verdict_of_check_is_on_the_sheet() {
    let site = Site::new().with("job.yaml", good_but("24 in", "28 in"));
    let lines = site.view("lines", &["job.yaml"]).out;
    let text = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(lines.contains("\"not met\"") || lines.contains("not met"), "{lines}");
    assert!(text.contains("(a) gate main / beam low | not met No. 1 | 28 in | at most 26 in | 2 in over the limit"), "{text}");
    assert!(text.contains("(a) gate main / beam low | met recommended | 4 in | at most 6 in | 2 in under the limit"), "{text}");
    assert!(
        text.contains("bring beam.height of gate main / beam low from 28 in to at most 26 in. It settles 1 mandatory finding."),
        "{text}"
    );
}

#[test]
fn a_move_that_only_takes_doubt_away_does_not_say_that_it_cures() {
    // 26 in with a quarter of an inch of doubt is marginal at 26 in: nothing is not met, so nothing is told as settled.
    let site = Site::new().with("job.yaml", good_but("24 in", "26 in +/- 1/4 in"));
    let (code, html) = sheet(&site, "job.yaml", &[]);
    let text = read(&html);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("to at most 25 3/4 in. It settles nothing that is not met, and takes 1 marginal finding out of doubt."),
        "{text}"
    );
    assert!(!text.contains("It settles 1"), "{text}");
    // Beside a finding that is not met the marginal one is told apart, and does not swell the number.
    let two = good_but("height: 24 in", "height: 28 in").replace(
        "        span: 20 ft\n",
        "        span: 20 ft\n      - {id: high, duty: entrapment, height: 26 in +/- 1/4 in, offset: 4 in, span: 20 ft}\n",
    );
    let site = Site::new().with("job.yaml", two);
    let text = read(&sheet(&site, "job.yaml", &[]).1);
    assert!(text.contains("It settles 1 mandatory finding.") && !text.contains("2 mandatory"), "{text}");
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for more in [&[][..], &["--units", "metric"], &["--spot-check"]] {
        assert_eq!(of_example("way-out-with-many-faults", more), of_example("way-out-with-many-faults", more));
    }
}

#[test]
fn nothing_is_asked_of_the_network_and_no_script_runs() {
    let html = of_example("way-out-with-many-faults", &[]).1;
    // The name of SVG is an address that nothing is asked of, and a mark within a drawing refers to the drawing itself.
    let html = html.replace("xmlns=\"http://www.w3.org/2000/svg\"", "").replace("url(#", "");
    for word in ["<script", "http://", "https://", "src=", "@import", "url("] {
        assert!(!html.contains(word), "{word}");
    }
    assert!(html.contains("content=\"default-src 'none'; style-src 'unsafe-inline'\""));
}

/// The hash on a sheet.
fn seal(html: &str) -> String {
    let text = html.split("<h2 id=\"seal\">").nth(1).unwrap();
    text.split("<code>").nth(1).unwrap().split("</code>").next().unwrap().to_string()
}

#[test]
fn the_hash_changes_with_one_byte_of_job_or_pack() {
    let of = |job: &str, pack: &str, today: &str| {
        let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", job);
        let seen = site.run(&["sheet", "job.yaml", "--today", today]);
        seal(&seen.out)
    };
    let first = of(GOOD, super::cli::YARD, TODAY);
    assert_eq!(first, of(GOOD, super::cli::YARD, TODAY));
    assert_eq!(first.replace(' ', "").len(), 64);
    let others = [
        of(&good_but("24 in", "25 in"), super::cli::YARD, TODAY),
        of(&good_but("title: Ferrule", "title:  Ferrule"), super::cli::YARD, TODAY),
        of(GOOD, &yard_but("26 in", "27 in"), TODAY),
        of(GOOD, &yard_but("section lens", "\nsection lens"), TODAY),
        of(GOOD, super::cli::YARD, "2026-04-02"),
    ];
    for (at, other) in others.iter().enumerate() {
        assert_ne!(&first, other, "change {at}");
        assert!(!others[..at].contains(other), "change {at} is like another");
    }
}

/// What a file may try: marks of HTML, of styles, of scripts, signs that turn a line round, signs of terminals.
const HOSTILE: &str = "<script>alert(1)</script>\\\"'><img src=x></style><!-- ]]> & \\u202e\\e[31m";

#[test]
fn a_hostile_text_stays_text_in_every_place() {
    let job = good_but("Ferrule Yard", &format!("\"{HOSTILE}\""))
        .replace(
            "permit-date",
            &format!("site: \"{HOSTILE}\"\nowner: \"{HOSTILE}\"\ninstaller: \"{HOSTILE}\"\nsurveyor: \"{HOSTILE}\"\npermit-date"),
        )
        .replace("id: main", &format!("id: \"{HOSTILE}\"\n    operator: {{model: \"{HOSTILE}\", serial: \"{HOSTILE}\"}}"))
        .replace("id: low", &format!("id: \"{HOSTILE}\"\n        model: \"{HOSTILE}\""))
        .replace("height: 24 in", &format!("height: {{value: 27 in, as-found: 30 in, by: \"{HOSTILE}\", instrument: \"{HOSTILE}\"}}"))
        + &format!(
            "    loads: [{{id: \"{HOSTILE}\", supply: \"{HOSTILE}\", draw: 1 A}}]\n    supplies: [{{id: \"{HOSTILE}\", voltage: 24 V}}]\n    \
             runs: [{{id: \"{HOSTILE}\", from: \"{HOSTILE}\", length: 3 ft}}]\n    zones: [{{id: \"{HOSTILE}\", place: leading-edge, obstacle: \"{HOSTILE}\"}}]\n    \
             tests: [{{id: \"{HOSTILE}\", kind: force, tester: \"{HOSTILE}\", instrument: \"{HOSTILE}\", device: \"{HOSTILE}\", date: 2026-03-01, result: failed}}]\n    \
             inspections: [{{id: \"{HOSTILE}\", kind: annual, who: \"{HOSTILE}\", date: 2026-03-01, result: failed}}]\n"
        );
    let pack = yard_but("Yard rules", "Yard <script>rules</script> &amp; more")
        .replace("A beam low enough", "A <b>beam</b> low enough")
        .replace("Hasp County\"", "Hasp <script>County</script>\"");
    let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", &job);
    for more in [&[][..], &["--spot-check"], &["--units", "metric"]] {
        let (code, html) = sheet(&site, "job.yaml", more);
        let check = site.check(&["job.yaml"]);
        assert_eq!(code, 1, "{}\n{check}", read(&html));
        for word in ["<script", "<img", "<b>", "]]>", "\u{202e}", "\u{1b}"] {
            assert!(!html.contains(word), "{word} in {more:?}");
        }
        assert_eq!(html.matches("</style>").count(), 1);
        assert_eq!(html.matches("<!--").count(), 0);
        assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
        read::balanced(&html);
    }
    let site = site.with("jobs/<script>alert(1)<.yaml", GOOD);
    let seen = site.run(&["sheet", "jobs", "--out", "site", "--today", TODAY]);
    assert_eq!(seen.code, 0, "{seen}");
    let index = site.read("site/index.html");
    assert_eq!(index.matches("<script>").count(), 1, "the page's own");
    assert!(index.contains("&lt;script&gt;alert(1)&lt;.yaml"));
    read::balanced(&index.replace(index.split("<script>").nth(1).unwrap().split("</script>").next().unwrap(), ""));
}

#[test]
fn a_page_is_well_formed_and_finds_its_way() {
    for name in ["slide-left-good", "way-out-with-many-faults", "incomplete-survey", "slide-left-drawn", "variance-in-force"] {
        let html = of_example(name, &[]).1;
        read::balanced(&html);
        read::accessible(&html);
        assert_eq!(html.matches("<svg").count(), 3, "{name}: plan, elevation and section of its one gate");
        assert_eq!(html.matches("</svg>\n<figcaption>").count(), 3, "{name}");
        assert_eq!(html.matches(", in words</summary>").count(), 3, "{name}");
    }
}
