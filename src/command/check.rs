//! `pintle check`: judges job files and checks packs, in parallel and in a fixed order. It must not know how verdicts come
//! about.

use super::gather::{Gathered, Target, gather};
use super::workbench::{Compiled, Read, Workbench, judge_job, read_file};
use super::{Colour, complain, standard_failed};
use crate::language::library::{Shelf, pack_name};
use crate::report::findings::{Inputs, report};
use crate::report::totals::CAUTION;
use crate::report::{escape, excerpt, lines, plain, slips, text};
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use rayon::prelude::*;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Jobs judged before their reports are written; it bounds the memory of a large folder.
const BATCH: usize = 128;

const EXAMPLES: &str = "Examples:
  pintle check examples/jobs/juniper-yard.yaml
  pintle check jobs/ --as plain --unfinished
  pintle check jobs/ --packs ordinances/ --as lines --out report.jsonl
  pintle check ordinances/hasp-county.rules        (checks a pack by itself)";

/// Options of `pintle check`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Job files, folders of them, or packs
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub paths: Vec<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    pub packs: Vec<PathBuf>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    pub view: View,
    /// Write the report to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// The day of judging, as year-month-day; by itself, the day of the clock
    #[arg(long, value_name = "DAY")]
    pub today: Option<Date>,
    /// How many jobs to judge at once; by itself, as many as the machine has cores
    #[arg(long, value_name = "NUMBER")]
    pub threads: Option<usize>,
    /// Let open verdicts pass, while a survey is going on
    #[arg(long)]
    pub unfinished: bool,
    /// Whether to use colour
    #[arg(long, value_enum, default_value = "auto", value_name = "WHEN")]
    pub colour: Colour,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// Findings drawn at their lines
    Text,
    /// One sentence a line, for logs and screen readers
    Plain,
    /// One JSON object a line; `pintle schema lines` describes it
    Lines,
}

/// What one target gave.
struct Outcome {
    text: String,
    exit: u8,
    judged: bool,
}

struct Run<'a> {
    options: &'a Options,
    bench: Workbench,
    today: Date,
    colour: bool,
    /// The threads that judge; none where one job at a time is judged.
    pool: Option<rayon::ThreadPool>,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(out) = &options.out
        && let Some(why) = refuse_out(out, &options.paths)
    {
        return complain(&why);
    }
    let today = options.today.unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let colour = options.colour.wanted() && options.out.is_none();
    let missing = options.packs.iter().find(|place| !place.exists());
    if let Some(place) = missing {
        return complain(&format!("--packs {}: there is no such file or folder", escape::path(place)));
    }
    let gathered = gather(&options.paths);
    let pool = pool(options.threads, gathered.targets.len());
    let run = Run { options, bench: Workbench::new(options.packs.clone()), today, colour, pool };
    let mut report = String::new();
    if options.view == View::Lines {
        report.push_str(&lines::begin(&today.to_string()));
    }
    let mut exit = 0;
    for (path, why) in &gathered.unreadable {
        exit = complain(&format!("{}: {why}", escape::path(path)));
    }
    let mut sink = match Sink::open(options.out.as_deref()) {
        Ok(sink) => sink,
        Err(why) => return complain(&why),
    };
    let mut held: Vec<bool> = Vec::new();
    for batch in gathered.targets.chunks(BATCH) {
        for outcome in run.batch(batch) {
            exit = exit.max(outcome.exit);
            held.push(outcome.judged);
            report.push_str(&outcome.text);
        }
        if let Err(why) = sink.write(&report) {
            return complain(&why).max(exit);
        }
        report.clear();
    }
    let judged = held.iter().filter(|held| **held).count();
    tell_passed_over(&gathered, &held);
    for (folder, targets) in &gathered.folders {
        if !targets.iter().any(|at| held.get(*at) == Some(&true)) {
            exit = exit.max(complain(&nothing_found(folder)));
        }
    }
    report.push_str(&run.ending(judged, exit));
    if let Err(why) = sink.write(&report).and_then(|()| sink.finish()) {
        return complain(&why).max(exit);
    }
    exit
}

/// Threads for so many targets, made once a run; none are needed for one target or one thread.
fn pool(threads: Option<usize>, targets: usize) -> Option<rayon::ThreadPool> {
    if targets < 2 || threads == Some(1) {
        return None;
    }
    rayon::ThreadPoolBuilder::new().num_threads(threads.unwrap_or(0)).stack_size(8 * 1024 * 1024).build().ok()
}

