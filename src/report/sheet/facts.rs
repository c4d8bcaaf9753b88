//! Facts of a job as a sheet shows them: by the names of the vocabulary, in the units that the reader wants, as written beside. It
//! must not know what any of them means.

use crate::datum::Datum;
use crate::job::{Children, Fact, Job, RecordId};
use crate::judge::paths::thing_name;
use crate::judge::words::{datum_text, middle_text_in};
use crate::language::program::{Definition, Program, TakenAs};
use crate::report::document::{Line, words};
use crate::source::Source;

/// A job's facts, to look them up by name.
#[derive(Clone, Copy)]
pub struct Facts<'a> {
    /// The program, which has the vocabulary.
    pub program: &'a Program,
    /// The job.
    pub job: &'a Job,
    /// Its file.
    pub source: &'a Source,
}

impl<'a> Facts<'a> {
    /// Every record of a kind, in the order of the job.
    pub fn things(&self, kind: &str) -> Vec<RecordId> {
        self.records().filter(|id| self.definition(*id).name == kind).collect()
    }

    /// The records of a kind that another record holds.
    pub fn below(&self, id: RecordId, kind: &str) -> Vec<RecordId> {
        self.records().filter(|below| self.job.record(*below).parent == Some(id) && self.definition(*below).name == kind).collect()
    }

    /// Every record.
    pub fn records(&self) -> impl Iterator<Item = RecordId> + use<'a> {
        (0..self.job.records.len()).map(|at| RecordId(u32::try_from(at).unwrap_or(u32::MAX)))
    }

    /// The kind of a record.
    pub fn definition(&self, id: RecordId) -> &'a Definition {
        self.program.definition(self.job.record(id).def)
    }

    /// A record as reports name it.
    pub fn name(&self, id: RecordId) -> String {
        thing_name(self.program, self.job, id)
    }

    /// The id of a record, or the name of its kind.
    pub fn id(&self, id: RecordId) -> String {
        self.job.record(id).id.clone().unwrap_or_else(|| self.definition(id).name.clone())
    }

    /// What a record says of a list or single record below it.
    pub fn says_of(&self, id: RecordId, key: &str) -> Option<&'a Children> {
        let at = self.definition(id).children.iter().position(|child| self.program.definition(*child).key == key)?;
        self.job.record(id).children.get(at)
    }

    /// A fact by its name.
    pub fn fact(&self, id: RecordId, name: &str) -> Option<&'a Fact> {
        self.definition(id).field(name).and_then(|at| self.job.record(id).facts.get(at))
    }

    /// The value of a fact that the job states, or that the vocabulary takes it as.
    pub fn datum(&self, id: RecordId, name: &str) -> Option<&'a Datum> {
        match (self.fact(id, name)?, self.definition(id).field(name).and_then(|at| self.definition(id).fields[at].taken.as_ref())) {
            (Fact::Stated(stated), _) => Some(&stated.datum),
            (Fact::Absent, Some(TakenAs::Value(datum))) => Some(datum),
            _ => None,
        }
    }

    /// The word that a fact is, where it is one.
    pub fn word(&self, id: RecordId, name: &str) -> Option<&'a str> {
        match self.datum(id, name)? {
            Datum::Word(word) => Some(self.program.word(*word)),
            _ => None,
        }
    }

    /// Whether a set of words holds one.
    pub fn includes(&self, id: RecordId, name: &str, word: &str) -> bool {
        matches!(self.datum(id, name), Some(Datum::WordSet(words)) if words.iter().any(|one| self.program.word(*one) == word))
    }

    /// A fact by its name, for people; nothing where the job does not state it.
    pub fn text(&self, id: RecordId, name: &str) -> String {
        self.definition(id).field(name).map_or_else(String::new, |at| self.shown(id, at))
    }

    /// The same as a line.
    pub fn line(&self, id: RecordId, name: &str) -> Line {
        let text = self.text(id, name);
        if text.is_empty() { Line::new() } else { words(text) }
    }

    /// A fact by its position, for people: in the reader's units with the value as written beside.
    pub fn shown(&self, id: RecordId, at: usize) -> String {
        match &self.job.record(id).facts[at] {
            Fact::Stated(stated) if !stated.follows.is_empty() => {
                format!("{}, from the drawing", middle_text_in(self.program, &stated.datum, self.job.units))
            }
            Fact::Stated(stated) => {
                let written = self.source.slice(stated.span.range());
                let plain = written.is_empty() || written.contains('\n') || !matches!(stated.datum, Datum::Number(..) | Datum::Range(..));
                let written = if plain { datum_text(self.program, &stated.datum) } else { written.to_string() };
                self.beside(&stated.datum, written)
            }
            Fact::Nothing(_) => "none".into(),
            Fact::Blank(_) | Fact::Spoiled(_) | Fact::Absent => String::new(),
        }
    }

    /// A value in the reader's units, with what was written beside where that is another unit.
    pub fn beside(&self, datum: &Datum, written: String) -> String {
        let turned = match datum {
            Datum::Number(_, Some(unit)) | Datum::Range(_, _, Some(unit)) => self.job.units.changes(*unit),
            _ => false,
        };
        if turned { format!("{} (as written: {written})", middle_text_in(self.program, datum, self.job.units)) } else { written }
    }
}
