//! What is done with made-up bytes: each body reads them as the program would, and checks what comes out. The fuzz targets and the
//! ordinary test that replays the corpus share them. `beside` holds those of files that stand beside jobs and packs.

#[path = "beside.rs"]
pub mod beside;

use jiff::civil::Date;
use pintle::calculation::pick::Wish;
use pintle::command::calcs::calcs_of_texts;
use pintle::command::workbench::{Compiled, Read, Workbench, decode, judge_job};
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::neaten::{Refused, neaten as laid_out};
use pintle::quantity::{Days, Wire, read};
use pintle::report::escape::is_unsafe;
use pintle::report::findings::{Inputs, report};
use pintle::report::form::{Ending, Form, PackReport};
use pintle::report::lines::Lines;
use pintle::report::plain::Plain;
use pintle::report::sarif::Sarif;
use pintle::report::summary::Summary;
use pintle::report::test_xml::TestXml;
use pintle::report::text::Text;
use pintle::report::{calcs, slips};
use pintle::slip::Slip;
use pintle::source::{Files, Source, Sources};
use std::sync::{Arc, LazyLock};

/// The pack that jobs of the target `job` are judged by, beside the embedded ones.
const YARD: &str = "pack yard \"Yard\"\n  language 1\n  edition \"1\"\n  adopts terms\nsource book \"B\" invented\n\
section height \"H\"\n  applies to each beam\n  shall (a) beam.height at most 26 in\n  shall (b) beam.span / beam.offset at most 100\n  \
except (1) \"C\" where beam.hood\n  remedy \"Lower {beam.id} of {gate.id}: {value}, {limit}.\"\n  cite book \"1\"\n\
section push \"P\"\n  applies to each test\n  shall (a) test.force at most 400 N\n  shall (b) test.time-over-150 at most 750 ms\n  cite book \"2\"\n";
/// Between a pack and a job in one input.
const BETWEEN: &str = "\n=====\n";

fn day() -> Date {
    Date::constant(2026, 4, 1)
}

/// Nothing in an output may be obeyed by a terminal.
fn harmless(text: &str) {
    let found = text.chars().find(|c| is_unsafe(*c) && *c != '\n');
    assert!(found.is_none(), "{found:?} in an output");
}

/// Every slip lies in its file and can be told.
fn told(all: &[Slip], files: Files) {
    for slip in all.iter().take(20) {
        for span in slip.span.iter().chain(slip.others.iter().map(|(span, _)| span)) {
            let source = files.source(span.file).expect("a slip of no file");
            assert!(span.start <= span.end && span.end as usize <= source.text().len() + 1, "{} {span:?}", slip.name);
        }
        harmless(&slips::drawn(slip, files, false));
        harmless(&slips::sentence(slip, files));
    }
}

static BENCH: LazyLock<Workbench> = LazyLock::new(Workbench::default);
static KNOWN: LazyLock<Arc<Compiled>> = LazyLock::new(|| compiled(YARD));

fn compiled(pack: &str) -> Arc<Compiled> {
    let shelves = vec![Shelf::Memory(vec![("yard".into(), pack.into())]), Shelf::Embedded];
    Workbench::default().compile(shelves, vec!["yard".into()])
}

/// Bytes as a job.
pub fn job(data: &[u8]) {
    let Ok(text) = decode(data.to_vec()) else { return };
    let source = Source::new("job.yaml", text);
    let none = Sources::default();
    if let Read::Failed(slips, compiled) = BENCH.read(&source, vec![Shelf::Memory(vec![("yard".into(), YARD.into())])], true) {
        told(&slips, Files { packs: &compiled.sources, job: Some(&source) });
    }
    let program = KNOWN.program.as_ref().expect("no slips");
    let (yaml, slips) = pintle::job::yaml::read_yaml(&source);
    told(&slips, Files { packs: &none, job: Some(&source) });
    let mut job = pintle::command::workbench::records(&yaml, &source, program);
    told(&job.slips, Files { packs: &none, job: Some(&source) });
    judge_job(program, &mut job, &source, day(), |program, job, judgement| {
        let report = report(&Inputs { program, job, source: &source, today: day(), unfinished: false, all: true, known: None }, judgement);
        harmless(&pintle::report::text::job(&report, &job.slips, false));
    });
}

/// Bytes as a pack.
pub fn pack(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let mut library = Library::new(vec![Shelf::Memory(vec![("yard".into(), text.into())]), Shelf::Embedded]);
    let (program, slips) = compile(&mut library, &[Wanted { name: "yard".into(), span: None }]);
    told(&slips, Files { packs: &library.sources, job: None });
    assert!(program.is_some() || !slips.is_empty(), "no program and no reason");
}

