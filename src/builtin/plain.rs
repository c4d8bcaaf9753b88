//! Built-ins on numbers of any kind: the larger, the smaller, roundings. It must not know what the numbers measure.

use super::{Argument, BuiltIn, Gives, Outcome, Result, Run, Takes};
use crate::quantity::{Exact, Interval};

const TWO: &[(&str, Takes)] = &[("a", Takes::Alike), ("b", Takes::Alike)];
const ONE: &[(&str, Takes)] = &[("a", Takes::Plain)];

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "larger",
        parameters: TWO,
        gives: Gives::Alike,
        doc: "the larger of {a} and {b}: two numbers of one kind",
        formula: "",
        source: "arithmetic",
        example: "larger(2 in, 30 mm) at least 2 in",
        run: Run::Whole(|given| Ok(Result::Number(given[0].number()?.larger(given[1].number()?)))),
    },
    BuiltIn {
        name: "smaller",
        parameters: TWO,
        gives: Gives::Alike,
        doc: "the smaller of {a} and {b}: two numbers of one kind",
        formula: "",
        source: "arithmetic",
        example: "smaller(2 in, 30 mm) at most 30 mm",
        run: Run::Whole(|given| Ok(Result::Number(given[0].number()?.smaller(given[1].number()?)))),
    },
    BuiltIn {
        name: "difference",
        parameters: TWO,
        gives: Gives::Alike,
        doc: "how far {a} and {b} are apart: two numbers of one kind, without a sign",
        formula: "|a - b|",
        source: "arithmetic",
        example: "difference(28 in, 27 in) at most 1 in",
        run: Run::Whole(|given| Ok(Result::Number(given[0].number()?.sub(given[1].number()?)?.size()))),
    },
    BuiltIn {
        name: "round-up",
        parameters: ONE,
        gives: Gives::Count,
        doc: "{a} rounded up to a whole number: the least whole number that is not below a plain number",
        formula: "",
        source: "arithmetic",
        example: "round-up(2.1) at most 3",
        run: Run::Whole(|given| whole(given, Exact::ceiling)),
    },
    BuiltIn {
        name: "round-down",
        parameters: ONE,
        gives: Gives::Count,
        doc: "{a} rounded down to a whole number: the greatest whole number that is not above a plain number",
        formula: "",
        source: "arithmetic",
        example: "round-down(2.9) at most 2",
        run: Run::Whole(|given| whole(given, Exact::floor)),
    },
];

/// Both roundings never fall as their argument rises, so the ends map to the ends.
fn whole(given: &[Argument], round: fn(Exact) -> i128) -> Outcome<Result> {
    let interval = given[0].number()?;
    let end = |end: Option<Exact>| end.map(|end| Exact::whole(round(end)));
    Ok(Result::Number(Interval { lo: end(interval.lo), hi: end(interval.hi) }))
}
