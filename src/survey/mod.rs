//! What is to be found out of a job: the questions that the codes in force can use for a gate of one kind, in the order of a walk round
//! it; what of an existing job is still open; what moved between two surveys. It must not know files, terminals or reports.

pub mod again;
pub mod answer;
pub mod beside;
pub mod blank;
pub mod dates;
pub mod due;
pub mod form;
pub mod later;
pub mod named;
pub mod needs;
pub mod open;
pub mod order;
pub mod papers;

pub use form::{Form, Part, Question, form};
