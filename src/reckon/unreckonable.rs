//! Owns the reasons why a calculation cannot be made, each with a sentence for people. It must not know where a number came from.

use std::fmt;

/// Why something cannot be reckoned. Its `Display` is a whole sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Unreckonable {
    /// A number is infinite or not a number.
    NotFinite {
        /// What was asked for, as a noun phrase.
        what: &'static str,
    },
    /// A number that must be more than zero is not.
    NotPositive {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The number given.
        value: f64,
    },
    /// A number that must not be less than zero is.
    Negative {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The number given.
        value: f64,
    },
    /// A number is outside of the range for which the calculation is known to hold.
    Outside {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The number given.
        value: f64,
        /// The least that is taken.
        least: f64,
        /// The most that is taken.
        most: f64,
    },
    /// An angle is outside of the range for which the calculation is known to hold.
    OutsideAngle {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The angle given, in radians.
        value: f64,
        /// The least that is taken, in radians.
        least: f64,
        /// The most that is taken, in radians.
        most: f64,
    },
    /// A list that must have something in it is empty.
    Nothing {
        /// What was asked for, as a noun phrase.
        what: &'static str,
    },
    /// More of something than is taken.
    TooMany {
        /// What was asked for, as a noun phrase in the plural.
        what: &'static str,
        /// How many were given.
        count: usize,
        /// The most that is taken.
        most: usize,
    },
    /// A size that the published table does not list.
    NotListed {
        /// The table, as a noun phrase.
        table: &'static str,
        /// The size asked for, as the table counts it.
        size: f64,
    },
    /// A record whose times do not increase.
    TimesOutOfOrder {
        /// The time that is not beyond the one before it, in seconds.
        time: f64,
    },
    /// A run of cable that starts from one that is not listed before it.
    UnknownStart {
        /// Place in the list of what names it, counted from 1.
        which: usize,
        /// Place in the list that it names, counted from 1.
        from: usize,
    },
    /// A day that no calendar has.
    NoSuchDay {
        /// The year.
        year: i32,
        /// The month, 1 to 12.
        month: u8,
        /// The day of the month.
        day: u8,
    },
    /// The sun's position could not be worked out.
    NoSun,
    /// The answer is too large to be a number.
    Overgrown {
        /// The answer, as a noun phrase.
        what: &'static str,
    },
    /// A measure is beyond anything a gate can have.
    TooLarge {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The number given.
        value: f64,
        /// The most that is taken.
        most: f64,
    },
    /// A measure is more than zero and yet too small to mean anything.
    TooSmall {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The number given.
        value: f64,
        /// The least that is taken.
        least: f64,
    },
    /// A range is given the wrong way round, or is empty.
    EmptyRange {
        /// What was asked for, as a noun phrase.
        what: &'static str,
        /// The lower end given.
        from: f64,
        /// The upper end given.
        to: f64,
    },
    /// A polygon with fewer than three different corners, or without area.
    DegeneratePolygon {
        /// How many different corners are left.
        corners: usize,
    },
    /// A polygon whose outline crosses or touches itself.
    CrossingOutline,
    /// A polygon with more corners than is taken.
    TooManyCorners {
        /// How many were given.
        corners: usize,
        /// The most that is taken.
        most: usize,
    },
    /// Two points that must differ are the same.
    ZeroSpan {
        /// What was asked for, as a noun phrase.
        what: &'static str,
    },
    /// A guided folding leaf whose first panel is longer than its second and so would jam.
    FoldingJams {
        /// Length of the panel at the post, in metres.
        first: f64,
        /// Length of the panel at the guide, in metres.
        second: f64,
    },
    /// A place beyond the ends of the ground that was surveyed.
    BeyondGround {
        /// The distance along the survey line that was asked for, in metres.
        station: f64,
        /// Where the survey begins, in metres.
        from: f64,
        /// Where the survey ends, in metres.
        to: f64,
    },
    /// Stations of a ground survey that do not increase.
    StationsOutOfOrder {
        /// The station that is not beyond the one before it, in metres.
        station: f64,
    },
    /// A position in the travel outside of 0 (closed) to 1 (open).
    OutsideTravel {
        /// The position given.
        position: f64,
    },
    /// The answer could not be bounded well enough in a reasonable number of steps.
    TooFine,
}

