//! Which sections a change of a pack can touch: those that use the changed item, and those that rest on them. It must not know
//! trials.

use super::change::Changed;
use crate::language::program::{Formula, Op, Over, Program};
use crate::language::walk::{exprs, section_exprs};
use std::collections::BTreeSet;

/// What each section and formula of a program uses.
pub struct Uses {
    tables: Vec<BTreeSet<usize>>,
    formulas: Vec<BTreeSet<usize>>,
    /// For each section, the sections that it rests on; a floor and what stands above it rest on each other.
    rests: Vec<BTreeSet<usize>>,
    /// For each section, the codes that carry it.
    codes: Vec<BTreeSet<usize>>,
}

impl Uses {
    /// Goes through a program once.
    pub fn of(program: &Program) -> Uses {
        let of_formulas = formulas_with_inner(&program.formulas);
        let mut uses = Uses { tables: Vec::new(), formulas: Vec::new(), rests: Vec::new(), codes: Vec::new() };
        for section in &program.sections {
            uses.codes.push(section.roots.iter().copied().collect());
            let (mut tables, mut formulas, mut ids) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
            for binder in &section.binders {
                if let Over::Rows(table) = binder.over {
                    tables.insert(table);
                }
            }
            section_exprs(section, &mut |expr| match &expr.op {
                Op::LookUp(table, ..) => {
                    tables.insert(*table);
                }
                Op::Formula(formula, _) => {
                    let (inner_tables, inner_formulas) = &of_formulas[*formula];
                    tables.extend(inner_tables);
                    formulas.extend(inner_formulas);
                }
                Op::Complies(_, id) => {
                    ids.insert(id.as_str());
                }
                _ => {}
            });
            let rests_on = |other: &(usize, &crate::language::program::Section)| ids.contains(other.1.id.as_str());
            let rests = program.sections.iter().enumerate().filter(rests_on).map(|(at, _)| at).chain(section.floor_of).collect();
            uses.tables.push(tables);
            uses.formulas.push(formulas);
            uses.rests.push(rests);
        }
        for (at, section) in program.sections.iter().enumerate() {
            if let Some(above) = section.floor_of {
                uses.rests[above].insert(at);
            }
        }
        uses
    }

    /// The sections whose verdicts a change can touch, in order.
    pub fn touched(&self, item: &Changed) -> Vec<usize> {
        let using = |sets: &[BTreeSet<usize>], at: usize| {
            sets.iter().enumerate().filter(move |(_, set)| set.contains(&at)).map(|(number, _)| number).collect::<Vec<_>>()
        };
        let mut next = match item {
            Changed::Part(at, ..) | Changed::Condition(at, ..) | Changed::Days(at, ..) => vec![*at],
            Changed::CodeDays(at, ..) => using(&self.codes, *at),
            Changed::Clause(at, ..) | Changed::Exception(at, ..) => vec![*at],
            Changed::Cell(at, ..) | Changed::Row(at, ..) => using(&self.tables, *at),
            Changed::FormulaPart(at, ..) => using(&self.formulas, *at),
            // A fact is reached by paths, through lists, by calculations that read of a thing what they need, and by facts that
            // follow from it: any section can rest on it.
            Changed::Taken(..) => (0..self.codes.len()).collect(),
        };
        let mut touched = BTreeSet::new();
        while let Some(at) = next.pop() {
            if touched.insert(at) {
                next.extend(using(&self.rests, at));
            }
        }
        touched.into_iter().collect()
    }
}

/// For each formula, the tables that it looks up and the formulas that it is made of, itself included. A formula uses only
/// those that could be checked before it or after it, so this goes on until nothing is added.
fn formulas_with_inner(formulas: &[Formula]) -> Vec<(BTreeSet<usize>, BTreeSet<usize>)> {
    let mut all: Vec<(BTreeSet<usize>, BTreeSet<usize>)> = Vec::new();
    for (at, formula) in formulas.iter().enumerate() {
        let (mut tables, mut inner) = (BTreeSet::new(), BTreeSet::from([at]));
        exprs(&formula.body, &mut |expr| match &expr.op {
            Op::LookUp(table, ..) => {
                tables.insert(*table);
            }
            Op::Formula(other, _) => {
                inner.insert(*other);
            }
            _ => {}
        });
        all.push((tables, inner));
    }
    loop {
        let before: usize = all.iter().map(|(tables, inner)| tables.len() + inner.len()).sum();
        for at in 0..all.len() {
            for other in all[at].1.clone() {
                let (tables, inner) = all[other].clone();
                all[at].0.extend(tables);
                all[at].1.extend(inner);
            }
        }
        if all.iter().map(|(tables, inner)| tables.len() + inner.len()).sum::<usize>() == before {
            return all;
        }
    }
}
