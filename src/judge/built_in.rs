//! Calls built-in calculations: gathers what they read of things, and turns their results into values with their doubts. It must
//! not know how they calculate.

use super::doubt::{Doubt, Missing, Obstacle, Truth};
use super::eval::{Evaluator, FactUse, Frame, numeric, unknown};
use super::value::{Number, Value};
use crate::builtin::{self, Argument, Form, Outcome, Refusal, Run, Stage, Takes, Thing, Token};
use crate::datum::{Kind, WordId};
use crate::job::{Children, Fact, Job, RecordId};
use crate::language::program::{Expr, Key, Program, TakenAs};
use crate::quantity::{Interval, Unit, interval};
use crate::source::Span;
use std::collections::HashMap;
use std::rc::Rc;

/// What a call was made with, for those whose things do not change while a job is judged.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Given {
    Record(RecordId),
    Word(WordId),
    Number(Interval),
}

/// What a call gave: the value, the facts that took part, and whether one of them was assumed.
type Told<'a> = (Value<'a>, Vec<FactUse>, bool);

/// Results of calls on things, which are dear.
#[derive(Default)]
pub struct Calls<'a> {
    known: HashMap<(usize, Vec<Given>), Rc<Told<'a>>>,
    stages: HashMap<(usize, Vec<Given>), Rc<Stage>>,
}

/// What is learnt while the arguments of a call are gathered.
struct Call {
    /// Where the call stands in its pack.
    span: Span,
    /// Why things are not known, by token.
    reasons: Vec<Doubt>,
    /// Doubt of the numbers themselves.
    doubt: Doubt,
    /// Units of numbers and points, in order.
    units: Vec<Unit>,
    /// Whether an assumed value took part.
    assumed: bool,
    /// Facts that took part.
    uses: Vec<FactUse>,
}

impl Call {
    fn token(&mut self, doubt: Doubt) -> Token {
        self.reasons.push(doubt);
        self.reasons.len() - 1
    }

    fn inexact(&mut self, intervals: impl Iterator<Item = Interval>) {
        self.doubt.tolerance |= intervals.into_iter().any(|interval| interval.as_point().is_none());
    }
}

impl<'a> Evaluator<'a> {
    /// A call of the built-in at `at`.
    pub(super) fn built_in(&mut self, at: usize, arguments: &'a [Expr], expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        let values: Vec<Value<'a>> = arguments.iter().map(|argument| self.value(argument, frame)).collect();
        let Some(key) = key_of(at, &values) else {
            let (value, ..) = self.call(at, &values, expr);
            return value;
        };
        let told = match self.calls.known.get(&key) {
            Some(known) => Rc::clone(known),
            None => {
                let told = Rc::new(self.call(at, &values, expr));
                self.calls.known.insert(key, Rc::clone(&told));
                told
            }
        };
        self.assumed |= told.2;
        if let Some(uses) = &mut self.uses {
            uses.extend(&told.1);
        }
        told.0.clone()
    }

    fn call(&mut self, at: usize, values: &[Value<'a>], expr: &'a Expr) -> Told<'a> {
        let row = builtin::ROWS[at];
        let mut call =
            Call { span: expr.span, reasons: Vec::new(), doubt: Doubt::default(), units: Vec::new(), assumed: false, uses: Vec::new() };
        let given: Vec<Argument<'a>> =
            values.iter().zip(row.parameters).map(|(value, (_, takes))| self.argument(value, takes, &mut call)).collect();
        let outcome = match row.run {
            Run::Whole(run) => run(&given),
            Run::Staged(first, then) => self.staged(at, values, &given, first).and_then(|stage| then(&stage, &given)),
        };
        let value = match outcome {
            Ok(result) => finished(result, &call, expr),
            Err(refusal) => refused(refusal, &call, expr),
        };
        (value, call.uses, call.assumed)
    }

