//! Owns where the sun stands and when it shines into a receiver. It must not know gates, beams or clocks that change in summer.
//!
//! Angles are in radians: latitudes positive north, longitudes positive east (older notes count them west), bearings clockwise from true
//! north, elevations up from the level. Local time is standard time, a fixed offset from universal time, all year.

mod calendar;
mod glare;
mod position;
mod year;

pub use calendar::{Day, day_of_year, days_in_year};
pub use glare::{End, Ends, Glare, GlareWindow, Receiver, compare_ends, glare};
pub use position::{Air, Moment, Rising, Site, SunPosition, rising, sun_position};
pub use year::SunYear;
