//! Finds the measured facts that lie near a threshold by which a section is asked of a thing at all, also where it is not: a reading a little off
//! would bring a clause to bear, or take it away. It must not know how they are shown.

use super::doubt::Truth;
use super::eval::{FactUse, Frame, pack_row};
use super::near::Looker;
use super::paths::below;
use super::run::Subject;
use super::value::Slot;
use crate::datum::DefId;
use crate::job::RecordId;
use crate::language::program::{Binder, Expr, Op, Over, Section};
use std::collections::BTreeSet;

/// Most conditions that are looked through for one section: pairs of many things could be more than anybody waits for.
const MOST: usize = 20_000;

/// The measured facts near a threshold that settles whether the section of this number applies, or whether one of its clauses is asked.
pub fn near_whether_it_applies(subject: Subject, number: usize) -> BTreeSet<FactUse> {
    let section = &subject.program.sections[number];
    let mut walk = Walk { subject, section, looker: Looker::new(subject, number), slots: vec![Slot::Empty; section.slots], room: MOST };
    walk.bind(0);
    walk.looker.found
}

struct Walk<'a> {
    subject: Subject<'a>,
    section: &'a Section,
    looker: Looker<'a>,
    slots: Vec<Slot<'a>>,
    /// How many more conditions are looked through.
    room: usize,
}

impl<'a> Walk<'a> {
    /// Binds each thing in turn, as the judging does; what may be there and is not listed has no measures.
    fn bind(&mut self, depth: usize) {
        let section = self.section;
        let Some(binder) = section.binders.get(depth) else {
            for condition in section.norms.iter().filter_map(|norm| norm.condition.as_ref()) {
                self.looked(condition);
            }
            return;
        };
        match &binder.over {
            Over::Things(def, within) => {
                for record in self.records(*def, *within) {
                    self.slots[binder.slot] = Slot::Record(record);
                    self.bound(binder, depth);
                }
            }
            Over::Pairs(def, within) => {
                let all = self.records(*def, *within);
                for (one, two) in all.iter().flat_map(|one| all.iter().map(move |two| (*one, *two))).filter(|(one, two)| one != two) {
                    self.slots[binder.slot] = Slot::Record(one);
                    self.slots[binder.slot + 1] = Slot::Record(two);
                    self.bound(binder, depth);
                }
            }
            Over::Rows(table) => {
                for row in 0..self.subject.program.tables[*table].rows.len() {
                    self.slots[binder.slot] = Slot::Row(pack_row(*table, row));
                    self.bound(binder, depth);
                }
            }
            Over::Words(list) => {
                for word in self.subject.program.lists.list(*list).words.clone() {
                    self.slots[binder.slot] = Slot::Word(word);
                    self.bound(binder, depth);
                }
            }
        }
    }

    fn records(&self, def: DefId, within: Option<usize>) -> Vec<RecordId> {
        let start = match within.map(|slot| &self.slots[slot]) {
            Some(Slot::Record(id)) => *id,
            _ => RecordId::ROOT,
        };
        below(self.subject.program, self.subject.job, start, def).records
    }

    /// Looks through the condition of what was bound, and goes on where it does not surely fail.
    fn bound(&mut self, binder: &'a Binder, depth: usize) {
        let all_bound = depth + 1 == self.section.binders.len();
        if self.room == 0 || all_bound && self.not_in_force() {
            return;
        }
        self.room -= 1;
        if let Some(filter) = &binder.filter {
            self.looked(filter);
            if self.truth(filter) == Truth::No {
                return;
            }
        }
        self.bind(depth + 1);
    }

    /// Whether the days of the section leave out what is bound, however anything reads.
    fn not_in_force(&mut self) -> bool {
        let section = self.section;
        section.force.as_ref().is_some_and(|force| {
            let mut known_lets = vec![None; section.lets.len()];
            let mut frame = Frame { slots: &mut self.slots, lets: &section.lets, known_lets: &mut known_lets };
            self.looker.evaluator.steps = 0;
            self.looker.evaluator.in_force(force, &mut frame) == Truth::No
        })
    }

    fn truth(&mut self, expr: &'a Expr) -> Truth {
        let section = self.section;
        let mut known_lets = vec![None; section.lets.len()];
        let mut frame = Frame { slots: &mut self.slots, lets: &section.lets, known_lets: &mut known_lets };
        self.looker.evaluator.steps = 0;
        self.looker.evaluator.truth(expr, &mut frame)
    }

    fn looked(&mut self, expr: &'a Expr) {
        let near = self.near(expr);
        self.looker.found.extend(near);
    }

    /// The facts near a threshold of a condition, unless a part of it without any settles it by itself.
    fn near(&mut self, expr: &'a Expr) -> BTreeSet<FactUse> {
        if let Op::Junction(all, parts) = &expr.op {
            let settles = if *all { Truth::No } else { Truth::Yes };
            let mut found = BTreeSet::new();
            for part in parts {
                let near = self.near(part);
                if near.is_empty() && self.truth(part) == settles {
                    return BTreeSet::new();
                }
                found.extend(near);
            }
            return found;
        }
        let section = self.section;
        let kept = std::mem::take(&mut self.looker.found);
        let mut known_lets = vec![None; section.lets.len()];
        let mut frame = Frame { slots: &mut self.slots, lets: &section.lets, known_lets: &mut known_lets };
        self.looker.look(expr, &mut frame);
        std::mem::replace(&mut self.looker.found, kept)
    }
}
