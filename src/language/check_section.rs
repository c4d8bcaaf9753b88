//! Checks formulas and sections: what they apply to, clauses, exceptions, dates in force, remedies. It must not know jobs.

use super::adopt::{Reading, except_label, label_of};
use super::build::read_condition;
use super::check::Checker;
use super::program::{Binder, Except, Expr, Force, JOB, Norm, Op, Over, Piece, Program, Section};
use super::scope::{Bound, Scope};
use super::tree::{self, Text};
use crate::datum::{DefId, Kind};
use crate::quantity::{Exact, Unit, read};
use crate::slip::{Slip, suggest};
use crate::source::{FileId, Span};

/// Slips that may only follow from a clause that could not be read: it may have bound the name, or been the one that is missed.
const OF_UNREAD: [&str; 4] = ["missing-scope", "missing-norm", "unknown-word", "unused-name"];

/// Most named values of one section.
const MOST_LETS: usize = 200;

impl Checker<'_> {
    /// Checks a section as it reads under one code.
    pub fn section(&mut self, reading: &Reading, root: usize) -> Option<Section> {
        let section = &reading.section;
        let clauses = &section.clauses;
        let mut scope = Scope::default();
        let before = self.slips.len();
        self.bare_section(section);
        let mut binders = Vec::new();
        for binder in &clauses.applies {
            binders.extend(self.binder(&mut scope, binder));
        }
        let force = clauses.force.as_ref().and_then(|force| self.force(force, &mut scope));
        let mut lets = Vec::new();
        if clauses.lets.len() > MOST_LETS {
            let message = format!("{} named values in one section; at most {MOST_LETS}", clauses.lets.len());
            self.slip(Slip::at(section.name.span, "too-deep", message).label("this section").hint("split the section, or use formulas"));
            return None;
        }
        for named in &clauses.lets {
            self.no_shadow(&scope, &named.name);
            if let Some(value) = self.expr(&mut scope, &named.value, None) {
                scope.bind(&named.name.text, Bound::Let(lets.len(), value.kind.clone()), named.name.span);
                lets.push((named.name.text.clone(), value));
            }
        }
        let norms: Vec<Norm> = clauses.norms.iter().enumerate().filter_map(|(at, norm)| self.norm(&mut scope, reading, norm, at)).collect();
        let excepts: Vec<Except> =
            clauses.excepts.iter().enumerate().filter_map(|(at, except)| self.except(&mut scope, except, at)).collect();
        self.never_met(&norms);
        self.check_cost(&scope, section.name.span, "this section");
        self.unused_in_section(&scope, reading);
        if clauses.unread {
            let found = self.slips.split_off(before);
            self.slips.extend(found.into_iter().filter(|slip| !OF_UNREAD.contains(&slip.name)));
            return None;
        }
        if self.slips[before..].iter().any(|slip| !slip.harmless) {
            return None;
        }
        Some(Section {
            id: format!("{}/{}", reading.pack, section.name.text),
            title: section.title.as_ref().map_or_else(String::new, |title| title.text.clone()),
            roots: vec![root],
            amended_by: reading.amended_by.clone(),
            floor_of: None,
            floor_pack: None,
            minimum: None,
            binders,
            lets,
            norms,
            excepts,
            force,
            slots: scope.slots,
            span: section.name.span,
        })
    }

    fn bare_section(&mut self, section: &tree::Section) {
        let missing = [
            (section.title.is_none(), "missing-title", "a title", "write it in quotes after the name"),
            (section.clauses.applies.is_empty(), "missing-scope", "an `applies to`", "say what it is asked of: `applies to each gate`"),
            (section.clauses.norms.is_empty(), "missing-norm", "a `shall` or `should`", "say what it demands"),
        ];
        for (_, name, what, hint) in missing.into_iter().filter(|(missing, ..)| *missing) {
            self.slips.push(
                Slip::at(section.name.span, name, format!("section `{}` has not {what}", section.name.text))
                    .label("this section")
                    .hint(hint),
            );
        }
    }

    /// Names that nothing in the section uses. Where a pack amends the section of another, a named value of the other's may lose its
    /// use, and its author has done nothing wrong; what the section is asked of can be restated.
    fn unused_in_section(&mut self, scope: &Scope, reading: &Reading) {
        let amended = !reading.amended_by.is_empty();
        for entry in
            scope.entries.iter().filter(|entry| !entry.used && matches!(entry.bound, Bound::Let(..) | Bound::Word(..) | Bound::Row(..)))
        {
            let is_let = matches!(entry.bound, Bound::Let(..));
            if amended && is_let && !reading.own_lets.contains(&entry.name) {
                continue;
            }
            let hint =
                if amended && !is_let { "use it, or restate `applies to` in the amendment without it" } else { "use it, or take it out" };
            self.slips.push(Slip::at(entry.span, "unused-name", format!("`{}` is never used", entry.name)).label("here").hint(hint));
        }
    }

    fn binder(&mut self, scope: &mut Scope, binder: &tree::Binder) -> Option<Binder> {
        let slot = scope.new_slot();
        let over = match &binder.over {
            tree::Over::Row(name) => {
                self.names.used.insert(format!("table {}", name.text));
                let Some(table) = self.names.tables.get(&name.text).copied() else {
                    let hint = suggest(&name.text, self.names.tables.keys().map(String::as_str));
                    self.slip(Slip::at(name.span, "unknown-word", format!("no table `{}`", name.text)).label("here").hint_maybe(hint));
                    return None;
                };
                self.no_shadow(scope, &binder.bound);
                scope.bind(&binder.bound.text, Bound::Row(slot, table), binder.bound.span);
                Over::Rows(table)
            }
            tree::Over::Each(name) => match self.definition_of(&name.text) {
                Some(def) => {
                    let within = self.enclosing_slot(scope, def);
                    self.unrelated(scope, def, within, name);
                    self.no_shadow(scope, &binder.bound);
                    scope.bind(&binder.bound.text, Bound::Record(slot, def), binder.bound.span);
                    Over::Things(def, within)
                }
                None => {
                    let Some(list) = self.list_names.get(&name.text).copied() else {
                        self.unknown_scope(name);
                        return None;
                    };
                    self.no_shadow(scope, &binder.bound);
                    scope.bind(&binder.bound.text, Bound::Word(slot, list), binder.bound.span);
                    Over::Words(list)
                }
            },
            tree::Over::Pair(name, other) => {
                let Some(def) = self.definition_of(&name.text) else {
                    self.unknown_scope(name);
                    return None;
                };
                let within = self.enclosing_slot(scope, def);
                self.unrelated(scope, def, within, name);
                let second = scope.new_slot();
                for (word, slot) in [(&binder.bound, slot), (other, second)] {
                    self.no_shadow(scope, word);
                    scope.bind(&word.text, Bound::Record(slot, def), word.span);
                }
                Over::Pairs(def, within)
            }
        };
        let filter = match &binder.filter {
            Some(filter) => Some(self.condition(scope, filter)?),
            None => None,
        };
        let other = match &binder.over {
            tree::Over::Pair(_, other) => Some(other.text.clone()),
            _ => None,
        };
        Some(Binder { over, slot, name: binder.bound.text.clone(), other, filter, span: binder.span })
    }

    fn definition_of(&self, name: &str) -> Option<DefId> {
        let at = self.definitions.iter().position(|definition| definition.name == name)?;
        Some(DefId(u32::try_from(at).unwrap_or(u32::MAX)))
    }

    fn unknown_scope(&mut self, name: &Text) {
        let known: Vec<String> =
            self.definitions.iter().map(|definition| definition.name.clone()).chain(self.list_names.keys().cloned()).collect();
        let plural = known.iter().find(|known| format!("{known}s") == name.text);
        let hint = plural
            .map(|one| format!("write `each {one}`, in the singular"))
            .or_else(|| suggest(&name.text, known.iter().map(String::as_str)));
        self.slip(
            Slip::at(name.span, "unknown-word", format!("there is no kind of record and no word list `{}`", name.text))
                .label("here")
                .hint_maybe(hint),
        );
    }

    /// Tells things that would be joined across the records that hold them, such as a load of one gate and a run of another.
    fn unrelated(&mut self, scope: &Scope, def: DefId, within: Option<usize>, name: &Text) {
        if within.is_some() {
            return;
        }
        let above = |mut at: DefId| {
            let mut all = Vec::new();
            while let Some(parent) = self.definitions[at.0 as usize].parent.filter(|parent| *parent != JOB) {
                all.push(parent);
                at = parent;
            }
            all
        };
        let own = above(def);
        let shared = scope.entries.iter().find_map(|entry| match entry.bound {
            Bound::Record(_, other) if other != def => {
                above(other).into_iter().find(|parent| own.contains(parent)).map(|parent| (entry.span, parent))
            }
            _ => None,
        });
        if let Some((first, parent)) = shared {
            let parent = self.definitions[parent.0 as usize].name.clone();
            let slip = Slip::at(
                name.span,
                "unrelated-things",
                format!("each `{}` of every {parent}, whichever {parent} the other thing belongs to", name.text),
            );
            let hint = format!("write `applies to each {parent}, …` first, so that both belong to one {parent}");
            self.slip(slip.label("this one").other(first, "and this").hint(hint));
        }
    }

    /// The slot of a bound thing that encloses records of `def`.
    fn enclosing_slot(&self, scope: &Scope, def: DefId) -> Option<usize> {
        let mut up = self.definitions[def.0 as usize].parent;
        while let Some(parent) = up.filter(|parent| *parent != JOB) {
            let slot = scope.entries.iter().find_map(|entry| match entry.bound {
                Bound::Record(slot, bound) if bound == parent => Some(slot),
                _ => None,
            });
            if slot.is_some() {
                return slot;
            }
            up = self.definitions[parent.0 as usize].parent;
        }
        None
    }

    /// Checks `in force`; without a date fact, today decides.
    pub fn force(&mut self, force: &tree::Force, scope: &mut Scope) -> Option<Force> {
        let by = match &force.by {
            None => Expr { op: Op::Today, kind: Kind::Date, span: force.span },
            Some(path) => self.name(scope, path, None)?,
        };
        if by.kind != Kind::Date {
            let text = self.kind_text(&by.kind);
            self.slip(
                Slip::at(by.span, "unlike-kinds", format!("`in force … by` {text}"))
                    .label(text)
                    .hint("name a date, as in gate.operator.made"),
            );
            return None;
        }
        if let (Some(from), Some(before)) = (force.from, force.before)
            && from >= before
        {
            self.slip(
                Slip::at(force.span, "constant-condition", "in force before it begins")
                    .label("never in force")
                    .hint("`from` includes its day, `before` excludes it"),
            );
        }
        Some(Force { from: force.from, before: force.before, by, span: force.span })
    }

    fn norm(&mut self, scope: &mut Scope, reading: &Reading, norm: &tree::Norm, at: usize) -> Option<Norm> {
        let condition = norm.condition.as_ref().map(|condition| self.condition(scope, condition));
        let body = self.condition(scope, &norm.body);
        if norm.cites.is_empty() {
            self.slip(
                Slip::at(norm.span, "missing-cite", "a clause without a citation")
                    .label("this clause")
                    .hint("add `cite SOURCE \"clause\"` below it; common practice has a source with the word `practice`"),
            );
        }
        let cites = norm.cites.iter().filter_map(|cite| self.citation(cite)).collect();
        let remedy = match &norm.remedy {
            Some(text) => self.remedy(scope, text),
            None => Vec::new(),
        };
        if let (Some(text), Some(old)) = (&norm.remedy, reading.stale.get(at).copied().flatten()) {
            self.stale_remedy(text, old, norm.body.span);
        }
        let condition = match condition {
            Some(condition) => Some(condition?),
            None => None,
        };
        let label = label_of(norm.label.as_ref(), at).chars().next().unwrap_or('a');
        let pack = reading.norm_packs.get(at).cloned().unwrap_or_else(|| reading.pack.clone());
        Some(Norm { modal: norm.modal, label, condition, body: body?, remedy, cites, span: norm.span, pack, reviewed: norm.reviewed })
    }

    fn except(&mut self, scope: &mut Scope, except: &tree::Except, at: usize) -> Option<Except> {
        let filter = except.filter.as_ref().map(|filter| self.condition(scope, filter));
        let unless = except.unless.as_ref().map(|unless| self.condition(scope, unless));
        let flat = |part: Option<Option<Expr>>| match part {
            Some(None) => Err(()),
            Some(Some(expr)) => Ok(Some(expr)),
            None => Ok(None),
        };
        let (filter, unless) = (flat(filter).ok()?, flat(unless).ok()?);
        Some(Except { label: except_label(except, at), text: except.text.text.clone(), filter, unless, span: except.span })
    }

    /// A remedy with its braces: `{limit}`, `{value to 0.1 V}`, any expression that is in reach.
    fn remedy(&mut self, scope: &mut Scope, text: &Text) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut rest = text.text.as_str();
        while let Some((words, tail)) = rest.split_once('{') {
            let Some((inside, after)) = tail.split_once('}') else {
                self.slip(
                    Slip::at(text.span, "open-brace", "a brace that is not closed")
                        .label("in this text")
                        .hint("write {gate.id}; a plain brace has no use in a text"),
                );
                return pieces;
            };
            pieces.push(Piece::Words(words.to_string()));
            pieces.extend(self.piece(scope, inside.trim(), text.span));
            rest = after;
        }
        pieces.push(Piece::Words(rest.to_string()));
        pieces
    }

    fn piece(&mut self, scope: &mut Scope, inside: &str, span: Span) -> Option<Piece> {
        let (written, step) = match inside.rsplit_once(" to ").and_then(|(head, tail)| Some((head, read(tail).ok()?))) {
            Some((head, step)) => (head.trim(), Some(step).filter(|step| step.value > Exact::ZERO)),
            None => (inside, None),
        };
        match written {
            "limit" => return Some(Piece::Limit(step)),
            "value" => return Some(Piece::Measured(step)),
            _ => {}
        }
        // A few braces, such as `{gate.id}`, stand in most remedies of a pack.
        let known = self.braces.entry(written.to_string()).or_insert_with(|| read_condition(written, FileId(0)).ok());
        let expr = match known.clone() {
            Some(expr) => expr,
            None => {
                self.slip(
                    Slip::at(span, "unreadable-brace", format!("`{{{inside}}}` cannot be read"))
                        .label("in this text")
                        .hint("between braces stand {limit}, {value} or an expression, as in {gate.id}"),
                );
                return None;
            }
        };
        let before = self.slips.len();
        let checked = self.expr(scope, &expr, None);
        // The inner places are of the brace's own text; what people see is the text that holds it.
        for slip in &mut self.slips[before..] {
            slip.message = format!("in `{{{inside}}}`: {}", slip.message);
            slip.span = Some(span);
            slip.others.retain(|(other, _)| other.file != FileId(0) || other.start > 4096);
        }
        let checked = checked?;
        let dimension = step.map(|step| step.unit.map_or(crate::quantity::Dimension::NONE, Unit::dimension));
        if dimension.is_some() && super::check_expr::dimension(&checked.kind) != dimension {
            let text = self.kind_text(&checked.kind);
            let slip =
                Slip::at(span, "unlike-units", format!("in `{{{inside}}}`: {text} cannot be rounded to that step")).label("in this text");
            self.slip(slip.hint("write the step in a unit of the value, as in {value to 0.1 V}"));
        }
        Some(Piece::Value(Expr { span, ..checked }, step))
    }

    /// A remedy that names a number of the clause it was written for, which the amended clause no longer has.
    fn stale_remedy(&mut self, remedy: &Text, old: Span, new: Span) {
        let text = |span: Span| self.texts.get(span.file).map_or("", |source| source.slice(span.range()));
        let (old_text, new_text) = (text(old), text(new));
        let stale =
            quantities(&remedy.text).into_iter().find(|number| old_text.contains(number.as_str()) && !new_text.contains(number.as_str()));
        if let Some(number) = stale {
            let slip =
                Slip::at(new, "stale-remedy", format!("the remedy of the amended clause still says `{number}`")).label("amended here");
            self.slips.push(slip.other(remedy.span, "the remedy").hint("restate the remedy in the amendment; better, let it say {limit}"));
        }
    }
}

