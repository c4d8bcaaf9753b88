//! Two surveys of one site, value by value: what moved beyond what both readings may be off, what was not measured again, what is new or
//! gone. It must not know verdicts, or how any of it is shown.

use super::open::{Step, way};
use crate::datum::{Datum, Place};
use crate::job::{Children, Fact, Job, RecordId, Stated};
use crate::judge::paths::thing_name;
use crate::judge::words::{datum_text, middle_text_in};
use crate::language::program::{Key, Program};
use crate::quantity::unit::UnitKind;
use crate::quantity::{Exact, Interval, Unit, show};
use std::collections::{BTreeMap, BTreeSet};

/// The kind of record that gathers whatever protects.
const DEVICE: &str = "device";

/// A job with the program that read it.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job.
    pub job: &'a Job,
}

/// How a value differs from what it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Differs {
    /// A number or day that both readings cannot share.
    Moved,
    /// Another word, text or set, or there is none any more.
    Changed,
    /// Readings that differ and may be of one value.
    Within,
}

/// A value that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Value {
    /// Whose it is.
    pub thing: String,
    /// The fact.
    pub fact: String,
    /// How it differs.
    pub differs: Differs,
    /// What it was.
    pub was: String,
    /// What it is.
    pub is: String,
    /// By how much, where it is a number.
    pub difference: Option<String>,
    /// How far both readings may be off together, where it is a number; none where nobody stated it.
    pub tolerance: Option<String>,
}

/// Something that one survey has and the other lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lone {
    /// Whose it is, or the thing itself.
    pub thing: String,
    /// The fact or list; nothing for a whole thing.
    pub fact: Option<String>,
    /// What the one survey says, where it is a value.
    pub value: Option<String>,
    /// Whether it is a thing that protects, or one that such things may stand in.
    pub protects: bool,
}

impl Lone {
    fn value(thing: &str, fact: &str, value: String) -> Lone {
        Lone { thing: thing.to_string(), fact: Some(fact.to_string()), value: Some(value), protects: false }
    }
}

/// Everything that differs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Again {
    /// Values that moved or changed, in the order of a walk round the gate.
    pub values: Vec<Value>,
    /// Values that differ within their tolerances.
    pub within: Vec<Value>,
    /// How many values are the same.
    pub same: usize,
    /// Facts and lists that were stated and are not stated again.
    pub not_again: Vec<Lone>,
    /// Facts and lists that are stated for the first time.
    pub first: Vec<Lone>,
    /// Things that are new.
    pub new: Vec<Lone>,
    /// Things that are gone.
    pub gone: Vec<Lone>,
    /// Whether the surveys share a thing below the job at all.
    pub one_site: bool,
}

/// The name of a record from the job down: kinds and ids.
type Name = Vec<(String, String)>;

fn named(side: Side) -> BTreeMap<Name, RecordId> {
    let mut all = BTreeMap::new();
    for at in 0..side.job.records.len() {
        let id = RecordId(u32::try_from(at).unwrap_or(u32::MAX));
        all.entry(name_of(side, id)).or_insert(id);
    }
    all
}

fn name_of(side: Side, id: RecordId) -> Name {
    let mut name = Vec::new();
    let mut at = Some(id);
    while let Some(id) = at {
        let record = side.job.record(id);
        name.push((side.program.definition(record.def).name.clone(), record.id.clone().unwrap_or_default()));
        at = record.parent;
    }
    name.reverse();
    name
}

/// What differs between two surveys.
pub fn again(old: Side, new: Side) -> Again {
    let (before, after) = (named(old), named(new));
    let mut found = Again { one_site: before.keys().any(|name| name.len() > 1 && after.contains_key(name)), ..Again::default() };
    let mut both: Vec<(Vec<Step>, RecordId, RecordId)> = Vec::new();
    for (name, id) in &before {
        if let Some(other) = after.get(name) {
            both.push((way(new.program, new.job, *other), *id, *other));
        }
    }
    both.sort();
    for (_, one, other) in &both {
        facts(old, new, (*one, *other), &mut found);
        lists(old, new, (*one, *other), &mut found);
    }
    found.gone = lone(old, &before, &after, |parent| list_is_open(new, &after, parent));
    found.new = lone(new, &after, &before, |_| false);
    found
}

