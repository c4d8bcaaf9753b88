//! Finds what the sections of a program can read of a job with a gate of one kind: each section is evaluated on a job of which nothing
//! else is known, and whatever is not sure already is taken apart until the facts are met that it waits for. It must not know how
//! anything is asked.

use super::blank::{Blank, is_point};
use super::named::{members, named};
use crate::builtin::{self, Form, Takes};
use crate::datum::{DefId, Kind};
use crate::judge::doubt::Truth;
use crate::judge::eval::{Evaluator, Frame, pack_row};
use crate::judge::paths::own_field;
use crate::judge::value::{Slot, Value};
use crate::language::parts::parts;
use crate::language::program::{Binder, ChildId, Expr, FieldId, JOB, Key, Op, Over, Program, Section, ThingPath, Walk};
use crate::language::walk::exprs;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Most steps that are taken for one section; one that takes more is asked for everything that it names.
const MOST_STEPS: usize = 2_000_000;

/// Who asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asker {
    /// A code, to know whether it is in force: its position in the program.
    Code(usize),
    /// A section, by its position in the program.
    Section(usize),
    /// The papers, which show it or would ask it by hand; no section reads it.
    Papers,
}

/// Who asks for something.
pub type Askers = BTreeSet<Asker>;

/// Everything that is asked for.
#[derive(Debug, Default)]
pub struct Needs {
    /// Facts of kinds of record.
    pub facts: BTreeMap<(DefId, FieldId), Askers>,
    /// Lists and single records below kinds of record.
    pub lists: BTreeMap<(DefId, ChildId), Askers>,
}

/// What the sections need of the job that is blank but for what is known before the walk.
pub fn needs(program: &Program, blank: &Blank, drawn: bool, today: Date) -> Needs {
    let evaluator = Evaluator::new(program, &blank.job, today);
    let mut collector =
        Collector { program, blank, evaluator, drawn, askers: Askers::new(), needs: Needs::default(), lets: BTreeSet::new(), spent: 0 };
    let codes = collector.codes();
    for number in 0..program.sections.len() {
        if program.sections[number].roots.iter().any(|root| codes.get(*root) != Some(&Truth::No)) {
            collector.section(number);
        }
    }
    collector.follow();
    collector.tolerances();
    collector.needs
}

/// Whether an expression reads a drawing, by itself or through a calculation.
fn reads_points(program: &Program, expr: &Expr) -> bool {
    let mut found = false;
    exprs(expr, &mut |part| {
        found |= match &part.op {
            Op::Fact(path, field) => is_point(&program.definition(path.def).fields[*field].kind),
            Op::BuiltIn(at, _) => built_in_reads_points(program, *at),
            _ => false,
        };
    });
    found
}

fn built_in_reads_points(program: &Program, at: usize) -> bool {
    builtin::ROWS[at].reads().any(|(of, fact)| {
        let definition = program.definition_named(of).map(|def| program.definition(def));
        definition.and_then(|definition| Some(&definition.fields[definition.field(fact)?])).is_some_and(|field| is_point(&field.kind))
    })
}

struct Collector<'a> {
    program: &'a Program,
    blank: &'a Blank,
    evaluator: Evaluator<'a>,
    drawn: bool,
    /// Who asks at the moment.
    askers: Askers,
    needs: Needs,
    /// Named values of the section at hand that have been taken apart.
    lets: BTreeSet<usize>,
    /// Steps taken for the section at hand.
    spent: usize,
}

impl<'a> Collector<'a> {
    /// Whether each code is in force.
    fn codes(&mut self) -> Vec<Truth> {
        let program = self.program;
        let mut all = Vec::new();
        for (at, code) in program.codes.iter().enumerate() {
            let Some(force) = &code.force else {
                all.push(Truth::Yes);
                continue;
            };
            let (mut slots, mut known) = (Vec::new(), Vec::new());
            let mut frame = Frame { slots: &mut slots, lets: &[], known_lets: &mut known };
            let truth = self.evaluator.in_force(force, &mut frame);
            if matches!(truth, Truth::Doubtful(_)) {
                self.askers = Askers::from([Asker::Code(at)]);
                self.ask(&force.by, &mut frame);
            }
            all.push(truth);
        }
        all
    }

    fn section(&mut self, number: usize) {
        let section = &self.program.sections[number];
        self.askers = Askers::from([Asker::Section(number)]);
        self.evaluator.at_hand = number;
        self.spent = 0;
        let mut slots = vec![Slot::Empty; section.slots];
        self.bind(section, 0, &mut slots);
        if self.is_spent() {
            self.everything(section);
        }
    }

