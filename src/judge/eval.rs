//! Evaluates checked expressions on a job, three-valued and on outer bounds. It must not know verdicts.

use super::built_in::Calls;
use super::compare::{decide, incomparable, ordered, stands_at, strictly_below};
use super::doubt::{Doubt, Missing, Obstacle, Truth};
use super::paths::{Reached, own_field, reach};
use super::value::{Number, Slot, Value};
use crate::datum::{Datum, Kind};
use crate::job::{Fact, Job, RecordId};
use crate::language::program::{Expr, KeyCell, Op, Program, TakenAs, ThingPath};
use crate::language::tree::{Arithmetic, Comparison};
use crate::quantity::{Days, Exact, Interval, interval};
use crate::source::Span;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Most steps that one section may take for one thing.
pub const MOST_STEPS: usize = 200_000;

/// A fact that took part, by its record and its position in the record's own definition.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FactUse {
    /// The record.
    pub record: RecordId,
    /// The fact.
    pub field: usize,
}

/// Evaluates expressions for one job.
pub struct Evaluator<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job.
    pub job: &'a Job,
    /// The day of judging.
    pub today: Date,
    /// Steps taken for the section and thing at hand.
    pub steps: usize,
    /// Whether an assumed value took part since this was last reset.
    pub assumed: bool,
    /// Whether a fact took part, since this was last reset, that the job does not state and the vocabulary takes as none or as a value.
    pub unstated: bool,
    /// Facts that took part, where somebody wants to know.
    pub uses: Option<Vec<FactUse>>,
    /// Facts whose values are being varied, to find where they may lie: their doubt is marked.
    pub varied: &'a [FactUse],
    /// Comparisons whose two sides were equal, where somebody wants to know.
    pub at_limit: Option<BTreeSet<Span>>,
    /// The sections being complied with, to stop what the checker cannot see.
    pub complying: usize,
    /// The section at hand, by its position: what it complies with is read as its own code or minimum reads it.
    pub at_hand: usize,
    /// Results of built-ins on things.
    pub calls: Calls<'a>,
}

/// What is bound while evaluating: slots, and the section's named values.
pub struct Frame<'a, 'f> {
    /// Slots.
    pub slots: &'f mut Vec<Slot<'a>>,
    /// Named values and their results so far.
    pub lets: &'a [(String, Expr)],
    /// Results of named values.
    pub known_lets: &'f mut Vec<Option<Value<'a>>>,
}

