//! Arithmetic of fractions whose parts fit 64 bits, which most of a job's are: the same numbers as the wide arithmetic gives, sooner. Nothing
//! here can leave 127 bits. It must not know how the numbers are kept.

/// A fraction in lowest terms; the lower part is above nought.
pub type Small = (i64, i64);
/// A wide fraction in lowest terms; the lower part is above nought.
pub type Wide = (i128, i128);

/// Both parts, where they fit.
pub fn small(upper: i128, lower: i128) -> Option<Small> {
    Some((i64::try_from(upper).ok()?, i64::try_from(lower).ok()?))
}

/// The greatest common divisor of two numbers of which not both are nought.
fn divisor(mut one: u64, mut two: u64) -> u64 {
    while two != 0 {
        (one, two) = (two, one % two);
    }
    one
}

/// The greatest common divisor of a size and the lower part of a fraction, as a signed number.
fn common(size: u64, lower: i64) -> i64 {
    // It divides `lower`, and so fits.
    i64::try_from(divisor(size, lower.unsigned_abs())).unwrap_or(1)
}

/// `upper / lower` in lowest terms; nothing where `lower` is not above nought.
pub fn reduced(upper: i64, lower: i64) -> Option<Wide> {
    if lower <= 0 {
        return None;
    }
    let by = common(upper.unsigned_abs(), lower);
    Some((i128::from(upper / by), i128::from(lower / by)))
}

/// Product: what can be reduced crosswise is, and the rest has nothing in common.
pub fn product((a, b): Small, (c, d): Small) -> Wide {
    let (left, right) = (common(a.unsigned_abs(), d), common(c.unsigned_abs(), b));
    (i128::from(a / left) * i128::from(c / right), i128::from(b / right) * i128::from(d / left))
}

/// Quotient; nothing where the divisor is nought, or the one number whose sign cannot be turned.
pub fn quotient(one: Small, (upper, lower): Small) -> Option<Wide> {
    match upper {
        0 | i64::MIN => None,
        1.. => Some(product(one, (lower, upper))),
        _ => Some(product(one, (-lower, -upper))),
    }
}

/// Sum: below the line only what the two lower parts share can go out (Knuth, The Art of Computer Programming, 4.5.1, from memory).
pub fn sum((a, b): Small, (c, d): Small) -> Wide {
    let shared = common(b.unsigned_abs(), d);
    let (b_alone, d_alone) = (i128::from(b / shared), i128::from(d / shared));
    let upper = i128::from(a) * d_alone + i128::from(c) * b_alone;
    let shared_size = u128::from(shared.unsigned_abs());
    let size = upper.unsigned_abs();
    let size = u64::try_from(size).or_else(|_| u64::try_from(size % shared_size)).unwrap_or(0);
    let by = i128::from(common(size, shared));
    (upper / by, b_alone * (i128::from(d) / by))
}

/// Which is greater.
pub fn order((a, b): Small, (c, d): Small) -> std::cmp::Ordering {
    (i128::from(a) * i128::from(d)).cmp(&(i128::from(c) * i128::from(b)))
}

#[cfg(test)]
mod tests {
    //! Against the wide arithmetic, at the edges of 64 bits and among small numbers.

    use super::*;
    use num_rational::Ratio;
    use num_traits::{CheckedAdd, CheckedDiv, CheckedMul};

    fn parts(ratio: Option<Ratio<i128>>) -> Option<Wide> {
        ratio.map(|ratio| (*ratio.numer(), *ratio.denom()))
    }

    #[test]
    fn it_is_the_wide_arithmetic() {
        let edges = [0, 1, 2, 3, 5, 6, 10, 12, 64, 127, 254, 5000, 1 << 31, (1 << 62) + 1, i64::MAX - 1, i64::MAX];
        let uppers: Vec<i64> = edges.iter().flat_map(|n| [*n, -*n]).chain([i64::MIN, i64::MIN + 1]).collect();
        let mut all = Vec::new();
        for upper in &uppers {
            for lower in &edges[1..] {
                let wide = Ratio::new(i128::from(*upper), i128::from(*lower));
                assert_eq!(reduced(*upper, *lower), parts(Some(wide)));
                all.push((small(*wide.numer(), *wide.denom()).expect("small"), wide));
            }
        }
        assert_eq!(reduced(1, 0), None);
        assert_eq!(small(1 << 63, 1), None);
        for (one, wide) in &all {
            for (two, other) in &all {
                assert_eq!(Some(sum(*one, *two)), parts(wide.checked_add(other)), "{one:?} + {two:?}");
                assert_eq!(Some(product(*one, *two)), parts(wide.checked_mul(other)), "{one:?} * {two:?}");
                assert_eq!(order(*one, *two), wide.cmp(other), "{one:?} beside {two:?}");
                if two.0 != 0 && two.0 != i64::MIN {
                    assert_eq!(quotient(*one, *two), parts(wide.checked_div(other)), "{one:?} / {two:?}");
                }
            }
        }
    }
}
