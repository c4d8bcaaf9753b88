//! Laws: what holds for every input. Made-up inputs are drawn by proptest with a fixed seed, so that a run is the same
//! everywhere; `PINTLE_CASES=5000` draws more, `PINTLE_SEED=7` draws others.
//!
//! `hostile` reads whatever may stand in a file, `broken` breaks real files for it, `render` draws any place, `linear` measures
//! time, `yaml` compares with another YAML reader, `same` rewrites jobs and packs without changing what they say, `learn` takes
//! facts away and tightens limits, `lifted` asks built-ins on bounds, `neat` lays rule files out, `miss` keeps what a punch list
//! keeps, `suite` reads the cases of the public YAML test suite, `tables` looks up by keys in doubt. `tree` reads and writes job files for them.

mod broken;
mod hostile;
mod learn;
mod lifted;
mod linear;
mod miss;
mod neat;
mod render;
mod same;
mod suite;
mod tables;
mod tree;
mod yaml;

use jiff::civil::Date;
use pintle::command::workbench::{Compiled, Workbench, judge_job};
use pintle::job::yaml::read_yaml;
use pintle::job::{Job, read_job};
use pintle::judge::judge_section::binding_name;
use pintle::language::library::Shelf;
use pintle::language::program::Program;
use pintle::report::escape::is_unsafe;
use pintle::report::findings::{Inputs, report};
use pintle::report::{lines, plain, text};
use pintle::source::Source;
use proptest::test_runner::{Config, RngSeed};
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

/// The first character of a text that a terminal or a reader would obey, line ends aside.
fn obeyed(text: &str) -> Option<char> {
    text.chars().find(|c| is_unsafe(*c) && *c != '\n')
}

/// How proptest runs: always the same cases.
fn config(cases: u32) -> Config {
    let stated = |name: &str| std::env::var(name).ok().and_then(|number| number.parse().ok());
    let (cases, seed) = (stated("PINTLE_CASES").unwrap_or(cases), stated("PINTLE_SEED").unwrap_or(40_617));
    Config { cases, failure_persistence: None, rng_seed: RngSeed::Fixed(u64::from(seed)), max_shrink_iters: 4000, ..Config::default() }
}

/// The choices of a case, one after the other; the same ones again when they run out. All noughts is the plainest case.
struct Choices<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Choices<'a> {
    fn new(bytes: &'a [u8]) -> Self {
        Choices { bytes, at: 0 }
    }

    /// One of so many.
    fn of(&mut self, many: usize) -> usize {
        let byte = self.bytes.get(self.at % self.bytes.len().max(1)).copied().unwrap_or(0);
        self.at += 1;
        usize::from(byte) % many.max(1)
    }

    /// True in so many of sixteen.
    fn chance(&mut self, of_sixteen: usize) -> bool {
        // Nought says no, so that a case shrinks to one in which nothing is changed.
        self.of(16) > 15 - of_sixteen.min(15)
    }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The text of an embedded pack as one file. Trials stand below it and are no part of it.
fn pack_text(name: &str) -> String {
    let folder = root().join("rules").join(name);
    let files = files_below(&format!("rules/{name}"), "rules").into_iter().filter(|(path, _)| path.parent() == Some(folder.as_path()));
    files.map(|(_, text)| text + "\n").collect()
}

/// Every file below a folder whose name ends so, in the order of the names.
fn files_below(folder: &str, end: &str) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()) {
            if entry.is_dir() {
                folders.push(entry);
            } else if entry.extension().is_some_and(|known| known == end) {
                let text = std::fs::read_to_string(&entry).unwrap();
                found.push((entry, text));
            }
        }
    }
    found.sort();
    found
}

/// Section, clause, thing, verdict.
type Verdicts = Vec<(String, String, String, String)>;

