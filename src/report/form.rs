//! What a way of reporting a run is: pieces that are drawn in parallel and put together in a fixed order. It must not know any
//! single way.

use super::ends::Tally;
use super::findings::JobReport;
use crate::language::program::{PackInfo, Program};
use crate::slip::Slip;
use crate::source::Files;

/// A pack that was checked by itself.
pub struct PackReport<'a> {
    /// Its place, as shown.
    pub path: &'a str,
    /// The pack's files.
    pub files: Files<'a>,
    /// The program that it makes, where it has no slips.
    pub program: Option<&'a Program>,
    /// What is told of it.
    pub slips: &'a [Slip],
    /// Why the pins forbid to look at it, in a few words; empty where they do not.
    pub against: &'a str,
    /// What it does to texts that it keeps as a minimum, a sentence each.
    pub minimums: &'a [String],
}

impl PackReport<'_> {
    /// What is known of the pack itself.
    pub fn info(&self) -> Option<&PackInfo> {
        let program = self.program?;
        program.codes.iter().find_map(|code| program.pack(&code.name))
    }

    /// What it holds, in one sentence.
    pub fn words(&self) -> String {
        let (Some(program), path) = (self.program, self.path) else {
            let why = if self.against.is_empty() { "slips to put right" } else { self.against };
            return format!("{}: {why}", self.path);
        };
        let (name, edition, hash) =
            self.info().map_or(("", "", ""), |pack| (pack.name.as_str(), pack.edition.as_str(), pack.hash.as_str()));
        let prefix = format!("{name}/");
        let sections = program.sections.iter().filter(|section| section.floor_of.is_none());
        let (mine, all) = (sections.clone().filter(|section| section.id.starts_with(&prefix)).count(), sections.count());
        format!(
            "{path}: {name} {edition} [{hash}] has no slips; {mine} section{} of its own, {all} with what it adopts",
            if mine == 1 { "" } else { "s" }
        )
    }
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ending {
    /// Files that were judged or could have been.
    pub judged: usize,
    /// The exit code.
    pub exit: u8,
    /// How many jobs and packs ended in which way.
    pub tally: Tally,
}

/// One way of reporting a run.
pub trait Form: Sync {
    /// What one job or pack gives, drawn beside others.
    type Piece: Send;

    /// Whether every verdict is wanted, and not only what has to be told.
    fn wants_all(&self) -> bool {
        false
    }

    /// How many targets are drawn before they are added: their pieces are held at once.
    fn batch(&self) -> usize {
        128
    }

    /// Whether a piece of an earlier run is the one that would be made now, where what is made hangs on what the report holds already.
    fn holds(&self, _piece: &Self::Piece) -> bool {
        true
    }

    /// How the report begins.
    fn begin(&mut self, _today: &str) -> String {
        String::new()
    }

    /// A judged job.
    fn job(&self, report: &JobReport, slips: &[Slip]) -> Self::Piece;

    /// A file that could not be judged at all.
    fn unjudged(&self, files: Files, slips: &[Slip]) -> Self::Piece;

    /// A job that is not judged, since the pins forbid it, with the reason in a few words. What they have against a pack is told once,
    /// at the end of the run.
    fn refused(&self, files: Files, why: &str) -> Self::Piece;

    /// A pack by itself.
    fn pack(&self, pack: &PackReport) -> Self::Piece;

    /// Slips of a file that belongs to the run and is no job: a punch list, pins.
    fn told(&self, files: Files, slips: &[Slip]) -> Self::Piece;

    /// Takes in the next piece; the result is what can be written by now.
    fn add(&mut self, piece: Self::Piece) -> String;

    /// A trouble of the run itself, which is told on standard error as well.
    fn trouble(&mut self, _what: &str) -> String {
        String::new()
    }

    /// How the report ends.
    fn end(&mut self, ending: &Ending) -> String;
}