fn nothing_found(folder: &Path) -> String {
    format!("no job and no pack found in {}; jobs are .yaml files with `codes:`, packs are .rules files", escape::path(folder))
}

/// Tells the first few YAML files that hold no job, so that a job with a misspelt key is not lost among them.
fn tell_passed_over(gathered: &Gathered, held: &[bool]) {
    let passed = gathered.targets.iter().zip(held).filter(|(_, held)| !**held);
    let names: Vec<String> = passed.map(|(Target::Job(path, _) | Target::Pack(path), _)| escape::path(path)).collect();
    if !names.is_empty() {
        let more = names.len().saturating_sub(5);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let _ = complain(&format!("no job in {}{more}: passed over", names.iter().take(5).cloned().collect::<Vec<_>>().join(", ")));
    }
}

/// A report must not take the place of what it reports on.
pub(super) fn refuse_out(out: &Path, inputs: &[PathBuf]) -> Option<String> {
    if out.is_dir() {
        return Some(format!("--out {}: a folder stands there", escape::path(out)));
    }
    if out.exists() && !out.is_file() {
        return Some(format!("--out {}: something that is no plain file stands there", escape::path(out)));
    }
    // A report is never kept under such a name; what stands there is somebody's job or pack.
    let kept = out.extension().is_some_and(|end| ["yaml", "yml", "rules"].iter().any(|known| end.eq_ignore_ascii_case(known)));
    if kept && out.exists() {
        return Some(format!("--out {}: a job or a pack stands there", escape::path(out)));
    }
    let same =
        |input: &PathBuf| std::fs::canonicalize(input).ok().is_some_and(|input| std::fs::canonicalize(out).is_ok_and(|out| out == input));
    inputs.iter().any(same).then(|| format!("--out {}: that is one of the files to check", escape::path(out)))
}

impl Run<'_> {
    /// Judges a batch in parallel; the outcomes come in the order of the targets.
    fn batch(&self, batch: &[Target]) -> Vec<Outcome> {
        let one = |target: &Target| self.guarded(target);
        match &self.pool {
            Some(pool) => pool.install(|| batch.par_iter().map(one).collect()),
            None => batch.iter().map(one).collect(),
        }
    }

    /// A fault of ours in one job must not hide the others.
    fn guarded(&self, target: &Target) -> Outcome {
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| self.target(target)));
        caught.unwrap_or_else(|_| {
            let (Target::Job(path, _) | Target::Pack(path)) = target;
            complain(&format!("{}: a fault of this program; please report it with the file", escape::path(path)));
            Outcome { text: String::new(), exit: 3, judged: true }
        })
    }

    fn target(&self, target: &Target) -> Outcome {
        match target {
            Target::Pack(path) => self.pack(path),
            Target::Job(path, named) => match read_file(path) {
                Ok(source) => self.job(path, &source, *named),
                Err(why) => {
                    let empty = Source::new(escape::path(path), "");
                    let slip = Slip::of_file("unreadable", format!("{}: {why}", escape::path(path)));
                    self.failed(&empty, &[slip], &Sources::default())
                }
            },
        }
    }

    fn job(&self, path: &Path, source: &Source, named: bool) -> Outcome {
        let folder = path.parent().unwrap_or(Path::new(""));
        match self.bench.read(source, self.bench.shelves_for(folder), named) {
            Read::NoJob => Outcome { text: String::new(), exit: 0, judged: false },
            Read::Failed(slips, compiled) => self.failed(source, &slips, &compiled.sources),
            Read::Job(compiled, mut job) => match &compiled.program {
                Some(program) => judge_job(program, &mut job, source, self.today, |program, job, judgement| {
                    let all = self.options.view == View::Lines;
                    let inputs = Inputs { program, job, source, today: self.today, unfinished: self.options.unfinished, all };
                    let report = report(&inputs, judgement);
                    let text = match self.options.view {
                        View::Text => text::job(&report, &job.slips, self.colour) + "\n",
                        View::Plain => plain::job(&report, &job.slips),
                        View::Lines => lines::job(&report, &job.slips),
                    };
                    Outcome { text, exit: report.exit, judged: true }
                }),
                None => self.failed(source, &job.slips, &compiled.sources),
            },
        }
    }

    fn failed(&self, source: &Source, told: &[Slip], packs: &Sources) -> Outcome {
        let files = Files { packs, job: Some(source) };
        let text = match self.options.view {
            View::Text => text::unjudged(files, told, self.colour) + "\n",
            View::Plain => plain::unjudged(files, told),
            View::Lines => lines::unjudged(files, told),
        };
        Outcome { text, exit: 2, judged: true }
    }

    /// Checks a pack by itself: its slips, or what it holds.
    fn pack(&self, path: &Path) -> Outcome {
        let folder = path.parent().unwrap_or(Path::new(""));
        let mut shelves = vec![Shelf::Pack(path.to_path_buf()), Shelf::Folder(folder.to_path_buf())];
        shelves.extend(self.bench.shelves_for(folder));
        let name = pack_name(path).unwrap_or("").to_string();
        let compiled = self.bench.compile(shelves, vec![name]);
        let told: Vec<Slip> = match &compiled.program {
            Some(program) => program.notices.clone(),
            None => compiled.slips.clone(),
        };
        let files = Files { packs: &compiled.sources, job: None };
        let exit = if compiled.program.is_some() { 0 } else { 2 };
        let view = self.options.view;
        let mut text = String::new();
        for slip in &told {
            match view {
                View::Text => text.push_str(&(slips::drawn(slip, files, self.colour) + "\n")),
                View::Plain => text.push_str(&slips::sentence(slip, files)),
                View::Lines => text.push_str(&lines::unjudged(files, std::slice::from_ref(slip))),
            }
        }
        if view != View::Lines {
            let words = pack_words(path, &compiled);
            text.push_str(&if view == View::Text {
                excerpt::under("pack", &words) + "\n"
            } else {
                format!("{}\n", escape::visible(&words))
            });
        }
        Outcome { text, exit, judged: true }
    }

    fn ending(&self, judged: usize, exit: u8) -> String {
        match self.options.view {
            View::Text => excerpt::under("caution", CAUTION),
            View::Plain => format!("caution: {CAUTION}\n"),
            View::Lines => lines::end(judged, exit),
        }
    }
}

