//! Adopting and amending: from one pack and those it builds on to the code as it reads, before names are checked. It must
//! not know kinds or dimensions.

use super::library::Library;
use super::pack::{Pack, normalised};
use super::tree::{Amend, Clauses, Definition, Except, Formula, Norm, Repeal, Section, SourceItem, Table, Target, Text, Values};
use crate::slip::{Slip, suggest};
use crate::source::{Sources, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Most packs that one code may build on.
const MOST_PACKS: usize = 64;

/// A section as it reads under one code.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The pack that it comes from.
    pub pack: String,
    /// Its text, amended.
    pub section: Section,
    /// The pack that wrote each clause, in the order of the clauses.
    pub norm_packs: Vec<String>,
    /// Packs that changed it, in order.
    pub amended_by: Vec<String>,
    /// For each clause whose remedy is older than its body: the body that the remedy was written for.
    pub stale: Vec<Option<Span>>,
}

/// A code: one pack with everything that it builds on, as it reads.
#[derive(Clone, Debug)]
pub struct Adopted {
    /// The packs, adopted ones before adopters; the root is the last.
    pub packs: Vec<Arc<Pack>>,
    /// Sections in order.
    pub sections: Vec<Reading>,
    /// Tables, amended.
    pub tables: Vec<(String, Table)>,
    /// Formulas.
    pub formulas: Vec<(String, Formula)>,
    /// Sources.
    pub sources: Vec<SourceItem>,
    /// Word lists, with added words.
    pub values: Vec<Values>,
    /// Kinds of record, with added facts.
    pub definitions: Vec<Definition>,
    /// Packs that are a minimum somewhere in it.
    pub minimums: Vec<String>,
}

/// One change of one unit: which pack, what it says, where.
struct Change {
    pack: usize,
    says: String,
    span: Span,
}

struct Adopter<'a> {
    code: Adopted,
    /// For each pack by position, the positions of all packs that it builds on.
    below: Vec<BTreeSet<usize>>,
    /// Changes by unit, such as `us-gates/x (a)`.
    changes: BTreeMap<String, Vec<Change>>,
    /// Sections repealed so far, with the place of the repeal.
    repealed: BTreeMap<String, Span>,
    /// The text of every pack file, to tell whether two changes say the same.
    texts: Sources,
    slips: &'a mut Vec<Slip>,
}

/// Builds the code whose root is `name`. Slips of reading the packs are told too.
pub fn adopt(library: &mut Library, name: &str, slips: &mut Vec<Slip>) -> Option<Adopted> {
    let mut packs = Vec::new();
    collect(library, name, None, &mut Vec::new(), &mut packs, slips)?;
    let below = builds_on(&packs);
    let code = Adopted {
        packs: packs.clone(),
        sections: Vec::new(),
        tables: Vec::new(),
        formulas: Vec::new(),
        sources: Vec::new(),
        values: Vec::new(),
        definitions: Vec::new(),
        minimums: Vec::new(),
    };
    let mut adopter = Adopter { code, below, changes: BTreeMap::new(), repealed: BTreeMap::new(), texts: library.sources.clone(), slips };
    for (index, pack) in packs.iter().enumerate() {
        adopter.slips.extend(pack.slips.iter().cloned());
        adopter.take_items(pack);
        for amend in &pack.amends {
            adopter.amend(index, pack, amend);
        }
        for repeal in &pack.repeals {
            adopter.repeal(index, pack, repeal);
        }
    }
    adopter.check_conflicts(packs.len() - 1);
    let minimums: BTreeSet<String> = packs.iter().flat_map(|pack| &pack.header.adopts).filter(|a| a.as_minimum).map(|a| a.name.text.clone()).collect();
    adopter.code.minimums = minimums.into_iter().collect();
    Some(adopter.code)
}

