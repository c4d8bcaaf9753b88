//! The code as it reads once adopted and amended, as a document: packs, sources, words, definitions, tables, formulas and
//! sections, each with where it came from and how it is known. It must not know jobs or how a document is drawn.

mod items;
mod opening;
mod sections;
pub mod sources_list;

use super::document::{Document, Line, Run, words};
use super::findings::Provenance;
use super::totals::CAUTION;
use crate::language::adopt::Adopted;
use crate::language::pack::Pack;
use crate::language::tree::{Cite, Standing, Text};
use crate::source::{Sources, Span};

/// What a code is printed from.
#[derive(Clone, Copy, Debug)]
pub struct Printing<'a> {
    /// The code.
    pub code: &'a Adopted,
    /// The texts that stay in force as a minimum beside it.
    pub floors: &'a [Adopted],
    /// The files of its packs.
    pub files: &'a Sources,
}

/// The code: itself first, then the packs that it builds on, each after those that it builds on in turn.
pub fn consolidated(printing: Printing) -> Document {
    let root = printing.code.packs.last();
    let title = root.map_or_else(String::new, |pack| format!("{}, as adopted and amended", pack_title(pack)));
    let lead = root.map(|pack| printing.opening(pack)).unwrap_or_default();
    // A page that comes loose still says of which code and edition it is.
    let seal = root.map_or_else(String::new, |pack| {
        format!("{}, edition {}, as adopted and amended", pack.name(), said(pack.header.edition.as_ref()))
    });
    let mut document = Document { title, lead, caution: CAUTION.to_string(), seal, ..Document::default() };
    document.paragraph(words(
        "This is the text that jobs are judged by: each clause as its pack wrote it, or as a later pack of this list amended it. \
        Where a value comes from stands with it, and so does how it is known: published, published but cited from memory, common \
        practice without a source, or invented for a demonstration.",
    ));
    let rows = printing.code.packs.iter().map(|pack| printing.pack_row(pack)).collect();
    document.table("Packs that take part", &["Pack", "Edition", "Published by", "Reviewed", "Adopts", "Text"], rows);
    let (own, below) = printing.code.packs.split_last().map_or((None, &[][..]), |(own, below)| (Some(own), below));
    for pack in own.into_iter().chain(below) {
        printing.pack(&mut document, pack);
    }
    document
}

fn pack_title(pack: &Pack) -> String {
    pack.header.title.as_ref().map_or_else(|| pack.name().to_string(), |title| title.text.clone())
}

fn said(text: Option<&Text>) -> String {
    text.map_or_else(String::new, |text| text.text.clone())
}

/// The word for how a source's values are known, as a reader who has not seen a pack would say it.
pub(super) fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Published => "published",
        Standing::Practice => "common practice, no source",
        Standing::Invented => "invented for a demonstration",
    }
}

impl<'a> Printing<'a> {
    fn pack_row(&self, pack: &Pack) -> Vec<Line> {
        let reviewed = pack.header.reviewed.as_ref().map_or("not reviewed", |text| text.text.as_str());
        let adopts: Vec<String> = pack
            .header
            .adopts
            .iter()
            .map(|adopts| format!("{}{}", adopts.name.text, if adopts.as_minimum { " as minimum" } else { "" }))
            .collect();
        vec![
            vec![Run::Link(format!("pack.{}", pack.name()), pack.name().to_string())],
            words(said(pack.header.edition.as_ref())),
            words(said(pack.header.authority.as_ref())),
            words(reviewed),
            words(adopts.join(", ")),
            vec![Run::Code(pack.hash.clone())],
        ]
    }

