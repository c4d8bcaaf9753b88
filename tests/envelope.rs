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
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A clause asked of a thing: section, clause, thing.
type Asked = (String, char, String);
/// What falls short: whether it waits, and whether it may hang on the fact that is looked at.
type Shorts = BTreeMap<Asked, (bool, bool)>;

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

    /// What falls short with a fact put so; with whether it only waits for another fact, and whether it may hang on what the fact is:
    /// it is in doubt, and not only for other reasons.
    fn short(&self, fact: FactUse, put: Fact, mandatory: bool) -> Shorts {
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
        let mut shorts = Shorts::new();
        for judged in found {
            let section = &program.sections[judged.section];
            let asked = (section.id.clone(), section.norms[judged.norm].label, binding_name(program, &job, judged));
            let one = (matches!(judged.verdict, Verdict::Open(_)), hangs(&judged.verdict));
            // Of two texts of one section one that does not hang on the fact is enough to fall short in any case.
            shorts.entry(asked).and_modify(|known| *known = (known.0 && one.0, known.1 && one.1)).or_insert(one);
        }
        shorts
    }

    /// The fact as a number of which nothing is known: what is not in doubt by it does not hang on it.
    fn any_number(&self, one: &Envelope) -> Fact {
        stated(one, Interval::WHOLE, self.job.record(one.axis.fact.record).span)
    }

    /// What falls short at a value.
    fn short_at(&self, fact: FactUse, one: &Envelope, at: Exact, mandatory: bool) -> Shorts {
        let base = one.axis.to_base(at).expect("a value with few digits");
        let tolerance = one.axis.tolerance;
        let bounds = Interval { lo: base.sub(tolerance), hi: base.add(tolerance) };
        self.short(fact, stated(one, bounds, self.job.record(one.axis.fact.record).span), mandatory)
    }

    /// What falls short whatever the fact is: it does so with the fact not known at all, or as a number of which nothing is known, and
    /// then is in no doubt, or in doubt for other reasons only. What waits in one case and fails in another hangs on it all the same.
    fn always(&self, fact: FactUse, one: &Envelope, short: &[Shorts], mandatory: bool) -> BTreeSet<Asked> {
        let puts = [Fact::Blank(one.place), self.any_number(one)];
        let found = puts.into_iter().flat_map(|put| self.short(fact, put, mandatory));
        let steady = |asked: &Asked, before: bool| short.iter().filter_map(|short| short.get(asked)).all(|(waits, _)| *waits == before);
        found.filter(|(asked, (waits, hangs))| !hangs && steady(asked, *waits)).map(|(asked, _)| asked).collect()
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
        let values: Vec<Exact> = values(&one, dense).into_iter().filter(|at| one.axis.unit.is_some() || at.is_whole()).collect();
        let short: Vec<Shorts> = values.iter().map(|at| site.short_at(fact, &one, *at, mandatory)).collect();
        let always = site.always(fact, &one, &short, mandatory);
        for (at, short) in values.into_iter().zip(&short) {
            let Some(claimed) = claim(ranges, at) else { continue };
            claims += 1;
            let good = short.keys().all(|asked| always.contains(asked));
            assert!(claimed == good, "{what}: {} of {} at {at:?}: claimed {claimed}, judged {good}\n{ranges:#?}", one.name, one.thing);
        }
    }
    if one.is_free() {
        let short = |put| -> BTreeSet<Asked> { site.short(fact, put, false).into_keys().collect() };
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
