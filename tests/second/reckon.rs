//! Evaluates one expression in one scope, straight from the model.

use super::choices::{MAY_BE_EMPTY, NONE_IN_COUNTS_IS_NOUGHT, PART_OF_DATE};
use super::day::{self, Day};
use super::fraction::Fraction;
use super::model::*;
use super::value::{Causes, End, MISSING, Number, TOLERANCE, Truth, UNABLE};

#[derive(Clone, Copy)]
pub enum Thing<'a> {
    Record(&'a Record),
    Row(&'a Table, &'a Row),
    Word(Word),
    /// A member of a list that the job does not state: nothing is known of it.
    Unknown,
}

#[derive(Clone)]
pub struct Scope<'a> {
    pub pack: &'a Pack,
    pub job: &'a Job,
    pub names: Vec<(Word, Thing<'a>)>,
    /// How many of the names, the last ones, are bound by walks.
    pub walked: usize,
    pub lets: &'a [(Word, Num)],
    /// Nothing at all is known: what is sure even so can never come out otherwise.
    pub blank: bool,
}

/// First and last day that it may be, and why these differ.
type Days = (Day, Day, Causes);

impl<'a> Scope<'a> {
    pub fn with(&self, name: Word, thing: Thing<'a>) -> Scope<'a> {
        let mut scope = self.clone();
        scope.names.push((name, thing));
        scope
    }

    pub fn thing(&self, name: &str) -> Option<Thing<'a>> {
        // The first of one name counts: none is bound twice but the unknown gate of an unknown list.
        self.names.iter().find(|(n, _)| *n == name).map(|(_, thing)| *thing)
    }

    /// What is known of a fact: nothing where it is missing, `Stated::None` where there is none.
    fn read(&self, fact: &Ref) -> Option<Stated> {
        if self.blank {
            return None;
        }
        match self.thing(fact.base).expect("a name in scope") {
            Thing::Record(record) => self.read_record(record, fact.field),
            Thing::Row(table, row) => Some(read_row(table, row, fact.field)),
            Thing::Unknown => None,
            Thing::Word(_) => panic!("a word has no facts"),
        }
    }

    fn read_record(&self, record: &Record, field: &str) -> Option<Stated> {
        let known = &self.pack.facts[record.level as usize];
        let fact = known.iter().find(|f| f.name == field).expect("a defined fact");
        match (record.stated(field), &fact.taken) {
            // The tape's tolerance is for what was measured, not for what is taken without measuring.
            (Some(Stated::Length { at, tolerance: None }), _) if fact.kind == (Kind::Length { measured: true }) => {
                Some(Stated::Length { at: at.clone(), tolerance: self.job.tape_tolerance.clone() })
            }
            (Some(stated), _) => Some(stated.clone()),
            (None, Taken::Unknown) => None,
            (None, Taken::AsNone) => Some(Stated::None),
            (None, Taken::As(value)) => Some(value.clone()),
        }
    }

    pub fn number(&self, of: &Num) -> Number {
        match of {
            Num::Length(length) => Number::exactly(length.inches.clone()),
            Num::Count(n) => Number::exactly(Fraction::whole(*n)),
            Num::Fact(fact, quantity) => self.fact_number(fact, *quantity),
            Num::Let(name) => {
                let (_, value) = self.lets.iter().find(|(n, _)| n == name).expect("a let");
                // A let means the same wherever it is named: it sees what the section is asked of, not what is walked.
                let names = self.names[..self.names.len() - self.walked].to_vec();
                Scope { names, walked: 0, ..self.clone() }.number(value)
            }
            Num::Add(a, b) => self.number(a).plus(&self.number(b)),
            Num::Sub(a, b) => self.number(a).minus(&self.number(b)),
            Num::Mul(a, b) => self.number(a).times(&self.number(b)),
            Num::Larger(a, b) => self.number(a).larger(&self.number(b)),
            Num::Smaller(a, b) => self.number(a).smaller(&self.number(b)),
            Num::Difference(a, b) => self.number(a).difference(&self.number(b)),
            Num::If(cond, a, b) => match self.truth(cond) {
                Truth::Yes => self.number(a),
                Truth::No => self.number(b),
                Truth::Doubt(why) => self.number(a).hull(&self.number(b), why),
            },
            Num::CountOf(walk) => self.count(walk),
            Num::SumOf(each, walk) => self.sum(each, walk),
            Num::LeastOf(each, walk) => self.extreme(each, walk, Number::smaller),
            Num::GreatestOf(each, walk) => self.extreme(each, walk, Number::larger),
        }
    }

