//! Contact edges, at the places that the job names by words. It must not know where one is needed.

use super::facts::Facts;
use super::fixed::Around;
use super::{Axis, Body, Item, Role, Shape, Sort};
use crate::job::RecordId;
use crate::reckon::geometry::Point3;

/// Most of them that are drawn.
const MOST: usize = 30;

/// The contact edges; those on posts stand at a post drawn before.
pub fn edges(facts: Facts, gate: RecordId, around: &Around, fixed: &[Item]) -> Vec<Item> {
    let mut items = Vec::new();
    let mut taken: Vec<(&str, usize)> = Vec::new();
    for (at, record) in facts.list(gate, "edges").unwrap_or(&[]).iter().enumerate() {
        let mut item = Item::new(Sort::Edge, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let place = facts.word(*record, "place").unwrap_or("");
        let turn = match taken.iter_mut().find(|(known, _)| *known == place) {
            Some((_, times)) => {
                *times += 1;
                *times
            }
            None => {
                taken.push((place, 0));
                0
            }
        };
        if at >= MOST || place.is_empty() {
            item.drawn = "not drawn: its place is not given".into();
        } else {
            edge(facts, *record, place, turn, around, fixed, &mut item);
        }
        items.push(item);
    }
    items
}

fn edge(facts: Facts, record: RecordId, place: &str, turn: usize, around: &Around, fixed: &[Item], item: &mut Item) {
    let length = facts.length(record, "length").filter(|length| length.at > 0.0);
    let leaf = around.hung.get(turn % around.hung.len().max(1)).map(|(_, hung)| hung);
    let line = match (place, leaf) {
        ("leading-edge" | "trailing-edge" | "hinge" | "pinch-point", Some(leaf)) => {
            let long = length.as_ref().map_or(leaf.height, |length| length.at.min(leaf.height));
            let at = if place == "leading-edge" { leaf.lead } else { leaf.tail };
            let up = (leaf.height - long) / 2.0;
            upright(at, up, long)
        }
        ("bottom-edge" | "arm-bottom", Some(leaf)) => {
            let whole = libm::hypot(leaf.lead.x - leaf.tail.x, leaf.lead.y - leaf.tail.y).max(1e-9);
            let share = length.as_ref().map_or(1.0, |length| (length.at / whole).min(1.0));
            vec![leaf.along((1.0 - share) / 2.0, 0.0), leaf.along(f64::midpoint(1.0, share), 0.0)]
        }
        ("post-inside" | "post-outside", _) => match post(fixed, turn, place == "post-inside") {
            Some(at) => upright(at, 0.05, length.as_ref().map_or(1.5, |length| length.at)),
            None => Vec::new(),
        },
        _ => Vec::new(),
    };
    let (Some(from), Some(to)) = (line.first().copied(), line.last().copied()) else {
        item.drawn = format!("at {place}; not drawn: what it is fixed to is not drawn");
        return;
    };
    item.drawn = format!("along {place}");
    item.guessed.push("only its place in words is given, so how far up or along it starts is schematic".into());
    if length.is_none() {
        item.guessed.push("its length is not given".into());
    }
    if let Some(length) = &length {
        let axis = if (to.z - from.z).abs() > 1e-9 { Axis::Z } else { Axis::X };
        let long = if axis == Axis::Z { to.z - from.z } else { to.x - from.x };
        if (long.abs() - length.at).abs() < 1e-6 {
            item.dimension(Some(length), axis, from, to);
        } else {
            item.guessed.push("it is longer than what it is drawn on, and is drawn cut".into());
        }
    }
    item.shape(Role::Edge, Body::Line(line), true);
}

fn upright(at: Point3, up: f64, long: f64) -> Vec<Point3> {
    vec![Point3 { z: at.z + up, ..at }, Point3 { z: at.z + up + long, ..at }]
}

/// The face of a post on which a strip is fixed: toward the opening, or away from it.
fn post(fixed: &[Item], turn: usize, inside: bool) -> Option<Point3> {
    let posts: Vec<&Shape> = fixed.iter().filter(|item| item.sort == Sort::Post).filter_map(|item| item.shapes.first()).collect();
    let Body::Solid(solid) = &posts.get(turn % posts.len().max(1))?.body else { return None };
    let nearest = |one: Point3, other: Point3| if (other.y.abs() < one.y.abs()) == inside { other } else { one };
    solid.corners().filter(|corner| corner.z <= solid.depth.low).reduce(nearest)
}
