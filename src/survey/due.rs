//! Until which day what depends on the day of judging still holds: the sections that ask for today are judged again on the days on which a
//! date of the job and a period of the code could let them lapse. It must not know what is due, or how it is shown.

use super::dates::asks_today;
use crate::datum::Datum;
use crate::job::{Fact, Job};
use crate::judge::eval::Evaluator;
use crate::judge::judge_section::binding_name;
use crate::judge::variance::Variance;
use crate::judge::{Verdict, judge_sections};
use crate::language::program::{Op, Program, Section};
use crate::language::tree::Modal;
use crate::language::walk::{exprs, section_exprs};
use crate::quantity::{Days, Period};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Most days that are tried.
const MOST_DAYS: usize = 2000;

/// What is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// The section.
    pub section: String,
    /// Its title.
    pub title: String,
    /// The clause's letter.
    pub clause: char,
    /// Its weight.
    pub modal: Modal,
    /// The thing.
    pub thing: String,
    /// The last day on which it holds; nothing where it does not hold today.
    pub until: Option<Date>,
}

/// Section, clause, thing, and a number where one thing is judged more than once under that name.
type Key = (usize, usize, String, usize);

/// What will lapse, the earliest first; what has lapsed, or was never done, comes before.
pub fn due(program: &Program, job: &Job, variances: &[Variance], today: Date) -> Vec<Due> {
    let sections: Vec<usize> = (0..program.sections.len()).filter(|at| asks_today(program, &program.sections[*at])).collect();
    let days = days(program, job, &sections, today);
    let judged = |day: Date| -> BTreeMap<Key, Verdict> {
        let mut evaluator = Evaluator::new(program, job, day);
        let mut all = BTreeMap::new();
        let mut times: BTreeMap<(usize, usize, String), usize> = BTreeMap::new();
        for one in judge_sections(&mut evaluator, variances, sections.iter().copied()).judged {
            let name = (one.section, one.norm, binding_name(program, job, &one));
            let time = times.entry(name.clone()).or_insert(0);
            all.insert((name.0, name.1, name.2, *time), one.verdict);
            *time += 1;
        }
        all
    };
    let first = judged(today);
    let mut until: BTreeMap<&Key, Option<Date>> =
        first.iter().filter(|(_, verdict)| matches!(verdict, Verdict::NotMet)).map(|(key, _)| (key, None)).collect();
    for day in days {
        let Ok(last) = day.yesterday() else { continue };
        let verdicts = judged(day);
        for (key, verdict) in &first {
            let lapses = verdicts.get(key).is_some_and(Verdict::is_finding);
            if holds(verdict) && lapses {
                until.entry(key).or_insert(Some(last));
            }
        }
    }
    let mut found: Vec<(Option<Date>, Key)> = until.into_iter().map(|(key, until)| (until, key.clone())).collect();
    found.sort();
    found.into_iter().map(|(until, key)| told(program, key, until)).collect()
}

/// Whether a verdict is a good one of something that is asked.
fn holds(verdict: &Verdict) -> bool {
    matches!(verdict, Verdict::Met | Verdict::Excepted(_) | Verdict::Excused(_))
}

fn told(program: &Program, (section, norm, thing, _): Key, until: Option<Date>) -> Due {
    let section = &program.sections[section];
    let norm = &section.norms[norm];
    Due { section: section.id.clone(), title: section.title.clone(), clause: norm.label, modal: norm.modal, thing, until }
}

/// The days after today on which something may have lapsed, in order: the day after each date of the job with each period of a section.
fn days(program: &Program, job: &Job, sections: &[usize], today: Date) -> Vec<Date> {
    let mut periods = vec![Period { months: 0, days: 0 }];
    for section in sections {
        periods_of(program, &program.sections[*section], &mut periods);
    }
    let mut dates: BTreeSet<Date> = BTreeSet::new();
    for fact in job.records.iter().flat_map(|record| &record.facts) {
        if let Fact::Stated(stated) = fact
            && let Datum::Days(days) = stated.datum
        {
            dates.extend([days.first, days.last]);
        }
    }
    let later = |date: Date, period: Period| Days::day(date).later(period).map(|days| days.last);
    let ends = dates.iter().flat_map(|date| periods.iter().filter_map(|period| later(*date, *period)));
    let after: BTreeSet<Date> = ends.flat_map(|end| [Some(end), end.tomorrow().ok()]).flatten().filter(|day| *day > today).collect();
    after.into_iter().take(MOST_DAYS).collect()
}

fn periods_of(program: &Program, section: &Section, into: &mut Vec<Period>) {
    let mut take = |expr: &crate::language::program::Expr| {
        if let Op::Literal(Datum::Period(period)) = &expr.op
            && !into.contains(period)
        {
            into.push(*period);
        }
    };
    let mut called = Vec::new();
    section_exprs(section, &mut |expr| {
        take(expr);
        if let Op::Formula(at, _) = &expr.op {
            called.push(*at);
        }
    });
    for at in called {
        exprs(&program.formulas[at].body, &mut |expr| take(expr));
    }
}
