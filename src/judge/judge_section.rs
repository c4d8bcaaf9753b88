//! Walks what a section applies to and judges each clause for each thing. It must not know how findings are shown.

use super::both_ways::keep_worse;
use super::doubt::{Doubt, Truth};
use super::eval::{Evaluator, Frame, pack_row};
use super::paths::{below, steps_up, thing_name};
use super::value::{Slot, Value};
use super::verdict::{Deciding, Judged, Verdict};
use crate::datum::DefId;
use crate::job::RecordId;
use crate::language::program::{Binder, Force, KeyCell, Over, Program, Section, ThingPath};
use crate::quantity::Days;

/// Deepest chain of sections that rest on each other.
const DEEPEST_COMPLIANCE: usize = 16;

/// A section being judged.
struct Walk<'a, 's> {
    section: &'a Section,
    number: usize,
    out: &'s mut Vec<Judged<'a>>,
    slots: Vec<Slot<'a>>,
    /// The one thing that is asked, where another section asks whether it complies.
    only: Option<RecordId>,
}

/// A binder being walked: its depth, and what the binders before it say.
struct Step<'a> {
    depth: usize,
    binder: &'a Binder,
    applies: Truth,
}

impl<'a> Evaluator<'a> {
    /// Judges every clause of a section.
    pub fn section(&mut self, number: usize, out: &mut Vec<Judged<'a>>) {
        let section = &self.program.sections[number];
        self.at_hand = number;
        let mut walk = Walk { section, number, out, slots: vec![Slot::Empty; section.slots], only: None };
        self.bind(&mut walk, 0, Truth::Yes);
    }

    /// Binds the binder at `depth` to each thing in turn; `applies` is what the binders before say.
    fn bind(&mut self, walk: &mut Walk<'a, '_>, depth: usize, applies: Truth) {
        let Some(binder) = walk.section.binders.get(depth) else {
            self.clauses(walk, applies);
            return;
        };
        let step = Step { depth, binder, applies };
        match &binder.over {
            Over::Things(def, within) => self.bind_things(walk, &step, *def, *within),
            Over::Pairs(def, within) => self.bind_pairs(walk, &step, *def, *within),
            Over::Rows(table) => {
                for row in 0..self.program.tables[*table].rows.len() {
                    walk.slots[binder.slot] = Slot::Row(pack_row(*table, row));
                    self.bind_word(walk, &step);
                }
            }
            Over::Words(list) => {
                for word in self.program.lists.list(*list).words.clone() {
                    walk.slots[binder.slot] = Slot::Word(word);
                    self.bind_word(walk, &step);
                }
            }
        }
    }

    /// A row or word whose condition surely fails is passed over without a verdict.
    fn bind_word(&mut self, walk: &mut Walk<'a, '_>, step: &Step<'a>) {
        match self.filter(walk, step.binder) {
            Truth::No => {}
            filter => self.bind(walk, step.depth + 1, step.applies.clone().and(filter)),
        }
    }

    fn filter(&mut self, walk: &mut Walk<'a, '_>, binder: &'a Binder) -> Truth {
        self.steps = 0;
        let Some(filter) = &binder.filter else { return Truth::Yes };
        let mut frame = Frame { slots: &mut walk.slots, lets: &walk.section.lets, known_lets: &mut vec![None; walk.section.lets.len()] };
        self.truth(filter, &mut frame)
    }

    fn start(&self, walk: &Walk<'a, '_>, within: Option<usize>) -> (RecordId, Option<Doubt>) {
        match within.map(|slot| &walk.slots[slot]) {
            Some(Slot::Record(id)) => (*id, None),
            Some(Slot::Phantom(known, _, doubt)) => (*known, Some(doubt.clone())),
            _ => (RecordId::ROOT, None),
        }
    }

    /// Whether one of two records holds the other, or they are one.
    fn together(&self, one: RecordId, two: RecordId) -> bool {
        let holds = |outer: RecordId, inner: RecordId| {
            let mut at = Some(inner);
            while let Some(id) = at {
                if id == outer {
                    return true;
                }
                at = self.job.record(id).parent;
            }
            false
        };
        holds(one, two) || holds(two, one)
    }

