//! Walks over collections: every, at least one, no, count, sum, least, greatest. A record that may or may not count widens
//! the result. It must not know verdicts.

use super::doubt::{Doubt, Obstacle, Truth};
use super::eval::{Evaluator, Frame, numeric, unknown};
use super::paths::{Listed, Reached, listed, reach};
use super::value::{Number, Slot, Value};
use crate::job::RecordId;
use crate::language::program::{Expr, Walk};
use crate::language::tree::{Aggregate, Quantifier};
use crate::quantity::{Exact, Interval};

/// The records of a walk: each with whether its filter lets it in (surely, or perhaps and why).
struct Walked {
    /// Records and the doubt about their filter.
    records: Vec<(RecordId, Option<Doubt>)>,
    /// Why there may be more records than these.
    more: Option<Doubt>,
}

impl<'a> Evaluator<'a> {
    /// What the list of a walk holds.
    pub fn collection(&self, walk: &Walk, frame: &Frame<'a, '_>) -> Listed {
        match reach(self.job, &walk.base, frame.slots) {
            Reached::Nothing => Listed::default(),
            Reached::Unknown(doubt) => Listed { doubt, ..Listed::default() },
            Reached::Record(id) => {
                let def = self.program.definition(self.job.record(id).def).children[walk.list];
                let mut found = Listed::default();
                listed(self.program, self.job, id, def, &mut found);
                found
            }
        }
    }

    fn walked(&mut self, walk: &'a Walk, frame: &mut Frame<'a, '_>) -> Walked {
        let found = self.collection(walk, frame);
        let more = found.incomplete();
        let mut records = Vec::with_capacity(found.records.len());
        for record in found.records {
            frame.slots[walk.slot] = Slot::Record(record);
            let filter = walk.filter.as_ref().map_or(Truth::Yes, |filter| self.truth(filter, frame));
            match filter {
                Truth::Yes => records.push((record, None)),
                Truth::No => {}
                Truth::Doubtful(doubt) => records.push((record, Some(doubt))),
            }
        }
        Walked { records, more }
    }

    /// `every`, `at least one`, `no`.
    pub fn quantified(&mut self, how: Quantifier, walk: &'a Walk, body: &'a Expr, frame: &mut Frame<'a, '_>) -> Truth {
        let walked = self.walked(walk, frame);
        // `every` is that none fails; `no` is that none does.
        let wanted = how == Quantifier::Every;
        let mut some = Truth::No;
        for (record, filter) in &walked.records {
            frame.slots[walk.slot] = Slot::Record(*record);
            let body = self.truth(body, frame);
            let hit = if wanted { body.negated() } else { body };
            let hit = match filter {
                None => hit,
                Some(doubt) => hit.and(Truth::Doubtful(doubt.clone())),
            };
            some = some.or(hit);
            if some == Truth::Yes && self.uses.is_none() {
                break;
            }
        }
        if let Some(more) = walked.more {
            some = some.or(Truth::Doubtful(more));
        }
        if how == Quantifier::AtLeastOne { some } else { some.negated() }
    }

    /// `count of`, `sum of`, `least of`, `greatest of`.
    pub fn aggregate(
        &mut self,
        how: Aggregate,
        of: Option<&'a Expr>,
        walk: &'a Walk,
        expr: &'a Expr,
        frame: &mut Frame<'a, '_>,
    ) -> Value<'a> {
        let walked = self.walked(walk, frame);
        let Some(of) = of else { return count(&walked) };
        let mut values = Vec::with_capacity(walked.records.len());
        for (record, filter) in &walked.records {
            frame.slots[walk.slot] = Slot::Record(*record);
            values.push((self.value(of, frame), filter.clone()));
        }
        match how {
            Aggregate::Count => count(&walked),
            Aggregate::CountDistinct => distinct(values, walked.more),
            Aggregate::Sum => sum(values, walked.more, expr),
            Aggregate::Least | Aggregate::Greatest => extreme(how == Aggregate::Least, values, walked.more, expr),
        }
    }
}

fn whole(number: usize) -> Exact {
    Exact::whole(i128::try_from(number).unwrap_or(i128::MAX))
}

fn count<'a>(walked: &Walked) -> Value<'a> {
    let sure = walked.records.iter().filter(|(_, filter)| filter.is_none()).count();
    let mut doubt = walked.more.clone().unwrap_or_default();
    for (_, filter) in &walked.records {
        if let Some(filter) = filter {
            doubt.join(filter);
        }
    }
    let hi = walked.more.is_none().then(|| whole(walked.records.len()));
    Value::Number(Number { interval: Interval { lo: Some(whole(sure)), hi }, doubt, unit: None })
}

