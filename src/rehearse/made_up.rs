//! Made-up jobs for some sections: records of the kinds that they ask about, with values at and beside the limits that they
//! name. It must not know what is looked for with them.

use super::nudge::beside;
use super::text::written;
use crate::datum::{Datum, DefId, Kind};
use crate::language::program::{ChildId, Expr, FieldId, KeyCell, Op, Over, Program, ThingPath};
use crate::language::walk::{exprs, section_exprs};
use crate::quantity::{Dimension, Exact, Unit, read, show};
use serde_yaml::{Mapping, Value};
use std::collections::{BTreeMap, BTreeSet};

/// Most values that one fact is given.
const MOST_CHOICES: usize = 60;

/// A source of numbers that look like chance and are the same in every run.
pub struct Dice(u64);

impl Dice {
    /// Dice that begin at a seed.
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number below `count`, which is at least one.
    pub fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap_or(0) % count.max(1)
    }
}

/// Makes jobs up for some sections.
pub struct Maker<'p> {
    program: &'p Program,
    /// For each kind of record that the sections need, the facts that they read and what each may be.
    kinds: BTreeMap<DefId, Vec<(String, Vec<Value>)>>,
}

/// What sections read and name.
struct Reading<'p> {
    program: &'p Program,
    facts: BTreeMap<DefId, BTreeSet<FieldId>>,
    tables: BTreeSet<usize>,
    formulas: BTreeSet<usize>,
    sections: BTreeSet<usize>,
    measures: Vec<(Dimension, Exact, String)>,
    counts: BTreeSet<String>,
    others: Vec<(Kind, String)>,
}

impl<'p> Maker<'p> {
    /// A maker for these sections, those that they comply with included.
    pub fn of(program: &'p Program, sections: &[usize]) -> Maker<'p> {
        let mut reading = Reading {
            program,
            facts: BTreeMap::new(),
            tables: BTreeSet::new(),
            formulas: BTreeSet::new(),
            sections: BTreeSet::new(),
            measures: Vec::new(),
            counts: BTreeSet::new(),
            others: Vec::new(),
        };
        sections.iter().for_each(|at| reading.section(*at));
        reading.table_values();
        // Things stand in others, up to the job.
        for def in reading.facts.keys().copied().collect::<Vec<_>>() {
            let mut above = program.definition(def).parent;
            while let Some(parent) = above {
                reading.facts.entry(parent).or_default();
                above = program.definition(parent).parent;
            }
        }
        let ids: Vec<&str> = reading.facts.keys().map(|def| program.definition(*def).name.as_str()).collect();
        let kinds = reading.facts.iter().map(|(def, facts)| {
            let fields = facts.iter().map(|fact| &program.definition(*def).fields[*fact]);
            (*def, fields.map(|field| (field.name.clone(), reading.choices(&field.kind, &ids))).collect())
        });
        Maker { program, kinds: kinds.collect() }
    }

    /// A job.
    pub fn job(&self, dice: &mut Dice) -> Value {
        Value::Mapping(self.record(crate::language::program::JOB, None, dice))
    }

    fn record(&self, def: DefId, id: Option<String>, dice: &mut Dice) -> Mapping {
        let mut record = Mapping::new();
        if let Some(id) = id {
            record.insert("id".into(), id.into());
        }
        for (name, choices) in self.kinds.get(&def).into_iter().flatten() {
            // Now and then a fact is not given.
            if !choices.is_empty() && dice.below(8) > 0 {
                record.insert(name.as_str().into(), choices[dice.below(choices.len())].clone());
            }
        }
        for child in self.program.definition(def).children.iter().filter(|child| self.kinds.contains_key(child)) {
            let definition = self.program.definition(*child);
            let value = if definition.single { Value::Mapping(self.record(*child, None, dice)) } else { self.list(*child, def, dice) };
            record.insert(definition.key.as_str().into(), value);
        }
        record
    }

    fn list(&self, def: DefId, above: DefId, dice: &mut Dice) -> Value {
        let name = &self.program.definition(def).name;
        // Without a gate there is nothing to judge.
        let count = if above == crate::language::program::JOB { 1 } else { [1, 1, 2, 0][dice.below(4)] };
        let id = |number: usize| if number == 0 { name.clone() } else { format!("{name}-{}", number + 1) };
        match count {
            0 => "none".into(),
            _ => (0..count).map(|number| Value::Mapping(self.record(def, Some(id(number)), dice))).collect::<Vec<_>>().into(),
        }
    }
}

impl<'p> Reading<'p> {
    fn section(&mut self, at: usize) {
        if !self.sections.insert(at) {
            return;
        }
        let section = &self.program.sections[at];
        for binder in &section.binders {
            match binder.over {
                Over::Things(def, _) | Over::Pairs(def, _) => self.kind(def),
                Over::Rows(table) => {
                    self.tables.insert(table);
                }
                Over::Words(_) => {}
            }
        }
        section_exprs(section, &mut |expr| self.expr(expr));
    }

