//! `pintle survey`: a job file to fill in for a gate of one kind, or what is still to be measured of an existing job. It must not know
//! how questions are found or how a form looks.

use super::sink::refuse_out;
use super::workbench::{Compiled, Workbench};
use super::{complain, file_out};
use crate::language::program::Program;
use crate::quantity::Days;
use crate::report::survey::{fill_in, page};
use crate::report::{escape, slips};
use crate::source::Files;
use crate::survey::blank::{GATE, KIND, Known};
use crate::survey::form;
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle survey --kind horizontal-slide --codes us-gates,field-practice --out yard.yaml
  pintle survey --kind swing --codes us-gates --permit-date 2026-03-02 --as page --out form.html
  pintle survey --kind barrier-arm --codes us-gates,field-practice --drawn

Exit codes: 0 where the form was written, 2 where not.";

/// Options of `pintle survey`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// How the gate moves, as in horizontal-slide
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// The packs that the job must meet, with commas between them
    #[arg(long, value_name = "PACKS", value_delimiter = ',')]
    codes: Vec<String>,
    /// Ask for the points of a drawing as well, from which measures follow
    #[arg(long)]
    drawn: bool,
    /// The day on the permit, where it is known: what is not in force on it is not asked about
    #[arg(long, value_name = "DAY")]
    permit_date: Option<Date>,
    /// How to write it; by itself, yaml for a form
    #[arg(long = "as", value_enum, value_name = "VIEW")]
    view: Option<View>,
    /// Write it to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// The day of judging, as year-month-day; by itself, the day of the clock
    #[arg(long, value_name = "DAY")]
    today: Option<Date>,
}

/// How to write it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum View {
    /// A job file to fill in
    Yaml,
    /// One HTML file to print, with room to write
    Page,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    if let Some(why) = super::missing_packs(&options.packs) {
        return complain(&why);
    }
    if let Some(why) = options.out.as_deref().and_then(|out| refuse_out(out, &options.packs)) {
        return complain(&why);
    }
    new_form(options)
}

fn new_form(options: &Options) -> u8 {
    let (Some(kind), false) = (&options.kind, options.codes.is_empty()) else {
        return complain("a form needs --kind and --codes, as in `pintle survey --kind swing --codes us-gates`");
    };
    let bench = Workbench::new(options.packs.clone());
    let folder = options.out.as_deref().and_then(Path::parent).unwrap_or(Path::new(""));
    let compiled = bench.compile(bench.shelves_for(folder), options.codes.clone());
    let Some(program) = told(&compiled) else { return complain("the packs could not be read") };
    let known = Known { kind, permit: options.permit_date.map(Days::day), drawn: options.drawn };
    let Some(form) = form(program, &known, super::today(options.today)) else { return complain(&unknown_kind(program, kind)) };
    let text = match options.view.unwrap_or(View::Yaml) {
        View::Yaml => fill_in::yaml(program, &form),
        View::Page => page::html(program, &form),
    };
    file_out::deliver(&text, options.out.as_deref())
}

/// The program of the packs, where they have no slips; what they have is told.
fn told(compiled: &Compiled) -> Option<&Program> {
    let files = Files { packs: &compiled.sources, job: None };
    for slip in compiled.slips.iter().chain(compiled.program.iter().flat_map(|program| &program.notices)) {
        let _ = std::io::stderr().lock().write_all(slips::sentence(slip, files).as_bytes());
    }
    compiled.program.as_ref()
}

fn unknown_kind(program: &Program, kind: &str) -> String {
    format!("--kind {}: these are known: {}", escape::visible(kind), kinds(program).join(", "))
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
