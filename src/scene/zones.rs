//! Hazard zones: by their corners, else at the place that their word names. It must not know which of them must be protected.

use super::facts::Facts;
use super::fixed::Around;
use super::hung::Hung;
use super::{Body, Item, Plane, Role, Solid, Sort};
use crate::builtin::drawn::{beam, ground};
use crate::builtin::{Form, Outcome};
use crate::job::RecordId;
use crate::judge::built_in::gathered;
use crate::reckon::beam::{Beam, Body as Person, blind_area};
use crate::reckon::geometry::{Ground, Point3, Polygon, Range};

/// Most of them that are drawn.
const MOST: usize = 30;

/// The reference body whose blind area is drawn, upright, in metres: 700 mm x 300 mm x 200 mm (from memory).
const BODY: [f64; 3] = [0.7, 0.3, 0.2];

/// A gate's ground and the ends of its beams.
const BEAMS: Form = Form {
    of: "gate",
    facts: &["ground", "cross-slope"],
    below: &[("beams", &Form { of: "beam", facts: &["sender", "mate", "zone"], below: &[], above: None })],
    above: None,
};

/// The zones.
pub fn zones(facts: Facts, gate: RecordId, around: &Around, fixed: &[Item]) -> Vec<Item> {
    let mut items = Vec::new();
    for (at, record) in facts.list(gate, "zones").unwrap_or(&[]).iter().enumerate() {
        let mut item = Item::new(Sort::Zone, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let place = facts.word(*record, "place").unwrap_or("");
        let while_ = facts.words(*record, "while").join(" and ");
        let words = if while_.is_empty() { place.to_string() } else { format!("{place}, {while_}") };
        if at >= MOST {
            item.drawn = format!("{words}; not drawn: more than a drawing holds");
        } else if let Some(corners) = facts.points(*record, "outline").filter(|corners| corners.len() >= 3) {
            item.drawn = format!("{words}: ground with its corners");
            let outline = corners.iter().map(|corner| corner.plan()).collect();
            let low = facts.length(*record, "height").map_or(0.0, |height| height.at);
            let depth = Range { low, high: low };
            item.shape(Role::Zone, Body::Solid(Solid { plane: Plane::Level, outlines: vec![outline], depth }), false);
            blind(facts, gate, place, &corners, &mut item);
        } else {
            named(facts, *record, place, around, fixed, &mut item);
            let done = if item.shapes.is_empty() { "; not drawn: its place is not known" } else { ": a mark at the place that it names" };
            item.drawn = format!("{words}{done}");
        }
        items.push(item);
    }
    items
}

/// The ground in the zone on which the reference body, upright, breaks no beam that watches the zone; each such beam must be drawn.
fn blind(facts: Facts, gate: RecordId, place: &str, corners: &[Point3], item: &mut Item) {
    let (thing, _) = gathered(facts.program, facts.job, &BEAMS, gate);
    let watching = || -> Outcome<(Vec<Beam>, Ground)> {
        let mut beams = Vec::new();
        for one in thing.list("beams")? {
            if one.maybe("zone")?.is_some_and(|zone| zone.word() == Ok(place)) {
                beams.push(beam(one)?.0);
            }
        }
        Ok((beams, ground(&thing)?.0))
    };
    let Ok((beams, ground)) = watching() else {
        item.guessed.push("what its beams do not see is not drawn: a beam that watches it has no points".into());
        return;
    };
    if beams.is_empty() {
        return;
    }
    let plan: Vec<_> = corners.iter().map(|corner| corner.plan()).collect();
    let [long, wide, deep] = BODY;
    let found = Polygon::new(&plan).and_then(|zone| blind_area(&zone, &beams, &ground, Person::new(long, wide, deep)?.upright()));
    match found {
        Ok(found) => {
            let outlines = found.places().outlines();
            if !outlines.is_empty() {
                let depth = Range { low: 0.0, high: 0.0 };
                item.shape(Role::Blind, Body::Solid(Solid { plane: Plane::Level, outlines, depth }), false);
            }
            item.guessed.push("blind: where a body 300 mm x 200 mm, 700 mm high, can stand and break no beam (body from memory)".into());
        }
        Err(why) => item.guessed.push(format!("what its beams do not see cannot be drawn: {why}").trim_end_matches('.').to_string()),
    }
}

/// A mark at the place that a word names.
fn named(facts: Facts, record: RecordId, place: &str, around: &Around, fixed: &[Item], item: &mut Item) {
    let own = facts.text(record, "leaf");
    let leaf = own.and_then(|own| around.hung.iter().find(|(id, _)| id == own)).or_else(|| around.hung.first()).map(|(_, hung)| hung);
    let Some(at) = leaf.and_then(|leaf| spot(place, leaf, around, fixed)) else { return };
    item.shape(Role::ZoneNamed, Body::Spot(at), true);
    item.guessed.push("its corners are not given; the mark has no size".into());
}

fn spot(place: &str, leaf: &Hung, around: &Around, fixed: &[Item]) -> Option<Point3> {
    let up = leaf.height / 2.0;
    let raised = |at: Point3| Point3 { z: at.z + up, ..at };
    Some(match place {
        "leading-edge" => raised(leaf.lead),
        "trailing-edge" => raised(leaf.open.map_or(leaf.tail, |(tail, _)| tail)),
        "hinge" | "pivot" => leaf.axis.filter(|axis| axis.z > leaf.tail.z).unwrap_or(raised(leaf.tail)),
        "bottom-edge" => leaf.along(0.5, 0.0),
        "face" => Point3 { y: leaf.middle().y + leaf.half(), ..leaf.middle() },
        "receiver-post" => post(fixed, "receiver").unwrap_or(raised(leaf.lead)),
        "support-post" => post(fixed, "support").or_else(|| post(fixed, "guide-post")).unwrap_or_else(|| {
            let near = |x: f64| (x - leaf.tail.x).abs();
            let opening = around.lay.opening;
            let x = if near(opening.low) < near(opening.high) { opening.low } else { opening.high };
            Point3 { x, ..raised(leaf.tail) }
        }),
        "swept-area" | "arm-path" => match leaf.open {
            Some((_, open)) => Point3 {
                x: f64::midpoint(leaf.lead.x, open.x),
                y: f64::midpoint(leaf.lead.y, open.y),
                z: f64::midpoint(leaf.lead.z, open.z) + if place == "arm-path" { 0.0 } else { up },
            },
            None => leaf.middle(),
        },
        _ => return None,
    })
}

/// The middle of the first post whose words name that kind.
fn post(fixed: &[Item], kind: &str) -> Option<Point3> {
    let item = fixed.iter().find(|item| item.sort == Sort::Post && item.drawn.starts_with(kind))?;
    let Body::Solid(solid) = &item.shapes.first()?.body else { return None };
    let corners: Vec<Point3> = solid.corners().collect();
    let count = corners.len().max(1) as f64;
    let sum = corners.iter().fold(Point3::default(), |sum, corner| sum + *corner);
    Some(sum * (1.0 / count))
}
