//! Looks for the one move that cures most of a job's findings: a measure that is brought into its range, shown by judging again, or
//! else the remedy that most findings share. It must not know how it is drawn.

use super::facts::Facts;
use crate::datum::Kind;
use crate::envelope::ends::Range;
use crate::envelope::measure::Envelope;
use crate::envelope::{envelope, trial::Axis};
use crate::job::Fact;
use crate::judge::Subject;
use crate::judge::eval::FactUse;
use crate::judge::rank::Rank;
use crate::language::tree::Modal;
use crate::quantity::{Exact, show};
use crate::report::findings::{Finding, JobReport};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Most facts whose envelopes are found: the time that a sheet takes stays bounded.
pub const MOST_TRIED: usize = 6;

/// Most verdicts of a job whose measures are varied: each trial judges it many times.
const MOST_JUDGED: usize = 6_000;

/// The move that cures most.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cure {
    /// What to do.
    pub what: String,
    /// What it cures, in words.
    pub cures: String,
    /// How it was found.
    pub how: String,
}

/// The one move that cures most, or a sentence why none is told.
pub fn cure(subject: &Subject, report: &JobReport) -> Result<Cure, String> {
    let judged = report.shall.total() + report.should.total();
    let candidates = if judged > MOST_JUDGED { Vec::new() } else { candidates(subject, report) };
    let tried = candidates.len().min(MOST_TRIED);
    let best = candidates.iter().take(tried).filter_map(|fact| moved(subject, *fact)).max_by_key(|found| found.0);
    let left = match candidates.len() - tried {
        0 => String::new(),
        more => format!(" ({more} more were not tried)"),
    };
    if let Some(((mandatory, all, marginal, _), what)) = best {
        let how = format!(
            "found by judging the job again with each of {tried} measured value{} that a finding names{left} varied by itself, the rest as it is",
            plural(tried)
        );
        let cures = match (all, marginal) {
            (0, marginal) => format!("nothing that is not met, and takes {marginal} marginal finding{} out of doubt", plural(marginal)),
            (_, 0) => cured(mandatory, all),
            (_, marginal) => format!("{}, and takes {marginal} marginal out of doubt", cured(mandatory, all)),
        };
        return Ok(Cure { what, cures, how });
    }
    shared(report, tried).or_else(|| awaited(report)).ok_or_else(|| {
        if report.findings.is_empty() && report.waiting.is_empty() {
            "nothing is to be cured".into()
        } else {
            "no single move was found".to_string()
        }
    })
}

fn plural(number: usize) -> &'static str {
    if number == 1 { "" } else { "s" }
}

fn cured(mandatory: usize, all: usize) -> String {
    let beside = all - mandatory;
    let shall = format!("{mandatory} mandatory finding{}", plural(mandatory));
    match (mandatory, beside) {
        (_, 0) => shall,
        (0, beside) => format!("{beside} recommended finding{}", plural(beside)),
        (_, beside) => format!("{shall} and {beside} recommended"),
    }
}

/// The measured facts that findings name, those that most mandatory ones name first.
fn candidates(subject: &Subject, report: &JobReport) -> Vec<FactUse> {
    let facts = Facts { program: subject.program, job: subject.job, source: subject.source };
    let by_name: BTreeMap<String, _> = facts.records().map(|id| (facts.name(id), id)).collect();
    let mut weights: BTreeMap<FactUse, (usize, usize)> = BTreeMap::new();
    for finding in report.findings.iter().filter(|finding| matches!(finding.rank, Rank::Marginal | Rank::NotMet)) {
        let mut seen = Vec::new();
        for part in finding.why.reasons.iter().flat_map(|reason| &reason.parts) {
            let Some(record) = by_name.get(&part.thing) else { continue };
            let definition = facts.definition(*record);
            let name = part.name.rsplit_once('.').map_or("", |(_, fact)| fact);
            let Some(field) = definition.field(name) else { continue };
            let known = &definition.fields[field];
            let numeric = known.measured && matches!(known.kind, Kind::Measure(_) | Kind::Temperature);
            let stated = matches!(subject.job.record(*record).facts[field], Fact::Stated(_));
            let fact = FactUse { record: *record, field };
            if numeric && stated && !seen.contains(&fact) {
                seen.push(fact);
                let weight = weights.entry(fact).or_default();
                weight.0 += usize::from(finding.modal == Modal::Shall);
                weight.1 += 1;
            }
        }
    }
    let mut found: Vec<_> = weights.into_iter().map(|(fact, weight)| (Reverse(weight), fact)).collect();
    found.sort();
    found.into_iter().map(|(_, fact)| fact).collect()
}

type Worth = (usize, usize, usize, Reverse<FactUse>);

/// The verdict that the tolerance alone leaves in doubt.
const MARGINAL: &str = "marginal";

