//! The tables of everything judged, in the order of the printed code, and the list of what is open. It must not know how a row came
//! about.

use super::Sheet;
use super::rows::Row;
use crate::language::tree::Standing;
use crate::report::blocks::{Group, Ledger};
use crate::report::document::{Block, Document, Line, Run, words};
use crate::report::findings::Provenance;
use crate::report::numbered::What;
use crate::slip::first_few;
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
        let agreed = one.agreed();
        vec![
            vec![Run::Strong(format!("{}", one.number))],
            vec![Run::Verdict(one.rank(), one.verdict().into()), Run::plain(format!(" {weight}"))],
            words(one.things().join(", ")),
            words(format!("{} [{}]", one.words(), first_few(&names, 6, ','))),
            words(if agreed.is_empty() { cure } else { format!("{cure} [{}]", agreed.join("; ")) }),
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
        let heads = ["Clause, and where", "Verdict", "Found", "Limit, or what is asked", "Margin", "Source, standing"];
        let heads = heads.map(String::from).to_vec();
        let caption = format!("Sections of {pack} that apply");
        let mut sources: Vec<&str> = Vec::new();
        for from in rows.iter().flat_map(|row| &row.finding.from) {
            if !sources.contains(&from.title.as_str()) {
                sources.push(&from.title);
            }
        }
        document.blocks.push(Block::Ledger(Ledger {
            caption,
            heads,
            groups: groups(sheet, &rows, &sources),
            widths: &[17, 8, 23, 19, 16, 17],
            ..Ledger::default()
        }));
        let from: Vec<&Provenance> = rows.iter().flat_map(|row| &row.finding.from).collect();
        let edition = |title: &str| if dateless(title, &from) { ", edition not stated" } else { "" };
        let named = sources.iter().enumerate().map(|(at, title)| format!("[{}] {title}{}", at + 1, edition(title)));
        let named = named.collect::<Vec<_>>().join("; ");
        document.paragraph(words(format!("Sources: {named}.")));
    }
    if sheet.left_out > 0 {
        let words_of =
            format!("{} more verdicts are not written out here; `pintle check` and `pintle calcs` tell all of them.", sheet.left_out);
        document.paragraph(vec![Run::Strong(words_of)]);
    }
    idle(sheet, document);
}

/// Whether neither the title of a published source nor any citation of it says which edition it is: a year.
fn dateless(title: &str, from: &[&Provenance]) -> bool {
    let year = |text: &str| text.split(|c: char| !c.is_ascii_digit()).any(|digits| digits.len() == 4 && ("1900".."2100").contains(&digits));
    let own = || from.iter().filter(|one| one.title == title);
    own().any(|one| one.standing == Standing::Published) && !year(title) && !own().any(|one| year(&one.clause))
}

fn pack_of(section: &str) -> &str {
    section.split('/').next().unwrap_or(section)
}

/// Rows by section, those of one source together.
fn groups(sheet: &Sheet, rows: &[&Row], sources: &[&str]) -> Vec<Group> {
    let mut order: BTreeMap<(usize, String), usize> = BTreeMap::new();
    let mut groups: Vec<Group> = Vec::new();
    let mut sections: Vec<&str> = Vec::new();
    let mut gathered: Vec<Vec<&Row>> = Vec::new();
    for row in rows {
        let section = sections.iter().position(|known| *known == row.finding.section).unwrap_or_else(|| {
            sections.push(&row.finding.section);
            sections.len() - 1
        });
        let from: Vec<String> = row.finding.from.iter().map(Provenance::text).collect();
        let at = *order.entry((section, from.join("; "))).or_insert_with(|| {
            groups.push(Group { title: title(sheet, row), rows: Vec::new() });
            gathered.push(Vec::new());
            groups.len() - 1
        });
        gathered[at].push(row);
    }
    for (group, rows) in groups.iter_mut().zip(&gathered) {
        group.rows = alike(sheet, rows).into_iter().map(|rows| cells(sheet, &rows, sources)).collect();
    }
    groups
}