impl fmt::Display for Unreckonable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { what } => write!(out, "The {what} is not a finite number."),
            Self::NotPositive { what, value } => write!(out, "The {what} must be more than zero, and {value} is not."),
            Self::Negative { what, value } => write!(out, "The {what} must not be less than zero, and {value} is."),
            Self::Outside { what, value, least, most } => {
                write!(out, "The {what} must lie between {least} and {most}, and {value} does not.")
            }
            Self::OutsideAngle { what, value, least, most } => write!(
                out,
                "The {what} must lie between {} and {} degrees, and {} degrees does not.",
                tidy(least.to_degrees()),
                tidy(most.to_degrees()),
                tidy(value.to_degrees())
            ),
            Self::Nothing { what } => write!(out, "There is no {what} to reckon with."),
            Self::TooMany { what, count, most } => write!(out, "There are {count} {what}, and at most {most} are taken."),
            Self::NotListed { table, size } => write!(out, "The {table} does not list size {size}."),
            Self::TimesOutOfOrder { time } => write!(out, "The times of the record must increase, and the one at {time} s does not."),
            Self::UnknownStart { which, from } => {
                write!(out, "Number {which} hangs on number {from}, which is not listed before it.")
            }
            Self::NoSuchDay { year, month, day } => write!(out, "There is no day {year:04}-{month:02}-{day:02}."),
            Self::NoSun => out.write_str("The position of the sun cannot be worked out for that place and time."),
            Self::Overgrown { what } => write!(out, "The {what} comes out larger than any number that can be written."),
            Self::TooLarge { what, value, most } => {
                write!(out, "The {what} of {value} is beyond {most}, the most that a gate site can have.")
            }
            Self::TooSmall { what, value, least } => {
                write!(out, "The {what} of {value} is below {least}, which is too small to mean anything.")
            }
            Self::EmptyRange { what, from, to } => {
                write!(out, "The {what} must run upwards, and {from} to {to} does not.")
            }
            Self::DegeneratePolygon { corners } => {
                write!(out, "The outline encloses no area ({corners} different corners).")
            }
            Self::CrossingOutline => out.write_str("The outline crosses or touches itself."),
            Self::TooManyCorners { corners, most } => {
                write!(out, "The outline has {corners} corners, and at most {most} are taken.")
            }
            Self::ZeroSpan { what } => write!(out, "The two ends of the {what} are at the same point."),
            Self::FoldingJams { first, second } => write!(
                out,
                "The folding leaf would jam: its panel at the post ({first:.3} m) is longer than its guided panel ({second:.3} m)."
            ),
            Self::BeyondGround { station, from, to } => {
                write!(out, "The ground was surveyed from {from:.3} m to {to:.3} m, and its height at {station:.3} m is needed.")
            }
            Self::StationsOutOfOrder { station } => {
                write!(out, "The stations of the ground survey must increase, and the one at {station:.3} m does not.")
            }
            Self::OutsideTravel { position } => {
                write!(out, "The position {position} is outside of the travel, which runs from 0 (closed) to 1 (open).")
            }
            Self::TooFine => out.write_str("The figure could not be narrowed down well enough in a reasonable number of steps."),
        }
    }
}

impl std::error::Error for Unreckonable {}

/// Rounded to a millionth, so that 90 degrees kept as radians is shown as 90.
fn tidy(number: f64) -> f64 {
    let rounded = libm::round(number * 1e6) / 1e6;
    if rounded.is_finite() { rounded } else { number }
}
