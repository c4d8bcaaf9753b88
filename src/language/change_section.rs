//! What differs between two texts of one section, part by part. It must not know other items.

use super::adopt::{Reading, except_label, label_of};
use super::change::{Change, Direction, Sides};
use super::change_expr::{Comparer, Relation, text_at};
use super::tree::{Binder, Cite, Clauses, Except, Modal, Norm, Over};
use std::collections::BTreeSet;

/// Every change between two texts of a section.
pub(super) fn section_changes(sides: &Sides, id: &str, old: &Reading, new: &Reading) -> Vec<Change> {
    let mut section = Section { sides, id, found: Vec::new(), unsure: BTreeSet::new(), other_things: false };
    let (old, new) = (&old.section.clauses, &new.section.clauses);
    section.scope(old, new);
    section.force(old, new);
    section.lets(old, new);
    section.norms(old, new);
    section.excepts(old, new);
    section.found
}

struct Section<'a> {
    sides: &'a Sides<'a>,
    id: &'a str,
    found: Vec<Change>,
    /// Named values that differ between the sides.
    unsure: BTreeSet<String>,
    /// Whether it is asked of other things than before, so that no clause can be compared.
    other_things: bool,
}

impl Section<'_> {
    fn tell(&mut self, part: impl Into<String>, says: String, direction: Direction) {
        self.found.push(Change { item: self.id.to_string(), part: part.into(), says, direction });
    }

    /// A direction that holds only if what the part names means the same on both sides.
    fn proved(&self, relation: Relation, texts: &[&str]) -> Direction {
        let named = |text: &&str| self.rests_on_unsure(text);
        match relation {
            _ if self.other_things || texts.iter().any(named) => Direction::Different,
            Relation::Harder => Direction::Stricter,
            Relation::Easier => Direction::Looser,
            Relation::Same => Direction::NoVerdict,
            Relation::Unproved => Direction::Different,
        }
    }

    /// Whether a text names something that means something else on the other side.
    fn rests_on_unsure(&self, text: &str) -> bool {
        let own = text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-')).any(|word| self.unsure.contains(word));
        own || self.sides.names_unsure(text)
    }

    fn scope(&mut self, old: &Clauses, new: &Clauses) {
        let text = |files, binders: &[Binder]| binders.iter().map(|binder| text_at(files, binder.span)).collect::<Vec<_>>().join(", ");
        let (was, is) = (text(self.sides.old.files, &old.applies), text(self.sides.new.files, &new.applies));
        if was == is {
            return;
        }
        let mut comparer = Comparer::new(self.sides.old.files, self.sides.new.files);
        self.other_things =
            old.applies.len() != new.applies.len() || old.applies.iter().zip(&new.applies).any(|(one, two)| !same_things(one, two));
        let filters = old.applies.iter().zip(&new.applies);
        let relation =
            filters.fold(Relation::Same, |sum, (old, new)| sum.with(comparer.conditions(old.filter.as_ref(), new.filter.as_ref())));
        // The harder the condition, the fewer things are asked.
        let direction = self.proved(relation.negated(), &[&was, &is]);
        self.tell("applies to", words(&comparer, &was, &is), direction);
    }

    fn force(&mut self, old: &Clauses, new: &Clauses) {
        let was = old.force.as_ref().map(|force| text_at(self.sides.old.files, force.span));
        let is = new.force.as_ref().map(|force| text_at(self.sides.new.files, force.span));
        match (was, is) {
            (was, is) if was == is => {}
            (None, Some(is)) => self.tell("in force", format!("only `{is}`, where it was always"), Direction::Looser),
            (Some(was), None) => self.tell("in force", format!("always, where it was `{was}`"), Direction::Stricter),
            (Some(was), Some(is)) => self.tell("in force", format!("`{is}` in place of `{was}`"), Direction::Different),
            (None, None) => {}
        }
    }

    fn lets(&mut self, old: &Clauses, new: &Clauses) {
        for named in &new.lets {
            let name = &named.name.text;
            let is = text_at(self.sides.new.files, named.value.span);
            let was = old.lets.iter().find(|other| other.name.text == *name).map(|other| text_at(self.sides.old.files, other.value.span));
            match was {
                Some(was) if was != is => {
                    self.unsure.insert(name.clone());
                    self.tell(name.clone(), format!("`{is}` in place of `{was}`"), Direction::Different);
                }
                None => {
                    self.unsure.insert(name.clone());
                    self.tell(name.clone(), format!("is a new named value: `{is}`"), Direction::NoVerdict);
                }
                Some(_) if self.rests_on_unsure(&is) => {
                    self.unsure.insert(name.clone());
                }
                Some(_) => {}
            }
        }
        for named in old.lets.iter().filter(|named| !new.lets.iter().any(|other| other.name.text == named.name.text)) {
            self.unsure.insert(named.name.text.clone());
            self.tell(named.name.text.clone(), "is a named value no longer".into(), Direction::NoVerdict);
        }
    }

    fn norms(&mut self, old: &Clauses, new: &Clauses) {
        let labelled = |norms: &[Norm]| -> Vec<(String, Norm)> {
            norms.iter().enumerate().map(|(at, norm)| (label_of(norm.label.as_ref(), at), norm.clone())).collect()
        };
        let (old, new) = (labelled(&old.norms), labelled(&new.norms));
        for (label, norm) in &old {
            let part = format!("({label})");
            match new.iter().find(|(other, _)| other == label) {
                Some((_, other)) => self.norm(&part, norm, other),
                None => self.tell(part, format!("`{}` is dropped", text_at(self.sides.old.files, norm.span)), Direction::Looser),
            }
        }
        for (label, norm) in new.iter().filter(|(label, _)| !old.iter().any(|(other, _)| other == label)) {
            self.tell(format!("({label})"), format!("`{}` is added", text_at(self.sides.new.files, norm.span)), Direction::Stricter);
        }
    }

    fn norm(&mut self, part: &str, old: &Norm, new: &Norm) {
        let demand = |files, norm: &Norm| {
            let condition = norm.condition.as_ref().map(|condition| format!("if {} then ", text_at(files, condition.span)));
            condition.unwrap_or_default() + &text_at(files, norm.body.span)
        };
        let (was, is) = (demand(self.sides.old.files, old), demand(self.sides.new.files, new));
        if old.modal != new.modal {
            let direction = if new.modal == Modal::Shall { Direction::Stricter } else { Direction::Looser };
            self.tell(part, format!("`{}` becomes `{}`", old.modal.word(), new.modal.word()), direction);
        }
        if was != is {
            let mut comparer = Comparer::new(self.sides.old.files, self.sides.new.files);
            let condition = comparer.conditions(old.condition.as_ref(), new.condition.as_ref());
            let relation = condition.negated().with(comparer.relation(&old.body, &new.body));
            let direction = self.proved(relation, &[&was, &is]);
            self.tell(part, words(&comparer, &was, &is), direction);
        }
        let remedy = |norm: &Norm| norm.remedy.as_ref().map(|text| text.text.clone());
        if remedy(old) != remedy(new) {
            self.tell(part, "the remedy is worded otherwise".into(), Direction::NoVerdict);
        }
        let (was, is) = (cites(&old.cites), cites(&new.cites));
        if was != is {
            self.tell(part, format!("rests on {is} in place of {was}"), Direction::NoVerdict);
        }
    }

    fn excepts(&mut self, old: &Clauses, new: &Clauses) {
        let labelled = |excepts: &[Except]| -> Vec<(String, Except)> {
            excepts.iter().enumerate().map(|(at, except)| (except_label(except, at), except.clone())).collect()
        };
        let (old, new) = (labelled(&old.excepts), labelled(&new.excepts));
        for (label, except) in &old {
            let part = format!("exception ({label})");
            let Some((_, other)) = new.iter().find(|(other, _)| other == label) else {
                self.tell(part, format!("\"{}\" is dropped", except.text.text), Direction::Stricter);
                continue;
            };
            let (was, is) = (text_at(self.sides.old.files, except.span), text_at(self.sides.new.files, other.span));
            if was == is {
                continue;
            }
            let mut comparer = Comparer::new(self.sides.old.files, self.sides.new.files);
            let holds = comparer.conditions(except.filter.as_ref(), other.filter.as_ref());
            let not = comparer.conditions(except.unless.as_ref(), other.unless.as_ref());
            // An exception that is harder to hold lets fewer through; no `unless` never takes one back.
            let not = match (&except.unless, &other.unless) {
                (None, Some(_)) => Relation::Easier,
                (Some(_), None) => Relation::Harder,
                _ => not,
            };
            let direction = self.proved(holds.with(not.negated()), &[&was, &is]);
            self.tell(part, words(&comparer, &was, &is), direction);
        }
        for (label, except) in new.iter().filter(|(label, _)| !old.iter().any(|(other, _)| other == label)) {
            self.tell(format!("exception ({label})"), format!("\"{}\" is added", except.text.text), Direction::Looser);
        }
    }
}

/// The limits that moved, where nothing else differs; else both texts.
fn words(comparer: &Comparer, was: &str, is: &str) -> String {
    if comparer.reworded || comparer.moves.is_empty() {
        return format!("`{is}` in place of `{was}`");
    }
    comparer.moves.iter().map(|(was, is)| format!("{was} becomes {is}")).collect::<Vec<_>>().join(", ")
}

/// Whether both walk the same things under the same name.
fn same_things(old: &Binder, new: &Binder) -> bool {
    let over = match (&old.over, &new.over) {
        (Over::Each(one), Over::Each(two)) | (Over::Row(one), Over::Row(two)) => one.text == two.text,
        (Over::Pair(one, other), Over::Pair(two, second)) => one.text == two.text && other.text == second.text,
        _ => false,
    };
    over && old.bound.text == new.bound.text
}

fn cites(cites: &[Cite]) -> String {
    let one = |cite: &Cite| {
        let clause = cite.clause.as_ref().map(|text| format!(" \"{}\"", text.text)).unwrap_or_default();
        format!("{}{clause}{}", cite.source.text, if cite.from_memory { " from memory" } else { "" })
    };
    cites.iter().map(one).collect::<Vec<_>>().join(", ")
}
