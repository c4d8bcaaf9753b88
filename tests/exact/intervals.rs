//! Arithmetic on bounds: worked cases with ends that are known, and that are not; and for points within, what comes out lies within.
//! Everything here is arithmetic.

use super::config;
use pintle::quantity::interval::Obstacle;
use pintle::quantity::{Exact, Interval};
use proptest::prelude::*;

/// `-2..3`, `2..`, `..3/4`, `..`, `5`: two ends, of which either may be left out, or one number.
fn bounds(text: &str) -> Interval {
    let number = |text: &str| {
        let (upper, lower) = text.split_once('/').unwrap_or((text, "1"));
        Exact::ratio(upper.parse().expect("a number"), lower.parse().expect("a number")).expect("a fraction")
    };
    let end = |text: &str| (!text.is_empty()).then(|| number(text));
    match text.split_once("..") {
        Some((lo, hi)) => Interval { lo: end(lo), hi: end(hi) },
        None => Interval::point(number(text)),
    }
}

fn told(outcome: Result<Interval, Obstacle>) -> String {
    let end = |end: Option<Exact>| end.map_or_else(String::new, |at| format!("{at:?}"));
    match outcome {
        Ok(both) => format!("{}..{}", end(both.lo), end(both.hi)),
        Err(Obstacle::TooManyDigits) => "too many digits".into(),
        Err(Obstacle::DivisionByNought) => "division by nought".into(),
    }
}

/// More than half of the digits that are kept.
const GREAT: &str = "100000000000000000000000000000000000000";

#[test]
fn operations_on_two() {
    for (one, how, other, wanted) in [
        ("1..2", "+", "3..4", "4..6"),
        ("1..", "+", "2..3", "3.."),
        ("..1", "+", "2..3", "..4"),
        ("..", "+", "2..3", ".."),
        (GREAT, "+", GREAT, "too many digits"),
        ("1..2", "-", "3..5", "-4..-1"),
        ("1..", "-", "3..5", "-4.."),
        ("1..2", "-", "3..", "..-1"),
        ("1..2", "-", "..3", "-2.."),
        ("2..3", "*", "4..5", "8..15"),
        ("-2..3", "*", "4..5", "-10..15"),
        ("-2..3", "*", "-7..5", "-21..15"),
        ("-3..-2", "*", "-7..-5", "10..21"),
        ("2..", "*", "3..", "6.."),
        ("2..", "*", "-3..-1", "..-2"),
        ("..-2", "*", "-3..-1", "2.."),
        ("..-2", "*", "1..3", "..-2"),
        ("..-2", "*", "..-3", "6.."),
        ("-1..2", "*", "3..", ".."),
        ("0..2", "*", "3..", "0.."),
        ("-2..0", "*", "3..", "..0"),
        ("0", "*", "..", "0..0"),
        ("..1", "*", "..1", ".."),
        ("2..", "*", "..", ".."),
        (GREAT, "*", "10", "too many digits"),
        ("6..8", "/", "2..4", "3/2..4"),
        ("-6..8", "/", "2..4", "-3..4"),
        ("6..8", "/", "-4..-2", "-4..-3/2"),
        ("6..", "/", "2..", "0.."),
        ("4..8", "/", "..-2", "-4..0"),
        ("1..2", "/", "-1..1", "division by nought"),
        ("1..2", "/", "0..1", "division by nought"),
        ("1..2", "/", "-1..0", "division by nought"),
        ("1..2", "/", "..", "division by nought"),
        ("1..2", "hull", "4..5", "1..5"),
        ("4..5", "hull", "1..2", "1..5"),
        ("1..2", "hull", "4..", "1.."),
        ("..2", "hull", "1..5", "..5"),
        ("1..4", "smaller", "2..3", "1..3"),
        ("1..4", "smaller", "2..", "1..4"),
        ("..4", "smaller", "2..3", "..3"),
        ("1..4", "larger", "2..3", "2..4"),
        ("1..4", "larger", "2..", "2.."),
        ("..4", "larger", "2..3", "2..4"),
        ("..4", "larger", "..3", "..4"),
        ("..4", "larger", "..", ".."),
    ] {
        let (a, b) = (bounds(one), bounds(other));
        let got = match how {
            "+" => a.add(b),
            "-" => a.sub(b),
            "*" => a.mul(b),
            "/" => a.div(b),
            "hull" => Ok(a.hull(b)),
            "smaller" => Ok(a.smaller(b)),
            _ => Ok(a.larger(b)),
        };
        assert_eq!(told(got), wanted, "{one} {how} {other}");
    }
}

