//! Owns the comparison of blind areas and unseen widths with brute force over places and directions. It must not use facts of the trade.

use std::f64::consts::PI;

use super::draw::{Draw, outline};
use pintle::reckon::beam::{Beam, Body, Stance, WIDTH_ERROR, blind_area, widest_unseen};
use pintle::reckon::geometry::{Ground, Point, Point3, Polygon};

fn beam(a: (f64, f64, f64), b: (f64, f64, f64)) -> Beam {
    Beam::new(Point3::new(a.0, a.1, a.2), Point3::new(b.0, b.1, b.2)).expect("a beam")
}

fn level() -> Ground {
    Ground::level(0.0).expect("ground")
}

/// Whether a rectangle (half sides) about a place, turned by an angle, meets a line between two points: the line is cut to the
/// rectangle in the rectangle's own coordinates.
fn meets(p: Point, (long, short): (f64, f64), angle: f64, a: Point, b: Point) -> bool {
    let (sin, cos) = angle.sin_cos();
    let own = |q: Point| ((q.x - p.x) * cos + (q.y - p.y) * sin, (q.y - p.y) * cos - (q.x - p.x) * sin);
    let (a, b) = (own(a), own(b));
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, end, half) in [(a.0, b.0, long), (a.1, b.1, short)] {
        let way = end - start;
        if way.abs() < 1e-15 {
            if start.abs() > half {
                return false;
            }
            continue;
        }
        let (one, other) = ((-half - start) / way, (half - start) / way);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from <= to
}

/// The parts of a beam that a body of a height breaks, by samples along it.
fn parts(beam: &Beam, height: f64, ground: &dyn Fn(f64, f64) -> f64) -> Vec<(Point, Point)> {
    let at = |i: i32| {
        let share = f64::from(i) / 400.0;
        let (a, b) = (beam.from(), beam.to());
        (a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), a.z + share * (b.z - a.z))
    };
    let low = |p: (f64, f64, f64)| (0.0..height).contains(&(p.2 - ground(p.0, p.1)));
    let mut found = Vec::new();
    for i in 0..400 {
        let (p, q) = (at(i), at(i + 1));
        if low(p) && low(q) {
            found.push((Point::new(p.0, p.1), Point::new(q.0, q.1)));
        }
    }
    found
}

/// A level beam across or askew.
fn drawn_beam(draw: &mut Draw) -> Beam {
    let (y, z) = (draw.between(-1.2, 1.4), draw.between(0.1, 0.7));
    let skew = if draw.chance(0.5) { 0.0 } else { draw.between(-0.8, 0.8) };
    beam((draw.between(-0.5, 1.0), y, z), (draw.between(1.5, 5.5), y + skew, z))
}

#[test]
fn blind_places_of_120_random_zones_agree_with_brute_force() {
    let mut draw = Draw::new(51);
    for case in 0..120 {
        let zone =
            Polygon::rectangle(Point::new(0.0, -1.0), Point::new(draw.between(2.0, 5.0), draw.between(0.5, 1.5))).expect("an outline");
        let slope = if draw.chance(0.5) { 0.0 } else { draw.between(-0.1, 0.1) };
        let ground = Ground::plane(0.0, slope, 0.0).expect("ground");
        let (length, width) = (draw.between(0.4, 0.8), draw.between(0.1, 0.4));
        let (long, short) = (length / 2.0, width / 2.0);
        let stance = Stance::new(length, width, draw.between(0.3, 0.8)).expect("a stance");
        let beams: Vec<Beam> = (0..1 + draw.whole() % 4).map(|_| drawn_beam(&mut draw)).collect();
        let broken = |b: &Beam| parts(b, stance.height(), &|x, _| slope * x);
        let pieces: Vec<(Point, Point)> = beams.iter().flat_map(broken).collect();
        let blind = blind_area(&zone, &beams, &ground, stance).expect("an area");
        assert!(blind.at_least <= blind.area + 1e-12 && blind.area <= blind.at_most + 1e-12, "case {case}");
        let area = zone.area();
        let (low, high) = (zone.corners()[0], zone.corners()[2]);
        let (mut hits, tries) = (0, 1500);
        for _ in 0..tries {
            let p = Point::new(draw.between(low.x, high.x), draw.between(low.y, high.y));
            let slips = |long: f64, short: f64| {
                (0..90).any(|i| {
                    let angle = PI * f64::from(i) / 90.0;
                    !pieces.iter().any(|(a, b)| meets(p, (long, short), angle, *a, *b))
                })
            };
            let free = slips(long, short);
            hits += i32::from(free);
        }
        let share = f64::from(hits) / f64::from(tries);
        let spread = 4.5 * (share * (1.0 - share) / f64::from(tries)).sqrt() * area + 0.02 * area;
        let counted = share * area;
        assert!((blind.area - counted).abs() < spread, "case {case}: {} counted {counted} within {spread}", blind.area);
    }
}

