//! A pack as loaded: its header, its items by kind, its place and the hash of its normalised text. It must not know other
//! packs.

use super::build::{Parsed, read_rules};
pub use super::digest::{digest_of, normalised};
use super::embedded::Embedded;
use super::grammar::UNREAD;
use super::tree::{Amend, Definition, Formula, Header, Item, Name, Repeal, Section, SourceItem, Table, Trial, Unnoticed, Values};
use crate::slip::Slip;
use crate::source::{FileId, Source, Sources, Span};
use rayon::prelude::*;

/// Version of the rule language that this program reads.
pub const LANGUAGE: u32 = 1;
/// Digits of the short hash that reports show.
const SHORT: usize = 16;

/// A pack as loaded.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Its header.
    pub header: Header,
    /// Where it was found, as shown.
    pub place: String,
    /// A short hash of its normalised text: how its digest begins.
    pub hash: String,
    /// The SHA-256 digest of its normalised text.
    pub digest: String,
    /// Sources.
    pub sources: Vec<SourceItem>,
    /// Word lists.
    pub values: Vec<Values>,
    /// Kinds of record.
    pub definitions: Vec<Definition>,
    /// Tables.
    pub tables: Vec<Table>,
    /// Formulas.
    pub formulas: Vec<Formula>,
    /// Sections.
    pub sections: Vec<Section>,
    /// Amendments.
    pub amends: Vec<Amend>,
    /// Repeals.
    pub repeals: Vec<Repeal>,
    /// Its files.
    pub files: Vec<FileId>,
    /// Slips of reading.
    pub slips: Vec<Slip>,
    /// Names of items that could not be read to their end.
    pub unread: Vec<String>,
}

impl Pack {
    /// The name in its header.
    pub fn name(&self) -> &str {
        &self.header.name.text
    }

    /// Where its name stands.
    pub fn span(&self) -> Span {
        self.header.name.span
    }

    /// Reads the files of a pack; they are taken in to `sources` in the order given. What the build made of the same texts is taken from
    /// `same`, where they are those of an embedded pack.
    pub fn read(files: Vec<Source>, place: &str, sources: &mut Sources, same: Option<&Embedded>) -> Pack {
        let digest = same.map_or_else(|| digest_of(&files), |pack| pack.digest.to_string());
        let numbers: Vec<FileId> = files.into_iter().map(|file| sources.add(file)).collect();
        let mut pack = Pack::empty(Span::new(numbers.first().copied().unwrap_or(FileId(0)), 0, 0), place, digest);
        pack.files.clone_from(&numbers);
        let mut headed = false;
        let parsed: Vec<_> = match same.and_then(|pack| pack.trees(&numbers)) {
            Some(trees) => trees.into_iter().map(|tree| Parsed { tree, ..Parsed::default() }).collect(),
            None => numbers.par_iter().filter_map(|number| sources.get(*number).map(|source| read_rules(source, *number))).collect(),
        };
        for parsed in parsed {
            pack.slips.extend(parsed.slips);
            pack.unread.extend(parsed.unread);
            for item in parsed.tree.items {
                pack.take(item, &mut headed);
            }
        }
        // Where the reading of a file ended at once, its header was not looked for.
        let unread = pack.slips.iter().any(|slip| UNREAD.contains(&slip.name));
        if !headed && !unread {
            let start = Span { end: pack.span().start + 1, ..pack.span() };
            pack.slips.push(
                Slip::at(start, "missing-header", "no `pack` header in this pack")
                    .label("its first line")
                    .hint("start with: pack NAME \"Title\""),
            );
        }
        pack.check_header(headed);
        pack
    }

    fn empty(span: Span, place: &str, digest: String) -> Pack {
        let name = super::tree::Name { text: String::new(), span };
        let header =
            Header { name, title: None, language: None, edition: None, authority: None, reviewed: None, force: None, adopts: Vec::new() };
        Pack {
            header,
            place: place.to_string(),
            hash: digest.chars().take(SHORT).collect(),
            digest,
            sources: Vec::new(),
            values: Vec::new(),
            definitions: Vec::new(),
            tables: Vec::new(),
            formulas: Vec::new(),
            sections: Vec::new(),
            amends: Vec::new(),
            repeals: Vec::new(),
            files: Vec::new(),
            slips: Vec::new(),
            unread: Vec::new(),
        }
    }

    fn take(&mut self, item: Item, headed: &mut bool) {
        match item {
            Item::Pack(header) if *headed => {
                let slip = Slip::at(header.name.span, "doubled-header", "a second `pack` header in one pack").label("this one");
                self.slips.push(slip.other(self.header.name.span, "the first").hint("a pack has one header, in one of its files"));
            }
            Item::Pack(header) => {
                *headed = true;
                self.header = header;
            }
            Item::Source(item) => self.sources.push(item),
            Item::Values(item) => self.values.push(item),
            Item::Definition(item) => self.definitions.push(item),
            Item::Table(item) => self.tables.push(item),
            Item::Formula(item) => self.formulas.push(item),
            Item::Section(item) => self.sections.push(item),
            Item::Amend(item) => self.amends.push(item),
            Item::Repeal(item) => self.repeals.push(item),
            Item::Trial(Trial { name: Name { span, .. }, .. }) | Item::Unnoticed(Unnoticed { span, .. }) => self.slips.push(
                Slip::at(span, "misplaced-trial", "a trial among the rules of a pack")
                    .label("here")
                    .hint("trials live in files of their own: in the folder `trials` of the pack, or in NAME-trials beside NAME.rules"),
            ),
        }
    }

    fn check_header(&mut self, headed: bool) {
        if !headed {
            return;
        }
        let span = self.span();
        let unread = |word: &str, slips: &[Slip]| slips.iter().any(|slip| slip.name == "unreadable-clause" && slip.message.contains(word));
        match self.header.language {
            None if unread("`language` clause", &self.slips) => {}
            None => self.slips.push(
                Slip::at(span, "missing-language", "the header does not say which version of the language it is written in")
                    .label("this pack")
                    .hint("add `language   1`"),
            ),
            Some((number, at)) if number != LANGUAGE => {
                self.slips.push(
                    Slip::at(at, "unknown-language", format!("language {number}; this program reads language {LANGUAGE}"))
                        .label("here")
                        .hint("use a newer program, or the pack's earlier edition"),
                );
            }
            Some(_) => {}
        }
        if self.header.edition.is_none() && !unread("`edition` clause", &self.slips) {
            self.slips.push(
                Slip::at(span, "missing-edition", "the header names no edition").label("this pack").hint("add `edition    \"2026\"`"),
            );
        }
    }
}
