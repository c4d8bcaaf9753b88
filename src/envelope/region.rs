//! The permitted region of two measures at once: the same branch and bound over rectangles, each cut in four while it is in
//! doubt. It must not know how it is drawn.

use super::edges::Edge;
use super::measure::Envelope;
use super::trial::{Axis, Counting, Label, Trial};
use crate::judge::Subject;
use crate::quantity::{Exact, Unit};

/// Cuts of each side while it is found out where the region lies.
const COARSE: u32 = 5;
/// Cuts of each side of the window.
const FINE: u32 = 7;
/// Most judgings for one drawing; what is not decided then is drawn as not decided.
const MOST_JUDGINGS: usize = 20_000;

/// A rectangle of values: the ends of each measure, in its author's unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// The ends of each side.
    pub sides: [(Exact, Exact); 2],
    /// What all its values are; nothing where that is not decided so finely.
    pub label: Option<Label>,
}

/// The permitted region of two measures.
#[derive(Clone, Debug)]
pub struct Region {
    /// The measures.
    pub axes: [Axis; 2],
    /// The window that was looked at.
    pub window: [(Exact, Exact); 2],
    /// Today's values; nothing where the job does not state one.
    pub today: [Option<Exact>; 2],
    /// The window in rectangles.
    pub tiles: Vec<Tile>,
    /// The same for mandatory clauses alone, where recommended ones depend on the measures.
    pub mandatory: Option<Vec<Tile>>,
    /// What sets the edges of the region, and of that for mandatory clauses alone.
    pub edges: Vec<Edge>,
}

/// The region of two measures, in a window around it and around today's values.
pub fn region(subject: &Subject, one: &Envelope, two: &Envelope) -> Region {
    let axes = [one.axis, two.axis];
    let mut trial = Trial::new(subject, axes.to_vec(), Counting::Every);
    let recommended = one.mandatory.is_some() || two.mandatory.is_some();
    let mut mandatory = recommended.then(|| Trial::new(subject, axes.to_vec(), Counting::Mandatory));
    let known = [known_values(one), known_values(two)];
    let today = [one.today_at, two.today_at];
    let around = [search_box(one, &known[0]), search_box(two, &known[1])];
    let coarse = tiles(mandatory.as_mut().unwrap_or(&mut trial), vec![around], COARSE);
    let window = [0, 1].map(|side| window(&coarse, around, today[side], (side, axes[side].unit)));
    let grid = grid(window, &known);
    let mut edges = Vec::new();
    let mandatory = mandatory.map(|mut trial| {
        let tiles = tiles(&mut trial, grid.clone(), FINE);
        edges.extend(super::edges::edges(&mut trial, subject.source, &tiles));
        tiles
    });
    let tiles = tiles(&mut trial, grid, FINE);
    for edge in super::edges::edges(&mut trial, subject.source, &tiles) {
        let known =
            |clause: &super::clause::Clause| edges.iter().any(|known| known.set_by.iter().any(|other| super::clause::same(other, clause)));
        if !edge.set_by.iter().all(known) {
            edges.push(edge);
        }
    }
    Region { axes, window, today, tiles, mandatory, edges }
}

/// Today's value and every end that a clause sets.
fn known_values(envelope: &Envelope) -> Vec<Exact> {
    let ranges = envelope.ranges.iter().chain(envelope.mandatory.iter().flatten());
    let ends = ranges.flat_map(|range| [&range.lo, &range.hi]).filter(|end| !end.set_by.is_empty()).map(|end| end.at);
    let mut values: Vec<Exact> = ends.chain(envelope.today_at).collect();
    values.sort();
    values.dedup();
    values
}

/// Twice as far as anything known, within what was looked at.
fn search_box(envelope: &Envelope, known: &[Exact]) -> (Exact, Exact) {
    let (lo, hi) = envelope.looked_at;
    let furthest = known.iter().map(|value| value.size()).max().and_then(|size| size.mul(Exact::whole(2)));
    let furthest = furthest.filter(|size| !size.is_zero()).map(|size| Exact::whole(size.ceiling()));
    let reach = furthest.unwrap_or(hi);
    (lo.max(reach.negated()), hi.min(reach))
}

/// Cuts what is in doubt in four, so many times.
fn tiles(trial: &mut Trial, mut open: Vec<[(Exact, Exact); 2]>, cuts: u32) -> Vec<Tile> {
    let first = trial.judged;
    let mut done = Vec::new();
    for depth in 0..=cuts {
        let mut next = Vec::new();
        for sides in open {
            let spent = trial.judged - first > MOST_JUDGINGS;
            let label = if spent { None } else { trial.classify(&sides) };
            match quarters(sides) {
                Some(quarters) if label.is_none() && depth < cuts && !spent => next.extend(quarters),
                _ => done.push(Tile { sides, label }),
            }
        }
        open = next;
    }
    done.sort_by_key(|tile| tile.sides);
    done
}

