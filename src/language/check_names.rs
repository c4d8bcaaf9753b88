//! Looks up names in expressions: paths of things and facts, collections, tables, formulas, built-ins. It must not know
//! sections.

use super::check::Checker;
use super::program::{Expr, JOB, Op, ThingPath, Walk};
use super::scope::{Bound, Scope};
use super::tree::{self, Aggregate, Node, Path, Quantifier, Text};
use super::walk::names;
use crate::builtin;
use crate::datum::{DefId, Kind};
use crate::slip::{Slip, suggest};
use crate::source::Span;

impl Checker<'_> {
    /// A bound thing by its word, or a thing that encloses one.
    pub fn thing(&self, scope: &mut Scope, word: &str) -> Option<ThingPath> {
        if let Some(entry) = scope.find(word) {
            return match entry.bound {
                Bound::Record(slot, def) => Some(ThingPath { slot: Some(slot), ups: 0, downs: Vec::new(), def }),
                _ => None,
            };
        }
        if word == "job" && !self.definitions.is_empty() {
            return Some(ThingPath { slot: None, ups: 0, downs: Vec::new(), def: JOB });
        }
        let (name, path) = self.enclosing(scope, word)?;
        scope.find(&name);
        Some(path)
    }

    /// The thing of kind `word` that encloses a bound thing, with the bound word.
    pub fn enclosing(&self, scope: &Scope, word: &str) -> Option<(String, ThingPath)> {
        scope.entries.iter().find_map(|entry| {
            let Bound::Record(slot, def) = entry.bound else { return None };
            let (mut at, mut ups) = (def, 0);
            while let Some(parent) = self.definitions.get(at.0 as usize)?.parent {
                ups += 1;
                if self.definitions[parent.0 as usize].name == word {
                    return Some((entry.name.clone(), ThingPath { slot: Some(slot), ups, downs: Vec::new(), def: parent }));
                }
                at = parent;
            }
            None
        })
    }

    /// A path, a bound word or a word of a list.
    pub fn name(&mut self, scope: &mut Scope, path: &Path, hope: Option<&Kind>) -> Option<Expr> {
        let first = path.names.first()?;
        if let Some(thing) = self.thing(scope, &first.text) {
            return self.follow(thing, path);
        }
        let Some(entry) = scope.find(&first.text) else {
            if path.names.len() == 1 && matches!(hope, Some(Kind::Word(_) | Kind::WordSet(_))) {
                return self.word(&first.text, path.span, hope);
            }
            self.unknown_name(scope, first, path);
            return None;
        };
        let rest = path.names.get(1);
        let (op, kind) = match entry.bound {
            Bound::Row(slot, table) => {
                let Some(column) = rest else {
                    self.slip(
                        Slip::at(path.span, "unknown-word", format!("`{}` is a row", first.text))
                            .label("here")
                            .hint(format!("name a column of it, as in {}.{}", first.text, self.tables[table].columns[0].name)),
                    );
                    return None;
                };
                let found = self.tables[table].columns.iter().position(|known| known.name == column.text);
                let Some(at) = found else {
                    let hint = suggest(&column.text, self.tables[table].columns.iter().map(|known| known.name.as_str()));
                    self.slip(
                        Slip::at(
                            column.span,
                            "unknown-word",
                            format!("no column `{}` in table `{}`", column.text, self.tables[table].name),
                        )
                        .label("here")
                        .hint_maybe(hint),
                    );
                    return None;
                };
                if path.names.len() > 2 {
                    self.too_long(path);
                    return None;
                }
                (Op::Column(slot, at), self.tables[table].columns[at].kind.clone())
            }
            Bound::Word(slot, list) if rest.is_none() => (Op::WordSlot(slot), Kind::Word(list)),
            Bound::Parameter(slot, kind) if rest.is_none() => (Op::Parameter(slot), kind),
            Bound::Let(at, kind) if rest.is_none() => (Op::Let(at), kind),
            _ => {
                self.too_long(path);
                return None;
            }
        };
        Some(Expr { op, kind, span: path.span })
    }

    fn too_long(&mut self, path: &Path) {
        self.slip(
            Slip::at(path.span, "unknown-word", "this word has no facts of its own").label("here").hint("leave out what follows the point"),
        );
    }

    fn unknown_name(&mut self, scope: &Scope, first: &Text, path: &Path) {
        let mut known: Vec<String> = scope.entries.iter().map(|entry| entry.name.clone()).collect();
        known.push("job".into());
        let definition = self.definitions.iter().position(|definition| definition.name == first.text);
        let renamed = scope.entries.iter().find(|entry| matches!(entry.bound, Bound::Record(_, def) if Some(def.0 as usize) == definition));
        let definition = definition.is_some();
        let of_job = self.definitions.first().is_some_and(|job| job.name == "job" && job.field(&first.text).is_some());
        let hint = if of_job {
            format!("a fact of the job is written `job.{}`", first.text)
        } else if let Some(renamed) = renamed {
            format!("here it is called `{}`, by the word after `as`", renamed.name)
        } else if definition && path.names.len() > 1 {
            format!("write `applies to each {}`, or walk the list: `every {} among … has …`", first.text, first.text)
        } else if self.names.tables.contains_key(&first.text) || self.names.formulas.contains_key(&first.text) {
            format!(
                "write its keys in brackets, as in {}(…)",
                path.names.iter().map(|name| name.text.as_str()).collect::<Vec<_>>().join(".")
            )
        } else {
            suggest(&first.text, known.iter().map(String::as_str)).unwrap_or_default()
        };
        self.slip(
            Slip::at(path.span, "unknown-word", format!("`{}` is nothing that is in reach here", first.text)).label("this word").hint(hint),
        );
    }

    /// Follows a path from a thing to a fact or another thing.
    fn follow(&mut self, mut thing: ThingPath, path: &Path) -> Option<Expr> {
        let span = path.span;
        for (at, name) in path.names.iter().enumerate().skip(1) {
            let last = at + 1 == path.names.len();
            let definition = &self.definitions[thing.def.0 as usize];
            if last && name.text == "id" {
                return Some(Expr { op: Op::Id(thing), kind: Kind::Text, span });
            }
            if last && name.text == "today" && thing.def == JOB {
                return Some(Expr { op: Op::Today, kind: Kind::Date, span });
            }
            if let Some(field) = definition.field(&name.text) {
                if !last {
                    self.too_long(path);
                    return None;
                }
                let kind = definition.fields[field].kind.clone();
                return Some(Expr { op: Op::Fact(thing, field), kind, span });
            }
            let child = definition.children.iter().position(|child| self.definitions[child.0 as usize].key == name.text);
            match child.map(|child| (child, definition.children[child])) {
                Some((child, def)) if self.definitions[def.0 as usize].single => {
                    thing.downs.push(child);
                    thing.def = def;
                }
                Some((_, def)) => {
                    let one = &self.definitions[def.0 as usize].name;
                    let list = path.names[..=at].iter().map(|name| name.text.as_str()).collect::<Vec<_>>().join(".");
                    let hint = match path.names.get(at + 1) {
                        Some(fact) => format!(
                            "apply the section to each {one}, or walk the list: `every {one} among {list} has {one}.{} …`",
                            fact.text
                        ),
                        None => format!("walk it: `every {one} among {list} has …`, `count of {one} among {list} …`"),
                    };
                    self.slip(Slip::at(name.span, "list-as-value", format!("`{}` is a list", name.text)).label("here").hint(hint));
                    return None;
                }
                None => {
                    self.unknown_fact(thing.def, name);
                    return None;
                }
            }
        }
        let def = thing.def;
        Some(Expr { op: Op::Thing(thing), kind: Kind::Thing(def), span })
    }

    fn unknown_fact(&mut self, def: DefId, name: &Text) {
        let definition = &self.definitions[def.0 as usize];
        let keys = definition.children.iter().map(|child| self.definitions[child.0 as usize].key.as_str());
        let known: Vec<&str> = definition.fields.iter().map(|field| field.name.as_str()).chain(keys).collect();
        let near = suggest(&name.text, known.iter().copied());
        let gathered = definition.gathers.iter().find(|member| self.definitions[member.0 as usize].field(&name.text).is_none());
        let hint = match gathered {
            Some(member) if near.is_none() => Some(format!(
                "only facts that all gathered records have can be used; `{}` has no `{}`",
                self.definitions[member.0 as usize].name, name.text
            )),
            _ => Some(near.unwrap_or_else(|| {
                format!(
                    "a fact of your own is added to it: `amend terms/{}`, with a line `{} KIND \"How to measure it\"`",
                    definition.name, name.text
                )
            })),
        };
        let slip = Slip::at(name.span, "unknown-fact", format!("`{}` has no fact `{}`", definition.name, name.text))
            .label("here")
            .other(definition.span, "defined here");
        self.slip(slip.hint_maybe(hint));
    }

    /// `… is given`: a fact that may be none, a single record or a cell.
    pub fn given(&mut self, scope: &mut Scope, part: &tree::Expr) -> Option<Op> {
        let checked = self.expr(scope, part, None)?;
        match checked.op {
            Op::Fact(path, field) => {
                let fact = &self.definitions[path.def.0 as usize].fields[field];
                let may_be_none = matches!(fact.taken, Some(super::program::TakenAs::Nothing)) || !path.downs.is_empty();
                if !may_be_none {
                    let (span, name) = (fact.span, fact.name.clone());
                    let slip = Slip::at(part.span, "always-given", format!("every job must state `{name}`"))
                        .label("asked here")
                        .other(span, "defined without `taken as none`");
                    self.slip(slip.hint("`is given` is for facts with `taken as none`"));
                    return None;
                }
                Some(Op::FactGiven(path, field))
            }
            Op::Thing(path) => Some(Op::ThingGiven(path)),
            Op::Column(slot, column) => Some(Op::ColumnGiven(slot, column)),
            _ => {
                self.slip(Slip::at(part.span, "always-given", "`is given` is asked of facts, records and cells").label("here"));
                None
            }
        }
    }

    /// `every / at least one / no … among … has …`.
    pub fn quantified(&mut self, scope: &mut Scope, how: Quantifier, walk: &tree::Walk, body: &tree::Expr, span: Span) -> Option<Expr> {
        self.names_bound(body, &walk.bound);
        let checked = self.walk_in(scope, walk, |checker, scope| checker.condition(scope, body))?;
        Some(Expr { op: Op::Quantified(how, checked.0, Box::new(checked.1?)), kind: Kind::YesNo, span })
    }

    /// `count of`, `sum of` and so on.
    pub fn aggregate(&mut self, scope: &mut Scope, how: Aggregate, of: Option<&tree::Expr>, walk: &tree::Walk, span: Span) -> Option<Expr> {
        let checked = self.walk_in(scope, walk, |checker, scope| of.map(|of| checker.expr(scope, of, None)))?;
        let (walk, of) = (checked.0, checked.1);
        let of = match of {
            Some(Some(of)) => Some(of),
            Some(None) => return None,
            None => None,
        };
        let kind = match (how, &of) {
            (Aggregate::Count, _) | (Aggregate::CountDistinct, None) | (_, None) => Kind::Count,
            (Aggregate::CountDistinct, Some(of)) if matches!(of.kind, Kind::Word(_) | Kind::Text | Kind::Count | Kind::Date) => Kind::Count,
            (Aggregate::Sum | Aggregate::Least | Aggregate::Greatest, Some(of)) if of.kind.is_number() => of.kind.clone(),
            (Aggregate::Least | Aggregate::Greatest, Some(of)) if matches!(of.kind, Kind::Date | Kind::Temperature) => of.kind.clone(),
            (_, Some(of)) => {
                let (text, at) = (self.kind_text(&of.kind), of.span);
                let hint = if how == Aggregate::CountDistinct {
                    "words, texts, counts and dates can be told apart; measures cannot"
                } else {
                    "numbers can be added and compared"
                };
                self.slip(Slip::at(at, "unlike-kinds", format!("this is {text}")).label(text).hint(hint));
                return None;
            }
        };
        Some(Expr { op: Op::Aggregate(how, of.map(Box::new), walk), kind, span })
    }

    /// Binds the word of a walk for its filter and its body.
    fn walk_in<T>(&mut self, scope: &mut Scope, walk: &tree::Walk, body: impl FnOnce(&mut Self, &mut Scope) -> T) -> Option<(Walk, T)> {
        let (base, list, def) = self.collection(scope, &walk.among)?;
        self.no_shadow(scope, &walk.bound);
        let slot = scope.new_slot();
        scope.bind(&walk.bound.text, Bound::Record(slot, def), walk.bound.span);
        scope.depth += 1;
        scope.note_depth(0);
        if let Some(filter) = &walk.filter {
            self.names_bound(filter, &walk.bound);
        }
        let filter = walk.filter.as_ref().map(|filter| self.condition(scope, filter));
        let body = body(self, scope);
        scope.depth -= 1;
        scope.entries.pop();
        let filter = match filter {
            Some(filter) => Some(Box::new(filter?)),
            None => None,
        };
        Some((Walk { base, list, slot, filter, bound: walk.bound.text.clone() }, body))
    }

    /// Tells a word that is bound already.
    pub fn no_shadow(&mut self, scope: &Scope, name: &Text) {
        let first = scope
            .bound_at(&name.text)
            .or_else(|| self.enclosing(scope, &name.text).map(|(_, path)| self.definitions[path.def.0 as usize].span));
        if let Some(first) = first {
            let slip = Slip::at(name.span, "shadowed-word", format!("`{}` already stands for something here", name.text))
                .label("bound again")
                .other(first, "bound here");
            self.slip(slip.hint("choose another word"));
        }
        self.reserved(name);
    }

    fn collection(&mut self, scope: &mut Scope, path: &Path) -> Option<(ThingPath, usize, DefId)> {
        let (first, last) = (path.names.first()?, path.names.last()?);
        let Some(mut thing) = self.thing(scope, &first.text) else {
            self.unknown_name(scope, first, path);
            return None;
        };
        for name in path.names.iter().skip(1) {
            let definition = &self.definitions[thing.def.0 as usize];
            let child = definition.children.iter().position(|child| self.definitions[child.0 as usize].key == name.text);
            let Some(child) = child else {
                if definition.field(&name.text).is_some() {
                    self.slip(
                        Slip::at(path.span, "value-as-list", format!("`{}` is a fact, not a list of records", name.text))
                            .label("here")
                            .hint("for a set of words write `includes`"),
                    );
                } else {
                    self.unknown_fact(thing.def, name);
                }
                return None;
            };
            let def = definition.children[child];
            if !self.definitions[def.0 as usize].single {
                if !std::ptr::eq(name, last) {
                    self.slip(
                        Slip::at(name.span, "list-as-value", format!("`{}` is a list", name.text))
                            .label("here")
                            .hint("walk the outer list first, then the inner one"),
                    );
                    return None;
                }
                return Some((thing, child, def));
            }
            thing.downs.push(child);
            thing.def = def;
        }
        self.slip(
            Slip::at(path.span, "value-as-list", "this is one thing, not a list").label("here").hint("walk a list, as in gate.beams"),
        );
        None
    }

    /// Each part of a body must name the bound word, or it asks nothing of it.
    fn names_bound(&mut self, body: &tree::Expr, bound: &Text) {
        let parts: Vec<&tree::Expr> = match &body.node {
            Node::Junction(_, parts) => parts.iter().collect(),
            _ => vec![body],
        };
        for part in parts.into_iter().filter(|part| !names(part, &bound.text)) {
            let slip = Slip::at(part.span, "unbound-body", format!("this part does not name `{}`", bound.text))
                .label("it asks nothing of each one");
            self.slip(slip.other(bound.span, "bound here").hint("name the bound word, or move the part out of the walk"));
        }
    }

    /// A look-up, a formula or a built-in.
    pub fn call(&mut self, scope: &mut Scope, path: &Path, arguments: &[tree::Expr], span: Span) -> Option<Expr> {
        let first = path.names.first()?;
        if let Some(table) = self.names.tables.get(&first.text).copied() {
            self.names.used.insert(format!("table {}", first.text));
            return self.look_up(scope, table, path, arguments, span);
        }
        if path.names.len() == 1 {
            if let Some(formula) = self.names.formulas.get(&first.text).copied() {
                self.names.used.insert(format!("formula {}", first.text));
                return self.call_formula(scope, formula, arguments, span);
            }
            if let Some(index) = builtin::ROWS.iter().position(|row| row.name == first.text) {
                return self.call_builtin(scope, index, arguments, span);
            }
        }
        // Known to the pack and not among what has been checked: its own slip has been told.
        if self.names.spoiled.contains(&first.text) {
            self.names.used.insert(format!("table {}", first.text));
            self.names.used.insert(format!("formula {}", first.text));
            return None;
        }
        let tables = self.names.tables.keys().map(String::as_str);
        let known: Vec<&str> =
            tables.chain(self.names.formulas.keys().map(String::as_str)).chain(builtin::ROWS.iter().map(|row| row.name)).collect();
        let hint = suggest(&first.text, known.iter().copied());
        self.slip(
            Slip::at(path.span, "unknown-word", format!("no table, formula or built-in `{}`", first.text))
                .label("called here")
                .hint_maybe(hint),
        );
        None
    }

    fn look_up(&mut self, scope: &mut Scope, table: usize, path: &Path, arguments: &[tree::Expr], span: Span) -> Option<Expr> {
        let keys: Vec<(String, Kind)> = self.tables[table]
            .keys
            .iter()
            .map(|key| (self.tables[table].columns[*key].name.clone(), self.tables[table].columns[*key].kind.clone()))
            .collect();
        let column = path
            .names
            .get(1)
            .and_then(|name| self.tables[table].columns.iter().position(|column| column.name == name.text && column.key.is_none()));
        let Some(column) = column else {
            let known: Vec<&str> =
                self.tables[table].columns.iter().filter(|column| column.key.is_none()).map(|column| column.name.as_str()).collect();
            let hint = format!(
                "its columns: {}",
                known.iter().map(|name| format!("{}.{name}", path.names[0].text)).collect::<Vec<_>>().join(", ")
            );
            self.slip(
                Slip::at(path.span, "unknown-word", format!("a look-up in table `{}` names one of its columns", self.tables[table].name))
                    .label("here")
                    .hint(hint),
            );
            return None;
        };
        if !self.argument_count(span, arguments.len(), keys.len(), &keys.iter().map(|key| key.0.as_str()).collect::<Vec<_>>().join(", ")) {
            return None;
        }
        let mut checked = Vec::new();
        for (argument, (key, kind)) in arguments.iter().zip(&keys) {
            let argument = self.expr(scope, argument, Some(kind))?;
            let fits = match (kind, &argument.kind) {
                (Kind::Word(one), Kind::Word(two)) => {
                    self.lists.list(*one).words.iter().any(|word| self.lists.list(*two).words.contains(word))
                }
                (one, two) => {
                    one == two
                        || super::check_expr::dimension(one).is_some()
                            && super::check_expr::dimension(one) == super::check_expr::dimension(two)
                }
            };
            if !fits {
                let texts = (self.kind_text(kind), self.kind_text(&argument.kind));
                self.slip(
                    Slip::at(argument.span, "unlike-kinds", format!("key `{key}` is {}, not {}", texts.0, texts.1))
                        .label(texts.1)
                        .other(self.tables[table].span, "the table"),
                );
                return None;
            }
            checked.push(argument);
        }
        self.check_coverage(table);
        Some(Expr { op: Op::LookUp(table, column, checked), kind: self.tables[table].columns[column].kind.clone(), span })
    }

    /// Whether a call has as many arguments as are wanted; `names` are told where it has not.
    pub fn argument_count(&mut self, span: Span, got: usize, wanted: usize, names: &str) -> bool {
        if got != wanted {
            self.slip(
                Slip::at(span, "wrong-arguments", format!("{got} values in brackets where {wanted} are wanted"))
                    .label("here")
                    .hint(format!("in this order: {names}")),
            );
        }
        got == wanted
    }

    fn call_formula(&mut self, scope: &mut Scope, formula: usize, arguments: &[tree::Expr], span: Span) -> Option<Expr> {
        let parameters = self.formulas[formula].parameters.clone();
        let names = parameters.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>().join(", ");
        if !self.argument_count(span, arguments.len(), parameters.len(), &names) {
            return None;
        }
        let mut checked = Vec::new();
        for (argument, (name, kind)) in arguments.iter().zip(&parameters) {
            let argument = self.expr(scope, argument, Some(kind))?;
            let fits = argument.kind == *kind
                || super::check_expr::dimension(kind).is_some()
                    && super::check_expr::dimension(kind) == super::check_expr::dimension(&argument.kind);
            if !fits {
                let texts = (self.kind_text(kind), self.kind_text(&argument.kind));
                self.slip(Slip::at(argument.span, "unlike-kinds", format!("`{name}` is {}, not {}", texts.0, texts.1)).label(texts.1));
                return None;
            }
            checked.push(argument);
        }
        let (depth, cost) = self.formula_costs.get(formula).copied().unwrap_or_default();
        scope.note_depth(depth);
        scope.cost = scope.cost.saturating_add(cost);
        Some(Expr { op: Op::Formula(formula, checked), kind: self.formulas[formula].body.kind.clone(), span })
    }
}
