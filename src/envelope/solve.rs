//! Finds what every value of one measure is: branch and bound over the values, with the judging itself as the bound. It must not
//! know how values are shown.

use super::simplest::{inside, shortest, simplest};
use super::trial::{Label, Trial};
use crate::quantity::Exact;
use std::collections::BTreeMap;

/// Most judgings for one measure; what is not decided then is told as not decided.
const MOST_JUDGINGS: usize = 6000;
/// Steps for which the simplest fraction of a bracket stays the same before it is tried as the end.
const STEADY: usize = 5;
/// Shares of the whole search below which a part that waits wherever it is tried counts as waiting.
const WAITING_SHARE: i128 = 64;

/// An end of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// Where, in the author's unit.
    pub at: Exact,
    /// Whether the part holds it.
    pub included: bool,
}

/// Neighbouring values that are all the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Segment {
    /// What they are; nothing where that could not be decided.
    pub label: Option<Label>,
    /// The lower end.
    pub lo: Bound,
    /// The upper end.
    pub hi: Bound,
    /// The lowest and the highest value that was tried.
    pub tried: (Exact, Exact),
}

/// What is searched, and where.
#[derive(Clone, Copy, Debug)]
pub struct Searched {
    /// The least value looked at, in the author's unit.
    pub lo: Exact,
    /// The greatest.
    pub hi: Exact,
    /// Where to begin: today's value.
    pub start: Option<Exact>,
    /// Whether only whole numbers count.
    pub whole: bool,
}

struct Cell {
    segment: Segment,
    /// Whether no more can be found out.
    settled: bool,
}

struct Search<'t, 'a> {
    trial: &'t mut Trial<'a>,
    labels: BTreeMap<Exact, (Label, bool)>,
    searched: Searched,
    /// Brackets of an end no wider than this are not narrowed any more.
    finest: Exact,
    /// How far beside an end it is shown to be one: far less than any bracket, so that no number that is only near passes.
    beside: Exact,
    /// How far beside a value that is of another kind its surroundings are tried.
    hair: Exact,
    /// Parts no wider than this are not cut any more.
    smallest: Exact,
}

/// What every value of the field is, from the least to the greatest.
pub fn solve(trial: &mut Trial, searched: Searched) -> Vec<Segment> {
    let power = |bits: u32| Exact::ratio(1, 1 << bits).unwrap_or(Exact::ONE);
    let first = trial.judged;
    let mut search =
        Search { trial, labels: BTreeMap::new(), searched, finest: power(20), beside: power(30), hair: power(14), smallest: power(10) };
    let mut cells = search.beginning();
    loop {
        let mut next = Vec::with_capacity(cells.len() + 8);
        let mut progress = false;
        for mut cell in cells {
            if cell.segment.label.is_some() || cell.settled {
                next.push(cell);
            } else if search.trial.judged - first > MOST_JUDGINGS {
                cell.settled = true;
                next.push(cell);
            } else {
                progress = true;
                next.extend(search.divided(cell));
            }
        }
        cells = next;
        if !progress {
            return search.merged(cells);
        }
    }
}

impl Search<'_, '_> {
    fn beginning(&mut self) -> Vec<Cell> {
        let Searched { lo, hi, start, whole } = self.searched;
        match start.filter(|start| lo < *start && *start < hi) {
            Some(start) if whole => {
                let after = start.add(Exact::ONE).unwrap_or(hi);
                vec![self.closed(lo, start), self.closed(after, hi)]
            }
            Some(start) => vec![self.closed(lo, start), self.closed(start, hi)],
            None => vec![self.closed(lo, hi)],
        }
    }

    fn label(&mut self, at: Exact) -> (Label, bool) {
        if let Some(known) = self.labels.get(&at) {
            return *known;
        }
        let label = self.trial.label(&[at]);
        self.labels.insert(at, label);
        label
    }

    /// A part with both its ends, judged.
    fn closed(&mut self, lo: Exact, hi: Exact) -> Cell {
        let end = |at| Bound { at, included: true };
        self.cell(end(lo), end(hi), (lo, hi))
    }

    fn cell(&mut self, lo: Bound, hi: Bound, tried: (Exact, Exact)) -> Cell {
        let label = if tried.0 == tried.1 { Some(self.label(tried.0).0) } else { self.trial.classify(&[tried]) };
        Cell { segment: Segment { label, lo, hi, tried }, settled: false }
    }

