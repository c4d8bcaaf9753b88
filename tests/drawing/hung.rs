//! Every kind of gate opens the way its job says, in the drawing's own coordinates; north and sun lie where they lie.

use pintle::command::workbench::{Read, Workbench, judge_job};
use pintle::reckon::geometry::Point3;
use pintle::report::drawing::scenes;
use pintle::report::findings::{Inputs, report};
use pintle::scene::{Body, Role, Scene};
use pintle::source::Source;

fn scene(job: &str) -> Scene {
    let text = format!("title: Made up\ncodes: [us-gates]\npermit-date: 2026-02-12\n{job}");
    let (bench, source) = (Workbench::default(), Source::new("made-up.yaml", text));
    let Read::Job(program, mut job) = bench.read(&source, bench.shelves_for(std::path::Path::new("")), true) else { panic!("no job") };
    assert!(job.slips.iter().all(|slip| slip.harmless), "{:?}", job.slips);
    judge_job(&program, &mut job, &source, super::TODAY, |program, job, judgement| {
        let inputs = Inputs { program, job, source: &source, today: super::TODAY, unfinished: false, all: false, known: None };
        scenes(program, job, &source, &report(&inputs, judgement)).remove(0)
    })
}

/// The box round all shapes of a role: least and most of x, y and z.
fn room(scene: &Scene, role: Role) -> (Point3, Point3) {
    let bodies = scene.items.iter().flat_map(|item| &item.shapes).filter(|shape| shape.role == role);
    let corners = bodies.flat_map(|shape| match &shape.body {
        Body::Solid(solid) => solid.corners().collect(),
        Body::Line(points) => points.clone(),
        Body::Spot(at) => vec![*at],
    });
    let far = f64::INFINITY;
    corners.fold((Point3::new(far, far, far), Point3::new(-far, -far, -far)), |(low, high), at| {
        (Point3::new(low.x.min(at.x), low.y.min(at.y), low.z.min(at.z)), Point3::new(high.x.max(at.x), high.y.max(at.y), high.z.max(at.z)))
    })
}

fn near(one: f64, other: f64) {
    assert!((one - other).abs() < 1e-6, "{one} is not {other}");
}

fn slide(receiver: &str) -> Scene {
    scene(&format!(
        "gates:\n  - id: main\n    kind: horizontal-slide\n    opening: 6 m\n    bottom-gap: 50 mm\n    leaves: [{{id: leaf, length: 8 m, height: 2 m, travel: 6.2 m, \
         thickness: 100 mm}}]\n    posts: [{{id: r, kind: receiver, jamb: {receiver}, side: secured, gap: 30 mm}}]\n"
    ))
}

#[test]
fn a_drawing_that_rests_on_a_made_up_length_has_no_scale() {
    use pintle::report::drawing::{Heading, View, figure};
    let drawn = |leaf: &str| {
        let scene =
            scene(&format!("gates:\n  - id: main\n    kind: horizontal-slide\n    opening: 6 m\n    leaves: [{{id: leaf{leaf}}}]\n"));
        figure(&scene, View::Plan, &Heading::default(), "t")
    };
    let (whole, made_up) = (drawn(", length: 8 m"), drawn(""));
    assert!(whole.svg.contains("1:") && !whole.svg.contains("NOT TO SCALE"), "{}", whole.svg);
    assert!(made_up.svg.contains("NOT TO SCALE: the length of leaf"), "{}", made_up.svg);
    assert!(!made_up.svg.contains("at full size"), "{}", made_up.svg);
    let words = made_up.twin.text();
    assert!(words.contains("NOT TO SCALE") && !words.contains("at full size"), "{words}");
}

#[test]
fn a_slide_leaf_opens_away_from_its_receiver() {
    let scene = slide("right");
    let ((closed, far), (open, _)) = (room(&scene, Role::Closed), room(&scene, Role::Open));
    near(closed.x, -2.0);
    near(far.x, 6.0);
    near(open.x, -8.2);
    near(closed.z, 0.05);
    near(far.z, 2.05);
    let scene = slide("left");
    let ((closed, far), (_, open)) = (room(&scene, Role::Closed), room(&scene, Role::Open));
    near(closed.x, 0.0);
    near(far.x, 8.0);
    near(open.x, 14.2);
}

fn swing(to: &str, jamb: &str) -> Scene {
    scene(&format!(
        "gates:\n  - id: main\n    kind: swing\n    opening: 4 m\n    bottom-gap: 50 mm\n    leaves: [{{id: leaf, length: 4 m, height: 2 m, opens-to: {to}, \
         opening-angle: 90 deg, thickness: 100 mm}}]\n    posts: [{{id: h, kind: hinge-post, jamb: {jamb}, side: secured, gap: 30 mm}}]\n"
    ))
}

