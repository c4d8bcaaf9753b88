//! The list of every value of some packs with its source: what is known of it, and what is still to be confirmed. It must not
//! know how packs are adopted.

use super::super::document::{Document, Line, Run, words};
use super::sections::one_line;
use super::{pack_title, said, standing_words};
use crate::language::adopt::{except_label, label_of};
use crate::language::pack::Pack;
use crate::language::tree::{Cite, Clauses, Expr, Force, Formula, Node, Norm, Standing, Table, Text};
use crate::language::walk::written;
use crate::source::{Sources, Span};
use std::sync::Arc;

/// How sure a value is, from the surest to the least sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Known {
    Published,
    FromMemory,
    Practice,
    Invented,
}

const KNOWN: [(Known, &str); 4] =
    [(Known::Published, "published"), (Known::FromMemory, "from memory"), (Known::Practice, "practice"), (Known::Invented, "invented")];

impl Known {
    fn word(self) -> &'static str {
        KNOWN.iter().find(|(known, _)| *known == self).map_or("", |(_, word)| *word)
    }
}

/// One value, or a group of them that rest on one citation.
struct Value {
    /// The section, table or formula, and the part of it.
    place: String,
    values: String,
    rests_on: Vec<Rest>,
}

/// A citation as it bears on a value.
#[derive(Clone, PartialEq, Eq)]
struct Rest {
    source: String,
    clause: String,
    known: Known,
}

/// The list for these packs; every value of theirs, in the order of their files.
pub fn sources_list(packs: &[Arc<Pack>], files: &Sources) -> Document {
    let mut document = Document { title: "Where the values come from".into(), ..Document::default() };
    document.paragraph(words(
        "Every value of the packs that come with the program: limits, tables, constants of formulas and days, with the source that \
        stands behind each and how it is known. This page is made by a command and is never edited.",
    ));
    document.blocks.push(super::super::document::Block::Points(
        KNOWN
            .iter()
            .map(|(known, word)| (vec![Run::Strong((*word).into()), Run::Plain(format!(": {}", meaning(*known)))], Vec::new()))
            .collect(),
    ));
    let lists: Vec<Vec<Value>> = packs.iter().map(|pack| Lister { pack, packs, files }.values()).collect();
    let counted = packs.iter().zip(&lists).map(|(pack, values)| {
        let numbers = KNOWN.iter().map(|(known, _)| words(values.iter().filter(|value| value.known() == *known).count().to_string()));
        [vec![Run::Link(format!("pack.{}", pack.name()), pack.name().to_string())], words(values.len().to_string())]
            .into_iter()
            .chain(numbers)
            .collect()
    });
    let headings: Vec<&str> = ["pack", "values"].into_iter().chain(KNOWN.iter().map(|(_, word)| *word)).collect();
    document.table("How many lines of the list rest on what, each counted by the least sure of its sources", &headings, counted.collect());
    for (pack, values) in packs.iter().zip(lists) {
        document.heading(2, format!("pack.{}", pack.name()), format!("{}: {}", pack.name(), pack_title(pack)));
        let reviewed = pack
            .header
            .reviewed
            .as_ref()
            .map_or_else(|| "Not reviewed by anybody.".to_string(), |text| format!("Reviewed: {}.", text.text));
        document.paragraph(words(format!("Edition {}. {reviewed}", said(pack.header.edition.as_ref()))));
        let sources = pack.sources.iter().map(|source| {
            vec![vec![Run::Code(source.name.text.clone())], words(&source.title.text), words(standing_words(source.standing))]
        });
        document.table("Sources", &["name", "what it is", "how its values are known"], sources.collect());
        if values.is_empty() {
            document.paragraph(words("This pack holds words and no values."));
            continue;
        }
        let reviewed = pack.header.reviewed.is_some();
        document.table(
            "Values",
            &["where", "value", "source", "known", "to confirm"],
            values.iter().map(|value| value.row(reviewed)).collect(),
        );
    }
    document
}

fn meaning(known: Known) -> &'static str {
    match known {
        Known::Published => "taken from the published text named, or from a published digest of it",
        Known::FromMemory => {
            "the publication is named, but nobody looked the clause up; compare it with a bought copy before anybody relies on it"
        }
        Known::Practice => "common practice of the trade; no publication was found, so an authority that knows better amends it",
        Known::Invented => "made up for a demonstration",
    }
}

impl Value {
    /// By the least sure of its sources.
    fn known(&self) -> Known {
        self.rests_on.iter().map(|rest| rest.known).max().unwrap_or(Known::Practice)
    }

