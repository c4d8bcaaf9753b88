//! One run over jobs and packs: judges them in parallel, and puts what a report makes of them together in a fixed order. It must
//! not know how verdicts come about or how a report looks.

use super::gather::{Gathered, Target, gather, mark};
use super::reuse::{Key, Reuse};
use super::sink::Sink;
use super::stream::{Document, Documents};
use super::workbench::{Compiled, Read, Workbench, compile_alone, decode, judge_job, read_file};

use super::{complain, punch_list};
use crate::language::library::{Shelf, pack_name};
use crate::language::program::Program;
use crate::quantity::Units;
use crate::report::ends::{Counted, End, Tally};
use crate::report::escape;
use crate::report::findings::{Inputs, report};
use crate::report::form::{Ending, Form, PackReport};
use crate::report::pins::{Pin, Pins};
use crate::report::punch_list::PunchList;
use crate::slip::{Slip, first_few};
use crate::source::{Files, Source, Sources};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
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
    /// The units of every number.
    pub units: Units,
    /// The punch list, with the folder that it stands in.
    pub known: Option<(&'a PunchList, &'a Path)>,
    /// Files of the run itself, which are no jobs even where they stand among them.
    pub aside: Vec<&'a Path>,
    /// The texts of packs that jobs may be judged by; none where any will do.
    pub pins: Option<&'a Pins>,
    /// Whether jobs come on standard input, and not as files.
    pub streamed: bool,
}

/// What one target gave.
#[derive(Serialize, Deserialize)]
struct Outcome<P> {
    piece: Option<P>,
    exit: u8,
    /// What is counted of it; nothing where it is no job.
    counted: Option<Counted>,
    /// The job as the punch list names it, and the entries that it has.
    listed: Option<(String, Vec<usize>)>,
    /// The packs because of which the pins forbid to judge it.
    against: Vec<Pin>,
    /// Whether it rests on files beside the job, which a key does not hold.
    #[serde(skip)]
    rests_on_files: bool,
    /// The line that keeps it for the next run.
    #[serde(skip)]
    line: Option<String>,
}

/// Results that are kept from one run to the next, of a view whose pieces can be written down.
pub struct Kept<P> {
    reuse: Reuse,
    earlier: fn(&Reuse, &Key) -> Option<Outcome<P>>,
    line: fn(&Key, &Outcome<P>) -> Option<String>,
}

impl<P: Serialize + DeserializeOwned> Kept<P> {
    /// Results in an open file.
    pub fn new(reuse: Reuse) -> Kept<P> {
        Kept { reuse, earlier: |reuse, key| reuse.earlier(key), line: |key, outcome| Reuse::line(key, outcome) }
    }
}

struct Run<'a, P> {
    asked: &'a Asked<'a>,
    bench: Workbench,
    /// The threads that judge; none where one job at a time is judged.
    pool: Option<rayon::ThreadPool>,
    /// The packs that took part.
    used: Mutex<BTreeSet<Pin>>,
    kept: Option<Kept<P>>,
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
    judged: usize,
    jobs: BTreeSet<String>,
    entries: BTreeSet<usize>,
    tally: Tally,
    /// Packs that are not as pinned, with how many files were not judged because of each, and the first names.
    against: BTreeMap<Pin, (usize, Vec<String>)>,
}

impl<P> Outcome<P> {
    /// A target of which nothing is known but its piece and its exit code.
    fn plain(piece: Option<P>, exit: u8, counted: Option<Counted>) -> Outcome<P> {
        Outcome { piece, exit, counted, listed: None, against: Vec::new(), rests_on_files: false, line: None }
    }
}

/// Judges what is asked and writes the report.
pub fn over<F: Form>(asked: &Asked, form: &mut F, sink: Sink, kept: Option<Kept<F::Piece>>) -> Done {
    if let Some(why) = super::missing_packs(asked.packs) {
        return Done::refused(&why);
    }
    let gathered = if asked.streamed { Gathered::default() } else { gather(asked.paths, &asked.aside) };
    let targets = if asked.streamed { usize::MAX } else { gathered.targets.len() };
    let (bench, pool) = (Workbench::new(asked.packs.to_vec()), pool(asked.threads, targets));
    let mut run = Run { asked, bench, pool, used: Mutex::default(), kept };
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
    let left_out: Vec<String> = gathered.left_out.iter().map(|path| escape::path(path)).collect();
    if !names.is_empty() {
        let _ = complain(&format!("no job in {}: passed over", first_few(&names, MOST_NAMES, ',')));
    }
    if !left_out.is_empty() {
        let _ = complain(&format!(
            "{}: not looked at, since in a folder neither links to folders nor names that begin with a dot are followed; name it to have it checked",
            first_few(&left_out, MOST_NAMES, ',')
        ));
    }
}

