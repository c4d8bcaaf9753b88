//! Random small packs. Every one is valid: a pack that the program calls wrong is as much a disagreement as a verdict.

use super::amount::{day_near, length_near};
use super::dice::Dice;
use super::express::Reach;
use super::model::*;
use super::names::Names;

const GATE_KIND: usize = 0;
const USAGE_CLASS: usize = 1;
const DIRECTION: usize = 2;
const LENGTH: Kind = Kind::Length { measured: true };

pub fn pack(dice: &mut Dice) -> Pack {
    let list = |name, words: &[Word], in_order| List { name, words: words.to_vec(), in_order };
    let lists = vec![
        list("gate-kind", &["swing", "slide", "arm"], false),
        list("usage-class", &["I", "II", "III", "IV"], true),
        list("direction", &["opening", "closing"], false),
    ];
    let mut pack = Pack { lists, facts: [vec![], vec![], vec![]], tables: vec![], sections: vec![] };
    let job: &[(Word, Kind)] = &[
        ("permit-date", Kind::Date),
        ("frost-depth", LENGTH),
        ("visits", Kind::Count),
        ("fog", Kind::YesNo),
        ("site-class", Kind::OneOf(USAGE_CLASS)),
    ];
    let gate: &[(Word, Kind)] = &[
        ("kind", Kind::OneOf(GATE_KIND)),
        ("made", Kind::Date),
        ("height", LENGTH),
        ("class", Kind::OneOf(USAGE_CLASS)),
        ("bottom-gap", LENGTH),
        ("plan-width", Kind::Length { measured: false }),
        ("posts", Kind::Count),
        ("hinges", Kind::Count),
        ("latch", Kind::YesNo),
        ("locked", Kind::YesNo),
        ("rests", Kind::OneOf(DIRECTION)),
        ("clear-range", Kind::Range),
    ];
    let beam: &[(Word, Kind)] = &[
        ("height", LENGTH),
        ("watches", Kind::AnyOf(DIRECTION)),
        ("offset", LENGTH),
        ("span", Kind::Length { measured: false }),
        ("lenses", Kind::Count),
        ("coded", Kind::YesNo),
        ("hood", Kind::YesNo),
        ("suits", Kind::OneOf(GATE_KIND)),
        ("aligned", Kind::Date),
        ("rated-span", Kind::Range),
    ];
    for (level, pool) in [job, gate, beam].into_iter().enumerate() {
        // The first three are always there: every word list is in use, and every thing has a number or a date.
        let facts = pool.iter().enumerate().filter(|(at, _)| *at < 3 || dice.chance(75)).map(|(_, fact)| *fact);
        let facts: Vec<(Word, Kind)> = facts.collect();
        pack.facts[level] = facts.into_iter().map(|(name, kind)| Fact { name, kind, taken: taken(dice, &pack.lists, kind) }).collect();
    }
    if !pack.facts[1].iter().any(|fact| fact.name == "class") {
        pack.facts[1].push(Fact { name: "class", kind: Kind::OneOf(USAGE_CLASS), taken: Taken::Unknown });
    }
    pack.tables = tables(dice, &pack);
    let names = ["first", "second", "third", "fourth"];
    let count = 1 + dice.below(names.len());
    for name in &names[..count] {
        let section = (0..400).find_map(|_| section(dice, &pack, name)).expect("a section sooner or later");
        pack.sections.push(section);
    }
    drop_unused_tables(&mut pack);
    pack
}

fn taken(dice: &mut Dice, lists: &[List], kind: Kind) -> Taken {
    match (dice.weighed(&[60, 22, 18]), kind) {
        (0, _) | (2, Kind::AnyOf(_) | Kind::Range) => Taken::Unknown,
        (1, _) => Taken::AsNone,
        _ => Taken::As(value(dice, lists, kind)),
    }
}

