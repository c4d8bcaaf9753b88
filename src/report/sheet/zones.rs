//! The zone matrix: for each place of danger and each direction of travel, the means of protection that the job lists. It shows what
//! is stated and must not say whether it is enough.

use super::Sheet;
use crate::datum::Datum;
use crate::job::{Children, RecordId};
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, words};
use crate::slip::first_few;

const DIRECTIONS: [&str; 2] = ["opening", "closing"];

/// The matrix of each gate.
pub fn matrix(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "zones", "Zones and means of protection");
    let facts = &sheet.facts;
    for gate in facts.things("gate") {
        let (zones, devices) = (facts.below(gate, "zone"), Devices::of(sheet, gate));
        let mut rows: Vec<Vec<Line>> = zones.iter().map(|zone| of_zone(sheet, &devices, *zone)).collect();
        rows.extend(without_zone(sheet, &devices, &zones));
        let name = super::top::upper(&facts.name(gate));
        if rows.is_empty() {
            let told = match facts.says_of(gate, "zones") {
                Some(Children::Nothing(_)) => "the job says that it has no zone",
                _ => "the job lists no zone and no device that names one",
            };
            document.paragraph(words(format!("{name}: {told}.")));
            continue;
        }
        let caption = format!("{name}: zone by direction of travel");
        document.blocks.push(Block::Ledger(Ledger::plain(caption, &["Zone", "Place and gap", "While opening", "While closing"], rows)));
        document.blocks.extend(devices.left_over().map(|told| Block::Paragraph(words(told))));
    }
    document.paragraph(words(
        "A: in the drive; B1: without touch; B2: contact edge; C: force limit. What is stated of each device, not whether it is enough: that is for the sections above.",
    ));
}

/// A place of danger: where, and on which leaf.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Spot<'a> {
    place: &'a str,
    /// The leaf that makes it, where it is said.
    leaf: Option<&'a str>,
}

fn of_zone(sheet: &Sheet, devices: &Devices, zone: RecordId) -> Vec<Line> {
    let facts = &sheet.facts;
    let spot = spot_of(sheet, zone);
    let mut about = vec![spot.place.replace('-', " ")];
    if let Some(leaf) = spot.leaf {
        about.push(format!("leaf {leaf}"));
    } else if devices.several {
        about.push("leaf not stated, so no device is known to watch it".into());
    }
    let gap = facts.text(zone, "gap");
    if !gap.is_empty() {
        about.push(format!("gap {gap}"));
    }
    if facts.text(zone, "guarded") == "yes" {
        about.push("closed off by a guard".into());
    }
    let cell = |direction: &str| {
        let danger = facts.includes(zone, "while", direction);
        let means = devices.means(spot, direction);
        match (danger, means.is_empty()) {
            (true, true) => "danger; no means listed".to_string(),
            (true, false) => format!("danger; {}", means.join("; ")),
            (false, true) => "no danger stated".into(),
            (false, false) => format!("no danger stated; {}", means.join("; ")),
        }
    };
    vec![words(facts.id(zone)), words(about.join(", ")), words(cell("opening")), words(cell("closing"))]
}

fn spot_of<'a>(sheet: &Sheet<'a>, zone: RecordId) -> Spot<'a> {
    Spot { place: sheet.facts.word(zone, "place").unwrap_or(""), leaf: text(sheet, zone, "leaf") }
}

/// Places that devices name and no zone of the job is at.
fn without_zone(sheet: &Sheet, devices: &Devices, zones: &[RecordId]) -> Vec<Vec<Line>> {
    let known: Vec<Spot> = zones.iter().map(|zone| spot_of(sheet, *zone)).collect();
    let covered = |spot: &Spot| known.iter().any(|zone| zone.place == spot.place && (!devices.several || zone.leaf == spot.leaf));
    let mut spots: Vec<Spot> = devices.all.iter().flat_map(|device| device.spots(devices.several)).filter(|spot| !covered(spot)).collect();
    spots.sort_unstable();
    spots.dedup();
    let row = |spot: &Spot| {
        let leaf = spot.leaf.map_or_else(String::new, |leaf| format!(", leaf {leaf}"));
        let about = format!("{}{leaf}; no zone record", spot.place.replace('-', " "));
        let cell = |direction: &&str| match devices.means(*spot, direction) {
            means if means.is_empty() => Line::new(),
            means => words(means.join("; ")),
        };
        std::iter::once(words("—")).chain([words(about)]).chain(DIRECTIONS.iter().map(cell)).collect()
    };
    spots.iter().map(row).collect()
}

