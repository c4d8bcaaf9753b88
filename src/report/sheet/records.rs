//! What a sheet says of the job's papers: variances, what was found before the work, tests with their instruments, visits and what is
//! due next. It must not know geometry or power.

use super::Sheet;
use crate::datum::Datum;
use crate::job::{Fact, RecordId};
use crate::judge::words::{datum_text, middle_text_in};
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, Run, words};
use crate::report::slips::sentence;
use std::collections::BTreeMap;

/// The variances of the job, and what each does.
pub fn variances(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "variances", "Variances");
    let facts = &sheet.facts;
    let all = facts.things("variance");
    if all.is_empty() {
        document.paragraph(words("The job names none."));
        return;
    }
    let names = ["section", "thing", "allows", "authority", "reference", "granted", "expires", "reason"];
    let rows = all.iter().map(|id| std::iter::once(words(facts.id(*id))).chain(names.iter().map(|name| facts.line(*id, name))).collect());
    let heads = ["Id", "Section", "Thing", "Limit granted", "Granted by", "Reference", "From", "Until", "Reason"];
    document.blocks.push(Block::Ledger(Ledger::plain("Variances, as the job states them", &heads, rows.collect())));
    let used: Vec<(Line, Vec<Block>)> = sheet
        .report
        .carried
        .iter()
        .filter(|finding| finding.verdict == "excused")
        .map(|finding| {
            let by = finding.carried_by.clone().unwrap_or_default();
            (words(format!("{}, {}: {by}", finding.clause_name(), finding.thing)), Vec::new())
        })
        .collect();
    if used.is_empty() {
        document.paragraph(words("None of them carries a verdict."));
    } else {
        document.paragraph(words("They carry these verdicts, which would not be met without them:"));
        document.blocks.push(Block::Points(used));
    }
    let told: Vec<(Line, Vec<Block>)> =
        sheet.judgement.notices.iter().map(|slip| (words(sentence(slip, sheet.report.files).trim_end()), Vec::new())).collect();
    if !told.is_empty() {
        document.blocks.push(Block::Points(told));
    }
}

/// Values that stood otherwise before the work.
pub fn as_found(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "as-found", "As found and as left");
    let facts = &sheet.facts;
    let mut rows = Vec::new();
    for id in facts.records() {
        for (at, field) in facts.definition(id).fields.iter().enumerate() {
            let Fact::Stated(stated) = &sheet.subject.job.record(id).facts[at] else { continue };
            let Some((before, span)) = &stated.as_found else { continue };
            let written = sheet.subject.source.slice(span.range());
            let written =
                if written.is_empty() || written.contains('\n') { datum_text(sheet.subject.program, before) } else { written.to_string() };
            let notes: Vec<String> = stated.notes.iter().map(|(key, text)| format!("{key}: {text}")).collect();
            rows.push(vec![
                words(format!("{} of {}", field.name.replace('-', " "), facts.name(id))),
                words(facts.beside(before, written)),
                words(facts.shown(id, at)),
                if notes.is_empty() { Line::new() } else { words(notes.join("; ")) },
            ]);
        }
    }
    if rows.is_empty() {
        document.paragraph(words("The job keeps no value from before the work."));
    } else {
        let heads = ["What", "As found", "As left", "Who, when, with what"];
        document.blocks.push(Block::Ledger(Ledger::plain("What the work changed", &heads, rows)));
    }
}

/// Commissioning tests with their results and instruments.
pub fn tests(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "tests", "Commissioning tests");
    let facts = &sheet.facts;
    let all = facts.things("test");
    if all.is_empty() {
        document.paragraph(words("The job lists no test."));
        return;
    }
    let shown_apart = ["kind", "date", "result", "tester", "instrument", "calibrated", "device", "while"];
    let rows = all.iter().map(|id| {
        let fields = facts.definition(*id).fields.iter().enumerate();
        let measured = fields.filter(|(_, field)| !shown_apart.contains(&field.name.as_str()));
        let measured: Vec<String> = measured
            .map(|(at, field)| (field.name.replace('-', " "), facts.shown(*id, at)))
            .filter(|(_, text)| !text.is_empty())
            .map(|(name, text)| format!("{name} {text}"))
            .collect();
        let at: Vec<String> = ["device", "while"].iter().map(|name| facts.text(*id, name)).filter(|text| !text.is_empty()).collect();
        vec![
            words(facts.text(*id, "kind").replace('-', " ")),
            words(facts.text(*id, "date")),
            result(&facts.text(*id, "result")),
            words(at.join(", ")),
            words(measured.join("; ")),
            words(facts.text(*id, "tester")),
        ]
    });
    let heads = ["Test", "Date", "Result", "Device, direction", "Measured", "By"];
    document.blocks.push(Block::Ledger(Ledger::plain("Tests, as the job lists them", &heads, rows.collect())));
    instruments(sheet, &all, document);
}