    /// A record of `def` that may be there, below a known record.
    fn phantom(&self, known: RecordId, def: DefId, doubt: Doubt) -> Slot<'a> {
        Slot::Phantom(known, steps_up(self.program, def, self.job.record(known).def), doubt)
    }

    /// Whether a record of `def` is one about which the thing is asked that is to comply: one above it, below it, or itself. A kind that
    /// cannot stand there is not narrowed down: what a section asks of it beside the thing is asked of all of them.
    fn asked(&self, walk: &Walk<'a, '_>, def: DefId, record: RecordId) -> bool {
        let on_one_line = |only: RecordId| {
            let own = self.job.record(only).def;
            let kinds = &self.program.definition(def).gathers;
            let kinds = if kinds.is_empty() { std::slice::from_ref(&def) } else { kinds };
            kinds.iter().any(|kind| self.stands_above(*kind, own) || self.stands_above(own, *kind))
        };
        walk.only.is_none_or(|only| self.together(record, only) || !on_one_line(only))
    }

    /// Whether things of one kind stand above those of another, or the kinds are one.
    fn stands_above(&self, above: DefId, below: DefId) -> bool {
        std::iter::successors(Some(below), |kind| self.program.definition(*kind).parent).any(|kind| kind == above)
    }

    /// Records of `def` that a binder walks, within the thing bound at a slot; and of those that may be there, the ones that are asked.
    fn found(&self, walk: &Walk<'a, '_>, def: DefId, within: Option<usize>) -> (Vec<RecordId>, Vec<(RecordId, Doubt)>) {
        let (start, phantom) = self.start(walk, within);
        // Within a thing that may be there, so may be this one.
        if let Some(doubt) = phantom {
            return (Vec::new(), vec![(start, doubt)]);
        }
        let found = below(self.program, self.job, start, def);
        let maybe = found.maybe_more.into_iter().filter(|(parent, _)| self.asked(walk, def, *parent));
        let maybe = maybe.map(|(parent, missing)| (parent, Doubt::of_missing(missing))).collect();
        (found.records, maybe)
    }

    fn bind_things(&mut self, walk: &mut Walk<'a, '_>, step: &Step<'a>, def: DefId, within: Option<usize>) {
        let (records, maybe) = self.found(walk, def, within);
        for record in records {
            if !self.asked(walk, def, record) {
                continue;
            }
            walk.slots[step.binder.slot] = Slot::Record(record);
            self.bind_thing(walk, step, step.applies.clone());
        }
        for (known, doubt) in maybe {
            walk.slots[step.binder.slot] = self.phantom(known, def, doubt.clone());
            self.bind_thing(walk, step, step.applies.clone().and(Truth::Doubtful(doubt)));
        }
    }

    fn bind_thing(&mut self, walk: &mut Walk<'a, '_>, step: &Step<'a>, applies: Truth) {
        let next = step.depth + 1;
        self.unstated = false;
        match self.filter(walk, step.binder) {
            Truth::No => not_applicable(walk, next, self.unstated),
            filter => match walk.slots[step.binder.slot].clone() {
                Slot::Phantom(_, _, doubt) => self.maybe_there(walk, next, applies.and(filter), &doubt),
                _ => self.bind(walk, next, applies.and(filter)),
            },
        }
    }

    /// One open verdict a clause for a thing of which nobody knows whether it is there: nothing is met by it.
    fn maybe_there(&mut self, walk: &mut Walk<'a, '_>, bound: usize, applies: Truth, doubt: &Doubt) {
        let section = walk.section;
        let in_force = section.force.as_ref().map_or(Truth::Yes, |force| {
            let mut frame = Frame { slots: &mut walk.slots, lets: &section.lets, known_lets: &mut vec![None; section.lets.len()] };
            self.in_force(force, &mut frame)
        });
        for norm in 0..section.norms.len() {
            let deciding = Deciding {
                in_force: in_force.clone(),
                applies: applies.clone(),
                holds: Truth::Doubtful(doubt.clone()),
                excepts: Vec::new(),
            };
            walk.out.push(Judged {
                section: walk.number,
                norm,
                slots: walk.slots.clone(),
                bound,
                verdict: deciding.verdict(),
                assumed: false,
                floor: None,
                minimum_too: None,
            });
        }
    }

    /// Each two records of one parent, judged both ways; the worse stands.
    fn bind_pairs(&mut self, walk: &mut Walk<'a, '_>, step: &Step<'a>, def: DefId, within: Option<usize>) {
        let (records, maybe) = self.found(walk, def, within);
        let mut pairs: Vec<(Slot<'a>, Slot<'a>, Truth)> = Vec::new();
        for (at, one) in records.iter().enumerate() {
            let beside = |two: &&RecordId| self.job.record(*one).parent == self.job.record(**two).parent;
            // A pair is asked of either of its two.
            let asked = |two: &&RecordId| self.asked(walk, def, *one) || self.asked(walk, def, **two);
            let others = records[at + 1..].iter().filter(beside).filter(asked);
            pairs.extend(others.map(|two| (Slot::Record(*one), Slot::Record(*two), Truth::Yes)));
        }
        for (known, doubt) in maybe {
            let there = self.phantom(known, def, doubt.clone());
            pairs.push((there.clone(), there, Truth::Doubtful(doubt)));
        }
        for (one, two, there) in pairs {
            let first = walk.out.len();
            let applies = step.applies.clone().and(there);
            let mut middle = first;
            for (a, b) in [(&one, &two), (&two, &one)] {
                middle = walk.out.len();
                walk.slots[step.binder.slot] = a.clone();
                walk.slots[step.binder.slot + 1] = b.clone();
                self.bind_thing(walk, step, applies.clone());
            }
            keep_worse(walk.section, walk.out, (first, middle), step.binder.slot);
        }
    }

    /// Judges the clauses for what is bound.
    fn clauses(&mut self, walk: &mut Walk<'a, '_>, applies: Truth) {
        let section = walk.section;
        let mut known_lets = vec![None; section.lets.len()];
        self.steps = 0;
        let in_force = section.force.as_ref().map_or(Truth::Yes, |force| {
            let mut frame = Frame { slots: &mut walk.slots, lets: &section.lets, known_lets: &mut known_lets };
            self.in_force(force, &mut frame)
        });
        for (at, norm) in section.norms.iter().enumerate() {
            (self.assumed, self.unstated) = (false, false);
            let mut frame = Frame { slots: &mut walk.slots, lets: &section.lets, known_lets: &mut known_lets };
            let verdict = if in_force == Truth::No || applies == Truth::No {
                Verdict::NotApplicable
            } else {
                let asked = norm.condition.as_ref().map_or(Truth::Yes, |condition| self.truth(condition, &mut frame));
                let asked = applies.clone().and(asked);
                let holds = if asked == Truth::No { Truth::Yes } else { self.truth(&norm.body, &mut frame) };
                let excepts = if asked == Truth::No || holds == Truth::Yes { Vec::new() } else { self.excepts(section, &mut frame) };
                Deciding { in_force: in_force.clone(), applies: asked, holds, excepts }.verdict()
            };
            let freed = verdict == Verdict::NotApplicable && self.unstated;
            walk.out.push(Judged {
                section: walk.number,
                norm: at,
                slots: walk.slots.clone(),
                bound: section.binders.len(),
                verdict,
                assumed: self.assumed || freed,
                floor: None,
                minimum_too: None,
            });
        }
    }

    fn excepts(&mut self, section: &'a Section, frame: &mut Frame<'a, '_>) -> Vec<Truth> {
        let one = |evaluator: &mut Self, except: &'a crate::language::program::Except, frame: &mut Frame<'a, '_>| {
            let holds = except.filter.as_ref().map_or(Truth::Yes, |filter| evaluator.truth(filter, frame));
            let unless = except.unless.as_ref().map_or(Truth::No, |unless| evaluator.truth(unless, frame));
            holds.and(unless.negated())
        };
        section.excepts.iter().map(|except| one(self, except, frame)).collect()
    }

    /// Whether something is in force by its date: from its first day, before its last.
    pub fn in_force(&mut self, force: &'a Force, frame: &mut Frame<'a, '_>) -> Truth {
        let (days, doubt) = match self.value(&force.by, frame) {
            Value::Days(days, doubt) => (days, doubt),
            Value::Unknown(doubt) => return Truth::Doubtful(doubt),
            _ => return Truth::Doubtful(Doubt::of_obstacle(super::doubt::Obstacle::IsNone(force.span))),
        };
        let Days { first, last } = days;
        let begun = force.from.map_or(Some(true), |from| if first >= from { Some(true) } else { (last < from).then_some(false) });
        let lasting = force.before.map_or(Some(true), |before| if last < before { Some(true) } else { (first >= before).then_some(false) });
        match (begun, lasting) {
            (Some(false), _) | (_, Some(false)) => Truth::No,
            (Some(true), Some(true)) => Truth::Yes,
            _ => Truth::Doubtful(doubt),
        }
    }

    /// The section of that id, as the code or the minimum of the section at hand reads it.
    fn text_of(&self, id: &str) -> Option<usize> {
        let here = &self.program.sections[self.at_hand];
        let shares = |section: &Section| section.roots.iter().any(|root| here.roots.contains(root));
        let found = |fits: &dyn Fn(&Section) -> bool| {
            self.program.sections.iter().position(|section| section.id == id && shares(section) && fits(section))
        };
        found(&|section| section.floor_pack == here.floor_pack).or_else(|| found(&|section| section.floor_pack.is_none()))
    }

    /// Whether a thing complies with a section: every mandatory clause that is asked of it is met or excepted.
    pub fn complies(&mut self, path: &ThingPath, id: &str, frame: &Frame<'a, '_>) -> Truth {
        use super::paths::{Reached, reach};
        let record = match reach(self.job, path, frame.slots) {
            Reached::Record(record) => record,
            Reached::Nothing => return Truth::Yes,
            Reached::Unknown(doubt) => return Truth::Doubtful(doubt),
        };
        let Some(number) = self.text_of(id) else { return Truth::No };
        if self.complying >= DEEPEST_COMPLIANCE {
            return Truth::Doubtful(Doubt::of_obstacle(super::doubt::Obstacle::TooManySteps(self.program.sections[number].span)));
        }
        let section = &self.program.sections[number];
        let mut out = Vec::new();
        let mut walk = Walk { section, number, out: &mut out, slots: vec![Slot::Empty; section.slots], only: Some(record) };
        let (steps, assumed, unstated, at_hand) = (self.steps, self.assumed, self.unstated, self.at_hand);
        self.complying += 1;
        self.at_hand = number;
        self.bind(&mut walk, 0, Truth::Yes);
        self.at_hand = at_hand;
        self.complying -= 1;
        self.steps += steps;
        self.assumed |= assumed;
        self.unstated |= unstated;
        let mandatory = out.iter().filter(|judged| section.norms[judged.norm].modal == crate::language::tree::Modal::Shall);
        mandatory.fold(Truth::Yes, |all, judged| {
            all.and(match &judged.verdict {
                Verdict::NotMet => Truth::No,
                verdict => verdict.doubt().map_or(Truth::Yes, |doubt| Truth::Doubtful(doubt.clone())),
            })
        })
    }
}