/// What bringing one fact into its nearest range cures; nothing where it has no range, or lies in it.
fn moved(subject: &Subject, fact: FactUse) -> Option<(Worth, String)> {
    let found = envelope(subject, fact);
    let today = found.today.as_ref()?;
    // What is marginal today was not failing: it is told beside, and moves no move to the front.
    let cures = |clause: &&crate::envelope::clause::Clause| !matches!(clause.verdict, "open" | MARGINAL);
    let marginal = today.short.iter().filter(|clause| clause.verdict == MARGINAL).count();
    let all = today.short.iter().filter(cures).count();
    let mandatory = today.short.iter().filter(cures).filter(|clause| clause.modal == Modal::Shall).count();
    let nearest = found.good().min_by_key(|range| distance(range, today.at))?;
    if all + marginal == 0 || nearest.holds(today.at) {
        return None;
    }
    let facts = Facts { program: subject.program, job: subject.job, source: subject.source };
    let now = facts.shown(fact.record, fact.field);
    let (name, thing, range) = (&found.name, &found.thing, range_text(subject, &found, nearest));
    // A reading is not brought anywhere: the gate is changed, and then read again.
    let what = match facts.definition(fact.record).name == "test" {
        true => format!("change what {thing} measured, and measure again: its {} reads {now}, and {range} is wanted", last(name)),
        false => format!("bring {name} of {thing} from {now} to {range}"),
    };
    Some(((mandatory, all, marginal, Reverse(fact)), what))
}

fn last(name: &str) -> &str {
    name.rsplit('.').next().unwrap_or(name)
}

fn distance(range: &Range, at: Exact) -> Exact {
    let away = |one: Exact, other: Exact| one.sub(other).map_or(Exact::ZERO, Exact::size);
    if range.holds(at) { Exact::ZERO } else { away(range.lo.at, at).min(away(range.hi.at, at)) }
}

/// A range in words; an end that nothing sets is only where the search ended.
fn range_text(subject: &Subject, found: &Envelope, range: &Range) -> String {
    let one = |at| number(subject, &found.axis, at);
    let low = if range.lo.included { "at least" } else { "more than" };
    let high = if range.hi.included { "at most" } else { "less than" };
    match (range.lo.set_by.is_empty(), range.hi.set_by.is_empty()) {
        (true, true) => "any value".into(),
        (false, true) => format!("{low} {}", one(range.lo.at)),
        (true, false) => format!("{high} {}", one(range.hi.at)),
        (false, false) if range.lo.at == range.hi.at => one(range.lo.at),
        (false, false) => format!("{low} {} and {high} {}", one(range.lo.at), one(range.hi.at)),
    }
}

/// An end of a range in the reader's unit, as long as that can be written without rounding; else in its author's.
fn number(subject: &Subject, axis: &Axis, at: Exact) -> String {
    let Some((unit, base)) = axis.unit.and_then(|unit| Some((unit, unit.to_base(at)?))) else { return show::plain(at) };
    let turned = show::in_unit(base, subject.job.units.of(unit));
    if turned.starts_with('≈') { show::in_unit(base, unit) } else { turned }
}

/// The remedy that most findings share.
fn shared(report: &JobReport, tried: usize) -> Option<Cure> {
    let mut clauses: BTreeMap<String, Vec<&Finding>> = BTreeMap::new();
    for finding in report.findings.iter().filter(|finding| !finding.why.remedy.is_empty()) {
        clauses.entry(finding.clause_name()).or_default().push(finding);
    }
    let weight = |found: &[&Finding]| (found.iter().filter(|finding| finding.modal == Modal::Shall).count(), found.len());
    // The first of equals in the order of names, so that the same job is always told the same.
    let best = clauses.into_values().min_by_key(|found| Reverse(weight(found)))?;
    let (mandatory, all) = weight(&best);
    let first = best.first()?;
    let likewise = if all > 1 { format!(" (and likewise at {} more)", all - 1) } else { String::new() };
    let tried = match tried {
        0 => "no finding names a measured value that could be moved".to_string(),
        _ => "no single measure cures a finding".to_string(),
    };
    let how = format!("{tried}; this is the remedy written in the pack that most findings share, and its effect was not judged");
    Some(Cure { what: format!("{}{likewise}", first.why.remedy.trim_end_matches('.')), cures: cured(mandatory, all), how })
}

/// The missing fact that most clauses wait for.
fn awaited(report: &JobReport) -> Option<Cure> {
    let best = report.waiting.iter().min_by_key(|waiting| Reverse((waiting.mandatory, waiting.asked_by.len())))?;
    let lacking = best.lacking.first()?;
    let number = best.asked_by.len();
    Some(Cure {
        what: format!("find out {} of {} ({})", lacking.name, lacking.thing, lacking.doc),
        cures: format!("{number} open verdict{}", plural(number)),
        how: "nothing fails so far; this is the missing fact that most verdicts wait for, and what they say of it is not known yet".into(),
    })
}
