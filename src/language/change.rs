//! What differs between two texts of the codes, part by part, and whether the new part is surely stricter or looser. It must
//! not know jobs.
//!
//! A direction is told only where it is proved from the words: a limit that moved in an otherwise equal comparison, a part
//! that was added or dropped. It is about that part alone, everything else being as it was; where something that the part
//! names has changed as well, nothing is told but that it is different.

use super::adopt::{Adopted, Reading};
use super::change_expr::text_at;
use super::change_section::section_changes;
use super::change_table::table_changes;
use super::tree::{Definition, Field, Formula};
use crate::source::Sources;
use std::collections::BTreeSet;

/// What a change does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Whoever meets the new text meets the old one.
    Stricter,
    /// Not proved to be either.
    Different,
    /// Whoever meets the old text meets the new one.
    Looser,
    /// No verdict hangs on it.
    NoVerdict,
}

impl Direction {
    /// The word that reports use.
    pub fn word(self) -> &'static str {
        match self {
            Direction::Stricter => "stricter",
            Direction::Different => "different",
            Direction::Looser => "looser",
            Direction::NoVerdict => "no verdict hangs on it",
        }
    }
}

/// One change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The section as `pack/section`, or what else changed, such as `table screening-reach`.
    pub item: String,
    /// The part of it, such as `(a)`; nothing for the whole.
    pub part: String,
    /// The change in words, as a sentence without its subject.
    pub says: String,
    /// What it does.
    pub direction: Direction,
}

impl Change {
    /// The change as one sentence without its stop.
    pub fn sentence(&self) -> String {
        let part = if self.part.is_empty() { String::new() } else { format!(" {}", self.part) };
        let direction = match self.direction {
            Direction::NoVerdict => format!(" ({})", self.direction.word()),
            direction => format!(", {}", direction.word()),
        };
        format!("{}{part}: {}{direction}", self.item, self.says)
    }
}

/// The codes of one side.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a> {
    /// The codes.
    pub codes: &'a [Adopted],
    /// The texts that stand beside them as a minimum.
    pub floors: &'a [Adopted],
    /// Their files.
    pub files: &'a Sources,
}

/// Both sides, and the words whose meaning differs between them.
pub(super) struct Sides<'a> {
    pub(super) old: Side<'a>,
    pub(super) new: Side<'a>,
    pub(super) unsure: BTreeSet<String>,
}

/// Every change from one side to the other: packs, sections, tables, formulas, vocabulary, in the order of the codes.
pub fn changes(old: Side, new: Side) -> Vec<Change> {
    let mut sides = Sides { old, new, unsure: BTreeSet::new() };
    let mut found = sides.headers();
    let mut words = sides.vocabulary();
    let mut rest = sides.tables();
    rest.extend(sides.formulas());
    sides.moved_sections();
    found.extend(sides.sections());
    found.append(&mut rest);
    let minimums = sides.minimums(&found);
    found.extend(minimums);
    found.append(&mut words);
    found
}

impl<'a> Side<'a> {
    /// The readings of a section; more than one where two codes carry two texts of it.
    fn readings(self, id: &str) -> Vec<&'a Reading> {
        let all = self.codes.iter().flat_map(|code| &code.sections).filter(|reading| reading_id(reading) == id);
        let mut found: Vec<&Reading> = Vec::new();
        for reading in all {
            if !found.iter().any(|known| self.signature(known) == self.signature(reading)) {
                found.push(reading);
            }
        }
        found
    }

    /// The text of a section with everything that verdicts hang on.
    fn signature(self, reading: &Reading) -> Vec<String> {
        let clauses = &reading.section.clauses;
        let spans = clauses.applies.iter().map(|binder| binder.span);
        let spans = spans.chain(clauses.lets.iter().flat_map(|named| [named.name.span, named.value.span]));
        let spans = spans.chain(clauses.norms.iter().map(|norm| norm.span)).chain(clauses.excepts.iter().map(|except| except.span));
        spans.chain(clauses.force.iter().map(|force| force.span)).map(|span| text_at(self.files, span)).collect()
    }

    fn ids(self) -> Vec<String> {
        let mut ids: Vec<String> = Vec::new();
        let mut seen = BTreeSet::new();
        for reading in self.codes.iter().flat_map(|code| &code.sections) {
            let id = reading_id(reading);
            if seen.insert(id.clone()) {
                ids.push(id);
            }
        }
        ids
    }
}

