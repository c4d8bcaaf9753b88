//! Finds the measures that are asked for: by a device as reports name it, by one of its facts, or all of them. It must not know
//! sections.

use crate::datum::Kind;
use crate::job::{Fact, Job, RecordId};
use crate::judge::eval::FactUse;
use crate::judge::paths::thing_name;
use crate::language::program::{Field, Program, TakenAs};
use crate::slip::suggest;

/// A name that is none, and what may be meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub hint: Option<String>,
}

/// The measures that are asked for: of a device by its id or as reports name it (`gate main / beam low`), one fact of it
/// (`low.height`), or every measured fact that the job states.
///
/// # Errors
/// Where nothing is called so.
pub fn asked_for(program: &Program, job: &Job, name: Option<&str>) -> Result<Vec<FactUse>, Unknown> {
    let Some(name) = name else {
        let all = records(job).flat_map(|record| facts_of(program, job, record, |field| field.measured));
        return Ok(all.filter(|fact| stated(job, *fact)).collect());
    };
    let named = named(program, job, name);
    if !named.is_empty() {
        return Ok(named.into_iter().flat_map(|record| facts_of(program, job, record, |_| true)).collect());
    }
    let (device, fact) = name.rsplit_once('.').unwrap_or((name, ""));
    let owners = self::named(program, job, device);
    if owners.is_empty() || fact.is_empty() {
        return Err(unknown_device(program, job, name));
    }
    let found: Vec<FactUse> = owners.iter().filter_map(|record| fact_named(program, job, *record, fact)).collect();
    if found.is_empty() { Err(unknown_fact(program, job, owners[0], fact)) } else { Ok(found) }
}

/// The fact of a record by its key, where it is one that can be varied.
fn fact_named(program: &Program, job: &Job, record: RecordId, fact: &str) -> Option<FactUse> {
    let definition = program.definition(job.record(record).def);
    let field = definition.field(fact).filter(|field| can_vary(&definition.fields[*field]))?;
    Some(FactUse { record, field })
}

fn records(job: &Job) -> impl Iterator<Item = RecordId> {
    (0..job.records.len()).map(|at| RecordId(u32::try_from(at).unwrap_or(u32::MAX)))
}

fn named(program: &Program, job: &Job, name: &str) -> Vec<RecordId> {
    let called = |record: &RecordId| job.record(*record).id.as_deref() == Some(name) || thing_name(program, job, *record) == name;
    records(job).filter(called).collect()
}

/// Whether a fact is a number that can be varied. What gives the tolerance of other readings is none: it is no part of the site.
fn can_vary(field: &Field) -> bool {
    matches!(field.kind, Kind::Measure(_) | Kind::Temperature | Kind::Count) && !field.gives_tolerance
}

/// The facts of a record that can be varied; those of which the job says that there are none are left out.
fn facts_of(program: &Program, job: &Job, record: RecordId, wanted: impl Fn(&Field) -> bool) -> Vec<FactUse> {
    let of = job.record(record);
    let fields = program.definition(of.def).fields.iter().enumerate();
    let there = |fact: &Fact, field: &Field| match fact {
        Fact::Stated(_) | Fact::Blank(_) | Fact::Spoiled(_) => true,
        Fact::Nothing(_) => false,
        Fact::Absent => field.taken != Some(TakenAs::Nothing),
    };
    let kept = fields.filter(|(at, field)| can_vary(field) && wanted(field) && there(&of.facts[*at], field));
    kept.map(|(field, _)| FactUse { record, field }).collect()
}

fn stated(job: &Job, fact: FactUse) -> bool {
    matches!(job.record(fact.record).facts[fact.field], Fact::Stated(_))
}

fn unknown_device(program: &Program, job: &Job, name: &str) -> Unknown {
    let things: Vec<String> = records(job).map(|record| thing_name(program, job, record)).collect();
    let ids = records(job).filter_map(|record| job.record(record).id.as_deref());
    let hint = suggest(name, ids.chain(things.iter().map(String::as_str)));
    let hint = hint.or_else(|| Some("without a device, every measured fact of the job is shown, with the name of its thing".into()));
    Unknown { message: format!("nothing in this job is called `{name}`"), hint }
}

fn unknown_fact(program: &Program, job: &Job, record: RecordId, fact: &str) -> Unknown {
    let definition = program.definition(job.record(record).def);
    let known = definition.fields.iter().filter(|field| can_vary(field)).map(|field| field.name.as_str());
    let message = format!("{} has no measure `{fact}`", thing_name(program, job, record));
    Unknown { message, hint: suggest(fact, known) }
}
