//! Word lists, definitions, tables and formulas of a printed code. It must not know sections.

use super::super::document::{Block, Document, Line, Run, marked, words};
use super::{Printing, said};
use crate::language::adopt::Reading;
use crate::language::pack::Pack;
use crate::language::tree::{Definition, Field, Formula, Found, KindName, Name, Path, Step, Table, Values};
use crate::source::Span;

/// An item of a pack as it reads in the code.
enum Item<'a> {
    Values(&'a Values),
    Definition(&'a Definition),
    Table(&'a Table),
    Formula(&'a Formula),
    Section(&'a Reading),
}

impl<'a> Printing<'a> {
    /// The items of a pack, in the order in which its files have them.
    pub(super) fn items(&self, document: &mut Document, pack: &Pack) {
        let code = self.code;
        let mut items: Vec<(Span, Item)> = Vec::new();
        items.extend(code.values.iter().map(|item| (item.name.span, Item::Values(item))));
        items.extend(code.definitions.iter().map(|item| (item.name.span, Item::Definition(item))));
        items.extend(code.tables.iter().map(|(_, item)| (item.name.span, Item::Table(item))));
        items.extend(code.formulas.iter().map(|(_, item)| (item.name.span, Item::Formula(item))));
        items.extend(code.sections.iter().map(|item| (item.section.name.span, Item::Section(item))));
        items.retain(|(span, _)| self.pack_of(*span) == pack.name());
        items.sort_by_key(|(span, _)| *span);
        for (_, item) in items {
            match item {
                Item::Values(values) => self.values(document, values),
                Item::Definition(definition) => self.definition(document, definition),
                Item::Table(table) => self.printed_table(document, table),
                Item::Formula(formula) => self.formula(document, formula),
                Item::Section(reading) => self.section(document, reading),
            }
        }
    }

    /// Who added something to an item, where it was another pack than the item's own.
    fn added_by(&self, part: Span, item: Span) -> Option<&'a str> {
        let (pack, own) = (self.pack_of(part), self.pack_of(item));
        (pack != own).then_some(pack)
    }

    fn values(&self, document: &mut Document, values: &Values) {
        let name = &values.name;
        document.blocks.push(Block::Heading(3, format!("values.{}", name.text), format!("Words: {}", name.text), false));
        let mut line: Line = values.doc.iter().map(|doc| Run::Plain(format!("{}: ", doc.text))).collect();
        for (at, word) in values.words.iter().enumerate() {
            line.push(Run::plain(if at > 0 { ", " } else { "" }));
            line.push(Run::Code(word.text.clone()));
            line.extend(self.added_by(word.span, name.span).map(|pack| Run::Plain(format!(" (added by {pack})"))));
        }
        line.push(Run::plain(if values.ordered { ", in this order." } else { "." }));
        document.paragraph(line);
    }

    fn definition(&self, document: &mut Document, definition: &Definition) {
        let name = &definition.name;
        document.heading(3, format!("definition.{}", name.text), format!("Definition: {}", name.text));
        let mut line = marked(&said(definition.doc.as_ref()));
        let found = match &definition.found {
            Found::Nowhere => None,
            Found::Among(path) => Some(("each one in the list", path)),
            Found::At(path) => Some(("the one at", path)),
        };
        if let Some((how, path)) = found {
            line.push(Run::Plain(format!("; {how} ")));
            line.push(Run::Code(path_text(path)));
        }
        for (at, path) in definition.gathers.iter().enumerate() {
            line.push(Run::plain(if at == 0 { "; all of " } else { ", " }));
            line.push(Run::Code(path_text(path)));
        }
        line.push(Run::plain("."));
        document.paragraph(line);
        let rows = definition.fields.iter().map(|field| self.fact(field, name.span)).collect();
        document.table(format!("Facts of {}", name.text), &["Fact", "Kind", "When it is not stated", "How to measure it"], rows);
    }

    fn fact(&self, field: &Field, item: Span) -> Vec<Line> {
        let mut name = vec![Run::Code(field.name.text.clone())];
        name.extend(self.added_by(field.name.span, item).map(|pack| Run::Plain(format!(" (added by {pack})"))));
        let mut kind = kind_text(&field.kind);
        if field.signed {
            kind.push_str(", may be below nought");
        }
        if field.measured {
            kind.push_str(", measured");
        }
        if field.gives_tolerance {
            kind.push_str(", gives the tolerance of what is measured");
        }
        let taken = field.taken.as_ref().map(|taken| taken.text.as_str());
        let taken = match taken {
            None => "it is asked for".to_string(),
            Some("none") => "there is none".to_string(),
            Some(value) => format!("taken as {value}"),
        };
        let mut doc = marked(&said(field.doc.as_ref()));
        if let Some(value) = &field.follows {
            doc.push(Run::Plain(". It follows from ".into()));
            doc.push(Run::Code(self.written(value.span)));
        }
        vec![name, words(kind), words(taken), doc]
    }

    fn printed_table(&self, document: &mut Document, table: &Table) {
        let name = &table.name;
        let number = self.number(self.pack_of(name.span), &table.cites);
        document.heading(3, format!("table.{}", name.text), format!("{number}Table: {}", name.text));
        let mut line = marked(&said(table.doc.as_ref()));
        let keys: Vec<String> = table.keys.iter().map(|key| format!("{}{}", key.name.text, step_words(key.step))).collect();
        line.push(Run::Plain(format!(". Looked up by {}.", keys.join(", "))));
        document.paragraph(line);
        if !table.cites.is_empty() {
            document.paragraph(self.cited(&table.cites));
        }
        let Some((heading, rows)) = table.rows.split_first() else { return };
        let mut headings: Vec<&str> = heading.iter().map(|cell| cell.text.as_str()).collect();
        let changed = |row: &[Name]| row.first().and_then(|cell| self.added_by(cell.span, name.span));
        let amended = rows.iter().any(|row| changed(row).is_some());
        if amended {
            headings.push("amended by");
        }
        let rows = rows.iter().map(|row| {
            let cells = row.iter().map(|cell| words(&cell.text));
            cells.chain(amended.then(|| words(changed(row).unwrap_or("")))).collect()
        });
        document.table(format!("Rows of {}", name.text), &headings, rows.collect());
    }

    fn formula(&self, document: &mut Document, formula: &Formula) {
        let name = &formula.name;
        document.heading(3, format!("formula.{}", name.text), format!("Formula: {}", name.text));
        let mut line = marked(&said(formula.doc.as_ref()));
        let of: Vec<String> = formula.parameters.iter().map(|(word, kind)| format!("{} ({})", word.text, kind.text)).collect();
        line.push(Run::Plain(format!(". Of {}; it gives a value of the kind {}.", of.join(", "), kind_text(&formula.gives))));
        document.paragraph(line);
        document.blocks.push(Block::Written(self.written(formula.body.span)));
        if let Some(cite) = &formula.cite {
            document.paragraph(self.cited([cite]));
        }
    }
}

fn path_text(path: &Path) -> String {
    path.names.iter().map(|name| name.text.as_str()).collect::<Vec<_>>().join(".")
}

fn kind_text(kind: &KindName) -> String {
    let list = |names: &[Name]| names.iter().map(|name| name.text.as_str()).collect::<Vec<_>>().join(", ");
    match kind {
        KindName::Word(name) => name.text.clone(),
        KindName::OneOf(names) => format!("one of {}", list(names)),
        KindName::AnyOf(names) => format!("any of {}", list(names)),
        KindName::IdOf(names) => format!("id of {}", list(names)),
        KindName::RecordingOf(name) => format!("recording of {}", name.text),
        KindName::RangeOf(name) => format!("range of {}", name.text),
        KindName::ListOf(name) => format!("list of {}", name.text),
    }
}

fn step_words(step: Step) -> &'static str {
    match step {
        Step::Exact => "",
        Step::Down => " (between rows, the row below)",
        Step::Up => " (between rows, the row above)",
        Step::Straight => " (between rows, on a straight line)",
    }
}
