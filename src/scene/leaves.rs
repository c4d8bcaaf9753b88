//! The leaves of a gate: in the place that their points give, else where their measures and the kind of gate would hang them. It must
//! not know what stands near them.

use super::facts::Facts;
use super::hung::Hung;
use super::made_up::{Lay, made_up};
use super::{Axis, Item, Sort};
use crate::builtin::drawn::{GATE, one_moving};
use crate::builtin::{Refusal, Thing};
use crate::job::RecordId;
use crate::judge::built_in::gathered;
use crate::judge::doubt::Doubt;
use crate::judge::explain::lacking;
use crate::reckon::geometry::{Point3, Range, Side};

/// Most leaves that are hung by points; by guess a gate has two at most.
const MOST: usize = 8;
const MOST_GUESSED: usize = 2;

/// The leaves that are drawn, and the item of each leaf of the gate.
pub struct Leaves {
    /// Leaves in their places, with their ids.
    pub hung: Vec<(String, Hung)>,
    /// An item a leaf.
    pub items: Vec<Item>,
}

/// Opening, kind and so on of a gate, as far as its things tell.
pub fn lay(facts: Facts, gate: RecordId) -> (Lay, bool) {
    let leaves = facts.list(gate, "leaves").unwrap_or(&[]);
    let width = facts.length(gate, "opening").map(|opening| opening.at).filter(|width| *width > 0.0);
    let lengths = leaves.iter().take(MOST_GUESSED).filter_map(|leaf| facts.length(*leaf, "length"));
    let sum: f64 = lengths.map(|length| length.at).filter(|length| *length > 0.0).sum();
    let guessed = if sum > 0.0 { sum } else { 4.0 };
    let lay = Lay {
        kind: facts.word(gate, "kind").unwrap_or("").to_string(),
        opening: Range { low: 0.0, high: width.unwrap_or(guessed) },
        leaves: leaves.len().clamp(1, MOST_GUESSED),
        closes_at: closes_at(facts, gate),
        bottom: facts.length(gate, "bottom-gap").map(|gap| gap.at).filter(|gap| *gap >= 0.0),
    };
    (lay, width.is_some())
}

/// The jamb at which a single leaf closes: where its receiver stands, else across from what it hangs or runs on.
fn closes_at(facts: Facts, gate: RecordId) -> (Side, bool) {
    let posts = facts.list(gate, "posts").unwrap_or(&[]);
    let at = |kinds: &[&str]| {
        posts.iter().find_map(|post| {
            let kind = facts.word(*post, "kind").filter(|kind| kinds.contains(kind));
            kind.and_then(|_| facts.word(*post, "jamb"))
        })
    };
    match (at(&["receiver"]), at(&["hinge-post", "support"])) {
        (Some("left"), _) | (None, Some("right")) => (Side::Left, true),
        (Some(_), _) | (None, Some(_)) => (Side::Right, true),
        (None, None) => (Side::Right, false),
    }
}

/// Hangs the leaves of a gate.
pub fn leaves(facts: Facts, gate: RecordId, lay: &Lay) -> Leaves {
    let mut made = Leaves { hung: Vec::new(), items: Vec::new() };
    let records = facts.list(gate, "leaves").unwrap_or(&[]);
    let (thing, reasons) = gathered(facts.program, facts.job, &GATE, gate);
    let mut guessed = 0;
    for (at, record) in records.iter().enumerate() {
        let mut item = Item::new(Sort::Leaf, facts.name(*record), facts.id(*record));
        item.measures = facts.measures(*record);
        let drawn = facts.point(*record, "from").zip(facts.point(*record, "to")).is_some();
        if made.hung.len() >= MOST || !drawn && guessed >= MOST_GUESSED {
            item.drawn = "not drawn: more leaves than a drawing holds".into();
        } else if drawn {
            let leaf = thing.list("leaves").ok().and_then(|leaves| leaves.get(at));
            let hung = by_points(facts, *record, (&thing, leaf, &reasons), lay, &mut item);
            made.hung.push((item.id.clone(), hung));
        } else {
            let hung = by_measures(facts, *record, guessed, lay, &mut item);
            guessed += 1;
            made.hung.push((item.id.clone(), hung));
        }
        made.items.push(item);
    }
    made
}

