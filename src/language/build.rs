//! Turns the parsed text of a rule file into its tree, item by item, with every slip of the file in one run. It must not
//! look up any name.

use super::grammar::{Rule, parse};
use super::tree::{
    Adopts, Cite, Definition, Field, Force, Formula, Found, Header, Item, Key, KindName, Name, Path, SourceItem, Standing, Step, Table,
    Taken, Target, Text, Tree, Values,
};
use crate::slip::Slip;
use crate::source::{FileId, Source, Span};
use pest::iterators::Pair;

type P<'i> = Pair<'i, Rule>;

/// What reading a rule file gives: always a tree, and every slip that was met.
#[derive(Debug, Default)]
pub struct Parsed {
    /// What could be read.
    pub tree: Tree,
    /// What is wrong with the rest.
    pub slips: Vec<Slip>,
    /// Names of items that could not be read to their end: who uses them is not told again.
    pub unread: Vec<String>,
}

/// Collects the slips while the tree is built.
pub struct Builder {
    /// The file.
    pub file: FileId,
    /// Slips so far.
    pub slips: Vec<Slip>,
    /// Terms of the outermost calculation that is being built.
    pub open_terms: usize,
    /// Names of items that could not be read to their end.
    pub unread: Vec<String>,
}

/// Reads a rule file.
pub fn read_rules(source: &Source, file: FileId) -> Parsed {
    let mut builder = Builder { file, slips: Vec::new(), open_terms: 0, unread: Vec::new() };
    let pairs = match parse(Rule::file, source.text(), file) {
        Ok(pairs) => pairs,
        Err(slip) => return Parsed { slips: vec![slip], ..Parsed::default() },
    };
    let items = pairs.into_inner().filter_map(|pair| builder.item(pair)).collect();
    let mut slips = builder.slips;
    slips.sort_by_key(|slip| slip.span.map_or(0, |span| span.start));
    Parsed { tree: Tree { items }, slips, unread: builder.unread }
}

/// Reads one condition by itself, such as the limit that a variance grants.
pub fn read_condition(text: &str, file: FileId) -> Result<super::tree::Expr, Vec<Slip>> {
    let mut builder = Builder { file, slips: Vec::new(), open_terms: 0, unread: Vec::new() };
    let pair = parse(Rule::allowed, text, file).map_err(|slip| vec![slip])?;
    let expr = pair.into_inner().next().map(|pair| builder.expr(pair));
    match expr {
        Some(expr) if builder.slips.is_empty() => Ok(expr),
        _ => Err(builder.slips),
    }
}

impl Builder {
    /// Tells a slip.
    pub fn slip(&mut self, slip: Slip) {
        self.slips.push(slip);
    }

    /// The place of a pair.
    pub fn span(&self, pair: &P) -> Span {
        let span = pair.as_span();
        Span::new(self.file, span.start(), span.end())
    }

    /// A pair's text as a name.
    pub fn name(&self, pair: &P) -> Name {
        Name { text: pair.as_str().to_string(), span: self.span(pair) }
    }

    /// `a.b.c`.
    pub fn path(&self, pair: &P) -> Path {
        let span = self.span(pair);
        let mut names = Vec::new();
        let mut at = 0;
        for word in pair.as_str().split('.') {
            names.push(Name { text: word.to_string(), span: span.part(at..at + word.len()) });
            at += word.len() + 1;
        }
        Path { names, span }
    }

    /// `pack/section`.
    pub fn target(&self, pair: &P) -> Target {
        let (pack, item) = pair.as_str().split_once('/').unwrap_or((pair.as_str(), ""));
        Target { pack: pack.to_string(), item: item.to_string(), span: self.span(pair) }
    }

    /// One or more adjacent texts, joined.
    pub fn texts(&self, pair: P) -> Text {
        let span = self.span(&pair);
        if pair.as_rule() == Rule::text {
            return Name { text: pair.as_str().trim_matches('"').to_string(), span };
        }
        let text = pair.into_inner().map(|part| part.as_str().trim_matches('"').to_string()).collect();
        Name { text, span }
    }

