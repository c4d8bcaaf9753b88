//! Explains a verdict: the comparisons that decided it, the facts that took part with their places, what is missing. It
//! evaluates again with the facts noted; it must not know how the explanation is drawn.

use super::called::{called, told};
use super::doubt::{Doubt, Missing, Truth};
use super::eval::{Evaluator, FactUse, Frame};
use super::judge_section::bound_record;
use super::paths::thing_name;
use super::value::{Number, Slot, Value};
use super::verdict::{Judged, Verdict};
use super::words::{datum_text, middle_text_in, miss_text, number_texts, rounded_to, stepped, unit_for, value_text};
use crate::datum::{Datum, Kind};
use crate::job::{Children, Fact, Job};
use crate::language::program::{Expr, Op, Piece, Program};
use crate::language::tree::{Comparison, Quantifier};
use crate::source::{FileId, Source, Span};
use jiff::civil::Date;

/// Most reasons that one finding shows.
pub const MOST_REASONS: usize = 6;

/// A fact that took part.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// As a pack names it: `beam.height`.
    pub name: String,
    /// Whose it is: `gate main / beam low`.
    pub thing: String,
    /// As the job wrote it, or what it is taken as.
    pub shown: String,
    /// Where it stands in the job; an assumed value stands nowhere.
    pub span: Option<Span>,
    /// How to measure it.
    pub doc: String,
    /// Whether it is assumed (`taken as`).
    pub assumed: bool,
    /// Whether it is a number or a day, which a comparison reckons with.
    pub reckoned: bool,
}

/// A comparison or condition that decided the verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// Where in the pack.
    pub span: Span,
    /// What is the matter, as a sentence without its stop.
    pub sentence: String,
    /// The measured value, where there is one.
    pub value: Option<String>,
    /// The limit, where there is one.
    pub limit: Option<String>,
    /// By how much it misses, where that can be said.
    pub miss: Option<String>,
    /// Facts that took part.
    pub parts: Vec<Part>,
    /// The value and the limit as numbers, where they are.
    pub numbers: Option<(Number, Number)>,
    /// Whether the value must stay under the limit (else over it); only beside numbers.
    pub at_most: Option<bool>,
}

/// Something that is missing.
#[derive(Clone, Debug, PartialEq)]
pub struct Lacking {
    /// As a pack names it.
    pub name: String,
    /// Whose it is.
    pub thing: String,
    /// Where it belongs in the job.
    pub span: Span,
    /// How to measure it.
    pub doc: String,
}

/// Why a verdict is what it is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explanation {
    /// What decided it.
    pub reasons: Vec<Reason>,
    /// What is missing.
    pub lacking: Vec<Lacking>,
    /// What cannot be computed: a sentence and its place in the pack.
    pub obstacles: Vec<(String, Span)>,
    /// What to do.
    pub remedy: String,
}

/// Explains one verdict.
pub fn explain<'a>(program: &'a Program, job: &'a Job, source: &Source, today: Date, judged: &Judged<'a>) -> Explanation {
    let section = &program.sections[judged.section];
    let norm = &section.norms[judged.norm];
    let mut explainer = Explainer { evaluator: Evaluator::new(program, job, today), source, reasons: Vec::new() };
    explainer.evaluator.at_hand = judged.section;
    let mut slots = judged.slots.clone();
    let mut known_lets = vec![None; section.lets.len()];
    let mut frame = Frame { slots: &mut slots, lets: &section.lets, known_lets: &mut known_lets };
    if judged.bound == section.binders.len() {
        explainer.why(&norm.body, true, &mut frame);
    }
    let reasons = std::mem::take(&mut explainer.reasons);
    let remedy = explainer.text(&norm.remedy, reasons.first(), &mut frame);
    let doubt = judged.verdict.doubt().cloned().unwrap_or_default();
    let obstacles = doubt.obstacles.iter().map(|obstacle| (obstacle.describe(), obstacle.span())).collect();
    Explanation { reasons, lacking: lacking(program, job, &doubt), obstacles, remedy }
}

