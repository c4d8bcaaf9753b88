//! `pintle consolidate`: prints a code as it reads once adopted and amended, or the sources of the embedded packs. It must not
//! know how a document is made or drawn.

use super::choose::choose;
use super::sink::{deliver, refused};
use super::workbench::Workbench;
use super::{complain, tell};
use crate::language::adopt::adopt;
use crate::language::check::{Wanted, compile};
use crate::language::library::{Library, Shelf};
use crate::report::document::Document;
use crate::report::printed::sources_list::sources_list;
use crate::report::printed::{Printing, consolidated};
use crate::source::Files;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle consolidate examples/rules/hasp-county.rules --as html --out hasp-county.html
  pintle consolidate us-gates --out us-gates.md
  pintle consolidate --sources --out SOURCES.md    (every value of the embedded packs, with its source)

The HTML page is one file without script; it prints on A4 and on Letter.";

/// Options of `pintle consolidate`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// A pack: its name, its file or its folder
    #[arg(required_unless_present = "sources", value_name = "PACK")]
    pack: Option<PathBuf>,
    /// List every value of the embedded packs with its source instead
    #[arg(long, conflicts_with_all = ["pack", "packs"])]
    sources: bool,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// How to print it
    #[arg(long = "as", value_enum, default_value = "markdown", value_name = "VIEW")]
    view: View,
    /// Write it to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// How to print a document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum View {
    /// Markdown
    Markdown,
    /// One HTML file, to read or to print
    Html,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let inputs: Vec<&PathBuf> = options.pack.iter().collect();
    if let Some(why) = refused(&inputs, &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    let document = match &options.pack {
        Some(pack) => document_of(pack, &options.packs),
        None => Some(embedded_sources()),
    };
    let Some(document) = document else { return 2 };
    let text = match options.view {
        View::Markdown => document.markdown(),
        View::Html => document.html(),
    };
    deliver(&text, options.out.as_deref())
}

/// The list of the values of all embedded packs.
pub fn embedded_sources() -> Document {
    let mut library = Library::new(vec![Shelf::Embedded]);
    let packs: Vec<_> = library.names().iter().filter_map(|name| library.pack(name)).collect();
    sources_list(&packs, &library.sources)
}

/// A pack as a document; nothing where it has slips, which are told.
fn document_of(pack: &Path, places: &[PathBuf]) -> Option<Document> {
    let chosen = match choose(&Workbench::new(places.to_vec()), pack) {
        Ok(chosen) => chosen,
        Err(why) => {
            complain(&why);
            return None;
        }
    };
    let (name, mut library) = (chosen.name, Library::new(chosen.shelves));
    let (program, told) = compile(&mut library, &[Wanted { name: name.clone(), span: None }]);
    let notices = program.as_ref().map_or(&[][..], |program| program.notices.as_slice());
    let files = Files { packs: &library.sources, job: None };
    tell(told.iter().chain(notices), files);
    program.as_ref()?;
    let mut quiet = Vec::new();
    let code = adopt(&mut library, &name, &mut quiet)?;
    let floors: Vec<_> = code.minimums.iter().filter_map(|name| adopt(&mut library, name, &mut quiet)).collect();
    Some(consolidated(Printing { code: &code, floors: &floors, files: &library.sources }))
}