    fn item(&mut self, pair: P) -> Option<Item> {
        match pair.as_rule() {
            Rule::pack => Some(Item::Pack(self.header(pair))),
            Rule::source => self.source(pair).map(Item::Source),
            Rule::values => Some(Item::Values(self.values(pair))),
            Rule::definition => Some(Item::Definition(self.definition(pair))),
            Rule::table => Some(Item::Table(self.table(pair))),
            Rule::formula => self.formula(pair).map(Item::Formula),
            Rule::section => Some(Item::Section(self.section(pair))),
            Rule::amend => Some(Item::Amend(self.amend(pair))),
            Rule::repeal => Some(Item::Repeal(self.repeal(pair))),
            Rule::trial => Some(Item::Trial(self.trial(pair))),
            Rule::unnoticed => self.unnoticed(pair).map(Item::Unnoticed),
            Rule::stray_item => {
                self.stray_item(&pair);
                None
            }
            _ => None,
        }
    }

    fn header(&mut self, pair: P) -> Header {
        let lost = Name { text: String::new(), span: self.span(&pair) };
        let mut header = Header {
            name: lost,
            title: None,
            language: None,
            edition: None,
            authority: None,
            reviewed: None,
            force: None,
            adopts: Vec::new(),
        };
        for part in pair.into_inner() {
            let span = self.span(&part);
            match part.as_rule() {
                Rule::word => header.name = self.name(&part),
                Rule::text => header.title = Some(self.texts(part)),
                Rule::language => {
                    let number = part.into_inner().next().and_then(|count| count.as_str().parse().ok()).unwrap_or(u32::MAX);
                    header.language = Some((number, span));
                }
                Rule::edition => header.edition = part.into_inner().next().map(|text| self.texts(text)),
                Rule::authority => header.authority = part.into_inner().next().map(|text| self.texts(text)),
                Rule::reviewed => header.reviewed = part.into_inner().next().map(|text| self.texts(text)),
                Rule::force => header.force = Some(self.force(part)),
                Rule::adopts => {
                    let mut inner = part.into_inner();
                    if let Some(word) = inner.next() {
                        header.adopts.push(Adopts { name: self.name(&word), as_minimum: inner.next().is_some() });
                    }
                }
                Rule::stray_clause => self.stray_clause(&part, Rule::only_pack_clause),
                _ => {}
            }
        }
        header
    }

    fn source(&mut self, pair: P) -> Option<SourceItem> {
        let mut inner = pair.into_inner();
        let name = self.name(&inner.next()?);
        let title = self.texts(inner.next()?);
        let standing = match inner.next()?.as_str() {
            "published" => Standing::Published,
            "practice" => Standing::Practice,
            _ => Standing::Invented,
        };
        Some(SourceItem { name, title, standing })
    }

