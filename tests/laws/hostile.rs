//! Any bytes, shuffled words of either language and broken real files are read without a panic and in bounded time, and what
//! is said of them can be printed.

use super::broken::{RULE_TOKENS, YAML_TOKENS, broken};
use super::{EXAMPLES, Example, all_reports, compiled, config, day, files_below, obeyed, pack_text, sentences};
use crate::second;
use pintle::command::workbench::{Read, Workbench, decode};
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::quantity::{Days, Wire, read};
use pintle::report::slips;
use pintle::slip::Slip;
use pintle::source::{Files, Source, Sources};
use proptest::prelude::*;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// Far above what any of these small inputs takes, also on a busy machine and without optimisation.
const SLOWEST: Duration = Duration::from_secs(5);

/// Every slip lies in its file, on characters, and can be shown in every way.
fn tellable(told: &[Slip], files: Files) {
    for slip in told.iter().take(40) {
        for span in slip.span.iter().chain(slip.others.iter().map(|(span, _)| span)) {
            let source = files.source(span.file).unwrap_or_else(|| panic!("{} points into no file", slip.name));
            let end = (span.end as usize).min(source.text().len());
            // One byte past the end, or the first byte of a character, stands for something that is missing there.
            assert!(
                span.end as usize <= source.text().len() + 1 && span.start <= span.end,
                "{} {:?} in {} bytes",
                slip.name,
                span,
                source.text().len()
            );
            let whole = source.text().get(span.start as usize..end).is_some();
            assert!(
                whole || span.end == span.start + 1 && source.text().is_char_boundary(span.start as usize),
                "{} {span:?} cuts a character",
                slip.name
            );
        }
        let texts = [slips::drawn(slip, files, false), slips::sentence(slip, files)];
        for text in &texts {
            assert!(obeyed(text).is_none(), "{} lets {:?} through", slip.name, obeyed(text));
        }
        assert!(!slip.message.is_empty());
    }
}

/// Reads a job as the program does, judges it where it can be judged, and tells every slip.
fn job_survives(bench: &Workbench, text: &str) -> Result<(), TestCaseError> {
    let start = Instant::now();
    let source = Source::new("job.yaml", text);
    let none = Sources::default();
    let shelves = vec![Shelf::Embedded];
    match bench.read(&source, shelves, true) {
        Read::NoJob => {}
        Read::Failed(told, compiled) => tellable(&told, Files { packs: &compiled.sources, job: Some(&source) }),
        Read::Job(program, mut job) => {
            tellable(&job.slips, Files { packs: &none, job: Some(&source) });
            all_reports(&program, &mut job, &source, day());
            tellable(&job.slips, Files { packs: &program.files, job: Some(&source) });
        }
    }
    prop_assert!(start.elapsed() < SLOWEST, "{:?} for {} bytes", start.elapsed(), text.len());
    Ok(())
}

/// Reads and checks a pack, and tells every slip.
fn pack_survives(text: &str) -> Result<(), TestCaseError> {
    let start = Instant::now();
    let mut library = Library::new(vec![Shelf::Memory(vec![("made".into(), text.into())])]);
    let (program, told) = compile(&mut library, &[Wanted { name: "made".into(), span: None }]);
    tellable(&told, Files { packs: &library.sources, job: None });
    prop_assert!(program.is_some() || !told.is_empty(), "no program and no reason");
    if let Some(program) = program {
        tellable(&program.notices, Files { packs: &program.files, job: None });
    }
    prop_assert!(start.elapsed() < SLOWEST, "{:?} for {} bytes", start.elapsed(), text.len());
    Ok(())
}

/// One workbench for all cases: the packs of the example jobs are compiled once.
static BENCH: LazyLock<Workbench> = LazyLock::new(Workbench::default);

fn tokens(from: &'static [&'static str]) -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(from), 0..120).prop_map(|tokens| tokens.concat())
}

/// Any text, with the letters and marks that matter more often than the rest.
fn any_text() -> impl Strategy<Value = String> {
    let letter = prop_oneof![3 => any::<char>(), 5 => prop::char::range(' ', '~'), 1 => prop::sample::select(vec!['\n', '\r', '\t', '\u{feff}', '\u{0}', '\u{85}'])];
    prop::collection::vec(letter, 0..400).prop_map(|letters| letters.into_iter().collect())
}

fn any_choices() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(any::<u8>(), 8..64)
}

