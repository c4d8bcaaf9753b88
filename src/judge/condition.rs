//! Works out what is yes or no by its form: comparisons, memberships, and what joins them. It must not know how a value that is no
//! truth is found.

use super::compare::{in_range, includes, same};
use super::doubt::Truth;
use super::eval::{Evaluator, Frame};
use super::paths::{Reached, reach};
use crate::language::program::{Expr, KeyCell, Op};
use crate::language::tree::Comparison;

impl<'a> Evaluator<'a> {
    /// What surely gives yes or no by its form; a fact, a call or a choice of that kind is worked out like any value. Apart from those since
    /// a truth is small, and most of what a section asks is one.
    pub(super) fn condition(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Option<Truth> {
        Some(match &expr.op {
            Op::FactGiven(path, field) => self.fact_given(path, *field, frame),
            Op::ThingGiven(path) => match reach(self.job, path, frame.slots) {
                Reached::Record(_) => Truth::Yes,
                Reached::Nothing => Truth::No,
                Reached::Unknown(doubt) => Truth::Doubtful(doubt),
            },
            Op::ColumnGiven(slot, column) => Truth::sure(!matches!(self.cell(*slot, *column, frame), Some(KeyCell::Nothing) | None)),
            Op::Junction(and, parts) => self.junction(*and, parts, frame),
            Op::Not(part) => self.truth(part, frame).negated(),
            Op::Compare(how, left, right) => {
                let (a, b) = (self.value(left, frame), self.value(right, frame));
                self.compare(*how, &a, &b, left, expr.span)
            }
            Op::Is(left, right) => {
                let (a, b) = (self.value(left, frame), self.value(right, frame));
                same(&a, &b, expr.span)
            }
            Op::OneOf(left, members) => {
                let value = self.value(left, frame);
                members.iter().fold(Truth::No, |found, member| {
                    let member = self.value(member, frame);
                    found.or(same(&value, &member, expr.span))
                })
            }
            Op::Between(value, low, high) => {
                let (value_now, low_now, high_now) = (self.value(value, frame), self.value(low, frame), self.value(high, frame));
                let above = self.compare(Comparison::AtLeast, &value_now, &low_now, value, expr.span);
                above.and(self.compare(Comparison::AtMost, &value_now, &high_now, value, expr.span))
            }
            Op::InRange(value, range) => {
                let (value, range) = (self.value(value, frame), self.value(range, frame));
                in_range(&value, &range, expr.span)
            }
            Op::Includes(set, member) => {
                let (set, member) = (self.value(set, frame), self.value(member, frame));
                includes(&set, &member, expr.span)
            }
            Op::Complies(path, id) => self.complies(path, id, frame),
            Op::Quantified(how, walk, body) => self.quantified(*how, walk, body, frame),
            Op::Literal(_)
            | Op::Fact(..)
            | Op::Thing(_)
            | Op::Today
            | Op::Id(_)
            | Op::Column(..)
            | Op::WordSlot(_)
            | Op::Parameter(_)
            | Op::Let(_)
            | Op::Arithmetic(..)
            | Op::Power(..)
            | Op::If(..)
            | Op::Aggregate(..)
            | Op::LookUp(..)
            | Op::Formula(..)
            | Op::BuiltIn(..) => return None,
        })
    }

    fn junction(&mut self, and: bool, parts: &'a [Expr], frame: &mut Frame<'a, '_>) -> Truth {
        let mut all = Truth::sure(and);
        for part in parts {
            let truth = self.truth(part, frame);
            all = if and { all.and(truth) } else { all.or(truth) };
            if all == Truth::sure(!and) && self.uses.is_none() {
                break;
            }
        }
        all
    }
}
