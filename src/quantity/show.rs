//! Writes exact numbers for people: as many digits as it takes, and never so few that two different values look alike.
//! It must not know verdicts.

use super::exact::Exact;
use super::tape;
use super::unit::{Unit, UnitKind};

/// Decimal places up to which a number that ends is written out.
const EXACT_PLACES: u32 = 6;

/// A value in base units, written in `unit`.
pub fn in_unit(value: Exact, unit: Unit) -> String {
    if unit.is_on_tape() {
        return tape::text(value, unit, None);
    }
    if let Some(text) = feet_and_inches(value, unit) {
        return text;
    }
    match unit.from_base(value) {
        Some(number) => with_symbol(&number_in(number, unit), unit),
        None => "a number with too many digits".into(),
    }
}

/// Two values in `unit` with enough digits that they look different when they are different.
pub fn apart(one: Exact, other: Exact, unit: Option<Unit>) -> (String, String) {
    let places = places_apart(&[(one, other)], unit);
    (at_places(one, unit, places), at_places(other, unit, places))
}

/// The decimal places at which the two values of every pair look different, and the right way round, where they are different;
/// nothing where they do as they are usually written.
pub fn places_apart(pairs: &[(Exact, Exact)], unit: Option<Unit>) -> Option<u32> {
    let told = |places: Option<u32>| {
        let write = |value: Exact| at_places(value, unit, places);
        pairs.iter().all(|(one, other)| one == other || told_apart(&write(*one), &write(*other), one < other))
    };
    // The mark of rounding alone does not tell two numbers apart.
    let finer = if unit.is_some_and(Unit::is_on_tape) { tape::FINER } else { &[] };
    let steps = finer.iter().copied().chain((2..=11).map(|step| 3 * step));
    if told(None) { None } else { Some(steps.into_iter().find(|places| told(Some(*places))).unwrap_or(AS_A_RATIO)) }
}

/// More places than there are: the number as a ratio of whole numbers.
const AS_A_RATIO: u32 = u32::MAX;

/// A value in `unit` with at most so many decimal places, marked where it is rounded; without places, as it is usually written.
pub fn at_places(value: Exact, unit: Option<Unit>, places: Option<u32>) -> String {
    if let Some(unit) = unit.filter(|unit| unit.is_on_tape()) {
        return tape::text(value, unit, places);
    }
    // Only a tape has marks between its usual ones.
    let places = places.filter(|places| *places != tape::SIXTY_FOURTHS);
    if let Some(text) = unit.filter(|_| places.is_none()).and_then(|unit| feet_and_inches(value, unit)) {
        return text;
    }
    let number = unit.map_or(Some(value), |unit| unit.from_base(value));
    let text = match (number, places) {
        (None, _) => "a number with too many digits".into(),
        (Some(number), None) => unit.map_or_else(|| plain(number), |unit| number_in(number, unit)),
        (Some(number), Some(AS_A_RATIO)) => format!("{number:?}"),
        (Some(number), Some(places)) => match number.decimals(places) {
            Some(ends) => rounded(number, ends),
            None => format!("≈{}", rounded(number, places)),
        },
    };
    unit.map_or(text.clone(), |unit| with_symbol(&text, unit))
}

/// Whether two texts differ in their digits, and the right way round, whatever the mark of rounding says.
fn told_apart(one: &str, other: &str, less: bool) -> bool {
    let digits = |text: &str| {
        let text = text.trim_start_matches('≈');
        super::number_text::number_at(text).ok().map(|number| number.value)
    };
    // Feet may stand beside inches, and say all of it only when they are read whole.
    if one.contains(" ft") || other.contains(" ft") {
        let whole = |text: &str| super::read::read(text.trim_start_matches('≈')).ok().map(|reading| reading.value);
        if let (Some(a), Some(b)) = (whole(one), whole(other)) {
            return a != b && (a < b) == less;
        }
    }
    match (digits(one), digits(other)) {
        (Some(a), Some(b)) if a != b => (a < b) == less,
        (Some(_), Some(_)) => one != other && (one.contains(" ft ") || other.contains(" ft ")),
        _ => one != other,
    }
}

