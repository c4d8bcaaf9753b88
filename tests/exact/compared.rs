//! Comparisons of bounds, every one among a few: what is told surely holds for whatever numbers lie within them, ends that touch
//! included; and doubt is told only where the numbers could come out both ways.

use pintle::judge::compare::{in_range, same, strictly_below};
use pintle::judge::doubt::{Doubt, Truth};
use pintle::judge::value::{Number, Value};
use pintle::language::tree::Comparison;
use pintle::quantity::{Exact, Interval};
use pintle::source::{FileId, Span};

/// Half steps from -1 to 4: ends are whole numbers from 0 to 3, so that there is a point beside each.
fn points() -> Vec<Exact> {
    (-2..=8).map(|halves| Exact::ratio(halves, 2).expect("a half")).collect()
}

/// Every interval with ends among the whole numbers from 0 to 3, or without them.
fn intervals() -> Vec<Interval> {
    let ends = || std::iter::once(None).chain((0..=3).map(|end| Some(Exact::whole(end))));
    let all = ends().flat_map(|lo| ends().map(move |hi| Interval { lo, hi }));
    all.filter(|both| both.lo.zip(both.hi).is_none_or(|(lo, hi)| lo <= hi)).collect()
}

/// Yes or no where all agree, else neither.
fn all_agree(outcomes: impl Iterator<Item = bool>) -> Option<bool> {
    let (mut yes, mut no) = (false, false);
    outcomes.for_each(|holds| if holds { yes = true } else { no = true });
    (yes != no).then_some(yes)
}

fn number<'a>(interval: Interval) -> Value<'a> {
    let doubt = if interval.as_point().is_some() { Doubt::default() } else { Doubt::of_tolerance() };
    Value::Number(Number { interval, doubt, unit: None })
}

fn sure(truth: Truth) -> Option<bool> {
    match truth {
        Truth::Yes => Some(true),
        Truth::No => Some(false),
        Truth::Doubtful(doubt) => {
            assert_eq!(doubt, Doubt::of_tolerance(), "a doubt without its reason");
            None
        }
    }
}

fn nowhere() -> Span {
    Span::new(FileId::JOB, 0, 0)
}

type Holds = fn(&Exact, &Exact) -> bool;

#[test]
fn every_comparison_of_two_bounds() {
    let orders: [(Comparison, Holds); 4] = [
        (Comparison::AtMost, |a, b| a <= b),
        (Comparison::LessThan, |a, b| a < b),
        (Comparison::AtLeast, |a, b| a >= b),
        (Comparison::MoreThan, |a, b| a > b),
    ];
    let points = points();
    for a in intervals() {
        for b in intervals() {
            let pairs = || {
                let within = |both: Interval| points.iter().filter(move |point| both.contains(**point));
                within(a).flat_map(move |one| within(b).map(move |other| (one, other)))
            };
            for (how, holds) in orders {
                let wanted = all_agree(pairs().map(|(one, other)| holds(one, other)));
                assert_eq!(strictly_below(a, b, how), wanted, "{a:?} {how:?} {b:?}");
            }
            let wanted = all_agree(pairs().map(|(one, other)| one == other));
            assert_eq!(sure(same(&number(a), &number(b), nowhere())), wanted, "{a:?} is {b:?}");
        }
    }
}

/// An end of a range that is not its own is left out, and a range without an end goes on.
#[test]
fn every_range_around_bounds() {
    let points = points();
    let ends = || std::iter::once(None).chain((0..=3).flat_map(|end| [true, false].map(|own| Some((Exact::whole(end), own)))));
    for value in intervals() {
        for low in ends() {
            for high in ends() {
                let above = |point: &Exact| low.is_none_or(|(end, own)| *point > end || own && *point == end);
                let below = |point: &Exact| high.is_none_or(|(end, own)| *point < end || own && *point == end);
                let within = points.iter().filter(|point| value.contains(**point));
                let told = sure(in_range(&number(value), &Value::RangeCell(low, high), nowhere()));
                let wanted = all_agree(within.clone().map(|point| above(point) && below(point)));
                // Of a range that holds nothing each end by itself may be in doubt.
                let sound = told == wanted || told.is_none() && all_agree(within.clone().map(above)).is_none();
                assert!(sound, "{value:?} within {low:?} to {high:?}: {told:?}, not {wanted:?}");
            }
        }
    }
}