/// Rows of one clause that came out alike, and that nothing is to be done about, told together; the order stays that of the first of each.
fn alike<'r>(sheet: &Sheet, rows: &[&'r Row<'r>]) -> Vec<Vec<&'r Row<'r>>> {
    let mut all: Vec<Vec<&Row>> = Vec::new();
    for row in rows {
        let same = |other: &&Row| {
            let (one, two) = (row.finding, other.finding);
            (one.label, one.rank, one.modal, &one.floor, &row.limit) == (two.label, two.rank, two.modal, &two.floor, &other.limit)
                && sheet.number_of(row).is_none()
                && sheet.number_of(other).is_none()
        };
        match all.iter_mut().find(|rows| rows.first().is_some_and(same)) {
            Some(rows) => rows.push(row),
            None => all.push(vec![row]),
        }
    }
    all
}

/// Texts of several rows as one: once where all are the same, else each once behind the things that it is of; what most things have in
/// common stands last.
fn together(names: &[&str], texts: &[&str]) -> Line {
    let mut each: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, text) in names.iter().zip(texts) {
        match each.iter_mut().find(|(known, _)| known == text) {
            Some((_, things)) => things.push(name),
            None => each.push((text, vec![name])),
        }
    }
    if let [(text, _)] = each.as_slice() {
        return if text.is_empty() { Line::new() } else { words(*text) };
    }
    let common = each.iter().map(|(_, things)| things.len()).max().filter(|most| *most > MOST_NAMED);
    let most = common.and_then(|most| each.iter().position(|(_, things)| things.len() == most));
    let rest = most.map(|at| each.remove(at).0);
    let told = each.iter().map(|(text, things)| format!("{}: {}", in_a_row(things), if text.is_empty() { "none" } else { text }));
    let told = told.chain(rest.map(|text| format!("the others: {}", if text.is_empty() { "none" } else { text })));
    words(told.collect::<Vec<_>>().join("; "))
}

/// Most things that are named one by one where they have a value in common.
const MOST_NAMED: usize = 3;

/// Things by their own names, behind what holds them all.
pub(super) fn without_shared(things: &[&str]) -> (String, Vec<String>) {
    let [first, _, ..] = things else { return (String::new(), things.iter().map(ToString::to_string).collect()) };
    let ends = first.match_indices(" / ").map(|(at, between)| at + between.len());
    let above = ends.filter(|end| things.iter().all(|thing| thing.get(..*end) == first.get(..*end))).last().unwrap_or(0);
    (first.get(..above).unwrap_or("").to_string(), things.iter().map(|thing| thing.get(above..).unwrap_or(thing).to_string()).collect())
}

/// Names in a row: what one has in common with the one before, its owner and its kind, is not said again.
pub(super) fn in_a_row(names: &[&str]) -> String {
    let between = if names.iter().any(|name| name.contains(", ")) { "; " } else { ", " };
    let split = |name: &'_ str| {
        let own = name.rfind(" / ").map_or(0, |at| at + 3);
        own + name.get(own..).and_then(|own| own.find(' ')).map_or(0, |at| at + 1)
    };
    let mut text = String::new();
    let mut before = "";
    for name in names {
        let start = name.get(..split(name)).unwrap_or("");
        if !text.is_empty() {
            text.push_str(between);
        }
        text.push_str(if start == before { name.get(start.len()..).unwrap_or(name) } else { name });
        before = start;
    }
    text
}

/// How a source is known: the words of an inspector who asks whether anybody looked it up.
fn standing(sheet: &Sheet, row: &Row) -> String {
    let reviewed = sheet.reviewed(row.finding);
    let one = |from: &Provenance| match (from.standing, from.from_memory) {
        (Standing::Published, true) => "from memory",
        (Standing::Practice, _) => "practice",
        (Standing::Invented, _) => "invented",
        (Standing::Published, false) if reviewed => "published, reviewed",
        (Standing::Published, false) => "published, not reviewed",
    };
    let mut all: Vec<&str> = row.finding.from.iter().map(one).collect();
    all.dedup();
    all.join("; ")
}

