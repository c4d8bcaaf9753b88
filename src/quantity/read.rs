//! Reads a quantity as the trade writes it: `16 ft 6 in`, `5'-6 1/2"`, `21 in +/- 1/4 in`, `2 1/4 in (57 mm)`. It must not
//! know which kind of quantity the reader hoped for.

use super::exact::Exact;
use super::number_text::{Number, number_at};
use super::unit::{Unit, UnitKind};
use crate::slip::suggest;
use serde::{Deserialize, Serialize};
use std::ops::Range;

/// A quantity as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// Its value in base units of the dimension; of a plain number, the number itself.
    pub value: Exact,
    /// What may be missing either way, in base units, where it was written.
    pub tolerance: Option<Exact>,
    /// Its unit; of several (`16 ft 6 in`) the first. `None` for a plain number.
    pub unit: Option<Unit>,
    /// Digits after the point of its last number; `None` when that was a fraction.
    pub decimals: Option<u32>,
    /// The unit of its last part, where several were written.
    pub last: Option<Unit>,
}

impl Reading {
    /// The size of its last digit in base units: what its author read to.
    pub fn digit(&self) -> Option<Exact> {
        // Of feet and inches the inches count.
        let unit = self.last.or(self.unit).map_or(Exact::ONE, Unit::factor);
        match self.decimals {
            Some(decimals) => unit.div(Exact::whole(10).pow(decimals)?),
            None => unit.div(Exact::whole(self.value.div(unit)?.lower())),
        }
    }
}

/// Why a text is not a quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadSlip {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: String,
    /// Where, in bytes of the text.
    pub at: Range<usize>,
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

/// Reads the whole of `text` as one quantity.
pub fn read(text: &str) -> Result<Reading, ReadSlip> {
    read_plain(text).map_err(|slip| {
        // Curly quotes come from a word processor; which of them were meant is for the author to say.
        let straight = text.replace(['\u{2018}', '\u{2019}'], "'").replace(['\u{201c}', '\u{201d}'], "\"");
        match straight != text && read_plain(&straight).is_ok() {
            true => ReadSlip { hint: format!("write {straight}, with straight marks, or ft and in"), ..slip },
            false => slip,
        }
    })
}

