//! Writes expressions in the rule language. Brackets stand where the language wants them; between `*` and `+`, and from
//! left to right, they are left out, so that the reading of precedence is tried as well.

use super::day;
use super::fraction::Fraction;
use super::model::*;

pub fn reference(fact: &Ref) -> String {
    format!("{}.{}", fact.base, fact.field)
}

pub fn length(length: &Length) -> String {
    let inches = &length.inches;
    match length.unit {
        Unit::Inch => format!("{} in", mixed(inches)),
        Unit::FeetAndInch => {
            let (feet, rest) = inches.times(&Fraction::new(1, 12)).split();
            let rest = rest.times(&Fraction::whole(12));
            match (feet, rest.is_zero()) {
                (0, _) => format!("{} in", mixed(inches)),
                (_, true) => format!("{feet} ft"),
                (_, false) => format!("{feet} ft {} in", mixed(&rest)),
            }
        }
        Unit::Millimetre => format!("{} mm", decimal(&inches.times(&Fraction::new(254, 10)))),
        Unit::Metre => format!("{} m", decimal(&inches.times(&Fraction::new(254, 10_000)))),
    }
}

/// `21 1/4`
fn mixed(number: &Fraction) -> String {
    let (whole, rest) = number.split();
    let (top, bottom) = rest.parts();
    match (whole, top) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{top}/{bottom}"),
        _ => format!("{whole} {top}/{bottom}"),
    }
}

/// All digits of a number that has finitely many of them.
fn decimal(number: &Fraction) -> String {
    let (whole, mut rest) = number.split();
    let mut digits = String::new();
    while !rest.is_zero() {
        let (digit, after) = rest.times(&Fraction::whole(10)).split();
        digits.push_str(&digit.to_string());
        assert!(digits.len() < 20, "digits without end");
        rest = after;
    }
    if digits.is_empty() { whole.to_string() } else { format!("{whole}.{digits}") }
}

/// A limit now and then carries its twin in millimetres, where rounding leaves no question.
fn limit(of: &Length) -> String {
    let (whole, rest) = of.inches.times(&Fraction::new(254, 10)).split();
    let half = Fraction::new(1, 2);
    if of.unit != Unit::Inch || rest == half || whole % 3 != 0 {
        return length(of);
    }
    format!("{} ({} mm)", length(of), if rest > half { whole + 1 } else { whole })
}

pub fn date_of(text: DateText) -> String {
    match text {
        DateText::Day(at) => day::text(at),
        DateText::Month(y, m) => format!("{y:04}-{m:02}"),
        DateText::Year(y) => format!("{y:04}"),
    }
}

pub fn number(of: &Num) -> String {
    match of {
        Num::Length(at) => limit(at),
        Num::Count(n) => n.to_string(),
        Num::Fact(fact, _) => reference(fact),
        Num::Let(name) => name.to_string(),
        Num::Add(a, b) => format!("{} + {}", term(a), factor(b)),
        Num::Sub(a, b) => format!("{} - {}", term(a), factor(b)),
        Num::Mul(a, b) => format!("{} * {}", factor(a), primary(b)),
        Num::Larger(a, b) => format!("larger({}, {})", operand(a), operand(b)),
        Num::Smaller(a, b) => format!("smaller({}, {})", operand(a), operand(b)),
        Num::Difference(a, b) => format!("difference({}, {})", operand(a), operand(b)),
        Num::If(cond, a, b) => format!("if {} then {} else {}", condition(cond), operand(a), operand(b)),
        Num::CountOf(walk) => format!("count of {}", among(walk)),
        Num::SumOf(each, walk) => format!("sum of {} for {}", operand(each), among(walk)),
        Num::LeastOf(each, walk) => format!("least of {} for {}", operand(each), among(walk)),
        Num::GreatestOf(each, walk) => format!("greatest of {} for {}", operand(each), among(walk)),
    }
}

/// What reads on to the right as far as it can.
fn open_ended(of: &Num) -> bool {
    match of {
        Num::If(..) => true,
        Num::CountOf(walk) | Num::SumOf(_, walk) | Num::LeastOf(_, walk) | Num::GreatestOf(_, walk) => walk.filter.is_some(),
        _ => false,
    }
}

fn bracketed(of: &Num, when: bool) -> String {
    if when { format!("({})", number(of)) } else { number(of) }
}

/// One side of a comparison, an argument.
fn operand(of: &Num) -> String {
    bracketed(of, open_ended(of))
}

