//! What a section names at all, read off its expressions and the formulas that it calls: an outer bound of what it can read of any gate. It
//! must not know jobs.

use crate::builtin;
use crate::datum::DefId;
use crate::judge::paths::own_field;
use crate::language::program::{Expr, FieldId, Op, Over, Program, Section};
use crate::language::walk::{exprs, section_exprs};

/// Facts and kinds of record.
#[derive(Debug, Default)]
pub struct Named {
    /// Facts of kinds of record.
    pub facts: Vec<(DefId, FieldId)>,
    /// Kinds of record whose things are walked.
    pub things: Vec<DefId>,
}

/// The kinds of record that a kind stands for: itself, or those that it gathers.
pub fn members(program: &Program, def: DefId) -> Vec<DefId> {
    let gathers = &program.definition(def).gathers;
    if gathers.is_empty() { vec![def] } else { gathers.iter().flat_map(|member| members(program, *member)).collect() }
}

/// What a section names.
pub fn named(program: &Program, section: &Section) -> Named {
    let mut found = Named::default();
    let mut formulas: Vec<usize> = Vec::new();
    section_exprs(section, &mut |expr| found.take(program, expr, &mut formulas));
    let mut at = 0;
    while let Some(formula) = formulas.get(at).copied() {
        exprs(&program.formulas[formula].body, &mut |expr| found.take(program, expr, &mut formulas));
        at += 1;
    }
    for binder in &section.binders {
        if let Over::Things(def, _) | Over::Pairs(def, _) = binder.over {
            found.things.extend(members(program, def));
        }
    }
    found
}

impl Named {
    fn take(&mut self, program: &Program, expr: &Expr, formulas: &mut Vec<usize>) {
        match &expr.op {
            Op::Fact(path, field) | Op::FactGiven(path, field) => {
                self.facts.extend(members(program, path.def).into_iter().map(|def| (def, own_field(program, path.def, def, *field))));
            }
            Op::BuiltIn(at, _) => {
                let read = builtin::ROWS[*at].reads().filter_map(|(of, fact)| {
                    let def = program.definition_named(of)?;
                    Some((def, program.definition(def).field(fact)?))
                });
                self.facts.extend(read);
            }
            Op::Quantified(_, walk, _) | Op::Aggregate(_, _, walk) => {
                let def = program.definition(walk.base.def).children.get(walk.list);
                self.things.extend(def.into_iter().flat_map(|def| members(program, *def)));
            }
            Op::Thing(path) | Op::ThingGiven(path) | Op::Id(path) => self.things.extend(members(program, path.def)),
            Op::Formula(at, _) if !formulas.contains(at) => formulas.push(*at),
            _ => {}
        }
    }
}
