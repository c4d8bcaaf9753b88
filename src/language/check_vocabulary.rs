//! Checks word lists, definitions and sources of all codes of a job and joins them to one vocabulary. It must not know
//! sections.

use super::adopt::Adopted;
use super::check::Checker;
use super::program::{Definition, Field, SourceInfo, TakenAs};
use super::tree::{self, Found, Path, Text};
use crate::datum::{Datum, DefId, Kind, WordList};
use crate::quantity::{Days, Dimension, Interval, Wire, read, unit::UnitKind};
use crate::slip::{Slip, suggest};
use std::collections::BTreeMap;

/// Words that the language uses itself, so nothing may be named so.
pub const RESERVED: &[&str] = &[
    "and",
    "or",
    "not",
    "is",
    "at",
    "less",
    "more",
    "within",
    "includes",
    "then",
    "else",
    "if",
    "to",
    "among",
    "where",
    "has",
    "for",
    "as",
    "unless",
    "complies",
    "applies",
    "let",
    "shall",
    "should",
    "except",
    "remedy",
    "cite",
    "because",
    "from",
    "taken",
    "measured",
    "each",
    "every",
    "no",
    "add",
    "none",
    "any",
    "all",
    "given",
    "one",
    "id",
    "gathering",
    "limit",
    "value",
];

