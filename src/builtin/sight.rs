//! Built-ins on beams: height over the ground, how they lie to the moving leaf, what they do not see, stray light, fog, mirrors. It
//! must not know which of this is allowed.

use super::drawn::{GATE, LEAF, beam, ground, moving, not_below_nought, outline};
use super::form::{Form, Thing, numbers};
use super::lift::{Moves, give_or_take, lifted, middle};
use super::plane::place;
use super::{Argument, BuiltIn, Gives, Outcome, Refusal, Result, Run, Takes};
use crate::quantity::{Exact, Interval};
use crate::reckon::beam::{Beam, Optics, Pair, Stance, beam_gap, blind_area, cross_talk, shiny_clearance, through_fog, widest_unseen};

const LENGTH: Takes = Takes::Measure("length");
const ANGLE: Takes = Takes::Measure("angle");

/// A gate's ground alone.
const GROUND: Form = Form { of: "gate", facts: &["ground", "cross-slope"], below: &[], above: None };
/// A beam with the ground below it.
const BEAM_OVER: Form = Form { of: "beam", facts: &["sender", "mate"], below: &[], above: Some(&GROUND) };
/// A beam with the leaves beside it.
const BEAM_BESIDE: Form =
    Form { of: "beam", facts: &["sender", "mate"], below: &[], above: Some(&Form { below: &[("leaves", &LEAF)], ..GATE }) };
/// A beam with its optics.
const BEAM_LIGHT: Form =
    Form { of: "beam", facts: &["sender", "mate", "style", "half-angle", "acceptance", "rated-span"], below: &[], above: None };
/// A zone with the beams that may watch it.
const ZONE: Form = Form {
    of: "zone",
    facts: &["place", "outline"],
    below: &[],
    above: Some(&Form {
        of: "gate",
        facts: &["ground", "cross-slope"],
        below: &[("beams", &Form { of: "beam", facts: &["sender", "mate", "zone"], below: &[], above: None })],
        above: None,
    }),
};

const OWN: &str = "own calculation";

