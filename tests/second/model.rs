//! The small packs and jobs that the second evaluator knows. They are built here, never parsed: `write` turns them into
//! text for the program, `judge` evaluates them directly.

use super::day::Day;
use super::fraction::Fraction;

pub type Word = &'static str;

#[derive(Clone, Debug)]
pub struct Pack {
    pub lists: Vec<List>,
    /// Facts of the job, of a gate and of a beam, in this order (see `Level`).
    pub facts: [Vec<Fact>; 3],
    pub tables: Vec<Table>,
    pub sections: Vec<Section>,
}

#[derive(Clone, Debug)]
pub struct List {
    pub name: Word,
    pub words: Vec<Word>,
    pub in_order: bool,
}

/// A job holds gates, a gate holds beams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    Job = 0,
    Gate = 1,
    Beam = 2,
}

#[derive(Clone, Debug)]
pub struct Fact {
    pub name: Word,
    pub kind: Kind,
    pub taken: Taken,
}

/// Numbers in `OneOf` and `AnyOf` are places in `Pack::lists`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Length { measured: bool },
    Count,
    YesNo,
    OneOf(usize),
    AnyOf(usize),
    Date,
    Range,
}

/// What an absent fact means.
#[derive(Clone, Debug)]
pub enum Taken {
    Unknown,
    AsNone,
    As(Stated),
}

#[derive(Clone, Debug)]
pub struct Length {
    pub inches: Fraction,
    pub unit: Unit,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    Inch,
    FeetAndInch,
    Millimetre,
    Metre,
}

/// A value as a job or a table states it.
#[derive(Clone, Debug)]
pub enum Stated {
    Length { at: Length, tolerance: Option<Fraction> },
    Count(i64),
    YesNo(bool),
    Word(Word),
    Set(Vec<Word>),
    Date(DateText),
    Range(Length, Length),
    None,
}

/// A date may be given as a month or a year only.
#[derive(Clone, Copy, Debug)]
pub enum DateText {
    Day(Day),
    Month(i64, i64),
    Year(i64),
}

#[derive(Clone, Debug)]
pub struct Table {
    pub name: Word,
    /// Each key column with its word list.
    pub keys: Vec<(Word, usize)>,
    /// Value columns: lengths or counts.
    pub columns: Vec<(Word, Kind)>,
    pub rows: Vec<Row>,
}

#[derive(Clone, Debug)]
pub struct Row {
    pub keys: Vec<Word>,
    pub cells: Vec<Stated>,
}

#[derive(Clone, Debug)]
pub struct Section {
    pub name: String,
    pub binders: Vec<Binder>,
    pub force: Option<Force>,
    pub lets: Vec<(Word, Num)>,
    pub norms: Vec<Norm>,
    pub exceptions: Vec<Exception>,
}

#[derive(Clone, Debug)]
pub struct Binder {
    pub what: What,
    pub filter: Option<Cond>,
}

/// What a section is asked of, with the name that it is known by inside the section.
#[derive(Clone, Debug)]
pub enum What {
    Each(Level, Word),
    Pair(Level, Word, Word),
    RowOf(usize, Word),
    /// Each word of the list at this place.
    WordOf(usize, Word),
}

#[derive(Clone, Debug)]
pub struct Force {
    pub from: Option<Day>,
    pub before: Option<Day>,
    pub by: Ref,
}

#[derive(Clone, Debug)]
pub struct Norm {
    pub modal: Word,
    pub condition: Option<Cond>,
    pub body: Cond,
}

/// Holds where `when` holds, unless `unless` does.
#[derive(Clone, Debug)]
pub struct Exception {
    pub when: Option<Cond>,
    pub unless: Option<Cond>,
}

/// A fact of something in scope: `gate.height`, `need.means`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ref {
    pub base: Word,
    pub field: Word,
}

