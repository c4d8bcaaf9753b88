//! Comparisons and conditions written out: value against limit, what is left between them, with the digits it takes to see
//! it. It must not know verdicts.

use super::amount::{Digits, number_shown, point, range, unit_of};
use super::tree::{Comparison, Detail, Input, Limit, Origin, Part, Shown, Step, Together};
use super::work::{Work, outcome, take};
use crate::datum::Kind;
use crate::judge::compare::strictly_below;
use crate::judge::doubt::Doubt;
use crate::judge::eval::Frame;
use crate::judge::value::{Number, Value};
use crate::language::program::{Expr, Op};
use crate::language::tree::Comparison as How;
use crate::quantity::unit::UnitKind;
use crate::quantity::{Days, Exact, Interval, Unit, show};

/// A condition that has been written out.
pub struct Decided {
    /// With the values put in.
    pub put_in: String,
    /// What comes of it.
    pub outcome: &'static str,
    /// The step that reckons it.
    pub step: Option<usize>,
}

impl<'a> Work<'a, '_> {
    /// A condition, down to the comparisons in it, each of which is a step.
    pub fn condition(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>, inputs: &mut Vec<Input>) -> Decided {
        let truth = self.truth(expr, frame);
        let by_step = |step: usize, work: &Self| Decided {
            put_in: work.steps.get(step - 1).map_or_else(String::new, |step| step.put_in.clone()),
            outcome: outcome(&truth),
            step: Some(step),
        };
        if self.is_full() {
            return Decided { put_in: self.written(expr.span), outcome: outcome(&truth), step: None };
        }
        match &expr.op {
            Op::Compare(..) | Op::Between(..) | Op::InRange(..) => {
                let step = self.comparison(expr, frame);
                by_step(step, self)
            }
            Op::Junction(and, parts) => {
                let step = self.together(*and, parts, expr, frame);
                by_step(step, self)
            }
            Op::Let(at) => {
                let lets = frame.lets;
                self.condition(&lets[*at].1, frame, inputs)
            }
            Op::Not(part) if matches!(part.op, Op::Compare(..) | Op::Between(..) | Op::InRange(..) | Op::Junction(..)) => {
                let inner = self.condition(part, frame, inputs);
                Decided { put_in: format!("not ({})", inner.put_in), outcome: outcome(&truth), step: inner.step }
            }
            Op::Quantified(..) | Op::If(..) => {
                let mut own = Vec::new();
                self.put_in(expr, frame, &mut own);
                let step = own.iter().find_map(|input| match input.from {
                    Origin::Step { number } => Some(number),
                    _ => None,
                });
                step.map_or_else(|| Decided { put_in: String::new(), outcome: outcome(&truth), step: None }, |step| by_step(step, self))
            }
            _ => Decided { put_in: self.put_in(expr, frame, inputs), outcome: outcome(&truth), step: None },
        }
    }

    /// The condition of a clause, and the number of the step that says what comes of it.
    pub fn deciding(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> usize {
        let mut inputs = Vec::new();
        let decided = self.condition(expr, frame, &mut inputs);
        if let Some(number) = decided.step {
            let shown = self.steps.get(number - 1).map_or_else(|| Shown::words(decided.outcome), |step| step.result.clone());
            // A `not` turns what the last step says, and what was written down before stands further up.
            if number == self.steps.len() && shown.text == decided.outcome {
                return number;
            }
            take(&mut inputs, Input { written: format!("step {number}"), shown, from: Origin::Step { number } });
        }
        let (written, place) = (self.written(expr.span), super::fact::place(self.files, expr.span));
        self.push(Step {
            number: 0,
            title: "Condition".into(),
            says: None,
            choices: Vec::new(),
            written,
            put_in: decided.put_in,
            result: Shown::words(decided.outcome),
            inputs,
            detail: Detail::Condition,
            sources: Vec::new(),
            place,
        })
    }

    fn together(&mut self, and: bool, parts: &'a [Expr], expr: &'a Expr, frame: &mut Frame<'a, '_>) -> usize {
        let (mut inputs, mut told) = (Vec::new(), Vec::new());
        for part in parts {
            let decided = self.condition(part, frame, &mut inputs);
            told.push(Part { written: self.written(part.span), put_in: decided.put_in, outcome: decided.outcome, step: decided.step });
        }
        let how = if and { "all of these" } else { "any of these" };
        let put_in = told.iter().map(|part| part.outcome).collect::<Vec<_>>().join(if and { " and " } else { " or " });
        let result = Shown::words(outcome(&self.truth(expr, frame)));
        let (written, place) = (self.written(expr.span), super::fact::place(self.files, expr.span));
        self.push(Step {
            number: 0,
            title: if and { "Every condition must hold".into() } else { "One of the conditions must hold".into() },
            says: None,
            choices: Vec::new(),
            written,
            put_in,
            result,
            inputs,
            detail: Detail::Together(Together { how, parts: told }),
            sources: Vec::new(),
            place,
        })
    }

    fn comparison(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> usize {
        let mut inputs = Vec::new();
        let put_in = self.put_in(expr, frame, &mut inputs);
        let (value, kind, limits) = self.sides(expr, frame);
        let unit = limits.first().and_then(|(_, limit)| common_unit(&value, limit, &kind));
        self.tell_apart(&value, &limits, unit);
        let holds = outcome(&self.truth(expr, frame));
        let limits = limits.into_iter().map(|(how, limit)| {
            let held = self.holds(how, &value, &limit, holds);
            let margin = self.margin(how, &value, &limit, &kind, unit);
            Limit { how: how.words(), shown: self.side(&limit, &kind, unit), margin, holds: held }
        });
        let limits = limits.collect();
        let value = self.side(&value, &kind, unit);
        let (written, place) = (self.written(expr.span), super::fact::place(self.files, expr.span));
        self.push(Step {
            number: 0,
            title: "Value against limit".into(),
            says: None,
            choices: Vec::new(),
            written,
            put_in,
            result: Shown::words(holds),
            inputs,
            detail: Detail::Comparison(Comparison { value, limits, holds }),
            sources: Vec::new(),
            place,
        })
    }

    /// The value, its kind, and its limits. The side that the job's facts make is the value, as findings have it.
    fn sides(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> (Value<'a>, Kind, Vec<(How, Value<'a>)>) {
        match &expr.op {
            Op::Compare(how, left, right) => {
                let (a, left_facts) = self.noted(left, frame);
                let (b, right_facts) = self.noted(right, frame);
                if left_facts || !right_facts {
                    (a, left.kind.clone(), vec![(*how, b)])
                } else {
                    (b, right.kind.clone(), vec![(turned(*how), a)])
                }
            }
            Op::Between(value, low, high) => {
                let limits = vec![(How::AtLeast, self.value(low, frame)), (How::AtMost, self.value(high, frame))];
                (self.value(value, frame), value.kind.clone(), limits)
            }
            Op::InRange(value, range) => {
                let limits = ends(&self.value(range, frame));
                (self.value(value, frame), value.kind.clone(), limits)
            }
            _ => (self.value(expr, frame), expr.kind.clone(), Vec::new()),
        }
    }

    /// A value, and whether facts of the job take part in it.
    fn noted(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> (Value<'a>, bool) {
        self.evaluator.uses = Some(Vec::new());
        let value = self.value(expr, frame);
        let uses = self.evaluator.uses.take().unwrap_or_default();
        (value, !uses.is_empty())
    }

    /// Asks for as many digits as it takes to see the outcome.
    fn tell_apart(&mut self, value: &Value, limits: &[(How, Value)], unit: Option<Unit>) {
        let ends = |side: &Value| match side {
            Value::Number(number) => [number.interval.lo, number.interval.hi].into_iter().flatten().collect(),
            _ => Vec::new(),
        };
        let limits: Vec<Exact> = limits.iter().flat_map(|(_, limit)| ends(limit)).collect();
        let pairs: Vec<(Exact, Exact)> = ends(value).iter().flat_map(|end| limits.iter().map(|limit| (*end, *limit))).collect();
        if let Some(places) = show::places_apart(&pairs, unit) {
            for end in pairs.into_iter().flat_map(|(one, other)| [one, other]) {
                let known = self.wanted.entry(end).or_insert(places);
                *known = places.max(*known);
            }
        }
    }

    fn side(&self, value: &Value, kind: &Kind, unit: Option<Unit>) -> Shown {
        match value {
            Value::Number(number) => number_shown(number, kind, unit, &self.digits),
            other => self.of_value(other, kind),
        }
    }

    /// Whether one limit is kept; where there is only one, that is what the comparison says.
    fn holds(&self, how: How, value: &Value, limit: &Value, all: &'static str) -> &'static str {
        match (value, limit) {
            (Value::Number(value), Value::Number(limit)) => match strictly_below(value.interval, limit.interval, how) {
                Some(true) => "yes",
                Some(false) => "no",
                None => "not sure",
            },
            _ => all,
        }
    }

    fn margin(&self, how: How, value: &Value, limit: &Value, kind: &Kind, unit: Option<Unit>) -> Option<Shown> {
        match (value, limit) {
            (Value::Number(value), Value::Number(limit)) => number_margin(value, limit, kind, unit),
            (Value::Days(value, _), Value::Days(limit, _)) => days_margin(how, *value, *limit),
            _ => None,
        }
    }
}

fn turned(how: How) -> How {
    match how {
        How::AtMost => How::AtLeast,
        How::AtLeast => How::AtMost,
        How::LessThan => How::MoreThan,
        How::MoreThan => How::LessThan,
    }
}

/// The ends of a range as limits.
fn ends<'a>(range: &Value<'a>) -> Vec<(How, Value<'a>)> {
    let at = |end: Exact, unit: Option<Unit>| Value::Number(Number { interval: Interval::point(end), doubt: Doubt::default(), unit });
    match range {
        Value::Range(low, high, unit) => vec![(How::AtLeast, at(*low, *unit)), (How::AtMost, at(*high, *unit))],
        Value::RangeCell(low, high) => {
            let low = low.map(|(end, included)| (if included { How::AtLeast } else { How::MoreThan }, at(end, None)));
            let high = high.map(|(end, included)| (if included { How::AtMost } else { How::LessThan }, at(end, None)));
            low.into_iter().chain(high).collect()
        }
        other => vec![(How::AtMost, other.clone())],
    }
}

/// The unit in which both are shown: that of the value, else that of the limit.
fn common_unit(value: &Value, limit: &Value, kind: &Kind) -> Option<Unit> {
    match (value, limit) {
        (Value::Number(value), Value::Number(limit)) => unit_of(&Number { unit: value.unit.or(limit.unit), ..value.clone() }, kind),
        (Value::Number(number), _) | (_, Value::Number(number)) => unit_of(number, kind),
        _ => None,
    }
}

/// What lies between value and limit, and on which side the value lies.
fn number_margin(value: &Number, limit: &Number, kind: &Kind, unit: Option<Unit>) -> Option<Shown> {
    let least = value.interval.lo?.sub(limit.interval.hi?)?;
    let most = value.interval.hi?.sub(limit.interval.lo?)?;
    let one = |amount: Exact| amount_shown(amount, kind, unit);
    let side = |amount: Exact| if amount.is_negative() { "under the limit" } else { "over the limit" };
    let text = match (one(least)?, one(most)?) {
        _ if least.is_zero() && most.is_zero() => Shown::words("none: exactly at the limit"),
        (low, _) if least == most => Shown { text: format!("{} {}", low.text, side(least)), ..low },
        (low, high) if least.is_negative() && most > Exact::ZERO => {
            Shown { text: format!("from {} under to {} over the limit", low.text, high.text), rounded: low.rounded || high.rounded }
        }
        (low, high) => {
            // The nearer end first, whichever side it is on.
            let both = if least.is_negative() { range(&high, &low) } else { range(&low, &high) };
            Shown { text: format!("{} {}", both.text, side(least)), rounded: both.rounded }
        }
    };
    Some(text)
}

/// A difference without its sign, with enough digits not to look like nothing.
fn amount_shown(amount: Exact, kind: &Kind, unit: Option<Unit>) -> Option<Shown> {
    let amount = amount.size();
    if let Some(unit) = unit.filter(|unit| unit.kind() == UnitKind::Temperature) {
        // A difference on a temperature scale is not a temperature.
        let text = show::plain(amount.div(unit.factor())?);
        return Some(Shown { rounded: text.starts_with('≈'), text: show::with_symbol(text.trim_start_matches('≈'), unit) });
    }
    let places = show::places_apart(&[(amount, Exact::ZERO)], unit);
    let digits: Digits = places.map(|places| (amount, places)).into_iter().collect();
    Some(point(amount, kind, unit, &digits))
}

fn days_margin(how: How, value: Days, limit: Days) -> Option<Shown> {
    if !value.is_known() || !limit.is_known() {
        return None;
    }
    let days = limit.first.duration_until(value.first).as_hours() / 24;
    let count = |days: i64| if days == 1 { "1 day".to_string() } else { format!("{days} days") };
    Some(Shown::words(match days {
        0 if matches!(how, How::AtMost | How::AtLeast) => "none: exactly on the day, which counts".to_string(),
        0 => "none: exactly on the day, which does not count".to_string(),
        late if late > 0 => format!("{} after the limit", count(late)),
        early => format!("{} before the limit", count(-early)),
    }))
}
