//! Owns when in a year the sun shines into a receiver. It must not know what the receiver belongs to or what glare does to it.

use super::calendar::{Day, days_in_year};
use super::position::{checked_offset, location, standard_refraction};
use super::year::SunYear;
use crate::reckon::number::{angle, finite};
use crate::reckon::unreckonable::Unreckonable;
use core::f64::consts::{FRAC_PI_2, PI, TAU};

const DAY: f64 = 86_400.0;
/// Days between samples: a minute.
const SAMPLE: f64 = 60.0 / DAY;
/// Days within which a beginning or end is found: half a second.
const SHARP: f64 = 0.5 / DAY;
/// Radians by which a day's arc is widened: the lift by the air (0.6°), half a day's change of declination (0.2°), the parallax.
const SLACK: f64 = 1.0 * PI / 180.0;

/// Something that looks along an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    /// Radians, positive north.
    pub latitude: f64,
    /// Radians, positive east.
    pub longitude: f64,
    /// Direction in which it looks, in radians clockwise from true north.
    pub bearing: f64,
    /// How far it looks up, in radians; less than zero: down.
    pub tilt: f64,
    /// Largest angle off its axis at which light disturbs it, in radians.
    pub half_angle: f64,
    /// Elevation of the skyline in radians, under which the sun's centre is hidden: 0 for open level country, −0.0047 to count its upper edge.
    pub skyline: f64,
}

/// A time on one day during which the sun stands in the cone of acceptance and over the skyline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlareWindow {
    /// The local day.
    pub day: Day,
    /// Beginning, in seconds after local midnight.
    pub from: f64,
    /// End, in seconds after local midnight.
    pub to: f64,
    /// Smallest angle between sun and axis, in radians.
    pub closest: f64,
    /// When, in seconds after local midnight.
    pub closest_at: f64,
}

/// What a receiver gets of the sun in a year.
#[derive(Clone, Debug, PartialEq)]
pub struct Glare {
    /// Every window, in order.
    pub windows: Vec<GlareWindow>,
    /// Seconds in the whole year.
    pub total: f64,
    /// Days with any.
    pub days: u16,
    /// The day with the most, and its seconds.
    pub longest: Option<(Day, f64)>,
    /// The window in which the sun comes closest to the axis; the first of equals.
    pub closest: Option<GlareWindow>,
}

/// One end of a beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The end as given, looking along its bearing.
    Here,
    /// The other end, looking back.
    There,
    /// Neither is better.
    Either,
}

/// A receiver at either end of a beam.
#[derive(Clone, Debug, PartialEq)]
pub struct Ends {
    /// At the end as given.
    pub here: Glare,
    /// At the other end.
    pub there: Glare,
    /// Where the sun shines in for less time in the year.
    pub better: End,
}

/// When the sun shines into a receiver in a year, in local standard time `offset` seconds ahead of universal time.
///
/// Beginnings and ends are within a minute of the exact position of the sun in air of 1010 mbar and 10 °C, usually within two seconds; where it
/// only grazes the cone or the horizon, other air moves them by more than that. Breaks of less than a minute may be closed. A window over
/// midnight is given as two. Source: solar position algorithm of Reda and Andreas (NREL/TP-560-34302). Errors: a latitude, longitude
/// or tilt beyond its turn, a half angle outside of 0 to 90°, a skyline beyond ±90°, an offset over 14 h.
pub fn glare(sun: &SunYear, offset: f64, receiver: &Receiver) -> Result<Glare, Unreckonable> {
    let eye = Eye::new(sun, receiver)?;
    let offset = checked_offset(offset)? / DAY;
    let mut glare = Glare { windows: Vec::new(), total: 0.0, days: 0, longest: None, closest: None };
    for number in 1..=days_in_year(sun.year()) {
        let day = Day::of_year(sun.year(), number)?;
        let start = f64::from(number) - 1.0 - offset;
        let already = glare.windows.len();
        for (from, to) in eye.arcs(start) {
            eye.search(from, to, |from, to| {
                let (closest_at, closest) = eye.closest(from, to);
                let seconds = |time: f64| ((time - start) * DAY).clamp(0.0, DAY);
                glare.windows.push(GlareWindow { day, from: seconds(from), to: seconds(to), closest, closest_at: seconds(closest_at) });
            });
        }
        glare.close_day(day, already);
    }
    Ok(glare)
}

