//! Whether the limit that a variance grants speaks of what the clause is about. It must not know what either comes to.

use crate::builtin;
use crate::language::program::{Expr, Op, Program, Section};
use crate::language::walk::exprs;
use std::collections::BTreeSet;

/// Whether a granted limit names a fact or a kind of thing that the clause of this letter reads, by itself or by what it rests on. A limit
/// that does not would hold whatever the clause asks.
pub fn speaks_of(program: &Program, section: &Section, label: char, limit: &Expr) -> bool {
    let clause = section.norms.iter().filter(|norm| norm.label == label).flat_map(|norm| norm.condition.iter().chain([&norm.body]));
    let scope = section.binders.iter().filter_map(|binder| binder.filter.as_ref());
    let read = read(program, section, clause.chain(scope).collect());
    read.is_empty() || !read.is_disjoint(&self::read(program, section, vec![limit]))
}

/// Names of the facts and kinds of thing that expressions of a section read, those of named values, formulas and other sections included.
fn read<'a>(program: &'a Program, section: &'a Section, mut next: Vec<&'a Expr>) -> BTreeSet<&'a str> {
    let (mut found, mut seen) = (BTreeSet::new(), BTreeSet::new());
    while let Some(expr) = next.pop() {
        if !seen.insert(std::ptr::from_ref(expr)) {
            continue;
        }
        exprs(expr, &mut |part| match &part.op {
            Op::Fact(path, field) | Op::FactGiven(path, field) => {
                found.extend(program.definition(path.def).fields.get(*field).map(|field| field.name.as_str()));
            }
            Op::Quantified(_, walk, _) | Op::Aggregate(_, _, walk) => {
                let member = program.definition(walk.base.def).children.get(walk.list);
                found.extend(member.map(|def| program.definition(*def).name.as_str()));
            }
            Op::Thing(path) | Op::ThingGiven(path) => drop(found.insert(program.definition(path.def).name.as_str())),
            Op::BuiltIn(at, _) => found.extend(builtin::ROWS[*at].reads().map(|(_, fact)| fact)),
            Op::Let(at) => next.extend(section.lets.get(*at).map(|(_, value)| value)),
            Op::Formula(at, _) => next.push(&program.formulas[*at].body),
            Op::Complies(_, id) => {
                let norms = program.sections.iter().filter(|section| section.id == *id).flat_map(|section| &section.norms);
                next.extend(norms.flat_map(|norm| norm.condition.iter().chain([&norm.body])));
            }
            _ => {}
        });
    }
    found
}