impl<'a> Evaluator<'a> {
    /// An evaluator at its start.
    pub fn new(program: &'a Program, job: &'a Job, today: Date) -> Evaluator<'a> {
        Evaluator {
            program,
            job,
            today,
            steps: 0,
            assumed: false,
            unstated: false,
            uses: None,
            varied: &[],
            at_limit: None,
            complying: 0,
            at_hand: 0,
            calls: Calls::default(),
        }
    }

    /// A condition.
    pub fn truth(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Truth {
        if self.is_worn_out() {
            return Truth::Doubtful(Doubt::of_obstacle(Obstacle::TooManySteps(expr.span)));
        }
        if let Some(truth) = self.condition(expr, frame) {
            return truth;
        }
        match self.worked_out(expr, frame) {
            Value::Truth(truth) => truth,
            Value::Unknown(doubt) => Truth::Doubtful(doubt),
            _ => Truth::Doubtful(Doubt::of_obstacle(Obstacle::IsNone(expr.span))),
        }
    }

    /// Any value.
    pub fn value(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        if self.is_worn_out() {
            return unknown(&expr.kind, Doubt::of_obstacle(Obstacle::TooManySteps(expr.span)));
        }
        if let Some(truth) = self.condition(expr, frame) {
            return Value::Truth(truth);
        }
        if self.job.units.as_written() {
            return self.worked_out(expr, frame);
        }
        self.worked_out(expr, frame).shown_in(self.job.units)
    }

    /// Whether this step is one too many.
    fn is_worn_out(&mut self) -> bool {
        self.steps += 1;
        self.steps > MOST_STEPS
    }

    fn worked_out(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        match &expr.op {
            Op::Literal(datum) => Value::of(datum),
            Op::Fact(path, field) => self.fact(path, *field, frame),
            Op::Thing(path) => match reach(self.job, path, frame.slots) {
                Reached::Record(id) => Value::Thing(id),
                Reached::Nothing => Value::Nothing,
                Reached::Unknown(doubt) => Value::Unknown(doubt),
            },
            Op::Today => Value::Days(Days::day(self.today), Doubt::default()),
            Op::Id(path) => match reach(self.job, path, frame.slots) {
                Reached::Record(id) => self.job.record(id).id.as_deref().map_or(Value::Nothing, Value::Text),
                Reached::Nothing => Value::Nothing,
                Reached::Unknown(doubt) => Value::Unknown(doubt),
            },
            Op::Column(slot, column) => self.column(*slot, *column, &expr.kind, frame),
            Op::WordSlot(slot) => match &frame.slots[*slot] {
                Slot::Word(word) => Value::Word(*word),
                _ => Value::Nothing,
            },
            Op::Parameter(slot) => match &frame.slots[*slot] {
                Slot::Value(value) => value.clone(),
                _ => Value::Nothing,
            },
            Op::Let(at) => self.named(*at, frame),
            Op::Arithmetic(how, left, right) => {
                let (a, b) = (self.value(left, frame), self.value(right, frame));
                arithmetic(*how, a, b, expr)
            }
            Op::Power(base, power) => match self.value(base, frame) {
                Value::Number(number) => numeric(number.interval.pow(*power), number.doubt, None, expr),
                other => not_a_number(other, expr),
            },
            Op::If(condition, then, otherwise) => self.choice(condition, then, otherwise, expr, frame),
            Op::Aggregate(how, of, walk) => self.aggregate(*how, of.as_deref(), walk, expr, frame),
            Op::LookUp(table, column, keys) => self.look_up(*table, *column, keys, expr, frame),
            Op::Formula(at, arguments) => self.formula(*at, arguments, frame),
            Op::BuiltIn(at, arguments) => self.built_in(*at, arguments, expr, frame),
            // What gives a truth by its form has been asked before.
            _ => self.condition(expr, frame).map_or(Value::Nothing, Value::Truth),
        }
    }

    fn named(&mut self, at: usize, frame: &mut Frame<'a, '_>) -> Value<'a> {
        if self.uses.is_none()
            && let Some(known) = &frame.known_lets[at]
        {
            return known.clone();
        }
        let lets = frame.lets;
        let value = self.value(&lets[at].1, frame);
        frame.known_lets[at] = Some(value.clone());
        value
    }

    /// A fact of a thing, as stated, as assumed, or as missing.
    fn fact(&mut self, path: &ThingPath, field: usize, frame: &Frame<'a, '_>) -> Value<'a> {
        let kind = &self.program.definition(path.def).fields[field].kind;
        match reach(self.job, path, frame.slots) {
            Reached::Record(id) => self.fact_of(id, path, field),
            Reached::Nothing => Value::Nothing,
            Reached::Unknown(doubt) => unknown(kind, doubt),
        }
    }

    fn fact_of(&mut self, id: RecordId, path: &ThingPath, field: usize) -> Value<'a> {
        let record = self.job.record(id);
        let own = own_field(self.program, path.def, record.def, field);
        let definition = &self.program.definition(record.def).fields[own];
        if let Some(uses) = &mut self.uses {
            uses.push(FactUse { record: id, field: own });
        }
        match &record.facts[own] {
            Fact::Stated(stated) => match &stated.datum {
                Datum::Days(days) if !days.is_known() => Value::Days(*days, Doubt::of_missing(Missing::Day(id, own))),
                datum => self.marked(Value::of(datum), FactUse { record: id, field: own }),
            },
            Fact::Nothing(_) => Value::Nothing,
            Fact::Blank(_) | Fact::Spoiled(_) => unknown(&definition.kind, Doubt::of_missing(Missing::Fact(id, own))),
            Fact::Absent => match &definition.taken {
                Some(TakenAs::Nothing) => {
                    self.unstated = true;
                    Value::Nothing
                }
                Some(TakenAs::Value(datum)) => {
                    (self.assumed, self.unstated) = (true, true);
                    Value::of(datum)
                }
                None => unknown(&definition.kind, Doubt::of_missing(Missing::Fact(id, own))),
            },
        }
    }

    /// A value that is being varied, as one: what rests on its bounds can be told from what rests on a tolerance alone.
    fn marked(&self, mut value: Value<'a>, fact: FactUse) -> Value<'a> {
        if let Value::Number(number) = &mut value
            && number.doubt.tolerance
            && self.varied.contains(&fact)
        {
            number.doubt.varied = true;
        }
        value
    }

    pub(super) fn fact_given(&mut self, path: &ThingPath, field: usize, frame: &Frame<'a, '_>) -> Truth {
        let id = match reach(self.job, path, frame.slots) {
            Reached::Record(id) => id,
            Reached::Nothing => return Truth::No,
            Reached::Unknown(doubt) => return Truth::Doubtful(doubt),
        };
        let record = self.job.record(id);
        let own = own_field(self.program, path.def, record.def, field);
        if let Some(uses) = &mut self.uses {
            uses.push(FactUse { record: id, field: own });
        }
        let taken = &self.program.definition(record.def).fields[own].taken;
        self.unstated |= taken.is_some() && matches!(record.facts[own], Fact::Absent);
        match (&record.facts[own], taken) {
            (Fact::Stated(_), _) | (Fact::Absent, Some(TakenAs::Value(_))) => Truth::Yes,
            (Fact::Nothing(_), _) | (Fact::Absent, Some(TakenAs::Nothing)) => Truth::No,
            _ => Truth::Doubtful(Doubt::of_missing(Missing::Fact(id, own))),
        }
    }

    /// The cell of a bound row; the table is the one that the slot was bound to.
    pub(super) fn cell(&self, slot: usize, column: usize, frame: &Frame<'a, '_>) -> Option<&'a KeyCell> {
        let Slot::Row(packed) = frame.slots[slot] else { return None };
        let (table, row) = unpack(packed);
        self.program.tables.get(table)?.rows.get(row)?.cells.get(column)
    }

    fn column(&self, slot: usize, column: usize, kind: &Kind, frame: &Frame<'a, '_>) -> Value<'a> {
        match self.cell(slot, column, frame) {
            Some(KeyCell::Any) => Value::Any,
            // Where things are counted, none is nought.
            Some(KeyCell::Nothing) if *kind == Kind::Count => Value::point(Exact::ZERO),
            Some(KeyCell::Value(datum)) => Value::of(datum),
            Some(KeyCell::Range(low, high)) => Value::RangeCell(*low, *high),
            Some(KeyCell::Nothing) | None => Value::Nothing,
        }
    }

    fn choice(&mut self, condition: &'a Expr, then: &'a Expr, otherwise: &'a Expr, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Value<'a> {
        match self.truth(condition, frame) {
            Truth::Yes => self.value(then, frame),
            Truth::No => self.value(otherwise, frame),
            Truth::Doubtful(doubt) => {
                let (a, b) = (self.value(then, frame), self.value(otherwise, frame));
                hull(a, b, doubt, &expr.kind)
            }
        }
    }

    fn formula(&mut self, at: usize, arguments: &'a [Expr], frame: &mut Frame<'a, '_>) -> Value<'a> {
        let mut slots = self.formula_slots(at, arguments, frame);
        let mut inner = Frame { slots: &mut slots, lets: &[], known_lets: &mut Vec::new() };
        self.value(&self.program.formulas[at].body, &mut inner)
    }

    /// The slots of a formula with its arguments in them.
    pub fn formula_slots(&mut self, at: usize, arguments: &'a [Expr], frame: &mut Frame<'a, '_>) -> Vec<Slot<'a>> {
        let formula = &self.program.formulas[at];
        let mut slots = vec![Slot::Empty; formula.slots.max(arguments.len())];
        for (slot, argument) in arguments.iter().enumerate() {
            slots[slot] = match self.value(argument, frame) {
                Value::Thing(id) => Slot::Record(id),
                Value::Unknown(doubt) if matches!(formula.parameters[slot].1, Kind::Thing(_)) => {
                    Slot::Phantom(RecordId::ROOT, usize::MAX, doubt)
                }
                value => Slot::Value(value),
            };
        }
        slots
    }

    pub(super) fn compare(&mut self, how: Comparison, a: &Value, b: &Value, left: &Expr, span: Span) -> Truth {
        if let Some(at_limit) = &mut self.at_limit
            && stands_at(a, b)
        {
            at_limit.insert(span);
        }
        match (a, b) {
            (Value::Number(a), Value::Number(b)) => {
                let less = strictly_below(a.interval, b.interval, how);
                less.map_or_else(|| Truth::Doubtful(a.doubt.clone().and(&b.doubt)), Truth::sure)
            }
            (Value::Days(a, doubt_a), Value::Days(b, doubt_b)) => {
                let sure = match how {
                    Comparison::AtMost => decide(a.last <= b.first, a.first > b.last),
                    Comparison::AtLeast => decide(a.first >= b.last, a.last < b.first),
                    Comparison::LessThan => decide(a.last < b.first, a.first >= b.last),
                    Comparison::MoreThan => decide(a.first > b.last, a.last <= b.first),
                };
                sure.map_or_else(|| Truth::Doubtful(doubt_a.clone().and(doubt_b)), Truth::sure)
            }
            (Value::Word(a), Value::Word(b)) => {
                let Kind::Word(list) = left.kind else { return Truth::Doubtful(Doubt::of_obstacle(Obstacle::IsNone(span))) };
                let place = |word| self.program.lists.list(list).words.iter().position(|other| other == word);
                Truth::sure(ordered(how, place(a).cmp(&place(b))))
            }
            (Value::Wire(a), Value::Wire(b)) => {
                let sure = match how {
                    Comparison::AtLeast => a.thinner_than(*b).map(|thinner| !thinner),
                    Comparison::LessThan => a.thinner_than(*b),
                    Comparison::AtMost => b.thinner_than(*a).map(|thinner| !thinner),
                    Comparison::MoreThan => b.thinner_than(*a),
                };
                sure.map_or_else(|| Truth::Doubtful(Doubt::of_obstacle(Obstacle::TooManyDigits(span))), Truth::sure)
            }
            (Value::Any, _) | (_, Value::Any) => Truth::Yes,
            _ => incomparable(a, b, span),
        }
    }
}

/// The slot value of a row: table and row in one number.
pub fn pack_row(table: usize, row: usize) -> usize {
    table << 32 | row
}

/// Table and row of a slot value.
pub fn unpack(packed: usize) -> (usize, usize) {
    (packed >> 32, packed & 0xffff_ffff)
}

/// A value that is not known, in the shape that its kind has.
pub fn unknown<'a>(kind: &Kind, doubt: Doubt) -> Value<'a> {
    // What cannot be computed is no number at all, not even one of unknown size.
    match kind {
        _ if !doubt.obstacles.is_empty() => Value::Unknown(doubt),
        Kind::Count => Value::Number(Number { interval: Interval { lo: Some(Exact::ZERO), hi: None }, doubt, unit: None }),
        Kind::Measure(_) | Kind::Temperature => Value::Number(Number { interval: Interval::WHOLE, doubt, unit: None }),
        _ => Value::Unknown(doubt),
    }
}

/// A number from bounds, or unknown with the obstacle.
pub fn numeric<'a>(
    outcome: Result<Interval, interval::Obstacle>,
    doubt: Doubt,
    unit: Option<crate::quantity::Unit>,
    expr: &Expr,
) -> Value<'a> {
    match outcome {
        // A number that is one point whatever the doubtful ones are, such as nought times something, is in no doubt.
        Ok(interval) if interval.as_point().is_some() => Value::Number(Number { interval, doubt: Doubt::default(), unit }),
        Ok(interval) => Value::Number(Number { interval, doubt, unit }),
        // A divisor that only may be nought is as uncertain as its own doubt says.
        Err(interval::Obstacle::DivisionByNought) if !doubt.is_none() => unknown(&Kind::Measure(crate::quantity::Dimension::NONE), doubt),
        Err(interval::Obstacle::DivisionByNought) => unknown(&expr.kind, Doubt::of_obstacle(Obstacle::DivisionByNought(expr.span))),
        Err(interval::Obstacle::TooManyDigits) => unknown(&expr.kind, doubt.and(&Doubt::of_obstacle(Obstacle::TooManyDigits(expr.span)))),
    }
}

