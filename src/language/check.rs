//! Checks the codes of a job and makes the program: vocabulary, tables, formulas, sections, floors. It owns the order of
//! the checks; it must not know jobs.

use super::adopt::{Adopted, adopt};
use super::fold::{Texts, fold, rests_on};
use super::grammar::UNREAD;
use super::library::Library;
use super::program::{Citation, Code, Definition, Derivation, Formula, Key, PackInfo, Program, Section, SourceInfo, Table};
use super::read_facts::mark_read;
use super::scope::Scope;
use super::tree::{Cite, Text};
use crate::datum::{DefId, Kind, ListId, Lists};
use crate::slip::{Slip, suggest};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A code that a job asks for, and where it says so.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Wanted {
    /// The name of the pack.
    pub name: String,
    /// Where the job names it.
    pub span: Option<Span>,
}

/// What checking has gathered so far.
pub struct Checker<'a> {
    /// Words and word lists.
    pub lists: Lists,
    /// Kinds of record.
    pub definitions: Vec<Definition>,
    /// Sources.
    pub sources: Vec<SourceInfo>,
    /// Tables of all codes.
    pub tables: Vec<Table>,
    /// Formulas of all codes.
    pub formulas: Vec<Formula>,
    /// Where the formulas of the code at hand begin; those before belong to other codes.
    pub first_formula: usize,
    /// Nesting of walks and cost of each formula.
    pub formula_costs: Vec<(usize, usize)>,
    /// Facts that follow from others.
    pub derivations: Vec<Derivation>,
    /// Sections of all codes.
    pub sections: Vec<Section>,
    /// Names of the code being checked.
    pub names: Names,
    /// Word lists by name.
    pub list_names: BTreeMap<String, ListId>,
    /// Slips so far.
    pub slips: &'a mut Vec<Slip>,
    /// The text of the packs.
    pub texts: crate::source::Sources,
    /// What was read between the braces of remedies, by its text; nothing where it cannot be read.
    pub braces: BTreeMap<String, Option<super::tree::Expr>>,
}

/// Names of one code.
#[derive(Default)]
pub struct Names {
    /// Tables by name.
    pub tables: BTreeMap<String, usize>,
    /// Formulas by name.
    pub formulas: BTreeMap<String, usize>,
    /// Names of items that have slips of their own: who uses them is not told again.
    pub spoiled: BTreeSet<String>,
    /// Ids of its sections.
    pub sections: BTreeSet<String>,
    /// What has been named somewhere: `source x`, `table y`.
    pub used: BTreeSet<String>,
}

/// Makes the program for the codes that a job asks for. Slips are told in any case; without a program, they say why.
pub fn compile(library: &mut Library, wanted: &[Wanted]) -> (Option<Program>, Vec<Slip>) {
    let mut slips = Vec::new();
    let mut roots = Vec::new();
    for code in wanted {
        match adopt(library, &code.name, &mut slips) {
            Some(adopted) => roots.push(adopted),
            None if slips.is_empty() => slips.push(not_found(library, code)),
            None => {}
        }
    }
    let mut floors: Vec<Vec<Adopted>> = Vec::new();
    for root in &roots {
        // Slips of a floor are slips of packs that the root builds on, so they have been told.
        floors.push(root.minimums.iter().filter_map(|name| adopt(library, name, &mut Vec::new())).collect());
    }
    // A pack of which a part cannot be read must not judge, nor another text of its name in its place.
    slips.extend(library.slips.iter().filter(|slip| !slip.harmless).cloned());
    if roots.len() < wanted.len() || roots.is_empty() {
        return (None, tidy(slips));
    }
    let program = check(library, &roots, &floors, &mut slips);
    if is_lacking(&slips) {
        slips.retain(|slip| !OF_NAMES.contains(&slip.name));
    } else if slips.iter().any(|slip| slip.name == "no-vocabulary") {
        // Without a vocabulary every name is unknown, which need not be told of each.
        slips.retain(|slip| !OF_NAMES.contains(&slip.name) || slip.name == "no-vocabulary");
    }
    let mut slips = tidy(slips);
    if slips.iter().any(|slip| !slip.harmless) {
        return (None, slips);
    }
    let mut program = program;
    program.notices.append(&mut slips);
    program.notices.extend(library.slips.iter().cloned());
    (Some(program), Vec::new())
}