    fn kind(&mut self, def: DefId) {
        let gathers = &self.program.definition(def).gathers;
        if gathers.is_empty() {
            self.facts.entry(def).or_default();
        }
        gathers.iter().for_each(|one| self.kind(*one));
    }

    fn fact(&mut self, path: &ThingPath, field: FieldId) {
        let definition = self.program.definition(path.def);
        let name = &definition.fields[field].name;
        for def in if definition.gathers.is_empty() { vec![path.def] } else { definition.gathers.clone() } {
            if let Some(field) = self.program.definition(def).field(name) {
                self.facts.entry(def).or_default().insert(field);
            }
        }
    }

    fn list(&mut self, base: &ThingPath, list: ChildId) {
        if let Some(def) = self.program.definition(base.def).children.get(list) {
            self.kind(*def);
        }
    }

    fn expr(&mut self, expr: &'p Expr) {
        match &expr.op {
            Op::Fact(path, field) | Op::FactGiven(path, field) => self.fact(path, *field),
            Op::ThingGiven(path) => self.kind(path.def),
            Op::Quantified(_, walk, _) | Op::Aggregate(_, _, walk) => self.list(&walk.base, walk.list),
            Op::LookUp(table, ..) => {
                self.tables.insert(*table);
            }
            Op::Formula(at, _) if self.formulas.insert(*at) => exprs(&self.program.formulas[*at].body, &mut |part| self.expr(part)),
            Op::Complies(_, id) => {
                let others = self.program.sections.iter().enumerate().filter(|(_, other)| other.id == *id).map(|(at, _)| at);
                others.collect::<Vec<_>>().into_iter().for_each(|at| self.section(at));
            }
            Op::Literal(datum) => {
                let text = written(self.program, expr.span);
                self.value(datum, &expr.kind, text);
                for (datum, text) in beside(datum, text, &expr.kind, true, &self.program.lists) {
                    self.value(&datum, &expr.kind, &text);
                }
            }
            _ => {}
        }
    }

    fn value(&mut self, datum: &Datum, kind: &Kind, text: &str) {
        match (datum, kind) {
            (Datum::Number(number, unit), Kind::Measure(dimension)) => {
                if let Some(value) = number.as_point() {
                    self.measure(*dimension, value, *unit);
                }
            }
            (Datum::Number(number, _), _) => self.counts.extend(number.as_point().map(show::plain)),
            (Datum::Days(_) | Datum::Period(_) | Datum::Wire(_), _) => self.others.push((kind.clone(), text.to_string())),
            _ => {}
        }
    }

    /// A measure, and some that reckoning may bring to it: half, double.
    fn measure(&mut self, dimension: Dimension, value: Exact, unit: Option<Unit>) {
        let unit = unit.or_else(|| Unit::usual(dimension));
        for factor in [Exact::ONE, Exact::whole(2), Exact::ratio(1, 2).unwrap_or(Exact::ONE)] {
            let Some(value) = value.mul(factor) else { continue };
            let text = unit.map_or_else(|| show::plain(value), |unit| show::in_unit(value, unit));
            // What is shown may be rounded: it counts as what it says.
            let value = read(&text).map_or(value, |reading| reading.value);
            if !self.measures.iter().any(|(kind, _, known)| *kind == dimension && *known == text) {
                self.measures.push((dimension, value, text));
            }
        }
    }

    /// The values of the tables, those of keys among them.
    fn table_values(&mut self) {
        for at in self.tables.clone() {
            let table = &self.program.tables[at];
            for row in &table.rows {
                for (cell, column) in row.cells.iter().zip(&table.columns) {
                    match (cell, &column.kind) {
                        (KeyCell::Value(datum), kind) => self.value(datum, kind, ""),
                        (KeyCell::Range(low, high), Kind::Measure(dimension)) => {
                            [low, high].into_iter().flatten().for_each(|(end, _)| self.measure(*dimension, *end, None));
                        }
                        (KeyCell::Range(low, high), Kind::Count) => {
                            self.counts.extend([low, high].into_iter().flatten().map(|(end, _)| show::plain(*end)));
                        }
                        _ => {}
                    }
                }
            }
        }
    }

