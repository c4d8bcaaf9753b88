//! Comparisons of values that may be uncertain. It must not know expressions.

use super::doubt::{Doubt, Obstacle, Truth};
use super::value::Value;
use crate::language::tree::Comparison;
use crate::quantity::{Exact, Interval};
use crate::source::Span;

/// Yes, no, or neither surely.
pub fn decide(yes: bool, no: bool) -> Option<bool> {
    if yes { Some(true) } else { no.then_some(false) }
}

/// Whether a comparison holds for two values in that order.
pub fn ordered(how: Comparison, order: std::cmp::Ordering) -> bool {
    match how {
        Comparison::AtMost => order.is_le(),
        Comparison::AtLeast => order.is_ge(),
        Comparison::LessThan => order.is_lt(),
        Comparison::MoreThan => order.is_gt(),
    }
}

/// Whether a comparison surely holds or surely fails for every pair of values within the bounds.
pub fn strictly_below(a: Interval, b: Interval, how: Comparison) -> Option<bool> {
    let le = |x: Option<Exact>, y: Option<Exact>| matches!((x, y), (Some(x), Some(y)) if x <= y);
    let lt = |x: Option<Exact>, y: Option<Exact>| matches!((x, y), (Some(x), Some(y)) if x < y);
    match how {
        Comparison::AtMost => decide(le(a.hi, b.lo), lt(b.hi, a.lo)),
        Comparison::LessThan => decide(lt(a.hi, b.lo), le(b.hi, a.lo)),
        Comparison::AtLeast => decide(le(b.hi, a.lo), lt(a.hi, b.lo)),
        Comparison::MoreThan => decide(lt(b.hi, a.lo), le(a.hi, b.lo)),
    }
}

/// Neither side can be compared: the reason is a missing fact, or that there is nothing to compare.
pub fn incomparable(a: &Value, b: &Value, span: Span) -> Truth {
    let mut doubt = Doubt::default();
    for value in [a, b] {
        match value {
            Value::Unknown(reasons) => doubt.join(reasons),
            Value::Nothing => doubt.join(&Doubt::of_obstacle(Obstacle::IsNone(span))),
            Value::Number(number) => doubt.join(&number.doubt),
            _ => {}
        }
    }
    if doubt.is_none() { Truth::Doubtful(Doubt::of_obstacle(Obstacle::IsNone(span))) } else { Truth::Doubtful(doubt) }
}

/// `is`.
pub fn same(a: &Value, b: &Value, span: Span) -> Truth {
    match (a, b) {
        (Value::Any, _) | (_, Value::Any) => Truth::Yes,
        (Value::Word(a), Value::Word(b)) => Truth::sure(a == b),
        (Value::Text(a), Value::Text(b)) => Truth::sure(a == b),
        (Value::Thing(a), Value::Thing(b)) => Truth::sure(a == b),
        (Value::Period(a), Value::Period(b)) => Truth::sure(a == b),
        (Value::Truth(a), Value::Truth(b)) => match (a, b) {
            (Truth::Doubtful(doubt), Truth::Doubtful(other)) => Truth::Doubtful(doubt.clone().and(other)),
            (Truth::Doubtful(doubt), _) | (_, Truth::Doubtful(doubt)) => Truth::Doubtful(doubt.clone()),
            (a, b) => Truth::sure(a == b),
        },
        (Value::Wire(a), Value::Wire(b)) => match (a.thinner_than(*b), b.thinner_than(*a)) {
            (Some(one), Some(two)) => Truth::sure(!one && !two),
            _ => Truth::Doubtful(Doubt::of_obstacle(Obstacle::TooManyDigits(span))),
        },
        (Value::Number(a), Value::Number(b)) => match (a.interval.as_point(), b.interval.as_point()) {
            (Some(x), Some(y)) => Truth::sure(x == y),
            _ if strictly_below(a.interval, b.interval, Comparison::LessThan) == Some(true)
                || strictly_below(b.interval, a.interval, Comparison::LessThan) == Some(true) =>
            {
                Truth::No
            }
            _ => Truth::Doubtful(a.doubt.clone().and(&b.doubt)),
        },
        (Value::Days(a, doubt_a), Value::Days(b, doubt_b)) => {
            if a.is_known() && b.is_known() {
                Truth::sure(a == b)
            } else if a.last < b.first || b.last < a.first {
                Truth::No
            } else {
                Truth::Doubtful(doubt_a.clone().and(doubt_b))
            }
        }
        _ => incomparable(a, b, span),
    }
}

/// `within` a range.
pub fn in_range(value: &Value, range: &Value, span: Span) -> Truth {
    let (Value::Number(number), bounds) = (
        value,
        match range {
            Value::Range(low, high, _) => Some((Some((*low, true)), Some((*high, true)))),
            Value::RangeCell(low, high) => Some((*low, *high)),
            Value::Any => return Truth::Yes,
            _ => None,
        },
    ) else {
        return incomparable(value, range, span);
    };
    let Some((low, high)) = bounds else { return incomparable(value, range, span) };
    let side = |end: Option<(Exact, bool)>, open: Comparison, closed: Comparison| match end {
        None => Truth::Yes,
        Some((end, included)) => {
            let how = if included { closed } else { open };
            strictly_below(number.interval, Interval::point(end), how).map_or_else(|| Truth::Doubtful(number.doubt.clone()), Truth::sure)
        }
    };
    side(low, Comparison::MoreThan, Comparison::AtLeast).and(side(high, Comparison::LessThan, Comparison::AtMost))
}

/// `includes`.
pub fn includes(set: &Value, member: &Value, span: Span) -> Truth {
    match (set, member) {
        (Value::WordSet(words), Value::Any) => Truth::sure(!words.is_empty()),
        (Value::WordSet(words), Value::Word(word)) => Truth::sure(words.contains(word)),
        (Value::TextList(texts), Value::Text(text)) => Truth::sure(texts.iter().any(|known| known.as_str() == *text)),
        // Nothing includes anything, and what includes nothing is sure whatever the member.
        (Value::WordSet([]), Value::Unknown(_)) | (Value::TextList([]), Value::Unknown(_)) => Truth::No,
        _ => incomparable(set, member, span),
    }
}

/// Whether a value surely stands exactly at the limit that it is compared with.
pub fn stands_at(value: &Value, limit: &Value) -> bool {
    match (value, limit) {
        (Value::Number(a), Value::Number(b)) => a.interval.as_point().is_some_and(|point| b.interval.as_point() == Some(point)),
        (Value::Days(a, _), Value::Days(b, _)) => a.is_known() && a == b,
        (Value::Word(a), Value::Word(b)) => a == b,
        (Value::Wire(a), Value::Wire(b)) => a == b,
        _ => false,
    }
}
