//! Owns the comparison of beams beside a moving leaf with brute force. It must not use facts of the trade.

use super::draw::Draw;
use super::oracle::{blocks, sampled, to_line};
use pintle::reckon::beam::{Beam, beam_gap};
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

#[test]
fn a_beam_in_front_of_a_slide_leaf_stays_in_front() {
    let leaf = Slide { left_end: 0.0, offset: 0.2, length: 7.0, thickness: 0.06, bottom: 0.1, height: 1.8, travel: 6.0, opens: Side::Left };
    let movement = Leaf::Slide(leaf).movement().expect("a sound leaf");
    let beam = Beam::new(Point3::new(-0.1, 0.07, 0.5), Point3::new(6.1, 0.07, 0.5)).expect("a beam");
    let gap = beam_gap(&beam, &movement).expect("a gap");
    assert!((gap.gap - 0.1).abs() < 1e-9 && gap.at == 0.0 && gap.broken.is_none(), "{gap:?}");
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