#[test]
fn one_long_beam_leaves_all_but_a_strip_of_the_bodys_short_side() {
    let zone = Polygon::rectangle(Point::new(0.0, -1.0), Point::new(6.0, 1.0)).expect("an outline");
    let body = Body::new(0.7, 0.3, 0.2).expect("a body");
    let beams = [beam((-2.0, 0.0, 0.5), (8.0, 0.0, 0.5))];
    let upright = blind_area(&zone, &beams, &level(), body.upright()).expect("an area");
    assert!((upright.area - 6.0 * (2.0 - 0.2)).abs() < 1e-6, "{}", upright.area);
    // Lying it is 0.2 m high and passes under the beam.
    let lying = blind_area(&zone, &beams, &level(), Stance::new(0.7, 0.3, 0.2).expect("a stance")).expect("an area");
    assert!((lying.area - 12.0).abs() < 1e-6);
    // A beam just at the top of the body does not count.
    let on_side = blind_area(&zone, &[beam((-2.0, 0.0, 0.3), (8.0, 0.0, 0.3))], &level(), Stance::new(0.7, 0.2, 0.3).expect("a stance"));
    assert!((on_side.expect("an area").area - 12.0).abs() < 1e-6);
    let lower = blind_area(&zone, &[beam((-2.0, 0.0, 0.299), (8.0, 0.0, 0.299))], &level(), Stance::new(0.7, 0.2, 0.3).expect("a stance"));
    assert!((lower.expect("an area").area - 6.0 * (2.0 - 0.2)).abs() < 1e-6);
}

#[test]
fn beams_closer_than_the_bodys_short_side_leave_nothing_between() {
    let zone = Polygon::rectangle(Point::new(0.0, -0.3), Point::new(6.0, 0.3)).expect("an outline");
    let body = Body::new(0.7, 0.3, 0.2).expect("a body");
    let beams: Vec<Beam> = (0..4).map(|i| f64::from(i) * 0.19 - 0.285).map(|y| beam((-1.0, y, 0.4), (7.0, y, 0.4))).collect();
    let blind = blind_area(&zone, &beams, &level(), body.upright()).expect("an area");
    assert!(blind.area < 1e-9 && blind.places().is_empty(), "{}", blind.area);
    let wide = widest_unseen(&zone, &beams, &level(), 0.7).expect("a width");
    assert!((wide.width - 0.19).abs() <= WIDTH_ERROR, "{wide:?}");
}

#[test]
fn widest_unseen_of_200_random_zones_agrees_with_brute_force() {
    let mut draw = Draw::new(52);
    for case in 0..200 {
        let zone = outline(&draw.convex(2.0, 0.0));
        let beams: Vec<Beam> = (0..1 + draw.whole() % 4)
            .map(|_| {
                let y = draw.between(-0.8, 0.8);
                let far = y + draw.between(-0.3, 0.3);
                beam((draw.between(0.5, 2.0), y, 0.3), (draw.between(2.0, 3.5), far, 0.3))
            })
            .collect();
        let found = widest_unseen(&zone, &beams, &level(), 0.7).expect("a width");
        let clear = |p: Point| {
            let lines = beams.iter().map(|b| {
                let (a, c) = (b.from(), b.to());
                let (ux, uy) = (c.x - a.x, c.y - a.y);
                let share = (((p.x - a.x) * ux + (p.y - a.y) * uy) / (ux * ux + uy * uy)).clamp(0.0, 1.0);
                (p.x - a.x - share * ux).hypot(p.y - a.y - share * uy)
            });
            let corners = zone.corners();
            let edges = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| {
                let (ux, uy) = (b.x - a.x, b.y - a.y);
                (ux * (p.y - a.y) - uy * (p.x - a.x)) / ux.hypot(uy)
            });
            lines.chain(edges).fold(f64::INFINITY, f64::min)
        };
        let mut most: f64 = 0.0;
        for i in 0..=150 {
            for j in 0..=150 {
                let p = Point::new(1.0 + 2.0 * f64::from(i) / 150.0, -1.0 + 2.0 * f64::from(j) / 150.0);
                most = most.max(clear(p) * 2.0);
            }
        }
        assert!(found.width >= most - found.error - 1e-9, "case {case}: {found:?} sampled {most}");
        assert!(found.width <= most + 0.03, "case {case}: {found:?} sampled {most}");
        assert!((clear(found.place) * 2.0 - found.width).abs() < 1e-9, "case {case}: {found:?}");
    }
}

#[test]
fn a_beam_counts_only_where_it_is_below_the_body() {
    // The ground rises under a level beam: 0.9 m over it at the left end, 0.3 m at the right; a body of 0.6 m breaks the right half.
    let zone = Polygon::rectangle(Point::new(0.0, -1.0), Point::new(6.0, 1.0)).expect("an outline");
    let ground = Ground::plane(0.0, 0.1, 0.0).expect("ground");
    let stance = Stance::new(0.2, 0.2, 0.6).expect("a stance");
    let blind = blind_area(&zone, &[beam((0.0, 0.0, 0.9), (6.0, 0.0, 0.9))], &ground, stance).expect("an area");
    // Seen: 3 m by 0.2 m, and at its left end half a circle, since some turn of the square always slips past the rest of it.
    let expected = 12.0 - (3.0 * 0.2 + PI * 0.01 / 2.0);
    assert!((blind.area - expected).abs() < 1e-3 * expected, "{} expected {expected}", blind.area);
    assert!(blind.at_least <= expected + 1e-9 && blind.at_most >= expected - 1e-9, "{blind:?}");
}
