//! The calculations of the trade. Each check names the published source of its number beside it, `from memory`, `common practice, no source`, or
//! `recomputed` where a stated formula was worked out by hand; then how sure it is: high, medium, low.

mod circuit;
mod force;
mod geometry;
mod monotony;
mod sound;
mod sun;
mod sun_windows;
mod wire;

/// Fails unless two numbers are within `slack` of each other.
#[track_caller]
fn near(found: f64, expected: f64, slack: f64) {
    assert!((found - expected).abs() <= slack, "found {found}, expected {expected} within {slack}");
}

const INCH: f64 = 0.0254;
/// Ω per thousand feet in Ω/m.
const PER_KILOFOOT: f64 = 1.0 / 304.8;
