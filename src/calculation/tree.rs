//! The calculation as plain data, which every view shows and the JSON is made of. It must not know how it came about.

use serde::Serialize;

/// The written-out calculation of one clause for one thing.
#[derive(Clone, Debug, Serialize)]
pub struct Calculation {
    /// `pack/section`.
    pub section: String,
    /// The clause's letter.
    pub clause: String,
    /// The section's title.
    pub title: String,
    /// `shall` or `should`.
    pub modal: &'static str,
    /// What was judged.
    pub thing: String,
    /// The verdict, as a word.
    pub verdict: &'static str,
    /// The clause as its author wrote it.
    pub written: String,
    /// Where the clause stands in its pack.
    pub place: Option<Place>,
    /// Why it is asked, or not: dates, what it applies to, its own condition.
    pub asked: Vec<Condition>,
    /// The steps, in the order in which they are reckoned.
    pub steps: Vec<Step>,
    /// The step that decides: that of the clause itself, or of the exception that holds.
    pub decided_by: Option<usize>,
    /// Exceptions that were looked at.
    pub exceptions: Vec<Condition>,
    /// What carries the verdict in spite of the clause: an exception or a variance, with what is on record of it.
    pub carried_by: Option<Carried>,
    /// What is missing.
    pub missing: Vec<Missing>,
    /// What cannot be computed.
    pub obstacles: Vec<String>,
    /// What is taken as something because the job does not state it.
    pub assumed: Vec<String>,
    /// Measured values for which no tolerance is stated: they are judged as read.
    pub as_read: Vec<String>,
    /// What to do.
    pub remedy: String,
    /// Where the clause comes from.
    pub sources: Vec<Cited>,
    /// The pack whose minimum stands here.
    pub minimum_of: Option<String>,
    /// Packs that amended the section.
    pub amended_by: Vec<String>,
    /// Whether some steps are not written out because there are too many.
    pub cut_short: bool,
}

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
}

/// A value for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Shown {
    /// The value with its unit.
    pub text: String,
    /// Whether a digit was rounded off.
    pub rounded: bool,
}

impl Shown {
    /// A text that is no number.
    pub fn words(text: impl Into<String>) -> Shown {
        Shown { text: text.into(), rounded: false }
    }

    /// The value within a line, marked where it is rounded.
    pub fn marked(&self) -> String {
        if self.rounded { format!("≈{}", self.text) } else { self.text.clone() }
    }

    /// The sign that may stand between a calculation and this result.
    pub fn sign(&self) -> &'static str {
        if self.rounded { "≈" } else { "=" }
    }
}

/// Where something comes from, and how it is known.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cited {
    /// What the source is.
    pub title: String,
    /// The place in it.
    pub clause: String,
    /// `published`, `practice` or `invented`.
    pub standing: &'static str,
    /// Whether nobody looked it up.
    pub from_memory: bool,
}

/// A condition with what has come of it.
#[derive(Clone, Debug, Serialize)]
pub struct Condition {
    /// What it is there for: `applies to each run`, `if`, `exception (1)`.
    pub what: String,
    /// As its author wrote it.
    pub written: String,
    /// With the values put in.
    pub put_in: String,
    /// `yes`, `no` or `not sure`.
    pub outcome: &'static str,
    /// Where its values come from.
    pub inputs: Vec<Input>,
}

/// A step of the calculation.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// Its number, from 1.
    pub number: usize,
    /// What it reckons, in a few words.
    pub title: String,
    /// What the author says of it.
    pub says: Option<String>,
    /// Branches that were chosen on the way, and why.
    pub choices: Vec<Condition>,
    /// As its author wrote it.
    pub written: String,
    /// With the numbers put in.
    pub put_in: String,
    /// The result.
    pub result: Shown,
    /// Where each number comes from.
    pub inputs: Vec<Input>,
    /// What the step does besides plain arithmetic.
    pub detail: Detail,
    /// Where the formula or the table comes from.
    pub sources: Vec<Cited>,
    /// Where it stands in its pack.
    pub place: Option<Place>,
}

/// What a step does besides plain arithmetic.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Detail {
    /// Arithmetic and nothing else.
    Arithmetic,
    /// One of two values, and it is not known which.
    Undecided,
    /// A row of a table.
    LookUp(LookUp),
    /// What is made of several things, or asked of each of them.
    Members(Members),
    /// A built-in calculation.
    BuiltIn(BuiltIn),
    /// A value against its limit.
    Comparison(Comparison),
    /// Conditions that count together.
    Together(Together),
    /// A condition that reckons with nothing.
    Condition,
}

/// A number that goes into a step.
#[derive(Clone, Debug, Serialize)]
pub struct Input {
    /// As the expression names it.
    pub written: String,
    /// Its value.
    pub shown: Shown,
    /// Where it comes from.
    pub from: Origin,
}

/// Where a number comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Origin {
    /// A fact of the job.
    Fact(Given),
    /// An earlier step.
    Step {
        /// Its number.
        number: usize,
    },
    /// What a formula was given.
    Argument {
        /// With the numbers put in.
        put_in: String,
    },
    /// A cell of the row that the section is asked of.
    Row {
        /// The table and the keys of the row.
        row: String,
        /// Its own citation.
        cite: Option<String>,
        /// Where the table comes from.
        sources: Vec<Cited>,
        /// Where it stands.
        place: Option<Place>,
    },
    /// The day of judging.
    Today,
}