/// Whether a receiver is better put at the end as given or at the other, looking back.
///
/// Source and errors: as for [`glare`].
pub fn compare_ends(sun: &SunYear, offset: f64, receiver: &Receiver) -> Result<Ends, Unreckonable> {
    let here = glare(sun, offset, receiver)?;
    let back = Receiver { bearing: receiver.bearing + PI, tilt: -receiver.tilt, ..*receiver };
    let there = glare(sun, offset, &back)?;
    let better = if here.total < there.total {
        End::Here
    } else if there.total < here.total {
        End::There
    } else {
        End::Either
    };
    Ok(Ends { here, there, better })
}

impl Glare {
    /// Takes the windows from `already` on, all of one day, into the sums.
    fn close_day(&mut self, day: Day, already: usize) {
        let mut seconds = 0.0;
        for window in self.windows.iter().skip(already) {
            seconds += window.to - window.from;
            if self.closest.is_none_or(|closest| window.closest < closest.closest) {
                self.closest = Some(*window);
            }
        }
        if self.windows.len() > already {
            self.total += seconds;
            self.days += 1;
            if self.longest.is_none_or(|(_, most)| seconds > most) {
                self.longest = Some((day, seconds));
            }
        }
    }
}

/// A receiver made ready for many looks at the sun.
struct Eye<'a> {
    sun: &'a SunYear,
    longitude: f64,
    half_angle: f64,
    skyline: f64,
    /// Sine and cosine of the latitude.
    latitude: (f64, f64),
    /// The axis: east, north, up.
    axis: [f64; 3],
    /// The point of the sky on the axis, by sine and cosine of its declination and its local hour angle.
    declination: (f64, f64),
    hour_angle: f64,
}

impl<'a> Eye<'a> {
    fn new(sun: &'a SunYear, receiver: &Receiver) -> Result<Self, Unreckonable> {
        let place = location(receiver.latitude, receiver.longitude)?;
        let (sin_latitude, cos_latitude) = libm::sincos(place.latitude.to_radians());
        let (sin_bearing, cos_bearing) = libm::sincos(finite("bearing", receiver.bearing)?);
        let (up, level) = libm::sincos(angle("tilt", receiver.tilt, -FRAC_PI_2, FRAC_PI_2)?);
        let (east, north) = (level * sin_bearing, level * cos_bearing);
        let sin_declination = sin_latitude * up + cos_latitude * north;
        let towards_equator = cos_latitude * up - sin_latitude * north;
        Ok(Self {
            sun,
            longitude: receiver.longitude,
            half_angle: angle("half angle of acceptance", receiver.half_angle, 0.0, FRAC_PI_2)?,
            skyline: angle("skyline", receiver.skyline, -FRAC_PI_2, FRAC_PI_2)?,
            latitude: (sin_latitude, cos_latitude),
            axis: [east, north, up],
            declination: (sin_declination, libm::hypot(towards_equator, east)),
            hour_angle: libm::atan2(-east, towards_equator),
        })
    }

    /// Angle of the sun off the axis and its elevation as seen, both in radians.
    fn look(&self, time: f64) -> (f64, f64) {
        let sun = self.sun.place(time);
        let (sin_declination, cos_declination) = libm::sincos(sun.declination);
        let (sin_turn, cos_turn) = libm::sincos(sun.hour_angle + self.longitude);
        let (sin_latitude, cos_latitude) = self.latitude;
        let up = sin_latitude * sin_declination + cos_latitude * cos_declination * cos_turn;
        let north = cos_latitude * sin_declination - sin_latitude * cos_declination * cos_turn;
        let east = -cos_declination * sin_turn;
        let level = libm::hypot(north, east);
        let centre = libm::atan2(up, level);
        // 8.794 seconds of arc lower than from the earth's centre.
        let true_elevation = centre - 4.263e-5 * level;
        let elevation = true_elevation + standard_refraction(true_elevation);
        let (high, low) = libm::sincos(elevation);
        let stretch = if level > 0.0 { low / level } else { 0.0 };
        let [axis_east, axis_north, axis_up] = self.axis;
        let (east, north) = (east * stretch, north * stretch);
        let along = axis_east * east + axis_north * north + axis_up * high;
        let across = libm::sqrt(
            square(axis_north * high - axis_up * north)
                + square(axis_up * east - axis_east * high)
                + square(axis_east * north - axis_north * east),
        );
        (libm::atan2(across, along), elevation)
    }

