//! Built-ins on the drawing of a gate: distances, gaps over the whole movement, what lies under a leaf, swept areas, places where a
//! person can be caught. It must not know which gap is dangerous but by the limit handed in.

use super::drawn::{
    GATE, LEAF, OBSTACLE, ONLY_OBSTACLE, ONLY_POST, POST, ground, moving, not_below_nought, one_moving, outline, point3, standing,
};
use super::form::{Form, Thing};
use super::lift::{bounds, give_or_take, middle};
use super::{Argument, BuiltIn, Gives, Outcome, Refusal, Result, Run, Seen, Stage, Takes};
use crate::quantity::{Exact, Interval};
use crate::reckon::geometry::{
    Band, Direction, Part, Standing as Stands, gap_at, greatest_gap, hazard_zones, least_gap, swept, under_leaf,
};

/// A leaf with its gate, and the gate's posts.
const LEAF_AT_POST: Form = Form { above: Some(&Form { below: &[("posts", &ONLY_POST)], ..GATE }), ..LEAF };
/// A leaf with its gate.
const LEAF_OF_GATE: Form = Form { above: Some(&Form { below: &[], ..GATE }), ..LEAF };
/// A gate with all that stands near it.
const GATE_AMONG: Form = Form { below: &[("leaves", &LEAF), ("posts", &ONLY_POST), ("obstacles", &ONLY_OBSTACLE)], ..GATE };

const FIXED: Takes = Takes::Thing(&[&POST, &OBSTACLE]);
const ONE_LEAF: Takes = Takes::Thing(&[&LEAF_OF_GATE]);
/// A gate whose leaves state their bottom edges themselves: what lies under them is asked.
const GATE_OVER_GROUND: Form = Form { facts: &["kind", "ground", "cross-slope"], ..GATE };
const ONE_GATE: Takes = Takes::Thing(&[&GATE_OVER_GROUND]);

