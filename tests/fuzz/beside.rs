//! Made-up bytes as the files that stand beside jobs and packs, or bring jobs: lists, pins, recordings, streams, kept results, trials, and
//! jobs that lines are added to. See `bodies.rs`.

use super::{BENCH, KNOWN, YARD, day, harmless, parts, told};
use pintle::command::reuse::Reuse;
use pintle::command::stream::Documents;
use pintle::command::workbench::{Read, judge_job, records};
use pintle::job::recording::read_recordings;
use pintle::job::yaml::{LARGEST_FILE, read_yaml};
use pintle::judge::rank::Rank;
use pintle::language::build::read_rules;
use pintle::language::check::{Wanted, compile};
use pintle::language::check_trial::{VerdictWords, check_trials};
use pintle::language::library::{Library, Shelf};
use pintle::language::program::Program;
use pintle::rehearse::base::read_base;
use pintle::rehearse::offer::offers;
use pintle::rehearse::run::rehearse;
use pintle::rehearse::trial::Ready;
use pintle::report::findings::{Inputs, report};
use pintle::report::pins::Pins;
use pintle::report::trials::{TrialReport, text};
use pintle::report::{punch_file, trial_lines};
use pintle::slip::Slip;
use pintle::source::{FileId, Files, Source, Sources};
use pintle::survey::beside::{add, spots};
use pintle::survey::open::open;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The job that the lists are about: one beam too high, one that is not measured.
const SITE: &str = "codes: [yard]\ngates:\n  - {id: main, beams: [{id: low, height: 30 in}, {id: high, span: 5 ft}]}\n";

/// Bytes as a file beside jobs: its first letter says which.
pub fn beside(data: &[u8]) {
    let Some((kind, data)) = data.split_first() else { return };
    let text = String::from_utf8_lossy(data).into_owned();
    match kind {
        b'l' => punch_list(text),
        b'p' => pins(text),
        b'r' => recording(&text),
        b'k' => kept(data, &text),
        _ => stream(data),
    }
}

fn of_file(slips: &[Slip], source: &Source) {
    told(slips, Files { packs: &Sources::default(), job: Some(source) });
}

/// A punch list, read, held against findings, written and read again.
fn punch_list(text: String) {
    let list = punch_file::read(Source::new("punch-list.yaml", text));
    of_file(&list.slips, &list.source);
    let program = KNOWN.program.as_ref().expect("no slips");
    let source = Source::new("job.yaml", SITE);
    let (yaml, _) = read_yaml(&source);
    let mut job = records(&yaml, &source, program);
    judge_job(program, &mut job, &source, day(), |program, job, judgement| {
        let inputs = Inputs { program, job, source: &source, today: day(), unfinished: false, all: false, known: None };
        let mut report = report(&inputs, judgement);
        list.mark("job.yaml", &mut report.findings, day());
        report.findings.iter().filter_map(|finding| finding.listing.as_ref()).for_each(|listing| harmless(&listing.words));
    });
    of_file(
        &list.stale(&BTreeSet::new(), &BTreeSet::from(["job.yaml".to_string()]), day(), &|job| {
            (job.len() % 2 == 0).then(|| job.to_string())
        }),
        &list.source,
    );
    let entries: Vec<_> = list.entries.iter().map(|(entry, _)| entry.clone()).collect();
    let written = punch_file::written(&entries);
    harmless(&written);
    let again = punch_file::read(Source::new("punch-list.yaml", written));
    assert!(again.slips.is_empty(), "what is written of a list has slips: {:?}", again.slips);
    let read: Vec<_> = again.entries.into_iter().map(|(entry, _)| entry).collect();
    assert_eq!(read, entries, "a list that is written and read is another");
}

fn pins(text: String) {
    let pins = Pins::read(Source::new("pins.yaml", text));
    of_file(&pins.slips, &pins.source);
    let program = KNOWN.program.as_ref().expect("no slips");
    let refused = pins.refused(&program.packs);
    let slips: Vec<_> = refused.iter().map(|pack| pins.slip(pack, &pins.against(&refused))).collect();
    of_file(&slips, &pins.source);
}

fn recording(text: &str) {
    let program = KNOWN.program.as_ref().expect("no slips");
    let source = Source::new("job.yaml", "codes: [yard]\ngates:\n  - {id: main, tests: [{id: push, recording: push.csv}]}\n");
    let (yaml, _) = read_yaml(&source);
    let mut job = records(&yaml, &source, program);
    read_recordings(&mut job, program, &|_| Ok(text.to_string()));
    of_file(&job.slips, &source);
    judge_job(program, &mut job, &source, day(), |program, job, judgement| {
        let inputs = Inputs { program, job, source: &source, today: day(), unfinished: false, all: true, known: None };
        harmless(&pintle::report::text::job(&report(&inputs, judgement), &job.slips, false));
    });
}

