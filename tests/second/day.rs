//! Civil days as plain numbers, counted from 1970-01-01. Years of the generator lie between 1990 and 2060, so the plain
//! four-year rule with its exception at full centuries is enough.

pub type Day = i64;

fn leap(year: i64) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

pub fn length_of_month(year: i64, month: i64) -> i64 {
    match month {
        2 if leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

pub fn day(year: i64, month: i64, of_month: i64) -> Day {
    let years: i64 = (1970..year).map(|y| if leap(y) { 366 } else { 365 }).sum();
    let months: i64 = (1..month).map(|m| length_of_month(year, m)).sum();
    years + months + of_month - 1
}

pub fn civil(mut rest: Day) -> (i64, i64, i64) {
    let mut year = 1970;
    while rest >= if leap(year) { 366 } else { 365 } {
        rest -= if leap(year) { 366 } else { 365 };
        year += 1;
    }
    let mut month = 1;
    while rest >= length_of_month(year, month) {
        rest -= length_of_month(year, month);
        month += 1;
    }
    (year, month, rest + 1)
}

/// The same day of a later month; where that month is too short, its last day.
pub fn months_later(from: Day, months: i64) -> Day {
    let (year, month, of_month) = civil(from);
    let count = year * 12 + (month - 1) + months;
    let (year, month) = (count.div_euclid(12), count.rem_euclid(12) + 1);
    day(year, month, of_month.min(length_of_month(year, month)))
}

pub fn text(at: Day) -> String {
    let (year, month, of_month) = civil(at);
    format!("{year:04}-{month:02}-{of_month:02}")
}

#[test]
fn days_come_back() {
    for at in [0, 58, 59, 60, 11016, 11017, 20454, 20500] {
        let (y, m, d) = civil(at);
        assert_eq!(day(y, m, d), at);
    }
    assert_eq!(text(day(2024, 2, 29)), "2024-02-29");
    assert_eq!(text(months_later(day(2024, 1, 31), 1)), "2024-02-29");
    assert_eq!(text(months_later(day(2024, 2, 29), 12)), "2025-02-28");
    assert_eq!(text(months_later(day(2024, 11, 30), 3)), "2025-02-28");
}
