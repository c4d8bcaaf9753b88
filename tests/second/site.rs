//! Random jobs for a pack: some facts stated, some left out, some only roughly known.

use super::amount::{day_near, tolerance};
use super::day;
use super::dice::Dice;
use super::model::*;
use super::random::value;

pub fn job(dice: &mut Dice, pack: &Pack) -> Job {
    // Some jobs are fully surveyed, some hardly.
    let missing = dice.pick(&[0, 0, 0, 4, 15, 40]);
    let rough = dice.pick(&[0, 25, 60]);
    let root = record(dice, pack, Level::Job, "job", missing, rough);
    let tape_tolerance = if dice.chance(55) { Some(tolerance(dice)) } else { None };
    let today = if dice.chance(50) { day::day(2026, 3, 2) } else { day_near(dice, true) };
    Job { root, tape_tolerance, today }
}

fn record(dice: &mut Dice, pack: &Pack, level: Level, id: Word, missing: usize, rough: usize) -> Record {
    let mut stated = Vec::new();
    for fact in &pack.facts[level as usize] {
        let there = match fact.taken {
            Taken::Unknown => !dice.chance(missing),
            Taken::AsNone => dice.chance(65),
            Taken::As(_) => dice.chance(60),
        };
        if !there {
            continue;
        }
        let none = matches!(fact.taken, Taken::AsNone) && dice.chance(10);
        let exact = value(dice, &pack.lists, fact.kind);
        let value = if none { Stated::None } else { roughly(dice, exact, fact.kind, rough) };
        stated.push((fact.name, value));
    }
    let inner = level.inner().and_then(|inner| {
        let ids: &[Word] = if inner == Level::Gate { &["main", "side"] } else { &["low", "mid", "high"] };
        let unknown = if inner == Level::Gate { 3 } else { missing / 2 };
        if dice.chance(unknown) {
            return None;
        }
        let count = if inner == Level::Gate { dice.weighed(&[4, 60, 36]) } else { dice.weighed(&[14, 28, 34, 24]) };
        Some(ids[..count].iter().map(|id| record(dice, pack, inner, id, missing, rough)).collect())
    });
    Record { level, id, stated, inner }
}

/// The same value with a tolerance of its own, or only the month or year of it.
fn roughly(dice: &mut Dice, value: Stated, kind: Kind, rough: usize) -> Stated {
    match value {
        Stated::Length { at, .. } if kind == (Kind::Length { measured: true }) && dice.chance(rough) => {
            Stated::Length { at, tolerance: Some(tolerance(dice)) }
        }
        Stated::Date(DateText::Day(at)) if dice.chance(rough / 2) => {
            let (y, m, _) = day::civil(at);
            Stated::Date(if dice.chance(50) { DateText::Month(y, m) } else { DateText::Year(y) })
        }
        value => value,
    }
}
