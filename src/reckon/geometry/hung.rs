//! Owns the turning of a described leaf into a movement, with every measure checked. It must not know obstacles or rules.

use std::f64::consts::{FRAC_PI_2, PI};

use super::leaf::{BarrierArm, Bifold, Lead, Leaf, Side, Slide, Swing, VerticalLift, VerticalPivot};
use super::motion::{Back, Course};
use super::movement::{Movement, Panel, Part, Parts, Plane};
use super::number::{Range, not_negative, positive, sized};
use super::point::Point;
use crate::reckon::Unreckonable;
use crate::reckon::number::angle;

/// The least opening angle taken, in radians: a leaf that turns less does not open.
const LEAST_OPENING: f64 = 1e-6;

impl Leaf {
    /// The movement of the leaf from closed to open, with every measure checked.
    pub fn movement(&self) -> Result<Movement, Unreckonable> {
        match self {
            Self::Slide(leaf) => leaf.movement(),
            Self::Swing(leaf) => leaf.movement(),
            Self::VerticalLift(leaf) => leaf.movement(),
            Self::VerticalPivot(leaf) => leaf.movement(),
            Self::BarrierArm(leaf) => leaf.movement(),
            Self::Bifold(leaf) => leaf.movement(),
        }
    }
}

impl Slide {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let from = Point::new(sized("left end of the leaf", self.left_end)?, sized("offset of the leaf", self.offset)?);
        let length = positive("length of the leaf", self.length)?;
        let half = positive("thickness of the leaf", self.thickness)? / 2.0;
        let travel = positive("travel of the leaf", self.travel)?;
        let (way, ends) = match self.opens {
            Side::Right => (travel, [Part::LeadingEdge, Part::TrailingEdge]),
            Side::Left => (-travel, [Part::TrailingEdge, Part::LeadingEdge]),
        };
        let panel = Panel::new(
            Course::Straight { from, way: Point::new(way, 0.0) },
            (0.0, length),
            (-half, half),
            upright(self.bottom, self.height)?,
            Parts { ends, sides: [Part::PublicFace, Part::SecuredFace], caps: [Part::BottomEdge, Part::TopEdge] },
        );
        Ok(Movement::new(Plane::Plan, vec![panel]))
    }
}

impl Swing {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let heel = sized("heel of the leaf", self.heel)?;
        let length = positive("length of the leaf", self.length)?;
        let offset = sized("offset of the leaf", self.offset)?;
        let half = positive("thickness of the leaf", self.thickness)? / 2.0;
        let from = angle("closed direction", self.closed_direction, -2.0 * PI, 2.0 * PI)?;
        let through = signed_opening(self.opening_angle, 1.5 * PI)?;
        let panel = Panel::new(
            Course::Turn { pivot: self.hinge.checked("hinge")?, from, through },
            (heel, heel + length),
            (offset - half, offset + half),
            upright(self.bottom, self.height)?,
            Parts { ends: [Part::HingeEdge, Part::LeadingEdge], sides: faces(from), caps: [Part::BottomEdge, Part::TopEdge] },
        );
        Ok(Movement::new(Plane::Plan, vec![panel]))
    }
}

impl VerticalLift {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let from = Point::new(sized("left side of the leaf", self.left_side)?, sized("bottom of the leaf", self.bottom)?);
        let width = positive("width of the leaf", self.width)?;
        let height = positive("height of the leaf", self.height)?;
        let travel = positive("travel of the leaf", self.travel)?;
        let panel = Panel::new(
            Course::Straight { from, way: Point::new(0.0, travel) },
            (0.0, width),
            (0.0, height),
            across(self.offset, self.thickness)?,
            Parts {
                ends: [Part::SideEdge, Part::SideEdge],
                sides: [Part::BottomEdge, Part::TopEdge],
                caps: [Part::PublicFace, Part::SecuredFace],
            },
        );
        Ok(Movement::new(Plane::Elevation, vec![panel]))
    }
}

impl VerticalPivot {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let lengths = (not_negative("tail of the leaf", self.tail)?, positive("length of the leaf", self.length)?);
        let below = sized("bottom edge below the axis", self.below)?;
        let above = sized("top edge above the axis", self.above)?;
        let edges = Range::new("leaf from bottom to top edge", -below, above)?;
        let through = angle("opening angle", self.opening_angle, LEAST_OPENING, PI)?;
        let pivot = Point::new(sized("x of the axis", self.pivot_x)?, sized("z of the axis", self.pivot_z)?);
        let depth = across(self.offset, self.thickness)?;
        Ok(Movement::new(Plane::Elevation, vec![raised(pivot, self.reaches, lengths, edges, (0.0, through), depth)]))
    }
}

