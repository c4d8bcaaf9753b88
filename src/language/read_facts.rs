//! Which facts any section of a program reads, so that nothing need be said of a job's other facts. It must not know what is read of
//! them.

use super::program::{Definition, Expr, Op, Program};
use super::walk::{exprs, section_exprs};
use crate::builtin;
use crate::datum::DefId;
use std::collections::HashSet;

/// Marks every fact that a section, a formula or the derivation of another fact reads. One of a gathered kind is read of each kind in it.
pub fn mark_read(program: &mut Program) {
    let mut read: HashSet<(DefId, usize)> = HashSet::new();
    let mut named: HashSet<(&str, &str)> = HashSet::new();
    let mut visit = |expr: &Expr| match &expr.op {
        Op::Fact(path, field) | Op::FactGiven(path, field) => drop(read.insert((path.def, *field))),
        Op::BuiltIn(at, _) => named.extend(builtin::ROWS[*at].reads()),
        _ => {}
    };
    program.sections.iter().for_each(|section| section_exprs(section, &mut visit));
    program.formulas.iter().for_each(|formula| exprs(&formula.body, &mut visit));
    program.derivations.iter().for_each(|derivation| exprs(&derivation.value, &mut visit));
    program.codes.iter().filter_map(|code| code.force.as_ref()).for_each(|force| exprs(&force.by, &mut visit));
    let gathered: Vec<(DefId, String)> = read
        .iter()
        .map(|(def, field)| (&program.definitions[def.0 as usize], *field))
        .flat_map(|(definition, field)| {
            let name = definition.fields.get(field).map_or("", |field| field.name.as_str());
            definition.gathers.iter().map(move |member| (*member, name.to_string()))
        })
        .collect();
    let mark = |definition: &mut Definition, name: &str| {
        definition.fields.iter_mut().filter(|field| field.name == name).for_each(|field| field.read = true);
    };
    for (def, name) in gathered {
        mark(&mut program.definitions[def.0 as usize], &name);
    }
    for (at, definition) in program.definitions.iter_mut().enumerate() {
        let kind = definition.name.clone();
        named.iter().filter(|(of, _)| *of == kind).for_each(|(_, name)| mark(definition, name));
        for (number, field) in definition.fields.iter_mut().enumerate() {
            field.read |= u32::try_from(at).is_ok_and(|at| read.contains(&(DefId(at), number)));
        }
    }
}
