//! Owns tests of stray light. It must not use facts of the trade; sketches are drawn on paper first.

use super::draw::Draw;
use pintle::reckon::beam::{Beam, Optics, Pair, Way, cross_talk, stray_light};
use pintle::reckon::geometry::Point3;

fn pair(from: (f64, f64, f64), to: (f64, f64, f64), optics: Optics) -> Pair {
    let beam = Beam::new(Point3::new(from.0, from.1, from.2), Point3::new(to.0, to.1, to.2)).expect("a beam");
    let reach = if optics == Optics::ThroughBeam { 12.0 } else { 24.0 };
    Pair { beam, optics, emission: 5.0_f64.to_radians(), acceptance: 10.0_f64.to_radians(), reach }
}

const RETRO: Optics = Optics::RetroReflective { reflector: 0.3, spread: 0.02 };

#[test]
fn senders_on_one_side_close_together_cross_talk_and_opposite_ones_do_not() {
    let lower = pair((0.0, 0.1, 0.5), (6.0, 0.1, 0.5), Optics::ThroughBeam);
    let beside = pair((0.0, 0.3, 0.5), (6.0, 0.3, 0.5), Optics::ThroughBeam);
    // 0.2 m over 6 m is 1.9 degrees, within the sender's 5 degrees.
    assert_eq!(cross_talk(&lower, &beside), Ok(true));
    assert_eq!(cross_talk(&beside, &lower), Ok(true));
    let turned = pair((6.0, 0.3, 0.5), (0.0, 0.3, 0.5), Optics::ThroughBeam);
    assert_eq!(cross_talk(&lower, &turned), Ok(false));
    assert_eq!(cross_talk(&turned, &lower), Ok(false));
    // 0.6 m over 6 m is 5.7 degrees: outside.
    let apart = pair((0.0, 0.7, 0.5), (6.0, 0.7, 0.5), Optics::ThroughBeam);
    assert_eq!(cross_talk(&lower, &apart), Ok(false));
}

#[test]
fn light_does_not_stray_beyond_its_reach() {
    let near = pair((0.0, 0.1, 0.5), (6.0, 0.1, 0.5), Optics::ThroughBeam);
    let far = pair((40.0, 0.2, 0.5), (46.0, 0.2, 0.5), Optics::ThroughBeam);
    assert_eq!(cross_talk(&near, &far), Ok(false));
    let strong = Pair { reach: 46.1, ..near };
    assert_eq!(cross_talk(&strong, &far), Ok(true));
    let stray = stray_light(&near, &far).expect("ways")[0];
    assert!(stray.off_by < 0.0 && (stray.too_far_by - (stray.length - 12.0)).abs() < 1e-12, "{stray:?}");
}

#[test]
fn reflectors_return_light_to_a_housing_beside_the_sender() {
    let one = pair((0.0, 0.1, 0.5), (6.0, 0.1, 0.5), RETRO);
    let close = pair((0.0, 0.2, 0.5), (6.0, 0.2, 0.5), RETRO);
    let ways = stray_light(&one, &close).expect("ways");
    assert_eq!(ways.iter().map(|stray| stray.way).collect::<Vec<_>>(), [Way::Straight, Way::OwnReflector, Way::TheirReflector]);
    // Straight: the other housing is beside the sender, 90 degrees off. Over the reflectors: 0.1 m over 6 m is 0.0167, within 0.02.
    assert_eq!(ways.iter().map(|stray| stray.arrives).collect::<Vec<_>>(), [false, true, true]);
    let apart = pair((0.0, 0.3, 0.5), (6.0, 0.3, 0.5), RETRO);
    assert_eq!(cross_talk(&one, &apart), Ok(false));
    // Housings that face each other see each other straight.
    let facing = pair((6.0, 0.2, 0.5), (0.0, 0.2, 0.5), RETRO);
    assert_eq!(cross_talk(&one, &facing), Ok(true));
}

#[test]
fn an_angle_that_is_just_met_counts_as_reached() {
    let one = Pair { emission: (0.5_f64 / 6.0).atan(), ..pair((0.0, 0.0, 0.5), (6.0, 0.0, 0.5), Optics::ThroughBeam) };
    let other = pair((0.0, 0.5, 0.5), (6.0, 0.5, 0.5), Optics::ThroughBeam);
    assert_eq!(cross_talk(&one, &other), Ok(true));
    let narrower = Pair { emission: one.emission - 1e-6, ..one };
    assert_eq!(cross_talk(&narrower, &other), Ok(false));
}

#[test]
fn stray_light_of_3000_random_pairs_agrees_with_a_plain_cone() {
    let mut draw = Draw::new(41);
    let mut arrived = 0;
    for _ in 0..3000 {
        let mut end = |x: f64| (x, draw.between(-1.0, 1.0), draw.between(0.2, 1.0));
        let left = end(0.0);
        let (right, third, fourth) = (end(6.0), end(0.0), end(6.0));
        let one = pair(left, right, Optics::ThroughBeam);
        let swapped = draw.chance(0.5);
        let other = if swapped { pair(fourth, third, Optics::ThroughBeam) } else { pair(third, fourth, Optics::ThroughBeam) };
        let (from, at, other_from) = (one.beam.from(), other.beam.to(), other.beam.from());
        let cosine = |ax: f64, ay: f64, az: f64, bx: f64, by: f64, bz: f64| {
            (ax * bx + ay * by + az * bz) / ((ax * ax + ay * ay + az * az) * (bx * bx + by * by + bz * bz)).sqrt()
        };
        let (dx, dy, dz) = (at.x - from.x, at.y - from.y, at.z - from.z);
        let to = one.beam.to();
        let off = cosine(dx, dy, dz, to.x - from.x, to.y - from.y, to.z - from.z);
        let taken = cosine(-dx, -dy, -dz, other_from.x - at.x, other_from.y - at.y, other_from.z - at.z);
        let length = (dx * dx + dy * dy + dz * dz).sqrt();
        let expected = off >= 5.0_f64.to_radians().cos() && taken >= 10.0_f64.to_radians().cos() && length <= 12.0;
        assert_eq!(cross_talk(&one, &other), Ok(expected));
        arrived += usize::from(expected);
    }
    assert!(arrived > 100, "{arrived}");
}