impl Checker<'_> {
    /// Joins the vocabularies of all codes; a name with two meanings is a slip.
    pub fn vocabulary(&mut self, all: &[&Adopted]) {
        self.sources_of(all);
        for values in all.iter().flat_map(|adopted| &adopted.values) {
            self.values(values);
        }
        let mut merged: Vec<tree::Definition> = Vec::new();
        for definition in all.iter().flat_map(|adopted| &adopted.definitions) {
            match merged.iter_mut().find(|known| known.name.text == definition.name.text) {
                None => merged.push(definition.clone()),
                Some(known) if known.name.span == definition.name.span => {
                    for field in &definition.fields {
                        if !known.fields.iter().any(|other| other.name.span == field.name.span) {
                            known.fields.push(field.clone());
                        }
                    }
                }
                Some(known) => {
                    let slip =
                        Slip::at(definition.name.span, "doubled-name", format!("two codes of the job define `{}`", definition.name.text))
                            .label("one of them");
                    self.slips.push(slip.other(known.name.span, "the other"));
                }
            }
        }
        merged.sort_by_key(|definition| definition.name.text != "job");
        if merged.first().is_none_or(|first| first.name.text != "job") {
            let header = all.last().and_then(|adopted| adopted.packs.last()).map(|pack| pack.header.name.span);
            let message = "the pack and what it adopts define no `job`, and so no word for anything that a job states";
            let slip = header.map_or_else(
                || Slip::of_file("no-vocabulary", message),
                |span| Slip::at(span, "no-vocabulary", message).label("in the header of this pack"),
            );
            self.slip(slip.hint("add a line `adopts     terms` to the header, or adopt a pack that adopts it"));
            return;
        }
        self.definitions_of(&merged);
        self.derivations_of(&merged);
    }

    fn sources_of(&mut self, all: &[&Adopted]) {
        let mut places = BTreeMap::new();
        for source in all.iter().flat_map(|adopted| &adopted.sources) {
            match places.get(&source.name.text) {
                None => {
                    places.insert(source.name.text.clone(), source.name.span);
                    self.sources.push(SourceInfo {
                        name: source.name.text.clone(),
                        title: source.title.text.clone(),
                        standing: source.standing,
                    });
                }
                Some(first) if *first != source.name.span => {
                    let slip =
                        Slip::at(source.name.span, "doubled-name", format!("two codes of the job define source `{}`", source.name.text))
                            .label("one of them");
                    self.slips.push(slip.other(*first, "the other"));
                }
                Some(_) => {}
            }
        }
    }

    fn values(&mut self, values: &tree::Values) {
        let words: Vec<_> = values.words.iter().map(|word| self.lists.word(&word.text)).collect();
        if let Some(known) = self.list_names.get(&values.name.text).copied() {
            for word in words {
                let list = self.lists.list_mut(known);
                if !list.words.contains(&word) {
                    list.words.push(word);
                }
            }
            return;
        }
        self.reserved(&values.name);
        for (at, word) in values.words.iter().enumerate() {
            if let Some(first) = values.words[..at].iter().find(|other| other.text == word.text) {
                self.slips.push(
                    Slip::at(word.span, "doubled-name", format!("`{}` stands twice in the list", word.text))
                        .label("again")
                        .other(first.span, "the first"),
                );
            }
            self.reserved_key(word);
        }
        let list = self.lists.add(WordList { name: Some(values.name.text.clone()), words, ordered: values.ordered });
        self.list_names.insert(values.name.text.clone(), list);
    }

    /// Tells a name that the language uses itself.
    pub fn reserved(&mut self, name: &Text) {
        if RESERVED.contains(&name.text.as_str()) {
            self.slips.push(
                Slip::at(name.span, "reserved-word", format!("`{}` is a word of the language", name.text))
                    .label("here")
                    .hint("choose another name"),
            );
        }
    }

    /// Tells a key of a record or a word of a list that would be read as something else.
    fn reserved_key(&mut self, name: &Text) {
        if matches!(name.text.as_str(), "id" | "none" | "any" | "yes" | "no" | "value" | "as-found") {
            self.slips.push(
                Slip::at(name.span, "reserved-word", format!("`{}` already means something in job files", name.text))
                    .label("here")
                    .hint("choose another name"),
            );
        }
    }

    fn definitions_of(&mut self, merged: &[tree::Definition]) {
        let mut numbers = BTreeMap::new();
        for (at, definition) in merged.iter().enumerate() {
            self.reserved(&definition.name);
            numbers.insert(definition.name.text.as_str(), DefId(u32::try_from(at).unwrap_or(u32::MAX)));
            self.definitions.push(Definition {
                name: definition.name.text.clone(),
                doc: definition.doc.as_ref().map_or_else(String::new, |doc| doc.text.clone()),
                parent: None,
                key: String::new(),
                single: false,
                fields: Vec::new(),
                children: Vec::new(),
                gathers: Vec::new(),
                span: definition.name.span,
            });
        }
        for (at, definition) in merged.iter().enumerate() {
            let fields = definition.fields.iter().filter_map(|field| self.field(field)).collect::<Vec<_>>();
            self.unique_fields(&definition.fields);
            self.definitions[at].fields = fields;
            self.place(at, definition, &numbers);
        }
        self.parent_circles();
        for (at, definition) in merged.iter().enumerate().filter(|(_, definition)| !definition.gathers.is_empty()) {
            self.gather(at, definition);
        }
        self.key_clashes();
    }

    fn unique_fields(&mut self, fields: &[tree::Field]) {
        for (at, field) in fields.iter().enumerate() {
            self.reserved_key(&field.name);
            if let Some(first) = fields[..at].iter().find(|other| other.name.text == field.name.text) {
                let slip = Slip::at(field.name.span, "doubled-name", format!("a second fact `{}`", field.name.text)).label("this one");
                self.slips.push(slip.other(first.name.span, "the first"));
            }
        }
    }

    /// Hangs a definition below the one that its path names.
    fn place(&mut self, at: usize, definition: &tree::Definition, numbers: &BTreeMap<&str, DefId>) {
        let (path, single) = match &definition.found {
            Found::Among(path) => (path, false),
            Found::At(path) => (path, true),
            Found::Nowhere => {
                if definition.name.text != "job" && definition.gathers.is_empty() {
                    let slip = Slip::at(
                        definition.name.span,
                        "no-place",
                        format!("`{}` does not say where its records are found", definition.name.text),
                    )
                    .label("this definition");
                    self.slips.push(slip.hint("add `among gate.things` for a list, or `at gate.thing` for one"));
                }
                return;
            }
        };
        let [parent, key] = path.names.as_slice() else {
            self.slips.push(
                Slip::at(path.span, "no-place", "a place is two words joined by a point")
                    .label("here")
                    .hint("write the record that holds it and the key, as in gate.beams"),
            );
            return;
        };
        let Some(parent_def) = numbers.get(parent.text.as_str()).copied() else {
            let hint = suggest(&parent.text, numbers.keys().copied());
            self.slips
                .push(Slip::at(parent.span, "unknown-word", format!("no definition `{}`", parent.text)).label("here").hint_maybe(hint));
            return;
        };
        self.reserved_key(key);
        let number = DefId(u32::try_from(at).unwrap_or(u32::MAX));
        let this = &mut self.definitions[at];
        (this.parent, this.key, this.single) = (Some(parent_def), key.text.clone(), single);
        self.definitions[parent_def.0 as usize].children.push(number);
    }

    fn parent_circles(&mut self) {
        for at in 0..self.definitions.len() {
            let (mut up, mut steps) = (self.definitions[at].parent, 0);
            while let Some(parent) = up {
                steps += 1;
                if steps > 12 {
                    let span = self.definitions[at].span;
                    self.slip(
                        Slip::at(
                            span,
                            "circle",
                            format!("`{}` is found within itself, or deeper than twelve records", self.definitions[at].name),
                        )
                        .label("this definition"),
                    );
                    self.definitions[at].parent = None;
                    break;
                }
                up = self.definitions[parent.0 as usize].parent;
            }
        }
    }

    /// A gathered kind: the facts that all of its members have alike.
    fn gather(&mut self, at: usize, definition: &tree::Definition) {
        let members: Vec<DefId> = definition.gathers.iter().filter_map(|path| self.member(path)).collect();
        let parents: Vec<Option<DefId>> = members.iter().map(|member| self.definitions[member.0 as usize].parent).collect();
        if let Some(other) = parents.iter().position(|parent| *parent != parents[0]) {
            self.slip(
                Slip::at(definition.gathers[other].span, "no-place", "gathered lists belong to one record")
                    .label("this list belongs to another"),
            );
        }
        if members.is_empty() {
            return;
        }
        let first = &self.definitions[members[0].0 as usize];
        let common: Vec<Field> = first
            .fields
            .iter()
            .filter(|field| {
                members.iter().all(|member| {
                    self.definitions[member.0 as usize].fields.iter().any(|other| other.name == field.name && other.kind == field.kind)
                })
            })
            .cloned()
            .collect();
        let number = DefId(u32::try_from(at).unwrap_or(u32::MAX));
        let parent = parents[0];
        let this = &mut self.definitions[at];
        if this.key.is_empty() {
            this.key = format!("{}s", this.name);
        }
        (this.fields, this.gathers) = (common, members);
        if this.parent.is_none() {
            this.parent = parent;
            if let Some(parent) = parent {
                self.definitions[parent.0 as usize].children.push(number);
            }
        }
    }

    fn member(&mut self, path: &Path) -> Option<DefId> {
        let key = path.names.last()?;
        let found = self.definitions.iter().position(|definition| {
            let parent = definition.parent.map(|parent| self.definitions[parent.0 as usize].name.as_str());
            definition.key == key.text && !definition.single && parent == path.names.first().map(|name| name.text.as_str())
        });
        if found.is_none() {
            let known: Vec<String> =
                self.definitions.iter().filter(|definition| !definition.key.is_empty()).map(|definition| definition.key.clone()).collect();
            let hint = suggest(&key.text, known.iter().map(String::as_str));
            self.slip(Slip::at(path.span, "unknown-word", format!("no list `{}`", key.text)).label("gathered here").hint_maybe(hint));
        }
        found.map(|at| DefId(u32::try_from(at).unwrap_or(u32::MAX)))
    }

    /// A key must not be a fact and a list at once.
    fn key_clashes(&mut self) {
        let mut found = Vec::new();
        for definition in &self.definitions {
            for child in definition.children.iter().map(|child| &self.definitions[child.0 as usize]) {
                let twins = definition
                    .children
                    .iter()
                    .map(|other| &self.definitions[other.0 as usize])
                    .filter(|other| other.key == child.key && other.name < child.name);
                let places = definition
                    .fields
                    .iter()
                    .filter(|field| field.name == child.key)
                    .map(|field| field.span)
                    .chain(twins.map(|twin| twin.span));
                found.extend(places.map(|place| {
                    Slip::at(child.span, "doubled-name", format!("a second `{}` in `{}`", child.key, definition.name))
                        .label("this one")
                        .other(place, "the first")
                }));
            }
        }
        self.slips.extend(found);
    }

    fn field(&mut self, field: &tree::Field) -> Option<Field> {
        let kind = self.kind(&field.kind)?;
        let taken = match &field.taken {
            None => None,
            Some(taken) if taken.text == "none" => Some(TakenAs::Nothing),
            Some(taken) => Some(TakenAs::Value(self.taken(&kind, taken)?)),
        };
        let measurable = matches!(kind, Kind::Measure(_) | Kind::Temperature | Kind::Range(_) | Kind::Point | Kind::Points);
        if (field.measured || field.gives_tolerance) && !measurable {
            let text = self.kind_text(&kind);
            self.slip(
                Slip::at(field.name.span, "not-measurable", format!("{text} is not measured"))
                    .label("this fact")
                    .hint("leave `measured` out"),
            );
        }
        let signable = matches!(kind, Kind::Measure(_) | Kind::Range(_)) && !kind.goes_below_nought();
        if field.signed && !signable {
            let text = self.kind_text(&kind);
            let why = if kind.goes_below_nought() { "may be below nought as it is" } else { "is never below nought" };
            self.slip(
                Slip::at(field.name.span, "not-signable", format!("{text} {why}"))
                    .label("this fact")
                    .hint("leave `signed` out: it stands behind the kind of a measure, as in `offset length signed measured`"),
            );
        }
        let doc = field.doc.as_ref().map_or_else(String::new, |doc| doc.text.clone());
        if doc.is_empty() {
            self.slip(
                Slip::at(field.name.span, "no-how-to-measure", format!("fact `{}` does not say how to measure it", field.name.text))
                    .label("this fact")
                    .hint("add a sentence in quotes at the end of the line"),
            );
        }
        Some(Field {
            name: field.name.text.clone(),
            signed: field.signed || kind.goes_below_nought(),
            names: self.named_kinds(&field.kind),
            kind,
            measured: field.measured,
            gives_tolerance: field.gives_tolerance,
            taken,
            follows: field.follows.is_some(),
            read: false,
            doc,
            span: field.name.span,
        })
    }

    fn taken(&mut self, kind: &Kind, taken: &tree::Taken) -> Option<Datum> {
        let text = taken.text.as_str();
        let number = |dimension: Dimension| {
            read(text).ok().filter(|reading| reading.unit.map_or(Dimension::NONE, |unit| unit.dimension()) == dimension)
        };
        let datum = match kind {
            Kind::YesNo => match text {
                "yes" => Some(Datum::YesNo(true)),
                "no" => Some(Datum::YesNo(false)),
                _ => None,
            },
            Kind::Count => number(Dimension::NONE)
                .filter(|reading| reading.value.is_whole() && reading.unit.is_none())
                .map(|reading| Datum::Number(Interval::point(reading.value), None)),
            Kind::Measure(dimension) => number(*dimension)
                .filter(|r| r.unit.is_none_or(|unit| unit.kind() == UnitKind::Measure))
                .map(|r| Datum::Number(Interval::point(r.value), r.unit)),
            Kind::Temperature => read(text)
                .ok()
                .filter(|r| r.unit.is_some_and(|unit| unit.kind() == UnitKind::Temperature))
                .map(|r| Datum::Number(Interval::point(r.value), r.unit)),
            Kind::Date => Days::read(text).ok().map(Datum::Days),
            Kind::Period => super::build_expr::period(text).map(Datum::Period),
            Kind::Word(list) => self.lists.word_in(*list, text).map(Datum::Word),
            Kind::WordSet(list) => self.lists.word_in(*list, text).map(|word| Datum::WordSet(vec![word])),
            Kind::Wire => Wire::read(text).ok().map(Datum::Wire),
            Kind::Text | Kind::TextList | Kind::Range(_) | Kind::Thing(_) => None,
            Kind::Point | Kind::Points | Kind::Recording(_) => None,
        };
        if datum.is_none() {
            let wanted = self.kind_text(kind);
            self.slip(
                Slip::at(taken.span, "unlike-kinds", format!("`{text}` is not {wanted}"))
                    .label("taken as this")
                    .hint("write a value of the fact's kind, or `none`"),
            );
        }
        datum
    }
}
