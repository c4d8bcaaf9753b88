//! `pintle check`: judges job files and checks packs, in the view that is asked for. It must not know how verdicts come about.

use super::reuse::Reuse;
use super::run::{Asked, Kept, over};
use super::sink::{Sink, refusal, refusal_of_report, write_whole};
use super::units::Wanted;
use super::workbench::read_file;
use super::{Colour, complain, punch_list};
use crate::report::escape;
use crate::report::form::Form;
use crate::report::lines::Lines;
use crate::report::pins::{Pins, written};
use crate::report::plain::Plain;
use crate::report::punch_list::PunchList;
use crate::report::sarif::Sarif;
use crate::report::summary::Summary;
use crate::report::test_xml::TestXml;
use crate::report::text::Text;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle check examples/jobs/juniper-yard.yaml
  pintle check jobs/ --as plain --unfinished
  pintle check jobs/ --packs ordinances/ --as lines --out report.jsonl
  pintle check - --as lines < jobs.jsonl
  pintle check jobs/ --punch-list punch-list.yaml
  pintle check jobs/ --pins pins.yaml              (judges by no other text of the packs)
  pintle check ordinances/hasp-county.rules        (checks a pack by itself)

Exit codes; of several files the highest counts:
  0  every file was read and judged, and every mandatory clause that applies is met, excepted or excused
  1  a mandatory clause is not met, marginal or open: put it right, or agree with `pintle punch-list` that it may wait
  2  something could not be judged or written, so nothing is a pass: put right what is called a slip
  3  a fault of this program: please report it with the file";

/// Options of `pintle check`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Job files, folders of them, or packs; `-` for jobs on standard input: YAML documents, each behind a line `--- # NAME`, or
    /// JSON lines with `name` and `text`
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub paths: Vec<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    pub packs: Vec<PathBuf>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    pub view: View,
    /// Write the report to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    pub today: Option<Date>,
    /// How many jobs to judge at once; without it, one for each core
    #[arg(long, value_name = "NUMBER")]
    pub threads: Option<usize>,
    /// Let open verdicts pass, while a survey is going on; such jobs are counted as unfinished, not as ready
    #[arg(long)]
    pub unfinished: bool,
    /// Findings that were agreed upon (`pintle punch-list` writes the list): they are told, and only others make the check fail
    #[arg(long, value_name = "FILE")]
    pub punch_list: Option<PathBuf>,
    /// Packs whose text is agreed upon: by any other text nothing is judged
    #[arg(long, value_name = "FILE")]
    pub pins: Option<PathBuf>,
    /// Write down the packs that took part, for --pins; another file of pins gives way
    #[arg(long, value_name = "FILE", conflicts_with = "pins")]
    pub write_pins: Option<PathBuf>,
    /// Keep results in this file, and use those of the last run again where neither program, packs, options, day nor job changed
    #[arg(long, value_name = "FILE", conflicts_with = "write_pins")]
    pub reuse: Option<PathBuf>,
    /// The units of every number in the text and plain views
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    pub units: Wanted,
    /// Whether to use colour
    #[arg(long, value_enum, default_value = "auto", value_name = "WHEN")]
    pub colour: Colour,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// Findings drawn at their lines
    Text,
    /// One sentence a line, for logs and screen readers
    Plain,
    /// One JSON object a line; `pintle schema lines` describes it
    Lines,
    /// A log in the Static Analysis Results Interchange Format, 2.1.0
    Sarif,
    /// Test results for a build server; `pintle schema test-xml` describes them
    TestXml,
    /// One page of Markdown for a build's page
    Summary,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = refused(options) {
        return complain(&why);
    }
    match options.view {
        View::Text => write(options, &mut Text { colour: options.colour.wanted() && options.out.is_none() }),
        View::Plain => write(options, &mut Plain),
        View::Lines => write(options, &mut Lines),
        View::Sarif => write(options, &mut Sarif::default()),
        View::TestXml => write(options, &mut TestXml),
        View::Summary => write(options, &mut Summary::default()),
    }
}