/// A value as exact as a pack writes it: jobs add tolerances and parts of dates.
pub fn value(dice: &mut Dice, lists: &[List], kind: Kind) -> Stated {
    match kind {
        Kind::Length { .. } => Stated::Length { at: length_near(dice, true), tolerance: None },
        Kind::Count => Stated::Count(dice.below(5) as i64),
        Kind::YesNo => Stated::YesNo(dice.chance(55)),
        Kind::OneOf(list) => Stated::Word(dice.pick(&lists[list].words)),
        Kind::AnyOf(list) => {
            let mut words = lists[list].words.clone();
            if dice.chance(60) {
                words.remove(dice.below(words.len()));
            }
            Stated::Set(words)
        }
        Kind::Date => Stated::Date(DateText::Day(day_near(dice, true))),
        Kind::Range => {
            let from = length_near(dice, false);
            let more = dice.pick(&[1, 4, 12]);
            let to = Length { inches: from.inches.plus(&super::fraction::Fraction::whole(more)), unit: from.unit };
            Stated::Range(from, to)
        }
    }
}

/// Tables have a row for each word, or for each two words, of their keys.
fn tables(dice: &mut Dice, pack: &Pack) -> Vec<Table> {
    let shapes = [
        ("screening", vec![("kind", GATE_KIND)], ("reach", LENGTH)),
        ("needed", vec![("kind", GATE_KIND), ("while", DIRECTION)], ("means", Kind::Count)),
    ];
    let made = shapes.into_iter().map(|(name, keys, column)| {
        let mut rows: Vec<Vec<Word>> = vec![vec![]];
        for (_, list) in &keys {
            let words = &pack.lists[*list].words;
            rows = rows.iter().flat_map(|row| words.iter().map(move |word| [row.as_slice(), &[*word]].concat())).collect();
        }
        let cell = |dice: &mut Dice| if dice.chance(8) { Stated::None } else { value(dice, &pack.lists, column.1) };
        let mut rows: Vec<Row> = rows.into_iter().map(|keys| Row { keys, cells: vec![cell(dice)] }).collect();
        if rows.iter().all(|row| matches!(row.cells[0], Stated::None)) {
            // Its kind would not be known.
            rows[0].cells[0] = value(dice, &pack.lists, column.1);
        }
        Table { name, keys, columns: vec![column], rows }
    });
    made.collect()
}

/// Removes tables that no section walks, and keeps the places of the others right.
pub fn drop_unused_tables(pack: &mut Pack) {
    let used = |pack: &Pack, table: usize| {
        let binders = pack.sections.iter().flat_map(|section| &section.binders);
        binders.into_iter().any(|binder| matches!(binder.what, What::RowOf(at, _) if at == table))
    };
    for table in (0..pack.tables.len()).rev() {
        if used(pack, table) {
            continue;
        }
        pack.tables.remove(table);
        for binder in pack.sections.iter_mut().flat_map(|section| &mut section.binders) {
            if let What::RowOf(at, _) = &mut binder.what
                && *at > table
            {
                *at -= 1;
            }
        }
    }
}

/// What a section is asked of, with what its expressions may name.
fn binders<'a>(dice: &mut Dice, pack: &'a Pack) -> (Vec<Binder>, Reach<'a>) {
    let mut reach = Reach { pack, things: vec![("job", Level::Job)], row: None, word: None, lets: vec![], must: None, depth: 0 };
    let mut binders = Vec::new();
    let shape = dice.weighed(&[26, 24, 12, 4, 5, 4, 9, 6, 4, 5, 1]);
    if let 0 | 6 | 8 | 10 = shape {
        let name = if dice.chance(25) { "this" } else { "gate" };
        reach.things.push((name, Level::Gate));
        binders.push(bound(dice, &reach, What::Each(Level::Gate, name), 35));
    }
    if let 1 | 7 | 9 = shape {
        let name = if dice.chance(25) { "this" } else { "beam" };
        reach.things.extend([("gate", Level::Gate), (name, Level::Beam)]);
        binders.push(bound(dice, &reach, What::Each(Level::Beam, name), 35));
    }
    if let 2 | 3 = shape {
        let level = if shape == 2 { Level::Beam } else { Level::Gate };
        if level == Level::Beam {
            reach.things.push(("gate", Level::Gate));
        }
        reach.things.extend([("a", level), ("b", level)]);
        binders.push(bound(dice, &reach, What::Pair(level, "a", "b"), 35));
    }
    if let 4 | 6 | 7 | 10 = shape {
        let table = dice.below(pack.tables.len());
        reach.row = Some(("need", table));
        binders.push(bound(dice, &reach, What::RowOf(table, "need"), 75));
    }
    if let 5 | 8 | 9 | 10 = shape {
        let name = if dice.chance(30) { "way" } else { "direction" };
        reach.word = Some((name, DIRECTION));
        binders.push(bound(dice, &reach, What::WordOf(DIRECTION, name), 50));
    }
    (binders, reach)
}

