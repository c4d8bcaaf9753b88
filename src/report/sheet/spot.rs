//! The spot check: only the measures that lie near a limit, with blanks for another person's own tape. It must not show what the job
//! says they are.

use super::Sheet;
use crate::judge::Judgement;
use crate::judge::doubt::Truth;
use crate::judge::eval::FactUse;
use crate::judge::near::near_a_limit;
use crate::judge::near_applying::near_whether_it_applies;
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, Run, words};
use crate::report::totals::CAUTION;
use crate::slip::first_few;
use std::collections::{BTreeMap, BTreeSet};

/// A spot check of a job.
pub fn spot_check(sheet: &Sheet, judgement: &Judgement) -> Document {
    let seal = super::seal::seal(&sheet.subject, sheet.list);
    let title = format!("Spot check: {}", sheet.name());
    let mut document =
        Document { title, caution: CAUTION.into(), seal: format!("Spot check {}", super::seal::short(&seal)), ..Document::default() };
    let near = near(sheet, judgement);
    document.paragraph(words(
        "These measures lie within twice their tolerance of a limit, or of a threshold by which a section applies at all: a reading a little off would come out otherwise. Where the job states no tolerance, twice the \
         last digit as written counts. Measure each anew, without the job's own readings at hand, and write down what you read.",
    ));
    if near.is_empty() {
        document.paragraph(words("None: no measure of this job lies that near to a limit."));
    } else {
        let rows = near.iter().enumerate().map(|(at, (fact, clauses))| row(sheet, at + 1, *fact, clauses)).collect();
        let heads = ["No.", "What to measure", "How", "Asked by", "Read", "With what, by whom"];
        let table = Ledger { widths: &[5, 24, 26, 15, 13, 17], room: true, ..Ledger::plain("Measures near a limit", &heads, rows) };
        document.blocks.push(Block::Ledger(table));
    }
    document.blocks.push(Block::Heading(2, "sign-inspected".into(), "Measured by".into(), false));
    document
        .blocks
        .push(Block::Blanks(["Name", "Office or licence", "Date", "Signature"].iter().map(|place| (*place).to_string()).collect()));
    document.paragraph(vec![
        Run::plain("Of the job and packs with SHA-256 "),
        Run::Code(super::seal::fours(&seal)),
        Run::plain(format!(", judged on {}.", sheet.subject.today)),
    ]);
    document
}

/// The facts, each with the clauses near whose limits it lies, in the order of the job.
fn near(sheet: &Sheet, judgement: &Judgement) -> BTreeMap<FactUse, BTreeSet<String>> {
    let mut found: BTreeMap<FactUse, BTreeSet<String>> = BTreeMap::new();
    for judged in &judgement.judged {
        let section = &sheet.subject.program.sections[judged.section];
        for fact in near_a_limit(sheet.subject, judged) {
            found.entry(fact).or_default().insert(format!("{} ({})", section.id, section.norms[judged.norm].label));
        }
    }
    // What is not asked by a hair is near a limit too: the threshold that decides whether a section applies.
    let codes = &judgement.codes;
    for (number, section) in sheet.subject.program.sections.iter().enumerate() {
        if section.roots.iter().all(|root| codes.get(*root) == Some(&Truth::No)) {
            continue;
        }
        for fact in near_whether_it_applies(sheet.subject, number) {
            found.entry(fact).or_default().insert(format!("{} (whether it applies)", section.id));
        }
    }
    found
}

fn row(sheet: &Sheet, number: usize, fact: FactUse, clauses: &BTreeSet<String>) -> Vec<Line> {
    let field = &sheet.facts.definition(fact.record).fields[fact.field];
    let names: Vec<&str> = clauses.iter().map(String::as_str).collect();
    vec![
        words(number.to_string()),
        words(format!("{} of {}", field.name.replace('-', " "), sheet.facts.name(fact.record))),
        words(field.doc.clone()),
        words(first_few(&names, 4, ',')),
        Line::new(),
        Line::new(),
    ]
}
