//! Moves a written value by the least step that its author shows: the last digit of a number, a day, the next word of a list.
//! It must not know where the value stands.

use crate::datum::{Datum, Kind, Lists};
use crate::quantity::{Days, Exact, Interval, Period, Unit, Wire, show};

/// A value beside the written one, and how its author would write it.
pub type Moved = (Datum, String);

/// The values right below and right above a written one. `ordered` says that words are compared by their order; else the next
/// word of the list takes the place of the written one.
pub fn beside(datum: &Datum, text: &str, kind: &Kind, ordered: bool, lists: &Lists) -> Vec<Moved> {
    match datum {
        Datum::Number(interval, unit) => match interval.as_point() {
            Some(value) => numbers(value, *unit, text, *kind == Kind::Count),
            None => Vec::new(),
        },
        Datum::Days(days) if days.is_known() => {
            let days = [days.first.yesterday().ok(), days.first.tomorrow().ok()];
            days.into_iter().flatten().map(|day| (Datum::Days(Days::day(day)), day.to_string())).collect()
        }
        Datum::Period(period) => periods(*period),
        Datum::Wire(Wire::Awg(number)) => {
            let sizes = [number.checked_sub(1), number.checked_add(1)].into_iter().flatten().filter(|size| (-3..=40).contains(size));
            sizes.map(Wire::Awg).map(|wire| (Datum::Wire(wire), wire.to_string())).collect()
        }
        Datum::Word(word) => {
            let Kind::Word(list) = kind else { return Vec::new() };
            let words = &lists.list(*list).words;
            let Some(at) = words.iter().position(|known| known == word) else { return Vec::new() };
            let others: Vec<usize> = if ordered {
                [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter(|other| *other < words.len()).collect()
            } else {
                // A list that was made from the cells of a column may hold a word twice.
                (1..words.len()).map(|step| (at + step) % words.len()).find(|other| words[*other] != *word).into_iter().collect()
            };
            others.into_iter().map(|other| (Datum::Word(words[other]), lists.text(words[other]).into())).collect()
        }
        Datum::YesNo(yes) => vec![(Datum::YesNo(!yes), if *yes { "no" } else { "yes" }.into())],
        _ => Vec::new(),
    }
}

/// Whether a value is a number below nought.
pub fn is_negative(datum: &Datum) -> bool {
    matches!(datum, Datum::Number(value, _) if value.as_point().is_some_and(Exact::is_negative))
}

fn numbers(value: Exact, unit: Option<Unit>, text: &str, count: bool) -> Vec<Moved> {
    let step = step_of(text, unit).or_else(|| Some(unit.map_or(Exact::ONE, Unit::factor)));
    let sides = step.and_then(|step| Some([value.sub(step)?, value.add(step)?]));
    // There is no count below nought.
    let possible = |value: &Exact| !(count && value.is_negative());
    let shown = |value: Exact| unit.map_or_else(|| show::plain(value), |unit| show::in_unit(value, unit));
    let moved = |value: Exact| (Datum::Number(Interval::point(value), unit), shown(value));
    sides.into_iter().flatten().filter(possible).map(moved).collect()
}

fn periods(period: Period) -> Vec<Moved> {
    let by = |step: i32| match period.months {
        0 => Period { days: period.days + step, ..period },
        months => Period { months: months + step, ..period },
    };
    [by(-1), by(1)].into_iter().map(|period| (Datum::Period(period), period.to_string())).collect()
}

/// The last digit in which a quantity is written, in base units: 1 in of `16 ft 6 in`, 1/4 in of `2 1/4 in (57 mm)`.
pub(super) fn step_of(text: &str, unit: Option<Unit>) -> Option<Exact> {
    let (written, own_unit) = last_number(governing(text))?;
    let step = match (written.split_once('/'), written.split_once('.')) {
        (Some((_, below)), _) => Exact::ratio(1, below.parse().ok()?)?,
        (None, Some((_, decimals))) => Exact::ratio(1, 10i128.checked_pow(u32::try_from(decimals.len()).ok()?)?)?,
        (None, None) => Exact::ONE,
    };
    match Unit::named(own_unit).or(unit) {
        Some(unit) => step.mul(unit.factor()),
        None => Some(step),
    }
}

/// A quantity without its printed twin and its tolerance: the first figure governs.
pub fn governing(text: &str) -> &str {
    let end = [" (", " +/-"].iter().filter_map(|mark| text.find(mark)).min().unwrap_or(text.len());
    text[..end].trim()
}

/// The last number of a quantity, and the unit behind it.
fn last_number(text: &str) -> Option<(&str, &str)> {
    let is_number = |word: &&str| word.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().rposition(is_number)?;
    let end = words[at].find(|c: char| !(c.is_ascii_digit() || matches!(c, '-' | '/' | '.'))).unwrap_or(words[at].len());
    let (number, joined) = words[at].split_at(end);
    Some((number, if joined.is_empty() { words.get(at + 1).copied().unwrap_or("") } else { joined }))
}
