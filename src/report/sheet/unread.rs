//! What no pack looks at: facts that the job states and no section read, and kinds of danger that lie outside of every pack. It must
//! not know verdicts.

use super::Sheet;
use crate::job::Fact;
use crate::judge::eval::{Evaluator, FactUse, Frame};
use crate::report::document::{Block, Document, Line, words};
use std::collections::BTreeSet;

/// What lies outside, whatever the packs are.
const OUTSIDE: [&str; 6] = [
    "whether footings, posts, welds and fence carry the gate in use, in wind and under impact",
    "electrical work beyond what the wiring sections name: panels, branch circuits, protection devices, the utility's side",
    "vehicles: queues on the road, sight lines, turning circles, signs and signals of the road itself",
    "fire, flood, lightning, corrosion, attack, and software or radio links that somebody means to misuse",
    "children and others who climb, ride or play on the gate against its signs",
    "whether the people who use and look after the gate do what they were shown",
];

/// Records whose facts the program takes in by itself.
const TAKEN_IN: [&str; 1] = ["variance"];

/// The heading and both lists.
pub fn unread(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "unread", "What no pack looks at");
    let unread = facts_not_read(sheet);
    if unread.is_empty() {
        document.paragraph(words("Every fact that the job states was read by some section."));
    } else {
        document.paragraph(words(format!(
            "{} fact{} that the job states took part in no section; right or wrong, no verdict would change:",
            unread.len(),
            if unread.len() == 1 { "" } else { "s" }
        )));
        let points: Vec<(Line, Vec<Block>)> = unread.into_iter().map(|text| (words(text), Vec::new())).collect();
        document.blocks.push(Block::Folded("Facts that no section read".into(), vec![Block::Points(points)]));
    }
    document.paragraph(words("Outside of every pack, and so not judged here:"));
    document.blocks.push(Block::Points(OUTSIDE.iter().map(|text| (words(*text), Vec::new())).collect()));
}

fn facts_not_read(sheet: &Sheet) -> Vec<String> {
    let read = read(sheet);
    let (facts, job) = (&sheet.facts, sheet.subject.job);
    let mut told = Vec::new();
    for id in facts.records().filter(|id| !TAKEN_IN.contains(&facts.definition(*id).name.as_str())) {
        let mut names = Vec::new();
        for (at, field) in facts.definition(id).fields.iter().enumerate() {
            let own = id == crate::job::RecordId::ROOT && matches!(field.name.as_str(), "title" | "codes");
            let stated = matches!(job.record(id).facts[at], Fact::Stated(_));
            if stated && !own && !field.gives_tolerance && !read.contains(&FactUse { record: id, field: at }) {
                names.push(field.name.replace('-', " "));
            }
        }
        if !names.is_empty() {
            told.push(format!("{}: {}", facts.name(id), names.join(", ")));
        }
    }
    told
}

/// Every fact that a section or the date of a code read, those that such a fact follows from included.
fn read(sheet: &Sheet) -> BTreeSet<FactUse> {
    let (program, job) = (sheet.subject.program, sheet.subject.job);
    let mut evaluator = Evaluator::new(program, job, sheet.subject.today);
    let mut read: BTreeSet<FactUse> = BTreeSet::new();
    for code in &program.codes {
        if let Some(force) = &code.force {
            let (mut slots, mut lets) = (Vec::new(), Vec::new());
            evaluator.uses = Some(Vec::new());
            evaluator.in_force(force, &mut Frame { slots: &mut slots, lets: &[], known_lets: &mut lets });
            read.extend(evaluator.uses.take().unwrap_or_default());
        }
    }
    for number in 0..program.sections.len() {
        evaluator.uses = Some(Vec::new());
        evaluator.section(number, &mut Vec::new());
        read.extend(evaluator.uses.take().unwrap_or_default());
    }
    let mut waiting: Vec<FactUse> = read.iter().copied().collect();
    while let Some(fact) = waiting.pop() {
        if let Fact::Stated(stated) = &job.record(fact.record).facts[fact.field] {
            let more = stated.follows.iter().map(|(record, field)| FactUse { record: *record, field: *field });
            waiting.extend(more.filter(|fact| read.insert(*fact)).collect::<Vec<_>>());
        }
    }
    read
}
