//! `pintle survey`: a job file to fill in for a gate of one kind, or what is still to be measured of an existing job. It must not know
//! how questions are found or how a form looks.

use super::opened::Opened;
use super::sink::{deliver, refuse_out, refused, write_whole};
use super::workbench::Workbench;
use super::{ask, complain, tell, units};
use crate::judge::{Subject, judge};
use crate::language::program::Program;
use crate::quantity::Days;
use crate::report::escape;
use crate::report::findings::{Inputs, JobReport, report};
use crate::report::survey::{failing, fill_in, list, page};
use crate::survey::blank::{GATE, KIND, Known};
use crate::survey::open::{Open, open};
use crate::survey::{beside, form};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle survey --kind horizontal-slide --codes us-gates,field-practice --out yard.yaml
  pintle survey --kind swing --codes us-gates --permit-date 2026-03-02 --as html --out form.html
  pintle survey --kind swing --leaves 2 --codes us-gates,field-practice --out forecourt.yaml
  pintle survey --kind barrier-arm --codes us-gates,field-practice --drawn
  pintle survey examples/jobs/incomplete-survey.yaml
  pintle survey examples/jobs/incomplete-survey.yaml --as html --out still-open.html
  pintle survey juniper-yard.yaml --add   writes the open facts into the file, as comments

A form is a job file: what is not filled in is not known, and nothing passes by it. On a terminal, what a form needs and the line does not say is asked for.

Exit codes:
  0  the form is written, or nothing of the job is open and it is ready
  1  something of the job is open, or a mandatory clause is not met or marginal
  2  a file could not be read, written or judged";

/// Options of `pintle survey`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// A job file, to list what is still open of it; without it, a new form is made
    #[arg(value_name = "JOB", conflicts_with_all = ["kind", "codes", "drawn", "permit_date", "leaves"])]
    job: Option<PathBuf>,
    /// How the gate moves: horizontal-slide, swing, vertical-lift, vertical-pivot, overhead-pivot, barrier-arm or bifold
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// The packs that the job must meet, with commas between them
    #[arg(long, value_name = "PACKS", value_delimiter = ',')]
    codes: Vec<String>,
    /// How many leaves the gate has: a block for each, with its drive, its edges and what else is of one leaf
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=8))]
    leaves: u8,
    /// Ask for the points of a drawing as well, from which measures follow
    #[arg(long)]
    drawn: bool,
    /// The day on the permit, where it is known: what is not in force on it is not asked about
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    permit_date: Option<Date>,
    /// Add what is open to the job file, as commented lines beside the thing that lacks it
    #[arg(long, requires = "job", conflicts_with_all = ["view", "out"])]
    add: bool,
    /// How to write it; without it, a form is yaml and a list is text
    #[arg(long = "as", value_enum, value_name = "VIEW")]
    view: Option<View>,
    /// Write it to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
    /// The units of the samples beside each question, and of the values in what is not met besides
    #[arg(long, value_enum, default_value = "as-written", value_name = "UNITS")]
    units: units::Wanted,
}

/// How to write it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum View {
    /// A form: a job file to fill in
    Yaml,
    /// A list of what is open: plain text
    Text,
    /// One HTML file to print, with room to write
    Html,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let inputs: Vec<&PathBuf> = options.job.iter().collect();
    if let Some(why) = refused(&inputs, &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    match (&options.job, options.view) {
        (Some(_), Some(View::Yaml)) => complain("--as yaml makes a new form; of a job file there are `text` and `html`, and `--add`"),
        (None, Some(View::Text)) => complain("--as text lists what a job file lacks; a new form is `yaml` or `html`"),
        (Some(job), _) => of_job(options, job),
        (None, _) => new_form(options),
    }
}

/// What a form needs to be told.
struct Wanted {
    kind: Option<String>,
    codes: Vec<String>,
    out: Option<PathBuf>,
}

