//! Turns the points of a gate as surveyed into leaves in movement and fixed objects, with how far each may be off by the tolerance
//! of its points. It must not know what is asked of them.

use super::form::{Argument, Form, Outcome, Refusal, Thing};
use super::lift::middle;
use crate::datum::Place;
use crate::quantity::{Exact, Interval};
use crate::reckon::beam::Beam;
use crate::reckon::geometry::{
    BarrierArm, Bifold, Fixed, Ground, Lead, Leaf, Movement, Plane, Point, Point3, Polygon, Range, Side, Slide, Swing, VerticalLift,
    VerticalPivot,
};

/// What a leaf in movement is made of.
pub const LEAF: Form = Form {
    of: "leaf",
    facts: &["from", "to", "pivot", "thickness", "height", "travel", "opening-angle", "opens-to", "fold-length", "fold-guided"],
    below: &[],
    above: None,
};
/// A gate with its leaves and the ground.
pub const GATE: Form =
    Form { of: "gate", facts: &["kind", "bottom-gap", "ground", "cross-slope"], below: &[("leaves", &LEAF)], above: None };
/// A post with its gate.
pub const POST: Form = Form { of: "post", facts: &["outline", "base", "top", "kind"], below: &[], above: Some(&GATE) };
/// An obstacle with its gate.
pub const OBSTACLE: Form = Form { of: "obstacle", facts: &["outline", "base", "top", "kind"], below: &[], above: Some(&GATE) };
/// A post or obstacle by itself.
pub const ONLY_POST: Form = Form { above: None, ..POST };
/// An obstacle by itself.
pub const ONLY_OBSTACLE: Form = Form { above: None, ..OBSTACLE };

/// A fixed thing is taken to be so high where its top is not stated, in metres: over any gate.
const TALL: f64 = 30.0;

/// A leaf in movement, with the most by which any of its points may be off, in metres.
pub struct Moving {
    /// The movement.
    pub movement: Movement,
    /// The most by which a point of it may be off in plan at any position; of a leaf that rises, in its plane.
    pub off: f64,
    /// The most by which its bottom and top may be off.
    pub off_upright: f64,
}

/// A fixed object, with the most by which it may be off.
pub struct Standing {
    /// The object.
    pub object: Fixed,
    /// The most by which a point of it may be off in plan.
    pub off: f64,
    /// The most by which its base and top may be off.
    pub off_upright: f64,
}

impl Moving {
    /// By how much the distance to a fixed object may be off. Where both overlap well in height, heights do not matter.
    pub fn off_from(&self, fixed: &Standing) -> f64 {
        let (upright, plan) = (self.off_upright + fixed.off_upright, self.off + fixed.off);
        if self.movement.plane() == Plane::Plan {
            let (leaf, object) = (self.movement.depth(), fixed.object.heights());
            let overlap = leaf.high.min(object.high) - leaf.low.max(object.low);
            return if overlap > upright { plan } else { plan + upright };
        }
        plan + upright
    }
}

/// A point in space as read, and how far it may be off. Without a height it lies at `grade`.
pub fn point3(place: &Place, grade: Option<f64>) -> Outcome<(Point3, f64)> {
    let ((x, dx), (y, dy)) = (middle(place.x)?, middle(place.y)?);
    let (z, dz) = match (place.z, grade) {
        (Some(z), _) => middle(z)?,
        (None, Some(grade)) => (grade, 0.0),
        (None, None) => return Err(Refusal::Unfit("a point lacks its height, the third length")),
    };
    Ok((Point3::new(x, y, z), (dx * dx + dy * dy + dz * dz).sqrt()))
}

fn plan(place: &Place) -> Outcome<(Point, f64)> {
    let ((x, dx), (y, dy)) = (middle(place.x)?, middle(place.y)?);
    Ok((Point::new(x, y), (dx * dx + dy * dy).sqrt()))
}

fn metres(thing: &Thing, name: &'static str) -> Outcome<(f64, f64)> {
    middle(thing.number(name)?)
}

