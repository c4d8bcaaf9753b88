//! Whether one condition is surely harder or easier to hold than another: the same words with a limit that moved, or with a
//! part added or dropped. Anything else is not told. It must not know sections.

use super::pack::normalised;
use super::tree::{Comparison, Expr, Node, Quantifier, Walk};
use crate::quantity::Exact;
use crate::source::{Sources, Span};
use std::cmp::Ordering;

/// How a new condition stands to the old one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// They say the same.
    Same,
    /// Whenever the new one holds, the old one holds: it is harder to hold.
    Harder,
    /// Whenever the old one holds, the new one holds: it is easier to hold.
    Easier,
    /// Nothing is proved.
    Unproved,
}

impl Relation {
    /// The relation of the negated conditions.
    pub fn negated(self) -> Relation {
        match self {
            Relation::Harder => Relation::Easier,
            Relation::Easier => Relation::Harder,
            other => other,
        }
    }

    /// Of two parts that pull on the whole the same way.
    pub fn with(self, other: Relation) -> Relation {
        match (self, other) {
            (Relation::Same, other) | (other, Relation::Same) => other,
            (one, two) if one == two => one,
            _ => Relation::Unproved,
        }
    }

    fn of(order: Ordering, harder: Ordering) -> Relation {
        match order {
            Ordering::Equal => Relation::Same,
            order if order == harder => Relation::Harder,
            _ => Relation::Easier,
        }
    }
}

/// Compares conditions of two codes, and keeps the limits that moved.
pub struct Comparer<'a> {
    /// The files of the old code.
    pub old: &'a Sources,
    /// The files of the new code.
    pub new: &'a Sources,
    /// Limits that moved: old and new, as written.
    pub moves: Vec<(String, String)>,
    /// Whether anything but limits differs.
    pub reworded: bool,
}

/// What stands at a place, without comments and with single blanks.
pub fn text_at(files: &Sources, span: Span) -> String {
    files.get(span.file).map(|file| normalised(file.slice(span.range())).trim().to_string()).unwrap_or_default()
}

