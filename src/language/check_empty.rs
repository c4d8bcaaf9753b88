//! Tells what a pack asks and what forbids nothing: a bound that every value meets, a bare number compared with a share, compliance with a
//! section that has advice alone. Each is told and stops nothing. It must not know what a job states.

use super::check::Checker;
use super::fold::rests_on;
use super::program::{Expr, Op};
use super::tree::{Aggregate, Comparison, Modal};
use crate::datum::{Datum, Kind};
use crate::quantity::{Dimension, Exact};
use crate::slip::Slip;
use crate::source::Span;

impl Checker<'_> {
    /// Tells a comparison with nought that comes out the same for every value, and a bare number that was meant as a share of a hundred.
    pub fn asks_nothing(&mut self, how: Comparison, value: &Expr, limit: &Expr, span: Span) {
        let Op::Literal(Datum::Number(number, _)) = &limit.op else { return };
        let Some(bound) = number.lo.as_ref() else { return };
        if bound.is_zero() && matches!(how, Comparison::AtLeast | Comparison::LessThan) && self.never_below_nought(value) {
            let (outcome, name) = if how == Comparison::AtLeast { ("every", "at least 0") } else { ("no", "less than 0") };
            let slip = Slip::at(span, "asks-nothing", format!("`{name}`: {outcome} value is"))
                .label("it comes out the same for every job")
                .hint("write the limit that is meant, or `more than` in place of `at least`");
            self.slips.push(slip.harmless());
        }
        let is_share = value.kind == Kind::Measure(Dimension::NONE) && matches!(value.op, Op::Fact(..));
        if is_share && limit.kind == Kind::Count && *bound > Exact::ONE {
            let slip = Slip::at(limit.span, "asks-nothing", "a share compared with a number that is more than the whole")
                .label("1 is the whole, 100 %")
                .hint("write the unit, as in `5 %`");
            self.slips.push(slip.harmless());
        }
    }

    /// Whether a value is a count, or a fact that has no other side of nought.
    fn never_below_nought(&self, value: &Expr) -> bool {
        match &value.op {
            Op::Aggregate(Aggregate::Count | Aggregate::CountDistinct, ..) => true,
            Op::Fact(path, field) => {
                let definition = self.definitions.get(path.def.0 as usize);
                let field = definition.and_then(|definition| definition.fields.get(*field));
                field.is_some_and(|field| !field.signed && matches!(field.kind, Kind::Count | Kind::Measure(_)))
            }
            _ => false,
        }
    }

    /// Tells compliance with a section that has no `shall`: whatever stands there, everything complies with it.
    pub fn complies_with_advice(&mut self) {
        let mandatory = |id: &str| {
            let mut written = self.sections.iter().filter(|section| section.id == id).peekable();
            written.peek().is_none() || written.any(|section| section.norms.iter().any(|norm| norm.modal == Modal::Shall))
        };
        let found: Vec<Slip> = self
            .sections
            .iter()
            .flat_map(rests_on)
            .filter(|(id, _)| !mandatory(id))
            .map(|(id, span)| {
                Slip::at(span, "asks-nothing", format!("`{id}` has no `shall`, so everything complies with it"))
                    .label("this part is always met")
                    .hint("only the mandatory clauses of a section count here: write what is meant as a condition of its own")
                    .harmless()
            })
            .collect();
        self.slips.extend(found);
    }
}
