//! `pintle sheet`: the handover sheet of one job, or of every job of a folder with an index. It must not know what is on a sheet.

use super::gather::{Target, gather};
use super::opened::{Closed, Opened};
use super::sink::{deliver, refused};
use super::site_out::SiteOut;
use super::units::Wanted;
use super::workbench::{Workbench, read_file};
use super::{complain, guarded, punch_list};
use crate::judge::{Subject, judge};
use crate::report::document::Document;
use crate::report::findings::{Inputs, report};
use crate::report::punch_list::PunchList;
use crate::report::sheet::spot::spot_check;
use crate::report::sheet::{Sheet, unread_job};
use crate::report::site::{Entry, Index, with_way_back};
use crate::report::{escape, slips};
use crate::slip::{Slip, first_few};
use crate::source::{Files, Source, Sources};
use clap::Args;
use jiff::civil::Date;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle sheet examples/jobs/slide-left-good.yaml --out sheet.html
  pintle sheet examples/jobs/beam-too-high.yaml --units metric --out sheet.html
  pintle sheet jobs/yard.yaml --punch-list punch.yaml --out sheet.html
  pintle sheet examples/jobs/slide-left-good.yaml --spot-check --out spot-check.html
  pintle sheet jobs/ --out site/                 (a page a job, and an index)

A sheet is one HTML file that asks for nothing else and prints on A4 and on Letter. A job with findings has its sheet all the same, which says so first.

Exit codes are those of `pintle check`.";

/// Jobs whose pages are held at once.
const BATCH: usize = 32;
/// Longest part of a page's name that comes from the name of its job.
const LONGEST: usize = 60;

/// Options of `pintle sheet`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// A job file, or a folder of them
    #[arg(value_name = "JOB|FOLDER")]
    place: PathBuf,
    /// Where to write: a file, or for a folder of jobs a folder; each is complete or not there at all
    #[arg(long, value_name = "PLACE")]
    out: Option<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
    /// The units of every number; what was written stands beside where they differ
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    units: Wanted,
    /// Findings that were agreed upon: they are told as such, and only others keep a job from being handed over
    #[arg(long, value_name = "FILE")]
    punch_list: Option<PathBuf>,
    /// Only what lies near a limit, with blanks for another person's tape
    #[arg(long)]
    spot_check: bool,
    /// How many jobs to judge at once; without it, one for each core
    #[arg(long, value_name = "NUMBER")]
    threads: Option<usize>,
}

/// What every job of a run shares.
struct Asked<'a> {
    options: &'a Options,
    bench: Workbench,
    today: Date,
    list: Option<(PunchList, PathBuf)>,
}

/// What one job gives.
struct Made {
    document: Document,
    entry: Entry,
    exit: u8,
    /// What is told on standard error.
    told: String,
}