    /// The parts of a part that is not decided, or the part itself, settled.
    fn divided(&mut self, mut cell: Cell) -> Vec<Cell> {
        let (from, to) = cell.segment.tried;
        if self.searched.whole {
            return self.halves(from, to);
        }
        let (low, high) = (self.label(from).0, self.label(to).0);
        if low != high {
            return self.cut_at_change(&cell.segment, low, high);
        }
        let (Some(width), Some(at)) = (to.sub(from), inside(from, to)) else {
            cell.settled = true;
            return vec![cell];
        };
        let share = self.searched.hi.sub(self.searched.lo).and_then(|span| span.div(Exact::whole(WAITING_SHARE)));
        if low == Label::Waiting && share.is_some_and(|share| width <= share) && self.label(at).0 == low {
            // Another fact is missing wherever it was tried: what remains open is told, and nothing is claimed.
            cell.segment.label = Some(Label::Waiting);
            return vec![cell];
        }
        if width <= self.smallest && self.label(at).0 == low {
            return self.pricked(cell.segment);
        }
        let middle = Bound { at, included: true };
        let Segment { lo, hi, .. } = cell.segment;
        vec![self.cell(lo, middle, (from, at)), self.cell(middle, hi, (at, to))]
    }

    /// A part too small to be cut any more, taken apart once at its simplest value: that one may be of another kind than all around
    /// it, such as the last row of a table.
    fn pricked(&mut self, part: Segment) -> Vec<Cell> {
        let (from, to) = part.tried;
        let parts = simplest(from, to).filter(|at| from < *at && *at < to).and_then(|at| {
            let (before, after) = (at.sub(self.hair)?.max(from), at.add(self.hair)?.min(to));
            let (open, closed) = (Bound { at, included: false }, Bound { at, included: true });
            Some([(part.lo, open, (from, before)), (closed, closed, (at, at)), (open, part.hi, (after, to))])
        });
        let whole = [(part.lo, part.hi, (from, to))];
        let parts = parts.as_ref().map_or(whole.as_slice(), |parts| parts.as_slice());
        let settled = |(lo, hi, tried): &(Bound, Bound, (Exact, Exact))| Cell { settled: true, ..self.cell(*lo, *hi, *tried) };
        parts.iter().map(settled).collect()
    }

    fn halves(&mut self, from: Exact, to: Exact) -> Vec<Cell> {
        let middle = from.add(to).and_then(|sum| sum.div(Exact::whole(2))).map_or(from, |middle| Exact::whole(middle.floor()));
        let after = middle.add(Exact::ONE).unwrap_or(to);
        vec![self.closed(from, middle), self.closed(after, to)]
    }

    /// Cuts a part whose ends are not alike where the one becomes the other: at the simplest fraction that surely is the end,
    /// else between two values that are very near to each other.
    fn cut_at_change(&mut self, part: &Segment, low: Label, mut high: Label) -> Vec<Cell> {
        let (mut a, mut b) = part.tried;
        let (mut steady, mut count) = (None, 0);
        while b.sub(a).is_some_and(|width| width > self.finest) {
            let Some(middle) = inside(a, b) else { break };
            let label = self.label(middle).0;
            if label == low {
                a = middle;
            } else {
                (b, high) = (middle, label);
            }
            let candidate = simplest(a, b);
            count = if candidate == steady { count + 1 } else { 0 };
            steady = candidate;
            if count == STEADY
                && let Some(at) = candidate
                && let Some(cells) = self.cut_at(part, at, low, high)
            {
                return cells;
            }
        }
        for at in [simplest(a, b), shortest(a, b)].into_iter().flatten() {
            if let Some(cells) = self.cut_at(part, at, low, high) {
                return cells;
            }
        }
        let end = |at| Bound { at, included: true };
        vec![self.cell(part.lo, end(a), (part.tried.0, a)), self.cell(end(b), part.hi, (b, part.tried.1))]
    }

    /// Cuts at a value, where what is just beside it shows that the change lies there.
    fn cut_at(&mut self, part: &Segment, at: Exact, low: Label, high: Label) -> Option<Vec<Cell>> {
        let (from, to) = part.tried;
        let label = self.label(at);
        if label == (low, false) && at < to {
            let after = at.add(self.beside)?.min(to);
            return (self.label(after) == (high, false)).then(|| {
                let (end, start) = (Bound { at, included: true }, Bound { at, included: false });
                vec![self.cell(part.lo, end, (from, at)), self.cell(start, part.hi, (after, to))]
            });
        }
        if label == (high, false) && at > from {
            let before = at.sub(self.beside)?.max(from);
            return (self.label(before) == (low, false)).then(|| {
                let (end, start) = (Bound { at, included: false }, Bound { at, included: true });
                vec![self.cell(part.lo, end, (from, before)), self.cell(start, part.hi, (at, to))]
            });
        }
        None
    }

    /// Neighbours that are alike, joined.
    fn merged(&self, cells: Vec<Cell>) -> Vec<Segment> {
        let mut segments: Vec<Segment> = Vec::new();
        for Cell { segment, .. } in cells {
            match segments.last_mut() {
                Some(last) if last.label == segment.label && self.touch(last.hi, segment.lo) => {
                    last.hi = segment.hi;
                    last.tried.1 = segment.tried.1;
                }
                _ => segments.push(segment),
            }
        }
        segments
    }

    fn touch(&self, end: Bound, start: Bound) -> bool {
        if self.searched.whole { end.at.add(Exact::ONE) == Some(start.at) } else { end.at == start.at && (end.included || start.included) }
    }
}
