//! `pintle revisit`: two surveys of one site beside each other. It must not know how verdicts come about or how a report looks.

use super::complain;
use super::effect::{Said, differences, verdicts};
use super::opened::Opened;
use super::sink::{deliver, refused};
use super::units::Wanted;
use super::workbench::Workbench;
use crate::job::Job;
use crate::judge::{Subject, judge};
use crate::language::program::Program;
use crate::report::escape;
use crate::report::findings::title;
use crate::report::revisit::{Revisit, Survey};
use crate::survey::again::{Side, again};
use crate::survey::dates::bases;
use crate::survey::due::due;
use crate::survey::later::{Order, surveyed};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle revisit examples/jobs/slide-left-good.yaml examples/jobs/slide-left-good-revisited.yaml
  pintle revisit last-year.yaml this-year.yaml --as html --out revisit.html
  pintle revisit first.yaml second.yaml --all --as lines

A value has moved only where both readings, each with its tolerance, cannot be of one value. The older survey is judged on the day on which it says it was made, the newer one on the day of judging.

What protected and is gone is told first and counts as worse, whatever the verdicts say. Where NEW names no later day of survey than OLD, nothing is proved of the gate since, and no such run ends with 0.

Exit codes:
  0  the gate was surveyed again and nothing mandatory is worse
  1  a mandatory verdict becomes not met, marginal or open and was better, protection is gone, or NEW does not say that it was made later
  2  one of the surveys could not be judged, or OLD and NEW are given the wrong way round";

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
    /// The day by which the older survey is judged; without it, the day that it names as `surveyed`
    #[arg(long, value_name = "DAY", value_parser = super::day)]
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
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
    /// The units of every number; without it, each as its author wrote it
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    units: Wanted,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum View {
    /// Plain text
    Text,
    /// One JSON object a line; `pintle schema revisit` describes it
    Lines,
    /// One HTML file, to read or to print
    Html,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = refused(&[&options.old, &options.new], &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    let bench = Workbench::new(options.packs.clone());
    let (old, new) = (opened(&bench, &options.old), opened(&bench, &options.new));
    let (Some(mut old), Some(mut new)) = (old, new) else { return 2 };
    (old.job.units, new.job.units) = (options.units.units(), options.units.units());
    let today = super::today(options.today);
    let (then, why) = day_of(&old.program, &old.job, options.then, today);
    let report = revisit((&old, then, why), (&new, today), options.all);
    if !report.again.one_site {
        complain("the surveys share no thing by its id: are they of one site, with the same ids?");
    }
    let text = match options.view {
        View::Text => report.text(),
        View::Lines => report.lines(),
        View::Html => report.document().html(),
    };
    let exit = if report.again.one_site { report.exit() } else { 2 };
    exit.max(deliver(&text, options.out.as_deref()))
}

/// Reads a survey; nothing where it cannot be read whole, which is told.
fn opened(bench: &Workbench, path: &Path) -> Option<Opened> {
    Opened::read(bench, path).and_then(Opened::whole).map_err(|closed| closed.tell(path)).ok()
}

/// The day by which the older survey is judged, and why.
fn day_of(program: &Program, job: &Job, then: Option<Date>, today: Date) -> (Date, &'static str) {
    if let Some(then) = then {
        return (then, "as asked for");
    }
    let surveyed = surveyed(Side { program, job }).map(|days| days.last);
    match surveyed {
        None => (today, "the day of judging, since it names no day of its own"),
        Some(day) if day > today => (today, "the day of judging, since its day of survey is still to come"),
        Some(day) => (day, "the day of its survey"),
    }
}

fn revisit(old: (&Opened, Date, &'static str), new: (&Opened, Date), all: bool) -> Revisit {
    let (before, was) = survey(old.0, old.1, old.2);
    let (after, is) = survey(new.0, new.1, "the day of judging");
    let sides = (Side { program: &old.0.program, job: &old.0.job }, Side { program: &new.0.program, job: &new.0.job });
    let again = again(sides.0, sides.1);
    let mut report = Revisit {
        // A day that is still to come is none on which anybody looked.
        order: Order::of(surveyed(sides.0), surveyed(sides.1).filter(|days| days.first <= new.1)).but_for_copies(&again),
        old: before,
        new: after,
        verdicts: differences(&was.verdicts, &is.verdicts),
        again,
        due: due(sides.1.program, sides.1.job, &new.0.granted, new.1),
        all,
    };
    report.sort();
    report
}

/// A survey with its verdicts on a day.
fn survey(opened: &Opened, day: Date, why: &'static str) -> (Survey, Said) {
    let Subject { program, job, variances, .. } = opened.subject(day);
    let said = verdicts(program, job, &judge(program, job, variances, day));
    let code = |code: &crate::language::program::Code| {
        let pack = program.pack(&code.name);
        format!("{} {} [{}]", code.name, pack.map_or("", |pack| &pack.edition), pack.map_or("", |pack| &pack.hash))
    };
    let survey = Survey {
        file: escape::visible(opened.source.name()).into_owned(),
        title: title(program, job),
        day: day.to_string(),
        why,
        codes: program.codes.iter().map(code).collect(),
        exit: said.exit,
        surveyed: surveyed(Side { program, job }).map(|days| days.to_string()),
        bases: bases(program, job),
    };
    (survey, said)
}
