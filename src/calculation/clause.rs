//! The calculation of one judged clause: why it is asked, its steps, exceptions, what carries it, where it comes from. It must
//! not know how a calculation is drawn.

use super::amount::Digits;
use super::fact::{as_written, place};
use super::look_up::cited;
use super::tree::{Calculation, Carried, Condition, Detail, Input, Missing, Origin};
use super::work::{Work, outcome};
use crate::job::Fact;
use crate::judge::eval::{Evaluator, Frame};
use crate::judge::explain::explain;
use crate::judge::judge_section::binding_name;
use crate::judge::{Judged, Subject, Verdict};
use crate::language::program::{Force, Norm, Section};
use crate::source::Files;

/// Rounds that may be taken until every number has the digits that its comparisons need.
const MOST_ROUNDS: usize = 4;

/// The calculation behind one verdict. It is reckoned again until every number has the digits that a comparison asks for.
pub fn calculation<'a>(subject: Subject<'a>, judged: &Judged<'a>) -> Calculation {
    let mut digits = Digits::new();
    for _ in 1..MOST_ROUNDS {
        let (calculation, wanted) = round(subject, judged, digits.clone());
        if wanted.iter().all(|(number, places)| digits.get(number).is_some_and(|known| known >= places)) {
            return calculation;
        }
        for (number, places) in wanted {
            let known = digits.entry(number).or_insert(places);
            *known = places.max(*known);
        }
    }
    round(subject, judged, digits).0
}

fn round<'a>(subject: Subject<'a>, judged: &Judged<'a>, digits: Digits) -> (Calculation, Digits) {
    let Subject { program, job, source, today, .. } = subject;
    let section = &program.sections[judged.section];
    let norm = &section.norms[judged.norm];
    let mut evaluator = Evaluator::new(program, job, today);
    evaluator.at_hand = judged.section;
    let mut work = Work::new(evaluator, Files { packs: &program.files, job: Some(source) }, digits);
    let mut slots = judged.slots.clone();
    let mut known_lets = vec![None; section.lets.len()];
    let mut frame = Frame { slots: &mut slots, lets: &section.lets, known_lets: &mut known_lets };
    let asked = asked(&mut work, section, norm, judged, &mut frame);
    let bound = judged.bound == section.binders.len();
    let (mut exceptions, mut decided_by) = (Vec::new(), None);
    if bound && judged.verdict != Verdict::NotApplicable {
        decided_by = Some(work.deciding(&norm.body, &mut frame));
        if judged.verdict != Verdict::Met {
            exceptions = excepts(&mut work, section, &judged.verdict, &mut decided_by, &mut frame);
        }
    }
    let wanted = std::mem::take(&mut work.wanted);
    let mut calculation = Calculation {
        section: section.id.clone(),
        clause: norm.label.to_string(),
        title: section.title.clone(),
        modal: norm.modal.word(),
        thing: binding_name(program, job, judged),
        verdict: judged.verdict.word(),
        written: work.written(norm.span),
        place: place(work.files, norm.span),
        asked,
        exceptions,
        carried_by: carried(subject, section, &judged.verdict),
        missing: Vec::new(),
        obstacles: Vec::new(),
        assumed: Vec::new(),
        as_read: Vec::new(),
        remedy: String::new(),
        sources: cited(program, &norm.cites),
        minimum_of: judged.floor.clone(),
        amended_by: section.amended_by.clone(),
        cut_short: work.cut_short,
        steps: std::mem::take(&mut work.steps),
        decided_by,
    };
    if judged.verdict.is_finding() {
        tell_why(&mut calculation, subject, judged, work.files);
    }
    rests_on(&mut calculation);
    (calculation, wanted)
}

/// Why the clause is asked of this thing, or not.
fn asked<'a>(
    work: &mut Work<'a, '_>,
    section: &'a Section,
    norm: &'a Norm,
    judged: &Judged<'a>,
    frame: &mut Frame<'a, '_>,
) -> Vec<Condition> {
    let program = work.evaluator.program;
    let mut told = Vec::new();
    for code in section.roots.iter().filter_map(|root| program.codes.get(*root)) {
        if let Some(force) = &code.force {
            let (mut slots, mut lets) = (Vec::new(), Vec::new());
            let mut frame = Frame { slots: &mut slots, lets: &[], known_lets: &mut lets };
            told.push(in_force(work, &format!("code {}", code.name), force, &mut frame));
        }
    }
    if let Some(force) = &section.force {
        told.push(in_force(work, "section", force, frame));
    }
    for binder in section.binders.iter().take(judged.bound) {
        if let Some(filter) = &binder.filter {
            told.push(work.condition_aside(&format!("applies to {}", binder.name), filter, frame));
        }
    }
    if let Some(condition) = norm.condition.as_ref().filter(|_| judged.bound == section.binders.len()) {
        told.push(work.condition_aside("if", condition, frame));
    }
    told
}

