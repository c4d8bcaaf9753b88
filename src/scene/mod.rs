//! A judged gate as plain shapes in the coordinates of its drawing, each with its measures and the findings at it. It uses the geometry
//! that the judging used; it must not know SVG, pages or terminals, nor any limit.
//!
//! Coordinates: x along the gate line from the left jamb seen from the public side, y square to it and positive to the secured side,
//! z up from grade; metres. What the job gives no place for is put where the trade would look for it, and marked as guessed; a
//! measure is shown only where the job states it or where it follows from what it states.

mod build;
mod devices;
mod edges;
mod facts;
mod fixed;
mod hung;
mod leaves;
mod made_up;
mod services;
mod sky;
mod zones;

pub use build::{Stage, gates, scene};
pub use facts::Measure;
pub use sky::Sky;

use crate::reckon::geometry::{Point, Point3, Range};
use std::collections::BTreeMap;

/// The two axes in which an outline lies; its depth runs along the third.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plane {
    /// x and y: seen from above.
    Level,
    /// x and z: seen from the public side.
    Front,
    /// y and z: seen along the gate line.
    Side,
}

/// Outlines in a plane, even ones inside odd ones being holes, with a depth square to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// Where the outlines lie.
    pub plane: Plane,
    /// The outlines.
    pub outlines: Vec<Vec<Point>>,
    /// From where to where it reaches square to the plane.
    pub depth: Range,
}

/// A form in space.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// A body with outlines in one plane.
    Solid(Solid),
    /// A line from point to point.
    Line(Vec<Point3>),
    /// A place without a size of its own.
    Spot(Point3),
}

/// What a shape stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The leaf, closed.
    Closed,
    /// The leaf, open.
    Open,
    /// All that the leaf covers at any position.
    Swept,
    /// A fixed thing.
    Fixed,
    /// A zone with its corners.
    Zone,
    /// A zone that the job names by a word alone.
    ZoneNamed,
    /// Ground from which a body breaks no beam.
    Blind,
    /// A beam from sender to mate.
    Beam,
    /// A contact edge.
    Edge,
    /// All places that are as far from the moving gate as a control is.
    Reach,
    /// A cable run.
    Run,
    /// A roller.
    Roller,
    /// An axis about which a leaf turns.
    Axis,
}

/// A shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// What it stands for.
    pub role: Role,
    /// Its form.
    pub body: Body,
    /// Whether its place or size is guessed.
    pub guessed: bool,
}

/// The axis along which a measure is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Along the gate line.
    X,
    /// Square to it.
    Y,
    /// Upright.
    Z,
}

/// A measure between two points that are as far apart along its axis as it says.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// The measure.
    pub measure: Measure,
    /// The thing, as reports name it.
    pub thing: String,
    /// From here.
    pub from: Point3,
    /// To here.
    pub to: Point3,
    /// Along which axis.
    pub axis: Axis,
}

/// The sort of a thing, in the order in which things are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// The gate itself.
    Gate,
    /// A leaf or arm.
    Leaf,
    /// A post.
    Post,
    /// An obstacle.
    Obstacle,
    /// A zone.
    Zone,
    /// A beam.
    Beam,
    /// A contact edge.
    Edge,
    /// A control.
    Control,
    /// A roller.
    Roller,
    /// A cable run.
    Run,
}

/// A thing of the gate.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its sort.
    pub sort: Sort,
    /// As reports name it: `gate main / beam low`.
    pub thing: String,
    /// Its id.
    pub id: String,
    /// What is drawn for it, in words.
    pub drawn: String,
    /// Its shapes; none where nothing is drawn.
    pub shapes: Vec<Shape>,
    /// Measures, as the job gives them.
    pub measures: Vec<Measure>,
    /// Measures that are drawn.
    pub dimensions: Vec<Dimension>,
    /// What was guessed to draw it, and what is not known, a clause each.
    pub guessed: Vec<String>,
    /// The numbers of the findings at it.
    pub findings: Vec<usize>,
}

/// A gate with all that is drawn of it.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The gate, as reports name it.
    pub gate: String,
    /// Its id.
    pub id: String,
    /// Its kind, as the job words it; none where the job does not say.
    pub kind: Option<String>,
    /// From jamb to jamb; guessed where the job states no opening.
    pub opening: Range,
    /// Whether the job states the opening.
    pub opening_known: bool,
    /// Things in the order in which they are told.
    pub items: Vec<Item>,
    /// The ground along the gate line, as surveyed; empty where it is level.
    pub ground: Vec<Point>,
    /// Where the section is cut, along the gate line.
    pub cut: f64,
    /// North and sun; none where the job gives no bearing.
    pub sky: Option<Sky>,
    /// Things below the gate that are not drawn and have findings, with their numbers.
    pub elsewhere: Vec<(String, Vec<usize>)>,
    /// What was left out, a sentence each.
    pub left_out: Vec<String>,
}

/// Numbers of findings by the things that they are at.
pub type Findings = BTreeMap<String, Vec<usize>>;

impl Item {
    /// A thing of which nothing is drawn yet.
    pub(crate) fn new(sort: Sort, thing: String, id: String) -> Item {
        Item {
            sort,
            thing,
            id,
            drawn: String::new(),
            shapes: Vec::new(),
            measures: Vec::new(),
            dimensions: Vec::new(),
            guessed: Vec::new(),
            findings: Vec::new(),
        }
    }

    pub(crate) fn shape(&mut self, role: Role, body: Body, guessed: bool) {
        self.shapes.push(Shape { role, body, guessed });
    }

    /// Shows a measure between two points, where the job gives it.
    pub(crate) fn dimension(&mut self, measure: Option<&Measure>, axis: Axis, from: Point3, to: Point3) {
        if let Some(measure) = measure.filter(|measure| measure.at.abs() > 0.0) {
            let thing = self.thing.clone();
            self.dimensions.push(Dimension { measure: measure.clone(), thing, from, to, axis });
        }
    }
}

impl Body {
    /// A box along the axes.
    pub(crate) fn cuboid(x: Range, y: Range, z: Range) -> Body {
        let outline = vec![Point::new(x.low, y.low), Point::new(x.high, y.low), Point::new(x.high, y.high), Point::new(x.low, y.high)];
        Body::Solid(Solid { plane: Plane::Level, outlines: vec![outline], depth: z })
    }
}

impl Solid {
    /// A point of the plane and a depth, in space.
    pub fn in_space(&self, at: Point, depth: f64) -> Point3 {
        match self.plane {
            Plane::Level => Point3::new(at.x, at.y, depth),
            Plane::Front => Point3::new(at.x, depth, at.y),
            Plane::Side => Point3::new(depth, at.x, at.y),
        }
    }

    /// The corners of every outline at both ends of the depth.
    pub fn corners(&self) -> impl Iterator<Item = Point3> + '_ {
        self.outlines.iter().flatten().flat_map(|at| [self.in_space(*at, self.depth.low), self.in_space(*at, self.depth.high)])
    }
}

/// A range between two numbers in either order.
pub(crate) fn between(one: f64, other: f64) -> Range {
    Range { low: one.min(other), high: one.max(other) }
}
