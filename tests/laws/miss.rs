//! By how much a finding misses survives being written down: its own finding is never worse than what was kept, and what is worse by
//! more than the last digit that is kept always is.

use pintle::judge::doubt::Doubt;
use pintle::judge::explain::Reason;
use pintle::judge::value::Number;
use pintle::quantity::{Exact, Interval, Unit};
use pintle::report::miss::Miss;
use pintle::source::{FileId, Span};
use proptest::prelude::*;

/// A reason whose value lies so many units over a limit of nought, read to within some more.
fn reason(over: Exact, within: Exact, unit: Option<Unit>) -> Option<Reason> {
    let factor = unit.map_or(Exact::ONE, Unit::factor);
    let (over, within) = (over.mul(factor)?, within.mul(factor)?);
    let number = |interval| Number { interval, doubt: Doubt::default(), unit };
    let value = number(Interval { lo: over.sub(within), hi: over.add(within) });
    Some(Reason {
        span: Span::new(FileId::JOB, 0, 0),
        sentence: String::new(),
        value: None,
        limit: None,
        miss: None,
        parts: Vec::new(),
        numbers: Some((value, number(Interval::point(Exact::ZERO)))),
        at_most: Some(true),
    })
}

fn exact() -> impl Strategy<Value = Exact> {
    (-1_000_000_000i128..1_000_000_000, 1i128..10_000).prop_map(|(upper, lower)| Exact::ratio(upper, lower).unwrap())
}

proptest! {
    #![proptest_config(super::config(256))]

    #[test]
    fn what_is_kept_covers_its_own_finding_and_nothing_worse(
        over in exact(),
        within in (0i128..1000, 1i128..64).prop_map(|(upper, lower)| Exact::ratio(upper, lower).unwrap()),
        unit in prop::option::of(prop::sample::select(Unit::all().collect::<Vec<_>>())),
    ) {
        let Some(reason_now) = reason(over, within, unit) else { return Ok(()) };
        let Some(miss) = Miss::of(&reason_now) else { return Ok(()) };
        let Some(text) = miss.text() else { return Ok(()) };
        let kept = Miss::read(&text).map_err(|why| TestCaseError::fail(format!("{text}: {why}")))?;
        prop_assert!(!miss.is_worse_than(&kept), "{text}");
        prop_assert_eq!(kept.text(), Some(text.clone()));
        let more = Exact::ratio(1, 100_000_000).unwrap();
        let worse = over.add(within).and_then(|most| most.add(more)).and_then(|over| reason(over, Exact::ZERO, unit));
        if let Some(worse) = worse.as_ref().and_then(Miss::of) {
            prop_assert!(worse.is_worse_than(&kept), "{text} covers {worse}");
        }
    }

    #[test]
    fn no_text_makes_reading_panic(text in "\\PC{0,40}") {
        let _ = Miss::read(&text);
    }
}
