//! Owns the comparison with figures of a general-purpose geometry library (tests/reckon/outside/plane_reference.csv, made by plane_reference.py beside it).
//! It must not need that library.

use pintle::reckon::beam::{Beam, Stance, blind_area};
use pintle::reckon::geometry::{
    Bifold, Fixed, Ground, Lead, Leaf, Movement, Plane, Point, Point3, Polygon, Range, Region, Swing, gap_at, least_gap, swept,
};

const REFERENCE: &str = include_str!("../outside/plane_reference.csv");

/// The fields of all cases of a kind.
fn cases(kind: &str) -> Vec<Vec<&'static str>> {
    let lines = REFERENCE.lines().filter(|line| !line.starts_with('#'));
    let fields = lines.map(|line| line.split(';').collect::<Vec<_>>());
    fields.filter(|fields| fields.first() == Some(&kind)).map(|fields| fields[1..].to_vec()).collect()
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

fn points(text: &str) -> Vec<Point> {
    let pair = |pair: &str| {
        let (x, y) = pair.split_once(' ').expect("two numbers");
        Point::new(number(x), number(y))
    };
    text.split(',').map(pair).collect()
}

fn polygon(text: &str) -> Polygon {
    Polygon::new(&points(text)).unwrap_or_else(|slip| panic!("{slip} {text}"))
}

fn near(found: f64, expected: f64, part: f64, least: f64, case: usize) {
    let allowed = (expected.abs() * part).max(least);
    assert!((found - expected).abs() <= allowed, "case {case}: found {found}, reference {expected}");
}

#[test]
fn polygon_areas_agree_with_the_reference_library() {
    let all = cases("area");
    assert_eq!(all.len(), 60);
    for (case, fields) in all.iter().enumerate() {
        let outline = polygon(fields[0]);
        near(outline.area(), number(fields[1]), 1e-11, 1e-11, case);
        near(Region::of(&outline).area(), number(fields[1]), 0.0, 2e-8, case);
    }
}

#[test]
fn union_overlap_and_difference_agree_with_the_reference_library() {
    for kind in ["union", "overlap", "minus"] {
        let all = cases(kind);
        assert_eq!(all.len(), 25);
        for (case, fields) in all.iter().enumerate() {
            let (one, other) = (Region::of(&polygon(fields[0])), Region::of(&polygon(fields[1])));
            let result = match kind {
                "union" => one.union(&other),
                "overlap" => one.overlap(&other),
                _ => one.minus(&other),
            };
            near(result.area(), number(fields[2]), 0.0, 1e-7, case);
        }
    }
}

/// A leaf of which one end is the first outline cannot be had, so the distance is asked of a thin still leaf at each edge.
#[test]
fn least_distances_agree_with_the_reference_library() {
    let all = cases("distance");
    assert_eq!(all.len(), 120);
    for (case, fields) in all.iter().enumerate() {
        let other = Fixed::new(polygon(fields[1]), Range::new("heights", 0.0, 2.0).expect("a range")).expect("an object");
        let first = polygon(fields[0]);
        let corners = first.corners();
        let mut least = f64::INFINITY;
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            let (x, y) = (b.x - a.x, b.y - a.y);
            let leaf = swing(*a, y.atan2(x), 0.1, 0.0, x.hypot(y), 0.0, 2e-9);
            least = least.min(gap_at(&leaf, &other, 0.0).expect("a gap").gap);
        }
        let inside = other.outline().corners().iter().any(|c| first.contains(*c));
        near(if inside { 0.0 } else { least }, number(fields[2]), 0.0, 3e-9, case);
    }
}

#[test]
fn grown_areas_agree_with_the_reference_library() {
    let all = cases("grown");
    assert_eq!(all.len(), 50);
    for (case, fields) in all.iter().enumerate() {
        let grown = Region::of(&polygon(fields[0])).grown(number(fields[1])).expect("an area").area();
        let expected = number(fields[2]);
        near(grown, expected, 1e-4, 0.0, case);
        assert!(grown >= expected - 1e-6, "case {case}: {grown} is smaller than {expected}");
    }
}

fn swing(hinge: Point, closed: f64, opening: f64, heel: f64, length: f64, offset: f64, thickness: f64) -> Movement {
    let leaf = Swing { hinge, closed_direction: closed, opening_angle: opening, heel, length, offset, thickness, bottom: 0.1, height: 1.5 };
    Leaf::Swing(leaf).movement().expect("a sound leaf")
}

