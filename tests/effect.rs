//! `effect`: what it tells equals two full checks compared, a direction is never told against the verdicts, and each kind of
//! change has its sentence.

use crate::second;
use pintle::command::workbench::judge_texts;
use pintle::language::adopt::{Adopted, adopt};
use pintle::language::change::{Change, Direction, Side, changes};
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn pintle(arguments: &[&str]) -> (i32, String) {
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).args(arguments).output().unwrap();
    (done.status.code().unwrap(), String::from_utf8(done.stdout).unwrap())
}

fn records(text: &str, kind: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str::<Value>(line).unwrap()).filter(|line| line["kind"] == kind).collect()
}

#[test]
fn its_lines_are_as_the_schema_says_and_its_page_is_sound() {
    let schema: Value = serde_json::from_str(&pintle(&["schema", "effect"]).1).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let call = [
        "effect",
        "--from",
        "field-practice",
        "--to",
        "examples/rules/hasp-county.rules",
        "examples/jobs/two-codes",
        "--today",
        "2026-04-01",
    ];
    let (_, out) = pintle(&[&call[..], &["--as", "lines"]].concat());
    let lines: Vec<Value> = out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    for line in &lines {
        assert!(validator.is_valid(line), "{line}");
    }
    for kind in ["run", "change", "verdict", "job", "end"] {
        assert!(lines.iter().any(|line| line["kind"] == kind), "no {kind}");
    }
    let html = pintle(&[&call[..], &["--as", "html"]].concat()).1;
    super::printed::assert_sound(&html);
    // The answer, and each job that gets worse, stand before the contents.
    let (lead, rest) = html.split_once("<nav").unwrap();
    assert!(lead.contains("no longer ready") && lead.contains(">examples/jobs/two-codes/border-lane.yaml</a>"), "{lead}");
    let contents = rest.split_once("</nav>").unwrap().0;
    assert!(contents.matches("<a ").count() < 10, "{contents}");
    let (_, text) = pintle(&call);
    assert!(text.contains("field-practice/lens-height (a): 26 in (660 mm) becomes 24 in (610 mm), stricter"), "{text}");
}

#[test]
fn exit_codes_say_whether_something_is_to_be_done() {
    let day = ["--today", "2026-04-01"];
    let run = |arguments: &[&str]| pintle(&[&["effect"], arguments, &day].concat()).0;
    let job = "examples/jobs/beam-too-high.yaml";
    assert_eq!(run(&["--from", "field-practice", "--to", "field-practice", job]), 0, "nothing changes");
    assert_eq!(run(&["--from", "us-gates,field-practice", "--to", "examples/rules/hasp-county.rules", job]), 1, "sections are added");
    assert_eq!(run(&["--from", "field-practice", "--to", "no-such-pack", job]), 2);
    assert_eq!(run(&["--from", "field-practice", "--to", "field-practice", "no-such-job.yaml"]), 2);
    // The county's code is not in force for a permit of 2012: nothing of it applies, which must not look like a pass.
    let old = "examples/jobs/old-operator-2012.yaml";
    let newer = ["--from", "us-gates,field-practice", "--to", "examples/rules/hasp-county.rules", old];
    assert_eq!(run(&newer), 2);
    // Where neither side is in force, that no verdict changes is no answer.
    let county = "examples/rules/hasp-county.rules";
    let (exit, text) = pintle(&[&["effect", "--from", county, "--to", county, old][..], &day].concat());
    assert!(exit == 2 && text.contains("not judged: by neither side: not in force for this job: hasp-county"), "{text}");
    assert!(text.contains("add `--permit DAY`"), "{text}");
    // Judged as if permitted today, the old job tells what the ordinance would ask of it.
    let (exit, text) = pintle(&[&["effect"][..], &newer, &day, &["--permit", "2026-04-01"]].concat());
    assert!(exit == 1 && text.contains("Each job was judged as if its permit were of 2026-04-01."), "{text}");
    assert!(text.contains("hasp-county/road-setback (a), gate main: not asked becomes open"), "{text}");
}

type Verdicts = BTreeMap<(String, String, String), String>;

