//! Variances: deviations that an authority granted for one job, with a limit and days. A granted limit turns *not met* or
//! *marginal* into *excused* while it is met, and nothing else. It must not know how findings are shown.

use super::allowance::speaks_of;
use super::doubt::Truth;
use super::eval::{Evaluator, Frame};
use super::grantor::{Unfit, unfit};
use super::judge_section::{binding_name, bound_record};
use super::value::Slot;
use super::verdict::{Judged, Verdict};
use crate::datum::Datum;
use crate::job::{Children, Fact, Job, Record, RecordId};
use crate::language::build::read_condition;
use crate::language::check_section::check_allowed;
use crate::language::program::{Expr, Key, Program};
use crate::slip::{Slip, suggest};
use crate::source::{FileId, Source, Span};
use jiff::civil::Date;

/// The fact of a variance that says whether it deviates from a minimum as well.
const OF_MINIMUM: &str = "of-minimum";

/// A variance as the job states it.
pub struct Variance {
    /// Its record.
    pub record: RecordId,
    /// Whose it is, until when and why, in words.
    pub words: String,
    authority: String,
    /// Whether it says that it deviates from a minimum, too.
    of_minimum: bool,
    section: String,
    label: char,
    thing: String,
    granted: Date,
    expires: Date,
    /// The granted limit, checked for each section text of that id.
    allows: Vec<Granted>,
    span: Span,
}

impl Variance {
    /// Whether the day lies within its days, both included.
    fn in_time(&self, today: Date) -> bool {
        (self.granted..=self.expires).contains(&today)
    }

    /// The limits that it grants, each with the section text whose words it uses, by its position.
    pub fn limits(&self) -> impl Iterator<Item = (usize, &Expr)> {
        self.allows.iter().map(|granted| (granted.section, &granted.limit))
    }
}

/// A granted limit in the words that one section text binds.
struct Granted {
    /// The section, by its position.
    section: usize,
    /// The limit.
    limit: Expr,
    /// How many slots its frame needs.
    slots: usize,
}

/// What has come of a variance while the verdicts were gone through.
#[derive(Clone, Default)]
struct Outcome {
    /// A bare id names several things.
    ambiguous: bool,
    /// It names something that was judged.
    matched: bool,
    /// There was something to excuse.
    used: bool,
    /// The pack whose minimum stands against it.
    kept_by: Option<String>,
    /// Why who granted it may not excuse what it names.
    unfit: Option<Unfit>,
}

/// The job's variances, and slips of those that are malformed.
pub fn variances(program: &Program, job: &Job, source: &Source) -> (Vec<Variance>, Vec<Slip>) {
    let (mut found, mut slips) = (Vec::new(), Vec::new());
    let Some(Key::Child(child)) = program.index.first().and_then(|index| index.get("variances")).copied() else { return (found, slips) };
    let Some(Children::Given(records, _)) = job.records.first().map(|root| &root.children[child]) else { return (found, slips) };
    for id in records {
        match variance(program, job, *id, source) {
            Ok(variance) => found.push(variance),
            Err(more) => slips.extend(more),
        }
    }
    (found, slips)
}

fn stated<'j>(program: &Program, record: &'j Record, key: &str) -> Option<(&'j Datum, Span)> {
    let Some(Key::Field(field)) = program.index[record.def.0 as usize].get(key) else { return None };
    match &record.facts[*field] {
        Fact::Stated(stated) => Some((&stated.datum, stated.span)),
        _ => None,
    }
}

/// A variance as it is written down, with all that one must say.
struct Written {
    section: (String, Span),
    clause: Option<(String, Span)>,
    thing: String,
    allows: (String, Span),
    authority: String,
    reference: String,
    reason: String,
    granted: Date,
    expires: Date,
}

