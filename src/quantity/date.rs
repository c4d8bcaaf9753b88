//! Days, partly known days and periods. Months are never turned into days. It must not know where a date came from.

use jiff::Span;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A day, or a year or month of which the day is not known: every day from the first to the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Days {
    /// First day that it may be.
    pub first: Date,
    /// Last day that it may be.
    pub last: Date,
}

/// A length of time by the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Period {
    /// Whole months.
    pub months: i32,
    /// Whole days besides.
    pub days: i32,
}

impl Days {
    /// One day.
    pub fn day(date: Date) -> Days {
        Days { first: date, last: date }
    }

    /// Whether the day is known.
    pub fn is_known(self) -> bool {
        self.first == self.last
    }

    /// Reads `2026-03-02`, `2026-03` or `2026`. The error is a sentence and what to do.
    pub fn read(text: &str) -> Result<Days, (String, String)> {
        let parts: Vec<&str> = text.trim().split('-').collect();
        let widths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
        let digits = parts.iter().all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit()));
        if !digits || !matches!(widths.as_slice(), [4] | [4, 2] | [4, 2, 2]) {
            let other_order = text.contains(['/', '.']) || matches!(widths.as_slice(), [1 | 2, 1 | 2, 2 | 4] | [4, 1 | 2, 1 | 2]);
            let numbers = text.trim().split(['/', '.', '-']).all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit()));
            if let ([4, _, _], true, Ok([year, month, day])) = (widths.as_slice(), digits, <[&str; 3]>::try_from(parts.as_slice())) {
                let hint = format!("write the month and the day with two digits: {year}-{month:0>2}-{day:0>2}");
                return Err((format!("`{text}` is no date as it is written here"), hint));
            }
            if other_order && numbers {
                let hint = "write year-month-day, each in full, as in 2026-03-02 for 2 March; which number is the day and which the month is not guessed";
                return Err((format!("`{text}` is no date as it is written here"), hint.into()));
            }
            return Err((
                format!("`{text}` is no date"),
                "write year-month-day, as in 2026-03-02; a month (2026-03) or a year (2026) will do where no more is known".into(),
            ));
        }
        let number = |index: usize| parts.get(index).and_then(|part| part.parse::<i16>().ok());
        let wrong = || (format!("`{text}` is no day of the calendar"), "write year-month-day, as in 2026-03-02".to_string());
        let year = number(0).filter(|year| *year >= 1000).ok_or_else(wrong)?;
        let date =
            |month: i16, day: i16| Date::new(year, i8::try_from(month).unwrap_or(0), i8::try_from(day).unwrap_or(0)).map_err(|_| wrong());
        match (number(1), number(2)) {
            (None, _) => Ok(Days { first: date(1, 1)?, last: date(12, 31)? }),
            (Some(month), None) => {
                let first = date(month, 1)?;
                Ok(Days { first, last: first.last_of_month() })
            }
            (Some(month), Some(day)) => date(month, day).map(Days::day),
        }
    }

    /// The day so much later; `None` outside the calendar.
    pub fn later(self, period: Period) -> Option<Days> {
        let shift = |date: Date| {
            let months = date.checked_add(Span::new().try_months(period.months).ok()?).ok()?;
            months.checked_add(Span::new().try_days(period.days).ok()?).ok()
        };
        Some(Days { first: shift(self.first)?, last: shift(self.last)? })
    }
}

impl Period {
    /// The same length backwards.
    pub fn negated(self) -> Option<Period> {
        Some(Period { months: self.months.checked_neg()?, days: self.days.checked_neg()? })
    }

    /// Both together.
    pub fn add(self, other: Period) -> Option<Period> {
        Some(Period { months: self.months.checked_add(other.months)?, days: self.days.checked_add(other.days)? })
    }
}

impl fmt::Display for Days {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_known() { write!(f, "{}", self.first) } else { write!(f, "some day from {} to {}", self.first, self.last) }
    }
}

impl fmt::Display for Period {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = |number: i32, one: &str| if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") };
        match (self.months, self.days) {
            (months, 0) if months != 0 && months % 12 == 0 => f.write_str(&count(months / 12, "year")),
            (months, 0) if months != 0 => f.write_str(&count(months, "month")),
            (0, days) => f.write_str(&count(days, "day")),
            (months, days) => write!(f, "{} and {}", count(months, "month"), count(days, "day")),
        }
    }
}
