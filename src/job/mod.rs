//! Job files: YAML → located tree → records of the vocabulary. It must not know sections, verdicts or reports.

pub mod codes;
mod not_yaml;
pub mod read;
pub mod record;
pub mod recording;
pub mod refer;
pub mod scalar;
pub mod tolerance;
pub mod yaml;

pub use read::read_job;
pub use record::{Children, Fact, Job, Record, RecordId, Stated};
