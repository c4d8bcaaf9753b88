//! `survey`: what a form asks suffices and is used, for every kind of gate and every embedded pack; what is open of a job is listed and
//! added beside what lacks it without touching anything; snapshots of what people see. `INSTA_UPDATE=always cargo test survey`.

mod add;
mod fill;
mod hand;
mod papers;
mod same;

use jiff::civil::Date;
use pintle::command::workbench::{Compiled, Workbench};
use pintle::job::yaml::read_yaml;
use pintle::judge::rank::Counts;
use pintle::language::library::Shelf;
use pintle::language::program::Program;
use pintle::quantity::Units;
use pintle::source::Source;
use pintle::survey::blank::Known;
use pintle::survey::{Form, form};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The day of judging.
const TODAY: Date = jiff::civil::date(2026, 4, 1);
/// The kinds of gate.
const KINDS: [&str; 7] = ["horizontal-slide", "swing", "vertical-lift", "vertical-pivot", "overhead-pivot", "barrier-arm", "bifold"];
/// Sets of embedded packs: each by itself, those that jobs name together, and all at once.
const CODES: [&[&str]; 11] = [
    &["us-gates"],
    &["field-practice"],
    &["us-fire"],
    &["us-fire-appendix"],
    &["us-fire-wildland"],
    &["us-wiring"],
    &["pedestrian-access"],
    &["eu-gates"],
    &["us-gates", "field-practice"],
    &["us-gates", "us-fire", "us-wiring", "field-practice", "pedestrian-access"],
    &["us-gates", "field-practice", "us-fire", "us-fire-appendix", "us-fire-wildland", "us-wiring", "pedestrian-access", "eu-gates"],
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn compiled(codes: &[&str]) -> Arc<Compiled> {
    Workbench::default().compile(vec![Shelf::Embedded], codes.iter().map(|code| (*code).to_string()).collect())
}

/// The form for a kind of gate.
fn form_of(program: &Program, kind: &str, drawn: bool) -> Form {
    form(program, &Known { kind, permit: None, drawn, leaves: 1, units: Units::AsWritten }, TODAY).expect("a form")
}

/// Runs the program in the folder of the project.
fn pintle(arguments: &[&str]) -> (i32, String, String) {
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap_or(-1), text(done.stdout), text(done.stderr))
}

fn snapshot(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings.bind(|| insta::assert_snapshot!(name, text));
}

const DAY: [&str; 2] = ["--today", "2026-04-01"];

#[test]
fn a_form_is_read_without_slips_and_says_nothing_is_met() {
    for codes in CODES {
        let packs = compiled(codes);
        let program = packs.program.as_ref().expect("packs");
        for kind in KINDS {
            for drawn in [false, true] {
                let made = form_of(program, kind, drawn);
                let text = pintle::report::survey::fill_in::yaml(program, &made);
                let source = Source::new("form.yaml", text);
                let (yaml, slips) = read_yaml(&source);
                assert!(slips.is_empty(), "{kind} {codes:?}: {slips:?}");
                let mut job = pintle::command::workbench::records(&yaml, &source, program);
                assert!(job.slips.is_empty(), "{kind} {codes:?}: {:?}", job.slips);
                pintle::command::workbench::judge_job(program, &mut job, &source, TODAY, |program, job, judgement| {
                    let (shall, _) = judgement.counts(program);
                    assert_ne!(judgement.exit_code(program, job, false, &Counts::default()), 0, "{kind} {codes:?} {shall:?}");
                });
            }
        }
    }
}

#[test]
fn numbers_run_through_and_are_the_same_in_both_views() {
    let packs = compiled(CODES[8]);
    let program = packs.program.as_ref().expect("packs");
    let made = form_of(program, "swing", false);
    let mut numbers: Vec<usize> = Vec::new();
    for part in made.parts() {
        numbers.extend(part.number);
        numbers.extend(part.questions.iter().map(|question| question.number));
    }
    assert_eq!(numbers, (1..=made.count).collect::<Vec<_>>());
    let yaml = pintle::report::survey::fill_in::yaml(program, &made);
    let page = pintle::report::survey::page::html(program, &made);
    crate::printed::assert_sound(&page);
    for part in made.parts() {
        for question in &part.questions {
            let doc = &program.definition(part.def).fields[question.field].doc;
            let start: String = doc.split(' ').take(4).collect::<Vec<_>>().join(" ");
            let in_yaml = yaml.lines().any(|line| line.trim_start().starts_with(&format!("# {:<5}{start}", question.number)));
            assert!(in_yaml, "{} {start}", question.number);
            let cell = format!("<td class=\"number\">{}</td>", question.number);
            let row = page.lines().find(|line| line.contains(&cell)).unwrap_or_default();
            assert!(row.contains(&pintle::report::page::text(doc)), "{} {start}\n{row}", question.number);
        }
    }
}