#[test]
fn a_swing_leaf_opens_to_its_side_about_its_jamb() {
    for (to, jamb, (x, y)) in [("secured", "left", (0.0, 4.0)), ("public", "left", (0.0, -4.0)), ("secured", "right", (4.0, 4.0))] {
        let scene = swing(to, jamb);
        let (low, high) = room(&scene, Role::Open);
        near(f64::midpoint(low.x, high.x), x);
        near(if y > 0.0 { high.y } else { low.y }, y);
        let (low, high) = room(&scene, Role::Axis);
        near(low.x, x);
        near(high.y, 0.0);
    }
}

#[test]
fn two_leaves_meet_in_the_middle_and_open_apart() {
    let scene = scene(
        "gates:\n  - id: main\n    kind: swing\n    opening: 5 m\n    leaves: [{id: a, length: 2.5 m, opens-to: secured, opening-angle: 90 deg}, {id: b, length: 2.5 m, \
         opens-to: secured, opening-angle: 90 deg}]\n",
    );
    let (low, high) = room(&scene, Role::Closed);
    near(low.x, 0.0);
    near(high.x, 5.0);
    let (low, high) = room(&scene, Role::Open);
    assert!(low.x < 0.1 && high.x > 4.9 && low.y > -0.1 && (high.y - 2.5).abs() < 0.1, "{low:?} {high:?}");
}

#[test]
fn leaves_that_rise_end_above() {
    let gate = |kind: &str, more: &str| {
        scene(&format!(
            "gates:\n  - id: main\n    kind: {kind}\n    opening: 4 m\n    bottom-gap: 100 mm\n    leaves: [{{id: leaf, length: 4 m, height: 2 m, {more}}}]\n"
        ))
    };
    let lift = gate("vertical-lift", "travel: 3 m");
    near(room(&lift, Role::Open).0.z, 3.1);
    let pivot = gate("vertical-pivot", "opening-angle: 90 deg");
    assert!((room(&pivot, Role::Open).1.z - 4.4).abs() < 0.05, "{:?}", room(&pivot, Role::Open));
    let arm = gate("barrier-arm", "opening-angle: 90 deg");
    near(room(&arm, Role::Open).1.z, 0.1 + 1.0 + 4.0);
    let overhead = gate("overhead-pivot", "opening-angle: 90 deg");
    let (low, high) = room(&overhead, Role::Open);
    assert!(low.z > 2.0 && (high.y - 2.0).abs() < 1e-6, "{low:?} {high:?}");
}

#[test]
fn a_bifold_leaf_lies_shorter_than_it_is_when_open() {
    let scene = scene(
        "gates:\n  - id: main\n    kind: bifold\n    opening: 4 m\n    leaves: [{id: leaf, length: 4 m, height: 2 m, fold-length: 2 m, opens-to: secured, opening-angle: 85 deg, \
         fold-guided: no}]\n",
    );
    let (low, high) = room(&scene, Role::Open);
    assert!(high.y < 2.2 && high.y > 1.8 && high.x - low.x < 2.5, "{low:?} {high:?}");
}

/// Bearings are clockwise from north: a gate line that runs east has north to its secured side.
#[test]
fn north_lies_where_the_bearing_puts_it() {
    let at = |bearing: &str| {
        let scene = scene(&format!(
            "location: {{latitude: 39 deg, longitude: -101 deg}}\ngates:\n  - id: main\n    kind: swing\n    opening: 4 m\n    bearing: {bearing}\n"
        ));
        scene.sky.unwrap()
    };
    near(at("90 deg").north, 90.0);
    near(at("0 deg").north, 0.0);
    // Sun at the level: cos(azimuth) = sin(declination) / cos(latitude); the air and the disc bring it up a little further north.
    let plain = (23.44_f64.to_radians().sin() / 39.0_f64.to_radians().cos()).acos().to_degrees();
    let sky = at("0 deg");
    assert!((sky.sun[0].rise.1 - plain).abs() < 1.5 && (sky.sun[0].set.1 - (360.0 - plain)).abs() < 1.5, "{sky:?}");
    assert!((sky.sun[1].rise.1 - (180.0 - plain)).abs() < 1.5, "{sky:?}");
}

#[test]
fn a_beam_lies_at_its_offset_from_the_near_face() {
    let scene = scene(
        "gates:\n  - id: main\n    kind: horizontal-slide\n    opening: 6 m\n    leaves: [{id: leaf, length: 7 m, thickness: 100 mm}]\n    beams: [{id: out, side: public, \
         offset: 120 mm, height: 500 mm, span: 6.4 m}]\n",
    );
    let (low, high) = room(&scene, Role::Beam);
    near(low.y, -0.17);
    near(high.x - low.x, 6.4);
    near(low.z, 0.5);
}
