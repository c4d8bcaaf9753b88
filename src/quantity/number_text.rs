//! Reads one plain number: a decimal, a fraction, a whole number and a fraction. It must not know units.

use super::exact::Exact;

/// Most digits that a number may have; more do not fit the exact arithmetic.
pub const MOST_DIGITS: usize = 30;

/// A number as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Number {
    /// Its value.
    pub value: Exact,
    /// Digits after the point; `None` when it was written as a fraction.
    pub decimals: Option<u32>,
    /// Bytes that it takes.
    pub length: usize,
}

/// Reads a number at the start of `text`. The error is a sentence and what to do.
pub fn number_at(text: &str) -> Result<Number, (String, String)> {
    let negative = text.starts_with('-');
    let sign = usize::from(negative);
    let mut number = unsigned_at(&text[sign..])?;
    number.length += sign;
    if negative && number.value.is_zero() {
        return Err(("a sign before nought".into(), "write 0".into()));
    }
    if negative {
        number.value = number.value.negated();
    }
    Ok(number)
}

fn unsigned_at(text: &str) -> Result<Number, (String, String)> {
    let digits = count_digits(text);
    if digits == 0 {
        return Err(not_a_number(text));
    }
    if digits > 1 && text.starts_with('0') {
        let plain = text[..digits].trim_start_matches('0');
        let plain = if plain.is_empty() { "0" } else { plain };
        return Err((format!("`{}` starts with a nought", &text[..digits]), format!("write {plain}")));
    }
    let rest = &text[digits..];
    if let Some((lower, length)) = slash(rest) {
        let number = fraction(&text[..digits], lower, digits + length)?;
        // `21/4` is as likely a 2 1/4 without its blank, less than half of it.
        if number.value >= Exact::ONE {
            return Err((
                format!("the fraction `{}` is not less than one", &text[..number.length]),
                "write the whole number, a blank and the fraction, as in 2 1/4".into(),
            ));
        }
        return Ok(number);
    }
    if let Some(after) = rest.strip_prefix('.') {
        let places = count_digits(after);
        if places == 0 {
            return Err(("a point with no digits after it".into(), "write the digits after the point, or leave the point out".into()));
        }
        return decimal(&text[..digits], &after[..places]);
    }
    let whole = whole(&text[..digits])?;
    if let Some((part, length)) = mixed(rest)? {
        let value = whole.add(part).ok_or_else(too_long)?;
        return Ok(Number { value, decimals: None, length: digits + length });
    }
    Ok(Number { value: whole, decimals: Some(0), length: digits })
}

fn count_digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// `/8` after a whole number.
fn slash(rest: &str) -> Option<(&str, usize)> {
    let after = rest.strip_prefix('/')?;
    let digits = count_digits(after);
    (digits > 0).then(|| (&after[..digits], digits + 1))
}

/// ` 1/4`, `-1/4` or `¼` after a whole number, with the bytes that it takes.
fn mixed(rest: &str) -> Result<Option<(Exact, usize)>, (String, String)> {
    let blanks = rest.bytes().take_while(|byte| *byte == b' ').count();
    let joined = &rest[blanks..];
    let lead = if blanks == 0 && joined.starts_with('-') { 1 } else { 0 };
    let body = &joined[lead..];
    if let Some((value, length)) = vulgar(body).filter(|_| lead == 0) {
        return Ok(Some((value, blanks + length)));
    }
    let digits = count_digits(body);
    if digits == 0 || blanks == 0 && lead == 0 {
        return Ok(None);
    }
    let Some((lower, length)) = slash(&body[digits..]) else { return Ok(None) };
    let part = fraction(&body[..digits], lower, digits + length)?;
    if part.value >= Exact::ONE {
        return Err((
            format!("`{}` beside a whole number is not less than one", &body[..part.length]),
            "write the sum as one number".into(),
        ));
    }
    Ok(Some((part.value, blanks + lead + part.length)))
}

fn vulgar(text: &str) -> Option<(Exact, usize)> {
    let sign = text.chars().next()?;
    let (upper, lower) = match sign {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Some((Exact::ratio(upper, lower)?, sign.len_utf8()))
}

fn whole(digits: &str) -> Result<Exact, (String, String)> {
    if digits.len() > MOST_DIGITS {
        return Err(too_long());
    }
    digits.parse().map(Exact::whole).map_err(|_| too_long())
}

fn fraction(upper: &str, lower: &str, length: usize) -> Result<Number, (String, String)> {
    let value = whole(upper)?.div(whole(lower)?);
    let value = value.ok_or_else(|| ("a fraction over nought".to_string(), "write a number under the line".to_string()))?;
    Ok(Number { value, decimals: None, length })
}

fn decimal(whole_part: &str, places: &str) -> Result<Number, (String, String)> {
    if whole_part.len() + places.len() > MOST_DIGITS {
        return Err(too_long());
    }
    let digits = whole(&format!("{whole_part}{places}"))?;
    let decimals = u32::try_from(places.len()).map_err(|_| too_long())?;
    let scale = Exact::whole(10).pow(decimals).ok_or_else(too_long)?;
    let value = digits.div(scale).ok_or_else(too_long)?;
    Ok(Number { value, decimals: Some(decimals), length: whole_part.len() + 1 + places.len() })
}

fn too_long() -> (String, String) {
    (format!("a number with more than {MOST_DIGITS} digits"), "no tape reads so finely; write fewer digits".into())
}

fn not_a_number(text: &str) -> (String, String) {
    if text.starts_with('+') {
        return ("a plus sign before a number".into(), "leave the sign out".into());
    }
    if text.starts_with('.') && count_digits(&text[1..]) > 0 {
        return ("a number without a digit before its point".into(), format!("write 0{}", &text[..=count_digits(&text[1..])]));
    }
    // `± 2 mm`, `>= 500 mm`, `ca. 26 in`: what stands before the number is left out, never read over.
    let before = &text[..text.find(|c: char| c.is_ascii_digit()).unwrap_or(0)];
    let sign = before.trim();
    if !sign.is_empty() && sign.chars().count() <= 6 && !sign.contains(char::is_whitespace) {
        let hint = "begin with the number that was read; how far it may be off goes behind it, as in 21 in +/- 1/4 in";
        return (format!("`{sign}` before the number"), hint.into());
    }
    ("a number is missing".into(), "write digits, as in 26, 2.5 or 2 1/4".into())
}
