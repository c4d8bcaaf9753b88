//! Numbers are exact: lengths in inches and in millimetres are one length, what is printed reads back, halves round one way,
//! months keep to the calendar. The cases follow the list of number traps that the project tests (equal lengths, display
//! rounding, round trips, halves, tolerances, refused forms, temperature scales, missing units, sums in any order).
//!
//! 1 in = 25.4 mm exactly: NIST Special Publication 811, appendix B.8. Everything else here is arithmetic, or says its source.

mod compared;
mod intervals;
mod notations;
mod readings;
mod scales;

use jiff::civil::Date;
use num_bigint::BigInt;
use pintle::command::workbench::judge_texts;
use pintle::quantity::show::{apart, in_unit, rounded};
use pintle::quantity::unit::UnitKind;
use pintle::quantity::{Exact, Unit, read};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use std::fmt::Write as _;

fn config(cases: u32) -> Config {
    Config { cases, failure_persistence: None, rng_seed: RngSeed::Fixed(811), ..Config::default() }
}

fn value(text: &str) -> Exact {
    read(text).unwrap_or_else(|slip| panic!("`{text}`: {}", slip.message)).value
}

fn unit(symbol: &str) -> Unit {
    Unit::named(symbol).unwrap_or_else(|| panic!("no unit {symbol}"))
}

/// `digits` with the point so many places from the right, without needless noughts.
fn decimal(digits: i128, places: usize) -> String {
    let text = format!("{digits:0width$}", width = places + 1);
    let (whole, part) = text.split_at(text.len() - places);
    let part = part.trim_end_matches('0');
    if part.is_empty() { whole.to_string() } else { format!("{whole}.{part}") }
}

/// So many sixty-fourths as a tape shows them: `3 5/64`.
fn sixty_fourths(count: i128) -> String {
    let (whole, mut upper, mut lower) = (count / 64, count % 64, 64);
    while upper != 0 && upper % 2 == 0 {
        (upper, lower) = (upper / 2, lower / 2);
    }
    match (whole, upper) {
        (whole, 0) => whole.to_string(),
        (0, upper) => format!("{upper}/{lower}"),
        (whole, upper) => format!("{whole} {upper}/{lower}"),
    }
}

/// Every length of the sweep: whole inches from 1 to 2000 and sixty-fourths up to 200 in, each in inches and millimetres.
fn sweep() -> Vec<(String, String)> {
    let whole = (1..=2000).map(|inches| (inches.to_string(), decimal(inches * 254, 1)));
    // 1/64 in = 0.396875 mm.
    let parts = (1..=200 * 64).map(|count| (sixty_fourths(count), decimal(count * 396_875, 6)));
    whole.chain(parts).collect()
}

#[test]
fn inches_and_millimetres_are_one_length() {
    let (inch, millimetre) = (unit("in"), unit("mm"));
    let mut mismatches = Vec::new();
    for (inches, millimetres) in sweep() {
        let (one, other) = (value(&format!("{inches} in")), value(&format!("{millimetres} mm")));
        // Both ways: equal as values, and each is printed as the other was written.
        let back = (in_unit(other, inch), in_unit(one, millimetre));
        if one != other || back != (format!("{inches} in"), format!("{millimetres} mm")) {
            mismatches.push(format!("{inches} in, {millimetres} mm: {one:?} {other:?} {back:?}"));
        }
    }
    assert!(mismatches.is_empty(), "{} mismatches, the first: {}", mismatches.len(), mismatches[0]);
}

const HEAD: &str = "pack made \"Made up\"\n  language 1\n  edition \"1\"\n  authority \"Nobody\"\nsource book \"A made-up code\" invented\n\
    definition job \"A site\"\n  title text \"Title\"\n  codes list of text \"Packs\"\n";

fn judged(pack: &str, job: &str) -> Vec<(String, String, String, String)> {
    judged_on(pack, job, "2026-03-02").unwrap_or_else(|slips| panic!("{}\n{job:.300}", slips.join("\n")))
}

fn judged_on(pack: &str, job: &str, today: &str) -> Result<Vec<pintle::command::workbench::VerdictRow>, Vec<String>> {
    let today: Date = today.parse().expect("a date");
    judge_texts(&[("made", &format!("{HEAD}{pack}"))], &["made"], &format!("title: Made up\ncodes: [made]\n{job}"), today)
}

/// The verdicts of a pack with one section `made/x` on one record, by clause.
fn words(pack: &str, job: &str) -> String {
    judged(pack, job).into_iter().map(|(_, clause, _, verdict)| format!("{clause} {verdict}")).collect::<Vec<_>>().join(", ")
}

