//! Every verdict of a job as a row: what was found against what is asked, what is left between them, where it comes from. It must
//! not know how a table is drawn.

use crate::calculation::tree::{Calculation, Comparison, Detail, Input, Member, Origin, Step};
use crate::calculation::{calculation, tree::Given};
use crate::judge::near::holds_until;
use crate::judge::rank::Rank;
use crate::judge::{Judged, Judgement, Subject, Verdict};
use crate::report::escape::short;
use crate::report::findings::{Finding, JobReport};
use crate::slip::first_few;

/// Most comparisons and facts that one row names; calculations tell all of them.
const MOST: usize = 3;
/// Most rows of one sheet: pairs of many things could make a sheet that no machine holds and nobody reads.
pub const MOST_ROWS: usize = 10_000;
/// Longest condition of a pack within a row, in characters: no clause that anybody could read comes near it, and a clause cut short is
/// another clause.
const LONGEST: usize = 8_000;

/// One verdict, ready for a table.
#[derive(Clone, Debug)]
pub struct Row<'a> {
    /// The verdict with its clause and source.
    pub finding: &'a Finding,
    /// What was found, or stated.
    pub value: String,
    /// The limit, or what is asked.
    pub limit: String,
    /// What lies between them.
    pub margin: String,
    /// The day until which it holds, where it is a matter of days.
    pub due: Option<jiff::civil::Date>,
    /// The records that are judged.
    pub kind: &'a str,
    /// What was taken as something, since the job does not state it.
    pub assumed: Vec<String>,
}

/// Verdicts as rows, and how many are left out because there are too many.
#[derive(Debug, Default)]
pub struct Rows<'a> {
    /// The rows, in the order of the codes.
    pub kept: Vec<Row<'a>>,
    /// How many more there are, those that are met first to be left out.
    pub left_out: usize,
}

/// Every verdict but *not applicable*, in the order of the codes, as long as they are not too many for a paper.
pub fn rows<'a>(subject: Subject<'a>, judgement: &Judgement<'a>, report: &'a JobReport) -> Rows<'a> {
    let told = report.all.iter().filter(|finding| finding.rank > Rank::Met).count().min(MOST_ROWS);
    // Room for what needs attention, and what remains of it for what is met.
    let (mut room, mut room_for_met) = (told, MOST_ROWS - told);
    let asked = judgement.judged.iter().filter(|judged| judged.verdict != Verdict::NotApplicable);
    let mut rows = Rows::default();
    for (judged, finding) in asked.zip(&report.all) {
        let room = if finding.rank > Rank::Met { &mut room } else { &mut room_for_met };
        if *room == 0 {
            rows.left_out += 1;
            continue;
        }
        *room -= 1;
        rows.kept.push(row(subject, judged, finding));
    }
    rows
}

fn row<'a>(subject: Subject<'a>, judged: &Judged<'a>, finding: &'a Finding) -> Row<'a> {
    let reckoned = calculation(subject, judged);
    let record = crate::judge::judge_section::bound_record(subject.program, judged);
    let kind = subject.program.definition(subject.job.record(record).def).name.as_str();
    let mut row = Row {
        finding,
        value: String::new(),
        limit: String::new(),
        margin: String::new(),
        due: holds_until(subject, judged),
        kind,
        // The calculation puts in every part; what the judging did not look at did not take part in the verdict.
        assumed: if finding.assumed { reckoned.assumed.clone() } else { Vec::new() },
    };
    match judged.verdict {
        Verdict::Open(_) => {
            let missing = reckoned.missing.iter().map(|missing| format!("{} of {}", missing.name, missing.thing));
            row.value = told("not stated: ", &missing.collect::<Vec<_>>());
            row.limit = asked(&reckoned);
        }
        Verdict::Excepted(_) | Verdict::Excused(_) => {
            row.value = finding.carried_by.clone().unwrap_or_default();
            row.limit = asked(&reckoned);
        }
        _ => compared(&mut row, &reckoned, subject),
    }
    row
}

/// The comparisons that came out as the verdict did; where there is none, the facts and the condition.
fn compared(row: &mut Row, reckoned: &Calculation, subject: Subject) {
    let wanted = match row.finding.rank {
        Rank::Met => "yes",
        Rank::Marginal => "not sure",
        _ => "no",
    };
    let comparisons: Vec<(&Step, &Comparison)> = reckoned.steps.iter().filter_map(comparison).collect();
    let mut deciding: Vec<(&Step, &Comparison)> = comparisons.iter().copied().filter(|(_, one)| one.holds == wanted).collect();
    if deciding.is_empty() && row.finding.rank == Rank::Unanswered {
        deciding = comparisons;
    }
    if deciding.is_empty() {
        row.value = fitting(reckoned).unwrap_or_else(|| told("", &facts(reckoned)));
        row.limit = asked(reckoned);
        if row.value.is_empty() {
            row.value = told("", &reckoned.obstacles);
        }
        return;
    }
    let one = deciding.len() == 1;
    let turned = !subject.job.units.as_written();
    let (mut values, mut limits, mut margins) = (Vec::new(), Vec::new(), Vec::new());
    for (step, comparison) in &deciding {
        let name = if one { String::new() } else { format!("{}: ", name_of(step)) };
        let beside = if turned { written_beside(step) } else { String::new() };
        values.push(format!("{name}{}{beside}", comparison.value.marked()));
        limits.push(
            comparison.limits.iter().map(|limit| format!("{} {}", limit.how, limit.shown.marked())).collect::<Vec<_>>().join(" and "),
        );
        margins.extend(comparison.limits.iter().filter_map(|limit| limit.margin.as_ref()).map(|margin| margin.marked()));
    }
    limits.dedup();
    (row.value, row.limit, row.margin) = (told("", &values), told("", &limits), told("", &margins));
    if row.finding.rank == Rank::Unanswered {
        row.margin = told("", &reckoned.obstacles);
    }
}