/// A fact's number, or nothing where it is not stated.
fn maybe(thing: &Thing, name: &'static str) -> Outcome<Option<(f64, f64)>> {
    thing.maybe(name)?.map(|fact| fact.number().and_then(middle)).transpose()
}

/// Every leaf of a gate in movement; a gate has one at least.
pub fn moving(gate: &Thing) -> Outcome<Vec<Moving>> {
    let leaves: Vec<Moving> = gate.list("leaves")?.iter().map(|leaf| one_moving(gate, leaf)).collect::<Outcome<_>>()?;
    if leaves.is_empty() { Err(Refusal::Unfit("the gate has no leaves")) } else { Ok(leaves) }
}

/// One leaf of a gate in movement.
pub fn one_moving(gate: &Thing, leaf: &Thing) -> Outcome<Moving> {
    leaf.demand(&["from", "to", "thickness", "height"])?;
    let kind = gate.word("kind")?;
    let ends = Ends::of(gate, leaf)?;
    let (described, turn) = match kind {
        "horizontal-slide" => (slide(leaf, &ends)?, 0.0),
        "swing" => swing(leaf, &ends)?,
        "vertical-lift" => (lift(leaf, &ends)?, 0.0),
        "vertical-pivot" => pivot(leaf, &ends)?,
        "barrier-arm" => arm(leaf, &ends)?,
        "bifold" => bifold(leaf, &ends)?,
        _ => return Err(Refusal::Unfit("no movement is worked out for this kind of gate")),
    };
    let travel = maybe(leaf, "travel")?.map_or(0.0, |(_, off)| off);
    // A leaf that moves straight keeps its direction; one that turns swings its far end out by what its direction is off.
    let straight = matches!(described, Leaf::Slide(_) | Leaf::VerticalLift(_));
    let along = if straight || ends.length <= 0.0 { 0.0 } else { (ends.off_from + ends.off_to) / ends.length };
    let off = ends.off_from.max(ends.off_to) + ends.off_pivot + travel + (along + turn) * (ends.length + ends.height) + ends.off_thickness;
    Ok(Moving { movement: described.movement()?, off, off_upright: ends.off_upright })
}

/// The ends and sizes of a closed leaf.
struct Ends {
    from: Point,
    to: Point,
    pivot: Option<Point3>,
    bottom: f64,
    height: f64,
    thickness: f64,
    length: f64,
    off_from: f64,
    off_to: f64,
    off_pivot: f64,
    off_thickness: f64,
    off_upright: f64,
}

impl Ends {
    fn of(gate: &Thing, leaf: &Thing) -> Outcome<Ends> {
        let (from, to) = (leaf.point("from")?, leaf.point("to")?);
        let ((start, off_from), (end, off_to)) = (plan(from)?, plan(to)?);
        let (height, off_height) = metres(leaf, "height")?;
        let (thickness, off_thickness) = metres(leaf, "thickness")?;
        let bottom = match from.z {
            Some(z) => middle(z)?,
            None => metres(gate, "bottom-gap")?,
        };
        let pivot = leaf.maybe("pivot")?.map(|pivot| pivot.point().and_then(|place| point3(place, Some(bottom.0)))).transpose()?;
        let length = Point3::new(end.x - start.x, end.y - start.y, 0.0).length();
        Ok(Ends {
            from: start,
            to: end,
            pivot: pivot.map(|(pivot, _)| pivot),
            bottom: bottom.0,
            height,
            thickness,
            length,
            off_from,
            off_to,
            off_pivot: pivot.map_or(0.0, |(_, off)| off),
            off_thickness: off_thickness / 2.0,
            off_upright: off_height + bottom.1,
        })
    }

    /// Toward the leading edge along the gate line.
    fn toward(&self) -> Side {
        if self.to.x >= self.from.x { Side::Right } else { Side::Left }
    }

    fn middle_y(&self) -> f64 {
        f64::midpoint(self.from.y, self.to.y)
    }

    fn low_x(&self) -> f64 {
        self.from.x.min(self.to.x)
    }