/// What is missing, by the words of the vocabulary.
pub fn lacking(program: &Program, job: &Job, doubt: &Doubt) -> Vec<Lacking> {
    doubt.missing.iter().map(|missing| one_lacking(program, job, *missing)).collect()
}

fn one_lacking(program: &Program, job: &Job, missing: Missing) -> Lacking {
    match missing {
        Missing::Fact(id, field) | Missing::Day(id, field) => {
            let record = job.record(id);
            let definition = program.definition(record.def);
            let known = &definition.fields[field];
            let span = match &record.facts[field] {
                Fact::Blank(span) | Fact::Spoiled(span) | Fact::Nothing(span) => *span,
                Fact::Stated(stated) => stated.span,
                Fact::Absent => record.span,
            };
            let doc =
                if matches!(missing, Missing::Day(..)) { format!("{}; the exact day matters here", known.doc) } else { known.doc.clone() };
            Lacking { name: format!("{}.{}", definition.name, known.name), thing: thing_name(program, job, id), span, doc }
        }
        Missing::Children(id, child) => {
            let record = job.record(id);
            let definition = program.definition(record.def);
            let below = program.definition(definition.children[child]);
            let span = match &record.children[child] {
                Children::Unknown(Some(span)) => *span,
                _ => record.span,
            };
            let doc = if below.single {
                format!("{}; write `none` where there is none", below.doc)
            } else {
                format!("{}; list each one, or write `none` where there is none", below.doc)
            };
            Lacking { name: format!("{}.{}", definition.name, below.key), thing: thing_name(program, job, id), span, doc }
        }
    }
}

struct Explainer<'a, 's> {
    evaluator: Evaluator<'a>,
    source: &'s Source,
    reasons: Vec<Reason>,
}