/// One verdict a clause for a thing that the section is surely not asked of; `assumed` where a fact that is not stated says so.
fn not_applicable(walk: &mut Walk, bound: usize, assumed: bool) {
    for norm in 0..walk.section.norms.len() {
        walk.out.push(Judged {
            section: walk.number,
            norm,
            slots: walk.slots.clone(),
            bound,
            verdict: Verdict::NotApplicable,
            assumed,
            floor: None,
            minimum_too: None,
        });
    }
}

/// What was judged, in words: `gate main / beam low / need swing, hinge, closing`.
pub fn binding_name(program: &Program, job: &crate::job::Job, judged: &Judged) -> String {
    bound(program, job, judged, pair_name)
}

/// The same in whatever order the job lists its things: a pair goes by the order of its names.
fn binding_key(program: &Program, job: &crate::job::Job, judged: &Judged) -> String {
    bound(program, job, judged, pair_key)
}

/// What was judged, by name and by key. They differ for pairs only.
pub fn binding_name_and_key(program: &Program, job: &crate::job::Job, judged: &Judged) -> (String, String) {
    let name = binding_name(program, job, judged);
    let pairs = program.sections[judged.section].binders.iter().any(|binder| binder.other.is_some());
    let key = if pairs { binding_key(program, job, judged) } else { name.clone() };
    (name, key)
}