/// Jobs from a stream: every line belongs to one of them at the most.
fn stream(data: &[u8]) {
    let mut documents = Documents::new(data);
    let mut bytes = 0;
    loop {
        let next = documents.next(3).expect("bytes at hand can be read");
        if next.is_empty() {
            break;
        }
        for document in next {
            harmless(&document.name);
            match document.text {
                Ok(text) => bytes += text.len(),
                Err(why) => harmless(&pintle::report::escape::visible(&why)),
            }
        }
    }
    assert!(bytes <= data.len().min(LARGEST_FILE as usize) + 1, "more came out than went in");
}

/// Kept results: any bytes as the file, and any JSON as a result in it.
fn kept(data: &[u8], text: &str) {
    let place = std::env::temp_dir().join(format!("pintle-kept-{}", std::process::id()));
    let key = [7; 32];
    let value = serde_json::from_str::<serde_json::Value>(text).ok();
    let line = value.as_ref().and_then(|value| Reuse::line(&key, value));
    std::fs::write(&place, line.as_deref().map_or(data, str::as_bytes)).expect("a file in the folder for such files");
    if let Ok(reuse) = Reuse::of_run(&place, [1; 32]) {
        let earlier = reuse.earlier::<serde_json::Value>(&key);
        assert!(value.is_none() || earlier.is_some(), "a result that was kept is lost");
    }
    let _ = std::fs::remove_file(&place);
}

/// The pack that trials are about, and which of its files are its own.
static HOLES: LazyLock<(Program, Vec<FileId>, Sources)> = LazyLock::new(|| {
    let text = include_str!("../trials/packs/holes.rules");
    let mut library = Library::new(vec![Shelf::Memory(vec![("holes".into(), text.into())]), Shelf::Embedded]);
    let (program, _) = compile(&mut library, &[Wanted { name: "holes".into(), span: None }]);
    let files = library.pack("holes").map(|pack| pack.files.clone()).unwrap_or_default();
    (program.expect("no slips"), files, library.sources.clone())
});

/// Trials and their base job: read, run, reported, and offered anew.
pub fn trial(data: &[u8]) {
    let Some((rules, base)) = parts(data) else { return };
    let (program, files, sources) = &*HOLES;
    let mut sources = sources.clone();
    let file = sources.add(Source::new("trials.rules", rules));
    let parsed = read_rules(sources.get(file).expect("added"), file);
    let mut slips = parsed.slips;
    let words = VerdictWords { all: &Rank::WORDS, findings: Rank::finding_words() };
    let trials = check_trials(program, "holes", words, parsed.tree.items, &mut slips);
    let base = match read_base(&Source::new("jobs/site.yaml", base)) {
        Ok(base) => base,
        Err(slip) => return told(&[slip], Files { packs: &sources, job: None }),
    };
    let mut ready = Vec::new();
    for trial in trials.trials.iter().take(4) {
        match Ready::new(program, trial.clone(), &base) {
            Ok(trial) => ready.push(trial),
            Err(more) => slips.extend(more),
        }
    }
    told(&slips, Files { packs: &sources, job: None });
    if slips.is_empty() && !ready.is_empty() {
        let rehearsal = rehearse(program, "holes", files, &ready, &trials.passes);
        let pack = program.pack("holes").expect("its own pack");
        let report = TrialReport {
            pack,
            trials: &ready,
            passes: &trials.passes,
            rehearsal: &rehearsal,
            files: Files { packs: &sources, job: None },
        };
        harmless(&text(&report));
        let lines = trial_lines::lines(&report, 1);
        harmless(&lines);
        lines.lines().for_each(|line| drop(serde_json::from_str::<serde_json::Value>(line).expect("a line of JSON")));
        let bases = BTreeMap::from([("jobs/site.yaml".to_string(), base)]);
        harmless(&offers(program, &ready, &bases, &rehearsal));
    }
}

/// Bytes as a job that lines are added to: it says what it said, and a second time nothing is added.
pub fn survey(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let shelves = || vec![Shelf::Memory(vec![("yard".into(), YARD.into())])];
    let source = Source::new("job.yaml", text);
    let Read::Job(program, mut job) = BENCH.read(&source, shelves(), true) else { return };
    if job.slips.iter().any(|slip| !slip.harmless) {
        return;
    }
    let lines = |source: &Source, job: &mut pintle::job::Job| {
        judge_job(&program, job, source, day(), |program, job, judgement| {
            let open = open(program, job, judgement, day());
            assert_eq!(spots(source, program, job, &open).len(), open.len(), "a spot for each question");
            let known: Vec<String> = judgement.judged.iter().map(|judged| format!("{} {:?}", judged.section, judged.verdict)).collect();
            (add(source, program, job, &open, |open| format!("to be measured, {}", open.number)), known.len())
        })
    };
    let (added, before) = lines(&source, &mut job);
    let after = Source::new("job.yaml", added.text.clone());
    let Read::Job(_, mut again) = BENCH.read(&after, shelves(), true) else { panic!("no job any more:\n{}", added.text) };
    let (twice, now) = lines(&after, &mut again);
    assert_eq!((now, again.records.len()), (before, job.records.len()), "it says something else:\n{}", added.text);
    assert_eq!(twice.text, added.text, "lines are added twice");
}
