//! `pintle revisit`: two surveys of one site beside each other. It must not know how verdicts come about or how a report looks.

use super::effect::{Said, differences, verdicts};
use super::sink::refuse_out;
use super::workbench::{Compiled, Read, Workbench, read_file};
use super::{complain, file_out};
use crate::datum::Datum;
use crate::job::{Fact, Job};
use crate::judge::judge;
use crate::judge::variance::{Variance, variances};
use crate::language::program::{JOB, Key, Program};
use crate::report::findings::title;
use crate::report::revisit::{Revisit, Survey};
use crate::report::{escape, slips};
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use crate::survey::again::{Side, again};
use crate::survey::dates::bases;
use crate::survey::due::due;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

const EXAMPLES: &str = "Examples:
  pintle revisit examples/jobs/slide-left-good.yaml examples/jobs/slide-left-good-revisited.yaml
  pintle revisit last-year.yaml this-year.yaml --as page --out revisit.html
  pintle revisit first.yaml second.yaml --all --as lines

A value has moved only where both readings, each with its tolerance, cannot be of one value. The older survey is judged on
the day on which it says it was made, the newer one on the day of judging.

Exit codes: 0 where nothing mandatory is worse, 1 where a mandatory verdict becomes not met, marginal or open and was better,
2 where one of the surveys could not be judged.";

/// The fact of a job that tells the day of its survey.
const SURVEYED: &str = "surveyed";

/// Options of `pintle revisit`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The job file of the older survey
    #[arg(value_name = "OLD")]
    old: PathBuf,
    /// The job file of the newer survey, with the same ids for the same things
    #[arg(value_name = "NEW")]
    new: PathBuf,
    /// List values that differ within their tolerances as well
    #[arg(long)]
    all: bool,
    /// The day by which the older survey is judged; by itself, the day that it names as `surveyed`
    #[arg(long, value_name = "DAY")]
    then: Option<Date>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    view: View,
    /// Write the report to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// The day of judging, as year-month-day; by itself, the day of the clock
    #[arg(long, value_name = "DAY")]
    today: Option<Date>,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum View {
    /// Plain text
    Text,
    /// One JSON object a line; `pintle schema revisit` describes it
    Lines,
    /// One HTML file, to read or to print
    Page,
}

/// A survey that has been read.
struct Opened {
    source: Source,
    compiled: Arc<Compiled>,
    job: Box<Job>,
    granted: Vec<Variance>,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = super::missing_packs(&options.packs) {
        return complain(&why);
    }
    let inputs: Vec<PathBuf> = [&options.old, &options.new].into_iter().chain(&options.packs).cloned().collect();
    if let Some(why) = options.out.as_deref().and_then(|out| refuse_out(out, &inputs)) {
        return complain(&why);
    }
    let bench = Workbench::new(options.packs.clone());
    let (old, new) = (opened(&bench, &options.old), opened(&bench, &options.new));
    let (Some(old), Some(new)) = (old, new) else { return 2 };
    let (Some(before), Some(after)) = (&old.compiled.program, &new.compiled.program) else {
        return complain("the surveys could not be judged");
    };
    let today = super::today(options.today);
    let (then, why) = day_of(before, &old.job, options.then, today);
    let report = revisit((before, &old, then, why), (after, &new, today), options.all);
    if !report.again.one_site {
        complain("the surveys share no thing by its id: are they of one site, with the same ids?");
    }
    let text = match options.view {
        View::Text => report.text(),
        View::Lines => report.lines(),
        View::Page => report.document().html(),
    };
    let exit = if report.again.one_site { report.exit() } else { 2 };
    exit.max(file_out::deliver(&text, options.out.as_deref()))
}

/// Reads a survey; nothing where it cannot be read whole, which is told.
fn opened(bench: &Workbench, path: &Path) -> Option<Opened> {
    let source = match read_file(path) {
        Ok(source) => source,
        Err(why) => {
            complain(&format!("{}: {why}", escape::path(path)));
            return None;
        }
    };
    let (compiled, mut job) = match bench.read(&source, bench.shelves_for(path.parent().unwrap_or(Path::new(""))), true) {
        Read::Job(compiled, job) => (compiled, job),
        Read::Failed(told, compiled) => return unreadable(&source, &told, &compiled.sources),
        Read::NoJob => {
            complain(&format!("{}: no job is in it", escape::path(path)));
            return None;
        }
    };
    let Some(program) = &compiled.program else { return unreadable(&source, &job.slips, &compiled.sources) };
    let (granted, slips) = variances(program, &job, &source);
    job.slips.extend(slips);
    if job.slips.iter().any(|slip| !slip.harmless) {
        return unreadable(&source, &job.slips, &program.files);
    }
    Some(Opened { source, compiled, job, granted })
}

fn unreadable(source: &Source, told: &[Slip], packs: &Sources) -> Option<Opened> {
    for slip in told {
        let _ = std::io::stderr().lock().write_all(slips::sentence(slip, Files { packs, job: Some(source) }).as_bytes());
    }
    complain(&format!("{} could not be judged", source.name()));
    None
}

/// The day by which the older survey is judged, and why.
fn day_of(program: &Program, job: &Job, then: Option<Date>, today: Date) -> (Date, &'static str) {
    if let Some(then) = then {
        return (then, "as asked for");
    }
    let surveyed = match program.index[JOB.0 as usize].get(SURVEYED) {
        Some(Key::Field(at)) => match job.records.first().map(|root| &root.facts[*at]) {
            Some(Fact::Stated(stated)) => match stated.datum {
                Datum::Days(days) => Some(days.last),
                _ => None,
            },
            _ => None,
        },
        _ => None,
    };
    surveyed.map_or((today, "the day of judging, since it names no day of its own"), |day| (day.min(today), "the day of its survey"))
}

fn revisit(old: (&Program, &Opened, Date, &'static str), new: (&Program, &Opened, Date), all: bool) -> Revisit {
    let (before, was) = survey(old.0, old.1, old.2, old.3);
    let (after, is) = survey(new.0, new.1, new.2, "the day of judging");
    let mut report = Revisit {
        old: before,
        new: after,
        verdicts: differences(&was.0, &is.0),
        again: again(Side { program: old.0, job: &old.1.job }, Side { program: new.0, job: &new.1.job }),
        due: due(new.0, &new.1.job, &new.1.granted, new.2),
        all,
    };
    report.sort();
    report
}

/// A survey with its verdicts on a day.
fn survey(program: &Program, opened: &Opened, day: Date, why: &'static str) -> (Survey, Said) {
    let said = verdicts(program, &opened.job, &judge(program, &opened.job, &opened.granted, day));
    let code = |code: &crate::language::program::Code| {
        let pack = program.pack(&code.name);
        format!("{} {} [{}]", code.name, pack.map_or("", |pack| &pack.edition), pack.map_or("", |pack| &pack.hash))
    };
    let survey = Survey {
        file: escape::visible(opened.source.name()).into_owned(),
        title: title(program, &opened.job),
        day: day.to_string(),
        why,
        codes: program.codes.iter().map(code).collect(),
        exit: said.1,
        bases: bases(program, &opened.job),
    };
    (survey, said)
}
