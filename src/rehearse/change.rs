//! Small changes of a pack, made on its checked program: each is the changed item, a sentence and a place. It must not know
//! which trials there are.

use super::expression::{Edited, edits};
use super::nudge::beside;
use super::text::{folded, of_row, quoted};
use crate::datum::Datum;
use crate::language::check_trial::own_sections;
use crate::language::parts::part_at;
use crate::language::program::{Expr, Formula, KeyCell, Program, Section, Table};
use crate::source::{FileId, Span};
use std::collections::BTreeMap;

/// A small change of a pack.
pub struct Change {
    /// What is changed: `us-gates/lens-height (a)`.
    pub place: String,
    /// How: `at most 30 in becomes at most 31 in`.
    pub words: String,
    /// Where it stands in the pack.
    pub span: Span,
    /// The changed item.
    pub item: Changed,
    /// The comparison that is changed, where it is one with a literal; it says where a trial could stand.
    pub limit: Option<Span>,
}

/// A changed item of a program, by its position.
pub enum Changed {
    /// A section.
    Section(usize, Box<Section>),
    /// A table.
    Table(usize, Box<Table>),
    /// A formula.
    Formula(usize, Box<Formula>),
}

impl Changed {
    /// Puts the item into the program, and takes out what stood there: done twice, the program is as before.
    pub fn swap(&mut self, program: &mut Program) {
        match self {
            Changed::Section(at, section) => std::mem::swap(&mut program.sections[*at], section),
            Changed::Table(at, table) => std::mem::swap(&mut program.tables[*at], table),
            Changed::Formula(at, formula) => std::mem::swap(&mut program.formulas[*at], formula),
        }
    }
}

/// Every small change of what a pack itself wrote, in the order of its program.
pub fn changes(program: &Program, pack: &str, files: &[FileId]) -> Vec<Change> {
    let mut maker = Maker { program, pack, files, changes: Vec::new() };
    for at in own_sections(program, pack) {
        // A floor is the text of another pack.
        if program.sections[at].floor_pack.is_none() {
            maker.section(at);
        }
    }
    for at in 0..program.tables.len() {
        maker.table(at);
    }
    for at in 0..program.formulas.len() {
        maker.formula(at);
    }
    tell_apart(maker.changes)
}

/// Two changes in the same words at one place are told apart by a count.
fn tell_apart(mut changes: Vec<Change>) -> Vec<Change> {
    let mut seen: BTreeMap<(String, String), usize> = BTreeMap::new();
    for change in &mut changes {
        let times = seen.entry((change.place.clone(), change.words.clone())).or_insert(0);
        *times += 1;
        if *times > 1 {
            change.words = format!("{}, place {times}", change.words);
        }
    }
    changes
}

struct Maker<'a> {
    program: &'a Program,
    pack: &'a str,
    files: &'a [FileId],
    changes: Vec<Change>,
}

/// An expression that a section holds at its top.
#[derive(Clone, Copy)]
enum Root {
    Binder(usize),
    Let(usize),
    Condition(usize),
    Body(usize),
    Filter(usize),
    Unless(usize),
}

impl Root {
    fn of(self, section: &Section) -> Option<&Expr> {
        match self {
            Root::Binder(at) => section.binders.get(at)?.filter.as_ref(),
            Root::Let(at) => section.lets.get(at).map(|(_, value)| value),
            Root::Condition(at) => section.norms.get(at)?.condition.as_ref(),
            Root::Body(at) => section.norms.get(at).map(|norm| &norm.body),
            Root::Filter(at) => section.excepts.get(at)?.filter.as_ref(),
            Root::Unless(at) => section.excepts.get(at)?.unless.as_ref(),
        }
    }

