//! Three truth values, with the reasons of doubt, and numbers as outer bounds, with the reasons of their width.

use super::choices::COUNT_FROM_NOUGHT;
use super::fraction::Fraction;

/// A set of reasons for doubt, as bits.
pub type Causes = u8;
pub const TOLERANCE: Causes = 1;
pub const MISSING: Causes = 2;
pub const UNABLE: Causes = 4;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    Yes,
    No,
    Doubt(Causes),
}

impl Truth {
    pub fn not(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            doubt => doubt,
        }
    }

    /// One surely false part decides; otherwise the doubts add up.
    pub fn all(parts: impl IntoIterator<Item = Truth>) -> Truth {
        let mut sum = Truth::Yes;
        for part in parts {
            sum = match (sum, part) {
                (Truth::No, _) | (_, Truth::No) => Truth::No,
                (Truth::Doubt(a), Truth::Doubt(b)) => Truth::Doubt(a | b),
                (Truth::Doubt(a), Truth::Yes) | (Truth::Yes, Truth::Doubt(a)) => Truth::Doubt(a),
                (Truth::Yes, Truth::Yes) => Truth::Yes,
            };
        }
        sum
    }

    pub fn any(parts: impl IntoIterator<Item = Truth>) -> Truth {
        Truth::all(parts.into_iter().map(Truth::not)).not()
    }

    pub fn from_bool(holds: bool) -> Truth {
        if holds { Truth::Yes } else { Truth::No }
    }

    pub fn causes(self) -> Causes {
        if let Truth::Doubt(causes) = self { causes } else { 0 }
    }
}

/// One end of a span. The derived order is the right one: below everything, the numbers, above everything.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    Below,
    At(Fraction),
    Above,
}
use End::{Above, At, Below};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Number {
    /// Both ends belong to it. A single point has no reasons: it is known, whatever it was made of.
    Span { low: End, high: End, why: Causes },
    /// Cannot be computed, or may turn out so. Nothing brings it back.
    Unable(Causes),
}

impl Number {
    pub fn span(low: End, high: End, why: Causes) -> Number {
        assert!(low <= high, "a span the wrong way round");
        let why = if low == high { 0 } else { why };
        Number::Span { low, high, why }
    }

    pub fn exactly(at: Fraction) -> Number {
        Number::span(At(at.clone()), At(at), 0)
    }

    pub fn anywhere(why: Causes) -> Number {
        Number::span(Below, Above, why)
    }

    pub fn missing_count() -> Number {
        let low = if COUNT_FROM_NOUGHT { At(Fraction::whole(0)) } else { Below };
        Number::span(low, Above, MISSING)
    }

    pub fn causes(&self) -> Causes {
        match self {
            Number::Span { why, .. } => *why,
            Number::Unable(why) => *why,
        }
    }

    pub fn negated(&self) -> Number {
        match self {
            Number::Span { low, high, why } => Number::span(negated(high), negated(low), *why),
            unable => unable.clone(),
        }
    }

    pub fn plus(&self, other: &Number) -> Number {
        both(self, other, |(a, b), (c, d)| (plus(a, c), plus(b, d)))
    }

    pub fn minus(&self, other: &Number) -> Number {
        self.plus(&other.negated())
    }

    pub fn times(&self, other: &Number) -> Number {
        both(self, other, |(a, b), (c, d)| {
            let corners = [times(a, c), times(a, d), times(b, c), times(b, d)];
            (corners.iter().min().expect("four").clone(), corners.iter().max().expect("four").clone())
        })
    }

    pub fn larger(&self, other: &Number) -> Number {
        both(self, other, |(a, b), (c, d)| (a.max(c).clone(), b.max(d).clone()))
    }

    pub fn smaller(&self, other: &Number) -> Number {
        both(self, other, |(a, b), (c, d)| (a.min(c).clone(), b.min(d).clone()))
    }

    /// Everything that lies in either.
    pub fn hull(&self, other: &Number, more: Causes) -> Number {
        match both(self, other, |(a, b), (c, d)| (a.min(c).clone(), b.max(d).clone())) {
            Number::Span { low, high, why } => Number::span(low, high, why | more),
            Number::Unable(why) => Number::Unable(why | more),
        }
    }

    /// How far apart two numbers are.
    pub fn difference(&self, other: &Number) -> Number {
        let zero = Number::exactly(Fraction::whole(0));
        let apart = self.minus(other);
        let away = apart.larger(&apart.negated());
        // Larger of x and -x, taken as outer bounds, may reach below nought; a distance does not.
        away.larger(&zero)
    }

    pub fn at_most(&self, other: &Number) -> Truth {
        compare(self, other, |(_, b), (c, _)| b <= c, |(a, _), (_, d)| a > d)
    }

    pub fn less_than(&self, other: &Number) -> Truth {
        compare(self, other, |(_, b), (c, _)| b < c, |(a, _), (_, d)| a >= d)
    }

    pub fn is(&self, other: &Number) -> Truth {
        compare(self, other, |(a, b), (c, d)| a == b && a == c && c == d, |(a, b), (c, d)| b < c || d < a)
    }
}

type Ends<'a> = (&'a End, &'a End);

fn both(left: &Number, right: &Number, how: impl Fn(Ends, Ends) -> (End, End)) -> Number {
    match (left, right) {
        (Number::Span { low: a, high: b, why: x }, Number::Span { low: c, high: d, why: y }) => {
            let (low, high) = how((a, b), (c, d));
            Number::span(low, high, x | y)
        }
        _ => Number::Unable(left.causes() | right.causes()),
    }
}

fn compare(left: &Number, right: &Number, yes: impl Fn(Ends, Ends) -> bool, no: impl Fn(Ends, Ends) -> bool) -> Truth {
    let doubt = Truth::Doubt(left.causes() | right.causes());
    match (left, right) {
        (Number::Span { low: a, high: b, .. }, Number::Span { low: c, high: d, .. }) => {
            if yes((a, b), (c, d)) {
                Truth::Yes
            } else if no((a, b), (c, d)) {
                Truth::No
            } else {
                doubt
            }
        }
        _ => doubt,
    }
}

fn negated(end: &End) -> End {
    match end {
        Below => Above,
        At(n) => At(n.negated()),
        Above => Below,
    }
}

fn plus(left: &End, right: &End) -> End {
    match (left, right) {
        (At(a), At(b)) => At(a.plus(b)),
        (Below, Above) | (Above, Below) => unreachable!("low ends are added to low ends, high ends to high ends"),
        (Below, _) | (_, Below) => Below,
        (Above, _) | (_, Above) => Above,
    }
}

fn times(left: &End, right: &End) -> End {
    let sign = |end: &End| match end {
        Below => -1,
        Above => 1,
        At(n) => match n.cmp(&Fraction::whole(0)) {
            std::cmp::Ordering::Less => -1,
            std::cmp::Ordering::Equal => 0,
            std::cmp::Ordering::Greater => 1,
        },
    };
    match (left, right, sign(left) * sign(right)) {
        (At(a), At(b), _) => At(a.times(b)),
        // Nought times anything is nought: whatever the other number turns out to be, it is finite.
        (_, _, 0) => At(Fraction::whole(0)),
        (_, _, 1) => Above,
        _ => Below,
    }
}