fn comparison(step: &Step) -> Option<(&Step, &Comparison)> {
    match &step.detail {
        Detail::Comparison(comparison) => Some((step, comparison)),
        _ => None,
    }
}

/// What a comparison is about: its one fact by name and owner, else the value as its author wrote it.
fn name_of(step: &Step) -> String {
    let mut given = step.inputs.iter().filter_map(fact);
    match (given.next(), given.next()) {
        (Some(one), None) => one.name.clone(),
        _ => short(step.written.split(" at ").next().unwrap_or(&step.written), 60),
    }
}

fn fact(input: &Input) -> Option<&Given> {
    match &input.from {
        Origin::Fact(given) => Some(given),
        _ => None,
    }
}

/// What the job's author wrote, beside a value that was turned into another unit.
fn written_beside(step: &Step) -> String {
    let unit = |text: &str| text.rsplit(' ').next().unwrap_or("").to_string();
    let mut written = Vec::new();
    for input in &step.inputs {
        let Some(as_written) = fact(input).and_then(|given| given.as_written.as_deref()) else { continue };
        if unit(as_written) != unit(&input.shown.text) {
            written.push(as_written);
        }
    }
    if written.is_empty() { String::new() } else { format!(" (as written: {})", written.join(", ")) }
}

/// The facts that the deciding step names, with their values.
fn facts(reckoned: &Calculation) -> Vec<String> {
    let whose = |given: &Given| if given.thing == reckoned.thing { String::new() } else { format!(" of {}", given.thing) };
    let mut found: Vec<String> = Vec::new();
    let last = reckoned.decided_by.and_then(|number| reckoned.steps.get(number - 1));
    let steps = last.into_iter().chain(&reckoned.steps);
    for input in steps.flat_map(|step| step.inputs.iter().chain(members(step))) {
        if let Some(given) = fact(input) {
            let text = format!("{}{}: {}", short_name(&given.name).replace('-', " "), whose(given), input.shown.marked());
            if !found.contains(&text) {
                found.push(text);
            }
        }
    }
    found
}

/// Of a condition asked of several things: how many fit, and which.
fn fitting(reckoned: &Calculation) -> Option<String> {
    let last = reckoned.decided_by.and_then(|number| reckoned.steps.get(number - 1))?;
    let Detail::Members(members) = &last.detail else { return None };
    let asked: Vec<&Member> = members.each.iter().filter(|member| member.taken_in != "no").collect();
    let all = asked.len() + members.not_shown;
    let says = |member: &&&Member, word: &str| member.shown.as_ref().is_some_and(|shown| shown.text == word);
    // A thing below the one that is judged needs no more than its own name.
    let above = format!("{} / ", reckoned.thing);
    let own = |member: &&Member| member.thing.strip_prefix(&above).unwrap_or(&member.thing).to_string();
    let named = |word: &str| asked.iter().filter(|member| says(member, word)).map(own).collect::<Vec<_>>();
    let (fit, not) = (named("yes"), named("no"));
    if fit.len() + not.len() == 0 {
        return None;
    }
    let which = if members.how == "every" && !not.is_empty() { told("not: ", &not) } else { told("", &fit) };
    Some(format!("{} of {all} fit{}{which}", fit.len(), if which.is_empty() { "" } else { ": " }))
}

fn short_name(name: &str) -> &str {
    name.rsplit_once('.').map_or(name, |(_, fact)| fact)
}

fn members(step: &Step) -> Box<dyn Iterator<Item = &Input> + '_> {
    match &step.detail {
        Detail::Members(members) => Box::new(members.each.iter().flat_map(|member| &member.inputs)),
        _ => Box::new(std::iter::empty()),
    }
}

/// What the clause asks, as its pack has it, on one line.
fn asked(reckoned: &Calculation) -> String {
    let words: Vec<&str> = reckoned.written.split_whitespace().collect();
    let text = words.join(" ");
    let start = text.find("shall ").or_else(|| text.find("should ")).unwrap_or(0);
    short(text.get(start..).unwrap_or(&text), LONGEST)
}

/// A few of several, and how many more.
fn told(before: &str, some: &[String]) -> String {
    if some.is_empty() {
        return String::new();
    }
    before.to_string() + &first_few(some, MOST, ';')
}