fn read_plain(text: &str) -> Result<Reading, ReadSlip> {
    let mut reader = Reader { text, at: 0 };
    reader.skip_blanks();
    let mut reading = reader.measure()?;
    reader.tolerance(&mut reading)?;
    reader.twin(&reading)?;
    reader.skip_blanks();
    if reader.at < text.len() {
        return Err(reader.leftover(&reading));
    }
    Ok(reading)
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn skip_blanks(&mut self) {
        while let Some(blank) = self.rest().chars().next().filter(|c| matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}')) {
            self.at += blank.len_utf8();
        }
    }

    fn slip(&self, from: usize, to: usize, message: impl Into<String>, hint: impl Into<String>) -> ReadSlip {
        ReadSlip { message: message.into(), hint: hint.into(), at: from..to.min(self.text.len()).max(from) }
    }

    fn number(&mut self) -> Result<Number, ReadSlip> {
        let from = self.at;
        let number = number_at(self.rest()).map_err(|(message, hint)| {
            let to = from + self.rest().find(' ').unwrap_or(self.rest().len());
            self.slip(from, to, message, hint)
        })?;
        self.at += number.length;
        self.refuse_foreign(from)?;
        Ok(number)
    }

    /// Forms of numbers that other places use and that must never be read as something else.
    fn refuse_foreign(&self, from: usize) -> Result<(), ReadSlip> {
        let rest = self.rest();
        let digit_after = |n: usize| rest.as_bytes().get(n).is_some_and(u8::is_ascii_digit);
        let to = self.at + 1 + rest.bytes().skip(1).take_while(|b| b.is_ascii_digit() || matches!(b, b',' | b'.' | b'_')).count();
        if rest.starts_with(',') && digit_after(1) {
            let written = &self.text[from..to];
            return Err(self.slip(from, to, format!("a comma in the number `{written}`"), comma_hint(written)));
        }
        if rest.starts_with('_') || rest.starts_with('.') {
            return Err(self.slip(from, to, "a number with marks between its digits", "write plain digits with one point at most"));
        }
        if (rest.starts_with('e') || rest.starts_with('E')) && (digit_after(1) || rest.len() > 2 && digit_after(2)) {
            return Err(self.slip(from, to, "a number with an exponent", "write it out in plain digits"));
        }
        Ok(())
    }

    fn measure(&mut self) -> Result<Reading, ReadSlip> {
        let from = self.at;
        let first = self.number()?;
        self.skip_blanks();
        let Some(unit) = self.unit(from)? else {
            return Ok(Reading { value: first.value, tolerance: None, unit: None, decimals: first.decimals, last: None });
        };
        let mut value = self.in_base(unit, first.value, from)?;
        let mut reading = Reading { value, tolerance: None, unit: Some(unit), decimals: first.decimals, last: None };
        let mut last = unit;
        while let Some(next_from) = self.next_part() {
            let number = self.number()?;
            self.skip_blanks();
            let Some(unit) = self.unit(next_from)? else {
                return Err(self.slip(next_from, self.at, "a second number without a unit", "write its unit, as in 16 ft 6 in"));
            };
            let part = self.in_base(unit, number.value, next_from)?;
            if unit.kind() != UnitKind::Measure
                || unit.dimension() != last.dimension()
                || unit.kind() != last.kind()
                || unit.factor() >= last.factor()
                || number.value.is_negative()
            {
                let message = format!("{} after {}", unit.symbol(), last.symbol());
                return Err(self.slip(next_from, self.at, message, "parts go from the large unit to the small one, as in 16 ft 6 in"));
            }
            let signed = if reading.value.is_negative() { part.negated() } else { part };
            value = value.add(signed).ok_or_else(|| self.slip(from, self.at, "too many digits", "write fewer digits"))?;
            reading = Reading { value, decimals: number.decimals, last: Some(unit), ..reading };
            last = unit;
        }
        Ok(reading)
    }

    /// Where a further part of the same measure starts, such as the `6 in` of `16 ft 6 in` or the `-6"` of `5'-6"`.
    fn next_part(&mut self) -> Option<usize> {
        let back = self.at;
        self.skip_blanks();
        // A hyphen joins feet and inches only where nothing stands between, as in 5'-6".
        if self.rest().starts_with('-') && self.at == back {
            self.at += 1;
        }
        if self.rest().starts_with(|c: char| c.is_ascii_digit()) {
            return Some(self.at);
        }
        self.at = back;
        None
    }

    fn in_base(&self, unit: Unit, number: Exact, from: usize) -> Result<Exact, ReadSlip> {
        if unit.kind() == UnitKind::Wire {
            return Err(self.slip(from, self.at, "a wire size where a measure is wanted", "write a measure with its unit"));
        }
        unit.to_base(number).ok_or_else(|| self.slip(from, self.at, "too many digits", "write fewer digits"))
    }

    fn unit(&mut self, from: usize) -> Result<Option<Unit>, ReadSlip> {
        let rest = self.rest();
        let length = match rest.chars().next() {
            Some('"' | '″' | '\'' | '′' | '%') => rest.chars().next().map_or(0, char::len_utf8),
            _ => rest
                .find(|c: char| {
                    !(c.is_alphabetic()
                        || matches!(c, '°' | 'µ' | '\u{3a9}' | '\u{2126}' | '/' | '²' | '³' | '^' | '·' | '.')
                        || unit_tail(rest, c))
                })
                .unwrap_or(rest.len()),
        };
        if length == 0 {
            return Ok(None);
        }
        let symbol = &rest[..length];
        let Some(unit) = Unit::named(symbol) else {
            let hint = suggest_unit(symbol);
            return Err(self.slip(self.at, self.at + length, format!("`{symbol}` is no unit known here"), hint));
        };
        self.at += length;
        if matches!(symbol, "µ") && from == self.at {
            return Ok(None);
        }
        Ok(Some(unit))
    }

    fn tolerance(&mut self, reading: &mut Reading) -> Result<(), ReadSlip> {
        self.skip_blanks();
        let sign = ["+/-", "±"].into_iter().find(|sign| self.rest().starts_with(sign));
        let Some(sign) = sign else { return Ok(()) };
        self.at += sign.len();
        self.skip_blanks();
        let from = self.at;
        let number = self.number()?;
        self.skip_blanks();
        let own = self.unit(from)?;
        if own.is_none() && reading.last.is_some() {
            return Err(self.slip(
                from,
                self.at,
                "a tolerance without a unit beside several units",
                "write its unit, as in 16 ft 6 in +/- 1/4 in",
            ));
        }
        let unit = own.or(reading.unit);
        let same = unit.map(|u| (u.dimension(), u.kind())) == reading.unit.map(|u| (u.dimension(), u.kind()));
        if !same || number.value.is_negative() {
            return Err(self.slip(
                from,
                self.at,
                "a tolerance of another kind than its value",
                "write it in a unit of the same kind, as in 21 in +/- 1/4 in",
            ));
        }
        // A tolerance is a difference, so a temperature scale's offset does not take part.
        let factor = unit.map_or(Exact::ONE, Unit::factor);
        let value = number.value.mul(factor);
        reading.tolerance = Some(value.ok_or_else(|| self.slip(from, self.at, "too many digits", "write fewer digits"))?);
        Ok(())
    }

    /// A printed twin in brackets: the first value governs, the twin must agree to its last digit.
    fn twin(&mut self, reading: &Reading) -> Result<(), ReadSlip> {
        self.skip_blanks();
        if !self.rest().starts_with('(') {
            return Ok(());
        }
        let from = self.at;
        self.at += 1;
        self.skip_blanks();
        let twin = self.measure()?;
        self.skip_blanks();
        if !self.rest().starts_with(')') {
            return Err(self.slip(from, self.at, "a bracket that is not closed", "close it after the unit"));
        }
        self.at += 1;
        let (Some(unit), Some(first)) = (twin.unit, reading.unit) else {
            return Err(self.slip(from, self.at, "a twin in brackets without a unit", "write its unit, as in 30 in (762 mm)"));
        };
        if unit.dimension() != first.dimension() || unit.kind() != first.kind() {
            return Err(self.slip(from, self.at, "a twin of another kind", "both must measure the same thing"));
        }
        // A fraction must come out as exactly as a length of thousandths would.
        let last = twin.last.unwrap_or(unit);
        let digit = Exact::whole(10).pow(twin.decimals.unwrap_or(3)).and_then(|ten| last.factor().div(ten));
        let miss = twin.value.sub(reading.value).map(Exact::size);
        let agrees = digit.zip(miss).and_then(|(digit, miss)| miss.add(miss).map(|twice| twice <= digit));
        if agrees == Some(true) {
            return Ok(());
        }
        let shown = super::show::in_unit(reading.value, unit);
        Err(self.slip(
            from,
            self.at,
            "the twin in brackets is not the same length of thing",
            format!("the first value is {shown}; the first governs"),
        ))
    }

    fn leftover(&self, reading: &Reading) -> ReadSlip {
        let rest = self.rest();
        let word = &rest[..rest.find(' ').unwrap_or(rest.len())];
        let hint = match reading.unit {
            Some(_) => "only a tolerance (+/-) or a twin in brackets may follow".to_string(),
            None => suggest_unit(word),
        };
        self.slip(self.at, self.at + word.len(), format!("`{word}` is left over after the value"), hint)
    }
}