fn pack_words(path: &Path, compiled: &Compiled) -> String {
    let Some(program) = &compiled.program else { return format!("{}: slips to put right", escape::path(path)) };
    let own: Vec<&crate::language::program::PackInfo> = program.codes.iter().filter_map(|code| program.pack(&code.name)).collect();
    let (name, edition, hash) = own.first().map_or(("", "", ""), |pack| (pack.name.as_str(), pack.edition.as_str(), pack.hash.as_str()));
    let prefix = format!("{name}/");
    let sections = program.sections.iter().filter(|section| section.floor_of.is_none());
    let (mine, all) = (sections.clone().filter(|section| section.id.starts_with(&prefix)).count(), sections.count());
    format!("{}: {name} {edition} [{hash}] has no slips; {mine} sections of its own, {all} with what it adopts", escape::path(path))
}

/// Where the report goes: standard output, or a file that is complete or not there at all.
pub(super) enum Sink {
    Standard,
    File { to: PathBuf, part: PathBuf, file: std::fs::File },
}

impl Sink {
    pub(super) fn open(out: Option<&Path>) -> Result<Sink, String> {
        let Some(out) = out else { return Ok(Sink::Standard) };
        let name = out.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let part = out.with_file_name(format!(".{name}.part-{}", std::process::id()));
        let file =
            std::fs::File::create(&part).map_err(|error| format!("the report cannot be written to {}: {error}", escape::path(out)))?;
        Ok(Sink::File { to: out.to_path_buf(), part, file })
    }

    pub(super) fn write(&mut self, text: &str) -> Result<(), String> {
        match self {
            Sink::Standard => std::io::stdout().lock().write_all(text.as_bytes()).map_err(|error| standard_failed(&error)),
            Sink::File { to, part, file } => file.write_all(text.as_bytes()).map_err(|error| {
                let _ = std::fs::remove_file(part);
                format!("the report cannot be written to {}: {error}", escape::path(to))
            }),
        }
    }

    pub(super) fn finish(self) -> Result<(), String> {
        match self {
            Sink::Standard => std::io::stdout().lock().flush().map_err(|error| standard_failed(&error)),
            Sink::File { to, part, file } => {
                let done = file.sync_all().and_then(|()| std::fs::rename(&part, &to));
                done.map_err(|error| {
                    let _ = std::fs::remove_file(&part);
                    format!("the report cannot be written to {}: {error}", escape::path(&to))
                })
            }
        }
    }
}
