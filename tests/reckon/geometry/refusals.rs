//! Owns tests that bad input is refused with a sentence, and that nothing panics whatever the numbers. It must not test results.

use pintle::reckon::beam::{Beam, Optics, Pair, Stance, beam_gap, blind_area, cross_talk, shiny_clearance, through_fog, widest_unseen};
use pintle::reckon::geometry::{
    Band, BarrierArm, Bifold, Fixed, Ground, Lead, Leaf, Point, Point3, Polygon, Range, Side, Slide, Swing, Unreckonable, VerticalLift,
    VerticalPivot, gap_at, greatest_gap, hazard_zones, least_gap, swept, under_leaf,
};
use proptest::prelude::*;

fn slide() -> Slide {
    Slide { left_end: 0.0, offset: 0.0, length: 6.0, thickness: 0.05, bottom: 0.05, height: 1.8, travel: 5.0, opens: Side::Right }
}

fn told(found: Option<Unreckonable>, sentence: &str) {
    assert_eq!(found.map(|refusal| refusal.to_string()).as_deref(), Some(sentence));
}

#[test]
fn refusals_of_leaves_have_sentences() {
    let refused = |leaf: Leaf| leaf.movement().err();
    let slides = |change: fn(&mut Slide)| {
        let mut leaf = slide();
        change(&mut leaf);
        refused(Leaf::Slide(leaf))
    };
    told(slides(|l| l.length = f64::NAN), "The length of the leaf is not a finite number.");
    told(slides(|l| l.travel = 0.0), "The travel of the leaf must be more than zero, and 0 is not.");
    told(slides(|l| l.height = 4000.0), "The height of the leaf of 4000 is beyond 1000, the most that a gate site can have.");
    told(
        slides(|l| l.thickness = 1e-12),
        "The thickness of the leaf of 0.000000000001 is below 0.000000001, which is too small to mean anything.",
    );
    let bifold = Bifold {
        hinge: Point::new(0.0, 0.0),
        closed_direction: 0.0,
        opening_angle: 1.5,
        first: 2.0,
        second: 1.5,
        lead: Lead::Guided,
        thickness: 0.05,
        bottom: 0.1,
        height: 1.8,
    };
    told(
        refused(Leaf::Bifold(bifold)),
        "The folding leaf would jam: its panel at the post (2.000 m) is longer than its guided panel (1.500 m).",
    );
    told(
        refused(Leaf::Bifold(Bifold { second: 2.5, opening_angle: 2.0, ..bifold })),
        "The opening angle must lie between 0.000057 and 90 degrees, and 114.591559 degrees does not.",
    );
    told(
        refused(Leaf::VerticalPivot(VerticalPivot { tail: -1.0, ..pivot() })),
        "The tail of the leaf must not be less than zero, and -1 is.",
    );
    told(
        Leaf::Slide(slide()).movement().and_then(|movement| movement.outlines_at(1.5)).err(),
        "The position 1.5 is outside of the travel, which runs from 0 (closed) to 1 (open).",
    );
}

#[test]
fn refusals_of_sites_have_sentences() {
    let outline = |corners: &[(f64, f64)]| {
        let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        Polygon::new(&corners).err()
    };
    let flat = [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)];
    told(outline(&flat), "The outline encloses no area (3 different corners).");
    let crossing = [(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 1.0)];
    told(outline(&crossing), "The outline crosses or touches itself.");
    let many: Vec<(f64, f64)> = (0..300).map(|i| (f64::from(i).cos(), f64::from(i).sin())).collect();
    told(outline(&many), "The outline has 300 corners, and at most 200 are taken.");
    let at = Point3::new(1.0, 1.0, 1.0);
    told(Beam::new(at, at).err(), "The two ends of the beam are at the same point.");
    let ground = Ground::profile(0.0, &[(0.0, 0.0), (5.0, 0.2)], 0.0).expect("ground");
    told(
        ground.height_at(Point::new(6.0, 0.0)).err(),
        "The ground was surveyed from 0.000 m to 5.000 m, and its height at 6.000 m is needed.",
    );
    told(
        Ground::profile(0.0, &[(1.0, 0.0), (1.0, 0.2)], 0.0).err(),
        "The stations of the ground survey must increase, and the one at 1.000 m does not.",
    );
    told(Range::new("heights", 1.0, 1.0).err(), "The heights must run upwards, and 1 to 1 does not.");
}

fn pivot() -> VerticalPivot {
    VerticalPivot {
        pivot_x: 0.0,
        pivot_z: 0.5,
        reaches: Side::Right,
        length: 4.0,
        tail: 0.5,
        below: 0.3,
        above: 1.0,
        offset: 0.0,
        thickness: 0.1,
        opening_angle: 1.5,
    }
}

/// Numbers of every kind: sensible, tiny, huge, zero, infinite, not a number.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -10.0..10.0_f64,
        2 => 0.0..2.0_f64,
        1 => Just(0.0),
        1 => -1e-12..1e-12_f64,
        1 => -2000.0..2000.0_f64,
        1 => any::<f64>(),
    ]
}