impl<'a> Asked<'a> {
    fn new(options: &'a Options) -> Result<Asked<'a>, String> {
        let list = options.punch_list.as_deref().map(punch_list::read).transpose()?;
        if let Some(slip) = list.iter().flat_map(|(list, _)| &list.slips).find(|slip| !slip.harmless) {
            let place = options.punch_list.as_deref().map(escape::path).unwrap_or_default();
            return Err(format!("--punch-list {place}: {}; no sheet is written by a list that cannot be read as a whole", slip.message));
        }
        Ok(Asked { options, bench: Workbench::new(options.packs.clone()), today: super::today(options.today), list })
    }
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let to_folder = options.place.is_dir();
    let out = options.out.as_deref().filter(|_| !to_folder);
    let inputs: Vec<&PathBuf> = std::iter::once(&options.place).chain(&options.punch_list).collect();
    if let Some(why) = refused(&inputs, &options.packs, out) {
        return complain(&why);
    }
    if to_folder {
        return folder(options).unwrap_or_else(|why| complain(&why));
    }
    let asked = match Asked::new(options) {
        Ok(asked) => asked,
        Err(why) => return complain(&why),
    };
    match made(&asked, &options.place, true) {
        Ok(Some(made)) => {
            let _ = std::io::stderr().lock().write_all(made.told.as_bytes());
            deliver(&made.document.html(), options.out.as_deref()).max(made.exit)
        }
        Ok(None) => complain(&format!("{}: no job is in it", escape::path(&options.place))),
        Err(why) => complain(&why),
    }
}

/// The sheet of a file; nothing where it holds no job. A fault of ours in one job must not hide the others.
fn made(asked: &Asked, path: &Path, named: bool) -> Result<Option<Made>, String> {
    let source = read_file(path).map_err(|why| format!("{}: {why}", escape::path(path)))?;
    let name = source.name().to_string();
    Ok(guarded(&name, || of_source(asked, path, source, named)).unwrap_or_else(|what| {
        let slip = Slip::of_file("fault", what);
        Some(Made { exit: 3, ..unread(&Source::new(name, ""), &[slip], &Sources::default()) })
    }))
}

fn of_source(asked: &Asked, path: &Path, source: Source, named: bool) -> Option<Made> {
    let shelves = asked.bench.shelves_for(path.parent().unwrap_or(Path::new("")));
    match Opened::of(&asked.bench, shelves, source, named).and_then(Opened::whole) {
        Ok(opened) => Some(of_job(asked, path, opened)),
        Err(Closed::Slips(source, told, packs)) => Some(unread(&source, &told, &packs)),
        Err(Closed::File(_) | Closed::NoJob) => None,
    }
}

/// What there is to say of a job that could not be read as a whole.
fn unread(source: &Source, told: &[Slip], packs: &Sources) -> Made {
    let files = Files { packs, job: Some(source) };
    let sentences: String = told.iter().map(|slip| slips::sentence(slip, files)).collect();
    Made { document: unread_job(source.name(), files, told), entry: Entry::unjudged(source.name()), exit: 2, told: sentences }
}

fn of_job(asked: &Asked, path: &Path, mut opened: Opened) -> Made {
    opened.job.units = asked.options.units.units();
    let subject = opened.subject(asked.today);
    let Subject { program, job, source, variances, today } = subject;
    let judgement = judge(program, job, variances, today);
    let known = asked.list.as_ref().map(|(list, folder)| (list, punch_list::job_key(folder, path)));
    let report = report(&Inputs { program, job, source, today, unfinished: false, all: true, known }, &judgement);
    let sheet = Sheet::new(subject, &judgement, &report, asked.list.as_ref().map(|(list, _)| list.source.text()));
    let document = if asked.options.spot_check { spot_check(&sheet, &judgement) } else { sheet.document() };
    let told: String = job.slips.iter().chain(&report.notices).map(|slip| slips::sentence(slip, report.files)).collect();
    Made { document, entry: Entry::of(&sheet), exit: report.exit, told }
}

/// A page for every job of a folder, and an index.
fn folder(options: &Options) -> Result<u8, String> {
    let Some(out) = &options.out else { return Err("a folder of jobs gives a folder of pages: add --out FOLDER".into()) };
    let aside: Vec<&Path> = options.punch_list.iter().map(PathBuf::as_path).collect();
    let gathered = gather(std::slice::from_ref(&options.place), &aside);
    let jobs: Vec<&PathBuf> =
        gathered.targets.iter().filter_map(|target| if let Target::Job(path, _) = target { Some(path) } else { None }).collect();
    let mut exit = 0;
    for (path, why) in &gathered.unreadable {
        exit = exit.max(complain(&format!("{}: {why}", escape::path(path))));
    }
    let asked = Asked::new(options)?;
    let threads = if options.threads == Some(1) || jobs.len() < 2 { 1 } else { options.threads.unwrap_or(0) };
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).stack_size(8 * 1024 * 1024).build();
    let pool = pool.map_err(|error| format!("no threads can be made: {error}"))?;
    let (mut site, mut index, mut found, mut passed) = (SiteOut::begin(out)?, Index::default(), 0usize, Vec::new());
    for batch in jobs.chunks(BATCH) {
        let pages: Vec<_> = pool.install(|| batch.par_iter().map(|path| page(&asked, path)).collect());
        for (path, page) in batch.iter().zip(pages) {
            let Some((html, entry, code, told)) = page else {
                passed.push(escape::path(path));
                continue;
            };
            let _ = std::io::stderr().lock().write_all(told.as_bytes());
            (exit, found) = (exit.max(code), found + 1);
            index.add(&entry);
            let name = page_name(path.strip_prefix(&options.place).unwrap_or(path));
            site.page(&name, &html, &entry.row(&name))?;
        }
    }
    if !passed.is_empty() {
        let _ = complain(&format!("no job in {}: passed over", first_few(&passed, 1, ',')));
    }
    if found == 0 {
        return Err(format!("no job found in {}; nothing is written", escape::path(&options.place)));
    }
    let folder = options.place.file_name().map_or_else(|| escape::path(&options.place), |name| escape::path(Path::new(name)));
    let (before, after) = index.around(&folder, &asked.today.to_string());
    site.finish(&before, &after).map(|()| exit)
}

type Page = (String, Entry, u8, String);

/// One page of a folder; nothing where the file holds no job.
fn page(asked: &Asked, path: &Path) -> Option<Page> {
    let made = match made(asked, path, false) {
        Ok(made) => made?,
        Err(why) => unread(&Source::new(escape::path(path), ""), &[Slip::of_file("unreadable", why)], &Sources::default()),
    };
    Some((with_way_back(made.document).html(), made.entry, made.exit, made.told))
}

/// The name of a job's page: readable, safe anywhere, the same for the same place in the folder and for no other.
fn page_name(place: &Path) -> String {
    let shown = escape::path(place);
    let stem = shown.rsplit_once('.').map_or(shown.as_str(), |(stem, _)| stem);
    let mut name = String::new();
    for c in stem.chars().map(|c| c.to_ascii_lowercase()) {
        match c {
            'a'..='z' | '0'..='9' => name.push(c),
            _ if !name.is_empty() && !name.ends_with('-') => name.push('-'),
            _ => {}
        }
    }
    name.truncate(LONGEST);
    let digest = Sha256::digest(place.as_os_str().as_encoded_bytes());
    let digits: String = digest.iter().take(6).map(|byte| format!("{byte:02x}")).collect();
    let stem = name.trim_end_matches('-');
    if stem.is_empty() { format!("job-{digits}.html") } else { format!("{stem}-{digits}.html") }
}
