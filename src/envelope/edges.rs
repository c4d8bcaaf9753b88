//! What sets the edges of a permitted region: just beyond an edge the job is judged, and what falls short there sets it. It must not know
//! how a region is drawn.

use super::clause::{Clause, clauses, same};
use super::region::Tile;
use super::trial::{Label, Trial};
use crate::quantity::Exact;
use crate::source::Source;

/// Most places along the edges at which the job is judged.
const MOST_TRIED: usize = 160;

/// An edge of a region, or several that the same clauses set.
#[derive(Clone, Debug)]
pub struct Edge {
    /// Places on it, in their order from the left and from below.
    pub places: Vec<[Exact; 2]>,
    /// The clauses that fall short just beyond it.
    pub set_by: Vec<Clause>,
}

/// A place in the region's plane.
type Place = [Exact; 2];

/// A tile's ends as floating numbers, to look for neighbours by.
struct Flat {
    sides: [(f64, f64); 2],
    label: Option<Label>,
}

/// The edges of the good tiles among these.
pub fn edges(trial: &mut Trial, source: &Source, tiles: &[Tile]) -> Vec<Edge> {
    let flat: Vec<Flat> =
        tiles.iter().map(|tile| Flat { sides: tile.sides.map(|(lo, hi)| (lo.to_f64(), hi.to_f64())), label: tile.label }).collect();
    // How long a side is beside all that there is, where on it, and where just beyond it.
    let span = |side: usize| flat.iter().map(|tile| tile.sides[side].1).fold(f64::MIN_POSITIVE, f64::max);
    let spans = [span(0), span(1)];
    let mut found: Vec<(f64, Place, Place)> = Vec::new();
    for (at, tile) in tiles.iter().enumerate().filter(|(_, tile)| tile.label == Some(Label::Good)) {
        for (side, up) in [(0, false), (0, true), (1, false), (1, true)] {
            let pair = beyond(&flat, at, side, up).and_then(|other| places(tile, tiles.get(other)?, side, up));
            let (lo, hi) = flat[at].sides[1 - side];
            found.extend(pair.map(|(on, outside)| ((hi - lo) / spans[1 - side], on, outside)));
        }
    }
    // A straight edge is one long side; the many short ones of a slanting edge must not crowd it out.
    found.sort_by(|one, two| two.0.total_cmp(&one.0).then_with(|| (one.1, one.2).cmp(&(two.1, two.2))));
    found.truncate(MOST_TRIED);
    found.sort_by_key(|&(_, on, outside)| (on, outside));
    let mut all: Vec<Edge> = Vec::new();
    for (_, on, outside) in found {
        let bounds = trial.outer(&outside.map(|at| (at, at)));
        let set_by = clauses(trial, source, &bounds, false);
        match all.iter_mut().find(|edge| alike(&edge.set_by, &set_by)) {
            _ if set_by.is_empty() => {}
            Some(edge) => edge.places.push(on),
            None => all.push(Edge { places: vec![on], set_by }),
        }
    }
    told(all)
}

/// The bad or waiting tile that lies next to a good one on one side, with nothing but undecided ones between.
fn beyond(flat: &[Flat], at: usize, side: usize, up: bool) -> Option<usize> {
    let own = flat.get(at)?;
    let (edge, across) = (own.sides[side], own.sides[1 - side]);
    let middle = f64::midpoint(across.0, across.1);
    let away = |other: &Flat| {
        let far = if up { other.sides[side].0 - edge.1 } else { edge.0 - other.sides[side].1 };
        let beside = other.sides[1 - side].0 <= middle && middle <= other.sides[1 - side].1;
        (beside && far >= -1e-9 * (edge.1 - edge.0)).then_some(far)
    };
    let others = flat.iter().enumerate().filter(|(other, flat)| *other != at && flat.label.is_some());
    let nearest = others.filter_map(|(other, flat)| Some((other, away(flat)?))).min_by(|one, two| one.1.total_cmp(&two.1))?;
    (flat.get(nearest.0)?.label != Some(Label::Good)).then_some(nearest.0)
}

/// The middle of a tile's side, and the place just beyond it in the next tile.
fn places(tile: &Tile, other: &Tile, side: usize, up: bool) -> Option<(Place, Place)> {
    let (lo, hi) = tile.sides[1 - side];
    let middle = lo.add(hi)?.div(Exact::whole(2))?;
    let (on, outside) = if up { (tile.sides[side].1, other.sides[side].0) } else { (tile.sides[side].0, other.sides[side].1) };
    Some(if side == 0 { ([on, middle], [outside, middle]) } else { ([middle, on], [middle, outside]) })
}

fn alike(one: &[Clause], other: &[Clause]) -> bool {
    one.len() == other.len() && one.iter().all(|clause| other.iter().any(|known| same(known, clause)))
}

/// Edges by what sets them alone; a corner beyond which several fall short says nothing new.
fn told(mut all: Vec<Edge>) -> Vec<Edge> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by_key(|at| all[*at].set_by.len());
    let mut kept: Vec<usize> = Vec::new();
    for at in order {
        let known = |clause: &Clause| kept.iter().any(|kept| all[*kept].set_by.iter().any(|known| same(known, clause)));
        if !all[at].set_by.iter().all(known) {
            kept.push(at);
        }
    }
    let mut at = 0;
    all.retain(|_| {
        at += 1;
        kept.contains(&(at - 1))
    });
    all
}
