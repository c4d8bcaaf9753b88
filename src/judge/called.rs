//! What a value is called in a finding: a fact or a named value by its name, a formula or a calculation by what it tells, with its
//! arguments named in turn. It must not know values or verdicts.

use super::words::told_of;
use crate::builtin::{BuiltIn, ROWS};
use crate::language::program::{Expr, Op, Program};

/// Longest calculation, in bytes, that a sentence names as the pack writes it.
const LONGEST: usize = 48;

/// What somebody who reads a finding calls a value; `lets` are the named values of its section. Nothing where it is a calculation
/// without a name, too long for a sentence.
pub(super) fn called(program: &Program, of: &Expr, lets: &[(String, Expr)]) -> Option<String> {
    match &of.op {
        Op::Let(at) => lets.get(*at).map(|(name, _)| name.clone()),
        Op::Formula(..) | Op::BuiltIn(..) => told(program, of, lets).or_else(|| written(program, of)),
        _ => written(program, of),
    }
}

/// What a formula or a calculation tells, in the words of its definition: a reader of a finding has not seen the inner name.
pub(super) fn told(program: &Program, of: &Expr, lets: &[(String, Expr)]) -> Option<String> {
    match &of.op {
        Op::Formula(at, _) => told_of(program.formulas[*at].doc.as_str()),
        Op::BuiltIn(at, arguments) => {
            let row: &BuiltIn = ROWS.get(*at)?;
            let names = arguments.iter().map(|one| called(program, one, lets).unwrap_or_else(|| "a value worked out".into()));
            told_of(&row.says_of(&names.collect::<Vec<_>>()))
        }
        _ => None,
    }
}

/// A short calculation as the pack writes it.
fn written(program: &Program, of: &Expr) -> Option<String> {
    let written = program.files.get(of.span.file).map_or("", |source| source.slice(of.span.range()));
    let short = !written.is_empty() && written.len() <= LONGEST && !written.contains('\n');
    short.then(|| written.to_string())
}
