//! How an answer is written, in words and by example, for each kind of fact. It must not know who asks.

use crate::datum::Kind;
use crate::language::program::{Field, Program, TakenAs};
use crate::quantity::{Dimension, Unit};

/// Examples as the trade writes them, in feet and inches and in metric units, by dimension.
const EXAMPLES: [(&str, &str, &str); 18] = [
    ("length", "2 ft 6 in", "760 mm"),
    ("area", "12 ft²", "1.2 m²"),
    ("mass", "640 lb", "290 kg"),
    ("time", "0.75 s", ""),
    ("speed", "11 in/s", "280 mm/s"),
    ("force", "75 lbf", "150 N"),
    ("pressure", "15 psi", "100 kPa"),
    ("power", "20 W", ""),
    ("current", "250 mA", ""),
    ("charge", "7 Ah", ""),
    ("voltage", "24 V", ""),
    ("resistance", "0.5 ohm", ""),
    ("angle", "85 deg", ""),
    ("illuminance", "50 lx", ""),
    ("sound-level", "104 dB", ""),
    ("frequency", "60 Hz", ""),
    ("torque", "50 N*m", ""),
    ("ratio", "2 %", "0.02"),
];

/// How far a reading may be off, by what is read.
const TOLERANCES: [(&str, &str); 4] = [("length", "1/8 in or 3 mm"), ("angle", "0.5 deg"), ("time", "0.1 s"), ("force", "1 lbf or 5 N")];

/// A sample value of a dimension, and the same in other units where the trade writes both.
pub fn samples(dimension: Dimension) -> Vec<String> {
    let known = EXAMPLES.iter().find(|(name, ..)| Dimension::named(name) == Some(dimension));
    match known {
        Some((_, one, "")) => vec![(*one).to_string()],
        Some((_, one, other)) => vec![(*one).to_string(), (*other).to_string()],
        None => Unit::usual(dimension).map(|unit| format!("1 {}", unit.symbol())).into_iter().collect(),
    }
}

/// How an answer of a kind looks: `a length, as in 2 ft 6 in or 760 mm`.
fn how(program: &Program, kind: &Kind) -> String {
    let words = |list| program.lists.texts(list).collect::<Vec<_>>().join(", ");
    match kind {
        Kind::YesNo => "yes or no".into(),
        Kind::Count => "a whole number".into(),
        Kind::Measure(dimension) => format!("{}, as in {}", kind.describe(&program.lists), samples(*dimension).join(" or ")),
        Kind::Temperature => "a temperature, as in 40 °C or 104 °F".into(),
        Kind::Date => "a date, as in 2026-03-16; year and month, or a year, where no more is known".into(),
        Kind::Period => "a length of time, as in 12 months".into(),
        Kind::Word(list) => format!("one of: {}", words(*list)),
        Kind::WordSet(list) => format!("any of these in brackets, or none: {}", words(*list)),
        Kind::Text => "a text".into(),
        Kind::TextList => "texts in brackets, with commas between them".into(),
        Kind::Range(dimension) => {
            let unit = samples(*dimension).first().and_then(|sample| sample.rsplit(' ').next().map(str::to_string)).unwrap_or_default();
            format!("{}, as in 2 {unit} to 40 {unit}", kind.describe(&program.lists))
        }
        Kind::Wire => "a wire size, as in 12 AWG or 2.5 mm²".into(),
        Kind::Point => "a point, as in [20 ft, -4 in, 28 in]: along the gate line from the left jamb, to the secured side, up".into(),
        Kind::Points => "points in order, as in [[0 ft, 1 in], [6 in, 1 in], [6 in, 7 in]]".into(),
        Kind::Recording(_) => "the name of a file beside the job".into(),
        Kind::Thing(_) => "a thing".into(),
    }
}

/// How an answer to a fact looks, and whether it is to be measured.
pub fn how_of(program: &Program, field: &Field) -> String {
    if let (true, Kind::Measure(dimension)) = (field.gives_tolerance, &field.kind)
        && let Some((_, sample)) = TOLERANCES.iter().find(|(name, _)| Dimension::named(name) == Some(*dimension))
    {
        return format!("{}, as in {sample}", field.kind.describe(&program.lists));
    }
    let how = how(program, &field.kind);
    if field.measured { format!("measured: {how}") } else { how }
}

/// What is to be written where there is no such thing, or what a fact is taken as where it is not stated.
pub fn otherwise(program: &Program, field: &Field) -> Option<String> {
    match &field.taken {
        Some(TakenAs::Nothing) => Some("none where there is none".into()),
        Some(TakenAs::Value(datum)) => Some(format!("taken as {} where it is left out", crate::judge::words::datum_text(program, datum))),
        None => None,
    }
}
