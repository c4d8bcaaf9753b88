//! A leaf of which the job gives measures and no points, put where its kind would hang it. What is guessed is said; it must not show a
//! guess as a measure.

use super::facts::{Facts, Measure};
use super::hung::Hung;
use crate::job::RecordId;
use crate::reckon::geometry::{BarrierArm, Bifold, Lead, Leaf, Point, Point3, Range, Side, Slide, Swing, VerticalLift, VerticalPivot};

/// Sizes that stand in where the job gives none, in metres.
const THICK: f64 = 0.06;
const HIGH: f64 = 1.8;
const DEEP_ARM: f64 = 0.1;
const OFF_GROUND: f64 = 0.05;
/// Height of a pivot over the bottom edge, where the job gives none.
const PIVOT_UP: f64 = 0.3;
/// Opening angles that stand in, in degrees.
const TURN: f64 = 90.0;
const FOLD: f64 = 85.0;

/// How the gate lies, as far as its things tell.
pub struct Lay {
    /// Its kind.
    pub kind: String,
    /// From jamb to jamb.
    pub opening: Range,
    /// How many leaves are put in it.
    pub leaves: usize,
    /// The jamb at which a single leaf closes, and whether something tells.
    pub closes_at: (Side, bool),
    /// The bottom gap, where it is known.
    pub bottom: Option<f64>,
}

/// What a leaf is made of, with what had to be guessed.
struct Sizes {
    length: f64,
    height: f64,
    thickness: f64,
    bottom: f64,
    guessed: Vec<String>,
}

impl Sizes {
    fn of(facts: Facts, id: RecordId, lay: &Lay) -> Sizes {
        let mut guessed = Vec::new();
        let arm = lay.kind == "barrier-arm";
        let mut pick = |measure: Option<Measure>, otherwise: f64, what: &str| {
            measure.map(|measure| measure.at).filter(|at| *at > 0.0).unwrap_or_else(|| {
                guessed.push(format!("its {what} is not given"));
                otherwise
            })
        };
        let width = (lay.opening.high - lay.opening.low) / lay.leaves.max(1) as f64;
        let length = pick(facts.length(id, "length"), width, "length");
        let height = pick(facts.length(id, "height"), if arm { DEEP_ARM } else { HIGH }, "height");
        let thickness = pick(facts.length(id, "thickness"), THICK, "thickness");
        let bottom = lay.bottom.unwrap_or_else(|| {
            guessed.push("the gap under it is not given".into());
            OFF_GROUND
        });
        Sizes { length, height, thickness, bottom, guessed }
    }

    fn angle(&mut self, facts: Facts, id: RecordId, otherwise: f64) -> f64 {
        let given = facts.angle(id, "opening-angle").map(|angle| angle.at).filter(|angle| *angle > 0.0);
        let angle = given.unwrap_or_else(|| {
            self.guessed.push(format!("its opening angle is not given; drawn at {otherwise} deg"));
            otherwise
        });
        angle.to_radians()
    }

    fn travel(&mut self, facts: Facts, id: RecordId, otherwise: f64) -> f64 {
        let given = facts.length(id, "travel").map(|travel| travel.at).filter(|travel| *travel > 0.0);
        given.unwrap_or_else(|| {
            self.guessed.push("its travel is not given".into());
            otherwise
        })
    }

    fn secured(&mut self, facts: Facts, id: RecordId) -> bool {
        match facts.word(id, "opens-to") {
            Some(side) => side == "secured",
            None => {
                self.guessed.push("the side to which it opens is not given; drawn to the secured side".into());
                true
            }
        }
    }
}

