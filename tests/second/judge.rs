//! Judges a job by a pack: for each section, clause and thing the first verdict of the design's table that fits.

use super::choices::{FROM_BEST_TO_WORST, NOT_APPLICABLE_COMES_FIRST};
use super::model::*;
use super::reckon::{Scope, Thing};
use super::value::{MISSING, TOLERANCE, Truth};

/// Section, clause, path of the thing, verdict.
pub type Verdict = (String, String, String, String);

pub fn judge(pack: &Pack, job: &Job) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for section in &pack.sections {
        let names = vec![("job", Thing::Record(&job.root))];
        let scope = Scope { pack, job, names, walked: 0, lets: &section.lets, blank: false };
        visit(section, &section.binders, &scope, Place::default(), &mut verdicts);
    }
    verdicts.sort();
    verdicts
}

/// Where a walk over the binders has come to.
#[derive(Clone)]
struct Place {
    path: Vec<String>,
    /// Whether the conditions of the binders so far hold.
    applies: Truth,
}

impl Default for Place {
    fn default() -> Self {
        Place { path: Vec::new(), applies: Truth::Yes }
    }
}

impl Place {
    fn below(&self, path: &[String], step: String, applies: Truth) -> Place {
        let path = self.path.iter().chain(path).cloned().chain([step]).collect();
        Place { path, applies: Truth::all([self.applies, applies]) }
    }

    fn under(&self, path: &[String]) -> Place {
        Place { path: self.path.iter().chain(path).cloned().collect(), applies: self.applies }
    }

    fn text(&self) -> String {
        if self.path.is_empty() { "job".to_string() } else { self.path.join(" / ") }
    }
}

fn visit(section: &Section, binders: &[Binder], scope: &Scope, place: Place, out: &mut Vec<Verdict>) {
    let Some((binder, rest)) = binders.split_first() else {
        for (at, norm) in section.norms.iter().enumerate() {
            out.push((section.name.clone(), label(at), place.text(), clause(section, norm, scope, place.applies).to_string()));
        }
        return;
    };
    let filter = |scope: &Scope| binder.filter.as_ref().map_or(Truth::Yes, |filter| scope.truth(filter));
    match &binder.what {
        What::Each(level, name) => {
            for parent in parents(*level, scope) {
                let Some(list) = parent.list else {
                    unknown_list(section, binder, &[name], &parent, &place, out);
                    continue;
                };
                for record in list {
                    let scope = parent.scope.with(name, Thing::Record(record));
                    let applies = filter(&scope);
                    let place = place.below(&parent.path, step(record), applies);
                    if applies == Truth::No {
                        same_for_all(section, &place, "not applicable", out);
                    } else {
                        visit(section, rest, &scope, place, out);
                    }
                }
            }
        }
        What::Pair(level, a, b) => {
            for parent in parents(*level, scope) {
                match parent.list {
                    None => unknown_list(section, binder, &[a, b], &parent, &place, out),
                    Some(list) => pairs(section, binder, (a, b), list, &parent, out),
                }
            }
        }
        // A row or a word that surely is not meant is passed over without a word.
        What::RowOf(table, name) => {
            let table = &scope.pack.tables[*table];
            for row in &table.rows {
                let scope = scope.with(name, Thing::Row(table, row));
                let applies = filter(&scope);
                if applies != Truth::No {
                    let place = place.below(&[], format!("{} {}", table.name, row.keys.join(", ")), applies);
                    visit(section, rest, &scope, place, out);
                }
            }
        }
        What::WordOf(list, name) => {
            for word in &scope.pack.lists[*list].words {
                let scope = scope.with(name, Thing::Word(word));
                let applies = filter(&scope);
                if applies != Truth::No {
                    visit(section, rest, &scope, place.below(&[], word.to_string(), applies), out);
                }
            }
        }
    }
}

struct Parent<'a> {
    scope: Scope<'a>,
    path: Vec<String>,
    list: Option<&'a [Record]>,
}

/// Everything that holds a list of this level, as far as the job tells.
fn parents<'a>(level: Level, scope: &Scope<'a>) -> Vec<Parent<'a>> {
    let root = &scope.job.root;
    let gates = root.inner.as_deref();
    match (level, gates) {
        (Level::Job, _) => unreachable!("a job is not in a list"),
        (Level::Gate, gates) => vec![Parent { scope: scope.clone(), path: vec![], list: gates }],
        (Level::Beam, None) => vec![Parent { scope: scope.clone(), path: vec![], list: None }],
        (Level::Beam, Some(gates)) => gates
            .iter()
            .map(|gate| Parent { scope: scope.with("gate", Thing::Record(gate)), path: vec![step(gate)], list: gate.inner.as_deref() })
            .collect(),
    }
}

