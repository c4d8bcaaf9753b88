//! A job of which nothing is known but the kind of its one gate, with records to stand for things that may be there: what sections are
//! evaluated on to see what they wait for. It must not know sections.

use crate::datum::{Datum, DefId, Kind};
use crate::job::{Children, Fact, Job, Record, RecordId, Stated};
use crate::judge::value::Slot;
use crate::language::program::{JOB, Key, Program};
use crate::quantity::{Days, Units};
use crate::source::{FileId, Span};

/// The kind of record of a gate, and its fact that says how it moves.
pub const GATE: &str = "gate";
/// The fact of a gate that says how it moves.
pub const KIND: &str = "kind";
/// The fact of a job that decides which edition of a local code applies.
pub const PERMIT_DATE: &str = "permit-date";
/// How many things of one kind can be in hand at once: two of a pair, and three walks within.
const AT_ONCE: usize = 6;

/// What is known before the walk.
#[derive(Clone, Debug)]
pub struct Known<'a> {
    /// How the gate moves.
    pub kind: &'a str,
    /// The day on the permit.
    pub permit: Option<Days>,
    /// Whether points of a drawing are asked for.
    pub drawn: bool,
    /// How many leaves the gate has.
    pub leaves: usize,
    /// The units of the samples beside the questions.
    pub units: Units,
}

/// The job, and records that may be there.
pub struct Blank {
    /// The job: its lists are not known; the records stand beside them.
    pub job: Job,
    /// For each kind of record, records that stand for some of its kind; of the job and the gate there is one.
    of: Vec<Vec<RecordId>>,
}

/// Whether a fact is one of a drawing.
pub fn is_point(kind: &Kind) -> bool {
    matches!(kind, Kind::Point | Kind::Points)
}

impl Blank {
    /// A blank job; nothing where the vocabulary has no such kind of gate.
    pub fn new(program: &Program, known: &Known) -> Option<Blank> {
        let gate = program.definition_named(GATE)?;
        let field = program.definition(gate).field(KIND)?;
        let Kind::Word(list) = program.definition(gate).fields[field].kind else { return None };
        let kind = program.lists.word_in(list, known.kind)?;
        let job = Job::default();
        let mut blank = Blank { job, of: vec![Vec::new(); program.definitions.len()] };
        blank.add(program, JOB, known);
        blank.add(program, gate, known);
        for at in 1..program.definitions.len() {
            let def = DefId(u32::try_from(at).unwrap_or(u32::MAX));
            for _ in 0..AT_ONCE {
                if def != gate && program.definition(def).gathers.is_empty() {
                    blank.add(program, def, known);
                }
            }
        }
        blank.join(program);
        let here = Span::new(FileId::JOB, 0, 0);
        let gate = blank.of[gate.0 as usize][0];
        blank.job.records[gate.0 as usize].facts[field] = Fact::Stated(Box::new(Stated::plain(Datum::Word(kind), here)));
        if let (Some(Key::Field(at)), Some(days)) = (program.index[JOB.0 as usize].get(PERMIT_DATE), known.permit) {
            blank.job.records[0].facts[*at] = Fact::Stated(Box::new(Stated::plain(Datum::Days(days), here)));
        }
        Some(blank)
    }

    /// A record of which nothing is known: not even what is taken as none or as a value where it is not stated.
    fn add(&mut self, program: &Program, def: DefId, known: &Known) {
        let definition = program.definition(def);
        let here = Span::new(FileId::JOB, 0, 0);
        let blank = |kind: &Kind| if is_point(kind) && !known.drawn { Fact::Absent } else { Fact::Blank(here) };
        let id = RecordId(u32::try_from(self.job.records.len()).unwrap_or(u32::MAX));
        self.job.records.push(Record {
            def,
            id: Some(format!("{}-{}", definition.name, id.0)),
            span: here,
            parent: None,
            facts: definition.fields.iter().map(|field| blank(&field.kind)).collect(),
            children: vec![Children::Unknown(None); definition.children.len()],
        });
        self.of[def.0 as usize].push(id);
    }

    /// Puts each record below one that would hold it, without listing it there.
    fn join(&mut self, program: &Program) {
        for at in 0..self.job.records.len() {
            let parent = program.definition(self.job.records[at].def).parent;
            self.job.records[at].parent = parent.and_then(|parent| self.of[parent.0 as usize].first().copied());
        }
    }

    /// A record of that kind that no slot holds yet.
    pub fn fresh(&self, def: DefId, slots: &[Slot]) -> Option<RecordId> {
        let all = &self.of[def.0 as usize];
        let held = |record: &&RecordId| slots.iter().any(|slot| matches!(slot, Slot::Record(id) if id == *record));
        all.iter().find(|record| !held(record)).or(all.first()).copied()
    }
}