fn bound(dice: &mut Dice, reach: &Reach, what: What, filtered: usize) -> Binder {
    let filter = if dice.chance(filtered) { reach.condition(dice, 1) } else { None };
    Binder { what, filter }
}

/// A section, unless chance left a name unused.
fn section(dice: &mut Dice, pack: &Pack, name: &str) -> Option<Section> {
    let (binders, mut reach) = binders(dice, pack);
    let force = if dice.chance(28) { force(dice, &reach) } else { None };
    for name in ["total", "allowance"] {
        if dice.chance(18) {
            // A let counts as one walk wherever it is named, and no walks nest deeper than three.
            let value = let_value(dice, &Reach { depth: 1, ..reach.clone() })?;
            reach.lets.push((name, value));
        }
    }
    let mut norms = Vec::new();
    for _ in 0..1 + dice.weighed(&[55, 30, 15]) {
        let condition = if dice.chance(30) { reach.condition(dice, 1) } else { None };
        let body = if dice.chance(14) { reach.listed(dice) } else { reach.condition(dice, 2) }?;
        norms.push(Norm { modal: if dice.chance(75) { "shall" } else { "should" }, condition, body });
    }
    let lets = std::mem::take(&mut reach.lets);
    let mut exceptions = Vec::new();
    for _ in 0..dice.weighed(&[55, 32, 13]) {
        let when = if dice.chance(85) { reach.condition(dice, 1) } else { None };
        let unless = if when.is_none() || dice.chance(30) { reach.condition(dice, 1) } else { None };
        if when.is_some() || unless.is_some() {
            exceptions.push(Exception { when, unless });
        }
    }
    let section = Section { name: name.to_string(), binders, force, lets, norms, exceptions };
    uses_all_names(pack, &section).then_some(section)
}

fn force(dice: &mut Dice, reach: &Reach) -> Option<Force> {
    let date = reach.any_fact(dice, |kind| kind == Kind::Date)?;
    if matches!(date.known.taken, Taken::AsNone) {
        return None;
    }
    let mut ends = [day_near(dice, false), day_near(dice, false)];
    ends.sort();
    let (from, before) = match dice.below(3) {
        0 => (Some(ends[0]), None),
        1 => (None, Some(ends[1])),
        _ if ends[0] == ends[1] => (Some(ends[0]), None),
        _ => (Some(ends[0]), Some(ends[1])),
    };
    Some(Force { from, before, by: date.fact })
}

fn let_value(dice: &mut Dice, reach: &Reach) -> Option<Num> {
    let quantity = dice.pick(&[Quantity::Length, Quantity::Count]);
    if dice.chance(40) {
        return reach.aggregate(dice, quantity);
    }
    let fits = |kind: Kind| match quantity {
        Quantity::Length => matches!(kind, Kind::Length { .. }),
        Quantity::Count => kind == Kind::Count,
    };
    let asked = reach.any_fact(dice, fits)?;
    Some(reach.reckoned(dice, &asked, quantity))
}

/// Every name that a section brings in is used in it, and so is the value of a row.
pub fn uses_all_names(pack: &Pack, section: &Section) -> bool {
    let names = Names::of_section(section);
    let lets = section.lets.iter().all(|(name, _)| names.mentions(name));
    lets && section.binders.iter().all(|binder| match &binder.what {
        What::Each(level, name) => *name == level.noun() || names.mentions(name),
        What::Pair(_, a, b) => names.mentions(a) && names.mentions(b),
        What::RowOf(table, name) => {
            let column = pack.tables[*table].columns[0].0;
            names.facts.iter().any(|fact| fact.base == *name && fact.field == column)
        }
        What::WordOf(_, name) => names.mentions(name),
    })
}
