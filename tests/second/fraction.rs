//! Exact fractions over big integers: slow, and too plain to be wrong. Nothing overflows and nothing is rounded.

use num_bigint::BigInt;
use std::cmp::Ordering;

/// A fraction in lowest terms; the bottom is positive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fraction {
    top: BigInt,
    bottom: BigInt,
}

impl Fraction {
    pub fn new(top: i64, bottom: i64) -> Self {
        Self::reduced(BigInt::from(top), BigInt::from(bottom))
    }

    pub fn whole(n: i64) -> Self {
        Self::new(n, 1)
    }

    fn reduced(top: BigInt, bottom: BigInt) -> Self {
        let zero = BigInt::from(0);
        assert!(bottom != zero, "a fraction over zero");
        let (mut a, mut b) = (top.clone(), bottom.clone());
        while b != zero {
            let rest = &a % &b;
            a = b;
            b = rest;
        }
        // The sign of the divisor follows the bottom, so that the bottom comes out positive.
        let negative = |n: &BigInt| *n < BigInt::from(0);
        let divisor = if negative(&a) == negative(&bottom) { a } else { -a };
        Fraction { top: top / &divisor, bottom: bottom / &divisor }
    }

    pub fn plus(&self, other: &Self) -> Self {
        Self::reduced(&self.top * &other.bottom + &other.top * &self.bottom, &self.bottom * &other.bottom)
    }

    pub fn minus(&self, other: &Self) -> Self {
        self.plus(&other.negated())
    }

    pub fn times(&self, other: &Self) -> Self {
        Self::reduced(&self.top * &other.top, &self.bottom * &other.bottom)
    }

    pub fn negated(&self) -> Self {
        Fraction { top: -&self.top, bottom: self.bottom.clone() }
    }

    pub fn is_zero(&self) -> bool {
        self.top == BigInt::from(0)
    }

    /// The whole part towards zero, and the rest.
    pub fn split(&self) -> (i64, Self) {
        let whole = &self.top / &self.bottom;
        let whole = i64::try_from(whole).expect("a small number");
        (whole, self.minus(&Self::whole(whole)))
    }

    /// Top and bottom as small numbers, for writing.
    pub fn parts(&self) -> (i64, i64) {
        (i64::try_from(&self.top).expect("a small top"), i64::try_from(&self.bottom).expect("a small bottom"))
    }
}

impl Ord for Fraction {
    fn cmp(&self, other: &Self) -> Ordering {
        (&self.top * &other.bottom).cmp(&(&other.top * &self.bottom))
    }
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

#[test]
fn fractions_are_reduced_and_ordered() {
    assert_eq!(Fraction::new(6, -4), Fraction::new(-3, 2));
    assert_eq!(Fraction::new(-6, -4), Fraction::new(3, 2));
    assert_eq!(Fraction::new(0, -4), Fraction::whole(0));
    assert_eq!(Fraction::new(1, 3).plus(&Fraction::new(1, 6)), Fraction::new(1, 2));
    assert_eq!(Fraction::new(1, 4).times(&Fraction::whole(-8)), Fraction::whole(-2));
    assert!(Fraction::new(-1, 2) < Fraction::new(-1, 3));
    assert_eq!(Fraction::new(-7, 2).split(), (-3, Fraction::new(-1, 2)));
}
