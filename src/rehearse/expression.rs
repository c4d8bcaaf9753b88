//! Small changes within one checked expression: a literal moved, a strict comparison made lax, a condition dropped, a word
//! swapped. It must not know what the expression belongs to.

use super::nudge::{beside, governing, is_negative};
use super::text::{folded, quoted, written};
use crate::datum::{Datum, Kind};
use crate::language::parts::parts;
use crate::language::program::{Expr, Op, Program, Walk};
use crate::language::tree::Comparison;
use crate::source::Span;

/// A part of an expression with what takes its place.
pub struct Edited {
    /// The way to the part, by positions.
    pub way: Vec<usize>,
    /// What takes its place.
    pub by: Expr,
    /// The change, in words.
    pub words: String,
    /// Where it stands.
    pub span: Span,
    /// The comparison with a literal that is changed, where it is one.
    pub limit: Option<Span>,
}

/// Every small change of an expression, from its outside to its inside.
pub fn edits(program: &Program, expr: &Expr) -> Vec<Edited> {
    let mut editor = Editor { program, way: Vec::new(), edits: Vec::new() };
    editor.visit(expr, &Beside::default());
    editor.edits
}

/// What stands around an expression, as far as it matters to a literal.
#[derive(Clone, Default)]
struct Beside {
    /// The words before it: `at most`.
    words: &'static str,
    /// Whether words are compared by their order.
    ordered: bool,
    /// The comparison that it is the limit of.
    limit: Option<Span>,
    /// Whether it is a member of a set, which is dropped and not moved.
    member: bool,
    /// Whether it is compared with a fact that no job states below nought.
    unsigned: bool,
}

struct Editor<'a> {
    program: &'a Program,
    way: Vec<usize>,
    edits: Vec<Edited>,
}