fn leaf(kind: u8, v: &[f64]) -> Leaf {
    let side = if v[9] > 0.0 { Side::Left } else { Side::Right };
    let hinge = Point::new(v[7], v[8]);
    match kind % 6 {
        0 => Leaf::Slide(Slide {
            left_end: v[0],
            offset: v[1],
            length: v[2],
            thickness: v[3],
            bottom: v[4],
            height: v[5],
            travel: v[6],
            opens: side,
        }),
        1 => Leaf::Swing(Swing {
            hinge,
            closed_direction: v[0],
            opening_angle: v[1],
            heel: v[9],
            length: v[2],
            offset: v[6],
            thickness: v[3],
            bottom: v[4],
            height: v[5],
        }),
        2..=4 => raised_leaf(kind % 6, v, side),
        _ => Leaf::Bifold(Bifold {
            hinge,
            closed_direction: v[0],
            opening_angle: v[1],
            first: v[2],
            second: v[6],
            lead: if v[9] > 0.0 { Lead::Guided } else { Lead::Geared(v[9].abs()) },
            thickness: v[3],
            bottom: v[4],
            height: v[5],
        }),
    }
}

/// The leaves that move in the gate's plane.
fn raised_leaf(kind: u8, v: &[f64], side: Side) -> Leaf {
    match kind {
        2 => Leaf::VerticalLift(VerticalLift {
            left_side: v[0],
            width: v[1],
            offset: v[2],
            thickness: v[3],
            bottom: v[4],
            height: v[5],
            travel: v[6],
        }),
        3 => Leaf::VerticalPivot(VerticalPivot {
            pivot_x: v[0],
            pivot_z: v[1],
            reaches: side,
            length: v[2],
            tail: v[3],
            below: v[4],
            above: v[5],
            offset: v[6],
            thickness: v[7],
            opening_angle: v[8],
        }),
        _ => Leaf::BarrierArm(BarrierArm {
            pivot_x: v[0],
            pivot_z: v[1],
            reaches: side,
            length: v[2],
            tail: v[3],
            depth: v[4],
            offset: v[5],
            thickness: v[6],
            closed_angle: v[7],
            opening_angle: v[8],
        }),
    }
}

fn shorter(limit: f64) -> impl Strategy<Value = f64> {
    -limit..limit
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_leaf_is_moved_or_refused(kind in any::<u8>(), v in proptest::collection::vec(any_number(), 10), at in any_number()) {
        if let Ok(movement) = leaf(kind, &v).movement() {
            prop_assert!(movement.depth().low < movement.depth().high);
            prop_assert_eq!(movement.outlines_at(at).is_ok(), (0.0..=1.0).contains(&at));
        }
    }

    #[test]
    fn any_outline_is_taken_or_refused(corners in proptest::collection::vec((any_number(), any_number()), 0..9)) {
        let corners: Vec<Point> = corners.into_iter().map(|(x, y)| Point::new(x, y)).collect();
        if let Ok(outline) = Polygon::new(&corners) {
            prop_assert!(outline.area() > 0.0 && outline.perimeter() > 0.0);
        }
    }

    #[test]
    fn any_light_is_reckoned_or_refused(v in proptest::collection::vec(any_number(), 12)) {
        if let Ok(share) = through_fog(v[0], v[1]) {
            prop_assert!((0.0..=1.0).contains(&share));
        }
        if let Ok(distance) = shiny_clearance(v[0], v[1], v[2]) {
            prop_assert!(distance >= 0.0);
        }
        let beam = Beam::new(Point3::new(v[5], v[6], v[7]), Point3::new(v[8], v[9], v[10]));
        if let Ok(beam) = beam {
            let optics = Optics::RetroReflective { reflector: v[1], spread: v[2] };
            let pair = Pair { beam, optics, emission: v[3], acceptance: v[4], reach: v[11] };
            let _ = cross_talk(&pair, &pair);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_gate_site_is_reckoned_or_refused(
        kind in any::<u8>(),
        v in proptest::collection::vec(any_number(), 10),
        corners in proptest::collection::vec((shorter(8.0), shorter(8.0)), 3..7),
        ends in proptest::collection::vec(shorter(9.0), 6),
        slope in shorter(0.3),
    ) {
        let corners: Vec<Point> = corners.into_iter().map(|(x, y)| Point::new(x, y)).collect();
        let (Ok(outline), Ok(ground)) = (Polygon::new(&corners), Ground::plane(0.0, slope, -slope)) else { return Ok(()) };
        let beam = Beam::new(Point3::new(ends[0], ends[1], 0.4), Point3::new(ends[2], ends[3], 0.6));
        if let (Ok(beam), Ok(stance)) = (beam, Stance::new(0.7, 0.3, 0.5)) {
            let blind = blind_area(&outline, &[beam], &ground, stance);
            prop_assert!(blind.is_ok_and(|blind| blind.at_most <= outline.area() + 1e-6));
            prop_assert!(widest_unseen(&outline, &[beam], &ground, 0.5).is_ok());
        }
        let Ok(movement) = leaf(kind, &v).movement() else { return Ok(()) };
        let Ok(object) = Range::new("heights", 0.0, 1.5).and_then(|heights| Fixed::new(outline, heights)) else { return Ok(()) };
        let (least, greatest) = (least_gap(&movement, &object), greatest_gap(&movement, &object));
        let both = least.ok().zip(greatest.ok());
        prop_assert!(both.is_some_and(|(least, greatest)| greatest.gap - least.gap >= -1e-5), "{:?} {:?}", least, greatest);
        prop_assert!(gap_at(&movement, &object, 0.5).is_ok());
        prop_assert!(under_leaf(&movement, &ground).is_ok());
        prop_assert!(swept(&movement).is_ok_and(|swept| swept.whole.area() >= 0.0));
        if let (Ok(band), Ok(beam)) = (Band::new(0.05, 0.4), beam) {
            prop_assert!(hazard_zones(&movement, &[object], band, 1.83).is_ok());
            prop_assert!(beam_gap(&beam, &movement).is_ok());
        }
    }
}
