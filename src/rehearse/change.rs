//! Small changes of a pack, made on its checked program: each is the changed part, a sentence and a place. It must not know
//! which trials there are.

use super::expression::{Edited, edits};
use super::nudge::{beside, is_negative};
use super::text::{folded, of_row, quoted};
use crate::datum::Datum;
use crate::language::check_trial::own_sections;
use crate::language::parts::part_at;
use crate::language::program::{Except, Expr, Force, KeyCell, Norm, Program, Row, Section, Table, TakenAs};
use crate::source::{FileId, Span};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A small change of a pack.
pub struct Change {
    /// What is changed: `us-gates/lens-height (a)`.
    pub place: String,
    /// How: `at most 30 in becomes at most 31 in`.
    pub words: String,
    /// Where it stands in the pack.
    pub span: Span,
    /// What is changed.
    pub item: Changed,
    /// The limit that is changed, where it is one that a trial could stand at.
    pub limit: Option<Boundary>,
}

/// A limit that a change moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Boundary {
    /// A comparison with a literal, by its place.
    Compared(Span),
    /// A cell of a table: table, row, column.
    Cell(usize, usize, usize),
}

/// What is changed of a program, by position, with what takes its place. No more than the changed part is held, so that a large
/// pack does not become a large pack for each of its changes.
pub enum Changed {
    /// A part of an expression of a section: the section, the expression, the way to the part.
    Part(usize, Root, Vec<usize>, Expr),
    /// A whole condition of a section; none while it is not there.
    Condition(usize, Root, Option<Expr>),
    /// The days from which and before which a section is in force.
    Days(usize, Option<Date>, Option<Date>),
    /// The days from which and before which a code is in force, by its position.
    CodeDays(usize, Option<Date>, Option<Date>),
    /// A clause of a section, by its position; none while it stands there.
    Clause(usize, usize, Option<Box<Norm>>),
    /// An exception of a section, likewise.
    Exception(usize, usize, Option<Box<Except>>),
    /// A part of a formula: the formula, the way to the part.
    FormulaPart(usize, Vec<usize>, Expr),
    /// A cell of a table: table, row, column.
    Cell(usize, usize, usize, KeyCell),
    /// A row of a table; none while it stands there.
    Row(usize, usize, Option<Box<Row>>),
    /// What a fact is taken as where a job does not state it: definition, fact.
    Taken(usize, usize, TakenAs),
}

impl Changed {
    /// Puts the change into the program, and takes out what stood there: done twice, the program is as before.
    pub fn swap(&mut self, program: &mut Program) {
        match self {
            Changed::Part(at, root, way, by) => exchange(root.of_mut(&mut program.sections[*at]), way, by),
            Changed::FormulaPart(at, way, by) => exchange(Some(&mut program.formulas[*at].body), way, by),
            Changed::Condition(at, root, taken) => {
                if let Some(place) = root.place(&mut program.sections[*at]) {
                    std::mem::swap(place, taken);
                }
            }
            Changed::Days(at, from, before) => swap_days(&mut program.sections[*at].force, from, before),
            Changed::CodeDays(at, from, before) => swap_days(&mut program.codes[*at].force, from, before),
            Changed::Clause(at, number, taken) => take_or_put(&mut program.sections[*at].norms, *number, taken),
            Changed::Exception(at, number, taken) => take_or_put(&mut program.sections[*at].excepts, *number, taken),
            Changed::Cell(at, row, column, cell) => std::mem::swap(&mut program.tables[*at].rows[*row].cells[*column], cell),
            Changed::Row(at, row, taken) => take_or_put(&mut program.tables[*at].rows, *row, taken),
            Changed::Taken(at, field, by) => {
                if let Some(taken) = &mut program.definitions[*at].fields[*field].taken {
                    std::mem::swap(taken, by);
                }
            }
        }
    }
}

fn swap_days(force: &mut Option<Force>, from: &mut Option<Date>, before: &mut Option<Date>) {
    if let Some(force) = force {
        std::mem::swap(&mut force.from, from);
        std::mem::swap(&mut force.before, before);
    }
}

fn exchange(expr: Option<&mut Expr>, way: &[usize], by: &mut Expr) {
    if let Some(part) = expr.and_then(|expr| part_at(expr, way)) {
        std::mem::swap(part, by);
    }
}

/// Takes an item out of a list, or puts it back.
fn take_or_put<T>(list: &mut Vec<T>, at: usize, taken: &mut Option<Box<T>>) {
    match taken.take() {
        Some(item) => list.insert(at, *item),
        None => *taken = Some(Box::new(list.remove(at))),
    }
}

