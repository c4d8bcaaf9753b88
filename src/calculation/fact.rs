//! Facts of the job as a calculation names them: whose, as written, on which line, assumed or not, with which tolerance. It
//! must not know expressions.

use super::amount::{Digits, number_shown, point};
use super::tree::{Given, Place};
use crate::datum::{Datum, Kind};
use crate::job::record::ToleranceFrom;
use crate::job::{Fact, Job, RecordId};
use crate::judge::paths::thing_name;
use crate::judge::value::Number;
use crate::judge::words::datum_text;
use crate::language::program::{Field, Program, TakenAs};
use crate::quantity::Units;
use crate::source::{Files, Span};

/// The place of a span.
pub fn place(files: Files, span: Span) -> Option<Place> {
    files.place(span).map(|(file, place)| Place { file: file.to_string(), line: place.line })
}

/// A fact by its record and its position in the record's own definition.
pub fn given(program: &Program, job: &Job, files: Files, id: RecordId, at: usize) -> Given {
    let record = job.record(id);
    let definition = program.definition(record.def);
    let field = &definition.fields[at];
    let fact = &record.facts[at];
    let (as_written, span) = match fact {
        Fact::Stated(stated) => (Some(as_written(program, files, &stated.datum, stated.span)), stated.span),
        Fact::Nothing(span) => (Some("none".into()), *span),
        Fact::Blank(span) | Fact::Spoiled(span) => (None, *span),
        Fact::Absent => (None, record.span),
    };
    Given {
        name: format!("{}.{}", definition.name, field.name),
        thing: thing_name(program, job, id),
        as_written,
        place: place(files, span),
        assumed: matches!((fact, &field.taken), (Fact::Absent, Some(TakenAs::Value(_)))),
        tolerance: tolerance(fact, field, job.units),
        measure: field.doc.clone(),
        follows_from: None,
    }
}

/// What a fact is taken as when the job does not state it.
pub fn taken_as(program: &Program, field: &Field) -> Option<String> {
    field.taken.as_ref().map(|taken| match taken {
        TakenAs::Nothing => "none".into(),
        TakenAs::Value(datum) => datum_text(program, datum),
    })
}

/// The text of a value in the job; a value over several lines is written anew.
pub fn as_written(program: &Program, files: Files, datum: &Datum, span: Span) -> String {
    let text = files.text(span);
    if text.is_empty() || text.contains('\n') { datum_text(program, datum) } else { text.to_string() }
}

fn tolerance(fact: &Fact, field: &Field, units: Units) -> Option<String> {
    let Fact::Stated(stated) = fact else { return None };
    let says = match stated.tolerance {
        ToleranceFrom::NotMeasured => return None,
        ToleranceFrom::Nowhere => return Some("no tolerance is stated: judged as read".into()),
        ToleranceFrom::Own => "stated with the value",
        ToleranceFrom::Job => "stated by the job for its readings",
    };
    let Datum::Number(interval, unit) = &stated.datum else { return None };
    let unit = &unit.map(|unit| units.of(unit));
    let half = interval.hi?.sub(interval.middle()?)?;
    // A tolerance on a temperature scale is a difference, which has no nought to be counted from.
    let text = if matches!(field.kind, Kind::Temperature) {
        let number = Number { interval: *interval, doubt: crate::judge::doubt::Doubt::default(), unit: *unit };
        number_shown(&number, &field.kind, *unit, &Digits::new()).marked()
    } else {
        format!("± {}", point(half, &field.kind, *unit, &Digits::new()).marked())
    };
    Some(format!("{text}, {says}"))
}