/// Depth first, so that what is adopted stands before who adopts it.
fn collect(library: &mut Library, name: &str, asked: Option<Span>, path: &mut Vec<String>, packs: &mut Vec<Arc<Pack>>, slips: &mut Vec<Slip>) -> Option<()> {
    if let Some(at) = path.iter().position(|known| known == name) {
        let mut circle: Vec<&str> = path[at..].iter().map(String::as_str).collect();
        circle.push(name);
        let message = format!("packs that adopt each other in a circle: {}", circle.join(" → "));
        slips.push(asked.map_or_else(|| Slip::of_file("circle", message.clone()), |span| Slip::at(span, "circle", message.clone()).label("this adoption closes it")));
        return None;
    }
    if packs.iter().any(|pack| pack.name() == name || pack.place == name) {
        return Some(());
    }
    let Some(pack) = library.pack(name) else {
        if let Some(span) = asked {
            let hint = library.not_found_hint(name);
            slips.push(Slip::at(span, "unknown-pack", format!("no pack `{name}` is found")).label("adopted here").hint(hint));
        }
        return None;
    };
    if !pack.name().is_empty() && pack.name() != name {
        let message = format!("pack `{}` is kept under the name `{name}`", pack.name());
        slips.push(Slip::at(pack.span(), "pack-name", message).label("the name in its header").hint("give the file or folder the name that the header has"));
    }
    path.push(name.to_string());
    for adopts in &pack.header.adopts {
        // A circle or a missing pack is told once; the rest is still checked.
        let _ = collect(library, &adopts.name.text, Some(adopts.name.span), path, packs, slips);
    }
    path.pop();
    if packs.len() >= MOST_PACKS {
        slips.push(Slip::at(pack.span(), "too-many-packs", format!("more than {MOST_PACKS} packs in one code")));
        return None;
    }
    packs.push(pack);
    Some(())
}

fn builds_on(packs: &[Arc<Pack>]) -> Vec<BTreeSet<usize>> {
    let mut below: Vec<BTreeSet<usize>> = Vec::new();
    for pack in packs {
        let mut set = BTreeSet::new();
        for adopts in &pack.header.adopts {
            if let Some(at) = packs.iter().position(|other| other.name() == adopts.name.text).filter(|at| *at < below.len()) {
                set.insert(at);
                set.extend(below[at].iter().copied());
            }
        }
        below.push(set);
    }
    below
}