impl<'a> Explainer<'a, '_> {
    /// Why a condition is not surely `wanted`: goes down to the comparisons that decide.
    fn why(&mut self, expr: &'a Expr, wanted: bool, frame: &mut Frame<'a, '_>) {
        if self.reasons.len() >= MOST_REASONS || self.truth(expr, frame) == Truth::sure(wanted) {
            return;
        }
        match &expr.op {
            // Of conditions joined by `or` one is enough, and of a denied `and` one that fails is.
            Op::Junction(and, parts) if *and != wanted => self.why_either(parts, wanted, frame),
            Op::Junction(_, parts) => parts.iter().for_each(|part| self.why(part, wanted, frame)),
            Op::Not(part) => self.why(part, !wanted, frame),
            Op::Quantified(how, walk, body) => self.why_walk(*how, walk, body, expr, wanted, frame),
            Op::Compare(how, left, right) => self.comparison(*how, left, right, expr, wanted, frame),
            Op::Between(value, low, high) => {
                let below = self.truth_of(Comparison::AtLeast, value, low, frame) != Truth::Yes;
                if below && wanted {
                    self.comparison(Comparison::AtLeast, value, low, expr, wanted, frame);
                } else {
                    self.comparison(Comparison::AtMost, value, high, expr, wanted, frame);
                }
            }
            Op::Let(at) => {
                let lets = frame.lets;
                self.why(&lets[*at].1, wanted, frame);
            }
            _ => self.plain(expr, wanted, frame),
        }
    }

    /// Why none of several conditions is as wanted, where one would be enough: each with its number, so that nobody takes them for
    /// things that must all be done.
    fn why_either(&mut self, parts: &'a [Expr], wanted: bool, frame: &mut Frame<'a, '_>) {
        let before = self.reasons.len();
        let mut ways: Vec<usize> = Vec::new();
        for part in parts {
            self.why(part, wanted, frame);
            ways.push(self.reasons.len());
        }
        // A single reason is no choice.
        if self.reasons.len() < before + 2 {
            return;
        }
        let (mut number, mut from) = (0, before);
        for to in ways {
            number += usize::from(to > from);
            let word = if number == 1 { "either" } else { "or" };
            for reason in &mut self.reasons[from..to] {
                reason.sentence = format!("{word} ({number}) {}", reason.sentence);
            }
            from = to;
        }
    }

    fn truth(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> Truth {
        self.evaluator.steps = 0;
        self.evaluator.truth(expr, frame)
    }

    fn truth_of(&mut self, how: Comparison, left: &'a Expr, right: &'a Expr, frame: &mut Frame<'a, '_>) -> Truth {
        let (a, b) = (self.evaluator.value(left, frame), self.evaluator.value(right, frame));
        match (a, b) {
            (Value::Number(a), Value::Number(b)) => match (how, a.interval.lo, b.interval.hi) {
                (Comparison::AtLeast, Some(lo), Some(hi)) if lo >= hi => Truth::Yes,
                _ => Truth::No,
            },
            _ => Truth::No,
        }
    }

    fn why_walk(
        &mut self,
        how: Quantifier,
        walk: &'a crate::language::program::Walk,
        body: &'a Expr,
        expr: &'a Expr,
        wanted: bool,
        frame: &mut Frame<'a, '_>,
    ) {
        // `at least one` fails as a whole; the others fail on the records that break them.
        if how == Quantifier::AtLeastOne && wanted {
            self.none_is(walk, expr, frame);
            return;
        }
        if !wanted {
            self.plain(expr, wanted, frame);
            return;
        }
        let before = self.reasons.len();
        for record in self.evaluator.collection(walk, frame).records {
            frame.slots[walk.slot] = Slot::Record(record);
            let let_in = walk.filter.as_ref().is_none_or(|filter| self.truth(filter, frame) != Truth::No);
            if let_in {
                self.why(body, how == Quantifier::Every, frame);
            }
        }
        if self.reasons.len() == before {
            self.plain(expr, wanted, frame);
        }
    }

    /// None of a list is as it should be: how many there are, and where the list stands.
    fn none_is(&mut self, walk: &'a crate::language::program::Walk, expr: &'a Expr, frame: &mut Frame<'a, '_>) {
        let records = self.evaluator.collection(walk, frame).records;
        let base = self.evaluator.program.definition(walk.base.def);
        let list = &self.evaluator.program.definition(base.children[walk.list]).key;
        let name = format!("{}.{list}", base.name);
        let truth = self.truth(expr, frame);
        let sentence = match (records.len(), truth) {
            (_, Truth::Doubtful(_)) => format!("it is not known whether any of {name} is as the clause asks"),
            (0, _) => format!("{name} lists none"),
            // Without their number: what was agreed to wait must be found again when another record is added.
            _ => format!("nothing listed in {name} is what the clause asks for"),
        };
        self.reasons.push(Reason {
            span: expr.span,
            sentence,
            value: None,
            limit: None,
            miss: None,
            parts: Vec::new(),
            numbers: None,
            at_most: None,
        });
    }

    /// A value with the facts that took part in it.
    fn noted(&mut self, expr: &'a Expr, frame: &mut Frame<'a, '_>) -> (Value<'a>, Vec<Part>) {
        self.evaluator.uses = Some(Vec::new());
        self.evaluator.steps = 0;
        let value = self.evaluator.value(expr, frame);
        let uses = self.evaluator.uses.take().unwrap_or_default();
        let mut seen: Vec<FactUse> = Vec::new();
        for fact in uses {
            if !seen.contains(&fact) {
                seen.push(fact);
            }
        }
        (value, seen.into_iter().map(|fact| self.part(fact)).collect())
    }

    fn part(&self, fact: FactUse) -> Part {
        let (program, job) = (self.evaluator.program, self.evaluator.job);
        let record = job.record(fact.record);
        let definition = program.definition(record.def);
        let field = &definition.fields[fact.field];
        let (shown, span, assumed) = match &record.facts[fact.field] {
            Fact::Stated(stated) if !stated.follows.is_empty() => {
                (format!("{}, from the drawing", middle_text_in(program, &stated.datum, job.units)), Some(stated.span), false)
            }
            Fact::Stated(stated) => {
                let written = self.source.slice(stated.span.range());
                let turned = match &stated.datum {
                    Datum::Number(_, Some(unit)) | Datum::Range(_, _, Some(unit)) => job.units.changes(*unit),
                    _ => false,
                };
                let text = if turned {
                    middle_text_in(program, &stated.datum, job.units)
                } else if written.is_empty() || written.contains('\n') {
                    datum_text(program, &stated.datum)
                } else {
                    written.to_string()
                };
                (text, Some(stated.span), false)
            }
            Fact::Nothing(span) => ("none".into(), Some(*span), false),
            Fact::Blank(span) | Fact::Spoiled(span) => ("not known".into(), Some(*span), false),
            Fact::Absent => match &field.taken {
                Some(crate::language::program::TakenAs::Value(datum)) => (datum_text(program, datum), None, true),
                Some(crate::language::program::TakenAs::Nothing) => ("none".into(), None, true),
                None => ("not stated".into(), Some(record.span), false),
            },
        };
        Part {
            name: format!("{}.{}", definition.name, field.name),
            thing: thing_name(program, job, fact.record),
            shown,
            span,
            doc: field.doc.clone(),
            assumed,
            reckoned: reckoned(&field.kind),
        }
    }

    fn comparison(&mut self, how: Comparison, left: &'a Expr, right: &'a Expr, expr: &'a Expr, wanted: bool, frame: &mut Frame<'a, '_>) {
        let (a, mut parts) = self.noted(left, frame);
        let (b, more) = self.noted(right, frame);
        let left_is_fact = !parts.is_empty() || more.is_empty();
        // Facts of the limit's side are no measured value.
        let mut own = if left_is_fact { parts.clone() } else { more.clone() };
        parts.extend(more.into_iter().filter(|part| !parts.contains(part)).collect::<Vec<_>>());
        // Facts that only choose what is reckoned with (ids, yes or no) would hide those that make the value.
        if parts.iter().any(|part| part.reckoned) {
            parts.retain(|part| part.reckoned);
            own.retain(|part| part.reckoned);
        }
        // The side that the job's facts make is the measured one.
        let (value, limit, how) = if left_is_fact { (a, b, how) } else { (b, a, turned(how)) };
        let plain = if left.kind == Kind::Date { how.words_of_days() } else { how.words() };
        let words = if wanted { plain.to_string() } else { format!("not {plain}") };
        let numbers = match (&value, &limit) {
            (Value::Number(value), Value::Number(limit)) => Some((value.clone(), limit.clone())),
            _ => None,
        };
        let (shown, bound, miss) = match (&value, &limit) {
            (Value::Number(value), Value::Number(limit)) => {
                let unit = unit_for(value, limit, &left.kind);
                let (text, other) = number_texts(value, limit, unit);
                let written = self.written(&own, value);
                (Some(written.unwrap_or(text)), Some(other), miss_text(value, limit, unit, how, wanted))
            }
            (value, limit) => {
                let program = self.evaluator.program;
                (value_text(program, value), value_text(program, limit), None)
            }
        };
        let subject = self.subject(if left_is_fact { left } else { right }, &own, frame);
        let sentence = match (&shown, &bound) {
            (Some(shown), Some(bound)) => format!("{subject} is {shown}; it must be {words} {bound}"),
            (None, Some(bound)) => format!("{subject} must be {words} {bound}"),
            _ => format!("{subject} must be {words} a value that is not known"),
        };
        let under = matches!(how, Comparison::AtMost | Comparison::LessThan);
        let at_most = numbers.as_ref().map(|_| under == wanted);
        self.reasons.push(Reason { span: expr.span, sentence, value: shown, limit: bound, miss, parts, numbers, at_most });
    }

    /// What a measured side is called.
    fn subject(&self, of: &Expr, parts: &[Part], frame: &Frame) -> String {
        let named = match (&of.op, parts) {
            (Op::Fact(..), [part]) => Some(part.name.clone()),
            _ => called(self.evaluator.program, of, frame.lets),
        };
        named.unwrap_or_else(|| "the value".into())
    }

    /// The value as the author wrote it, where the comparison is of one fact as it stands.
    fn written(&self, parts: &[Part], value: &Number) -> Option<String> {
        let [part] = parts else { return None };
        let reading = crate::quantity::read(&part.shown).ok()?;
        value.interval.contains(reading.value).then(|| part.shown.clone())
    }

    /// A condition that is no comparison by order.
    fn plain(&mut self, expr: &'a Expr, wanted: bool, frame: &mut Frame<'a, '_>) {
        let (value, parts) = self.noted(expr, frame);
        let program = self.evaluator.program;
        let written = program.files.get(expr.span.file).map_or("", |source| source.slice(expr.span.range()));
        let condition = written.split_whitespace().collect::<Vec<_>>().join(" ");
        let sure = !matches!(value, Value::Truth(Truth::Doubtful(_)) | Value::Unknown(_));
        let told = told(program, expr, frame.lets);
        let sentence = match (parts.as_slice(), sure) {
            ([part], true) if wanted && matches!(expr.op, Op::FactGiven(..)) => format!("{} is not stated: {}", part.name, part.doc),
            ([part], true) if part.span.is_some() => format!("{} is {}", part.name, part.shown),
            _ if sure && told.is_some() => {
                let (told, must) = (told.unwrap_or_default(), if wanted { "does not hold" } else { "must not be" });
                format!("this {must}: {}", told.strip_prefix("whether ").unwrap_or(&told))
            }
            ([part], true) if part.assumed => format!("{} is not stated, and taken as {}: {}", part.name, part.shown, part.doc),
            _ if wanted && sure => format!("this does not hold: {condition}"),
            _ if sure => format!("this must not be: {condition}"),
            _ => format!("it is not known whether {condition}"),
        };
        // That it is not stated is said once, whichever conditions fail by it.
        let same = |reason: &Reason| matches!((reason.parts.as_slice(), parts.as_slice()), ([one], [other]) if one.assumed && one == other);
        if !self.reasons.iter().any(same) {
            self.reasons.push(Reason {
                span: expr.span,
                sentence,
                value: None,
                limit: None,
                miss: None,
                parts,
                numbers: None,
                at_most: None,
            });
        }
    }

    /// A text for people with its values put in.
    fn text(&mut self, pieces: &'a [Piece], reason: Option<&Reason>, frame: &mut Frame<'a, '_>) -> String {
        let (mut text, units) = (String::new(), self.evaluator.job.units);
        for piece in pieces {
            match piece {
                Piece::Words(words) => text.push_str(words),
                Piece::Limit(step) => {
                    text.push_str(&stepped(reason, *step, |(_, limit)| limit, |reason| reason.limit.as_deref(), "the limit", units))
                }
                Piece::Measured(step) => {
                    text.push_str(&stepped(reason, *step, |(value, _)| value, |reason| reason.value.as_deref(), "not known", units))
                }
                Piece::Value(expr, step) => {
                    self.evaluator.steps = 0;
                    let value = self.evaluator.value(expr, frame);
                    let value = match (value, step) {
                        (Value::Number(number), Some(step)) => Value::Number(rounded_to(number, step)).shown_in(units),
                        (value, _) => value,
                    };
                    text.push_str(&value_text(self.evaluator.program, &value).unwrap_or_else(|| "?".into()));
                }
            }
        }
        text
    }
}

fn reckoned(kind: &Kind) -> bool {
    matches!(kind, Kind::Count | Kind::Measure(_) | Kind::Temperature | Kind::Date | Kind::Wire | Kind::Range(_))
}

fn turned(how: Comparison) -> Comparison {
    match how {
        Comparison::AtMost => Comparison::AtLeast,
        Comparison::AtLeast => Comparison::AtMost,
        Comparison::LessThan => Comparison::MoreThan,
        Comparison::MoreThan => Comparison::LessThan,
    }
}

/// The first place in the job that a finding is about: a fact that decided it, else what is missing, else the thing.
pub fn main_place(program: &Program, job: &Job, judged: &Judged, explanation: &Explanation) -> Span {
    // A value made of several facts belongs to the thing; one fact is its own place.
    let deciding = explanation.reasons.iter().find_map(|reason| match reason.parts.as_slice() {
        [part] => part.span,
        _ => None,
    });
    let missing = explanation.lacking.first().map(|lacking| lacking.span);
    let thing = job.record(bound_record(program, judged)).span;
    let place = match judged.verdict {
        Verdict::Open(_) => missing.or(deciding),
        _ => deciding.or(missing),
    };
    place.filter(|span| span.file == FileId::JOB).unwrap_or(thing)
}
