//! Values in words for people: points, bounds, by how much a value misses, rounding to a written step. It must not know how
//! an explanation is found.

use super::doubt::Truth;
use super::explain::Reason;
use super::value::{Number, Value};
use crate::datum::{Datum, Kind};
use crate::language::program::Program;
use crate::language::tree::Comparison;
use crate::quantity::{Exact, Reading, Unit, Units, show};

/// The value or the limit of a reason, rounded where a step is written; else as the reason shows it.
pub(super) fn stepped(
    reason: Option<&Reason>,
    step: Option<Reading>,
    pick: fn(&(Number, Number)) -> &Number,
    shown: fn(&Reason) -> Option<&str>,
    otherwise: &str,
    units: Units,
) -> String {
    let number = reason.and_then(|reason| reason.numbers.as_ref()).map(pick);
    match (number, step) {
        (Some(number), Some(step)) => {
            let number = rounded_to(number.clone(), &step);
            interval_text(&number, number.unit.map(|unit| units.of(unit)))
        }
        _ => reason.and_then(shown).unwrap_or(otherwise).to_string(),
    }
}

/// Rounded half up to whole steps, in the step's unit; within a tolerance, the middle stands for the reading.
pub(super) fn rounded_to(number: Number, step: &Reading) -> Number {
    let (size, unit) = (step.value, step.unit.or(number.unit));
    let round = |value: Exact| {
        let step = size;
        value
            .div(step)
            .map(|steps| Exact::whole(steps.add(Exact::ratio(1, 2).unwrap_or(Exact::ZERO)).map_or(0, Exact::floor)))
            .and_then(|steps| steps.mul(step))
    };
    let interval = match number.interval.middle().and_then(round) {
        Some(middle) => crate::quantity::Interval::point(middle),
        None => crate::quantity::Interval { lo: number.interval.lo.and_then(round), hi: number.interval.hi.and_then(round) },
    };
    Number { interval, unit, ..number }
}

pub(super) fn unit_for(value: &Number, limit: &Number, kind: &Kind) -> Option<Unit> {
    let usual = match kind {
        Kind::Measure(dimension) => Unit::usual(*dimension),
        _ => None,
    };
    value.unit.or(limit.unit).or(usual)
}

/// Both numbers in one unit, with enough digits that they look different where they are.
pub(super) fn number_texts(value: &Number, limit: &Number, unit: Option<Unit>) -> (String, String) {
    match (value.interval.as_point(), limit.interval.as_point()) {
        (Some(value), Some(limit)) => show::apart(value, limit, unit),
        _ => {
            let ends = |number: &Number| [number.interval.lo, number.interval.hi].into_iter().flatten();
            let pairs: Vec<(Exact, Exact)> = ends(value).flat_map(|end| ends(limit).map(move |limit| (end, limit))).collect();
            let places = show::places_apart(&pairs, unit);
            (interval_at(value, unit, places), interval_at(limit, unit, places))
        }
    }
}

/// A number in words: a point, between two ends, or one end.
pub fn interval_text(number: &Number, unit: Option<Unit>) -> String {
    interval_at(number, unit, None)
}

/// The same with at most so many decimal places, where those are asked for.
fn interval_at(number: &Number, unit: Option<Unit>, places: Option<u32>) -> String {
    let one = |value: Exact| show::at_places(value, unit, places);
    match (number.interval.lo, number.interval.hi) {
        (Some(lo), Some(hi)) => {
            let (low, high) = (one(lo), one(hi));
            // Ends that look alike at these digits read as one number.
            if low == high { low } else { format!("{low} to {high}") }
        }
        (Some(lo), None) => format!("at least {}", one(lo)),
        (None, Some(hi)) => format!("at most {}", one(hi)),
        (None, None) => "not known".into(),
    }
}

