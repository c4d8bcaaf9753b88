//! What a built-in says of bounds covers what it says of every number within them; and a result of exact numbers is as narrow as
//! its own rounding.

use super::{Choices, config};
use pintle::builtin::{Argument, BuiltIn, ROWS, Result, Takes};
use pintle::quantity::{Exact, Interval};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

/// Rows on numbers alone.
fn on_numbers() -> Vec<&'static BuiltIn> {
    let number = |takes: &Takes| matches!(takes, Takes::Alike | Takes::Plain | Takes::Measure(_) | Takes::Temperature);
    ROWS.iter().copied().filter(|row| row.parameters.iter().all(|(_, takes)| number(takes))).collect()
}

/// A number that the parameter can have: a part of a whole, a warm temperature, or anything from a hundredth to a few hundred.
fn ends(choices: &mut Choices, takes: &Takes, name: &str) -> (i128, i128) {
    let (low, wide) = (choices.of(200), choices.of(60));
    let whole = |low: usize, wide: usize| (i128::try_from(low).unwrap(), i128::try_from(low + wide).unwrap());
    match takes {
        // The rate and the exponent of a battery must be exact.
        _ if name == "rate" => whole(1 + low, 0),
        _ if name == "exponent" => whole(100 + low % 60, 0),
        Takes::Plain if ["ratio", "cold", "a"].contains(&name) => whole(100 + low, wide),
        Takes::Plain => whole(1 + low % 40, wide % 25),
        Takes::Temperature => whole(27_000 + 10 * low, 10 * wide),
        Takes::Measure("angle") => whole(1 + low * 20, wide * 5),
        _ => whole(1 + low * 7, wide),
    }
}

fn number(result: &pintle::builtin::Outcome<Result>) -> Option<Interval> {
    match result {
        Ok(Result::Number(interval)) => Some(*interval),
        _ => None,
    }
}

#[test]
fn bounds_cover_every_number_within_them() {
    let hundredth = |number: i128| Exact::ratio(number, 100).unwrap();
    let answered = std::cell::RefCell::new(std::collections::BTreeSet::new());
    TestRunner::new(config(400))
        .run(&prop::collection::vec(any::<u8>(), 60), |bytes| {
            let mut choices = Choices::new(&bytes);
            for row in on_numbers() {
                let ends: Vec<(i128, i128)> = row.parameters.iter().map(|(name, takes)| ends(&mut choices, takes, name)).collect();
                let bounds: Vec<Argument> =
                    ends.iter().map(|(low, high)| Argument::Number(Interval::between(hundredth(*low), hundredth(*high)))).collect();
                let within = row.run.result(&bounds);
                for _ in 0..4 {
                    let at = |(low, high): &(i128, i128)| low + i128::try_from(choices.of(255)).unwrap() * (high - low) / 255;
                    let inner: Vec<i128> = ends.iter().map(at).collect();
                    let point: Vec<Argument> = inner.iter().map(|at| Argument::Number(Interval::point(hundredth(*at)))).collect();
                    let (Some(outer), Some(inner)) = (number(&within), number(&row.run.result(&point))) else { continue };
                    answered.borrow_mut().insert(row.name);
                    let covers = outer.lo <= inner.lo && (outer.hi.is_none() || inner.hi <= outer.hi);
                    prop_assert!(covers, "{}: {ends:?} gives {outer:?}, and {inner:?} at a point", row.name);
                    let width = inner.hi.unwrap().sub(inner.lo.unwrap()).unwrap().to_f64();
                    let size = inner.hi.unwrap().to_f64().abs();
                    prop_assert!(width <= 1e-9 * size.max(1e-3), "{}: a point gives {inner:?}", row.name);
                }
            }
            Ok(())
        })
        .unwrap();
    for row in on_numbers() {
        assert!(answered.borrow().contains(row.name), "{} never gave a number", row.name);
    }
}