const MOVEMENT: &str = "own calculation: the whole movement searched, within 0.1 mm";

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "distance",
        parameters: &[("a", Takes::Point), ("b", Takes::Point)],
        gives: Gives::Measure("length"),
        doc: "distance between {a} and {b}: two points; level where one of them states no height",
        formula: "√(Δx² + Δy² + Δz²)",
        source: "geometry",
        example: "",
        run: Run::Whole(distance),
    },
    BuiltIn {
        name: "ground-area",
        parameters: &[("outline", Takes::Points)],
        gives: Gives::Measure("area"),
        doc: "area within {outline} in plan",
        formula: "half the sum of x y' - x' y over its edges",
        source: "geometry",
        example: "",
        run: Run::Whole(ground_area),
    },
    BuiltIn {
        name: "least-gap",
        parameters: &[("fixed", FIXED)],
        gives: Gives::Measure("length"),
        doc: "least distance between a post or obstacle and the moving leaves, anywhere in the travel",
        formula: "min over the travel of the distance between both bodies",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| gap(given[0].thing()?, true)),
    },
    BuiltIn {
        name: "least-gap-at",
        parameters: &[("fixed", FIXED)],
        gives: Gives::Measure("ratio"),
        doc: "where in the travel that least distance occurs: 0 % closed, 100 % open; a range where several positions come as near, or the points are \
              uncertain",
        formula: "positions whose gap may be the least",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| nearest_at(given[0].thing()?)),
    },
    BuiltIn {
        name: "greatest-gap",
        parameters: &[("fixed", FIXED)],
        gives: Gives::Measure("length"),
        doc: "greatest distance between a post or obstacle and the nearest moving leaf, anywhere in the travel",
        formula: "max over the travel of the distance between both bodies",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| gap(given[0].thing()?, false)),
    },
    BuiltIn {
        name: "hinge-gap-least",
        parameters: &[("leaf", Takes::Thing(&[&LEAF_AT_POST]))],
        gives: Gives::Measure("length"),
        doc: "least gap between a swing leaf and the hinge post nearest to it, over the whole movement",
        formula: "min over the travel",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| hinge_gap(given[0].thing()?, true)),
    },
    BuiltIn {
        name: "hinge-gap-widest",
        parameters: &[("leaf", Takes::Thing(&[&LEAF_AT_POST]))],
        gives: Gives::Measure("length"),
        doc: "greatest gap between a swing leaf and the hinge post nearest to it, over the whole movement",
        formula: "max over the travel",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| hinge_gap(given[0].thing()?, false)),
    },
    BuiltIn {
        name: "under-least",
        parameters: &[("gate", ONE_GATE)],
        gives: Gives::Measure("length"),
        doc: "least gap between the leaves and the ground as surveyed, over the whole movement",
        formula: "min over the travel of the height over the ground",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| under(given[0].thing()?, true)),
    },
    BuiltIn {
        name: "under-greatest",
        parameters: &[("gate", ONE_GATE)],
        gives: Gives::Measure("length"),
        doc: "greatest gap under the bottom edge of the leaves, over the whole movement and the ground as surveyed",
        formula: "max over the travel of the height over the ground",
        source: MOVEMENT,
        example: "",
        run: Run::Whole(|given| under(given[0].thing()?, false)),
    },
    BuiltIn {
        name: "swept-area",
        parameters: &[("leaf", ONE_LEAF), ("while", Takes::Word("direction"))],
        gives: Gives::Measure("area"),
        doc: "area into which a leaf moves while opening or closing, in the plane in which it moves",
        formula: "all that it covers, less what it covers standing",
        source: "own calculation, within 0.1 %",
        example: "",
        run: Run::Whole(area),
    },
    BuiltIn {
        name: "zone-drawn",
        parameters: &[
            ("gate", Takes::Thing(&[&GATE_AMONG])),
            ("zone", Takes::Word("hazard-zone")),
            ("while", Takes::Word("direction")),
            ("above", Takes::Measure("length")),
            ("below", Takes::Measure("length")),
        ],
        gives: Gives::YesNo,
        doc: "whether the drawing shows a place of this kind where, in this direction, a leaf and a post or obstacle close on each other with \
              a gap of more than `above` and less than `below`",
        formula: "stretches of the travel over which a gap does not grow and lies in the range",
        source: MOVEMENT,
        example: "",
        run: Run::Staged(zones_drawn, zone_among),
    },
];

/// Exact where the points are: half the sum of the crossed products of neighbouring corners.
fn ground_area(given: &[Argument]) -> Outcome<Result> {
    let corners = given[0].points()?;
    let (polygon, off) = outline(corners)?;
    if off > 0.0 {
        return Ok(Result::Number(not_below_nought(polygon.area(), polygon.perimeter() * off)?));
    }
    let mut twice = Interval::point(Exact::ZERO);
    for (one, next) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        twice = twice.add(one.x.mul(next.y)?)?.sub(next.x.mul(one.y)?)?;
    }
    Ok(Result::Number(twice.size().div(Interval::point(Exact::whole(2)))?))
}

fn distance(given: &[Argument]) -> Outcome<Result> {
    let (a, b) = (given[0].point()?, given[1].point()?);
    let level = a.z.is_none() || b.z.is_none();
    let mut squares = Interval::point(Exact::ZERO);
    let heights = if level { None } else { a.z.zip(b.z) };
    for (one, other) in [(a.x, b.x), (a.y, b.y)].into_iter().chain(heights) {
        squares = squares.add(one.sub(other)?.size().pow(2)?)?;
    }
    let root = |end: Option<Exact>| end.map_or(0.0, |end| libm::sqrt(end.to_f64()));
    let (low, high) = (root(squares.lo), root(squares.hi));
    // A root that comes out whole is exact, so that a stated 20 ft and one from points are one length.
    if squares.as_point().is_some()
        && let Some(exact) = squares.lo.and_then(exact_root)
    {
        return Ok(Result::Number(Interval::point(exact)));
    }
    Ok(Result::Number(bounds(low, high)?))
}

