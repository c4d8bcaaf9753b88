//! Brings files, packs and judging together: reads a job, finds and compiles its packs once for all jobs that name them,
//! judges, and hands over what a report needs. It must not know how reports look.

use crate::job::codes::codes_of;
use crate::job::record::CodeName;
use crate::job::recording::read_recordings;
use crate::job::yaml::{LARGEST_FILE, Yaml, read_yaml};
use crate::job::{Job, read_job};
use crate::judge::derive::derive;
use crate::judge::variance::variances;
use crate::judge::{Judgement, judge};
use crate::language::check::{Wanted, compile};
use crate::language::library::{Library, Shelf, may_be_file, may_be_folder, pack_name};
use crate::language::minimums::minimum_changes;
use crate::language::program::Program;
use crate::rehearse::witness;
use crate::slip::Slip;
use crate::source::{Files, Source, Sources, read_plain};
use jiff::civil::Date;
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

/// Packs compiled for a list of codes, or the slips that say why not.
#[derive(Default)]
pub struct Compiled {
    /// The program, where the packs have no slips.
    pub program: Option<Arc<Program>>,
    /// Slips of the packs.
    pub slips: Vec<Slip>,
    /// The packs' files.
    pub sources: Sources,
    /// What the packs change in texts that they keep as a minimum; told of a pack that is checked by itself.
    pub minimums: Vec<String>,
}

impl Compiled {
    /// The program, where the packs have no slips; what they have is told on standard error.
    pub fn told(&self) -> Option<&Program> {
        let notices = self.program.iter().flat_map(|program| &program.notices);
        super::tell(self.slips.iter().chain(notices), Files { packs: &self.sources, job: None });
        self.program.as_deref()
    }
}

type Key = (Vec<Shelf>, Vec<String>);

/// Compiled packs, shared by all jobs of a run.
#[derive(Default)]
pub struct Workbench {
    /// Where the user wants packs to be looked for first.
    pub packs: Vec<PathBuf>,
    compiled: Mutex<HashMap<Key, Arc<Compiled>>>,
    shelves: Mutex<HashMap<PathBuf, Vec<Shelf>>>,
}

/// What there is to say of one job file.
pub enum Read {
    /// A job with its slips, ready to be judged.
    Job(Arc<Program>, Box<Job>),
    /// It could not be read so far: slips, and the packs that some of them point into.
    Failed(Vec<Slip>, Arc<Compiled>),
    /// No job at all: a YAML file of something else.
    NoJob,
}

impl Workbench {
    /// A workbench that looks for packs in these places first.
    pub fn new(packs: Vec<PathBuf>) -> Workbench {
        Workbench { packs, ..Workbench::default() }
    }

    /// Where packs for a job in `folder` are looked for, in order.
    pub fn shelves_for(&self, folder: &Path) -> Vec<Shelf> {
        let Ok(mut known) = self.shelves.lock() else { return vec![Shelf::Embedded] };
        if let Some(shelves) = known.get(folder) {
            return shelves.clone();
        }
        let mut shelves: Vec<Shelf> = self.packs.iter().map(|place| shelf_of(place)).collect();
        // The real folder counts, so that a way through `..` finds what stands above the job and nothing else.
        let here = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        let real = std::fs::canonicalize(here).or_else(|_| std::path::absolute(here)).unwrap_or_else(|_| here.to_path_buf());
        let working = std::env::current_dir().and_then(std::fs::canonicalize).unwrap_or_default();
        for rules in real.ancestors().map(|above| above.join("rules")).filter(|rules| may_be_folder(rules)) {
            let shown = rules.strip_prefix(&working).map_or_else(|_| rules.clone(), Path::to_path_buf);
            shelves.push(Shelf::Folder(shown));
        }
        shelves.push(Shelf::Embedded);
        known.insert(folder.to_path_buf(), shelves.clone());
        shelves
    }

    /// Where a pack that is named by its path, and what it adopts, are looked for, in order.
    pub fn shelves_of_pack(&self, path: &Path) -> Vec<Shelf> {
        let folder = path.parent().unwrap_or(Path::new(""));
        let mut shelves = vec![Shelf::Pack(path.to_path_buf()), Shelf::Folder(folder.to_path_buf())];
        shelves.extend(self.shelves_for(folder));
        shelves
    }