#[test]
fn every_example_of_an_answer_can_be_read() {
    use pintle::datum::Kind;
    let packs = compiled(CODES[10]);
    let program = packs.program.as_ref().expect("packs");
    let mut read = 0;
    for field in program.definitions.iter().flat_map(|definition| &definition.fields) {
        let Kind::Measure(dimension) = &field.kind else { continue };
        for units in [Units::AsWritten, Units::Inch, Units::Metric] {
            let samples = pintle::survey::answer::samples(*dimension, units);
            assert!(!samples.is_empty(), "{}", field.name);
            for sample in samples {
                let datum = pintle::job::scalar::read_scalar(&sample, &field.kind, &program.lists);
                assert!(datum.is_ok(), "{}: {sample}", field.name);
                read += 1;
            }
        }
    }
    assert!(read > 100, "{read}");
}

#[test]
fn a_form_in_metric_units_has_no_inches() {
    for view in ["yaml", "html"] {
        let call = ["survey", "--kind", "swing", "--codes", "eu-gates", "--drawn", "--units", "metric", "--as", view];
        let (code, form, _) = pintle(&[&call[..], &DAY].concat());
        assert_eq!(code, 0);
        assert!(form.contains("as in 760 mm") && form.contains("as in [6 m, -100 mm, 700 mm]"), "{form}");
        let inches =
            form.lines().find(|line| line.contains("as in") && (line.contains(" ft") || line.contains("1 in") || line.contains("6 in")));
        assert!(inches.is_none(), "{inches:?}");
    }
}

#[test]
fn what_is_not_in_force_on_the_permit_s_day_is_not_asked() {
    let ask = |more: &[&str]| {
        let call = ["survey", "--kind", "swing", "--codes", "hasp-county", "--packs", "examples/rules/hasp-county.rules"];
        pintle(&[&call, more, &DAY].concat())
    };
    let (code, before, _) = ask(&["--permit-date", "2025-06-01"]);
    assert_eq!(code, 0);
    assert!(!before.contains("bollards:"), "{before}");
    let (_, after, _) = ask(&["--permit-date", "2026-06-01"]);
    assert!(after.contains("bollards:") && after.contains("\npermit-date: 2026-06-01\n"), "{after}");
    let (_, open, _) = ask(&[]);
    assert!(open.contains("bollards:") && open.contains("\npermit-date:\n"), "{open}");
}

#[test]
fn a_section_over_very_many_rows_is_asked_about_all_the_same() {
    use std::fmt::Write;
    // Three tables beside each other: to look at every choice of rows would take minutes.
    let mut pack = crate::cli::YARD.replace("yard", "spread");
    for table in ["rows-a", "rows-b", "rows-c"] {
        let _ = write!(pack, "\ntable {table} \"Rows\"\n  cite    book \"4\"\n  by      size\n  size | most\n");
        for size in 1..=200 {
            let _ = writeln!(pack, "  {size} in | {} in", size + 1);
        }
    }
    pack.push_str(
        "\nsection wide \"Every choice of rows\"\n  applies to each beam, each row of rows-a as r, each row of rows-b as s, each row of rows-c as t\n  \
         shall   beam.tilt at most 5 deg or beam.shiny-surface at most r.most + s.most + t.most\n  remedy  \"Look at {beam.id}.\"\n  \
         cite    book \"5\"\n",
    );
    let shelf = Shelf::Memory(vec![("spread".into(), pack)]);
    let packs = Workbench::default().compile(vec![shelf, Shelf::Embedded], vec!["spread".into()]);
    let program = packs.program.as_ref().unwrap_or_else(|| panic!("{:?}", packs.slips));
    let started = std::time::Instant::now();
    let made = form_of(program, "swing", false);
    assert!(started.elapsed().as_secs() < 30, "{:?}", started.elapsed());
    let beam = program.definition_named("beam").expect("beams");
    for fact in ["height", "offset", "duty", "coded", "tilt", "shiny-surface"] {
        assert!(made.asks(beam, program.definition(beam).field(fact).expect("a fact")), "{fact}");
    }
}

