//! Envelopes: for a measure of a device, every value with which all sections in force are met, the rest of the job as it is.
//! Found by judging the job itself with the measure put in as bounds, so every pack's rules take part. It must not know files,
//! terminals or reports.
//!
//! A value is *good* where each verdict that can depend on it is met, excepted, excused or not applicable; it *waits* where one of
//! them is open, since another fact is missing; else it is *bad*. Judging is three-valued and learning a fact never flips a sure
//! verdict, so bounds that come out good are good throughout, and bounds that surely fail are bad throughout; what is neither is
//! cut in two.

pub mod chosen;
pub mod clause;
pub mod concern;
pub mod domain;
pub mod edges;
pub mod ends;
pub mod facts;
pub mod measure;
pub mod region;
pub mod simplest;
pub mod solve;
pub mod trial;

pub use facts::asked_for;
pub use measure::{Envelope, envelope};
pub use region::{Region, region};