/// Why a file that is asked for must not be written.
fn refused(options: &Options) -> Option<String> {
    let Options { paths, packs, punch_list, pins, out, write_pins, .. } = options;
    if options.units != Wanted::AsWritten && !matches!(options.view, View::Text | View::Plain) {
        return Some("--units is for the views text and plain; the others keep every number as its author wrote it".into());
    }
    let inputs: Vec<&Path> = paths.iter().chain(packs).chain(punch_list).chain(pins).map(PathBuf::as_path).collect();
    if paths.len() > 1 && paths.iter().any(|path| path.as_os_str() == "-") {
        return Some("`-` for standard input stands alone: name either files or it".to_string());
    }
    if let (Some(out), Some(write_pins)) = (out, write_pins)
        && out == write_pins
    {
        return Some(format!("--out and --write-pins name one file: {}", escape::path(out)));
    }
    if let (Some(out), Some(reuse)) = (out, &options.reuse)
        && out == reuse
    {
        return Some(format!("--out and --reuse name one file: {}", escape::path(out)));
    }
    let report = out.as_deref().and_then(|out| refusal_of_report("--out", out, &inputs));
    let report = report.or_else(|| options.reuse.as_deref().and_then(|place| refusal_of_report("--reuse", place, &inputs)));
    report.or_else(|| write_pins.as_deref().and_then(|to| refusal("--write-pins", to, &inputs).or_else(|| refusal_of_pins(to))))
}

/// Pins take the place of pins only: a job or a pack that stands there may be one that is judged, in a folder that was named.
fn refusal_of_pins(to: &Path) -> Option<String> {
    let pins = !to.exists() || read_file(to).is_ok_and(|source| Pins::read(source).slips.is_empty());
    (!pins).then(|| format!("--write-pins {}: what stands there is no file of pins; take it away first", escape::path(to)))
}

fn write<F: Form<Piece: Serialize + DeserializeOwned>>(options: &Options, form: &mut F) -> u8 {
    judge(options, form).unwrap_or_else(|why| complain(&why))
}

fn judge<F: Form<Piece: Serialize + DeserializeOwned>>(options: &Options, form: &mut F) -> Result<u8, String> {
    let list = options.punch_list.as_deref().map(punch_list::read).transpose()?;
    let pins = options.pins.as_deref().map(pins_of).transpose()?;
    let asked = Asked {
        paths: &options.paths,
        packs: &options.packs,
        today: super::today(options.today),
        threads: options.threads,
        unfinished: options.unfinished,
        units: options.units.units(),
        known: list.as_ref().map(|(list, folder)| (list, folder.as_path())),
        aside: options.punch_list.iter().chain(&options.pins).chain(&options.write_pins).map(PathBuf::as_path).collect(),
        pins: pins.as_ref(),
        streamed: options.paths.iter().any(|path| path.as_os_str() == "-"),
    };
    let kept =
        options.reuse.as_deref().map(|place| Reuse::open(place, &rests(options, &list, pins.as_ref())).map(Kept::new)).transpose()?;
    let done = over(&asked, form, Sink::open(options.out.as_deref())?, kept);
    let Some(to) = &options.write_pins else { return Ok(done.exit) };
    match written(&done.packs) {
        _ if done.packs.is_empty() => Err(format!("no pack took part, so {} is not written", escape::path(to))),
        Ok(text) => write_whole(to, &text).map(|()| done.exit),
        Err((one, other)) => {
            let places = format!("{} ({}) and {} ({})", one.place, one.digest, other.place, other.digest);
            Err(format!("two texts of pack `{}` took part, so {} is not written: {places}", one.name, escape::path(to)))
        }
    }
}

/// What the results of a run rest on besides program, packs and jobs: options, the day, the texts of lists and pins.
fn rests(options: &Options, list: &Option<(PunchList, PathBuf)>, pins: Option<&Pins>) -> Vec<String> {
    let Options { view, packs, today, unfinished, colour, out, units, .. } = options;
    let colour = colour.wanted() && out.is_none();
    let listed = list.as_ref().map(|(list, folder)| (list.source.text(), folder));
    vec![
        format!("{view:?} {units:?} {colour} {unfinished} {}", super::today(*today)),
        format!("{packs:?}"),
        format!("{listed:?}"),
        format!("{:?}", pins.map(|pins| pins.source.text())),
    ]
}

fn pins_of(path: &Path) -> Result<Pins, String> {
    read_file(path).map(Pins::read).map_err(|why| format!("--pins {}: {why}", escape::path(path)))
}
