//! `pintle draw`: a gate of a job as a drawing to scale, or in words. It must not know how anything is judged or drawn.

use super::sink::refuse_out;
use super::workbench::{Read, Workbench, judge_job, read_file};
use super::{complain, file_out};
use crate::job::Job;
use crate::language::program::Program;
use crate::report::drawing::{Figure, View, figure, figures, heading, scenes};
use crate::report::findings::{Inputs, report};
use crate::report::totals::CAUTION;
use crate::report::{escape, excerpt, slips};
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle draw examples/jobs/slide-left-drawn.yaml --view plan --out plan.svg
  pintle draw examples/jobs/swing-in-good.yaml --view section --as words

Measures stand in the job's own units. What the job gives no points for is placed where its kind would be, and marked as schematic.
Exit code 0: written; 2: the job could not be read, or holds no such gate.";

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
    /// The gate, by its id; by itself, the first one
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
    /// The day of judging, as year-month-day; by itself, the day of the clock
    #[arg(long, value_name = "DAY")]
    today: Option<Date>,
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
    if let Some(why) = super::missing_packs(&options.packs) {
        return complain(&why);
    }
    let inputs: Vec<PathBuf> = std::iter::once(&options.file).chain(&options.packs).cloned().collect();
    if let Some(why) = options.out.as_deref().and_then(|out| refuse_out(out, &inputs)) {
        return complain(&why);
    }
    let source = match read_file(&options.file) {
        Ok(source) => source,
        Err(why) => return complain(&format!("{}: {why}", escape::path(&options.file))),
    };
    let bench = Workbench::new(options.packs.clone());
    let folder = options.file.parent().unwrap_or(Path::new(""));
    match bench.read(&source, bench.shelves_for(folder), true) {
        Read::Job(compiled, mut job) => match &compiled.program {
            Some(program) => guarded(options, program, &mut job, &source),
            None => unreadable(&source, &job.slips, &compiled.sources),
        },
        Read::Failed(told, compiled) => unreadable(&source, &told, &compiled.sources),
        Read::NoJob => complain(&format!("{}: no job is in it", escape::path(&options.file))),
    }
}

fn unreadable(source: &Source, told: &[Slip], packs: &Sources) -> u8 {
    tell(told.iter(), Files { packs, job: Some(source) });
    complain(&format!("{} could not be judged", source.name()))
}

fn guarded(options: &Options, program: &Program, job: &mut Job, source: &Source) -> u8 {
    let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| of_job(options, program, job, source)));
    caught.unwrap_or_else(|_| {
        complain(&format!("{}: a fault of this program; please report it with the file", escape::path(&options.file)));
        3
    })
}

fn of_job(options: &Options, program: &Program, job: &mut Job, source: &Source) -> u8 {
    let today = super::today(options.today);
    let made = judge_job(program, job, source, today, |program, job, judgement| {
        let report = report(&Inputs { program, job, source, today, unfinished: false, all: false, known: None }, judgement);
        let all = scenes(program, job, source, &report);
        let found = match &options.gate {
            Some(id) => all.iter().find(|scene| scene.id == *id),
            None => all.first(),
        };
        let names: Vec<String> = all.iter().map(|scene| scene.id.clone()).collect();
        let head = heading(&report, &today.to_string());
        found.map(|scene| figure(scene, options.view.view(), &head, "drawing")).ok_or(names)
    });
    tell(job.slips.iter(), Files { packs: &program.files, job: Some(source) });
    let spoiled = job.slips.iter().any(|slip| !slip.harmless);
    let figure = match made {
        Ok(figure) => figure,
        Err(names) => return complain(&missing(options, &names)),
    };
    let text = match options.form {
        Form::Svg => figure.svg,
        Form::Words => figure.twin.text() + &excerpt::under("caution", CAUTION),
    };
    file_out::deliver(&text, options.out.as_deref()).max(if spoiled { 2 } else { 0 })
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
pub fn figures_of(source: &Source, packs: &[PathBuf], today: Date) -> Result<Vec<Figure>, Vec<String>> {
    let bench = Workbench::new(packs.to_vec());
    let sentences = |slips: &[Slip]| slips.iter().map(|slip| format!("{}: {}", slip.name, slip.message)).collect::<Vec<_>>();
    match bench.read(source, bench.shelves_for(source.folder().unwrap_or(Path::new(""))), true) {
        Read::Job(_, job) if job.slips.iter().any(|slip| !slip.harmless) => Err(sentences(&job.slips)),
        Read::Job(compiled, mut job) => match &compiled.program {
            Some(program) => Ok(judge_job(program, &mut job, source, today, |program, job, judgement| {
                let report = report(&Inputs { program, job, source, today, unfinished: false, all: false, known: None }, judgement);
                figures(program, job, source, &report, &today.to_string())
            })),
            None => Err(sentences(&compiled.slips)),
        },
        Read::Failed(slips, _) => Err(sentences(&slips)),
        Read::NoJob => Err(vec!["no job".into()]),
    }
}

fn tell<'s>(told: impl Iterator<Item = &'s Slip>, files: Files) {
    for slip in told {
        let _ = std::io::stderr().lock().write_all(slips::sentence(slip, files).as_bytes());
    }
}