fn quarters([x, y]: [(Exact, Exact); 2]) -> Option<[[(Exact, Exact); 2]; 4]> {
    let middle = |(lo, hi): (Exact, Exact)| lo.add(hi)?.div(Exact::whole(2));
    let (a, b) = (middle(x)?, middle(y)?);
    Some([[(x.0, a), (y.0, b)], [(x.0, a), (b, y.1)], [(a, x.1), (y.0, b)], [(a, x.1), (b, y.1)]])
}

/// The ends of one side over all that is not surely bad and today's value, with some room, at whole steps.
fn window(coarse: &[Tile], around: [(Exact, Exact); 2], today: Option<Exact>, (side, unit): (usize, Option<Unit>)) -> (Exact, Exact) {
    let kept = coarse.iter().filter(|tile| tile.label != Some(Label::Bad)).map(|tile| tile.sides[side]);
    let (mut lo, mut hi) = kept.fold((None, None), |(lo, hi): (Option<Exact>, Option<Exact>), (a, b)| {
        (Some(lo.map_or(a, |lo| lo.min(a))), Some(hi.map_or(b, |hi| hi.max(b))))
    });
    if let Some(at) = today {
        (lo, hi) = (Some(lo.map_or(at, |lo| lo.min(at))), Some(hi.map_or(at, |hi| hi.max(at))));
    }
    let (lo, hi) = (lo.unwrap_or(around[side].0), hi.unwrap_or(around[side].1));
    let step = step(lo, hi, unit);
    let whole = |at: Exact, up: bool| {
        let steps = at.div(step)?;
        Exact::whole(if up { steps.floor() + 1 } else { steps.ceiling() - 1 }).mul(step)
    };
    // Below nought only where something is known there.
    let least = if lo.is_negative() { None } else { Some(Exact::ZERO) };
    let low = whole(lo, false).unwrap_or(lo);
    (least.map_or(low, |least| low.max(least)), whole(hi, true).unwrap_or(hi))
}

/// A step that divides a span into some eight parts: of 1, 2 or 5 and noughts, of inches as a tape has them.
pub fn step(lo: Exact, hi: Exact, unit: Option<Unit>) -> Exact {
    let wanted = hi.sub(lo).and_then(|span| span.div(Exact::whole(8))).filter(|step| !step.is_zero()).unwrap_or(Exact::ONE);
    if unit.is_some_and(|unit| unit.symbol() == "in")
        && let Some(step) = INCHES.iter().filter_map(|(upper, lower)| Exact::ratio(*upper, *lower)).find(|step| *step >= wanted)
    {
        return step;
    }
    let tens = (-9..=9).filter_map(|power: i32| {
        let ten = Exact::whole(10).pow(power.unsigned_abs())?;
        if power < 0 { Exact::ONE.div(ten) } else { Some(ten) }
    });
    let steps = tens.flat_map(|ten| [1, 2, 5].into_iter().filter_map(move |times| ten.mul(Exact::whole(times))));
    steps.into_iter().find(|step| *step >= wanted).unwrap_or(wanted)
}

/// Steps of an axis in inches.
const INCHES: [(i128, i128); 14] =
    [(1, 16), (1, 8), (1, 4), (1, 2), (1, 1), (2, 1), (3, 1), (6, 1), (12, 1), (24, 1), (48, 1), (120, 1), (240, 1), (600, 1)];

/// The window cut at every known value, a hair beside it on both sides, so that straight edges come out straight.
fn grid(window: [(Exact, Exact); 2], known: &[Vec<Exact>; 2]) -> Vec<[(Exact, Exact); 2]> {
    let parts = |side: usize| {
        let (lo, hi) = window[side];
        let inner = known[side].iter().copied().filter(|at| lo < *at && *at < hi);
        let cuts: Vec<Exact> = std::iter::once(lo).chain(inner).chain([hi]).collect();
        let hair = hi.sub(lo).and_then(|span| span.div(Exact::whole(1 << 14))).unwrap_or(Exact::ZERO);
        let beside = |pair: &[Exact]| Some((pair[0].add(hair)?, pair[1].sub(hair)?)).filter(|(lo, hi)| lo < hi);
        cuts.windows(2).filter_map(beside).collect::<Vec<_>>()
    };
    let across = parts(1);
    parts(0).into_iter().flat_map(|x| across.iter().map(move |y| [x, *y]).collect::<Vec<_>>()).collect()
}
