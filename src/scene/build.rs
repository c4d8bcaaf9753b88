//! Puts the scene of a gate together from its parts, and the findings to their things. It must not know what a part looks like.

use super::facts::Facts;
use super::fixed::{Around, fixed};
use super::leaves::{Leaves, lay, leaves};
use super::made_up::Lay;
use super::{Axis, Findings, Item, Scene, Sort};
use super::{devices, edges, services, sky, zones};
use crate::builtin::Form;
use crate::builtin::drawn::ground;
use crate::job::{Job, RecordId};
use crate::judge::built_in::gathered;
use crate::language::program::Program;
use crate::reckon::geometry::{Point, Point3};
use crate::source::Source;

/// A gate's ground.
const GROUND: Form = Form { of: "gate", facts: &["ground", "cross-slope"], below: &[], above: None };

/// What scenes are made of.
#[derive(Clone, Copy)]
pub struct Stage<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job, with what follows already worked out.
    pub job: &'a Job,
    /// The text of the job.
    pub source: &'a Source,
    /// Numbers of findings, by the things that they are at.
    pub findings: &'a Findings,
}

/// The gates of a job, in its order.
pub fn gates(program: &Program, job: &Job, source: &Source) -> Vec<RecordId> {
    Facts { program, job, source }.list(RecordId::ROOT, "gates").unwrap_or(&[]).to_vec()
}

/// The scene of one gate.
pub fn scene(stage: &Stage, gate: RecordId) -> Scene {
    let facts = Facts { program: stage.program, job: stage.job, source: stage.source };
    let (lay, opening_known) = lay(facts, gate);
    let Leaves { hung, items: leaf_items } = leaves(facts, gate, &lay);
    let high = hung.iter().map(|(_, hung)| hung.tail.z + hung.height).fold(1.2, f64::max);
    // A leaf that rises is led to its highest place, and what leads it stands as high.
    let rises = hung.iter().filter(|_| lay.kind == "vertical-lift").flat_map(|(_, hung)| &hung.opened);
    let guides = rises.flat_map(|open| open.corners()).map(|corner| corner.z).fold(high, f64::max);
    let around = Around { lay: &lay, hung: &hung, high, guides };
    let fixed = fixed(facts, gate, &around);
    let mut items = vec![gate_item(facts, gate, &lay, &around)];
    items.extend(leaf_items);
    items.extend(zones::zones(facts, gate, &around, &fixed));
    items.extend(devices::beams(facts, gate, &around));
    items.extend(edges::edges(facts, gate, &around, &fixed));
    items.extend(devices::controls(facts, gate, &around));
    items.extend(services::rollers(facts, gate, &around));
    items.extend(services::runs(facts, gate, &around));
    items.extend(fixed);
    items.sort_by_key(|item| item.sort);
    let cut = cut(&around);
    let mut scene = Scene {
        gate: facts.name(gate),
        id: facts.id(gate),
        kind: facts.word(gate, "kind").map(str::to_string),
        opening: lay.opening,
        opening_known,
        items,
        ground: surveyed(facts, gate),
        cut,
        sky: sky::sky(facts, gate),
        elsewhere: Vec::new(),
        left_out: Vec::new(),
    };
    place_findings(&mut scene, stage.findings);
    tell_lists(&mut scene, facts, gate);
    scene
}

/// The gate itself: opening and gap below.
fn gate_item(facts: Facts, gate: RecordId, lay: &Lay, around: &Around) -> Item {
    let mut item = Item::new(Sort::Gate, facts.name(gate), facts.id(gate));
    item.measures = facts.measures(gate);
    let kind = facts.word(gate, "kind").unwrap_or("gate of a kind not given");
    item.drawn = format!("{kind}: gate line and jambs");
    let at = |x: f64| Point3::new(x, 0.0, 0.0);
    match facts.length(gate, "opening").filter(|opening| opening.at > 0.0) {
        Some(opening) => item.dimension(Some(&opening), Axis::X, at(lay.opening.low), at(lay.opening.high)),
        None => item.guessed.push("its opening is not given; drawn as wide as its leaves".into()),
    }
    if let (Some(gap), Some((_, leaf))) = (facts.length(gate, "bottom-gap"), around.hung.first())
        && (leaf.tail.z - gap.at).abs() < 1e-6
    {
        let x = leaf.lead.x;
        let y = leaf.lead.y;
        item.dimension(Some(&gap), Axis::Z, Point3::new(x, y, 0.0), Point3::new(x, y, gap.at));
    }
    if let Some(clear) = facts.length(gate, "clear-height").filter(|clear| clear.at > 0.0) {
        let x = f64::midpoint(lay.opening.low, lay.opening.high);
        item.dimension(Some(&clear), Axis::Z, Point3::new(x, 0.0, 0.0), Point3::new(x, 0.0, clear.at));
    }
    item
}