/// Judges the text of a job, or tells the slips of it.
fn verdicts(program: &Program, text: &str, today: Date) -> Result<Verdicts, Vec<String>> {
    let source = Source::new("job.yaml", text);
    let (yaml, slips) = read_yaml(&source);
    let mut job = read_job(&yaml, program);
    job.slips.extend(slips);
    if job.slips.iter().any(|slip| !slip.harmless) {
        let sentence = |slip: &pintle::slip::Slip| {
            format!("{}: {} {:?}", slip.name, slip.message, slip.span.map(|span| source.place(span.start as usize)))
        };
        return Err(job.slips.iter().map(sentence).collect());
    }
    Ok(judge_job(program, &mut job, &source, today, |program, job, judgement| {
        let mut verdicts: Verdicts = judgement
            .judged
            .iter()
            .map(|judged| {
                let section = &program.sections[judged.section];
                let clause = section.norms[judged.norm].label.to_string();
                (section.id.clone(), clause, binding_name(program, job, judged), judged.verdict.word().to_string())
            })
            .collect();
        verdicts.sort();
        verdicts
    }))
}

/// Judges a job that has been read and writes every report of it; what a terminal would obey, or a line that is not JSON, fails.
fn all_reports(program: &Program, job: &mut Job, source: &Source, today: Date) {
    judge_job(program, job, source, today, |program, job, judgement| {
        for all in [false, true] {
            let report = report(&Inputs { program, job, source, today, unfinished: false, all, known: None }, judgement);
            for text in [text::job(&report, &job.slips, false), plain::job(&report, &job.slips)] {
                assert!(obeyed(&text).is_none(), "{:?} in a report:\n{text}", obeyed(&text));
            }
            for line in lines::job(&report, &job.slips).lines() {
                serde_json::from_str::<serde_json::Value>(line).unwrap_or_else(|error| panic!("{error}: {line}"));
            }
        }
    });
}

/// What two lists of verdicts do not share, to read in a failure.
fn difference(one: &Verdicts, other: &Verdicts) -> String {
    let lines = |mark: &str, list: &Verdicts, other: &Verdicts| -> String {
        list.iter()
            .filter(|it| !other.contains(it))
            .map(|(section, clause, thing, word)| format!("{mark} {section} ({clause}) {thing}: {word}\n"))
            .collect()
    };
    lines("-", one, other) + &lines("+", other, one)
}

/// Packs given as text, compiled.
fn compiled(packs: &[(&str, &str)], code: &str) -> Arc<Compiled> {
    let memory = packs.iter().map(|(name, text)| ((*name).to_string(), (*text).to_string())).collect();
    Workbench::default().compile(vec![Shelf::Memory(memory), Shelf::Embedded], vec![code.to_string()])
}

fn sentences(compiled: &Compiled) -> String {
    compiled.slips.iter().map(|slip| format!("{}: {}", slip.name, slip.message)).collect::<Vec<_>>().join("\n")
}

/// An example job with the packs that it names.
pub(crate) struct Example {
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) compiled: Arc<Compiled>,
}

impl Example {
    fn program(&self) -> &Program {
        self.compiled.program.as_ref().unwrap_or_else(|| panic!("{}: {}", self.name, sentences(&self.compiled)))
    }
}

/// The day on which the example jobs are judged.
pub(crate) fn day() -> Date {
    Date::constant(2026, 4, 1)
}

/// Every example job whose packs and text have no slips, on the county's and the embedded packs.
pub(crate) static EXAMPLES: LazyLock<Vec<Example>> = LazyLock::new(|| {
    let bench = Workbench::default();
    let jobs = files_below("examples/jobs", "yaml").into_iter().filter_map(|(path, text)| {
        let source = Source::new("job.yaml", text.clone());
        let (yaml, _) = read_yaml(&source);
        let codes = pintle::job::codes::codes_of(&yaml).ok()?.into_iter().map(|code| code.name).collect();
        let shelves = bench.shelves_for(path.parent()?).into_iter().chain([Shelf::Folder(root().join("examples/rules"))]).collect();
        let compiled = bench.compile(shelves, codes);
        let name = path.strip_prefix(root()).ok()?.display().to_string();
        let fine = compiled.program.as_ref().is_some_and(|program| verdicts(program, &text, day()).is_ok());
        fine.then_some(Example { name, text, compiled })
    });
    let jobs: Vec<Example> = jobs.collect();
    assert!(jobs.len() > 10, "only {} example jobs can be judged", jobs.len());
    jobs
});
