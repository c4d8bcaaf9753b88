//! The calculations offered to rules, one row each: name, parameters, result, doc, example, and how the calculation is
//! lifted to intervals. It must not know trees, jobs or verdicts.

use crate::datum::Kind;
use crate::quantity::interval::Obstacle;
use crate::quantity::{Exact, Interval};

/// A calculation offered to rules.
pub struct BuiltIn {
    /// Its name in rules.
    pub name: &'static str,
    /// Names of its parameters.
    pub parameters: &'static [&'static str],
    /// What it tells.
    pub doc: &'static str,
    /// A use of it with its result, as a pack would write it.
    pub example: &'static str,
    /// The kind of its result, or nothing where the arguments do not fit.
    pub result: fn(&[&Kind]) -> Option<Kind>,
    /// The calculation on outer bounds: the result covers every value that the arguments allow.
    pub run: fn(&[Interval]) -> Result<Interval, Obstacle>,
}

/// Every built-in, in the order of the manual.
pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "larger",
        parameters: &["a", "b"],
        doc: "the larger of two numbers of one kind",
        example: "larger(2 in, 30 mm) at least 2 in",
        result: two_alike,
        run: |arguments| Ok(arguments[0].larger(arguments[1])),
    },
    BuiltIn {
        name: "smaller",
        parameters: &["a", "b"],
        doc: "the smaller of two numbers of one kind",
        example: "smaller(2 in, 30 mm) at most 30 mm",
        result: two_alike,
        run: |arguments| Ok(arguments[0].smaller(arguments[1])),
    },
    BuiltIn {
        name: "difference",
        parameters: &["a", "b"],
        doc: "how far two numbers of one kind are apart, without a sign",
        example: "difference(28 in, 27 in) at most 1 in",
        result: two_alike,
        run: |arguments| Ok(arguments[0].sub(arguments[1])?.size()),
    },
    BuiltIn {
        name: "round-up",
        parameters: &["a"],
        doc: "the least whole number that is not below a plain number",
        example: "round-up(2.1) at most 3",
        result: plain_to_count,
        run: |arguments| Ok(whole(arguments[0], Exact::ceiling)),
    },
    BuiltIn {
        name: "round-down",
        parameters: &["a"],
        doc: "the greatest whole number that is not above a plain number",
        example: "round-down(2.9) at most 2",
        result: plain_to_count,
        run: |arguments| Ok(whole(arguments[0], Exact::floor)),
    },
];

fn two_alike(kinds: &[&Kind]) -> Option<Kind> {
    let alike = match kinds {
        [Kind::Count, Kind::Count] => true,
        [Kind::Measure(one), Kind::Measure(two)] => one == two,
        _ => false,
    };
    alike.then(|| kinds[0].clone())
}

fn plain_to_count(kinds: &[&Kind]) -> Option<Kind> {
    let plain = match kinds[0] {
        Kind::Count => true,
        Kind::Measure(dimension) => *dimension == crate::quantity::Dimension::NONE,
        _ => false,
    };
    plain.then_some(Kind::Count)
}

/// Both roundings never fall as their argument rises, so the ends map to the ends.
fn whole(interval: Interval, round: fn(Exact) -> i128) -> Interval {
    let end = |end: Option<Exact>| end.map(|end| Exact::whole(round(end)));
    Interval { lo: end(interval.lo), hi: end(interval.hi) }
}
