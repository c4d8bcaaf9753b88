//! `pintle schema`: prints the schema of a machine-readable report. It must not know jobs or packs.

use crate::report::{calcs, effect_lines, lines, revisit_lines, test_xml};
use clap::{Args, ValueEnum};
use std::io::Write;

/// Options of `pintle schema`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  pintle schema lines > lines.schema.json\n  pintle schema test-xml > test-xml.xsd")]
pub struct Options {
    /// Of which report
    #[arg(value_enum)]
    of: Of,
}

/// Which report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Of {
    /// The document of `calcs --as json`
    Calcs,
    /// One line of `check --as lines`
    Lines,
    /// One line of `effect --as lines`
    Effect,
    /// One line of `revisit --as lines`
    Revisit,
    /// `check --as test-xml`, as an XML Schema
    TestXml,
}

/// Prints the schema.
pub fn run(options: &Options) -> u8 {
    let text = match options.of {
        Of::Calcs => calcs::SCHEMA,
        Of::Lines => lines::SCHEMA,
        Of::Effect => effect_lines::SCHEMA,
        Of::Revisit => revisit_lines::SCHEMA,
        Of::TestXml => test_xml::SCHEMA,
    };
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => 0,
        Err(error) => super::complain(&super::standard_failed(&error)),
    }
}
