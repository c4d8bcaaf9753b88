//! Tells conditions that no job can meet: one fact that is two words, and bounds of one fact that exclude each other, in one condition or
//! in the mandatory clauses of one section. It must not know what a job states.

use super::check::Checker;
use super::program::{Expr, Norm, Op, ThingPath};
use super::tree::{Comparison, Modal};
use super::vocabulary::FieldId;
use crate::datum::{Datum, WordId};
use crate::quantity::Exact;
use crate::slip::Slip;
use crate::source::Span;

/// A bound of a fact: whose, the least or the most, whether it is included itself, and where it stands.
struct Bound<'e> {
    of: (&'e ThingPath, FieldId),
    is_least: bool,
    value: &'e Exact,
    included: bool,
    span: Span,
}

impl Checker<'_> {
    /// Tells a junction of `and` that can never hold: one fact is two different words.
    pub fn never_true(&mut self, and: bool, parts: &[Expr]) {
        if !and {
            return;
        }
        let word_of = |part: &Expr| match &part.op {
            Op::Is(fact, word) => match (&fact.op, &word.op) {
                (Op::Fact(path, field), Op::Literal(Datum::Word(word))) => Some((path.clone(), *field, *word)),
                _ => None,
            },
            _ => None,
        };
        let words: Vec<(ThingPath, usize, WordId, Span)> =
            parts.iter().filter_map(|part| word_of(part).map(|(p, f, w)| (p, f, w, part.span))).collect();
        for (at, second) in words.iter().enumerate() {
            if let Some(first) = words[..at].iter().find(|first| first.0 == second.0 && first.1 == second.1 && first.2 != second.2) {
                let slip = Slip::at(second.3, "never-changes", "a condition that can never hold: one fact is two different words")
                    .label("and this")
                    .other(first.3, "this");
                self.slips.push(slip.hint("join them with `or`, or write `is one of ( … )`"));
            }
        }
    }

    /// Tells bounds in the mandatory clauses of a section that no value can meet together.
    pub fn never_met(&mut self, norms: &[Norm]) {
        let always = |norm: &&Norm| norm.modal == Modal::Shall && norm.condition.is_none();
        let mut together = Vec::new();
        norms.iter().filter(always).for_each(|norm| bounds(&norm.body, &mut together));
        self.tell_never(&together);
        for norm in norms.iter().filter(|norm| !always(norm)) {
            let mut alone = Vec::new();
            bounds(&norm.body, &mut alone);
            self.tell_never(&alone);
        }
    }

    fn tell_never(&mut self, bounds: &[Bound]) {
        for (at, second) in bounds.iter().enumerate() {
            let Some(first) = bounds[..at].iter().find(|first| excludes(first, second)) else { continue };
            let slip = Slip::at(second.span, "never-met", "bounds of one fact that no value can meet together")
                .label("and this")
                .other(first.span, "this");
            let hint = "look which of the two is meant; where each is asked of other things, say which by `applies to` or `if`";
            self.slips.push(slip.hint(hint).harmless());
        }
    }
}

/// The bounds that a condition sets whatever else holds.
fn bounds<'e>(expr: &'e Expr, found: &mut Vec<Bound<'e>>) {
    let (is_least, included, fact, limit) = match &expr.op {
        Op::Junction(true, parts) => return parts.iter().for_each(|part| bounds(part, found)),
        Op::Between(fact, least, most) => {
            found.extend(bound(fact, least, true, true, expr.span));
            found.extend(bound(fact, most, false, true, expr.span));
            return;
        }
        Op::Compare(comparison, fact, limit) => match comparison {
            Comparison::AtLeast => (true, true, fact, limit),
            Comparison::MoreThan => (true, false, fact, limit),
            Comparison::AtMost => (false, true, fact, limit),
            Comparison::LessThan => (false, false, fact, limit),
        },
        _ => return,
    };
    found.extend(bound(fact, limit, is_least, included, expr.span));
}

fn bound<'e>(fact: &'e Expr, limit: &'e Expr, is_least: bool, included: bool, span: Span) -> Option<Bound<'e>> {
    let (Op::Fact(path, field), Op::Literal(Datum::Number(number, _))) = (&fact.op, &limit.op) else { return None };
    let value = if is_least { number.lo.as_ref()? } else { number.hi.as_ref()? };
    Some(Bound { of: (path, *field), is_least, value, included, span })
}

/// Whether no value lies within both bounds.
fn excludes(one: &Bound, other: &Bound) -> bool {
    let (least, most) = if one.is_least { (one, other) } else { (other, one) };
    // The ends of one `within` the wrong way round have a slip of their own.
    one.of == other.of
        && one.span != other.span
        && one.is_least != other.is_least
        && (least.value > most.value || least.value == most.value && !(least.included && most.included))
}
