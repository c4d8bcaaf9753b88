//! Small readers and writers: fractions as one sign, days, periods, wire sizes, floating numbers taken apart. Each line is a case.

use super::value;
use pintle::quantity::{Days, Exact, Period, Wire, read};

#[test]
fn fractions_as_one_sign() {
    // The signs of Unicode's number forms: what each stands for is its name.
    for (sign, eighths) in [('½', 4), ('¼', 2), ('¾', 6), ('⅛', 1), ('⅜', 3), ('⅝', 5), ('⅞', 7)] {
        let wanted = Exact::ratio(16 + eighths, 8).and_then(|inches| inches.mul(value("1 in")));
        for text in [format!("2{sign} in"), format!("2 {sign} in"), format!("2{sign}\""), format!("0 ft 2{sign} in")] {
            assert_eq!(Some(value(&text)), wanted, "{text}");
        }
    }
}

#[test]
fn what_is_told_of_a_number_that_is_none() {
    let longest = ["0.12345678901234567890123456789", "123456789012345.678901234567890", "123456789012345678901234567890"];
    for text in longest {
        assert!(read(text).is_ok(), "{text} has 30 digits");
    }
    for (text, message, hint) in [
        ("+26 in", "a plus sign before a number", "leave the sign out"),
        (".5 in", "a number without a digit before its point", "write 0.5"),
        (".25", "a number without a digit before its point", "write 0.25"),
        (". in", "a number is missing", "write digits"),
        (".in", "a number is missing", "write digits"),
        ("in", "a number is missing", "write digits"),
        ("0.123456789012345678901234567890", "more than 30 digits", "write fewer digits"),
        ("1234567890123456789012345678901", "more than 30 digits", "write fewer digits"),
        ("1/1234567890123456789012345678901", "more than 30 digits", "write fewer digits"),
        ("1/0 in", "a fraction over nought", "under the line"),
        ("5. in", "a point with no digits after it", "leave the point out"),
        ("007 in", "`007` starts with a nought", "write 7"),
        ("00 in", "`00` starts with a nought", "write 0"),
        ("-0 in", "a sign before nought", "write 0"),
        ("2 9/8 in", "`9/8` beside a whole number is not less than one", "as one number"),
        ("2 8/8 in", "`8/8` beside a whole number is not less than one", "as one number"),
    ] {
        let slip = read(text).expect_err(text);
        assert!(slip.message.contains(message) && slip.hint.contains(hint), "{text}: {} / {}", slip.message, slip.hint);
    }
    // A line with nothing under or over it is no fraction, and no number of too many digits.
    for text in ["26/ in", "26 / in", "26 /4 in", "26-/4 in", "26-in", "26 -in"] {
        let slip = read(text).expect_err(text);
        assert!(!slip.message.contains("30 digits"), "{text}: {}", slip.message);
    }
}

#[test]
fn days_and_what_is_told_of_them() {
    for (text, first, last, shown) in [
        ("2026-03-02", "2026-03-02", "2026-03-02", "2026-03-02"),
        (" 2024-02-29 ", "2024-02-29", "2024-02-29", "2024-02-29"),
        ("2026-02", "2026-02-01", "2026-02-28", "some day from 2026-02-01 to 2026-02-28"),
        ("2024-02", "2024-02-01", "2024-02-29", "some day from 2024-02-01 to 2024-02-29"),
        ("2026", "2026-01-01", "2026-12-31", "some day from 2026-01-01 to 2026-12-31"),
        ("1000", "1000-01-01", "1000-12-31", "some day from 1000-01-01 to 1000-12-31"),
    ] {
        let days = Days::read(text).expect(text);
        assert_eq!((days.first.to_string(), days.last.to_string(), days.to_string()), (first.into(), last.into(), shown.into()), "{text}");
        assert_eq!(days.is_known(), first == last, "{text}");
    }
    let (form, no_date, no_day) = ("as it is written here", "is no date", "no day of the calendar");
    for (text, told) in [
        ("2/3/2026", form),
        ("2.3.2026", form),
        ("02-03-2026", form),
        ("2-3-26", form),
        ("2026/03/02", form),
        ("20x6-01-02", no_date),
        ("2026-01-0x", no_date),
        ("2026--02", no_date),
        ("2026-01-", no_date),
        ("2026-01-02-03", no_date),
        ("26", no_date),
        ("2/x/2026", no_date),
        ("", no_date),
        ("2026-13", no_day),
        ("2026-02-29", no_day),
        ("2026-00-01", no_day),
        ("0999", no_day),
        ("0000-01-01", no_day),
    ] {
        let (message, hint) = Days::read(text).expect_err(text);
        assert!(message.contains(told) && hint.contains("year-month-day"), "{text}: {message} / {hint}");
        assert_eq!(message.contains(form), told == form, "{text}: {message}");
    }
    let (message, hint) = Days::read("2026-3-2").expect_err("digits are missing");
    assert!(message.contains(form) && hint.ends_with("2026-03-02"), "{message} / {hint}");
}