    fn fact_number(&self, fact: &Ref, quantity: Quantity) -> Number {
        match self.read(fact) {
            Some(Stated::Length { at, tolerance }) => {
                let off = tolerance.unwrap_or(Fraction::whole(0));
                Number::span(End::At(at.inches.minus(&off)), End::At(at.inches.plus(&off)), TOLERANCE)
            }
            Some(Stated::Count(n)) => Number::exactly(Fraction::whole(n)),
            Some(Stated::None) => Number::Unable(UNABLE),
            Some(other) => panic!("not a number: {other:?}"),
            None if quantity == Quantity::Count => Number::missing_count(),
            None => Number::anywhere(MISSING),
        }
    }

    /// The members that are in or may be in, each with how sure that is. A list that the job does not state: its reasons.
    fn members(&self, walk: &Walk) -> Result<Vec<(Scope<'a>, Truth)>, Causes> {
        if self.blank {
            return Err(MISSING);
        }
        let parent = match self.thing(walk.base) {
            Some(Thing::Record(parent)) => parent,
            Some(Thing::Unknown) => return Err(MISSING),
            _ => panic!("nothing to walk in {}", walk.base),
        };
        assert_eq!(parent.level.inner(), Some(walk.level));
        let list = parent.inner.as_ref().ok_or(MISSING)?;
        let inside = list.iter().map(|record| Scope { walked: self.walked + 1, ..self.with(walk.bound, Thing::Record(record)) });
        let with_truth = inside.map(|scope| {
            let truth = walk.filter.as_ref().map_or(Truth::Yes, |filter| scope.truth(filter));
            (scope, truth)
        });
        Ok(with_truth.filter(|(_, truth)| *truth != Truth::No).collect())
    }

    fn count(&self, walk: &Walk) -> Number {
        let nought = End::At(Fraction::whole(0));
        match self.members(walk) {
            Err(why) => Number::span(nought, End::Above, why),
            Ok(members) => {
                let sure = members.iter().filter(|(_, truth)| *truth == Truth::Yes).count();
                let why = members.iter().fold(0, |why, (_, truth)| why | truth.causes());
                let end = |n: usize| End::At(Fraction::whole(n as i64));
                Number::span(end(sure), end(members.len()), why)
            }
        }
    }

    fn sum(&self, each: &Num, walk: &Walk) -> Number {
        let nought = Number::exactly(Fraction::whole(0));
        match self.members(walk) {
            Err(why) => Number::anywhere(why),
            Ok(members) => members.iter().fold(nought.clone(), |sum, (scope, truth)| {
                let value = scope.number(each);
                // A member that may be out counts with its doubt even if its value cannot be computed: out, it does no harm.
                let part = if *truth == Truth::Yes { value } else { value.hull(&nought, truth.causes()) };
                sum.plus(&part)
            }),
        }
    }

    /// The least or greatest. Where the list may turn out empty, it may turn out that there is none. The reasons of all
    /// members count, whether they move the result or not, unless the result is one point.
    fn extreme(&self, each: &Num, walk: &Walk, pick: impl Fn(&Number, &Number) -> Number) -> Number {
        let members = match self.members(walk) {
            Err(why) => return Number::Unable(why | MAY_BE_EMPTY),
            Ok(members) if members.is_empty() => return Number::Unable(UNABLE),
            Ok(members) => members,
        };
        let valued: Vec<(Number, Truth)> = members.iter().map(|(scope, truth)| (scope.number(each), *truth)).collect();
        let why = valued.iter().fold(0, |why, (value, truth)| why | value.causes() | truth.causes());
        let sure = valued.iter().filter(|(_, truth)| *truth == Truth::Yes).map(|(value, _)| value.clone());
        let Some(without) = sure.reduce(|a, b| pick(&a, &b)) else { return Number::Unable(why | MAY_BE_EMPTY) };
        let with = valued.into_iter().map(|(value, _)| value).reduce(|a, b| pick(&a, &b)).expect("one at least");
        without.hull(&with, why)
    }

