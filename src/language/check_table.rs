//! Checks tables: headings, kinds of columns, key cells, overlapping and missing rows. It must not know who looks up what.

use super::check::Checker;
use super::program::{Column, KeyCell, Row, Table};
use super::tree::{self, Step, Text};
use crate::datum::{Datum, Kind, ListId, WordList};
use crate::quantity::{Days, Dimension, Exact, Interval, Reading, Wire, read, unit::UnitKind};
use crate::slip::{Slip, suggest};
use std::collections::HashMap;

/// Most rows of a table.
const MOST_ROWS: usize = 20_000;

/// What a cell looks like before its column's kind is known.
#[derive(Clone, Debug)]
enum Cell {
    Any,
    Nothing,
    Number(Reading),
    Range(Option<(Reading, bool)>, Option<(Reading, bool)>),
    Date(Days),
    Wire(Wire),
    Word(String),
}

impl Checker<'_> {
    /// Checks a table and makes it ready for look-ups.
    pub fn table(&mut self, table: &tree::Table) -> Option<Table> {
        self.reserved(&table.name);
        let Some((heading, rows)) = table.rows.split_first() else {
            self.slip(
                Slip::at(table.name.span, "empty-table", format!("table `{}` has no rows", table.name.text))
                    .label("this table")
                    .hint("write a heading and at least one row: a | b"),
            );
            return None;
        };
        if rows.is_empty() || rows.len() > MOST_ROWS {
            let (name, message) = match rows.len() {
                0 => ("empty-table", "a table with a heading and no rows".to_string()),
                many => ("too-large", format!("a table of {many} rows; at most {MOST_ROWS}")),
            };
            self.slip(Slip::at(table.name.span, name, message).label("this table"));
            return None;
        }
        self.heading(table, heading)?;
        let kept = self.whole_rows(heading, rows);
        let mut columns = Vec::new();
        let mut cells: Vec<Vec<KeyCell>> = vec![Vec::new(); kept.len()];
        let mut cites: Vec<Option<String>> = vec![None; kept.len()];
        for (at, name) in heading.iter().enumerate() {
            let key = table.keys.iter().find(|key| key.name.text == name.text).map(|key| key.step);
            let texts: Vec<&Text> = kept.iter().map(|row| &row[at]).collect();
            if name.text == "cite" && key.is_none() {
                for (cite, text) in cites.iter_mut().zip(&texts) {
                    *cite = Some(text.text.clone());
                }
            }
            let (kind, column) = self.column(name, &texts, key)?;
            columns.push(Column { name: name.text.clone(), kind, key });
            for (row, cell) in cells.iter_mut().zip(column) {
                row.push(cell);
            }
        }
        let rows = cells
            .into_iter()
            .zip(cites)
            .zip(&kept)
            .map(|((cells, cite), row)| Row { cells, cite, span: row[0].span.to(row[row.len() - 1].span) })
            .collect();
        let keys = table.keys.iter().filter_map(|key| columns.iter().position(|column| column.name == key.name.text)).collect();
        let cites = table.cites.iter().filter_map(|cite| self.citation(cite)).collect();
        let doc = table.doc.as_ref().map_or_else(String::new, |doc| doc.text.clone());
        let checked = Table { name: table.name.text.clone(), doc, columns, rows, keys, cites, span: table.name.span };
        self.table_cite(table, heading);
        self.overlaps(&checked);
        Some(checked)
    }

    /// The rows with a cell under each heading; the others are told.
    fn whole_rows<'t>(&mut self, heading: &[Text], rows: &'t [Vec<Text>]) -> Vec<&'t Vec<Text>> {
        let (kept, odd): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.len() == heading.len());
        for row in odd {
            let span = row[0].span.to(row[row.len() - 1].span);
            let slip = Slip::at(span, "table-heading", format!("{} cells under {} headings", row.len(), heading.len())).label("this row");
            self.slip(slip.other(heading[0].span.to(heading[heading.len() - 1].span), "the heading"));
        }
        kept
    }

    fn table_cite(&mut self, table: &tree::Table, heading: &[Text]) {
        if table.cites.is_empty() && !heading.iter().any(|name| name.text == "cite") {
            let slip =
                Slip::at(table.name.span, "missing-cite", format!("table `{}` says nowhere where its values come from", table.name.text))
                    .label("this table");
            self.slip(slip.hint("add `cite SOURCE \"clause\"` above its rows, or a column `cite`"));
        }
    }

    fn heading(&mut self, table: &tree::Table, heading: &[Text]) -> Option<()> {
        let mut fine = true;
        for (at, name) in heading.iter().enumerate() {
            let plain =
                name.text.starts_with(|c: char| c.is_ascii_lowercase()) && name.text.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
            if !plain {
                self.slip(
                    Slip::at(name.span, "table-heading", format!("`{}` is no heading", name.text))
                        .label("here")
                        .hint("the first row names the columns in lower-case words"),
                );
                fine = false;
            }
            if let Some(first) = heading[..at].iter().find(|other| other.text == name.text) {
                self.slip(
                    Slip::at(name.span, "doubled-name", format!("a second column `{}`", name.text))
                        .label("this one")
                        .other(first.span, "the first"),
                );
                fine = false;
            }
        }
        if table.keys.is_empty() {
            self.slip(
                Slip::at(table.name.span, "table-keys", "a table without keys")
                    .label("this table")
                    .hint("say which columns are looked up: `by kind, zone`"),
            );
            fine = false;
        }
        for (at, key) in table.keys.iter().enumerate() {
            if !heading.iter().any(|name| name.text == key.name.text) {
                let hint = suggest(&key.name.text, heading.iter().map(|name| name.text.as_str()));
                self.slip(
                    Slip::at(key.name.span, "table-keys", format!("no column `{}`", key.name.text)).label("this key").hint_maybe(hint),
                );
                fine = false;
            }
            if key.step != Step::Exact && at + 1 != table.keys.len() {
                self.slip(
                    Slip::at(key.name.span, "table-keys", "only the last key may fall between rows")
                        .label("this key")
                        .hint("put it last in `by`"),
                );
                fine = false;
            }
        }
        fine.then_some(())
    }

    /// The kind of a column, by its cells, and the cells in that kind.
    fn column(&mut self, name: &Text, texts: &[&Text], key: Option<Step>) -> Option<(Kind, Vec<KeyCell>)> {
        if name.text == "cite" && key.is_none() {
            return Some((Kind::Text, texts.iter().map(|text| KeyCell::Value(Datum::Text(text.text.clone()))).collect()));
        }
        let cells: Vec<Cell> = texts.iter().map(|text| cell(&text.text, key.is_some())).collect();
        let Some(at) = cells.iter().position(|cell| !matches!(cell, Cell::Any | Cell::Nothing)) else {
            let list = self.lists.add(WordList { name: None, words: Vec::new(), ordered: false });
            return Some((
                Kind::Word(list),
                cells.iter().map(|cell| if matches!(cell, Cell::Any) { KeyCell::Any } else { KeyCell::Nothing }).collect(),
            ));
        };
        let kind = self.kind_of_cell(&cells[at], name, texts, &cells)?;
        let steps = matches!(kind, Kind::Measure(_) | Kind::Count | Kind::Date | Kind::Temperature | Kind::Wire);
        if key.is_some_and(|step| step != Step::Exact) && !steps {
            let text = self.kind_text(&kind);
            self.slip(
                Slip::at(name.span, "table-keys", format!("there is nothing between rows of {text}"))
                    .label("this column")
                    .hint("leave `next row …` and `straight …` out"),
            );
        }
        let mut checked = Vec::new();
        for (cell, text) in cells.iter().zip(texts) {
            match self.cell_as(cell, &kind, key.is_some()) {
                Some(cell) => checked.push(cell),
                None => {
                    let wanted = self.kind_text(&kind);
                    let slip = Slip::at(
                        text.span,
                        "unlike-kinds",
                        format!("`{}` in a column of {}", text.text, wanted.trim_start_matches("a ").trim_start_matches("an ")),
                    )
                    .label("this cell");
                    self.slip(
                        slip.other(texts[at].span, "the kind comes from this cell")
                            .hint("one column holds one kind of value; `none` is none, `any` is every value of a key"),
                    );
                    return None;
                }
            }
        }
        Some((kind, checked))
    }

    fn kind_of_cell(&mut self, cell: &Cell, name: &Text, texts: &[&Text], cells: &[Cell]) -> Option<Kind> {
        Some(match cell {
            Cell::Number(reading) | Cell::Range(Some((reading, _)), _) | Cell::Range(None, Some((reading, _))) => {
                let plain = cells.iter().all(|cell| match cell {
                    Cell::Number(reading) => reading.value.is_whole() && reading.unit.is_none() && reading.decimals == Some(0),
                    Cell::Range(a, b) => {
                        [a, b].into_iter().flatten().all(|(reading, _)| reading.value.is_whole() && reading.unit.is_none())
                    }
                    _ => true,
                });
                match reading.unit {
                    None if plain => Kind::Count,
                    None => Kind::Measure(Dimension::NONE),
                    Some(unit) if unit.kind() == UnitKind::Temperature => Kind::Temperature,
                    Some(unit) => Kind::Measure(unit.dimension()),
                }
            }
            Cell::Date(_) => Kind::Date,
            Cell::Wire(_) => Kind::Wire,
            Cell::Word(word) if matches!(word.as_str(), "yes" | "no") => Kind::YesNo,
            Cell::Word(_) => {
                let words: Vec<&str> =
                    cells.iter().filter_map(|cell| if let Cell::Word(word) = cell { Some(word.as_str()) } else { None }).collect();
                Kind::Word(self.list_of_column(name, &words, texts)?)
            }
            Cell::Any | Cell::Nothing | Cell::Range(None, None) => Kind::YesNo,
        })
    }

    /// The word list of a column: the one of its name, else the only one that has all its words, else one of its own.
    fn list_of_column(&mut self, name: &Text, words: &[&str], texts: &[&Text]) -> Option<ListId> {
        if let Some(list) = self.list_names.get(&name.text).copied() {
            if let Some((word, text)) = words.iter().zip(texts).find(|(word, _)| self.lists.word_in(list, word).is_none()) {
                let hint = suggest(word, self.lists.texts(list));
                self.slip(
                    Slip::at(text.span, "unknown-word", format!("`{word}` is no word of {}", name.text))
                        .label("this cell")
                        .hint_maybe(hint),
                );
                return None;
            }
            return Some(list);
        }
        let fits: Vec<ListId> = self
            .lists
            .all()
            .filter(|(id, list)| list.name.is_some() && words.iter().all(|word| self.lists.word_in(*id, word).is_some()))
            .map(|(id, _)| id)
            .collect();
        match fits.as_slice() {
            [only] => Some(*only),
            [] => {
                self.near_list(words, texts);
                let words = words.iter().map(|word| self.lists.word(word)).collect();
                Some(self.lists.add(WordList { name: None, words, ordered: false }))
            }
            // Several lists have the words: a column of its own list still compares with each of them word by word.
            several => several.iter().copied().min_by_key(|list| self.lists.list(*list).words.len()),
        }
    }

    /// Tells a word that one list almost has when it has all the others.
    fn near_list(&mut self, words: &[&str], texts: &[&Text]) {
        let mut best: Option<(usize, ListId)> = None;
        for (id, _) in self.lists.all().filter(|(_, list)| list.name.is_some()) {
            let known = words.iter().filter(|word| self.lists.word_in(id, word).is_some()).count();
            if known * 2 > words.len() && best.is_none_or(|(most, _)| known > most) {
                best = Some((known, id));
            }
        }
        let Some((_, list)) = best else { return };
        let odd = |text: &&&Text| words.contains(&text.text.as_str()) && self.lists.word_in(list, &text.text).is_none();
        if let Some(text) = texts.iter().find(odd) {
            let hint = suggest(&text.text, self.lists.texts(list));
            self.slips.push(
                Slip::at(
                    text.span,
                    "unknown-word",
                    format!("`{}` is no word of {}, as the other cells are", text.text, self.lists.describe(list)),
                )
                .label("this cell")
                .hint_maybe(hint),
            );
        }
    }

    fn cell_as(&mut self, cell: &Cell, kind: &Kind, key: bool) -> Option<KeyCell> {
        let number = |reading: &Reading| {
            let dimension = reading.unit.map_or(Dimension::NONE, |unit| unit.dimension());
            let fits = match kind {
                Kind::Count => reading.unit.is_none() && reading.value.is_whole(),
                Kind::Measure(wanted) => dimension == *wanted && reading.unit.is_none_or(|unit| unit.kind() == UnitKind::Measure),
                Kind::Temperature => reading.unit.is_some_and(|unit| unit.kind() == UnitKind::Temperature),
                _ => false,
            };
            fits.then_some(reading.value)
        };
        Some(match cell {
            Cell::Any if key => KeyCell::Any,
            Cell::Any => return None,
            Cell::Nothing => KeyCell::Nothing,
            Cell::Number(reading) => KeyCell::Value(Datum::Number(Interval::point(number(reading)?), reading.unit)),
            Cell::Range(low, high) if key => {
                let end = |end: &Option<(Reading, bool)>| match end {
                    None => Some(None),
                    Some((reading, included)) => Some(Some((number(reading)?, *included))),
                };
                KeyCell::Range(end(low)?, end(high)?)
            }
            Cell::Range(Some((low, _)), Some((high, _))) if matches!(kind, Kind::Measure(_)) => {
                KeyCell::Value(Datum::Range(number(low)?, number(high)?, low.unit))
            }
            Cell::Range(..) => return None,
            Cell::Date(days) if *kind == Kind::Date => KeyCell::Value(Datum::Days(*days)),
            Cell::Wire(wire) if *kind == Kind::Wire => KeyCell::Value(Datum::Wire(*wire)),
            Cell::Word(word) => match kind {
                Kind::YesNo if word == "yes" => KeyCell::Value(Datum::YesNo(true)),
                Kind::YesNo if word == "no" => KeyCell::Value(Datum::YesNo(false)),
                Kind::Word(list) => KeyCell::Value(Datum::Word(self.lists.word_in(*list, word)?)),
                _ => return None,
            },
            Cell::Date(_) | Cell::Wire(_) => return None,
        })
    }

    /// Two rows that one set of keys would both match.
    fn overlaps(&mut self, table: &Table) {
        // Rows of plain values clash only with their equals, which are found by name; the few others are compared with all.
        let mut plain: HashMap<String, usize> = HashMap::new();
        let mut wide: Vec<usize> = Vec::new();
        for (at, row) in table.rows.iter().enumerate() {
            let keys = || table.keys.iter().map(|key| &row.cells[*key]);
            let clash = |other: &usize| table.keys.iter().all(|key| meet(&row.cells[*key], &table.rows[*other].cells[*key]));
            let twin = match keys().map(plain_key).collect::<Option<String>>() {
                Some(name) => plain.insert(name, at).or_else(|| wide.iter().copied().find(clash)),
                None => {
                    wide.push(at);
                    (0..at).find(clash)
                }
            };
            if let Some(twin) = twin {
                let message = format!("two rows of table `{}` answer to the same keys", table.name);
                let slip = Slip::at(row.span, "table-overlap", message).label("this row").other(table.rows[twin].span, "and this one");
                self.slips.push(slip.hint("make the keys differ, or take one row out"));
                return;
            }
        }
    }

    /// A table that is looked up must have a row for every word of its word keys.
    pub fn check_coverage(&mut self, at: usize) {
        let table = self.tables[at].clone();
        for key in &table.keys {
            let Kind::Word(list) = table.columns[*key].kind else { continue };
            if table.rows.iter().any(|row| matches!(row.cells[*key], KeyCell::Any)) {
                continue;
            }
            let has = |word| table.rows.iter().any(|row| row.cells[*key] == KeyCell::Value(Datum::Word(word)));
            let missing: Vec<String> =
                self.lists.list(list).words.iter().filter(|word| !has(**word)).map(|word| self.lists.text(*word).to_string()).collect();
            if !missing.is_empty() && self.lists.list(list).name.is_some() {
                let name = &table.columns[*key].name;
                let slip = Slip::at(
                    table.span,
                    "table-gap",
                    format!("table `{}` is looked up and has no row where {name} is {}", table.name, missing.join(", ")),
                )
                .label("this table");
                self.slip(slip.hint("a look-up there cannot be computed; add the rows, or a row with `any`").harmless());
            }
        }
    }
}

