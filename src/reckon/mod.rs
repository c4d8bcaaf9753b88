//! Owns the calculations of the trade on plain numbers. It must not know rules, spans, jobs, truth values or files.
//!
//! Numbers are in metres, kilograms, seconds, amperes, volts, ohms, newtons, pascals, joules, coulombs and radians; temperatures in
//! degrees Celsius. Nothing here panics: what cannot be reckoned is an [`Unreckonable`], a sentence for people. Transcendental
//! functions come from `libm`, so that every machine finds the same digits.

pub mod battery;
pub mod beam;
pub mod circuit;
pub mod force;
pub mod geometry;
pub mod leaf;
mod number;
pub mod sun;
mod unreckonable;
pub mod wind;
pub mod wire;

pub use unreckonable::Unreckonable;
