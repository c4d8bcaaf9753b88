//! Owns the comparison of beams beside a moving leaf with brute force. It must not use facts of the trade.

use super::draw::Draw;
use super::oracle::{Block, blocks, sampled, to_line};
use pintle::reckon::beam::{Aside, Beam, beam_gap, beam_gap_at, beside_leaf};
use pintle::reckon::geometry::{Leaf, Point, Point3, Side, Slide, Swing};

#[test]
fn least_distance_of_1200_random_beams_from_leaves_agrees_with_brute_force() {
    let mut draw = Draw::new(31);
    let mut broken = 0;
    for case in 0..1200 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let y = draw.between(-2.0, 2.0);
        let a = Point3::new(draw.between(-3.0, 0.0), y, draw.between(0.1, 1.8));
        let b = Point3::new(draw.between(3.0, 7.0), y + draw.between(-0.5, 0.5), a.z + draw.between(-0.2, 0.2));
        let beam = Beam::new(a, b).expect("a beam");
        let slow = |t: f64| {
            let each = blocks(&leaf, t).into_iter().map(|block| to_line(&block, [a.x, a.y, a.z], [b.x, b.y, b.z]));
            each.fold(f64::INFINITY, f64::min)
        };
        let found = beam_gap(&beam, &movement).expect("a gap");
        let (least, at) = sampled(slow, 120);
        assert!(least > found.gap - found.error - 1e-6, "case {case}: {leaf:?} {found:?} sampled {least} at {at}");
        assert!(least < found.gap + 3e-4, "case {case}: {leaf:?} {found:?} sampled {least} at {at}");
        let t = draw.share();
        assert!((beam_gap_at(&beam, &movement, t).expect("a gap") - slow(t)).abs() < 3e-5, "case {case}");
        assert_eq!(found.broken.is_some(), found.gap <= 2e-6);
        if let Some((first, last)) = found.broken {
            broken += 1;
            assert!(first <= last);
            for i in 0..=60 {
                let t = f64::from(i) / 60.0;
                let clear = slow(t);
                assert!(clear > 1e-9 || (first - 1e-6..=last + 1e-6).contains(&t), "case {case}: {t} {clear} {found:?}");
            }
            assert!(slow(first) < 2e-5 && slow(last) < 2e-5, "case {case}: {found:?} {} {}", slow(first), slow(last));
        }
    }
    assert!(broken > 150, "only {broken} of the beams were broken");
}

/// The range of distances from a block's middle plane of the part of a beam that lies alongside it, by samples.
fn alongside(beam: &Beam, block: &Block, (face, up): (usize, usize), sign: f64) -> Option<(f64, f64)> {
    let (a, b) = (beam.from(), beam.to());
    let mut range: Option<(f64, f64)> = None;
    for i in 0..=4000 {
        let share = f64::from(i) / 4000.0;
        let p = [a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), a.z + share * (b.z - a.z)];
        let off: Vec<f64> = p.iter().zip(block.middle).map(|(p, m)| p - m).collect();
        let along = |k: usize| -> f64 { off.iter().zip(block.axes[k]).map(|(o, u)| o * u).sum() };
        if along(0).abs() <= block.half[0] && along(up).abs() <= block.half[up] {
            let c = along(face) * sign;
            range = Some(range.map_or((c, c), |(low, high)| (low.min(c), high.max(c))));
        }
    }
    range
}

