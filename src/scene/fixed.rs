//! Posts and obstacles: by their outlines, else by side, jamb and distance. It must not know what may be near a gate.

use super::facts::Facts;
use super::hung::Hung;
use super::made_up::Lay;
use super::{Axis, Body, Item, Plane, Role, Solid, Sort, between};
use crate::job::RecordId;
use crate::reckon::geometry::{Point, Point3, Range};

/// Sizes that stand in where the job gives none, in metres.
const POST: f64 = 0.12;
const OBSTACLE: (f64, f64) = (1.0, 0.3);

/// Most of them that are drawn, of either sort.
pub const MOST: usize = 30;

/// Where the moving leaves reach.
pub struct Around<'a> {
    /// How the gate lies.
    pub lay: &'a Lay,
    /// The leaves.
    pub hung: &'a [(String, Hung)],
    /// How high things are drawn whose top is not given.
    pub high: f64,
    /// How high posts that guide a leaf are drawn whose top is not given.
    pub guides: f64,
}

impl Around<'_> {
    /// Faces of the closed leaves: the lowest and the highest y.
    pub fn faces(&self) -> Range {
        let ys = self.hung.iter().flat_map(|(_, hung)| [hung.tail.y - hung.half(), hung.tail.y + hung.half()]);
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        if low <= high { Range { low, high } } else { Range { low: 0.0, high: 0.0 } }
    }

    /// Where the leaves reach on the ground, square to the gate line.
    pub fn reach(&self) -> Range {
        let all = self.hung.iter().map(|(_, hung)| hung.reach_y());
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| (low.min(own.low), high.max(own.high)));
        if low <= high { Range { low, high } } else { Range { low: 0.0, high: 0.0 } }
    }
}

/// Posts, then obstacles.
pub fn fixed(facts: Facts, gate: RecordId, around: &Around) -> Vec<Item> {
    let mut items = Vec::new();
    for (key, sort) in [("posts", Sort::Post), ("obstacles", Sort::Obstacle)] {
        let mut places: Vec<Range> = Vec::new();
        for (at, record) in facts.list(gate, key).unwrap_or(&[]).iter().enumerate() {
            let mut item = Item::new(sort, facts.name(*record), facts.id(*record));
            item.measures = facts.measures(*record);
            let kind = facts.word(*record, "kind").unwrap_or("of a kind not given");
            if at >= MOST {
                item.drawn = format!("{kind}; not drawn: more than a drawing holds");
            } else if let Some(outline) = facts.points(*record, "outline").filter(|outline| outline.len() >= 3) {
                by_outline(facts, *record, &outline, around, &mut item);
                item.drawn = format!("{kind}, by its corners");
            } else if sort == Sort::Post {
                post(facts, *record, kind, around, &mut places, &mut item);
            } else {
                obstacle(facts, *record, kind, around, &mut places, &mut item);
            }
            items.push(item);
        }
    }
    items
}

/// Base and top, and whether the top is given.
fn heights(facts: Facts, record: RecordId, around: &Around) -> (Range, bool) {
    let base = facts.length(record, "base").map_or(0.0, |base| base.at);
    match facts.length(record, "top") {
        Some(top) if top.at > base => (Range { low: base, high: top.at }, true),
        _ => {
            let guide = facts.word(record, "kind") == Some("guide-post");
            let high = if guide { around.guides } else { around.high };
            (Range { low: base, high: high.max(base + 0.1) }, false)
        }
    }
}

fn by_outline(facts: Facts, record: RecordId, outline: &[Point3], around: &Around, item: &mut Item) {
    let corners: Vec<Point> = outline.iter().map(|corner| corner.plan()).collect();
    let (depth, topped) = heights(facts, record, around);
    let ys = corners.iter().map(|corner| corner.y).fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), y| (l.min(y), h.max(y)));
    let gap = facts.length(record, "gap").or_else(|| facts.length(record, "distance"));
    let faces = around.faces();
    let at = corners.iter().map(|corner| corner.x).fold(f64::INFINITY, f64::min);
    // Shown only where the least gap is the one straight across from a face of the leaf.
    if let Some(gap) = gap {
        for (from, to) in [(faces.high, ys.0), (faces.low, ys.1)] {
            if (gap.at - (to - from).abs()).abs() < 5e-4 && (to - from) * (ys.0 + ys.1 - faces.low - faces.high) > 0.0 {
                item.dimension(Some(&gap), Axis::Y, Point3::new(at, from, depth.low), Point3::new(at, to, depth.low));
            }
        }
    }
    if let Some(top) = facts.length(record, "top").filter(|_| topped && depth.low == 0.0) {
        let corner = corners.first().copied().unwrap_or_default();
        let point = |z: f64| Point3::new(corner.x, corner.y, z);
        item.dimension(Some(&top), Axis::Z, point(0.0), point(top.at));
    }
    item.shape(Role::Fixed, Body::Solid(Solid { plane: Plane::Level, outlines: vec![corners], depth }), false);
    if !topped {
        item.guessed.push("its top is not given".into());
    }
}