/// The days of manufacture or permit for which the text of a section is the one in force, where all its texts say the same.
fn days(sheet: &Sheet, section: &str) -> Option<String> {
    let program = sheet.subject.program;
    let texts = program.sections.iter().filter(|text| text.id == section);
    let mut forces: Vec<_> = texts.filter_map(|text| text.force.as_ref()).map(|force| (force.from, force.before, force.span)).collect();
    forces.dedup_by_key(|(from, before, _)| (*from, *before));
    let [(_, _, span)] = forces.as_slice() else { return None };
    let written = program.files.get(span.file)?.slice(span.range());
    Some(written.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn title(sheet: &Sheet, row: &Row) -> Line {
    let finding = row.finding;
    let name = finding.section.split_once('/').map_or(finding.section.as_str(), |(_, name)| name);
    let mut line = vec![Run::Strong(finding.title.clone()), Run::plain(" "), Run::Code(name.into())];
    if let Some(days) = days(sheet, &finding.section) {
        line.push(Run::plain(format!(" {days}.")));
    }
    if !finding.amended_by.is_empty() {
        line.push(Run::plain(format!(" Amended by {}.", finding.amended_by.join(", "))));
    }
    line
}

/// What was taken as something, without the thing that it is of: the row names it already.
fn without_owner(assumed: &str) -> String {
    match (assumed.split_once(" of "), assumed.rsplit_once(" is ")) {
        (Some((fact, rest)), Some((_, value))) if rest.contains(" is ") => format!("{fact} is {value}"),
        _ => assumed.to_string(),
    }
}

fn cells(sheet: &Sheet, rows: &[&Row], sources: &[&str]) -> Vec<Line> {
    let [row, ..] = rows else { return Vec::new() };
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
    let things: Vec<&str> = rows.iter().map(|row| row.finding.thing.as_str()).collect();
    let (above, own) = without_shared(&things);
    let own: Vec<&str> = own.iter().map(String::as_str).collect();
    let values: Vec<&str> = rows.iter().map(|row| row.value.as_str()).collect();
    let margins: Vec<&str> = rows.iter().map(|row| row.margin.as_str()).collect();
    let found = together(&own, &values);
    let mut assumed: Vec<String> = rows.iter().flat_map(|row| row.assumed.iter().map(|one| without_owner(one))).collect();
    assumed.sort_unstable();
    assumed.dedup();
    let place = |from: &Provenance| {
        let number = sources.iter().position(|title| *title == from.title).map_or(0, |at| at + 1);
        format!("[{number}] {}", from.clause).trim_end().to_string()
    };
    let mut from: Vec<String> = finding.from.iter().map(place).collect();
    from.dedup();
    let told: Vec<String> = [from.join("; "), standing(sheet, row)].into_iter().filter(|text| !text.is_empty()).collect();
    let mut rests = cell(&told.join(", "));
    if !assumed.is_empty() {
        rests.push(Run::Strong(format!(" taken as, not stated: {}", assumed.join("; "))));
    }
    vec![words(format!("({}) {above}{}", finding.label, in_a_row(&own))), verdict, found, cell(&row.limit), together(&own, &margins), rests]
}

type Points = Vec<(Line, Vec<Block>)>;

/// Clauses that apply to nothing in this job.
fn idle(sheet: &Sheet, document: &mut Document) {
    let mut packs: Vec<(&str, Points)> = Vec::new();
    let mut number = 0;
    for finding in &sheet.report.idle {
        let pack = pack_of(&finding.section);
        let (name, letter) = (finding.section.split('/').next_back().unwrap_or(""), finding.label);
        let line = vec![Run::Code(name.into()), Run::plain(format!(" ({letter})"))];
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
        .map(|(pack, points)| {
            let mut line = vec![Run::Strong(format!("{pack}: "))];
            for (at, (point, _)) in points.into_iter().enumerate() {
                if at > 0 {
                    line.push(Run::plain(", "));
                }
                line.extend(point);
            }
            Block::Paragraph(line)
        })
        .collect();
    if !inner.is_empty() {
        document.blocks.push(Block::Folded(format!("Not applicable: {number} clauses that apply to nothing in this job"), inner));
    }
}
