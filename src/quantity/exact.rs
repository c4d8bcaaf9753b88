//! Exact rational numbers with bounded digits. It owns checked arithmetic; it must not know units.

use super::small;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, Zero};
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt;

/// An exact rational number of at most 127 bits over and under the line.
///
/// Every operation that could need more returns `None`; the caller says that the value cannot be computed. Nothing is
/// ever rounded, so 12 in and 304.8 mm are one length.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Exact(Ratio<i128>);

impl Exact {
    /// Nought.
    pub const ZERO: Exact = Exact(Ratio::new_raw(0, 1));
    /// One.
    pub const ONE: Exact = Exact(Ratio::new_raw(1, 1));

    /// A whole number.
    pub const fn whole(number: i128) -> Exact {
        Exact(Ratio::new_raw(number, 1))
    }

    /// A fraction in lowest terms; `None` when the lower number is nought.
    pub fn ratio(upper: i128, lower: i128) -> Option<Exact> {
        if let Some((upper, lower)) = small::small(upper, lower).and_then(|(upper, lower)| small::reduced(upper, lower)) {
            return Some(Exact::of_parts((upper, lower)));
        }
        // The extreme negative number has no positive twin, so reduction could overflow.
        (lower != 0 && upper != i128::MIN && lower != i128::MIN).then(|| Exact(Ratio::new(upper, lower)))
    }

    /// The number over the line, in lowest terms.
    pub fn upper(self) -> i128 {
        *self.0.numer()
    }

    /// The number under the line, in lowest terms; always positive.
    pub fn lower(self) -> i128 {
        *self.0.denom()
    }

    fn of_parts((upper, lower): small::Wide) -> Exact {
        Exact(Ratio::new_raw(upper, lower))
    }

    /// Its parts and those of another, where all fit 64 bits.
    fn small(self, other: Exact) -> Option<(small::Small, small::Small)> {
        Some((small::small(self.upper(), self.lower())?, small::small(other.upper(), other.lower())?))
    }

    /// The number itself, but for the least whole number, whose sign cannot be turned.
    fn kept(self) -> Option<Exact> {
        (self.upper() != i128::MIN).then_some(self)
    }

    /// Sum.
    pub fn add(self, other: Exact) -> Option<Exact> {
        if self.lower() == other.lower() && self.lower() == 1 {
            return self.upper().checked_add(other.upper()).map(Exact::whole).and_then(Exact::kept);
        }
        if let Some((one, two)) = self.small(other) {
            return Some(Exact::of_parts(small::sum(one, two)));
        }
        self.0.checked_add(&other.0).map(Exact).and_then(Exact::kept)
    }

    /// Difference.
    pub fn sub(self, other: Exact) -> Option<Exact> {
        if let Some((one, (upper, lower))) = self.small(other)
            && let Some(turned) = upper.checked_neg()
        {
            return Some(Exact::of_parts(small::sum(one, (turned, lower))));
        }
        self.0.checked_sub(&other.0).map(Exact).and_then(Exact::kept)
    }

    /// Product.
    pub fn mul(self, other: Exact) -> Option<Exact> {
        if self.lower() == 1 && other.lower() == 1 {
            return self.upper().checked_mul(other.upper()).map(Exact::whole).and_then(Exact::kept);
        }
        if let Some((one, two)) = self.small(other) {
            return Some(Exact::of_parts(small::product(one, two)));
        }
        self.0.checked_mul(&other.0).map(Exact).and_then(Exact::kept)
    }

    /// Quotient; `None` also when dividing by nought.
    pub fn div(self, other: Exact) -> Option<Exact> {
        if let Some(quotient) = self.small(other).and_then(|(one, two)| small::quotient(one, two)) {
            return Some(Exact::of_parts(quotient));
        }
        if other.is_zero() { None } else { self.0.checked_div(&other.0).map(Exact).and_then(Exact::kept) }
    }

    /// A whole power.
    pub fn pow(self, power: u32) -> Option<Exact> {
        (0..power).try_fold(Exact::ONE, |product, _| product.mul(self))
    }

    /// The number with its sign turned.
    pub fn negated(self) -> Exact {
        Exact(Ratio::new_raw(-self.upper(), self.lower()))
    }

    /// The number without its sign.
    pub fn size(self) -> Exact {
        Exact(self.0.abs())
    }

    /// Whether it is nought.
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Whether it is below nought.
    pub fn is_negative(self) -> bool {
        self.0.is_negative()
    }

    /// Whether it is a whole number.
    pub fn is_whole(self) -> bool {
        self.lower() == 1
    }

    /// The greatest whole number not above it.
    pub fn floor(self) -> i128 {
        self.upper().div_euclid(self.lower())
    }

    /// The least whole number not below it.
    pub fn ceiling(self) -> i128 {
        -(-self.upper()).div_euclid(self.lower())
    }

    /// The nearest floating number, for drawings and for calculations with irrational steps; never for a comparison.
    #[allow(clippy::cast_precision_loss)]
    pub fn to_f64(self) -> f64 {
        // A quotient of two correctly rounded numbers is within two units in the last place.
        self.upper() as f64 / self.lower() as f64
    }

    /// The exact value of a finite floating number, when it fits.
    pub fn from_f64(number: f64) -> Option<Exact> {
        from_bits(number).map(Exact)
    }

    /// The decimal places after which the number ends, up to `most`; `None` when it goes on.
    pub fn decimals(self, most: u32) -> Option<u32> {
        let ten = Exact::whole(10);
        let mut scaled = self;
        for places in 0..=most {
            if scaled.is_whole() {
                return Some(places);
            }
            scaled = scaled.mul(ten)?;
        }
        None
    }
}

/// Takes a finite floating number apart into sign, mantissa and power of two.
fn from_bits(number: f64) -> Option<Ratio<i128>> {
    if !number.is_finite() {
        return None;
    }
    let bits = number.to_bits();
    let exponent = i32::try_from((bits >> 52) & 0x7ff).ok()?;
    let fraction = i128::from(bits & ((1 << 52) - 1));
    let (mantissa, power) = if exponent == 0 { (fraction, -1074) } else { (fraction | (1 << 52), exponent - 1075) };
    if mantissa == 0 {
        return Some(Ratio::new_raw(0, 1));
    }
    let zeros = mantissa.trailing_zeros();
    let odd = if number.is_sign_negative() { -(mantissa >> zeros) } else { mantissa >> zeros };
    match power + i32::try_from(zeros).ok()? {
        up @ 0..=70 => Some(Ratio::new_raw(odd.checked_mul(1 << up)?, 1)),
        down @ -120..=-1 => Some(Ratio::new_raw(odd, 1 << down.unsigned_abs())),
        _ => None,
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        self.small(*other).map_or_else(|| self.0.cmp(&other.0), |(one, two)| small::order(one, two))
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_whole() { write!(f, "{}", self.upper()) } else { write!(f, "{}/{}", self.upper(), self.lower()) }
    }
}