pub static ROWS: &[BuiltIn] = &[
    BuiltIn {
        name: "height-over",
        parameters: &[("point", Takes::Point), ("gate", Takes::Thing(&[&GROUND]))],
        gives: Gives::Measure("length"),
        doc: "height of a point over the ground straight below it, as surveyed",
        formula: "z less the ground's height there",
        source: "geometry",
        example: "",
        run: Run::Whole(height_over),
    },
    BuiltIn {
        name: "lowest-height",
        parameters: &[("beam", Takes::Thing(&[&BEAM_OVER]))],
        gives: Gives::Measure("length"),
        doc: "least height of a beam over the ground along its whole length",
        formula: "min along the beam of z less the ground's height",
        source: "geometry",
        example: "",
        run: Run::Whole(|given| along(given[0].thing()?, true)),
    },
    BuiltIn {
        name: "highest-height",
        parameters: &[("beam", Takes::Thing(&[&BEAM_OVER]))],
        gives: Gives::Measure("length"),
        doc: "greatest height of a beam over the ground along its whole length",
        formula: "max along the beam of z less the ground's height",
        source: "geometry",
        example: "",
        run: Run::Whole(|given| along(given[0].thing()?, false)),
    },
    BuiltIn {
        name: "offset-of",
        parameters: &[("beam", Takes::Thing(&[&BEAM_BESIDE]))],
        gives: Gives::Measure("length"),
        doc: "distance of a beam from the near face of the closed leaf, square to the gate line; a beam that runs askew has no single one",
        formula: "|y of the beam - y of the leaf| less half the thickness",
        source: "geometry",
        example: "",
        run: Run::Whole(|given| offset(given[0].thing()?)),
    },
    BuiltIn {
        name: "leaf-clearance",
        parameters: &[("beam", Takes::Thing(&[&BEAM_BESIDE]))],
        gives: Gives::Measure("length"),
        doc: "least distance between a beam and the moving leaves, anywhere in the travel; 0 where a leaf breaks the beam",
        formula: "min over the travel",
        source: "own calculation: the whole movement searched, within 0.1 mm",
        example: "",
        run: Run::Whole(|given| clearance(given[0].thing()?)),
    },
    BuiltIn {
        name: "light-reaches",
        parameters: &[
            ("from", Takes::Thing(&[&BEAM_LIGHT])),
            ("into", Takes::Thing(&[&BEAM_LIGHT])),
            ("usual-half-angle", ANGLE),
            ("reflector", ANGLE),
            ("spread", ANGLE),
        ],
        gives: Gives::YesNo,
        doc: "whether light of one beam's sender can reach another's receiver, straight or over a reflector; half-angles that no data sheet \
              gives are the usual one",
        formula: "every angle within its cone, and the way within the reach",
        source: OWN,
        example: "",
        run: Run::Whole(light_reaches),
    },
    BuiltIn {
        name: "blind-area",
        parameters: &[("zone", Takes::Thing(&[&ZONE])), ("length", LENGTH), ("width", LENGTH), ("height", LENGTH)],
        gives: Gives::Measure("area"),
        doc: "area of a zone from which a body of this footprint and height, turned anyhow, breaks no beam that watches the zone",
        formula: "places of the body's middle that are off every beam, within 0.1 % or 1 cm²",
        source: OWN,
        example: "",
        run: Run::Whole(blind),
    },
    BuiltIn {
        name: "widest-unseen",
        parameters: &[("zone", Takes::Thing(&[&ZONE])), ("height", LENGTH)],
        gives: Gives::Measure("length"),
        doc: "width of the widest round body of this height inside a zone that breaks no beam that watches it",
        formula: "twice the greatest distance from a place to the nearest beam or edge of the zone",
        source: OWN,
        example: "",
        run: Run::Whole(unseen),
    },
    BuiltIn {
        name: "mirror-room",
        parameters: &[("span", LENGTH), ("half-angle", ANGLE), ("fixed-below", LENGTH)],
        gives: Gives::Measure("length"),
        doc: "room to keep between a beam and a surface that mirrors; for shorter spans what it is at `fixed-below`",
        formula: "d = L tan(α)",
        source: "IEC 61496-2, from memory",
        example: "mirror-room(20 ft, 5 deg, 3 m) at most 21 in",
        run: Run::Whole(|given| {
            let numbers = numbers(given)?;
            Ok(Result::Number(lifted(&numbers, &[Moves::Up; 3], |x| shiny_clearance(x[0], x[1].to_radians(), x[2]))?))
        }),
    },
    BuiltIn {
        name: "fog-share",
        parameters: &[("way", LENGTH), ("visibility", LENGTH)],
        gives: Gives::Measure("ratio"),
        doc: "part of the light that fog lets through on a way; a beam with a reflector goes there and back",
        formula: "e^(-3.912 L / V)",
        source: "Koschmieder's law",
        example: "fog-share(20 m, 200 m) at most 67.7 %",
        run: Run::Whole(|given| {
            let numbers = numbers(given)?;
            Ok(Result::Number(lifted(&numbers, &[Moves::Down, Moves::Up], |x| through_fog(x[0], x[1]))?))
        }),
    },
];

fn height_over(given: &[Argument]) -> Outcome<Result> {
    let (point, off) = place(&given[0])?;
    let (ground, loose) = ground(given[1].thing()?)?;
    let height = point.z - ground.height_at(crate::reckon::geometry::Point::new(point.x, point.y))?;
    if let (Some(z), Some(grade)) = (given[0].point()?.z, level(given[1].thing()?)?) {
        return Ok(Result::Number(z.sub(grade)?));
    }
    Ok(Result::Number(give_or_take(height, (off + loose) * 2.0)?))
}

/// The height of ground that is level: only heights count over it, and those are exact.
fn level(gate: &Thing) -> Outcome<Option<Interval>> {
    let slope = gate.maybe("cross-slope")?.map(Argument::number).transpose()?;
    if slope.is_some_and(|slope| slope.as_point() != Some(Exact::ZERO)) {
        return Ok(None);
    }
    let Some(stations) = gate.maybe("ground")? else { return Ok(Some(Interval::point(Exact::ZERO))) };
    let mut heights = stations.points()?.iter().map(|place| place.y);
    // Heights that may be off each by itself make ground that may slope.
    let first = heights.next().filter(|height| height.as_point().is_some());
    Ok(first.filter(|first| heights.all(|height| height == *first)))
}