/// Reads a cell by its look alone.
fn cell(text: &str, key: bool) -> Cell {
    let text = text.trim();
    match text {
        "any" if key => return Cell::Any,
        "none" => return Cell::Nothing,
        _ => {}
    }
    if let Some(range) = range(text) {
        return range;
    }
    if let Ok(days) = Days::read(text).map_err(|_| ()).and_then(|days| if text.len() == 4 { Err(()) } else { Ok(days) }) {
        return Cell::Date(days);
    }
    if (text.contains("AWG") || text.contains("kcmil"))
        && let Ok(wire) = Wire::read(text)
    {
        return Cell::Wire(wire);
    }
    match read(text) {
        Ok(reading) => Cell::Number(reading),
        Err(_) => Cell::Word(text.to_string()),
    }
}

fn range(text: &str) -> Option<Cell> {
    let number = |text: &str| read(text.trim()).ok();
    let one = |prefix: &str| text.strip_prefix(prefix).and_then(number);
    let low = |text: &str| {
        text.strip_prefix("more than ").map_or_else(|| number(text).map(|n| (n, true)), |rest| number(rest).map(|n| (n, false)))
    };
    let high = |text: &str| {
        text.strip_prefix("less than ").map_or_else(|| number(text).map(|n| (n, true)), |rest| number(rest).map(|n| (n, false)))
    };
    if let Some((a, b)) = text.split_once(" to ") {
        return Some(Cell::Range(Some(low(a)?), Some(high(b)?)));
    }
    if let Some(n) = one("at most ") {
        return Some(Cell::Range(None, Some((n, true))));
    }
    if let Some(n) = one("less than ") {
        return Some(Cell::Range(None, Some((n, false))));
    }
    if let Some(n) = one("at least ") {
        return Some(Cell::Range(Some((n, true)), None));
    }
    one("more than ").map(|n| Cell::Range(Some((n, false)), None))
}

