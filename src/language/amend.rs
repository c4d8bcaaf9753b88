//! Amending and repealing: what one pack changes in the text of another. It must not know kinds or dimensions.

use super::adopt::{Adopter, Reading, except_label, label_of};
use super::pack::{Pack, normalised};
use super::tree::{Amend, Clauses, Norm, Repeal, Text};
use crate::slip::{Slip, suggest};
use crate::source::Span;
use std::sync::Arc;

impl Adopter<'_> {
    pub(super) fn amend(&mut self, index: usize, pack: &Pack, amend: &Amend) {
        if !self.reachable(index, pack, &amend.target) {
            return;
        }
        let target = &amend.target;
        let id = format!("{}/{}", target.pack, target.item);
        if let Some(repealed) = self.repealed.get(&id) {
            let slip = Slip::at(target.span, "amends-repealed", format!("`{id}` has been repealed"))
                .label("amended here")
                .other(*repealed, "repealed here");
            self.slips.push(slip.hint("amend it in a pack that does not adopt the repeal, or write a section of your own"));
            return;
        }
        if let Some(at) =
            self.code.sections.iter().position(|reading| reading.pack == target.pack && reading.section.name.text == target.item)
        {
            self.amend_section(index, pack, amend, at, &id);
        } else if let Some(at) = self.code.tables.iter().position(|(from, table)| *from == target.pack && table.name.text == target.item) {
            self.amend_table(index, amend, at, &id);
        } else if let Some(at) = self.code.definitions.iter().position(|definition| definition.name.text == target.item) {
            self.amend_definition(amend, at);
        } else if let Some(at) = self.code.values.iter().position(|values| values.name.text == target.item) {
            self.amend_values(amend, at);
        } else {
            let names =
                self.code.sections.iter().filter(|reading| reading.pack == target.pack).map(|reading| reading.section.name.text.as_str());
            let hint = suggest(&target.item, names);
            self.slips.push(Slip::at(target.span, "amends-nothing", format!("there is no `{id}` to amend")).label("here").hint_maybe(hint));
        }
    }

    fn amend_section(&mut self, index: usize, pack: &Pack, amend: &Amend, at: usize, id: &str) {
        self.refuse(amend, "a section", !amend.rows.is_empty(), !amend.fields.is_empty(), !amend.words.is_empty());
        let mut reading = self.code.sections[at].clone();
        let parts = &amend.clauses;
        for norm in &parts.norms {
            self.amend_norm(index, pack, &mut reading, norm, id);
        }
        for norm in &parts.added {
            self.add_norm(index, pack, &mut reading, norm, id);
        }
        self.amend_rest(index, &mut reading, parts, id);
        if parts.norms.is_empty()
            && parts.added.is_empty()
            && parts.excepts.is_empty()
            && parts.applies.is_empty()
            && parts.lets.is_empty()
            && parts.force.is_none()
        {
            self.slips.push(
                Slip::at(amend.span, "amends-nothing", format!("this amendment of `{id}` changes nothing"))
                    .label("here")
                    .hint("restate the clause that changes"),
            );
        }
        reading.amended_by.push(pack.name().to_string());
        reading.own_lets = parts.lets.iter().map(|named| named.name.text.clone()).collect();
        self.code.sections[at] = reading;
    }

    fn amend_norm(&mut self, index: usize, pack: &Pack, reading: &mut Reading, norm: &Norm, id: &str) {
        let label = label_of(norm.label.as_ref(), 0);
        let place = reading.section.clauses.norms.iter().enumerate().position(|(at, old)| label_of(old.label.as_ref(), at) == label);
        let Some(place) = place else {
            let labels: Vec<String> = reading
                .section
                .clauses
                .norms
                .iter()
                .enumerate()
                .map(|(at, old)| format!("({})", label_of(old.label.as_ref(), at)))
                .collect();
            let slip = Slip::at(norm.span, "amends-nothing", format!("`{id}` has no clause ({label})")).label("amended here");
            self.slips.push(
                slip.other(reading.section.name.span, "the section")
                    .hint(format!("its clauses: {}; a new one is added with `add shall ({label}) …`", labels.join(", "))),
            );
            return;
        };
        self.note(format!("{id} ({label})"), index, self.says(norm.span), norm.span);
        let old = &mut reading.section.clauses.norms[place];
        let mut new = norm.clone();
        new.label = old.label.clone();
        if new.remedy.is_none() {
            new.remedy.clone_from(&old.remedy);
            reading.stale[place] = Some(reading.stale[place].unwrap_or(old.span));
        } else {
            reading.stale[place] = None;
        }
        if new.cites.is_empty() && !old.cites.is_empty() {
            new.cites.clone_from(&old.cites);
            let slip =
                Slip::at(norm.span, "old-cite", format!("`{id}` ({label}) is amended and keeps the citation of the text that it replaces"));
            let slip = slip.label("amended here").other(old.span, "the text that is cited");
            self.slips.push(slip.hint("add `cite` with the place where the new text stands").harmless());
        }
        *old = new;
        reading.norm_packs[place] = pack.name().to_string();
    }

    fn add_norm(&mut self, index: usize, pack: &Pack, reading: &mut Reading, norm: &Norm, id: &str) {
        let next = label_of(None, reading.section.clauses.norms.len());
        let label = label_of(norm.label.as_ref(), reading.section.clauses.norms.len());
        if label != next {
            let slip = Slip::at(norm.span, "label-order", format!("`{id}` would get clause ({label}) where ({next}) comes next"))
                .label("added here");
            self.slips.push(slip.hint(format!("write `add shall ({next}) …`; to change a clause that is there, leave `add` out")));
            return;
        }
        self.note(format!("{id} ({label})"), index, self.says(norm.span), norm.span);
        reading.section.clauses.norms.push(norm.clone());
        reading.norm_packs.push(pack.name().to_string());
        reading.stale.push(None);
    }

    fn amend_rest(&mut self, index: usize, reading: &mut Reading, parts: &Clauses, id: &str) {
        let clauses = &mut reading.section.clauses;
        clauses.unread |= parts.unread;
        if let (Some(first), Some(last)) = (parts.applies.first(), parts.applies.last()) {
            let span = first.span.to(last.span);
            clauses.applies.clone_from(&parts.applies);
            self.note(format!("{id} applies to"), index, self.says(span), span);
        }
        for new in &parts.lets {
            match clauses.lets.iter_mut().find(|old| old.name.text == new.name.text) {
                Some(old) => *old = new.clone(),
                None => clauses.lets.push(new.clone()),
            }
            self.note(format!("{id} let {}", new.name.text), index, self.says(new.value.span), new.name.span);
        }
        for new in &parts.excepts {
            let label = except_label(new, clauses.excepts.len());
            let place = clauses.excepts.iter().enumerate().position(|(at, old)| except_label(old, at) == label);
            match place {
                Some(place) => clauses.excepts[place] = new.clone(),
                None => clauses.excepts.push(new.clone()),
            }
            self.note(format!("{id} except ({label})"), index, self.says(new.span), new.span);
        }
        if let Some(force) = &parts.force {
            clauses.force = Some(force.clone());
            self.note(format!("{id} in force"), index, self.says(force.span), force.span);
        }
    }

    fn amend_table(&mut self, index: usize, amend: &Amend, at: usize, id: &str) {
        self.refuse(amend, "a table", false, !amend.fields.is_empty(), !amend.words.is_empty());
        let mut table = self.code.tables[at].1.clone();
        let (Some(heading), Some(old_heading)) = (amend.rows.first(), table.rows.first().cloned()) else {
            self.slips.push(Slip::at(amend.span, "amends-nothing", format!("this amendment of table `{id}` has no rows")).label("here"));
            return;
        };
        let columns: Vec<Option<usize>> = heading.iter().map(|cell| old_heading.iter().position(|old| old.text == cell.text)).collect();
        if columns.len() != old_heading.len() || columns.iter().any(Option::is_none) {
            let wanted: Vec<&str> = old_heading.iter().map(|cell| cell.text.as_str()).collect();
            let span = heading.first().map_or(amend.span, |cell| cell.span);
            self.slips.push(
                Slip::at(span, "table-heading", format!("the rows do not have the columns of table `{id}`"))
                    .label("this heading")
                    .hint(format!("its columns: {}", wanted.join(" | "))),
            );
            return;
        }
        let keys: Vec<usize> = table.keys.iter().filter_map(|key| old_heading.iter().position(|cell| cell.text == key.name.text)).collect();
        for row in amend.rows.iter().skip(1).filter(|row| row.len() != columns.len()) {
            let span = row.first().map_or(amend.span, |first| row.last().map_or(first.span, |last| first.span.to(last.span)));
            self.slips
                .push(Slip::at(span, "table-heading", format!("{} cells under {} headings", row.len(), columns.len())).label("this row"));
        }
        for row in amend.rows.iter().skip(1).filter(|row| row.len() == columns.len()) {
            let mut cells = row.clone();
            for (cell, column) in row.iter().zip(columns.iter().flatten()) {
                cells[*column] = cell.clone();
            }
            let key: Vec<&str> = keys.iter().map(|column| cells[*column].text.as_str()).collect();
            let span = row.first().map_or(amend.span, |first| row.last().map_or(first.span, |last| first.span.to(last.span)));
            self.note(format!("{id} row {}", key.join(", ")), index, self.says(span), span);
            let same = |old: &Vec<Text>| keys.iter().all(|column| old.get(*column).is_some_and(|cell| cell.text == cells[*column].text));
            match table.rows.iter().skip(1).position(same) {
                Some(place) => table.rows[place + 1] = cells,
                None => table.rows.push(cells),
            }
        }
        self.code.tables[at].1 = table;
    }

    fn amend_definition(&mut self, amend: &Amend, at: usize) {
        self.refuse(amend, "a definition", !amend.rows.is_empty(), false, !amend.words.is_empty());
        for field in &amend.fields {
            let twin =
                self.code.definitions[at].fields.iter().find(|known| known.name.text == field.name.text).map(|known| known.name.span);
            match twin {
                Some(first) => self.doubled("fact", &field.name, first),
                None => self.code.definitions[at].fields.push(field.clone()),
            }
        }
    }

    fn amend_values(&mut self, amend: &Amend, at: usize) {
        self.refuse(amend, "a word list", !amend.rows.is_empty(), !amend.fields.is_empty(), false);
        for word in &amend.words {
            let twin = self.code.values[at].words.iter().find(|known| known.text == word.text).map(|known| known.span);
            match twin {
                Some(first) => self.doubled("word", word, first),
                None => self.code.values[at].words.push(word.clone()),
            }
        }
    }

    /// Tells parts of an amendment that do not fit what it amends.
    fn refuse(&mut self, amend: &Amend, what: &str, rows: bool, fields: bool, words: bool) {
        let clauses = !amend.clauses.norms.is_empty()
            || !amend.clauses.added.is_empty()
            || !amend.clauses.excepts.is_empty()
            || amend.clauses.force.is_some();
        let wrong = [(rows, "rows"), (fields, "facts"), (words, "words"), (clauses && what != "a section", "clauses")];
        for (_, part) in wrong.iter().filter(|(found, _)| *found) {
            self.slips.push(
                Slip::at(amend.span, "wrong-amendment", format!("{part} in an amendment of {what}"))
                    .label("here")
                    .hint(format!("{part} belong to something else; check the name")),
            );
        }
    }

    /// Tells a pack that amends what it repeals itself.
    pub(super) fn both(&mut self, pack: &Pack, repeal: &Repeal) {
        let whole = repeal.labels.is_empty() && repeal.exceptions.is_empty();
        let same = |amend: &&Amend| amend.target.pack == repeal.target.pack && amend.target.item == repeal.target.item;
        if let Some(amend) = pack.amends.iter().find(same).filter(|_| whole) {
            let message = format!("`{}/{}` is amended and repealed by one pack", repeal.target.pack, repeal.target.item);
            let slip = Slip::at(amend.target.span, "amends-repealed", message).label("amended here").other(repeal.span, "repealed here");
            self.slips.push(slip.hint("take one of them out"));
        }
    }

    pub(super) fn repeal(&mut self, index: usize, pack: &Pack, repeal: &Repeal) {
        if !self.reachable(index, pack, &repeal.target) {
            return;
        }
        let target = &repeal.target;
        let id = format!("{}/{}", target.pack, target.item);
        let Some(at) =
            self.code.sections.iter().position(|reading| reading.pack == target.pack && reading.section.name.text == target.item)
        else {
            let gone = self.repealed.get(&id).copied();
            let names =
                self.code.sections.iter().filter(|reading| reading.pack == target.pack).map(|reading| reading.section.name.text.as_str());
            let mut slip = Slip::at(target.span, "repeals-nothing", format!("there is no section `{id}` to repeal"))
                .label("here")
                .hint_maybe(suggest(&target.item, names));
            if let Some(first) = gone {
                slip = slip.other(first, "it has been repealed here");
            }
            self.slips.push(slip);
            return;
        };
        self.check_floor(index, repeal, &id);
        if repeal.because.is_none() && repeal.cite.is_none() {
            self.slips.push(
                Slip::at(repeal.span, "missing-cite", "a repeal without `because` or `cite`")
                    .label("here")
                    .hint("say why it is taken out, or by what right"),
            );
        }
        if repeal.labels.is_empty() && repeal.exceptions.is_empty() {
            self.note(format!("{id} (whole)"), index, "repeal".into(), repeal.span);
            self.repealed.insert(id, repeal.span);
            self.code.sections.remove(at);
            return;
        }
        for label in &repeal.labels {
            self.repeal_clause(index, at, label, &id);
        }
        for label in &repeal.exceptions {
            self.repeal_exception(index, at, label, &id);
        }
        self.code.sections[at].amended_by.push(pack.name().to_string());
        self.code.sections[at].own_lets.clear();
    }

    fn repeal_clause(&mut self, index: usize, at: usize, label: &Text, id: &str) {
        let plain = label.text.trim_matches(['(', ')']).to_string();
        let reading = &mut self.code.sections[at];
        let place = reading.section.clauses.norms.iter().enumerate().position(|(at, norm)| label_of(norm.label.as_ref(), at) == plain);
        let Some(place) = place else {
            self.slips.push(Slip::at(label.span, "repeals-nothing", format!("`{id}` has no clause ({plain})")).label("here"));
            return;
        };
        // The letters of the other clauses stay as the code prints them.
        for (at, norm) in reading.section.clauses.norms.iter_mut().enumerate() {
            let label = label_of(norm.label.as_ref(), at);
            norm.label.get_or_insert_with(|| Text { text: format!("({label})"), span: norm.span });
        }
        reading.section.clauses.norms.remove(place);
        reading.norm_packs.remove(place);
        reading.stale.remove(place);
        self.note(format!("{id} ({plain})"), index, "repeal".into(), label.span);
    }

    fn repeal_exception(&mut self, index: usize, at: usize, label: &Text, id: &str) {
        let plain = label.text.trim_matches(['(', ')']).to_string();
        let excepts = &mut self.code.sections[at].section.clauses.excepts;
        let Some(place) = excepts.iter().enumerate().position(|(at, except)| except_label(except, at) == plain) else {
            self.slips.push(Slip::at(label.span, "repeals-nothing", format!("`{id}` has no exception ({plain})")).label("here"));
            return;
        };
        excepts.remove(place);
        self.note(format!("{id} except ({plain})"), index, "repeal".into(), label.span);
    }

    /// A repeal under a minimum takes out what must stay as a floor.
    fn check_floor(&mut self, index: usize, repeal: &Repeal, id: &str) {
        let bound: Vec<usize> = std::iter::once(index).chain(self.below[index].iter().copied()).collect();
        for at in bound {
            let pack = Arc::clone(&self.code.packs[at]);
            for adopts in pack.header.adopts.iter().filter(|adopts| adopts.as_minimum) {
                let floor = self.code.packs.iter().position(|other| other.name() == adopts.name.text);
                let covers = floor
                    .is_some_and(|floor| self.code.packs[floor].name() == repeal.target.pack || self.covers(floor, &repeal.target.pack));
                if covers {
                    let slip = Slip::at(repeal.span, "repeals-minimum", format!("`{id}` is part of a minimum and cannot be repealed"))
                        .label("repealed here");
                    self.slips.push(
                        slip.other(adopts.name.span, "adopted as minimum here")
                            .hint("amend it to be stricter, or adopt the pack without `as minimum`"),
                    );
                    return;
                }
            }
        }
    }

    fn covers(&self, floor: usize, pack: &str) -> bool {
        self.below[floor].iter().any(|at| self.code.packs[*at].name() == pack)
    }

    /// The text of a span, with blanks folded, to tell whether two changes say the same.
    pub(super) fn says(&self, span: Span) -> String {
        self.texts.get(span.file).map(|source| normalised(source.slice(span.range()))).unwrap_or_default()
    }
}
