//! Owns tests of hazard zones and swept areas. Limits are arguments; the sketches are drawn on paper first.

use super::draw::Draw;
use super::oracle::blocks;
use pintle::reckon::geometry::{
    Band, Direction, Fixed, Leaf, Movement, Part, Plane, Point, Polygon, Range, Side, Slide, Standing, Swing, VerticalLift, footprint,
    hazard_zones, swept,
};

fn fixed(x: (f64, f64), y: (f64, f64), z: (f64, f64)) -> Fixed {
    let outline = Polygon::rectangle(Point::new(x.0, y.0), Point::new(x.1, y.1)).expect("an outline");
    Fixed::new(outline, Range::new("heights", z.0, z.1).expect("a range")).expect("an object")
}

fn band() -> Band {
    Band::new(0.05715, 0.4064).expect("a band")
}

fn slide(travel: f64) -> Movement {
    let leaf = Slide { left_end: 0.0, offset: 0.0, length: 7.0, thickness: 0.05, bottom: 0.05, height: 1.8, travel, opens: Side::Right };
    Leaf::Slide(leaf).movement().expect("a sound leaf")
}

#[test]
fn a_slide_leaf_closes_on_its_receiver_and_opens_on_the_wall_behind_it() {
    let receiver = fixed((-0.3, -0.03), (-0.1, 0.1), (0.0, 2.0));
    let wall = fixed((13.2, 13.4), (-2.0, 2.0), (0.0, 2.0));
    let fence = fixed((7.2, 12.0), (0.2, 0.25), (0.0, 2.0));
    let far = fixed((3.0, 3.2), (0.6, 0.8), (0.0, 2.0));
    let high = fixed((8.0, 8.2), (0.1, 0.3), (2.0, 3.0));
    let zones = hazard_zones(&slide(6.0), &[receiver, wall, fence, far, high], band(), 1.83).expect("zones");
    let told: Vec<_> = zones.iter().map(|zone| (zone.object, zone.direction, zone.part, zone.standing)).collect();
    let zone = |object, direction, part| (object, direction, Some(part), Standing::Hazardous);
    // The wall and the fence are approached by the same end; the fence is then passed in both directions.
    let expected = [
        zone(0, Direction::Closing, Part::LeadingEdge),
        zone(1, Direction::Opening, Part::TrailingEdge),
        zone(2, Direction::Opening, Part::SecuredFace),
        zone(2, Direction::Closing, Part::SecuredFace),
    ];
    assert_eq!(told, expected);
    assert!((zones[0].gap - 0.03).abs() < 1e-9 && zones[0].at == 0.0, "{:?}", zones[0]);
    assert!((zones[1].gap - 0.2).abs() < 1e-9 && zones[1].at == 1.0, "{:?}", zones[1]);
    assert!((zones[2].gap - 0.175).abs() < 1e-9, "{:?}", zones[2]);
}

#[test]
fn a_swing_leaf_opens_on_a_wall_and_closes_on_a_stop() {
    let leaf = Swing {
        hinge: Point::new(0.0, 0.0),
        closed_direction: 0.0,
        opening_angle: std::f64::consts::FRAC_PI_2,
        heel: 0.0,
        length: 3.0,
        offset: 0.0,
        thickness: 0.06,
        bottom: 0.1,
        height: 1.5,
    };
    let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
    let wall = fixed((-0.5, -0.3), (1.0, 3.0), (0.0, 2.0));
    let stop = fixed((2.5, 2.6), (-0.3, -0.13), (0.0, 2.0));
    let zones = hazard_zones(&movement, &[wall, stop], band(), 1.83).expect("zones");
    let told: Vec<_> = zones.iter().map(|zone| (zone.object, zone.direction, zone.part)).collect();
    let expected = [(0, Direction::Opening, Some(Part::SecuredFace)), (1, Direction::Closing, Some(Part::PublicFace))];
    assert_eq!(told, expected);
    assert!((zones[0].gap - 0.27).abs() < 1e-9 && zones[0].at == 1.0, "{:?}", zones[0]);
    assert!((zones[1].gap - 0.1).abs() < 1e-9 && zones[1].at == 0.0, "{:?}", zones[1]);
}

