//! Reckons an expression again and writes down each step: numbers put in, named values, formulas, branches. Facts, look-ups,
//! walks and comparisons have files of their own. It must not know verdicts.

use super::amount::{Digits, shown, stands_alone};
use super::fact::{given, place, taken_as};
use super::look_up::cited;
use super::tree::{BuiltIn, Cited, Condition, Detail, Input, Origin, Shown, Step};
use super::written::{replaced, written};
use crate::builtin;
use crate::datum::Kind;
use crate::job::{Fact, RecordId};
use crate::judge::doubt::Truth;
use crate::judge::eval::{Evaluator, Frame, unpack};
use crate::judge::judge_section::row_name;
use crate::judge::paths::{Reached, own_field, reach, thing_name};
use crate::judge::value::{Slot, Value};
use crate::language::program::{Expr, Op, ThingPath};
use crate::language::tree::{Aggregate, Quantifier};
use crate::language::walk::exprs;
use crate::source::{Files, Span};

/// Most steps that are written out for one clause and thing.
const MOST_STEPS: usize = 400;
/// Most evaluation steps that writing out may cost.
const MOST_SPENT: usize = 2_000_000;
/// Deepest nesting of steps that is written out.
const DEEPEST: usize = 48;

/// A step that is already written down, so that it is not written twice.
#[derive(PartialEq)]
enum Known<'a> {
    Let(usize),
    /// A fact that follows from others.
    Fact(RecordId, usize),
    Formula(usize, Vec<Slot<'a>>),
}

/// A calculation being written out.
pub struct Work<'a, 's> {
    /// Reckons.
    pub evaluator: Evaluator<'a>,
    /// The packs and the job.
    pub files: Files<'s>,
    /// The steps so far.
    pub steps: Vec<Step>,
    /// Places that numbers need, as an earlier round found out.
    pub digits: Digits,
    /// Places that this round finds out.
    pub wanted: Digits,
    /// Whether something was left out because there would be too much.
    pub cut_short: bool,
    known: Vec<(Known<'a>, usize)>,
    spent: usize,
    depth: usize,
    /// Within a condition that only says what is asked or chosen: what reckons with nothing there is no step.
    aside: usize,
}

/// What a step is about, before it is reckoned.
pub struct Heading {
    title: String,
    says: Option<String>,
    sources: Vec<Cited>,
    inputs: Vec<Input>,
}

impl Heading {
    /// A heading of a few words.
    pub fn of(title: impl Into<String>) -> Heading {
        Heading { title: title.into(), says: None, sources: Vec::new(), inputs: Vec::new() }
    }
}

/// An outcome as a word.
pub fn outcome(truth: &Truth) -> &'static str {
    match truth {
        Truth::Yes => "yes",
        Truth::No => "no",
        Truth::Doubtful(_) => "not sure",
    }
}

impl<'a, 's> Work<'a, 's> {
    /// A calculation at its start.
    pub fn new(evaluator: Evaluator<'a>, files: Files<'s>, digits: Digits) -> Work<'a, 's> {
        let (steps, known, wanted) = (Vec::new(), Vec::new(), Digits::new());
        Work { evaluator, files, steps, digits, wanted, cut_short: false, known, spent: 0, depth: 0, aside: 0 }
    }

    /// A value, whatever it costs.
    pub fn value(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        self.evaluator.steps = 0;
        let value = self.evaluator.value(expr, frame);
        self.spent += self.evaluator.steps;
        value
    }

