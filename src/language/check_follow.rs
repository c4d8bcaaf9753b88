//! Checks the calculations by which facts follow from others, and puts them in an order in which each finds what it rests on.
//! It must not know sections.

use super::check::Checker;
use super::program::{Derivation, Expr, Op};
use super::scope::{Bound, Scope};
use super::tree;
use super::walk::exprs;
use crate::datum::{DefId, Kind};
use crate::slip::Slip;

impl Checker<'_> {
    /// Checks every `follows from` of the joined definitions, which stand in the order of `self.definitions`.
    pub fn derivations_of(&mut self, merged: &[tree::Definition]) {
        let mut found = Vec::new();
        for (at, definition) in merged.iter().enumerate() {
            let def = DefId(u32::try_from(at).unwrap_or(u32::MAX));
            for field in &definition.fields {
                if let Some(value) = &field.follows {
                    found.extend(self.derivation(def, field, value));
                }
            }
        }
        self.derivations = self.in_order(found);
    }

    fn derivation(&mut self, def: DefId, field: &tree::Field, value: &tree::Expr) -> Option<Derivation> {
        let (name, place) = {
            let definition = &self.definitions[def.0 as usize];
            (definition.name.clone(), definition.field(&field.name.text)?)
        };
        let kind = self.definitions[def.0 as usize].fields[place].kind.clone();
        if !matches!(kind, Kind::Measure(_) | Kind::Count | Kind::YesNo | Kind::Word(_) | Kind::Date) {
            let text = self.kind_text(&kind);
            self.slip(
                Slip::at(value.span, "unlike-kinds", format!("{text} does not follow from other facts"))
                    .label("this calculation")
                    .hint("numbers, days, words and yes-or-no can follow from others"),
            );
            return None;
        }
        let mut scope = Scope::default();
        let slot = scope.new_slot();
        scope.bind(&name, Bound::Record(slot, def), field.name.span);
        let checked = self.expr(&mut scope, value, Some(&kind))?;
        let same = checked.kind == kind
            || super::check_expr::dimension(&kind).is_some()
                && super::check_expr::dimension(&kind) == super::check_expr::dimension(&checked.kind);
        if !same {
            let texts = (self.kind_text(&checked.kind), self.kind_text(&kind));
            let slip = Slip::at(value.span, "unlike-units", format!("`{}` is {}, and this gives {}", field.name.text, texts.1, texts.0))
                .label(texts.0);
            self.slip(slip.other(field.name.span, texts.1).hint("change the fact's kind, or the calculation"));
            return None;
        }
        let mut clock = false;
        exprs(&checked, &mut |part| clock |= matches!(part.op, Op::Today));
        if clock {
            let slip = Slip::at(value.span, "unlike-kinds", "a fact that follows from the day of judging")
                .label("job.today is no fact of the site");
            self.slip(slip.hint("compare with `job.today` in a section"));
            return None;
        }
        self.check_cost(&scope, field.name.span, "this calculation");
        Some(Derivation { def, field: place, value: Expr { kind, ..checked }, slots: scope.slots })
    }

    /// Those that others rest on first; a circle is a slip.
    fn in_order(&mut self, mut waiting: Vec<Derivation>) -> Vec<Derivation> {
        let mut ordered: Vec<Derivation> = Vec::with_capacity(waiting.len());
        while !waiting.is_empty() {
            let free = waiting.iter().position(|one| !waiting.iter().any(|other| self.rests_on(one, other)));
            let Some(free) = free else {
                let first = &waiting[0];
                let names: Vec<&str> =
                    waiting.iter().map(|one| self.definitions[one.def.0 as usize].fields[one.field].name.as_str()).collect();
                let slip =
                    Slip::at(first.value.span, "circle", format!("facts that follow from each other in a circle: {}", names.join(", ")))
                        .label("part of the circle");
                self.slips.push(slip.hint("let one of them be measured only"));
                return ordered;
            };
            ordered.push(waiting.remove(free));
        }
        ordered
    }

    /// Whether a calculation reads what another gives: itself, or through a built-in on a thing.
    fn rests_on(&self, one: &Derivation, other: &Derivation) -> bool {
        let given = &self.definitions[other.def.0 as usize].fields[other.field].name;
        let mut reads = false;
        exprs(&one.value, &mut |part| match &part.op {
            Op::Fact(path, field) | Op::FactGiven(path, field) => {
                let fact = &self.definitions[path.def.0 as usize].fields[*field];
                reads |= path.def == other.def && fact.name == *given;
            }
            Op::BuiltIn(row, _) => {
                let definition = &self.definitions[other.def.0 as usize].name;
                reads |= crate::builtin::ROWS[*row].reads().any(|(of, fact)| of == definition && fact == given);
            }
            _ => {}
        });
        reads
    }
}
