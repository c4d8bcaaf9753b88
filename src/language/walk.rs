//! Walks over trees and checked expressions, for questions that every part must answer. It must not know what is asked.

use super::parts::parts;
use super::program::{Expr, Piece, Section};
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
    for part in parts(expr) {
        exprs(part, visit);
    }
}

/// A written expression and everything in it.
pub fn written<'t>(expr: &'t tree::Expr, visit: &mut dyn FnMut(&'t tree::Expr)) {
    use tree::Node;
    visit(expr);
    let mut all = |parts: &[&'t tree::Expr]| parts.iter().for_each(|part| written(part, visit));
    match &expr.node {
        Node::Junction(_, parts) | Node::Call(_, parts) => all(&parts.iter().collect::<Vec<_>>()),
        Node::Not(a) | Node::Power(a, _) | Node::Given(_, a) | Node::Complies(a, _) => all(&[a]),
        Node::Compare(_, a, b) | Node::Is(_, a, b) | Node::Includes(a, b) | Node::Arithmetic(_, a, b) => all(&[a, b]),
        Node::OneOf(_, a, members) => all(&std::iter::once(&**a).chain(members).collect::<Vec<_>>()),
        Node::Within(a, b, c) => all(&[&**a, &**b].into_iter().chain(c.as_deref()).collect::<Vec<_>>()),
        Node::If(a, b, c) => all(&[a, b, c]),
        Node::Quantified(_, over, body) => all(&over.filter.as_deref().into_iter().chain([&**body]).collect::<Vec<_>>()),
        Node::Aggregate(_, of, over) => all(&over.filter.as_deref().into_iter().chain(of.as_deref()).collect::<Vec<_>>()),
        Node::Name(_) | Node::Capital(_) | Node::Quantity(..) | Node::Wire(_) | Node::Period(_) | Node::Date(_) | Node::Text(_) => {}
    }
}

/// Whether a written expression names a word anywhere.
pub fn names(expr: &tree::Expr, word: &str) -> bool {
    use tree::Node;
    let mut found = false;
    written(expr, &mut |part| {
        let path = match &part.node {
            Node::Name(path) => path,
            Node::Quantified(_, walk, _) | Node::Aggregate(_, _, walk) => &walk.among,
            _ => return,
        };
        found |= path.names.first().is_some_and(|name| name.text == word);
    });
    found
}
