//! Cases as files: packs with slips, jobs with slips, verdicts. A case is added by adding a file.
//!
//! - `packs/*.rules`: a pack; its slips are kept as a snapshot, source first.
//! - `jobs/*.yaml`: a job; what `check --as plain` says of its file is kept as a snapshot, source first.
//! - `verdicts/*.case`: packs, a job and the verdicts or slips that are expected, all in the file, of all sections or of those named. `PINTLE_UPDATE=1` writes
//!   what came out into the file, for a reviewer to read.

pub mod parts;

use jiff::civil::Date;
use parts::Case;
use pintle::command::workbench::{Read, Workbench, judge_texts};
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::report::slips;
use pintle::source::{Files, Source, Sources};

fn settings() -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings
}

#[test]
fn slips_of_packs() {
    settings().bind(|| {
        insta::glob!("packs/*.rules", |path| {
            let text = std::fs::read_to_string(path).unwrap();
            let name = path.file_stem().unwrap().to_str().unwrap().to_string();
            let mut library = Library::new(vec![Shelf::Memory(vec![(name.clone(), text.clone())]), Shelf::Embedded]);
            let (program, mut told) = compile(&mut library, &[Wanted { name, span: None }]);
            told.extend(program.into_iter().flat_map(|program| program.notices));
            let files = Files { packs: &library.sources, job: None };
            let drawn: String = told.iter().map(|slip| slips::drawn(slip, files, false) + "\n").collect();
            insta::assert_snapshot!(format!("{text}\n=== slips\n{drawn}"));
        });
    });
}

#[test]
fn slips_of_jobs() {
    settings().bind(|| {
        insta::glob!("jobs/*.yaml", |path| {
            let text = std::fs::read_to_string(path).unwrap();
            let source = Source::new(path.file_name().unwrap().to_str().unwrap(), text.clone());
            let bench = Workbench::default();
            let empty = Sources::default();
            let drawn = match bench.read(&source, vec![Shelf::Embedded], true) {
                Read::NoJob => "no job\n".to_string(),
                Read::Failed(told, compiled) => {
                    let files = Files { packs: &compiled.sources, job: Some(&source) };
                    told.iter().map(|slip| slips::drawn(slip, files, false) + "\n").collect()
                }
                Read::Job(_, job) => {
                    let files = Files { packs: &empty, job: Some(&source) };
                    job.slips.iter().map(|slip| slips::drawn(slip, files, false) + "\n").collect()
                }
            };
            insta::assert_snapshot!(format!("{text}\n=== slips\n{drawn}"));
        });
    });
}

#[test]
fn verdicts() {
    let mut failures = Vec::new();
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/verdicts");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "case"))
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "no cases");
    for path in paths {
        let text = std::fs::read_to_string(&path).unwrap();
        let case = Case::read(&text);
        let got = outcome(&case);
        if std::env::var_os("PINTLE_UPDATE").is_some() {
            std::fs::write(&path, case.with_expected(&got)).unwrap();
        } else if got.trim() != case.expected.trim() {
            failures.push(format!("{}\n--- expected\n{}\n--- got\n{got}", path.display(), case.expected.trim()));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

/// The verdicts of a case, or the names and places of its slips.
fn outcome(case: &Case) -> String {
    let today: Date = case.today.parse().unwrap();
    let packs: Vec<(&str, &str)> = case.packs.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let codes: Vec<&str> = case.codes.iter().map(String::as_str).collect();
    let mut library = Library::new(vec![Shelf::Memory(case.packs.clone()), Shelf::Embedded]);
    let wanted: Vec<Wanted> = codes.iter().map(|name| Wanted { name: (*name).to_string(), span: None }).collect();
    let (program, slips) = compile(&mut library, &wanted);
    if program.is_none() {
        let files = Files { packs: &library.sources, job: None };
        let places = slips.iter().map(|slip| {
            let place = slip.span.map_or_else(String::new, |span| pintle::report::excerpt::place_text(files, span));
            format!("slip {} {place}", slip.name)
        });
        return places.collect::<Vec<_>>().join("\n");
    }
    match judge_texts(&packs, &codes, &case.job, today) {
        Err(slips) => slips.iter().map(|slip| format!("slip {slip}")).collect::<Vec<_>>().join("\n"),
        Ok(verdicts) => verdicts
            .iter()
            .filter(|(section, ..)| case.sections.is_empty() || case.sections.contains(section))
            .map(|(section, clause, thing, verdict)| format!("{section} ({clause}) {thing}: {verdict}"))
            .collect::<Vec<_>>()
            .join("\n"),
    }
}