    /// What a fact of a kind may be.
    fn choices(&self, kind: &Kind, ids: &[&str]) -> Vec<Value> {
        let texts = |all: Vec<String>| all.into_iter().filter(|text| !text.is_empty()).map(Value::String).collect::<Vec<_>>();
        let given = |usual: &[&str]| {
            let own = self.others.iter().filter(|(other, _)| other == kind).map(|(_, text)| text.clone());
            texts(own.chain(usual.iter().map(|text| (*text).to_string())).collect::<BTreeSet<_>>().into_iter().collect())
        };
        let words = |list| self.program.lists.list(list).words.iter().map(|word| self.program.word(*word).to_string()).collect::<Vec<_>>();
        let sets = |all: Vec<String>| {
            let singles = all.iter().map(|one| Value::Sequence(vec![one.as_str().into()]));
            singles.chain([Value::Sequence(texts(all.clone()))]).collect::<Vec<_>>()
        };
        let mut choices = match kind {
            Kind::YesNo => vec!["yes".into(), "no".into()],
            Kind::Count => {
                let counts: BTreeSet<String> = self.counts.iter().cloned().chain((0..4).map(|count| count.to_string())).collect();
                counts.into_iter().map(Value::String).collect()
            }
            Kind::Measure(dimension) => texts(self.measures_of(*dimension).into_iter().map(|(_, text)| text).collect()),
            Kind::Range(dimension) => texts(self.ranges_of(*dimension)),
            Kind::Temperature => texts(vec!["-20 °C".into(), "20 °C".into()]),
            Kind::Date => given(&["2012-06-01", "2020-06-01", "2026-06-01"]),
            Kind::Period => given(&["6 months", "12 months"]),
            Kind::Wire => given(&["18 AWG", "14 AWG", "10 AWG", "1/0 AWG"]),
            Kind::Word(list) => texts(words(*list)),
            Kind::WordSet(list) => sets(words(*list)),
            Kind::Text => texts(ids.iter().map(|id| (*id).to_string()).collect()),
            Kind::TextList => sets(ids.iter().map(|id| (*id).to_string()).collect()),
            Kind::Point | Kind::Points | Kind::Recording(_) | Kind::Thing(_) => Vec::new(),
        };
        choices.truncate(MOST_CHOICES);
        choices
    }

    /// The measures of a dimension that are named, and one between each two of them, in order.
    fn measures_of(&self, dimension: Dimension) -> Vec<(Exact, String)> {
        let named = self.measures.iter().filter(|(kind, ..)| *kind == dimension);
        let mut own: Vec<_> = named.map(|(_, value, text)| (*value, text.clone())).collect();
        own.sort();
        own.dedup_by(|one, other| one.0 == other.0);
        let between = own.windows(2).filter_map(|pair| {
            let middle = pair[0].0.add(pair[1].0)?.mul(Exact::ratio(1, 2)?)?;
            let unit = read(&pair[0].1).ok().and_then(|reading| reading.unit);
            let text = unit.map_or_else(|| show::plain(middle), |unit| show::in_unit(middle, unit));
            // What is shown may be rounded: it counts as what it says.
            Some((read(&text).map_or(middle, |reading| reading.value), text))
        });
        let between: Vec<_> = between.collect();
        own.extend(between);
        own.sort();
        own.dedup_by(|one, other| one.0 == other.0);
        if !own.is_empty() {
            return own;
        }
        let unit = Unit::usual(dimension);
        let text = |count: i128| {
            unit.map_or_else(|| count.to_string(), |unit| show::in_unit(Exact::whole(count).mul(unit.factor()).unwrap_or(Exact::ONE), unit))
        };
        [1, 10].map(|count| (Exact::whole(count), text(count))).to_vec()
    }

    fn ranges_of(&self, dimension: Dimension) -> Vec<String> {
        let ends = self.measures_of(dimension);
        let pairs = ends.iter().flat_map(|low| ends.iter().map(move |high| (low, high)));
        pairs.filter(|(low, high)| low.0 < high.0).map(|(low, high)| format!("{} to {}", low.1, high.1)).collect()
    }
}
