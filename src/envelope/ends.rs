//! Ends of ranges as people can use them: exact where the number can be written out, else drawn in to a number that can. It must
//! not know sections.

use super::clause::Clause;
use super::solve::{Bound, Segment};
use super::trial::{Axis, Label};
use crate::quantity::{Exact, Unit, show};

/// Most decimal places of an end.
const MOST_PLACES: u32 = 9;
/// Digits that an end is shown with at least.
const DIGITS: i128 = 10_000;

/// An end of a range.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// Where, in the author's unit.
    pub at: Exact,
    /// Whether the range holds it.
    pub included: bool,
    /// Whether it is the very end, and not drawn in to a number that can be written.
    pub exact: bool,
    /// The clauses that fall short beyond it; none where it is only the end of what was looked at.
    pub set_by: Vec<Clause>,
}

/// A range of values that are all the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// What they are; nothing where that could not be decided.
    pub label: Option<Label>,
    /// The lower end.
    pub lo: End,
    /// The upper end.
    pub hi: End,
}

impl Range {
    /// Whether a value lies in it.
    pub fn holds(&self, at: Exact) -> bool {
        let above = self.lo.at < at || self.lo.included && self.lo.at == at;
        above && (at < self.hi.at || self.hi.included && self.hi.at == at)
    }
}

/// The range of a segment, its ends drawn in where they cannot be written out. `exact` tells of each end whether the next
/// segment begins where this one ends; what sets them is not known yet.
pub fn range(axis: &Axis, segment: &Segment, exact: (bool, bool)) -> Range {
    let end = |bound: Bound, exact: bool, up: bool| {
        let kept = segment.label != Some(Label::Good) || exact && writable(axis, bound.at);
        let at = if kept { bound.at } else { inward(axis, segment, bound, up).unwrap_or(bound.at) };
        End { at, included: bound.included || at != bound.at, exact: exact && at == bound.at, set_by: Vec::new() }
    };
    Range { label: segment.label, lo: end(segment.lo, exact.0, true), hi: end(segment.hi, exact.1, false) }
}

/// Whether a number is written out in full when it is shown.
fn writable(axis: &Axis, at: Exact) -> bool {
    text(axis, at).is_some_and(|text| !text.contains('≈'))
}

/// A number of the axis's unit as reports write it.
pub fn text(axis: &Axis, at: Exact) -> Option<String> {
    match axis.unit {
        Some(unit) => unit.to_base(at).map(|base| show::in_unit(base, unit)),
        None => Some(show::plain(at)),
    }
}

/// The nearest number inwards that can be written, still within the segment: of 64ths of an inch, or of decimals.
fn inward(axis: &Axis, segment: &Segment, bound: Bound, up: bool) -> Option<Exact> {
    let decimal = |places: u32| Exact::ratio(1, 10i128.checked_pow(places)?);
    let enough = |step: &Exact| bound.at.is_zero() || step.mul(Exact::whole(DIGITS)).is_some_and(|least| least <= bound.at.size());
    let fine = axis.unit.filter(|unit| unit.is_fractional());
    let fine = fine
        .into_iter()
        .flat_map(|unit| if unit.is_on_tape() { &[16, 64][..] } else { &[64] }.iter().filter_map(move |parts| inch_in(unit, *parts)));
    let decimals = (0..=MOST_PLACES).filter_map(decimal);
    let steps = fine.chain(decimals.filter(enough));
    steps.filter_map(|step| stepped(bound, step, up)).find(|at| within(segment, *at) && writable(axis, *at))
}

/// A part of an inch, in the unit.
fn inch_in(unit: Unit, parts: i128) -> Option<Exact> {
    unit.from_base(Unit::named("in")?.factor())?.div(Exact::whole(parts))
}

fn stepped(bound: Bound, step: Exact, up: bool) -> Option<Exact> {
    let steps = bound.at.div(step)?;
    let whole = if up { steps.ceiling() } else { steps.floor() };
    let at = Exact::whole(whole).mul(step)?;
    match (at == bound.at && !bound.included, up) {
        (true, true) => at.add(step),
        (true, false) => at.sub(step),
        _ => Some(at),
    }
}

fn within(segment: &Segment, at: Exact) -> bool {
    let above = segment.lo.at < at || segment.lo.included && segment.lo.at == at;
    above && (at < segment.hi.at || segment.hi.included && segment.hi.at == at)
}
