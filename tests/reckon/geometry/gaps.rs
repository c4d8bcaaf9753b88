//! Owns the comparison of gaps over the movement with the slow reckoning of oracle.rs, on random gates of every kind.

use super::draw::{Draw, outline};
use super::oracle::{blocks, sampled, to_prism};
use pintle::reckon::geometry::{Fixed, GAP_ERROR, Leaf, Plane, Point, Range, gap_at, greatest_gap, least_gap};

/// A random object, and its convex parts as the oracle sees them.
fn object(draw: &mut Draw) -> (Fixed, Vec<Vec<Point>>, (f64, f64)) {
    let (x, y) = (draw.between(-6.0, 7.0), draw.between(-4.0, 4.0));
    let low = if draw.chance(0.7) { 0.0 } else { draw.between(0.0, 2.5) };
    let z = (low, low + draw.between(0.1, 2.0));
    let heights = Range::new("heights", z.0, z.1).expect("a range");
    if draw.chance(0.25) {
        // An angle of two walls: not convex, so that the crate has to cut it up.
        let (w, d, t) = (draw.between(0.4, 1.5), draw.between(0.4, 1.5), draw.between(0.05, 0.3));
        let at = |dx: f64, dy: f64| Point::new(x + dx, y + dy);
        let whole = [at(0.0, 0.0), at(w, 0.0), at(w, t), at(t, t), at(t, d), at(0.0, d)];
        let parts = vec![vec![at(0.0, 0.0), at(w, 0.0), at(w, t), at(0.0, t)], vec![at(0.0, 0.0), at(t, 0.0), at(t, d), at(0.0, d)]];
        return (Fixed::new(outline(&whole), heights).expect("an object"), parts, z);
    }
    let corners = draw.convex(x, y);
    (Fixed::new(outline(&corners), heights).expect("an object"), vec![corners], z)
}

fn slow(leaf: &Leaf, parts: &[Vec<Point>], z: (f64, f64), t: f64) -> f64 {
    let all = blocks(leaf, t);
    let each = all.iter().flat_map(|block| parts.iter().map(|part| to_prism(block, part, z)));
    each.fold(f64::INFINITY, f64::min)
}

#[test]
fn least_gap_of_2400_random_gates_agrees_with_brute_force() {
    let mut draw = Draw::new(11);
    let mut worst: f64 = 0.0;
    for case in 0..2400 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let (fixed, parts, z) = object(&mut draw);
        let found = least_gap(&movement, &fixed).expect("a gap");
        let (least, at) = sampled(|t| slow(&leaf, &parts, z, t), 160);
        // No sample may lie below what is proved, and the samples come close to it.
        assert!(least > found.gap - found.error - 1e-6, "case {case}: {leaf:?} {found:?} sampled {least} at {at}");
        assert!(least < found.gap + 2e-4, "case {case}: {leaf:?} {found:?} sampled {least} at {at}");
        assert!(found.error <= GAP_ERROR);
        let there = gap_at(&movement, &fixed, found.at).expect("a gap").gap;
        assert!((there - found.gap).abs() <= 2e-6, "case {case}: told at {} but {there} there, {found:?}", found.at);
        let slow_there = slow(&leaf, &parts, z, found.at);
        assert!((slow_there - found.gap).abs() < 5e-5, "case {case}: {leaf:?} {found:?} but {slow_there} there");
        worst = worst.max((least - found.gap).abs());
    }
    println!("largest difference {worst:e} m");
}

#[test]
fn greatest_gap_of_900_random_gates_agrees_with_brute_force() {
    let mut draw = Draw::new(12);
    for case in 0..900 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let (fixed, parts, z) = object(&mut draw);
        let found = greatest_gap(&movement, &fixed).expect("a gap");
        let (least, at) = sampled(|t| -slow(&leaf, &parts, z, t), 160);
        // The point thrown to and fro comes near from above, so that the slow figure may be a little too great.
        assert!(-least < found.gap + found.error + 2e-5, "case {case}: {leaf:?} {found:?} sampled {} at {at}", -least);
        assert!(-least > found.gap - 2e-4, "case {case}: {leaf:?} {found:?} sampled {} at {at}", -least);
    }
}

#[test]
fn gap_at_any_position_agrees_with_brute_force() {
    let mut draw = Draw::new(13);
    for case in 0..3000 {
        let leaf = draw.leaf();
        let movement = leaf.movement().expect("drawn leaves are sound");
        let (fixed, parts, z) = object(&mut draw);
        let t = draw.share();
        let (found, expected) = (gap_at(&movement, &fixed, t).expect("a gap"), slow(&leaf, &parts, z, t));
        assert!((found.gap - expected).abs() < 2e-5, "case {case}: {leaf:?} {found:?} expected {expected}");
        let off = found.on_leaf;
        let between = [off.x - found.on_object.x, off.y - found.on_object.y, off.z - found.on_object.z];
        let length = between.iter().map(|v| v * v).sum::<f64>().sqrt();
        assert!((length - found.gap).abs() < 1e-9, "case {case}: points {length} apart, gap {}", found.gap);
    }
}

#[test]
fn first_position_is_told_where_the_gap_stays_the_same() {
    // A slide leaf passes a post 100 mm from its face for most of its travel.
    let mut draw = Draw::new(14);
    for _ in 0..300 {
        let Leaf::Slide(mut slide) = draw.leaf_of(0) else { panic!("a slide leaf") };
        slide.travel = draw.between(3.0, 6.0);
        let movement = Leaf::Slide(slide).movement().expect("a sound leaf");
        let right = slide.opens == pintle::reckon::geometry::Side::Right;
        let front = if right { slide.left_end + slide.length } else { slide.left_end };
        let away = draw.between(0.5, 2.5);
        let gap = draw.between(0.02, 0.4);
        let face = slide.offset + slide.thickness / 2.0 + gap;
        let near = if right { front + away } else { front - away };
        let far = if right { near + 0.1 } else { near - 0.1 };
        let post = outline(&[Point::new(near, face), Point::new(far, face), Point::new(far, face + 0.1), Point::new(near, face + 0.1)]);
        let fixed = Fixed::new(post, Range::new("heights", 0.0, 2.0).expect("a range")).expect("an object");
        let found = least_gap(&movement, &fixed).expect("a gap");
        assert!((found.gap - gap).abs() < 1e-9, "{found:?} expected {gap}");
        assert!((found.at - away / slide.travel).abs() < 1e-3, "{found:?} expected at {}", away / slide.travel);
    }
}

#[test]
fn outlines_and_bodies_are_where_the_formulas_put_them() {
    let mut draw = Draw::new(15);
    for case in 0..600 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let t = draw.share();
        let blocks = blocks(&leaf, t);
        for (corners, block) in movement.corners_at(t).expect("corners").iter().zip(&blocks) {
            for c in corners {
                let off = [c.x - block.middle[0], c.y - block.middle[1], c.z - block.middle[2]];
                for (axis, half) in block.axes.iter().zip(block.half) {
                    let way = off[0] * axis[0] + off[1] * axis[1] + off[2] * axis[2];
                    assert!((way.abs() - half).abs() < 1e-9, "case {case}: {leaf:?} corner {c:?} of {t}");
                }
            }
        }
        let expected = match leaf {
            Leaf::Slide(_) | Leaf::Swing(_) | Leaf::Bifold(_) => Plane::Plan,
            _ => Plane::Elevation,
        };
        assert_eq!(movement.plane(), expected);
    }
}