fn along(thing: &Thing, least: bool) -> Outcome<Result> {
    let (beam, off) = beam(thing)?;
    let (ground, loose) = ground(thing.above()?)?;
    let over = beam.height_over(&ground)?;
    let ends = (thing.point("sender")?.z, thing.point("mate")?.z);
    if let ((Some(one), Some(other)), Some(grade)) = (ends, level(thing.above()?)?) {
        let height = if least { one.smaller(other) } else { one.larger(other) };
        return Ok(Result::Number(height.sub(grade)?));
    }
    let height = if least { over.least.height } else { over.greatest.height };
    Ok(Result::Number(give_or_take(height, (off + loose) * 2.0)?))
}

/// The offsets of both ends of the beam from the near face, as bounds.
fn offset(thing: &Thing) -> Outcome<Result> {
    thing.demand(&["sender", "mate"])?;
    let gate = thing.above()?;
    let mut all: Option<Interval> = None;
    for leaf in gate.list("leaves")? {
        leaf.demand(&["from", "to", "thickness"])?;
        let (from, to) = (leaf.point("from")?, leaf.point("to")?);
        let line = from.y.hull(to.y);
        let half = leaf.number("thickness")?.div(Interval::point(Exact::whole(2)))?;
        for end in ["sender", "mate"] {
            let off = thing.point(end)?.y.sub(line)?.size().sub(half)?;
            all = Some(all.map_or(off, |known| known.hull(off)));
        }
    }
    all.map(Result::Number).ok_or(Refusal::Unfit("the gate has no leaves"))
}

fn clearance(thing: &Thing) -> Outcome<Result> {
    let (beam, off) = beam(thing)?;
    let mut nearest: Option<Interval> = None;
    for leaf in moving(thing.above()?)? {
        let found = beam_gap(&beam, &leaf.movement)?;
        let loose = leaf.off + leaf.off_upright + off;
        let broken = found.broken.is_some() && loose == 0.0;
        let interval = if broken { Interval::point(Exact::ZERO) } else { not_below_nought(found.gap, found.error + loose)? };
        nearest = Some(nearest.map_or(interval, |known| known.smaller(interval)));
    }
    nearest.map(Result::Number).ok_or(Refusal::Unfit("the gate has no leaves"))
}

/// A pair of sender and receiver, and by which angle its directions may be off.
fn pair(thing: &Thing, usual: f64, reflector: f64, spread: f64) -> Outcome<(Pair, f64)> {
    let (line, off) = beam(thing)?;
    let angle = |name: &'static str| -> Outcome<f64> {
        let stated = thing.maybe(name)?.map(|fact| fact.number().and_then(middle)).transpose()?;
        Ok(stated.map_or(usual, |(angle, _)| angle.to_radians()))
    };
    let optics = match thing.word("style")? {
        "through-beam" | "light-curtain" => Optics::ThroughBeam,
        _ => Optics::RetroReflective { reflector, spread },
    };
    let Argument::Range(_, longest) = thing.fact("rated-span")? else { return Err(Refusal::Unfit("the rated span is no range")) };
    let times = if optics == Optics::ThroughBeam { 1.0 } else { 2.0 };
    let reach = longest.to_f64().max(line.span()) * times;
    let pair = Pair { beam: line, optics, emission: angle("half-angle")?, acceptance: angle("acceptance")?, reach };
    Ok((pair, off))
}

fn light_reaches(given: &[Argument]) -> Outcome<Result> {
    let radians = |at: usize| given[at].number().and_then(middle).map(|(angle, _)| angle.to_radians());
    let (usual, reflector, spread) = (radians(2)?, radians(3)?, radians(4)?);
    let (from, off) = pair(given[0].thing()?, usual, reflector, spread)?;
    let (into, other) = pair(given[1].thing()?, usual, reflector, spread)?;
    // Ends that may be off by so much turn a beam by at most so far; the way between both may turn as well.
    let nearest = from.beam.span().min(into.beam.span()).min(apart(&from.beam, &into.beam)).max(1e-6);
    let turn = 4.0 * (off + other) / nearest;
    let widened = |pair: &Pair, by: f64| Pair {
        emission: (pair.emission + by).clamp(0.0, 1.5),
        acceptance: (pair.acceptance + by).clamp(0.0, 1.5),
        reach: pair.reach + by.signum() * 2.0 * (off + other),
        optics: match pair.optics {
            Optics::ThroughBeam => Optics::ThroughBeam,
            Optics::RetroReflective { reflector, spread } => {
                Optics::RetroReflective { reflector: (reflector + by).clamp(0.0, 1.5), spread: (spread + by).clamp(0.0, 1.5) }
            }
        },
        ..*pair
    };
    if turn == 0.0 {
        return Ok(Result::Truth(Some(cross_talk(&from, &into)?)));
    }
    let narrow = cross_talk(&widened(&from, -turn), &widened(&into, -turn))?;
    let wide = cross_talk(&widened(&from, turn), &widened(&into, turn))?;
    Ok(Result::Truth(if narrow == wide { Some(wide) } else { None }))
}