/// A number with its unit's symbol: no blank before a sign of degrees or per cent's narrow kin.
pub fn with_symbol(number: &str, unit: Unit) -> String {
    format!("{number} {}", unit.symbol())
}

/// A number of units, as the trade writes it: inches in fractions where they come out, everything else in decimals.
fn number_in(number: Exact, unit: Unit) -> String {
    if unit.kind() == UnitKind::Measure
        && unit.symbol() == "in"
        && let Some(text) = binary_fraction(number)
    {
        return text;
    }
    plain(number)
}

/// A number by itself: written out when it ends soon, else rounded to five digits and marked as near.
pub fn plain(number: Exact) -> String {
    match number.decimals(EXACT_PLACES) {
        Some(places) => rounded(number, places),
        None => {
            // A meter reads no more of them.
            let mut places = 4;
            let mut scaled = number.size();
            while scaled >= Exact::whole(10) && places > 0 {
                match scaled.div(Exact::whole(10)) {
                    Some(next) => scaled = next,
                    None => break,
                }
                places -= 1;
            }
            while !scaled.is_zero() && scaled < Exact::ONE && places < 12 {
                match scaled.mul(Exact::whole(10)) {
                    Some(next) => scaled = next,
                    None => break,
                }
                places += 1;
            }
            format!("≈{}", trim_zeros(&rounded(number, places)))
        }
    }
}

/// `40 ft 11 7/8 in` for feet that come out in inches and their usual fractions.
pub(super) fn feet_and_inches(value: Exact, unit: Unit) -> Option<String> {
    if unit.symbol() != "ft" || unit.kind() != UnitKind::Measure {
        return None;
    }
    let inch = Unit::named("in")?;
    let inches = inch.from_base(value.size())?;
    let feet = inches.div(Exact::whole(12))?.floor();
    let rest = inches.sub(Exact::whole(feet.checked_mul(12)?))?;
    let fraction = if rest.is_whole() { rest.upper().to_string() } else { binary_fraction(rest)? };
    let sign = if value.is_negative() { "-" } else { "" };
    Some(match (feet, rest.is_zero()) {
        (feet, true) => format!("{sign}{feet} ft"),
        (0, false) => format!("{sign}{fraction} in"),
        (feet, false) => format!("{sign}{feet} ft {fraction} in"),
    })
}

/// `2 1/4` for a number whose fraction is of halves down to sixty-fourths.
pub(super) fn binary_fraction(number: Exact) -> Option<String> {
    let lower = number.lower();
    if lower == 1 || lower > 64 || lower & (lower - 1) != 0 {
        return None;
    }
    let size = number.size();
    let whole = size.floor();
    let part = size.upper() - whole * lower;
    let sign = if number.is_negative() { "-" } else { "" };
    Some(if whole == 0 { format!("{sign}{part}/{lower}") } else { format!("{sign}{whole} {part}/{lower}") })
}

/// Rounded half away from nought to that many places.
pub fn rounded(number: Exact, places: u32) -> String {
    let Some(scale) = 10i128.checked_pow(places) else { return format!("{number:?}") };
    let size = number.size();
    let whole = size.floor();
    let part = size.upper() - whole * size.lower();
    // Long division keeps within 127 bits where multiplying first would not.
    let mut digits: i128 = 0;
    let mut left = part;
    for _ in 0..places {
        let Some(ten) = left.checked_mul(10) else { return format!("{number:?}") };
        digits = digits * 10 + ten / size.lower();
        left = ten % size.lower();
    }
    let round_up = left.checked_mul(2).is_some_and(|twice| twice >= size.lower());
    let (mut whole, mut digits) = (whole, digits + i128::from(round_up));
    if digits >= scale {
        whole += 1;
        digits -= scale;
    }
    let sign = if number.is_negative() && (whole != 0 || digits != 0) { "-" } else { "" };
    if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{digits:0width$}", width = places as usize) }
}

fn trim_zeros(text: &str) -> &str {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text }
}
