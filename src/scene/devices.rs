//! Beams and controls: by their points, else by height, offset, span, side and distance. It must not know what they must be like.

use super::facts::{Facts, Measure};
use super::fixed::Around;
use super::{Axis, Body, Item, Plane, Role, Solid, Sort};
use crate::job::RecordId;
use crate::reckon::geometry::{Point3, Range, Region};

/// Offset that stands in where the job gives none, in metres.
const OFFSET: f64 = 0.15;
/// Height that stands in.
const HEIGHT: f64 = 0.5;

/// Most beams, and most controls, that are drawn.
pub const MOST: usize = 30;

/// The beams.
pub fn beams(facts: Facts, gate: RecordId, around: &Around) -> Vec<Item> {
    let mut items = Vec::new();
    for (at, record) in facts.list(gate, "beams").unwrap_or(&[]).iter().enumerate() {
        let mut item = Item::new(Sort::Beam, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let style = facts.word(*record, "style").unwrap_or("beam");
        if at >= MOST {
            item.drawn = format!("{style}; not drawn: more than a drawing holds");
        } else {
            beam(facts, *record, style, around, &mut item);
        }
        items.push(item);
    }
    items
}

fn beam(facts: Facts, record: RecordId, style: &str, around: &Around, item: &mut Item) {
    let ends = facts.point(record, "sender").zip(facts.point(record, "mate"));
    let (sender, mate) = match ends {
        Some(((sender, true), (mate, true))) => {
            item.drawn = format!("{style} from sender to mate, by its points");
            (sender, mate)
        }
        _ => guessed_beam(facts, record, style, around, item),
    };
    item.shape(Role::Beam, Body::Line(vec![sender, mate]), ends.is_none());
    let measure = |name: &str| facts.length(record, name);
    let (left, right) = if sender.x <= mate.x { (sender, mate) } else { (mate, sender) };
    let level = Axis::X;
    if let Some(span) = measure("span").filter(|span| (span.at - (right.x - left.x)).abs() <= 1e-4 + span.at * 1e-4) {
        item.dimension(Some(&span), level, left, right);
    }
    let down = |at: Point3, height: &Measure| Point3 { z: at.z - height.at, ..at };
    for (name, at) in [("height", sender), ("mate-height", mate)] {
        let known = measure(name);
        let same = name == "mate-height" && measure("height").map(|height| height.exact) == known.as_ref().map(|height| height.exact);
        if let Some(height) = known.filter(|_| !same) {
            item.dimension(Some(&height), Axis::Z, down(at, &height), at);
        }
    }
    let (faces, y) = (around.faces(), sender.y);
    if let Some(offset) = measure("offset") {
        let face = if y > faces.high { faces.high } else { faces.low };
        let askew = (mate.y - sender.y).abs() > 1e-4;
        if !askew && ((y - face).abs() - offset.at).abs() <= 1e-4 {
            item.dimension(Some(&offset), Axis::Y, Point3 { y: face, ..left }, Point3 { y, ..left });
        }
    }
    if let Some(height) = measure("height") {
        item.guessed.push(format!("what stays under {} at its sender breaks no light of it", height.written));
    }
}

/// A beam along the gate line at its offset and heights, its ends as far beyond the jambs as the span tells.
fn guessed_beam(facts: Facts, record: RecordId, style: &str, around: &Around, item: &mut Item) -> (Point3, Point3) {
    let opening = around.lay.opening;
    let measure = |name: &str| facts.length(record, name);
    let mut miss = |what: &str| item.guessed.push(what.to_string());
    miss("no points are given, so its place along the gate line is schematic");
    let span = measure("span").filter(|span| span.at > 0.0).map_or_else(
        || {
            miss("its span is not given");
            (opening.high - opening.low) * 1.05
        },
        |span| span.at,
    );
    let side = facts.word(record, "side");
    if side.is_none() {
        miss("the side on which it runs is not given; drawn on the public side");
    }
    let off = measure("offset").filter(|offset| offset.at >= 0.0).map_or_else(
        || {
            miss("its offset is not given");
            OFFSET
        },
        |offset| offset.at,
    );
    let height = measure("height").map_or_else(
        || {
            miss("its height is not given");
            HEIGHT
        },
        |height| height.at,
    );
    let other = measure("mate-height").map_or(height, |height| height.at);
    let jamb = facts.word(record, "sender-jamb");
    if jamb.is_none() {
        miss("the jamb at which its sender stands is not given; drawn at the left");
    }
    let (faces, middle) = (around.faces(), f64::midpoint(opening.low, opening.high));
    let y = if side == Some("secured") { faces.high + off } else { faces.low - off };
    let way = if jamb == Some("right") { -1.0 } else { 1.0 };
    let words = side.map_or_else(String::new, |side| format!(" on the {side} side"));
    item.drawn = format!("{style}{words}, by its measures");
    (Point3::new(middle - way * span / 2.0, y, height), Point3::new(middle + way * span / 2.0, y, other))
}

/// The controls: no place is given for them, so every place that is as far from the moving gate is drawn, where it is near.
pub fn controls(facts: Facts, gate: RecordId, around: &Around) -> Vec<Item> {
    let ground = around.hung.iter().filter_map(|(_, hung)| hung.footprint.clone()).reduce(|one, other| one.union(&other));
    let opening = around.lay.opening.high - around.lay.opening.low;
    let mut drawn: Vec<crate::quantity::Exact> = Vec::new();
    let mut items = Vec::new();
    for record in facts.list(gate, "controls").unwrap_or(&[]) {
        let mut item = Item::new(Sort::Control, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let kind = facts.word(*record, "kind").unwrap_or("control");
        let near = opening.max(2.0) * 0.35;
        item.drawn = match facts.length(*record, "distance") {
            None => format!("{kind}; not drawn: no distance is given"),
            Some(distance) if distance.at > near => format!("{kind}; not drawn: its place is not given, and its distance lies outside"),
            Some(distance) => {
                item.guessed.push("its place is not given: it is somewhere on the line".into());
                let known = drawn.contains(&distance.exact);
                drawn.push(distance.exact);
                match ground.as_ref().filter(|_| distance.at > 0.0 && drawn.len() <= MOST).map(|ground| ground.grown(distance.at)) {
                    Some(Ok(reach)) => {
                        reached(&mut item, &reach, known);
                        format!("{kind}: every place that is so far from the moving gate")
                    }
                    _ => format!("{kind}; not drawn: its distance from the moving gate cannot be drawn"),
                }
            }
        };
        items.push(item);
    }
    items
}

/// The line round the moving gate; a second control at the same distance is named at the same line.
fn reached(item: &mut Item, reach: &Region, known: bool) {
    let outlines = reach.outlines();
    let lowest = outlines.iter().flatten().copied().reduce(|one, other| if other.y < one.y { other } else { one });
    if known {
        if let Some(at) = lowest {
            item.shape(Role::Reach, Body::Spot(at.at_height(0.0)), true);
        }
        return;
    }
    item.shape(Role::Reach, Body::Solid(Solid { plane: Plane::Level, outlines, depth: Range { low: 0.0, high: 0.0 } }), true);
}
