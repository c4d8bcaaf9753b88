//! Lays a calculation out as lines with a label, and tables: what both the text view and the page draw, so that they cannot
//! say different things. It must not know how either is drawn.

use super::phrases::{is_outcome, member, origin, outcome, place, source, title};
use crate::calculation::tree::{Calculation, Comparison, Condition, Detail, Input, LookUp, Members, Step, Together};

/// A part of a sheet.
pub(super) enum Block {
    /// A label and what it stands for.
    Line(&'static str, String),
    /// A table with a heading for each column.
    Table {
        /// What it shows.
        caption: String,
        /// A label that stands for the headings where there is little room.
        label: Option<&'static str>,
        /// Headings.
        heads: Vec<String>,
        /// Rows, as many cells each as there are headings.
        rows: Vec<Vec<String>>,
    },
}

/// One calculation, laid out.
pub(super) struct Sheet {
    /// Section, clause and title.
    pub heading: String,
    /// What was judged, the verdict, the clause, why it is asked.
    pub opening: Vec<Block>,
    /// Title and parts of each step.
    pub steps: Vec<(String, Vec<Block>)>,
    /// What it comes to and rests on.
    pub ending: Vec<Block>,
}

/// Lays a calculation out.
pub(super) fn sheet(calculation: &Calculation) -> Sheet {
    let steps = calculation.steps.iter().map(|step| (title(step), step_blocks(step)));
    Sheet {
        heading: format!("{} ({}): {}", calculation.section, calculation.clause, calculation.title),
        opening: opening(calculation),
        steps: steps.collect(),
        ending: ending(calculation),
    }
}

fn line(blocks: &mut Vec<Block>, label: &'static str, text: impl Into<String>) {
    let text = text.into();
    if !text.is_empty() {
        blocks.push(Block::Line(label, text));
    }
}

fn opening(calculation: &Calculation) -> Vec<Block> {
    let mut blocks = Vec::new();
    line(&mut blocks, "judged", calculation.thing.as_str());
    line(&mut blocks, "verdict", verdict(calculation));
    let at = calculation.place.as_ref().map_or_else(String::new, |at| format!(" [{}]", place(at)));
    line(&mut blocks, "clause", format!("{}{at}", calculation.written));
    if let Some(minimum) = &calculation.minimum_of {
        line(&mut blocks, "stands", format!("as the minimum of {minimum}"));
    }
    if !calculation.amended_by.is_empty() {
        line(&mut blocks, "amended", format!("by {}", calculation.amended_by.join(", ")));
    }
    calculation.sources.iter().for_each(|cited| line(&mut blocks, "source", source(cited)));
    calculation.asked.iter().for_each(|condition| shown_condition(&mut blocks, "asked", condition));
    blocks
}

/// The verdict with the weight of its clause.
fn verdict(calculation: &Calculation) -> String {
    let weight = if calculation.modal == "shall" { "mandatory" } else { "recommended" };
    format!("{} ({weight})", calculation.verdict)
}

fn ending(calculation: &Calculation) -> Vec<Block> {
    let mut blocks = Vec::new();
    if calculation.cut_short {
        line(&mut blocks, "note", "there are more steps than are written out here; what is written out is complete in itself");
    }
    calculation.exceptions.iter().for_each(|condition| shown_condition(&mut blocks, "exception", condition));
    if let Some(carried) = &calculation.carried_by {
        line(&mut blocks, "carried", format!("by {}", carried.by));
        let record = carried.record.iter().map(|(key, text)| vec![key.clone(), text.clone()]);
        table(&mut blocks, "On record of it", &["fact", "as stated"], record.collect());
    }
    let missing = calculation.missing.iter().map(|missing| {
        let at = missing.place.as_ref().map_or_else(String::new, |at| format!("line {}", at.line));
        vec![missing.name.clone(), missing.thing.clone(), at, missing.measure.clone()]
    });
    if !calculation.missing.is_empty() {
        line(&mut blocks, "missing", "the job does not state:");
    }
    table(&mut blocks, "Missing", &["fact", "of", "belongs at", "how to measure it"], missing.collect());
    calculation.obstacles.iter().for_each(|obstacle| line(&mut blocks, "because", obstacle.as_str()));
    calculation.assumed.iter().for_each(|assumed| line(&mut blocks, "assumed", assumed.as_str()));
    calculation.as_read.iter().for_each(|read| line(&mut blocks, "as read", format!("{read}, without a tolerance")));
    line(&mut blocks, "remedy", calculation.remedy.as_str());
    let by = calculation.decided_by.map_or_else(String::new, |step| format!("; step {step} decides"));
    line(&mut blocks, "verdict", format!("{}{by}", verdict(calculation)));
    blocks
}

fn shown_condition(blocks: &mut Vec<Block>, label: &'static str, condition: &Condition) {
    line(blocks, label, outcome(&format!("{}: {}", condition.what, condition.written), condition.outcome));
    put_in(blocks, condition);
    inputs(blocks, condition.inputs.iter());
}

fn put_in(blocks: &mut Vec<Block>, condition: &Condition) {
    if condition.put_in != condition.written && condition.put_in != condition.outcome {
        line(blocks, "", outcome(&condition.put_in, condition.outcome));
    }
}

/// Where numbers come from, each once.
fn inputs<'i>(blocks: &mut Vec<Block>, inputs: impl Iterator<Item = &'i Input>) {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for input in inputs {
        let (whose, from) = origin(input);
        let row = vec![input.written.clone(), format!("{} {}", input.shown.sign(), input.shown.text), whose, from];
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    table(blocks, "Where the numbers come from", &["name", "value", "of", "from"], rows);
    if let Some(Block::Table { caption, label, .. }) = blocks.last_mut()
        && caption.starts_with("Where")
    {
        *label = Some("where");
    }
}

fn table(blocks: &mut Vec<Block>, caption: impl Into<String>, heads: &[&str], rows: Vec<Vec<String>>) {
    // A column in which nothing stands is left out.
    let stands: Vec<bool> = (0..heads.len()).map(|at| rows.iter().any(|row| row.get(at).is_some_and(|cell| !cell.is_empty()))).collect();
    let kept = |row: Vec<String>| row.into_iter().zip(&stands).filter(|(_, stands)| **stands).map(|(cell, _)| cell).collect::<Vec<_>>();
    if rows.is_empty() {
        return;
    }
    let heads = kept(heads.iter().map(|head| (*head).to_string()).collect());
    blocks.push(Block::Table { caption: caption.into(), label: None, heads, rows: rows.into_iter().map(kept).collect() });
}

fn step_blocks(step: &Step) -> Vec<Block> {
    let mut blocks = Vec::new();
    line(&mut blocks, "tells", step.says.clone().unwrap_or_default());
    for choice in &step.choices {
        line(&mut blocks, "if", outcome(&choice.written, choice.outcome));
        put_in(&mut blocks, choice);
    }
    let at = step.place.as_ref().map_or_else(String::new, |at| format!(" [{}]", place(at)));
    line(&mut blocks, "written", format!("{}{at}", step.written));
    if step.put_in != step.written && step.put_in != step.result.marked() {
        line(&mut blocks, "numbers", step.put_in.as_str());
    }
    match &step.detail {
        Detail::LookUp(look_up) => row_found(&mut blocks, look_up),
        Detail::Members(members) => each_member(&mut blocks, members),
        Detail::Comparison(comparison) => against_limits(&mut blocks, comparison),
        Detail::Together(together) => every_part(&mut blocks, together),
        Detail::BuiltIn(built_in) => {
            line(&mut blocks, "built in", format!("{}: {}", built_in.name, built_in.says));
            line(&mut blocks, "formula", built_in.formula.clone().unwrap_or_default());
            line(&mut blocks, "source", built_in.source.clone().unwrap_or_default());
        }
        Detail::Undecided => line(&mut blocks, "note", "it is not known which of the two counts, so the result covers both"),
        Detail::Arithmetic | Detail::Condition => {}
    }
    let sign = if is_outcome(&step.result.text) { "holds:" } else { step.result.sign() };
    line(&mut blocks, "result", format!("{sign} {}", step.result.text));
    let of_members = match &step.detail {
        Detail::Members(members) => members.each.as_slice(),
        _ => &[],
    };
    // Of what is left out the table of members says why, with the values put in.
    let of_members = of_members.iter().filter(|member| member.taken_in != "no" || member.filter.is_none());
    let chosen = step.choices.iter().flat_map(|choice| &choice.inputs);
    inputs(&mut blocks, chosen.chain(&step.inputs).chain(of_members.flat_map(|member| &member.inputs)));
    step.sources.iter().for_each(|cited| line(&mut blocks, "source", source(cited)));
    blocks
}

fn row_found(blocks: &mut Vec<Block>, look_up: &LookUp) {
    let keys: Vec<String> = look_up.keys.iter().map(|key| format!("{} {} {}", key.name, key.shown.sign(), key.shown.text)).collect();
    line(blocks, "looked up", format!("table {}: {}", look_up.table, keys.join(", ")));
    line(blocks, "between", look_up.between_rows.unwrap_or_default());
    let heads: Vec<&str> =
        look_up.keys.iter().map(|key| key.name.as_str()).chain([look_up.column.as_str(), "source of the row", "at"]).collect();
    let rows = look_up.rows.iter().map(|row| {
        let at = row.place.as_ref().map(place).unwrap_or_default();
        row.cells.iter().cloned().chain([row.cite.clone().unwrap_or_default(), at]).collect()
    });
    table(blocks, format!("What table {} says", look_up.table), &heads, rows.collect());
}

fn each_member(blocks: &mut Vec<Block>, members: &Members) {
    let filter = members.filter.as_ref().map_or_else(String::new, |filter| format!(", where {filter}"));
    line(blocks, "over", format!("{}{filter}", members.list));
    table(blocks, format!("Each of {}", members.list), &["thing", "taken in", "gives", "share"], members.each.iter().map(member).collect());
    if members.not_shown > 0 {
        line(blocks, "note", format!("{} more are reckoned with and not shown", members.not_shown));
    }
    if members.maybe_more {
        line(blocks, "note", "the job does not list them all, so there may be more");
    }
}

fn against_limits(blocks: &mut Vec<Block>, comparison: &Comparison) {
    line(blocks, "value", format!("{} {}", comparison.value.sign(), comparison.value.text));
    for limit in &comparison.limits {
        line(blocks, "limit", outcome(&format!("{} {}", limit.how, limit.shown.marked()), limit.holds));
        line(blocks, "margin", limit.margin.as_ref().map(crate::calculation::tree::Shown::marked).unwrap_or_default());
    }
}

fn every_part(blocks: &mut Vec<Block>, together: &Together) {
    let rows = together.parts.iter().map(|part| {
        let step = part.step.map_or_else(String::new, |step| format!("step {step}"));
        let put_in = if part.put_in == part.written { String::new() } else { part.put_in.clone() };
        vec![part.written.clone(), put_in, part.outcome.to_string(), step]
    });
    let caption = if together.how == "all of these" { "All of these" } else { "Any of these" };
    table(blocks, caption, &["condition", "with the values put in", "holds", "reckoned in"], rows.collect());
}
