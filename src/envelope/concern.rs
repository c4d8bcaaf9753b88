//! Which sections may depend on a fact: an outer bound, read off the checked program. It must not know jobs.

use crate::datum::DefId;
use crate::judge::paths::own_field;
use crate::judge::variance::Variance;
use crate::language::program::{Expr, FieldId, Op, Program, ThingPath};
use crate::language::walk::{exprs, section_exprs};
use std::collections::BTreeSet;

/// A fact of a kind of record.
type Named = (DefId, FieldId);

/// Every section that may depend on one of these facts of kinds of records, in order. What is asked for together because its
/// verdicts are weighed against each other (a minimum and the text above it, two texts of one section) comes together.
pub fn sections_concerned(program: &Program, variances: &[Variance], facts: &[Named]) -> Vec<usize> {
    let formulas = formulas_concerned(program, facts);
    let concerns = |expr: &Expr| is_concerned(program, expr, facts, &formulas);
    // Where the date of a code hangs on it, so does everything.
    if program.codes.iter().filter_map(|code| code.force.as_ref()).any(|force| concerns(&force.by)) {
        return (0..program.sections.len()).collect();
    }
    let mut found: BTreeSet<usize> = BTreeSet::new();
    for (at, section) in program.sections.iter().enumerate() {
        let mut own = false;
        section_exprs(section, &mut |expr| own |= reads(program, expr, facts, &formulas));
        if own {
            found.insert(at);
        }
    }
    let limits = variances.iter().flat_map(Variance::limits);
    found.extend(limits.filter(|(_, limit)| concerns(limit)).map(|(section, _)| section));
    while spread(program, &mut found) {}
    found.into_iter().collect()
}

/// Takes in what rests on a section found so far or is weighed against it; whether there was any.
fn spread(program: &Program, found: &mut BTreeSet<usize>) -> bool {
    let ids: BTreeSet<&str> = found.iter().map(|at| program.sections[*at].id.as_str()).collect();
    let mut more = Vec::new();
    for (at, section) in program.sections.iter().enumerate().filter(|(at, _)| !found.contains(at)) {
        let mut rests = ids.contains(section.id.as_str()) || section.floor_of.is_some_and(|above| found.contains(&above));
        section_exprs(section, &mut |expr| rests |= matches!(&expr.op, Op::Complies(_, id) if ids.contains(id.as_str())));
        rests |= found.iter().any(|other| program.sections[*other].floor_of == Some(at));
        if rests {
            more.push(at);
        }
    }
    found.extend(&more);
    !more.is_empty()
}

/// For each formula, whether it reads one of the facts, by itself or through others.
fn formulas_concerned(program: &Program, facts: &[Named]) -> Vec<bool> {
    let mut known = vec![false; program.formulas.len()];
    loop {
        let next: Vec<bool> = program.formulas.iter().map(|formula| is_concerned(program, &formula.body, facts, &known)).collect();
        if next == known {
            return known;
        }
        known = next;
    }
}

fn is_concerned(program: &Program, expr: &Expr, facts: &[Named], formulas: &[bool]) -> bool {
    let mut found = false;
    exprs(expr, &mut |part| found |= reads(program, part, facts, formulas));
    found
}

/// Whether an expression itself, its parts aside, reads one of the facts.
fn reads(program: &Program, expr: &Expr, facts: &[Named], formulas: &[bool]) -> bool {
    match &expr.op {
        Op::Fact(path, field) | Op::FactGiven(path, field) => facts.iter().any(|fact| is_fact(program, path, *field, *fact)),
        Op::Formula(at, _) => formulas[*at],
        Op::BuiltIn(row, _) => crate::builtin::ROWS[*row].reads().any(|(of, fact)| {
            facts.iter().any(|(def, field)| program.definition(*def).name == of && program.definition(*def).fields[*field].name == fact)
        }),
        _ => false,
    }
}

/// Whether a path ends at that fact; a path to a gathered kind ends at the facts of every kind that it gathers.
fn is_fact(program: &Program, path: &ThingPath, field: FieldId, (def, own): Named) -> bool {
    let gathers = |path: DefId| program.definition(path).gathers.contains(&def);
    let reaches = path.def == def || gathers(path.def) || program.definition(path.def).gathers.iter().any(|inner| gathers(*inner));
    reaches && own_field(program, path.def, def, field) == own
}
