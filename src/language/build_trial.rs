//! Turns the parsed text of trials into their tree. It must not look up any name.

use super::build::Builder;
use super::grammar::Rule;
use super::tree::{Edit, Find, Name, Trial, Unnoticed};
use crate::slip::Slip;
use pest::iterators::Pair;

type P<'i> = Pair<'i, Rule>;

impl Builder {
    /// A trial.
    pub(super) fn trial(&mut self, pair: P) -> Trial {
        let lost = Name { text: String::new(), span: self.span(&pair) };
        let mut trial = Trial {
            name: lost,
            title: None,
            jobs: Vec::new(),
            edits: Vec::new(),
            days: Vec::new(),
            asks: Vec::new(),
            finds: Vec::new(),
            finds_nothing: None,
            spoiled: false,
        };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::word => trial.name = self.name(&part),
                Rule::texts => trial.title = Some(self.texts(part)),
                Rule::trial_job => trial.jobs.extend(part.into_inner().map(|text| self.texts(text))),
                Rule::with | Rule::without => trial.edits.extend(self.edit(part)),
                Rule::today => self.today(part, &mut trial),
                Rule::asks => trial.asks.extend(part.into_inner().map(|sid| self.target(&sid))),
                Rule::finds => trial.finds.extend(self.find(part)),
                Rule::finds_nothing => trial.finds_nothing = Some(self.span(&part)),
                Rule::stray_trial_clause => {
                    trial.spoiled = true;
                    self.stray_clause(&part, Rule::only_trial_clause);
                }
                _ => {}
            }
        }
        trial
    }

    fn edit(&mut self, pair: P) -> Option<Edit> {
        let mut inner = pair.into_inner();
        let way = self.path(&inner.next()?);
        Some(Edit { way, value: inner.next().map(|texts| self.texts(texts)) })
    }

    fn today(&mut self, pair: P, trial: &mut Trial) {
        let Some(date) = pair.into_inner().next() else { return };
        let span = self.span(&date);
        match crate::quantity::Days::read(date.as_str()) {
            Ok(days) => trial.days.push((days.first, span)),
            Err((message, hint)) => {
                trial.spoiled = true;
                self.slip(Slip::at(span, "not-a-date", message).label("here").hint(hint));
            }
        }
    }

    fn find(&mut self, pair: P) -> Option<Find> {
        let span = self.span(&pair);
        let (mut target, mut label, mut thing, mut verdict) = (None, None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::sid => target = Some(self.target(&part)),
                Rule::label => label = Some(self.name(&part)),
                Rule::text => thing = Some(self.texts(part)),
                _ => verdict = Some(self.name(&part)),
            }
        }
        Some(Find { target: target?, label, thing, verdict: verdict?, span })
    }

    /// Changes that no trial has to notice.
    pub(super) fn unnoticed(&mut self, pair: P) -> Option<Unnoticed> {
        let span = self.span(&pair);
        let (mut target, mut label, mut changes, mut because) = (None, None, Vec::new(), None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::sid => target = Some(self.target(&part)),
                Rule::label => label = Some(self.name(&part)),
                Rule::text => changes.push(self.texts(part)),
                _ => because = part.into_inner().next().map(|texts| self.texts(texts)),
            }
        }
        Some(Unnoticed { target: target?, label, changes, because, span })
    }
}
