//! Finds what a verdict is near to: the measured facts that lie near a limit, where a reading a little off would come out otherwise, and
//! the day until which it holds. It evaluates a judged clause again with the facts noted; it must not know how they are shown.

use super::doubt::Truth;
use super::eval::{Evaluator, FactUse, Frame};
use super::run::Subject;
use super::value::{Number, Slot, Value};
use super::verdict::{Judged, Verdict};
use crate::datum::{Datum, Kind};
use crate::job::Fact;
use crate::language::parts::parts;
use crate::language::program::{Expr, Op};
use crate::language::tree::Comparison;
use crate::quantity::Exact;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// How many tolerances away a limit is near.
const NEAR: i128 = 2;

/// The measured facts of a clause that lie within twice their tolerance of a limit that it or one of its exceptions asks. Where no tolerance is stated, the last
/// digit as written stands for it.
pub fn near_a_limit<'a>(subject: Subject<'a>, judged: &Judged<'a>) -> BTreeSet<FactUse> {
    let section = &subject.program.sections[judged.section];
    let norm = &section.norms[judged.norm];
    let excepts = section.excepts.iter().flat_map(|except| except.filter.iter().chain(&except.unless));
    looked(subject, judged, false, std::iter::once(&norm.body).chain(excepts)).found
}

/// The last day on which a condition holds that asks for a day not before the day of judging; none where it asks for no such day.
pub fn holds_until<'a>(subject: Subject<'a>, judged: &Judged<'a>) -> Option<Date> {
    let section = &subject.program.sections[judged.section];
    let decided_by = match judged.verdict {
        Verdict::Excepted(at) => section.excepts.get(at).and_then(|except| except.filter.as_ref()),
        _ => Some(&section.norms[judged.norm].body),
    };
    looked(subject, judged, matches!(judged.verdict, Verdict::Met | Verdict::Excepted(_)), decided_by).days.into_iter().max()
}

/// What is found in these expressions of a judged clause; of things that are walked over only those that fit, where asked so.
fn looked<'a>(subject: Subject<'a>, judged: &Judged<'a>, fitting: bool, exprs: impl IntoIterator<Item = &'a Expr>) -> Looker<'a> {
    let section = &subject.program.sections[judged.section];
    let mut looker = Looker { fitting, ..Looker::new(subject, judged.section) };
    if judged.verdict == Verdict::NotApplicable || judged.bound < section.binders.len() {
        return looker;
    }
    let (mut slots, mut known_lets) = (judged.slots.clone(), vec![None; section.lets.len()]);
    let mut frame = Frame { slots: &mut slots, lets: &section.lets, known_lets: &mut known_lets };
    for expr in exprs {
        looker.look(expr, &mut frame);
    }
    looker
}

/// Looks through conditions for comparisons.
pub(super) struct Looker<'a> {
    pub(super) evaluator: Evaluator<'a>,
    /// Whether only things that fit a walk's condition count.
    fitting: bool,
    pub(super) found: BTreeSet<FactUse>,
    /// Days that must not lie before the day of judging.
    days: Vec<Date>,
}