    fn is_spent(&self) -> bool {
        self.spent > MOST_STEPS
    }

    /// Counts the steps of an evaluation, and one for having asked.
    fn count_steps(&mut self) {
        self.spent += self.evaluator.steps + 1;
        self.evaluator.steps = 0;
    }

    /// Asks for whatever a section names, whether or not it can be read of this kind of gate.
    fn everything(&mut self, section: &'a Section) {
        let named = named(self.program, section);
        for (def, field) in named.facts {
            self.way_to(def);
            self.fact(def, field);
        }
        named.things.into_iter().for_each(|def| self.way_to(def));
    }

    /// Binds the binder at `depth` to one thing of each kind that it walks, or to each row or word, where its condition may hold.
    fn bind(&mut self, section: &'a Section, depth: usize, slots: &mut Vec<Slot<'a>>) {
        let Some(binder) = section.binders.get(depth) else {
            self.clauses(section, slots);
            return;
        };
        for bound in self.bindings(binder, slots) {
            if self.is_spent() {
                return;
            }
            slots[binder.slot] = bound.0;
            if let Some(other) = bound.1 {
                slots[binder.slot + 1] = other;
            }
            if self.filter(section, binder, slots) != Truth::No {
                self.bind(section, depth + 1, slots);
            }
            slots[binder.slot] = Slot::Empty;
            if binder.other.is_some() {
                slots[binder.slot + 1] = Slot::Empty;
            }
        }
    }

