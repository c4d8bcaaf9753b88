//! What a sheet says of the site, the operator, the codes in force and how doubt is handled. It must not know single verdicts.

use super::Sheet;
use crate::job::{Fact, RecordId};
use crate::judge::doubt::Truth;
use crate::language::program::Program;
use crate::quantity::{Unit, show};
use crate::report::as_read;
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, Run, words};
use crate::report::slips::sentence;

/// What the job says of its site, its gates and their operators.
pub fn site(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "site", "Site, gate and operator");
    let facts = &sheet.facts;
    let mut told = stated(sheet, RecordId::ROOT);
    for place in facts.things("place") {
        told.extend(stated(sheet, place));
    }
    document.blocks.push(Block::Facts(told));
    for gate in facts.things("gate") {
        let id = facts.name(gate);
        document.blocks.push(Block::Heading(3, format!("about-{}", gate.0), super::top::upper(&id), false));
        document.blocks.push(Block::Facts(stated(sheet, gate)));
        for operator in facts.below(gate, "operator") {
            document.blocks.push(Block::Heading(3, format!("about-{}", operator.0), format!("Operator of {id}"), false));
            document.blocks.push(Block::Facts(stated(sheet, operator)));
        }
        for leaf in facts.below(gate, "leaf") {
            document.blocks.push(Block::Heading(3, format!("about-{}", leaf.0), super::top::upper(&facts.name(leaf)), false));
            document.blocks.push(Block::Facts(stated(sheet, leaf)));
        }
    }
}

/// Every fact of a record that the job states, by name.
fn stated(sheet: &Sheet, id: RecordId) -> Vec<(String, Line)> {
    let (facts, definition) = (&sheet.facts, sheet.facts.definition(id));
    let fields = definition.fields.iter().enumerate().filter(|(_, field)| !(id == RecordId::ROOT && field.name == "title"));
    let told = fields.filter(|(at, _)| matches!(sheet.subject.job.record(id).facts[*at], Fact::Stated(_) | Fact::Nothing(_)));
    told.map(|(at, field)| (super::top::upper(&field.name.replace('-', " ")), words(facts.shown(id, at)))).collect()
}

/// The codes that the job names, and every pack that takes part.
pub fn codes(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "codes", "Codes in force");
    let program = sheet.subject.program;
    let rows = packs(program).into_iter().filter_map(|name| {
        let pack = program.pack(name)?;
        let by: Vec<&str> =
            program.codes.iter().filter(|code| code.name != *name && code.packs.contains(name)).map(|code| code.name.as_str()).collect();
        let named = program.codes.iter().zip(&sheet.judgement.codes).find(|(code, _)| code.name == *name);
        let force = named.map(|(_, truth)| match truth {
            Truth::Yes => "named by the job; in force",
            Truth::No => "named by the job; not in force for it",
            Truth::Doubtful(_) => "named by the job; not known whether in force",
        });
        let adopted = (!by.is_empty()).then(|| format!("adopted by {}", by.join(", ")));
        let standing: Vec<String> = force.map(String::from).into_iter().chain(adopted).collect();
        Some(vec![
            vec![if force.is_some() { Run::Strong(name.clone()) } else { Run::plain(name.clone()) }],
            words(format!("{}, {}", pack.title, pack.authority)),
            words(pack.edition.clone()),
            words(standing.join("; ")),
            words(pack.reviewed.clone().unwrap_or_else(|| "by nobody named".into())),
            vec![Run::Code(pack.hash.clone()), Run::plain(format!(" {}", pack.place))],
        ])
    });
    let rows = rows.collect();
    let heads = ["Pack", "Title and authority", "Edition", "Standing", "Compared with what, by its author", "Hash and place"];
    document.blocks.push(Block::Ledger(Ledger::plain("Codes that this job was judged by", &heads, rows)));
}

/// The packs of a program by name: the codes themselves first, then what they adopt, each once.
pub fn packs(program: &Program) -> Vec<&String> {
    let own = program.codes.iter().map(|code| &code.name);
    let adopted = program.codes.iter().flat_map(|code| code.packs.iter().rev());
    let mut names: Vec<&String> = Vec::new();
    for name in own.chain(adopted) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// How doubt is handled.
pub fn decision(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "decision", "How doubt is decided");
    let job = sheet.subject.job;
    let one = |(dimension, tolerance): &(crate::quantity::Dimension, crate::quantity::Exact)| {
        // The unit in which the job states values of the kind reads better than the base unit.
        let unit = job.records.iter().flat_map(|record| &record.facts).find_map(|fact| match fact {
            Fact::Stated(stated) => match stated.datum {
                crate::datum::Datum::Number(_, Some(unit)) if unit.dimension() == *dimension => Some(unit),
                _ => None,
            },
            _ => None,
        });
        let unit = unit.or_else(|| Unit::usual(*dimension)).map(|unit| job.units.of(unit));
        format!("{dimension} ± {}", show::at_places(*tolerance, unit, None))
    };
    let told: Vec<String> = job.tolerances.iter().map(one).collect();
    let stated = if told.is_empty() {
        "The job states no tolerance of its readings.".to_string()
    } else {
        format!("Readings may be off, as the job states: {}.", told.join("; "))
    };
    document.paragraph(words(format!(
        "A value is met only where it holds anywhere within its tolerance. Where the tolerance alone leaves it open, it is marginal, and counts \
         against handing over. A missing fact leaves it open; what cannot be computed is unanswered. Nothing passes by being absent. {stated}"
    )));
    let read = job.judged_as_read.len();
    if read > 0 {
        let many = if read == 1 { "1 measured value has".to_string() } else { format!("{read} measured values have") };
        let are = if read == 1 { "is" } else { "are" };
        let named = as_read::told(&sheet.report.as_read);
        document.paragraph(words(format!("{many} no stated tolerance and {are} judged exactly as read: {named}.")));
    }
    let files = sheet.report.files;
    let notes = job.slips.iter().filter(|slip| slip.harmless).chain(&sheet.subject.program.notices);
    let notes: Vec<(Line, Vec<Block>)> = notes.map(|slip| (words(sentence(slip, files).trim_end()), Vec::new())).collect();
    if !notes.is_empty() {
        document.paragraph(words("Told beside, and no verdict changes by it:"));
        document.blocks.push(Block::Points(notes));
    }
}
