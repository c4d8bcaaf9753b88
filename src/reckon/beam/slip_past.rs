//! Owns the exact question whether a rectangle about a place can be turned so that it misses every one of several lines. It must not know
//! zones or areas.
//!
//! A rectangle and a line between two points miss each other exactly when one of three directions parts them: along the rectangle,
//! across it, or square to the line. Each gives an interval of directions of the rectangle, open at its ends.

use std::f64::consts::{FRAC_PI_2, PI};

use super::body::half_turn;
use crate::reckon::geometry::{Point, from_segment};

/// An interval of directions from 0 to half a turn, in radians.
type Fan = (f64, f64);

/// A direction in which a rectangle of two half sides (long, short) about a place misses all lines: the middle of the widest fan of them.
pub(crate) fn slips_past(place: Point, lines: &[(Point, Point)], (long, short): (f64, f64)) -> Option<f64> {
    if long <= 0.0 || short <= 0.0 {
        return Some(0.0);
    }
    let reach = libm::hypot(long, short);
    let mut free: Vec<Fan> = vec![(0.0, PI)];
    for (a, b) in lines {
        let distance = from_segment(place, *a, *b);
        if distance > reach {
            continue;
        }
        if distance <= short {
            return None;
        }
        let past = missing(*a - place, *b - place, (long, short));
        free = in_both(&free, &past);
        if free.is_empty() {
            return None;
        }
    }
    let widest = free.into_iter().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    widest.map(|(from, to)| (from + to) / 2.0)
}

/// The directions in which the rectangle misses one line, seen from its middle.
fn missing(a: Point, b: Point, (long, short): (f64, f64)) -> Vec<Fan> {
    let mut fans = Vec::with_capacity(6);
    // Both ends past the far or the near end of the rectangle, or past one of its sides.
    for (half, turn) in [(long, 0.0), (short, FRAC_PI_2)] {
        if let (Some(one), Some(other)) = (beyond(a, half), beyond(b, half)) {
            let apart = (other.0 - one.0 + PI).rem_euclid(2.0 * PI) - PI;
            let (low, high) = ((-one.1).max(apart - other.1), one.1.min(apart + other.1));
            push(&mut fans, one.0 + low - turn, one.0 + high - turn);
        }
    }
    // The line itself parts them: the rectangle's reach square to the line is less than the distance of the line.
    if let Some(along) = (b - a).unit() {
        let distance = along.cross(a).abs();
        let reach = libm::hypot(long, short);
        let direction = libm::atan2(along.y, along.x);
        if distance > reach {
            fans.push((0.0, PI));
        } else if distance > short {
            // long |sin t| + short |cos t| < distance, with t from the line's direction.
            let lean = libm::asin((distance / reach).min(1.0)) - libm::atan2(short, long);
            push(&mut fans, direction - lean, direction + lean);
            // Square to the line as well, when its distance is beyond the long side.
            if distance > long {
                let lean = libm::asin((distance / reach).min(1.0)) - libm::atan2(long, short);
                push(&mut fans, direction + FRAC_PI_2 - lean, direction + FRAC_PI_2 + lean);
            }
        }
    }
    fans
}

/// The middle and half width of the directions along which a point lies further than a half side.
fn beyond(p: Point, half: f64) -> Option<(f64, f64)> {
    let distance = p.length();
    (distance > half).then(|| (libm::atan2(p.y, p.x), libm::acos(half / distance)))
}

/// Adds an interval of directions, cut where it passes half a turn.
fn push(fans: &mut Vec<Fan>, from: f64, to: f64) {
    if from >= to {
        return;
    }
    if to - from >= PI {
        fans.push((0.0, PI));
        return;
    }
    let start = half_turn(from);
    let end = start + (to - from);
    if end <= PI {
        fans.push((start, end));
    } else {
        fans.push((start, PI));
        fans.push((0.0, end - PI));
    }
}

/// The directions in both of two sets.
fn in_both(one: &[Fan], other: &[Fan]) -> Vec<Fan> {
    let pairs = one.iter().flat_map(|a| other.iter().map(move |b| (a.0.max(b.0), a.1.min(b.1))));
    let mut both: Vec<Fan> = pairs.filter(|(from, to)| from < to).collect();
    both.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    // Overlapping fans are merged, so that the list cannot grow with every line.
    let mut merged: Vec<Fan> = Vec::with_capacity(both.len());
    for fan in both {
        match merged.last_mut() {
            Some(last) if fan.0 <= last.1 => last.1 = last.1.max(fan.1),
            _ => merged.push(fan),
        }
    }
    merged
}
