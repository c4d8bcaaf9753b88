//! Rollers and cable runs. It must not know how they must be laid.

use super::facts::Facts;
use super::fixed::Around;
use super::{Axis, Body, Item, Role, Sort};
use crate::job::RecordId;
use crate::reckon::geometry::Point3;

/// Most of either that are drawn.
const MOST: usize = 20;

/// The rollers: their heights are given, their places along the gate are not.
pub fn rollers(facts: Facts, gate: RecordId, around: &Around) -> Vec<Item> {
    let records = facts.list(gate, "rollers").unwrap_or(&[]);
    let mut items = Vec::new();
    for (at, record) in records.iter().enumerate() {
        let mut item = Item::new(Sort::Roller, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let height = facts.length(*record, "height").filter(|height| height.at >= 0.0);
        match (around.hung.first(), height, at < MOST) {
            (Some((_, leaf)), Some(height), true) => {
                // Along the part of the leaf that stays beside the opening.
                let share = 0.3 * (at as f64 + 0.5) / records.len().min(MOST) as f64;
                let place = Point3 { z: height.at, ..leaf.along(share, 0.0) };
                item.shape(Role::Roller, Body::Spot(place), true);
                item.dimension(Some(&height), Axis::Z, Point3 { z: 0.0, ..place }, place);
                item.drawn = "roller at its height".into();
                item.guessed.push("where along the gate it stands is not given".into());
            }
            (_, None, _) => item.drawn = "not drawn: its height is not given".into(),
            _ => item.drawn = "not drawn: more than a drawing holds, or no leaf to draw it on".into(),
        }
        items.push(item);
    }
    items
}

/// The cable runs: by their points where a pack has such a fact, else at their depth alone.
pub fn runs(facts: Facts, gate: RecordId, around: &Around) -> Vec<Item> {
    let mut items = Vec::new();
    for (at, record) in facts.list(gate, "runs").unwrap_or(&[]).iter().enumerate() {
        let mut item = Item::new(Sort::Run, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let cover = facts.length(*record, "cover").filter(|cover| cover.at > 0.0);
        let kind = facts.word(*record, "kind").unwrap_or("run");
        if at >= MOST {
            item.drawn = format!("{kind}; not drawn: more than a drawing holds");
        } else if let Some(points) = facts.any_points(*record).filter(|points| points.len() >= 2) {
            item.shape(Role::Run, Body::Line(points), false);
            item.drawn = format!("{kind}, by its points");
        } else if let Some(cover) = cover {
            // Seen along the gate line: one beside the other under the drive.
            let y = around.faces().low - 0.3 - 0.25 * at as f64;
            let place = Point3::new(f64::midpoint(around.lay.opening.low, around.lay.opening.high), y, -cover.at);
            item.shape(Role::Run, Body::Spot(place), true);
            item.dimension(Some(&cover), Axis::Z, place, Point3 { z: 0.0, ..place });
            item.drawn = format!("{kind} at its depth, in the section alone");
            item.guessed.push("no points are given, so where it runs is not known".into());
        } else {
            item.drawn = format!("{kind}; not drawn: no points are given");
        }
        items.push(item);
    }
    items
}
