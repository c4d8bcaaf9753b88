//! Judging: a checked program and a job make verdicts. It must not know files, terminals or reports.

pub mod allowance;
pub mod both_ways;
pub mod built_in;
mod called;
pub mod compare;
mod condition;
pub mod derive;
pub mod doubt;
pub mod eval;
pub mod explain;
pub mod grantor;
pub mod in_doubt;
pub mod judge_section;
pub mod look_up;
pub mod near;
pub mod near_applying;
pub mod paths;
pub mod rank;
pub mod run;
pub mod value;
pub mod variance;
pub mod verdict;
pub mod void;
pub mod walks;
pub mod words;

pub use run::{Judgement, Subject, judge, judge_sections};
pub use verdict::{Judged, Verdict};