impl<'a> Looker<'a> {
    /// One that counts every thing.
    pub(super) fn new(subject: Subject<'a>, section: usize) -> Looker<'a> {
        let mut evaluator = Evaluator::new(subject.program, subject.job, subject.today);
        evaluator.at_hand = section;
        Looker { evaluator, fitting: false, found: BTreeSet::new(), days: Vec::new() }
    }

    /// Every comparison within a condition, for every record that it walks over.
    pub(super) fn look(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) {
        match &expr.op {
            Op::Let(at) => {
                let lets = frame.lets;
                self.look(&lets[*at].1, frame);
            }
            Op::Quantified(_, walk, body) => self.walk(walk, Some(body), frame),
            Op::Aggregate(_, _, walk) => self.walk(walk, None, frame),
            _ => {
                match &expr.op {
                    Op::Compare(how, left, right) => {
                        self.compare(left, right, frame);
                        self.note_day(*how, left, right, frame);
                    }
                    Op::Between(value, low, high) => {
                        self.compare(value, low, frame);
                        self.compare(value, high, frame);
                    }
                    Op::InRange(value, range) => self.in_range(value, range, frame),
                    _ => {}
                }
                // What is compared may itself count by a comparison, or choose by one.
                parts(expr).into_iter().for_each(|part| self.look(part, frame));
            }
        }
    }

    fn walk(&mut self, walk: &'a crate::language::program::Walk, body: Option<&'a Expr>, frame: &mut Frame<'a, '_>) {
        let before = frame.slots.get(walk.slot).cloned().unwrap_or_default();
        for record in self.evaluator.collection(walk, frame).records {
            frame.slots[walk.slot] = Slot::Record(record);
            let conditions = walk.filter.as_deref().into_iter().chain(body);
            if self.fitting && conditions.into_iter().any(|expr| self.evaluator.truth(expr, frame) == Truth::No) {
                continue;
            }
            for expr in walk.filter.as_deref().into_iter().chain(body) {
                self.look(expr, frame);
            }
        }
        frame.slots[walk.slot] = before;
    }

    /// A value with the facts that took part in it.
    fn noted(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> (Value<'a>, Vec<FactUse>) {
        (self.evaluator.steps, self.evaluator.uses) = (0, Some(Vec::new()));
        let value = self.evaluator.value(expr, frame);
        (value, self.evaluator.uses.take().unwrap_or_default())
    }

    fn compare(&mut self, left: &'a Expr, right: &'a Expr, frame: &mut Frame<'a, '_>) {
        let ((a, mut facts), (b, more)) = (self.noted(left, frame), self.noted(right, frame));
        facts.extend(more);
        if let (Value::Number(a), Value::Number(b)) = (a, b) {
            self.weigh(&a, &b, facts, &left.kind);
        }
    }

    fn note_day(&mut self, how: Comparison, left: &'a Expr, right: &'a Expr, frame: &mut Frame<'a, '_>) {
        if !matches!(right.op, Op::Today) || !matches!(how, Comparison::AtLeast | Comparison::MoreThan) {
            return;
        }
        self.evaluator.steps = 0;
        if let Value::Days(days, _) = self.evaluator.value(left, frame)
            && days.is_known()
        {
            self.days.push(days.first);
        }
    }

    fn in_range(&mut self, value: &'a Expr, range: &'a Expr, frame: &mut Frame<'a, '_>) {
        let kind = &value.kind;
        let ((value, facts), (range, _)) = (self.noted(value, frame), self.noted(range, frame));
        let ends = match range {
            Value::Range(low, high, _) => [Some(low), Some(high)],
            Value::RangeCell(low, high) => [low.map(|end| end.0), high.map(|end| end.0)],
            _ => return,
        };
        let Value::Number(value) = value else { return };
        for end in ends.into_iter().flatten() {
            let Value::Number(limit) = Value::point(end) else { continue };
            self.weigh(&value, &limit, facts.clone(), kind);
        }
    }

    fn weigh(&mut self, value: &Number, limit: &Number, facts: Vec<FactUse>, kind: &Kind) {
        let measured: Vec<FactUse> = facts.into_iter().filter(|fact| self.is_measured(*fact)).collect();
        let digits = measured.iter().filter_map(|fact| self.digit(*fact, kind)).max().unwrap_or(Exact::ZERO);
        if is_near(value, limit, digits).unwrap_or(false) {
            self.found.extend(measured);
        }
    }

    fn is_measured(&self, fact: FactUse) -> bool {
        let record = self.evaluator.job.record(fact.record);
        let field = &self.evaluator.program.definition(record.def).fields[fact.field];
        field.measured && matches!(record.facts[fact.field], Fact::Stated(_))
    }

    /// The last digit of a reading as written, where no tolerance is stated for it and it is of the kind that is compared.
    fn digit(&self, fact: FactUse, kind: &Kind) -> Option<Exact> {
        let record = self.evaluator.job.record(fact.record);
        if self.evaluator.program.definition(record.def).fields[fact.field].kind != *kind {
            return None;
        }
        match &record.facts[fact.field] {
            Fact::Stated(stated) => match &stated.datum {
                Datum::Number(interval, _) if interval.as_point().is_some() => stated.digit,
                _ => None,
            },
            _ => None,
        }
    }
}

/// Whether a value lies within twice of what it may be off of its limit; nothing where that cannot be told.
fn is_near(value: &Number, limit: &Number, digit: Exact) -> Option<bool> {
    let (low, high) = (value.interval.lo?.sub(limit.interval.hi?)?, value.interval.hi?.sub(limit.interval.lo?)?);
    let two = Exact::whole(2);
    let away = low.add(high)?.div(two)?.size();
    let spread = high.sub(low)?.div(two)?;
    let spread = if spread.is_zero() { digit } else { spread };
    Some(away <= spread.mul(Exact::whole(NEAR))?)
}
