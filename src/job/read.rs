//! Reads the located tree of a job file into records of the vocabulary, with every slip on its own line. It must not know
//! what is asked of the records.

use super::codes::no_job;
use super::record::{Children, Fact, Job, Named, Record, RecordId, Stated, ToleranceFrom};
use super::refer::check_references;
use super::scalar::{ScalarSlip, point, read_scalar, with_its_sign, word};
use super::tolerance::apply_tolerances;
use super::yaml::{Node, NodeId, Yaml};
use crate::datum::{Datum, DefId, Kind, Place, WordId};
use crate::language::elsewhere::brought_by;
use crate::language::program::{Field, JOB, Key, Program, TakenAs};
use crate::quantity::{Days, Reading};
use crate::slip::{MOST_SLIPS, Slip, suggest, tell};
use crate::source::{FileId, Span};

/// Most records and values that may be read, aliases counted each time: an alias must not make a small file large.
const MOST_VISITS: usize = 400_000;
/// Longest id, in characters.
const LONGEST_ID: usize = 80;
/// Keys of the long form of a fact.
const LONG_FORM: [&str; 6] = ["value", "as-found", "by", "on", "instrument", "note"];

struct Reader<'a> {
    yaml: &'a Yaml<'a>,
    program: &'a Program,
    job: Job,
    visits: usize,
}

/// Reads a job by the program's vocabulary.
pub fn read_job(yaml: &Yaml, program: &Program) -> Job {
    let job = Job::default();
    let mut reader = Reader { yaml, program, job, visits: 0 };
    if let Some(root) = yaml.root() {
        reader.record(root, JOB, None, None);
    }
    // Whatever the file holds, there is a job to ask, of which nothing is known.
    if reader.job.records.is_empty() {
        if reader.job.slips.is_empty() {
            reader.slip(no_job());
        }
        reader.empty_record(JOB, Span::new(FileId::JOB, 0, 0), None);
    }
    let mut job = reader.job;
    check_references(&mut job, program);
    apply_tolerances(&mut job, program);
    job
}