fn not_a_number<'a>(value: Value<'a>, expr: &Expr) -> Value<'a> {
    match value {
        Value::Unknown(doubt) => unknown(&expr.kind, doubt),
        _ => unknown(&expr.kind, Doubt::of_obstacle(Obstacle::IsNone(expr.span))),
    }
}

fn arithmetic<'a>(how: Arithmetic, a: Value<'a>, b: Value<'a>, expr: &Expr) -> Value<'a> {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (outcome, unit) = match how {
                Arithmetic::Add => (a.interval.add(b.interval), a.unit.or(b.unit)),
                Arithmetic::Subtract => (a.interval.sub(b.interval), a.unit.or(b.unit)),
                Arithmetic::Times => (a.interval.mul(b.interval), scaled_unit(&a, &b, expr)),
                Arithmetic::Over => (a.interval.div(b.interval), scaled_unit(&a, &b, expr)),
            };
            numeric(outcome, a.doubt.and(&b.doubt), unit, expr)
        }
        (Value::Days(days, doubt), Value::Period(period)) => {
            let period = if how == Arithmetic::Subtract { period.negated() } else { Some(period) };
            match period.and_then(|period| days.later(period)) {
                Some(days) => Value::Days(days, doubt),
                None => Value::Unknown(Doubt::of_obstacle(Obstacle::OutsideCalendar(expr.span))),
            }
        }
        (Value::Period(a), Value::Period(b)) => {
            let b = if how == Arithmetic::Subtract { b.negated() } else { Some(b) };
            match b.and_then(|b| a.add(b)) {
                Some(period) => Value::Period(period),
                None => Value::Unknown(Doubt::of_obstacle(Obstacle::OutsideCalendar(expr.span))),
            }
        }
        (a, b) => match incomparable(&a, &b, expr.span) {
            Truth::Doubtful(doubt) => unknown(&expr.kind, doubt),
            _ => Value::Nothing,
        },
    }
}