/// A device as the matrix shows it.
struct Device<'a> {
    /// Its id.
    id: String,
    /// Its type, its id and whether it is monitored.
    words: String,
    /// The place that it guards; none for sensing in the drive that guards wherever the leaf meets something.
    zone: Option<&'a str>,
    /// The leaves that it names.
    leaves: Vec<&'a str>,
    /// Whether it guards every place.
    everywhere: bool,
    /// For each direction, whether it acts in it.
    acts: [bool; 2],
}

impl<'a> Device<'a> {
    /// The places that it names, on a gate of several leaves one for each leaf that it names.
    fn spots(&self, several: bool) -> Vec<Spot<'a>> {
        let Some(place) = self.zone else { return Vec::new() };
        if several { self.leaves.iter().map(|leaf| Spot { place, leaf: Some(leaf) }).collect() } else { vec![Spot { place, leaf: None }] }
    }
}

/// The devices of a gate, and whether it has several leaves.
struct Devices<'a> {
    all: Vec<Device<'a>>,
    several: bool,
}

impl<'a> Devices<'a> {
    fn of(sheet: &Sheet<'a>, gate: RecordId) -> Devices<'a> {
        let facts = sheet.facts;
        let mut all = Vec::new();
        for (kind, letter) in [("beam", "B1"), ("edge", "B2"), ("inherent-sensing", "")] {
            for device in facts.below(gate, kind) {
                // A beam that only keeps the gate from closing on a vehicle is no means of protection.
                if kind == "beam" && facts.word(device, "duty").is_some_and(|duty| duty != "entrapment") {
                    continue;
                }
                let letter = if letter.is_empty() { facts.text(device, "type") } else { letter.to_string() };
                let monitored = match facts.text(device, "monitored").as_str() {
                    "yes" => ", monitored",
                    "no" => ", not monitored",
                    _ => "",
                };
                let (id, zone) = (facts.id(device), facts.word(device, "zone"));
                let leaves = match facts.datum(device, "leaves") {
                    Some(Datum::TextList(ids)) => ids.iter().map(String::as_str).collect(),
                    _ => text(sheet, device, "leaf").into_iter().collect(),
                };
                all.push(Device {
                    words: format!("{letter} {id}{monitored}"),
                    id,
                    zone,
                    leaves,
                    everywhere: zone.is_none() && kind == "inherent-sensing",
                    acts: DIRECTIONS.map(|direction| facts.includes(device, "watches", direction)),
                });
            }
        }
        Devices { all, several: facts.below(gate, "leaf").len() > 1 }
    }

    /// The devices that act at a place in a direction. As the judging takes them: on a gate of several leaves those alone that name the
    /// leaf of the place.
    fn means(&self, spot: Spot, direction: &str) -> Vec<String> {
        let at = usize::from(direction == DIRECTIONS[1]);
        let of_leaf = |device: &&Device| !self.several || spot.leaf.is_some_and(|leaf| device.leaves.contains(&leaf));
        let there = |device: &&Device| device.acts[at] && (device.everywhere || device.zone == Some(spot.place));
        self.all.iter().filter(there).filter(of_leaf).map(|device| device.words.clone()).collect()
    }

    /// What is to be said of devices that stand in no cell.
    fn left_over(&self) -> Option<String> {
        let nowhere = |device: &&Device| self.several && device.leaves.is_empty() || !device.everywhere && device.zone.is_none();
        let named: Vec<&str> = self.all.iter().filter(nowhere).map(|device| device.id.as_str()).collect();
        (!named.is_empty()).then(|| {
            format!(
                "Named at no place above, since they name no zone, or on a gate of several leaves no leaf: {}.",
                first_few(&named, 12, ',')
            )
        })
    }
}

/// A fact that is an id or a text.
fn text<'a>(sheet: &Sheet<'a>, id: RecordId, name: &str) -> Option<&'a str> {
    match sheet.facts.datum(id, name)? {
        Datum::Text(text) => Some(text),
        _ => None,
    }
}