/// The root of a fraction whose parts are both squares.
fn exact_root(square: Exact) -> Option<Exact> {
    let root = |number: i128| {
        #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)]
        let near = (number as f64).sqrt() as i128;
        (near - 1..=near + 1).find(|root| root.checked_mul(*root) == Some(number))
    };
    Exact::ratio(root(square.upper())?, root(square.lower())?)
}

fn gap(fixed: &Thing, least: bool) -> Outcome<Result> {
    fixed.demand(&["outline"])?;
    let leaves = moving(fixed.above()?)?;
    let standing = standing(fixed)?;
    let mut nearest: Option<Interval> = None;
    for leaf in &leaves {
        let found = if least { least_gap(&leaf.movement, &standing.object)? } else { greatest_gap(&leaf.movement, &standing.object)? };
        let interval = not_below_nought(found.gap, found.error + leaf.off_from(&standing))?;
        nearest = Some(nearest.map_or(interval, |known| known.smaller(interval)));
    }
    nearest.map(Result::Number).ok_or(Refusal::Unfit("the gate has no leaves"))
}

/// Steps into which a travel is cut to find every position that may be the nearest.
const STATIONS: usize = 200;

/// Positions whose gap is no larger than the least one may be, a step more at either end.
fn nearest_at(fixed: &Thing) -> Outcome<Result> {
    fixed.demand(&["outline"])?;
    let standing = standing(fixed)?;
    let leaves = moving(fixed.above()?)?;
    let mut most = f64::INFINITY;
    let mut first = None;
    for leaf in &leaves {
        let found = least_gap(&leaf.movement, &standing.object)?;
        let off = found.error + 2.0 * leaf.off_from(&standing);
        if found.gap < most {
            (most, first) = (found.gap + off, Some(found.at));
        }
    }
    let at = first.ok_or(Refusal::Unfit("the gate has no leaves"))?;
    let (mut low, mut high) = (at, at);
    for leaf in &leaves {
        for step in 0..=STATIONS {
            let position = step as f64 / STATIONS as f64;
            if gap_at(&leaf.movement, &standing.object, position)?.gap <= most {
                (low, high) = (low.min(position), high.max(position));
            }
        }
    }
    let step = 1.0 / STATIONS as f64;
    Ok(Result::Number(bounds((low - step).max(0.0), (high + step).min(1.0))?))
}

fn hinge_gap(leaf: &Thing, least: bool) -> Outcome<Result> {
    let gate = leaf.above()?;
    if gate.word("kind")? != "swing" {
        return Err(Refusal::Unfit("only a swing leaf has a hinge gap"));
    }
    let posts = gate.list("posts")?;
    let mut nearest: Option<(f64, Interval)> = None;
    let moving = one_moving(gate, leaf)?;
    for post in posts {
        if post.word("kind")? != "hinge-post" {
            continue;
        }
        let standing = standing(post)?;
        let closest = least_gap(&moving.movement, &standing.object)?;
        let found = if least { closest } else { greatest_gap(&moving.movement, &standing.object)? };
        let interval = not_below_nought(found.gap, found.error + moving.off_from(&standing))?;
        if nearest.is_none_or(|(gap, _)| closest.gap < gap) {
            nearest = Some((closest.gap, interval));
        }
    }
    nearest.map(|(_, interval)| Result::Number(interval)).ok_or(Refusal::Unfit("no hinge post is drawn"))
}

fn under(gate: &Thing, least: bool) -> Outcome<Result> {
    gate.fact("ground")?;
    let (ground, loose) = ground(gate)?;
    let mut all: Option<Interval> = None;
    for leaf in moving(gate)? {
        let found = under_leaf(&leaf.movement, &ground)?;
        let error = found.error + leaf.off + leaf.off_upright + loose;
        let gap = if least { found.least.gap } else { found.greatest.gap };
        let interval = give_or_take(gap, error)?;
        all = Some(all.map_or(interval, |known| if least { known.smaller(interval) } else { known.larger(interval) }));
    }
    all.map(Result::Number).ok_or(Refusal::Unfit("the gate has no leaves"))
}

