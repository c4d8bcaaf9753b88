//! Random amounts: lengths, counts and days that lie on or close to each other, and what is reckoned from them.

use super::day::{self, Day};
use super::dice::Dice;
use super::express::{Asked, Reach};
use super::fraction::Fraction;
use super::model::*;

/// Lengths of jobs and limits of packs come from one short row, so that ties and near misses are common.
pub fn length_near(dice: &mut Dice, of_job: bool) -> Length {
    let base = dice.pick(&[10, 12, 20, 24]);
    let off = if of_job { dice.pick(&[0, 0, 1, -1, 1, -1, 2, -2, 4, 40, -40]) } else { dice.pick(&[0, 0, 0, 0, 2]) };
    let unit = [Unit::Inch, Unit::FeetAndInch, Unit::Millimetre, Unit::Metre][dice.weighed(&[60, 20, 14, 6])];
    Length { inches: Fraction::whole(base).plus(&Fraction::new(off, 8)), unit }
}

pub fn day_near(dice: &mut Dice, of_job: bool) -> Day {
    let (y, m, d) = dice.pick(&[(2010, 1, 1), (2016, 1, 31), (2018, 8, 1), (2020, 2, 29), (2026, 3, 2)]);
    let base = day::day(y, m, d);
    if of_job { base + dice.pick(&[0, 0, 1, -1, -366, 29, 200]) } else { base }
}

pub fn tolerance(dice: &mut Dice) -> Fraction {
    Fraction::new(1, dice.pick(&[16, 8, 8, 4]))
}

fn boxed(num: Num) -> Box<Num> {
    Box::new(num)
}

fn is_of(quantity: Quantity) -> impl Fn(Kind) -> bool {
    move |kind| match quantity {
        Quantity::Length => matches!(kind, Kind::Length { .. }),
        Quantity::Count => kind == Kind::Count,
    }
}

fn literal(dice: &mut Dice, quantity: Quantity) -> Num {
    match quantity {
        Quantity::Length => Num::Length(length_near(dice, false)),
        Quantity::Count => Num::Count(1 + dice.below(3) as i64),
    }
}

/// What a number is compared with.
pub fn limit(reach: &Reach, dice: &mut Dice, quantity: Quantity) -> Num {
    if let Some((row, table)) = reach.row
        && dice.chance(55)
        && let Some((column, _)) = reach.pack.tables[table].columns.iter().find(|(_, kind)| is_of(quantity)(*kind))
    {
        return Num::Fact(Ref { base: row, field: column }, quantity);
    }
    let lets: Vec<&(Word, Num)> = reach.lets.iter().filter(|(_, value)| quantity_of(value) == quantity).collect();
    if !lets.is_empty() && dice.chance(50) {
        return Num::Let(dice.pick(&lets).0);
    }
    match dice.weighed(&[70, 12, 8, 10]) {
        1 => reach.any_fact(dice, is_of(quantity)).map(|asked| Num::Fact(asked.fact, quantity)),
        2 => reach
            .any_fact(dice, is_of(quantity))
            .map(|asked| Num::Add(boxed(Num::Fact(asked.fact, quantity)), boxed(literal(dice, quantity)))),
        // An outer walk inside an inner one would not name the inner word.
        3 if reach.must.is_none() => reach.aggregate(dice, quantity),
        _ => None,
    }
    .unwrap_or_else(|| literal(dice, quantity))
}

pub fn quantity_of(num: &Num) -> Quantity {
    match num {
        Num::Length(_) => Quantity::Length,
        Num::Count(_) | Num::CountOf(_) => Quantity::Count,
        Num::Fact(_, quantity) => *quantity,
        Num::Let(_) => unreachable!("no let is made of lets"),
        Num::Mul(a, b) if quantity_of(a) == Quantity::Count => quantity_of(b),
        Num::Mul(a, _) | Num::Add(a, _) | Num::Sub(a, _) | Num::Larger(a, _) | Num::Smaller(a, _) => quantity_of(a),
        Num::Difference(a, _) | Num::If(_, a, _) | Num::SumOf(a, _) | Num::LeastOf(a, _) | Num::GreatestOf(a, _) => quantity_of(a),
    }
}

