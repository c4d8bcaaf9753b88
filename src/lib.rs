//! x
pub mod source;
pub mod slip;
pub mod quantity;
pub mod datum;
pub mod builtin;
pub mod language;
pub mod job;
pub mod judge;
pub mod report;
pub mod command;