fn distinct<'a>(values: Vec<(Value<'a>, Option<Doubt>)>, more: Option<Doubt>) -> Value<'a> {
    let (mut sure, mut maybe, mut open): (Vec<Value>, Vec<Value>, usize) = (Vec::new(), Vec::new(), 0);
    let mut some_open_is_sure = false;
    let mut doubt = more.clone().unwrap_or_default();
    for (value, filter) in values {
        let known = match &value {
            Value::Word(_) | Value::Text(_) => true,
            Value::Number(number) => number.interval.as_point().is_some(),
            Value::Days(days, _) => days.is_known(),
            _ => false,
        };
        let reasons = match &value {
            Value::Unknown(reasons) | Value::Days(_, reasons) => Some(reasons.clone()),
            Value::Number(number) => Some(number.doubt.clone()),
            _ => None,
        };
        match (known, filter) {
            (true, None) if !sure.contains(&value) => sure.push(value),
            (true, None) => {}
            (true, Some(filter)) => {
                doubt.join(&filter);
                maybe.push(value);
            }
            // Nothing is no value, so it does not count as one.
            (false, _) if value == Value::Nothing => {}
            (false, filter) => {
                open += 1;
                some_open_is_sure |= filter.is_none();
                for reasons in reasons.into_iter().chain(filter) {
                    doubt.join(&reasons);
                }
            }
        }
    }
    let mut all = sure.clone();
    for value in maybe {
        if !all.contains(&value) {
            all.push(value);
        }
    }
    let lo = if sure.is_empty() && some_open_is_sure { 1 } else { sure.len() };
    let hi = more.is_none().then(|| whole(all.len() + open));
    Value::Number(Number { interval: Interval { lo: Some(whole(lo)), hi }, doubt, unit: None })
}

/// Every reason that takes part in a walk's values; with an obstacle among them, there is no number to be had.
fn reasons(values: &[(Value, Option<Doubt>)], more: Option<&Doubt>, expr: &Expr) -> Doubt {
    let mut doubt = more.cloned().unwrap_or_default();
    for (value, filter) in values {
        match value {
            Value::Number(number) => doubt.join(&number.doubt),
            Value::Unknown(reasons) | Value::Days(_, reasons) => doubt.join(reasons),
            _ => doubt.join(&Doubt::of_obstacle(Obstacle::IsNone(expr.span))),
        }
        if let Some(filter) = filter {
            doubt.join(filter);
        }
    }
    doubt
}

fn sum<'a>(values: Vec<(Value<'a>, Option<Doubt>)>, more: Option<Doubt>, expr: &Expr) -> Value<'a> {
    let doubt = reasons(&values, more.as_ref(), expr);
    let (mut total, mut unit) = (Interval::point(Exact::ZERO), None);
    for (value, filter) in values {
        let Value::Number(number) = value else { return unknown(&expr.kind, doubt) };
        let counted = if filter.is_some() { number.interval.hull(Interval::point(Exact::ZERO)) } else { number.interval };
        unit = unit.or(number.unit);
        match total.add(counted) {
            Ok(interval) => total = interval,
            Err(obstacle) => return numeric(Err(obstacle), doubt, None, expr),
        }
    }
    let interval = if more.is_some() { Interval::WHOLE } else { total };
    Value::Number(Number { interval, doubt, unit })
}

/// The least, or the greatest by turning signs.
fn extreme<'a>(least: bool, values: Vec<(Value<'a>, Option<Doubt>)>, more: Option<Doubt>, expr: &Expr) -> Value<'a> {
    if values.iter().any(|(value, _)| matches!(value, Value::Days(..))) {
        return extreme_day(least, values, more, expr);
    }
    let doubt = reasons(&values, more.as_ref(), expr);
    let (mut sure, mut maybe, mut unit): (Option<Interval>, Vec<Interval>, _) = (None, Vec::new(), None);
    for (value, filter) in values {
        let Value::Number(number) = value else { return unknown(&expr.kind, doubt) };
        unit = unit.or(number.unit);
        let interval = if least { number.interval } else { number.interval.negated() };
        match filter {
            None => sure = Some(sure.map_or(interval, |least| least.smaller(interval))),
            Some(_) => maybe.push(interval),
        }
    }
    let Some(mut result) = sure else {
        // Where the list may turn out empty, there may be nothing to compare.
        return unknown(&expr.kind, doubt.and(&Doubt::of_obstacle(Obstacle::NothingToCompare(expr.span))));
    };
    for interval in maybe {
        result = result.hull(result.smaller(interval));
    }
    if more.is_some() {
        result.lo = None;
    }
    Value::Number(Number { interval: if least { result } else { result.negated() }, doubt, unit })
}

fn extreme_day<'a>(least: bool, values: Vec<(Value<'a>, Option<Doubt>)>, more: Option<Doubt>, expr: &Expr) -> Value<'a> {
    let mut doubt = more.clone().unwrap_or_default();
    let mut uncertain = more.is_some();
    let mut best: Option<crate::quantity::Days> = None;
    for (value, filter) in values {
        uncertain |= filter.is_some();
        doubt.join(&filter.unwrap_or_default());
        match value {
            Value::Days(days, reasons) => {
                doubt.join(&reasons);
                best = Some(best.map_or(days, |best| match least {
                    true => crate::quantity::Days { first: best.first.min(days.first), last: best.last.min(days.last) },
                    false => crate::quantity::Days { first: best.first.max(days.first), last: best.last.max(days.last) },
                }));
            }
            Value::Unknown(reasons) => {
                uncertain = true;
                doubt.join(&reasons);
            }
            _ => return unknown(&expr.kind, Doubt::of_obstacle(Obstacle::IsNone(expr.span))),
        }
    }
    match best {
        _ if uncertain => Value::Unknown(doubt),
        Some(best) => Value::Days(best, doubt),
        None => Value::Unknown(Doubt::of_obstacle(Obstacle::NothingToCompare(expr.span))),
    }
}
