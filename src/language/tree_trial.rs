//! The tree of trials: example jobs with what their author expects to be found. It owns plain data only; it must not know
//! which sections and verdicts exist.

use super::tree::{Name, Path, Target, Text};
use crate::source::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A job, and what its author expects to be found in it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Trial {
    /// Its name.
    pub name: Name,
    /// What it shows.
    pub title: Option<Text>,
    /// The base job: a file in the folder of the trials. Every time that it is written.
    pub jobs: Vec<Text>,
    /// What differs from the base job, in order.
    pub edits: Vec<Edit>,
    /// The day of judging. Every time that it is written.
    pub days: Vec<(Date, Span)>,
    /// The only sections that are asked, where it says so.
    pub asks: Vec<Target>,
    /// What is to be found.
    pub finds: Vec<Find>,
    /// Where it says that nothing is.
    pub finds_nothing: Option<Span>,
    /// Whether a clause of it could not be read, which has been told.
    pub spoiled: bool,
}

/// One difference from the base job.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Edit {
    /// Keys and ids, from the job down.
    pub way: Path,
    /// What stands there now, as YAML; without one, the key or record is taken out.
    pub value: Option<Text>,
}

/// One verdict that is expected.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Find {
    /// The section.
    pub target: Target,
    /// The letter of the clause.
    pub label: Option<Name>,
    /// The thing, as reports name it; left out where the job itself is asked.
    pub thing: Option<Text>,
    /// The verdict.
    pub verdict: Name,
    /// Where the whole stands.
    pub span: Span,
}

/// Small changes of the pack that no trial has to notice, with the reason.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Unnoticed {
    /// The section, table or formula that is changed.
    pub target: Target,
    /// The clause or exception.
    pub label: Option<Name>,
    /// The changes, in the words of the report.
    pub changes: Vec<Text>,
    /// Why nobody has to notice them.
    pub because: Option<Text>,
    /// Where the whole stands.
    pub span: Span,
}