/// Most names that one sentence lists.
const MOST_NAMES: usize = 5;

/// Tells a trouble of the run on standard error and in the report.
fn trouble<F: Form>(form: &mut F, text: &mut String, met: &mut Met, what: &str) {
    met.exit = met.exit.max(complain(what));
    met.tally.troubles += 1;
    text.push_str(&form.trouble(what));
}

impl<P: Send> Run<'_, P> {
    fn all<F: Form<Piece = P>>(&mut self, gathered: &Gathered, form: &mut F, mut sink: Sink, met: &mut Met) -> Result<(), String> {
        let mut text = form.begin(&self.asked.today.to_string());
        for (path, why) in &gathered.unreadable {
            trouble(form, &mut text, met, &format!("{}: {why}", escape::path(path)));
        }
        for batch in gathered.targets.chunks(form.batch().max(1)) {
            let outcomes = self.batch(batch, form, &|target| self.target(target, form), &shown);
            met.held.extend(outcomes.iter().map(|outcome| outcome.counted.is_some()));
            self.take(outcomes, &mut batch.iter().map(shown), form, &mut sink, &mut text, met)?;
        }
        if self.asked.streamed {
            self.stream(form, &mut sink, &mut text, met)?;
        }
        tell_passed_over(gathered, &met.held);
        for (folder, targets) in &gathered.folders {
            if !targets.iter().any(|at| met.held.get(*at) == Some(&true)) {
                trouble(form, &mut text, met, &nothing_found(folder));
            }
        }
        self.tell_pins(form, &mut text, met);
        self.tell_list(form, &mut text, met);
        text.push_str(&form.end(&Ending { judged: met.judged, exit: met.exit, tally: met.tally }));
        sink.write(&text).and_then(|()| sink.finish())?;
        self.kept.take().map_or(Ok(()), |kept| kept.reuse.finish())
    }

    /// Adds outcomes to the report, in order.
    fn take<F: Form<Piece = P>>(
        &mut self,
        outcomes: Vec<Outcome<P>>,
        names: &mut dyn Iterator<Item = String>,
        form: &mut F,
        sink: &mut Sink,
        text: &mut String,
        met: &mut Met,
    ) -> Result<(), String> {
        let mut lines = String::new();
        for (outcome, name) in outcomes.into_iter().zip(names) {
            lines.push_str(outcome.line.as_deref().unwrap_or(""));
            met.exit = met.exit.max(outcome.exit);
            met.judged += usize::from(outcome.counted.is_some());
            outcome.counted.into_iter().for_each(|counted| met.tally.count(counted));
            for pack in outcome.against {
                let (number, names) = met.against.entry(pack).or_default();
                *number += 1;
                if *number <= MOST_NAMES {
                    names.push(name.clone());
                }
            }
            if let Some((job, entries)) = outcome.listed {
                met.jobs.insert(job);
                met.entries.extend(entries);
            }
            text.push_str(&outcome.piece.map_or_else(String::new, |piece| form.add(piece)));
        }
        sink.write(text)?;
        text.clear();
        self.kept.as_mut().map_or(Ok(()), |kept| kept.reuse.keep(&lines))
    }

    /// Judges the jobs on standard input, a few at a time.
    fn stream<F: Form<Piece = P>>(&mut self, form: &mut F, sink: &mut Sink, text: &mut String, met: &mut Met) -> Result<(), String> {
        let mut documents = Documents::new(std::io::stdin().lock());
        let mut names = BTreeSet::new();
        loop {
            let batch = documents.next(form.batch().max(1))?;
            if batch.is_empty() {
                break;
            }
            // Whoever sorts the results by name would take one job for the other.
            for twin in batch.iter().filter(|document| !names.insert(mark(document.name.as_bytes()))) {
                trouble(form, text, met, &format!("two jobs of the stream are called {}; give each a name of its own", twin.name));
            }
            let outcomes = self.batch(&batch, form, &|document| self.document(document, form), &|document| document.name.clone());
            self.take(outcomes, &mut batch.iter().map(|document| document.name.clone()), form, sink, text, met)?;
        }
        if met.judged == 0 {
            trouble(form, text, met, "no job on standard input; YAML documents stand behind lines `--- # NAME`");
        }
        Ok(())
    }

    /// A job that came in a stream. Its name is no path: what stands beside it is not known.
    fn document<F: Form<Piece = P>>(&self, document: &Document, form: &F) -> Outcome<P> {
        match document.text.clone().and_then(decode) {
            Ok(text) => self.job_or_earlier(
                Path::new(&document.name),
                &Source::new(document.name.as_str(), text).come_with(document.beside.clone()),
                true,
                form,
            ),
            Err(why) => {
                let slip = Slip::of_file("unreadable", format!("{}: {why}", document.name));
                failed(form, &Source::new(document.name.as_str(), ""), &[slip], &Sources::default())
            }
        }
    }

    /// What is wrong with the pins, and what they have against packs: once a pack, however many jobs are judged by it.
    fn tell_pins<F: Form<Piece = P>>(&self, form: &mut F, text: &mut String, met: &mut Met) {
        let Some(pins) = self.asked.pins else { return };
        let against = met.against.iter().map(|(pack, (number, names))| {
            let files = if *number == 1 { "file is" } else { "files are" };
            // No more than a few names are kept of so many files.
            let more = number.saturating_sub(names.len());
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            pins.slip(pack, &format!("{number} {files} not judged: {}{more}", names.join(", ")))
        });
        let slips: Vec<Slip> = pins.slips.iter().cloned().chain(against).collect();
        if slips.is_empty() {
            return;
        }
        met.exit = met.exit.max(2);
        met.tally.troubles += slips.len();
        let piece = form.told(Files { packs: &Sources::default(), job: Some(&pins.source) }, &slips);
        text.push_str(&form.add(piece));
    }

    /// Notes the packs of a program; the result are those that the pins forbid to judge by.
    fn refused(&self, program: &Program) -> Vec<Pin> {
        if let Ok(mut used) = self.used.lock() {
            used.extend(program.packs.iter().map(Pin::of));
        }
        self.asked.pins.map_or_else(Vec::new, |pins| pins.refused(&program.packs))
    }

    /// Why nothing may be judged by these packs.
    fn against(&self, packs: &[Pin]) -> String {
        self.asked.pins.map_or_else(String::new, |pins| pins.against(packs))
    }

    /// What is wrong with the punch list, and which of its entries are no longer needed.
    fn tell_list<F: Form<Piece = P>>(&self, form: &mut F, text: &mut String, met: &mut Met) {
        let Some((list, folder)) = self.asked.known else { return };
        let mut slips = list.slips.clone();
        if !slips.is_empty() {
            met.exit = met.exit.max(2);
            met.tally.troubles += slips.len();
        }
        slips.extend(list.stale(&met.entries, &met.jobs, self.asked.today, &|job| self.named(folder, job)));
        let files = Files { packs: &Sources::default(), job: Some(&list.source) };
        if !slips.is_empty() {
            let piece = form.told(files, &slips);
            text.push_str(&form.add(piece));
        }
    }

    /// What the list must call the file that a name on it leads to; nothing where there is none. Of a stream only that is known which came.
    fn named(&self, folder: &Path, job: &str) -> Option<String> {
        if self.asked.streamed {
            return Some(job.to_string());
        }
        let file = folder.join(job);
        file.is_file().then(|| punch_list::job_key(folder, &file))
    }

    /// Judges a batch in parallel; the outcomes come in the order of the targets.
    fn batch<T: Sync, F: Form<Piece = P>>(
        &self,
        batch: &[T],
        form: &F,
        judge: &(dyn Fn(&T) -> Outcome<P> + Sync),
        name: &(dyn Fn(&T) -> String + Sync),
    ) -> Vec<Outcome<P>> {
        let one = |target: &T| safely(form, judge, target, &name(target));
        match &self.pool {
            Some(pool) => pool.install(|| batch.par_iter().map(one).collect()),
            None => batch.iter().map(one).collect(),
        }
    }

    fn target<F: Form<Piece = P>>(&self, target: &Target, form: &F) -> Outcome<F::Piece> {
        match target {
            Target::Pack(path) => self.pack(path, form),
            Target::Job(path, named) => match read_file(path) {
                Ok(source) => self.job_or_earlier(path, &source, *named, form),
                Err(why) => {
                    let empty = Source::new(escape::path(path), "");
                    let slip = Slip::of_file("unreadable", format!("{}: {why}", escape::path(path)));
                    failed(form, &empty, &[slip], &Sources::default())
                }
            },
        }
    }

    /// Where packs for a job are looked for. The name of a streamed job is no path, and leads nowhere.
    fn shelves(&self, path: &Path) -> Vec<Shelf> {
        let folder = if self.asked.streamed { None } else { path.parent() };
        self.bench.shelves_for(folder.unwrap_or(Path::new("")))
    }

    /// A job's result: an earlier one where nothing that it rests on has changed.
    fn job_or_earlier<F: Form<Piece = P>>(&self, path: &Path, source: &Source, named: bool, form: &F) -> Outcome<F::Piece> {
        let Some(Kept { reuse, earlier, line }) = &self.kept else { return self.job(path, source, named, form) };
        let key: Key = reuse.key(path, named, &self.shelves(path), source.text());
        let earlier = earlier(reuse, &key).filter(|outcome| outcome.piece.as_ref().is_none_or(|piece| form.holds(piece)));
        let outcome = earlier.unwrap_or_else(|| self.job(path, source, named, form));
        let line = (!outcome.rests_on_files).then(|| line(&key, &outcome)).flatten();
        Outcome { line, ..outcome }
    }

    fn job<F: Form<Piece = P>>(&self, path: &Path, source: &Source, named: bool, form: &F) -> Outcome<F::Piece> {
        match self.bench.read(source, self.shelves(path), named) {
            Read::NoJob => Outcome::plain(None, 0, None),
            Read::Failed(slips, compiled) => failed(form, source, &slips, &compiled.sources),
            Read::Job(program, mut job) => {
                let against = self.refused(&program);
                if !against.is_empty() {
                    let files = Files { packs: &program.files, job: Some(source) };
                    let piece = form.refused(files, &self.against(&against));
                    return Outcome { against, ..Outcome::plain(Some(piece), 2, Some(Counted::Job(End::NotJudged))) };
                }
                job.units = self.asked.units;
                judge_job(&program, &mut job, source, self.asked.today, |program, job, judgement| {
                    let Asked { today, unfinished, .. } = *self.asked;
                    let known = self.asked.known.map(|(list, folder)| (list, punch_list::job_key(folder, path)));
                    let inputs = Inputs { program, job, source, today, unfinished, all: form.wants_all(), known };
                    let report = report(&inputs, judgement);
                    // Of a job that could not be read as a whole, nobody knows what is no longer found.
                    let whole = !job.slips.iter().any(|slip| !slip.harmless);
                    let listed = report.key.clone().filter(|_| whole).map(|key| (key, report.entries.clone()));
                    let piece = Some(form.job(&report, &job.slips));
                    let counted = Some(Counted::Job(report.end()));
                    Outcome { listed, rests_on_files: job.rests_on_files, ..Outcome::plain(piece, report.exit, counted) }
                })
            }
        }
    }

    /// Checks a pack by itself: its slips, or what it holds.
    fn pack<F: Form<Piece = P>>(&self, path: &Path, form: &F) -> Outcome<F::Piece> {
        let compiled = compile_alone(self.bench.shelves_of_pack(path), pack_name(path).unwrap_or(""));
        let Compiled { program, slips, sources, minimums } = &compiled;
        let told = program.as_ref().map_or(slips, |program| &program.notices);
        let against = program.as_ref().map_or_else(Vec::new, |program| self.refused(program));
        let program = program.as_deref().filter(|_| against.is_empty());
        let files = Files { packs: sources, job: None };
        let why = self.against(&against);
        let piece = form.pack(&PackReport { path: &escape::path(path), files, program, slips: told, against: &why, minimums });
        let (exit, counted) = (if program.is_some() { 0 } else { 2 }, Counted::Pack(program.is_some()));
        Outcome { against, rests_on_files: true, ..Outcome::plain(Some(piece), exit, Some(counted)) }
    }
}

/// A fault of ours in one job must not hide the others.
fn safely<T, F: Form>(form: &F, judge: &(dyn Fn(&T) -> Outcome<F::Piece> + Sync), target: &T, name: &str) -> Outcome<F::Piece> {
    super::guarded(name, || judge(target)).unwrap_or_else(|what| {
        complain(&what);
        Outcome { exit: 3, ..failed(form, &Source::new(name, ""), &[Slip::of_file("fault", what)], &Sources::default()) }
    })
}

fn shown(target: &Target) -> String {
    let (Target::Job(path, _) | Target::Pack(path)) = target;
    escape::path(path)
}

fn failed<F: Form>(form: &F, source: &Source, told: &[Slip], packs: &Sources) -> Outcome<F::Piece> {
    let files = Files { packs, job: Some(source) };
    Outcome::plain(Some(form.unjudged(files, told)), 2, Some(Counted::Job(End::NotJudged)))
}
