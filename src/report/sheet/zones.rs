//! The zone matrix: for each place of danger and each direction of travel, the means of protection that the job lists. It shows what
//! is stated and must not say whether it is enough.

use super::Sheet;
use crate::job::{Children, RecordId};
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, words};

const DIRECTIONS: [&str; 2] = ["opening", "closing"];

/// The matrix of each gate.
pub fn matrix(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "zones", "Zones and means of protection");
    let facts = &sheet.facts;
    for gate in facts.things("gate") {
        let (zones, devices) = (facts.below(gate, "zone"), devices(sheet, gate));
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
    }
    document.paragraph(words(
        "A: in the drive; B1: without touch; B2: contact edge; C: force limit. What is stated of each device, not whether it is enough: that is for the sections above.",
    ));
}

fn of_zone(sheet: &Sheet, devices: &[Device], zone: RecordId) -> Vec<Line> {
    let facts = &sheet.facts;
    let place = facts.word(zone, "place").unwrap_or("");
    let mut about = vec![place.replace('-', " ")];
    let gap = facts.text(zone, "gap");
    if !gap.is_empty() {
        about.push(format!("gap {gap}"));
    }
    if facts.text(zone, "guarded") == "yes" {
        about.push("closed off by a guard".into());
    }
    let cell = |direction: &str| {
        let danger = facts.includes(zone, "while", direction);
        let means = means(devices, place, direction);
        match (danger, means.is_empty()) {
            (true, true) => "danger; no means listed".to_string(),
            (true, false) => format!("danger; {}", means.join("; ")),
            (false, true) => "no danger stated".into(),
            (false, false) => format!("no danger stated; {}", means.join("; ")),
        }
    };
    vec![words(facts.id(zone)), words(about.join(", ")), words(cell("opening")), words(cell("closing"))]
}

/// Places that devices name and no zone of the job is at.
fn without_zone(sheet: &Sheet, devices: &[Device], zones: &[RecordId]) -> Vec<Vec<Line>> {
    let facts = &sheet.facts;
    let known: Vec<&str> = zones.iter().filter_map(|zone| facts.word(*zone, "place")).collect();
    let mut places: Vec<&str> = devices.iter().filter_map(|device| device.zone).filter(|place| !known.contains(place)).collect();
    places.sort_unstable();
    places.dedup();
    let cell = |place: &str, direction: &str| {
        let means = means(devices, place, direction);
        if means.is_empty() { Line::new() } else { words(means.join("; ")) }
    };
    let row = |place: &&str| {
        let about = format!("{}; no zone record", place.replace('-', " "));
        std::iter::once(words("—")).chain([words(about)]).chain(DIRECTIONS.iter().map(|direction| cell(place, direction))).collect()
    };
    places.iter().map(row).collect()
}

/// A device as the matrix shows it.
struct Device<'a> {
    /// Its type, its id and whether it is monitored.
    words: String,
    /// The place that it guards; none for sensing in the drive that guards wherever the leaf meets something.
    zone: Option<&'a str>,
    /// Whether it guards every place.
    everywhere: bool,
    /// For each direction, whether it acts in it.
    acts: [bool; 2],
}

/// The devices of a gate.
fn devices<'a>(sheet: &Sheet<'a>, gate: RecordId) -> Vec<Device<'a>> {
    let facts = sheet.facts;
    let mut found = Vec::new();
    for (kind, letter) in [("beam", "B1"), ("edge", "B2"), ("inherent-sensing", "")] {
        for device in facts.below(gate, kind) {
            let letter = if letter.is_empty() { facts.text(device, "type") } else { letter.to_string() };
            let monitored = match facts.text(device, "monitored").as_str() {
                "yes" => ", monitored",
                "no" => ", not monitored",
                _ => "",
            };
            let zone = facts.word(device, "zone");
            found.push(Device {
                words: format!("{letter} {}{monitored}", facts.id(device)),
                zone,
                everywhere: zone.is_none() && kind == "inherent-sensing",
                acts: DIRECTIONS.map(|direction| facts.includes(device, "watches", direction)),
            });
        }
    }
    found
}

/// The devices that act at a place in a direction.
fn means(devices: &[Device], place: &str, direction: &str) -> Vec<String> {
    let at = usize::from(direction == DIRECTIONS[1]);
    let there = |device: &&Device| device.acts[at] && (device.everywhere || device.zone == Some(place));
    devices.iter().filter(there).map(|device| device.words.clone()).collect()
}