    /// A leaf that moves in its own plane lies along the gate line.
    fn along_the_line(&self) -> Outcome<()> {
        let askew = (self.to.y - self.from.y).abs() > 0.02 * self.length + self.off_from + self.off_to;
        if askew { Err(Refusal::Unfit("the closed leaf does not lie along the gate line")) } else { Ok(()) }
    }
}

fn slide(leaf: &Thing, ends: &Ends) -> Outcome<Leaf> {
    ends.along_the_line()?;
    let opens = match ends.toward() {
        Side::Right => Side::Left,
        Side::Left => Side::Right,
    };
    Ok(Leaf::Slide(Slide {
        left_end: ends.low_x(),
        offset: ends.middle_y(),
        length: ends.length,
        thickness: ends.thickness,
        bottom: ends.bottom,
        height: ends.height,
        travel: metres(leaf, "travel")?.0,
        opens,
    }))
}

/// The opening angle in radians, and how far it may be off.
fn opening(leaf: &Thing) -> Outcome<(f64, f64)> {
    let (angle, off) = metres(leaf, "opening-angle")?;
    Ok((angle.to_radians(), off.to_radians()))
}

/// The signed opening of a leaf that turns in plan: positive counter-clockwise.
fn signed_opening(leaf: &Thing, closed: f64) -> Outcome<(f64, f64)> {
    let (angle, off) = opening(leaf)?;
    let to_secured = leaf.word("opens-to")? == "secured";
    // A leaf that reaches to +x turns counter-clockwise toward +y, the secured side.
    let counter = to_secured == (libm::cos(closed) >= 0.0);
    Ok((if counter { angle } else { -angle }, off))
}

fn swing(leaf: &Thing, ends: &Ends) -> Outcome<(Leaf, f64)> {
    let closed = libm::atan2(ends.to.y - ends.from.y, ends.to.x - ends.from.x);
    let (opening_angle, turn) = signed_opening(leaf, closed)?;
    let (heel, offset, hinge) = match ends.pivot {
        None => (0.0, 0.0, ends.from),
        Some(pivot) => {
            let (sin, cos) = libm::sincos(closed);
            let (x, y) = (ends.from.x - pivot.x, ends.from.y - pivot.y);
            (x * cos + y * sin, y * cos - x * sin, Point::new(pivot.x, pivot.y))
        }
    };
    let swing = Swing {
        hinge,
        closed_direction: closed,
        opening_angle,
        heel,
        length: ends.length,
        offset,
        thickness: ends.thickness,
        bottom: ends.bottom,
        height: ends.height,
    };
    Ok((Leaf::Swing(swing), turn))
}

fn lift(leaf: &Thing, ends: &Ends) -> Outcome<Leaf> {
    ends.along_the_line()?;
    Ok(Leaf::VerticalLift(VerticalLift {
        left_side: ends.low_x(),
        width: ends.length,
        offset: ends.middle_y(),
        thickness: ends.thickness,
        bottom: ends.bottom,
        height: ends.height,
        travel: metres(leaf, "travel")?.0,
    }))
}

/// The axis of a leaf that turns in the gate's plane, and how far the leaf reaches on either side of it.
fn axis(ends: &Ends) -> Outcome<(Point3, f64, f64)> {
    ends.along_the_line()?;
    let pivot = ends.pivot.ok_or(Refusal::IsNone("pivot"))?;
    let sign = if ends.toward() == Side::Right { 1.0 } else { -1.0 };
    Ok((pivot, (ends.to.x - pivot.x) * sign, ((pivot.x - ends.from.x) * sign).max(0.0)))
}

fn pivot(leaf: &Thing, ends: &Ends) -> Outcome<(Leaf, f64)> {
    leaf.demand(&["pivot"])?;
    let (pivot, length, tail) = axis(ends)?;
    let (opening_angle, turn) = opening(leaf)?;
    let described = VerticalPivot {
        pivot_x: pivot.x,
        pivot_z: pivot.z,
        reaches: ends.toward(),
        length,
        tail,
        below: pivot.z - ends.bottom,
        above: ends.bottom + ends.height - pivot.z,
        offset: ends.middle_y(),
        thickness: ends.thickness,
        opening_angle,
    };
    Ok((Leaf::VerticalPivot(described), turn))
}

