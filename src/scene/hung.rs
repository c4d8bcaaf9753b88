//! A leaf as it hangs: closed, open, what it sweeps, where its edges are. It must not know whether its measures are given or guessed.

use super::{Body, Item, Plane, Role, Solid, between};
use crate::reckon::geometry::{self, Movement, Point, Point3, Range, Region, footprint, swept};

/// A leaf in its place.
#[derive(Clone, Debug)]
pub struct Hung {
    /// The bottom of its tail or hinge edge when closed, on its middle plane.
    pub tail: Point3,
    /// The bottom of its leading edge when closed, on its middle plane.
    pub lead: Point3,
    /// The same two when open; none where nothing tells.
    pub open: Option<(Point3, Point3)>,
    /// The axis about which it turns.
    pub axis: Option<Point3>,
    /// Thickness.
    pub thickness: f64,
    /// Height from bottom to top edge.
    pub height: f64,
    /// The closed leaf.
    pub closed: Vec<Solid>,
    /// The open leaf.
    pub opened: Vec<Solid>,
    /// All that it covers at any position.
    pub sweeps: Option<Solid>,
    /// The same on the ground.
    pub footprint: Option<Region>,
}

impl Hung {
    /// A leaf that moves by the geometry that the judging uses.
    pub fn moving(movement: &Movement, (tail, lead): (Point3, Point3), axis: Option<Point3>, thickness: f64, height: f64) -> Hung {
        let plane = match movement.plane() {
            geometry::Plane::Plan => Plane::Level,
            geometry::Plane::Elevation => Plane::Front,
        };
        let depth = movement.depth();
        let solids = |at: f64| -> Vec<Solid> {
            let outlines = movement.outlines_at(at).unwrap_or_default();
            outlines.into_iter().map(|outline| Solid { plane, outlines: vec![outline], depth }).collect()
        };
        let (closed, opened) = (solids(0.0), solids(1.0));
        let whole = swept(movement).ok().map(|swept| Solid { plane, outlines: swept.whole.outlines(), depth });
        let open = ends(&opened);
        Hung { tail, lead, open, axis, thickness, height, closed, opened, sweeps: whole, footprint: footprint(movement).ok() }
    }

    /// A leaf of which only the closed place is known, as a box.
    pub fn still(tail: Point3, lead: Point3, thickness: f64, height: f64) -> Hung {
        let along = Point::new(lead.x - tail.x, lead.y - tail.y);
        let length = libm::hypot(along.x, along.y).max(1e-9);
        let (ax, ay) = (along.x / length * thickness / 2.0, along.y / length * thickness / 2.0);
        let outline = vec![
            Point::new(tail.x + ay, tail.y - ax),
            Point::new(lead.x + ay, lead.y - ax),
            Point::new(lead.x - ay, lead.y + ax),
            Point::new(tail.x - ay, tail.y + ax),
        ];
        let closed = Solid { plane: Plane::Level, outlines: vec![outline], depth: Range { low: tail.z, high: tail.z + height } };
        Hung {
            tail,
            lead,
            open: None,
            axis: None,
            thickness,
            height,
            closed: vec![closed],
            opened: Vec::new(),
            sweeps: None,
            footprint: None,
        }
    }

    /// A leaf that turns up about its own top edge, to one side: seen along the gate line it sweeps part of a circle.
    pub fn overhead(tail: Point3, lead: Point3, (thickness, height): (f64, f64), angle: f64, secured: bool) -> Hung {
        let mut hung = Hung::still(tail, lead, thickness, height);
        let (x, top) = (between(tail.x, lead.x), tail.z + height);
        let way = if secured { 1.0 } else { -1.0 };
        let at = |turn: f64, radius: f64, off: f64| {
            let (sin, cos) = libm::sincos(turn);
            Point::new(tail.y + way * (radius * sin + off * cos), top - radius * cos + off * sin)
        };
        let half = thickness / 2.0;
        let leaf = vec![at(angle, 0.0, -half), at(angle, height, -half), at(angle, height, half), at(angle, 0.0, half)];
        hung.opened = vec![Solid { plane: Plane::Side, outlines: vec![leaf], depth: x }];
        let steps = 48;
        let mut outline = vec![Point::new(tail.y, top)];
        outline.extend((0..=steps).map(|step| at(angle * f64::from(step) / f64::from(steps), height, 0.0)));
        let reach = outline.iter().map(|point| point.x);
        let y = reach.fold((tail.y - half, tail.y + half), |(low, high), at| (low.min(at), high.max(at)));
        hung.sweeps = Some(Solid { plane: Plane::Side, outlines: vec![outline], depth: x });
        hung.axis = Some(Point3::new(f64::midpoint(x.low, x.high), tail.y, top));
        let corners = geometry::Polygon::rectangle(Point::new(x.low, y.0), Point::new(x.high, y.1));
        hung.footprint = corners.ok().map(|polygon| Region::of(&polygon));
        hung
    }

    /// Half of the thickness.
    pub fn half(&self) -> f64 {
        self.thickness / 2.0
    }

    /// The middle of the closed leaf.
    pub fn middle(&self) -> Point3 {
        Point3::new(f64::midpoint(self.tail.x, self.lead.x), f64::midpoint(self.tail.y, self.lead.y), self.tail.z + self.height / 2.0)
    }

    /// A point beside the leaf when closed: a share of the way from tail to leading edge, at a height over its bottom.
    pub fn along(&self, share: f64, up: f64) -> Point3 {
        let part = |one: f64, other: f64| one + (other - one) * share;
        Point3::new(part(self.tail.x, self.lead.x), part(self.tail.y, self.lead.y), self.tail.z + up)
    }

    /// From where to where it reaches on the ground at any position, square to the gate line.
    pub fn reach_y(&self) -> Range {
        let region = self.footprint.iter().flat_map(|region| region.outlines().concat());
        let closed = self.closed.iter().flat_map(|solid| solid.corners().map(|at| Point::new(at.x, at.y)).collect::<Vec<_>>());
        let all = region.chain(closed).map(|at| at.y);
        let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
        if low <= high { Range { low, high } } else { between(self.tail.y - self.half(), self.tail.y + self.half()) }
    }

    /// Adds its shapes to its item.
    pub fn draw(&self, item: &mut Item, guessed: bool, open_guessed: bool) {
        if let Some(swept) = &self.sweeps {
            item.shape(Role::Swept, Body::Solid(swept.clone()), open_guessed);
        }
        for solid in &self.opened {
            item.shape(Role::Open, Body::Solid(solid.clone()), open_guessed);
        }
        for solid in &self.closed {
            item.shape(Role::Closed, Body::Solid(solid.clone()), guessed);
        }
        if let Some(axis) = self.axis {
            item.shape(Role::Axis, Body::Spot(axis), guessed);
        }
    }
}

/// Tail and leading edge of a leaf made of panels: the middles of the first panel's near end and the last one's far end.
fn ends(panels: &[Solid]) -> Option<(Point3, Point3)> {
    let middle = |solid: &Solid, a: usize, b: usize| {
        let outline = solid.outlines.first()?;
        let (a, b) = (outline.get(a)?, outline.get(b)?);
        Some(match solid.plane {
            Plane::Level => Point3::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y), solid.depth.low),
            _ => solid.in_space(Point::new(a.x, a.y), f64::midpoint(solid.depth.low, solid.depth.high)),
        })
    };
    Some((middle(panels.first()?, 0, 3)?, middle(panels.last()?, 1, 2)?))
}