/// What a comma may have meant: before three digits it is a thousands mark as often as a point, a thousandfold difference.
fn comma_hint(written: &str) -> String {
    let groups: Vec<&str> = written.split(',').collect();
    let thousands = groups.iter().skip(1).all(|group| group.len() == 3) && written.bytes().all(|b| b.is_ascii_digit() || b == b',');
    let (plain, point) = (written.replace(',', ""), written.replacen(',', ".", 1));
    match (thousands, groups.len()) {
        (true, 2) => format!("write {plain} if the comma marks thousands, {point} if it is a decimal point"),
        (true, _) => format!("write {plain}, with no thousands marks"),
        _ => format!("write {point}, with a point and no thousands marks"),
    }
}

/// Digits belong to a unit only as a power (`m^2`), and a hyphen only between letters (`ft-lbf`).
fn unit_tail(rest: &str, c: char) -> bool {
    match c {
        '2' | '3' => rest.find(c).is_some_and(|at| rest[..at].ends_with('^')),
        '-' => rest.find(c).is_some_and(|at| {
            rest[..at].ends_with(|b: char| b.is_ascii_alphabetic()) && rest[at + 1..].starts_with(|b: char| b.is_ascii_alphabetic())
        }),
        _ => false,
    }
}

/// The unit that a wrong symbol most likely meant.
pub fn suggest_unit(symbol: &str) -> String {
    let lower = symbol.to_lowercase();
    let plain = match lower.trim_end_matches('.') {
        "inch" | "inches" => "in",
        "foot" | "feet" => "ft",
        "yard" | "yards" => "yd",
        "millimetre" | "millimetres" | "millimeter" | "millimeters" => "mm",
        "centimetre" | "centimetres" | "centimeter" | "centimeters" => "cm",
        "metre" | "metres" | "meter" | "meters" => "m",
        "pound" | "pounds" => "lb (mass) or lbf (force)",
        "second" | "seconds" => "s",
        "minute" | "minutes" => "min",
        "hour" | "hours" => "h",
        "degree" | "degrees" => "deg",
        "volt" | "volts" => "V",
        "amp" | "amps" | "ampere" | "amperes" => "A",
        "milliamp" | "milliamps" => "mA",
        "watt" | "watts" => "W",
        "ohms" => "ohm",
        "newton" | "newtons" => "N",
        "percent" => "%",
        "c" | "celsius" => "°C",
        "f" | "fahrenheit" => "°F",
        "fps" => "ft/s",
        "ips" => "in/s",
        "#" => "lb",
        _ => "",
    };
    if !plain.is_empty() {
        return format!("write {plain}");
    }
    if let Some(unit) = Unit::symbols().find(|known| known.to_lowercase() == lower) {
        return format!("write {unit}");
    }
    suggest(symbol, Unit::symbols()).unwrap_or_else(|| "write a unit such as in, ft, mm, m, s, V, A, lb, N, deg or %".into())
}