#[test]
fn a_call_that_lacks_something_is_told_and_asks_nobody() {
    let lacks = |arguments: &[&str], says: &str| {
        let (code, out, err) = pintle(&[&["survey"], arguments].concat());
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}\n{err}");
        assert!(err.contains(says), "{arguments:?}\n{err}");
    };
    lacks(&[], "a form needs --kind and --codes");
    lacks(&["--kind", "swing"], "a form needs --kind and --codes");
    lacks(&["--codes", "us-gates"], "a form needs --kind and --codes");
    lacks(&["--kind", "revolving", "--codes", "us-gates"], "these are known: horizontal-slide, swing");
    lacks(&["--kind", "swing", "--codes", "us-gate"], "us-gate");
    lacks(&["--kind", "swing", "--codes", "us-gates", "--as", "text"], "a new form is `yaml` or `html`");
    lacks(&["examples/jobs/incomplete-survey.yaml", "--as", "yaml"], "--as yaml makes a new form");
    lacks(&["examples/jobs/incomplete-survey.yaml", "--kind", "swing"], "cannot be used with");
    lacks(&["examples/jobs/nowhere.yaml"], "nowhere.yaml");
}

#[test]
fn a_form_as_people_see_it() {
    let (code, text, _) = pintle(&[&["survey", "--kind", "barrier-arm", "--codes", "us-gates"], &DAY[..]].concat());
    assert_eq!(code, 0);
    snapshot("form-barrier-arm", &text);
    let call = ["survey", "--kind", "barrier-arm", "--codes", "us-gates", "--as", "html"];
    let (_, page, _) = pintle(&[&call, &DAY[..]].concat());
    crate::printed::assert_sound(&page);
    snapshot("form-barrier-arm-page", &words_of(&page));
}

#[test]
fn a_list_of_what_is_open_as_people_see_it() {
    let call = ["survey", "examples/jobs/incomplete-survey.yaml"];
    let (code, text, err) = pintle(&[&call, &DAY[..]].concat());
    assert_eq!((code, err.as_str()), (1, ""));
    snapshot("open-incomplete-survey", &text);
    let (_, page, _) = pintle(&[&call, &["--as", "html"], &DAY[..]].concat());
    crate::printed::assert_sound(&page);
    let (code, text, _) = pintle(&[&["survey", "examples/jobs/slide-left-good.yaml"], &DAY[..]].concat());
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("nothing is open"), "{text}");
    assert!(text.contains("every mandatory clause that applies is met"), "{text}");
}

#[test]
fn a_job_that_is_not_ready_is_never_told_that_nothing_is_open_alone() {
    let call = ["survey", "examples/jobs/beam-too-high.yaml"];
    let (code, text, _) = pintle(&[&call, &DAY[..]].concat());
    assert_eq!(code, 1, "{text}");
    for words in
        ["nothing is open", "not ready: mandatory verdicts: 1 not met", "not met: field-practice/lens-height (a)", "beam.height is 28 in"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let (_, page, _) = pintle(&[&call, &["--as", "html"], &DAY[..]].concat());
    crate::printed::assert_sound(&page);
    assert!(page.contains("<h2 id=\"besides\">") && page.contains("lens-height"), "{page}");
    let (_, metric, _) = pintle(&[&call, &["--units", "metric"], &DAY[..]].concat());
    assert!(metric.contains("beam.height is 711") && metric.contains(" mm"), "{metric}");
}

#[test]
fn lines_are_those_of_the_place_itself() {
    let text = "title: T\ncodes: [us-gates]\ngates:\n  - id: main\n    kind: swing\n    opening: 10 ft\n    operator:\n      made:\n  - id: side\n    kind: swing\n    operator: {model: x,\n               serial: y}\n";
    let site = crate::cli::Site::empty().with("job.yaml", text);
    let seen = site.run(&["survey", "job.yaml", "--today", "2026-04-01"]).out;
    let entry = |thing: &str, key: &str| {
        let parts = seen.split("\n\n").filter(|part| part.lines().next() == Some(thing));
        let line = parts.flat_map(str::lines).find(|line| line.contains(&format!(". {key} (")));
        let line = line.unwrap_or_else(|| panic!("{thing} {key}: {seen}"));
        line.split_once(" (").unwrap().1.split(')').next().unwrap().to_string()
    };
    assert_eq!(entry("gate main / operator", "made"), "line 8, its key is there");
    assert_eq!(entry("gate main", "zones"), "to add below line 6");
    assert_eq!(entry("gate main / operator", "listed"), "to add below line 8");
    assert_eq!(entry("gate side / operator", "listed"), "to add within the braces of line 12");
}

/// The words of a page, a cell a line.
fn words_of(page: &str) -> String {
    let body = page.split("<body>").nth(1).unwrap_or("");
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let lines = text.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" ")).filter(|line| !line.is_empty());
    lines.collect::<Vec<_>>().join("\n")
}

fn example(name: &str) -> PathBuf {
    root().join(format!("examples/jobs/{name}.yaml"))
}