    /// How far the sun is inside of the cone and over the skyline, whichever is less, in radians; over zero means glare.
    fn depth(&self, time: f64) -> f64 {
        let (off, elevation) = self.look(time);
        (self.half_angle - off).min(elevation - self.skyline)
    }

    /// The parts of the day from `start` in which the sun, on its circle of declination, can be in the cone at all; in order and apart.
    fn arcs(&self, start: f64) -> Vec<(f64, f64)> {
        let sun = self.sun.place(start + 0.5);
        let (sin_declination, cos_declination) = libm::sincos(sun.declination);
        let reach = libm::cos((self.half_angle + SLACK).min(PI)) - self.declination.0 * sin_declination;
        let width = self.declination.1 * cos_declination;
        if reach > width {
            return Vec::new();
        }
        if reach <= -width {
            return vec![(start, start + 1.0)];
        }
        let half = libm::acos(reach / width) / TAU + 2.0 * SAMPLE;
        let turn = (self.hour_angle - self.longitude - self.sun.place(start).hour_angle) / TAU;
        let middle = start + (turn - libm::floor(turn));
        let mut arcs: Vec<(f64, f64)> = Vec::new();
        for shift in [-1.0, 0.0, 1.0] {
            let (from, to) = ((middle + shift - half).max(start), (middle + shift + half).min(start + 1.0));
            match arcs.last_mut() {
                _ if from >= to => {}
                Some(last) if from <= last.1 => last.1 = to,
                _ => arcs.push((from, to)),
            }
        }
        arcs
    }

    /// Finds the windows between two times and hands over beginning and end of each.
    fn search(&self, from: f64, to: f64, mut found: impl FnMut(f64, f64)) {
        let steps = libm::ceil((to - from) / SAMPLE).clamp(2.0, 2_000.0);
        let step = (to - from) / steps;
        let mut open = None;
        let mut two_back = (from, f64::NEG_INFINITY);
        let mut back = two_back;
        for at in 0..=steps as usize {
            let time = from + step * at as f64;
            let here = (time, self.depth(time));
            match (open, here.1 > 0.0) {
                (None, true) => open = Some(if at == 0 { time } else { self.edge(back.0, time) }),
                (Some(begun), false) => {
                    found(begun, self.edge(time, back.0));
                    open = None;
                }
                (None, false) if back.1 > two_back.1 && back.1 >= here.1 && back.1 > -step * TAU => {
                    // The sun may have grazed the cone between two samples.
                    let peak = highest(two_back.0, time, |time| self.depth(time));
                    if self.depth(peak) > 0.0 {
                        found(self.edge(two_back.0, peak), self.edge(time, peak));
                    }
                }
                _ => {}
            }
            (two_back, back) = (back, here);
        }
        if let Some(begun) = open {
            found(begun, to);
        }
    }

    /// The time between one outside and one inside at which the depth is nought.
    fn edge(&self, mut outside: f64, mut inside: f64) -> f64 {
        while (inside - outside).abs() > SHARP {
            let middle = 0.5 * (outside + inside);
            if self.depth(middle) > 0.0 {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        0.5 * (outside + inside)
    }

    /// When the sun is closest to the axis within a window, and how close.
    fn closest(&self, from: f64, to: f64) -> (f64, f64) {
        let steps = libm::ceil((to - from) / (5.0 * SAMPLE)).clamp(1.0, 300.0);
        let step = (to - from) / steps;
        let off = |time: f64| -self.look(time).0;
        let mut best = (from, off(from));
        for at in 1..=steps as usize {
            let time = from + step * at as f64;
            let here = off(time);
            if here > best.1 {
                best = (time, here);
            }
        }
        let time = highest((best.0 - step).max(from), (best.0 + step).min(to), off);
        let refined = off(time);
        if refined > best.1 { (time, -refined) } else { (best.0, -best.1) }
    }
}

/// Where a function with one peak between two times is highest, by golden section to half a second.
fn highest(mut from: f64, mut to: f64, of: impl Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut left, mut right) = (to - GOLDEN * (to - from), from + GOLDEN * (to - from));
    let (mut at_left, mut at_right) = (of(left), of(right));
    while to - from > SHARP {
        if at_left >= at_right {
            (to, right, at_right) = (right, left, at_left);
            left = to - GOLDEN * (to - from);
            at_left = of(left);
        } else {
            (from, left, at_left) = (left, right, at_right);
            right = from + GOLDEN * (to - from);
            at_right = of(right);
        }
    }
    0.5 * (from + to)
}

fn square(number: f64) -> f64 {
    number * number
}
