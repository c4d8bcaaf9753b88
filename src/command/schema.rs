//! `pintle schema`: prints the schema of a job file, or of a machine-readable report. It must not know what a schema says.

use super::workbench::Workbench;
use super::{complain, missing_packs, sink::deliver};
use crate::report::{calcs, effect_lines, job_schema::job_schema, lines, revisit_lines, test_xml, trial_lines};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle schema job --codes us-gates,field-practice > job.schema.json
  pintle schema lines > lines.schema.json
  pintle schema test-xml > test-xml.xsd

An editor that knows JSON Schema completes keys and words of a job file by the first, says how each fact is measured, and marks a misspelt key while it is typed. Whether a value meets the codes only `pintle check` can say.";

/// Options of `pintle schema`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Of what
    #[arg(value_enum)]
    of: Of,
    /// For `job`: the packs that the job must meet, with commas between them
    #[arg(long, value_name = "PACKS", value_delimiter = ',', required_if_eq("of", "job"))]
    codes: Vec<String>,
    /// For `job`: a pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE", requires = "codes")]
    packs: Vec<PathBuf>,
}

/// Of what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Of {
    /// A job file by the vocabulary of the packs that `--codes` names
    Job,
    /// The document of `calcs --as json`
    Calcs,
    /// One line of `check --as lines`
    Lines,
    /// One line of `effect --as lines`
    Effect,
    /// One line of `revisit --as lines`
    Revisit,
    /// One line of `trial --as lines`
    Trial,
    /// `check --as test-xml`, as an XML Schema
    TestXml,
}

/// Prints the schema.
pub fn run(options: &Options) -> u8 {
    if options.of != Of::Job && !options.codes.is_empty() {
        return complain("--codes belongs to `pintle schema job`: the other schemas are the same for all packs");
    }
    match options.of {
        Of::Job => of_job(options),
        Of::Calcs => deliver(calcs::SCHEMA, None),
        Of::Lines => deliver(lines::SCHEMA, None),
        Of::Effect => deliver(effect_lines::SCHEMA, None),
        Of::Revisit => deliver(revisit_lines::SCHEMA, None),
        Of::Trial => deliver(trial_lines::SCHEMA, None),
        Of::TestXml => deliver(test_xml::SCHEMA, None),
    }
}

fn of_job(options: &Options) -> u8 {
    if let Some(why) = missing_packs(&options.packs) {
        return complain(&why);
    }
    let bench = Workbench::new(options.packs.clone());
    let compiled = bench.compile(bench.shelves_for(Path::new("")), options.codes.clone());
    match compiled.told() {
        Some(program) => deliver(&job_schema(program, &options.codes), None),
        None => complain("the packs could not be read, so there is no schema"),
    }
}