    /// A condition, whatever it costs.
    pub fn truth(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Truth {
        self.evaluator.steps = 0;
        let truth = self.evaluator.truth(expr, frame);
        self.spent += self.evaluator.steps;
        truth
    }

    /// A value of an expression for people.
    pub fn shown(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Shown {
        let value = self.value(expr, frame);
        self.of_value(&value, &expr.kind)
    }

    /// A value of a kind for people; a thing by its name.
    pub fn of_value(&self, value: &Value, kind: &Kind) -> Shown {
        match value {
            Value::Thing(id) => Shown::words(thing_name(self.evaluator.program, self.evaluator.job, *id)),
            value => shown(self.evaluator.program, value, kind, &self.digits),
        }
    }

    /// An expression as its author wrote it.
    pub fn written(&self, span: Span) -> String {
        written(self.files, span)
    }

    /// Whether no more may be written out.
    pub fn is_full(&mut self) -> bool {
        let full = self.steps.len() >= MOST_STEPS || self.spent > MOST_SPENT || self.depth > DEEPEST;
        self.cut_short |= full;
        full
    }

    /// Takes down a step and gives its number.
    pub fn push(&mut self, mut step: Step) -> usize {
        step.number = self.steps.len() + 1;
        self.steps.push(step);
        self.steps.len()
    }

    /// An expression with its numbers put in; what they are goes into `inputs`.
    pub fn put_in(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> String {
        if self.is_full() {
            return self.written(expr.span);
        }
        match &expr.op {
            Op::Literal(_) | Op::Complies(..) | Op::ThingGiven(_) => self.written(expr.span),
            Op::Fact(path, field) => self.fact(expr, path, *field, frame, inputs),
            Op::FactGiven(path, field) => {
                self.note(expr, path, *field, frame, inputs);
                self.written(expr.span)
            }
            Op::Column(slot, _) | Op::ColumnGiven(slot, _) => self.cell(*slot, expr, frame, inputs),
            Op::Today => {
                let shown = self.shown(expr, frame);
                take(inputs, Input { written: self.written(expr.span), shown: shown.clone(), from: Origin::Today });
                shown.marked()
            }
            Op::Parameter(_) | Op::Id(_) | Op::WordSlot(_) | Op::Thing(_) => self.shown(expr, frame).marked(),
            Op::Quantified(_, walk, body) if self.aside > 0 && !walk.filter.as_deref().is_some_and(reckons) && !reckons(body) => {
                let truth = self.truth(expr, frame);
                format!("({}: {})", self.written(expr.span), outcome(&truth))
            }
            Op::Let(_) | Op::Formula(..) | Op::LookUp(..) | Op::Aggregate(..) | Op::BuiltIn(..) | Op::If(..) | Op::Quantified(..) => {
                let number = self.step(expr, frame);
                let shown = self.steps.get(number - 1).map_or_else(|| Shown::words(""), |step| step.result.clone());
                take(inputs, Input { written: self.written(expr.span), shown: shown.clone(), from: Origin::Step { number } });
                if expr.kind == Kind::YesNo { format!("(step {number}: {})", shown.text) } else { shown.marked() }
            }
            op => self.with_parts(expr, &parts(op), frame, inputs),
        }
    }

    /// The text of an expression with these parts of it replaced by their values.
    pub fn with_parts(&mut self, expr: &'a Expr, parts: &[&'a Expr], frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> String {
        let reckons = matches!(expr.op, Op::Arithmetic(..) | Op::Power(..));
        let mut texts = Vec::with_capacity(parts.len());
        for part in parts {
            let text = self.put_in(part, frame, inputs);
            let whole = matches!(part.op, Op::Arithmetic(..) | Op::Power(..) | Op::Literal(_));
            let text = if reckons && !whole && !stands_alone(&text) { format!("({text})") } else { text };
            texts.push((part.span, text));
        }
        replaced(self.files, expr.span, texts)
    }

    fn fact(&mut self, expr: &'a Expr, path: &ThingPath, field: usize, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> String {
        let shown = self.shown(expr, frame);
        self.note(expr, path, field, frame, inputs);
        // A yes-or-no fact stands for a condition, which reads better as it is written.
        if expr.kind == Kind::YesNo { self.written(expr.span) } else { shown.marked() }
    }

    /// Takes down which fact an expression names.
    fn note(&mut self, expr: &Expr, path: &ThingPath, field: usize, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) {
        let (program, job) = (self.evaluator.program, self.evaluator.job);
        let Reached::Record(id) = reach(job, path, frame.slots) else { return };
        let record = job.record(id);
        let own = own_field(program, path.def, record.def, field);
        let known = &program.definition(record.def).fields[own];
        let shown = match &record.facts[own] {
            Fact::Stated(stated) => self.of_value(&Value::of(&stated.datum).shown_in(job.units), &known.kind),
            Fact::Nothing(_) => Shown::words("none"),
            Fact::Blank(_) | Fact::Spoiled(_) => Shown::words("not known"),
            Fact::Absent => Shown::words(taken_as(program, known).unwrap_or_else(|| "not known".into())),
        };
        let mut fact = given(program, job, self.files, id, own);
        fact.follows_from = self.followed(id, own);
        let from = Origin::Fact(fact);
        let name = self.written(expr.span);
        let name = ["is not given", "is given"].iter().find_map(|end| name.strip_suffix(end)).unwrap_or(&name).trim().to_string();
        take(inputs, Input { written: name, shown, from });
    }

    /// What a built-in reads of things: each fact under its own name.
    fn read_of_things(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) {
        self.evaluator.uses = Some(Vec::new());
        self.value(expr, frame);
        let mut uses = self.evaluator.uses.take().unwrap_or_default();
        uses.sort_unstable();
        uses.dedup();
        for fact in uses {
            self.note_fact(fact.record, fact.field, inputs);
        }
    }

    fn note_fact(&mut self, id: RecordId, own: usize, inputs: &mut Vec<Input>) {
        let (program, job) = (self.evaluator.program, self.evaluator.job);
        let record = job.record(id);
        let known = &program.definition(record.def).fields[own];
        let shown = match &record.facts[own] {
            Fact::Stated(stated) => self.of_value(&Value::of(&stated.datum).shown_in(job.units), &known.kind),
            _ => Shown::words(taken_as(program, known).unwrap_or_else(|| "not known".into())),
        };
        let mut fact = given(program, job, self.files, id, own);
        fact.follows_from = self.followed(id, own);
        let written = fact.name.clone();
        take(inputs, Input { written, shown, from: Origin::Fact(fact) });
    }

    /// The step by which a fact follows from others, where the job does not state it itself.
    fn followed(&mut self, id: RecordId, own: usize) -> Option<usize> {
        let (program, job) = (self.evaluator.program, self.evaluator.job);
        let record = job.record(id);
        let Fact::Stated(stated) = &record.facts[own] else { return None };
        if stated.follows.is_empty() {
            return None;
        }
        let derivation = program.derivations.iter().find(|derivation| derivation.def == record.def && derivation.field == own)?;
        let definition = program.definition(record.def);
        let title = format!("{}.{} of {}", definition.name, definition.fields[own].name, thing_name(program, job, id));
        let mut slots = vec![Slot::Empty; derivation.slots];
        slots[0] = Slot::Record(id);
        Some(self.once(Known::Fact(id, own), |work| {
            let mut inner = Frame { slots: &mut slots, lets: &[], known_lets: &mut Vec::new() };
            work.step_of(Heading::of(title), &derivation.value, &mut inner)
        }))
    }

    fn cell(&mut self, slot: usize, expr: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> String {
        let program = self.evaluator.program;
        let shown = self.shown(expr, frame);
        if let Slot::Row(packed) = frame.slots[slot] {
            let (table, row) = unpack(packed);
            let (table, row) = (&program.tables[table], &program.tables[table].rows[row]);
            let from = Origin::Row {
                row: row_name(program, packed),
                cite: row.cite.clone(),
                sources: cited(program, &table.cites),
                place: place(self.files, row.span),
            };
            take(inputs, Input { written: self.written(expr.span), shown: shown.clone(), from });
        }
        if matches!(expr.op, Op::ColumnGiven(..)) { self.written(expr.span) } else { shown.marked() }
    }

    /// The step of an expression that is one by itself.
    fn step(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> usize {
        let program = self.evaluator.program;
        match &expr.op {
            Op::Let(at) => {
                let lets = frame.lets;
                let (name, value) = &lets[*at];
                self.once(Known::Let(*at), |work| work.step_of(Heading::of(name.clone()), value, frame))
            }
            Op::Formula(at, arguments) => self.formula(*at, arguments, frame),
            Op::LookUp(table, column, _) => {
                let table = &program.tables[*table];
                let title = format!("{}.{} by table", table.name, table.columns[*column].name);
                self.step_of(Heading::of(title), expr, frame)
            }
            Op::Aggregate(how, ..) => self.step_of(Heading::of(made_of(*how)), expr, frame),
            Op::BuiltIn(at, _) => self.step_of(Heading::of(builtin::ROWS[*at].name), expr, frame),
            Op::If(..) => self.step_of(Heading::of("Which value counts"), expr, frame),
            Op::Quantified(how, ..) => self.step_of(Heading::of(asked_of(*how)), expr, frame),
            _ => self.step_of(Heading::of("Value"), expr, frame),
        }
    }

    fn once(&mut self, known: Known<'a>, make: impl FnOnce(&mut Self) -> usize) -> usize {
        if let Some((_, number)) = self.known.iter().find(|(other, _)| *other == known) {
            return *number;
        }
        let number = make(self);
        self.known.push((known, number));
        number
    }

    fn formula(&mut self, at: usize, arguments: &'a [Expr], frame: &mut Frame<'a, '_>) -> usize {
        let formula = &self.evaluator.program.formulas[at];
        self.evaluator.steps = 0;
        let mut slots = self.evaluator.formula_slots(at, arguments, frame);
        self.spent += self.evaluator.steps;
        self.once(Known::Formula(at, slots.clone()), |work| {
            let (mut inputs, mut things) = (Vec::new(), Vec::new());
            for ((name, _), argument) in formula.parameters.iter().zip(arguments) {
                work.argument(name, argument, frame, &mut inputs, &mut things);
            }
            let of = if things.is_empty() { String::new() } else { format!(" of {}", things.join(", ")) };
            let sources = cited(work.evaluator.program, formula.cite.as_slice());
            let says = Some(formula.doc.clone()).filter(|doc| !doc.is_empty());
            let heading = Heading { title: format!("{}{of}", formula.name), says, sources, inputs };
            let mut inner = Frame { slots: &mut slots, lets: &[], known_lets: &mut Vec::new() };
            work.step_of(heading, &formula.body, &mut inner)
        })
    }

    /// What a formula is given under one name: a thing goes into its title, a number into its inputs.
    fn argument(&mut self, name: &str, argument: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>, things: &mut Vec<String>) {
        let value = self.value(argument, frame);
        if let Value::Thing(id) = value {
            things.push(thing_name(self.evaluator.program, self.evaluator.job, id));
            return;
        }
        let mut own = Vec::new();
        let put_in = self.put_in(argument, frame, &mut own);
        let shown = self.of_value(&value, &argument.kind);
        if let [only] = own.as_mut_slice()
            && only.shown == shown
        {
            only.written = name.to_string();
        } else {
            inputs.push(Input { written: name.to_string(), shown, from: Origin::Argument { put_in } });
        }
        own.into_iter().for_each(|input| take(inputs, input));
    }

    /// Writes down a step: the branches taken, the expression that counts, its result.
    pub fn step_of(&mut self, heading: Heading, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> usize {
        self.depth += 1;
        let aside = std::mem::take(&mut self.aside);
        let Heading { title, mut says, mut sources, mut inputs } = heading;
        let (mut active, mut choices) = (expr, Vec::new());
        while let Op::If(condition, then, otherwise) = &active.op {
            let truth = self.truth(condition, frame);
            choices.push(self.condition_shown("if", condition, frame));
            active = match truth {
                Truth::Yes => then,
                Truth::No => otherwise,
                Truth::Doubtful(_) => break,
            };
        }
        let (put_in, detail) = self.detail(active, frame, &mut inputs);
        if let Op::LookUp(table, ..) = &active.op {
            let table = &self.evaluator.program.tables[*table];
            sources.extend(cited(self.evaluator.program, &table.cites));
            says = says.or_else(|| Some(table.doc.clone()).filter(|doc| !doc.is_empty()));
        }
        let result = self.shown(expr, frame);
        let place = place(self.files, expr.span);
        let written = self.written(active.span);
        (self.depth, self.aside) = (self.depth - 1, aside);
        self.push(Step { number: 0, title, says, choices, written, put_in, result, inputs, detail, sources, place })
    }

    fn detail(&mut self, active: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> (String, Detail) {
        match &active.op {
            Op::If(_, then, otherwise) => {
                let (one, other) = (self.put_in(then, frame, inputs), self.put_in(otherwise, frame, inputs));
                (format!("{one} or {other}"), Detail::Undecided)
            }
            Op::LookUp(table, column, keys) => self.look_up((*table, *column), keys, active, frame, inputs),
            Op::Aggregate(how, of, walk) => self.aggregate(*how, of.as_deref(), walk, frame),
            Op::Quantified(how, walk, body) => self.quantified(*how, walk, body, frame),
            Op::BuiltIn(at, arguments) => {
                let row = &builtin::ROWS[*at];
                let put_in = self.with_parts(active, &arguments.iter().collect::<Vec<_>>(), frame, inputs);
                if row.reads().next().is_some() {
                    self.read_of_things(active, frame, inputs);
                }
                let formula = Some(row.formula.to_string()).filter(|formula| !formula.is_empty());
                let detail = BuiltIn { name: row.name.into(), says: row.says(), formula, source: Some(row.source.into()) };
                (put_in, Detail::BuiltIn(detail))
            }
            _ => (self.put_in(active, frame, inputs), Detail::Arithmetic),
        }
    }

    /// A condition on one line, with the values put in.
    pub fn condition_shown(&mut self, what: &str, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Condition {
        let mut inputs = Vec::new();
        let put_in = self.put_in(expr, frame, &mut inputs);
        let outcome = outcome(&self.truth(expr, frame));
        Condition { what: what.into(), written: self.written(expr.span), put_in, outcome, inputs }
    }

    /// The same where it only says what is asked: what reckons with nothing in it is no step.
    pub fn condition_aside(&mut self, what: &str, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Condition {
        self.aside += 1;
        let condition = self.condition_shown(what, expr, frame);
        self.aside -= 1;
        condition
    }
}

/// Takes an input in, once.
pub fn take(inputs: &mut Vec<Input>, input: Input) {
    if !inputs.iter().any(|known| known.written == input.written && known.from == input.from) {
        inputs.push(input);
    }
}

/// What is made of a collection, as a title.
fn made_of(how: Aggregate) -> &'static str {
    match how {
        Aggregate::Count => "Count",
        Aggregate::CountDistinct => "Count of different values",
        Aggregate::Sum => "Sum",
        Aggregate::Least => "Least value",
        Aggregate::Greatest => "Greatest value",
    }
}

/// Of how many something is asked, as a title.
fn asked_of(how: Quantifier) -> &'static str {
    match how {
        Quantifier::Every => "Asked of every one",
        Quantifier::AtLeastOne => "Asked of at least one",
        Quantifier::No => "Asked of none",
    }
}

/// Whether an expression compares by order or makes a value of others.
fn reckons(expr: &Expr) -> bool {
    let mut found = false;
    exprs(expr, &mut |part| {
        found |= !matches!(
            part.op,
            Op::Literal(_)
                | Op::Fact(..)
                | Op::FactGiven(..)
                | Op::ThingGiven(_)
                | Op::Thing(_)
                | Op::Today
                | Op::Id(_)
                | Op::WordSlot(_)
                | Op::Parameter(_)
                | Op::Junction(..)
                | Op::Not(_)
                | Op::Is(..)
                | Op::OneOf(..)
                | Op::Includes(..)
                | Op::Quantified(..)
        );
    });
    found
}

/// The parts of an operation that are written within it.
fn parts(op: &Op) -> Vec<&Expr> {
    match op {
        Op::Junction(_, parts) => parts.iter().collect(),
        Op::Not(part) | Op::Power(part, _) => vec![&**part],
        Op::Compare(_, a, b) | Op::Is(a, b) | Op::InRange(a, b) | Op::Includes(a, b) | Op::Arithmetic(_, a, b) => vec![&**a, &**b],
        Op::OneOf(a, members) => std::iter::once(&**a).chain(members).collect(),
        Op::Between(a, b, c) => vec![&**a, &**b, &**c],
        _ => Vec::new(),
    }
}