/// A result, with weight on what is not passed.
fn result(text: &str) -> Line {
    if text == "passed" { words(text) } else { vec![Run::Strong(text.replace('-', " "))] }
}

fn instruments(sheet: &Sheet, tests: &[RecordId], document: &mut Document) {
    let facts = &sheet.facts;
    let mut used: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    for test in tests {
        let instrument = facts.text(*test, "instrument");
        if !instrument.is_empty() && instrument != "none" {
            used.entry((instrument, facts.text(*test, "calibrated"))).or_default().push(facts.text(*test, "kind").replace('-', " "));
        }
    }
    let rows: Vec<Vec<Line>> = used
        .into_iter()
        .map(|((instrument, calibrated), mut kinds)| {
            kinds.dedup();
            let calibrated = if calibrated.is_empty() { "not stated".to_string() } else { calibrated };
            vec![words(instrument), words(calibrated), words(kinds.join(", "))]
        })
        .collect();
    if !rows.is_empty() {
        document.blocks.push(Block::Ledger(Ledger::plain("Instruments", &["Instrument", "Last calibrated", "Used for"], rows)));
    }
}

/// Visits so far, and what is to be looked at again by when.
pub fn visits(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "visits", "What is to be inspected again, and when");
    let facts = &sheet.facts;
    let mut due: Vec<(String, Line, Line)> = Vec::new();
    for row in &sheet.rows {
        if let Some(day) = &row.due {
            let what = vec![Run::plain(format!("{} ", row.finding.title)), Run::Code(row.finding.clause_name())];
            due.push((day.to_string(), what, words(row.finding.thing.clone())));
        }
    }
    for visit in facts.things("inspection") {
        if let Some(Datum::Days(_)) = facts.datum(visit, "next-due") {
            let what = format!("the next visit after {} of {}", facts.text(visit, "kind").replace('-', " "), facts.text(visit, "date"));
            due.push((facts.text(visit, "next-due"), words(what), words(facts.name(visit))));
        }
    }
    due.sort_by(|one, other| one.0.cmp(&other.0));
    due.dedup();
    let today = sheet.subject.today.to_string();
    if due.is_empty() {
        document.paragraph(words(
            "No clause in force and no record of this job gives a day. The maker's instructions and the owner's monthly look still stand.",
        ));
    } else {
        let state = |day: &str| if day < today.as_str() { vec![Run::Strong("past".into())] } else { words("to come") };
        let rows = due.into_iter().map(|(day, what, thing)| vec![words(day.clone()), state(&day), what, thing]).collect();
        document.blocks.push(Block::Ledger(Ledger::plain(
            "Next inspections and tests, and the last day of each",
            &["By", "State", "What", "Where"],
            rows,
        )));
    }
    let rows: Vec<Vec<Line>> = facts
        .things("inspection")
        .iter()
        .map(|id| {
            let mut cells = vec![words(facts.text(*id, "kind").replace('-', " ")), words(facts.text(*id, "date"))];
            cells.push(result(&facts.text(*id, "result")));
            cells.extend(["who", "next-due"].iter().map(|name| facts.line(*id, name)));
            cells
        })
        .collect();
    if !rows.is_empty() {
        document.blocks.push(Block::Ledger(Ledger::plain("Visits so far", &["Visit", "Date", "Result", "By", "Next due"], rows)));
    }
}

/// A value of a record in the reader's units, for a sum beside it.
pub fn datum_shown(sheet: &Sheet, datum: &Datum) -> String {
    middle_text_in(sheet.subject.program, datum, sheet.subject.job.units)
}
