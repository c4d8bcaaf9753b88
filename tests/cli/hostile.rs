//! Hostile text: nothing that a file contains, or that a file is called, reaches a terminal or a log in a form that it would obey;
//! JSON lines stay valid.

use super::{GOOD, Site, VIEWS, YARD, assert_harmless, good_but, lines, sarif, test_xml};

/// Sequences that terminals obey, marks that turn the direction of writing, marks that take no room, C1 controls, a bell, a delete.
const NASTY: &str = "\u{1b}[2J\u{1b}]0;x\u{7}\u{8}\u{7f}\u{9b}31m\u{85}\u{202e}\u{2066}\u{2069}\u{200f}\u{61c}\u{200b}\u{200d}\u{2060}\u{feff}\u{2028}\u{2029}";

/// What of it may stand raw in a YAML file or a pack: no control.
fn raw() -> String {
    NASTY.chars().filter(|c| !c.is_control() && *c != '\u{feff}' && *c != '\u{2028}' && *c != '\u{2029}').collect()
}

/// A text between double quotes, with escapes for all that is not plain.
fn quoted(text: &str) -> String {
    let plain = |c: char| c.is_ascii_graphic() && c != '"' && c != '\\' || c == ' ';
    let inner: String = text.chars().map(|c| if plain(c) { c.to_string() } else { format!("\\U{:08X}", u32::from(c)) }).collect();
    format!("\"{inner}\"")
}

/// The job with something in place of each of its texts in turn.
fn jobs(put: impl Fn(&str) -> String) -> Vec<(&'static str, String)> {
    vec![
        ("the title", good_but("Ferrule Yard", &put("Ferrule Yard"))),
        ("a code", good_but("[yard]", &format!("[{}]", put("yard")))),
        ("a date", good_but("2026-03-02", &put("2026-03-02"))),
        ("the id of a gate", good_but("id: main", &format!("id: {}", put("main")))),
        ("the id of a beam", good_but("id: low", &format!("id: {}", put("low"))).replace("24 in", "28 in")),
        ("the id of a beam that is open", good_but("id: low", &format!("id: {}", put("low"))).replace("24 in", "")),
        ("a key", good_but("span:", &format!("{}:", put("span")))),
        ("a word", good_but("entrapment", &put("entrapment"))),
        ("a measure", good_but("24 in", &put("24 in"))),
        ("a measure, behind the number", good_but("24 in", &format!("24 {}", put("in").replace('"', "")))),
        ("a text", good_but("gates:", &format!("owner: {}\ngates:", put("nobody")))),
        ("a note", good_but("24 in", &format!("{{value: 28 in, by: {}}}", put("technician")))),
        ("a variance", good_but("gates:", &variance(&put("letter"))).replace("24 in", "28 in")),
    ]
}

fn variance(text: &str) -> String {
    format!(
        "variances:\n  - id: {text}\n    section: yard/lens-height\n    thing: low\n    authority: {text}\n    reference: {text}\n    reason: {text}\n    \
         granted: 2026-01-01\n    expires: 2026-12-31\n    allows: beam.height at most 32 in\ngates:"
    )
}

fn assert_all_views_harmless(site: &Site, what: &str, path: &str) {
    for view in VIEWS {
        let seen = site.view(view, &[path]);
        assert!(seen.code >= 0 && seen.code < 3, "{what}, {view}\n{seen}");
        assert_harmless(&seen.out);
        match view {
            "lines" => assert!(!lines::records(&seen).is_empty()),
            "sarif" => drop(sarif::log(&seen)),
            "test-xml" => test_xml::check(&seen),
            _ => {}
        }
        assert_harmless(&seen.err);
    }
}

#[test]
fn escaped_in_the_texts_of_a_job() {
    for (what, job) in jobs(|text| quoted(&format!("{text}{NASTY}\r\n\t"))) {
        assert_all_views_harmless(&Site::new().with("job.yaml", job), what, "job.yaml");
    }
}

#[test]
fn raw_in_the_texts_of_a_job() {
    for (what, job) in jobs(|text| format!("{text}{}", raw())) {
        assert_all_views_harmless(&Site::new().with("job.yaml", job), what, "job.yaml");
    }
}