/// A place along the gate line that nothing drawn by guess has taken yet.
fn free(places: &mut Vec<Range>, mut own: Range, step: f64) -> Range {
    while places.iter().any(|other| own.low < other.high - 1e-9 && other.low < own.high - 1e-9) {
        own = Range { low: own.low + step, high: own.high + step };
    }
    places.push(own);
    own
}

fn post(facts: Facts, record: RecordId, kind: &str, around: &Around, places: &mut Vec<Range>, item: &mut Item) {
    let (jamb, side) = (facts.word(record, "jamb"), facts.word(record, "side"));
    let opening = around.lay.opening;
    let Some(jamb) = jamb else {
        item.drawn = format!("{kind}; not drawn: the jamb at which it stands is not given");
        return;
    };
    let (own, step) = match jamb {
        "left" => (Range { low: opening.low - POST, high: opening.low }, -1.5 * POST),
        _ => (Range { low: opening.high, high: opening.high + POST }, 1.5 * POST),
    };
    let x = free(places, own, step);
    let faces = around.faces();
    let gap = facts.length(record, "gap").filter(|gap| gap.at >= 0.0);
    let off = gap.as_ref().map_or(0.05, |gap| gap.at);
    let middle = f64::midpoint(faces.low, faces.high);
    let y = match side {
        Some("public") => Range { low: faces.low - off - POST, high: faces.low - off },
        Some(_) => Range { low: faces.high + off, high: faces.high + off + POST },
        None => Range { low: middle - POST / 2.0, high: middle + POST / 2.0 },
    };
    let (z, topped) = heights(facts, record, around);
    item.shape(Role::Fixed, Body::cuboid(x, y, z), true);
    item.drawn = format!("{kind} at the {jamb} jamb, schematic");
    item.guessed.push("its corners are not given, so place and size are schematic".into());
    if !topped {
        item.guessed.push("its top is not given".into());
    }
    let at = |y: f64| Point3::new(x.low, y, z.low);
    match side {
        Some("public") => item.dimension(gap.as_ref(), Axis::Y, at(y.high), at(faces.low)),
        Some(_) => item.dimension(gap.as_ref(), Axis::Y, at(faces.high), at(y.low)),
        None => item.guessed.push("the side on which it stands is not given".into()),
    }
}

fn obstacle(facts: Facts, record: RecordId, kind: &str, around: &Around, places: &mut Vec<Range>, item: &mut Item) {
    let distance = facts.length(record, "distance").filter(|distance| distance.at >= 0.0);
    let (Some(side), Some(distance)) = (facts.word(record, "side"), distance) else {
        item.drawn = format!("{kind}; not drawn: its corners, or its side and distance, are not given");
        return;
    };
    let reach = around.reach();
    let depth = facts.length(record, "depth").filter(|depth| depth.at > 0.0);
    let deep = depth.as_ref().map_or(OBSTACLE.1, |depth| depth.at);
    let middle = beside(around);
    let own = Range { low: middle - OBSTACLE.0 / 2.0, high: middle + OBSTACLE.0 / 2.0 };
    let x = free(places, own, OBSTACLE.0 * 1.5);
    let y = match side {
        "public" => Range { low: reach.low - distance.at - deep, high: reach.low - distance.at },
        _ => Range { low: reach.high + distance.at, high: reach.high + distance.at + deep },
    };
    let (z, topped) = heights(facts, record, around);
    item.shape(Role::Fixed, Body::cuboid(x, y, z), true);
    item.drawn = format!("{kind} on the {side} side, schematic");
    item.guessed.push("its corners are not given, so place and size are schematic".into());
    if !topped {
        item.guessed.push("its top is not given".into());
    }
    let at = |y: f64| Point3::new(x.high, y, z.low);
    let near = if side == "public" { (y.high, reach.low) } else { (reach.high, y.low) };
    item.dimension(Some(&distance), Axis::Y, at(near.0), at(near.1));
    item.dimension(depth.as_ref(), Axis::Y, at(y.low), at(y.high));
}

/// Where along the gate line the open leaf stands.
fn beside(around: &Around) -> f64 {
    let open = around.hung.iter().find_map(|(_, hung)| hung.open.map(|(tail, lead)| between(tail.x, lead.x)));
    let place = open.unwrap_or(around.lay.opening);
    f64::midpoint(place.low, place.high)
}
