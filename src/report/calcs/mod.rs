//! Written-out calculations as text, as a page and as JSON: one content, three views. It must not know how a calculation came
//! about.

mod html;
mod phrases;
mod sheet;
pub(super) mod text;

use crate::calculation::Calculation;
use serde::Serialize;

pub use html::html;
pub use text::text;

/// Version of the JSON document; within one number fields are only added.
pub const SHAPE: u32 = 1;

/// The JSON Schema of the document.
pub const SCHEMA: &str = include_str!("calcs.schema.json");

/// The widest line of the text view.
pub const WIDTH: usize = 100;

/// A pack that took part.
#[derive(Clone, Debug, Serialize)]
pub struct Pack {
    /// Its name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// A short hash of its text.
    pub hash: String,
    /// Where it was found.
    pub place: String,
}

/// Everything that is shown: the calculations that were asked for of one job.
#[derive(Clone, Debug, Serialize)]
pub struct Document {
    /// Version of the shape.
    pub shape: u32,
    /// The program.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The day of judging.
    pub today: String,
    /// The job file.
    pub file: String,
    /// The job's title.
    pub title: String,
    /// Packs that took part.
    pub packs: Vec<Pack>,
    /// The calculations.
    pub calculations: Vec<Calculation>,
    /// What the reader must know.
    pub caution: &'static str,
}

/// The document as JSON. Characters that could change how a terminal takes what follows are written as JSON escapes.
pub fn json(document: &Document) -> String {
    // Our own plain structs of texts and numbers always serialise.
    let text = serde_json::to_string_pretty(document).unwrap_or_default();
    super::escape::json(&text).into_owned() + "\n"
}