    /// The name of the pack that a place lies in.
    fn pack_of(&self, span: Span) -> &'a str {
        let name = self.files.get(span.file).map_or("", |file| file.name());
        let holds = |pack: &&'a std::sync::Arc<Pack>| {
            let inside = name.strip_prefix(pack.place.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(['/', '\\']));
            pack.span().file == span.file || inside
        };
        self.code.packs.iter().find(holds).map_or("", |pack| pack.name())
    }

    /// What stands at a place, as its author wrote it; lines after the first lose the indentation of the first.
    fn written(&self, span: Span) -> String {
        let Some(file) = self.files.get(span.file) else { return String::new() };
        self.dedented(file.slice(span.range()), file.place(span.start as usize).column - 1)
    }

    fn dedented(&self, text: &str, indent: usize) -> String {
        let mut lines = text.lines();
        let first = lines.next().unwrap_or("").to_string();
        lines.fold(first, |whole, line| {
            let blank = line.len() - line.trim_start_matches(' ').len();
            format!("{whole}\n{}", &line[blank.min(indent)..])
        })
    }

    /// Where something comes from, in words.
    fn provenance(&self, cite: &Cite) -> Option<Provenance> {
        let source = self.code.sources.iter().find(|source| source.name.text == cite.source.text)?;
        Some(Provenance {
            title: source.title.text.clone(),
            clause: said(cite.clause.as_ref()),
            standing: source.standing,
            from_memory: cite.from_memory,
        })
    }

    /// `Source: …`, with each source leading to its line in the list of sources.
    fn cited<'c>(&self, cites: impl IntoIterator<Item = &'c Cite>) -> Line {
        let mut line = vec![Run::Strong("Source:".into()), Run::plain(" ")];
        for (at, cite) in cites.into_iter().enumerate() {
            let Some(provenance) = self.provenance(cite) else { continue };
            if at > 0 {
                line.push(Run::plain("; "));
            }
            let rest = provenance.text();
            let rest = rest.strip_prefix(provenance.title.as_str()).unwrap_or("").to_string();
            line.push(Run::Link(format!("sources.{}", self.pack_of(cite_source_span(self.code, cite))), provenance.title));
            line.push(Run::Plain(rest));
        }
        line
    }

    fn pack(&self, document: &mut Document, pack: &Pack) {
        let name = pack.name();
        document.heading(2, format!("pack.{name}"), format!("{name}: {}", pack_title(pack)));
        let mut told = vec![Run::Plain(format!("Edition {}", said(pack.header.edition.as_ref())))];
        for (what, text) in [("published by", &pack.header.authority), ("reviewed", &pack.header.reviewed)] {
            if let Some(text) = text {
                told.push(Run::Plain(format!("; {what}: {}", text.text)));
            }
        }
        told.push(Run::Plain(format!("; in force {}", self.days(pack.header.force.as_ref()))));
        told.push(Run::plain("."));
        document.paragraph(told);
        // The page opens with what the code itself changes.
        if self.code.packs.last().is_none_or(|own| own.name() != name) {
            document.blocks.extend(self.changes(pack));
        }
        let rows = pack.sources.iter().map(|source| {
            vec![vec![Run::Code(source.name.text.clone())], words(&source.title.text), words(standing_words(source.standing))]
        });
        let rows: Vec<Vec<Line>> = rows.collect();
        if !rows.is_empty() {
            document.heading(3, format!("sources.{name}"), format!("Sources of {name}"));
            document.table("", &["Name", "What it is", "How its values are known"], rows);
        }
        self.items(document, pack);
    }

    /// The id of the heading of what an amendment names.
    pub(super) fn heading_of(&self, target: &crate::language::tree::Target) -> String {
        let item = &target.item;
        if self.code.tables.iter().any(|(pack, table)| *pack == target.pack && table.name.text == *item) {
            return format!("table.{item}");
        }
        let section = self.code.sections.iter().any(|reading| reading.pack == target.pack && reading.section.name.text == *item);
        match section {
            true => format!("{}/{item}", target.pack),
            false if self.code.definitions.iter().any(|definition| definition.name.text == *item) => format!("definition.{item}"),
            false => format!("values.{item}"),
        }
    }
}

/// Where the source of a citation is declared.
fn cite_source_span(code: &Adopted, cite: &Cite) -> Span {
    code.sources.iter().find(|source| source.name.text == cite.source.text).map_or(cite.span, |source| source.name.span)
}