/// What a variance says; nothing where it lacks what it must say, which is told.
fn written(program: &Program, record: &Record, slips: &mut Vec<Slip>) -> Option<Written> {
    let mut text = |key: &str, needed: bool| match stated(program, record, key) {
        Some((Datum::Text(text), span)) if !text.trim().is_empty() => Some((text.trim().to_string(), span)),
        _ => {
            if needed {
                let slip = Slip::at(record.span, "malformed-variance", format!("a variance without `{key}`")).label("this variance");
                slips.push(slip.hint("it names section, thing, authority, reference, reason, granted, expires and what it allows; until then it counts for nothing"));
            }
            None
        }
    };
    let (section, clause, thing, allows) = (text("section", true), text("clause", false), text("thing", true), text("allows", true));
    let [authority, reference, reason] =
        ["authority", "reference", "reason"].map(|key| text(key, true).map_or_else(String::new, |(text, _)| text));
    let mut day = |key: &str| match stated(program, record, key) {
        Some((Datum::Days(days), _)) if days.is_known() => Some(days.first),
        _ => {
            slips.push(
                Slip::at(record.span, "malformed-variance", format!("a variance without the day of `{key}`"))
                    .label("this variance")
                    .hint("write the whole date, as in 2026-03-02"),
            );
            None
        }
    };
    let (granted, expires) = (day("granted"), day("expires"));
    let (thing, granted, expires) = (thing?.0, granted?, expires?);
    if granted > expires {
        slips.push(
            Slip::at(record.span, "malformed-variance", "a variance that expires before it is granted")
                .label("this variance")
                .hint("both days are included"),
        );
    }
    Some(Written { section: section?, clause, thing, allows: allows?, authority, reference, reason, granted, expires })
}

/// The clause that a variance is for, the first one where it names none.
fn letter_of(clause: Option<&(String, Span)>) -> Result<char, Slip> {
    let Some((text, span)) = clause else { return Ok('a') };
    // More than a letter may mean anything: it must not fall back on the clause that it happens to begin like.
    let mut letters = text.trim_matches(['(', ')']).chars();
    letters.next().filter(|_| letters.next().is_none()).ok_or_else(|| {
        let slip = Slip::at(*span, "malformed-variance", format!("`{text}` is no clause")).label("here");
        slip.hint("write the letter of one clause, as in b; until then the variance counts for nothing")
    })
}

fn variance(program: &Program, job: &Job, id: RecordId, source: &Source) -> Result<Variance, Vec<Slip>> {
    let record = job.record(id);
    let mut slips = Vec::new();
    let Some(written) = written(program, record, &mut slips) else { return Err(slips) };
    let Written { section: (section, section_span), clause, thing, allows: (allows, allows_span), .. } = written;
    let Written { authority, reference, reason, granted, expires, .. } = written;
    let numbers: Vec<usize> = program.sections.iter().enumerate().filter(|(_, known)| known.id == section).map(|(at, _)| at).collect();
    if numbers.is_empty() {
        let hint = suggest(&section, program.sections.iter().map(|known| known.id.as_str())).filter(|hint| hint.starts_with("the nearest"));
        slips.push(
            Slip::at(section_span, "unmatched-variance", format!("no section `{section}` in the codes of this job"))
                .label("here")
                .hint_maybe(hint)
                .harmless(),
        );
    }
    let label = match letter_of(clause.as_ref()) {
        Ok(label) => label,
        Err(slip) => {
            slips.push(slip);
            return Err(slips);
        }
    };
    let mut checked = Vec::new();
    for number in numbers {
        match allowed(program, number, &allows, allows_span, source) {
            Ok(granted) if !speaks_of(program, &program.sections[number], label, &granted.limit) => {
                let message = format!("what is allowed names nothing that {section} ({label}) asks about");
                let slip = Slip::at(allows_span, "malformed-variance", message).label("this limit");
                slips.push(slip.hint("write the clause's own limit, as far as it is widened; until then the variance counts for nothing"));
            }
            Ok(granted) => checked.push(granted),
            Err(more) => slips.extend(more),
        }
    }
    if slips.iter().any(|slip| !slip.harmless) || checked.is_empty() {
        return Err(slips);
    }
    let words = format!("a variance granted for this job by {authority}, {reference}, until {expires}: {reason}");
    let of_minimum = matches!(stated(program, record, OF_MINIMUM), Some((Datum::YesNo(true), _)));
    Ok(Variance { record: id, words, authority, of_minimum, section, label, thing, granted, expires, allows: checked, span: record.span })
}