/// The ground as surveyed along the gate line; empty where it is level.
fn surveyed(facts: Facts, gate: RecordId) -> Vec<Point> {
    let Some(points) = facts.points(gate, "ground") else { return Vec::new() };
    let (thing, _) = gathered(facts.program, facts.job, &GROUND, gate);
    if ground(&thing).is_err() {
        return Vec::new();
    }
    points.iter().map(|point| Point::new(point.x, point.y)).collect()
}

/// The section is cut through the first leaf, a little before its leading edge.
fn cut(around: &Around) -> f64 {
    let middle = f64::midpoint(around.lay.opening.low, around.lay.opening.high);
    around.hung.first().map_or(middle, |(_, leaf)| {
        let long = leaf.lead.x - leaf.tail.x;
        leaf.lead.x - long.signum() * (long.abs() / 4.0).min(0.2)
    })
}

/// Every finding goes to the thing that it is at, else to the nearest one above it that is told; none is lost.
fn place_findings(scene: &mut Scene, findings: &Findings) {
    let gate = scene.gate.clone();
    let inside = |name: &str, thing: &str| name == thing || name.starts_with(&format!("{thing} / "));
    for (name, numbers) in findings.iter().filter(|(name, _)| inside(name, &gate)) {
        let own = scene.items.iter_mut().filter(|item| item.sort != Sort::Gate).find(|item| inside(name, &item.thing));
        // What is asked of the gate itself stands at it; what is asked of its other records is told beside the drawing.
        let rest = name.strip_prefix(&gate).unwrap_or("");
        match own {
            Some(item) => item.findings.extend(numbers),
            None if rest.is_empty() || !is_record(rest) => {
                if let Some(item) = scene.items.iter_mut().find(|item| item.sort == Sort::Gate) {
                    item.findings.extend(numbers);
                }
            }
            None => scene.elsewhere.push((name.clone(), numbers.clone())),
        }
    }
    for item in &mut scene.items {
        item.findings.sort_unstable();
        item.findings.dedup();
    }
}

/// Whether what follows a gate's name names a record below it, such as ` / test stops`, and not a row of a table.
fn is_record(rest: &str) -> bool {
    !rest.contains(',') && rest.starts_with(" / ")
}

/// Lists of which the job says nothing: nobody can tell what the drawing lacks.
fn tell_lists(scene: &mut Scene, facts: Facts, gate: RecordId) {
    const LISTS: [(&str, &str); 7] = [
        ("leaves", "leaves"),
        ("posts", "posts"),
        ("obstacles", "obstacles"),
        ("zones", "zones"),
        ("beams", "beams"),
        ("edges", "contact edges"),
        ("controls", "controls"),
    ];
    let silent: Vec<&str> = LISTS.iter().filter(|(key, _)| facts.list(gate, key).is_none()).map(|(_, words)| *words).collect();
    if !silent.is_empty() {
        scene.left_out.push(format!("The job does not say whether there are {}.", silent.join(", ")));
    }
    for (sort, words) in [
        (Sort::Leaf, "leaves"),
        (Sort::Post, "posts"),
        (Sort::Obstacle, "obstacles"),
        (Sort::Zone, "zones"),
        (Sort::Beam, "beams"),
        (Sort::Edge, "contact edges"),
    ] {
        let out: Vec<&str> =
            scene.items.iter().filter(|item| item.sort == sort && item.shapes.is_empty()).map(|item| item.id.as_str()).collect();
        if !out.is_empty() {
            scene.left_out.push(format!("Not drawn of the {words}: {}.", out.join(", ")));
        }
    }
}