#[test]
fn raw_controls_in_a_job() {
    for c in "\0\u{1}\u{7}\u{8}\u{b}\u{1b}\u{1f}\u{7f}\u{80}\u{85}\u{9b}\u{9f}\u{fffe}".chars() {
        let site =
            Site::new().with("job.yaml", format!("# {c}[2J\n{}", good_but("Ferrule", &format!("Fer{c}rule")).replace("24 in", "28 in")));
        assert_all_views_harmless(&site, &format!("U+{:04X}", u32::from(c)), "job.yaml");
    }
}

#[test]
fn beside_the_line_that_is_drawn() {
    let nasty = raw();
    for job in [
        good_but("        height: 24 in", &format!("        # {nasty}\n        height: 28 in # {nasty}\n        # {nasty}")),
        good_but("        height: 24 in", "        height: 28 in\t# tab"),
        good_but("24 in", "28 in").replace('\n', "\r\n"),
    ] {
        assert_all_views_harmless(&Site::new().with("job.yaml", job), "beside the line", "job.yaml");
    }
}

#[test]
fn a_lone_carriage_return_in_the_line_that_is_drawn() {
    let job = good_but("24 in", "28 in").replace('\n', "\r");
    assert_all_views_harmless(&Site::new().with("job.yaml", job), "lone CR", "job.yaml");
}

#[test]
fn in_the_texts_of_a_pack() {
    let job = good_but("24 in", "28 in").replace("offset: 4 in", "offset: 8 in");
    for (what, from) in [
        ("the title", "\"Yard rules"),
        ("the edition", "\"2026"),
        ("the authority", "\"Hasp County\n"),
        ("a source", "\"Yard book"),
        ("the title of a section", "\"A beam low"),
        ("a remedy", "\"Lower beam"),
        ("a citation", "cite    book \"1"),
        ("an exception", "\"A coded beam"),
    ] {
        let from = from.trim_end();
        for nasty in [NASTY.to_string(), raw()] {
            let pack = super::changed(YARD, from, &format!("{from}{nasty}"));
            let site = Site::empty()
                .with("rules/yard.rules", pack)
                .with("job.yaml", &job)
                .with("excepted.yaml", good_but("24 in", "28 in\n        coded: yes"));
            let path = if what == "an exception" { "excepted.yaml" } else { "job.yaml" };
            assert_all_views_harmless(&site, what, path);
            if matches!(what, "the title" | "the edition") {
                assert_all_views_harmless(&site, what, "rules/yard.rules");
            }
        }
    }
}

#[test]
fn in_the_rules_of_a_pack_that_has_slips() {
    for nasty in [NASTY, "\u{1b}[2J", "\u{202e}", "\r", "\t", "\0", "\u{feff}"] {
        for from in ["section lens-height", "at most 26 in", "beam.duty is entrapment", "# ", "cite    book"] {
            let text = if from == "# " { YARD.replace("\n\n", "\n\n# \n") } else { YARD.to_string() };
            let pack = super::changed(&text, from, &format!("{from}{nasty}"));
            let site = Site::empty().with("rules/yard.rules", pack).with("job.yaml", GOOD);
            assert_all_views_harmless(&site, &format!("{from} {nasty:?}"), "job.yaml");
        }
    }
}

#[test]
fn in_the_names_of_files() {
    let bad = good_but("24 in", "28 in");
    let nasty: String = NASTY.chars().filter(|c| *c != '/').collect();
    for name in [
        format!("a{nasty}.yaml"),
        "line\nfeed.yaml".into(),
        "re\rturn\ttab.yaml".into(),
        "\u{1b}[31m.yaml".into(),
        "a: not met: b.yaml".into(),
    ] {
        let site = Site::new().with(&name, &bad).with(format!("folder{nasty}/job.yaml"), &bad).with(format!("rules/{nasty}.rules"), YARD);
        let site = site.with(format!("unread{nasty}.yaml"), b"\xff").with(format!("slip{nasty}.yaml"), "codes: [yard]\nx: 1\n");
        assert_all_views_harmless(&site, &name, ".");
        assert_all_views_harmless(&site, &name, &name);
        assert_all_views_harmless(&site, &name, &format!("rules/{nasty}.rules"));
        assert_all_views_harmless(&site, &name, &format!("gone{nasty}"));
        let seen = site.check(&[&name, "--packs", &format!("gone{nasty}")]);
        assert_harmless(&seen.err);
        let seen = site.check(&[&name, "--out", &format!("gone{nasty}/report")]);
        assert_harmless(&seen.err);
    }
}

