//! How an answer is written, in words and by example, for each kind of fact. It must not know who asks.

use crate::datum::Kind;
use crate::language::program::{Field, Program, TakenAs};
use crate::quantity::{Dimension, Unit, Units};

/// Examples as the trade writes them, in feet and inches and in metric units, by dimension; nothing where one serves both.
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
const TOLERANCES: [(&str, &str, &str); 4] =
    [("length", "1/8 in", "3 mm"), ("angle", "0.5 deg", ""), ("time", "0.1 s", ""), ("force", "1 lbf", "5 N")];

/// A sample value of a dimension, and the same in other units where the trade writes both and the reader wants both.
pub fn samples(dimension: Dimension, units: Units) -> Vec<String> {
    // A ratio is written either way wherever one works.
    let units = if dimension == Dimension::NONE { Units::AsWritten } else { units };
    match EXAMPLES.iter().find(|(name, ..)| Dimension::named(name) == Some(dimension)) {
        Some((_, inch, metric)) => chosen(inch, metric, units),
        None => Unit::usual(dimension).map(|unit| format!("1 {}", unit.symbol())).into_iter().collect(),
    }
}

/// The one in inches, the other, or both.
fn chosen(inch: &str, metric: &str, units: Units) -> Vec<String> {
    let wanted: &[&str] = match units {
        _ if metric.is_empty() => &[inch],
        Units::Inch => &[inch],
        Units::Metric => &[metric],
        Units::AsWritten => &[inch, metric],
    };
    wanted.iter().map(|sample| (*sample).to_string()).collect()
}

/// How an answer of a kind looks: `a length, as in 2 ft 6 in or 760 mm`.
fn how(program: &Program, kind: &Kind, units: Units) -> String {
    let words = |list| program.lists.texts(list).collect::<Vec<_>>().join(", ");
    let like = |inch, metric| chosen(inch, metric, units).join(" or ");
    let one = |inch, metric| if units == Units::Metric { metric } else { inch };
    match kind {
        Kind::YesNo => "yes or no".into(),
        Kind::Count => "a whole number".into(),
        Kind::Measure(dimension) => format!("{}, as in {}", kind.describe(&program.lists), samples(*dimension, units).join(" or ")),
        Kind::Temperature => format!("a temperature, as in {}", like("104 °F", "40 °C")),
        Kind::Date => "a date, as in 2026-03-16; year and month, or a year, where no more is known".into(),
        Kind::Period => "a length of time, as in 12 months".into(),
        Kind::Word(list) => format!("one of: {}", words(*list)),
        Kind::WordSet(list) => format!("any of these in brackets, or none: {}", words(*list)),
        Kind::Text => "a text".into(),
        Kind::TextList => "texts in brackets, with commas between them".into(),
        Kind::Range(dimension) => {
            let first = samples(*dimension, units).into_iter().next().unwrap_or_default();
            let unit = first.rsplit(' ').next().unwrap_or_default();
            format!("{}, as in 2 {unit} to 40 {unit}", kind.describe(&program.lists))
        }
        Kind::Wire => format!("a wire size, as in {}", like("12 AWG", "2.5 mm²")),
        Kind::Point => {
            let point = one("[20 ft, -4 in, 28 in]", "[6 m, -100 mm, 700 mm]");
            format!("a point, as in {point}: along the gate line from the left jamb, to the secured side, up")
        }
        Kind::Points => {
            let points = one("[[0 ft, 1 in], [6 in, 1 in], [6 in, 7 in]]", "[[0 mm, 25 mm], [150 mm, 25 mm], [150 mm, 175 mm]]");
            format!("points in order, as in {points}")
        }
        Kind::Recording(_) => "the name of a file beside the job".into(),
        Kind::Thing(_) => "a thing".into(),
    }
}

/// How an answer to a fact looks in the units that the reader wants, and whether it is to be measured.
pub fn how_of(program: &Program, field: &Field, units: Units) -> String {
    if let (true, Kind::Measure(dimension)) = (field.gives_tolerance, &field.kind)
        && let Some((_, inch, metric)) = TOLERANCES.iter().find(|(name, ..)| Dimension::named(name) == Some(*dimension))
    {
        return format!("{}, as in {}", field.kind.describe(&program.lists), chosen(inch, metric, units).join(" or "));
    }
    let how = how(program, &field.kind, units);
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
