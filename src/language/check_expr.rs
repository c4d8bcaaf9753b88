//! Checks expressions: names, kinds, dimensions on every operator with both sides shown. It must not know sections.

use super::check::Checker;
use super::program::{Expr, Op};
use super::scope::Scope;
use super::tree::{self, Arithmetic, Comparison, Node};
use crate::datum::{Datum, Kind};
use crate::quantity::{Dimension, Exact, Interval, Wire, unit::UnitKind};
use crate::slip::{Slip, suggest};
use crate::source::Span;

/// Most parts that one section or formula may have, those of called formulas included.
const MOST_PARTS: usize = 20_000;

impl Checker<'_> {
    /// Checks a condition.
    pub fn condition(&mut self, scope: &mut Scope, expr: &tree::Expr) -> Option<Expr> {
        let checked = self.expr(scope, expr, Some(&Kind::YesNo))?;
        if checked.kind == Kind::YesNo {
            return Some(checked);
        }
        let text = self.kind_text(&checked.kind);
        let slip = Slip::at(expr.span, "not-a-condition", format!("{text} where a condition is wanted")).label("this is no condition");
        self.slip(slip.hint("compare it with something: `at most`, `at least`, `is`, `is given` …"));
        None
    }

    /// Checks an expression; `hope` is the kind that its surroundings want, for bare words.
    pub fn expr(&mut self, scope: &mut Scope, expr: &tree::Expr, hope: Option<&Kind>) -> Option<Expr> {
        scope.cost += 1;
        let span = expr.span;
        let truth = |op: Op| Some(Expr { op, kind: Kind::YesNo, span });
        match &expr.node {
            Node::Junction(and, parts) => {
                // Every part is checked, so that all slips come in one run.
                let checked: Vec<Option<Expr>> = parts.iter().map(|part| self.condition(scope, part)).collect();
                let parts: Vec<Expr> = checked.into_iter().collect::<Option<_>>()?;
                self.never_true(*and, &parts);
                truth(Op::Junction(*and, parts))
            }
            Node::Not(part) => truth(Op::Not(Box::new(self.condition(scope, part)?))),
            Node::Compare(how, left, right) => self.compare(scope, *how, left, right, span),
            Node::Is(not, left, right) => self.is(scope, *not, left, right, span),
            Node::OneOf(not, left, members) => self.one_of(scope, *not, left, members, span),
            Node::Given(not, part) => {
                let given = self.given(scope, part)?;
                let given = Expr { op: given, kind: Kind::YesNo, span };
                if *not { truth(Op::Not(Box::new(given))) } else { Some(given) }
            }
            Node::Within(value, low, high) => self.within(scope, value, low, high.as_deref(), span),
            Node::Includes(set, member) => self.includes(scope, set, member, span),
            Node::Complies(thing, target) => self.complies(scope, thing, target, span),
            Node::Arithmetic(how, left, right) => self.arithmetic(scope, *how, left, right, span),
            Node::Power(base, power) => self.power(scope, base, *power, span),
            Node::If(condition, then, otherwise) => self.choice(scope, condition, then, otherwise, hope, span),
            Node::Quantified(how, walk, body) => self.quantified(scope, *how, walk, body, span),
            Node::Aggregate(how, of, walk) => self.aggregate(scope, *how, of.as_deref(), walk, span),
            Node::Call(path, arguments) => self.call(scope, path, arguments, span),
            Node::Name(path) => self.name(scope, path, hope),
            Node::Capital(word) => self.word(word, span, hope),
            Node::Quantity(text, reading) => self.quantity(text, *reading, span, hope),
            Node::Wire(wire) => Some(Expr { op: Op::Literal(Datum::Wire(*wire)), kind: Kind::Wire, span }),
            Node::Period(period) => Some(Expr { op: Op::Literal(Datum::Period(*period)), kind: Kind::Period, span }),
            Node::Date(date) => Some(Expr { op: Op::Literal(Datum::Days(crate::quantity::Days::day(*date))), kind: Kind::Date, span }),
            Node::Text(text) => Some(Expr { op: Op::Literal(Datum::Text(text.clone())), kind: Kind::Text, span }),
        }
    }

    /// Tells a section or formula that would cost too much, whatever the job.
    pub fn check_cost(&mut self, scope: &Scope, span: Span, what: &str) {
        if scope.deepest > 3 {
            let message = format!("{what} walks collections {} deep", scope.deepest);
            self.slip(
                Slip::at(span, "too-costly", message).label("here").hint("at most three walks may be nested, those of formulas included"),
            );
        }
        if scope.cost > MOST_PARTS {
            let message = format!("{what} has {} parts with those of its formulas", scope.cost);
            self.slip(Slip::at(span, "too-costly", message).label("here").hint(format!("at most {MOST_PARTS}; split it")));
        }
    }

    /// A slip for two sides of different kinds, both shown.
    pub fn unlike(&mut self, what: &str, left: (&Kind, Span), right: (&Kind, Span)) {
        let texts = (self.kind_text(left.0), self.kind_text(right.0));
        let name = if left.0.is_number() && right.0.is_number() { "unlike-units" } else { "unlike-kinds" };
        let slip =
            Slip::at(right.1, name, format!("{what} {} and {}", texts.0, texts.1)).label(texts.1.clone()).other(left.1, texts.0.clone());
        let hint = match (left.0, right.0) {
            (Kind::Measure(a), Kind::Measure(b)) => dimension_hint(*a, *b),
            (Kind::Measure(d), Kind::Count) | (Kind::Count, Kind::Measure(d)) => {
                Some(format!("write a unit, such as {}", crate::quantity::Unit::symbols_of(*d).join(", ")))
            }
            (Kind::Temperature, Kind::Measure(_)) | (Kind::Measure(_), Kind::Temperature) => {
                Some("a temperature (°C, °F) is not a temperature difference (K)".to_string())
            }
            _ => None,
        };
        self.slip(slip.hint_maybe(hint));
    }

    fn compare(&mut self, scope: &mut Scope, how: Comparison, left: &tree::Expr, right: &tree::Expr, span: Span) -> Option<Expr> {
        let (a, b) = self.both(scope, left, right)?;
        let fits = match (&a.kind, &b.kind) {
            (Kind::Count | Kind::Measure(_), Kind::Count | Kind::Measure(_)) => dimension(&a.kind) == dimension(&b.kind),
            (Kind::Word(one), Kind::Word(two)) => {
                if one == two && !self.lists.list(*one).ordered {
                    let list = self.lists.describe(*one);
                    self.slip(
                        Slip::at(span, "no-order", format!("the words of {list} are in no order"))
                            .label("compared here")
                            .hint("compare with `is` or `is one of`, or add `in order` to the list"),
                    );
                    return None;
                }
                one == two
            }
            (Kind::Date, Kind::Date) | (Kind::Temperature, Kind::Temperature) | (Kind::Wire, Kind::Wire) => true,
            _ => false,
        };
        if !fits {
            self.unlike("a comparison of", (&a.kind, a.span), (&b.kind, b.span));
            return None;
        }
        if matches!((&a.op, &b.op), (Op::Literal(_), Op::Literal(_))) {
            self.slip(
                Slip::at(span, "never-changes", "a comparison of two written values")
                    .label("it comes out the same for every job")
                    .hint("name the fact that is meant"),
            );
        }
        self.asks_nothing(how, &a, &b, span);
        Some(Expr { op: Op::Compare(how, Box::new(a), Box::new(b)), kind: Kind::YesNo, span })
    }

    /// Both sides of a comparison; a bare word on one side is looked up in the other side's list.
    fn both(&mut self, scope: &mut Scope, left: &tree::Expr, right: &tree::Expr) -> Option<(Expr, Expr)> {
        if self.is_bare(scope, left) && !self.is_bare(scope, right) {
            let b = self.expr(scope, right, None);
            let hope = b.as_ref().map(|b| b.kind.clone());
            let a = self.expr(scope, left, hope.as_ref());
            return a.zip(b);
        }
        let a = self.expr(scope, left, None);
        let hope = a.as_ref().map(|a| a.kind.clone());
        // Without a left side the right side's own slips would only repeat the confusion about words.
        let b = if a.is_none() && self.is_bare(scope, right) { None } else { self.expr(scope, right, hope.as_ref()) };
        a.zip(b)
    }

    /// Whether an expression is a single word that names nothing in scope.
    fn is_bare(&self, scope: &Scope, expr: &tree::Expr) -> bool {
        match &expr.node {
            Node::Capital(_) => true,
            Node::Name(path) => {
                path.names.len() == 1
                    && scope.bound_at(&path.names[0].text).is_none()
                    && self.enclosing(scope, &path.names[0].text).is_none()
            }
            Node::Quantity(_, reading) => reading.is_err(),
            _ => false,
        }
    }

    fn is(&mut self, scope: &mut Scope, not: bool, left: &tree::Expr, right: &tree::Expr, span: Span) -> Option<Expr> {
        let (a, b) = self.both(scope, left, right)?;
        let fits = match (&a.kind, &b.kind) {
            (Kind::Word(one), Kind::Word(two)) => one == two || self.share_words(*one, *two),
            (Kind::Measure(_), _) | (_, Kind::Measure(_)) | (Kind::Temperature, _) | (_, Kind::Temperature) => {
                let hint = "measures are never exactly equal: write `at most`, `at least` or `within … to …`";
                self.slip(Slip::at(span, "is-on-measure", "`is` between measures").label("compared here").hint(hint));
                return None;
            }
            (Kind::Thing(one), Kind::Thing(two)) => one == two,
            (one, two) => one == two && !matches!(one, Kind::WordSet(_) | Kind::TextList | Kind::Range(_)),
        };
        if !fits {
            self.unlike("`is` between", (&a.kind, a.span), (&b.kind, b.span));
            return None;
        }
        let is = Expr { op: Op::Is(Box::new(a), Box::new(b)), kind: Kind::YesNo, span };
        Some(if not { Expr { op: Op::Not(Box::new(is)), kind: Kind::YesNo, span } } else { is })
    }

    fn share_words(&self, one: crate::datum::ListId, two: crate::datum::ListId) -> bool {
        self.lists.list(one).words.iter().any(|word| self.lists.list(two).words.contains(word))
    }

    fn one_of(&mut self, scope: &mut Scope, not: bool, left: &tree::Expr, members: &[tree::Expr], span: Span) -> Option<Expr> {
        let value = self.expr(scope, left, None)?;
        if !matches!(value.kind, Kind::Word(_) | Kind::Count | Kind::Date | Kind::Text | Kind::Wire) {
            let text = self.kind_text(&value.kind);
            self.slip(
                Slip::at(value.span, "unlike-kinds", format!("`is one of` on {text}"))
                    .label(text)
                    .hint("it compares words, counts, dates and texts; for measures write `within … to …`"),
            );
            return None;
        }
        let kind = value.kind.clone();
        let checked: Vec<Option<Expr>> = members.iter().map(|member| self.expr(scope, member, Some(&kind))).collect();
        let checked: Vec<Expr> = checked.into_iter().collect::<Option<_>>()?;
        for member in &checked {
            if member.kind != kind {
                self.unlike("`is one of` between", (&kind, value.span), (&member.kind, member.span));
                return None;
            }
        }
        let one = Expr { op: Op::OneOf(Box::new(value), checked), kind: Kind::YesNo, span };
        Some(if not { Expr { op: Op::Not(Box::new(one)), kind: Kind::YesNo, span } } else { one })
    }

    fn within(&mut self, scope: &mut Scope, value: &tree::Expr, low: &tree::Expr, high: Option<&tree::Expr>, span: Span) -> Option<Expr> {
        let value = self.expr(scope, value, None)?;
        let low = self.expr(scope, low, Some(&value.kind))?;
        let Some(high) = high else {
            return match (&value.kind, &low.kind) {
                (Kind::Measure(one), Kind::Range(two)) if one == two => {
                    Some(Expr { op: Op::InRange(Box::new(value), Box::new(low)), kind: Kind::YesNo, span })
                }
                _ => {
                    self.unlike("`within` between", (&value.kind, value.span), (&low.kind, low.span));
                    None
                }
            };
        };
        let high = self.expr(scope, high, Some(&value.kind))?;
        for end in [&low, &high] {
            let fits = dimension(&value.kind).is_some() && dimension(&value.kind) == dimension(&end.kind)
                || value.kind == end.kind && matches!(end.kind, Kind::Date | Kind::Temperature);
            if !fits {
                self.unlike("`within` between", (&value.kind, value.span), (&end.kind, end.span));
                return None;
            }
        }
        if let (Op::Literal(Datum::Number(lo, _)), Op::Literal(Datum::Number(hi, _))) = (&low.op, &high.op)
            && lo.lo > hi.lo
        {
            self.slip(
                Slip::at(span, "not-a-range", "a range whose ends are the wrong way round")
                    .label("nothing lies in it")
                    .hint("write the smaller end first"),
            );
        }
        Some(Expr { op: Op::Between(Box::new(value), Box::new(low), Box::new(high)), kind: Kind::YesNo, span })
    }

    fn includes(&mut self, scope: &mut Scope, set: &tree::Expr, member: &tree::Expr, span: Span) -> Option<Expr> {
        let set = self.expr(scope, set, None)?;
        let hope = match &set.kind {
            Kind::WordSet(list) => Kind::Word(*list),
            Kind::TextList => Kind::Text,
            Kind::Range(dimension) => Kind::Measure(*dimension),
            other => {
                let text = self.kind_text(other);
                self.slip(
                    Slip::at(set.span, "unlike-kinds", format!("`includes` on {text}"))
                        .label(text)
                        .hint("only sets of words, lists of texts and ranges include something"),
                );
                return None;
            }
        };
        let member = self.expr(scope, member, Some(&hope))?;
        let fits = match (&hope, &member.kind) {
            (Kind::Word(one), Kind::Word(two)) => one == two || self.share_words(*one, *two),
            (one, two) => one == two,
        };
        if !fits {
            self.unlike("`includes` between", (&set.kind, set.span), (&member.kind, member.span));
            return None;
        }
        let op = if matches!(set.kind, Kind::Range(_)) {
            Op::InRange(Box::new(member), Box::new(set))
        } else {
            Op::Includes(Box::new(set), Box::new(member))
        };
        Some(Expr { op, kind: Kind::YesNo, span })
    }

    fn complies(&mut self, scope: &mut Scope, thing: &tree::Expr, target: &tree::Target, span: Span) -> Option<Expr> {
        let thing = self.expr(scope, thing, None)?;
        let Op::Thing(path) = thing.op else {
            self.slip(
                Slip::at(thing.span, "unlike-kinds", "`complies with` is asked of a thing")
                    .label("this is no thing")
                    .hint("name the bound thing, as in `gate complies with …`"),
            );
            return None;
        };
        let id = format!("{}/{}", target.pack, target.item);
        if !self.names.sections.contains(&id) {
            let known: Vec<String> = self.names.sections.iter().cloned().collect();
            let hint = suggest(&id, known.iter().map(String::as_str));
            self.slip(
                Slip::at(target.span, "unknown-section", format!("no section `{id}` in this code"))
                    .label("here")
                    .hint_maybe(hint.filter(|hint| hint.len() < 300)),
            );
            return None;
        }
        Some(Expr { op: Op::Complies(path, id), kind: Kind::YesNo, span })
    }

    fn arithmetic(&mut self, scope: &mut Scope, how: Arithmetic, left: &tree::Expr, right: &tree::Expr, span: Span) -> Option<Expr> {
        let a = self.expr(scope, left, None);
        let b = self.expr(scope, right, None);
        let (a, b) = a.zip(b)?;
        let kind = match (how, &a.kind, &b.kind) {
            (Arithmetic::Add | Arithmetic::Subtract, Kind::Date, Kind::Period) => Some(Kind::Date),
            (Arithmetic::Add | Arithmetic::Subtract, Kind::Period, Kind::Period) => Some(Kind::Period),
            (Arithmetic::Subtract, Kind::Temperature, Kind::Temperature) => Dimension::named("temperature-difference").map(Kind::Measure),
            (Arithmetic::Add | Arithmetic::Subtract, Kind::Temperature, Kind::Measure(d))
                if Some(*d) == Dimension::named("temperature-difference") =>
            {
                Some(Kind::Temperature)
            }
            (Arithmetic::Add | Arithmetic::Subtract | Arithmetic::Times, Kind::Count, Kind::Count) => Some(Kind::Count),
            _ => match (dimension(&a.kind), dimension(&b.kind)) {
                (Some(x), Some(y)) => match how {
                    Arithmetic::Add | Arithmetic::Subtract => (x == y).then_some(Kind::Measure(x)),
                    Arithmetic::Times => x.times(y).map(Kind::Measure),
                    Arithmetic::Over => x.over(y).map(Kind::Measure),
                },
                _ => None,
            },
        };
        let Some(kind) = kind else {
            let what = match how {
                Arithmetic::Add => "a sum of",
                Arithmetic::Subtract => "a difference of",
                Arithmetic::Times => "a product of",
                Arithmetic::Over => "a quotient of",
            };
            self.unlike(what, (&a.kind, a.span), (&b.kind, b.span));
            return None;
        };
        if how == Arithmetic::Over
            && matches!(&b.op, Op::Literal(Datum::Number(interval, _)) if interval.as_point().is_some_and(Exact::is_zero))
        {
            self.slip(Slip::at(b.span, "division-by-nought", "a division by nought").label("nought"));
            return None;
        }
        Some(Expr { op: Op::Arithmetic(how, Box::new(a), Box::new(b)), kind, span })
    }

    fn power(&mut self, scope: &mut Scope, base: &tree::Expr, power: u32, span: Span) -> Option<Expr> {
        let base = self.expr(scope, base, None)?;
        let kind = match (&base.kind, dimension(&base.kind).and_then(|dimension| dimension.power(power))) {
            (Kind::Count, _) => Kind::Count,
            (_, Some(dimension)) => Kind::Measure(dimension),
            _ => {
                let text = self.kind_text(&base.kind);
                self.slip(Slip::at(base.span, "unlike-kinds", format!("a power of {text}")).label(text));
                return None;
            }
        };
        Some(Expr { op: Op::Power(Box::new(base), power), kind, span })
    }

    fn choice(
        &mut self,
        scope: &mut Scope,
        condition: &tree::Expr,
        then: &tree::Expr,
        otherwise: &tree::Expr,
        hope: Option<&Kind>,
        span: Span,
    ) -> Option<Expr> {
        let condition = self.condition(scope, condition);
        let then = self.expr(scope, then, hope);
        let hope = then.as_ref().map(|then| then.kind.clone()).or_else(|| hope.cloned());
        let otherwise = self.expr(scope, otherwise, hope.as_ref());
        let ((condition, then), otherwise) = condition.zip(then).zip(otherwise)?;
        let same = then.kind == otherwise.kind || dimension(&then.kind).is_some() && dimension(&then.kind) == dimension(&otherwise.kind);
        if !same {
            self.unlike("`then` and `else` of", (&then.kind, then.span), (&otherwise.kind, otherwise.span));
            return None;
        }
        let kind = if then.kind == Kind::Count { otherwise.kind.clone() } else { then.kind.clone() };
        Some(Expr { op: Op::If(Box::new(condition), Box::new(then), Box::new(otherwise)), kind, span })
    }

    /// A number as written, or a word of a list that starts with a digit.
    fn quantity(&mut self, text: &str, reading: Result<crate::quantity::Reading, ()>, span: Span, hope: Option<&Kind>) -> Option<Expr> {
        if let Some(Kind::Word(list) | Kind::WordSet(list)) = hope
            && let Some(word) = self.lists.word_in(*list, text)
        {
            return Some(Expr { op: Op::Literal(Datum::Word(word)), kind: Kind::Word(*list), span });
        }
        if hope == Some(&Kind::Wire)
            && let Ok(wire) = Wire::read(text)
        {
            return Some(Expr { op: Op::Literal(Datum::Wire(wire)), kind: Kind::Wire, span });
        }
        let Ok(reading) = reading else {
            // What was written as a number and a unit has been told when it was read.
            if text.contains(' ') {
                return None;
            }
            let hint = "write a number with a unit that is known, or a word of the list on the left";
            self.slip(
                Slip::at(span, "not-a-quantity", format!("`{text}` is no quantity and no word of a list here")).label("here").hint(hint),
            );
            return None;
        };
        let kind = match reading.unit {
            None if reading.value.is_whole() && reading.decimals == Some(0) => Kind::Count,
            None => Kind::Measure(Dimension::NONE),
            Some(unit) if unit.kind() == UnitKind::Temperature => Kind::Temperature,
            Some(unit) => Kind::Measure(unit.dimension()),
        };
        let interval = match reading.tolerance {
            None => Interval::point(reading.value),
            Some(tolerance) => Interval { lo: reading.value.sub(tolerance), hi: reading.value.add(tolerance) },
        };
        Some(Expr { op: Op::Literal(Datum::Number(interval, reading.unit)), kind, span })
    }

    /// A bare word, looked up in the list that its surroundings want.
    pub fn word(&mut self, text: &str, span: Span, hope: Option<&Kind>) -> Option<Expr> {
        let Some(Kind::Word(list) | Kind::WordSet(list)) = hope else {
            let slip = Slip::at(span, "unknown-word", format!("`{text}` is nothing that is in reach here")).label("this word");
            let hint = "a word of a list stands right of `is`, `is one of` or `includes`, or as a key of a table; a path starts with a bound thing";
            self.slip(slip.hint(hint));
            return None;
        };
        match self.lists.word_in(*list, text) {
            Some(word) => Some(Expr { op: Op::Literal(Datum::Word(word)), kind: Kind::Word(*list), span }),
            None => {
                let hint = suggest(text, self.lists.texts(*list));
                let slip =
                    Slip::at(span, "unknown-word", format!("`{text}` is no word of {}", self.lists.describe(*list))).label("this word");
                self.slip(slip.hint_maybe(hint));
                None
            }
        }
    }
}

/// The dimension of a number; counts have none.
pub fn dimension(kind: &Kind) -> Option<Dimension> {
    match kind {
        Kind::Count => Some(Dimension::NONE),
        Kind::Measure(dimension) => Some(*dimension),
        _ => None,
    }
}

/// A fix by one factor, or nothing.
fn dimension_hint(a: Dimension, b: Dimension) -> Option<String> {
    let factor = a.over(b)?.to_string();
    let single = Dimension::named(&factor).is_some_and(|dimension| dimension.0.iter().map(|e| e.abs()).sum::<i8>() == 1);
    single.then(|| format!("one side lacks {} {factor}", crate::datum::article(&factor)))
}