fn reading_id(reading: &Reading) -> String {
    format!("{}/{}", reading.pack, reading.section.name.text)
}

impl Sides<'_> {
    /// Editions, days in force, minimums.
    fn headers(&self) -> Vec<Change> {
        let mut found = Vec::new();
        let packs = |side: Side| {
            let all = side.codes.iter().flat_map(|code| code.packs.clone()).collect::<Vec<_>>();
            let mut seen = BTreeSet::new();
            all.into_iter().filter(|pack| seen.insert(pack.name().to_string())).collect::<Vec<_>>()
        };
        let (old, new) = (packs(self.old), packs(self.new));
        let change = |pack: &str, says: String, direction| Change { item: format!("pack {pack}"), part: String::new(), says, direction };
        for pack in &old {
            let Some(other) = new.iter().find(|other| other.name() == pack.name()) else {
                found.push(change(pack.name(), "takes part no longer; its sections follow".into(), Direction::Different));
                continue;
            };
            let edition = |pack: &super::pack::Pack| pack.header.edition.as_ref().map_or_else(String::new, |text| text.text.clone());
            if edition(pack) != edition(other) {
                found.push(change(pack.name(), format!("edition {} becomes {}", edition(pack), edition(other)), Direction::NoVerdict));
            }
            let force = |pack: &super::pack::Pack, files| {
                pack.header.force.as_ref().map_or_else(|| "always".to_string(), |force| text_at(files, force.span))
            };
            let (was, is) = (force(pack, self.old.files), force(other, self.new.files));
            if was != is {
                found.push(change(pack.name(), format!("in force: `{is}` in place of `{was}`"), Direction::Different));
            }
        }
        for pack in new.iter().filter(|pack| !old.iter().any(|other| other.name() == pack.name())) {
            found.push(change(pack.name(), "takes part now; its sections follow".into(), Direction::Different));
        }
        let minimums = |side: Side| side.codes.iter().flat_map(|code| code.minimums.clone()).collect::<BTreeSet<_>>();
        let (old, new) = (minimums(self.old), minimums(self.new));
        found.extend(old.difference(&new).map(|pack| change(pack, "is a minimum no longer".into(), Direction::Looser)));
        // What a code takes in is in force on that code's own days only.
        let days = |pack: &str| {
            let code = self.new.codes.iter().find(|code| code.minimums.iter().any(|name| name == pack))?.packs.last()?;
            let force = code.header.force.as_ref()?;
            Some(format!(", on the days of {} only: `{}`", code.name(), text_at(self.new.files, force.span)))
        };
        found.extend(new.difference(&old).map(|pack| {
            let days = days(pack);
            let direction = if days.is_none() { Direction::Stricter } else { Direction::Different };
            change(pack, format!("stays in force as a minimum{}", days.unwrap_or_default()), direction)
        }));
        found
    }

    /// Facts and word lists. What changed is remembered, since whoever names it may mean something else.
    fn vocabulary(&mut self) -> Vec<Change> {
        let mut found = Vec::new();
        let (old, new) = (merged(self.old), merged(self.new));
        for definition in &old {
            match new.iter().find(|other| other.name.text == definition.name.text) {
                Some(other) => self.facts(definition, other, &mut found),
                None => found.push(of_definition(definition, "is dropped", Direction::Different)),
            }
        }
        for definition in new.iter().filter(|definition| !old.iter().any(|other| other.name.text == definition.name.text)) {
            found.push(of_definition(definition, "is a new kind of record", Direction::NoVerdict));
        }
        for values in self.old.codes.iter().flat_map(|code| &code.values) {
            let others = self.new.codes.iter().flat_map(|code| &code.values).find(|other| other.name.text == values.name.text);
            let Some(other) = others else { continue };
            let words = |values: &super::tree::Values| values.words.iter().map(|word| word.text.clone()).collect::<Vec<_>>();
            if words(values) != words(other) || values.ordered != other.ordered {
                let change = Change {
                    item: format!("words {}", values.name.text),
                    part: String::new(),
                    says: format!("{} in place of {}", words(other).join(", "), words(values).join(", ")),
                    direction: Direction::Different,
                };
                if !found.contains(&change) {
                    found.push(change);
                }
            }
        }
        found
    }

    fn facts(&mut self, old: &Definition, new: &Definition, found: &mut Vec<Change>) {
        let item = format!("definition {}", old.name.text);
        let mut tell =
            |name: &str, says: String, direction| found.push(Change { item: item.clone(), part: name.to_string(), says, direction });
        for field in &old.fields {
            let name = &field.name.text;
            let Some(other) = new.fields.iter().find(|other| other.name.text == *name) else {
                tell(name, "is dropped".into(), Direction::Different);
                continue;
            };
            let (was, is) = (fact_text(self.old.files, field), fact_text(self.new.files, other));
            if was != is {
                tell(name, format!("`{is}` in place of `{was}`"), Direction::Different);
                self.unsure.insert(name.clone());
            }
        }
        for field in new.fields.iter().filter(|field| !old.fields.iter().any(|other| other.name.text == field.name.text)) {
            tell(&field.name.text, "is a new fact".into(), Direction::NoVerdict);
        }
    }

    fn tables(&mut self) -> Vec<Change> {
        let mut found = Vec::new();
        let mut seen = BTreeSet::new();
        for (_, table) in self.old.codes.iter().flat_map(|code| &code.tables).filter(|(_, table)| seen.insert(table.name.text.clone())) {
            let name = &table.name.text;
            let holds = |code: &&Adopted| code.tables.iter().any(|(_, other)| other.name.text == *name);
            let holders: Vec<&Adopted> = self.new.codes.iter().filter(holds).collect();
            let floor = self.new.floors.iter().any(|code| holds(&code));
            let Some(code) = holders.first() else { continue };
            let Some((_, other)) = code.tables.iter().find(|(_, other)| other.name.text == *name) else { continue };
            for change in table_changes(table, other, code) {
                // A minimum keeps its own table, and another code may look this one up otherwise.
                let kept = floor && change.direction == Direction::Looser || holders.len() > 1;
                let direction = if kept && change.direction != Direction::NoVerdict { Direction::Different } else { change.direction };
                if direction != Direction::NoVerdict {
                    self.unsure.insert(name.clone());
                }
                found.push(Change { item: format!("table {name}"), part: change.part, says: change.says, direction });
            }
        }
        found
    }

    /// Formulas, and everything that rests on something that changed.
    fn formulas(&mut self) -> Vec<Change> {
        let mut found = Vec::new();
        let mut seen = BTreeSet::new();
        let all = |side: Side| {
            side.codes.iter().flat_map(|code| code.formulas.iter().map(|(_, formula)| formula.clone())).collect::<Vec<Formula>>()
        };
        let (old, new) = (all(self.old), all(self.new));
        for formula in old.iter().filter(|formula| seen.insert(formula.name.text.clone())) {
            let Some(other) = new.iter().find(|other| other.name.text == formula.name.text) else { continue };
            let (was, is) = (text_at(self.old.files, formula.body.span), text_at(self.new.files, other.body.span));
            if was != is {
                self.unsure.insert(formula.name.text.clone());
                let says = format!("`{is}` in place of `{was}`");
                found.push(Change {
                    item: format!("formula {}", formula.name.text),
                    part: String::new(),
                    says,
                    direction: Direction::Different,
                });
            }
        }
        // At most as many rounds as there are formulas, since each adds one.
        for _ in 0..new.len() {
            let more = new.iter().find(|formula| {
                !self.unsure.contains(&formula.name.text) && self.names_unsure(&text_at(self.new.files, formula.body.span))
            });
            let Some(more) = more else { break };
            self.unsure.insert(more.name.text.clone());
        }
        found
    }

    /// Whether a text names something whose meaning differs between the sides.
    pub(super) fn names_unsure(&self, text: &str) -> bool {
        words_of(text).any(|word| self.unsure.contains(word))
    }

    /// A section that another complies with means something else when it changed.
    fn moved_sections(&mut self) {
        for id in self.old.ids() {
            let (old, new) = (self.old.readings(&id), self.new.readings(&id));
            let texts = |side: Side, readings: &[&Reading]| readings.iter().map(|reading| side.signature(reading)).collect::<Vec<_>>();
            if texts(self.old, &old) != texts(self.new, &new) {
                // As it stands in `complies with pack/section`, so that a fact of the same name is not meant.
                self.unsure.insert(id);
            }
        }
    }

    fn sections(&self) -> Vec<Change> {
        let mut found = Vec::new();
        let ids = self.old.ids();
        for id in &ids {
            self.one_section(id, &mut found);
        }
        for id in self.new.ids().into_iter().filter(|id| !ids.contains(id)) {
            found.push(Change { item: id, part: String::new(), says: "the section is added".into(), direction: Direction::Stricter });
        }
        found
    }

    /// Changes of the texts that stand as a minimum on both sides, where the amended text does not show them already.
    fn minimums(&self, found: &[Change]) -> Vec<Change> {
        let names =
            |side: Side| side.floors.iter().filter_map(|code| code.packs.last()).map(|pack| pack.name().to_string()).collect::<Vec<_>>();
        let (old_names, new_names) = (names(self.old), names(self.new));
        let both = |code: &&Adopted| {
            code.packs.last().is_some_and(|pack| [&old_names, &new_names].iter().all(|all| all.iter().any(|name| name == pack.name())))
        };
        let (old, new): (Vec<Adopted>, Vec<Adopted>) =
            (self.old.floors.iter().filter(both).cloned().collect(), self.new.floors.iter().filter(both).cloned().collect());
        let mut below = Sides {
            old: Side { codes: &old, floors: &[], files: self.old.files },
            new: Side { codes: &new, floors: &[], files: self.new.files },
            unsure: self.unsure.clone(),
        };
        let tables = below.tables();
        let told =
            |change: &Change| found.iter().any(|other| other.item == change.item && other.part == change.part && other.says == change.says);
        let all = below.sections().into_iter().chain(tables).filter(|change| !told(change));
        all.map(|change| Change { part: format!("{} in the minimum", change.part).trim_start().to_string(), ..change }).collect()
    }

    fn one_section(&self, id: &str, found: &mut Vec<Change>) {
        let change = |says: &str, direction| Change { item: id.to_string(), part: String::new(), says: says.to_string(), direction };
        let floor = self.new.floors.iter().find(|code| code.sections.iter().any(|reading| reading_id(reading) == id));
        let floor = floor.and_then(|code| code.packs.last()).map(|pack| pack.name().to_string());
        let first = found.len();
        match (self.old.readings(id).as_slice(), self.new.readings(id).as_slice()) {
            ([old], [new]) => found.extend(section_changes(self, id, old, new)),
            (_, []) => found.push(change("the section is dropped", Direction::Looser)),
            (old, new) => {
                let texts = |side: Side, readings: &[&Reading]| readings.iter().map(|reading| side.signature(reading)).collect::<Vec<_>>();
                if texts(self.old, old) != texts(self.new, new) {
                    found.push(change("two codes carry two texts of it, and they are not the same as before", Direction::Different));
                }
            }
        }
        // What the amended text lets through, the minimum may still hold back.
        let Some(floor) = floor else { return };
        for change in found[first..].iter_mut().filter(|change| change.direction == Direction::Looser) {
            change.direction = Direction::Different;
            change.says.push_str(&format!("; the minimum of {floor} stays in force beside it"));
        }
    }
}