/// The pack and the job of one input.
fn parts(data: &[u8]) -> Option<(&str, &str)> {
    std::str::from_utf8(data).ok()?.split_once(BETWEEN)
}

/// A pack and a job together: judged, and calculated again.
pub fn both(data: &[u8]) {
    let Some((pack, job)) = parts(data) else { return };
    let Ok(document) = calcs_of_texts(&[("yard", pack)], job, day(), &Wish::default()) else { return };
    harmless(&calcs::text(&document, 100));
    let json = calcs::json(&document);
    harmless(&json);
    serde_json::from_str::<serde_json::Value>(&json).expect("JSON");
    let page = calcs::html(&document);
    harmless(&page);
    assert!(!page.contains("<script"), "a page with a script");
}

/// The whole report of a pack, a job and what could not be judged, in one form.
fn written<F: Form>(mut form: F, compiled: &Compiled, job: &str) -> String {
    let source = Source::new("job.yaml", job);
    let mut text = form.begin("2026-04-01");
    let packs = Files { packs: &compiled.sources, job: None };
    let minimums = &compiled.minimums;
    let piece = form.pack(&PackReport {
        path: "yard.rules",
        files: packs,
        program: compiled.program.as_deref(),
        slips: &compiled.slips,
        against: "",
        minimums,
    });
    text += &form.add(piece);
    let (yaml, slips) = pintle::job::yaml::read_yaml(&source);
    match &compiled.program {
        None => {
            let piece = form.unjudged(Files { packs: &compiled.sources, job: Some(&source) }, &slips);
            text += &form.add(piece);
        }
        Some(program) => {
            let mut job = pintle::command::workbench::records(&yaml, &source, program);
            job.slips.extend(slips);
            let piece = judge_job(program, &mut job, &source, day(), |program, job, judgement| {
                let all = form.wants_all();
                let inputs = Inputs { program, job, source: &source, today: day(), unfinished: false, all, known: None };
                form.job(&report(&inputs, judgement), &job.slips)
            });
            text += &form.add(piece);
        }
    }
    text += &form.trouble("a trouble");
    text + &form.end(&Ending { judged: 1, exit: 2, tally: pintle::report::ends::Tally::default() })
}

/// Every report of a pack and a job, read back by a reader of its format.
pub fn reports(data: &[u8]) {
    let Some((pack, job)) = parts(data) else { return };
    let compiled = compiled(pack);
    harmless(&written(Text { colour: false }, &compiled, job));
    harmless(&written(Plain, &compiled, job));
    harmless(&written(Summary::default(), &compiled, job));
    let lines = written(Lines, &compiled, job);
    harmless(&lines);
    for line in lines.lines() {
        serde_json::from_str::<serde_json::Value>(line).expect("a line of JSON");
    }
    let log = written(Sarif::default(), &compiled, job);
    harmless(&log);
    serde_json::from_str::<serde_json::Value>(&log).expect("JSON");
    let xml = written(TestXml, &compiled, job);
    harmless(&xml);
    roxmltree::Document::parse(&xml).expect("XML");
}

/// Bytes as a quantity, a date, a wire size.
pub fn quantity(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    match read(text) {
        Err(slip) => assert!(text.get(slip.at.clone()).is_some(), "no place {:?}", slip.at),
        Ok(reading) => {
            // What is shown of a value is that value, where a number of so many digits can say it.
            if let Some(unit) = reading.unit {
                let shown = pintle::quantity::show::in_unit(reading.value, unit);
                if let Ok(again) = read(&shown)
                    && !shown.contains('≈')
                    && !shown.contains('…')
                {
                    let near = again.value == reading.value
                        || again
                            .value
                            .sub(reading.value)
                            .is_some_and(|off| off.size().to_f64() < 1e-2 * reading.value.size().to_f64().max(1.0));
                    assert!(near, "`{text}` is shown as `{shown}`");
                }
            }
        }
    }
    let _ = (Days::read(text), Wire::read(text));
}

/// Bytes as a rule file to be laid out: it says the same, and laid out again it stays.
pub fn neaten(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    match laid_out(&Source::new("yard.rules", text)) {
        Err(Refused::Slips(slips)) => assert!(!slips.is_empty(), "refused without a word"),
        Err(Refused::Changed) => panic!("the layout would say something else"),
        Ok(neat) => match laid_out(&Source::new("yard.rules", neat.clone())) {
            Ok(again) => assert_eq!(again, neat, "laid out twice it differs"),
            Err(_) => panic!("what was laid out has slips"),
        },
    }
}