/// What a full check says of jobs whose codes have been written over; verdicts that do not apply are not printed.
fn checked(folder: &Path, codes: &str) -> BTreeMap<String, Verdicts> {
    let mut jobs = BTreeMap::new();
    for name in JOBS {
        let text = std::fs::read_to_string(root().join(format!("examples/jobs/{name}.yaml"))).unwrap();
        let lines = text.lines().map(|line| if line.starts_with("codes:") { format!("codes: [{codes}]") } else { line.to_string() });
        std::fs::write(folder.join(format!("{name}.yaml")), lines.collect::<Vec<_>>().join("\n")).unwrap();
        jobs.insert(name.to_string(), Verdicts::new());
    }
    let (_, out) = pintle(&["check", folder.to_str().unwrap(), "--packs", "examples/rules", "--today", "2026-04-01", "--as", "lines"]);
    for line in records(&out, "verdict") {
        let text = |key: &str| line[key].as_str().unwrap().to_string();
        let name = text("file").rsplit(['/', '\\']).next().unwrap().trim_end_matches(".yaml").to_string();
        jobs.get_mut(&name).unwrap().insert((text("section"), text("clause"), text("thing")), text("verdict"));
    }
    jobs
}

const JOBS: [&str; 4] = ["juniper-yard", "beam-too-high", "swing-in-good", "marginal-measures"];

/// One verdict that changes: job, section, clause, thing, from, to. Not asked and not applicable are one here.
type Step = (String, (String, String, String), String, String);