/// Both names of a pair, in the order of the alphabet.
fn pair_key(program: &Program, job: &crate::job::Job, one: RecordId, two: &Slot) -> String {
    let Slot::Record(two) = two else { return thing_name(program, job, one) };
    let mut names = [thing_name(program, job, one), thing_name(program, job, *two)];
    names.sort();
    names.join(" & ")
}

type NamesPair = fn(&Program, &crate::job::Job, RecordId, &Slot) -> String;

fn bound(program: &Program, job: &crate::job::Job, judged: &Judged, pair: NamesPair) -> String {
    let section = &program.sections[judged.section];
    let mut parts: Vec<String> = Vec::new();
    for binder in section.binders.iter().take(judged.bound) {
        match &judged.slots[binder.slot] {
            Slot::Record(id) if binder.other.is_some() => parts.push(pair(program, job, *id, &judged.slots[binder.slot + 1])),
            Slot::Record(id) | Slot::Phantom(id, ..) => {
                let name = thing_name(program, job, *id);
                match parts.last_mut() {
                    Some(last) if name == *last || name.starts_with(&format!("{last} / ")) => *last = name,
                    _ => parts.push(name),
                }
            }
            Slot::Row(packed) => parts.push(row_name(program, *packed)),
            Slot::Word(word) => parts.push(program.word(*word).to_string()),
            Slot::Empty | Slot::Value(_) => {}
        }
    }
    if parts.len() > 1 && parts[0] == "job" {
        parts.remove(0);
    }
    parts.join(" / ")
}

