//! The JSON Schema of the job files that a program's vocabulary can read, for editors that complete and check a file while it is typed. What
//! the reader of job files takes, the schema takes; it sees no limit and judges nothing. It must not know sections or jobs.

use crate::datum::{DefId, Kind, ListId};
use crate::language::program::{Definition, Field, JOB, Key, Program, TakenAs};
use crate::quantity::{Dimension, Unit, Units, unit::UnitKind};
use crate::survey::answer::{how_of, otherwise};
use serde_json::{Map, Value, json};

/// The draft that editors know best.
const DRAFT: &str = "http://json-schema.org/draft-07/schema#";
const ABOUT: &str = "Keys and words of a job file, and how each fact is measured. Whether a value meets the codes is not said here: \
                     `pintle check` judges that.";

/// The schema of a job that names `codes`: JSON, with a line end.
pub fn job_schema(program: &Program, codes: &[String]) -> String {
    let mut parts = Parts { program, shared: Map::new() };
    parts.shared.insert("text".into(), json!({ "type": ["string", "number", "boolean", "null"] }));
    parts.shared.insert("nothing".into(), json!({ "const": "none", "description": "There is none" }));
    parts.shared.insert("open".into(), json!({ "type": "null", "description": "Not known yet" }));
    for def in (0..program.definitions.len()).filter_map(|at| u32::try_from(at).ok()).map(DefId).filter(|def| *def != JOB) {
        let definition = program.definition(def);
        if definition.gathers.is_empty() {
            let record = parts.record(def);
            parts.shared.insert(record_name(definition), record);
        }
    }
    let mut schema = parts.record(JOB);
    schema["$schema"] = json!(DRAFT);
    schema["title"] = json!(format!("A job by {}", codes.join(", ")));
    schema["description"] = json!(ABOUT);
    schema["required"] = json!(["codes"]);
    if let Some(named) = schema["properties"].get_mut("codes") {
        named["default"] = json!(codes);
    }
    schema["definitions"] = Value::Object(parts.shared);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

/// The name of a record's part of the schema; no pack has a word with a blank in it, so no two parts have one name.
fn record_name(definition: &Definition) -> String {
    format!("record {}", definition.name)
}

fn shared(name: &str) -> Value {
    json!({ "$ref": format!("#/definitions/{}", name.replace(' ', "%20")) })
}

/// What stands under the key of a kind of record.
fn children(child: &Definition) -> Value {
    let one = shared(&record_name(child));
    let given = if child.single { one } else { json!({ "type": "array", "minItems": 1, "items": one }) };
    json!({ "description": child.doc, "anyOf": [given, shared("nothing"), shared("open")] })
}

/// The parts that facts share, made as they are met.
struct Parts<'a> {
    program: &'a Program,
    shared: Map<String, Value>,
}

impl Parts<'_> {
    /// One kind of record: its facts, what is found in it, its id where it stands in a list, and how its facts were found.
    fn record(&mut self, def: DefId) -> Value {
        let program = self.program;
        let definition = program.definition(def);
        let keys = &program.index[def.0 as usize];
        let (mut properties, mut found) = (Map::new(), Map::new());
        for stated in definition.fields.iter().filter(|field| matches!(keys.get(&field.name), Some(Key::Field(_)))) {
            properties.insert(stated.name.clone(), self.fact(stated));
            found.insert(stated.name.clone(), shared(&self.kind(&stated.kind)));
        }
        for child in definition.children.iter().map(|child| program.definition(*child)) {
            if matches!(keys.get(&child.key), Some(Key::Child(_))) {
                properties.insert(child.key.clone(), children(child));
            }
        }
        let as_found = json!({
            "type": "object", "description": "What its facts were before the work", "properties": found, "additionalProperties": false
        });
        properties.entry("as-found").or_insert(as_found);
        let listed = definition.parent.is_some() && !definition.single;
        if listed {
            let id = json!({ "type": ["string", "number", "boolean"], "description": "A short name that the report can call it by" });
            properties.entry("id").or_insert(id);
        }
        let required: &[&str] = if listed { &["id"] } else { &[] };
        json!({
            "type": "object", "description": definition.doc, "properties": properties, "required": required, "additionalProperties": false
        })
    }

    /// A fact: its value, nothing yet, `none` where that is an answer, or the long form.
    fn fact(&mut self, field: &Field) -> Value {
        let kind = self.kind(&field.kind);
        let mut forms = vec![shared(&kind), shared("open")];
        if matches!(field.taken, Some(TakenAs::Nothing)) || matches!(field.kind, Kind::WordSet(_) | Kind::TextList) {
            forms.push(shared("nothing"));
        }
        let long = format!("long {kind}{}", if forms.len() > 2 { " or none" } else { "" });
        self.shared.entry(long.clone()).or_insert_with(|| {
            let notes = ["by", "on", "instrument", "note"].map(|note| (note.to_string(), shared("text")));
            let value = [("value".to_string(), json!({ "anyOf": forms.clone() })), ("as-found".to_string(), shared(&kind))];
            json!({
                "type": "object",
                "description": "The value, and who measured it, when, with what, and what it was before the work",
                "properties": value.into_iter().chain(notes).collect::<Map<_, _>>(),
                "required": ["value"],
                "additionalProperties": false
            })
        });
        forms.push(shared(&long));
        let told = [Some(how_of(self.program, field, Units::AsWritten)), otherwise(self.program, field)]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join("; ");
        json!({ "description": format!("{} ({told})", field.doc), "anyOf": forms })
    }

    /// The shared part that says how a value of a kind is written.
    fn kind(&mut self, kind: &Kind) -> String {
        let name = match kind {
            Kind::Word(list) => format!("word {}", list.0),
            Kind::WordSet(list) => format!("words {}", list.0),
            Kind::Measure(dimension) => format!("measure {dimension}").replace('^', "").trim_end().to_string(),
            Kind::Range(_) => "a range".into(),
            Kind::Text | Kind::Recording(_) => "text".into(),
            kind => kind.describe(&self.program.lists),
        };
        if !self.shared.contains_key(&name) {
            let value = value(self.program, kind);
            self.shared.insert(name.clone(), value);
        }
        name
    }
}