#[test]
fn periods() {
    for (months, days, shown) in [
        (12, 0, "1 year"),
        (24, 0, "2 years"),
        (36, 0, "3 years"),
        (1, 0, "1 month"),
        (6, 0, "6 months"),
        (13, 0, "13 months"),
        (18, 0, "18 months"),
        (0, 1, "1 day"),
        (0, 0, "0 days"),
        (0, 30, "30 days"),
        (1, 2, "1 month and 2 days"),
        (12, 1, "12 months and 1 day"),
        (18, 10, "18 months and 10 days"),
    ] {
        let period = Period { months, days };
        assert_eq!(period.to_string(), shown);
        assert_eq!(period.negated(), Some(Period { months: -months, days: -days }));
        let more = Period { months: 5, days: 7 };
        assert_eq!(period.add(more), Some(Period { months: months + 5, days: days + 7 }));
    }
    let (most, least) = (Period { months: i32::MAX, days: 0 }, Period { months: 0, days: i32::MIN });
    assert_eq!((most.add(Period { months: 1, days: 0 }), least.negated(), least.add(Period { months: 0, days: -1 })), (None, None, None));
    let later = |day: &str, months, days| Days::read(day).expect(day).later(Period { months, days }).map(|days| days.to_string());
    // A month that is too short ends earlier; months go before days.
    assert_eq!(later("2026-01-31", 1, 0).as_deref(), Some("2026-02-28"));
    assert_eq!(later("2026-01-31", 1, 1).as_deref(), Some("2026-03-01"));
    assert_eq!(later("2026-02", 12, 0).as_deref(), Some("some day from 2027-02-01 to 2027-02-28"));
    for (months, days) in [(i32::MAX, 0), (i32::MIN, 0), (0, i32::MAX), (0, i32::MIN), (239_977, 0), (100_000, 0)] {
        assert_eq!(later("2026-01-31", months, days), None, "{months} months and {days} days later");
    }
}

#[test]
fn wire_sizes() {
    for (text, shown) in [
        ("12 AWG", "12 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("1/0 AWG", "1/0 AWG"),
        ("4/0 AWG", "4/0 AWG"),
        ("40 AWG", "40 AWG"),
        ("250 kcmil", "250 kcmil"),
        ("2.5 mm²", "2.5 mm²"),
        ("2.5 mm2", "2.5 mm²"),
        ("2.5 mm^2", "2.5 mm²"),
    ] {
        assert_eq!(Wire::read(text).map(|wire| wire.to_string()).as_deref(), Ok(shown), "{text}");
    }
    for wrong in
        ["0 mm²", "-1 mm²", "0 kcmil", "-1 kcmil", "-1 AWG", "41 AWG", "2.5 AWG", "0/0 AWG", "5/0 AWG", "12", "AWG", "/0 AWG", "12 mm"]
    {
        assert!(Wire::read(wrong).is_err(), "{wrong} was read as {:?}", Wire::read(wrong));
    }
    let thinner = |one: &str, other: &str| Wire::read(one).expect(one).thinner_than(Wire::read(other).expect(other));
    for (one, other, wanted) in [
        ("14 AWG", "12 AWG", true),
        ("12 AWG", "12 AWG", false),
        ("1/0 AWG", "1 AWG", false),
        ("1 AWG", "1/0 AWG", true),
        ("3/0 AWG", "4/0 AWG", true),
        ("1.5 mm²", "2.5 mm²", true),
        ("2.5 mm²", "2.5 mm²", false),
        ("2.5 mm²", "1.5 mm²", false),
        ("250 kcmil", "250 kcmil", false),
        ("250 kcmil", "300 kcmil", true),
        // 12 AWG is 3.31 mm², 4/0 AWG 107.2 mm² and 211.6 kcmil: ASTM B258, from memory.
        ("12 AWG", "4 mm²", true),
        ("12 AWG", "2.5 mm²", false),
        ("4/0 AWG", "250 kcmil", true),
        ("211 kcmil", "4/0 AWG", true),
        ("212 kcmil", "4/0 AWG", false),
    ] {
        assert_eq!(thinner(one, other), Some(wanted), "{one} thinner than {other}");
    }
    let area = Wire::read("12 AWG").expect("a size").area();
    assert!(area.lo > Some(value("3.308")) && area.lo < area.hi && area.hi < Some(value("3.309")), "{area:?}");
}

#[test]
fn fractions_and_floating_numbers() {
    let two = |power: i32| f64::from(power).exp2();
    let of = |upper: i128, lower: i128| Exact::ratio(upper, lower);
    for (number, wanted) in [
        (0.0, of(0, 1)),
        (-0.0, of(0, 1)),
        (1.0, of(1, 1)),
        (-0.75, of(-3, 4)),
        (12.5, of(25, 2)),
        (-10.0, of(-10, 1)),
        (two(70), of(1 << 70, 1)),
        (3.0 * two(70), of(3 << 70, 1)),
        (two(71), None),
        (-two(71), None),
        (two(-120), of(1, 1 << 120)),
        (-5.0 * two(-120), of(-5, 1 << 120)),
        (two(-121), None),
        (f64::from_bits(1), None),
        (f64::from_bits(1 << 51), None),
        (f64::NAN, None),
        (f64::INFINITY, None),
        (f64::MAX, None),
    ] {
        assert_eq!(Exact::from_f64(number), wanted, "{number:e}");
    }
    assert_eq!((of(5, 0), of(0, 0), of(i128::MIN, 0)), (None, None, None));
    assert_eq!((of(i128::MIN, 3), of(3, i128::MIN), of(i128::MIN, i128::MIN)), (None, None, None));
    let shown = |exact: Option<Exact>| format!("{:?}", exact.expect("a number"));
    assert_eq!((shown(of(6, 8)), shown(of(6, -8)), shown(of(8, 4))), ("3/4".into(), "-3/4".into(), "2".into()));
}
