//! Envelopes: a value inside comes out good, a value outside does not, on made-up packs and jobs and on the examples. What is good
//! is asked of the whole judging, with the measure put into the job, not of the search. `hand` holds cases worked out by hand,
//! `shown` what the command says of the examples.

mod hand;
mod shown;

use crate::second;
use jiff::civil::Date;
use pintle::command::workbench::{Compiled, Workbench};
use pintle::datum::Datum;
use pintle::envelope::trial::Label;
use pintle::envelope::{Envelope, asked_for, envelope};
use pintle::job::yaml::read_yaml;
use pintle::job::{Fact, Job, Stated, read_job};
use pintle::judge::Subject;
use pintle::judge::doubt::{Doubt, Missing, Obstacle};
use pintle::judge::eval::FactUse;
use pintle::judge::judge_section::binding_name;
use pintle::judge::variance::{Variance, variances};
use pintle::judge::{Verdict, judge};
use pintle::language::library::Shelf;
use pintle::language::program::Program;
use pintle::language::tree::Modal;
use pintle::quantity::{Exact, Interval};
use pintle::source::Source;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A job with its program, read.
struct Site {
    compiled: Arc<Compiled>,
    job: Job,
    source: Source,
    variances: Vec<Variance>,
    today: Date,
}

impl Site {
    fn new(compiled: Arc<Compiled>, text: &str, today: Date) -> Option<Site> {
        let program = compiled.program.as_ref()?;
        let source = Source::new("job.yaml", text);
        let job = {
            let (yaml, slips) = read_yaml(&source);
            let mut job = read_job(&yaml, program);
            job.slips.extend(slips);
            job
        };
        let (variances, slips) = variances(program, &job, &source);
        let fine = job.slips.iter().chain(&slips).all(|slip| slip.harmless);
        fine.then_some(Site { compiled, job, source, variances, today })
    }

    /// A job on packs given as text.
    fn of_texts(pack: &str, code: &str, job: &str, today: &str) -> Site {
        let shelf = Shelf::Memory([(code.to_string(), pack.to_string())].into_iter().collect());
        let compiled = Workbench::default().compile(vec![shelf, Shelf::Embedded], vec![code.to_string()]);
        let slips: Vec<_> = compiled.slips.iter().map(|slip| slip.message.clone()).collect();
        assert!(compiled.program.is_some(), "{slips:?}\n{pack}");
        Site::new(compiled, job, today.parse().unwrap()).unwrap_or_else(|| panic!("slips in\n{job}"))
    }

    fn program(&self) -> &Program {
        self.compiled.program.as_ref().unwrap()
    }

    fn ask(&self) -> Subject<'_> {
        Subject { program: self.program(), job: &self.job, source: &self.source, variances: &self.variances, today: self.today }
    }

    /// What falls short with a fact put so, by section, clause and thing; with whether it may hang on what the fact is: it is in
    /// doubt, and not only for other reasons.
    fn short(&self, fact: FactUse, put: Fact, mandatory: bool) -> BTreeSet<(String, char, String, bool)> {
        let program = self.program();
        let mut job = self.job.clone();
        let blank = matches!(put, Fact::Blank(_));
        job.records[fact.record.0 as usize].facts[fact.field] = put;
        let judgement = judge(program, &job, &self.variances, self.today);
        let hangs = |verdict: &Verdict| {
            let spent = |it: &Obstacle| matches!(it, Obstacle::TooManySteps(_) | Obstacle::TooManyDigits(_));
            let missing = Missing::Fact(fact.record, fact.field);
            let this = |doubt: &Doubt| if blank { doubt.missing.contains(&missing) } else { doubt.tolerance };
            verdict.doubt().is_some_and(|doubt| this(doubt) || doubt.obstacles.iter().any(spent))
        };
        let found = judgement.judged.iter().filter(|judged| judged.verdict.is_finding());
        let found = found.filter(|judged| !mandatory || program.sections[judged.section].norms[judged.norm].modal == Modal::Shall);
        found
            .map(|judged| {
                let section = &program.sections[judged.section];
                let thing = binding_name(program, &job, judged);
                (section.id.clone(), section.norms[judged.norm].label, thing, hangs(&judged.verdict))
            })
            .collect()
    }

    /// The fact as a number of which nothing is known: what is not in doubt by it does not hang on it.
    fn any_number(&self, one: &Envelope) -> Fact {
        stated(one, Interval::WHOLE, self.job.record(one.axis.fact.record).span)
    }

    /// Whether every verdict that can depend on the fact is good for a value; `always` falls short whatever it is.
    fn is_good(&self, one: &Envelope, at: Exact, always: &BTreeSet<(String, char, String)>, mandatory: bool) -> bool {
        let base = one.axis.to_base(at).expect("a value with few digits");
        let tolerance = one.axis.tolerance;
        let bounds = Interval { lo: base.sub(tolerance), hi: base.add(tolerance) };
        let put = stated(one, bounds, self.job.record(one.axis.fact.record).span);
        let short = self.short(one.axis.fact, put, mandatory);
        short.into_iter().all(|(section, label, thing, _)| always.contains(&(section, label, thing)))
    }
}

fn stated(one: &Envelope, bounds: Interval, span: pintle::source::Span) -> Fact {
    Fact::Stated(Box::new(Stated::plain(Datum::Number(bounds, one.axis.unit), span)))
}

