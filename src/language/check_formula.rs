//! Checks formulas: those that a formula calls before it, parameters, the kind of the result. It must not know sections.

use super::adopt::Adopted;
use super::check::Checker;
use super::program::{Expr, Formula};
use super::scope::{Bound, Scope};
use super::tree;
use crate::datum::Kind;
use crate::slip::Slip;
use std::collections::{BTreeMap, BTreeSet};

/// Deepest chain of formulas that call one another.
const DEEPEST_CALLS: usize = 200;

impl Checker<'_> {
    /// Checks the formulas of a code, called ones first; a circle is a slip.
    pub fn all_formulas(&mut self, adopted: &Adopted) {
        let by_name: BTreeMap<&str, &tree::Formula> =
            adopted.formulas.iter().map(|(_, formula)| (formula.name.text.as_str(), formula)).collect();
        let mut done = BTreeSet::new();
        for name in by_name.keys() {
            self.formula_after_its_calls(name, &by_name, &mut Vec::new(), &mut done);
        }
    }

    fn formula_after_its_calls<'t>(
        &mut self,
        name: &'t str,
        all: &BTreeMap<&'t str, &'t tree::Formula>,
        path: &mut Vec<&'t str>,
        done: &mut BTreeSet<&'t str>,
    ) {
        if done.contains(name) {
            return;
        }
        let Some(formula) = all.get(name).copied() else { return };
        if path.contains(&name) {
            path.push(name);
            let message = format!("formulas that call each other in a circle: {}", path.join(" → "));
            self.slip(Slip::at(formula.name.span, "circle", message).label("part of the circle"));
            path.pop();
            done.insert(name);
            return;
        }
        if path.len() >= DEEPEST_CALLS {
            let message = format!("formulas that call one another more than {DEEPEST_CALLS} deep");
            self.slip(Slip::at(formula.name.span, "too-deep", message).label("part of the chain").hint("join some of them"));
            done.insert(name);
            return;
        }
        path.push(name);
        for callee in calls(&formula.body) {
            if let Some((known, _)) = all.get_key_value(callee) {
                self.formula_after_its_calls(known, all, path, done);
            }
        }
        path.pop();
        if !done.contains(name) {
            done.insert(name);
            self.formula(formula);
        }
    }

    fn formula(&mut self, formula: &tree::Formula) -> Option<()> {
        self.reserved(&formula.name);
        let mut scope = Scope::default();
        let mut parameters = Vec::new();
        for (name, kind) in &formula.parameters {
            self.no_shadow(&scope, name);
            let kind = self.kind(&tree::KindName::Word(kind.clone()))?;
            let slot = scope.new_slot();
            let bound = match &kind {
                Kind::Thing(def) => Bound::Record(slot, *def),
                kind => Bound::Parameter(slot, kind.clone()),
            };
            scope.bind(&name.text, bound, name.span);
            parameters.push((name.text.clone(), kind));
        }
        let gives = self.kind(&formula.gives);
        let body = self.expr(&mut scope, &formula.body, gives.as_ref())?;
        let gives = gives?;
        let same = body.kind == gives
            || super::check_expr::dimension(&body.kind).is_some()
                && super::check_expr::dimension(&body.kind) == super::check_expr::dimension(&gives);
        if !same {
            let texts = (self.kind_text(&body.kind), self.kind_text(&gives));
            let slip = Slip::at(body.span, "unlike-units", format!("formula `{}` gives {}, not {}", formula.name.text, texts.0, texts.1))
                .label(texts.0);
            self.slip(slip.other(formula.name.span, texts.1).hint("change the kind after `gives`, or the calculation"));
            return None;
        }
        self.check_cost(&scope, formula.name.span, "this formula");
        for entry in scope.entries.iter().filter(|entry| !entry.used) {
            let slip = Slip::at(entry.span, "idle-name", format!("parameter `{}` is never used", entry.name))
                .label("here")
                .hint("use it, or take it out");
            self.slips.push(slip);
        }
        let cite = formula.cite.as_ref().and_then(|cite| self.citation(cite));
        let doc = formula.doc.as_ref().map_or_else(String::new, |doc| doc.text.clone());
        let body = Expr { kind: gives, ..body };
        let others = self.formulas[..self.first_formula].iter().zip(0..);
        let same = |known: &Formula| known.name == formula.name.text && format!("{:?}", known.body) == format!("{body:?}");
        let formula_number = others.into_iter().find(|(known, _)| same(known));
        if let Some((_, known)) = formula_number {
            // Another code of the job carries the same text.
            self.names.formulas.insert(formula.name.text.clone(), known);
            return Some(());
        }
        self.formulas.push(Formula { name: formula.name.text.clone(), parameters, body, doc, cite, slots: scope.slots });
        self.formula_costs.push((scope.deepest, scope.cost));
        self.names.formulas.insert(formula.name.text.clone(), self.formulas.len() - 1);
        Some(())
    }
}

/// Names that an expression calls.
fn calls(expr: &tree::Expr) -> Vec<&str> {
    let mut found = Vec::new();
    super::walk::written(expr, &mut |part| {
        if let tree::Node::Call(path, _) = &part.node {
            found.extend(path.names.first().map(|name| name.text.as_str()));
        }
    });
    found
}