impl Reader<'_> {
    fn slip(&mut self, slip: Slip) {
        tell(&mut self.job.slips, slip);
    }

    /// Counts one more node read; false when there have been too many.
    fn visit(&mut self, node: NodeId) -> bool {
        self.visits += 1;
        if self.visits == MOST_VISITS {
            let slip = Slip::at(self.yaml.span(node), "too-large", format!("more than {MOST_VISITS} values, aliases counted each time"))
                .label("reading stopped here");
            self.slip(slip.hint("write fewer aliases, or split the job"));
        }
        self.visits < MOST_VISITS
    }

    fn empty_record(&mut self, def: DefId, span: Span, parent: Option<RecordId>) -> RecordId {
        let definition = self.program.definition(def);
        let record = Record {
            def,
            id: None,
            span,
            parent,
            facts: vec![Fact::Absent; definition.fields.len()],
            children: vec![Children::Unknown(None); definition.children.len()],
        };
        self.job.records.push(record);
        RecordId(u32::try_from(self.job.records.len() - 1).unwrap_or(u32::MAX))
    }

    /// Reads one record; `key` is the place of its key, where it has one.
    fn record(&mut self, node: NodeId, def: DefId, parent: Option<RecordId>, key: Option<Span>) -> Option<RecordId> {
        if !self.visit(node) {
            return None;
        }
        let span = key.unwrap_or_else(|| self.yaml.span(node));
        let Node::Map(entries) = self.yaml.node(node) else {
            let name = self.program.definition(def).name.clone();
            let slip =
                Slip::at(self.yaml.span(node), "not-a-record", format!("a value where {} {name} is wanted", crate::datum::article(&name)))
                    .label("here");
            self.slip(slip.hint("write its facts as `key: value` lines below it"));
            return None;
        };
        let head = entries.first().map_or(span, |(first, _)| self.yaml.span(*first));
        let id = self.empty_record(def, key.unwrap_or(Span { end: head.end, ..head }), parent);
        let listed = parent.is_some() && !self.program.definition(def).single;
        for (name, value) in entries {
            self.entry(id, def, *name, *value, listed);
        }
        if listed && self.job.record(id).id.is_none() {
            let name = self.program.definition(def).name.clone();
            let slip = Slip::at(head, "missing-id", format!("{} {name} without an `id`", crate::datum::article(&name))).label("this one");
            self.slip(slip.hint("add `id: …`, a short name that the report can call it by"));
        }
        Some(id)
    }

    fn entry(&mut self, id: RecordId, def: DefId, name: NodeId, value: NodeId, listed: bool) {
        let program = self.program;
        // What comes after the last slip that is told could only be told as well, and is not known.
        if self.job.slips.len() > MOST_SLIPS {
            return;
        }
        let (Some(text), key_span) = (self.yaml.text(name), self.yaml.span(name)) else { return };
        match program.index[def.0 as usize].get(text) {
            Some(Key::Field(field)) => {
                let fact = self.fact(&program.definition(def).fields[*field], value, key_span);
                let fact = self.named_recording(fact, (id, *field), &program.definition(def).fields[*field].kind);
                self.job.records[id.0 as usize].facts[*field] = fact;
            }
            Some(Key::Child(child)) => {
                let children = self.children(id, program.definition(def).children[*child], value, key_span);
                self.job.records[id.0 as usize].children[*child] = children;
            }
            None if text == "id" && listed => self.id(id, value),
            None if text == "as-found" => self.as_found(id, def, value),
            None => self.unknown_key(def, text, key_span, listed),
        }
    }

    fn id(&mut self, id: RecordId, value: NodeId) {
        let span = self.yaml.span(value);
        match self.yaml.text(value).filter(|text| !text.trim().is_empty() && *text != "~") {
            Some(text) if text.chars().count() > LONGEST_ID => {
                let slip = Slip::at(span, "long-id", format!("an `id` of {} characters", text.chars().count())).label("here");
                self.slip(slip.hint(format!("at most {LONGEST_ID}: a short name that the report can call it by")));
            }
            Some(text) => {
                let record = &mut self.job.records[id.0 as usize];
                (record.id, record.span) = (Some(text.to_string()), span);
            }
            None => self.slip(
                Slip::at(span, "missing-id", "an empty `id`").label("here").hint("write a short name that the report can call it by"),
            ),
        }
    }

    fn unknown_key(&mut self, def: DefId, text: &str, span: Span, listed: bool) {
        let definition = self.program.definition(def);
        let children = definition.children.iter().map(|child| self.program.definition(*child)).filter(|child| child.gathers.is_empty());
        let known: Vec<&str> = definition
            .fields
            .iter()
            .map(|field| field.name.as_str())
            .chain(children.map(|child| child.key.as_str()))
            .chain(listed.then_some("id"))
            .collect();
        let elsewhere = self.program.definitions.iter().find(|other| other.field(text).is_some());
        let brought = brought_by(self.program, &definition.name, text);
        let hint = match (suggest(text, known.iter().copied()), elsewhere) {
            _ if brought.is_some() => brought,
            (Some(hint), _) if hint.starts_with("the nearest") => Some(hint),
            (_, Some(other)) => Some(format!("`{text}` is a fact of {} {}", crate::datum::article(&other.name), other.name)),
            (hint, None) => hint,
        };
        let slip =
            Slip::at(span, "unknown-key", format!("{} {} has no `{text}`", crate::datum::article(&definition.name), definition.name))
                .label("this key");
        self.slip(slip.hint_maybe(hint));
    }

    fn children(&mut self, parent: RecordId, def: DefId, value: NodeId, key: Span) -> Children {
        let definition = self.program.definition(def);
        let single = definition.single;
        match self.yaml.node(value) {
            Node::Scalar(text, plain) => {
                let span = self.yaml.span(value);
                match text.as_ref() {
                    "none" => Children::Nothing(span),
                    "~" | "" if *plain => Children::Unknown(Some(key)),
                    _ => {
                        let slip = Slip::at(
                            span,
                            "not-a-record",
                            format!("`{}` is a {}", definition.key, if single { "record" } else { "list of records" }),
                        )
                        .label("a value stands here");
                        self.slip(slip.hint("write its facts below it, `none` where there is none, or leave it empty until it is known"));
                        Children::Unknown(Some(span))
                    }
                }
            }
            Node::Map(_) if single => match self.record(value, def, Some(parent), Some(key)) {
                Some(id) => Children::Given(vec![id], key),
                None => Children::Unknown(Some(key)),
            },
            Node::Map(_) => {
                let slip = Slip::at(key, "not-a-list", format!("`{}` is a list", definition.key)).label("one record stands below it");
                self.slip(slip.hint("start each record with `- id: …`"));
                Children::Unknown(Some(key))
            }
            Node::List(_) if single => {
                let slip =
                    Slip::at(key, "not-a-record", format!("there is one `{}`, not a list", definition.key)).label("a list stands below it");
                self.slip(slip.hint("take the dash out"));
                Children::Unknown(Some(key))
            }
            Node::List(items) if items.is_empty() => {
                let slip = Slip::at(self.yaml.span(value), "empty-list", format!("an empty list of `{}`", definition.key)).label("here");
                self.slip(slip.hint("write `none` where there is none; leave the key out while it is not known"));
                Children::Unknown(Some(key))
            }
            Node::List(items) => {
                let records: Vec<RecordId> = items.iter().filter_map(|item| self.record(*item, def, Some(parent), None)).collect();
                self.unique_ids(&records);
                Children::Given(records, key)
            }
            Node::Alias(_) => Children::Unknown(Some(key)),
        }
    }

    fn unique_ids(&mut self, records: &[RecordId]) {
        let mut seen = std::collections::HashMap::new();
        let mut found = Vec::new();
        for record in records.iter().map(|id| self.job.record(*id)) {
            let Some(id) = &record.id else { continue };
            if let Some(first) = seen.insert(id.as_str(), record.span) {
                found.push(
                    Slip::at(record.span, "doubled-id", format!("a second `{id}` in one list"))
                        .label("this one")
                        .other(first, "the first")
                        .hint("give each its own id"),
                );
            }
        }
        found.into_iter().for_each(|slip| self.slip(slip));
    }

    /// One fact: a value, `none`, nothing yet, or the long form with who, when and what was found.
    fn fact(&mut self, field: &Field, value: NodeId, key: Span) -> Fact {
        if !self.visit(value) {
            return Fact::Spoiled(key);
        }
        let span = self.yaml.span(value);
        match self.yaml.node(value) {
            Node::Scalar(text, true) if matches!(text.as_ref(), "~" | "") => Fact::Blank(key),
            Node::Scalar(text, plain) if text == "none" && *plain => self.none(field, span),
            Node::Map(_) if self.yaml.get(value, "value").is_some() => self.long_form(field, value, key),
            _ => match self.datum(field, value) {
                Some((datum, reading, tolerance)) => {
                    let (as_read, digit) = (reading.as_ref().map(|reading| reading.value), reading.as_ref().and_then(Reading::digit));
                    let stated = Stated { as_read, digit, tolerance, key, ..Stated::plain(datum, span) };
                    Fact::Stated(Box::new(stated))
                }
                None => Fact::Spoiled(span),
            },
        }
    }

    fn none(&mut self, field: &Field, span: Span) -> Fact {
        match (&field.kind, &field.taken) {
            (_, Some(TakenAs::Nothing)) => Fact::Nothing(span),
            (Kind::WordSet(_), _) => Fact::Stated(Box::new(Stated::plain(Datum::WordSet(Vec::new()), span))),
            (Kind::TextList, _) => Fact::Stated(Box::new(Stated::plain(Datum::TextList(Vec::new()), span))),
            _ => {
                let slip = Slip::at(span, "none-not-allowed", format!("`{}` cannot be none", field.name)).label("here");
                self.slip(slip.hint(format!("{}; leave it empty until it is known", field.doc)));
                Fact::Spoiled(span)
            }
        }
    }

    /// A recording is named here and read by whoever knows the folder; until then it is not known.
    fn named_recording(&mut self, fact: Fact, (record, field): (RecordId, usize), kind: &Kind) -> Fact {
        match (fact, kind) {
            (Fact::Stated(stated), Kind::Recording(_)) => {
                if let Datum::Text(file) = stated.datum {
                    self.job.recordings.push(Named { record, field, file, span: stated.span, key: stated.key });
                }
                Fact::Blank(stated.key)
            }
            (fact, _) => fact,
        }
    }

    fn long_form(&mut self, field: &Field, map: NodeId, key: Span) -> Fact {
        let Node::Map(entries) = self.yaml.node(map) else { return Fact::Spoiled(key) };
        let mut fact = Fact::Blank(key);
        let (mut as_found, mut notes) = (None, Vec::new());
        for (name, value) in entries {
            let (Some(text), span) = (self.yaml.text(*name), self.yaml.span(*name)) else { continue };
            match text {
                "value" => fact = self.fact(field, *value, key),
                "as-found" => as_found = self.datum(field, *value).map(|(datum, ..)| (datum, self.yaml.span(*value))),
                _ if LONG_FORM.contains(&text) => notes.extend(self.remark(text, *value).map(|remark| (text.to_string(), remark))),
                _ => {
                    let slip = Slip::at(span, "unknown-key", format!("a value has no `{text}`")).label("this key");
                    self.slip(slip.hint(format!("beside a value stand: {}", LONG_FORM.join(", "))));
                }
            }
        }
        if let Fact::Stated(stated) = &mut fact {
            (stated.as_found, stated.notes) = (as_found, notes);
        }
        fact
    }

    /// What is said beside a value: who, when, with what. A day that is none would tell a reader of the sheet nothing.
    fn remark(&mut self, key: &str, value: NodeId) -> Option<String> {
        let span = self.yaml.span(value);
        let Some(text) = self.yaml.text(value) else {
            let slip = Slip::at(span, "not-a-value", format!("`{key}` is one text")).label("a list or record stands here");
            self.slip(slip.hint("write it on one line, in quotes where it has commas or colons"));
            return None;
        };
        let known = !matches!(text, "" | "~");
        if let ("on", true, Err((message, hint))) = (key, known, Days::read(text)) {
            self.slip(Slip::at(span, "not-a-date", message).label("the day of the measurement").hint(hint));
            return None;
        }
        Some(text.to_string())
    }

    /// `as-found:` in a record: what its facts were before the work.
    fn as_found(&mut self, id: RecordId, def: DefId, map: NodeId) {
        let program = self.program;
        let Node::Map(entries) = self.yaml.node(map) else {
            self.slip(
                Slip::at(self.yaml.span(map), "not-a-record", "`as-found` holds facts")
                    .label("here")
                    .hint("write the facts as they were found below it"),
            );
            return;
        };
        for (name, value) in entries {
            let (Some(text), span) = (self.yaml.text(*name), self.yaml.span(*name)) else { continue };
            let Some(Key::Field(field)) = program.index[def.0 as usize].get(text) else {
                self.unknown_key(def, text, span, false);
                continue;
            };
            let found = self.datum(&program.definition(def).fields[*field], *value).map(|(datum, ..)| (datum, self.yaml.span(*value)));
            if let Fact::Stated(stated) = &mut self.job.records[id.0 as usize].facts[*field] {
                stated.as_found = found;
            }
        }
    }

    /// A value by its field's kind, the number as read, and where its tolerance comes from.
    fn datum(&mut self, field: &Field, value: NodeId) -> Option<(Datum, Option<Reading>, ToleranceFrom)> {
        let span = self.yaml.span(value);
        match self.yaml.node(value) {
            Node::Scalar(text, _) => {
                match read_scalar(text, &field.kind, &self.program.lists).and_then(|read| with_its_sign(read, text, field.signed)) {
                    Ok((datum, reading)) => {
                        let own = reading.as_ref().is_some_and(|reading| reading.tolerance.is_some());
                        let tolerance = match (own, field.measured) {
                            (true, _) => ToleranceFrom::Own,
                            (false, true) => ToleranceFrom::Nowhere,
                            (false, false) => ToleranceFrom::NotMeasured,
                        };
                        Some((datum, reading, tolerance))
                    }
                    Err(slip) => {
                        self.scalar_slip(slip, field, value);
                        None
                    }
                }
            }
            Node::List(items) => {
                let measured = if field.measured { ToleranceFrom::Nowhere } else { ToleranceFrom::NotMeasured };
                self.list_datum(field, items, span).map(|datum| (datum, None, measured))
            }
            Node::Map(_) | Node::Alias(_) => {
                let slip = Slip::at(span, "not-a-value", format!("`{}` is one value", field.name)).label("a record stands here");
                self.slip(slip.hint(field.doc.clone()));
                None
            }
        }
    }

    fn list_datum(&mut self, field: &Field, items: &[NodeId], span: Span) -> Option<Datum> {
        match &field.kind {
            Kind::WordSet(list) => {
                let mut words: Vec<WordId> = Vec::new();
                let mut fine = true;
                for item in items {
                    match self.yaml.text(*item).map(|text| word(text, *list, &self.program.lists)) {
                        Some(Ok(word)) if words.contains(&word) => {}
                        Some(Ok(word)) => words.push(word),
                        Some(Err(slip)) => {
                            self.scalar_slip(slip, field, *item);
                            fine = false;
                        }
                        None => {
                            let slip = Slip::at(self.yaml.span(*item), "not-a-value", format!("`{}` holds words", field.name));
                            self.slip(
                                slip.label("a list or record stands here").hint("write the words in one list, as in [opening, closing]"),
                            );
                            fine = false;
                        }
                    }
                }
                fine.then_some(Datum::WordSet(words))
            }
            Kind::Point => self.point(field, items, span).map(|place| Datum::Point(Box::new(place))),
            Kind::Points => self.points(field, items).map(Datum::Points),
            Kind::TextList => Some(Datum::TextList(items.iter().filter_map(|item| self.yaml.text(*item)).map(str::to_string).collect())),
            _ => {
                let slip = Slip::at(span, "not-a-value", format!("`{}` is one value", field.name)).label("a list stands here");
                self.slip(slip.hint("take the brackets or dashes out"));
                None
            }
        }
    }

    fn point(&mut self, field: &Field, items: &[NodeId], span: Span) -> Option<Place> {
        let parts: Vec<&str> = items.iter().filter_map(|item| self.yaml.text(*item)).collect();
        if parts.len() < items.len() {
            let slip = Slip::at(span, "not-a-point", format!("{}: a point is two or three lengths", field.name)).label(field.doc.clone());
            self.slip(slip.hint("write x, y and perhaps z with their units, as in [20 ft, -4 in, 28 in]"));
            return None;
        }
        match point(&parts) {
            Ok(place) => Some(place),
            Err(slip) => {
                let message = format!("{}: {}", field.name, slip.message);
                self.slip(Slip::at(span, slip.name, message).label(field.doc.clone()).hint(slip.hint));
                None
            }
        }
    }

    fn points(&mut self, field: &Field, items: &[NodeId]) -> Option<Vec<Place>> {
        let mut places = Vec::with_capacity(items.len());
        let mut fine = true;
        for item in items {
            let span = self.yaml.span(*item);
            let place = match self.yaml.node(*item) {
                Node::List(parts) => self.point(field, parts, span),
                Node::Scalar(..) => self.datum(&Field { kind: Kind::Point, ..field.clone() }, *item).and_then(|(datum, ..)| match datum {
                    Datum::Point(place) => Some(*place),
                    _ => None,
                }),
                _ => self.point(field, &[], span),
            };
            fine &= place.is_some();
            places.extend(place);
        }
        fine.then_some(places)
    }

    fn scalar_slip(&mut self, slip: ScalarSlip, field: &Field, value: NodeId) {
        let span = self.yaml.span(value);
        let written = usize::try_from(span.end - span.start).unwrap_or(0) == self.yaml.text(value).map_or(0, str::len);
        let place = match slip.at {
            Some(range) if written && !range.is_empty() => span.part(range),
            _ => span,
        };
        let message = format!("{}: {}", field.name, slip.message);
        self.slip(Slip::at(place, slip.name, message).label(field.doc.clone()).hint(slip.hint));
    }
}