/// Checks what a variance allows, with the words in reach that the section binds; beside it, how many slots its frame needs.
/// The slips lie in the text of `expr`.
pub fn check_allowed(program: &Program, section: &Section, expr: &tree::Expr) -> Result<(Expr, usize), Vec<Slip>> {
    let mut slips = Vec::new();
    let mut scope = Scope { slots: section.slots, ..Scope::default() };
    for binder in &section.binders {
        let bound = |slot| match binder.over {
            Over::Things(def, _) | Over::Pairs(def, _) => Bound::Record(slot, def),
            Over::Rows(table) => Bound::Row(slot, table),
            Over::Words(list) => Bound::Word(slot, list),
        };
        scope.bind(&binder.name, bound(binder.slot), binder.span);
        if let Some(other) = &binder.other {
            scope.bind(other, bound(binder.slot + 1), binder.span);
        }
    }
    let checked = Checker::of_program(program, &mut slips).condition(&mut scope, expr);
    match checked {
        Some(checked) if slips.is_empty() => Ok((checked, scope.slots)),
        _ => Err(slips),
    }
}

/// Numbers with units in a text for people.
fn quantities(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let clean = |word: &str| word.trim_end_matches(['.', ',', ';', ')']).to_string();
    let pairs = words.windows(2).filter(|pair| pair[0].starts_with(|c: char| c.is_ascii_digit()) && Unit::named(&clean(pair[1])).is_some());
    pairs.map(|pair| format!("{} {}", pair[0], clean(pair[1]))).collect()
}
