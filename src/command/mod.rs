//! The command line: one file a command. It must not know how anything is judged or drawn.

pub mod ask;
pub mod calcs;
pub mod check;
pub mod choose;
pub mod clock;
pub mod consolidate;
pub mod draw;
pub mod effect;
pub mod envelope;
pub mod gather;
pub mod manual;
pub mod neaten;
pub mod opened;
pub mod punch_list;
pub mod reuse;
pub mod revisit;
pub mod run;
pub mod schema;
pub mod sheet;
pub mod sink;
pub mod site_out;
pub mod stream;
pub mod survey;
pub mod trial;
pub mod trial_place;
pub mod units;
pub mod workbench;

use clap::{Parser, Subcommand, ValueEnum};
use std::io::Write;

/// Which exit code means what; shown by `--help`.
const EXIT_CODES: &str = "Exit codes:
  0  every file was read and judged, and every mandatory clause that applies is met, excepted or excused
  1  a mandatory clause is not met, marginal or open (--unfinished lets open pass, --punch-list what was agreed upon)
  2  something could not be judged: wrong usage, no job found, slips in a file, nothing applies, a report not written
  3  a fault of this program

A check of what was written down against the packs named, not a certificate. The local authority and licensed practice decide.";

/// Checks jobs of automated vehicle gates against rule packs and points at the line.
#[derive(Debug, Parser)]
#[command(name = "pintle", version, about, after_help = EXIT_CODES, disable_help_subcommand = true)]
pub struct Line {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
// By the course of a job; then what authors of packs need, then what programs need.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a job file to fill in, or list what of a job is still to be measured
    Survey(survey::Options),
    /// Judge job files, or folders of them, by the packs that each job names
    Check(check::Options),
    /// Find the range of each measure of a device that meets every section at once
    Envelope(envelope::Options),
    /// Write out the calculation behind verdicts of a job, step by step
    Calcs(calcs::Options),
    /// Draw a gate of a job to scale: plan, elevation or section
    Draw(draw::Options),
    /// Write the handover sheet of a job, or of every job of a folder
    Sheet(sheet::Options),
    /// Set two surveys of one site beside each other: what moved, what is worse, what is due
    Revisit(revisit::Options),
    /// Write down the findings that are agreed to wait, and take off what is no longer found
    PunchList(punch_list::Options),
    /// Run the trials of a pack, change the pack in small ways, and list each change that no trial notices
    Trial(trial::Options),
    /// Print a code as it reads once adopted and amended
    Consolidate(consolidate::Options),
    /// Tell what a change of the codes does to jobs
    Effect(effect::Options),
    /// Lay rule files out in the one layout
    Neaten(neaten::Options),
    /// Print the schema of job files, or of a machine-readable report
    Schema(schema::Options),
    /// Write manual pages, print shell completions
    Manual(manual::Options),
}

/// Whether to use colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// In any case
    Always,
    /// Never
    Never,
}

impl Colour {
    /// Whether standard output is to be coloured.
    pub fn wanted(self) -> bool {
        use std::io::IsTerminal;
        let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
            || std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        match self {
            Colour::Auto => !plain && std::io::stdout().is_terminal(),
            Colour::Always => true,
            Colour::Never => false,
        }
    }
}

/// Reads a day of the command line as job files are read.
///
/// # Errors
/// A sentence, when it is no single day.
pub fn day(text: &str) -> Result<jiff::civil::Date, String> {
    match crate::quantity::Days::read(text) {
        Ok(days) if days.is_known() => Ok(days.first),
        Ok(_) => Err("one day is wanted here: year-month-day, as in 2026-03-02".into()),
        Err((message, hint)) => Err(format!("{message}; {hint}")),
    }
}

/// The day of judging: as given, or the day of the clock.
pub fn today(given: Option<jiff::civil::Date>) -> jiff::civil::Date {
    given.unwrap_or_else(clock::day)
}

/// Why standard output failed; nothing is said when the reader has simply gone away.
pub fn standard_failed(error: &std::io::Error) -> String {
    if error.kind() == std::io::ErrorKind::BrokenPipe { String::new() } else { format!("the report cannot be written: {error}") }
}

/// What is wrong with the places named by `--packs`: the first that is not there.
pub fn missing_packs(packs: &[std::path::PathBuf]) -> Option<String> {
    let place = packs.iter().find(|place| !place.exists())?;
    Some(format!("--packs {}: there is no such file or folder", crate::report::escape::path(place)))
}

/// Tells a trouble of the run itself; it is the exit code of one that could not judge.
pub fn complain(why: &str) -> u8 {
    if why.is_empty() {
        return 2;
    }
    let _ = writeln!(std::io::stderr().lock(), "pintle: {}", crate::report::escape::visible(why));
    2
}

/// Tells slips on standard error.
pub fn tell<'s>(told: impl IntoIterator<Item = &'s crate::slip::Slip>, files: crate::source::Files) {
    for slip in told {
        let _ = std::io::stderr().lock().write_all(crate::report::slips::sentence(slip, files).as_bytes());
    }
}

/// Works on a file; a fault of ours is a sentence that names it.
///
/// # Errors
/// Where the program failed.
pub fn guarded<T>(name: &str, work: impl FnOnce() -> T) -> Result<T, String> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(work))
        .map_err(|_| format!("{name}: a fault of this program; please report it with the file"))
}

/// Shows help, or what is wrong with a command line; the result is the exit code. What the line held is written out.
pub fn show_usage(error: &clap::Error) -> u8 {
    let lines: Vec<String> = error.render().to_string().lines().map(|line| crate::report::escape::visible(line).into_owned()).collect();
    let text = lines.join("\n") + "\n";
    if error.use_stderr() {
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
        return 2;
    }
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => 0,
        Err(error) => complain(&standard_failed(&error)),
    }
}

/// Runs a command; the result is the exit code.
pub fn run(line: &Line) -> u8 {
    match &line.command {
        Command::Survey(options) => survey::run(options),
        Command::Check(options) => check::run(options),
        Command::Envelope(options) => envelope::run(options),
        Command::Calcs(options) => calcs::run(options),
        Command::Draw(options) => draw::run(options),
        Command::Sheet(options) => sheet::run(options),
        Command::Revisit(options) => revisit::run(options),
        Command::PunchList(options) => punch_list::run(options),
        Command::Trial(options) => trial::run(options),
        Command::Consolidate(options) => consolidate::run(options),
        Command::Effect(options) => effect::run(options),
        Command::Neaten(options) => neaten::run(options),
        Command::Schema(options) => schema::run(options),
        Command::Manual(options) => manual::run(options),
    }
}
