//! Adopting and amending: from one pack and those it builds on to the code as it reads, before names are checked. It must
//! not know kinds or dimensions.

use super::library::Library;
use super::pack::Pack;
use super::tree::{Definition, Except, Formula, Section, SourceItem, Table, Target, Text, Values};
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
    /// The named values that the last amendment wrote.
    pub own_lets: Vec<String>,
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
pub(super) struct Change {
    pub(super) pack: usize,
    pub(super) says: String,
    pub(super) span: Span,
}

pub(super) struct Adopter<'a> {
    pub(super) code: Adopted,
    /// For each pack by position, the positions of all packs that it builds on.
    pub(super) below: Vec<BTreeSet<usize>>,
    /// Changes by unit, such as `us-gates/x (a)`.
    pub(super) changes: BTreeMap<String, Vec<Change>>,
    /// Sections repealed so far, with the place of the repeal.
    pub(super) repealed: BTreeMap<String, Span>,
    /// The text of every pack file, to tell whether two changes say the same.
    pub(super) texts: Sources,
    pub(super) slips: &'a mut Vec<Slip>,
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
            adopter.both(pack, repeal);
            adopter.repeal(index, pack, repeal);
        }
    }
    adopter.check_conflicts(packs.len() - 1);
    let minimums: BTreeSet<String> =
        packs.iter().flat_map(|pack| &pack.header.adopts).filter(|a| a.as_minimum).map(|a| a.name.text.clone()).collect();
    adopter.code.minimums = minimums.into_iter().collect();
    Some(adopter.code)
}

/// Depth first, so that what is adopted stands before who adopts it.
fn collect(
    library: &mut Library,
    name: &str,
    asked: Option<Span>,
    path: &mut Vec<String>,
    packs: &mut Vec<Arc<Pack>>,
    slips: &mut Vec<Slip>,
) -> Option<()> {
    if let Some(at) = path.iter().position(|known| known == name) {
        let mut circle: Vec<&str> = path[at..].iter().map(String::as_str).collect();
        circle.push(name);
        let message = format!("packs that adopt each other in a circle: {}", circle.join(" → "));
        slips.push(asked.map_or_else(
            || Slip::of_file("circle", message.clone()),
            |span| Slip::at(span, "circle", message.clone()).label("this adoption closes it"),
        ));
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
        slips.push(
            Slip::at(pack.span(), "pack-name", message)
                .label("the name in its header")
                .hint("give the file or folder the name that the header has"),
        );
    }
    // A chain of adoptions is walked one inside the other, so its length is bounded before it is walked.
    if path.len() >= MOST_PACKS {
        slips.push(Slip::at(pack.span(), "too-many-packs", format!("more than {MOST_PACKS} packs in one code")));
        return None;
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
                own_lets: Vec::new(),
                stale: vec![None; section.clauses.norms.len()],
            });
        }
        macro_rules! take {
            ($list:ident, $what:literal, $wrap:expr, $name:expr) => {
                let mut known: BTreeMap<String, Span> =
                    self.code.$list.iter().map($name).map(|name| (name.text.clone(), name.span)).collect();
                for item in &pack.$list {
                    match known.get(&item.name.text).copied() {
                        Some(first) => self.doubled($what, &item.name, first),
                        None => {
                            known.insert(item.name.text.clone(), item.name.span);
                            self.code.$list.push($wrap(item.clone()));
                        }
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

    pub(super) fn doubled(&mut self, what: &str, name: &Text, first: Span) {
        let slip =
            Slip::at(name.span, "doubled-name", format!("a second {what} `{}`", name.text)).label("this one").other(first, "the first");
        self.slips.push(slip.hint("one name has one meaning in a code; rename one of them"));
    }

    /// Whether the target is something that pack `index` builds on.
    pub(super) fn reachable(&mut self, index: usize, pack: &Pack, target: &Target) -> bool {
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

    pub(super) fn note(&mut self, unit: String, pack: usize, says: String, span: Span) {
        let changes = self.changes.entry(unit.clone()).or_default();
        // What one pack says twice would be settled by the order of its lines alone.
        if let Some(first) = changes.iter().find(|change| change.pack == pack) {
            let slip = Slip::at(span, "doubled-amendment", format!("`{unit}` is changed twice by one pack"))
                .label("again")
                .other(first.span, "first");
            self.slips.push(slip.hint("keep one of the two"));
        }
        changes.push(Change { pack, says, span });
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
                if all.iter().any(settles) {
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
        let strangers =
            first.pack != second.pack && !self.below[second.pack].contains(&first.pack) && !self.below[first.pack].contains(&second.pack);
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