/// Things of one side whose holder both have, in walk order; what stands below a lone thing goes with it.
fn lone(side: Side, own: &BTreeMap<Name, RecordId>, other: &BTreeMap<Name, RecordId>, passed: impl Fn(&Name) -> bool) -> Vec<Lone> {
    let mut found: Vec<(Vec<Step>, Lone)> = Vec::new();
    for (name, id) in own.iter().filter(|(name, _)| !other.contains_key(*name)) {
        let holder = name[..name.len().saturating_sub(1)].to_vec();
        if other.contains_key(&holder) && !passed(name) {
            let thing = thing_name(side.program, side.job, *id);
            let protects = protects(side.program, side.job, *id);
            found.push((way(side.program, side.job, *id), Lone { thing, fact: None, value: None, protects }));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found.into_iter().map(|(_, lone)| lone).collect()
}

/// Whether a record is one of those that the vocabulary gathers as what protects, or holds such a one.
fn protects(program: &Program, job: &Job, id: RecordId) -> bool {
    let Some(gathered) = program.definition_named(DEVICE).map(|def| &program.definition(def).gathers) else { return false };
    let below = |at: RecordId| std::iter::successors(Some(at), |at| job.record(*at).parent).any(|at| at == id);
    let devices = (0..job.records.len()).map(|at| RecordId(u32::try_from(at).unwrap_or(u32::MAX)));
    devices.filter(|at| gathered.contains(&job.record(*at).def)).any(below)
}

/// Whether the list that a thing would stand in is not stated at all: then it is not gone, nobody said.
fn list_is_open(side: Side, all: &BTreeMap<Name, RecordId>, name: &Name) -> bool {
    let Some(((kind, _), holder)) = name.split_last() else { return false };
    let Some(record) = all.get(holder).map(|id| side.job.record(*id)) else { return false };
    let children = &side.program.definition(record.def).children;
    let at = children.iter().position(|def| side.program.definition(*def).name == *kind);
    at.is_some_and(|at| matches!(record.children[at], Children::Unknown(_)))
}

fn lists(old: Side, new: Side, (one, other): (RecordId, RecordId), found: &mut Again) {
    let (before, after) = (old.job.record(one), new.job.record(other));
    let thing = thing_name(new.program, new.job, other);
    for (at, def) in old.program.definition(before.def).children.iter().enumerate() {
        let definition = old.program.definition(*def);
        let Some(Key::Child(child)) = new.program.index[after.def.0 as usize].get(&definition.key) else { continue };
        if !definition.gathers.is_empty() {
            continue;
        }
        let lone = |value: &str| Lone::value(&thing, &definition.key, value.to_string());
        let told = |children: &Children| match children {
            Children::Given(records, _) if definition.single => (records.len(), "there is one".to_string()),
            Children::Given(records, _) => (records.len(), format!("{} of them", records.len())),
            _ => (0, "none".to_string()),
        };
        match (&before.children[at], &after.children[*child]) {
            (Children::Unknown(_), Children::Unknown(_)) => {}
            (was, Children::Unknown(_)) => found.not_again.push(lone(&told(was).1)),
            (Children::Unknown(_), is) => found.first.push(lone(&told(is).1)),
            _ => {}
        }
    }
}

/// What a fact is as the job states it: a value, none, or not stated.
enum Says<'a> {
    Value(&'a Stated),
    Nothing,
    NotStated,
}

fn says(fact: &Fact) -> Says<'_> {
    match fact {
        Fact::Stated(stated) => Says::Value(stated),
        Fact::Nothing(_) => Says::Nothing,
        Fact::Absent | Fact::Blank(_) | Fact::Spoiled(_) => Says::NotStated,
    }
}

fn facts(old: Side, new: Side, (one, other): (RecordId, RecordId), found: &mut Again) {
    let (before, after) = (old.job.record(one), new.job.record(other));
    let thing = thing_name(new.program, new.job, other);
    let mut seen = BTreeSet::new();
    for (at, field) in new.program.definition(after.def).fields.iter().enumerate() {
        seen.insert(field.name.as_str());
        let was = match old.program.index[before.def.0 as usize].get(&field.name) {
            Some(Key::Field(own)) => says(&before.facts[*own]),
            _ => Says::NotStated,
        };
        let lone = |value: String| Lone::value(&thing, &field.name, value);
        match (was, says(&after.facts[at])) {
            (Says::NotStated, Says::NotStated) => {}
            (Says::Nothing, Says::Nothing) => found.same += 1,
            // What follows from a drawing is no reading of its own.
            (Says::Value(was), Says::NotStated) if was.follows.is_empty() => found.not_again.push(lone(shown(old, was))),
            (Says::NotStated, Says::Value(is)) if is.follows.is_empty() => found.first.push(lone(shown(new, is))),
            (Says::Value(_), Says::NotStated) | (Says::NotStated, Says::Value(_)) => {}
            (Says::Nothing, Says::NotStated) => found.not_again.push(lone("none".into())),
            (Says::NotStated, Says::Nothing) => found.first.push(lone("none".into())),
            (Says::Value(was), Says::Nothing) => found.values.push(changed(&thing, &field.name, shown(old, was), "none".into())),
            (Says::Nothing, Says::Value(is)) => found.values.push(changed(&thing, &field.name, "none".into(), shown(new, is))),
            (Says::Value(was), Says::Value(is)) => {
                if was.follows.is_empty() || is.follows.is_empty() {
                    match compared((old, was), (new, is), &thing, &field.name) {
                        None => found.same += 1,
                        Some(value) if value.differs == Differs::Within => found.within.push(value),
                        Some(value) => found.values.push(value),
                    }
                }
            }
        }
    }
    for (at, field) in old.program.definition(before.def).fields.iter().enumerate().filter(|(_, field)| !seen.contains(field.name.as_str()))
    {
        if let Says::Value(was) = says(&before.facts[at]) {
            found.not_again.push(Lone::value(&thing, &field.name, shown(old, was)));
        }
    }
}

fn changed(thing: &str, fact: &str, was: String, is: String) -> Value {
    Value { thing: thing.to_string(), fact: fact.to_string(), differs: Differs::Changed, was, is, difference: None, tolerance: None }
}

/// A value as it was read, without what it may be off.
fn shown(side: Side, stated: &Stated) -> String {
    let (program, units) = (side.program, side.job.units);
    match (&stated.datum, stated.as_read) {
        (Datum::Number(_, unit), Some(read)) => middle_text_in(program, &Datum::Number(Interval::point(read), *unit), units),
        (datum, _) => middle_text_in(program, datum, units),
    }
}

fn compared((old, was): (Side, &Stated), (new, is): (Side, &Stated), thing: &str, fact: &str) -> Option<Value> {
    let plain = || {
        let (was, is) = (sorted_text(old.program, &was.datum), sorted_text(new.program, &is.datum));
        (was != is).then(|| changed(thing, fact, was, is))
    };
    match (&was.datum, &is.datum) {
        (Datum::Number(a, unit), Datum::Number(b, now)) => {
            let read = |stated: &Stated, interval: Interval| stated.as_read.or(interval.middle());
            let (one, other) = (read(was, *a)?, read(is, *b)?);
            if one == other {
                return None;
            }
            let in_units = |unit: &Option<Unit>| unit.map(|unit| new.job.units.of(unit));
            let (unit, now) = (in_units(unit), in_units(now));
            let unit_of = now.or(unit);
            let (before, after) = if unit == now { show::apart(one, other, now) } else { (shown(old, was), shown(new, is)) };
            let differs = if a.touches(*b) { Differs::Within } else { Differs::Moved };
            let difference = other.sub(one).map(|by| signed(by, unit_of));
            Some(Value { differs, difference, tolerance: tolerance(*a, *b, unit_of), ..changed(thing, fact, before, after) })
        }
        (Datum::Point(a), Datum::Point(b)) => places(&[**a], &[**b]).map(|differs| {
            let (was, is) = (shown(old, was), shown(new, is));
            Value {
                differs,
                tolerance: tolerance(a.x, b.x, b.unit.or(a.unit).map(|unit| new.job.units.of(unit))),
                ..changed(thing, fact, was, is)
            }
        }),
        (Datum::Points(a), Datum::Points(b)) => places(a, b).map(|differs| {
            let (was, is) = (shown(old, was), shown(new, is));
            Value { differs, ..changed(thing, fact, was, is) }
        }),
        (Datum::Days(a), Datum::Days(b)) if a != b => {
            let differs = if a.first <= b.last && b.first <= a.last { Differs::Within } else { Differs::Changed };
            Some(Value { differs, ..changed(thing, fact, a.to_string(), b.to_string()) })
        }
        (Datum::Recording(a), Datum::Recording(b)) => (a.samples != b.samples).then(|| {
            let told = if a.file == b.file { format!("{}, recorded anew", b.file) } else { b.file.clone() };
            changed(thing, fact, a.file.clone(), told)
        }),
        _ => plain(),
    }
}

/// A set of words in an order of its own, so that the order in the file does not count.
fn sorted_text(program: &Program, datum: &Datum) -> String {
    match datum {
        Datum::WordSet(words) if !words.is_empty() => {
            let mut words: Vec<&str> = words.iter().map(|word| program.word(*word)).collect();
            words.sort_unstable();
            words.join(", ")
        }
        Datum::TextList(texts) if !texts.is_empty() => {
            let mut texts = texts.clone();
            texts.sort_unstable();
            texts.join(", ")
        }
        datum => datum_text(program, datum),
    }
}

/// How points differ: all of them can be the same, or one cannot.
fn places(a: &[Place], b: &[Place]) -> Option<Differs> {
    if a.len() != b.len() {
        return Some(Differs::Changed);
    }
    let pairs = || a.iter().zip(b).flat_map(|(a, b)| a.coordinates().zip(b.coordinates()));
    let height_alone = a.iter().zip(b).any(|(a, b)| a.z.is_some() != b.z.is_some());
    match () {
        () if height_alone => Some(Differs::Changed),
        () if pairs().any(|(a, b)| !a.touches(b)) => Some(Differs::Moved),
        () if pairs().any(|(a, b)| a.middle() != b.middle()) => Some(Differs::Within),
        () => None,
    }
}

/// An amount in a unit; a difference on a temperature scale has no nought of the scale.
fn amount(by: Exact, unit: Option<Unit>) -> String {
    match unit {
        Some(unit) if unit.kind() == UnitKind::Measure => show::in_unit(by, unit),
        Some(unit) => by.div(unit.factor()).map_or_else(String::new, |number| show::with_symbol(&show::plain(number), unit)),
        None => show::plain(by),
    }
}

fn signed(by: Exact, unit: Option<Unit>) -> String {
    let sign = if by.is_negative() { "-" } else { "+" };
    format!("{sign}{}", amount(by.size(), unit))
}

/// How far both may be off together; none where neither says.
fn tolerance(a: Interval, b: Interval, unit: Option<Unit>) -> Option<String> {
    let half = |interval: Interval| interval.hi?.sub(interval.lo?)?.div(Exact::whole(2));
    let both = half(a)?.add(half(b)?)?;
    (!both.is_zero()).then(|| amount(both, unit))
}