impl Editor<'_> {
    fn push(&mut self, by: Expr, words: String, span: Span, limit: Option<Span>) {
        self.edits.push(Edited { way: self.way.clone(), by, words, span, limit });
    }

    fn visit(&mut self, expr: &Expr, around: &Beside) {
        match &expr.op {
            Op::Literal(datum) if !around.member => self.literal(expr, datum, around),
            Op::Junction(and, joined) => self.junction(expr, *and, joined),
            Op::Not(part) => {
                let words = format!("{} turned round", quoted(self.program, expr.span));
                self.push((**part).clone(), words, expr.span, None);
            }
            Op::Compare(how, left, right) => self.comparison(expr, *how, left, right),
            Op::OneOf(left, members) => self.set(expr, left, members),
            Op::Quantified(how, walk, body) => self.walk(expr, walk, |walk| Op::Quantified(*how, walk, body.clone())),
            Op::Aggregate(how, of, walk) => self.walk(expr, walk, |walk| Op::Aggregate(*how, of.clone(), walk)),
            _ => {}
        }
        for (at, part) in parts(expr).into_iter().enumerate() {
            self.way.push(at);
            self.visit(part, &around_part(self.program, expr, at));
            self.way.pop();
        }
    }

    fn literal(&mut self, expr: &Expr, datum: &Datum, around: &Beside) {
        if matches!(datum, Datum::YesNo(_)) {
            return;
        }
        let text = written(self.program, expr.span);
        let before = if around.words.is_empty() { String::new() } else { format!("{} ", around.words) };
        let possible = |moved: &Datum| !(around.unsigned && is_negative(moved));
        let moved = beside(datum, text, &expr.kind, around.ordered, &self.program.lists);
        for (moved, shown) in moved.into_iter().filter(|(moved, _)| possible(moved)) {
            let words = format!("{before}{} becomes {before}{shown}", folded(governing(text)));
            self.push(Expr { op: Op::Literal(moved), ..expr.clone() }, words, expr.span, around.limit);
        }
    }

    fn junction(&mut self, expr: &Expr, and: bool, joined: &[Expr]) {
        for at in 0..joined.len() {
            let mut rest = joined.to_vec();
            let gone = rest.remove(at);
            let by = match (rest.len(), rest.pop()) {
                (1, Some(last)) => last,
                (_, Some(last)) => {
                    rest.push(last);
                    Expr { op: Op::Junction(and, rest), ..expr.clone() }
                }
                (_, None) => continue,
            };
            self.push(by, format!("{} dropped", quoted(self.program, gone.span)), gone.span, None);
        }
    }

    /// The whole condition of a walk dropped; of several joined by `and`, each is dropped by itself.
    fn walk(&mut self, expr: &Expr, walk: &Walk, rebuilt: impl FnOnce(Walk) -> Op) {
        let Some(filter) = walk.filter.as_deref().filter(|filter| !matches!(filter.op, Op::Junction(true, _))) else { return };
        let by = Expr { op: rebuilt(Walk { filter: None, ..walk.clone() }), ..expr.clone() };
        self.push(by, format!("where {} dropped", quoted(self.program, filter.span)), filter.span, None);
    }

    /// At most and less than exchanged, at least and more than too.
    fn comparison(&mut self, expr: &Expr, how: Comparison, left: &Expr, right: &Expr) {
        let literal = |side: &Expr| matches!(side.op, Op::Literal(_));
        // Where the values come in whole steps, this says the same as the limit moved by one step, which is offered anyway; and of
        // two literals nothing can come out equal.
        let stepped = matches!(left.kind, Kind::Count | Kind::Date | Kind::Word(_) | Kind::Wire);
        if literal(left) || literal(right) && stepped {
            return;
        }
        let other = match how {
            Comparison::AtMost => Comparison::LessThan,
            Comparison::LessThan => Comparison::AtMost,
            Comparison::AtLeast => Comparison::MoreThan,
            Comparison::MoreThan => Comparison::AtLeast,
        };
        let limit = folded(governing(written(self.program, right.span)));
        let words = format!("{} {limit} becomes {} {limit}", how.words(), other.words());
        let by = Expr { op: Op::Compare(other, Box::new(left.clone()), Box::new(right.clone())), ..expr.clone() };
        self.push(by, words, expr.span, literal(right).then_some(expr.span));
    }

    /// A word dropped from a set, and one that is not in it added.
    fn set(&mut self, expr: &Expr, left: &Expr, members: &[Expr]) {
        for at in 0..members.len() {
            if members.len() < 2 {
                break;
            }
            let mut rest = members.to_vec();
            let gone = rest.remove(at);
            let by = Expr { op: Op::OneOf(Box::new(left.clone()), rest), ..expr.clone() };
            self.push(by, format!("{} dropped from the list", quoted(self.program, gone.span)), gone.span, None);
        }
        let Some(Kind::Word(list)) = members.first().map(|member| &member.kind) else { return };
        let there = |word| members.iter().any(|member| matches!(&member.op, Op::Literal(Datum::Word(other)) if *other == word));
        let lists = &self.program.lists;
        let Some(new) = lists.list(*list).words.iter().copied().find(|word| !there(*word)) else { return };
        let words = format!("`{}` added to the list", lists.text(new));
        let mut more = members.to_vec();
        more.push(Expr { op: Op::Literal(Datum::Word(new)), ..members[0].clone() });
        let by = Expr { op: Op::OneOf(Box::new(left.clone()), more), ..expr.clone() };
        self.push(by, words, expr.span, None);
    }
}

/// What stands around the part of an expression at that position.
fn around_part(program: &Program, expr: &Expr, at: usize) -> Beside {
    // Of a fact that is never below nought, a limit below nought says what one at nought says.
    let unsigned = |left: &Expr| matches!(&left.op, Op::Fact(path, field) if !program.definition(path.def).fields[*field].signed);
    match &expr.op {
        Op::Compare(how, left, _) if at == 1 => {
            let ordered = matches!(left.kind, Kind::Word(_));
            Beside { words: how.words(), ordered, limit: Some(expr.span), unsigned: unsigned(left), ..Beside::default() }
        }
        Op::Between(left, ..) if at > 0 => {
            let words = if at == 1 { "within" } else { "to" };
            Beside { words, limit: Some(expr.span), unsigned: unsigned(left), ..Beside::default() }
        }
        Op::Is(..) if at == 1 => Beside { words: "is", ..Beside::default() },
        Op::Includes(..) if at == 1 => Beside { words: "includes", ..Beside::default() },
        Op::OneOf(..) if at > 0 => Beside { member: true, ..Beside::default() },
        _ => Beside::default(),
    }
}
