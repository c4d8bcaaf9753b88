//! `pintle punch-list`: writes down the findings of a folder that are agreed to wait, and takes off what is no longer found. It must
//! not know what an entry holds.

use super::complain;
use super::run::{Asked, over};
use super::sink::{Sink, refusal, write_whole};
use super::workbench::read_file;
use crate::report::escape;
use crate::report::punch_file;
use crate::report::punch_list::{Agreement, PunchList};
use crate::report::punch_writing::Writing;
use crate::source::Source;
use clap::Args;
use jiff::civil::Date;
use std::ffi::OsStr;
use std::path::{Component, Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle punch-list jobs/ --in punch-list.yaml
  pintle punch-list jobs/ --in punch.yaml --reason on-order --owner crew-2 --due 2027-03-01

Without --reason, --owner and --due the list only gets shorter: what is no longer found is taken off, and what has become better is remembered as better. With them, every finding that the list does not cover is agreed upon and added; name single jobs to agree upon theirs alone. Entries of jobs that this run does not look at stay as they are, and those of jobs that are gone are taken off.

Exit codes:
  0  the list is written, whatever the jobs do not meet
  2  the list stays as it is, or it is written and a job could not be judged; its entries are kept then";

/// Options of `pintle punch-list`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Job files, or folders of them
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub paths: Vec<PathBuf>,
    /// The list; it is made where there is none
    #[arg(long = "in", value_name = "FILE")]
    pub list: PathBuf,
    /// Why the findings that are not on the list may wait
    #[arg(long, value_name = "TEXT", requires_all = ["owner", "due"])]
    pub reason: Option<String>,
    /// Who puts them right
    #[arg(long, value_name = "NAME", requires_all = ["reason", "due"])]
    pub owner: Option<String>,
    /// The last day on which they may still be there, as year-month-day
    #[arg(long, value_name = "DAY", value_parser = super::day, requires_all = ["reason", "owner"])]
    pub due: Option<Date>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    pub packs: Vec<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    pub today: Option<Date>,
    /// How many jobs to judge at once; without it, one for each core
    #[arg(long, value_name = "NUMBER")]
    pub threads: Option<usize>,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    match rewrite(options) {
        Ok(exit) => exit,
        Err(why) => complain(&why),
    }
}

fn rewrite(options: &Options) -> Result<u8, String> {
    let inputs: Vec<&Path> = options.paths.iter().chain(&options.packs).map(PathBuf::as_path).collect();
    if let Some(why) = refusal("--in", &options.list, &inputs) {
        return Err(why);
    }
    let (list, folder) = if options.list.exists() { read(&options.list)? } else { (none(&options.list), folder_of(&options.list)?) };
    if let Some(slip) = list.slips.first() {
        let files = crate::source::Files { packs: &crate::source::Sources::default(), job: Some(&list.source) };
        return Err(format!("{}; the list stays as it is", crate::report::slips::sentence(slip, files).trim_end()));
    }
    let today = super::today(options.today);
    let agreement = match (&options.reason, &options.owner, options.due) {
        (Some(reason), Some(owner), Some(due)) => Some(agreement(reason, owner, today, due)?),
        _ => None,
    };
    let Options { paths, packs, threads, .. } = options;
    let asked = Asked {
        paths,
        packs,
        today,
        threads: *threads,
        unfinished: false,
        units: crate::quantity::Units::AsWritten,
        known: Some((&list, &folder)),
        aside: vec![&options.list],
        pins: None,
        streamed: false,
    };
    let is_there = |job: &str| folder.join(job).is_file();
    let mut writing = Writing::new(&list, agreement, &is_there);
    let exit = over(&asked, &mut writing, Sink::Standard, None).exit;
    let Some(text) = &writing.text else { return Err("the list stays as it is".into()) };
    write_whole(&options.list, text)?;
    let tally = writing.tally;
    let how = if tally.left > 0 && options.reason.is_none() { "; --reason, --owner and --due put them on it" } else { "" };
    println(&format!(
        "{}: {} kept, {} added, {} taken off; findings that it does not cover: {}{how}",
        escape::path(&options.list),
        tally.kept,
        tally.added,
        tally.taken_off,
        tally.left
    ))?;
    if exit > 1 {
        complain("some of it could not be judged; `pintle check` says what");
    }
    // What the jobs do not meet is what the list is for.
    Ok(if exit == 1 { 0 } else { exit })
}

fn agreement(reason: &str, owner: &str, agreed: Date, due: Date) -> Result<Agreement, String> {
    if reason.trim().is_empty() || owner.trim().is_empty() {
        return Err("--reason and --owner must say something".into());
    }
    if due < agreed {
        return Err(format!("--due {due}: that day is past"));
    }
    Ok(Agreement { reason: reason.trim().into(), owner: owner.trim().into(), agreed, due })
}

fn println(text: &str) -> Result<(), String> {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", escape::visible(text)).and_then(|()| out.flush()).map_err(|error| super::standard_failed(&error))
}

/// A list with nothing on it.
fn none(path: &Path) -> PunchList {
    PunchList::new(Source::new(escape::path(path), ""), Vec::new(), Vec::new())
}

/// A list, and the folder that its jobs are named from. The error is a sentence.
///
/// # Errors
/// Where the file cannot be read at all; what is wrong in it is told as slips of the list.
pub fn read(path: &Path) -> Result<(PunchList, PathBuf), String> {
    let source = read_file(path).map_err(|why| format!("--punch-list {}: {why}", escape::path(path)))?;
    Ok((punch_file::read(source), folder_of(path)?))
}

fn folder_of(list: &Path) -> Result<PathBuf, String> {
    let folder = list.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::canonicalize(folder).map_err(|error| format!("{}: {error}", escape::path(folder)))
}

/// A job as the list names it: its way from the folder of the list, with `/` between, on every machine. The name of a job in a stream is
/// taken as its way from here, whether such a file is there or not.
pub fn job_key(folder: &Path, job: &Path) -> String {
    let real =
        std::fs::canonicalize(job).or_else(|_| std::path::absolute(job).map(|path| plain(&path))).unwrap_or_else(|_| job.to_path_buf());
    let shared = folder.components().zip(real.components()).take_while(|(one, other)| one == other).count();
    let up = folder.components().skip(shared).map(|_| OsStr::new(".."));
    let down = real.components().skip(shared).map(Component::as_os_str);
    let parts: Vec<String> = up.chain(down).map(|part| escape::path(Path::new(part))).collect();
    parts.join("/")
}

/// A whole path without its steps back.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => drop(plain.pop()),
            Component::CurDir => {}
            Component::Normal(_) | Component::RootDir | Component::Prefix(_) => plain.push(part),
        }
    }
    plain
}