/// The least distance between ends of two beams.
fn apart(one: &Beam, other: &Beam) -> f64 {
    let ends = [one.from(), one.to()];
    let others = [other.from(), other.to()];
    let away = |a: &crate::reckon::geometry::Point3, b: &crate::reckon::geometry::Point3| {
        libm::sqrt((a.x - b.x).powi(2) + (a.y - b.y).powi(2) + (a.z - b.z).powi(2))
    };
    ends.iter().flat_map(|a| others.iter().map(move |b| away(a, b))).fold(f64::INFINITY, f64::min)
}

/// The beams that watch a zone, and how far any of them may be off.
fn watching(zone: &Thing) -> Outcome<(Vec<Beam>, f64)> {
    let (mut beams, mut off) = (Vec::new(), 0.0_f64);
    let place = zone.word("place")?;
    for thing in zone.above()?.list("beams")? {
        let watches = thing.maybe("zone")?.map(Argument::word).transpose()?;
        if watches != Some(place) {
            continue;
        }
        // A beam that is not drawn cannot be counted on to see anybody.
        if thing.maybe("sender")?.is_none() || thing.maybe("mate")?.is_none() {
            thing.demand(&["sender", "mate"])?;
        }
        let (line, loose) = beam(thing)?;
        beams.push(line);
        off = off.max(loose);
    }
    Ok((beams, off))
}

fn blind(given: &[Argument]) -> Outcome<Result> {
    let zone = given[0].thing()?;
    zone.demand(&["outline"])?;
    let (area, loose) = outline(zone.fact("outline")?.points()?)?;
    let (beams, off) = watching(zone)?;
    let (ground, rough) = ground(zone.above()?)?;
    let size = |at: usize| given[at].number().and_then(middle).map(|(size, _)| size);
    let (length, width, height) = (size(1)?, size(2)?, size(3)?);
    let slack = 2.0 * (off + loose + rough);
    let found = |by: f64| -> Outcome<crate::reckon::beam::BlindArea> {
        let least = 1e-3;
        let stance = Stance::new((length + by).max(least), (width + by).max(least), (height + by).max(least))?;
        Ok(blind_area(&area, &beams, &ground, stance)?)
    };
    if slack == 0.0 {
        let exact = found(0.0)?;
        return Ok(Result::Number(super::lift::bounds(exact.at_least, exact.at_most)?));
    }
    // A smaller body slips past more easily: beams that are off by so much make it at most so much smaller.
    let edge = area.perimeter() * loose;
    let (low, high) = (found(slack)?.at_least - edge, found(-slack)?.at_most + edge);
    Ok(Result::Number(super::lift::bounds(low.max(0.0), high)?))
}

fn unseen(given: &[Argument]) -> Outcome<Result> {
    let zone = given[0].thing()?;
    zone.demand(&["outline"])?;
    let (area, loose) = outline(zone.fact("outline")?.points()?)?;
    let (beams, off) = watching(zone)?;
    let (ground, rough) = ground(zone.above()?)?;
    let (height, _) = middle(given[1].number()?)?;
    let slack = 2.0 * (off + loose + rough);
    let low = widest_unseen(&area, &beams, &ground, height + slack)?;
    let high = if slack == 0.0 { low } else { widest_unseen(&area, &beams, &ground, (height - slack).max(1e-3))? };
    let bounds = super::lift::bounds((low.width - slack).max(0.0), high.width + high.error + slack)?;
    Ok(Result::Number(bounds))
}
