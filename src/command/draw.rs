//! `pintle draw`: a gate of a job as a drawing to scale, or in words. It must not know how anything is judged or drawn.

use super::opened::Opened;
use super::sink::{deliver, refused};
use super::units::Wanted;
use super::workbench::Workbench;
use super::{complain, guarded, tell};
use crate::job::Job;
use crate::judge::{Subject, judge};
use crate::language::program::Program;
use crate::quantity::Units;
use crate::report::drawing::{Figure, View, figure, figures, heading, scenes};
use crate::report::findings::{Inputs, JobReport, report};
use crate::report::totals::CAUTION;
use crate::report::{escape, excerpt};
use crate::source::Source;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle draw examples/jobs/slide-left-drawn.yaml --view plan --out plan.svg
  pintle draw examples/jobs/swing-in-good.yaml --view section --as words
  pintle draw examples/jobs/slide-right-metric-good.yaml --units inch --out plan.svg

Measures stand in the job's own units, or in those that --units names. What the job gives no points for is placed where its kind would be, and marked as schematic.

Exit codes:
  0  written
  2  the job could not be read, or holds no such gate";

/// Options of `pintle draw`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The job file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// How to look at the gate
    #[arg(long, value_enum, default_value = "plan", value_name = "VIEW")]
    view: Look,
    /// The gate, by its id; without it, the first one
    #[arg(long, value_name = "ID")]
    gate: Option<String>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// Draw it, or tell in words what the drawing shows
    #[arg(long = "as", value_enum, default_value = "svg", value_name = "FORM")]
    form: Form,
    /// Write it to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
    /// The units of every measure
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    units: Wanted,
}

/// How to look at a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Look {
    /// From above, the public side below
    Plan,
    /// From the public side
    Elevation,
    /// Across the gate line, near the leading edge
    Section,
}

/// What to write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// An SVG drawing
    Svg,
    /// The same in words
    Words,
}

impl Look {
    fn view(self) -> View {
        match self {
            Look::Plan => View::Plan,
            Look::Elevation => View::Elevation,
            Look::Section => View::Section,
        }
    }
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = refused(&[&options.file], &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    let mut opened = match Opened::read(&Workbench::new(options.packs.clone()), &options.file) {
        Ok(opened) => opened,
        Err(closed) => return closed.tell(&options.file),
    };
    opened.job.units = options.units.units();
    guarded(&escape::path(&options.file), || of_job(options, &opened)).unwrap_or_else(|fault| {
        complain(&fault);
        3
    })
}

fn of_job(options: &Options, opened: &Opened) -> u8 {
    let today = super::today(options.today);
    let (all, head) =
        drawn(opened, today, |program, job, source, report| (scenes(program, job, source, report), heading(report, &today.to_string())));
    tell(&opened.job.slips, opened.files());
    let found = match &options.gate {
        Some(id) => all.iter().find(|scene| scene.id == *id),
        None => all.first(),
    };
    let Some(scene) = found else {
        let names: Vec<String> = all.iter().map(|scene| scene.id.clone()).collect();
        return complain(&missing(options, &names));
    };
    let figure = figure(scene, options.view.view(), &head, "drawing");
    let text = match options.form {
        Form::Svg => figure.svg,
        Form::Words => figure.twin.text() + &excerpt::under("caution", CAUTION),
    };
    deliver(&text, options.out.as_deref()).max(if opened.spoiled() { 2 } else { 0 })
}

/// Judges the job, since a drawing marks the findings.
fn drawn<T>(opened: &Opened, today: Date, draw: impl FnOnce(&Program, &Job, &Source, &JobReport) -> T) -> T {
    let Subject { program, job, source, variances, .. } = opened.subject(today);
    let judgement = judge(program, job, variances, today);
    let report = report(&Inputs { program, job, source, today, unfinished: false, all: false, known: None }, &judgement);
    draw(program, job, source, &report)
}

fn missing(options: &Options, names: &[String]) -> String {
    let file = escape::path(&options.file);
    match (&options.gate, names) {
        (_, []) => format!("{file}: the job lists no gate, so there is nothing to draw"),
        (Some(id), names) => format!("{file}: no gate is called `{id}`; there are: {}", names.join(", ")),
        (None, _) => format!("{file}: no gate can be drawn"),
    }
}

/// Every figure of a job file in a folder, and the numbers of its findings; for tests and for programs that embed this one.
///
/// # Errors
/// The slips of packs or job, one sentence each.
pub fn figures_of(source: Source, packs: &[PathBuf], today: Date) -> Result<Vec<Figure>, Vec<String>> {
    figures_in(Units::AsWritten, source, packs, today)
}

/// The same with every measure in the reader's units.
///
/// # Errors
/// The slips of packs or job, one sentence each.
pub fn figures_in(units: Units, source: Source, packs: &[PathBuf], today: Date) -> Result<Vec<Figure>, Vec<String>> {
    let bench = Workbench::new(packs.to_vec());
    let shelves = bench.shelves_for(source.folder().unwrap_or(Path::new("")));
    let mut opened = Opened::of(&bench, shelves, source, true).and_then(Opened::whole).map_err(|closed| closed.sentences())?;
    opened.job.units = units;
    Ok(drawn(&opened, today, |program, job, source, report| figures(program, job, source, report, &today.to_string())))
}
