//! The questions of a survey as a tree of parts, numbered in the order of a walk round the gate. It must not know how they are written.

use super::blank::{Blank, GATE, KIND, Known, PERMIT_DATE};
use super::needs::{Asker, Askers, Needs, needs};
use super::{order, papers};
use crate::datum::DefId;
use crate::language::program::{ChildId, FieldId, JOB, Program};
use crate::quantity::Units;
use jiff::civil::Date;

/// Facts of a job that are always asked for: without them nothing can be judged or called by its name.
const HEAD: [&str; 2] = ["title", "codes"];

/// The kind of record of a leaf, and the fact by which a thing says of which leaf it is.
const LEAF: &str = "leaf";

/// A question about one fact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Its running number.
    pub number: usize,
    /// The fact.
    pub field: FieldId,
    /// Who asks.
    pub askers: Vec<Asker>,
    /// The answer, where it is known before the walk.
    pub given: Option<String>,
}

/// The questions about one kind of record, and the parts found in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The kind of record.
    pub def: DefId,
    /// Its running number: whether there is one, or which there are; the job and the gate need none.
    pub number: Option<usize>,
    /// Who asks whether there is one, or which there are.
    pub askers: Vec<Asker>,
    /// Questions about each.
    pub questions: Vec<Question>,
    /// Parts found in it.
    pub parts: Vec<Part>,
}

/// The questions for a gate of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Form {
    /// How the gate moves.
    pub kind: String,
    /// The codes.
    pub codes: Vec<String>,
    /// The job, with everything in it.
    pub job: Part,
    /// How many questions there are.
    pub count: usize,
    /// How many leaves the gate has.
    pub leaves: usize,
    /// The units of the samples beside its questions.
    pub units: Units,
}

/// The form for a gate of that kind; nothing where the vocabulary has no such kind.
pub fn form(program: &Program, known: &Known, today: Date) -> Option<Form> {
    let blank = Blank::new(program, known)?;
    let mut needs = needs(program, &blank, known.drawn, today);
    papers::add(program, known, &mut needs);
    let codes = program.codes.iter().map(|code| code.name.clone()).collect();
    let mut writer = Writer { program, known, needs, count: 0, codes };
    let job = writer.part(JOB, None);
    let leaves = known.leaves.max(1);
    Some(Form { kind: known.kind.to_string(), codes: writer.codes, job, count: writer.count, leaves, units: known.units })
}

impl Form {
    /// Every part with its questions, in order.
    pub fn parts(&self) -> Vec<&Part> {
        fn below<'p>(part: &'p Part, into: &mut Vec<&'p Part>) {
            into.push(part);
            part.parts.iter().for_each(|part| below(part, into));
        }
        let mut all = Vec::new();
        below(&self.job, &mut all);
        all
    }

    /// How many things of a part there are to write down at least: one a leaf, of leaves and of what is of one leaf.
    pub fn things(&self, program: &Program, part: &Part) -> usize {
        let definition = program.definition(part.def);
        let of_a_leaf = part.questions.iter().any(|question| definition.fields[question.field].name == LEAF);
        // A test is listed when it is made, whichever leaf it is of.
        let each = definition.name == LEAF || of_a_leaf && definition.name != order::TEST;
        if each && part.number.is_some() { self.leaves } else { 1 }
    }

    /// What is known before the walk of one of these things, from nought on: the answer given, or the leaf that it is of.
    pub fn known(&self, program: &Program, part: &Part, question: &Question, at: usize) -> Option<String> {
        let of_a_leaf = program.definition(part.def).fields[question.field].name == LEAF && self.leaves > 1;
        match question.given.clone() {
            Some(given) => (at == 0).then_some(given),
            None => (of_a_leaf && at < self.things(program, part))
                .then(|| format!("{LEAF}-{}", at + 1))
                .filter(|_| self.things(program, part) > 1),
        }
    }

    /// Whether a fact is asked for.
    pub fn asks(&self, def: DefId, field: FieldId) -> bool {
        self.parts().iter().any(|part| part.def == def && part.questions.iter().any(|question| question.field == field))
    }
}

struct Writer<'a> {
    program: &'a Program,
    known: &'a Known<'a>,
    needs: Needs,
    count: usize,
    codes: Vec<String>,
}

impl Writer<'_> {
    fn next(&mut self) -> usize {
        self.count += 1;
        self.count
    }

    fn part(&mut self, def: DefId, list: Option<(DefId, ChildId)>) -> Part {
        let program = self.program;
        let askers: Vec<Asker> = list.and_then(|list| self.needs.lists.get(&list)).into_iter().flatten().copied().collect();
        let named = list.is_some() && program.definition(def).name != GATE;
        let number = named.then(|| self.next());
        let questions = (0..program.definition(def).fields.len()).filter_map(|field| self.question(def, field)).collect();
        let children = order::children(program, def);
        let parts = children.into_iter().filter(|(child, below)| self.wanted(def, *child, *below));
        let parts: Vec<(usize, DefId)> = parts.collect();
        let parts = parts.into_iter().map(|(child, below)| self.part(below, Some((def, child)))).collect();
        Part { def, number, askers, questions, parts }
    }

    /// Whether a kind of record is asked about: it, one of its facts, or something in it. There is always a gate.
    fn wanted(&self, parent: DefId, child: ChildId, def: DefId) -> bool {
        let program = self.program;
        let own = self.needs.lists.contains_key(&(parent, child)) || self.needs.facts.keys().any(|(of, _)| *of == def);
        own || program.definition(def).name == GATE
            || order::children(program, def).into_iter().any(|(child, below)| self.wanted(def, child, below))
    }

    fn question(&mut self, def: DefId, field: FieldId) -> Option<Question> {
        let name = self.program.definition(def).fields[field].name.as_str();
        let is_gate = self.program.definition(def).name == GATE;
        let given = match name {
            "codes" if def == JOB => Some(format!("[{}]", self.codes.join(", "))),
            PERMIT_DATE if def == JOB => self.known.permit.map(|days| days.to_string()),
            KIND if is_gate => Some(self.known.kind.to_string()),
            _ => None,
        };
        let always = def == JOB && HEAD.contains(&name) || given.is_some();
        let askers: Option<&Askers> = self.needs.facts.get(&(def, field));
        if askers.is_none() && !always {
            return None;
        }
        let askers = askers.into_iter().flatten().copied().collect();
        Some(Question { number: self.next(), field, askers, given })
    }
}
