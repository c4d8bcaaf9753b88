//! Reads one scalar by the kind that its definition gives it, never by what YAML would take it for. It must not know where
//! the scalar stands.

use crate::datum::{Datum, Kind, Lists, Place};
use crate::language::build_expr::period;
use crate::quantity::{Days, Dimension, Exact, Interval, Reading, Unit, Wire, read, unit::UnitKind};
use crate::slip::suggest;
use std::ops::Range;

/// Why a scalar is not of its kind.
#[derive(Debug, PartialEq, Eq)]
pub struct ScalarSlip {
    /// A name of words.
    pub name: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: String,
    /// Which bytes of the text, where not the whole.
    pub at: Option<Range<usize>>,
}

/// A value, and the number as read where a tolerance made an interval of it.
pub type Read = (Datum, Option<Reading>);

/// Reads `text` as a value of `kind`.
pub fn read_scalar(text: &str, kind: &Kind, lists: &Lists) -> Result<Read, ScalarSlip> {
    let plain = |datum: Datum| Ok((datum, None));
    match kind {
        Kind::YesNo => yes_no(text).and_then(plain),
        Kind::Count => count(text).and_then(plain),
        Kind::Measure(dimension) => measure(text, *dimension),
        Kind::Temperature => temperature(text),
        Kind::Range(dimension) => range(text, *dimension).and_then(plain),
        Kind::Date => Days::read(text).map(Datum::Days).map_err(|(message, hint)| slip("not-a-date", message, hint)).and_then(plain),
        Kind::Period => {
            let read = period(text.trim()).map(Datum::Period);
            read.ok_or_else(|| slip("unlike-kinds", format!("`{text}` is no length of time"), "write 30 days, 6 months or 1 year".into()))
                .and_then(plain)
        }
        Kind::Wire => Wire::read(text).map(Datum::Wire).map_err(|(message, hint)| slip("not-a-wire-size", message, hint)).and_then(plain),
        Kind::Word(list) => word(text, *list, lists).and_then(|word| plain(Datum::Word(word))),
        Kind::WordSet(list) => word(text, *list, lists).and_then(|word| plain(Datum::WordSet(vec![word]))),
        Kind::Text => said(text).and_then(plain),
        Kind::TextList => plain(Datum::TextList(vec![text.to_string()])),
        Kind::Point => point(&text.split(',').collect::<Vec<_>>()).map(|place| Datum::Point(Box::new(place))).and_then(plain),
        Kind::Points => Err(slip(
            "not-a-point",
            format!("`{text}` is no list of points"),
            "write points in brackets, as in [[0 in, 0 in], [4 in, 0 in], [4 in, 6 in]]".into(),
        )),
        Kind::Recording(_) => plain(Datum::Text(text.to_string())),
        Kind::Thing(_) => {
            Err(slip("unlike-kinds", "a value where a record is wanted".into(), "write the record's facts below the key".into()))
        }
    }
}

/// Refuses a measure below nought where the fact has no two sides: a height of minus three inches would pass every greatest height.
pub fn with_its_sign((datum, reading): Read, text: &str, signed: bool) -> Result<Read, ScalarSlip> {
    let below = match (&datum, &reading) {
        (Datum::Number(..), Some(reading)) => reading.value.is_negative(),
        (Datum::Range(low, ..), _) => low.is_negative(),
        _ => false,
    };
    if signed || !below {
        return Ok((datum, reading));
    }
    let hint = "write nought or more: this fact has no other side of nought; leave it empty until it is known";
    Err(slip("below-nought", format!("`{}` is less than nought", text.trim()), hint.into()))
}

/// Words by which people say that they do not know.
const NOT_KNOWN: [&str; 4] = ["unknown", "tbd", "n/a", "?"];

/// A text that says something: blanks, marks alone and words for not knowing would count as given.
fn said(text: &str) -> Result<Datum, ScalarSlip> {
    if !text.contains(|c: char| c.is_alphanumeric() || is_picture(c)) || NOT_KNOWN.contains(&text.trim().to_lowercase().as_str()) {
        let hint = "leave the value empty until it is known";
        return Err(slip("says-nothing", format!("`{text}` says nothing"), hint.into()));
    }
    Ok(Datum::Text(text.to_string()))
}

/// Whether a character that is no letter is drawn all the same: an arrow, a sign, a picture.
fn is_picture(c: char) -> bool {
    let unseen = matches!(c, '\u{3000}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff0}'..='\u{ffff}' | '\u{e0000}'..);
    c >= '\u{2190}' && !unseen
}

fn slip(name: &'static str, message: String, hint: String) -> ScalarSlip {
    ScalarSlip { name, message, hint, at: None }
}

