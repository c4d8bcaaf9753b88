//! Owns the days of a year and their Julian numbers. It must not know the sun.

use crate::reckon::unreckonable::Unreckonable;

/// First and last year taken: the years in which the difference between atomic and universal time is known or fairly foreseen.
pub(super) const YEARS: (i32, i32) = (1900, 2199);

/// A day of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Year, 1900 to 2199.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

const MONTHS: [u16; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

fn month_length(year: i32, month: usize) -> u16 {
    MONTHS.get(month).copied().unwrap_or(0) + u16::from(month == 1 && is_leap(year))
}

/// Days in a year, 365 or 366.
pub fn days_in_year(year: i32) -> u16 {
    365 + u16::from(is_leap(year))
}

impl Day {
    /// The day by its number in the year, 1 for the first of January. Errors: a number that the year does not have, a year outside of 1900
    /// to 2199.
    pub fn of_year(year: i32, number: u16) -> Result<Self, Unreckonable> {
        let mut left = number;
        for month in 0..12_u8 {
            let length = month_length(year, usize::from(month));
            if (1..=length).contains(&left) {
                let day = Self { year, month: month + 1, day: u8::try_from(left).unwrap_or(0) };
                return day.checked();
            }
            left = left.saturating_sub(length);
        }
        Err(Unreckonable::Outside { what: "day of the year", value: f64::from(number), least: 1.0, most: f64::from(days_in_year(year)) })
    }

    /// The same day if there is one. Errors: a day that the calendar does not have, a year outside of 1900 to 2199.
    pub fn checked(self) -> Result<Self, Unreckonable> {
        let Self { year, month, day } = self;
        if !(YEARS.0..=YEARS.1).contains(&year) {
            let (least, most) = (f64::from(YEARS.0), f64::from(YEARS.1));
            return Err(Unreckonable::Outside { what: "year", value: f64::from(year), least, most });
        }
        let length = usize::from(month).checked_sub(1).map_or(0, |at| month_length(year, at));
        if (1..=length).contains(&u16::from(day)) { Ok(self) } else { Err(Unreckonable::NoSuchDay { year, month, day }) }
    }

    /// Julian date of the day's beginning in universal time. Errors: as for [`Day::checked`].
    pub(super) fn julian(self) -> Result<f64, Unreckonable> {
        let number = i64::from(day_of_year(self)?);
        let before = i64::from(self.year) - 1;
        // 1721425.5 is 1 January of year 1 in the calendar of today carried back.
        let days = before * 365 + before / 4 - before / 100 + before / 400 + number - 1;
        Ok(1_721_425.5 + days as f64)
    }
}

/// The number of a day in its year, 1 for the first of January. Errors: as for [`Day::checked`].
pub fn day_of_year(day: Day) -> Result<u16, Unreckonable> {
    let day = day.checked()?;
    let earlier: u16 = (0..usize::from(day.month) - 1).map(|month| month_length(day.year, month)).sum();
    Ok(earlier + u16::from(day.day))
}
