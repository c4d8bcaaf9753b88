//! `pintle calcs`: the written-out calculation behind verdicts of one job. It must not know how a calculation is made or drawn.

use super::opened::Opened;
use super::sink::{deliver, refused};
use super::units::Wanted;
use super::workbench::Workbench;
use super::{complain, tell};
use crate::calculation::calculation;
use crate::calculation::pick::{Wish, picked};
use crate::judge::Subject;
use crate::judge::judge;
use crate::language::library::Shelf;
use crate::report::calcs::{Document, Pack, SHAPE, WIDTH, html, json, text};
use crate::report::findings::title;
use crate::report::totals::CAUTION;
use crate::slip::Slip;
use crate::source::Source;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

const EXAMPLES: &str = "Examples:
  pintle calcs examples/jobs/wiring-good.yaml us-wiring/run-drop
  pintle calcs examples/jobs/cable-too-thin.yaml us-wiring/voltage-left --thing speaking-post
  pintle calcs examples/jobs/wiring-good.yaml --as html --out calcs.html

Each step shows the formula as its author wrote it, the same with the numbers put in, and the result: `=` where it is exact, the sign of near equality where it is rounded.

Exit codes:
  0  written
  2  the job could not be read, or nothing matches";

/// Options of `pintle calcs`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The job file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// `pack/section`, `pack/section (b)` or a part of an id; without it, every clause that reckons with something
    #[arg(value_name = "SECTION")]
    section: Option<String>,
    /// Only of one thing, by its name or a part of it, as in "gate main / beam low"
    #[arg(long, value_name = "NAME")]
    thing: Option<String>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// How to write it
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    view: View,
    /// Write it to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// The units of every number
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    units: Wanted,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
}

/// How to write a calculation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// Text of at most 100 columns
    Text,
    /// One HTML file, to read or to print
    Html,
    /// One JSON document; `pintle schema calcs` describes it
    Json,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = refused(&[&options.file], &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    match Opened::read(&Workbench::new(options.packs.clone()), &options.file) {
        Ok(opened) => of_job(options, opened),
        Err(closed) => closed.tell(&options.file),
    }
}

fn of_job(options: &Options, mut opened: Opened) -> u8 {
    opened.job.units = options.units.units();
    let wish = Wish { section: options.section.clone(), thing: options.thing.clone() };
    let (document, notices) = document(&opened.subject(super::today(options.today)), &wish);
    tell(opened.job.slips.iter().chain(&notices).chain(&opened.program.notices), opened.files());
    match document {
        Ok(document) => write(options, &document).max(if opened.spoiled() { 2 } else { 0 }),
        Err(why) => complain(&why),
    }
}

/// The calculations that are wished for, or why there are none; beside them, what is told of the judging.
fn document(subject: &Subject, wish: &Wish) -> (Result<Document, String>, Vec<Slip>) {
    let Subject { program, job, source, variances, today } = *subject;
    let judgement = judge(program, job, variances, today);
    let chosen = match picked(program, job, &judgement.judged, wish) {
        Ok(chosen) => chosen,
        Err(why) => return (Err(why), judgement.notices),
    };
    let packs = program.packs.iter().map(|pack| Pack {
        name: pack.name.clone(),
        edition: pack.edition.clone(),
        hash: pack.hash.clone(),
        place: pack.place.clone(),
    });
    let calculations = chosen.iter().map(|at| calculation(*subject, &judgement.judged[*at])).collect();
    let document = Document {
        shape: SHAPE,
        program: "pintle",
        version: env!("CARGO_PKG_VERSION"),
        today: today.to_string(),
        file: source.name().to_string(),
        title: title(program, job),
        packs: packs.collect(),
        calculations,
        caution: CAUTION,
    };
    (Ok(document), judgement.notices)
}

/// Calculations of a job by packs given as text; for tests and for programs that embed this one.
///
/// # Errors
/// The slips of packs or job, or that nothing matches, one sentence each.
pub fn calcs_of_texts(packs: &[(&str, &str)], job: &str, today: Date, wish: &Wish) -> Result<Document, Vec<String>> {
    let shelf = Shelf::Memory(packs.iter().map(|(name, text)| ((*name).to_string(), (*text).to_string())).collect());
    let bench = Workbench::default();
    let opened = Opened::of(&bench, vec![shelf, Shelf::Embedded], Source::new("job.yaml", job), true).and_then(Opened::whole);
    let opened = opened.map_err(|closed| closed.sentences())?;
    document(&opened.subject(today), wish).0.map_err(|why| vec![why])
}

fn write(options: &Options, document: &Document) -> u8 {
    let text = match options.view {
        View::Text => text(document, WIDTH),
        View::Html => html(document),
        View::Json => json(document),
    };
    deliver(&text, options.out.as_deref())
}