fn yes_no(text: &str) -> Result<Datum, ScalarSlip> {
    match text {
        "yes" => Ok(Datum::YesNo(true)),
        "no" => Ok(Datum::YesNo(false)),
        _ => {
            let hint = match text.to_lowercase().as_str() {
                "true" | "on" | "y" | "yes" | "1" => "write yes",
                "false" | "off" | "n" | "no" | "0" => "write no",
                "unknown" | "?" | "tbd" | "n/a" => "leave the value empty until it is known",
                _ => "write yes or no; leave it empty until it is known",
            };
            Err(slip("unlike-kinds", format!("`{text}` is neither yes nor no"), hint.into()))
        }
    }
}

fn count(text: &str) -> Result<Datum, ScalarSlip> {
    let reading = reading(text)?;
    if reading.unit.is_some()
        || reading.tolerance.is_some()
        || !reading.value.is_whole()
        || reading.decimals != Some(0)
        || reading.value.is_negative()
    {
        return Err(slip("unlike-kinds", format!("`{text}` is no count"), "write a whole number without a unit".into()));
    }
    Ok(Datum::Number(Interval::point(reading.value), None))
}

fn reading(text: &str) -> Result<Reading, ScalarSlip> {
    read(text).map_err(|read| ScalarSlip { name: "not-a-quantity", message: read.message, hint: read.hint, at: Some(read.at) })
}

/// The units in which a gate is measured, on either side of the ocean.
const USUAL_LENGTHS: [&str; 4] = ["in", "ft", "mm", "m"];

/// Units of which nobody reads a thousandth at a gate: there a point before three digits marks thousands as often as it is a decimal point.
const NEVER_TO_A_THOUSANDTH: [&str; 3] = ["mm", "N", "kg"];

/// Refuses `1.200 mm`: in half of Europe that is 1200 mm, and taken for 1.2 mm it would be a thousandfold too small.
fn refuse_thousands(text: &str, reading: &Reading) -> Result<(), ScalarSlip> {
    let number = text.trim_start().split(|c: char| !(c.is_ascii_digit() || c == '.')).next().unwrap_or("");
    let Some((before, after)) = number.split_once('.') else { return Ok(()) };
    let unit = reading.unit.map_or("", Unit::symbol);
    let thousands = (1..=3).contains(&before.len()) && !before.starts_with('0') && after.len() == 3;
    // Eighths of an inch turned into millimetres have three decimals, and mean what they say.
    let turned = unit == "mm" && (before.len() > 1 || !after.ends_with('0')) && is_in_eighths(reading.value);
    if !thousands || turned || !NEVER_TO_A_THOUSANDTH.contains(&unit) {
        return Ok(());
    }
    let decimals = after.trim_end_matches('0');
    let point = if decimals.is_empty() { String::new() } else { format!(".{decimals}") };
    let hint = if decimals.len() == 3 {
        format!("write {before}{after} {unit} if the point marks thousands; else round it: no instrument at a gate reads so finely")
    } else {
        format!("write {before}{after} {unit} if the point marks thousands, {before}{point} {unit} if it is a decimal point")
    };
    Err(slip("not-a-quantity", format!("`{number} {unit}` may mean two things"), hint))
}

/// Whether a length is a whole number of eighths of an inch.
fn is_in_eighths(length: Exact) -> bool {
    Exact::whole(127).div(Exact::whole(40_000)).and_then(|eighth| length.div(eighth)).is_some_and(Exact::is_whole)
}

fn measure(text: &str, dimension: Dimension) -> Result<Read, ScalarSlip> {
    let reading = reading(text)?;
    let found = reading.unit.map_or(Dimension::NONE, Unit::dimension);
    let scale = reading.unit.is_some_and(|unit| unit.kind() != UnitKind::Measure);
    if reading.unit.is_none() && dimension != Dimension::NONE {
        let units = Unit::symbols_of(dimension);
        let name = dimension.to_string();
        let usual: Vec<&str> = USUAL_LENGTHS.into_iter().filter(|symbol| units.contains(symbol)).collect();
        let hint = format!("write the unit: {}", if usual.is_empty() { &units[..units.len().min(6)] } else { &usual }.join(", "));
        return Err(slip("missing-unit", format!("{} {name} without a unit", crate::datum::article(&name)), hint));
    }
    if found != dimension || scale {
        let unit = reading.unit.map_or("", Unit::symbol);
        let hint = format!(
            "write {} {dimension}, such as 1 {}; units of {dimension}: {}",
            crate::datum::article(&dimension.to_string()),
            Unit::symbols_of(dimension).first().copied().unwrap_or(""),
            Unit::symbols_of(dimension).iter().take(6).copied().collect::<Vec<_>>().join(", ")
        );
        return Err(slip("unlike-units", format!("`{unit}` is no unit of {dimension}"), hint));
    }
    refuse_thousands(text, &reading)?;
    numbered(reading)
}

