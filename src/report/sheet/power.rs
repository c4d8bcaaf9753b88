//! The power budget and the wiring schedule: supplies, what draws on each, what the sections made of it. It must not know what is
//! enough.

use super::Sheet;
use super::records::datum_shown;
use crate::datum::Datum;
use crate::job::RecordId;
use crate::quantity::{Interval, Unit};
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, Run, words};

/// Supplies, loads, sums and headroom.
pub fn budget(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "power", "Power budget");
    let facts = &sheet.facts;
    let (supplies, loads) = (facts.things("supply"), facts.things("load"));
    if supplies.is_empty() && loads.is_empty() {
        document.paragraph(words("The job lists no supply and no load."));
    }
    let names = ["kind", "voltage", "limit", "rating", "battery", "array"];
    let rows: Vec<Vec<Line>> = supplies
        .iter()
        .map(|id| {
            let fed = fed_by(sheet, *id, &loads);
            let sums = [sum(sheet, &fed, |_| true), sum(sheet, &fed, |load| facts.text(load, "steady") == "yes")];
            std::iter::once(words(facts.id(*id))).chain(names.iter().map(|name| facts.line(*id, name))).chain(sums.map(words)).collect()
        })
        .collect();
    let heads = ["Supply", "Kind", "Voltage", "Limit", "Rating", "Battery", "Array", "Loads at once", "Steady loads"];
    push(document, "Supplies, with what the listed loads draw", &heads, rows);
    let names = ["supply", "draw", "steady", "heater", "run", "least-voltage", "time-per-cycle"];
    let rows = loads.iter().map(|id| std::iter::once(words(facts.id(*id))).chain(names.iter().map(|name| facts.line(*id, name))).collect());
    let heads = ["Load", "Supply", "Draws", "Steady", "Heater", "Run", "Least voltage", "Time a cycle"];
    push(document, "Loads", &heads, rows.collect());
    headroom(sheet, document);
}

/// Adds a table without the columns in which nothing stands.
fn push(document: &mut Document, caption: &str, heads: &[&str], rows: Vec<Vec<Line>>) {
    if rows.is_empty() {
        return;
    }
    let stands = |at: usize| at == 0 || rows.iter().any(|row| row.get(at).is_some_and(|cell| !cell.is_empty() && cell != &words("")));
    let kept: Vec<usize> = (0..heads.len()).filter(|at| stands(*at)).collect();
    let heads: Vec<&str> = kept.iter().map(|at| heads[*at]).collect();
    let rows = rows.iter().map(|row| kept.iter().map(|at| row.get(*at).cloned().unwrap_or_default()).collect()).collect();
    document.blocks.push(Block::Ledger(Ledger::plain(caption, &heads, rows)));
}

/// The loads that a supply of the same gate feeds.
fn fed_by(sheet: &Sheet, supply: RecordId, loads: &[RecordId]) -> Vec<RecordId> {
    let (facts, job) = (&sheet.facts, sheet.subject.job);
    let id = facts.id(supply);
    let fed = |load: &RecordId| job.record(*load).parent == job.record(supply).parent && facts.text(*load, "supply") == id;
    loads.iter().copied().filter(fed).collect()
}

/// The sum of what loads draw; a load whose draw is not known makes the sum not known.
fn sum(sheet: &Sheet, loads: &[RecordId], which: impl Fn(RecordId) -> bool) -> String {
    let some: Vec<RecordId> = loads.iter().copied().filter(|load| which(*load)).collect();
    let mut total: Option<(Interval, Option<Unit>)> = None;
    for load in &some {
        let Some(Datum::Number(draw, unit)) = sheet.facts.datum(*load, "draw") else { return "not known".into() };
        total = match total {
            None => Some((*draw, *unit)),
            Some((so_far, known)) => match so_far.add(*draw) {
                Ok(sum) => Some((sum, known.or(*unit))),
                Err(_) => return "not known".into(),
            },
        };
    }
    total.map_or_else(|| "none".into(), |(sum, unit)| datum_shown(sheet, &Datum::Number(sum, unit)))
}

/// What the sections reckoned of supplies, loads and runs.
fn headroom(sheet: &Sheet, document: &mut Document) {
    let concerned = sheet.rows.iter().filter(|row| matches!(row.kind, "supply" | "load" | "run") && !row.margin.is_empty());
    let rows = concerned.map(|row| {
        vec![
            words(row.finding.thing.clone()),
            vec![Run::plain(format!("{} ", row.finding.title)), Run::Code(row.finding.clause_name())],
            words(row.value.clone()),
            words(row.limit.clone()),
            words(row.margin.clone()),
            vec![Run::Verdict(row.finding.rank, row.finding.verdict.into())],
        ]
    });
    let heads = ["Where", "Section", "Value", "Limit", "Headroom", "Verdict"];
    let rows: Vec<Vec<Line>> = rows.collect();
    if !rows.is_empty() {
        // The tables of what was judged tell the same by section: on paper once is enough.
        let table = Ledger::plain("What the sections reckoned of it", &heads, rows);
        document.blocks.push(Block::Aside("What the sections reckoned of it".into(), vec![Block::Ledger(table)]));
    }
}

/// Every cable run.
pub fn wiring(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "wiring", "Wiring schedule");
    let facts = &sheet.facts;
    let runs = facts.things("run");
    if runs.is_empty() {
        document.paragraph(words("The job lists no cable run."));
        return;
    }
    let joined = |id: RecordId, names: &[&str]| {
        let told: Vec<String> = names
            .iter()
            .map(|name| (name.replace('-', " "), facts.text(id, name)))
            .filter(|(_, text)| !text.is_empty())
            .map(|(name, text)| format!("{name} {text}"))
            .collect();
        words(told.join("; "))
    };
    let loads: Vec<(String, String)> = facts.things("load").iter().map(|load| (facts.text(*load, "run"), facts.id(*load))).collect();
    let rows = runs.iter().map(|id| {
        let own = facts.id(*id);
        let feeds = loads.iter().filter(|(run, _)| *run == own).map(|(_, load)| load.clone());
        vec![
            words(facts.id(*id)),
            words(facts.text(*id, "kind")),
            words(facts.text(*id, "from")),
            words(feeds.collect::<Vec<_>>().join(", ")),
            words(facts.text(*id, "length")),
            joined(*id, &["size", "build", "conductors"]),
            joined(*id, &["voltage", "current", "temperature"]),
            joined(*id, &["method", "conduit", "cover", "location", "entry-from-below", "with-mains", "barrier"]),
        ]
    });
    let heads = ["Run", "Carries", "From", "Feeds", "Length", "Conductors", "Electrical", "How it is laid"];
    push(document, "Cable runs", &heads, rows.collect());
}
