//! The immediate parts of a checked expression, to look at and to change, in one fixed order. It must not know what is done
//! with them.

use super::program::{Expr, Op};

/// The parts right below an expression.
pub fn parts(expr: &Expr) -> Vec<&Expr> {
    match &expr.op {
        Op::Junction(_, parts) | Op::LookUp(_, _, parts) | Op::Formula(_, parts) | Op::BuiltIn(_, parts) => parts.iter().collect(),
        Op::Not(a) | Op::Power(a, _) => vec![a],
        Op::Compare(_, a, b) | Op::Is(a, b) | Op::InRange(a, b) | Op::Includes(a, b) | Op::Arithmetic(_, a, b) => vec![a, b],
        Op::OneOf(a, members) => std::iter::once(&**a).chain(members).collect(),
        Op::Between(a, b, c) | Op::If(a, b, c) => vec![a, b, c],
        Op::Quantified(_, walk, body) => walk.filter.as_deref().into_iter().chain([&**body]).collect(),
        Op::Aggregate(_, of, walk) => walk.filter.as_deref().into_iter().chain(of.as_deref()).collect(),
        Op::Literal(_)
        | Op::Fact(..)
        | Op::FactGiven(..)
        | Op::ThingGiven(_)
        | Op::ColumnGiven(..)
        | Op::Thing(_)
        | Op::Today
        | Op::Id(_) => Vec::new(),
        Op::Column(..) | Op::WordSlot(_) | Op::Parameter(_) | Op::Let(_) | Op::Complies(..) => Vec::new(),
    }
}

/// The same parts, to be changed.
fn parts_mut(expr: &mut Expr) -> Vec<&mut Expr> {
    match &mut expr.op {
        Op::Junction(_, parts) | Op::LookUp(_, _, parts) | Op::Formula(_, parts) | Op::BuiltIn(_, parts) => parts.iter_mut().collect(),
        Op::Not(a) | Op::Power(a, _) => vec![a],
        Op::Compare(_, a, b) | Op::Is(a, b) | Op::InRange(a, b) | Op::Includes(a, b) | Op::Arithmetic(_, a, b) => vec![a, b],
        Op::OneOf(a, members) => std::iter::once(&mut **a).chain(members).collect(),
        Op::Between(a, b, c) | Op::If(a, b, c) => vec![a, b, c],
        Op::Quantified(_, walk, body) => walk.filter.as_deref_mut().into_iter().chain([&mut **body]).collect(),
        Op::Aggregate(_, of, walk) => walk.filter.as_deref_mut().into_iter().chain(of.as_deref_mut()).collect(),
        _ => Vec::new(),
    }
}

/// The part that a way of positions leads to; an empty way leads to the expression itself.
pub fn part_at<'e>(expr: &'e mut Expr, way: &[usize]) -> Option<&'e mut Expr> {
    way.iter().try_fold(expr, |at, step| parts_mut(at).into_iter().nth(*step))
}