#[test]
fn a_vertical_lift_closes_on_the_kerb_below_it() {
    let leaf = VerticalLift { left_side: 0.0, width: 5.0, offset: 0.0, thickness: 0.1, bottom: 0.25, height: 2.0, travel: 4.0 };
    let movement = Leaf::VerticalLift(leaf).movement().expect("a sound leaf");
    let kerb = fixed((1.0, 2.0), (-0.5, 0.5), (0.0, 0.15));
    let zones = hazard_zones(&movement, &[kerb], band(), 1.83).expect("zones");
    assert_eq!(zones.len(), 1);
    assert_eq!((zones[0].direction, zones[0].part), (Direction::Closing, Some(Part::BottomEdge)));
    assert!((zones[0].gap - 0.1).abs() < 1e-9, "{:?}", zones[0]);
}

#[test]
fn nothing_is_told_where_the_least_gap_is_at_or_over_the_range() {
    let apart = |gap: f64| fixed((7.0 + 6.0 + gap, 14.0), (-0.5, 0.5), (0.0, 2.0));
    assert_eq!(hazard_zones(&slide(6.0), &[apart(0.41)], band(), 1.83), Ok(vec![]));
    let at_limit = hazard_zones(&slide(6.0), &[apart(0.4064)], band(), 1.83).expect("zones");
    assert!(at_limit.iter().all(|zone| zone.standing == Standing::AtLimit), "{at_limit:?}");
}

/// Whether a place in the plane of movement is within any panel at a position, all half sizes changed by an amount.
fn covers(leaf: &Leaf, plane: Plane, t: f64, p: Point, by: f64) -> bool {
    blocks(leaf, t).iter().any(|block| {
        let off = match plane {
            Plane::Plan => [p.x - block.middle[0], p.y - block.middle[1], 0.0],
            Plane::Elevation => [p.x - block.middle[0], 0.0, p.y - block.middle[2]],
        };
        block.axes.iter().zip(block.half).all(|(axis, half)| {
            let way: f64 = axis.iter().zip(off).map(|(a, o)| a * o).sum();
            way.abs() <= half + by
        })
    })
}

#[test]
fn swept_areas_of_150_random_leaves_hold_just_the_places_that_the_leaf_covers() {
    let mut draw = Draw::new(61);
    for case in 0..150 {
        let leaf = draw.leaf_of(case % 6);
        let movement = leaf.movement().expect("drawn leaves are sound");
        let swept = swept(&movement).expect("an area");
        let plan = footprint(&movement).expect("an area");
        for _ in 0..20 {
            let p = Point::new(draw.between(-7.0, 7.0), draw.between(-5.0, 5.0));
            let ever = |by: f64| (0..=900).any(|i| covers(&leaf, swept.plane, f64::from(i) / 900.0, p, by));
            // A place that is covered with 10 mm to spare is in; one that a leaf 10 mm larger never covers is out.
            if ever(-1e-2) {
                assert!(swept.whole.contains(p), "case {case}: {leaf:?} {p:?} is swept but not told");
            }
            if !ever(1e-2) {
                assert!(!swept.whole.contains(p), "case {case}: {leaf:?} {p:?} is told but not swept");
            }
            let rests = covers(&leaf, swept.plane, 0.0, p, -1e-3);
            assert!(!rests || !swept.opening.contains(p), "case {case}: {p:?} is in the closed leaf");
            let opened = covers(&leaf, swept.plane, 1.0, p, -1e-3);
            assert!(!opened || !swept.closing.contains(p), "case {case}: {p:?} is in the open leaf");
        }
        if swept.plane == Plane::Plan {
            assert!((plan.area() - swept.whole.area()).abs() < 1e-12);
        }
    }
}

#[test]
fn swept_area_of_a_slide_leaf_is_its_length_and_travel_times_its_thickness() {
    let swept = swept(&slide(6.0)).expect("an area");
    assert!((swept.whole.area() - 13.0 * 0.05).abs() < 1e-9);
    assert!((swept.opening.area() - 6.0 * 0.05).abs() < 1e-9 && (swept.closing.area() - 6.0 * 0.05).abs() < 1e-9);
}