/// Slips that say that a name is not known.
const OF_NAMES: [&str; 6] = ["unknown-word", "unknown-fact", "unknown-source", "unknown-section", "amends-nothing", "no-vocabulary"];

/// Whether a pack is missing or was not read. It may hold any name, so none can be called unknown.
fn is_lacking(slips: &[Slip]) -> bool {
    slips.iter().any(|slip| UNREAD.contains(&slip.name) || ["circle", "unknown-pack", "missing-header"].contains(&slip.name))
}

fn not_found(library: &Library, code: &Wanted) -> Slip {
    let message = format!("no pack `{}` is found", code.name);
    let hint = library.not_found_hint(&code.name);
    let slip = code.span.map_or_else(
        || Slip::of_file("unknown-pack", message.clone()),
        |span| Slip::at(span, "unknown-pack", message.clone()).label("named here"),
    );
    slip.hint(hint)
}

/// In the order of files and places, each told once.
fn tidy(mut slips: Vec<Slip>) -> Vec<Slip> {
    slips.sort_by(|a, b| (a.span, a.name, &a.message).cmp(&(b.span, b.name, &b.message)));
    slips.dedup();
    slips
}

fn check(library: &Library, roots: &[Adopted], floors: &[Vec<Adopted>], slips: &mut Vec<Slip>) -> Program {
    let mut checker = Checker {
        lists: Lists::default(),
        definitions: Vec::new(),
        sources: Vec::new(),
        tables: Vec::new(),
        formulas: Vec::new(),
        first_formula: 0,
        formula_costs: Vec::new(),
        derivations: Vec::new(),
        sections: Vec::new(),
        names: Names::default(),
        list_names: BTreeMap::new(),
        slips,
        texts: library.sources.clone(),
        braces: BTreeMap::new(),
    };
    let all: Vec<&Adopted> = roots.iter().chain(floors.iter().flatten()).collect();
    checker.vocabulary(&all);
    let mut codes = Vec::new();
    for (root, adopted) in roots.iter().enumerate() {
        checker.begin(adopted);
        let first = checker.sections.len();
        checker.code_sections(adopted, root);
        let force = checker.pack_force(adopted);
        checker.unused(adopted);
        for floor in &floors[root] {
            checker.floor(floor, root, first);
        }
        let packs = adopted.packs.iter().map(|pack| pack.name().to_string()).collect();
        let name = adopted.packs.last().map_or_else(String::new, |pack| pack.name().to_string());
        codes.push(Code { name, force, packs });
    }
    checker.sections = fold(std::mem::take(&mut checker.sections));
    checker.compliance_circles();
    checker.complies_with_advice();
    let packs = pack_infos(&all);
    let Checker { lists, definitions, sources, tables, formulas, derivations, sections, texts, .. } = checker;
    let index = index_of(&definitions);
    let mut program = Program {
        codes,
        packs,
        lists,
        definitions,
        index,
        sources,
        tables,
        formulas,
        derivations,
        sections,
        notices: Vec::new(),
        files: texts,
    };
    mark_read(&mut program);
    program
}

/// What the keys of each kind of record name. Gathered kinds have no key of their own in a job file.
fn index_of(definitions: &[Definition]) -> Vec<HashMap<String, Key>> {
    let keys = |definition: &Definition| {
        let fields = definition.fields.iter().enumerate().map(|(at, field)| (field.name.clone(), Key::Field(at)));
        let named =
            |child: &DefId| definitions.get(child.0 as usize).filter(|child| child.gathers.is_empty()).map(|child| child.key.clone());
        let children = definition.children.iter().enumerate().filter_map(|(at, child)| Some((named(child)?, Key::Child(at))));
        fields.chain(children).collect()
    };
    definitions.iter().map(keys).collect()
}

fn pack_infos(all: &[&Adopted]) -> Vec<PackInfo> {
    let mut infos: Vec<PackInfo> = Vec::new();
    for pack in all.iter().flat_map(|adopted| &adopted.packs) {
        if infos.iter().any(|info| info.name == pack.name()) {
            continue;
        }
        let text = |text: &Option<Text>| text.as_ref().map_or_else(String::new, |text| text.text.clone());
        infos.push(PackInfo {
            name: pack.name().to_string(),
            title: text(&pack.header.title),
            edition: text(&pack.header.edition),
            authority: text(&pack.header.authority),
            reviewed: pack.header.reviewed.as_ref().map(|text| text.text.clone()),
            place: pack.place.clone(),
            hash: pack.hash.clone(),
            digest: pack.digest.clone(),
        });
    }
    infos
}