    /// The packs for these codes, compiled once.
    pub fn compile(&self, shelves: Vec<Shelf>, names: Vec<String>) -> Arc<Compiled> {
        let key = (shelves, names);
        if let Some(known) = self.compiled.lock().ok().and_then(|compiled| compiled.get(&key).cloned()) {
            return known;
        }
        let compiled = Arc::new(compile_on(key.0.clone(), &key.1));
        match self.compiled.lock() {
            Ok(mut all) => Arc::clone(all.entry(key).or_insert(compiled)),
            Err(_) => compiled,
        }
    }

    /// Reads a job: its YAML, its packs, its records. `named` says that the user named the file.
    pub fn read(&self, source: &Source, shelves: Vec<Shelf>, named: bool) -> Read {
        let (yaml, mut slips) = read_yaml(source);
        let none = || Arc::new(Compiled::default());
        let codes = match codes_of(&yaml) {
            Ok(codes) => codes,
            Err(slip) => {
                let other =
                    yaml.root().is_some_and(|root| ["title", "gates", "permit-date"].iter().all(|key| yaml.get(root, key).is_none()));
                if other && !named && slips.is_empty() {
                    return Read::NoJob;
                }
                if slips.is_empty() {
                    slips.push(slip);
                }
                return Read::Failed(slips, none());
            }
        };
        let compiled = self.compile(shelves, codes.iter().map(|code| code.name.clone()).collect());
        let Some(program) = &compiled.program else {
            slips.extend(compiled.slips.iter().map(|slip| at_code(slip, &codes)));
            return Read::Failed(slips, compiled);
        };
        let mut job = records(&yaml, source, program);
        slips.append(&mut job.slips);
        slips.extend(codes.iter().filter_map(|code| wrong_edition(code, program)));
        slips.sort_by_key(|slip| slip.span.map(|span| span.start));
        job.slips = slips;
        Read::Job(Arc::clone(program), Box::new(job))
    }
}

/// The records of a job: what it states, the recordings beside it, and what follows from both.
pub fn records(yaml: &Yaml, source: &Source, program: &Program) -> Job {
    let mut job = read_job(yaml, program);
    read_recordings(&mut job, program, &|file| beside(source, file));
    derive(program, &mut job);
    job
}

/// Judges a job that has been read, and hands the verdicts to `show`.
pub fn judge_job<T>(
    program: &Program,
    job: &mut Job,
    source: &Source,
    today: Date,
    show: impl FnOnce(&Program, &Job, &Judgement) -> T,
) -> T {
    let (found, slips) = variances(program, job, source);
    job.slips.extend(slips);
    let job: &Job = job;
    let judgement = judge(program, job, &found, today);
    show(program, job, &judgement)
}

fn shelf_of(place: &Path) -> Shelf {
    let own = pack_name(place).map(|name| place.join(format!("{name}.rules")));
    if may_be_file(place) || own.is_some_and(|own| may_be_file(&own)) {
        Shelf::Pack(place.to_path_buf())
    } else {
        Shelf::Folder(place.to_path_buf())
    }
}

/// A pack by itself, with what its author is told of its minimums.
pub fn compile_alone(shelves: Vec<Shelf>, name: &str) -> Compiled {
    let mut library = Library::new(shelves);
    let compiled = compiled_from(&mut library, &[name.to_string()]);
    let minimums = match &compiled.program {
        Some(program) => witness::sentences(program, &minimum_changes(&mut library, name)),
        None => Vec::new(),
    };
    Compiled { sources: library.sources, minimums, ..compiled }
}

fn compile_on(shelves: Vec<Shelf>, names: &[String]) -> Compiled {
    let mut library = Library::new(shelves);
    let compiled = compiled_from(&mut library, names);
    Compiled { sources: library.sources, ..compiled }
}

fn compiled_from(library: &mut Library, names: &[String]) -> Compiled {
    let wanted: Vec<Wanted> = names.iter().map(|name| Wanted { name: name.clone(), span: None }).collect();
    let (program, slips) = compile(library, &wanted);
    Compiled { program: program.map(Arc::new), slips, ..Compiled::default() }
}

/// A slip about a code that is not found stands where this job names it.
fn at_code(slip: &Slip, codes: &[CodeName]) -> Slip {
    let code = codes.iter().find(|code| slip.span.is_none() && slip.message.contains(&format!("`{}`", code.name)));
    match code {
        Some(code) => Slip { span: Some(code.span), label: "named here".into(), ..slip.clone() },
        None => slip.clone(),
    }
}