const FOUR_WAYS: &str = "definition gate \"A gate\" among job.gates\n  height length \"How high\"\n  limit length \"The limit\"\n\
    section x \"X\"\n  applies to each gate\n  shall (a) gate.height at most gate.limit\n  shall (b) gate.height at least gate.limit\n\
    \x20 shall (c) gate.height less than gate.limit\n  shall (d) gate.height more than gate.limit\n  remedy \"No.\"\n  cite book \"1\"\n";

/// A job of gates with a height and a limit each, in the pack above.
fn gates(pairs: &[(String, String)]) -> String {
    let mut job = String::from("gates:\n");
    for (number, (height, limit)) in pairs.iter().enumerate() {
        let _ = writeln!(job, "  - {{id: g{number}, height: {height}, limit: {limit}}}");
    }
    job
}

fn equal_both_ways(pairs: &[(String, String)]) {
    let verdicts = judged(FOUR_WAYS, &gates(pairs));
    assert_eq!(verdicts.len(), 4 * pairs.len());
    for (_, clause, gate, verdict) in verdicts {
        let wanted = if matches!(clause.as_str(), "a" | "b") { "met" } else { "not met" };
        let number: usize = gate.trim_start_matches("gate g").parse().expect("a number");
        assert_eq!(verdict, wanted, "clause ({clause}) of {:?}", pairs[number]);
    }
}

#[test]
fn an_equal_measure_meets_its_limit_in_either_unit() {
    let named = |(inches, millimetres): (String, String)| (format!("{inches} in"), format!("{millimetres} mm"));
    let all: Vec<(String, String)> = sweep().into_iter().map(named).collect();
    for some in all.chunks(5000) {
        equal_both_ways(some);
        let turned: Vec<(String, String)> = some.iter().map(|(one, other)| (other.clone(), one.clone())).collect();
        equal_both_ways(&turned);
    }
    // The pairs of the list of number traps.
    let traps = [
        ("26 in", "660.4 mm"),
        ("12 in", "304.8 mm"),
        ("3/16 in", "4.7625 mm"),
        ("1 ft", "12 in"),
        ("0.3 m", "300 mm"),
        ("1 mi", "1609.344 m"),
    ];
    equal_both_ways(&traps.map(|(one, other)| (one.to_string(), other.to_string())));
}

#[test]
fn a_limit_written_in_a_pack_is_as_exact() {
    let mut pack = String::from("definition gate \"A gate\" among job.gates\n  number count \"N\"\n  height length \"H\"\n");
    let mut job = String::from("gates:\n");
    for inches in 1..=150i128 {
        let millimetres = decimal(inches * 254, 1);
        let _ = write!(
            pack,
            "section x{inches} \"X\"\n  applies to each gate where gate.number is {inches}\n  shall (a) gate.height at most {inches} in ({millimetres} mm)\n\
             \x20 shall (b) gate.height at least {millimetres} mm\n  shall (c) gate.height more than {inches} in\n  remedy \"No.\"\n  cite book \"1\"\n"
        );
        let _ = writeln!(
            job,
            "  - {{id: i{inches}, number: {inches}, height: {inches} in}}\n  - {{id: m{inches}, number: {inches}, height: {millimetres} mm}}"
        );
    }
    let verdicts = judged(&pack, &job);
    let asked: Vec<_> = verdicts.iter().filter(|(_, _, _, verdict)| verdict != "not applicable").collect();
    assert_eq!(asked.len(), 150 * 2 * 3);
    for (section, clause, gate, verdict) in asked {
        assert_eq!(verdict, if clause == "c" { "not met" } else { "met" }, "{section} ({clause}) {gate}");
    }
}

#[test]
fn sums_of_decimals_are_exact() {
    let pack = "definition gate \"A gate\" among job.gates\n  one length \"1\"\n  two length \"2\"\n  three length \"3\"\nsection x \"X\"\n  applies to each gate\n\
        \x20 shall (a) gate.one + gate.two at most gate.three\n  shall (b) gate.one + gate.two at least gate.three\n  remedy \"No.\"\n  cite book \"1\"\n";
    let job = "gates:\n  - {id: g, one: 0.1 in, two: 0.2 in, three: 0.3 in}\n";
    assert_eq!(words(pack, job), "a met, b met");
}

#[test]
fn a_hair_over_the_limit_is_over() {
    let job = gates(&[("660.4000000000000001 mm".into(), "26 in".into())]);
    assert_eq!(words(FOUR_WAYS, &job), "a not met, b met, c not met, d met");
}

#[test]
fn a_hair_over_the_limit_is_seen_in_the_digits() {
    let (over, limit) = apart(value("660.4000000000000001 mm"), value("26 in"), Unit::named("mm"));
    assert_eq!((over.as_str(), limit.as_str()), ("660.4000000000000001 mm", "660.4 mm"));
}

