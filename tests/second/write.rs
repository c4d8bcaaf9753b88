//! Writes a pack in the rule language and a job as YAML.

use super::day;
use super::fraction::Fraction;
use super::model::*;
use super::phrase::{condition, date_of, length, number, reference};
use std::fmt::Write as _;

pub fn pack(pack: &Pack) -> String {
    let mut out = String::from("pack made \"A made-up pack\"\n  language   1\n  edition    \"1\"\n  authority  \"Nobody\"\n\n");
    out.push_str("source book \"A made-up code\" invented\n\n");
    for list in &pack.lists {
        let order = if list.in_order { " in order" } else { "" };
        let _ = writeln!(out, "values {} \"A list\" = {}{order}", list.name, list.words.join(", "));
    }
    for level in [Level::Job, Level::Gate, Level::Beam] {
        definition(&mut out, pack, level);
    }
    pack.tables.iter().for_each(|it| table(&mut out, it));
    pack.sections.iter().for_each(|it| section(&mut out, pack, it));
    out
}

fn definition(out: &mut String, pack: &Pack, level: Level) {
    let place = match level {
        Level::Job => "",
        Level::Gate => " among job.gates",
        Level::Beam => " among gate.beams",
    };
    let _ = writeln!(out, "\ndefinition {} \"A record\"{place}", level.noun());
    if level == Level::Job {
        out.push_str("  title           text                 \"Its title\"\n");
        out.push_str("  codes           list of text         \"Its packs\"\n");
        out.push_str("  tape-tolerance  length gives tolerance taken as none \"How far the tape may be off\"\n");
    }
    for fact in &pack.facts[level as usize] {
        let kind = match fact.kind {
            Kind::Length { measured: true } => "length measured".to_string(),
            Kind::Length { measured: false } => "length".to_string(),
            Kind::Count => "count".to_string(),
            Kind::YesNo => "yes-or-no".to_string(),
            Kind::OneOf(list) => format!("one of {}", pack.lists[list].name),
            Kind::AnyOf(list) => format!("any of {}", pack.lists[list].name),
            Kind::Date => "date".to_string(),
            Kind::Range => "range of length".to_string(),
        };
        let taken = match &fact.taken {
            Taken::Unknown => String::new(),
            Taken::AsNone => " taken as none".to_string(),
            Taken::As(value) => format!(" taken as {}", stated(value)),
        };
        let _ = writeln!(out, "  {:<15} {kind}{taken} \"A fact\"", fact.name);
    }
}

fn table(out: &mut String, table: &Table) {
    let keys: Vec<Word> = table.keys.iter().map(|(name, _)| *name).collect();
    let columns = table.columns.iter().map(|(name, _)| *name);
    let head: Vec<Word> = keys.iter().copied().chain(columns).collect();
    let _ = writeln!(out, "\ntable {} \"A table\"\n  cite  book \"9\"\n  by    {}\n  {}", table.name, keys.join(", "), head.join(" | "));
    for row in &table.rows {
        let cells: Vec<String> = row.keys.iter().map(|word| word.to_string()).chain(row.cells.iter().map(stated)).collect();
        let _ = writeln!(out, "  {}", cells.join(" | "));
    }
}