/// A value of a kind, as YAML 1.2 reads it: a measure with its unit is a text, a bare number a number.
fn value(program: &Program, kind: &Kind) -> Value {
    match kind {
        Kind::YesNo => json!({ "enum": ["yes", "no"] }),
        Kind::Count => json!({ "type": ["integer", "string"], "minimum": 0, "pattern": "^ *[0-9]+ *$" }),
        Kind::Measure(dimension) if *dimension == Dimension::NONE => json!({ "type": ["number", "string"], "pattern": "[0-9]" }),
        Kind::Measure(dimension) => json!({ "type": "string", "pattern": with_unit(|unit| is_of(unit, *dimension)) }),
        Kind::Temperature => json!({ "type": "string", "pattern": with_unit(|unit| unit.kind() == UnitKind::Temperature) }),
        Kind::Range(_) => json!({ "type": "string", "pattern": "[0-9].* to .*[0-9]" }),
        Kind::Date => json!({ "type": ["string", "integer"], "pattern": "^ *[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)? *$" }),
        Kind::Period => json!({ "type": "string", "pattern": "[0-9]" }),
        Kind::Wire => json!({ "type": "string", "pattern": "[0-9]" }),
        Kind::Word(list) => json!({ "enum": words(program, *list) }),
        Kind::WordSet(list) => {
            let word = json!({ "enum": words(program, *list) });
            json!({ "anyOf": [{ "type": "array", "items": word }, word] })
        }
        Kind::Text | Kind::Recording(_) => shared("text"),
        Kind::TextList => json!({ "anyOf": [{ "type": "array", "items": shared("text") }, shared("text")] }),
        Kind::Point => point(),
        Kind::Points => json!({ "type": "array", "items": point() }),
        Kind::Thing(_) => json!(false),
    }
}

fn is_of(unit: Unit, dimension: Dimension) -> bool {
    unit.kind() == UnitKind::Measure && unit.dimension() == dimension
}

/// A point: two or three lengths, in brackets or with commas between them.
fn point() -> Value {
    json!({ "anyOf": [{ "type": "array", "minItems": 2, "maxItems": 3, "items": { "type": "string" } }, { "type": "string", "pattern": "," }] })
}

/// A digit, and behind it one of the units that are wanted, in any spelling that is read.
fn with_unit(wanted: impl Fn(Unit) -> bool) -> String {
    let spelt: Vec<String> = Unit::symbols().filter(|symbol| Unit::named(symbol).is_some_and(&wanted)).map(regex_escaped).collect();
    format!("[0-9].*({})", spelt.join("|"))
}

fn regex_escaped(symbol: &str) -> String {
    symbol.chars().flat_map(|c| (!c.is_alphanumeric() && c.is_ascii() && c != ' ').then_some('\\').into_iter().chain([c])).collect()
}

/// The words of a list, and what YAML takes each for where that is no text.
fn words(program: &Program, list: ListId) -> Vec<Value> {
    let texts: Vec<&str> = program.lists.texts(list).collect();
    let bare = texts.iter().filter_map(|word| serde_json::from_str::<Value>(word).ok()).filter(|value| !value.is_string());
    texts.iter().map(|word| json!(word)).chain(bare).collect()
}
