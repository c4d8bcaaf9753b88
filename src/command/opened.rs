//! One job opened for a command: its file, the packs that it names, its records and variances; what keeps it from being judged is
//! told. It must not know what the command does with it.

use super::workbench::{Read, Workbench, read_file};
use super::{complain, tell};
use crate::job::Job;
use crate::judge::Subject;
use crate::judge::variance::{Variance, variances};
use crate::language::library::Shelf;
use crate::language::program::Program;
use crate::report::escape;
use crate::slip::Slip;
use crate::source::{Files, Source, Sources};
use jiff::civil::Date;
use std::path::Path;
use std::sync::Arc;

/// A job that has been read by the packs that it names.
pub struct Opened {
    /// The job file.
    pub source: Source,
    /// The packs.
    pub program: Arc<Program>,
    /// Its records, with the slips of job and variances.
    pub job: Box<Job>,
    /// The variances that are granted.
    pub granted: Vec<Variance>,
}

/// Why a job is not there to be judged.
pub enum Closed {
    /// The file cannot be read; a sentence without the file's name.
    File(String),
    /// Job or packs have slips, in files that they point into.
    Slips(Source, Vec<Slip>, Sources),
    /// A YAML file of something else.
    NoJob,
}

impl Opened {
    /// Opens a file that the user named.
    ///
    /// # Errors
    /// Where there is no job that could be judged.
    pub fn read(bench: &Workbench, path: &Path) -> Result<Opened, Closed> {
        let source = read_file(path).map_err(Closed::File)?;
        Opened::of(bench, bench.shelves_for(path.parent().unwrap_or(Path::new(""))), source, true)
    }

    /// Opens a job whose file has been read, by packs on these shelves; `named` says that the user named the file.
    ///
    /// # Errors
    /// Where there is no job that could be judged.
    pub fn of(bench: &Workbench, shelves: Vec<Shelf>, source: Source, named: bool) -> Result<Opened, Closed> {
        match bench.read(&source, shelves, named) {
            Read::Job(program, mut job) => {
                let (granted, told) = variances(&program, &job, &source);
                job.slips.extend(told);
                Ok(Opened { source, program, job, granted })
            }
            Read::Failed(told, compiled) => Err(Closed::Slips(source, told, compiled.sources.clone())),
            Read::NoJob => Err(Closed::NoJob),
        }
    }

    /// The job, or its slips where some of it was not read.
    ///
    /// # Errors
    /// Where a slip leaves something out.
    pub fn whole(self) -> Result<Opened, Closed> {
        if self.spoiled() { Err(Closed::Slips(self.source, self.job.slips, self.program.files.clone())) } else { Ok(self) }
    }

    /// Whether a slip left something out.
    pub fn spoiled(&self) -> bool {
        self.job.slips.iter().any(|slip| !slip.harmless)
    }

    /// The job as it is judged on a day.
    pub fn subject(&self, today: Date) -> Subject<'_> {
        Subject { program: &self.program, job: &self.job, source: &self.source, variances: &self.granted, today }
    }

    /// The files that its slips point into.
    pub fn files(&self) -> Files<'_> {
        Files { packs: &self.program.files, job: Some(&self.source) }
    }
}

impl Closed {
    /// Tells it; the result is the exit code.
    pub fn tell(&self, path: &Path) -> u8 {
        match self {
            Closed::File(why) => complain(&format!("{}: {why}", escape::path(path))),
            Closed::Slips(source, told, packs) => {
                tell(told, Files { packs, job: Some(source) });
                complain(&format!("{} could not be judged", source.name()))
            }
            Closed::NoJob => complain(&format!("{}: no job is in it", escape::path(path))),
        }
    }

    /// The same as sentences, for programs that embed this one.
    pub fn sentences(&self) -> Vec<String> {
        match self {
            Closed::File(why) => vec![why.clone()],
            Closed::Slips(_, told, _) => told.iter().map(|slip| format!("{}: {}", slip.name, slip.message)).collect(),
            Closed::NoJob => vec!["no job".into()],
        }
    }
}
