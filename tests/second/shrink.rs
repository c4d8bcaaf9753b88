//! Makes a disagreement smaller, one piece at a time, for as long as it stays one.

use super::model::*;
use super::random::{drop_unused_tables, uses_all_names};

#[derive(Clone)]
pub struct Case {
    pub pack: Pack,
    pub job: Job,
}

/// Tries every single step again and again until none helps; `still` says whether a case disagrees.
pub fn shrink(mut case: Case, still: impl Fn(&Case) -> bool) -> Case {
    let mut tries = 0;
    'again: loop {
        for smaller in steps(&case) {
            tries += 1;
            if tries > 3000 {
                return case;
            }
            if still(&smaller) {
                case = smaller;
                continue 'again;
            }
        }
        return case;
    }
}

/// Every case that is one piece smaller and still valid.
fn steps(case: &Case) -> Vec<Case> {
    let mut steps = Vec::new();
    if case.pack.sections.len() > 1 {
        for at in 0..case.pack.sections.len() {
            let mut smaller = case.clone();
            smaller.pack.sections.remove(at);
            steps.push(smaller);
        }
    }
    for (at, section) in case.pack.sections.iter().enumerate() {
        for smaller in sections(section) {
            let mut case = case.clone();
            case.pack.sections[at] = smaller;
            steps.push(case);
        }
    }
    for root in records(&case.job.root) {
        let mut case = case.clone();
        case.job.root = root;
        steps.push(case);
    }
    if case.job.tape_tolerance.is_some() {
        let mut smaller = case.clone();
        smaller.job.tape_tolerance = None;
        steps.push(smaller);
    }
    for smaller in &mut steps {
        drop_unused_tables(&mut smaller.pack);
    }
    steps.retain(|case| case.pack.sections.iter().all(|section| uses_all_names(&case.pack, section)));
    steps
}

fn without<T: Clone>(list: &[T], at: usize) -> Vec<T> {
    let mut list = list.to_vec();
    list.remove(at);
    list
}

fn sections(section: &Section) -> Vec<Section> {
    let mut steps = Vec::new();
    let mut push = |change: &dyn Fn(&mut Section)| {
        let mut smaller = section.clone();
        change(&mut smaller);
        // A let that nothing asks for any more goes with what asked for it.
        let names = super::names::Names::of_section(&smaller);
        smaller.lets.retain(|(name, _)| names.mentions(name));
        steps.push(smaller);
    };
    if section.force.is_some() {
        push(&|smaller| smaller.force = None);
    }
    for at in 0..section.exceptions.len() {
        push(&|smaller| smaller.exceptions = without(&section.exceptions, at));
        let Exception { when, unless } = &section.exceptions[at];
        if when.is_some() && unless.is_some() {
            push(&|smaller| smaller.exceptions[at].unless = None);
            push(&|smaller| smaller.exceptions[at].when = None);
        }
        for cond in when.iter().flat_map(conditions) {
            push(&|smaller| smaller.exceptions[at].when = Some(cond.clone()));
        }
        for cond in unless.iter().flat_map(conditions) {
            push(&|smaller| smaller.exceptions[at].unless = Some(cond.clone()));
        }
    }
    for at in 0..section.norms.len() {
        if section.norms.len() > 1 {
            push(&|smaller| smaller.norms = without(&section.norms, at));
        }
        if section.norms[at].condition.is_some() {
            push(&|smaller| smaller.norms[at].condition = None);
        }
        for cond in section.norms[at].condition.iter().flat_map(conditions) {
            push(&|smaller| smaller.norms[at].condition = Some(cond.clone()));
        }
        for cond in conditions(&section.norms[at].body) {
            push(&|smaller| smaller.norms[at].body = cond.clone());
        }
    }
    for at in 0..section.binders.len() {
        if section.binders[at].filter.is_some() {
            push(&|smaller| smaller.binders[at].filter = None);
        }
        for cond in section.binders[at].filter.iter().flat_map(conditions) {
            push(&|smaller| smaller.binders[at].filter = Some(cond.clone()));
        }
        if section.binders.len() > 1 && !matches!(section.binders[at].what, What::Each(..)) {
            push(&|smaller| smaller.binders = without(&section.binders, at));
        }
    }
    // Without its binder a name would hang in the air.
    steps.retain(no_name_hangs);
    steps
}

fn no_name_hangs(section: &Section) -> bool {
    let names = super::names::Names::of_section(section);
    let bound =
        |name: &str| section.binders.iter().any(|binder| matches!(&binder.what, What::RowOf(_, n) | What::WordOf(_, n) if *n == name));
    ["need", "way", "direction"].iter().all(|name| bound(name) || !names.mentions(name))
}

/// Smaller conditions in the place of one.
fn conditions(cond: &Cond) -> Vec<Cond> {
    let rebuilt = |parts: &[Cond], build: fn(Vec<Cond>) -> Cond| -> Vec<Cond> {
        let mut steps: Vec<Cond> = parts.to_vec();
        for (at, part) in parts.iter().enumerate() {
            if parts.len() > 2 {
                steps.push(build(without(parts, at)));
            }
            for smaller in conditions(part) {
                let mut parts = parts.to_vec();
                parts[at] = smaller;
                steps.push(build(parts));
            }
        }
        steps
    };
    match cond {
        Cond::And(parts) => rebuilt(parts, Cond::And),
        Cond::Or(parts) => rebuilt(parts, Cond::Or),
        Cond::AnyOf(parts) => rebuilt(parts, Cond::AnyOf),
        Cond::AllOf(parts) => rebuilt(parts, Cond::AllOf),
        Cond::Not(inner) => {
            let smaller = conditions(inner).into_iter().map(|inner| Cond::Not(Box::new(inner)));
            [(**inner).clone()].into_iter().chain(smaller).collect()
        }
        Cond::Walk { each, walk, body } => {
            let with = |filter: Option<Cond>| {
                let walk = Walk { filter: filter.map(Box::new), ..walk.clone() };
                Cond::Walk { each: *each, walk, body: body.clone() }
            };
            let mut steps: Vec<Cond> = walk.filter.iter().map(|_| with(None)).collect();
            steps.extend(walk.filter.iter().flat_map(|filter| conditions(filter)).map(|filter| with(Some(filter))));
            let bodies = conditions(body).into_iter();
            steps.extend(bodies.map(|body| Cond::Walk { each: *each, walk: walk.clone(), body: Box::new(body) }));
            steps
        }
        _ => vec![],
    }
}

fn records(record: &Record) -> Vec<Record> {
    let mut steps = Vec::new();
    for (at, inner) in record.inner.iter().flatten().enumerate() {
        let list = record.inner.as_deref().expect("it has one");
        if list.len() > 1 {
            steps.push(Record { inner: Some(without(list, at)), ..record.clone() });
        }
        for smaller in records(inner) {
            let mut list = list.to_vec();
            list[at] = smaller;
            steps.push(Record { inner: Some(list), ..record.clone() });
        }
    }
    for at in 0..record.stated.len() {
        steps.push(Record { stated: without(&record.stated, at), ..record.clone() });
    }
    steps
}