fn in_force<'a>(work: &mut Work<'a, '_>, what: &str, force: &'a Force, frame: &mut Frame<'a, '_>) -> Condition {
    let mut inputs = Vec::new();
    let by = work.put_in(&force.by, frame, &mut inputs);
    let from = force.from.map(|day| format!("from {day}"));
    let before = force.before.map(|day| format!("before {day}"));
    let days = from.into_iter().chain(before).collect::<Vec<_>>().join(" ");
    let outcome = outcome(&work.evaluator.in_force(force, frame));
    Condition { what: format!("{what} in force"), written: work.written(force.span), put_in: format!("{days}: {by}"), outcome, inputs }
}

/// The exceptions that were looked at; the one that holds is written out in steps.
fn excepts<'a>(
    work: &mut Work<'a, '_>,
    section: &'a Section,
    verdict: &Verdict,
    decided_by: &mut Option<usize>,
    frame: &mut Frame<'a, '_>,
) -> Vec<Condition> {
    let mut told = Vec::new();
    for (at, except) in section.excepts.iter().enumerate() {
        let what = format!("exception ({}): {}", except.label, except.text);
        let parts = [(what.clone(), &except.filter), (format!("{what}, unless"), &except.unless)];
        for (what, expr) in parts.iter().filter_map(|(what, expr)| expr.as_ref().map(|expr| (what, expr))) {
            if *verdict == Verdict::Excepted(at) {
                *decided_by = Some(work.deciding(expr, frame));
            }
            told.push(work.condition_aside(what, expr, frame));
        }
    }
    told
}

fn carried(subject: Subject, section: &Section, verdict: &Verdict) -> Option<Carried> {
    match verdict {
        Verdict::Excepted(at) => {
            let except = section.excepts.get(*at)?;
            Some(Carried { by: format!("exception ({}): {}", except.label, except.text), record: Vec::new() })
        }
        Verdict::Excused(at) => {
            let record = subject.job.record(subject.variances.get(*at)?.record);
            let files = Files { packs: &subject.program.files, job: Some(subject.source) };
            let fields = subject.program.definition(record.def).fields.iter().zip(&record.facts);
            let stated = fields.filter_map(|(field, fact)| match fact {
                Fact::Stated(stated) => Some((field.name.clone(), as_written(subject.program, files, &stated.datum, stated.span))),
                _ => None,
            });
            Some(Carried { by: "a variance granted for this job".into(), record: stated.collect() })
        }
        _ => None,
    }
}

fn tell_why<'a>(calculation: &mut Calculation, subject: Subject<'a>, judged: &Judged<'a>, files: Files) {
    let why = explain(subject.program, subject.job, subject.source, subject.today, judged);
    calculation.missing = why
        .lacking
        .into_iter()
        .map(|lacking| Missing { name: lacking.name, thing: lacking.thing, measure: lacking.doc, place: place(files, lacking.span) })
        .collect();
    calculation.obstacles = why.obstacles.into_iter().map(|(obstacle, _)| obstacle).collect();
    // What is missing is to be measured before anything is put right.
    calculation.remedy = if matches!(judged.verdict, Verdict::Open(_)) { String::new() } else { why.remedy };
}

/// What the calculation rests on: assumed values, and readings without a tolerance.
fn rests_on(calculation: &mut Calculation) {
    let (mut assumed, mut as_read) = (Vec::new(), Vec::new());
    let mut note = |input: &Input| {
        let Origin::Fact(given) = &input.from else { return };
        let says = format!("{} of {} is {}", given.name, given.thing, input.shown.marked());
        let list = match &given.tolerance {
            _ if given.assumed => &mut assumed,
            Some(tolerance) if tolerance.starts_with("no ") => &mut as_read,
            _ => return,
        };
        if !list.contains(&says) {
            list.push(says);
        }
    };
    let conditions = calculation.asked.iter().chain(&calculation.exceptions);
    conditions.chain(calculation.steps.iter().flat_map(|step| &step.choices)).flat_map(|condition| &condition.inputs).for_each(&mut note);
    for step in &calculation.steps {
        step.inputs.iter().for_each(&mut note);
        if let Detail::Members(members) = &step.detail {
            members.each.iter().flat_map(|member| &member.inputs).for_each(&mut note);
        }
    }
    (calculation.assumed, calculation.as_read) = (assumed, as_read);
}