    fn values(&mut self, pair: P) -> Values {
        let span = self.span(&pair);
        let mut values = Values { name: Name { text: String::new(), span }, doc: None, words: Vec::new(), ordered: false };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => values.name = self.name(&part),
                Rule::text => values.doc = Some(self.texts(part)),
                Rule::value => values.words.push(self.name(&part)),
                _ => values.ordered = true,
            }
        }
        values
    }

    fn definition(&mut self, pair: P) -> Definition {
        let span = self.span(&pair);
        let mut definition = Definition {
            name: Name { text: String::new(), span },
            doc: None,
            found: Found::Nowhere,
            gathers: Vec::new(),
            fields: Vec::new(),
        };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => definition.name = self.name(&part),
                Rule::texts => definition.doc = Some(self.texts(part)),
                Rule::among => definition.found = self.only_path(part).map_or(Found::Nowhere, Found::Among),
                Rule::at => definition.found = self.only_path(part).map_or(Found::Nowhere, Found::At),
                Rule::gathering => definition.gathers = part.into_inner().map(|path| self.path(&path)).collect(),
                Rule::field => definition.fields.extend(self.field(part)),
                Rule::stray_line => self.stray_line(&part),
                _ => {}
            }
        }
        definition
    }

    fn only_path(&self, pair: P) -> Option<Path> {
        pair.into_inner().next().map(|path| self.path(&path))
    }

    /// One fact of a definition.
    pub fn field(&mut self, pair: P) -> Option<Field> {
        let mut inner = pair.into_inner();
        let name = self.name(&inner.next()?);
        let kind = self.kind(inner.next()?)?;
        let mut field = Field { name, kind, signed: false, measured: false, gives_tolerance: false, taken: None, doc: None, follows: None };
        for part in inner {
            match part.as_rule() {
                Rule::signed => field.signed = true,
                Rule::measured => field.measured = true,
                Rule::tolerance => field.gives_tolerance = true,
                Rule::taken => {
                    field.taken = part.into_inner().next().map(|value| Taken { text: value.as_str().to_string(), span: self.span(&value) })
                }
                Rule::texts => field.doc = Some(self.texts(part)),
                Rule::follows => field.follows = part.into_inner().next().map(|expr| self.expr(expr)),
                _ => {}
            }
        }
        Some(field)
    }

    fn kind(&mut self, pair: P) -> Option<KindName> {
        let kind = pair.into_inner().next()?;
        let rule = kind.as_rule();
        if rule == Rule::word {
            return Some(KindName::Word(self.name(&kind)));
        }
        let mut names: Vec<Name> = kind.into_inner().map(|part| self.name(&part)).collect();
        Some(match rule {
            Rule::one_of => KindName::OneOf(names),
            Rule::id_of => KindName::IdOf(names),
            Rule::any_of_kind => KindName::AnyOf(names),
            Rule::range_of => KindName::RangeOf(names.pop()?),
            Rule::recording_of => KindName::RecordingOf(names.pop()?),
            _ => KindName::ListOf(names.pop()?),
        })
    }

    fn table(&mut self, pair: P) -> Table {
        let span = self.span(&pair);
        let mut table =
            Table { name: Name { text: String::new(), span }, doc: None, keys: Vec::new(), cites: Vec::new(), rows: Vec::new() };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => table.name = self.name(&part),
                Rule::texts => table.doc = Some(self.texts(part)),
                Rule::by => table.keys = part.into_inner().filter_map(|key| self.key(key)).collect(),
                Rule::cite => table.cites.extend(self.cite(part)),
                Rule::row => table.rows.push(self.row(part)),
                Rule::stray_line => self.stray_line(&part),
                _ => {}
            }
        }
        table
    }

    fn key(&mut self, pair: P) -> Option<Key> {
        let mut inner = pair.into_inner();
        let name = self.name(&inner.next()?);
        let step = match inner.next().map(|step| step.as_rule()) {
            Some(Rule::step_down) => Step::Down,
            Some(Rule::step_up) => Step::Up,
            Some(Rule::straight) => Step::Straight,
            _ => Step::Exact,
        };
        Some(Key { name, step })
    }

    /// The cells of a row; a cell in quotes loses them.
    pub fn row(&mut self, pair: P) -> Vec<Text> {
        pair.into_inner().map(|cell| self.name(&cell)).map(|cell| Name { text: cell.text.trim_matches('"').to_string(), ..cell }).collect()
    }

    fn formula(&mut self, pair: P) -> Option<Formula> {
        let (mut name, mut parameters, mut gives, mut doc, mut body, mut cite) = (None, Vec::new(), None, None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => name = Some(self.name(&part)),
                Rule::parameter => {
                    let mut inner = part.into_inner();
                    parameters.extend(inner.next().zip(inner.next()).map(|(word, kind)| (self.name(&word), self.name(&kind))));
                }
                Rule::kind => gives = self.kind(part),
                Rule::texts => doc = Some(self.texts(part)),
                Rule::expr => body = Some(self.expr(part)),
                Rule::cite => cite = self.cite(part),
                _ => {}
            }
        }
        Some(Formula { name: name?, parameters, gives: gives?, doc, body: body?, cite })
    }

    /// `cite SOURCE "clause" from memory`.
    pub fn cite(&mut self, pair: P) -> Option<Cite> {
        let span = self.span(&pair);
        let (mut source, mut clause, mut from_memory) = (None, None, false);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => source = Some(self.name(&part)),
                Rule::text => clause = Some(self.texts(part)),
                _ => from_memory = true,
            }
        }
        Some(Cite { source: source?, clause, from_memory, span })
    }

    /// `in force from D before D by PATH`.
    pub fn force(&mut self, pair: P) -> Force {
        let span = self.span(&pair);
        let mut force = Force { from: None, before: None, by: None, span };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::path => force.by = Some(self.path(&part)),
                rule => {
                    let Some(date) = part.into_inner().next() else { continue };
                    let at = self.span(&date);
                    match crate::quantity::Days::read(date.as_str()) {
                        Ok(days) if rule == Rule::from => force.from = Some(days.first),
                        Ok(days) => force.before = Some(days.first),
                        Err((message, hint)) => self.slip(Slip::at(at, "not-a-date", message).label("here").hint(hint)),
                    }
                }
            }
        }
        if force.from.is_none() && force.before.is_none() {
            self.slip(
                Slip::at(span, "missing-date", "`in force` without a date")
                    .label("here")
                    .hint("write `in force from 2026-01-01`, with `before` and `by` where they are needed"),
            );
        }
        force
    }
}