#[test]
fn side_of_2000_random_beams_agrees_with_brute_force() {
    let mut draw = Draw::new(32);
    let mut seen = [0; 4];
    for case in 0..2000 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let mut end = |x: (f64, f64)| Point3::new(draw.between(x.0, x.1), draw.between(-1.0, 1.0), draw.between(0.1, 1.6));
        let (a, b) = (end((-3.0, 2.0)), end((2.0, 6.0)));
        let beam = Beam::new(a, b).expect("a beam");
        let t = draw.share();
        let raised = matches!(leaf, Leaf::VerticalPivot(_) | Leaf::BarrierArm(_));
        let closed = blocks(&leaf, 0.0);
        for ((found, block), closed) in beside_leaf(&beam, &movement, t).expect("sides").iter().zip(blocks(&leaf, t)).zip(closed) {
            // The axis square to the faces, and whether it points to the secured side when closed.
            let (face, up) = if raised { (2, 1) } else { (1, 2) };
            let bifold = matches!(leaf, Leaf::Bifold(_));
            let sign = if bifold || closed.axes[face][1] >= 0.0 { closed.axes[face][1].signum() } else { -1.0 };
            let range = alongside(&beam, &block, (face, up), sign);
            let expected = match (range, found.from_plane) {
                (Some((low, high)), Some((found_low, found_high))) => {
                    let what = format!("case {case}: {leaf:?} {found:?} {low} {high}");
                    assert!(found_low <= low + 1e-9 && found_low > low - 5e-3, "{what}");
                    assert!(found_high >= high - 1e-9 && found_high < high + 5e-3, "{what}");
                    let half = block.half[face];
                    match () {
                        () if found_low >= half => Aside::SecuredSide,
                        () if found_high <= -half => Aside::PublicSide,
                        () => Aside::Both,
                    }
                }
                (None, None) => Aside::Beyond,
                // A part shorter than the step between samples can be missed.
                (None, Some((low, high))) => {
                    assert!(high - low < 5e-3, "case {case}: {leaf:?} {found:?}");
                    continue;
                }
                (Some(_), None) => panic!("case {case}: {leaf:?} {found:?}, sampled {range:?}"),
            };
            assert_eq!(found.side, expected);
            seen[expected as usize] += 1;
        }
    }
    assert!(seen.iter().all(|count| *count > 50), "{seen:?}");
}

#[test]
fn a_beam_in_front_of_a_slide_leaf_stays_in_front() {
    let leaf = Slide { left_end: 0.0, offset: 0.2, length: 7.0, thickness: 0.06, bottom: 0.1, height: 1.8, travel: 6.0, opens: Side::Left };
    let movement = Leaf::Slide(leaf).movement().expect("a sound leaf");
    let beam = Beam::new(Point3::new(-0.1, 0.07, 0.5), Point3::new(6.1, 0.07, 0.5)).expect("a beam");
    let gap = beam_gap(&beam, &movement).expect("a gap");
    assert!((gap.gap - 0.1).abs() < 1e-9 && gap.at == 0.0 && gap.broken.is_none(), "{gap:?}");
    for t in [0.0, 0.3, 0.9] {
        let side = beside_leaf(&beam, &movement, t).expect("sides")[0];
        assert_eq!(side.side, Aside::PublicSide);
        assert!((side.from_face.expect("alongside") - 0.1).abs() < 1e-9, "{side:?}");
        assert!((side.from_plane.expect("alongside").0 + 0.13).abs() < 1e-9, "{side:?}");
    }
}

#[test]
fn a_swing_leaf_breaks_a_beam_across_its_path() {
    let leaf = Swing {
        hinge: Point::new(0.0, 0.0),
        closed_direction: 0.0,
        opening_angle: std::f64::consts::FRAC_PI_2,
        heel: 0.0,
        length: 3.0,
        offset: 0.0,
        thickness: 0.002,
        bottom: 0.1,
        height: 1.5,
    };
    let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
    // Along the gate, 1.5 m inside: the 3 m leaf reaches it when its free end does, at 30 degrees, a third of its turn.
    let beam = Beam::new(Point3::new(-1.0, 1.5, 0.5), Point3::new(4.0, 1.5, 0.5)).expect("a beam");
    let gap = beam_gap(&beam, &movement).expect("a gap");
    let (first, last) = gap.broken.expect("the leaf breaks it");
    assert!((first - 1.0 / 3.0).abs() < 1e-3 && last == 1.0, "{gap:?}");
}