impl<'a> Checker<'a> {
    /// A checker that knows what a finished program knows, for an expression that a job states.
    pub fn of_program(program: &Program, slips: &'a mut Vec<Slip>) -> Checker<'a> {
        let names = Names {
            tables: program.tables.iter().enumerate().map(|(at, table)| (table.name.clone(), at)).collect(),
            formulas: program.formulas.iter().enumerate().map(|(at, formula)| (formula.name.clone(), at)).collect(),
            sections: program.sections.iter().map(|section| section.id.clone()).collect(),
            used: BTreeSet::new(),
            spoiled: BTreeSet::new(),
        };
        Checker {
            lists: program.lists.clone(),
            definitions: program.definitions.clone(),
            sources: program.sources.clone(),
            tables: program.tables.clone(),
            formulas: program.formulas.clone(),
            first_formula: 0,
            formula_costs: vec![(3, 0); program.formulas.len()],
            derivations: Vec::new(),
            sections: Vec::new(),
            names,
            list_names: BTreeMap::new(),
            slips,
            texts: program.files.clone(),
            braces: BTreeMap::new(),
        }
    }
}

impl Checker<'_> {
    /// Tells a slip.
    pub fn slip(&mut self, slip: Slip) {
        self.slips.push(slip);
    }

    /// Tables and formulas of a code, before its sections.
    fn begin(&mut self, adopted: &Adopted) {
        self.names = Names::default();
        self.first_formula = self.formulas.len();
        self.names.sections = adopted.sections.iter().map(|reading| format!("{}/{}", reading.pack, reading.section.name.text)).collect();
        self.names.spoiled = adopted.tables.iter().map(|(_, table)| table.name.text.clone()).collect();
        self.names.spoiled.extend(adopted.formulas.iter().map(|(_, formula)| formula.name.text.clone()));
        self.names.spoiled.extend(adopted.packs.iter().flat_map(|pack| &pack.unread).cloned());
        for (_, table) in &adopted.tables {
            if let Some(checked) = self.table(table) {
                let at = self.tables.iter().position(|known| known.span == checked.span && same_rows(known, &checked));
                let at = at.unwrap_or_else(|| {
                    self.tables.push(checked);
                    self.tables.len() - 1
                });
                self.names.tables.insert(table.name.text.clone(), at);
            }
        }
        self.all_formulas(adopted);
    }

    fn code_sections(&mut self, adopted: &Adopted, root: usize) {
        let mut sections: Vec<Section> = adopted.sections.iter().filter_map(|reading| self.section(reading, root)).collect();
        self.sections.append(&mut sections);
    }

    /// Checks a minimum and keeps each of its sections that reads differently under the root.
    fn floor(&mut self, adopted: &Adopted, root: usize, first: usize) {
        let pack = adopted.packs.last().map_or_else(String::new, |pack| pack.name().to_string());
        let before = self.slips.len();
        self.begin(adopted);
        let sections: Vec<Section> = adopted.sections.iter().filter_map(|reading| self.section(reading, root)).collect();
        let amended = self.sections[first..].iter().filter(|section| section.floor_pack.is_none());
        let (own, amended) = (Texts::of(&sections), Texts::of(amended));
        let differs: Vec<bool> = sections.iter().map(|section| !own.same(&section.id, &amended)).collect();
        for (mut section, differs) in sections.into_iter().zip(differs) {
            if !differs {
                let own = self.sections[first..].iter_mut().filter(|own| own.id == section.id && own.floor_pack.is_none());
                own.for_each(|own| own.minimum = Some(pack.clone()));
                continue;
            }
            let above = |other: &Section| other.id == section.id && other.floor_pack.is_none();
            // One that was repealed on some other way has no section above it: as a minimum it stands by itself.
            let above = self.sections[first..].iter().position(above).map(|at| at + first);
            (section.floor_of, section.floor_pack) = (above, Some(pack.clone()));
            self.sections.push(section);
        }
        // The floor's own packs have been checked as parts of the root; what is told twice would only confuse.
        self.slips.truncate(before);
    }

