//! Exact numbers with dimensions, and the notations in which the trade writes them. It must not know rules or jobs.

pub mod date;
pub mod dimension;
pub mod exact;
pub mod interval;
pub mod number_text;
pub mod read;
pub mod show;
pub mod small;
pub mod tape;
pub mod unit;
pub mod units;
pub mod wire;

pub use date::{Days, Period};
pub use dimension::Dimension;
pub use exact::Exact;
pub use interval::Interval;
pub use read::{ReadSlip, Reading, read};
pub use unit::Unit;
pub use units::Units;
pub use wire::Wire;