/// The granted limit, in the words that the section binds; its slips are moved to the job's line.
fn allowed(program: &Program, section: usize, text: &str, span: Span, source: &Source) -> Result<Granted, Vec<Slip>> {
    let verbatim = source.slice(span.range()) == text;
    let moved = |mut slip: Slip| {
        slip.span = match slip.span {
            Some(at) if verbatim => {
                Some(Span::new(FileId::JOB, (span.start + at.start) as usize, (span.start + at.end).min(span.end) as usize))
            }
            _ => Some(span),
        };
        slip.others.clear();
        slip.hint.get_or_insert_with(|| "write the granted limit as a clause does, as in `beam.height at most 32 in`".into());
        slip
    };
    let expr = read_condition(text, FileId::JOB).map_err(|slips| slips.into_iter().map(moved).collect::<Vec<_>>())?;
    let checked = check_allowed(program, &program.sections[section], &expr);
    let (limit, slots) = checked.map_err(|slips| slips.into_iter().map(moved).collect::<Vec<_>>())?;
    Ok(Granted { section, limit, slots })
}

/// Applies the variances to the verdicts, and tells those that count for nothing.
pub fn apply<'a>(evaluator: &mut Evaluator<'a>, variances: &'a [Variance], judged: &mut [Judged<'a>]) -> Vec<Slip> {
    let (program, job, today) = (evaluator.program, evaluator.job, evaluator.today);
    let begin = |variance| Outcome { ambiguous: is_ambiguous(program, job, judged, variance), ..Outcome::default() };
    let mut outcomes: Vec<Outcome> = variances.iter().map(begin).collect();
    for one in judged.iter_mut() {
        let section = &program.sections[one.section];
        for (at, variance) in variances
            .iter()
            .enumerate()
            .filter(|(_, variance)| variance.section == section.id && variance.label == section.norms[one.norm].label)
        {
            if !names_thing(program, job, one, &variance.thing) {
                continue;
            }
            outcomes[at].matched = true;
            if outcomes[at].ambiguous || !variance.in_time(today) || !matches!(one.verdict, Verdict::NotMet | Verdict::Marginal(_)) {
                continue;
            }
            let Some(holds) = limit_holds(evaluator, variance, one) else { continue };
            outcomes[at].used = true;
            if holds != Truth::Yes {
                continue;
            }
            if let Some(why) = unfit(program, job, section, &variance.authority) {
                outcomes[at].unfit = Some(why);
                continue;
            }
            // A local authority's word does not move a minimum that stands above it, unless it says that it may.
            match one.minimum(section) {
                Some(pack) if !variance.of_minimum => outcomes[at].kept_by = Some(pack.to_string()),
                _ => one.verdict = Verdict::Excused(at),
            }
        }
    }
    variances.iter().zip(outcomes).filter_map(|(variance, outcome)| told(variance, &outcome, today)).collect()
}

/// Whether the limit that a variance grants holds for what was judged; nothing where it grants none for that text.
fn limit_holds<'a>(evaluator: &mut Evaluator<'a>, variance: &'a Variance, judged: &Judged<'a>) -> Option<Truth> {
    let granted = variance.allows.iter().find(|granted| granted.section == judged.section)?;
    let mut slots = judged.slots.clone();
    slots.resize(granted.slots.max(slots.len()), Slot::Empty);
    let mut known_lets = Vec::new();
    let mut frame = Frame { slots: &mut slots, lets: &[], known_lets: &mut known_lets };
    (evaluator.steps, evaluator.at_hand) = (0, judged.section);
    Some(evaluator.truth(&granted.limit, &mut frame))
}

/// Whether a variance might excuse a verdict if more were known: one for this clause and thing whose limit does not surely fail.
pub fn may_excuse<'a>(evaluator: &mut Evaluator<'a>, variances: &'a [Variance], judged: &Judged<'a>) -> bool {
    let (program, job, today) = (evaluator.program, evaluator.job, evaluator.today);
    let section = &program.sections[judged.section];
    let names = |variance: &Variance| {
        variance.section == section.id
            && variance.label == section.norms[judged.norm].label
            && variance.in_time(today)
            && (variance.of_minimum || judged.minimum(section).is_none())
            && names_thing(program, job, judged, &variance.thing)
            && unfit(program, job, section, &variance.authority).is_none()
    };
    variances
        .iter()
        .filter(|variance| names(variance))
        .any(|variance| limit_holds(evaluator, variance, judged).is_some_and(|holds| holds != Truth::No))
}