    /// The first step of a call, kept for calls that differ in their words alone.
    fn staged(
        &mut self,
        at: usize,
        values: &[Value<'a>],
        given: &[Argument],
        first: fn(&[Argument]) -> Outcome<Stage>,
    ) -> Outcome<Rc<Stage>> {
        let Some((at, mut key)) = key_of(at, values) else { return first(given).map(Rc::new) };
        key.retain(|given| !matches!(given, Given::Word(_)));
        if let Some(known) = self.calls.stages.get(&(at, key.clone())) {
            return Ok(Rc::clone(known));
        }
        let stage = Rc::new(first(given)?);
        self.calls.stages.insert((at, key), Rc::clone(&stage));
        Ok(stage)
    }

    fn argument(&mut self, value: &Value<'a>, takes: &Takes, call: &mut Call) -> Argument<'a> {
        match (value, takes) {
            (Value::Number(number), _) => {
                call.doubt.join(&number.doubt);
                call.units.extend(number.unit);
                Argument::Number(number.interval)
            }
            (Value::Thing(id), Takes::Thing(forms)) => {
                let name = &self.program.definition(self.job.record(*id).def).name;
                match forms.iter().find(|form| form.of == name) {
                    Some(form) => Argument::Thing(self.gather(form, *id, call)),
                    None => Argument::Unknown(call.token(Doubt::of_obstacle(Obstacle::IsNone(call.span)))),
                }
            }
            (value, _) => self.plain(value, call),
        }
    }

    /// A value that is no thing.
    fn plain(&self, value: &Value<'a>, call: &mut Call) -> Argument<'a> {
        match value {
            Value::Number(number) => {
                // A fact of which nothing is known must not pass for a number of any size.
                if !number.doubt.missing.is_empty() || number.interval.lo.is_none() || number.interval.hi.is_none() {
                    return Argument::Unknown(call.token(number.doubt.clone()));
                }
                call.inexact(std::iter::once(number.interval));
                call.units.extend(number.unit);
                Argument::Number(number.interval)
            }
            Value::Point(place) => {
                call.inexact(place.coordinates());
                call.units.extend(place.unit);
                Argument::Point(place)
            }
            Value::Points(places) => {
                call.inexact(places.iter().flat_map(|place| place.coordinates()));
                call.units.extend(places.iter().find_map(|place| place.unit));
                Argument::Points(places)
            }
            Value::Recording(recording) => {
                call.units.extend(recording.unit);
                Argument::Recording(recording)
            }
            Value::Word(word) => Argument::Word(self.program.word(*word)),
            Value::Text(text) => Argument::Text(text),
            Value::Wire(wire) => Argument::Wire(*wire),
            Value::Range(low, high, _) => Argument::Range(*low, *high),
            Value::Truth(Truth::Doubtful(doubt)) | Value::Unknown(doubt) => Argument::Unknown(call.token(doubt.clone())),
            Value::Truth(truth) => Argument::YesNo(*truth == Truth::Yes),
            // Nothing that a calculation could take.
            _ => Argument::Unknown(call.token(Doubt::of_obstacle(Obstacle::IsNone(call.span)))),
        }
    }

    /// What a form reads of a record.
    fn gather(&mut self, form: &'static Form, id: RecordId, call: &mut Call) -> Thing<'a> {
        let job = self.job;
        let record = job.record(id);
        let index = &self.program.index[record.def.0 as usize];
        let mut thing = Thing { id: record.id.as_deref(), of: form.of, facts: Vec::new(), below: Vec::new(), above: None };
        for fact in form.facts {
            let Some(Key::Field(own)) = index.get(*fact) else { continue };
            if let Some(argument) = self.fact_for(id, *own, call) {
                thing.facts.push((fact, argument));
            }
        }
        for (key, below) in form.below {
            let Some(Key::Child(child)) = index.get(*key) else { continue };
            let found = match &record.children[*child] {
                Children::Given(records, _) => Ok(records.iter().map(|record| self.gather(below, *record, call)).collect()),
                Children::Nothing(_) => Ok(Vec::new()),
                Children::Unknown(_) => Err(call.token(Doubt::of_missing(Missing::Children(id, *child)))),
            };
            thing.below.push((key, found));
        }
        if let (Some(above), Some(parent)) = (form.above, record.parent) {
            thing.above = Some(Box::new(self.gather(above, parent, call)));
        }
        thing
    }

    /// A fact for a built-in; nothing where the job says that there is none.
    fn fact_for(&self, id: RecordId, own: usize, call: &mut Call) -> Option<Argument<'a>> {
        let record = self.job.record(id);
        let field = &self.program.definition(record.def).fields[own];
        let missing = || Doubt::of_missing(Missing::Fact(id, own));
        match (&record.facts[own], &field.taken) {
            (Fact::Stated(stated), _) => {
                let fact = FactUse { record: id, field: own };
                call.uses.push(fact);
                let (value, before) = (Value::of(&stated.datum), call.doubt.tolerance);
                call.doubt.tolerance = false;
                let argument = self.plain(&value, call);
                // What is being varied is marked, so that it can be told from a tolerance.
                if self.varied.contains(&fact) {
                    call.doubt.varied |= call.doubt.tolerance;
                    if let Argument::Unknown(token) = argument {
                        call.reasons[token].varied = true;
                    }
                }
                call.doubt.tolerance |= before;
                Some(argument)
            }
            (Fact::Nothing(_), _) => None,
            (Fact::Absent, Some(TakenAs::Value(datum))) => {
                call.assumed = true;
                call.uses.push(FactUse { record: id, field: own });
                Some(self.plain(&Value::of(datum), call))
            }
            (Fact::Absent, Some(TakenAs::Nothing)) => Some(Argument::Absent(call.token(missing()))),
            _ => Some(Argument::Unknown(call.token(missing()))),
        }
    }
}

/// What a form reads of a record, and by their tokens the reasons why something of it is not known: for whoever draws what was judged.
pub fn gathered<'a>(program: &'a Program, job: &'a Job, form: &'static Form, id: RecordId) -> (Thing<'a>, Vec<Doubt>) {
    let (reasons, doubt) = (Vec::new(), Doubt::default());
    let mut call = Call { span: job.record(id).span, reasons, doubt, units: Vec::new(), assumed: false, uses: Vec::new() };
    let thing = Evaluator::new(program, job, jiff::civil::Date::MIN).gather(form, id, &mut call);
    (thing, call.reasons)
}

/// The key of a call on things; calls on numbers alone are cheaper than looking them up.
fn key_of(at: usize, values: &[Value]) -> Option<(usize, Vec<Given>)> {
    let mut things = false;
    let mut key = Vec::with_capacity(values.len());
    for value in values {
        key.push(match value {
            Value::Thing(id) => {
                things = true;
                Given::Record(*id)
            }
            Value::Word(word) => Given::Word(*word),
            Value::Number(Number { interval, doubt, .. }) if doubt.is_none() => Given::Number(*interval),
            _ => return None,
        });
    }
    things.then_some((at, key))
}

/// The finest unit of a dimension that the arguments were written in.
fn finest(units: &[Unit], dimension: crate::quantity::Dimension) -> Option<Unit> {
    units.iter().copied().filter(|unit| unit.dimension() == dimension).min_by_key(|unit| unit.factor())
}

/// A result with the doubt that it has: of its arguments, or of its own rounding.
fn finished<'a>(result: builtin::Result, call: &Call, expr: &Expr) -> Value<'a> {
    let mut doubt = call.doubt.clone();
    if doubt.is_none() {
        doubt = Doubt::of_obstacle(Obstacle::TooNear(expr.span));
    }
    match result {
        builtin::Result::Number(interval) => {
            let unit = match expr.kind {
                Kind::Measure(dimension) => finest(&call.units, dimension),
                _ => None,
            };
            numeric(Ok(interval), doubt, unit, expr)
        }
        builtin::Result::Truth(Some(yes)) => Value::Truth(Truth::sure(yes)),
        builtin::Result::Truth(None) => Value::Truth(Truth::Doubtful(doubt)),
    }
}

fn refused<'a>(refusal: Refusal, call: &Call, expr: &Expr) -> Value<'a> {
    let mut doubt = call.doubt.clone();
    let outcome = match refusal {
        Refusal::Waits(tokens) => {
            for reason in tokens.into_iter().filter_map(|token| call.reasons.get(token)) {
                doubt.join(reason);
            }
            if doubt.is_none() {
                doubt = Doubt::of_obstacle(Obstacle::IsNone(expr.span));
            }
            return unknown(&expr.kind, doubt);
        }
        Refusal::TooManyDigits => Err(interval::Obstacle::TooManyDigits),
        Refusal::DivisionByNought => Err(interval::Obstacle::DivisionByNought),
        Refusal::IsNone(_) => return unknown(&expr.kind, doubt.and(&Doubt::of_obstacle(Obstacle::IsNone(expr.span)))),
        Refusal::Unfit(why) => return unknown(&expr.kind, doubt.and(&Doubt::of_obstacle(Obstacle::Unfit(expr.span, why.into())))),
        Refusal::Unreckonable(why) => {
            let clause = clause_of(&why.to_string());
            return unknown(&expr.kind, doubt.and(&Doubt::of_obstacle(Obstacle::Unreckonable(expr.span, clause))));
        }
    };
    numeric(outcome, doubt, None, expr)
}

/// A sentence as a clause: without its capital and its stop.
fn clause_of(sentence: &str) -> String {
    let mut letters = sentence.trim_end_matches('.').chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