/// Every small change of what a pack itself wrote, in the order of its program.
pub fn changes(program: &Program, pack: &str, files: &[FileId]) -> Vec<Change> {
    let mut maker = Maker { program, pack, files, changes: Vec::new() };
    for (at, code) in program.codes.iter().enumerate().filter(|(_, code)| code.name == pack) {
        maker.force(code.force.as_ref(), pack, |from, before| Changed::CodeDays(at, from, before));
    }
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
    maker.changes.extend(super::assumed::changes(program, pack, files));
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

/// An expression that a section holds at its top, by the position of what holds it.
#[derive(Clone, Copy)]
pub enum Root {
    /// Which things a part of `applies to` lets in.
    Binder(usize),
    /// A named value.
    Let(usize),
    /// When a clause is asked.
    Condition(usize),
    /// What a clause asks.
    Body(usize),
    /// When an exception holds.
    Filter(usize),
    /// When an exception does not hold after all.
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
            Root::Let(at) => section.lets.get_mut(at).map(|(_, value)| value),
            Root::Body(at) => section.norms.get_mut(at).map(|norm| &mut norm.body),
            condition => condition.place(section)?.as_mut(),
        }
    }

    /// Where a condition stands that could be left out.
    fn place(self, section: &mut Section) -> Option<&mut Option<Expr>> {
        match self {
            Root::Binder(at) => section.binders.get_mut(at).map(|binder| &mut binder.filter),
            Root::Condition(at) => section.norms.get_mut(at).map(|norm| &mut norm.condition),
            Root::Filter(at) => section.excepts.get_mut(at).map(|except| &mut except.filter),
            Root::Unless(at) => section.excepts.get_mut(at).map(|except| &mut except.unless),
            Root::Let(_) | Root::Body(_) => None,
        }
    }

    /// What introduces the condition, where the section is still one without it: an exception needs one of its two.
    fn droppable(self, section: &Section) -> Option<&'static str> {
        match self {
            Root::Binder(_) => Some("where"),
            Root::Condition(_) => Some("if"),
            Root::Unless(at) => section.excepts.get(at)?.filter.as_ref().map(|_| "unless"),
            Root::Filter(at) => section.excepts.get(at)?.unless.as_ref().map(|_| "where"),
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
        self.force(section.force.as_ref(), &id, |from, before| Changed::Days(at, from, before));
        for (number, (name, _)) in section.lets.iter().enumerate() {
            self.root(at, Root::Let(number), &id, &format!("let {name}: "));
        }
        for (number, norm) in section.norms.iter().enumerate() {
            let place = format!("{id} ({})", norm.label);
            self.root(at, Root::Condition(number), &place, "");
            self.root(at, Root::Body(number), &place, "");
            if self.own(norm.span) {
                self.push(&place, "the clause is dropped".into(), norm.span, Changed::Clause(at, number, None));
            }
        }
        for (number, except) in section.excepts.iter().enumerate() {
            let place = format!("{id} ({})", except.label);
            self.root(at, Root::Filter(number), &place, "");
            self.root(at, Root::Unless(number), &place, "unless: ");
            if self.own(except.span) {
                self.push(&place, "the exception is dropped".into(), except.span, Changed::Exception(at, number, None));
            }
        }
    }

    /// The days from which and before which something is in force, each a day earlier and a day later.
    fn force(&mut self, force: Option<&Force>, id: &str, changed: impl Fn(Option<Date>, Option<Date>) -> Changed) {
        let Some(force) = force.filter(|force| self.own(force.span)) else { return };
        for (first, day) in [(true, force.from), (false, force.before)] {
            let Some(day) = day else { continue };
            for other in [day.yesterday(), day.tomorrow()].into_iter().flatten() {
                let word = if first { "from" } else { "before" };
                let words = format!("in force: {word} {day} becomes {word} {other}");
                let (from, before) = if first { (Some(other), force.before) } else { (force.from, Some(other)) };
                self.push(id, words, force.span, changed(from, before));
            }
        }
    }

    /// Changes within one expression of a section, and the whole of it dropped.
    fn root(&mut self, at: usize, root: Root, place: &str, which: &str) {
        let section = &self.program.sections[at];
        let Some(expr) = root.of(section).filter(|expr| self.own(expr.span)) else { return };
        let (whole, span) = (quoted(self.program, expr.span), expr.span);
        if !matches!(expr.op, crate::language::program::Op::Junction(true, _))
            && let Some(word) = root.droppable(section)
        {
            // `unless` says itself which condition it is.
            let which = if matches!(root, Root::Unless(_)) { "" } else { which };
            self.push(place, format!("{which}{word} {whole} dropped"), span, Changed::Condition(at, root, None));
        }
        for edited in edits(self.program, expr) {
            self.edited(place, which, edited, |way, by| Changed::Part(at, root, way, by));
        }
    }

    fn edited(&mut self, place: &str, which: &str, edited: Edited, item: impl FnOnce(Vec<usize>, Expr) -> Changed) {
        let Edited { way, by, words, span, limit } = edited;
        let limit = limit.map(Boundary::Compared);
        self.changes.push(Change { place: place.to_string(), words: format!("{which}{words}"), span, item: item(way, by), limit });
    }

    fn formula(&mut self, at: usize) {
        let formula = &self.program.formulas[at];
        if !self.own(formula.body.span) {
            return;
        }
        let place = format!("{}/{}", self.pack, formula.name);
        for edited in edits(self.program, &formula.body) {
            self.edited(&place, "", edited, |way, by| Changed::FormulaPart(at, way, by));
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
                    let words = format!("{} of {keys}: {words}", table.columns[column].name);
                    self.push(&place, words, row.span, Changed::Cell(at, number, column, cell));
                    if let Some(last) = self.changes.last_mut() {
                        last.limit = Some(Boundary::Cell(at, number, column));
                    }
                }
            }
            self.push(&place, format!("row {keys} dropped"), row.span, Changed::Row(at, number, None));
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
                // A column that nobody went below nought in is one of measures that are never below it.
                let signed = table.rows.iter().any(|row| matches!(&row.cells[column], KeyCell::Value(datum) if is_negative(datum)));
                let possible = |moved: &Datum| signed || kind.goes_below_nought() || !is_negative(moved);
                let moved = beside(datum, &text, kind, false, &self.program.lists).into_iter().filter(|(moved, _)| possible(moved));
                let written = folded(&text);
                moved.map(|(datum, shown)| (KeyCell::Value(datum), format!("{written} becomes {shown}"))).collect()
            }
            KeyCell::Range(low, high) => super::text::ranges(low.as_ref(), high.as_ref(), &text),
            KeyCell::Any | KeyCell::Nothing => Vec::new(),
        }
    }
}