/// The leaf at this place among its gate's leaves, and what had to be guessed beside its place.
pub fn made_up(facts: Facts, id: RecordId, at: usize, lay: &Lay) -> (Hung, Vec<String>) {
    let mut sizes = Sizes::of(facts, id, lay);
    let middle = f64::midpoint(lay.opening.low, lay.opening.high);
    let (jamb, way) = hung_at(at, lay);
    // A leaf that moves along the line leads to the jamb at which it closes, or to the middle where two meet.
    let leads_to = match (lay.leaves, lay.closes_at.0) {
        (2.., _) => middle,
        (_, Side::Right) => lay.opening.high,
        (_, Side::Left) => lay.opening.low,
    };
    let b = sizes.bottom;
    let (described, tail, lead, axis) = match lay.kind.as_str() {
        "horizontal-slide" => {
            let tail = leads_to - way * sizes.length;
            (slide(facts, id, &mut sizes, (tail, leads_to), lay), tail, leads_to, None)
        }
        "vertical-lift" => {
            let tail = middle - way * sizes.length / 2.0;
            let lead = middle + way * sizes.length / 2.0;
            (lift(facts, id, &mut sizes, tail.min(lead)), tail, lead, None)
        }
        "vertical-pivot" => {
            let up = PIVOT_UP.min(sizes.height / 2.0);
            sizes.guessed.push("the height of its pivot is not given".into());
            let leaf = pivot(facts, id, &mut sizes, (jamb, way), up);
            (leaf, jamb, jamb + way * sizes.length, Some(Point3::new(jamb, 0.0, b + up)))
        }
        "barrier-arm" => {
            let pivot = Point3::new(jamb, 0.0, b + sizes.height / 2.0);
            (arm(facts, id, &mut sizes, (jamb, way)), jamb, jamb + way * sizes.length, Some(pivot))
        }
        "bifold" => {
            let leaf = bifold(facts, id, &mut sizes, (jamb, way));
            (leaf, jamb, jamb + way * sizes.length, Some(Point3::new(jamb, 0.0, b)))
        }
        "swing" => {
            let leaf = swing(facts, id, &mut sizes, (jamb, way));
            (leaf, jamb, jamb + way * sizes.length, Some(Point3::new(jamb, 0.0, b)))
        }
        "overhead-pivot" => return overhead(facts, id, sizes, middle),
        _ => {
            sizes.guessed.push("the kind of gate is not given, so no movement is drawn".into());
            let (tail, lead) = (Point3::new(jamb, 0.0, b), Point3::new(jamb + way * sizes.length, 0.0, b));
            return (Hung::still(tail, lead, sizes.thickness, sizes.height), sizes.guessed);
        }
    };
    let (tail, lead) = (Point3::new(tail, 0.0, b), Point3::new(lead, 0.0, b));
    match described.movement() {
        Ok(movement) => (Hung::moving(&movement, (tail, lead), axis, sizes.thickness, sizes.height), sizes.guessed),
        Err(why) => {
            sizes.guessed.push(format!("its movement cannot be worked out: {why}").trim_end_matches('.').to_string());
            (Hung::still(tail, lead, sizes.thickness, sizes.height), sizes.guessed)
        }
    }
}

/// The jamb at which a leaf hangs, and the way from there along the gate line: of two leaves the first at the left.
fn hung_at(at: usize, lay: &Lay) -> (f64, f64) {
    let left = if lay.leaves > 1 { at == 0 } else { lay.closes_at.0 == Side::Right };
    if left { (lay.opening.low, 1.0) } else { (lay.opening.high, -1.0) }
}

fn slide(facts: Facts, id: RecordId, sizes: &mut Sizes, (tail, lead): (f64, f64), lay: &Lay) -> Leaf {
    let width = (lay.opening.high - lay.opening.low) / lay.leaves.max(1) as f64;
    Leaf::Slide(Slide {
        left_end: tail.min(lead),
        offset: 0.0,
        length: sizes.length,
        thickness: sizes.thickness,
        bottom: sizes.bottom,
        height: sizes.height,
        travel: sizes.travel(facts, id, width),
        opens: if lead >= tail { Side::Left } else { Side::Right },
    })
}

fn lift(facts: Facts, id: RecordId, sizes: &mut Sizes, left: f64) -> Leaf {
    let high = sizes.height;
    Leaf::VerticalLift(VerticalLift {
        left_side: left,
        width: sizes.length,
        offset: 0.0,
        thickness: sizes.thickness,
        bottom: sizes.bottom,
        height: sizes.height,
        travel: sizes.travel(facts, id, high),
    })
}