fn area(given: &[Argument]) -> Outcome<Result> {
    let leaf = given[0].thing()?;
    let moving = one_moving(leaf.above()?, leaf)?;
    let swept = swept(&moving.movement)?;
    let region = if given[1].word()? == "opening" { &swept.opening } else { &swept.closing };
    let area = region.area();
    let error = area * crate::reckon::geometry::AREA_ERROR + region.perimeter() * moving.off;
    Ok(Result::Number(not_below_nought(area, error)?))
}

/// Every place that is in the band when both ends of it are moved in by what the points may be off, or only when they are moved out.
fn zones_drawn(given: &[Argument]) -> Outcome<Stage> {
    let gate = given[0].thing()?;
    let ((above, loose_above), (below, loose_below)) = (middle(given[3].number()?)?, middle(given[4].number()?)?);
    let kind = gate.word("kind")?;
    let leaves = moving(gate)?;
    let mut seen: Vec<Seen> = Vec::new();
    for thing in gate.list("posts")?.iter().chain(gate.list("obstacles")?) {
        if thing.maybe("outline")?.is_none() {
            continue;
        }
        let standing = standing(thing)?;
        for leaf in &leaves {
            let margin = leaf.off_from(&standing).max(1e-6);
            for surely in [true, false] {
                let by = if surely { margin } else { -margin };
                let (over, under) = (above + by + by.signum() * loose_above, below - by - by.signum() * loose_below);
                if over >= under {
                    continue;
                }
                let places = hazard_zones(&leaf.movement, std::slice::from_ref(&standing.object), Band::new(over, under)?, REACH)?;
                for place in places.iter().filter(|place| !surely || place.standing == Stands::Hazardous) {
                    if let Some(zone) = place_of(kind, place.part, thing) {
                        seen.push(Seen { zone, opening: place.direction == Direction::Opening, surely });
                    }
                }
            }
        }
    }
    Ok(Stage(seen))
}

fn zone_among(stage: &Stage, given: &[Argument]) -> Outcome<Result> {
    let (zone, opening) = (given[1].word()?, given[2].word()? == "opening");
    let mut here = stage.0.iter().filter(|seen| seen.zone == zone && seen.opening == opening).peekable();
    Ok(Result::Truth(match here.peek() {
        None => Some(false),
        Some(_) => here.any(|seen| seen.surely).then_some(true),
    }))
}

/// Height to which a person can be caught, in metres: 6 ft.
const REACH: f64 = 1.8288;

/// The kind of place at which a part of a leaf and a fixed thing close on each other.
fn place_of(kind: &str, part: Option<Part>, thing: &Thing) -> Option<&'static str> {
    let post = match thing.fact("kind").and_then(Argument::word) {
        Ok(word) if thing.of == "post" => word,
        _ => "",
    };
    let part = part?;
    Some(match (kind, part) {
        ("barrier-arm", _) => "arm-path",
        ("vertical-pivot", Part::HingeEdge) => "pivot",
        ("vertical-lift" | "vertical-pivot", Part::BottomEdge) => "bottom-edge",
        ("swing" | "bifold", Part::HingeEdge) => "hinge",
        ("swing" | "bifold", Part::BottomEdge) => "bottom-edge",
        ("swing" | "bifold", _) => "swept-area",
        (_, Part::LeadingEdge) => "leading-edge",
        (_, Part::TrailingEdge) => "trailing-edge",
        (_, Part::PublicFace | Part::SecuredFace) if matches!(post, "support" | "guide-post") => "support-post",
        (_, Part::PublicFace | Part::SecuredFace) if post == "receiver" => "receiver-post",
        (_, Part::PublicFace | Part::SecuredFace | Part::SideEdge) => "face",
        (_, Part::BottomEdge) => "bottom-edge",
        _ => return None,
    })
}

/// A point's coordinates; for other files of drawings.
pub(super) fn place(argument: &Argument) -> Outcome<(crate::reckon::geometry::Point3, f64)> {
    point3(argument.point()?, None)
}