/// Whether a bare id names more than one thing that the section judges: then nobody knows which of them may deviate.
fn is_ambiguous(program: &Program, job: &Job, judged: &[Judged], variance: &Variance) -> bool {
    let section = |one: &&Judged| program.sections[one.section].id == variance.section;
    let bare = |one: &Judged| {
        let record = bound_record(program, one);
        (job.record(record).id.as_deref() == Some(variance.thing.as_str())).then_some(record)
    };
    let records: std::collections::BTreeSet<RecordId> = judged.iter().filter(section).filter_map(bare).collect();
    records.len() > 1
}

fn names_thing(program: &Program, job: &Job, judged: &Judged, thing: &str) -> bool {
    let record = job.record(bound_record(program, judged));
    record.id.as_deref() == Some(thing) || binding_name(program, job, judged) == thing || record.parent.is_none() && thing == "job"
}

/// A variance that counts for nothing is told, and why; so is one that somebody should look at.
fn told(variance: &Variance, outcome: &Outcome, today: Date) -> Option<Slip> {
    let what = format!("the variance for {} ({}) of {}", variance.section, variance.label, variance.thing);
    let (name, message, hint) = if outcome.ambiguous {
        (
            "ambiguous-variance",
            format!(
                "the variance for {} ({}) names `{}`, and several things have that id",
                variance.section, variance.label, variance.thing
            ),
            "it counts for nothing; name the thing in full, as in `gate main / beam low`",
        )
    } else if today > variance.expires {
        (
            "expired-variance",
            format!("{what} expired on {}", variance.expires),
            "it counts for nothing; ask the authority to renew it, or put the work right",
        )
    } else if today < variance.granted {
        ("early-variance", format!("{what} begins on {}", variance.granted), "it counts for nothing before that day")
    } else if !outcome.matched {
        (
            "unmatched-variance",
            format!("{what} matches nothing that is judged"),
            "check the section, the clause's letter and the id of the thing",
        )
    } else if !outcome.used {
        ("needless-variance", format!("{what} is not needed"), "the clause is met, open or does not apply without it")
    } else if let Some(pack) = &outcome.kept_by {
        (
            "minimum-stands",
            format!("{what} does not move the minimum of `{pack}`, and that is not shown to be met"),
            "where the authority may deviate from the minimum and did so in writing, say so with `of-minimum: yes`",
        )
    } else if let Some(unfit) = &outcome.unfit {
        return Some(of_unfit(variance, &what, unfit));
    } else {
        return None;
    };
    Some(Slip::at(variance.span, name, message).label("this variance").hint(hint).harmless())
}

/// A variance that nobody who may grant it granted.
fn of_unfit(variance: &Variance, what: &str, unfit: &Unfit) -> Slip {
    let by = &variance.authority;
    let quoted = |names: &[String], mark: &str| names.iter().map(|name| format!("{mark}{name}{mark}")).collect::<Vec<_>>().join(" and ");
    let (name, message, hint) = match unfit {
        Unfit::Own(role) => (
            "self-granted-variance",
            format!("{what} is granted by \"{by}\", whom the job names as {role}"),
            "it excuses nothing: nobody lets off a job that they answer for; only the authority of the code can",
        ),
        Unfit::Other(names) => (
            "other-authority",
            format!("{what} is granted by \"{by}\"; the text is in force by a code of {}", quoted(names, "\"")),
            "it excuses nothing: where that authority did grant it, write its name as the code does; where another may grant it, name its own code in `codes`",
        ),
        Unfit::Unknown(codes) => (
            "unknown-authority",
            format!("{what} is granted by \"{by}\", and {} does not say whose code it is", quoted(codes, "`")),
            "it excuses nothing until the pack names its `authority`: nobody can tell who may grant it",
        ),
    };
    Slip::at(variance.span, name, message).label("this variance").hint(hint).harmless()
}

/// Names of the notes that tell that a variance was not granted by who may grant it.
pub const UNFIT: [&str; 3] = ["self-granted-variance", "other-authority", "unknown-authority"];