impl Adopter<'_> {
    fn take_items(&mut self, pack: &Pack) {
        for section in &pack.sections {
            let twin = self.code.sections.iter().find(|other| other.pack == pack.name() && other.section.name.text == section.name.text);
            if let Some(twin) = twin {
                let first = twin.section.name.span;
                self.doubled("section", &section.name, first);
                continue;
            }
            self.code.sections.push(Reading {
                pack: pack.name().to_string(),
                section: section.clone(),
                norm_packs: vec![pack.name().to_string(); section.clauses.norms.len()],
                amended_by: Vec::new(),
                stale: vec![None; section.clauses.norms.len()],
            });
        }
        macro_rules! take {
            ($list:ident, $what:literal, $wrap:expr, $name:expr) => {
                for item in &pack.$list {
                    let twin = self.code.$list.iter().map($name).find(|name| name.text == item.name.text).map(|name| name.span);
                    match twin {
                        Some(first) => self.doubled($what, &item.name, first),
                        None => self.code.$list.push($wrap(item.clone())),
                    }
                }
            };
        }
        take!(sources, "source", |item| item, |item: &SourceItem| &item.name);
        take!(values, "word list", |item| item, |item: &Values| &item.name);
        take!(definitions, "definition", |item| item, |item: &Definition| &item.name);
        take!(tables, "table", |item| (pack.name().to_string(), item), |item: &(String, Table)| &item.1.name);
        take!(formulas, "formula", |item| (pack.name().to_string(), item), |item: &(String, Formula)| &item.1.name);
    }

    fn doubled(&mut self, what: &str, name: &Text, first: Span) {
        let slip = Slip::at(name.span, "doubled-name", format!("a second {what} `{}`", name.text)).label("this one").other(first, "the first");
        self.slips.push(slip.hint("one name has one meaning in a code; rename one of them"));
    }

    /// Whether the target is something that pack `index` builds on.
    fn reachable(&mut self, index: usize, pack: &Pack, target: &Target) -> bool {
        let known = self.code.packs.iter().enumerate().find(|(_, other)| other.name() == target.pack);
        let hint = match known {
            Some((at, _)) if self.below[index].contains(&at) => return true,
            Some((at, _)) if at == index => "a pack changes its own text by editing it".to_string(),
            Some(_) => format!("write `adopts {}` in the header", target.pack),
            None => {
                let names: Vec<&str> = self.below[index].iter().map(|at| self.code.packs[*at].name()).collect();
                suggest(&target.pack, names).unwrap_or_else(|| format!("write `adopts {}` in the header", target.pack))
            }
        };
        let message = format!("`{}` does not adopt `{}`", pack.name(), target.pack);
        self.slips.push(Slip::at(target.span, "amends-nothing", message).label("this pack").hint(hint));
        false
    }

    fn note(&mut self, unit: String, pack: usize, says: String, span: Span) {
        self.changes.entry(unit).or_default().push(Change { pack, says, span });
    }

    fn amend(&mut self, index: usize, pack: &Pack, amend: &Amend) {
        if !self.reachable(index, pack, &amend.target) {
            return;
        }
        let target = &amend.target;
        let id = format!("{}/{}", target.pack, target.item);
        if let Some(repealed) = self.repealed.get(&id) {
            let slip = Slip::at(target.span, "amends-repealed", format!("`{id}` has been repealed")).label("amended here").other(*repealed, "repealed here");
            self.slips.push(slip.hint("amend it in a pack that does not adopt the repeal, or write a section of your own"));
            return;
        }
        if let Some(at) = self.code.sections.iter().position(|reading| reading.pack == target.pack && reading.section.name.text == target.item) {
            self.amend_section(index, pack, amend, at, &id);
        } else if let Some(at) = self.code.tables.iter().position(|(from, table)| *from == target.pack && table.name.text == target.item) {
            self.amend_table(index, amend, at, &id);
        } else if let Some(at) = self.code.definitions.iter().position(|definition| definition.name.text == target.item) {
            self.amend_definition(amend, at);
        } else if let Some(at) = self.code.values.iter().position(|values| values.name.text == target.item) {
            self.amend_values(amend, at);
        } else {
            let names = self.code.sections.iter().filter(|reading| reading.pack == target.pack).map(|reading| reading.section.name.text.as_str());
            let hint = suggest(&target.item, names);
            self.slips.push(Slip::at(target.span, "amends-nothing", format!("there is no `{id}` to amend")).label("here").hint_maybe(hint));
        }
    }

    fn amend_section(&mut self, index: usize, pack: &Pack, amend: &Amend, at: usize, id: &str) {
        self.refuse(amend, "a section", !amend.rows.is_empty(), !amend.fields.is_empty(), !amend.words.is_empty());
        let mut reading = self.code.sections[at].clone();
        let parts = &amend.clauses;
        for norm in &parts.norms {
            self.amend_norm(index, pack, &mut reading, norm, id);
        }
        for norm in &parts.added {
            self.add_norm(index, pack, &mut reading, norm, id);
        }
        self.amend_rest(index, &mut reading, parts, id);
        if parts.norms.is_empty() && parts.added.is_empty() && parts.excepts.is_empty() && parts.applies.is_empty() && parts.lets.is_empty() && parts.force.is_none() {
            self.slips.push(Slip::at(amend.span, "amends-nothing", format!("this amendment of `{id}` changes nothing")).label("here").hint("restate the clause that changes"));
        }
        reading.amended_by.push(pack.name().to_string());
        self.code.sections[at] = reading;
    }

    fn amend_norm(&mut self, index: usize, pack: &Pack, reading: &mut Reading, norm: &Norm, id: &str) {
        let label = label_of(norm.label.as_ref(), 0);
        let place = reading.section.clauses.norms.iter().enumerate().position(|(at, old)| label_of(old.label.as_ref(), at) == label);
        let Some(place) = place else {
            let labels: Vec<String> = reading.section.clauses.norms.iter().enumerate().map(|(at, old)| format!("({})", label_of(old.label.as_ref(), at))).collect();
            let slip = Slip::at(norm.span, "amends-nothing", format!("`{id}` has no clause ({label})")).label("amended here");
            self.slips.push(slip.other(reading.section.name.span, "the section").hint(format!("its clauses: {}; a new one is added with `add shall ({label}) …`", labels.join(", "))));
            return;
        };
        self.note(format!("{id} ({label})"), index, self.says(norm.span), norm.span);
        let old = &mut reading.section.clauses.norms[place];
        let mut new = norm.clone();
        new.label = old.label.clone();
        if new.remedy.is_none() {
            new.remedy.clone_from(&old.remedy);
            reading.stale[place] = Some(reading.stale[place].unwrap_or(old.span));
        } else {
            reading.stale[place] = None;
        }
        if new.cites.is_empty() {
            new.cites.clone_from(&old.cites);
        }
        *old = new;
        reading.norm_packs[place] = pack.name().to_string();
    }

    fn add_norm(&mut self, index: usize, pack: &Pack, reading: &mut Reading, norm: &Norm, id: &str) {
        let next = label_of(None, reading.section.clauses.norms.len());
        let label = label_of(norm.label.as_ref(), reading.section.clauses.norms.len());
        if label != next {
            let slip = Slip::at(norm.span, "label-order", format!("`{id}` would get clause ({label}) where ({next}) comes next")).label("added here");
            self.slips.push(slip.hint(format!("write `add shall ({next}) …`; to change a clause that is there, leave `add` out")));
            return;
        }
        self.note(format!("{id} ({label})"), index, self.says(norm.span), norm.span);
        reading.section.clauses.norms.push(norm.clone());
        reading.norm_packs.push(pack.name().to_string());
        reading.stale.push(None);
    }

    fn amend_rest(&mut self, index: usize, reading: &mut Reading, parts: &Clauses, id: &str) {
        let clauses = &mut reading.section.clauses;
        if let (Some(first), Some(last)) = (parts.applies.first(), parts.applies.last()) {
            let span = first.span.to(last.span);
            clauses.applies.clone_from(&parts.applies);
            self.note(format!("{id} applies to"), index, self.says(span), span);
        }
        for new in &parts.lets {
            match clauses.lets.iter_mut().find(|old| old.name.text == new.name.text) {
                Some(old) => *old = new.clone(),
                None => clauses.lets.push(new.clone()),
            }
            self.note(format!("{id} let {}", new.name.text), index, self.says(new.value.span), new.name.span);
        }
        for new in &parts.excepts {
            let label = except_label(new, clauses.excepts.len());
            let place = clauses.excepts.iter().enumerate().position(|(at, old)| except_label(old, at) == label);
            match place {
                Some(place) => clauses.excepts[place] = new.clone(),
                None => clauses.excepts.push(new.clone()),
            }
            self.note(format!("{id} except ({label})"), index, self.says(new.span), new.span);
        }
        if let Some(force) = &parts.force {
            clauses.force = Some(force.clone());
            self.note(format!("{id} in force"), index, self.says(force.span), force.span);
        }
    }

    fn amend_table(&mut self, index: usize, amend: &Amend, at: usize, id: &str) {
        self.refuse(amend, "a table", false, !amend.fields.is_empty(), !amend.words.is_empty());
        let mut table = self.code.tables[at].1.clone();
        let (Some(heading), Some(old_heading)) = (amend.rows.first(), table.rows.first().cloned()) else {
            self.slips.push(Slip::at(amend.span, "amends-nothing", format!("this amendment of table `{id}` has no rows")).label("here"));
            return;
        };
        let columns: Vec<Option<usize>> = heading.iter().map(|cell| old_heading.iter().position(|old| old.text == cell.text)).collect();
        if columns.len() != old_heading.len() || columns.iter().any(Option::is_none) {
            let wanted: Vec<&str> = old_heading.iter().map(|cell| cell.text.as_str()).collect();
            let span = heading.first().map_or(amend.span, |cell| cell.span);
            self.slips.push(Slip::at(span, "table-heading", format!("the rows do not have the columns of table `{id}`")).label("this heading").hint(format!("its columns: {}", wanted.join(" | "))));
            return;
        }
        let keys: Vec<usize> = table.keys.iter().filter_map(|key| old_heading.iter().position(|cell| cell.text == key.name.text)).collect();
        for row in amend.rows.iter().skip(1).filter(|row| row.len() == columns.len()) {
            let mut cells = row.clone();
            for (cell, column) in row.iter().zip(columns.iter().flatten()) {
                cells[*column] = cell.clone();
            }
            let key: Vec<&str> = keys.iter().map(|column| cells[*column].text.as_str()).collect();
            let span = row.first().map_or(amend.span, |first| row.last().map_or(first.span, |last| first.span.to(last.span)));
            self.note(format!("{id} row {}", key.join(", ")), index, self.says(span), span);
            let same = |old: &Vec<Text>| keys.iter().all(|column| old.get(*column).is_some_and(|cell| cell.text == cells[*column].text));
            match table.rows.iter().skip(1).position(same) {
                Some(place) => table.rows[place + 1] = cells,
                None => table.rows.push(cells),
            }
        }
        self.code.tables[at].1 = table;
    }

    fn amend_definition(&mut self, amend: &Amend, at: usize) {
        self.refuse(amend, "a definition", !amend.rows.is_empty(), false, !amend.words.is_empty());
        for field in &amend.fields {
            let twin = self.code.definitions[at].fields.iter().find(|known| known.name.text == field.name.text).map(|known| known.name.span);
            match twin {
                Some(first) => self.doubled("fact", &field.name, first),
                None => self.code.definitions[at].fields.push(field.clone()),
            }
        }
    }

    fn amend_values(&mut self, amend: &Amend, at: usize) {
        self.refuse(amend, "a word list", !amend.rows.is_empty(), !amend.fields.is_empty(), false);
        for word in &amend.words {
            let twin = self.code.values[at].words.iter().find(|known| known.text == word.text).map(|known| known.span);
            match twin {
                Some(first) => self.doubled("word", word, first),
                None => self.code.values[at].words.push(word.clone()),
            }
        }
    }

    /// Tells parts of an amendment that do not fit what it amends.
    fn refuse(&mut self, amend: &Amend, what: &str, rows: bool, fields: bool, words: bool) {
        let clauses = !amend.clauses.norms.is_empty() || !amend.clauses.added.is_empty() || !amend.clauses.excepts.is_empty() || amend.clauses.force.is_some();
        let wrong = [(rows, "rows"), (fields, "facts"), (words, "words"), (clauses && what != "a section", "clauses")];
        for (_, part) in wrong.iter().filter(|(found, _)| *found) {
            self.slips.push(Slip::at(amend.span, "wrong-amendment", format!("{part} in an amendment of {what}")).label("here").hint(format!("{part} belong to something else; check the name")));
        }
    }

    fn repeal(&mut self, index: usize, pack: &Pack, repeal: &Repeal) {
        if !self.reachable(index, pack, &repeal.target) {
            return;
        }
        let target = &repeal.target;
        let id = format!("{}/{}", target.pack, target.item);
        let Some(at) = self.code.sections.iter().position(|reading| reading.pack == target.pack && reading.section.name.text == target.item) else {
            let gone = self.repealed.get(&id).copied();
            let names = self.code.sections.iter().filter(|reading| reading.pack == target.pack).map(|reading| reading.section.name.text.as_str());
            let mut slip = Slip::at(target.span, "repeals-nothing", format!("there is no section `{id}` to repeal")).label("here").hint_maybe(suggest(&target.item, names));
            if let Some(first) = gone {
                slip = slip.other(first, "it has been repealed here");
            }
            self.slips.push(slip);
            return;
        };
        self.check_floor(index, repeal, &id);
        if repeal.because.is_none() && repeal.cite.is_none() {
            self.slips.push(Slip::at(repeal.span, "missing-cite", "a repeal without `because` or `cite`").label("here").hint("say why it is taken out, or by what right"));
        }
        if repeal.labels.is_empty() && repeal.exceptions.is_empty() {
            self.note(format!("{id} (whole)"), index, "repeal".into(), repeal.span);
            self.repealed.insert(id, repeal.span);
            self.code.sections.remove(at);
            return;
        }
        for label in &repeal.labels {
            self.repeal_clause(index, at, label, &id);
        }
        for label in &repeal.exceptions {
            self.repeal_exception(index, at, label, &id);
        }
        self.code.sections[at].amended_by.push(pack.name().to_string());
    }

    fn repeal_clause(&mut self, index: usize, at: usize, label: &Text, id: &str) {
        let plain = label.text.trim_matches(['(', ')']).to_string();
        let reading = &mut self.code.sections[at];
        let place = reading.section.clauses.norms.iter().enumerate().position(|(at, norm)| label_of(norm.label.as_ref(), at) == plain);
        let Some(place) = place else {
            self.slips.push(Slip::at(label.span, "repeals-nothing", format!("`{id}` has no clause ({plain})")).label("here"));
            return;
        };
        // The letters of the other clauses stay as the code prints them.
        for (at, norm) in reading.section.clauses.norms.iter_mut().enumerate() {
            let label = label_of(norm.label.as_ref(), at);
            norm.label.get_or_insert_with(|| Text { text: format!("({label})"), span: norm.span });
        }
        reading.section.clauses.norms.remove(place);
        reading.norm_packs.remove(place);
        reading.stale.remove(place);
        self.note(format!("{id} ({plain})"), index, "repeal".into(), label.span);
    }

    fn repeal_exception(&mut self, index: usize, at: usize, label: &Text, id: &str) {
        let plain = label.text.trim_matches(['(', ')']).to_string();
        let excepts = &mut self.code.sections[at].section.clauses.excepts;
        let Some(place) = excepts.iter().enumerate().position(|(at, except)| except_label(except, at) == plain) else {
            self.slips.push(Slip::at(label.span, "repeals-nothing", format!("`{id}` has no exception ({plain})")).label("here"));
            return;
        };
        excepts.remove(place);
        self.note(format!("{id} except ({plain})"), index, "repeal".into(), label.span);
    }

    /// A repeal under a minimum takes out what must stay as a floor.
    fn check_floor(&mut self, index: usize, repeal: &Repeal, id: &str) {
        let bound: Vec<usize> = std::iter::once(index).chain(self.below[index].iter().copied()).collect();
        for at in bound {
            let pack = Arc::clone(&self.code.packs[at]);
            for adopts in pack.header.adopts.iter().filter(|adopts| adopts.as_minimum) {
                let floor = self.code.packs.iter().position(|other| other.name() == adopts.name.text);
                let covers = floor.is_some_and(|floor| self.code.packs[floor].name() == repeal.target.pack || self.covers(floor, &repeal.target.pack));
                if covers {
                    let slip = Slip::at(repeal.span, "repeals-minimum", format!("`{id}` is part of a minimum and cannot be repealed")).label("repealed here");
                    self.slips.push(slip.other(adopts.name.span, "adopted as minimum here").hint("amend it to be stricter, or adopt the pack without `as minimum`"));
                    return;
                }
            }
        }
    }

    fn covers(&self, floor: usize, pack: &str) -> bool {
        self.below[floor].iter().any(|at| self.code.packs[*at].name() == pack)
    }

    /// The text of a span, with blanks folded, to tell whether two changes say the same.
    fn says(&self, span: Span) -> String {
        self.texts.get(span.file).map(|source| normalised(source.slice(span.range()))).unwrap_or_default()
    }

    /// Two packs, neither adopting the other, that change one unit differently.
    fn check_conflicts(&mut self, root: usize) {
        let mut found = Vec::new();
        for (unit, changes) in &self.changes {
            let whole = format!("{} (whole)", unit.split(' ').next().unwrap_or(unit));
            let repeals = if *unit == whole { &[][..] } else { self.changes.get(&whole).map_or(&[][..], Vec::as_slice) };
            let all: Vec<&Change> = changes.iter().chain(repeals).collect();
            for (at, second) in all.iter().enumerate() {
                let Some(first) = all[..at].iter().find(|first| self.disagree(first, second)) else { continue };
                let settles = |last: &&Change| self.below[last.pack].contains(&first.pack) && self.below[last.pack].contains(&second.pack);
                if all.iter().any(|last| settles(last)) {
                    continue;
                }
                let names = (self.code.packs[first.pack].name(), self.code.packs[second.pack].name(), self.code.packs[root].name());
                let message = format!("packs `{}` and `{}` change {unit} differently, and `{}` adopts both", names.0, names.1, names.2);
                let slip = Slip::at(second.span, "conflicting-amendments", message).label(format!("as {} has it", names.1));
                let slip = slip.other(first.span, format!("as {} has it", names.0));
                found.push(slip.hint(format!("amend or repeal it in `{}`, which settles it", names.2)));
            }
        }
        self.slips.extend(found);
    }

    fn disagree(&self, first: &Change, second: &Change) -> bool {
        let strangers = first.pack != second.pack && !self.below[second.pack].contains(&first.pack) && !self.below[first.pack].contains(&second.pack);
        strangers && first.says != second.says
    }
}

/// The letter of a clause: its own, or by its position.
pub fn label_of(label: Option<&Text>, position: usize) -> String {
    match label {
        Some(label) => label.text.trim_matches(['(', ')']).to_string(),
        None => char::from(b'a'.saturating_add(u8::try_from(position).unwrap_or(25))).to_string(),
    }
}

/// The number of an exception: its own, or by its position.
pub fn except_label(except: &Except, position: usize) -> String {
    except.label.as_ref().map_or_else(|| (position + 1).to_string(), |label| label.text.trim_matches(['(', ')']).to_string())
}
