//! Intervals of exact numbers, with ends that may be open to infinity. It owns outward-safe arithmetic; it must not know
//! why a value is uncertain.

use super::exact::Exact;

/// Everything between two ends, both included; `None` is an end that is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Interval {
    /// Lower end.
    pub lo: Option<Exact>,
    /// Upper end.
    pub hi: Option<Exact>,
}

/// Why an operation on intervals gave nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Obstacle {
    /// The result needs more digits than are kept.
    TooManyDigits,
    /// The divisor is, or may be, nought.
    DivisionByNought,
}

type Outcome = Result<Interval, Obstacle>;

/// An end with its sign of infinity, for corner arithmetic.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Below,
    At(Exact),
    Above,
}

impl Interval {
    /// The whole line: nothing is known.
    pub const WHOLE: Interval = Interval { lo: None, hi: None };

    /// One point.
    pub const fn point(at: Exact) -> Interval {
        Interval { lo: Some(at), hi: Some(at) }
    }

    /// Between two known ends, in either order.
    pub fn between(one: Exact, other: Exact) -> Interval {
        Interval { lo: Some(one.min(other)), hi: Some(one.max(other)) }
    }

    /// The point, where it is one.
    pub fn as_point(self) -> Option<Exact> {
        match (self.lo, self.hi) {
            (Some(lo), Some(hi)) if lo == hi => Some(lo),
            _ => None,
        }
    }

    /// The middle, where both ends are known.
    pub fn middle(self) -> Option<Exact> {
        let sum = self.lo?.add(self.hi?)?;
        sum.div(Exact::whole(2))
    }

    /// The smallest interval over both.
    pub fn hull(self, other: Interval) -> Interval {
        let join = |a: Option<Exact>, b: Option<Exact>, pick: fn(Exact, Exact) -> Exact| Some(pick(a?, b?));
        Interval { lo: join(self.lo, other.lo, Exact::min), hi: join(self.hi, other.hi, Exact::max) }
    }

    /// Whether some number lies in both.
    pub fn touches(self, other: Interval) -> bool {
        let below = |high: Option<Exact>, low: Option<Exact>| matches!((high, low), (Some(high), Some(low)) if high < low);
        !below(self.hi, other.lo) && !below(other.hi, self.lo)
    }

    /// Whether a point lies in it.
    pub fn contains(self, point: Exact) -> bool {
        self.lo.is_none_or(|lo| lo <= point) && self.hi.is_none_or(|hi| point <= hi)
    }

    /// Sum.
    pub fn add(self, other: Interval) -> Outcome {
        Ok(Interval { lo: both(self.lo, other.lo, Exact::add)?, hi: both(self.hi, other.hi, Exact::add)? })
    }

    /// Difference.
    pub fn sub(self, other: Interval) -> Outcome {
        self.add(other.negated())
    }

    /// With its sign turned.
    pub fn negated(self) -> Interval {
        Interval { lo: self.hi.map(Exact::negated), hi: self.lo.map(Exact::negated) }
    }

    /// Product: the hull of the products of all four corners.
    pub fn mul(self, other: Interval) -> Outcome {
        let mut corners = Vec::with_capacity(4);
        for one in [self.low_end(), self.high_end()] {
            for two in [other.low_end(), other.high_end()] {
                corners.push(product(one, two)?);
            }
        }
        Ok(hull_of(&corners))
    }

    /// Quotient; an obstacle where the divisor may be nought.
    pub fn div(self, other: Interval) -> Outcome {
        if other.contains(Exact::ZERO) {
            return Err(Obstacle::DivisionByNought);
        }
        let turned = |end: Option<Exact>| match end {
            None => Ok(Some(Exact::ZERO)),
            Some(end) => Exact::ONE.div(end).map(Some).ok_or(Obstacle::TooManyDigits),
        };
        self.mul(Interval { lo: turned(other.hi)?, hi: turned(other.lo)? })
    }

    /// A whole power. An even power of an interval over nought starts at nought.
    pub fn pow(self, power: u32) -> Outcome {
        let mut product = Interval::point(Exact::ONE);
        for _ in 0..power {
            product = product.mul(self)?;
        }
        if power > 0 && power.is_multiple_of(2) && self.contains(Exact::ZERO) {
            product.lo = Some(Exact::ZERO);
        }
        Ok(product)
    }

    /// The smaller of the two, whichever it is.
    pub fn smaller(self, other: Interval) -> Interval {
        self.negated().larger(other.negated()).negated()
    }

    /// The larger of the two, whichever it is.
    pub fn larger(self, other: Interval) -> Interval {
        let lo = match (self.lo, other.lo) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        let hi = self.hi.zip(other.hi).map(|(a, b)| a.max(b));
        Interval { lo, hi }
    }

    /// Without its sign.
    pub fn size(self) -> Interval {
        if self.contains(Exact::ZERO) {
            let hi = self.lo.zip(self.hi).map(|(lo, hi)| lo.negated().max(hi));
            return Interval { lo: Some(Exact::ZERO), hi };
        }
        if self.hi.is_some_and(Exact::is_negative) { self.negated() } else { self }
    }

    fn low_end(self) -> End {
        self.lo.map_or(End::Below, End::At)
    }

    fn high_end(self) -> End {
        self.hi.map_or(End::Above, End::At)
    }
}

fn both(a: Option<Exact>, b: Option<Exact>, op: fn(Exact, Exact) -> Option<Exact>) -> Result<Option<Exact>, Obstacle> {
    match (a, b) {
        (Some(a), Some(b)) => op(a, b).map(Some).ok_or(Obstacle::TooManyDigits),
        _ => Ok(None),
    }
}

fn product(one: End, two: End) -> Result<End, Obstacle> {
    let sign = |end: End| match end {
        End::Below => -1,
        End::Above => 1,
        End::At(at) if at.is_zero() => 0,
        End::At(at) if at.is_negative() => -1,
        End::At(_) => 1,
    };
    match (one, two) {
        (End::At(a), End::At(b)) => a.mul(b).map(End::At).ok_or(Obstacle::TooManyDigits),
        _ => Ok(match sign(one) * sign(two) {
            0 => End::At(Exact::ZERO),
            1 => End::Above,
            _ => End::Below,
        }),
    }
}

fn hull_of(corners: &[End]) -> Interval {
    let known = || corners.iter().filter_map(|end| if let End::At(at) = end { Some(*at) } else { None });
    Interval {
        lo: if corners.contains(&End::Below) { None } else { known().min() },
        hi: if corners.contains(&End::Above) { None } else { known().max() },
    }
}