impl Reach<'_> {
    /// Some reckoning with this fact in it.
    pub fn reckoned(&self, dice: &mut Dice, asked: &Asked, quantity: Quantity) -> Num {
        let fact = || Num::Fact(asked.fact.clone(), quantity);
        let shape = dice.weighed(&[56, 10, 12, 8, 9, 5]);
        let other = self.any_fact(dice, is_of(quantity)).map_or_else(|| literal(dice, quantity), |a| Num::Fact(a.fact, quantity));
        // The larger of a thing and itself says nothing; a thing less itself tells whether bounds are kept apart.
        let same = matches!(&other, Num::Fact(other, _) if *other == asked.fact);
        let (one, other) = (boxed(fact()), boxed(other));
        match shape {
            4 | 5 if same => *one,
            1 => Num::Add(one, boxed(literal(dice, quantity))),
            2 => match dice.below(4) {
                0 => Num::Add(one, other),
                1 => Num::Sub(one, other),
                // Three of them, to try the reading from left to right and inside brackets.
                2 => Num::Sub(boxed(Num::Sub(one, other)), boxed(literal(dice, quantity))),
                _ => Num::Sub(one, boxed(Num::Sub(other, boxed(literal(dice, quantity))))),
            },
            3 => self.times(dice, one, other, quantity),
            4 => match dice.below(3) {
                0 => Num::Larger(one, other),
                1 => Num::Smaller(one, other),
                _ => Num::Difference(one, other),
            },
            5 => match self.atom_for_if(dice) {
                Some(cond) => Num::If(Box::new(cond), one, other),
                None => fact(),
            },
            _ => fact(),
        }
    }

    fn times(&self, dice: &mut Dice, one: Box<Num>, other: Box<Num>, quantity: Quantity) -> Num {
        let counted = self.any_fact(dice, is_of(Quantity::Count)).filter(|_| dice.chance(50));
        let many = boxed(counted.map_or_else(|| Num::Count(2), |asked| Num::Fact(asked.fact, Quantity::Count)));
        match dice.below(4) {
            0 => Num::Mul(many, one),
            1 => Num::Add(other, boxed(Num::Mul(many, one))),
            2 => Num::Mul(boxed(Num::Sub(one, boxed(literal(dice, quantity)))), many),
            _ => Num::Mul(many, boxed(Num::Add(one, other))),
        }
    }

    fn atom_for_if(&self, dice: &mut Dice) -> Option<Cond> {
        let asked = self.subject(dice);
        if asked.known.kind == Kind::YesNo { Some(Cond::Fact(asked.fact)) } else { None }
    }

    /// Count, sum, least or greatest over the gates or beams of something in reach.
    pub fn aggregate(&self, dice: &mut Dice, quantity: Quantity) -> Option<Num> {
        let (walk, inside) = self.walk(dice)?;
        let asked = inside.facts_of(walk.bound);
        let asked: Vec<&Asked> = asked.iter().filter(|asked| is_of(quantity)(asked.known.kind)).collect();
        if quantity == Quantity::Count && (asked.is_empty() || dice.chance(75)) {
            return Some(Num::CountOf(walk));
        }
        if asked.is_empty() {
            return None;
        }
        let first = dice.pick(&asked);
        let fact = Num::Fact(first.fact.clone(), quantity);
        let each = boxed(match dice.weighed(&[64, 18, 18]) {
            1 => Num::Add(boxed(fact), boxed(literal(dice, quantity))),
            2 => Num::Sub(boxed(fact), boxed(literal(dice, quantity))),
            _ => fact,
        });
        Some(match dice.below(3) {
            0 => Num::SumOf(each, walk),
            1 => Num::LeastOf(each, walk),
            _ => Num::GreatestOf(each, walk),
        })
    }
}
