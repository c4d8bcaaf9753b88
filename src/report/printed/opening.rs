//! What a printed code opens with: who publishes it, on which days it is in force, what it builds on and what it changes there. It
//! must not know how items are printed.

use super::super::document::{Block, Line, Run, marked, words};
use super::{Printing, said};
use crate::language::adopt::{Reading, label_of};
use crate::language::pack::Pack;
use crate::language::tree::{Amend, Cite, Force, Repeal, Target};

impl Printing<'_> {
    /// What stands before the contents.
    pub(super) fn opening(&self, pack: &Pack) -> Vec<Block> {
        let header = &pack.header;
        let adopts = header.adopts.iter().map(|adopts| {
            let how = if adopts.as_minimum { " as a minimum" } else { "" };
            format!("{}{how}", adopts.name.text)
        });
        let or = |text: String, none: &str| words(if text.is_empty() { none.to_string() } else { text });
        let facts = [
            ("Published by", or(said(header.authority.as_ref()), "not stated")),
            ("Edition", or(said(header.edition.as_ref()), "not stated")),
            ("In force", words(self.days(header.force.as_ref()))),
            ("Reviewed", or(said(header.reviewed.as_ref()), "not reviewed")),
            ("Builds on", or(adopts.collect::<Vec<_>>().join(", "), "nothing")),
        ];
        let mut opening = vec![Block::Points(
            facts
                .into_iter()
                .map(|(name, said)| ([vec![Run::Strong(format!("{name}:")), Run::plain(" ")], said].concat(), Vec::new()))
                .collect(),
        )];
        opening.extend(self.changes(pack));
        opening
    }

    /// The days on which something is in force, both ends included, and which day counts.
    pub(super) fn days(&self, force: Option<&Force>) -> String {
        let Some(force) = force else { return "on every day: it names no dates".to_string() };
        let last = force.before.and_then(|day| day.yesterday().ok());
        let days = match (force.from, last) {
            (Some(from), Some(last)) => format!("from {from} until {last}, both days included"),
            (Some(from), None) => format!("from {from} on, until it is replaced"),
            (None, Some(last)) => format!("until {last}, that day included"),
            (None, None) => "on every day".to_string(),
        };
        let by = force.by.as_ref().map(|path| path.names.iter().map(|name| name.text.as_str()).collect::<Vec<_>>());
        match by {
            Some(by) => format!("{days}; the day that counts is {}{}", by.join("."), self.fact_words(&by)),
            None => format!("{days}; the day that counts is the day of judging"),
        }
    }

    /// What a fact says of itself, behind a comma.
    fn fact_words(&self, path: &[&str]) -> String {
        let [of, fact] = path else { return String::new() };
        let definition = self.code.definitions.iter().find(|definition| definition.name.text == *of);
        let field = definition.and_then(|definition| definition.fields.iter().find(|field| field.name.text == *fact));
        field.and_then(|field| field.doc.as_ref()).map_or_else(String::new, |doc| format!(" ({})", doc.text))
    }

    /// What a pack changes in the packs that it builds on.
    pub(super) fn changes(&self, pack: &Pack) -> Vec<Block> {
        let amends = pack.amends.iter().map(|amend| self.amended(amend));
        let points: Vec<(Line, Vec<Block>)> =
            amends.chain(pack.repeals.iter().map(|repeal| self.taken_out(repeal))).map(|line| (line, Vec::new())).collect();
        if points.is_empty() {
            return Vec::new();
        }
        vec![Block::Paragraph(vec![Run::Strong("What it changes".into())]), Block::Points(points)]
    }

    fn amended(&self, amend: &Amend) -> Line {
        let id = name_of(&amend.target);
        let section = self.code.sections.iter().find(|reading| format!("{}/{}", reading.pack, reading.section.name.text) == id);
        let title = section.map_or_else(String::new, |reading| said(reading.section.title.as_ref()));
        let mut line = vec![Run::plain("Amends "), Run::Link(self.heading_of(&amend.target), id)];
        let parts = amend.clauses.norms.iter().enumerate().map(|(at, norm)| format!("({})", label_of(norm.label.as_ref(), at)));
        let parts: Vec<String> = parts.collect();
        if !parts.is_empty() {
            line.push(Run::Plain(format!(" {}", parts.join(", "))));
        }
        if !title.is_empty() {
            line.push(Run::Plain(format!(": {title}")));
        }
        let fields = amend.fields.iter().map(|field| field.name.text.as_str()).collect();
        let new_words = amend.words.iter().map(|word| word.text.as_str()).collect();
        let rows = amend.rows.iter().skip(1).filter_map(|row| Some(row.first()?.text.as_str())).collect();
        for (what, names) in [("fact", fields), ("word", new_words), ("row", rows)] {
            let names: Vec<&str> = names;
            if !names.is_empty() {
                let many = if names.len() == 1 { "" } else { "s" };
                line.push(Run::Plain(format!("; {what}{many} {}", names.join(", "))));
            }
        }
        line.extend(self.behind(amend.clauses.norms.iter().flat_map(|norm| &norm.cites)));
        line
    }

    fn taken_out(&self, repeal: &Repeal) -> Line {
        let labels = repeal.labels.iter().map(|label| label.text.clone());
        let excepts = repeal.exceptions.iter().map(|label| format!("exception {}", label.text));
        let parts: Vec<String> = labels.chain(excepts).collect();
        let mut line = vec![Run::plain("Repeals "), Run::Code(name_of(&repeal.target))];
        if !parts.is_empty() {
            line.push(Run::Plain(format!(" {}", parts.join(", "))));
        }
        if let Some(because) = &repeal.because {
            line.push(Run::plain(": "));
            line.extend(marked(&because.text));
        }
        line.extend(self.behind(&repeal.cite));
        line
    }

    /// Where it stands on the paper, in brackets; nothing where nothing is cited.
    fn behind<'c>(&self, cites: impl IntoIterator<Item = &'c Cite>) -> Line {
        let mut known: Vec<&Cite> = Vec::new();
        for cite in cites {
            let same = |other: &&&Cite| other.source.text == cite.source.text && said(other.clause.as_ref()) == said(cite.clause.as_ref());
            if known.iter().find(same).is_none() {
                known.push(cite);
            }
        }
        if known.is_empty() {
            return Line::new();
        }
        let cited = self.cited(known).into_iter().skip(2);
        std::iter::once(Run::plain(" — ")).chain(cited).collect()
    }
}