impl BarrierArm {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let lengths = (not_negative("tail of the arm", self.tail)?, positive("length of the arm", self.length)?);
        let half = positive("depth of the arm", self.depth)? / 2.0;
        let edges = Range { low: -half, high: half };
        let closed = angle("closed angle of the arm", self.closed_angle, -FRAC_PI_2, FRAC_PI_2)?;
        let through = angle("opening angle", self.opening_angle, LEAST_OPENING, PI)?;
        let pivot = Point::new(sized("x of the axis", self.pivot_x)?, sized("z of the axis", self.pivot_z)?);
        let depth = across(self.offset, self.thickness)?;
        Ok(Movement::new(Plane::Elevation, vec![raised(pivot, self.reaches, lengths, edges, (closed, through), depth)]))
    }
}

impl Bifold {
    fn movement(&self) -> Result<Movement, Unreckonable> {
        let pivot = self.hinge.checked("hinge")?;
        let first = positive("length of the first panel", self.first)?;
        let second = positive("length of the second panel", self.second)?;
        let half = positive("thickness of the leaf", self.thickness)? / 2.0;
        let from = angle("closed direction", self.closed_direction, -2.0 * PI, 2.0 * PI)?;
        let (back, most) = match self.lead {
            Lead::Geared(ratio) => (Back::Geared(not_negative("gearing of the second panel", ratio)?), PI),
            Lead::Guided if first > second => {
                return Err(Unreckonable::FoldingJams { first, second });
            }
            Lead::Guided => (Back::Guided(second), FRAC_PI_2 + 1e-9),
        };
        let through = signed_opening(self.opening_angle, most)?;
        let depth = upright(self.bottom, self.height)?;
        let parts = |ends| Parts { ends, sides: faces(from), caps: [Part::BottomEdge, Part::TopEdge] };
        let inner =
            Panel::new(Course::Turn { pivot, from, through }, (0.0, first), (-half, half), depth, parts([Part::HingeEdge, Part::FoldEdge]));
        let outer = Panel::new(
            Course::Fold { pivot, from, through, arm: first, back },
            (0.0, second),
            (-half, half),
            depth,
            parts([Part::FoldEdge, Part::LeadingEdge]),
        );
        Ok(Movement::new(Plane::Plan, vec![inner, outer]))
    }
}

/// A panel that is raised in the gate's plane; a panel that reaches to the left is the mirror image of one to the right.
fn raised(pivot: Point, reaches: Side, (tail, length): (f64, f64), edges: Range, (closed, through): (f64, f64), depth: Range) -> Panel {
    let (from, through, across, sides) = match reaches {
        Side::Right => (closed, through, (edges.low, edges.high), [Part::BottomEdge, Part::TopEdge]),
        Side::Left => (PI - closed, -through, (-edges.high, -edges.low), [Part::TopEdge, Part::BottomEdge]),
    };
    let parts = Parts { ends: [Part::HingeEdge, Part::LeadingEdge], sides, caps: [Part::PublicFace, Part::SecuredFace] };
    Panel::new(Course::Turn { pivot, from, through }, (-tail, length), across, depth, parts)
}

/// The faces to the right and to the left of a leaf closed in a direction.
fn faces(closed_direction: f64) -> [Part; 2] {
    if libm::cos(closed_direction) >= 0.0 { [Part::PublicFace, Part::SecuredFace] } else { [Part::SecuredFace, Part::PublicFace] }
}

/// A signed opening angle whose size is checked.
fn signed_opening(opening: f64, most: f64) -> Result<f64, Unreckonable> {
    angle("opening angle", opening.abs(), LEAST_OPENING, most)?;
    Ok(opening)
}

/// The heights of an upright leaf.
fn upright(bottom: f64, height: f64) -> Result<Range, Unreckonable> {
    let bottom = sized("bottom of the leaf", bottom)?;
    Ok(Range { low: bottom, high: bottom + positive("height of the leaf", height)? })
}

/// The y range of a leaf that moves in the gate's plane.
fn across(offset: f64, thickness: f64) -> Result<Range, Unreckonable> {
    let offset = sized("offset of the leaf", offset)?;
    let half = positive("thickness of the leaf", thickness)? / 2.0;
    Ok(Range { low: offset - half, high: offset + half })
}
