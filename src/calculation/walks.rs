//! Walks over collections written out: each member, whether it is taken in, what it gives, its part of the whole. It must not
//! know verdicts.

use super::amount::{Digits, point, stands_alone};
use super::tree::{Detail, Input, Member, Members, Origin, Shown};
use super::work::{Work, outcome};
use crate::datum::Kind;
use crate::job::RecordId;
use crate::judge::doubt::Truth;
use crate::judge::eval::Frame;
use crate::judge::paths::{Reached, reach, thing_name};
use crate::judge::value::{Slot, Value};
use crate::language::program::{Expr, Walk};
use crate::language::tree::{Aggregate, Quantifier};
use crate::quantity::{Dimension, Exact, Unit};

/// Most members of one walk that are written out.
const MOST_MEMBERS: usize = 100;
/// Most members whose values are put into one line.
const MOST_IN_A_LINE: usize = 8;

/// Members with the values that they give.
struct Told<'a> {
    members: Members,
    /// The values of those that are taken in, or may be.
    values: Vec<(Value<'a>, Shown)>,
}

impl<'a> Work<'a, '_> {
    /// `count of`, `sum of` and so on, with each member.
    pub fn aggregate(&mut self, how: Aggregate, of: Option<&'a Expr>, walk: &'a Walk, frame: &mut Frame<'a, '_>) -> (String, Detail) {
        let word = match how {
            Aggregate::Count => "count",
            Aggregate::CountDistinct => "count of distinct",
            Aggregate::Sum => "sum",
            Aggregate::Least => "least",
            Aggregate::Greatest => "greatest",
        };
        let mut told = self.members(word, walk, frame, |work, record, frame| {
            let Some(of) = of else { return (None, None, Vec::new()) };
            let mut inputs = Vec::new();
            frame.slots[walk.slot] = Slot::Record(record);
            let put_in = work.put_in(of, frame, &mut inputs);
            frame.slots[walk.slot] = Slot::Record(record);
            let value = work.value(of, frame);
            let shown = work.of_value(&value, &of.kind);
            (Some(put_in), Some((value, shown)), inputs)
        });
        if how == Aggregate::Sum {
            share(&mut told);
        }
        let taken = told.members.each.iter().filter(|member| member.taken_in != "no").count();
        let all = told.members.each.len();
        let values: Vec<String> = told.values.iter().map(|(_, shown)| shown.marked()).collect();
        let line = match (how, of) {
            (Aggregate::Count, _) | (_, None) => format!("{taken} of {all}"),
            _ if values.is_empty() => "nothing is taken in".into(),
            _ if values.len() > MOST_IN_A_LINE => format!("{word} of {} values, each below", values.len()),
            (Aggregate::Sum, _) => {
                let bracketed = values.iter().map(|value| if stands_alone(value) { value.clone() } else { format!("({value})") });
                bracketed.collect::<Vec<_>>().join(" + ")
            }
            _ => format!("{word} of {}", values.join(", ")),
        };
        (line, Detail::Members(told.members))
    }

    /// `every`, `at least one`, `no`, with each member.
    pub fn quantified(&mut self, how: Quantifier, walk: &'a Walk, body: &'a Expr, frame: &mut Frame<'a, '_>) -> (String, Detail) {
        let word = match how {
            Quantifier::Every => "every",
            Quantifier::AtLeastOne => "at least one",
            Quantifier::No => "no",
        };
        let told = self.members(word, walk, frame, |work, record, frame| {
            frame.slots[walk.slot] = Slot::Record(record);
            let mut inputs = Vec::new();
            let decided = work.condition(body, frame, &mut inputs);
            if let Some(number) = decided.step {
                let shown = Shown::words(decided.outcome);
                super::work::take(&mut inputs, Input { written: work.written(body.span), shown, from: Origin::Step { number } });
            }
            let value = Value::Truth(Truth::sure(decided.outcome == "yes"));
            (Some(decided.put_in), Some((value, Shown::words(decided.outcome))), inputs)
        });
        let holds = told.values.iter().filter(|(_, shown)| shown.text == "yes").count();
        (format!("{word}: it holds for {holds} of {} taken in", told.values.len()), Detail::Members(told.members))
    }

    #[allow(clippy::type_complexity)]
    fn members(
        &mut self,
        how: &'static str,
        walk: &'a Walk,
        frame: &mut Frame<'a, '_>,
        mut gives: impl FnMut(&mut Self, RecordId, &mut Frame<'a, '_>) -> (Option<String>, Option<(Value<'a>, Shown)>, Vec<Input>),
    ) -> Told<'a> {
        let (program, job) = (self.evaluator.program, self.evaluator.job);
        let found = self.evaluator.collection(walk, frame);
        let base = program.definition(walk.base.def);
        let list = format!("{}.{}", base.name, program.definition(base.children[walk.list]).key);
        let whose = match reach(job, &walk.base, frame.slots) {
            Reached::Record(id) => format!("{list} of {}", thing_name(program, job, id)),
            _ => list,
        };
        let filter = walk.filter.as_deref();
        let mut told = Told {
            members: Members {
                how,
                list: whose,
                filter: filter.map(|filter| self.written(filter.span)),
                each: Vec::new(),
                maybe_more: found.incomplete().is_some(),
                not_shown: found.records.len().saturating_sub(MOST_MEMBERS),
            },
            values: Vec::new(),
        };
        for record in found.records.into_iter().take(MOST_MEMBERS) {
            let mut inputs = Vec::new();
            let (mut put_in, mut taken_in) = (None, Truth::Yes);
            if let Some(filter) = filter {
                frame.slots[walk.slot] = Slot::Record(record);
                put_in = Some(self.put_in(filter, frame, &mut inputs));
                frame.slots[walk.slot] = Slot::Record(record);
                taken_in = self.truth(filter, frame);
            }
            let mut member = Member {
                thing: thing_name(program, job, record),
                taken_in: outcome(&taken_in),
                filter: put_in,
                put_in: None,
                shown: None,
                share: None,
                inputs,
            };
            if taken_in != Truth::No {
                let (put_in, given, more) = gives(self, record, frame);
                member.put_in = put_in;
                more.into_iter().for_each(|input| super::work::take(&mut member.inputs, input));
                if let Some((value, shown)) = given {
                    member.shown = Some(shown.clone());
                    told.values.push((value, shown));
                }
            }
            told.members.each.push(member);
        }
        told
    }
}

/// What part of the sum each member makes, where all are known and of one sign.
fn share(told: &mut Told) {
    let numbers: Option<Vec<Exact>> = told
        .values
        .iter()
        .map(|(value, _)| match value {
            Value::Number(number) => number.interval.as_point().filter(|at| !at.is_negative()),
            _ => None,
        })
        .collect();
    let all_sure = told.members.each.iter().all(|member| member.taken_in != "not sure") && !told.members.maybe_more;
    let Some(numbers) = numbers.filter(|numbers| all_sure && numbers.len() > 1 && told.members.not_shown == 0) else { return };
    let total = numbers.iter().try_fold(Exact::ZERO, |total, number| total.add(*number));
    let Some(total) = total.filter(|total| !total.is_zero()) else { return };
    let (percent, kind) = (Unit::named("%"), Kind::Measure(Dimension::NONE));
    let taken = told.members.each.iter_mut().filter(|member| member.taken_in == "yes");
    for (member, number) in taken.zip(numbers) {
        // Shares are told to a tenth of a percent: they decide nothing.
        member.share = number.div(total).map(|share| point(share, &kind, percent, &Digits::from([(share, 1)])));
    }
}