    fn bindings(&self, binder: &Binder, slots: &[Slot<'a>]) -> Vec<(Slot<'a>, Option<Slot<'a>>)> {
        let one = |slots: &[Slot<'a>], def| self.blank.fresh(def, slots).map_or(Slot::Empty, Slot::Record);
        match &binder.over {
            Over::Things(def, _) => self.members(*def).into_iter().map(|def| (one(slots, def), None)).collect(),
            Over::Pairs(def, _) => {
                let both = |def| {
                    let first = one(slots, def);
                    let mut held = slots.to_vec();
                    held.push(first.clone());
                    (first, Some(one(&held, def)))
                };
                self.members(*def).into_iter().map(both).collect()
            }
            Over::Rows(table) => (0..self.program.tables[*table].rows.len()).map(|row| (Slot::Row(pack_row(*table, row)), None)).collect(),
            Over::Words(list) => self.program.lists.list(*list).words.iter().map(|word| (Slot::Word(*word), None)).collect(),
        }
    }

    fn members(&self, def: DefId) -> Vec<DefId> {
        members(self.program, def)
    }

    fn filter(&mut self, section: &'a Section, binder: &'a Binder, slots: &mut Vec<Slot<'a>>) -> Truth {
        self.evaluator.steps = 0;
        let Some(filter) = &binder.filter else { return Truth::Yes };
        let mut known = vec![None; section.lets.len()];
        let truth = self.evaluator.truth(filter, &mut Frame { slots, lets: &section.lets, known_lets: &mut known });
        self.count_steps();
        truth
    }

    /// Takes apart what is not sure of the clauses for what is bound; where all of it is sure, nothing is asked for.
    fn clauses(&mut self, section: &'a Section, slots: &mut Vec<Slot<'a>>) {
        self.lets.clear();
        let mut known = vec![None; section.lets.len()];
        let mut frame = Frame { slots, lets: &section.lets, known_lets: &mut known };
        self.evaluator.steps = 0;
        if let Some(force) = &section.force
            && self.evaluator.in_force(force, &mut frame) == Truth::No
        {
            return;
        }
        let mut alive = false;
        for norm in &section.norms {
            self.evaluator.steps = 0;
            let asked = norm.condition.as_ref().map_or(Truth::Yes, |condition| self.evaluator.truth(condition, &mut frame));
            let idle = asked == Truth::No || self.evaluator.truth(&norm.body, &mut frame) == Truth::Yes;
            self.count_steps();
            if idle {
                continue;
            }
            alive = true;
            if let Some(condition) = &norm.condition {
                self.ask(condition, &mut frame);
            }
            self.ask_unless_silent(&norm.body, &mut frame);
        }
        if !alive {
            return;
        }
        for except in &section.excepts {
            for expr in except.filter.iter().chain(&except.unless) {
                self.ask(expr, &mut frame);
            }
        }
        for expr in section.force.iter().map(|force| &force.by).chain(section.binders.iter().filter_map(|binder| binder.filter.as_ref())) {
            self.ask(expr, &mut frame);
        }
        for binder in &section.binders {
            if let Slot::Record(id) = frame.slots[binder.slot] {
                self.way_to(self.evaluator.job.record(id).def);
            }
        }
    }

    /// Asks for the lists and single records through which a kind of record is found.
    fn way_to(&mut self, def: DefId) {
        let mut at = def;
        while let Some(parent) = self.program.definition(at).parent {
            self.list(parent, at);
            at = parent;
        }
    }

    fn list(&mut self, parent: DefId, def: DefId) {
        for member in self.members(def) {
            let Some(child) = self.program.definition(parent).children.iter().position(|child| *child == member) else { continue };
            self.needs.lists.entry((parent, child)).or_default().extend(&self.askers);
        }
    }

    fn fact(&mut self, def: DefId, field: FieldId) {
        if self.drawn || !is_point(&self.program.definition(def).fields[field].kind) {
            self.needs.facts.entry((def, field)).or_default().extend(&self.askers);
        }
    }

    /// Whether the value is known whatever else the job may state.
    fn is_sure(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> bool {
        self.evaluator.steps = 0;
        let value = self.evaluator.value(expr, frame);
        self.count_steps();
        match value {
            Value::Truth(truth) => !matches!(truth, Truth::Doubtful(_)),
            Value::Number(number) => number.doubt.is_none(),
            Value::Days(days, doubt) => doubt.is_none() && days.is_known(),
            Value::Unknown(_) => false,
            // A thing is not read by being named; what is read of it stands round it.
            _ => true,
        }
    }

    /// Asks for whatever a clause waits for, but for what it wants not to be stated: that is answered by saying nothing.
    fn ask_unless_silent(&mut self, body: &'a Expr, frame: &mut Frame<'a, '_>) {
        match &body.op {
            Op::Not(part) if matches!(part.op, Op::FactGiven(..)) => {}
            Op::Junction(_, parts) => parts.iter().for_each(|part| self.ask_unless_silent(part, frame)),
            _ => self.ask(body, frame),
        }
    }

    /// Asks for whatever an expression waits for.
    fn ask(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) {
        if self.is_spent() || self.is_sure(expr, frame) {
            return;
        }
        match &expr.op {
            Op::Fact(path, field) | Op::FactGiven(path, field) => {
                for def in self.path(path, frame) {
                    self.fact(def, own_field(self.program, path.def, def, *field));
                }
            }
            Op::ThingGiven(path) | Op::Thing(path) | Op::Id(path) | Op::Complies(path, _) => {
                self.path(path, frame);
            }
            Op::If(condition, then, otherwise) => {
                self.ask(condition, frame);
                match self.evaluator.truth(condition, frame) {
                    Truth::Yes => self.ask(then, frame),
                    Truth::No => self.ask(otherwise, frame),
                    Truth::Doubtful(_) => [then, otherwise].into_iter().for_each(|part| self.ask(part, frame)),
                }
            }
            Op::Quantified(_, walk, body) => self.walk(walk, Some(body), frame),
            Op::Aggregate(_, of, walk) => self.walk(walk, of.as_deref(), frame),
            Op::Let(at) => {
                if self.lets.insert(*at) {
                    let lets = frame.lets;
                    self.ask(&lets[*at].1, frame);
                }
            }
            Op::Formula(at, arguments) => self.formula(*at, arguments, frame),
            Op::BuiltIn(at, arguments) => self.built_in(*at, arguments, frame),
            _ => parts(expr).into_iter().for_each(|part| self.ask(part, frame)),
        }
    }

    /// Asks for the single records on a path; the result is the kinds of record that it may end at.
    fn path(&mut self, path: &ThingPath, frame: &Frame<'a, '_>) -> Vec<DefId> {
        let mut at = path.def;
        for _ in &path.downs {
            let Some(parent) = self.program.definition(at).parent else { break };
            self.list(parent, at);
            at = parent;
        }
        match path.slot.map(|slot| &frame.slots[slot]) {
            Some(Slot::Record(id)) if path.ups == 0 && path.downs.is_empty() => vec![self.evaluator.job.record(*id).def],
            _ => self.members(path.def),
        }
    }

    fn walk(&mut self, walk: &'a Walk, body: Option<&'a Expr>, frame: &mut Frame<'a, '_>) {
        let ends = self.path(&walk.base, frame);
        for parent in ends {
            let Some(def) = self.program.definition(parent).children.get(walk.list).copied() else { continue };
            self.list(parent, def);
            for member in self.members(def) {
                let Some(record) = self.blank.fresh(member, frame.slots) else { continue };
                frame.slots[walk.slot] = Slot::Record(record);
                self.evaluator.steps = 0;
                let let_in = walk.filter.as_ref().map_or(Truth::Yes, |filter| self.evaluator.truth(filter, frame));
                if let_in != Truth::No {
                    for expr in walk.filter.as_deref().into_iter().chain(body) {
                        self.ask(expr, frame);
                    }
                }
                frame.slots[walk.slot] = Slot::Empty;
            }
        }
    }

    fn formula(&mut self, at: usize, arguments: &'a [Expr], frame: &mut Frame<'a, '_>) {
        arguments.iter().for_each(|argument| self.ask(argument, frame));
        let mut slots = self.evaluator.formula_slots(at, arguments, frame);
        let mut known = Vec::new();
        let mut inner = Frame { slots: &mut slots, lets: &[], known_lets: &mut known };
        self.ask(&self.program.formulas[at].body, &mut inner);
    }

    /// Without a drawing, a calculation on one gives nothing, whatever else is known.
    fn built_in(&mut self, at: usize, arguments: &'a [Expr], frame: &mut Frame<'a, '_>) {
        if !self.drawn && built_in_reads_points(self.program, at) {
            return;
        }
        for (argument, (_, takes)) in arguments.iter().zip(builtin::ROWS[at].parameters) {
            self.ask(argument, frame);
            let Takes::Thing(forms) = takes else { continue };
            let defs = match (self.evaluator.value(argument, frame), &argument.kind) {
                (Value::Thing(id), _) => vec![self.evaluator.job.record(id).def],
                (_, Kind::Thing(def)) => self.members(*def),
                _ => Vec::new(),
            };
            for def in defs {
                let name = &self.program.definition(def).name;
                if let Some(form) = forms.iter().find(|form| form.of == name) {
                    self.form(form, def);
                }
            }
        }
    }

    fn form(&mut self, form: &'static Form, def: DefId) {
        let program = self.program;
        let index = &program.index[def.0 as usize];
        for fact in form.facts {
            if let Some(Key::Field(own)) = index.get(*fact) {
                self.fact(def, *own);
            }
        }
        for (key, below) in form.below {
            if let Some(Key::Child(child)) = index.get(*key) {
                let below_def = program.definition(def).children[*child];
                self.list(def, below_def);
                self.form(below, below_def);
            }
        }
        if let (Some(above), Some(parent)) = (form.above, program.definition(def).parent) {
            self.form(above, parent);
        }
    }

    /// Asks for what facts follow from, for whoever asks for these; without a drawing, not for what follows from one.
    fn follow(&mut self) {
        let program = self.program;
        // Derivations stand after those that they rest on.
        for derivation in program.derivations.iter().rev() {
            let Some(askers) = self.needs.facts.get(&(derivation.def, derivation.field)).cloned() else { continue };
            let Some(record) = self.blank.fresh(derivation.def, &[]) else { continue };
            if !self.drawn && reads_points(program, &derivation.value) {
                continue;
            }
            self.askers = askers;
            self.spent = 0;
            let mut slots = vec![Slot::Empty; derivation.slots];
            slots[0] = Slot::Record(record);
            let mut known = Vec::new();
            self.ask(&derivation.value, &mut Frame { slots: &mut slots, lets: &[], known_lets: &mut known });
        }
    }

    /// Asks for the tolerances of whatever is measured.
    fn tolerances(&mut self) {
        let program = self.program;
        let mut measured: BTreeMap<[i8; 8], Askers> = BTreeMap::new();
        for ((def, field), askers) in &self.needs.facts {
            let field = &program.definition(*def).fields[*field];
            let dimension = match &field.kind {
                Kind::Measure(dimension) => *dimension,
                Kind::Point | Kind::Points => crate::quantity::Dimension::LENGTH,
                _ => continue,
            };
            if field.measured {
                measured.entry(dimension.0).or_default().extend(askers);
            }
        }
        for (at, field) in program.definition(JOB).fields.iter().enumerate().filter(|(_, field)| field.gives_tolerance) {
            if let Kind::Measure(dimension) = &field.kind
                && let Some(askers) = measured.get(&dimension.0)
            {
                self.needs.facts.entry((JOB, at)).or_default().extend(askers);
            }
        }
    }
}
