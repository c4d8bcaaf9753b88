//! Owns beams on plain numbers: height over grade, how they lie to a moving leaf, what they do not see, stray light, light left in fog.
//! It must not know rules, spans of files, jobs or truth values. Lengths in metres, angles in radians.

mod blind;
mod body;
mod doubt;
mod leaf_gap;
mod light;
mod line;
mod slip_past;
mod stray;
mod width;

pub use blind::{BlindArea, blind_area};
pub use body::{Body, Stance};
pub use doubt::BLIND_ERROR;
pub use leaf_gap::{BeamGap, beam_gap};
pub use light::through_fog;
pub use line::{Beam, HeightAt, HeightOverGrade};
pub use stray::{Optics, Pair, Stray, Way, cross_talk, shiny_clearance, stray_light};
pub use width::{UnseenWidth, WIDTH_ERROR, widest_unseen};
