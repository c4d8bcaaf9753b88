//! Hostile texts in every place of a job and of a pack at once, against every view of every command: nothing of them is obeyed or
//! becomes markup, whatever reads the output. Each output is compared with that of a plain text in the same places.

use super::{Seen, Site, TODAY, assert_harmless, sarif, test_xml};
use std::collections::BTreeSet;

/// What a terminal, a page, a drawing, a table, a shell or a build server might obey.
const TEXTS: [&str; 12] = [
    "<script>alert(1)</script>",
    "</title></style><img src=x onerror=y>",
    "]]>&amp;&#60;b&#62;'/>-->",
    "' onload='x' \u{2018}",
    "a|b `c` **d** _e_ [f](javascript:g) ![h](i) ~~j~~ $k$",
    "\n# head\n\n| a | b |\n\n```\n---\n1. x",
    "\u{1b}[2J\u{1b}]0;x\u{7}\u{8}\r\t\u{9b}31m\u{85}\u{0}",
    // With a letter: a text of which nothing is seen is no answer.
    "v\u{202e}\u{2066}\u{200b}\u{feff}\u{2028}\u{e0041}\u{fffe}\u{ffff}",
    "::error::x ##vso[task.complete] ##[command]x %0A::set-env",
    "${x} $(x) `x` %s {x} {{x}} \\u{1b} \\n",
    "=1+1",
    "e\u{301}\u{301} 漢字 😀 \u{1f468}\u{200d}\u{1f469}",
];
/// What stands in the same places for comparison.
const PLAIN: &str = "plain";

/// A text between double quotes in YAML.
fn yaml(text: &str) -> String {
    let plain = |c: char| c.is_ascii_graphic() && c != '"' && c != '\\' || c == ' ';
    let inner: String = text.chars().map(|c| if plain(c) { c.to_string() } else { format!("\\U{:08X}", u32::from(c)) }).collect();
    format!("\"{inner}\"")
}

/// What of a text a rule file can hold between its quotes.
fn in_pack(text: &str) -> String {
    text.chars().filter(|c| !matches!(c, '"' | '\n' | '\r' | '{' | '}')).collect()
}

const PACK: &str = r#"pack odd "@@"
  language   1
  edition    "@@"
  authority  "@@"
  in force   from 2026-01-01 by job.permit-date
  adopts     terms

source book "@@" invented

values shade "@@" = light, dark

amend terms/beam
  shade    one of shade     "@@"
  maker    text             "@@"
  rise     length measured  "@@"

table most "@@"
  cite    book "@@"
  by      shade
  shade | height
  light | 26 in
  dark  | 20 in

formula doubled of x, a length, gives length "@@"
  = 2 * x
  cite    book "@@"

section lens "@@"
  applies to each beam
  shall (a) beam.height at most most.height(beam.shade)
  shall (b) beam.maker is not "@@ of another"
  shall (c) doubled(beam.offset) at most LIMIT
  except  (1) "@@" where beam.hood
  remedy  "@@ {beam.id} {beam.maker} {value} {limit}"
  cite    book "@@"

section rise "@@"
  applies to each beam
  shall   beam.rise at most 4 in
  remedy  "@@ {gate.id}"
  cite    book "@@" from memory
"#;

const TRIAL: &str = r#"trial first "@@"
  job     "job.yaml"
  today   2026-04-01
  finds   odd/lens (a) "gate main / beam low" not met

unnoticed odd/rise (a) "at most 4 in becomes less than 4 in"
  because "@@"
"#;

const JOB: &str = "title: @@
codes: [odd]
permit-date: 2026-03-02
site: @@
owner: @@
installer: @@
gates:
  - id: @@
    beams:
      - id: @@
        maker: @@
        shade: dark
        hood: no
        height: {value: 24 in, by: @@, note: @@, as-found: 28 in}
        offset: 5 in
      - id: other
        maker: @@
        shade: light
        height: 25 in +/- 2 in
        offset: 4 in
        rise: 5 in
variances:
  - id: @@
    section: odd/rise
    thing: other
    authority: ANOTHER
    reference: @@
    reason: @@
    granted: 2026-01-01
    expires: 2026-12-31
    allows: beam.rise at most 6 in
";