proptest! {
    #![proptest_config(config(256))]

    #[test]
    fn any_bytes_as_a_job(bytes in prop::collection::vec(any::<u8>(), 0..400), text in any_text()) {
        if let Ok(text) = decode(bytes) {
            job_survives(&BENCH, &text)?;
        }
        job_survives(&BENCH, &text)?;
    }

    #[test]
    fn any_bytes_as_a_pack(bytes in prop::collection::vec(any::<u8>(), 0..400), text in any_text()) {
        pack_survives(&String::from_utf8_lossy(&bytes))?;
        pack_survives(&text)?;
    }

    #[test]
    fn shuffled_words_as_a_job(text in tokens(YAML_TOKENS)) {
        job_survives(&BENCH, &text)?;
    }

    #[test]
    fn shuffled_words_as_a_pack(text in tokens(RULE_TOKENS), headed in any::<bool>()) {
        let head = "pack made \"M\"\n  language 1\n  edition \"1\"\nsource book \"B\" invented\nvalues k = a, b\ndefinition job \"J\"\n  title text \"T\"\ndefinition gate \"G\" among job.gates\n  kind one of k \"K\"\n  height length measured \"H\"\n\
            section s \"S\"\n  applies to each gate\n  ";
        pack_survives(&if headed { format!("{head}{text}") } else { text })?;
    }

    #[test]
    fn a_broken_made_up_pack(seed in 0u64..100_000, bytes in any_choices()) {
        pack_survives(&broken(&second::texts(seed).0, &bytes, RULE_TOKENS))?;
    }

    /// Every kind of report of a made-up job that can be judged, with all its explanations.
    #[test]
    fn reports_of_a_made_up_job(seed in 0u64..100_000) {
        let (pack, job, today) = second::texts(seed);
        let compiled = compiled(&[("made", &pack)], "made");
        let Some(program) = &compiled.program else { return Err(TestCaseError::fail(sentences(&compiled))) };
        let source = Source::new("job.yaml", job);
        let (yaml, _) = pintle::job::yaml::read_yaml(&source);
        let mut job = pintle::job::read_job(&yaml, program);
        all_reports(program, &mut job, &source, today.parse().expect("a day"));
    }

    #[test]
    fn any_text_as_a_quantity_a_date_or_a_wire(text in any_text(), form in "[-+]?[0-9 ½¼/.,_eE'\"′″-]{0,12}(in|ft|mm|°C|µ|Ω|%|\\+/-|±|\\(|\\)| to | |AWG|mm²|kcmil|[0-9/]){0,6}") {
        for text in [&text, &form] {
            if let Err(slip) = read(text) {
                prop_assert!(text.get(slip.at.clone()).is_some(), "`{}`: no place {:?}", text, slip.at);
            }
            let _ = (Days::read(text), Wire::read(text));
        }
    }
}

proptest! {
    #![proptest_config(config(128))]

    #[test]
    fn a_broken_example_job(number in 0usize..1000, bytes in any_choices()) {
        let example: &Example = &EXAMPLES[number % EXAMPLES.len()];
        job_survives(&BENCH, &broken(&example.text, &bytes, YAML_TOKENS))?;
    }

    /// One file of an embedded pack, by itself: the names of its other files are missing, and that is told.
    #[test]
    fn a_broken_file_of_an_embedded_pack(number in 0usize..1000, bytes in any_choices()) {
        static FILES: LazyLock<Vec<(std::path::PathBuf, String)>> = LazyLock::new(|| files_below("rules", "rules"));
        let (_, text) = &FILES[number % FILES.len()];
        pack_survives(&broken(text, &bytes, RULE_TOKENS))?;
    }
}

proptest! {
    #![proptest_config(config(12))]

    /// A whole embedded pack with one file broken, on its vocabulary.
    #[test]
    fn a_broken_embedded_pack(field in any::<bool>(), bytes in any_choices()) {
        let name = if field { "field-practice" } else { "us-gates" };
        let all = pack_text(name);
        let text = broken(&all, &bytes, RULE_TOKENS);
        let mut library = Library::new(vec![Shelf::Memory(vec![(name.into(), text)]), Shelf::Embedded]);
        let (_, told) = compile(&mut library, &[Wanted { name: name.into(), span: None }]);
        tellable(&told, Files { packs: &library.sources, job: None });
    }
}

#[test]
fn something_missing_after_a_wide_letter() {
    let source = Source::new("made.rules", "pack # é\n");
    let parsed = pintle::language::build::read_rules(&source, pintle::source::FileId(0));
    let span = parsed.slips[0].span.expect("a place");
    assert!(source.text().is_char_boundary(span.start as usize), "{span:?}");
}

#[test]
fn a_pack_that_forgets_to_adopt_the_vocabulary() {
    let text = "pack made \"M\"\n  language 1\n  edition \"1\"\n  in force from 2026-01-01 by job.permit-date\n";
    let mut library = Library::new(vec![Shelf::Memory(vec![("made".into(), text.into())])]);
    let (program, told) = compile(&mut library, &[Wanted { name: "made".into(), span: None }]);
    assert!(program.is_none() && !told.is_empty());
}