#[test]
fn it_equals_two_full_checks_compared() {
    let folder = std::env::temp_dir().join(format!("pintle-effect-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    for (from, to) in [("us-gates,field-practice", "hasp-county"), ("hasp-county", "us-gates,us-wiring")] {
        let paths: Vec<String> = JOBS.iter().map(|job| format!("examples/jobs/{job}.yaml")).collect();
        let mut call = vec!["effect", "--from", from, "--to", to, "--packs", "examples/rules", "--today", "2026-04-01", "--as", "lines"];
        call.extend(paths.iter().map(String::as_str));
        let (_, out) = pintle(&call);
        let idle = |word: &str| if matches!(word, "not applicable" | "not asked") { "idle".to_string() } else { word.to_string() };
        let step = |line: &Value| -> Step {
            let text = |key: &str| line[key].as_str().unwrap().to_string();
            let file = text("file").trim_start_matches("examples/jobs/").trim_end_matches(".yaml").to_string();
            (file, (text("section"), text("clause"), text("thing")), idle(&text("from")), idle(&text("to")))
        };
        let told: BTreeSet<Step> = records(&out, "verdict").iter().map(step).collect();
        let (old, new) = (checked(&folder, from), checked(&folder, to));
        let mut expected = BTreeSet::new();
        for job in JOBS {
            let (old, new) = (&old[job], &new[job]);
            let word = |verdicts: &Verdicts, key| verdicts.get(key).cloned().unwrap_or_else(|| "idle".into());
            let keys = old.keys().chain(new.keys()).filter(|key| old.get(*key) != new.get(*key));
            expected.extend(keys.map(|key| (job.to_string(), key.clone(), word(old, key), word(new, key))));
        }
        assert!(expected.len() > 10, "{from} to {to}");
        assert_eq!(told, expected, "{from} to {to}");
    }
    std::fs::remove_dir_all(&folder).unwrap();
}

type Loaded = (Library, Vec<Adopted>);

/// A pack given as text; nothing where it has slips.
fn load(text: &str) -> Option<Loaded> {
    let mut library = Library::new(vec![Shelf::Memory(vec![("made".into(), text.to_string())]), Shelf::Embedded]);
    compile(&mut library, &[Wanted { name: "made".into(), span: None }]).0?;
    let code = adopt(&mut library, "made", &mut Vec::new())?;
    Some((library, vec![code]))
}

fn differences((one, old): &Loaded, (two, new): &Loaded) -> Vec<Change> {
    changes(Side { codes: old, floors: &[], files: &one.sources }, Side { codes: new, floors: &[], files: &two.sources })
}

/// The changes between two texts of one pack; nothing where one of them has slips.
fn between(old: &str, new: &str) -> Option<Vec<Change>> {
    Some(differences(&load(old)?, &load(new)?))
}

/// Texts that differ from a pack in one place each: a number, a comparison, a joint, a dropped line.
fn mutants(pack: &str) -> Vec<String> {
    let mut all = Vec::new();
    let lines: Vec<&str> = pack.lines().collect();
    let with = |at: usize, line: Option<String>| -> String {
        lines
            .iter()
            .enumerate()
            .filter_map(|(number, old)| if number == at { line.clone() } else { Some((*old).to_string()) })
            .map(|line| line + "\n")
            .collect()
    };
    for (at, line) in lines.iter().enumerate().filter(|(_, line)| line.starts_with("  ") && !line.contains('"')) {
        for (place, word) in line
            .match_indices(|c: char| c.is_ascii_digit())
            .filter(|(place, _)| !line[..*place].ends_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.' || c == '/'))
        {
            let length = line[place..].find(|c: char| !c.is_ascii_digit()).unwrap_or(line.len() - place);
            let Ok(number) = line[place..place + length].parse::<u64>() else { continue };
            let _ = word;
            for other in [number + 7, number.saturating_sub(3)] {
                all.push(with(at, Some(format!("{}{other}{}", &line[..place], &line[place + length..]))));
            }
        }
        for (from, to) in [
            ("at most", "less than"),
            ("less than", "at most"),
            ("at least", "more than"),
            (" and ", " or "),
            (" or ", " and "),
            ("shall", "should"),
        ] {
            if line.contains(from) {
                all.push(with(at, Some(line.replacen(from, to, 1))));
            }
        }
        if let Some((head, _)) = line.split_once(" where ").or_else(|| line.split_once(" and ")) {
            all.push(with(at, Some(head.to_string())));
        }
        all.push(with(at, None));
    }
    all
}

#[test]
fn a_direction_is_never_told_against_the_verdicts() {
    let rounds: u64 = std::env::var("PINTLE_CASES").ok().and_then(|number| number.parse().ok()).unwrap_or(15);
    let mut told = BTreeMap::new();
    for seed in 0..rounds {
        let (pack, job, today) = second::texts(seed * 31 + 5);
        let today = today.parse().unwrap();
        let Ok(before) = judge_texts(&[("made", &pack)], &["made"], &job, today) else { continue };
        let Some(old) = load(&pack) else { continue };
        // A tenth of them each time, others with every seed.
        for mutant in mutants(&pack).into_iter().skip(usize::try_from(seed).unwrap() % 10).step_by(10) {
            let Some(new) = load(&mutant) else { continue };
            let changes = differences(&old, &new);
            let mut directions: Vec<Direction> =
                changes.iter().map(|change| change.direction).filter(|one| *one != Direction::NoVerdict).collect();
            directions.dedup();
            let Ok(after) = judge_texts(&[("made", &mutant)], &["made"], &job, today) else { continue };
            *told.entry(format!("{directions:?}")).or_insert(0) += 1;
            let (harder, easier) = (directions.as_slice() == [Direction::Stricter], directions.as_slice() == [Direction::Looser]);
            if directions.is_empty() {
                assert_eq!(words(&before), words(&after), "no change is told\n{pack}\n{mutant}");
            }
            let (old, new) = (words(&before), words(&after));
            for key in old.keys().chain(new.keys()).collect::<BTreeSet<_>>() {
                let (was, is) =
                    (old.get(key).map_or("not applicable", String::as_str), new.get(key).map_or("not applicable", String::as_str));
                let passes = |word: &str| matches!(word, "met" | "excepted" | "not applicable");
                assert!(
                    !(harder && was == "not met" && passes(is)),
                    "stricter, and {key:?} went from {was} to {is}\n{changes:?}\n{pack}\n{mutant}"
                );
                assert!(
                    !(easier && passes(was) && is == "not met"),
                    "looser, and {key:?} went from {was} to {is}\n{changes:?}\n{pack}\n{mutant}"
                );
            }
        }
    }
    assert!(told.keys().any(|key| key.contains("Stricter")) && told.keys().any(|key| key.contains("Looser")), "{told:?}");
}

fn words(verdicts: &[(String, String, String, String)]) -> BTreeMap<(String, String, String), String> {
    let row = |(section, clause, thing, word): &(String, String, String, String)| {
        ((section.clone(), clause.clone(), thing.clone()), word.clone())
    };
    verdicts.iter().map(row).collect()
}

const PACK: &str = r#"pack made "Made"
  language   1
  edition    "1"
  adopts     terms
source book "A book" invented
table reach "How far"
  cite    book "t"
  by      kind
  kind             | least
  horizontal-slide | 5 in
  swing            | 4 in
  vertical-lift    | 5 in
  vertical-pivot   | 5 in
  overhead-pivot   | 5 in
  barrier-arm      | 5 in
  bifold           | 5 in
formula twice of b, a beam, gives length "Twice"
  = 2 * b.height
section low "Low"
  applies to each beam where beam.duty is entrapment
  let     room = beam.offset
  shall (a) beam.height at most 26 in and beam.height more than 3 in
  shall (b) beam.height at least reach.least(gate.kind)
  shall (c) if beam.coded then twice(beam) at most 60 in
  should (d) room at most 5 in
  except  (1) "Coded" where beam.coded unless beam.span more than 20 ft
  remedy  "Lower it to {limit}."
  cite    book "1"
"#;

#[test]
fn each_change_has_its_sentence() {
    // What is changed in the pack, into what, and every sentence that is told.
    let cases: &[(&str, &str, &[&str])] = &[
        ("at most 26 in", "at most 24 in", &["made/low (a): 26 in becomes 24 in, stricter"]),
        (
            "section low",
            "definition lamp \"A lamp\" among gate.lamps\n  lit yes-or-no \"Is it lit?\"\nsection low",
            &["definition lamp: is a new kind of record (no verdict hangs on it)"],
        ),
        ("at most 26 in", "at most 700 mm", &["made/low (a): 26 in becomes 700 mm, looser"]),
        ("at most 26 in", "at most 660.4 mm", &["made/low (a): 26 in becomes 660.4 mm (no verdict hangs on it)"]),
        ("more than 3 in", "more than 2 in", &["made/low (a): 3 in becomes 2 in, looser"]),
        (
            " and beam.height more than 3 in",
            "",
            &["made/low (a): `beam.height at most 26 in` in place of `beam.height at most 26 in and beam.height more than 3 in`, looser"],
        ),
        (
            "beam.height at most 26 in and",
            "beam.span at most 26 in and",
            &[
                "made/low (a): `beam.span at most 26 in and beam.height more than 3 in` in place of `beam.height at most 26 in and beam.height more than 3 in`, different",
            ],
        ),
        ("  shall (b) beam", "  should (b) beam", &["made/low (b): `shall` becomes `should`, looser"]),
        (
            "if beam.coded then twice",
            "if beam.coded and beam.hood then twice",
            &[
                "made/low (c): `if beam.coded and beam.hood then twice(beam) at most 60 in` in place of `if beam.coded then twice(beam) at most 60 in`, looser",
            ],
        ),
        ("= 2 * b.height", "= 3 * b.height", &["formula twice: `3 * b.height` in place of `2 * b.height`, different"]),
        ("swing            | 4 in", "swing            | 6 in", &["table reach row swing: least 4 in becomes 6 in, stricter"]),
        ("  swing            | 4 in\n", "  swing            | none\n", &["table reach row swing: least 4 in becomes none, different"]),
        (
            "beam.duty is entrapment",
            "beam.duty is entrapment and beam.hood",
            &[
                "made/low applies to: `each beam where beam.duty is entrapment and beam.hood` in place of `each beam where beam.duty is entrapment`, looser",
            ],
        ),
        (
            "  except  (1) \"Coded\" where beam.coded unless beam.span more than 20 ft\n",
            "",
            &["made/low exception (1): \"Coded\" is dropped, stricter"],
        ),
        ("more than 20 ft", "more than 22 ft", &["made/low exception (1): 20 ft becomes 22 ft, looser"]),
        (
            "where beam.coded unless",
            "where beam.coded and beam.hood unless",
            &[
                "made/low exception (1): `except (1) \"Coded\" where beam.coded and beam.hood unless beam.span more than 20 ft` in place of `except (1) \"Coded\" where beam.coded unless beam.span more than 20 ft`, stricter",
            ],
        ),
        (
            "  let     room",
            "  in force from 2018-01-01 by gate.operator.made\n  let     room",
            &["made/low in force: only `in force from 2018-01-01 by gate.operator.made`, where it was always, looser"],
        ),
        ("room = beam.offset", "room = beam.height", &["made/low room: `beam.height` in place of `beam.offset`, different"]),
        (
            "cite    book \"1\"",
            "cite    book \"2\"",
            &[
                "made/low (a): rests on book \"2\" in place of book \"1\" (no verdict hangs on it)",
                "made/low (b): rests on book \"2\" in place of book \"1\" (no verdict hangs on it)",
                "made/low (c): rests on book \"2\" in place of book \"1\" (no verdict hangs on it)",
                "made/low (d): rests on book \"2\" in place of book \"1\" (no verdict hangs on it)",
            ],
        ),
    ];
    for (from, to, wanted) in cases {
        assert!(PACK.contains(from), "{from}");
        let changes = between(PACK, &PACK.replacen(from, to, 1)).unwrap_or_else(|| panic!("{from} to {to}: slips"));
        let sentences: Vec<String> = changes.iter().map(Change::sentence).collect();
        assert_eq!(sentences, *wanted, "{from} to {to}");
    }
}

#[test]
fn a_limit_of_something_that_changed_too_has_no_direction() {
    let new = PACK
        .replace("= 2 * b.height", "= 3 * b.height")
        .replace("at most 60 in", "at most 50 in")
        .replace("room = beam.offset", "room = beam.height")
        .replace("room at most 5 in", "room at most 4 in");
    let sentences: Vec<String> = between(PACK, &new).unwrap().iter().map(Change::sentence).collect();
    assert!(sentences.contains(&"made/low (c): 60 in becomes 50 in, different".to_string()), "{sentences:#?}");
    assert!(sentences.contains(&"made/low (d): 5 in becomes 4 in, different".to_string()), "{sentences:#?}");
}

#[test]
fn a_minimum_that_moves_under_an_amendment_is_told() {
    const STATE: &str = "pack state \"State\"\n  language 1\n  edition \"1\"\n  adopts terms\nsource book \"A book\" invented\n\
        section low \"Low\"\n  applies to each beam\n  shall beam.height at most 30 in\n  remedy \"Lower it.\"\n  cite book \"1\"\n";
    const TOWN: &str = "pack made \"Town\"\n  language 1\n  edition \"1\"\n  adopts state as minimum\n\
        amend state/low\n  shall beam.height at most 28 in\n  cite book \"2\"\n";
    let load = |state: &str, town: &str| {
        let packs = [("state", state), ("made", town)].map(|(name, text)| (name.to_string(), text.to_string()));
        let mut library = Library::new(vec![Shelf::Memory(packs.to_vec()), Shelf::Embedded]);
        let (program, slips) = compile(&mut library, &[Wanted { name: "made".into(), span: None }]);
        assert!(program.is_some(), "{slips:?}");
        let code = adopt(&mut library, "made", &mut Vec::new()).unwrap();
        let floors: Vec<Adopted> = code.minimums.iter().filter_map(|name| adopt(&mut library, name, &mut Vec::new())).collect();
        (library, vec![code], floors)
    };
    let sentences = |state: &str, town: &str| -> Vec<String> {
        let ((one, old, low), (two, new, lower)) = (load(STATE, TOWN), load(state, town));
        let found =
            changes(Side { codes: &old, floors: &low, files: &one.sources }, Side { codes: &new, floors: &lower, files: &two.sources });
        found.iter().map(Change::sentence).collect()
    };
    let moved = STATE.replace("30 in", "26 in");
    assert_eq!(sentences(&moved, TOWN), ["state/low (a) in the minimum: 30 in becomes 26 in, stricter"]);
    let looser = TOWN.replace("28 in", "32 in");
    assert_eq!(sentences(STATE, &looser), ["state/low (a): 28 in becomes 32 in; the minimum of state stays in force beside it, different"]);
    let dropped = TOWN.replace(" as minimum", "");
    assert_eq!(sentences(STATE, &dropped), ["pack state: is a minimum no longer, looser"]);
}