    pub fn truth(&self, cond: &Cond) -> Truth {
        match cond {
            Cond::Fact(fact) => match self.read(fact) {
                Some(Stated::YesNo(yes)) => Truth::from_bool(yes),
                other => Truth::Doubt(why_not(&other)),
            },
            Cond::Not(inner) => self.truth(inner).not(),
            Cond::And(parts) | Cond::AllOf(parts) => Truth::all(parts.iter().map(|part| self.truth(part))),
            Cond::Or(parts) | Cond::AnyOf(parts) => Truth::any(parts.iter().map(|part| self.truth(part))),
            Cond::Compare(how, a, b) => compare(*how, &self.number(a), &self.number(b)),
            Cond::CountIs { left, right, not } => turned(self.number(left).is(&self.number(right)), *not),
            Cond::Within(at, from, to) => within(&self.number(at), &self.number(from), &self.number(to)),
            Cond::WithinFact(at, range) => {
                let (from, to) = self.range(range);
                within(&self.number(at), &from, &to)
            }
            Cond::WordIs { left, right, not } => match (self.word(left), self.word(right)) {
                (Ok(a), Ok(b)) => turned(Truth::from_bool(a == b), *not),
                (a, b) => doubt(a, b),
            },
            Cond::WordOneOf { left, words, not } => match self.word(left) {
                Ok(word) => turned(Truth::from_bool(words.contains(&word)), *not),
                Err(why) => Truth::Doubt(why),
            },
            Cond::WordCompare { compare: how, left, right, list } => match self.word(&OneWord::Fact(left.clone())) {
                Ok(word) => compare(*how, &self.place(*list, word), &self.place(*list, right)),
                Err(why) => Truth::Doubt(why),
            },
            Cond::Includes(set, word) => match (self.set(set), self.word(word)) {
                (Ok(set), Ok(word)) => Truth::from_bool(set.contains(&word)),
                (a, b) => doubt(a, b),
            },
            Cond::DateCompare(how, a, b) => match (self.days(a), self.days(b)) {
                (Ok(a), Ok(b)) => compare(*how, &as_number(a), &as_number(b)),
                (a, b) => doubt(a, b),
            },
            Cond::DateIs(a, b) => match (self.days(a), self.days(b)) {
                (Ok(a), Ok(b)) => as_number(a).is(&as_number(b)),
                (a, b) => doubt(a, b),
            },
            Cond::Given { fact, not } => match self.read(fact) {
                None => Truth::Doubt(MISSING),
                Some(Stated::None) => turned(Truth::No, *not),
                Some(_) => turned(Truth::Yes, *not),
            },
            Cond::Walk { each, walk, body } => self.walk(*each, walk, body),
        }
    }

    fn walk(&self, each: Each, walk: &Walk, body: &Cond) -> Truth {
        let members = match self.members(walk) {
            Err(why) => return Truth::Doubt(why),
            Ok(members) => members,
        };
        let bodies = members.iter().map(|(scope, truth)| (*truth, scope.truth(body)));
        match each {
            Each::Every => Truth::all(bodies.map(|(inside, holds)| Truth::any([inside.not(), holds]))),
            Each::AtLeastOne => Truth::any(bodies.map(|(inside, holds)| Truth::all([inside, holds]))),
            Each::No => Truth::any(bodies.map(|(inside, holds)| Truth::all([inside, holds]))).not(),
        }
    }

    fn range(&self, fact: &Ref) -> (Number, Number) {
        match self.read(fact) {
            Some(Stated::Range(from, to)) => (Number::exactly(from.inches), Number::exactly(to.inches)),
            Some(_) => (Number::Unable(UNABLE), Number::Unable(UNABLE)),
            None => (Number::anywhere(MISSING), Number::anywhere(MISSING)),
        }
    }

