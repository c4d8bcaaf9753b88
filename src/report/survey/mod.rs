//! The views of a survey: a job file to fill in, the same as a page with room to write, and the list of what is still to be measured.
//! It must not know how the questions were found.

pub mod failing;
pub mod fill_in;
pub mod list;
pub mod page;
pub mod words;
