//! Owns the geometry of gates on plain numbers: leaves in movement, fixed objects, gaps, swept areas, ground, hazard zones.
//! It must not know rules, spans, jobs, truth values or files.
//!
//! Coordinates: x along the gate line from the left jamb seen from the public side, y square to it and positive to the secured
//! side, z up. Lengths in metres, angles in radians, positions in the travel from 0 (closed) to 1 (open).

mod band;
mod extremum;
mod gap;
mod ground;
mod hung;
mod leaf;
mod motion;
mod movement;
mod nearness;
mod number;
mod planar;
mod point;
mod polygon;
mod region;
mod solid;
mod swept;
mod under;
mod zone;

pub use crate::reckon::Unreckonable;
pub use band::{Band, Standing};
pub use gap::{Fixed, GAP_ERROR, Gap, gap_at, greatest_gap, least_gap};
pub use ground::Ground;
pub use leaf::{BarrierArm, Bifold, Lead, Leaf, Side, Slide, Swing, VerticalLift, VerticalPivot};
pub use movement::{Movement, Part, Plane};
pub use number::{LARGEST, Range};
pub use point::{Point, Point3};
pub use polygon::{MOST_CORNERS, Polygon};
pub use region::Region;
pub use swept::{AREA_ERROR, Swept, footprint, swept};
pub use under::{GROUND_GAP_ERROR, GroundGap, UnderLeaf, under_leaf};
pub use zone::{Direction, HazardZone, hazard_zones};

pub(crate) use super::number::angle;
pub(crate) use extremum::least;
pub(crate) use nearness::{Target, floor_at};
pub(crate) use number::positive;
pub(crate) use planar::{clear_of, clipped, from_segment};
pub(crate) use polygon::signed_area;
pub(crate) use region::capsule;
