//! Pins: which text of each pack a folder was agreed to be judged by. It owns the file's form and the comparison; it must not know
//! jobs.

use super::list_file::{ListFile, quoted};
use crate::language::program::PackInfo;
use crate::slip::Slip;
use crate::source::{Source, Span};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;

const KEYS: [&str; 4] = ["name", "edition", "place", "sha256"];

const HEAD: &str = "# The packs that the jobs of this folder are judged by. `pintle check --pins` refuses any other text of them;
# `pintle check --write-pins` writes this file. The digest is of the text without comments and layout.
pins: 1
";

/// The text of a pack.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Pin {
    /// The pack's name.
    pub name: String,
    /// Its edition.
    pub edition: String,
    /// Where it was found; told, and not compared.
    pub place: String,
    /// The SHA-256 digest of its normalised text.
    pub digest: String,
}

/// Pins as read.
#[derive(Debug)]
pub struct Pins {
    /// The file.
    pub source: Source,
    /// What is wrong with it.
    pub slips: Vec<Slip>,
    pins: BTreeMap<String, (Pin, Span)>,
}

impl Pin {
    /// The pin of a pack.
    pub fn of(pack: &PackInfo) -> Pin {
        Pin { name: pack.name.clone(), edition: pack.edition.clone(), place: pack.place.clone(), digest: pack.digest.clone() }
    }
}

impl Pins {
    /// Reads a file of pins.
    pub fn read(source: Source) -> Pins {
        let (pins, slips) = read(&source);
        Pins { source, slips, pins }
    }

    /// The packs by which nothing may be judged: their text is not the pinned one, or they have no pin.
    pub fn refused(&self, packs: &[PackInfo]) -> Vec<Pin> {
        let other = |pack: &&PackInfo| self.pins.get(&pack.name).is_none_or(|(pin, _)| pin.digest != pack.digest);
        packs.iter().filter(other).map(Pin::of).collect()
    }

    /// Why nothing may be judged by these packs, in a few words.
    pub fn against(&self, packs: &[Pin]) -> String {
        let why = |pack: &Pin| match self.pins.contains_key(&pack.name) {
            true => format!("pack `{}` is not the pinned text", pack.name),
            false => format!("pack `{}` has no pin", pack.name),
        };
        packs.iter().map(why).collect::<Vec<_>>().join("; ")
    }

    /// All that there is to say of such a pack, with what was not judged because of it, in words.
    pub fn slip(&self, pack: &Pin, what: &str) -> Slip {
        let file = self.source.name();
        let Pin { name, .. } = pack;
        let told = |pin: &Pin| format!("edition {} from {}, sha256 {}", pin.edition, pin.place, pin.digest);
        let slip = match self.pins.get(name) {
            Some((pin, span)) => {
                let message =
                    format!("pack `{name}` is not the pinned text, so {what}; found: {}; pinned in {file}: {}", told(pack), told(pin));
                Slip::at(*span, "other-text", message).label("this pin")
            }
            None => Slip::of_file("not-pinned", format!("pack `{name}` has no pin in {file}, so {what}; found: {}", told(pack))),
        };
        slip.hint("look at what changed; if the new text is meant, write the pins anew with `pintle check --write-pins`")
    }
}

fn read(source: &Source) -> (BTreeMap<String, (Pin, Span)>, Vec<Slip>) {
    let (mut file, items) = ListFile::read(source, "pins", "packs");
    let mut pins: BTreeMap<String, (Pin, Span)> = BTreeMap::new();
    for item in items {
        let Some(item) = file.known(item, &KEYS) else { continue };
        let [Some(name), Some(edition), Some(place), Some(digest)] = KEYS.map(|key| file.text(item, key)) else { continue };
        if digest.len() != 64 || !digest.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f')) {
            file.slip_at(item, "sha256", "malformed-entry", "no digest", "64 of the digits 0 to 9 and a to f".into());
            continue;
        }
        let span = file.span(item);
        match pins.get(&name) {
            Some((_, first)) => {
                let slip =
                    Slip::at(span, "doubled-entry", format!("a second pin of `{name}`")).label("this one").other(*first, "the first");
                file.slips.push(slip.hint("take one of them out"));
            }
            None => {
                pins.insert(name.clone(), (Pin { name, edition, place, digest }, span));
            }
        }
    }
    (pins, file.slips)
}

/// The file of these pins, or the two texts of one pack that cannot both be pinned.
///
/// # Errors
/// Where two packs of one name have different texts.
pub fn written<'a>(pins: impl IntoIterator<Item = &'a Pin>) -> Result<String, (&'a Pin, &'a Pin)> {
    let mut text = HEAD.to_string();
    let mut last: Option<&Pin> = None;
    for pin in pins {
        match last {
            Some(other) if other.name == pin.name && other.digest != pin.digest => return Err((other, pin)),
            Some(other) if other.name == pin.name => continue,
            _ => {}
        }
        text.push_str(if last.is_none() { "packs:\n" } else { "" });
        let [name, edition, place] = [&pin.name, &pin.edition, &pin.place].map(|text| quoted(text));
        let _ = writeln!(text, "  - name: {name}\n    edition: {edition}\n    place: {place}\n    sha256: {}", pin.digest);
        last = Some(pin);
    }
    text.push_str(if last.is_none() { "packs: []\n" } else { "" });
    Ok(text)
}