fn site(text: &str) -> Site {
    // An authority that no pack's can be, whatever a rule file cannot hold of the text: the same is told of it for every text.
    let job = JOB.replace("@@", &yaml(text)).replace("ANOTHER", &yaml(&format!("{text} of another")));
    let pack = PACK.replace("@@", &in_pack(text));
    let wrong = job.replace("shade: dark", &format!("shade: {}", yaml(text))).replace("offset: 5 in", &format!("{}: 5 in", yaml(text)));
    let wrong = wrong.replace("24 in", &text.replace(|c: char| !c.is_ascii_graphic() || "\"\\{}[],:#&*!|>'%@`".contains(c), "x"));
    Site::empty()
        .with("rules/odd.rules", pack.replace("LIMIT", "9 in"))
        .with("rules/odd-trials/first.rules", TRIAL.replace("@@", &in_pack(text)))
        .with(
            "rules/odd-trials/job.yaml",
            job.replace(&format!("id: {}", yaml(text)), "id: main").replacen("      - id: main", "      - id: low", 1),
        )
        .with("later/odd.rules", pack.replace("LIMIT", "12 in"))
        .with("broken/odd.rules", pack.replace("LIMIT", &format!("\"{}\"", in_pack(text))))
        .with("job.yaml", &job)
        .with("wrong.yaml", wrong)
}

/// The kinds of output, by what reads them.
#[derive(Clone, Copy, PartialEq)]
enum Reader {
    Eye,
    Markdown,
    Html,
    Svg,
    Json,
    Sarif,
    TestXml,
}

fn calls() -> Vec<(Reader, &'static str, Option<&'static str>)> {
    use Reader::{Eye, Html, Json, Markdown, Sarif, Svg, TestXml};
    let mut all = Vec::new();
    for job in ["job.yaml", "wrong.yaml", "job.yaml --packs broken/odd.rules", "rules/odd.rules", "broken/odd.rules"] {
        let views = [(Eye, "text"), (Eye, "plain"), (Json, "lines"), (Sarif, "sarif"), (TestXml, "test-xml"), (Markdown, "summary")];
        all.extend(views.map(|(reader, view)| (reader, format!("check {job} --as {view}"), None)));
    }
    for job in ["job.yaml", "wrong.yaml"] {
        all.extend(
            [(Eye, "text"), (Html, "html"), (Json, "json")].map(|(reader, view)| (reader, format!("calcs {job} --as {view}"), None)),
        );
        all.extend([(Eye, "text"), (Json, "lines")].map(|(reader, view)| (reader, format!("envelope {job} --as {view}"), None)));
    }
    all.push((Svg, "envelope job.yaml other --pair height,offset --out drawing".into(), Some("drawing")));
    for pack in ["odd", "broken/odd.rules"] {
        all.extend(
            [(Markdown, "markdown"), (Html, "html")].map(|(reader, view)| (reader, format!("consolidate {pack} --as {view}"), None)),
        );
    }
    for job in ["job.yaml", "wrong.yaml"] {
        let views = [(Eye, "text"), (Json, "lines"), (Html, "html")];
        all.extend(
            views.map(|(reader, view)| (reader, format!("effect --from rules/odd.rules --to later/odd.rules {job} --as {view}"), None)),
        );
    }
    all.extend([(Eye, "text"), (Json, "lines")].map(|(reader, view)| (reader, format!("trial rules/odd.rules --as {view}"), None)));
    all.push((Eye, "trial rules/odd.rules --offer".into(), None));
    all.push((Eye, "neaten broken/odd.rules later/odd.rules".into(), None));
    all.push((Eye, "punch-list job.yaml wrong.yaml --in list --reason @@ --owner @@ --due 2026-12-31".into(), Some("list")));
    all.into_iter().map(|(reader, call, file): (Reader, String, _)| (reader, &*call.leak(), file)).collect()
}

fn run(site: &Site, call: &str, text: &str) -> Seen {
    let mut arguments: Vec<String> = call.split(' ').map(|part| part.replace("@@", &text.replace('\0', ""))).collect();
    if ["check", "calcs", "envelope", "effect", "punch-list"].contains(&arguments[0].as_str()) {
        arguments.extend(["--today".into(), TODAY.into()]);
    }
    if arguments[0] == "check" && arguments.contains(&"--packs".into()) {
        // The pack beside the job would be found first.
        std::fs::rename(site.path("rules"), site.path("aside")).unwrap();
        let seen = site.run(&arguments);
        std::fs::rename(site.path("aside"), site.path("rules")).unwrap();
        return seen;
    }
    site.run(&arguments)
}

/// The names of tags, and of their attributes, that a page holds.
fn tags(html: &str) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for piece in html.split('<').skip(1) {
        let tag = piece.split('>').next().unwrap_or("");
        let mut quoted = tag.split('"');
        while let Some(outside) = quoted.next() {
            all.extend(outside.split([' ', '\n', '=']).filter(|word| !word.is_empty()).map(str::to_string));
            quoted.next();
        }
    }
    all
}