    fn of_mut(self, section: &mut Section) -> Option<&mut Expr> {
        match self {
            Root::Binder(at) => section.binders.get_mut(at)?.filter.as_mut(),
            Root::Let(at) => section.lets.get_mut(at).map(|(_, value)| value),
            Root::Condition(at) => section.norms.get_mut(at)?.condition.as_mut(),
            Root::Body(at) => section.norms.get_mut(at).map(|norm| &mut norm.body),
            Root::Filter(at) => section.excepts.get_mut(at)?.filter.as_mut(),
            Root::Unless(at) => section.excepts.get_mut(at)?.unless.as_mut(),
        }
    }

    /// Takes the whole condition out, where the section is still one without it; says what introduced it.
    fn dropped(self, section: &mut Section) -> Option<&'static str> {
        match self {
            Root::Binder(at) => section.binders.get_mut(at)?.filter.take().map(|_| "where"),
            Root::Condition(at) => section.norms.get_mut(at)?.condition.take().map(|_| "if"),
            Root::Unless(at) => {
                let except = section.excepts.get_mut(at)?;
                except.filter.as_ref()?;
                except.unless.take().map(|_| "unless")
            }
            Root::Filter(at) => {
                let except = section.excepts.get_mut(at)?;
                except.unless.as_ref()?;
                except.filter.take().map(|_| "where")
            }
            Root::Let(_) | Root::Body(_) => None,
        }
    }
}

