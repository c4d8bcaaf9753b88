//! The example jobs cut down to what a form for their kind and codes asks: every verdict stays what it was.

use super::{TODAY, example};
use pintle::command::workbench::{Read, VerdictRow, Workbench, judge_job, read_file};
use pintle::job::yaml::read_yaml;
use pintle::job::{Children, Fact, Job, RecordId};
use pintle::judge::judge_section::binding_name;
use pintle::language::program::{JOB, Program};
use pintle::quantity::Units;
use pintle::source::Source;
use pintle::survey::blank::{GATE, Known, is_point};
use pintle::survey::{Form, form};
use std::fmt::Write;

/// Examples with all that their kind of gate has, as drawn and as measured.
const EXAMPLES: [&str; 17] = [
    "barrier-arm-good",
    "bifold-metric-good",
    "county-fire-lane-good",
    "europe-held-lift-metric-good",
    "europe-slide-metric-good",
    "fire-lane-and-footway-good",
    "overhead-pivot-metric-good",
    "slide-left-drawn",
    "slide-left-good",
    "slide-right-metric-good",
    "swing-double-metric-good",
    "swing-in-good",
    "swing-out-solar-good",
    "town-school-way-too-fast",
    "vertical-lift-good",
    "vertical-pivot-metric-good",
    "wiring-good",
];

fn kind_of(program: &Program, job: &Job) -> String {
    let gate = program.definition_named(GATE).expect("gates");
    let field = program.definition(gate).field("kind").expect("a kind");
    let record = job.records.iter().find(|record| record.def == gate).expect("a gate");
    match &record.facts[field] {
        Fact::Stated(stated) => pintle::judge::words::datum_text(program, &stated.datum),
        _ => panic!("the gate has no kind"),
    }
}

/// The job file with what the form asks, each value as it was written.
fn cut_down(program: &Program, job: &Job, source: &Source, form: &Form) -> String {
    let mut text = String::new();
    record(&mut text, program, job, source, form, RecordId::ROOT, 0);
    text
}

fn record(text: &mut String, program: &Program, job: &Job, source: &Source, form: &Form, id: RecordId, indent: usize) {
    let record_ = job.record(id);
    let definition = program.definition(record_.def);
    let blanks = " ".repeat(indent);
    for (at, fact) in record_.facts.iter().enumerate() {
        let span = match fact {
            Fact::Stated(stated) if stated.follows.is_empty() => stated.span,
            Fact::Nothing(span) => *span,
            _ => continue,
        };
        if form.asks(record_.def, at) || record_.def == JOB && definition.fields[at].name == "codes" {
            let _ = writeln!(text, "{blanks}{}: {}", definition.fields[at].name, source.slice(span.range()).replace('\n', " "));
        }
    }
    for (child, def) in definition.children.iter().enumerate() {
        if !form.parts().iter().any(|part| part.def == *def) {
            continue;
        }
        let below = program.definition(*def);
        match &record_.children[child] {
            Children::Nothing(_) => text.push_str(&format!("{blanks}{}: none\n", below.key)),
            Children::Given(records, _) if below.single => {
                let _ = writeln!(text, "{blanks}{}:", below.key);
                record(text, program, job, source, form, records[0], indent + 2);
            }
            Children::Given(records, _) => {
                let _ = writeln!(text, "{blanks}{}:", below.key);
                for id in records {
                    let name = job.record(*id).id.clone().unwrap_or_default();
                    let _ = writeln!(text, "{blanks}  - id: {name}");
                    record(text, program, job, source, form, *id, indent + 4);
                }
            }
            Children::Unknown(_) => {}
        }
    }
}

fn verdicts(program: &Program, job: &mut Job, source: &Source) -> Vec<VerdictRow> {
    judge_job(program, job, source, TODAY, |program, job, judgement| {
        let row = |judged: &pintle::judge::Judged| {
            let section = &program.sections[judged.section];
            let label = section.norms[judged.norm].label.to_string();
            (section.id.clone(), label, binding_name(program, job, judged), judged.verdict.word().to_string())
        };
        let mut rows: Vec<_> = judgement.judged.iter().map(row).collect();
        rows.sort();
        rows
    })
}

#[test]
fn what_a_form_asks_gives_every_verdict_that_the_whole_job_gives() {
    let bench = Workbench::default();
    for name in EXAMPLES {
        let path = example(name);
        let source = read_file(&path).expect("an example");
        let mut shelves = vec![pintle::language::library::Shelf::Folder(super::root().join("examples/rules"))];
        shelves.extend(bench.shelves_for(path.parent().expect("a folder")));
        let Read::Job(compiled, mut job) = bench.read(&source, shelves, true) else { panic!("{name} cannot be read") };
        let program = compiled.as_ref();
        let points = |record: &pintle::job::Record| {
            let fields = &program.definition(record.def).fields;
            record.facts.iter().zip(fields).any(|(fact, field)| is_point(&field.kind) && matches!(fact, Fact::Stated(_)))
        };
        let drawn = job.records.iter().any(points);
        let kind = kind_of(program, &job);
        let form = form(program, &Known { kind: &kind, permit: None, drawn, leaves: 1, units: Units::AsWritten }, TODAY).expect("a form");
        let text = cut_down(program, &job, &source, &form);
        let cut = Source::new("cut.yaml", text).kept_in(path.parent().expect("a folder"));
        let (yaml, slips) = read_yaml(&cut);
        assert!(slips.is_empty(), "{name}: {slips:?}\n{}", cut.text());
        let mut less = pintle::command::workbench::records(&yaml, &cut, program);
        assert!(less.slips.is_empty(), "{name}: {:?}\n{}", less.slips, cut.text());
        let (whole, cut_down) = (verdicts(program, &mut job, &source), verdicts(program, &mut less, &cut));
        // What is surely not applicable to this kind of gate may be told of fewer things.
        let told = |rows: Vec<VerdictRow>| rows.into_iter().filter(|row| row.3 != "not applicable").collect::<Vec<_>>();
        assert_eq!(told(whole), told(cut_down), "{name}\n{}", cut.text());
    }
}