    fn row(&self, reviewed: bool) -> Vec<Line> {
        let sources: Vec<String> = self.rests_on.iter().map(Rest::text).collect();
        let mut known: Vec<&str> = self.rests_on.iter().map(|rest| rest.known.word()).collect();
        known.dedup();
        let of = |wanted: Known| self.rests_on.iter().filter(move |rest| rest.known == wanted).map(Rest::text).collect::<Vec<_>>();
        let confirm = match self.known() {
            Known::FromMemory => format!("against a bought copy of {}", of(Known::FromMemory).join("; ")),
            Known::Practice => "no source is known; the authority decides".to_string(),
            Known::Invented => "nothing: a demonstration".to_string(),
            Known::Published if reviewed => "against the edition that your authority adopted".to_string(),
            Known::Published => "against the source: nobody has reviewed it".to_string(),
        };
        vec![words(&self.place), vec![Run::Code(self.values.clone())], words(sources.join("; ")), words(known.join(", ")), words(confirm)]
    }
}

impl Rest {
    fn text(&self) -> String {
        if self.clause.is_empty() { self.source.clone() } else { format!("{}, {}", self.source, self.clause) }
    }
}

struct Lister<'a> {
    pack: &'a Pack,
    packs: &'a [Arc<Pack>],
    files: &'a Sources,
}