#[test]
fn a_line_of_the_plain_view_is_one_finding_whatever_texts_hold() {
    let forged = "x\njob.yaml: outcome: every mandatory clause that applies is met";
    let job = good_but("Ferrule Yard", &quoted(forged)).replace("id: low", &format!("id: {}", quoted(forged))).replace("24 in", "28 in");
    let seen = Site::new().with("job.yaml", job).check(&["job.yaml"]);
    assert!(!seen.out.lines().any(|line| line == "job.yaml: outcome: every mandatory clause that applies is met"), "{seen}");
}

#[test]
fn in_the_arguments() {
    let site = Site::new().with("job.yaml", GOOD);
    for nasty in ["\u{1b}[2J\r", "\u{7}\u{9b}31m", "\u{202e}", "a\rb"] {
        for arguments in
            [&["check", "job.yaml", "--today", nasty][..], &["check", "job.yaml", "--as", nasty], &["check", nasty, "--bad"], &[nasty]]
        {
            assert_harmless(&site.run(arguments).err);
        }
    }
}

#[test]
fn characters_that_nobody_sees() {
    let unseen = "\u{ad}\u{180e}\u{2061}\u{2062}\u{2063}\u{2064}\u{206a}\u{206f}\u{fff9}\u{fffb}\u{e0001}\u{e0041}\u{3164}\u{115f}";
    let job = good_but("id: low", &format!("id: low{unseen}")).replace("24 in", "28 in");
    let seen = Site::new().with("job.yaml", job).check(&["job.yaml"]);
    let through: Vec<String> = unseen.chars().filter(|c| seen.out.contains(*c)).map(|c| format!("U+{:04X}", u32::from(c))).collect();
    assert!(through.is_empty(), "{through:?}");
}

#[test]
fn colour_is_the_only_thing_that_a_terminal_is_told() {
    let site = Site::new().with("job.yaml", good_but("Ferrule Yard", &quoted(NASTY)).replace("24 in", "28 in"));
    let seen = site.view("text", &["job.yaml", "--colour", "always"]);
    let mut left = String::new();
    let mut parts = seen.out.split("\u{1b}[");
    left.push_str(parts.next().unwrap());
    let coloured = parts.clone().count();
    for part in parts {
        let end = part.find(|c: char| !c.is_ascii_digit() && c != ';').expect("a sequence that ends");
        assert_eq!(&part[end..=end], "m", "a sequence other than colour: {part:?}");
        left.push_str(&part[end + 1..]);
    }
    assert_harmless(&left);
    assert!(coloured > 0, "no colour at all");
    assert_eq!(left, site.view("text", &["job.yaml", "--colour", "never"]).out, "colour changes the words");
}

#[test]
fn very_long_lines_and_texts() {
    let long = "x".repeat(1 << 20);
    for (what, job) in [
        ("a long title", good_but("Ferrule Yard", &long)),
        ("a long word", good_but("entrapment", &long)),
        ("a long comment", good_but("24 in", &format!("28 in # {long}"))),
        ("a long id", good_but("id: low", &format!("id: {long}")).replace("24 in", "28 in")),
        ("a long key", good_but("span:", &format!("{long}:"))),
        ("a long measure", good_but("24 in", &format!("{} in", "9".repeat(5000)))),
        (
            "one long line",
            format!(
                "{{title: x, codes: [yard], permit-date: 2026-03-02, owner: {long}, gates: [{{id: main, beams: [{{id: low, duty: entrapment, height: 28 in, offset: 4 in, span: 20 ft}}]}}]}}"
            ),
        ),
    ] {
        let site = Site::new().with("job.yaml", job);
        let began = std::time::Instant::now();
        assert_all_views_harmless(&site, what, "job.yaml");
        assert!(began.elapsed().as_secs() < 30, "{what} takes {:?}", began.elapsed());
    }
}

#[test]
fn very_long_texts_are_cut_short() {
    let job = good_but("id: low", &format!("id: {}", "x".repeat(1 << 20))).replace("24 in", "28 in");
    let seen = Site::new().with("job.yaml", job).check(&["job.yaml"]);
    assert!(seen.out.len() < 20_000, "{} bytes", seen.out.len());
}
