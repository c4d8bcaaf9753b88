//! Owns the comparison of gaps over the ground, under leaves and under beams, with brute force. It must not use facts of the trade.

use super::draw::Draw;
use super::oracle::{Block, blocks};
use pintle::reckon::beam::Beam;
use pintle::reckon::geometry::{GROUND_GAP_ERROR, Ground, Leaf, Point, Point3, Unreckonable, under_leaf};

/// Random ground, and the same ground as a plain function.
fn ground(draw: &mut Draw) -> (Ground, Box<dyn Fn(f64, f64) -> f64>) {
    if draw.chance(0.3) {
        let (h, sx, sy) = (draw.between(-0.3, 0.1), draw.between(-0.1, 0.1), draw.between(-0.1, 0.1));
        return (Ground::plane(h, sx, sy).expect("ground"), Box::new(move |x, y| h + sx * x + sy * y));
    }
    let along = if draw.chance(0.3) { 0.0 } else { draw.between(-3.0, 3.0) };
    let cross = if draw.chance(0.5) { 0.0 } else { draw.between(-0.08, 0.08) };
    let mut stations = vec![(-30.0, draw.between(-0.3, 0.1))];
    for i in 0..6 {
        stations.push((-5.0 + 2.0 * f64::from(i) + draw.between(-0.8, 0.8), draw.between(-0.3, 0.1)));
    }
    stations.push((30.0, draw.between(-0.3, 0.1)));
    let (sin, cos) = f64::sin_cos(along);
    let kept = stations.clone();
    let height = move |x: f64, y: f64| {
        let station = x * cos + y * sin;
        let i = (1..kept.len() - 1).find(|i| station <= kept[*i].0).unwrap_or(kept.len() - 1);
        let ((s0, z0), (s1, z1)) = (kept[i - 1], kept[i]);
        z0 + (station - s0) / (s1 - s0) * (z1 - z0) + cross * (y * cos - x * sin)
    };
    (Ground::profile(along, &stations, cross).expect("ground"), Box::new(height))
}

/// Points on the surface of a block that can be lowest, and whether they belong to the bottom edge.
fn points(leaf: &Leaf, block: &Block) -> Vec<([f64; 3], bool)> {
    let flat = !matches!(leaf, Leaf::VerticalPivot(_) | Leaf::BarrierArm(_));
    let mut all = Vec::new();
    for i in 0..=40 {
        for j in 0..=6 {
            let (u, v) = (f64::from(i) / 20.0 - 1.0, f64::from(j) / 3.0 - 1.0);
            // Flat: the underside. Raised: all along the leaf at its lower and upper edge, and both ends.
            let spots: Vec<([f64; 3], bool)> = if flat {
                vec![([u, v, -1.0], true)]
            } else {
                vec![([u, -1.0, v], true), ([u, 1.0, v], false), ([-1.0, u, v], u == -1.0), ([1.0, u, v], u == -1.0)]
            };
            for (spot, bottom) in spots {
                let mut p = block.middle;
                for ((axis, half), share) in block.axes.iter().zip(block.half).zip(spot) {
                    for (coordinate, part) in p.iter_mut().zip(axis) {
                        *coordinate += share * half * part;
                    }
                }
                all.push((p, bottom));
            }
        }
    }
    all
}

#[test]
fn gaps_under_600_random_leaves_agree_with_brute_force() {
    let mut draw = Draw::new(21);
    for case in 0..600 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let (ground, height) = ground(&mut draw);
        let found = under_leaf(&movement, &ground).expect("gaps");
        assert!(found.error <= GROUND_GAP_ERROR);
        let (mut least, mut greatest) = (f64::INFINITY, f64::NEG_INFINITY);
        for step in 0..=120 {
            for block in blocks(&leaf, f64::from(step) / 120.0) {
                for (p, bottom) in points(&leaf, &block) {
                    let gap = p[2] - height(p[0], p[1]);
                    least = least.min(gap);
                    if bottom {
                        greatest = greatest.max(gap);
                    }
                }
            }
        }
        assert!(least >= found.least.gap - found.error, "case {case}: {leaf:?} {found:?} sampled {least}");
        assert!(least <= found.least.gap + 2.5e-2, "case {case}: {leaf:?} {found:?} sampled {least}");
        assert!(greatest <= found.greatest.gap + found.error, "case {case}: {leaf:?} {found:?} sampled {greatest}");
        assert!(greatest >= found.greatest.gap - 2.5e-2, "case {case}: {leaf:?} {found:?} sampled {greatest}");
        // What is told can be seen at the place told.
        for told in [found.least, found.greatest] {
            let place = told.place;
            assert!((place.z - height(place.x, place.y) - told.gap).abs() < 1e-9, "case {case}: {told:?}");
            let near = blocks(&leaf, told.at)
                .iter()
                .map(|block| {
                    let q = block.nearest([place.x, place.y, place.z]);
                    (q[0] - place.x).hypot(q[1] - place.y).hypot(q[2] - place.z)
                })
                .fold(f64::INFINITY, f64::min);
            assert!(near < 1e-3, "case {case}: {leaf:?} {told:?} is {near} off the leaf");
        }
    }
}

#[test]
fn heights_of_1000_random_beams_agree_with_brute_force() {
    let mut draw = Draw::new(22);
    for case in 0..1000 {
        let (ground, height) = ground(&mut draw);
        let mut end = || Point3::new(draw.between(-8.0, 8.0), draw.between(-8.0, 8.0), draw.between(0.1, 1.5));
        let (a, b) = (end(), end());
        let beam = Beam::new(a, b).expect("a beam");
        let found = beam.height_over(&ground).expect("heights");
        let over = |share: f64| {
            let p = [a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), a.z + share * (b.z - a.z)];
            p[2] - height(p[0], p[1])
        };
        let sampled: Vec<f64> = (0..=4000).map(|i| over(f64::from(i) / 4000.0)).collect();
        let least = sampled.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = sampled.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!(least >= found.least.height - 1e-9 && least <= found.least.height + 3e-3, "case {case}: {found:?} {least}");
        assert!(greatest <= found.greatest.height + 1e-9 && greatest >= found.greatest.height - 3e-3, "case {case}");
        for told in [found.least, found.greatest] {
            assert!((over(told.along / beam.span()) - told.height).abs() < 1e-9, "case {case}: {told:?}");
        }
        // Between the places told the height runs straight.
        for pair in found.course.windows(2) {
            let middle = (pair[0].along + pair[1].along) / 2.0;
            let straight = (pair[0].height + pair[1].height) / 2.0;
            assert!((over(middle / beam.span()) - straight).abs() < 1e-9, "case {case}: {pair:?}");
        }
    }
}

#[test]
fn ground_beyond_the_survey_is_not_made_up() {
    let ground = Ground::profile(0.0, &[(0.0, 0.0), (5.0, 0.2)], 0.0).expect("ground");
    assert_eq!(ground.height_at(Point::new(2.5, 9.0)), Ok(0.1));
    let beyond = ground.height_at(Point::new(6.0, 0.0));
    assert_eq!(beyond, Err(Unreckonable::BeyondGround { station: 6.0, from: 0.0, to: 5.0 }));
    let out_of_order = Ground::profile(0.0, &[(0.0, 0.0), (0.0, 0.2)], 0.0);
    assert_eq!(out_of_order, Err(Unreckonable::StationsOutOfOrder { station: 0.0 }));
}