impl Maker<'_> {
    fn own(&self, span: Span) -> bool {
        self.files.contains(&span.file)
    }

    fn push(&mut self, place: &str, words: String, span: Span, item: Changed) {
        self.changes.push(Change { place: place.to_string(), words, span, item, limit: None });
    }

    fn section(&mut self, at: usize) {
        let section = &self.program.sections[at];
        let id = section.id.clone();
        for (number, binder) in section.binders.iter().enumerate() {
            let which = if section.binders.len() > 1 { format!("applies to each {}: ", binder.name) } else { "applies to: ".into() };
            self.root(at, Root::Binder(number), &id, &which);
        }
        self.force(at, &id);
        for (number, (name, _)) in section.lets.iter().enumerate() {
            self.root(at, Root::Let(number), &id, &format!("let {name}: "));
        }
        for (number, norm) in section.norms.iter().enumerate() {
            let place = format!("{id} ({})", norm.label);
            self.root(at, Root::Condition(number), &place, "");
            self.root(at, Root::Body(number), &place, "");
            if self.own(norm.span) {
                let mut changed = section.clone();
                changed.norms.remove(number);
                self.push(&place, "the clause is dropped".into(), norm.span, Changed::Section(at, Box::new(changed)));
            }
        }
        for (number, except) in section.excepts.iter().enumerate() {
            let place = format!("{id} ({})", except.label);
            self.root(at, Root::Filter(number), &place, "");
            self.root(at, Root::Unless(number), &place, "unless: ");
            if self.own(except.span) {
                let mut changed = section.clone();
                changed.excepts.remove(number);
                self.push(&place, "the exception is dropped".into(), except.span, Changed::Section(at, Box::new(changed)));
            }
        }
    }

    /// The days from which and before which a section is in force, each a day earlier and a day later.
    fn force(&mut self, at: usize, id: &str) {
        let Some(force) = self.program.sections[at].force.as_ref().filter(|force| self.own(force.span)) else { return };
        for (first, day) in [(true, force.from), (false, force.before)] {
            let Some(day) = day else { continue };
            for other in [day.yesterday(), day.tomorrow()].into_iter().flatten() {
                let mut changed = self.program.sections[at].clone();
                let Some(force) = changed.force.as_mut() else { continue };
                *(if first { &mut force.from } else { &mut force.before }) = Some(other);
                let word = if first { "from" } else { "before" };
                let words = format!("in force: {word} {day} becomes {word} {other}");
                self.push(id, words, force.span, Changed::Section(at, Box::new(changed)));
            }
        }
    }

    /// Changes within one expression of a section, and the whole of it dropped.
    fn root(&mut self, at: usize, root: Root, place: &str, which: &str) {
        let section = &self.program.sections[at];
        let Some(expr) = root.of(section).filter(|expr| self.own(expr.span)) else { return };
        let (whole, span) = (quoted(self.program, expr.span), expr.span);
        let mut dropped = section.clone();
        if !matches!(expr.op, crate::language::program::Op::Junction(true, _))
            && let Some(word) = root.dropped(&mut dropped)
        {
            // `unless` says itself which condition it is.
            let which = if matches!(root, Root::Unless(_)) { "" } else { which };
            self.push(place, format!("{which}{word} {whole} dropped"), span, Changed::Section(at, Box::new(dropped)));
        }
        for edited in edits(self.program, expr) {
            let mut changed = section.clone();
            if replace(root.of_mut(&mut changed), &edited) {
                let item = Changed::Section(at, Box::new(changed));
                self.edited(place, which, edited, item);
            }
        }
    }

    fn edited(&mut self, place: &str, which: &str, edited: Edited, item: Changed) {
        let words = format!("{which}{}", edited.words);
        self.changes.push(Change { place: place.to_string(), words, span: edited.span, item, limit: edited.limit });
    }

    fn formula(&mut self, at: usize) {
        let formula = &self.program.formulas[at];
        if !self.own(formula.body.span) {
            return;
        }
        let place = format!("{}/{}", self.pack, formula.name);
        for edited in edits(self.program, &formula.body) {
            let mut changed = formula.clone();
            if replace(Some(&mut changed.body), &edited) {
                self.edited(&place, "", edited, Changed::Formula(at, Box::new(changed)));
            }
        }
    }

    fn table(&mut self, at: usize) {
        let table = &self.program.tables[at];
        let place = format!("{}/{}", self.pack, table.name);
        for (number, row) in table.rows.iter().enumerate().filter(|(_, row)| self.files.contains(&row.span.file)) {
            let key = |key: &usize| match &row.cells[*key] {
                KeyCell::Range(..) => folded(&of_row(self.program, row.span, *key)),
                cell => crate::judge::judge_section::cell_text(self.program, cell),
            };
            let keys = table.keys.iter().map(key);
            let keys = keys.collect::<Vec<_>>().join(", ");
            for column in 0..table.columns.len() {
                for (cell, words) in self.cells(table, number, column) {
                    let mut changed = table.clone();
                    changed.rows[number].cells[column] = cell;
                    let words = format!("{} of {keys}: {words}", table.columns[column].name);
                    self.push(&place, words, row.span, Changed::Table(at, Box::new(changed)));
                }
            }
            let mut changed = table.clone();
            changed.rows.remove(number);
            self.push(&place, format!("row {keys} dropped"), row.span, Changed::Table(at, Box::new(changed)));
        }
    }

    /// The cells beside a cell. A key that is a word is not changed, since that would be a row missing and another one doubled;
    /// the row is dropped instead.
    fn cells(&self, table: &Table, row: usize, column: usize) -> Vec<(KeyCell, String)> {
        let (kind, is_key) = (&table.columns[column].kind, table.keys.contains(&column));
        let text = of_row(self.program, table.rows[row].span, column);
        match &table.rows[row].cells[column] {
            KeyCell::Value(Datum::Word(_) | Datum::YesNo(_)) if is_key => Vec::new(),
            KeyCell::Value(datum) => {
                let moved = beside(datum, &text, kind, false, &self.program.lists);
                let written = folded(&text);
                moved.into_iter().map(|(datum, shown)| (KeyCell::Value(datum), format!("{written} becomes {shown}"))).collect()
            }
            KeyCell::Range(low, high) => super::text::ranges(low.as_ref(), high.as_ref(), &text),
            KeyCell::Any | KeyCell::Nothing => Vec::new(),
        }
    }
}

fn replace(expr: Option<&mut Expr>, edited: &Edited) -> bool {
    match expr.and_then(|expr| part_at(expr, &edited.way)) {
        Some(part) => {
            *part = edited.by.clone();
            true
        }
        None => false,
    }
}
