//! A scene as seen in one view: outlines, lines and marks in two directions, in metres. It must not know paper or SVG.

use super::View;
use crate::reckon::geometry::{Point, Point3};
use crate::scene::{Axis, Body, Dimension, Item, Plane, Role, Scene, Shape, Solid};

/// A form on the plane of the view.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Outlines, even ones inside odd ones being holes.
    Area(Vec<Vec<Point>>),
    /// A line through points.
    Line(Vec<Point>),
    /// A mark.
    Mark(Point),
}

/// A shape as seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// What it stands for.
    pub role: Role,
    /// Its form.
    pub form: Form,
    /// Whether its place or size is guessed.
    pub guessed: bool,
    /// Whether it is shown cut.
    pub cut: bool,
    /// The item that it belongs to, by its position in the scene.
    pub item: usize,
}

/// A measure as seen: along the first or the second direction of the view.
#[derive(Clone, Debug)]
pub struct Measured<'s> {
    /// The measure.
    pub dimension: &'s Dimension,
    /// The item that it belongs to.
    pub item: &'s Item,
    /// Ends, in metres.
    pub from: Point,
    /// Ends, in metres.
    pub to: Point,
    /// Whether it runs across.
    pub across: bool,
}

/// A box in the view, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The corner with the least of both.
    pub low: Point,
    /// The corner with the most of both.
    pub high: Point,
}

impl Frame {
    /// The frame of points; nothing without any that is finite.
    pub fn of(points: impl IntoIterator<Item = Point>) -> Option<Frame> {
        let finite = points.into_iter().filter(|at| at.x.is_finite() && at.y.is_finite());
        finite.map(|at| Frame { low: at, high: at }).reduce(Frame::with)
    }

    /// The frame over both.
    pub fn with(self, other: Frame) -> Frame {
        Frame {
            low: Point::new(self.low.x.min(other.low.x), self.low.y.min(other.low.y)),
            high: Point::new(self.high.x.max(other.high.x), self.high.y.max(other.high.y)),
        }
    }

    /// The frame with room on every side.
    pub fn grown(self, by: f64) -> Frame {
        Frame { low: Point::new(self.low.x - by, self.low.y - by), high: Point::new(self.high.x + by, self.high.y + by) }
    }

    /// Whether the other lies inside of this one.
    pub fn holds(self, other: Frame) -> bool {
        self.low.x <= other.low.x && self.low.y <= other.low.y && other.high.x <= self.high.x && other.high.y <= self.high.y
    }

    /// Whether both have a point in common.
    pub fn meets(self, other: Frame) -> bool {
        self.low.x <= other.high.x && other.low.x <= self.high.x && self.low.y <= other.high.y && other.low.y <= self.high.y
    }

    /// Across.
    pub fn width(self) -> f64 {
        self.high.x - self.low.x
    }

    /// Upward.
    pub fn height(self) -> f64 {
        self.high.y - self.low.y
    }
}

impl Form {
    /// Its points.
    pub fn points(&self) -> Vec<Point> {
        match self {
            Form::Area(outlines) => outlines.concat(),
            Form::Line(points) => points.clone(),
            Form::Mark(at) => vec![*at],
        }
    }
}

/// A point in space as seen.
pub fn seen(view: View, at: Point3) -> Point {
    match view {
        View::Plan => Point::new(at.x, at.y),
        View::Elevation => Point::new(at.x, at.z),
        View::Section => Point::new(at.y, at.z),
    }
}

fn plane(view: View) -> Plane {
    match view {
        View::Plan => Plane::Level,
        View::Elevation => Plane::Front,
        View::Section => Plane::Side,
    }
}

/// Every shape of a scene that is seen in a view.
pub fn shapes(scene: &Scene, view: View) -> Vec<Seen> {
    let mut all = Vec::new();
    for (item, own) in scene.items.iter().enumerate() {
        let turns_in = own.shapes.iter().find_map(|shape| match (&shape.body, shape.role) {
            (Body::Solid(solid), Role::Swept) => Some(solid.plane),
            _ => None,
        });
        for shape in own.shapes.iter().filter(|shape| shown(shape, view, turns_in)) {
            // A plan shows what stands on the ground as if cut.
            let cut = match view {
                View::Section => is_cut(shape, scene.cut),
                View::Plan => shape.role == Role::Fixed,
                View::Elevation => false,
            };
            if let Some(form) = form(shape, view, scene.cut) {
                all.push(Seen { role: shape.role, form, guessed: shape.guessed, cut, item });
            }
        }
    }
    // Seen from aside, the open leaf often stands where the closed one does.
    let closed: Vec<(usize, Form)> =
        all.iter().filter(|seen| seen.role == Role::Closed).map(|seen| (seen.item, seen.form.clone())).collect();
    all.retain(|seen| seen.role != Role::Open || !closed.iter().any(|(item, form)| *item == seen.item && alike(form, &seen.form)));
    // What lies lower is drawn first.
    all.sort_by_key(|seen| layer(seen.role));
    all
}

fn layer(role: Role) -> usize {
    const ORDER: [Role; 13] = [
        Role::Reach,
        Role::Swept,
        Role::Zone,
        Role::Blind,
        Role::Open,
        Role::Fixed,
        Role::Closed,
        Role::Run,
        Role::Roller,
        Role::Axis,
        Role::Edge,
        Role::Beam,
        Role::ZoneNamed,
    ];
    ORDER.iter().position(|known| *known == role).unwrap_or(0)
}

