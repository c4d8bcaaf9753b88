//! What a change of a table does: which cells moved, and whether every clause that looks one up is harder or easier to hold
//! for it. It must not know how clauses themselves changed.

use super::adopt::Adopted;
use super::change::Direction;
use super::change_expr::cell_order;
use super::tree::{Comparison, Except, Expr, Node, Norm, Over, Quantifier, Table, Text};
use super::walk::written;
use std::cmp::Ordering;

/// One change of a table: which part, what it says, and what it does.
pub struct CellChange {
    /// The row, or the table as a whole.
    pub part: String,
    /// The change in words.
    pub says: String,
    /// What it does.
    pub direction: Direction,
}

/// Every change between two texts of a table. `code` is the new code, whose clauses look it up.
pub fn table_changes(old: &Table, new: &Table, code: &Adopted) -> Vec<CellChange> {
    let whole = |says: &str| vec![CellChange { part: String::new(), says: says.to_string(), direction: Direction::Different }];
    let (Some((heading, rows)), Some((other_heading, others))) = (old.rows.split_first(), new.rows.split_first()) else {
        return Vec::new();
    };
    let texts = |row: &[Text]| row.iter().map(|cell| cell.text.clone()).collect::<Vec<_>>();
    let keys = |table: &Table| table.keys.iter().map(|key| (key.name.text.clone(), key.step)).collect::<Vec<_>>();
    if texts(heading) != texts(other_heading) || keys(old) != keys(new) {
        return whole("its columns or keys are others");
    }
    let is_key = |column: usize| old.keys.iter().any(|key| heading.get(column).is_some_and(|cell| cell.text == key.name.text));
    let key = |row: &[Text]| row.iter().enumerate().filter(|(at, _)| is_key(*at)).map(|(_, cell)| cell.text.clone()).collect::<Vec<_>>();
    let mut changes = Vec::new();
    for row in rows {
        let Some(other) = others.iter().find(|other| key(other) == key(row)) else {
            changes.push(CellChange {
                part: format!("row {}", key(row).join(", ")),
                says: "is dropped".into(),
                direction: Direction::Different,
            });
            continue;
        };
        for (column, (was, is)) in row.iter().zip(other.iter()).enumerate().filter(|(_, (was, is))| was.text != is.text) {
            let name = &heading[column].text;
            let direction = if name == "cite" { Direction::NoVerdict } else { moved(&new.name.text, name, &was.text, &is.text, code) };
            let says = format!("{name} {} becomes {}", was.text, is.text);
            changes.push(CellChange { part: format!("row {}", key(row).join(", ")), says, direction });
        }
    }
    for row in others.iter().filter(|other| !rows.iter().any(|row| key(row) == key(other))) {
        let says = format!("is added: {}", texts(row).join(", "));
        changes.push(CellChange { part: format!("row {}", key(row).join(", ")), says, direction: Direction::Different });
    }
    changes
}

/// What a cell that moved does: told only where everything that looks its column up is a limit of one kind.
fn moved(table: &str, column: &str, was: &str, is: &str, code: &Adopted) -> Direction {
    let Some(order) = cell_order(was, is) else { return Direction::Different };
    let mut uses = Uses { table, column, found: Vec::new() };
    uses.of_code(code);
    let grows = order == Ordering::Greater;
    let mut stricter = uses.found.iter().map(|up| up.map(|up| up == grows));
    let Some(Some(first)) = stricter.next() else { return Direction::Different };
    match (stricter.all(|other| other == Some(first)), first) {
        (true, true) => Direction::Stricter,
        (true, false) => Direction::Looser,
        (false, _) => Direction::Different,
    }
}

/// Everything that looks a column up: whether a larger cell makes it harder (true) or easier (false); `None` where that cannot
/// be told.
struct Uses<'a> {
    table: &'a str,
    column: &'a str,
    found: Vec<Option<bool>>,
}

impl Uses<'_> {
    fn of_code(&mut self, code: &Adopted) {
        for (_, formula) in &code.formulas {
            self.untold(&formula.body);
        }
        for reading in &code.sections {
            let clauses = &reading.section.clauses;
            for binder in &clauses.applies {
                let walked = matches!(&binder.over, Over::Row(name) if name.text == self.table);
                self.found.extend(walked.then_some(None));
                // The harder the condition, the fewer things are asked.
                binder.filter.iter().for_each(|filter| self.of(filter, false));
            }
            clauses.lets.iter().for_each(|named| self.untold(&named.value));
            clauses.norms.iter().for_each(|norm| self.of_norm(norm));
            clauses.excepts.iter().for_each(|except| self.of_except(except));
        }
    }

    fn of_norm(&mut self, norm: &Norm) {
        norm.condition.iter().for_each(|condition| self.of(condition, false));
        self.of(&norm.body, true);
    }

    fn of_except(&mut self, except: &Except) {
        except.filter.iter().for_each(|filter| self.of(filter, false));
        except.unless.iter().for_each(|unless| self.of(unless, true));
    }

    /// An expression; `straight` says whether the whole is harder to meet when the expression is harder to hold.
    fn of(&mut self, expr: &Expr, straight: bool) {
        match &expr.node {
            Node::Junction(_, parts) => parts.iter().for_each(|part| self.of(part, straight)),
            Node::Not(part) => self.of(part, !straight),
            Node::Quantified(how, walk, body) => {
                let filter = if *how == Quantifier::AtLeastOne { straight } else { !straight };
                walk.filter.iter().for_each(|part| self.of(part, filter));
                self.of(body, if *how == Quantifier::No { !straight } else { straight });
            }
            Node::Compare(comparison, a, b) => {
                let least = matches!(comparison, Comparison::AtLeast | Comparison::MoreThan);
                self.side(b, least == straight);
                self.side(a, least != straight);
            }
            _ => self.untold(expr),
        }
    }

    /// A side of a comparison: the look-up itself, or something that may hold it.
    fn side(&mut self, expr: &Expr, harder_up: bool) {
        match &expr.node {
            Node::Call(path, arguments) if self.looks_up(path) => {
                self.found.push(Some(harder_up));
                arguments.iter().for_each(|argument| self.untold(argument));
            }
            _ => self.untold(expr),
        }
    }

    fn looks_up(&self, path: &super::tree::Path) -> bool {
        matches!(path.names.as_slice(), [table, column] if table.text == self.table && column.text == self.column)
    }

    fn untold(&mut self, expr: &Expr) {
        let mut met = false;
        written(expr, &mut |part| met |= matches!(&part.node, Node::Call(path, _) if self.looks_up(path)));
        self.found.extend(met.then_some(None));
    }
}
