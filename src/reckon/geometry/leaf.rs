//! Owns the kinds of leaf as a surveyor describes them. It must not know how they move (hung.rs), nor obstacles or rules.

use super::point::Point;

/// A way along the gate line, seen from the public side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Toward -x.
    Left,
    /// Toward +x.
    Right,
}

/// A leaf of an automated vehicle gate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Leaf {
    /// Moves along the gate line.
    Slide(Slide),
    /// Turns about an upright axis.
    Swing(Swing),
    /// Rises straight up.
    VerticalLift(VerticalLift),
    /// Turns in the gate's plane about an axis square to it.
    VerticalPivot(VerticalPivot),
    /// An arm that turns in the gate's plane.
    BarrierArm(BarrierArm),
    /// Two panels that fold.
    Bifold(Bifold),
}

/// A slide leaf. Lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slide {
    /// x of the left end of the closed leaf, tail included, in metres.
    pub left_end: f64,
    /// y of the leaf's middle plane, in metres.
    pub offset: f64,
    /// Length, tail included, in metres.
    pub length: f64,
    /// Thickness, in metres.
    pub thickness: f64,
    /// z of the bottom edge, in metres.
    pub bottom: f64,
    /// Height from bottom to top edge, in metres.
    pub height: f64,
    /// How far it moves from closed to open, in metres.
    pub travel: f64,
    /// The way it opens.
    pub opens: Side,
}

/// A swing leaf. Lengths in metres, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// The pivot's centre line in plan.
    pub hinge: Point,
    /// Direction from hinge to free end when closed, counter-clockwise from +x, in radians.
    pub closed_direction: f64,
    /// Signed angle from closed to open, counter-clockwise positive, in radians.
    pub opening_angle: f64,
    /// Distance along the leaf from the pivot to the leaf's hinge edge, negative for a leaf that reaches past its pivot, in metres.
    pub heel: f64,
    /// Length from hinge edge to leading edge, in metres.
    pub length: f64,
    /// Distance of the leaf's middle plane to the left of the line from pivot along the leaf, in metres.
    pub offset: f64,
    /// Thickness, in metres.
    pub thickness: f64,
    /// z of the bottom edge, in metres.
    pub bottom: f64,
    /// Height from bottom to top edge, in metres.
    pub height: f64,
}

/// A vertical-lift leaf. Lengths in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VerticalLift {
    /// x of its left side, in metres.
    pub left_side: f64,
    /// Width along the gate line, in metres.
    pub width: f64,
    /// y of the leaf's middle plane, in metres.
    pub offset: f64,
    /// Thickness, in metres.
    pub thickness: f64,
    /// z of the bottom edge when closed, in metres.
    pub bottom: f64,
    /// Height from bottom to top edge, in metres.
    pub height: f64,
    /// How far it rises, in metres.
    pub travel: f64,
}

/// A vertical-pivot leaf: it turns up in the gate's plane about an axis square to the gate. Lengths in metres, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VerticalPivot {
    /// x of the axis, in metres.
    pub pivot_x: f64,
    /// z of the axis, in metres.
    pub pivot_z: f64,
    /// The way the closed leaf reaches from the axis.
    pub reaches: Side,
    /// Length from the axis to the leading edge, in metres.
    pub length: f64,
    /// Length of the counterbalance beyond the axis, in metres.
    pub tail: f64,
    /// How far the bottom edge of the closed leaf lies below the axis, in metres; negative when it lies above.
    pub below: f64,
    /// How far the top edge of the closed leaf lies above the axis, in metres; negative when it lies below.
    pub above: f64,
    /// y of the leaf's middle plane, in metres.
    pub offset: f64,
    /// Thickness, in metres.
    pub thickness: f64,
    /// Angle through which the leading edge is raised, in radians.
    pub opening_angle: f64,
}

/// A barrier arm. Lengths in metres, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarrierArm {
    /// x of the axis, in metres.
    pub pivot_x: f64,
    /// z of the axis, in metres.
    pub pivot_z: f64,
    /// The way the closed arm reaches from the axis.
    pub reaches: Side,
    /// Length from the axis to the tip, in metres.
    pub length: f64,
    /// Length beyond the axis, in metres.
    pub tail: f64,
    /// Upright size of the closed arm, middle on the axis, in metres.
    pub depth: f64,
    /// y of the arm's middle plane, in metres.
    pub offset: f64,
    /// Thickness along y, in metres.
    pub thickness: f64,
    /// Angle of the closed arm above level, in radians.
    pub closed_angle: f64,
    /// Angle through which the arm is raised, in radians.
    pub opening_angle: f64,
}

/// How the outer panel of a folding leaf is led.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lead {
    /// Geared, without a guide: turns back through this many times the inner panel's angle, measured from the closed line.
    Geared(f64),
    /// Its free end runs in a guide on the closed line.
    Guided,
}

/// A bifold leaf of two panels. Lengths in metres, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bifold {
    /// The pivot's centre line in plan.
    pub hinge: Point,
    /// Direction from hinge to free end when closed, counter-clockwise from +x, in radians.
    pub closed_direction: f64,
    /// Signed angle of the inner panel from closed to open, counter-clockwise positive, in radians.
    pub opening_angle: f64,
    /// Length of the panel at the post, in metres.
    pub first: f64,
    /// Length of the panel at the free end, in metres.
    pub second: f64,
    /// How the second panel is led.
    pub lead: Lead,
    /// Thickness of both, in metres.
    pub thickness: f64,
    /// z of the bottom edge, in metres.
    pub bottom: f64,
    /// Height from bottom to top edge, in metres.
    pub height: f64,
}