/// How often each mark that means something in Markdown stands unescaped, and how many lines there are.
fn marks(markdown: &str) -> Vec<(char, usize)> {
    // Within a fence nothing means anything; that it cannot be closed from inside is held by the tests of what is printed.
    let mut fence: Option<usize> = None;
    let outside = |line: &&str| {
        let ticks = line.trim_start().chars().take_while(|c| *c == '`').count();
        let inside = fence.is_some();
        match fence {
            None if ticks >= 3 => fence = Some(ticks),
            Some(open) if ticks >= open && line.trim_matches([' ', '`']).is_empty() => fence = None,
            _ => {}
        }
        !inside && fence.is_none()
    };
    let markdown = markdown.split_inclusive('\n').filter(outside).collect::<String>();
    // Where a link within the page leads is an anchor of letters, marks joined by hyphens among them.
    let target = |part: &str| part.split_once(')').map_or_else(|| part.to_string(), |(_, rest)| format!("](){rest}"));
    let markdown: String =
        markdown.split("](#").enumerate().map(|(at, part)| if at == 0 { part.to_string() } else { target(part) }).collect();
    let mut bare = String::new();
    let mut rest = markdown.chars();
    while let Some(c) = rest.next() {
        match c {
            '\\' => drop(rest.next()),
            c => bare.push(c),
        }
    }
    "|`<>[]*_~$!\n".chars().map(|mark| (mark, bare.matches(mark).count())).collect()
}

/// A text so long is cut, and is too long for an id or a key: what is told of it differs.
fn is_long(text: &str) -> bool {
    text.len() > 1000
}

fn assert_read_as_meant(reader: Reader, seen: &Seen, output: &str, plain: Option<&str>) {
    assert_harmless(output);
    for line in output.lines() {
        assert!(!line.trim_start().starts_with("::"), "an order to a build server: {line}");
    }
    assert!(!output.contains("##vso[") && !output.contains("##["), "an order to a build server");
    match reader {
        Reader::Eye => {}
        Reader::Json if output.starts_with("{\n") => drop(serde_json::from_str::<serde_json::Value>(output).unwrap()),
        Reader::Json => output.lines().for_each(|line| drop(serde_json::from_str::<serde_json::Value>(line).unwrap())),
        Reader::Sarif => drop(sarif::log(seen)),
        Reader::TestXml => test_xml::check(seen),
        Reader::Html | Reader::Svg if output.is_empty() => assert!(plain.is_none_or(str::is_empty)),
        Reader::Html => {
            crate::printed::assert_sound(output);
            assert!(plain.is_none_or(|plain| tags(output) == tags(plain)), "{:?}", tags(output));
        }
        Reader::Svg => {
            roxmltree::Document::parse(output).unwrap();
            assert!(plain.is_none_or(|plain| tags(output) == tags(plain)), "{:?}", tags(output));
        }
        Reader::Markdown => {
            // What a pack's author puts between back-ticks is set as code, and that is all it is.
            let bare = output.replace("`c`", "c").replace("`x`", "x");
            assert!(plain.is_none_or(|plain| marks(&bare) == marks(plain)), "{:?}", marks(&bare));
        }
    }
}

#[test]
fn hostile_texts_in_every_place_and_every_view() {
    let mut told = 0;
    for (reader, call, file) in calls() {
        let of = |text: &str| {
            let site = site(text);
            let seen = run(&site, call, text);
            let output = file.map_or_else(|| seen.out.clone(), |file| std::fs::read_to_string(site.path(file)).unwrap_or_default());
            (seen, output)
        };
        let (plain_seen, plain) = of(PLAIN);
        assert!(plain_seen.code < 3, "{call}\n{plain_seen}");
        assert!(!plain.is_empty() || !plain_seen.err.is_empty(), "{call} says nothing");
        told += plain.matches(PLAIN).count();
        for text in TEXTS.into_iter().chain([&*"x".repeat(3000), &*"<b>| ".repeat(900)]) {
            let (seen, output) = of(text);
            let done = std::panic::catch_unwind(|| {
                assert_harmless(&seen.err);
                assert_read_as_meant(reader, &seen, &output, (!is_long(text)).then_some(plain.as_str()));
            });
            let shown: String = output.chars().take(3000).collect();
            assert!(done.is_ok(), "{call} with {text:.60?}\n{shown}\n{}", seen.err);
            assert!((0..3).contains(&seen.code), "{call} with {text:.60?}\n{seen}");
        }
    }
    assert!(told > 100, "the texts reach the outputs {told} times only");
}
