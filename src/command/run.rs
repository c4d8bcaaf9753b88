//! One run over jobs and packs: judges them in parallel, and puts what a report makes of them together in a fixed order. It must
//! not know how verdicts come about or how a report looks.

use super::gather::{Gathered, Target, gather};
use super::sink::Sink;
use super::workbench::{Compiled, Read, Workbench, compile_alone, judge_job, read_file};
use super::{complain, punch_list};
use crate::language::library::pack_name;
use crate::language::program::Program;
use crate::report::escape;
use crate::report::findings::{Inputs, report};
use crate::report::form::{Ending, Form, PackReport};
use crate::report::pins::{Pin, Pins};
use crate::report::punch_list::PunchList;
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// What is asked of a run.
pub struct Asked<'a> {
    /// Files and folders.
    pub paths: &'a [PathBuf],
    /// Where packs are looked for first.
    pub packs: &'a [PathBuf],
    /// The day of judging.
    pub today: Date,
    /// How many jobs at once.
    pub threads: Option<usize>,
    /// Whether open verdicts pass.
    pub unfinished: bool,
    /// The punch list, with the folder that it stands in.
    pub known: Option<(&'a PunchList, &'a Path)>,
    /// Files of the run itself, which are no jobs even where they stand among them.
    pub aside: Vec<&'a Path>,
    /// The texts of packs that jobs may be judged by; none where any will do.
    pub pins: Option<&'a Pins>,
}

/// What one target gave.
struct Outcome<P> {
    piece: Option<P>,
    exit: u8,
    judged: bool,
    /// The job as the punch list names it, and the entries that it has.
    listed: Option<(String, Vec<usize>)>,
}

struct Run<'a> {
    asked: &'a Asked<'a>,
    bench: Workbench,
    /// The threads that judge; none where one job at a time is judged.
    pool: Option<rayon::ThreadPool>,
    /// The packs that took part.
    used: Mutex<BTreeSet<Pin>>,
}

/// How a run ended.
pub struct Done {
    /// The exit code.
    pub exit: u8,
    /// The packs that took part.
    pub packs: BTreeSet<Pin>,
}

impl Done {
    /// A run that came to nothing, for this reason.
    fn refused(why: &str) -> Done {
        Done { exit: complain(why), packs: BTreeSet::new() }
    }
}

/// What was met on the way through the targets.
#[derive(Default)]
struct Met {
    exit: u8,
    held: Vec<bool>,
    jobs: BTreeSet<String>,
    entries: BTreeSet<usize>,
}