fn section(out: &mut String, pack: &Pack, section: &Section) {
    let binders: Vec<String> = section.binders.iter().map(|it| binder(pack, it)).collect();
    let _ = writeln!(out, "\nsection {} \"A section\"\n  applies to {}", section.name, binders.join(", "));
    if let Some(force) = &section.force {
        let from = force.from.map_or(String::new(), |at| format!(" from {}", day::text(at)));
        let before = force.before.map_or(String::new(), |at| format!(" before {}", day::text(at)));
        let _ = writeln!(out, "  in force{from}{before} by {}", reference(&force.by));
    }
    for (name, value) in &section.lets {
        let _ = writeln!(out, "  let {name} = {}", number(value));
    }
    for (at, norm) in section.norms.iter().enumerate() {
        // A lone clause has no label.
        let label = if section.norms.len() > 1 { format!(" {}", super::judge::label(at)) } else { String::new() };
        let first = norm.condition.as_ref().map_or(String::new(), |cond| format!("if {} then ", condition(cond)));
        let _ = writeln!(out, "  {}{label} {first}{}", norm.modal, condition(&norm.body));
    }
    for (at, exception) in section.exceptions.iter().enumerate() {
        let when = exception.when.as_ref().map_or(String::new(), |cond| format!(" where {}", condition(cond)));
        let unless = exception.unless.as_ref().map_or(String::new(), |cond| format!(" unless {}", condition(cond)));
        let _ = writeln!(out, "  except ({}) \"An exception\"{when}{unless}", at + 1);
    }
    out.push_str("  remedy \"Put it right.\"\n  cite book \"1\"\n");
}

fn binder(pack: &Pack, binder: &Binder) -> String {
    let named = |noun: &str, name: &str| if noun == name { format!("each {noun}") } else { format!("each {noun} as {name}") };
    let what = match &binder.what {
        What::Each(level, name) => named(level.noun(), name),
        What::Pair(level, a, b) => format!("each pair of {} as {a} and {b}", level.noun()),
        What::RowOf(table, name) => format!("each row of {} as {name}", pack.tables[*table].name),
        What::WordOf(list, name) => named(pack.lists[*list].name, name),
    };
    what + &binder.filter.as_ref().map_or(String::new(), |filter| format!(" where {}", condition(filter)))
}

/// A value as jobs and tables write it.
fn stated(value: &Stated) -> String {
    match value {
        Stated::Length { at, tolerance } => {
            let tolerance = tolerance.as_ref().map_or(String::new(), |off| format!(" +/- {}", length(&small(off, at.unit))));
            length(at) + &tolerance
        }
        Stated::Count(n) => n.to_string(),
        Stated::YesNo(yes) => if *yes { "yes" } else { "no" }.to_string(),
        Stated::Word(word) => word.to_string(),
        Stated::Set(words) => format!("[{}]", words.join(", ")),
        Stated::Date(text) => date_of(*text),
        Stated::Range(from, to) => format!("{} to {}", length(from), length(to)),
        Stated::None => "none".to_string(),
    }
}

fn small(inches: &Fraction, unit: Unit) -> Length {
    let unit = if unit == Unit::FeetAndInch { Unit::Inch } else { unit };
    Length { inches: inches.clone(), unit }
}

pub fn job(job: &Job) -> String {
    let mut out = String::from("title: Made up\ncodes: [made]\n");
    if let Some(off) = &job.tape_tolerance {
        let _ = writeln!(out, "tape-tolerance: {}", length(&small(off, Unit::Inch)));
    }
    record(&mut out, &job.root, "");
    out
}

fn record(out: &mut String, record: &Record, indent: &str) {
    for (at, (name, value)) in record.stated.iter().enumerate() {
        // The long form of a fact now and then: it means the same.
        let plain = !matches!(value, Stated::Set(_) | Stated::None);
        if plain && (at + record.id.len()) % 7 == 3 {
            let _ = writeln!(out, "{indent}{name}: {{value: {}, on: 2008-05-05}}", stated(value));
        } else {
            let _ = writeln!(out, "{indent}{name}: {}", stated(value));
        }
    }
    let (Some(list), Some(level)) = (&record.inner, record.level.inner()) else { return };
    if list.is_empty() {
        let _ = writeln!(out, "{indent}{}: none", level.plural());
        return;
    }
    let _ = writeln!(out, "{indent}{}:", level.plural());
    for inner in list {
        let _ = writeln!(out, "{indent}  - id: {}", inner.id);
        self::record(out, inner, &format!("{indent}    "));
    }
}

pub fn today(job: &Job) -> String {
    day::text(job.today)
}
