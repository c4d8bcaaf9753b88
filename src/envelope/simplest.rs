//! The simplest fraction between two numbers: the one with the smallest number under the line, which is how limits are written.
//! It must not know what the numbers measure.

use crate::quantity::Exact;

/// Deepest continued fraction that numbers of 127 bits can have, and some more.
const DEEPEST: usize = 200;

/// The simplest fraction from `lo` to `hi`, both included; nothing where it has too many digits.
pub fn simplest(lo: Exact, hi: Exact) -> Option<Exact> {
    if lo <= Exact::ZERO && hi >= Exact::ZERO {
        return Some(Exact::ZERO);
    }
    if hi < Exact::ZERO {
        return above_nought(hi.negated(), lo.negated(), DEEPEST).map(Exact::negated);
    }
    above_nought(lo, hi, DEEPEST)
}

/// Most decimal places that are looked for.
const MOST_PLACES: u32 = 9;

/// Walks down the continued fraction that both ends share.
fn above_nought(lo: Exact, hi: Exact, depth: usize) -> Option<Exact> {
    let least = Exact::whole(lo.ceiling());
    if least <= hi || depth == 0 {
        return (least <= hi).then_some(least);
    }
    let whole = Exact::whole(lo.floor());
    let turned = |number: Exact| Exact::ONE.div(number.sub(whole)?);
    let rest = above_nought(turned(hi)?, turned(lo)?, depth - 1)?;
    whole.add(Exact::ONE.div(rest)?)
}

/// The number with the fewest decimal places between two ends, both included.
pub fn shortest(lo: Exact, hi: Exact) -> Option<Exact> {
    (0..=MOST_PLACES).find_map(|places| {
        let scale = Exact::whole(10i128.pow(places));
        let least = Exact::whole(lo.mul(scale)?.ceiling()).div(scale)?;
        (least <= hi).then_some(least)
    })
}

/// A simple number well inside two ends: from the middle third.
pub fn inside(lo: Exact, hi: Exact) -> Option<Exact> {
    let third = hi.sub(lo)?.div(Exact::whole(3))?;
    simplest(lo.add(third)?, hi.sub(third)?)
}

#[cfg(test)]
mod tests {
    use super::{inside, simplest};
    use crate::quantity::Exact;

    fn of(upper: i128, lower: i128) -> Exact {
        Exact::ratio(upper, lower).unwrap_or(Exact::ZERO)
    }

    #[test]
    fn the_simplest_has_the_smallest_denominator() {
        for lower in 1..40 {
            for upper in -60..60 {
                let (lo, hi) = (of(upper, lower), of(upper * 3 + 1, lower * 3));
                let found = simplest(lo, hi).unwrap_or(of(999, 1));
                assert!(lo <= found && found <= hi, "{lo:?} {found:?} {hi:?}");
                let simpler = (1..found.lower()).any(|under| of(Exact::floor(hi.mul(of(under, 1)).unwrap_or(hi)), under) >= lo);
                assert!(!simpler, "{found:?} is not the simplest from {lo:?} to {hi:?}");
            }
        }
    }

    #[test]
    fn inside_is_strictly_inside() {
        let (lo, hi) = (of(29, 1), of(30, 1));
        assert_eq!(inside(lo, hi), Some(of(59, 2)));
        assert_eq!(inside(of(-1, 1), of(5, 1)), Some(of(1, 1)));
    }
}
