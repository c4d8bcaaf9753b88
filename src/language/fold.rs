//! Sections that two codes carry with one text, and minimums that read as what stands above them: each is judged once. It must
//! not know how sections are checked.

use super::program::{Op, Section};
use super::walk::section_exprs;
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// The sections of one code, by their ids.
pub struct Texts<'a>(BTreeMap<&'a str, &'a Section>);

impl<'a> Texts<'a> {
    /// Of sections; of two with one id, the last.
    pub fn of(sections: impl IntoIterator<Item = &'a Section>) -> Texts<'a> {
        Texts(sections.into_iter().map(|section| (section.id.as_str(), section)).collect())
    }

    /// Whether a section reads here as it does there, with everything that it rests on.
    pub fn same(&self, id: &str, other: &Texts) -> bool {
        let (mut seen, mut next) = (BTreeSet::new(), vec![id]);
        while let Some(id) = next.pop() {
            match (self.0.get(id), other.0.get(id)) {
                (Some(one), Some(other)) if says_same(one, other) => {
                    if seen.insert(id) {
                        next.extend(rests_on(one).into_iter().map(|(id, _)| id));
                    }
                }
                (None, None) => {}
                _ => return false,
            }
        }
        true
    }
}

fn says_same(one: &Section, other: &Section) -> bool {
    one.binders == other.binders
        && one.lets == other.lets
        && one.norms == other.norms
        && one.excepts == other.excepts
        && one.force == other.force
}

/// The sections that a section names in `complies with`, and where.
pub fn rests_on(section: &Section) -> Vec<(&str, Span)> {
    let mut found = Vec::new();
    section_exprs(section, &mut |expr| {
        if let Op::Complies(_, target) = &expr.op {
            found.push((target.as_str(), expr.span));
        }
    });
    found
}

/// Of two codes that carry one section with one text, the first keeps it for both.
pub fn fold(sections: Vec<Section>) -> Vec<Section> {
    let mut by_id: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, section) in sections.iter().enumerate() {
        by_id.entry(&section.id).or_default().push(at);
    }
    // The code of a section: what its root carries, and under a minimum what that reads otherwise.
    let code = |of: &Section| {
        let own = sections.iter().filter(|section| section.roots == of.roots && section.floor_pack.is_none());
        let floor = sections.iter().filter(|section| section.roots == of.roots && section.floor_pack == of.floor_pack);
        Texts::of(own.chain(floor))
    };
    let twin = |at: usize| {
        let section = &sections[at];
        let earlier = by_id.get(section.id.as_str())?.iter().copied().take_while(|other| *other < at);
        let mut like = earlier.filter(|other| sections[*other].floor_pack == section.floor_pack && says_same(&sections[*other], section));
        // Most sections rest on nothing: their own text is all there is to compare.
        like.find(|other| rests_on(section).is_empty() || code(section).same(&section.id, &code(&sections[*other])))
    };
    let twins: Vec<Option<usize>> = (0..sections.len()).map(twin).collect();
    let mut kept: Vec<Section> = Vec::with_capacity(sections.len());
    let mut moved: Vec<usize> = Vec::with_capacity(sections.len());
    for (section, twin) in sections.into_iter().zip(twins) {
        match twin {
            Some(twin) => {
                let twin = moved[twin];
                moved.push(twin);
                kept[twin].roots.extend(section.roots);
                kept[twin].minimum = kept[twin].minimum.take().or(section.minimum);
            }
            None => {
                moved.push(kept.len());
                kept.push(section);
            }
        }
    }
    for section in &mut kept {
        section.floor_of = section.floor_of.map(|at| moved[at]);
    }
    kept
}