fn temperature(text: &str) -> Result<Read, ScalarSlip> {
    let reading = reading(text)?;
    if reading.unit.is_none_or(|unit| unit.kind() != UnitKind::Temperature) {
        return Err(slip("unlike-units", format!("`{text}` is no temperature"), "write 20 °C or 68 °F".into()));
    }
    numbered(reading)
}

/// The value, as an interval where a tolerance stands beside it.
fn numbered(reading: Reading) -> Result<Read, ScalarSlip> {
    let interval = match reading.tolerance {
        None => Interval::point(reading.value),
        Some(tolerance) => match (reading.value.sub(tolerance), reading.value.add(tolerance)) {
            (Some(lo), Some(hi)) => Interval::between(lo, hi),
            _ => return Err(slip("not-a-quantity", "too many digits".into(), "write fewer digits".into())),
        },
    };
    Ok((Datum::Number(interval, reading.unit), Some(reading)))
}

/// A point of two or three lengths.
pub fn point(parts: &[&str]) -> Result<Place, ScalarSlip> {
    if !(2..=3).contains(&parts.len()) {
        let hint = "write x, y and perhaps z with their units, as in [20 ft, -4 in, 28 in]: x along the gate line from the left jamb seen \
                    from the public side, y square to it and positive to the secured side, z up from grade";
        return Err(slip("not-a-point", format!("a point has two or three lengths, and this has {}", parts.len()), hint.into()));
    }
    let (mut coordinates, mut unit) = (Vec::with_capacity(3), None);
    for part in parts {
        let (datum, reading) = measure(part.trim(), Dimension::LENGTH).map_err(|slip| ScalarSlip { at: None, ..slip })?;
        if let Datum::Number(interval, _) = datum {
            coordinates.push(interval);
        }
        unit = unit.or(reading.and_then(|reading| reading.unit));
    }
    match coordinates.as_slice() {
        [x, y, rest @ ..] => Ok(Place { x: *x, y: *y, z: rest.first().copied(), unit }),
        _ => Err(slip("not-a-point", "a point has two or three lengths".into(), "write them in brackets".into())),
    }
}

fn range(text: &str, dimension: Dimension) -> Result<Datum, ScalarSlip> {
    let wanted = || {
        slip(
            "not-a-range",
            format!("`{text}` is no range"),
            format!("write the smaller end, `to` and the larger end, as in {}", example(dimension)),
        )
    };
    let (low, high) = text.split_once(" to ").ok_or_else(wanted)?;
    let (_, high) = measure(high.trim(), dimension)?;
    // `2 to 40 ft`: the unit of the larger end serves both.
    let low_text = low.trim();
    let low = match (measure(low_text, dimension), high) {
        (Ok((_, low)), _) => low,
        (Err(slip), Some(end)) if slip.name == "missing-unit" => {
            end.unit.and_then(|unit| measure(&format!("{low_text} {}", unit.symbol()), dimension).ok()).and_then(|read| read.1)
        }
        (Err(slip), _) => return Err(slip),
    };
    let (Some(low), Some(high)) = (low, high) else { return Err(wanted()) };
    if low.value > high.value {
        return Err(slip("not-a-range", "a range whose ends are the wrong way round".into(), "write the smaller end first".into()));
    }
    Ok(Datum::Range(low.value, high.value, low.unit))
}

fn example(dimension: Dimension) -> String {
    let unit = Unit::symbols_of(dimension).get(1).or(Unit::symbols_of(dimension).first()).copied().unwrap_or("");
    format!("2 {unit} to 40 {unit}")
}

/// A word of a list.
pub fn word(text: &str, list: crate::datum::ListId, lists: &Lists) -> Result<crate::datum::WordId, ScalarSlip> {
    lists.word_in(list, text).ok_or_else(|| {
        let known: Vec<&str> = lists.texts(list).collect();
        let dashed = text.trim().to_lowercase().replace([' ', '_'], "-");
        let hint = match known.iter().find(|word| word.to_lowercase() == dashed) {
            Some(word) => format!("write {word}"),
            None => suggest(text, known.iter().copied()).unwrap_or_else(|| format!("known here: {}", known.join(", "))),
        };
        slip("unknown-word", format!("`{text}` is no word of {}", lists.describe(list)), hint)
    })
}