impl Printing<'_> {
    /// Where an item of a pack stands on the paper: `§ 7 — `. Only where the pack writes down one numbered paper, and the number was
    /// looked up; else nothing, since a number of another paper would be taken for one of this.
    pub(super) fn number<'c>(&self, pack: &str, cites: impl IntoIterator<Item = &'c Cite>) -> String {
        let Some(paper) = self.paper(pack) else { return String::new() };
        let mut numbers: Vec<String> = Vec::new();
        for cite in cites.into_iter().filter(|cite| is_numbered(cite) && cite.source.text == paper) {
            let number = said(cite.clause.as_ref());
            if !numbers.contains(&number) {
                numbers.push(number);
            }
        }
        if numbers.is_empty() { String::new() } else { format!("§ {} — ", numbers.join(", ")) }
    }

    /// The one source of a pack whose numbers its own items cite.
    fn paper(&self, pack: &str) -> Option<&str> {
        let own = |reading: &&Reading| reading.pack == pack;
        let sections =
            self.code.sections.iter().filter(own).flat_map(|reading| &reading.section.clauses.norms).flat_map(|norm| &norm.cites);
        let tables = self.code.tables.iter().filter(|(of, _)| of == pack).flat_map(|(_, table)| &table.cites);
        let declared = |cite: &&Cite| {
            let source = self.code.sources.iter().find(|source| source.name.text == cite.source.text);
            source.is_some_and(|source| self.pack_of(source.name.span) == pack)
        };
        let mut papers = sections.chain(tables).filter(|cite| is_numbered(cite)).filter(declared).map(|cite| cite.source.text.as_str());
        let first = papers.next()?;
        papers.all(|other| other == first).then_some(first)
    }
}

/// Whether a citation gives a number that somebody looked up.
fn is_numbered(cite: &Cite) -> bool {
    !cite.from_memory && cite.clause.as_ref().is_some_and(|clause| clause.text.starts_with(|c: char| c.is_ascii_digit()))
}

fn name_of(target: &Target) -> String {
    format!("{}/{}", target.pack, target.item)
}