/// A fact as the job gives it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Given {
    /// As the vocabulary names it: `run.length`.
    pub name: String,
    /// Whose it is.
    pub thing: String,
    /// As the job wrote it; nothing where it does not state it.
    pub as_written: Option<String>,
    /// Where it stands in the job.
    pub place: Option<Place>,
    /// Whether it is assumed because the job does not state it.
    pub assumed: bool,
    /// The measuring tolerance, and who states it.
    pub tolerance: Option<String>,
    /// How to measure it.
    pub measure: String,
    /// The step that computed it, where it follows from other facts.
    pub follows_from: Option<usize>,
}

/// A look-up in a table.
#[derive(Clone, Debug, Serialize)]
pub struct LookUp {
    /// The table.
    pub table: String,
    /// The column whose value was taken.
    pub column: String,
    /// How a value between rows is looked up.
    pub between_rows: Option<&'static str>,
    /// The keys with the values that were looked up.
    pub keys: Vec<Key>,
    /// The row that answers; two where a line is drawn between them, more where the key is uncertain.
    pub rows: Vec<Row>,
}

/// A key of a look-up.
#[derive(Clone, Debug, Serialize)]
pub struct Key {
    /// Its column.
    pub name: String,
    /// What was looked up.
    pub shown: Shown,
}

/// A row of a table.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    /// The cells of its keys, then the one that was taken, as the author wrote them.
    pub cells: Vec<String>,
    /// Its own citation.
    pub cite: Option<String>,
    /// Where it stands.
    pub place: Option<Place>,
}

/// Things that are gone through.
#[derive(Clone, Debug, Serialize)]
pub struct Members {
    /// What is made of them: `sum`, `count`, `every`.
    pub how: &'static str,
    /// The list and whose it is.
    pub list: String,
    /// Which of them, as its author wrote it.
    pub filter: Option<String>,
    /// Each of them, those left out too.
    pub each: Vec<Member>,
    /// Whether there may be more than these, because the job does not list them.
    pub maybe_more: bool,
    /// How many more there are than are shown here.
    pub not_shown: usize,
}

/// One of the things that are gone through.
#[derive(Clone, Debug, Serialize)]
pub struct Member {
    /// Its name.
    pub thing: String,
    /// Whether it is taken in: `yes`, `no` or `not sure`.
    pub taken_in: &'static str,
    /// The condition that says so, with the values put in.
    pub filter: Option<String>,
    /// What is asked of it or reckoned for it, with the numbers put in.
    pub put_in: Option<String>,
    /// What comes of it.
    pub shown: Option<Shown>,
    /// Its part of the whole.
    pub share: Option<Shown>,
    /// Where its numbers come from.
    pub inputs: Vec<Input>,
}

/// A built-in calculation.
#[derive(Clone, Debug, Serialize)]
pub struct BuiltIn {
    /// Its name.
    pub name: String,
    /// What it tells.
    pub says: String,
    /// Its formula, where the table of built-ins gives one.
    pub formula: Option<String>,
    /// Where the formula comes from.
    pub source: Option<String>,
}

/// A value against its limit, or against both ends of what is allowed.
#[derive(Clone, Debug, Serialize)]
pub struct Comparison {
    /// The value.
    pub value: Shown,
    /// The limits.
    pub limits: Vec<Limit>,
    /// `yes`, `no` or `not sure`.
    pub holds: &'static str,
}

/// A limit with what is left to it.
#[derive(Clone, Debug, Serialize)]
pub struct Limit {
    /// `at most`, `at least`, `less than`, `more than`.
    pub how: &'static str,
    /// The limit, in the unit of the value.
    pub shown: Shown,
    /// What is between value and limit, with the side on which the value lies.
    pub margin: Option<Shown>,
    /// `yes`, `no` or `not sure`.
    pub holds: &'static str,
}

/// Conditions that count together.
#[derive(Clone, Debug, Serialize)]
pub struct Together {
    /// `all of these` or `any of these`.
    pub how: &'static str,
    /// The conditions.
    pub parts: Vec<Part>,
}

/// One of several conditions.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// As its author wrote it.
    pub written: String,
    /// With the values put in.
    pub put_in: String,
    /// `yes`, `no` or `not sure`.
    pub outcome: &'static str,
    /// The step that reckons it.
    pub step: Option<usize>,
}

/// What carries a verdict in spite of the clause.
#[derive(Clone, Debug, Serialize)]
pub struct Carried {
    /// What it is.
    pub by: String,
    /// What the job states of it: key and text.
    pub record: Vec<(String, String)>,
}

/// Something that the job does not tell.
#[derive(Clone, Debug, Serialize)]
pub struct Missing {
    /// As the vocabulary names it.
    pub name: String,
    /// Whose it is.
    pub thing: String,
    /// How to measure it.
    pub measure: String,
    /// Where it belongs in the job.
    pub place: Option<Place>,
}