/// `d among gate.beams where …`
#[derive(Clone, Debug)]
pub struct Walk {
    pub bound: Word,
    pub base: Word,
    /// What is walked: the gates of the job or the beams of a gate.
    pub level: Level,
    pub filter: Option<Box<Cond>>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compare {
    AtMost,
    AtLeast,
    LessThan,
    MoreThan,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    Length,
    Count,
}

#[derive(Clone, Debug)]
pub enum Num {
    Length(Length),
    Count(i64),
    Fact(Ref, Quantity),
    Let(Word),
    Add(Box<Num>, Box<Num>),
    Sub(Box<Num>, Box<Num>),
    Mul(Box<Num>, Box<Num>),
    Larger(Box<Num>, Box<Num>),
    Smaller(Box<Num>, Box<Num>),
    Difference(Box<Num>, Box<Num>),
    If(Box<Cond>, Box<Num>, Box<Num>),
    CountOf(Walk),
    SumOf(Box<Num>, Walk),
    LeastOf(Box<Num>, Walk),
    GreatestOf(Box<Num>, Walk),
}

#[derive(Clone, Debug)]
pub enum When {
    Day(Day),
    Today,
    Fact(Ref),
    MonthsLater(Box<When>, i64),
}

/// Something that stands for one word of a list.
#[derive(Clone, Debug)]
pub enum OneWord {
    Word(Word),
    Fact(Ref),
    /// The word of `each direction`.
    Bound(Word),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Each {
    Every,
    AtLeastOne,
    No,
}

#[derive(Clone, Debug)]
pub enum Cond {
    Fact(Ref),
    Not(Box<Cond>),
    And(Vec<Cond>),
    Or(Vec<Cond>),
    /// `any of (1) … (2) …` and `all of (1) … (2) …` mean the same as or, and.
    AnyOf(Vec<Cond>),
    AllOf(Vec<Cond>),
    Compare(Compare, Num, Num),
    CountIs {
        left: Num,
        right: Num,
        not: bool,
    },
    Within(Num, Num, Num),
    WithinFact(Num, Ref),
    WordIs {
        left: OneWord,
        right: OneWord,
        not: bool,
    },
    WordOneOf {
        left: OneWord,
        words: Vec<Word>,
        not: bool,
    },
    /// Only for a list that is in order.
    WordCompare {
        compare: Compare,
        left: Ref,
        right: Word,
        list: usize,
    },
    Includes(Ref, OneWord),
    DateCompare(Compare, When, When),
    DateIs(When, When),
    Given {
        fact: Ref,
        not: bool,
    },
    Walk {
        each: Each,
        walk: Walk,
        body: Box<Cond>,
    },
}

/// One site. The job, its gates and their beams are records of one shape.
#[derive(Clone, Debug)]
pub struct Record {
    pub level: Level,
    pub id: Word,
    pub stated: Vec<(Word, Stated)>,
    /// Gates of a job, beams of a gate: `None` where the job file does not say, empty for `none`.
    pub inner: Option<Vec<Record>>,
}

#[derive(Clone, Debug)]
pub struct Job {
    pub root: Record,
    pub tape_tolerance: Option<Fraction>,
    pub today: Day,
}

impl Record {
    pub fn stated(&self, name: &str) -> Option<&Stated> {
        self.stated.iter().find(|(n, _)| *n == name).map(|(_, s)| s)
    }
}

impl Level {
    pub fn noun(self) -> Word {
        match self {
            Level::Job => "job",
            Level::Gate => "gate",
            Level::Beam => "beam",
        }
    }

    /// The key of a list of such records.
    pub fn plural(self) -> Word {
        match self {
            Level::Job => unreachable!("one job a file"),
            Level::Gate => "gates",
            Level::Beam => "beams",
        }
    }

    pub fn inner(self) -> Option<Level> {
        match self {
            Level::Job => Some(Level::Gate),
            Level::Gate => Some(Level::Beam),
            Level::Beam => None,
        }
    }
}
