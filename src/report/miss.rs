//! By how much a finding misses, in a form that is kept in a file and compared later: a number, its unit, and how far the reading
//! may be off. It must not know what is done with it.

use crate::judge::explain::Reason;
use crate::quantity::number_text::number_at;
use crate::quantity::show::rounded;
use crate::quantity::{Exact, Unit};
use std::fmt;

/// Decimal places that are kept of a number that does not end.
const PLACES: u32 = 9;

/// A distance from a limit; negative where a reading within its tolerance lies on the right side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Miss {
    /// How far on the wrong side, in base units.
    amount: Exact,
    /// How far off the reading may be, in base units.
    spread: Exact,
    /// The unit that it is written in; without one, base units.
    unit: Option<Unit>,
}

impl Miss {
    /// The miss of a comparison of numbers.
    pub fn of(reason: &Reason) -> Option<Miss> {
        let (value, limit) = reason.numbers.as_ref()?;
        let reading = value.interval.middle()?;
        let over = reading.sub(limit.interval.middle()?)?;
        let amount = if reason.at_most? { over } else { over.negated() };
        Some(Miss { amount, spread: value.interval.hi?.sub(reading)?, unit: value.unit.or(limit.unit) })
    }

    /// Reads what [`Miss::text`] wrote. The error is a sentence.
    ///
    /// # Errors
    /// Where it is no such text.
    pub fn read(text: &str) -> Result<Miss, String> {
        let (amount, spread) = text.split_once(" +/- ").map_or((text, None), |(amount, spread)| (amount, Some(spread)));
        let (amount, unit) = number_and_unit(amount)?;
        let spread = match spread.map(number_and_unit).transpose()? {
            None => Exact::ZERO,
            Some((_, other)) if other != unit => return Err(format!("two units in `{text}`")),
            Some((spread, _)) if spread.is_negative() => return Err(format!("a tolerance below nought in `{text}`")),
            Some((spread, _)) => spread,
        };
        Ok(Miss { amount, spread, unit })
    }

    /// Whether it is worse than what was agreed, by more than the tolerance of what was agreed. What cannot be compared is worse.
    pub fn is_worse_than(&self, agreed: &Miss) -> bool {
        let alike = self.unit.map(Unit::dimension) == agreed.unit.map(Unit::dimension);
        let most = agreed.amount.add(agreed.spread);
        !alike || most.is_none_or(|most| self.amount > most)
    }

    /// As it is kept. Nothing where it has too many digits to be kept. What is cut is cut so that the kept miss lets no more pass
    /// than a thousand-millionth of its unit, and its own finding always.
    pub fn text(&self) -> Option<String> {
        let factor = self.unit.map_or(Exact::ONE, Unit::factor);
        let symbol = self.unit.map_or_else(String::new, |unit| format!(" {}", unit.symbol()));
        let amount = kept(self.amount.div(factor)?, Exact::ceiling)?;
        if self.spread.is_zero() {
            return Some(format!("{amount}{symbol}"));
        }
        Some(format!("{amount}{symbol} +/- {}{symbol}", kept(self.spread.div(factor)?, Exact::floor)?))
    }
}

impl fmt::Display for Miss {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text().unwrap_or_else(|| "too many digits to be kept".into()))
    }
}

fn kept(number: Exact, cut: fn(Exact) -> i128) -> Option<String> {
    let places = number.decimals(PLACES);
    let number = match places {
        Some(_) => number,
        None => {
            let scale = Exact::whole(10i128.pow(PLACES));
            Exact::whole(cut(number.mul(scale)?)).div(scale)?
        }
    };
    let text = rounded(number, number.decimals(PLACES)?);
    (number_at(&text).ok()?.value == number).then_some(text)
}

fn number_and_unit(text: &str) -> Result<(Exact, Option<Unit>), String> {
    let number = number_at(text).map_err(|(what, hint)| format!("{what}: {hint}"))?;
    let symbol = text[number.length..].trim();
    let unit = match symbol {
        "" => None,
        symbol => Some(Unit::named(symbol).ok_or_else(|| format!("no unit `{symbol}`"))?),
    };
    let value = number.value.mul(unit.map_or(Exact::ONE, Unit::factor)).ok_or("a number with too many digits")?;
    Ok((value, unit))
}
