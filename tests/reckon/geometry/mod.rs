//! Owns the tests of the geometry. They must call nothing that is not public.

mod beams;
mod draw;
mod gaps;
mod ground;
mod optics;
mod oracle;
mod outside;
mod refusals;
mod unseen;
mod vectors;
mod zones;
