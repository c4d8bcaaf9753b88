//! `pintle neaten`: lays rule files out in the one layout, in place. It must not know what the layout is.

use super::sink::write_whole;
use super::{complain, tell};
use crate::language::library::rule_files;
use crate::neaten::{Refused, neaten};
use crate::report::escape;
use crate::source::{Files, Source, Sources, read_plain};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle neaten ordinances/hasp-county.rules       (lays the file out in place)
  pintle neaten --check rules/                     (tells which files would change, and changes none)

Comments, and what the rules say, stay as they are. A file with slips is not touched.

Exit codes:
  0  every file is laid out
  1  --check: a file would change
  2  a file has slips or could not be read or written; the others are laid out all the same
  3  a fault of this program; the file is left as it is";

/// Options of `pintle neaten`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Rule files, or folders of them
    #[arg(required = true, value_name = "FILE|FOLDER")]
    paths: Vec<PathBuf>,
    /// Change nothing: name the files that would change, and end with 1 if there are any
    #[arg(long)]
    check: bool,
}

/// What became of a file.
enum Outcome {
    AsItWas,
    Changed,
    Failed(u8),
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let mut exit = 0;
    let mut files = Vec::new();
    for path in &options.paths {
        let found = rule_files_below(path);
        if found.is_empty() {
            let why = if path.exists() { "no rule file is there; their names end in .rules" } else { "there is no such file or folder" };
            exit = exit.max(complain(&format!("{}: {why}", escape::path(path))));
        }
        files.extend(found.into_iter().filter(|file| !files.contains(file)).collect::<Vec<_>>());
    }
    for file in &files {
        match lay_out(file, options.check) {
            Outcome::AsItWas => {}
            Outcome::Changed => {
                exit = exit.max(u8::from(options.check));
                if let Err(error) = writeln!(std::io::stdout().lock(), "{}", escape::visible(&escape::path(file))) {
                    return complain(&super::standard_failed(&error)).max(exit);
                }
            }
            Outcome::Failed(code) => exit = exit.max(code),
        }
    }
    exit
}

/// The rule files that a path names: itself, or all below it, in the order of their names.
fn rule_files_below(path: &Path) -> Vec<PathBuf> {
    if !path.is_dir() {
        return rule_files(path);
    }
    let hidden = |entry: &walkdir::DirEntry| entry.depth() > 0 && entry.file_name().to_string_lossy().starts_with('.');
    let entries = walkdir::WalkDir::new(path).sort_by_file_name().into_iter().filter_entry(|entry| !hidden(entry)).filter_map(Result::ok);
    let folders = entries.filter(|entry| entry.file_type().is_dir());
    folders.flat_map(|folder| rule_files(folder.path())).collect()
}

fn lay_out(path: &Path, check: bool) -> Outcome {
    let name = escape::path(path);
    let bytes = match read(path) {
        Ok(bytes) => bytes,
        Err(why) => return Outcome::Failed(complain(&format!("{name}: {why}"))),
    };
    let mut files = Sources::default();
    let Some(source) = String::from_utf8(bytes).ok().map(|text| files.add(Source::new(name.clone(), text))) else {
        return Outcome::Failed(complain(&format!("{name}: not UTF-8; the file is left as it is")));
    };
    let Some(source) = files.get(source) else { return Outcome::Failed(3) };
    match neaten(source) {
        Ok(neat) if neat == source.text() => Outcome::AsItWas,
        Ok(_) if check => Outcome::Changed,
        Ok(neat) => match write_whole(path, &neat) {
            Ok(()) => Outcome::Changed,
            Err(why) => Outcome::Failed(complain(&format!("{why}; the file is left as it is"))),
        },
        Err(Refused::Slips(told)) => {
            let files = Files { packs: &files, job: None };
            tell(&told, files);
            Outcome::Failed(complain(&format!("{name}: slips to put right; the file is left as it is")))
        }
        Err(Refused::Changed) => {
            complain(&format!("{name}: a fault of this program: its layout would change the rules; the file is left as it is"));
            Outcome::Failed(3)
        }
    }
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    let most = crate::language::grammar::LARGEST_FILE as u64;
    read_plain(path, most, |size| format!("{size} bytes; at most {most} are read"))
}
