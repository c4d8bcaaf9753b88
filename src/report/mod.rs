//! Reports: verdicts → terminal, plain sentences, JSON lines. Everything that a file contains is escaped here. It must not
//! judge anything.

pub mod escape;
pub mod excerpt;
pub mod findings;
pub mod lines;
pub mod plain;
pub mod slips;
pub mod text;
pub mod totals;