    /// A citation, with its source looked up.
    pub fn citation(&mut self, cite: &Cite) -> Option<Citation> {
        self.names.used.insert(format!("source {}", cite.source.text));
        let Some(source) = self.sources.iter().position(|source| source.name == cite.source.text) else {
            if self.names.spoiled.contains(&cite.source.text) {
                return None;
            }
            let hint = suggest(&cite.source.text, self.sources.iter().map(|source| source.name.as_str()));
            self.slip(
                Slip::at(cite.source.span, "unknown-source", format!("no source `{}`", cite.source.text))
                    .label("cited here")
                    .hint_maybe(hint),
            );
            return None;
        };
        let clause = cite.clause.as_ref().map_or_else(String::new, |clause| clause.text.clone());
        Some(Citation { source, clause, from_memory: cite.from_memory, span: cite.span })
    }

    fn pack_force(&mut self, adopted: &Adopted) -> Option<super::program::Force> {
        let force = adopted.packs.last()?.header.force.clone()?;
        self.force(&force, &mut Scope::default())
    }

    /// Names that the root pack itself defines and nothing names.
    fn unused(&mut self, adopted: &Adopted) {
        let Some(root) = adopted.packs.last() else { return };
        let mut found = Vec::new();
        let mut tell = |what: &str, name: &Text, used: bool| {
            if !used {
                found.push(
                    Slip::at(name.span, "idle-name", format!("{what} `{}` is never used", name.text))
                        .label("defined here")
                        .hint("use it, or take it out")
                        .harmless(),
                );
            }
        };
        for source in &root.sources {
            tell("source", &source.name, self.names.used.contains(&format!("source {}", source.name.text)));
        }
        for table in &root.tables {
            tell("table", &table.name, self.names.used.contains(&format!("table {}", table.name.text)));
        }
        for formula in &root.formulas {
            tell("formula", &formula.name, self.names.used.contains(&format!("formula {}", formula.name.text)));
        }
        self.slips.extend(found);
    }

    /// `complies with` must not go in a circle.
    fn compliance_circles(&mut self) {
        let mut calls: BTreeMap<String, Vec<(String, Span)>> = BTreeMap::new();
        for section in &self.sections {
            calls.entry(section.id.clone()).or_default().extend(rests_on(section).into_iter().map(|(id, span)| (id.to_string(), span)));
        }
        let mut done = BTreeSet::new();
        for start in calls.keys() {
            let mut path = Vec::new();
            if let Some(span) = circle(&calls, start, &mut path, &mut done) {
                let message = if path.len() > DEEPEST_REST {
                    format!("sections that rest on each other more than {DEEPEST_REST} deep")
                } else {
                    format!("sections that rest on each other in a circle: {}", path.join(" → "))
                };
                let name = if path.len() > DEEPEST_REST { "too-deep" } else { "circle" };
                self.slips.push(Slip::at(span, name, message).label("this part closes it"));
                return;
            }
        }
    }

    /// A kind in words.
    pub fn kind_text(&self, kind: &Kind) -> String {
        match kind {
            Kind::Thing(def) => {
                let name = &self.definitions[def.0 as usize].name;
                format!("{} {name}", crate::datum::article(name))
            }
            kind => kind.describe(&self.lists),
        }
    }
}

/// Deepest chain of sections that rest on each other.
const DEEPEST_REST: usize = 2000;

/// The place that closes a circle below a section, and the way round it; sections in `done` have been found to have none.
fn circle<'c>(
    calls: &'c BTreeMap<String, Vec<(String, Span)>>,
    at: &'c str,
    path: &mut Vec<&'c str>,
    done: &mut BTreeSet<&'c str>,
) -> Option<Span> {
    path.push(at);
    for (next, span) in calls.get(at).into_iter().flatten() {
        if let Some(start) = path.iter().position(|known| known == next) {
            path.drain(..start);
            path.push(next);
            return Some(*span);
        }
        if path.len() > DEEPEST_REST {
            return Some(*span);
        }
        if !done.contains(next.as_str())
            && let Some(span) = circle(calls, next, path, done)
        {
            return Some(span);
        }
    }
    path.pop();
    done.insert(at);
    None
}

fn same_rows(one: &Table, other: &Table) -> bool {
    one.rows.len() == other.rows.len() && one.rows.iter().zip(&other.rows).all(|(a, b)| a.span == b.span)
}
