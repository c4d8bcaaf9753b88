//! The two ways of judging a pair made one: of both verdicts on one clause, and on the same other things, the worse stands. It must not
//! know how they came about.

use super::value::Slot;
use super::verdict::{Judged, Verdict};
use crate::language::program::Section;
use std::collections::BTreeMap;

/// A clause with what is bound beside the pair.
type Asked = (usize, Vec<(u8, usize, usize)>);

/// Of the verdicts from `first` on, of which those from `middle` on are of the other way round, keeps the worse of each two. The pair is
/// bound at the slot `pair` and the next. A row that only one way comes to stands by itself.
pub fn keep_worse(section: &Section, out: &mut Vec<Judged>, (first, middle): (usize, usize), pair: usize) {
    let other_way = out.split_off(middle);
    let alike = other_way.len() == middle - first
        && out[first..].iter().zip(&other_way).all(|(one, other)| asked(section, one, pair) == asked(section, other, pair));
    if alike {
        for (kept, other) in out[first..].iter_mut().zip(other_way) {
            stand(kept, other);
        }
        return;
    }
    // Where one way is passed over before it comes to any rows, what the other comes to stands.
    let early = |one: &Judged| one.verdict == Verdict::NotApplicable && one.bound < section.binders.len();
    if other_way.iter().all(early) && middle > first {
        return;
    }
    if out[first..].iter().all(early) {
        out.truncate(first);
    }
    let mut places: BTreeMap<Asked, usize> =
        out[first..].iter().enumerate().map(|(at, one)| (asked(section, one, pair), first + at)).collect();
    for other in other_way {
        match places.get(&asked(section, &other, pair)) {
            Some(at) => stand(&mut out[*at], other),
            None => {
                places.insert(asked(section, &other, pair), out.len());
                out.push(other);
            }
        }
    }
}

fn asked(section: &Section, one: &Judged, pair: usize) -> Asked {
    let others = section.binders.iter().take(one.bound).filter(|binder| binder.slot != pair);
    let parts = others.flat_map(|binder| std::iter::once(binder.slot).chain(binder.other.is_some().then_some(binder.slot + 1)));
    let part = |slot: usize| match &one.slots[slot] {
        Slot::Record(id) => (1, id.0 as usize, 0),
        Slot::Phantom(id, steps, _) => (2, id.0 as usize, *steps),
        Slot::Row(row) => (3, *row, 0),
        Slot::Word(word) => (4, word.0 as usize, 0),
        Slot::Empty | Slot::Value(_) => (0, 0, 0),
    };
    (one.norm, parts.map(part).collect())
}

fn stand<'a>(kept: &mut Judged<'a>, mut other: Judged<'a>) {
    if other.verdict.rank() > kept.verdict.rank() {
        std::mem::swap(kept, &mut other);
    }
    kept.verdict.stands_beside(&other.verdict);
}
