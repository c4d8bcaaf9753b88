//! Turns parsed expressions into the tree and answers a lay author's wrong forms with the right ones. It must not look up
//! any name.

use super::build::Builder;
use super::grammar::Rule;
use super::tree::{Aggregate, Arithmetic, Comparison, Expr, Node, Quantifier, Walk};
use crate::quantity::{Period, Wire, read};
use crate::slip::Slip;
use crate::source::Span;
use pest::iterators::Pair;

type P<'i> = Pair<'i, Rule>;

/// Most terms of one calculation, those of its brackets included: its tree leans to one side, and walking it takes a step of
/// stack for each.
const MOST_TERMS: usize = 200;

impl Builder {
    /// An expression: conditions joined by one word, or a labelled list.
    pub fn expr(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let mut inner = pair.into_inner().peekable();
        if inner.peek().is_some_and(|first| first.as_rule() == Rule::listed) {
            let listed = inner.next();
            return listed.map_or_else(|| lost(span), |listed| self.listed(listed));
        }
        self.junction(span, inner)
    }

    fn junction<'i>(&mut self, span: Span, inner: impl Iterator<Item = P<'i>>) -> Expr {
        let (mut parts, mut words): (Vec<Expr>, Vec<(bool, Span)>) = (Vec::new(), Vec::new());
        for pair in inner {
            match pair.as_rule() {
                Rule::junction => words.push((pair.as_str() == "and", self.span(&pair))),
                Rule::label => {}
                _ => parts.push(self.test(pair)),
            }
        }
        let Some((and, first)) = words.first().copied() else { return parts.pop().unwrap_or_else(|| lost(span)) };
        if let Some((_, other)) = words.iter().find(|(word, _)| *word != and) {
            self.slip(
                Slip::at(*other, "mixed-and-or", "`and` and `or` on one level")
                    .label("this word")
                    .other(first, "and this one")
                    .hint("put brackets round the parts that belong together"),
            );
        }
        Expr { node: Node::Junction(and, parts), span }
    }

    fn listed(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let (mut all, mut parts, mut labels) = (false, Vec::new(), Vec::new());
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::all_of => all = true,
                Rule::choice => {
                    let part_span = self.span(&part);
                    let inner: Vec<P> = part.into_inner().collect();
                    labels.extend(inner.first().map(|label| (label.as_str().to_string(), self.span(label))));
                    let after = inner.get(1).map_or(part_span, |first| self.span(first).to(part_span));
                    parts.push(
                        self.junction(
                            Span { start: after.start.max(labels.last().map_or(0, |l| l.1.end + 1)), ..after },
                            inner.into_iter(),
                        ),
                    );
                }
                _ => {}
            }
        }
        self.check_labels(&labels, "1");
        if parts.len() < 2 {
            self.slip(Slip::at(span, "lone-label", "a list of one condition").label("only one").hint("write the condition by itself"));
        }
        Expr { node: Node::Junction(all, parts), span }
    }

    /// Labels must be different and run in order from the first.
    pub fn check_labels(&mut self, labels: &[(String, Span)], first: &str) {
        for (index, (label, span)) in labels.iter().enumerate() {
            let number = u8::try_from(index).unwrap_or(u8::MAX);
            let wanted = match first {
                "1" => format!("({})", index + 1),
                _ => format!("({})", char::from(b'a'.saturating_add(number))),
            };
            if *label != wanted {
                let twin = labels[..index].iter().find(|(other, _)| other == label);
                let mut slip = Slip::at(*span, "label-order", format!("label {label} where {wanted} comes next"))
                    .label("this label")
                    .hint("number labels in order, without gaps");
                if let Some((_, other)) = twin {
                    slip = slip.other(*other, "the same label");
                }
                self.slip(slip);
                return;
            }
        }
    }

    fn test(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let Some(first) = inner.next() else { return lost(span) };
        match first.as_rule() {
            Rule::negation => {
                let body = first.into_inner().next().map_or_else(|| lost(span), |test| self.test(test));
                Expr { node: Node::Not(Box::new(body)), span }
            }
            Rule::quantified => self.quantified(first),
            _ => {
                let left = self.sum(first);
                let Some(relation) = inner.next() else { return left };
                if let Some(second) = inner.next() {
                    let second = self.span(&second);
                    self.slip(
                        Slip::at(second, "compares-twice", "a comparison of a comparison")
                            .label("a second comparison")
                            .hint("write both comparisons and join them with `and`, or use `within … to …`"),
                    );
                }
                self.relation(left, relation, span)
            }
        }
    }

    fn quantified(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let mut inner: Vec<P> = pair.into_inner().collect();
        let how = match inner.first().map(Pair::as_rule) {
            Some(Rule::every) => Quantifier::Every,
            Some(Rule::at_least_one) => Quantifier::AtLeastOne,
            _ => Quantifier::No,
        };
        let body = inner.pop().map_or_else(|| lost(span), |body| self.expr(body));
        let walk = self.walk(inner.into_iter().skip(1), span);
        Expr { node: Node::Quantified(how, walk, Box::new(body)), span }
    }

    fn walk<'i>(&mut self, parts: impl Iterator<Item = P<'i>>, span: Span) -> Walk {
        let (mut bound, mut among, mut filter) = (None, None, None);
        for part in parts {
            match part.as_rule() {
                Rule::word => bound = Some(self.name(&part)),
                Rule::path => among = Some(self.path(&part)),
                Rule::filter => filter = part.into_inner().next().map(|expr| Box::new(self.expr(expr))),
                _ => {}
            }
        }
        let lost = super::tree::Name { text: String::new(), span };
        let among = among.unwrap_or_else(|| super::tree::Path { names: Vec::new(), span });
        Walk { bound: bound.unwrap_or(lost), among, filter }
    }

    fn relation(&mut self, left: Expr, pair: P, span: Span) -> Expr {
        let mut inner: Vec<P> = pair.into_inner().collect();
        if inner.is_empty() {
            return left;
        }
        let word = inner.remove(0);
        let left = Box::new(left);
        let rule = word.as_rule();
        let lay = if rule == Rule::lay_relation { self.lay_relation(&word) } else { "" };
        let node = match rule {
            Rule::is_given => Node::Given(false, left),
            Rule::is_not_given => Node::Given(true, left),
            Rule::is_one_of | Rule::is_not_one_of => {
                let members =
                    inner.into_iter().next().map_or_else(Vec::new, |set| set.into_inner().map(|member| self.operand(member)).collect());
                Node::OneOf(rule == Rule::is_not_one_of, left, members)
            }
            Rule::complies => match inner.first() {
                Some(target) => Node::Complies(left, self.target(target)),
                None => return *left,
            },
            _ => {
                let mut sides = inner.into_iter().map(|sum| self.sum(sum));
                let Some(right) = sides.next() else { return *left };
                let right = Box::new(right);
                match rule {
                    _ if lay == "is" => Node::Is(false, left, right),
                    _ if lay == "is not" => Node::Is(true, left, right),
                    Rule::is => Node::Is(false, left, right),
                    Rule::is_not => Node::Is(true, left, right),
                    Rule::includes => Node::Includes(left, right),
                    Rule::within => Node::Within(left, right, sides.next().map(Box::new)),
                    Rule::at_least => Node::Compare(Comparison::AtLeast, left, right),
                    Rule::less_than => Node::Compare(Comparison::LessThan, left, right),
                    Rule::more_than => Node::Compare(Comparison::MoreThan, left, right),
                    _ => Node::Compare(Comparison::AtMost, left, right),
                }
            }
        };
        Expr { node, span }
    }

    /// Tells a lay author's comparison, and gives the right form.
    fn lay_relation(&mut self, word: &P) -> &'static str {
        let written = word.as_str().strip_prefix("is ").unwrap_or(word.as_str()).split_whitespace().collect::<Vec<_>>().join(" ");
        let right = match written.as_str() {
            "<=" | "≤" | "not more than" | "no more than" | "maximum" | "max" | "up to" | "at most" | "less than or equal to" => {
                "at most"
            }
            ">=" | "≥" | "not less than" | "no less than" | "minimum" | "min" | "at least" | "greater than or equal to" => "at least",
            "<" | "below" | "under" | "less than" => "less than",
            ">" | "above" | "over" | "greater than" | "more than" | "exceeds" => "more than",
            "!=" | "<>" | "≠" => "is not",
            _ => "is",
        };
        let span = self.span(word);
        let hint = if right == "is" {
            "write `is` for words, counts, dates and yes-or-no; for measures `at most` or `at least`".to_string()
        } else {
            format!("write `{right}`, with nothing before or after it")
        };
        self.slip(Slip::at(span, "wrong-form", format!("`{}` is not how this language compares", word.as_str())).label("here").hint(hint));
        right
    }

    /// Arithmetic, with `*` and `/` before `+` and `-`.
    fn sum(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let mut terms: Vec<Expr> = Vec::new();
        let mut signs: Vec<Arithmetic> = Vec::new();
        let mut pending: Option<Arithmetic> = None;
        let before = self.open_terms;
        let mut parts = pair.into_inner().peekable();
        while let Some(part) = parts.next() {
            if part.as_rule() == Rule::operator {
                pending = Some(match part.as_str() {
                    "+" => Arithmetic::Add,
                    "-" => Arithmetic::Subtract,
                    "*" => Arithmetic::Times,
                    _ => Arithmetic::Over,
                });
                continue;
            }
            self.open_terms += 1;
            if self.open_terms > MOST_TERMS {
                break;
            }
            let mut operand = self.operand(part);
            if let Some(power) = parts.next_if(|next| next.as_rule() == Rule::power) {
                let span = operand.span.to(self.span(&power));
                operand = Expr { node: Node::Power(Box::new(operand), power.as_str()[1..].parse().unwrap_or(1)), span };
            }
            match (pending.take(), terms.pop()) {
                (Some(op @ (Arithmetic::Times | Arithmetic::Over)), Some(left)) => {
                    let span = left.span.to(operand.span);
                    terms.push(Expr { node: Node::Arithmetic(op, Box::new(left), Box::new(operand)), span });
                }
                (op, left) => {
                    signs.extend(op);
                    terms.extend(left);
                    terms.push(operand);
                }
            }
        }
        let too_many = self.open_terms > MOST_TERMS;
        if before == 0 && too_many {
            let slip = Slip::at(span, "too-deep", format!("a calculation of more than {MOST_TERMS} terms")).label("here");
            self.slip(slip.hint("name parts with `let`, or sum over a list"));
        }
        // All terms of the outermost calculation count together, wherever its brackets stand.
        if before == 0 {
            self.open_terms = 0;
        }
        if too_many {
            return lost(span);
        }
        let mut terms = terms.into_iter();
        let Some(first) = terms.next() else { return lost(span) };
        terms.zip(signs).fold(first, |left, (right, op)| {
            let span = left.span.to(right.span);
            Expr { node: Node::Arithmetic(op, Box::new(left), Box::new(right)), span }
        })
    }

    fn operand(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let text = pair.as_str();
        let node = match pair.as_rule() {
            // The brackets only group; the inner expression keeps its own place.
            Rule::group => return pair.into_inner().next().map_or_else(|| lost(span), |inner| self.expr(inner)),
            Rule::aggregate => return self.aggregate(pair),
            Rule::conditional => {
                let mut parts = pair.into_inner().map(|part| Box::new(self.expr(part))).collect::<Vec<_>>().into_iter();
                match (parts.next(), parts.next(), parts.next()) {
                    (Some(condition), Some(then), Some(otherwise)) => Node::If(condition, then, otherwise),
                    _ => return lost(span),
                }
            }
            Rule::call => {
                let mut inner = pair.into_inner();
                let Some(path) = inner.next() else { return lost(span) };
                let path = self.path(&path);
                let arguments = inner.filter_map(|argument| argument.into_inner().next()).map(|sum| self.sum(sum)).collect();
                Node::Call(path, arguments)
            }
            Rule::name => match pair.into_inner().next() {
                Some(path) => Node::Name(self.path(&path)),
                None => return lost(span),
            },
            Rule::capital | Rule::value => Node::Capital(text.to_string()),
            Rule::text => Node::Text(text.trim_matches('"').to_string()),
            Rule::date => match crate::quantity::Days::read(text) {
                Ok(days) => Node::Date(days.first),
                Err((message, hint)) => {
                    self.slip(Slip::at(span, "not-a-date", message).label("here").hint(hint));
                    return lost(span);
                }
            },
            _ => self.quantity(text, span),
        };
        Expr { node, span }
    }

    fn aggregate(&mut self, pair: P) -> Expr {
        let span = self.span(&pair);
        let (mut how, mut of, mut rest) = (Aggregate::Count, None, Vec::new());
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::distinct => how = Aggregate::CountDistinct,
                Rule::sum_of => how = Aggregate::Sum,
                Rule::least_of => how = Aggregate::Least,
                Rule::greatest_of => how = Aggregate::Greatest,
                Rule::count_of => {}
                Rule::sum => of = Some(Box::new(self.sum(part))),
                _ => rest.push(part),
            }
        }
        let walk = self.walk(rest.into_iter(), span);
        Expr { node: Node::Aggregate(how, of, walk), span }
    }

    /// A number with or without units. What cannot be read may still be a word of a list, so the slip waits for the check.
    fn quantity(&mut self, text: &str, span: Span) -> Node {
        if text.contains("AWG") || text.contains("kcmil") {
            return match Wire::read(text) {
                Ok(wire) => Node::Wire(wire),
                Err((message, hint)) => {
                    self.slip(Slip::at(span, "not-a-wire-size", message).label("here").hint(hint));
                    Node::Wire(Wire::Awg(40))
                }
            };
        }
        if let Some(period) = period(text) {
            return Node::Period(period);
        }
        match read(text) {
            Ok(reading) => Node::Quantity(text.to_string(), Ok(reading)),
            Err(slip) => {
                let looks_like_word = !text.contains(' ') && text.starts_with(|c: char| c.is_ascii_digit());
                if !looks_like_word {
                    self.slip(Slip::at(span.part(slip.at), "not-a-quantity", slip.message).label("here").hint(slip.hint));
                }
                Node::Quantity(text.to_string(), Err(()))
            }
        }
    }
}

/// What stands in for something that could not be built; a slip has been told already.
fn lost(span: Span) -> Expr {
    Expr { node: Node::Name(super::tree::Path { names: Vec::new(), span }), span }
}

/// `12 months`, `30 days`: a length of time by the calendar.
pub fn period(text: &str) -> Option<Period> {
    let (number, unit) = text.split_once(' ')?;
    let number: i32 = number.parse().ok()?;
    match unit.trim() {
        "day" | "days" => Some(Period { months: 0, days: number }),
        "week" | "weeks" => Some(Period { months: 0, days: number.checked_mul(7)? }),
        "month" | "months" => Some(Period { months: number, days: 0 }),
        "year" | "years" => Some(Period { months: number.checked_mul(12)?, days: 0 }),
        _ => None,
    }
}