/// A kind of record that only one side has.
fn of_definition(definition: &Definition, says: &str, direction: Direction) -> Change {
    Change { item: format!("definition {}", definition.name.text), part: String::new(), says: says.into(), direction }
}

/// The definitions of all codes of a side; a fact that any of them adds is there.
fn merged(side: Side) -> Vec<Definition> {
    let mut all: Vec<Definition> = Vec::new();
    for definition in side.codes.iter().flat_map(|code| &code.definitions) {
        match all.iter_mut().find(|known| known.name.text == definition.name.text) {
            None => all.push(definition.clone()),
            Some(known) => {
                let new = definition.fields.iter().filter(|field| !known.fields.iter().any(|other| other.name.text == field.name.text));
                let new: Vec<Field> = new.cloned().collect();
                known.fields.extend(new);
            }
        }
    }
    all
}

/// A fact without its text for people.
fn fact_text(files: &Sources, field: &Field) -> String {
    let end = field.doc.as_ref().map(|doc| doc.span.start);
    let file = files.get(field.name.span.file);
    let start = field.name.span.end as usize;
    let line = |text: &str| text.lines().next().unwrap_or("").split(['"', '#']).next().unwrap_or("").to_string();
    let text = file.map_or_else(String::new, |file| match end {
        Some(end) => file.slice(start..end as usize).to_string(),
        None => line(file.slice(start..file.text().len())),
    });
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words of an expression, each part of a path by itself, and each `pack/section` as a whole.
fn words_of(text: &str) -> impl Iterator<Item = &str> {
    let outside = |c: char| !(c.is_ascii_alphanumeric() || c == '-' || c == '/');
    text.split(outside).filter(|word| !word.is_empty())
}