type Read<'r, 'a> = (&'r Thing<'a>, Option<&'r Thing<'a>>, &'r [Doubt]);

fn by_points(facts: Facts, record: RecordId, (gate, leaf, reasons): Read, lay: &Lay, item: &mut Item) -> Hung {
    let at = |name: &str| facts.point(record, name).unwrap_or((Point3::default(), false));
    let ((mut tail, high), (mut lead, _)) = (at("from"), at("to"));
    if !high {
        tail.z = lay.bottom.unwrap_or(0.0);
    }
    lead.z = tail.z;
    let size = |name: &str| facts.length(record, name).map(|size| size.at).filter(|size| *size > 0.0);
    let (thickness, height) = (size("thickness"), size("height"));
    let moving = leaf.ok_or(Refusal::Unfit("the leaf cannot be read")).and_then(|leaf| one_moving(gate, leaf));
    let sizes = (thickness.unwrap_or(0.06), height.unwrap_or(1.8));
    let hung = match moving {
        Ok(moving) => {
            let axis = facts.point(record, "pivot").map(|(pivot, high)| if high { pivot } else { Point3 { z: tail.z, ..pivot } });
            let turns = matches!(lay.kind.as_str(), "swing" | "bifold");
            item.drawn = "closed, open and all that it sweeps, by its points".into();
            Hung::moving(&moving.movement, (tail, lead), axis.or(turns.then_some(tail)), sizes.0, sizes.1)
        }
        Err(refusal) => {
            item.drawn = "closed, by its points".into();
            item.guessed.push(format!("its movement is not drawn: {}", reason(facts, &refusal, reasons)));
            for (size, what) in [(thickness, "thickness"), (height, "height")] {
                if size.is_none() {
                    item.guessed.push(format!("its {what} is not given"));
                }
            }
            Hung::still(tail, lead, sizes.0, sizes.1)
        }
    };
    let sized = height.is_some() && thickness.is_some();
    hung.draw(item, !sized, !sized);
    dimensions(facts, record, &hung, item);
    hung
}

/// Why a calculation was not made, as a clause.
pub fn reason(facts: Facts, refusal: &Refusal, reasons: &[Doubt]) -> String {
    match refusal {
        Refusal::Waits(tokens) => {
            let doubts = tokens.iter().filter_map(|token| reasons.get(*token));
            let mut names: Vec<String> =
                doubts.flat_map(|doubt| lacking(facts.program, facts.job, doubt)).map(|lacking| lacking.name).collect();
            names.dedup();
            if names.is_empty() { "something is not given".into() } else { format!("{} not given", names.join(", ")) }
        }
        Refusal::IsNone(name) => format!("{name} is none"),
        Refusal::Unreckonable(why) => why.to_string().trim_end_matches('.').to_string(),
        Refusal::Unfit(why) => (*why).to_string(),
        Refusal::TooManyDigits | Refusal::DivisionByNought => "its numbers cannot be reckoned with".into(),
    }
}

fn by_measures(facts: Facts, record: RecordId, at: usize, lay: &Lay, item: &mut Item) -> Hung {
    let (hung, guessed) = made_up(facts, record, at, lay);
    item.drawn = match hung.open {
        _ if hung.opened.is_empty() => "closed, by its measures".into(),
        _ => "closed, open and all that it sweeps, by its measures".into(),
    };
    item.guessed.push("no points are given, so its place is schematic".into());
    if lay.leaves > 1 {
        item.guessed.push("leaves are put in the order of the job, the first at the left".into());
    } else if !lay.closes_at.1 && !matches!(lay.kind.as_str(), "vertical-lift" | "overhead-pivot") {
        item.guessed.push("at which jamb it closes is not given".into());
    }
    item.guessed.extend(guessed);
    hung.draw(item, true, true);
    dimensions(facts, record, &hung, item);
    hung
}

/// The measures of a leaf, where they come to lie.
fn dimensions(facts: Facts, record: RecordId, hung: &Hung, item: &mut Item) {
    let length = |name: &str| facts.length(record, name);
    let (tail, lead, half) = (hung.tail, hung.lead, hung.half());
    let straight = (lead.y - tail.y).abs() < 1e-6;
    let fits = |given: f64, drawn: f64| (given.abs() - drawn.abs()).abs() <= 1e-6 + drawn.abs() * 1e-6;
    if let Some(given) = length("length").filter(|given| straight && fits(given.at, lead.x - tail.x)) {
        item.dimension(Some(&given), Axis::X, tail, lead);
    }
    let up = |at: Point3, by: f64| Point3 { z: at.z + by, ..at };
    if let Some(given) = length("height").filter(|given| fits(given.at, hung.height)) {
        item.dimension(Some(&given), Axis::Z, lead, up(lead, given.at));
    }
    if let Some(given) = length("thickness").filter(|given| straight && fits(given.at, hung.thickness)) {
        let at = |sign: f64| Point3 { y: tail.y + sign * half, ..tail };
        item.dimension(Some(&given), Axis::Y, at(-1.0), at(1.0));
    }
    if let (Some(given), Some((_, open))) = (length("travel"), hung.open) {
        if fits(given.at, open.x - lead.x) {
            item.dimension(Some(&given), Axis::X, open, lead);
        } else if fits(given.at, open.z - lead.z) {
            item.dimension(Some(&given), Axis::Z, lead, open);
        }
    }
}