fn arm(leaf: &Thing, ends: &Ends) -> Outcome<(Leaf, f64)> {
    leaf.demand(&["pivot"])?;
    let (pivot, length, tail) = axis(ends)?;
    let (opening_angle, turn) = opening(leaf)?;
    let described = BarrierArm {
        pivot_x: pivot.x,
        pivot_z: pivot.z,
        reaches: ends.toward(),
        length,
        tail,
        depth: ends.height,
        offset: ends.middle_y(),
        thickness: ends.thickness,
        closed_angle: 0.0,
        opening_angle,
    };
    Ok((Leaf::BarrierArm(described), turn))
}

fn bifold(leaf: &Thing, ends: &Ends) -> Outcome<(Leaf, f64)> {
    leaf.demand(&["fold-length"])?;
    let closed = libm::atan2(ends.to.y - ends.from.y, ends.to.x - ends.from.x);
    let (opening_angle, turn) = signed_opening(leaf, closed)?;
    let (first, off) = metres(leaf, "fold-length")?;
    let guided = leaf.maybe("fold-guided")?.map(Argument::yes).transpose()?.unwrap_or(false);
    let described = Bifold {
        hinge: ends.from,
        closed_direction: closed,
        opening_angle,
        first,
        second: ends.length - first,
        lead: if guided { Lead::Guided } else { Lead::Geared(2.0) },
        thickness: ends.thickness,
        bottom: ends.bottom,
        height: ends.height,
    };
    Ok((Leaf::Bifold(described), turn + if ends.length > 0.0 { off / ends.length } else { 0.0 }))
}

/// A fixed thing: its outline in plan from its base to its top.
pub fn standing(thing: &Thing) -> Outcome<Standing> {
    let corners = thing.fact("outline")?.points()?;
    let (outline, off) = outline(corners)?;
    let (base, off_base) = maybe(thing, "base")?.unwrap_or((0.0, 0.0));
    let (top, off_top) = maybe(thing, "top")?.unwrap_or((TALL, 0.0));
    let object = Fixed::new(outline, Range { low: base, high: top })?;
    Ok(Standing { object, off, off_upright: off_base.max(off_top) })
}

/// An outline in plan, and how far its corners may be off.
pub fn outline(corners: &[Place]) -> Outcome<(Polygon, f64)> {
    let mut points = Vec::with_capacity(corners.len());
    let mut off: f64 = 0.0;
    for corner in corners {
        let (point, loose) = plan(corner)?;
        points.push(point);
        off = off.max(loose);
    }
    Ok((Polygon::new(&points)?, off))
}

/// The ground of a gate: as surveyed along the gate line, else level at grade.
pub fn ground(gate: &Thing) -> Outcome<(Ground, f64)> {
    let cross = maybe(gate, "cross-slope")?.unwrap_or((0.0, 0.0));
    let Some(stations) = gate.maybe("ground")? else {
        return Ok((Ground::plane(0.0, 0.0, cross.0)?, 0.0));
    };
    let mut points = Vec::new();
    let mut off: f64 = 0.0;
    for place in stations.points()? {
        let ((along, _), (height, loose)) = (middle(place.x)?, middle(place.y)?);
        points.push((along, height));
        off = off.max(loose);
    }
    Ok((Ground::profile(0.0, &points, cross.0)?, off))
}

/// A beam from its sender to its mate, and how far either may be off.
pub fn beam(thing: &Thing) -> Outcome<(Beam, f64)> {
    thing.demand(&["sender", "mate"])?;
    let (from, one) = point3(thing.point("sender")?, None)?;
    let (to, other) = point3(thing.point("mate")?, None)?;
    Ok((Beam::new(from, to)?, one.max(other)))
}

/// A number within an error, never below nought.
pub fn not_below_nought(value: f64, error: f64) -> Outcome<Interval> {
    let interval = super::lift::give_or_take(value, error)?;
    Ok(Interval { lo: interval.lo.map(|lo| lo.max(Exact::ZERO)), hi: interval.hi })
}
