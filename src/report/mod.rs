//! Reports: verdicts and rehearsals → terminal, plain sentences, JSON lines, calculations; packs → documents. Everything that a
//! file contains is escaped here. It must not judge anything.

pub mod calcs;
pub mod document;
pub mod effect;
pub mod effect_lines;
pub mod envelope_lines;
pub mod envelopes;
pub mod escape;
pub mod excerpt;
pub mod findings;
pub mod lines;
pub mod markdown;
pub mod page;
pub mod plain;
pub mod printed;
pub mod region;
pub mod slips;
pub mod text;
pub mod totals;
pub mod trial_lines;
pub mod trials;