/// Judges what is asked and writes the report.
pub fn over<F: Form>(asked: &Asked, form: &mut F, sink: Sink) -> Done {
    if let Some(why) = super::missing_packs(asked.packs) {
        return Done::refused(&why);
    }
    let gathered = gather(asked.paths, &asked.aside);
    let (bench, pool) = (Workbench::new(asked.packs.to_vec()), pool(asked.threads, gathered.targets.len()));
    let run = Run { asked, bench, pool, used: Mutex::default() };
    let mut met = Met::default();
    let exit = match run.all(&gathered, form, sink, &mut met) {
        Ok(()) => met.exit,
        Err(why) => complain(&why).max(met.exit),
    };
    Done { exit, packs: run.used.into_inner().unwrap_or_default() }
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

/// Tells a trouble of the run on standard error and in the report.
fn trouble<F: Form>(form: &mut F, text: &mut String, met: &mut Met, what: &str) {
    met.exit = met.exit.max(complain(what));
    text.push_str(&form.trouble(what));
}

impl Run<'_> {
    fn all<F: Form>(&self, gathered: &Gathered, form: &mut F, mut sink: Sink, met: &mut Met) -> Result<(), String> {
        let mut text = form.begin(&self.asked.today.to_string());
        for (path, why) in &gathered.unreadable {
            trouble(form, &mut text, met, &format!("{}: {why}", escape::path(path)));
        }
        for batch in gathered.targets.chunks(form.batch().max(1)) {
            for outcome in self.batch(batch, form) {
                met.exit = met.exit.max(outcome.exit);
                met.held.push(outcome.judged);
                if let Some((job, entries)) = outcome.listed {
                    met.jobs.insert(job);
                    met.entries.extend(entries);
                }
                text.push_str(&outcome.piece.map_or_else(String::new, |piece| form.add(piece)));
            }
            sink.write(&text)?;
            text.clear();
        }
        tell_passed_over(gathered, &met.held);
        for (folder, targets) in &gathered.folders {
            if !targets.iter().any(|at| met.held.get(*at) == Some(&true)) {
                trouble(form, &mut text, met, &nothing_found(folder));
            }
        }
        self.tell_pins(form, &mut text, met);
        self.tell_list(form, &mut text, met);
        let judged = met.held.iter().filter(|held| **held).count();
        text.push_str(&form.end(&Ending { judged, exit: met.exit }));
        sink.write(&text).and_then(|()| sink.finish())
    }

    /// What is wrong with the pins.
    fn tell_pins<F: Form>(&self, form: &mut F, text: &mut String, met: &mut Met) {
        let Some(pins) = self.asked.pins.filter(|pins| !pins.slips.is_empty()) else { return };
        met.exit = met.exit.max(2);
        let piece = form.told(Files { packs: &Sources::default(), job: Some(&pins.source) }, &pins.slips);
        text.push_str(&form.add(piece));
    }

    /// Notes the packs of a program, and tells what the pins have against them.
    fn refused(&self, program: &Program) -> Vec<Slip> {
        if let Ok(mut used) = self.used.lock() {
            used.extend(program.packs.iter().map(Pin::of));
        }
        self.asked.pins.map_or_else(Vec::new, |pins| pins.refuse(&program.packs))
    }

    /// What is wrong with the punch list, and which of its entries are no longer needed.
    fn tell_list<F: Form>(&self, form: &mut F, text: &mut String, met: &mut Met) {
        let Some((list, _)) = self.asked.known else { return };
        let mut slips = list.slips.clone();
        if !slips.is_empty() {
            met.exit = met.exit.max(2);
        }
        slips.extend(list.stale(&met.entries, &met.jobs, self.asked.today));
        let files = Files { packs: &Sources::default(), job: Some(&list.source) };
        if !slips.is_empty() {
            let piece = form.told(files, &slips);
            text.push_str(&form.add(piece));
        }
    }

    /// Judges a batch in parallel; the outcomes come in the order of the targets.
    fn batch<F: Form>(&self, batch: &[Target], form: &F) -> Vec<Outcome<F::Piece>> {
        let one = |target: &Target| self.guarded(target, form);
        match &self.pool {
            Some(pool) => pool.install(|| batch.par_iter().map(one).collect()),
            None => batch.iter().map(one).collect(),
        }
    }

    /// A fault of ours in one job must not hide the others.
    fn guarded<F: Form>(&self, target: &Target, form: &F) -> Outcome<F::Piece> {
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| self.target(target, form)));
        caught.unwrap_or_else(|_| {
            let (Target::Job(path, _) | Target::Pack(path)) = target;
            let what = format!("{}: a fault of this program; please report it with the file", escape::path(path));
            complain(&what);
            let empty = Source::new(escape::path(path), "");
            Outcome { exit: 3, ..failed(form, &empty, &[Slip::of_file("fault", what)], &Sources::default()) }
        })
    }

    fn target<F: Form>(&self, target: &Target, form: &F) -> Outcome<F::Piece> {
        match target {
            Target::Pack(path) => self.pack(path, form),
            Target::Job(path, named) => match read_file(path) {
                Ok(source) => self.job(path, &source, *named, form),
                Err(why) => {
                    let empty = Source::new(escape::path(path), "");
                    let slip = Slip::of_file("unreadable", format!("{}: {why}", escape::path(path)));
                    failed(form, &empty, &[slip], &Sources::default())
                }
            },
        }
    }

    fn job<F: Form>(&self, path: &Path, source: &Source, named: bool, form: &F) -> Outcome<F::Piece> {
        let folder = path.parent().unwrap_or(Path::new(""));
        match self.bench.read(source, self.bench.shelves_for(folder), named) {
            Read::NoJob => Outcome { piece: None, exit: 0, judged: false, listed: None },
            Read::Failed(slips, compiled) => failed(form, source, &slips, &compiled.sources),
            Read::Job(compiled, mut job) => {
                let Some(program) = &compiled.program else { return failed(form, source, &job.slips, &compiled.sources) };
                let refused = self.refused(program);
                if !refused.is_empty() {
                    return failed(form, source, &refused, &compiled.sources);
                }
                judge_job(program, &mut job, source, self.asked.today, |program, job, judgement| {
                    let Asked { today, unfinished, .. } = *self.asked;
                    let known = self.asked.known.map(|(list, folder)| (list, punch_list::job_key(folder, path)));
                    let inputs = Inputs { program, job, source, today, unfinished, all: form.wants_all(), known };
                    let report = report(&inputs, judgement);
                    // Of a job that could not be read as a whole, nobody knows what is no longer found.
                    let whole = !job.slips.iter().any(|slip| !slip.harmless);
                    let listed = report.key.clone().filter(|_| whole).map(|key| (key, report.entries.clone()));
                    Outcome { piece: Some(form.job(&report, &job.slips)), exit: report.exit, judged: true, listed }
                })
            }
        }
    }

    /// Checks a pack by itself: its slips, or what it holds.
    fn pack<F: Form>(&self, path: &Path, form: &F) -> Outcome<F::Piece> {
        let compiled = compile_alone(self.bench.shelves_of_pack(path), pack_name(path).unwrap_or(""));
        let Compiled { program, slips, sources, minimums } = &compiled;
        let mut told = program.as_ref().map_or(slips, |program| &program.notices).clone();
        let refused = program.as_ref().map_or_else(Vec::new, |program| self.refused(program));
        let program = program.as_ref().filter(|_| refused.is_empty());
        told.extend(refused);
        let files = Files { packs: sources, job: None };
        let piece = form.pack(&PackReport { path: &escape::path(path), files, program, slips: &told, minimums });
        Outcome { piece: Some(piece), exit: if program.is_some() { 0 } else { 2 }, judged: true, listed: None }
    }
}

fn failed<F: Form>(form: &F, source: &Source, told: &[Slip], packs: &Sources) -> Outcome<F::Piece> {
    let files = Files { packs, job: Some(source) };
    Outcome { piece: Some(form.unjudged(files, told)), exit: 2, judged: true, listed: None }
}