/// By how much a sure miss misses.
pub(super) fn miss_text(value: &Number, limit: &Number, unit: Option<Unit>, how: Comparison, wanted: bool) -> Option<String> {
    // Within a tolerance the middle stands for the reading.
    let reading = value.interval.middle()?;
    let miss = reading.sub(limit.interval.middle()?)?;
    let spread = value.interval.hi?.sub(reading)?;
    let amount = |miss: Exact| {
        // A difference on a temperature scale is not a temperature.
        let factor = unit.map_or(Exact::ONE, Unit::factor);
        let number = miss.div(factor).map_or_else(String::new, show::plain);
        match unit {
            Some(unit) if unit.kind() == crate::quantity::unit::UnitKind::Measure => show::in_unit(miss, unit),
            Some(unit) => show::with_symbol(&number, unit),
            None => number,
        }
    };
    let over =
        matches!((how, wanted), (Comparison::AtMost | Comparison::LessThan, true) | (Comparison::AtLeast | Comparison::MoreThan, false));
    // Where the limit itself counts, only the tolerance can leave a reading there in doubt.
    let at_limit_counts =
        matches!((how, wanted), (Comparison::AtMost | Comparison::AtLeast, true) | (Comparison::LessThan | Comparison::MoreThan, false));
    let within = if spread.is_zero() { String::new() } else { format!(", read to within {}", amount(spread)) };
    match (over, miss.is_negative(), miss.is_zero()) {
        (_, _, true) if at_limit_counts => Some(format!("it reads exactly at the limit{within}")),
        (_, _, true) => Some(format!("it is exactly at the limit, which does not count{within}")),
        (true, false, _) => Some(format!("{} too much{within}", amount(miss))),
        (false, true, _) => Some(format!("{} too little{within}", amount(miss.negated()))),
        _ => (!spread.is_zero()).then(|| within.trim_start_matches(", ").to_string()),
    }
}

/// A value for people; nothing where there is nothing to show.
pub fn value_text(program: &Program, value: &Value) -> Option<String> {
    Some(match value {
        Value::Truth(Truth::Yes) => "yes".into(),
        Value::Truth(Truth::No) => "no".into(),
        Value::Number(number) => interval_text(number, number.unit),
        Value::Days(days, _) => days.to_string(),
        Value::Period(period) => period.to_string(),
        Value::Word(word) => program.word(*word).to_string(),
        Value::Any => "any".into(),
        Value::WordSet([]) | Value::TextList([]) | Value::Nothing => "none".into(),
        Value::WordSet(words) => words.iter().map(|word| program.word(*word)).collect::<Vec<_>>().join(", "),
        Value::Text(text) => (*text).to_string(),
        Value::TextList(texts) => texts.join(", "),
        Value::Range(low, high, unit) => {
            let one = |value: Exact| unit.map_or_else(|| show::plain(value), |unit| show::in_unit(value, unit));
            format!("{} to {}", one(*low), one(*high))
        }
        Value::Wire(wire) => wire.to_string(),
        Value::Point(place) => place_text(place),
        Value::Points(places) => places.iter().map(|place| format!("({})", place_text(place))).collect::<Vec<_>>().join(", "),
        Value::Recording(recording) => recording.file.clone(),
        Value::Truth(Truth::Doubtful(_)) | Value::Unknown(_) | Value::Thing(_) | Value::RangeCell(..) => return None,
    })
}

/// A point as its coordinates.
fn place_text(place: &crate::datum::Place) -> String {
    let one = |interval| {
        let number = Number { interval, doubt: super::doubt::Doubt::default(), unit: place.unit };
        // The middle of a tolerance is what was read.
        let read = number.interval.middle().map_or(number.interval, crate::quantity::Interval::point);
        interval_text(&Number { interval: read, ..number }, place.unit)
    };
    place.coordinates().map(one).collect::<Vec<_>>().join(", ")
}

/// A fact that follows from others: the middle of its tolerance, as it would be read.
pub fn middle_text(program: &Program, datum: &Datum) -> String {
    middle_text_in(program, datum, Units::AsWritten)
}

/// The same in the units that a reader wants.
pub fn middle_text_in(program: &Program, datum: &Datum, units: Units) -> String {
    match datum {
        Datum::Number(interval, unit) => {
            let unit = &unit.map(|unit| units.of(unit));
            let middle = interval.middle().map_or(*interval, crate::quantity::Interval::point);
            interval_text(&Number { interval: middle, doubt: super::doubt::Doubt::default(), unit: *unit }, *unit)
        }
        datum => value_text(program, &Value::of(datum).shown_in(units)).unwrap_or_default(),
    }
}

/// A stated value for people.
pub fn datum_text(program: &Program, datum: &Datum) -> String {
    value_text(program, &Value::of(datum)).unwrap_or_default()
}

/// The words of a definition within a sentence: without what it adds behind a colon or a stop, and beginning small.
pub(super) fn told_of(doc: &str) -> Option<String> {
    let end = [": ", ". ", "; "].iter().filter_map(|mark| doc.find(mark)).min().unwrap_or(doc.len());
    // A definition such as "1 where …, else 0" tells what a count stands for, and names nothing.
    if doc.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut letters = doc[..end].trim().trim_end_matches('.').chars();
    let first = letters.next()?;
    let rest = letters.as_str();
    // A word such as `DC` or `I` stays as it is.
    let small = rest.starts_with(|c: char| c.is_lowercase());
    Some(if small { format!("{}{rest}", first.to_lowercase()) } else { format!("{first}{rest}") })
}