fn wrong_edition(code: &CodeName, program: &Program) -> Option<Slip> {
    let wanted = code.edition.as_deref()?;
    let pack = program.pack(&code.name)?;
    (pack.edition != wanted).then(|| {
        let slip = Slip::at(
            code.span,
            "wrong-edition",
            format!("the job names edition {wanted} of `{}`; the pack found is edition {}", code.name, pack.edition),
        )
        .label("here");
        slip.hint(format!("found in {}; put the other edition into a folder `rules` nearer to the job or name its place with --packs, or let the job name this one", pack.place))
    })
}

/// The text of a file beside a job; the error is a clause.
fn beside(job: &Source, file: &str) -> Result<String, String> {
    if let Some(text) = job.beside(file) {
        return Ok(text.to_string());
    }
    let Some(folder) = job.folder() else {
        return Err("a job of a stream has no folder; its JSON line brings the text in `beside`, by this name".into());
    };
    let path = folder.join(file);
    // A link could lead out of the folder.
    let meta = std::fs::symlink_metadata(&path).map_err(|error| error.to_string())?;
    if !meta.is_file() {
        return Err("not a plain file".into());
    }
    read_plain(&path, LARGEST_FILE, |size| format!("{size} bytes; it may have at most {LARGEST_FILE}")).and_then(decode)
}

/// Reads the bytes of a job file; the error is a sentence.
pub fn read_file(path: &Path) -> Result<Source, String> {
    let bytes = read_plain(path, LARGEST_FILE, |size| format!("{size} bytes; a job file has at most {LARGEST_FILE}"))?;
    let folder = path.parent().unwrap_or(Path::new(""));
    decode(bytes).map(|text| Source::new(crate::report::escape::path(path), text).kept_in(folder))
}

/// The text of a job file, which is UTF-8.
pub fn decode(bytes: Vec<u8>) -> Result<String, String> {
    let wide = match bytes.as_slice() {
        [0xff, 0xfe, 0, 0, ..] | [_, 0, 0, 0, ..] => Some("UTF-32, little end first"),
        [0, 0, 0xfe, 0xff, ..] | [0, 0, 0, _, ..] => Some("UTF-32, big end first"),
        [0xff, 0xfe, ..] | [_, 0, _, 0, ..] => Some("UTF-16, little end first"),
        [0xfe, 0xff, ..] | [0, _, 0, _, ..] => Some("UTF-16, big end first"),
        _ => None,
    };
    if let Some(wide) = wide {
        return Err(format!("it looks like {wide}; save it as UTF-8"));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
        format!("line {line} is not UTF-8; save the file as UTF-8")
    })
}

/// Section, clause, thing and verdict.
pub type VerdictRow = (String, String, String, String);

/// Verdicts of a job by packs given as text; for tests and for programs that embed this one.
///
/// # Errors
/// The slips of packs or job, one sentence each.
pub fn judge_texts(packs: &[(&str, &str)], codes: &[&str], job: &str, today: Date) -> Result<Vec<VerdictRow>, Vec<String>> {
    let shelf = Shelf::Memory(packs.iter().map(|(name, text)| ((*name).to_string(), (*text).to_string())).collect());
    let bench = Workbench::default();
    let names: Vec<String> = codes.iter().map(|code| (*code).to_string()).collect();
    let source = Source::new("job.yaml", job);
    let compiled = bench.compile(vec![shelf, Shelf::Embedded], names);
    let sentences = |slips: &[Slip]| slips.iter().map(|slip| format!("{}: {}", slip.name, slip.message)).collect::<Vec<_>>();
    let Some(program) = &compiled.program else { return Err(sentences(&compiled.slips)) };
    let (yaml, slips) = read_yaml(&source);
    let mut job = records(&yaml, &source, program);
    job.slips.extend(slips);
    if job.slips.iter().any(|slip| !slip.harmless) {
        return Err(sentences(&job.slips));
    }
    Ok(judge_job(program, &mut job, &source, today, |program, job, judgement| {
        let name = |judged: &crate::judge::Judged| {
            let section = &program.sections[judged.section];
            let thing = crate::judge::judge_section::binding_name(program, job, judged);
            (section.id.clone(), section.norms[judged.norm].label.to_string(), thing, judged.verdict.word().to_string())
        };
        let mut verdicts: Vec<_> = judgement.judged.iter().map(name).collect();
        verdicts.sort();
        verdicts
    }))
}
