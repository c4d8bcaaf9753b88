//! Walks over trees and checked expressions, for questions that every part must answer. It must not know what is asked.

use super::program::{Expr, Op, Piece, Section, Walk};
use super::tree;

/// Every checked expression of a section, inner ones included.
pub fn section_exprs<'a>(section: &'a Section, visit: &mut dyn FnMut(&'a Expr)) {
    let filters = section.binders.iter().filter_map(|binder| binder.filter.as_ref());
    let norms = section.norms.iter().flat_map(|norm| norm.condition.iter().chain([&norm.body]));
    let excepts = section.excepts.iter().flat_map(|except| except.filter.iter().chain(&except.unless));
    let lets = section.lets.iter().map(|(_, value)| value);
    let force = section.force.iter().map(|force| &force.by);
    for expr in filters.chain(norms).chain(excepts).chain(lets).chain(force) {
        exprs(expr, visit);
    }
    for piece in section.norms.iter().flat_map(|norm| &norm.remedy) {
        if let Piece::Value(expr, _) = piece {
            exprs(expr, visit);
        }
    }
}

/// An expression and everything in it.
pub fn exprs<'a>(expr: &'a Expr, visit: &mut dyn FnMut(&'a Expr)) {
    visit(expr);
    let walk = |walk: &'a Walk, visit: &mut dyn FnMut(&'a Expr)| walk.filter.iter().for_each(|filter| exprs(filter, visit));
    match &expr.op {
        Op::Literal(_)
        | Op::Fact(..)
        | Op::FactGiven(..)
        | Op::ThingGiven(_)
        | Op::ColumnGiven(..)
        | Op::Thing(_)
        | Op::Today
        | Op::Id(_) => {}
        Op::Column(..) | Op::WordSlot(_) | Op::Parameter(_) | Op::Let(_) | Op::Complies(..) => {}
        Op::Junction(_, parts) => parts.iter().for_each(|part| exprs(part, visit)),
        Op::Not(part) | Op::Power(part, _) => exprs(part, visit),
        Op::Compare(_, a, b) | Op::Is(a, b) | Op::InRange(a, b) | Op::Includes(a, b) | Op::Arithmetic(_, a, b) => {
            exprs(a, visit);
            exprs(b, visit);
        }
        Op::OneOf(a, members) => {
            exprs(a, visit);
            members.iter().for_each(|member| exprs(member, visit));
        }
        Op::Between(a, b, c) | Op::If(a, b, c) => [a, b, c].into_iter().for_each(|part| exprs(part, visit)),
        Op::Quantified(_, over, body) => {
            walk(over, visit);
            exprs(body, visit);
        }
        Op::Aggregate(_, of, over) => {
            walk(over, visit);
            of.iter().for_each(|of| exprs(of, visit));
        }
        Op::LookUp(_, _, parts) | Op::Formula(_, parts) | Op::BuiltIn(_, parts) => parts.iter().for_each(|part| exprs(part, visit)),
    }
}

/// Whether a written expression names a word anywhere.
pub fn names(expr: &tree::Expr, word: &str) -> bool {
    use tree::Node;
    let within = |walk: &tree::Walk| {
        walk.among.names.first().is_some_and(|name| name.text == word) || walk.filter.as_ref().is_some_and(|filter| names(filter, word))
    };
    match &expr.node {
        Node::Name(path) => path.names.first().is_some_and(|name| name.text == word),
        Node::Junction(_, parts) => parts.iter().any(|part| names(part, word)),
        Node::Call(_, parts) => parts.iter().any(|part| names(part, word)),
        Node::Not(part) | Node::Power(part, _) | Node::Given(_, part) | Node::Complies(part, _) => names(part, word),
        Node::Compare(_, a, b) | Node::Is(_, a, b) | Node::Includes(a, b) | Node::Arithmetic(_, a, b) => names(a, word) || names(b, word),
        Node::OneOf(_, a, members) => names(a, word) || members.iter().any(|member| names(member, word)),
        Node::Within(a, b, c) => names(a, word) || names(b, word) || c.as_ref().is_some_and(|c| names(c, word)),
        Node::If(a, b, c) => names(a, word) || names(b, word) || names(c, word),
        Node::Quantified(_, over, body) => within(over) || names(body, word),
        Node::Aggregate(_, of, over) => within(over) || of.as_ref().is_some_and(|of| names(of, word)),
        Node::Capital(_) | Node::Quantity(..) | Node::Wire(_) | Node::Period(_) | Node::Date(_) | Node::Text(_) => false,
    }
}
