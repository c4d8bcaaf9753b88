//! Checks calls of built-in calculations: how many arguments, of which kinds, and that the vocabulary has what a built-in reads
//! of a thing. It must not know how they calculate.

use super::check::Checker;
use super::program::{Expr, Op};
use super::scope::Scope;
use super::tree;
use crate::builtin::{self, BuiltIn, Form, Takes};
use crate::datum::{DefId, Kind};
use crate::slip::Slip;
use crate::source::Span;

impl Checker<'_> {
    /// A call of the built-in at `index`.
    pub fn call_builtin(&mut self, scope: &mut Scope, index: usize, arguments: &[tree::Expr], span: Span) -> Option<Expr> {
        let row: &BuiltIn = builtin::ROWS[index];
        if !self.argument_count(span, arguments.len(), row.parameters.len(), &row.parameter_names().join(", ")) {
            return None;
        }
        let mut checked = Vec::with_capacity(arguments.len());
        for (argument, (_, takes)) in arguments.iter().zip(row.parameters) {
            let hope = match takes {
                Takes::Word(list) => self.lists.all().find(|(_, known)| known.name.as_deref() == Some(*list)).map(|(at, _)| Kind::Word(at)),
                Takes::Wire => Some(Kind::Wire),
                _ => None,
            };
            checked.push(self.expr(scope, argument, hope.as_ref()));
        }
        let checked: Vec<Expr> = checked.into_iter().collect::<Option<_>>()?;
        let kinds: Vec<&Kind> = checked.iter().map(|argument| &argument.kind).collect();
        let Some(kind) = row.result(&kinds) else {
            let texts: Vec<String> = kinds.iter().map(|kind| self.kind_text(kind)).collect();
            self.slip(Slip::at(span, "unlike-kinds", format!("`{}` of {}", row.name, texts.join(" and "))).label("here").hint(row.says()));
            return None;
        };
        for (argument, (_, takes)) in checked.iter().zip(row.parameters) {
            if let (Kind::Thing(def), Takes::Thing(forms)) = (&argument.kind, takes)
                && !self.thing_fits(row, *def, forms, argument.span)
            {
                return None;
            }
        }
        Some(Expr { op: Op::BuiltIn(index, checked), kind, span })
    }

    /// Whether a thing is of a kind that the built-in takes, and the vocabulary has all that it reads.
    fn thing_fits(&mut self, row: &BuiltIn, def: DefId, forms: &[&'static Form], span: Span) -> bool {
        let name = self.definitions[def.0 as usize].name.clone();
        let Some(form) = forms.iter().find(|form| form.of == name) else {
            let wanted: Vec<String> = forms.iter().map(|form| format!("{} {}", crate::datum::article(form.of), form.of)).collect();
            let slip = Slip::at(span, "unlike-kinds", format!("`{}` is asked of {}", row.name, wanted.join(" or ")));
            self.slip(slip.label(format!("this is {} {name}", crate::datum::article(&name))).hint(row.says()));
            return false;
        };
        for (of, fact) in form.reads() {
            let known = self.definitions.iter().any(|definition| definition.name == of && definition.field(fact).is_some());
            if !known {
                let slip = Slip::at(span, "unknown-fact", format!("`{}` reads `{of}.{fact}`, which the vocabulary has not", row.name));
                self.slip(slip.label("called here").hint("adopt `terms`, or define the fact"));
                return false;
            }
        }
        true
    }
}