/// Both names of a pair, the earlier record first whichever way it was judged.
fn pair_name(program: &Program, job: &crate::job::Job, one: RecordId, two: &Slot) -> String {
    let Slot::Record(two) = two else { return thing_name(program, job, one) };
    let (first, second) = (one.min(*two), one.max(*two));
    let record = job.record(second);
    let name = &program.definition(record.def).name;
    format!("{} & {name} {}", thing_name(program, job, first), record.id.as_deref().unwrap_or(""))
}

/// The table and keys of a row.
pub fn row_name(program: &Program, packed: usize) -> String {
    let (table, row) = super::eval::unpack(packed);
    let table = &program.tables[table];
    let row = &table.rows[row];
    let texts: Vec<String> = table.keys.iter().map(|key| cell_text(program, &row.cells[*key])).collect();
    format!("{} {}", table.name, texts.join(", "))
}

/// A cell as its author might write it.
pub fn cell_text(program: &Program, cell: &KeyCell) -> String {
    match cell {
        KeyCell::Any => "any".into(),
        KeyCell::Nothing => "none".into(),
        KeyCell::Value(datum) => super::words::datum_text(program, datum),
        KeyCell::Range(low, high) => {
            let end =
                |end: &Option<(crate::quantity::Exact, bool)>| end.map_or("…".to_string(), |(end, _)| crate::quantity::show::plain(end));
            format!("{} to {}", end(low), end(high))
        }
    }
}

/// The record that was judged, where one was: the innermost that the section binds.
pub fn bound_record(program: &Program, judged: &Judged) -> RecordId {
    let binders = program.sections[judged.section].binders.iter().take(judged.bound);
    let mut records = binders.filter_map(|binder| match &judged.slots[binder.slot] {
        Slot::Record(id) | Slot::Phantom(id, ..) => Some(*id),
        _ => None,
    });
    records.next_back().unwrap_or(RecordId::ROOT)
}
