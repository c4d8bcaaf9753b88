//! The tables of everything judged, in the order of the printed code, and the list of what is open. It must not know how a row came
//! about.

use super::Sheet;
use super::rows::Row;
use crate::report::blocks::{Group, Ledger};
use crate::report::document::{Block, Document, Line, Run, words};
use crate::report::findings::Provenance;
use crate::report::numbered::What;
use std::collections::BTreeMap;

/// Most open items that a sheet lists.
pub const MOST_LISTED: usize = 2_000;

/// What needs attention, by number.
pub fn open_items(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "findings", "What needs attention");
    if sheet.numbered.is_empty() {
        document.paragraph(words("Nothing: no clause that applies is not met, marginal, open or unanswered."));
        return;
    }
    let rows = sheet.numbered.iter().take(MOST_LISTED).map(|one| {
        let weight = if one.modal() == crate::language::tree::Modal::Shall { "mandatory" } else { "recommended" };
        let (clause, cure) = match one.what {
            What::Verdict(finding) => (vec![finding.clause_name()], finding.why.remedy.clone()),
            What::Missing(waiting) => {
                let docs: Vec<String> = waiting.lacking.iter().map(|lacking| lacking.doc.clone()).collect();
                (waiting.asked_by.iter().map(|(clause, _)| clause.clone()).collect(), format!("Find out: {}", docs.join("; ")))
            }
        };
        let names: Vec<&str> = clause.iter().map(String::as_str).collect();
        vec![
            vec![Run::Strong(format!("{}", one.number))],
            vec![Run::Verdict(one.rank(), one.verdict().into()), Run::plain(format!(" {weight}"))],
            words(one.things().join(", ")),
            words(format!("{} [{}]", one.words(), crate::report::text::listed(&names, 6))),
            words(cure),
        ]
    });
    let rows: Vec<Vec<Line>> = rows.collect();
    let mut ledger =
        Ledger::plain("Open items, worst first", &["No.", "Verdict", "Where", "What is the matter [clause]", "What to do"], rows);
    ledger.ids = sheet.numbered.iter().take(MOST_LISTED).map(|one| format!("finding-{}", one.number)).collect();
    ledger.widths = &[5, 14, 17, 34, 30];
    document.blocks.push(Block::Ledger(ledger));
    if sheet.numbered.len() > MOST_LISTED {
        let more = sheet.numbered.len() - MOST_LISTED;
        document.paragraph(words(format!("{more} more are not listed here; `pintle check` tells all of them.")));
    }
}

/// Every section judged, by code.
pub fn sections(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "judged", "Every section judged");
    document.paragraph(words(
        "In the order of the codes, what is met too. A margin is what lies between the value and its limit. How each value was reckoned is in the written-out \
         calculations.",
    ));
    let mut packs: Vec<(&str, Vec<&Row>)> = Vec::new();
    for row in &sheet.rows {
        let pack = pack_of(&row.finding.section);
        match packs.iter_mut().find(|(name, _)| *name == pack) {
            Some((_, rows)) => rows.push(row),
            None => packs.push((pack, vec![row])),
        }
    }
    for (pack, rows) in packs {
        let about = sheet.subject.program.pack(pack);
        let title = about.map_or_else(|| pack.to_string(), |about| format!("{}, {}", about.title, about.edition));
        document.blocks.push(Block::Heading(3, format!("judged-{pack}"), title, true));
        let heads = ["What was judged", "Verdict", "Found", "Limit, or what is asked", "Margin"].map(String::from).to_vec();
        let caption = format!("Sections of {pack} that apply");
        document.blocks.push(Block::Ledger(Ledger {
            caption,
            heads,
            groups: groups(sheet, &rows),
            widths: &[21, 12, 24, 28, 15],
            ..Ledger::default()
        }));
    }
    if sheet.left_out > 0 {
        let words_of =
            format!("{} more verdicts are not written out here; `pintle check` and `pintle calcs` tell all of them.", sheet.left_out);
        document.paragraph(vec![Run::Strong(words_of)]);
    }
    idle(sheet, document);
}

fn pack_of(section: &str) -> &str {
    section.split('/').next().unwrap_or(section)
}

/// Rows by section, those of one source together.
fn groups(sheet: &Sheet, rows: &[&Row]) -> Vec<Group> {
    let mut order: BTreeMap<(usize, String), usize> = BTreeMap::new();
    let mut groups: Vec<Group> = Vec::new();
    let mut sections: Vec<&str> = Vec::new();
    for row in rows {
        let section = sections.iter().position(|known| *known == row.finding.section).unwrap_or_else(|| {
            sections.push(&row.finding.section);
            sections.len() - 1
        });
        let from: Vec<String> = row.finding.from.iter().map(Provenance::text).collect();
        let at = *order.entry((section, from.join("; "))).or_insert_with(|| {
            groups.push(Group { title: title(row, &from), rows: Vec::new() });
            groups.len() - 1
        });
        groups[at].rows.push(cells(sheet, row));
    }
    groups
}

fn title(row: &Row, from: &[String]) -> Line {
    let finding = row.finding;
    let name = finding.section.split_once('/').map_or(finding.section.as_str(), |(_, name)| name);
    let mut line = vec![
        Run::Strong(finding.title.clone()),
        Run::plain(" "),
        Run::Code(name.into()),
        Run::plain(format!(" Source: {}.", from.join("; "))),
    ];
    if !finding.amended_by.is_empty() {
        line.push(Run::plain(format!(" Amended by {}.", finding.amended_by.join(", "))));
    }
    line
}

fn cells(sheet: &Sheet, row: &Row) -> Vec<Line> {
    let finding = row.finding;
    let mut verdict = vec![Run::Verdict(finding.rank, finding.verdict.into())];
    if let Some(number) = sheet.number_of(row) {
        verdict.extend([Run::plain(" "), Run::Link(format!("finding-{number}"), format!("No. {number}"))]);
    }
    if finding.modal == crate::language::tree::Modal::Should {
        verdict.push(Run::plain(" recommended"));
    }
    if let Some(standing) = finding.standing() {
        verdict.push(Run::plain(format!(", {standing}")));
    }
    let cell = |text: &str| if text.is_empty() { Line::new() } else { words(text) };
    vec![words(format!("({}) {}", finding.label, finding.thing)), verdict, cell(&row.value), cell(&row.limit), cell(&row.margin)]
}

type Points = Vec<(Line, Vec<Block>)>;

/// Clauses that apply to nothing in this job.
fn idle(sheet: &Sheet, document: &mut Document) {
    let mut packs: Vec<(&str, Points)> = Vec::new();
    let mut number = 0;
    for finding in &sheet.report.idle {
        let pack = pack_of(&finding.section);
        let line = vec![Run::Code(finding.clause_name()), Run::plain(format!(" {}", finding.title))];
        let at = packs.iter().position(|(name, _)| *name == pack).unwrap_or_else(|| {
            packs.push((pack, Vec::new()));
            packs.len() - 1
        });
        // Two codes may carry one clause with two texts; it is told once.
        if packs[at].1.iter().all(|(known, _)| *known != line) {
            packs[at].1.push((line, Vec::new()));
            number += 1;
        }
    }
    let inner: Vec<Block> = packs
        .into_iter()
        .flat_map(|(pack, points)| [Block::Paragraph(vec![Run::Strong(pack.to_string())]), Block::Points(points)])
        .collect();
    if !inner.is_empty() {
        document.blocks.push(Block::Folded(format!("Not applicable: {number} clauses that apply to nothing in this job"), inner));
    }
}