/// Pairs of numbers that lie close to each other, or far, of all sizes that files can state.
fn near_pairs() -> impl Strategy<Value = (Exact, Exact)> {
    let lower = prop::sample::select(vec![1i128, 2, 3, 7, 10, 64, 127, 1000, 5000, 1_000_000, 10_000_000_000]);
    (-1_000_000_000_000i128..1_000_000_000_000, lower, -20i128..20, 0u32..14).prop_filter_map(
        "too many digits",
        |(upper, lower, step, places)| {
            let one = Exact::ratio(upper, lower)?;
            let step = Exact::ratio(step, 10i128.checked_pow(places)?)?;
            Some((one, one.add(step)?))
        },
    )
}

/// A number as shown, without the mark of a rounded one.
fn shown_number(text: &str) -> Exact {
    value(&text.replace('≈', ""))
}

proptest! {
    #![proptest_config(config(2000))]

    /// A failing line never shows two equal texts.
    #[test]
    fn different_numbers_look_different((one, other) in near_pairs(), at in 0..Unit::all().count()) {
        let unit = Unit::all().nth(at).filter(|unit| unit.kind() == UnitKind::Measure);
        let (a, b) = apart(one, other, unit);
        prop_assert_eq!(one == other, a == b, "{:?} and {:?}: {} and {}", one, other, a, b);
    }

    /// Nor two equal numbers of which one is marked as rounded, nor two in the wrong order.
    #[test]
    fn different_numbers_differ_in_their_digits((one, other) in near_pairs(), at in 0..Unit::all().count()) {
        let unit = Unit::all().nth(at).filter(|unit| unit.kind() == UnitKind::Measure);
        let (a, b) = apart(one, other, unit);
        if one != other {
            prop_assert_ne!(a.replace('≈', ""), b.replace('≈', ""), "{} and {}: only the mark of rounding tells them apart", a, b);
            // What a file could not state back has too many digits for the reader, not for the eye.
            prop_assume!([&a, &b].iter().all(|text| read(text.trim_start_matches('≈')).is_ok()));
            prop_assert_eq!(shown_number(&a) < shown_number(&b), one < other, "{} and {} stand in the wrong order", a, b);
        }
    }

    /// What is printed reads back to the same exact value; what is rounded says so.
    #[test]
    fn a_quantity_prints_and_reads_back(upper in -10_000_000i128..10_000_000, form in 0..5u8, places in 0..7usize, at in 0..Unit::all().count()) {
        let Some(unit) = Unit::all().nth(at).filter(|unit| unit.kind() != UnitKind::Wire) else { return Ok(()) };
        let (sign, size) = (if upper < 0 { "-" } else { "" }, upper.abs());
        let number = match form {
            0 => format!("{sign}{size}"),
            1 | 2 => format!("{sign}{}", decimal(size, places)),
            3 => format!("{sign}{}", sixty_fourths(size)),
            _ => {
                let lower = [3, 7, 9, 12, 32, 127, 254][places];
                format!("{sign}{} {}/{lower}", size / lower, size % lower)
            }
        };
        let first = value(&format!("{number} {}", unit.symbol()));
        let shown = in_unit(first, unit);
        if let Some(near) = shown.strip_prefix('≈') {
            let here = unit.from_base(first).and_then(|number| number.decimals(6));
            prop_assert_eq!(here, None, "{} ends, yet is marked as rounded in {}", number, near);
        } else {
            prop_assert_eq!(value(&shown), first, "{} was shown as {}", number, shown);
        }
    }

    /// Rounded to the nearest, halves away from nought: never further off than half a digit.
    #[test]
    fn rounding_goes_to_the_nearest(upper in -10_000_000_000i128..10_000_000_000, lower in 1i128..100_000, places in 0u32..8) {
        let number = Exact::ratio(upper, lower).expect("a fraction");
        let text = rounded(number, places);
        let off = value(&text).sub(number).expect("small numbers");
        let half = Exact::ratio(1, 2 * 10i128.pow(places)).expect("a fraction");
        prop_assert!(off.size() <= half, "{:?} became {}", number, text);
        prop_assert!(off.size() < half || off.is_negative() == number.is_negative(), "the half {:?} became {}", number, text);
        prop_assert_eq!(text.split_once('.').map_or(0, |(_, part)| part.len()), places as usize);
        prop_assert!(text != "-0" && !text.starts_with("-0.") || text.chars().any(|c| ('1'..='9').contains(&c)), "a nought with a sign: {}", text);
    }

    /// The arithmetic against whole numbers without bounds: right, or nothing at all.
    #[test]
    fn arithmetic_is_exact_or_nothing(a in any::<i128>(), b in 1i128.., c in any::<i128>(), d in 1i128.., shift in 0u32..120) {
        let (Some(one), Some(two)) = (Exact::ratio(a >> shift, (b >> shift).max(1)), Exact::ratio(c >> (120 - shift), (d >> (120 - shift)).max(1))) else { return Ok(()) };
        let big = |exact: Exact| (BigInt::from(exact.upper()), BigInt::from(exact.lower()));
        let ((p, q), (r, s)) = (big(one), big(two));
        let fits = |result: Option<Exact>, upper: BigInt, lower: BigInt| result.is_none_or(|result| BigInt::from(result.upper()) * lower == BigInt::from(result.lower()) * upper);
        prop_assert!(fits(one.add(two), &p * &s + &r * &q, &q * &s));
        prop_assert!(fits(one.sub(two), &p * &s - &r * &q, &q * &s));
        prop_assert!(fits(one.mul(two), &p * &r, &q * &s));
        prop_assert!(two.is_zero() || fits(one.div(two), &p * &s, &q * &r));
        prop_assert_eq!(one < two, &p * &s < &r * &q);
        prop_assert!(BigInt::from(one.floor()) * &q <= p && p < (BigInt::from(one.floor()) + 1) * &q);
        prop_assert!(BigInt::from(one.ceiling()) * &q >= p && p > (BigInt::from(one.ceiling()) - 1) * &q);
    }

    /// A twin rounded to any digit agrees; one that is a whole last digit further off does not.
    #[test]
    fn a_twin_agrees_to_its_last_digit(count in 1i128..20_000, places in 0u32..4, off in 1i128..50, up in any::<bool>()) {
        let inches = format!("{} in", sixty_fourths(count));
        let millimetres = unit("mm").from_base(value(&inches)).expect("a length");
        let printed = rounded(millimetres, places);
        prop_assert!(read(&format!("{inches} ({printed} mm)")).is_ok(), "{} ({} mm)", inches, printed);
        let step = Exact::ratio(if up { off } else { -off }, 10i128.pow(places)).expect("a fraction");
        let wrong = rounded(value(&printed).add(step).expect("small"), places);
        // A half lies as near to two digits: 57.15 mm may be printed as 57.1 or 57.2.
        let miss = value(&wrong).sub(millimetres).expect("small").size();
        let half = Exact::ratio(1, 2 * 10i128.pow(places)).expect("a fraction");
        prop_assume!(miss > half && !wrong.starts_with('-'));
        prop_assert!(read(&format!("{inches} ({wrong} mm)")).is_err(), "{} ({} mm)", inches, wrong);
    }
}