    fn word(&self, of: &OneWord) -> Result<Word, Causes> {
        match of {
            OneWord::Word(word) => Ok(*word),
            OneWord::Fact(fact) => match self.read(fact) {
                Some(Stated::Word(word)) => Ok(word),
                other => Err(why_not(&other)),
            },
            OneWord::Bound(_) if self.blank => Err(MISSING),
            OneWord::Bound(name) => match self.thing(name) {
                Some(Thing::Word(word)) => Ok(word),
                _ => panic!("{name} is no word"),
            },
        }
    }

    fn place(&self, list: usize, word: Word) -> Number {
        let at = self.pack.lists[list].words.iter().position(|w| *w == word).expect("a word of the list");
        Number::exactly(Fraction::whole(at as i64))
    }

    fn set(&self, fact: &Ref) -> Result<Vec<Word>, Causes> {
        match self.read(fact) {
            Some(Stated::Set(words)) => Ok(words),
            other => Err(why_not(&other)),
        }
    }

    fn days(&self, when: &When) -> Result<Days, Causes> {
        match when {
            When::Day(at) => Ok((*at, *at, 0)),
            When::Today if self.blank => Err(MISSING),
            When::Today => Ok((self.job.today, self.job.today, 0)),
            When::Fact(fact) => match self.read(fact) {
                Some(Stated::Date(text)) => Ok(first_and_last(text)),
                other => Err(why_not(&other)),
            },
            When::MonthsLater(from, months) => {
                let (first, last, why) = self.days(from)?;
                Ok((day::months_later(first, *months), day::months_later(last, *months), why))
            }
        }
    }

    /// From the first day on, and before the day that ends it.
    pub fn in_force(&self, force: &Force) -> Truth {
        let (first, last, why) = match self.days(&When::Fact(force.by.clone())) {
            Ok(days) => days,
            Err(why) => return Truth::Doubt(why),
        };
        let date = as_number((first, last, why));
        let limit = |at: &Day| Number::exactly(Fraction::whole(*at));
        let begun = force.from.as_ref().map_or(Truth::Yes, |from| limit(from).at_most(&date));
        let not_over = force.before.as_ref().map_or(Truth::Yes, |before| date.less_than(&limit(before)));
        Truth::all([begun, not_over])
    }
}

fn read_row(table: &Table, row: &Row, field: &str) -> Stated {
    if let Some(key) = table.keys.iter().position(|(name, _)| *name == field) {
        return Stated::Word(row.keys[key]);
    }
    let column = table.columns.iter().position(|(name, _)| *name == field).expect("a column");
    match (&row.cells[column], table.columns[column].1) {
        (Stated::None, Kind::Count) if NONE_IN_COUNTS_IS_NOUGHT => Stated::Count(0),
        (cell, _) => cell.clone(),
    }
}

/// Why a fact that is not what was asked for cannot be used: it is missing, or there is none.
fn why_not(read: &Option<Stated>) -> Causes {
    match read {
        None => MISSING,
        Some(Stated::None) => UNABLE,
        Some(other) => panic!("of the wrong kind: {other:?}"),
    }
}

fn doubt<A, B>(a: Result<A, Causes>, b: Result<B, Causes>) -> Truth {
    Truth::Doubt(a.err().unwrap_or(0) | b.err().unwrap_or(0))
}

fn turned(truth: Truth, not: bool) -> Truth {
    if not { truth.not() } else { truth }
}

fn compare(how: Compare, a: &Number, b: &Number) -> Truth {
    match how {
        Compare::AtMost => a.at_most(b),
        Compare::AtLeast => b.at_most(a),
        Compare::LessThan => a.less_than(b),
        Compare::MoreThan => b.less_than(a),
    }
}

fn within(at: &Number, from: &Number, to: &Number) -> Truth {
    Truth::all([from.at_most(at), at.at_most(to)])
}

fn as_number((first, last, why): Days) -> Number {
    Number::span(End::At(Fraction::whole(first)), End::At(Fraction::whole(last)), why)
}

fn first_and_last(text: DateText) -> Days {
    match text {
        DateText::Day(at) => (at, at, 0),
        DateText::Month(y, m) => (day::day(y, m, 1), day::day(y, m, day::length_of_month(y, m)), PART_OF_DATE),
        DateText::Year(y) => (day::day(y, 1, 1), day::day(y, 12, 31), PART_OF_DATE),
    }
}
