//! A job as records of the vocabulary: facts with their places, lists, what is not there. It must not know YAML.

use crate::datum::{Datum, DefId};
use crate::quantity::{Dimension, Exact, Units};
use crate::slip::Slip;
use crate::source::Span;

/// A record of a job, by its position; the first is the job itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RecordId(pub u32);

impl RecordId {
    /// The job itself.
    pub const ROOT: RecordId = RecordId(0);
}

/// Where the tolerance of a measured value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToleranceFrom {
    /// The value is not one that is measured.
    NotMeasured,
    /// It stands beside the value.
    Own,
    /// The job states it for all values of the kind.
    Job,
    /// Nobody states one: the value is judged as read.
    Nowhere,
}

/// A fact that the job states.
#[derive(Clone, Debug)]
pub struct Stated {
    /// Its value; with a tolerance, an interval.
    pub datum: Datum,
    /// The number as read, where a tolerance made an interval of it.
    pub as_read: Option<Exact>,
    /// Where the tolerance comes from.
    pub tolerance: ToleranceFrom,
    /// Where the value stands.
    pub span: Span,
    /// Where its key stands.
    pub key: Span,
    /// What it was before the work.
    pub as_found: Option<(Datum, Span)>,
    /// Who saw it, when, with what: key and text.
    pub notes: Vec<(String, String)>,
    /// The last digit as written, in base units, where it is a number.
    pub digit: Option<Exact>,
    /// Facts that it was worked out from, where the job does not state it itself.
    pub follows: Vec<(RecordId, usize)>,
}

impl Stated {
    /// A value that is not a measured number.
    pub fn plain(datum: Datum, span: Span) -> Stated {
        Stated {
            datum,
            as_read: None,
            tolerance: ToleranceFrom::NotMeasured,
            span,
            key: span,
            as_found: None,
            notes: Vec::new(),
            digit: None,
            follows: Vec::new(),
        }
    }
}

/// A fact of a record.
#[derive(Clone, Debug)]
pub enum Fact {
    /// The job does not state it.
    Absent,
    /// Its key is there with nothing after it, as in a form that is not filled in.
    Blank(Span),
    /// The job says that there is none.
    Nothing(Span),
    /// The job states it.
    Stated(Box<Stated>),
    /// What the job states cannot be read; a slip tells why.
    Spoiled(Span),
}

/// A list or single record below a record.
#[derive(Clone, Debug)]
pub enum Children {
    /// The job does not state it: there may be any number.
    Unknown(Option<Span>),
    /// The job says that there is none.
    Nothing(Span),
    /// These.
    Given(Vec<RecordId>, Span),
}

/// A record.
#[derive(Clone, Debug)]
pub struct Record {
    /// Its kind.
    pub def: DefId,
    /// Its id; a single record has none.
    pub id: Option<String>,
    /// The place that stands for it: its id, else its key.
    pub span: Span,
    /// The record that holds it.
    pub parent: Option<RecordId>,
    /// Its facts, in the order of the definition.
    pub facts: Vec<Fact>,
    /// Its lists and single records, in the order of the definition's children.
    pub children: Vec<Children>,
}

/// A code that the job names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeName {
    /// The pack.
    pub name: String,
    /// The edition, where the job names one.
    pub edition: Option<String>,
    /// Where it stands.
    pub span: Span,
}

/// A job; by itself, one without records.
#[derive(Clone, Debug, Default)]
pub struct Job {
    /// Its records; the first is the job itself.
    pub records: Vec<Record>,
    /// Slips of reading.
    pub slips: Vec<Slip>,
    /// Tolerances that the job states, by what they are of.
    pub tolerances: Vec<(Dimension, Exact)>,
    /// Measured values with no stated tolerance that some section reads: whose, and which fact.
    pub judged_as_read: Vec<(RecordId, usize)>,
    /// Recordings that the job names and that are still to be read.
    pub recordings: Vec<Named>,
    /// Whether files beside the job took part in reading it.
    pub rests_on_files: bool,
    /// The units in which whoever asked wants to see numbers; no verdict depends on it.
    pub units: Units,
}

/// A recording that the job names: whose fact, which, the file's name and where it stands.
#[derive(Clone, Debug)]
pub struct Named {
    /// The record.
    pub record: RecordId,
    /// The fact.
    pub field: usize,
    /// The name of the file.
    pub file: String,
    /// Where the job names it.
    pub span: Span,
    /// Where its key stands.
    pub key: Span,
}

impl Job {
    /// A record.
    pub fn record(&self, id: RecordId) -> &Record {
        &self.records[id.0 as usize]
    }
}
