//! Which names a piece of a section mentions.

use super::model::*;

#[derive(Default)]
pub struct Names {
    pub facts: Vec<Ref>,
    /// Lets, bound words and what is walked.
    pub words: Vec<Word>,
}

impl Names {
    pub fn of_cond(cond: &Cond) -> Names {
        let mut names = Names::default();
        names.cond(cond);
        names
    }

    pub fn of_num(num: &Num) -> Names {
        let mut names = Names::default();
        names.num(num);
        names
    }

    pub fn of_section(section: &Section) -> Names {
        let mut names = Names::default();
        section.binders.iter().for_each(|binder| names.maybe(&binder.filter));
        section.force.iter().for_each(|force| names.fact(&force.by));
        section.lets.iter().for_each(|(_, value)| names.num(value));
        for norm in &section.norms {
            names.maybe(&norm.condition);
            names.cond(&norm.body);
        }
        for exception in &section.exceptions {
            names.maybe(&exception.when);
            names.maybe(&exception.unless);
        }
        names
    }

    pub fn mentions(&self, word: &str) -> bool {
        self.words.contains(&word) || self.facts.iter().any(|fact| fact.base == word)
    }

    fn fact(&mut self, fact: &Ref) {
        self.facts.push(fact.clone());
    }

    fn maybe(&mut self, cond: &Option<Cond>) {
        cond.iter().for_each(|cond| self.cond(cond));
    }

    fn walk(&mut self, walk: &Walk) {
        self.words.push(walk.base);
        walk.filter.iter().for_each(|filter| self.cond(filter));
    }

    fn word(&mut self, word: &OneWord) {
        match word {
            OneWord::Word(_) => {}
            OneWord::Fact(fact) => self.fact(fact),
            OneWord::Bound(name) => self.words.push(name),
        }
    }

    fn when(&mut self, when: &When) {
        match when {
            When::Day(_) | When::Today => {}
            When::Fact(fact) => self.fact(fact),
            When::MonthsLater(from, _) => self.when(from),
        }
    }

    fn num(&mut self, num: &Num) {
        match num {
            Num::Length(_) | Num::Count(_) => {}
            Num::Fact(fact, _) => self.fact(fact),
            Num::Let(name) => self.words.push(name),
            Num::Add(a, b) | Num::Sub(a, b) | Num::Mul(a, b) | Num::Larger(a, b) | Num::Smaller(a, b) | Num::Difference(a, b) => {
                [a, b].into_iter().for_each(|part| self.num(part))
            }
            Num::If(cond, a, b) => {
                self.cond(cond);
                [a, b].into_iter().for_each(|part| self.num(part));
            }
            Num::CountOf(walk) => self.walk(walk),
            Num::SumOf(each, walk) | Num::LeastOf(each, walk) | Num::GreatestOf(each, walk) => {
                self.walk(walk);
                self.num(each);
            }
        }
    }

    fn cond(&mut self, cond: &Cond) {
        match cond {
            Cond::Fact(fact) | Cond::Given { fact, .. } => self.fact(fact),
            Cond::Not(inner) => self.cond(inner),
            Cond::And(parts) | Cond::Or(parts) | Cond::AnyOf(parts) | Cond::AllOf(parts) => {
                parts.iter().for_each(|part| self.cond(part));
            }
            Cond::Compare(_, a, b) | Cond::CountIs { left: a, right: b, .. } => {
                [a, b].into_iter().for_each(|part| self.num(part));
            }
            Cond::Within(at, from, to) => [at, from, to].into_iter().for_each(|part| self.num(part)),
            Cond::WithinFact(at, range) => {
                self.num(at);
                self.fact(range);
            }
            Cond::WordIs { left, right, .. } => [left, right].into_iter().for_each(|word| self.word(word)),
            Cond::WordOneOf { left, .. } => self.word(left),
            Cond::WordCompare { left, .. } => self.fact(left),
            Cond::Includes(set, word) => {
                self.fact(set);
                self.word(word);
            }
            Cond::DateCompare(_, a, b) | Cond::DateIs(a, b) => [a, b].into_iter().for_each(|when| self.when(when)),
            Cond::Walk { walk, body, .. } => {
                self.walk(walk);
                self.cond(body);
            }
        }
    }
}