fn whole_aggregate(of: &Num) -> bool {
    matches!(of, Num::If(..) | Num::CountOf(_) | Num::SumOf(..) | Num::LeastOf(..) | Num::GreatestOf(..))
}

/// Left of a plus or minus.
fn term(of: &Num) -> String {
    bracketed(of, whole_aggregate(of))
}

/// Right of a plus or minus, left of a times.
fn factor(of: &Num) -> String {
    bracketed(of, whole_aggregate(of) || matches!(of, Num::Add(..) | Num::Sub(..)))
}

fn primary(of: &Num) -> String {
    bracketed(of, whole_aggregate(of) || matches!(of, Num::Add(..) | Num::Sub(..) | Num::Mul(..)))
}

fn among(walk: &Walk) -> String {
    let filter = walk.filter.as_ref().map_or(String::new(), |filter| format!(" where {}", inside(filter)));
    format!("{} among {}.{}{filter}", walk.bound, walk.base, walk.level.plural())
}

fn when(of: &When) -> String {
    match of {
        When::Day(at) => day::text(*at),
        When::Today => "job.today".to_string(),
        When::Fact(fact) => reference(fact),
        When::MonthsLater(from, months) => format!("{} + {months} months", when(from)),
    }
}

fn one_word(of: &OneWord) -> String {
    match of {
        OneWord::Word(word) | OneWord::Bound(word) => word.to_string(),
        OneWord::Fact(fact) => reference(fact),
    }
}

fn comparison(how: Compare) -> Word {
    match how {
        Compare::AtMost => "at most",
        Compare::AtLeast => "at least",
        Compare::LessThan => "less than",
        Compare::MoreThan => "more than",
    }
}

/// A condition that stands alone.
pub fn condition(of: &Cond) -> String {
    let is = |not: &bool| if *not { "is not" } else { "is" };
    let listed =
        |parts: &[Cond]| -> String { parts.iter().enumerate().map(|(at, part)| format!("\n    ({}) {}", at + 1, inside(part))).collect() };
    match of {
        Cond::Fact(fact) => reference(fact),
        Cond::Not(inner) => format!("not {}", part(inner)),
        Cond::And(parts) => parts.iter().map(part).collect::<Vec<_>>().join(" and "),
        Cond::Or(parts) => parts.iter().map(part).collect::<Vec<_>>().join(" or "),
        Cond::AnyOf(parts) => format!("any of{}", listed(parts)),
        Cond::AllOf(parts) => format!("all of{}", listed(parts)),
        Cond::Compare(how, a, b) => format!("{} {} {}", operand(a), comparison(*how), operand(b)),
        Cond::CountIs { left, right, not } => format!("{} {} {}", operand(left), is(not), operand(right)),
        Cond::Within(at, from, to) => format!("{} within {} to {}", operand(at), operand(from), operand(to)),
        Cond::WithinFact(at, range) => format!("{} within {}", operand(at), reference(range)),
        Cond::WordIs { left, right, not } => format!("{} {} {}", one_word(left), is(not), one_word(right)),
        Cond::WordOneOf { left, words, not } => format!("{} {} one of ({})", one_word(left), is(not), words.join(", ")),
        Cond::WordCompare { compare, left, right, .. } => format!("{} {} {right}", reference(left), comparison(*compare)),
        Cond::Includes(set, word) => format!("{} includes {}", reference(set), one_word(word)),
        Cond::DateCompare(how, a, b) => format!("{} {} {}", when(a), comparison(*how), when(b)),
        Cond::DateIs(a, b) => format!("{} is {}", when(a), when(b)),
        Cond::Given { fact, not } => format!("{} {} given", reference(fact), is(not)),
        Cond::Walk { each, walk, body } => {
            let word = match each {
                Each::Every => "every",
                Each::AtLeastOne => "at least one",
                Each::No => "no",
            };
            format!("{word} {} has {}", among(walk), inside(body))
        }
    }
}

/// Part of a list, filter or body of a walk: a list or a walk in it needs brackets, so that its end is seen.
fn inside(of: &Cond) -> String {
    match of {
        Cond::AnyOf(_) | Cond::AllOf(_) | Cond::Walk { .. } => format!("({})", condition(of)),
        _ => condition(of),
    }
}

/// Part of a conjunction, or what is negated.
fn part(of: &Cond) -> String {
    match of {
        Cond::And(_) | Cond::Or(_) => format!("({})", condition(of)),
        _ => inside(of),
    }
}
