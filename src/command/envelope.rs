//! `pintle envelope`: for each measure of a device, the range that meets every section in force at once. It must not know how a
//! range is found or shown.

use super::opened::{Closed, Opened};
use super::sink::{Sink, refused};
use super::units::Wanted;
use super::workbench::Workbench;
use super::{complain, guarded};
use crate::envelope::facts::Unknown;
use crate::envelope::{asked_for, envelope};
use crate::job::Job;
use crate::judge::Subject;
use crate::judge::eval::FactUse;
use crate::language::program::Program;
use crate::report::envelopes::{EnvelopeReport, report};
use crate::report::findings::title;
use crate::report::form::Form;
use crate::report::lines::Lines;
use crate::report::totals::CAUTION;
use crate::report::{envelope_lines, escape, excerpt, region, text};
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle envelope examples/jobs/beam-too-high.yaml upper
  pintle envelope examples/jobs/beam-too-high.yaml upper.height
  pintle envelope examples/jobs/beam-too-high.yaml upper --as lines
  pintle envelope examples/jobs/beam-too-high.yaml upper --pair height,offset --out upper.svg

A range holds for one measure at a time, with the rest of the job as it is.

Exit codes:
  0  today's values lie inside
  1  one lies outside, is open or is not stated
  2  it could not be judged";

/// Options of `pintle envelope`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The job file
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// A device by its id or as reports name it, or one of its measures; without it, every measured fact that the job states
    #[arg(value_name = "DEVICE")]
    pub device: Option<String>,
    /// Draw the permitted region of two measures, with --out
    #[arg(long, value_name = "FACT,FACT")]
    pub pair: Option<String>,
    /// Write the drawing, or without --pair the report, to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    pub packs: Vec<PathBuf>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    pub view: View,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    pub today: Option<Date>,
    /// The units of every number in the text view and the drawing
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    pub units: Wanted,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// A table a device
    Text,
    /// One JSON object a line; `pintle schema lines` describes it
    Lines,
}

/// What a run gave: the report, the drawing where one was asked for, and the exit code.
struct Answer {
    report: String,
    drawing: Option<String>,
    exit: u8,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = unfit(options) {
        return complain(&why);
    }
    let answer = match guarded(&escape::path(&options.file), || answer(options)) {
        Ok(Ok(answer)) => answer,
        Ok(Err(unknown)) => {
            let hint = unknown.hint.map_or_else(String::new, |hint| format!("; {hint}"));
            return complain(&format!("{}: {}{hint}", escape::path(&options.file), unknown.message));
        }
        Err(fault) => {
            complain(&fault);
            return 3;
        }
    };
    match written(options, &answer) {
        Ok(()) => answer.exit,
        Err(why) => complain(&why).max(answer.exit),
    }
}

/// Why the options cannot be taken as they are.
fn unfit(options: &Options) -> Option<String> {
    if options.pair.is_some() && options.out.is_none() {
        return Some("--pair draws to a file: add --out FILE.svg".into());
    }
    if options.units != Wanted::AsWritten && options.view == View::Lines {
        return Some("--units is for the text view and the drawing; lines keep every number as its author wrote it".into());
    }
    refused(&[&options.file], &options.packs, options.out.as_deref())
}

/// The drawing goes to the file where there is one, else the report does.
fn written(options: &Options, answer: &Answer) -> Result<(), String> {
    let to = |out: Option<&Path>, text: &str| {
        let mut sink = Sink::open(out)?;
        sink.write(text)?;
        sink.finish()
    };
    match &answer.drawing {
        Some(drawing) => {
            to(options.out.as_deref(), drawing)?;
            to(None, &answer.report)
        }
        None if options.pair.is_some() => to(None, &answer.report),
        None => to(options.out.as_deref(), &answer.report),
    }
}

fn answer(options: &Options) -> Result<Answer, Unknown> {
    let today = super::today(options.today);
    match Opened::read(&Workbench::new(options.packs.clone()), &options.file).and_then(Opened::whole) {
        Ok(mut opened) => {
            opened.job.units = options.units.units();
            envelopes(options, &opened.subject(today))
        }
        Err(Closed::Slips(source, slips, packs)) => Ok(unjudged(options, &source, &slips, &packs, today)),
        Err(Closed::NoJob) => Err(Unknown { message: "no job is in it".into(), hint: None }),
        Err(Closed::File(message)) => Err(Unknown { message, hint: None }),
    }
}

fn envelopes(options: &Options, ask: &Subject) -> Result<Answer, Unknown> {
    let pair = options.pair.as_deref().map(|pair| pair_of(ask.program, ask.job, options.device.as_deref(), pair)).transpose()?;
    let facts: Vec<FactUse> = match pair {
        Some((one, two)) => vec![one, two],
        None => asked_for(ask.program, ask.job, options.device.as_deref())?,
    };
    let made = EnvelopeReport {
        files: Files { packs: &ask.program.files, job: Some(ask.source) },
        title: title(ask.program, ask.job),
        envelopes: facts.iter().map(|fact| envelope(ask, *fact)).collect(),
        brief: options.device.is_none(),
    };
    let exit = made.exit();
    let (mut drawing, mut edges) = (None, String::new());
    if let (Some(_), [one, two]) = (pair, made.envelopes.as_slice()) {
        let region = crate::envelope::region(ask, one, two);
        drawing = Some(region::svg(&made, &region, [one, two]));
        edges = region::edges(&made, &region).iter().map(|(letter, text)| excerpt::under(&format!("edge {letter}"), text)).collect();
    }
    let report = match options.view {
        View::Text => report(&made) + &edges + &excerpt::under("caution", CAUTION),
        View::Lines => whole_lines(ask.today, &envelope_lines::envelopes(&made), exit),
    };
    Ok(Answer { report, drawing, exit })
}

/// The two facts of `--pair`, each of the device or with its own device before a stop.
fn pair_of(program: &Program, job: &Job, device: Option<&str>, pair: &str) -> Result<(FactUse, FactUse), Unknown> {
    let (one, two) = pair.split_once(',').ok_or_else(|| Unknown {
        message: format!("--pair {pair}: two measures are wanted"),
        hint: Some("write two facts with a comma between them, as in `height,offset`".into()),
    })?;
    let find = |name: &str| {
        let name = name.trim();
        let full = match device {
            Some(device) if !name.contains('.') => format!("{device}.{name}"),
            _ => name.to_string(),
        };
        match asked_for(program, job, Some(&full))?.as_slice() {
            [fact] => Ok(*fact),
            found => Err(Unknown {
                message: format!("--pair {name}: {} measures are called so", found.len()),
                hint: Some("name one device and one of its facts, as in `low.height`".into()),
            }),
        }
    };
    let (one, two) = (find(one)?, find(two)?);
    if one == two {
        return Err(Unknown { message: format!("--pair {pair}: that is one measure twice"), hint: None });
    }
    Ok((one, two))
}

/// Lines with those that begin and end a report.
fn whole_lines(today: Date, between: &str, exit: u8) -> String {
    Lines.begin(&today.to_string()) + between + &crate::report::lines::end(1, exit, None)
}

fn unjudged(options: &Options, source: &Source, slips: &[Slip], packs: &Sources, today: Date) -> Answer {
    let files = Files { packs, job: Some(source) };
    let report = match options.view {
        View::Text => text::unjudged(files, slips, false),
        View::Lines => whole_lines(today, &Lines.unjudged(files, slips), 2),
    };
    Answer { report, drawing: None, exit: 2 }
}
