//! What facts are taken as where a job does not state them: each assumed value moved a step, and the clauses whose limit such a
//! value meets exactly. It must not know which trials there are.

use super::change::{Change, Changed};
use super::nudge::{beside, is_negative};
use super::text::quoted;
use crate::datum::{Datum, Kind};
use crate::judge::words::datum_text;
use crate::language::check_trial::own_sections;
use crate::language::program::{Expr, Op, Program, TakenAs};
use crate::language::walk::exprs;
use crate::source::{FileId, Span};

/// A clause that compares a fact with a limit at which the value lies that is taken for the fact where nobody states it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AtLimit {
    /// The clause or exception: `us-gates/lens-height (a)`.
    pub place: String,
    /// What is taken for what, and where it lies.
    pub words: String,
    /// Where the comparison stands.
    pub span: Span,
}

/// Each value that the pack's own facts are taken as, moved to the values beside it.
pub fn changes(program: &Program, pack: &str, files: &[FileId]) -> Vec<Change> {
    let mut changes = Vec::new();
    for (at, definition) in program.definitions.iter().enumerate().filter(|(_, definition)| definition.gathers.is_empty()) {
        for (number, field) in definition.fields.iter().enumerate().filter(|(_, field)| files.contains(&field.span.file)) {
            let Some(TakenAs::Value(datum)) = &field.taken else { continue };
            let written = datum_text(program, datum);
            let possible = |moved: &Datum| field.signed || !is_negative(moved);
            let moved = beside(datum, &written, &field.kind, false, &program.lists).into_iter().filter(|(moved, _)| possible(moved));
            changes.extend(moved.map(|(moved, shown)| Change {
                place: format!("{pack}/{}", definition.name),
                words: format!("{}: taken as {written} becomes taken as {shown}", field.name),
                span: field.span,
                item: Changed::Taken(at, number, TakenAs::Value(moved)),
                limit: None,
            }));
        }
    }
    changes
}

/// The pack's own clauses and exceptions with a limit at which an assumed value lies: there the pack decides by a value that nobody
/// saw, and on the very edge.
pub fn at_limits(program: &Program, pack: &str) -> Vec<AtLimit> {
    let mut found = Vec::new();
    let own = own_sections(program, pack).into_iter().map(|at| &program.sections[at]).filter(|section| section.floor_pack.is_none());
    for section in own {
        let mut look = |place: String, expr: &Expr| {
            exprs(expr, &mut |part| {
                found.extend(limit_met(program, part).map(|words| AtLimit { place: place.clone(), words, span: part.span }));
            });
        };
        for norm in &section.norms {
            let place = format!("{} ({})", section.id, norm.label);
            norm.condition.iter().chain([&norm.body]).for_each(|expr| look(place.clone(), expr));
        }
        for except in &section.excepts {
            let place = format!("{} ({})", section.id, except.label);
            except.filter.iter().chain(&except.unless).for_each(|expr| look(place.clone(), expr));
        }
    }
    found
}

/// A comparison of a fact with a limit that is the very value that the fact is taken as.
fn limit_met(program: &Program, expr: &Expr) -> Option<String> {
    let (fact, limits) = match &expr.op {
        Op::Compare(_, fact, limit) => (fact, vec![limit]),
        Op::Between(fact, low, high) => (fact, vec![low, high]),
        _ => return None,
    };
    let Op::Fact(path, number) = &fact.op else { return None };
    let field = &program.definition(path.def).fields[*number];
    let Some(TakenAs::Value(taken)) = &field.taken else { return None };
    let value = number_of(taken).filter(|_| !matches!(field.kind, Kind::Count))?;
    limits.iter().any(|limit| matches!(&limit.op, Op::Literal(datum) if number_of(datum) == Some(value))).then(|| {
        format!(
            "{} is taken as {} where it is not stated, and that lies exactly at the limit of {}",
            field.name,
            datum_text(program, taken),
            quoted(program, expr.span)
        )
    })
}

fn number_of(datum: &Datum) -> Option<crate::quantity::Exact> {
    match datum {
        Datum::Number(value, _) => value.as_point(),
        _ => None,
    }
}
