//! Makes random conditions over what is in scope. A condition never depends on nothing, and one condition asks each fact
//! once, so that none can be proved to hold always or never.

use super::amount::{length_near, limit};
use super::dice::Dice;
use super::model::*;
use super::names::Names;
use super::reckon::Scope;
use super::value::Truth;

/// What an expression may name.
#[derive(Clone)]
pub struct Reach<'a> {
    pub pack: &'a Pack,
    pub things: Vec<(Word, Level)>,
    /// Name and place of the table whose row is bound.
    pub row: Option<(Word, usize)>,
    /// Name and list of the word that is bound.
    pub word: Option<(Word, usize)>,
    pub lets: Vec<(Word, Num)>,
    /// Inside a walk each part names the word that the walk binds.
    pub must: Option<Word>,
    pub depth: usize,
}

/// A fact with what is known of it.
#[derive(Clone)]
pub struct Asked<'a> {
    pub fact: Ref,
    pub known: &'a Fact,
}

impl<'a> Reach<'a> {
    pub fn facts_of(&self, name: Word) -> Vec<Asked<'a>> {
        let (_, level) = self.things.iter().find(|(n, _)| *n == name).expect("a thing in reach");
        let facts = self.pack.facts[*level as usize].iter();
        facts.map(|known| Asked { fact: Ref { base: name, field: known.name }, known }).collect()
    }

    /// A fact of the thing that must be named, or else of any thing, mostly the nearest.
    pub fn subject(&self, dice: &mut Dice) -> Asked<'a> {
        let last = self.things.len() - 1;
        let near = if dice.chance(65) { last } else { dice.below(last + 1) };
        let name = self.must.unwrap_or(self.things[near].0);
        let facts = self.facts_of(name);
        // Lengths are what most limits are about.
        let lengths: Vec<Asked> = facts.iter().filter(|asked| matches!(asked.known.kind, Kind::Length { .. })).cloned().collect();
        if !lengths.is_empty() && dice.chance(30) { dice.pick(&lengths) } else { dice.pick(&facts) }
    }

    /// Any fact in reach of such a kind.
    pub fn any_fact(&self, dice: &mut Dice, fits: impl Fn(Kind) -> bool) -> Option<Asked<'a>> {
        let all: Vec<Asked> = self.things.iter().flat_map(|(name, _)| self.facts_of(name)).collect();
        let fitting: Vec<Asked> = all.into_iter().filter(|asked| fits(asked.known.kind)).collect();
        if fitting.is_empty() { None } else { Some(dice.pick(&fitting)) }
    }

    /// Something to walk, with the reach inside it.
    pub fn walk(&self, dice: &mut Dice) -> Option<(Walk, Reach<'a>)> {
        if self.depth == 2 {
            return None;
        }
        let holders = self.things.iter().filter(|(name, level)| *level != Level::Beam && self.must.is_none_or(|must| must == *name));
        let holders: Vec<(Word, Level)> = holders.copied().collect();
        if holders.is_empty() {
            return None;
        }
        let (base, holder) = dice.pick(&holders);
        let level = holder.inner().expect("no beam holds anything");
        let words: &[Word] = if level == Level::Gate { &["g", "h"] } else { &["d", "e"] };
        let bound = *words.iter().find(|word| self.things.iter().all(|(name, _)| name != *word))?;
        let mut inside = self.clone();
        inside.things.push((bound, level));
        inside.must = Some(bound);
        inside.depth += 1;
        let filter = if dice.chance(50) { inside.condition(dice, 1).map(Box::new) } else { None };
        Some((Walk { bound, base, level, filter }, inside))
    }

    /// A condition of about this size, or none where chance found nothing fitting.
    pub fn condition(&self, dice: &mut Dice, size: usize) -> Option<Cond> {
        self.sized(dice, size, &mut Vec::new())
    }

    /// A list of conditions, which may stand only where nothing goes on behind it.
    pub fn listed(&self, dice: &mut Dice) -> Option<Cond> {
        let parts = self.parts(dice, 1, &mut Vec::new());
        match (parts.len() > 1, dice.chance(50)) {
            (false, _) => parts.into_iter().next(),
            (true, true) => Some(Cond::AnyOf(parts)),
            (true, false) => Some(Cond::AllOf(parts)),
        }
    }

    fn parts(&self, dice: &mut Dice, size: usize, used: &mut Vec<Ref>) -> Vec<Cond> {
        let count = 2 + dice.below(2);
        (0..count).filter_map(|_| self.sized(dice, size - 1, used)).collect()
    }

    fn sized(&self, dice: &mut Dice, size: usize, used: &mut Vec<Ref>) -> Option<Cond> {
        let shape = if size == 0 { 0 } else { dice.weighed(&[45, 14, 14, 9, 18]) };
        match shape {
            1 | 2 => {
                let mut parts = self.parts(dice, size, used);
                match (parts.len(), shape) {
                    (0 | 1, _) => parts.pop(),
                    (_, 1) => Some(Cond::And(parts)),
                    _ => Some(Cond::Or(parts)),
                }
            }
            3 => self.sized(dice, size - 1, used).map(|inner| Cond::Not(Box::new(inner))),
            4 => self.fresh(dice, used, |dice| {
                let (walk, inside) = self.walk(dice)?;
                let body = Box::new(inside.condition(dice, 1)?);
                Some(Cond::Walk { each: dice.pick(&[Each::Every, Each::AtLeastOne, Each::No]), walk, body })
            }),
            _ => self.fresh(dice, used, |dice| self.atom(dice)),
        }
    }

    /// Tries until a condition is found that is not constant and asks no fact that was asked before.
    fn fresh(&self, dice: &mut Dice, used: &mut Vec<Ref>, mut make: impl FnMut(&mut Dice) -> Option<Cond>) -> Option<Cond> {
        for _ in 0..12 {
            let Some(made) = make(dice) else { continue };
            let mut asked = Names::of_cond(&made).facts;
            asked.retain(|fact| self.row.is_none_or(|(row, _)| fact.base != row));
            if !self.is_constant(&made) && !asked.iter().any(|fact| used.contains(fact)) {
                used.extend(asked);
                return Some(made);
            }
        }
        None
    }

    /// Sure even where nothing is known. Inside a walk this was asked of each part before.
    fn is_constant(&self, cond: &Cond) -> bool {
        let root = Record { level: Level::Job, id: "job", stated: vec![], inner: None };
        let job = Job { root, tape_tolerance: None, today: 0 };
        let scope = Scope { pack: self.pack, job: &job, names: vec![], walked: 0, lets: &self.lets, blank: true };
        !matches!(scope.truth(cond), Truth::Doubt(_))
    }

    fn atom(&self, dice: &mut Dice) -> Option<Cond> {
        if self.must.is_none() && self.word.is_some() && dice.chance(20) {
            return self.about_bound_word(dice);
        }
        if self.depth < 2 && dice.chance(15) {
            return self.about_many(dice);
        }
        let asked = self.subject(dice);
        let none_known = matches!(asked.known.taken, Taken::AsNone);
        let given = |not| Cond::Given { fact: asked.fact.clone(), not };
        let way = if none_known { dice.weighed(&[30, 25, 12, 33]) } else { 3 };
        if way == 0 {
            return Some(given(dice.chance(40)));
        }
        let about = self.about(dice, &asked)?;
        match way {
            1 => Some(Cond::And(vec![given(false), about])),
            2 => Some(Cond::Or(vec![given(true), about])),
            _ => Some(about),
        }
    }

    fn about(&self, dice: &mut Dice, asked: &Asked) -> Option<Cond> {
        match asked.known.kind {
            Kind::Length { .. } => self.about_length(dice, asked),
            Kind::Count => self.compared(dice, asked, Quantity::Count),
            Kind::YesNo => Some(Cond::Fact(asked.fact.clone())),
            Kind::OneOf(list) => self.about_word(dice, OneWord::Fact(asked.fact.clone()), list),
            Kind::AnyOf(list) => Some(Cond::Includes(asked.fact.clone(), self.word_of(dice, list))),
            Kind::Date => Some(self.about_date(dice, asked)),
            Kind::Range => {
                let at = self.any_fact(dice, |kind| matches!(kind, Kind::Length { .. }))?;
                Some(Cond::WithinFact(Num::Fact(at.fact, Quantity::Length), asked.fact.clone()))
            }
        }
    }

    fn about_length(&self, dice: &mut Dice, asked: &Asked) -> Option<Cond> {
        if dice.chance(80) {
            return self.compared(dice, asked, Quantity::Length);
        }
        let at = self.reckoned(dice, asked, Quantity::Length);
        if let Some(range) = self.any_fact(dice, |kind| kind == Kind::Range).filter(|_| dice.chance(40)) {
            return Some(Cond::WithinFact(at, range.fact));
        }
        let (from, to) = (length_near(dice, false), length_near(dice, false));
        if from.inches >= to.inches {
            return None;
        }
        Some(Cond::Within(at, Num::Length(from), Num::Length(to)))
    }

    fn compared(&self, dice: &mut Dice, asked: &Asked, quantity: Quantity) -> Option<Cond> {
        let left = self.reckoned(dice, asked, quantity);
        self.comparison(dice, left, quantity)
    }

    fn comparison(&self, dice: &mut Dice, left: Num, quantity: Quantity) -> Option<Cond> {
        let right = limit(self, dice, quantity);
        let asked = Names::of_num(&right).facts;
        if Names::of_num(&left).facts.iter().any(|fact| asked.contains(fact)) {
            return None;
        }
        if quantity == Quantity::Count && dice.chance(15) {
            return Some(Cond::CountIs { left, right, not: dice.chance(30) });
        }
        Some(Cond::Compare(compare(dice), left, right))
    }

    /// A count, sum, least or greatest against a limit.
    fn about_many(&self, dice: &mut Dice) -> Option<Cond> {
        let quantity = dice.pick(&[Quantity::Count, Quantity::Length]);
        let left = self.aggregate(dice, quantity)?;
        self.comparison(dice, left, quantity)
    }

    /// A bound word against a word, or against a set that it may be in.
    fn about_bound_word(&self, dice: &mut Dice) -> Option<Cond> {
        let (name, list) = self.word?;
        if dice.chance(60)
            && super::choices::BARE_BOUND_WORD
            && let Some(set) = self.any_fact(dice, |kind| kind == Kind::AnyOf(list))
        {
            return Some(Cond::Includes(set.fact, OneWord::Bound(name)));
        }
        let right = OneWord::Word(dice.pick(&self.pack.lists[list].words));
        Some(Cond::WordIs { left: OneWord::Bound(name), right, not: dice.chance(30) })
    }

    fn about_word(&self, dice: &mut Dice, left: OneWord, list: usize) -> Option<Cond> {
        let List { words, in_order, .. } = &self.pack.lists[list];
        let last = words.len() - 1;
        match (dice.weighed(&[50, 20, 30]), &left) {
            (1, _) if last >= 2 => {
                let out = dice.below(words.len());
                let words = words.iter().enumerate().filter(|(at, _)| *at != out).map(|(_, word)| *word).collect();
                Some(Cond::WordOneOf { left, words, not: dice.chance(30) })
            }
            (2, OneWord::Fact(fact)) if *in_order => {
                let compare = compare(dice);
                // The lowest and the highest word would make it constant.
                let at = match compare {
                    Compare::AtMost | Compare::MoreThan => dice.below(last),
                    Compare::AtLeast | Compare::LessThan => 1 + dice.below(last),
                };
                Some(Cond::WordCompare { compare, left: fact.clone(), right: words[at], list })
            }
            _ => {
                let right = self.word_of(dice, list);
                let same = matches!((&left, &right), (OneWord::Fact(a), OneWord::Fact(b)) if a == b);
                if same { None } else { Some(Cond::WordIs { left, right, not: dice.chance(30) }) }
            }
        }
    }

    /// A word of a list: written, of the row, the bound one, or another fact.
    fn word_of(&self, dice: &mut Dice, list: usize) -> OneWord {
        if let Some((row, table)) = self.row
            && let Some((key, _)) = self.pack.tables[table].keys.iter().find(|(_, of)| *of == list)
            && dice.chance(60)
        {
            return OneWord::Fact(Ref { base: row, field: key });
        }
        if let Some((name, of)) = self.word
            && of == list
            && super::choices::BARE_BOUND_WORD
            && dice.chance(60)
        {
            return OneWord::Bound(name);
        }
        let other = self.any_fact(dice, |kind| kind == Kind::OneOf(list)).filter(|_| dice.chance(20));
        other.map_or_else(|| OneWord::Word(dice.pick(&self.pack.lists[list].words)), |other| OneWord::Fact(other.fact))
    }

    fn about_date(&self, dice: &mut Dice, asked: &Asked) -> Cond {
        let fact = When::Fact(asked.fact.clone());
        let other = self.any_fact(dice, |kind| kind == Kind::Date).filter(|other| other.fact != asked.fact);
        let right = match (dice.weighed(&[60, 20, 20]), other) {
            (1, Some(other)) => When::Fact(other.fact),
            (2, _) => When::Today,
            _ => When::Day(super::amount::day_near(dice, false)),
        };
        if dice.chance(12) {
            return Cond::DateIs(fact, right);
        }
        let left = if dice.chance(35) { When::MonthsLater(Box::new(fact), dice.pick(&[1, 6, 12, 24])) } else { fact };
        Cond::DateCompare(compare(dice), left, right)
    }
}

pub fn compare(dice: &mut Dice) -> Compare {
    dice.pick(&[Compare::AtMost, Compare::AtLeast, Compare::AtMost, Compare::AtLeast, Compare::LessThan, Compare::MoreThan])
}