#[test]
fn halves_round_away_from_nought() {
    let vectors = [
        ("2.675", 2, "2.68"),
        ("0.125", 2, "0.13"),
        ("-0.125", 2, "-0.13"),
        ("1.005", 2, "1.01"),
        ("0.5", 0, "1"),
        ("1.5", 0, "2"),
        ("2.5", 0, "3"),
        ("-2.5", 0, "-3"),
        ("-0.4", 0, "0"),
        ("-0.04", 1, "0.0"),
        ("9.995", 2, "10.00"),
        ("0.9999", 3, "1.000"),
        ("57.15", 1, "57.2"),
    ];
    for (number, places, wanted) in vectors {
        assert_eq!(rounded(value(number), places), wanted, "{number} to {places} places");
    }
}

proptest! {
    #![proptest_config(config(16))]

    /// A sum is the same in any order, to the last digit: a limit that equals it holds both ways.
    #[test]
    fn a_sum_is_the_same_in_any_order(draws in prop::collection::vec((1i128..1_000_000, 0..6usize, any::<bool>()), 1..60).prop_shuffle()) {
        let pack = "definition gate \"A gate\" among job.gates\n  total current \"T\"\ndefinition load \"A load\" among gate.loads\n  draw current \"D\"\nsection x \"X\"\n  applies to each gate\n\
            \x20 shall (a) sum of l.draw for l among gate.loads at most gate.total\n  shall (b) sum of l.draw for l among gate.loads at least gate.total\n  remedy \"No.\"\n  cite book \"1\"\n";
        let micro = |(digits, places, milli): &(i128, usize, bool)| digits * 10i128.pow(u32::try_from(12 - places).expect("few") - if *milli { 3 } else { 0 });
        let total = decimal(draws.iter().map(micro).sum(), 12);
        let mut job = format!("gates:\n  - id: g\n    total: {total} A\n    loads:\n");
        for (number, (digits, places, milli)) in draws.iter().enumerate() {
            let _ = writeln!(job, "      - {{id: l{number}, draw: {} {}}}", decimal(*digits, *places), if *milli { "mA" } else { "A" });
        }
        prop_assert_eq!(words(pack, &job), "a met, b met");
    }
}

/// The one whole number that has no twin on the other side of nought must not come into being: turning its sign would fail.
#[test]
fn the_least_whole_number_has_its_sign_turned_safely() {
    let least = Exact::whole(-(1 << 64)).mul(Exact::whole(1 << 63));
    assert_eq!(least.map(|least| (least.negated().is_negative(), least.size().is_negative())), None);
}