fn new_form(options: &Options) -> u8 {
    let mut wanted = Wanted { kind: options.kind.clone(), codes: options.codes.clone(), out: options.out.clone() };
    let bench = Workbench::new(options.packs.clone());
    let asks = (wanted.kind.is_none() || wanted.codes.is_empty()) && ask::can_ask();
    let shelves = || bench.shelves_for(wanted.out.as_deref().and_then(Path::parent).unwrap_or(Path::new("")));
    let shelves = shelves();
    if asks && wanted.codes.is_empty() {
        wanted.codes = ask::codes(&shelves);
    }
    if wanted.codes.is_empty() || wanted.kind.is_none() && !asks {
        return complain("a form needs --kind and --codes, as in `pintle survey --kind swing --codes us-gates`");
    }
    let compiled = bench.compile(shelves, wanted.codes.clone());
    let Some(program) = compiled.told() else { return complain("the packs could not be read, so there is no form") };
    if wanted.kind.is_none() {
        wanted.kind = ask::one_of("How does the gate move?", &kinds(program));
    }
    if asks && wanted.out.is_none() && ask::out_is_terminal() {
        wanted.out = ask::line("File to write (nothing: to the screen)", &[]).map(PathBuf::from);
        if let Some(why) = wanted.out.as_deref().and_then(|out| refuse_out(out, &options.packs)) {
            return complain(&why);
        }
    }
    let Some(kind) = wanted.kind else { return complain("a form needs --kind, the way in which the gate moves") };
    let known = Known {
        kind: &kind,
        permit: options.permit_date.map(Days::day),
        drawn: options.drawn,
        leaves: usize::from(options.leaves),
        units: options.units.units(),
    };
    let Some(form) = form(program, &known, super::today(options.today)) else { return complain(&unknown_kind(program, &kind)) };
    let text = match options.view {
        Some(View::Html) => page::html(program, &form),
        _ => fill_in::yaml(program, &form),
    };
    let done = deliver(&text, wanted.out.as_deref());
    if let Some(out) = wanted.out.as_deref().filter(|_| done == 0) {
        let next = match options.view {
            Some(View::Html) => {
                "print it and fill it in by hand; the same call without `--as html` makes the file to type it into".to_string()
            }
            _ => format!("fill in what you find; `pintle check {} --unfinished` says what is still open", escape::path(out)),
        };
        written(out, &format!("a form of {} questions; {next}", form.count));
    }
    done
}

/// Says on standard error what was written and what comes next.
fn written(out: &Path, what: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr().lock(), "{}: {what}", escape::path(out));
}

fn unknown_kind(program: &Program, kind: &str) -> String {
    match kinds(program).as_slice() {
        [] => "the packs know no kinds of gate".to_string(),
        known => format!("--kind {}: these are known: {}", escape::visible(kind), known.join(", ")),
    }
}

/// The kinds of gate that the vocabulary knows.
fn kinds(program: &Program) -> Vec<&str> {
    let gate = program.definition_named(GATE).map(|def| program.definition(def));
    let field = gate.and_then(|gate| Some(&gate.fields[gate.field(KIND)?]));
    match field.map(|field| &field.kind) {
        Some(crate::datum::Kind::Word(list)) => program.lists.texts(*list).collect(),
        _ => Vec::new(),
    }
}

fn of_job(options: &Options, path: &Path) -> u8 {
    let mut opened = match Opened::read(&Workbench::new(options.packs.clone()), path) {
        Ok(opened) => opened,
        Err(closed) => return closed.tell(path),
    };
    opened.job.units = options.units.units();
    tell(&opened.job.slips, opened.files());
    let subject = opened.subject(super::today(options.today));
    let Subject { program, job, source, variances, today } = subject;
    let judgement = judge(program, job, variances, today);
    let found = open(program, job, &judgement, today);
    let report = report(&Inputs { program, job, source, today, unfinished: false, all: false, known: None }, &judgement);
    let exit = report.exit.max(u8::from(!found.is_empty()));
    if options.add {
        if opened.spoiled() {
            return complain(&format!("{}: put its slips right first; nothing was added", escape::path(path)));
        }
        return add(path, &subject, &found, &report);
    }
    let text = match options.view {
        Some(View::Html) => list::html(&subject, &found, &report),
        _ => list::text(&subject, &found, &report),
    };
    let done = deliver(&text, options.out.as_deref());
    if let Some(out) = options.out.as_deref().filter(|_| done == 0) {
        let facts = if found.len() == 1 { "1 open fact".to_string() } else { format!("{} open facts", found.len()) };
        written(out, &format!("{facts}; `pintle survey {} --add` puts them into the job file as lines to fill in", escape::path(path)));
    }
    exit.max(done)
}

fn add(path: &Path, subject: &Subject, found: &[Open], report: &JobReport) -> u8 {
    let added = beside::add(subject.source, subject.program, subject.job, found, |open| list::line(subject, open));
    let exit = report.exit.max(u8::from(!found.is_empty()));
    if added.lines > 0 {
        // The mark of order that some editors put first is no part of the text that was read.
        let marked = std::fs::read(path).is_ok_and(|bytes| bytes.starts_with("\u{feff}".as_bytes()));
        let text = if marked { format!("\u{feff}{}", added.text) } else { added.text };
        if let Err(why) = write_whole(path, &text) {
            return complain(&why);
        }
    }
    let (lines, there) = (added.lines, added.there);
    let mut said = format!("{}: {lines} {} added, {there} there already", source_name(subject), if lines == 1 { "line" } else { "lines" });
    if added.left_out > 0 {
        said.push_str(&format!(", {} left out: the file has no place for them that would leave it as it is", added.left_out));
    }
    let said = format!("{said}\n{}\n", failing::state(report));
    exit.max(deliver(&said, None))
}

fn source_name<'s>(subject: &Subject<'s>) -> std::borrow::Cow<'s, str> {
    escape::visible(subject.source.name())
}