/// Each two of one parent, once, in the order of the job file. Both ways are judged and the worse stands.
fn pairs(section: &Section, binder: &Binder, names: (Word, Word), list: &[Record], parent: &Parent, out: &mut Vec<Verdict>) {
    let one_way = |first: &Record, second: &Record| -> Vec<&'static str> {
        let names = [(names.0, first), (names.1, second)];
        let scope = names.iter().fold(parent.scope.clone(), |scope, (name, record)| {
            let mut scope = scope;
            scope.names.push((name, Thing::Record(record)));
            scope
        });
        let applies = binder.filter.as_ref().map_or(Truth::Yes, |filter| scope.truth(filter));
        section.norms.iter().map(|norm| clause(section, norm, &scope, applies)).collect()
    };
    for (at, first) in list.iter().enumerate() {
        for second in &list[at + 1..] {
            let step = format!("{} & {}", step(first), step(second));
            let place = Place::default().below(&parent.path, step, Truth::Yes);
            let both = one_way(first, second).into_iter().zip(one_way(second, first));
            for (at, (one, other)) in both.enumerate() {
                out.push((section.name.clone(), label(at), place.text(), worse(one, other).to_string()));
            }
        }
    }
}

fn worse(one: &'static str, other: &'static str) -> &'static str {
    let rank = |verdict| FROM_BEST_TO_WORST.iter().position(|v| *v == verdict).expect("a verdict");
    if rank(one) >= rank(other) { one } else { other }
}

/// The things cannot be told, so their parent gets one verdict a clause.
fn unknown_list(section: &Section, binder: &Binder, names: &[Word], parent: &Parent, place: &Place, out: &mut Vec<Verdict>) {
    // Of the things, and of a gate that would hold them, nothing is known; what is in reach already may decide alone.
    let scope = parent.scope.with("gate", Thing::Unknown);
    let scope = names.iter().fold(scope, |scope, name| scope.with(name, Thing::Unknown));
    let in_force = section.force.as_ref().map_or(Truth::Yes, |force| scope.in_force(force));
    let filter = binder.filter.as_ref().map_or(Truth::Yes, |filter| scope.truth(filter));
    let surely_not = NOT_APPLICABLE_COMES_FIRST && Truth::all([in_force, filter]) == Truth::No;
    same_for_all(section, &place.under(&parent.path), if surely_not { "not applicable" } else { "open" }, out);
}

fn same_for_all(section: &Section, place: &Place, verdict: &str, out: &mut Vec<Verdict>) {
    for at in 0..section.norms.len() {
        out.push((section.name.clone(), label(at), place.text(), verdict.to_string()));
    }
}

fn step(record: &Record) -> String {
    format!("{} {}", record.level.noun(), record.id)
}

/// The label of a clause; a lone one is (a).
pub fn label(at: usize) -> String {
    format!("({})", (b'a' + at as u8) as char)
}

fn clause(section: &Section, norm: &Norm, scope: &Scope, applies: Truth) -> &'static str {
    let in_force = section.force.as_ref().map_or(Truth::Yes, |force| scope.in_force(force));
    let condition = norm.condition.as_ref().map_or(Truth::Yes, |condition| scope.truth(condition));
    let applies = Truth::all([in_force, applies, condition]);
    let holds = scope.truth(&norm.body);
    let excepted = Truth::any(section.exceptions.iter().map(|exception| {
        let when = exception.when.as_ref().map_or(Truth::Yes, |when| scope.truth(when));
        let unless = exception.unless.as_ref().map_or(Truth::No, |unless| scope.truth(unless));
        Truth::all([when, unless.not()])
    }));
    if applies == Truth::No {
        return "not applicable";
    }
    if holds == Truth::Yes {
        return "met";
    }
    if excepted == Truth::Yes {
        return "excepted";
    }
    match Truth::all([applies, holds.not(), excepted.not()]) {
        Truth::Yes => "not met",
        Truth::No => unreachable!("told above"),
        Truth::Doubt(TOLERANCE) => "marginal",
        Truth::Doubt(causes) if causes & MISSING != 0 => "open",
        Truth::Doubt(_) => "unanswered",
    }
}
