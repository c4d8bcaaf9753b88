//! Wire sizes: AWG by number and metric sizes by area, ordered by area. It must not know what a wire is used for.

use super::exact::Exact;
use super::interval::Interval;
use super::number_text::number_at;
use serde::{Deserialize, Serialize};
use std::fmt;

/// The size of a conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Wire {
    /// American wire gauge; 1/0 to 4/0 are 0 to -3.
    Awg(i8),
    /// Square millimetres.
    Metric(Exact),
    /// Thousands of circular mils.
    Kcmil(Exact),
}

/// Square millimetres in a thousand circular mils: a circle of a thousandth of an inch, times a thousand, is π/4 × 0.64516.
/// The bounds are π/4 cut off and rounded up at the fifteenth digit.
const KCMIL_LOW: (i128, i128) = (506_707_479_097_497, 1_000_000_000_000_000);
const KCMIL_HIGH: (i128, i128) = (506_707_479_097_498, 1_000_000_000_000_000);

impl Wire {
    /// Reads `12 AWG`, `4/0 AWG`, `2.5 mm²`, `250 kcmil`. The error is a sentence and what to do.
    pub fn read(text: &str) -> Result<Wire, (String, String)> {
        let wrong = || (format!("`{text}` is no wire size"), "write 12 AWG, 4/0 AWG, 250 kcmil or 2.5 mm²".to_string());
        let text = text.trim();
        if let Some(noughts) = text.strip_suffix("AWG").map(str::trim).and_then(|number| number.strip_suffix("/0")) {
            return match noughts {
                "1" | "2" | "3" | "4" => noughts.parse::<i8>().map(|n| Wire::Awg(1 - n)).map_err(|_| wrong()),
                _ => Err(wrong()),
            };
        }
        // `12/3 AWG` is how a cable of three conductors is marked, and no fraction of a size.
        if let Some((before, _)) = text.split_once('/').filter(|(before, _)| before.starts_with(|c: char| c.is_ascii_digit())) {
            let size = before.split([' ', '-']).next().unwrap_or_default();
            let hint = format!("write the size of one conductor alone, such as {size} AWG; how many a cable has is no part of it");
            return Err((format!("`{text}` is no wire size"), hint));
        }
        let number = number_at(text).map_err(|_| wrong())?;
        let value = number.value;
        match text[number.length..].trim() {
            "AWG" if value.is_whole() && !value.is_negative() && value <= Exact::whole(40) => {
                i8::try_from(value.upper()).map(Wire::Awg).map_err(|_| wrong())
            }
            "mm²" | "mm^2" | "mm2" if value > Exact::ZERO => Ok(Wire::Metric(value)),
            "kcmil" if value > Exact::ZERO => Ok(Wire::Kcmil(value)),
            _ => Err(wrong()),
        }
    }

    /// Bounds of its area in mm². AWG: ASTM B258, diameter = 0.005 in × 92^((36 − n)/39), from memory; rounded outward.
    pub fn area(self) -> Interval {
        let exact = |(upper, lower)| Exact::ratio(upper, lower);
        match self {
            Wire::Metric(area) => Interval::point(area),
            Wire::Kcmil(size) => {
                Interval { lo: exact(KCMIL_LOW).and_then(|k| k.mul(size)), hi: exact(KCMIL_HIGH).and_then(|k| k.mul(size)) }
            }
            Wire::Awg(number) => {
                let inches = 0.005 * f64::powf(92.0, f64::from(36 - i32::from(number)) / 39.0);
                let area = std::f64::consts::FRAC_PI_4 * (inches * 25.4).powi(2);
                // The floating error is below a part in 10^12; the bounds leave a part in 10^9.
                let picometres =
                    |factor: f64| Exact::from_f64((area * factor * 1e12).round()).and_then(|n| n.div(Exact::whole(1_000_000_000_000)));
                Interval { lo: picometres(1.0 - 1e-9), hi: picometres(1.0 + 1e-9) }
            }
        }
    }

    /// Compares by area: `Some(true)` surely less, `Some(false)` surely not less, `None` too close to tell.
    pub fn thinner_than(self, other: Wire) -> Option<bool> {
        match (self, other) {
            (Wire::Awg(one), Wire::Awg(two)) => Some(one > two),
            (Wire::Metric(one), Wire::Metric(two)) | (Wire::Kcmil(one), Wire::Kcmil(two)) => Some(one < two),
            _ => {
                let (one, two) = (self.area(), other.area());
                if one.hi? < two.lo? {
                    Some(true)
                } else if one.lo? >= two.hi? {
                    Some(false)
                } else {
                    None
                }
            }
        }
    }
}

impl fmt::Display for Wire {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Wire::Awg(number) if *number <= 0 => write!(f, "{}/0 AWG", 1 - number),
            Wire::Awg(number) => write!(f, "{number} AWG"),
            Wire::Metric(area) => write!(f, "{} mm²", super::show::plain(*area)),
            Wire::Kcmil(size) => write!(f, "{} kcmil", super::show::plain(*size)),
        }
    }
}