#[test]
fn operations_on_one() {
    for (one, power, wanted) in [
        ("-2..3", 0, "1..1"),
        ("-2..3", 1, "-2..3"),
        ("2..3", 1, "2..3"),
        ("-2..3", 2, "0..9"),
        ("-3..2", 2, "0..9"),
        ("2..3", 2, "4..9"),
        ("-3..-2", 2, "4..9"),
        ("-3..-2", 3, "-27..-8"),
        ("..3", 2, "0.."),
        ("2..", 3, "8.."),
        ("..", 1, ".."),
        (GREAT, 2, "too many digits"),
    ] {
        assert_eq!(told(bounds(one).pow(power)), wanted, "{one} to the power {power}");
    }
    for (one, wanted) in [
        ("-2..3", "0..3"),
        ("-5..3", "0..5"),
        ("2..3", "2..3"),
        ("-3..-2", "2..3"),
        ("..-2", "2.."),
        ("..3", "0.."),
        ("2..", "2.."),
        ("-2..0", "0..2"),
    ] {
        assert_eq!(told(Ok(bounds(one).size())), wanted, "{one} without its sign");
    }
}

#[test]
fn what_is_known_of_bounds() {
    for (text, point, middle) in
        [("5", Some("5"), Some("5")), ("5..6", None, Some("11/2")), ("5..", None, None), ("..5", None, None), ("..", None, None)]
    {
        let exact = |number: Option<&str>| number.map(|text| bounds(text).lo.expect("a number"));
        assert_eq!((bounds(text).as_point(), bounds(text).middle()), (exact(point), exact(middle)), "{text}");
    }
    for (text, within, beyond) in [
        ("2..4", &["2", "3", "4"][..], &["7/4", "17/4"][..]),
        ("2..", &["2", "99"], &["1"]),
        ("..4", &["4", "-99"], &["5"]),
        ("..", &["0"], &[]),
    ] {
        let holds = |number: &str| bounds(text).contains(bounds(number).lo.expect("a number"));
        assert!(within.iter().all(|number| holds(number)) && !beyond.iter().any(|number| holds(number)), "{text}");
    }
    assert_eq!(Interval::between(Exact::ONE, Exact::ZERO), bounds("0..1"));
}

/// Bounds with a point within: ends may be left out.
fn held() -> impl Strategy<Value = (Interval, Exact)> {
    (-40i128..40, 0i128..20, 0i128..20, 1i128..5, any::<(bool, bool)>()).prop_map(|(at, below, above, lower, (no_lo, no_hi))| {
        let of = |upper| Exact::ratio(upper, lower).expect("a fraction");
        (Interval { lo: (!no_lo).then(|| of(at - below)), hi: (!no_hi).then(|| of(at + above)) }, of(at))
    })
}

proptest! {
    #![proptest_config(config(3000))]

    /// Whatever the numbers within their bounds are, what comes of them lies within what comes of the bounds.
    #[test]
    fn points_stay_within((a, x) in held(), (b, y) in held(), power in 0u32..5) {
        let within = |outcome: Result<Interval, Obstacle>, point: Option<Exact>| point.is_none_or(|point| outcome.is_ok_and(|both| both.contains(point)));
        prop_assert!(a.contains(x) && b.contains(y));
        prop_assert!(within(a.add(b), x.add(y)), "{a:?} + {b:?}");
        prop_assert!(within(a.sub(b), x.sub(y)), "{a:?} - {b:?}");
        prop_assert!(within(a.mul(b), x.mul(y)), "{a:?} * {b:?}");
        prop_assert!(b.contains(Exact::ZERO) || within(a.div(b), x.div(y)), "{a:?} / {b:?}");
        prop_assert!(within(a.pow(power), x.pow(power)), "{a:?}^{power}");
        prop_assert!(within(Ok(a.smaller(b)), Some(x.min(y))) && within(Ok(a.larger(b)), Some(x.max(y))), "{a:?} beside {b:?}");
        prop_assert!(within(Ok(a.size()), Some(x.size())) && within(Ok(a.hull(b)), Some(x)) && within(Ok(a.hull(b)), Some(y)));
    }
}