/// Whether a shape has anything to show in a view.
fn shown(shape: &Shape, view: View, turns_in: Option<Plane>) -> bool {
    match (shape.role, &shape.body) {
        (Role::Zone | Role::Blind | Role::Reach, _) => view == View::Plan,
        (Role::Swept, Body::Solid(solid)) => solid.plane == plane(view),
        (Role::Axis, _) => turns_in == Some(plane(view)),
        (Role::Roller, _) => view == View::Elevation,
        (Role::Run, Body::Spot(_)) => view == View::Section,
        (Role::Run, _) => view != View::Section,
        _ => true,
    }
}

fn is_cut(shape: &Shape, at: f64) -> bool {
    match &shape.body {
        Body::Solid(solid) => {
            let (low, high) = solid.corners().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), c| (l.min(c.x), h.max(c.x)));
            low <= at && at <= high
        }
        _ => false,
    }
}

fn form(shape: &Shape, view: View, cut: f64) -> Option<Form> {
    match &shape.body {
        Body::Solid(solid) if solid.plane == plane(view) => Some(Form::Area(solid.outlines.clone())),
        Body::Solid(solid) => aside(solid, view, cut),
        Body::Spot(at) => Some(Form::Mark(seen(view, *at))),
        Body::Line(points) if view == View::Section && shape.role == Role::Beam => Some(Form::Mark(through(points, cut))),
        Body::Line(points) => {
            let flat: Vec<Point> = points.iter().map(|at| seen(view, *at)).collect();
            let frame = Frame::of(flat.iter().copied())?;
            let short = frame.width().max(frame.height()) < 1e-6;
            Some(if short { Form::Mark(*flat.first()?) } else { Form::Line(flat) })
        }
    }
}

/// A body seen from aside: a rectangle. In the section one that is cut shows what the cut shows.
fn aside(solid: &Solid, view: View, cut: f64) -> Option<Form> {
    let corners: Vec<Point3> = solid.corners().collect();
    let mut frame = Frame::of(corners.iter().map(|corner| seen(view, *corner)))?;
    if view == View::Section
        && let Some((low, high)) = crossing(solid, cut)
    {
        match solid.plane {
            Plane::Level => (frame.low.x, frame.high.x) = (low, high),
            _ => (frame.low.y, frame.high.y) = (low, high),
        }
    }
    let (low, high) = (frame.low, frame.high);
    Some(Form::Area(vec![vec![low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]]))
}

/// From where to where the outlines reach at one place along the gate line.
fn crossing(solid: &Solid, at: f64) -> Option<(f64, f64)> {
    if solid.plane == Plane::Side {
        return None;
    }
    let mut found: Vec<f64> = Vec::new();
    for outline in &solid.outlines {
        for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
            if (a.x <= at) != (b.x <= at) {
                found.push(a.y + (at - a.x) / (b.x - a.x) * (b.y - a.y));
            }
        }
    }
    let range = found.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(*y), high.max(*y)));
    (found.len() >= 2).then_some(range)
}

/// Where a line crosses the cut, else its nearer end.
fn through(points: &[Point3], cut: f64) -> Point {
    let (from, to) = (points.first().copied().unwrap_or_default(), points.last().copied().unwrap_or_default());
    let along = to.x - from.x;
    let share = if along.abs() > 1e-9 { ((cut - from.x) / along).clamp(0.0, 1.0) } else { 0.0 };
    Point::new(from.y + (to.y - from.y) * share, from.z + (to.z - from.z) * share)
}

/// Every measure that is drawn in a view.
pub fn measures(scene: &Scene, view: View) -> Vec<Measured<'_>> {
    let (across, up) = match view {
        View::Plan => (Axis::X, Axis::Y),
        View::Elevation => (Axis::X, Axis::Z),
        View::Section => (Axis::Y, Axis::Z),
    };
    let mut all: Vec<Measured> = Vec::new();
    for item in &scene.items {
        for dimension in item.dimensions.iter().filter(|one| one.axis == across || one.axis == up) {
            let (from, to) = (seen(view, dimension.from), seen(view, dimension.to));
            all.push(Measured { dimension, item, from, to, across: dimension.axis == across });
        }
    }
    all.retain(|one| wanted(one, view));
    all
}

/// Each measure stands where it is read best, and not in every view.
fn wanted(one: &Measured, view: View) -> bool {
    use crate::scene::Sort;
    match (view, one.item.sort, one.dimension.axis) {
        (View::Elevation, Sort::Gate, Axis::X) => true,
        (View::Elevation, Sort::Edge, Axis::X) => true,
        (View::Elevation, _, Axis::X) => false,
        (View::Plan, Sort::Edge, _) => false,
        (View::Section, Sort::Edge | Sort::Roller | Sort::Post | Sort::Obstacle, Axis::Z) => false,
        (View::Elevation, Sort::Run, _) => false,
        (View::Section, Sort::Gate | Sort::Leaf | Sort::Beam | Sort::Run, _) => true,
        (View::Section, Sort::Obstacle, _) => true,
        (View::Section, _, _) => false,
        _ => true,
    }
}

/// Whether two forms lie in one frame.
fn alike(one: &Form, other: &Form) -> bool {
    let frames = (Frame::of(one.points()), Frame::of(other.points()));
    let near = |a: Point, b: Point| (a.x - b.x).abs() < 1e-6 && (a.y - b.y).abs() < 1e-6;
    matches!(frames, (Some(one), Some(other)) if near(one.low, other.low) && near(one.high, other.high))
}