impl Lister<'_> {
    fn values(&self) -> Vec<Value> {
        let mut found: Vec<(Span, Vec<Value>)> = Vec::new();
        let pack = self.pack;
        found.extend(pack.tables.iter().map(|table| (table.name.span, self.table(table))));
        found.extend(pack.formulas.iter().map(|formula| (formula.name.span, self.formula(formula))));
        found.extend(pack.sections.iter().map(|section| (section.name.span, self.clauses(&section.name.text, &section.clauses))));
        found.extend(pack.amends.iter().map(|amend| {
            let place = format!("amends {}/{}", amend.target.pack, amend.target.item);
            let rows = amend.rows.get(1..).unwrap_or(&[]).iter().map(|row| {
                let cells: Vec<&str> = row.iter().map(|cell| cell.text.as_str()).collect();
                Value { place: format!("{place}, row"), values: cells.join(", "), rests_on: Vec::new() }
            });
            (amend.target.span, self.clauses(&place, &amend.clauses).into_iter().chain(rows).collect())
        }));
        found.sort_by_key(|(span, _)| *span);
        let mut all: Vec<Value> = pack.header.force.iter().filter_map(|force| self.days("the pack, in force", force, &[])).collect();
        all.extend(found.into_iter().flat_map(|(_, values)| values));
        all
    }

    fn clauses(&self, place: &str, clauses: &Clauses) -> Vec<Value> {
        let norms: Vec<&Norm> = clauses.norms.iter().chain(&clauses.added).collect();
        let all = self.rests(norms.iter().flat_map(|norm| &norm.cites));
        let mut values = Vec::new();
        let mut take = |part: String, exprs: Vec<&Expr>, rests_on: &[Rest]| {
            let found = self.figures(&exprs);
            if !found.is_empty() {
                values.push(Value { place: format!("{place}{part}"), values: found.join(", "), rests_on: rests_on.to_vec() });
            }
        };
        take(", applies to".into(), clauses.applies.iter().filter_map(|binder| binder.filter.as_ref()).collect(), &all);
        for named in &clauses.lets {
            take(format!(", {}", named.name.text), vec![&named.value], &all);
        }
        for (at, norm) in norms.iter().enumerate() {
            let part = format!(" ({})", label_of(norm.label.as_ref(), at));
            take(part, norm.condition.iter().chain([&norm.body]).collect(), &self.rests(&norm.cites));
        }
        for (at, except) in clauses.excepts.iter().enumerate() {
            take(format!(", exception ({})", except_label(except, at)), except.filter.iter().chain(&except.unless).collect(), &all);
        }
        values.extend(clauses.force.iter().filter_map(|force| self.days(&format!("{place}, in force"), force, &all)));
        values
    }

    fn days(&self, place: &str, force: &Force, rests_on: &[Rest]) -> Option<Value> {
        let days = [("from", force.from), ("before", force.before)];
        let days: Vec<String> = days.into_iter().filter_map(|(word, day)| Some(format!("{word} {}", day?))).collect();
        (!days.is_empty()).then(|| Value { place: place.to_string(), values: days.join(" "), rests_on: rests_on.to_vec() })
    }

    fn formula(&self, formula: &Formula) -> Vec<Value> {
        let found = self.figures(&[&formula.body]);
        if found.is_empty() {
            return Vec::new();
        }
        vec![Value { place: format!("formula {}", formula.name.text), values: found.join(", "), rests_on: self.rests(&formula.cite) }]
    }

    /// A table's values, grouped by the citations of its rows where it has a column of them.
    fn table(&self, table: &Table) -> Vec<Value> {
        let Some((heading, rows)) = table.rows.split_first() else { return Vec::new() };
        let cited = heading.iter().position(|cell| cell.text == "cite");
        let mut groups: Vec<(&str, Vec<&Vec<Text>>)> = Vec::new();
        for row in rows {
            let cite = cited.and_then(|column| row.get(column)).map_or("", |cell| cell.text.as_str());
            match groups.iter_mut().find(|(known, _)| *known == cite) {
                Some((_, group)) => group.push(row),
                None => groups.push((cite, vec![row])),
            }
        }
        let keys: Vec<&str> = table.keys.iter().map(|key| key.name.text.as_str()).collect();
        let group = |(cite, rows): (&str, Vec<&Vec<Text>>)| {
            // A table of nothing but words as keys says which combinations there are.
            let shown: Vec<usize> = (0..heading.len()).filter(|column| heading[*column].text != "cite").collect();
            let figures =
                shown.iter().copied().filter(|column| !keys.contains(&heading[*column].text.as_str()) || holds_figures(&rows, *column));
            let figures: Vec<usize> = figures.collect();
            let columns = if figures.is_empty() { &shown } else { &figures };
            let listed = columns.iter().map(|column| format!("{}: {}", heading[*column].text, distinct(&rows, *column).join(", ")));
            let mut rests_on = self.rests(&table.cites);
            if !cite.is_empty() {
                let memory = cite.contains("from memory") || cite.contains("not seen") || cite.contains("No figure known");
                for rest in rests_on.iter_mut().take(1) {
                    // How sure it is stands in a column of its own.
                    rest.clause = cite.strip_suffix(", from memory").unwrap_or(cite).to_string();
                    rest.known = if memory { rest.known.max(Known::FromMemory) } else { rest.known };
                }
                rests_on.truncate(1);
            }
            let place = format!("table {}, {} row{}", table.name.text, rows.len(), if rows.len() == 1 { "" } else { "s" });
            Value { place, values: listed.collect::<Vec<_>>().join("; "), rests_on }
        };
        groups.into_iter().map(group).collect()
    }

    fn rests<'c>(&self, cites: impl IntoIterator<Item = &'c Cite>) -> Vec<Rest> {
        let mut rests: Vec<Rest> = Vec::new();
        for cite in cites {
            let source = self.packs.iter().flat_map(|pack| &pack.sources).find(|source| source.name.text == cite.source.text);
            let standing = source.map_or(Standing::Practice, |source| source.standing);
            let known = match standing {
                Standing::Published if cite.from_memory => Known::FromMemory,
                Standing::Published => Known::Published,
                Standing::Practice => Known::Practice,
                Standing::Invented => Known::Invented,
            };
            let rest = Rest { source: cite.source.text.clone(), clause: said(cite.clause.as_ref()), known };
            if !rests.contains(&rest) {
                rests.push(rest);
            }
        }
        rests
    }

    /// The figures in expressions, as written. Nought and one count only as a limit: elsewhere they stand for no and yes.
    fn figures(&self, exprs: &[&Expr]) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        let mut take = |expr: &Expr, limit: bool| {
            let counts = match &expr.node {
                Node::Quantity(text, _) => limit || !matches!(text.as_str(), "0" | "1"),
                Node::Wire(_) | Node::Period(_) | Node::Date(_) => true,
                _ => false,
            };
            let text = self.files.get(expr.span.file).map_or("", |file| file.slice(expr.span.range()));
            let text = one_line(text);
            if counts && !found.contains(&text) {
                found.push(text);
            }
        };
        for expr in exprs {
            written(expr, &mut |part| {
                if let Node::Compare(_, a, b) = &part.node {
                    take(a, true);
                    take(b, true);
                }
                take(part, false);
            });
        }
        found
    }
}

/// The cells of a column, each once.
fn distinct<'t>(rows: &[&'t Vec<Text>], column: usize) -> Vec<&'t str> {
    let mut cells: Vec<&str> = Vec::new();
    for cell in rows.iter().filter_map(|row| row.get(column)) {
        if !cells.contains(&cell.text.as_str()) {
            cells.push(&cell.text);
        }
    }
    cells
}

/// Whether a key column holds measures, days or counts, which are values like any other.
fn holds_figures(rows: &[&Vec<Text>], column: usize) -> bool {
    let figure = |cell: &Text| cell.text.split(' ').any(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '-'));
    rows.iter().filter_map(|row| row.get(column)).any(figure)
}
