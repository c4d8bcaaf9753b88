//! Owns beams on plain numbers: height over grade, how they lie to a moving leaf, what they do not see, stray light, light left.
//! It must not know rules, spans of files, jobs or truth values. Lengths in metres, angles in radians.

mod beside_leaf;
mod blind;
mod body;
mod doubt;
mod light;
mod line;
mod slip_past;
mod stray;
mod width;

pub use beside_leaf::{Aside, BeamGap, BesideLeaf, beam_gap, beam_gap_at, beside_leaf, plan_distance};
pub use blind::{BlindArea, blind_area};
pub use body::{Body, Stance};
pub use doubt::BLIND_ERROR;
pub use light::{Crossing, Dirt, Gain, excess_gain, fog_loss, gain_left, through_fog};
pub use line::{Beam, HeightAt, HeightOverGrade};
pub use stray::{Clearance, Optics, Pair, Stray, Way, axis_clearance, cross_talk, shiny_clearance, shiny_surface, stray_light};
pub use width::{UnseenWidth, WIDTH_ERROR, widest_unseen};