/// A product with a plain number keeps the other's unit.
fn scaled_unit(a: &Number, b: &Number, expr: &Expr) -> Option<crate::quantity::Unit> {
    let Kind::Measure(dimension) = expr.kind else { return None };
    [a.unit, b.unit].into_iter().flatten().find(|unit| unit.dimension() == dimension)
}

/// Either of two values, when it is not known which.
fn hull<'a>(a: Value<'a>, b: Value<'a>, doubt: Doubt, kind: &Kind) -> Value<'a> {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            // Where both come out the same, the doubt about which it is does not matter.
            if a == b && a.doubt.is_none() {
                return Value::Number(a);
            }
            let doubt = doubt.and(&a.doubt).and(&b.doubt);
            Value::Number(Number { interval: a.interval.hull(b.interval), doubt, unit: a.unit.or(b.unit) })
        }
        (Value::Truth(Truth::Doubtful(one)), Value::Truth(other)) | (Value::Truth(other), Value::Truth(Truth::Doubtful(one))) => {
            let other = if let Truth::Doubtful(other) = other { other } else { Doubt::default() };
            Value::Truth(Truth::Doubtful(doubt.and(&one).and(&other)))
        }
        (Value::Truth(a), Value::Truth(b)) => Value::Truth(if a == b { a } else { Truth::Doubtful(doubt) }),
        (Value::Days(a, doubt_a), Value::Days(b, doubt_b)) => {
            Value::Days(Days { first: a.first.min(b.first), last: a.last.max(b.last) }, doubt.and(&doubt_a).and(&doubt_b))
        }
        (a, b) if a == b => a,
        (a, b) => {
            let mut doubt = doubt;
            for value in [a, b] {
                if let Some(more) = value.unknown_doubt() {
                    doubt.join(more);
                }
            }
            unknown(kind, doubt)
        }
    }
}