impl<'a> Comparer<'a> {
    /// A comparer of two codes.
    pub fn new(old: &'a Sources, new: &'a Sources) -> Comparer<'a> {
        Comparer { old, new, moves: Vec::new(), reworded: false }
    }

    /// How the new condition stands to the old one; `None` holds always.
    pub fn conditions(&mut self, old: Option<&Expr>, new: Option<&Expr>) -> Relation {
        match (old, new) {
            (None, None) => Relation::Same,
            (Some(old), Some(new)) => self.relation(old, new),
            (None, Some(_)) => self.other_words(Relation::Harder),
            (Some(_), None) => self.other_words(Relation::Easier),
        }
    }

    /// How the new condition stands to the old one.
    pub fn relation(&mut self, old: &Expr, new: &Expr) -> Relation {
        if self.same(old, new) {
            return Relation::Same;
        }
        match (&old.node, &new.node) {
            (Node::Compare(was, a, b), Node::Compare(is, c, d)) => self.comparisons((*was, a, b), (*is, c, d)),
            (Node::Within(a, low, Some(high)), Node::Within(c, low2, Some(high2))) if self.same(a, c) => {
                let low = self.limits(low, low2).map(|order| Relation::of(order, Ordering::Greater));
                let high = self.limits(high, high2).map(|order| Relation::of(order, Ordering::Less));
                low.zip(high).map_or_else(|| self.other_words(Relation::Unproved), |(low, high)| low.with(high))
            }
            (Node::Junction(was, parts), Node::Junction(is, others)) if was == is => self.junctions(*was, parts, others),
            (_, Node::Junction(all, parts)) if parts.iter().any(|part| self.same(old, part)) => {
                self.other_words(if *all { Relation::Harder } else { Relation::Easier })
            }
            (Node::Junction(all, parts), _) if parts.iter().any(|part| self.same(part, new)) => {
                self.other_words(if *all { Relation::Easier } else { Relation::Harder })
            }
            (Node::Not(old), Node::Not(new)) => self.relation(old, new).negated(),
            (Node::OneOf(was, a, members), Node::OneOf(is, c, others)) if was == is && self.same(a, c) => {
                let relation = self.sets(members, others);
                self.other_words(if *was { relation.negated() } else { relation })
            }
            (Node::Quantified(was, walk, body), Node::Quantified(is, other, to)) if was == is && self.same_list(walk, other) => {
                self.quantified(*was, (walk, body), (other, to))
            }
            _ => self.other_words(Relation::Unproved),
        }
    }

    fn other_words(&mut self, relation: Relation) -> Relation {
        self.reworded = true;
        relation
    }

    /// Whether both say the same in the same words.
    pub fn same(&self, old: &Expr, new: &Expr) -> bool {
        text_at(self.old, old.span) == text_at(self.new, new.span)
    }

    fn same_list(&self, old: &Walk, new: &Walk) -> bool {
        old.bound.text == new.bound.text && text_at(self.old, old.among.span) == text_at(self.new, new.among.span)
    }

    /// The order of two limits, the new one to the old one; the move is kept.
    fn limits(&mut self, old: &Expr, new: &Expr) -> Option<Ordering> {
        if self.same(old, new) {
            return Some(Ordering::Equal);
        }
        let order = limit_order(old, new)?;
        self.moves.push((text_at(self.old, old.span), text_at(self.new, new.span)));
        Some(order)
    }

    fn comparisons(&mut self, old: (Comparison, &Expr, &Expr), new: (Comparison, &Expr, &Expr)) -> Relation {
        let (was, is) = (old.0, new.0);
        let below = |comparison| matches!(comparison, Comparison::AtMost | Comparison::LessThan);
        let order = match (self.same(old.1, new.1), self.same(old.2, new.2)) {
            (true, _) => self.limits(old.2, new.2),
            // A limit on the left bounds the right side the other way round.
            (_, true) => self.limits(old.1, new.1).map(Ordering::reverse),
            _ => None,
        };
        let Some(order) = order.filter(|_| below(was) == below(is)) else { return self.other_words(Relation::Unproved) };
        let moved = Relation::of(order, if below(was) { Ordering::Less } else { Ordering::Greater });
        let strict = |comparison| matches!(comparison, Comparison::LessThan | Comparison::MoreThan);
        let worded = match (strict(was), strict(is)) {
            (false, true) => Relation::Harder,
            (true, false) => Relation::Easier,
            _ => return moved,
        };
        self.reworded = true;
        // A limit that moved outweighs whether the limit itself is still allowed.
        if moved == Relation::Same { worded } else { moved }
    }

    /// Parts that both have stay; of the others, one may have changed, or some were only added or only dropped.
    fn junctions(&mut self, all: bool, old: &[Expr], new: &[Expr]) -> Relation {
        let dropped: Vec<&Expr> = old.iter().filter(|part| !new.iter().any(|other| self.same(part, other))).collect();
        let added: Vec<&Expr> = new.iter().filter(|part| !old.iter().any(|other| self.same(other, part))).collect();
        match (dropped.as_slice(), added.as_slice()) {
            ([], []) => self.other_words(Relation::Same),
            ([], _) => self.other_words(if all { Relation::Harder } else { Relation::Easier }),
            (_, []) => self.other_words(if all { Relation::Easier } else { Relation::Harder }),
            (dropped, added) if dropped.len() == added.len() => {
                dropped.iter().zip(added).fold(Relation::Same, |sum, (old, new)| sum.with(self.relation(old, new)))
            }
            _ => self.other_words(Relation::Unproved),
        }
    }

    fn sets(&self, old: &[Expr], new: &[Expr]) -> Relation {
        let less = old.iter().any(|member| !new.iter().any(|other| self.same(member, other)));
        let more = new.iter().any(|member| !old.iter().any(|other| self.same(other, member)));
        match (less, more) {
            (false, false) => Relation::Same,
            (true, false) => Relation::Harder,
            (false, true) => Relation::Easier,
            (true, true) => Relation::Unproved,
        }
    }

    fn quantified(&mut self, how: Quantifier, old: (&Walk, &Expr), new: (&Walk, &Expr)) -> Relation {
        let filter = self.conditions(old.0.filter.as_deref(), new.0.filter.as_deref());
        let body = self.relation(old.1, new.1);
        match how {
            // Fewer that must hold it make it easier.
            Quantifier::Every => filter.negated().with(body),
            Quantifier::AtLeastOne => filter.with(body),
            Quantifier::No => filter.negated().with(body.negated()),
        }
    }
}

/// The order of two written values of one kind, the new one to the old one.
fn limit_order(old: &Expr, new: &Expr) -> Option<Ordering> {
    match (&old.node, &new.node) {
        (Node::Date(old), Node::Date(new)) => Some(new.cmp(old)),
        _ => {
            let ((old, old_kind), (new, new_kind)) = (number(old)?, number(new)?);
            (old_kind == new_kind).then(|| new.cmp(&old))
        }
    }
}

/// A number in base units with its dimension; one with a tolerance is no limit that could be compared.
fn number(expr: &Expr) -> Option<(Exact, Option<crate::quantity::Dimension>)> {
    match &expr.node {
        Node::Quantity(_, Ok(reading)) if reading.tolerance.is_none() => Some((reading.value, reading.unit.map(|unit| unit.dimension()))),
        _ => None,
    }
}

/// The order of two cells of a table, the new one to the old one, where both are measures, counts or days of one kind.
pub fn cell_order(old: &str, new: &str) -> Option<Ordering> {
    if let (Ok(old), Ok(new)) = (crate::quantity::read(old), crate::quantity::read(new)) {
        let kind = |reading: &crate::quantity::Reading| reading.unit.map(|unit| unit.dimension());
        return (kind(&old) == kind(&new) && old.tolerance.is_none() && new.tolerance.is_none()).then(|| new.value.cmp(&old.value));
    }
    None
}