fn of(upper: i128, lower: i128) -> Exact {
    Exact::ratio(upper, lower).unwrap()
}

/// Values to try: across the search, around today's value, at the ends and just beside them.
fn values(one: &Envelope, dense: i128) -> BTreeSet<Exact> {
    let (lo, hi) = one.looked_at;
    let mut values: BTreeSet<Exact> = BTreeSet::new();
    let span = hi.sub(lo).unwrap();
    for step in 0..=dense {
        // Most limits are near to nought.
        let share = of(step * step * step, dense * dense * dense);
        values.extend(span.mul(share).and_then(|part| part.add(lo)));
    }
    let ends = one.ranges.iter().flat_map(|range| [range.lo.at, range.hi.at]);
    for at in ends.chain(one.today_at) {
        for (upper, lower) in [(0, 1), (1, 100_000), (1, 64), (1, 3), (7, 2)] {
            values.extend(at.add(of(upper, lower)));
            values.extend(at.sub(of(upper, lower)));
        }
    }
    values.retain(|at| lo <= *at && *at <= hi);
    values
}

/// What an envelope claims of a value: good, not good, or nothing.
fn claim(ranges: &[pintle::envelope::ends::Range], at: Exact) -> Option<bool> {
    for range in ranges {
        if range.holds(at) {
            return (range.label == Some(Label::Good)).then_some(true);
        }
        for end in [&range.lo, &range.hi] {
            // An end that is rounded inward claims nothing of what was rounded away.
            let rounded = end.at.size().mul(of(1, 1000)).and_then(|part| part.add(of(1, 32))).unwrap();
            let near = at.sub(end.at).unwrap().size();
            if near <= of(1, 1 << 13) && !(end.exact && near >= of(1, 1 << 19)) && near != Exact::ZERO || !end.exact && near <= rounded {
                return None;
            }
        }
    }
    Some(false)
}

/// Compares what an envelope claims with the judging; the number of claims.
fn compare(site: &Site, fact: FactUse, dense: i128, what: &str) -> usize {
    let one = envelope(&site.ask(), fact);
    let mut claims = 0;
    for (mandatory, ranges) in [(false, Some(&one.ranges)), (true, one.mandatory.as_ref())] {
        let Some(ranges) = ranges.filter(|_| !one.is_free()) else { continue };
        // With the fact not known at all, and as a number of which nothing is known: what is in doubt for other reasons only, or in
        // no doubt, does not hang on it.
        let puts = [Fact::Blank(one.place), site.any_number(&one)];
        let short = puts.into_iter().flat_map(|put| site.short(fact, put, mandatory));
        let always = short.filter(|(.., hangs)| !hangs).map(|(section, label, thing, _)| (section, label, thing)).collect();
        for at in values(&one, dense) {
            if one.axis.unit.is_none() && !at.is_whole() {
                continue;
            }
            let Some(claimed) = claim(ranges, at) else { continue };
            claims += 1;
            let good = site.is_good(&one, at, &always, mandatory);
            assert!(claimed == good, "{what}: {} of {} at {at:?}: claimed {claimed}, judged {good}\n{ranges:#?}", one.name, one.thing);
        }
    }
    if one.is_free() {
        let short =
            |put| -> BTreeSet<_> { site.short(fact, put, false).into_iter().map(|(s, label, thing, _)| (s, label, thing)).collect() };
        let all: BTreeSet<BTreeSet<_>> = values(&one, dense)
            .into_iter()
            .filter(|at| one.axis.unit.is_some() || at.is_whole())
            .filter_map(|at| one.axis.to_base(at))
            .map(|at| short(stated(&one, Interval::point(at), one.place)))
            .collect();
        assert!(all.len() < 2, "{what}: {} of {} is said to be free: {all:?}", one.name, one.thing);
    }
    claims
}

fn rounds(usual: u64) -> u64 {
    std::env::var("PINTLE_ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(usual)
}

#[test]
fn made_up_packs_agree_with_their_envelopes() {
    let (mut claims, mut limited) = (0, 0);
    for seed in 0..rounds(150) {
        let (pack, job, today) = second::texts(seed);
        let site = Site::of_texts(&pack, "made", &job, &today);
        let facts = site.job.records.iter().enumerate().flat_map(|(at, record)| {
            let id = pintle::job::RecordId(u32::try_from(at).unwrap());
            let name = pintle::judge::paths::thing_name(site.program(), &site.job, id);
            assert!(!record.facts.is_empty());
            asked_for(site.program(), &site.job, Some(&name)).unwrap_or_default()
        });
        for fact in facts.collect::<BTreeSet<_>>() {
            let found = compare(&site, fact, 12, &format!("seed {seed}, today {today}\n{pack}\n{job}"));
            claims += found;
            limited += usize::from(found > 0);
        }
    }
    assert!(limited > 100 && claims > 5000, "{limited} measures that something limits, {claims} claims");
}

#[test]
fn the_examples_agree_with_their_envelopes() {
    let mut claims = 0;
    for (number, example) in crate::laws::EXAMPLES.iter().enumerate() {
        let site = Site::new(Arc::clone(&example.compiled), &example.text, crate::laws::day()).unwrap();
        let facts = asked_for(site.program(), &site.job, None).unwrap();
        for fact in facts.into_iter().skip(number % 9).step_by(9) {
            claims += compare(&site, fact, 6, &example.name);
        }
    }
    assert!(claims > 2000, "{claims} claims");
}
