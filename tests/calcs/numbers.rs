//! Reads numbers back from what was shown, by itself: it shares no code with the program.

/// A shown value read back: both ends, in the unit that stands behind them.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadBack {
    /// The lower end; nothing where it is open.
    pub low: Option<Ratio>,
    /// The upper end.
    pub high: Option<Ratio>,
}

/// A ratio of whole numbers over a positive one.
pub type Ratio = (i128, i128);

/// Which of two ratios is less; nothing where it does not fit.
pub fn order(one: Ratio, other: Ratio) -> Option<std::cmp::Ordering> {
    Some(one.0.checked_mul(other.1)?.cmp(&other.0.checked_mul(one.1)?))
}

fn sum(one: Ratio, other: Ratio) -> Option<Ratio> {
    reduced(one.0.checked_mul(other.1)?.checked_add(other.0.checked_mul(one.1)?)?, one.1.checked_mul(other.1)?)
}

fn reduced(over: i128, under: i128) -> Option<Ratio> {
    let (mut a, mut b) = (over.unsigned_abs(), under.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    let by = i128::try_from(a.max(1)).ok()?;
    Some((over / by, under / by))
}

/// `12`, `-1.25`, `3/8`.
fn plain(text: &str) -> Option<Ratio> {
    if let Some((over, under)) = text.split_once('/') {
        return reduced(over.parse().ok()?, under.parse().ok()?);
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let under = 10i128.checked_pow(u32::try_from(part.len()).ok()?)?;
    reduced(format!("{whole}{part}").parse().ok()?, under)
}

/// `6 ft 1 3/8 in`, `28 in`, `0.5 m`, `3`: a number in its unit, feet and inches in inches.
fn number(text: &str) -> Option<Ratio> {
    let mut total: Option<Ratio> = None;
    let mut at: Option<Ratio> = None;
    let negative = text.starts_with('-');
    for word in text.trim_start_matches('-').split(' ') {
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            let next = plain(word)?;
            at = Some(at.map_or(Some(next), |at| sum(at, next))?);
        } else {
            // Feet count as twelve inches wherever they stand, so that `11 in` and `1 ft` compare.
            let (over, under) = at.take()?;
            let value = if word == "ft" { (over.checked_mul(12)?, under) } else { (over, under) };
            total = Some(total.map_or(Some(value), |total| sum(total, value))?);
        }
    }
    let value = total.or(at)?;
    Some(if negative { (-value.0, value.1) } else { value })
}

/// A value as it is shown: a number, a number ± another, between two ends, one end; nothing where it is no number.
pub fn read_back(text: &str) -> Option<ReadBack> {
    if let Some((middle, half)) = text.split_once(" ± ") {
        let (middle, half) = (number(middle)?, number(half)?);
        return Some(ReadBack { low: Some(sum(middle, (-half.0, half.1))?), high: Some(sum(middle, half)?) });
    }
    if let Some(low) = text.strip_prefix("at least ") {
        return Some(ReadBack { low: Some(number(low)?), high: None });
    }
    if let Some(high) = text.strip_prefix("at most ") {
        return Some(ReadBack { low: None, high: Some(number(high)?) });
    }
    let (low, high) = text.split_once(" to ").unwrap_or((text, text));
    Some(ReadBack { low: Some(number(low)?), high: Some(number(high)?) })
}

/// Every group of digits in a text, with the points and strokes within it.
pub fn groups(text: &str) -> Vec<String> {
    let parts = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '/'));
    let mut found: Vec<String> = parts.map(|part| part.trim_matches(['.', '/']).to_string()).filter(|part| !part.is_empty()).collect();
    found.retain(|part| part.contains(|c: char| c.is_ascii_digit()));
    found.sort();
    found
}

#[test]
fn shown_values_are_read() {
    let one = |text: &str| read_back(text).map(|back| (back.low, back.high));
    assert_eq!(one("6 ft 1 3/8 in"), Some((Some((587, 8)), Some((587, 8)))));
    assert_eq!(one("-0.25 V"), Some((Some((-1, 4)), Some((-1, 4)))));
    assert_eq!(one("28 in ± 1/8 in"), Some((Some((223, 8)), Some((225, 8)))));
    assert_eq!(one("2.5 to 3"), Some((Some((5, 2)), Some((3, 1)))));
    assert_eq!(one("at least 2"), Some((Some((2, 1)), None)));
    assert_eq!(one("not known"), None);
    assert_eq!(groups("x 1.5 V, 3/8 in. Step 2."), ["1.5", "2", "3/8"]);
}