/// A name for a cell of one value, the same for equal values; nothing for a range or `any`.
fn plain_key(cell: &KeyCell) -> Option<String> {
    match cell {
        KeyCell::Nothing => Some("none;".into()),
        KeyCell::Value(Datum::Number(interval, _)) => interval.as_point().map(|number| format!("{number:?};")),
        KeyCell::Value(datum) => Some(format!("{datum:?};")),
        KeyCell::Any | KeyCell::Range(..) => None,
    }
}

/// Whether some value answers to both cells.
fn meet(one: &KeyCell, two: &KeyCell) -> bool {
    type End = Option<(Exact, bool)>;
    let ends = |cell: &KeyCell| -> Option<(End, End)> {
        match cell {
            KeyCell::Range(low, high) => Some((*low, *high)),
            KeyCell::Value(Datum::Number(interval, _)) => Some((interval.lo.map(|n| (n, true)), interval.hi.map(|n| (n, true)))),
            _ => None,
        }
    };
    // One end lies above another when it is greater, or equal with either of them left out.
    let above = |low: End, high: End| match (low, high) {
        (Some((low, low_in)), Some((high, high_in))) => low > high || low == high && !(low_in && high_in),
        _ => false,
    };
    match (one, two) {
        (KeyCell::Any, _) | (_, KeyCell::Any) => true,
        (KeyCell::Nothing, KeyCell::Nothing) => true,
        _ => match (ends(one), ends(two)) {
            (Some((low_a, high_a)), Some((low_b, high_b))) => !above(low_a, high_b) && !above(low_b, high_a),
            _ => one == two,
        },
    }
}