fn reaches(way: f64) -> Side {
    if way > 0.0 { Side::Right } else { Side::Left }
}

fn pivot(facts: Facts, id: RecordId, sizes: &mut Sizes, (jamb, way): (f64, f64), up: f64) -> Leaf {
    Leaf::VerticalPivot(VerticalPivot {
        pivot_x: jamb,
        pivot_z: sizes.bottom + up,
        reaches: reaches(way),
        length: sizes.length,
        tail: 0.0,
        below: up,
        above: sizes.height - up,
        offset: 0.0,
        thickness: sizes.thickness,
        opening_angle: sizes.angle(facts, id, TURN),
    })
}

fn arm(facts: Facts, id: RecordId, sizes: &mut Sizes, (jamb, way): (f64, f64)) -> Leaf {
    Leaf::BarrierArm(BarrierArm {
        pivot_x: jamb,
        pivot_z: sizes.bottom + sizes.height / 2.0,
        reaches: reaches(way),
        length: sizes.length,
        tail: 0.0,
        depth: sizes.height,
        offset: 0.0,
        thickness: sizes.thickness,
        closed_angle: 0.0,
        opening_angle: sizes.angle(facts, id, TURN),
    })
}

/// The direction of a closed leaf, and the sign of its turn: one that reaches to +x turns counter-clockwise toward the secured side.
fn turn(way: f64, secured: bool) -> (f64, f64) {
    let closed = if way > 0.0 { 0.0 } else { std::f64::consts::PI };
    (closed, if secured == (way > 0.0) { 1.0 } else { -1.0 })
}

fn swing(facts: Facts, id: RecordId, sizes: &mut Sizes, (jamb, way): (f64, f64)) -> Leaf {
    let (closed_direction, sign) = turn(way, sizes.secured(facts, id));
    Leaf::Swing(Swing {
        hinge: Point::new(jamb, 0.0),
        closed_direction,
        opening_angle: sign * sizes.angle(facts, id, TURN),
        heel: 0.0,
        length: sizes.length,
        offset: 0.0,
        thickness: sizes.thickness,
        bottom: sizes.bottom,
        height: sizes.height,
    })
}

fn bifold(facts: Facts, id: RecordId, sizes: &mut Sizes, (jamb, way): (f64, f64)) -> Leaf {
    let (closed_direction, sign) = turn(way, sizes.secured(facts, id));
    let first = facts.length(id, "fold-length").map(|first| first.at).filter(|first| *first > 0.0 && *first < sizes.length);
    let first = first.unwrap_or_else(|| {
        sizes.guessed.push("where it folds is not given; drawn in halves".into());
        sizes.length / 2.0
    });
    let guided = facts.yes(id, "fold-guided");
    if guided.is_none() {
        sizes.guessed.push("whether its free end runs in a guide is not given".into());
    }
    Leaf::Bifold(Bifold {
        hinge: Point::new(jamb, 0.0),
        closed_direction,
        opening_angle: sign * sizes.angle(facts, id, FOLD),
        first,
        second: sizes.length - first,
        lead: if guided == Some(true) { Lead::Guided } else { Lead::Geared(2.0) },
        thickness: sizes.thickness,
        bottom: sizes.bottom,
        height: sizes.height,
    })
}

/// No movement is worked out for these in judging: the leaf is shown turned up about its top edge.
fn overhead(facts: Facts, id: RecordId, mut sizes: Sizes, middle: f64) -> (Hung, Vec<String>) {
    let secured = facts.word(id, "opens-to").is_none_or(|side| side == "secured");
    if facts.word(id, "opens-to").is_none() {
        sizes.guessed.push("the side to which it goes up is not given; drawn to the secured side".into());
    }
    sizes.guessed.push("its way up is not given; drawn as a turn about its top edge".into());
    let angle = sizes.angle(facts, id, TURN);
    let end = |sign: f64| Point3::new(middle + sign * sizes.length / 2.0, 0.0, sizes.bottom);
    (Hung::overhead(end(-1.0), end(1.0), (sizes.thickness, sizes.height), angle, secured), sizes.guessed)
}
