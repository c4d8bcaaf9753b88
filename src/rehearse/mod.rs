//! Rehearsing a pack: its trials are run, then the pack is changed in small ways, and each change that no trial notices is
//! found. It must not know files, terminals or reports.

pub mod assumed;
pub mod base;
pub mod change;
pub mod cover;
pub mod expression;
pub mod made_up;
pub mod notice;
pub mod nudge;
pub mod offer;
pub mod offer_limits;
pub mod run;
pub mod text;
pub mod touched;
pub mod trial;
pub mod witness;
