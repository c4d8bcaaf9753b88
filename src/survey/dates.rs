//! By which dates the sections of a program are judged: the permit's, the day on which an operator was made, today. It must not know how
//! they are shown.

use crate::datum::Datum;
use crate::job::{Fact, Job};
use crate::language::program::{Expr, Op, Program, Section};
use crate::language::walk::{exprs, section_exprs};
use std::collections::{BTreeMap, BTreeSet};

/// A date by which sections are judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Basis {
    /// The fact, as a pack names it, `today`, or nothing where no date decides.
    pub by: Option<String>,
    /// What the job states for it, each once.
    pub stated: Vec<String>,
    /// The sections.
    pub sections: Vec<String>,
}

/// Whether a section asks which day it is.
pub fn asks_today(program: &Program, section: &Section) -> bool {
    let mut found = false;
    section_exprs(section, &mut |expr| {
        found |= match &expr.op {
            Op::Today => true,
            Op::Formula(at, _) => formula_asks_today(program, *at),
            _ => false,
        };
    });
    found
}

fn formula_asks_today(program: &Program, at: usize) -> bool {
    let mut found = false;
    exprs(&program.formulas[at].body, &mut |expr| {
        // A formula calls only those before it.
        found |= match &expr.op {
            Op::Today => true,
            Op::Formula(other, _) => *other < at && formula_asks_today(program, *other),
            _ => false,
        };
    });
    found
}

/// Every date with its sections, those of most sections first; what no date decides comes last.
pub fn bases(program: &Program, job: &Job) -> Vec<Basis> {
    let mut found: BTreeMap<Option<String>, (Vec<String>, BTreeSet<String>)> = BTreeMap::new();
    let mut take = |by: Option<String>, stated: Vec<String>, section: &Section| {
        let entry = found.entry(by).or_default();
        entry.0 = stated;
        entry.1.insert(section.id.clone());
    };
    for section in &program.sections {
        let codes = section.roots.iter().filter_map(|root| program.codes.get(*root)?.force.as_ref());
        let forces: Vec<&Expr> = codes.chain(&section.force).map(|force| &force.by).collect();
        for by in &forces {
            let (name, stated) = told(program, job, by);
            take(Some(name), stated, section);
        }
        let today = asks_today(program, section);
        if today {
            take(Some("today".into()), Vec::new(), section);
        }
        if forces.is_empty() && !today {
            take(None, Vec::new(), section);
        }
    }
    let mut all: Vec<Basis> =
        found.into_iter().map(|(by, (stated, sections))| Basis { by, stated, sections: sections.into_iter().collect() }).collect();
    all.sort_by_key(|basis| (basis.by.is_none(), std::cmp::Reverse(basis.sections.len()), basis.by.clone()));
    all
}

/// A date as a pack names it, and what the job states for it.
fn told(program: &Program, job: &Job, by: &Expr) -> (String, Vec<String>) {
    let (mut names, mut stated) = (Vec::new(), BTreeSet::new());
    exprs(by, &mut |expr| {
        let Op::Fact(path, field) = &expr.op else { return };
        let definition = program.definition(path.def);
        names.push(format!("{}.{}", definition.name, definition.fields[*field].name));
        for record in job.records.iter().filter(|record| record.def == path.def) {
            stated.insert(match &record.facts[*field] {
                Fact::Stated(stated) => match &stated.datum {
                    Datum::Days(days) => days.to_string(),
                    _ => continue,
                },
                Fact::Nothing(_) => "none".to_string(),
                _ => "not stated".to_string(),
            });
        }
    });
    let name = if names.is_empty() { "today".to_string() } else { names.join(", ") };
    (name, stated.into_iter().collect())
}