#[test]
fn swept_areas_agree_with_the_reference_library() {
    let all = cases("swing");
    assert_eq!(all.len(), 40);
    for (case, fields) in all.iter().enumerate() {
        let v: Vec<f64> = fields.iter().map(|field| number(field)).collect();
        let movement = swing(Point::new(0.0, 0.0), v[4], v[5], v[0], v[1], v[2], v[3]);
        let swept = swept(&movement).expect("an area");
        assert_eq!(swept.plane, Plane::Plan);
        near(swept.whole.area(), v[6], 1e-3, 0.0, case);
        let leaf = v[1] * v[3];
        near(swept.opening.area(), v[6] - leaf, 1e-3, 1e-3 * v[6], case);
        near(swept.closing.area(), v[6] - leaf, 1e-3, 1e-3 * v[6], case);
    }
}

#[test]
fn swept_areas_of_folding_leaves_agree_with_the_reference_library() {
    let all = cases("bifold");
    assert_eq!(all.len(), 24);
    for (case, fields) in all.iter().enumerate() {
        let v: Vec<f64> = fields.iter().map(|field| number(field)).collect();
        let leaf = Bifold {
            hinge: Point::new(0.0, 0.0),
            closed_direction: v[4],
            opening_angle: v[5],
            first: v[0],
            second: v[1],
            lead: if v[2] > 0.0 { Lead::Geared(v[2]) } else { Lead::Guided },
            thickness: v[3],
            bottom: 0.1,
            height: 1.5,
        };
        let movement = Leaf::Bifold(leaf).movement().expect("a sound leaf");
        near(swept(&movement).expect("an area").whole.area(), v[6], 1e-3, 0.0, case);
    }
}

#[test]
fn least_gaps_of_swings_agree_with_the_reference_library() {
    let all = cases("gap");
    assert_eq!(all.len(), 60);
    for (case, fields) in all.iter().enumerate() {
        let (heel, length) = (number(fields[0]), number(fields[1]));
        let movement = swing(Point::new(0.0, 0.0), number(fields[2]), number(fields[3]), heel, length, 0.02, 0.06);
        let object = Fixed::new(polygon(fields[4]), Range::new("heights", 0.0, 2.0).expect("a range")).expect("an object");
        let found = least_gap(&movement, &object).expect("a gap");
        // The reference samples 20,001 positions: at the tip's speed it can be too great by up to 0.3 mm, and never too small.
        let reference = number(fields[5]);
        let step = number(fields[3]).abs() * (length + heel.abs()) / 20_000.0 / 2.0;
        assert!(found.gap - found.error <= reference + 1e-8, "case {case}: {found:?} reference {reference}");
        assert!(found.gap >= reference - step - 1e-8, "case {case}: {found:?} reference {reference}");
    }
}

#[test]
fn blind_areas_agree_with_the_reference_library() {
    let all = cases("blind");
    assert_eq!(all.len(), 30);
    let ground = Ground::level(0.0).expect("ground");
    for (case, fields) in all.iter().enumerate() {
        let ends = points(fields[1]);
        let beams: Vec<Beam> = ends
            .chunks(2)
            .map(|pair| {
                let at = |p: Point| Point3::new(p.x, p.y, 0.3);
                Beam::new(at(pair[0]), at(pair[1])).expect("a beam")
            })
            .collect();
        let stance = Stance::new(number(fields[2]), number(fields[3]), 0.7).expect("a stance");
        let blind = blind_area(&polygon(fields[0]), &beams, &ground, stance).expect("an area");
        let (coarse, fine) = (number(fields[4]), number(fields[5]));
        let limit = 2.0 * fine - coarse;
        let what = format!("case {case}: {} from {} to {}, reference {fine} near {limit}", blind.area, blind.at_least, blind.at_most);
        // The truth lies above the second and near the limit; both were seen to be off by up to 0.1 %, so 0.15 % is asked of the limit and
        // the proved bounds must hold what the directions tried have shown.
        assert!((blind.area - limit).abs() <= (1.5e-3 * limit).max(1e-4), "{what}");
        assert!(blind.at_most >= fine - 1e-7 && blind.at_most - blind.at_least <= 1e-3 * limit + 1e-4, "{what}");
        assert!(blind.at_least <= limit * 1.0002 + 2e-5, "{what}");
        assert!(blind.places().area() <= blind.at_least + 1e-6 && blind.at_least <= blind.area && blind.area <= blind.at_most, "{what}");
    }
}
