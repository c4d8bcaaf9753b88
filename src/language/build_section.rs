//! Turns sections, amendments and repeals into the tree: clauses, and which cite and remedy belong to which of them. It
//! must not look up any name.

use super::build::Builder;
use super::grammar::Rule;
use super::tree::{Amend, Binder, Clauses, Except, Let, Modal, Name, Norm, Over, Repeal, Section, Target, Text};
use crate::slip::Slip;
use pest::iterators::Pair;

type P<'i> = Pair<'i, Rule>;

/// Which norms the last cite went to, so that a second cite right after it goes to the same ones.
#[derive(Default)]
struct Trail {
    cited: Vec<(bool, usize)>,
    after_cite: bool,
}

impl Builder {
    /// A section.
    pub fn section(&mut self, pair: P) -> Section {
        let span = self.span(&pair);
        let mut section = Section { name: Name { text: String::new(), span }, title: None, clauses: Clauses::default() };
        let mut trail = Trail::default();
        let mut reviewed = false;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::reviewed => reviewed = part.into_inner().next().is_some_and(|text| !self.texts(text).text.trim().is_empty()),
                Rule::word => section.name = self.name(&part),
                Rule::texts => section.title = Some(self.texts(part)),
                Rule::stray_clause => {
                    section.clauses.unread = true;
                    self.stray_clause(&part, Rule::only_section_clause);
                }
                _ => self.clause(part, &mut section.clauses, &mut trail),
            }
        }
        section.clauses.norms.iter_mut().for_each(|norm| norm.reviewed = reviewed);
        if !section.clauses.unread {
            self.check_norms(&section);
        }
        section
    }

    fn check_norms(&mut self, section: &Section) {
        let norms = &section.clauses.norms;
        if let [norm] = norms.as_slice() {
            if let Some(label) = &norm.label {
                self.slip(
                    Slip::at(label.span, "lone-label", "a label on the only clause of a section")
                        .label("this label")
                        .hint("leave the label out; a lone clause is (a) all the same"),
                );
            }
        } else {
            let mut labels = Vec::new();
            for norm in norms {
                match &norm.label {
                    Some(label) => labels.push((label.text.clone(), label.span)),
                    None => self.slip(
                        Slip::at(norm.span, "missing-label", "one of several clauses has no label")
                            .label("this clause")
                            .hint("label them (a), (b) and so on"),
                    ),
                }
            }
            self.check_labels(&labels, "a");
        }
        let exceptions: Vec<_> = section
            .clauses
            .excepts
            .iter()
            .filter_map(|except| except.label.as_ref())
            .map(|label| (label.text.clone(), label.span))
            .collect();
        self.check_labels(&exceptions, "1");
    }

    fn clause(&mut self, pair: P, clauses: &mut Clauses, trail: &mut Trail) {
        let span = self.span(&pair);
        let rule = pair.as_rule();
        match rule {
            Rule::applies => {
                if let Some(first) = clauses.applies.first() {
                    let slip = Slip::at(span, "doubled-clause", "a second `applies to`").label("this one").other(first.span, "the first");
                    self.slip(slip.hint("put both parts into one, with a comma between them"));
                }
                clauses.applies = pair.into_inner().filter_map(|binder| self.binder(binder)).collect();
            }
            Rule::let_clause => {
                let mut inner = pair.into_inner();
                if let (Some(name), Some(value)) = (inner.next(), inner.next()) {
                    let name = self.name(&name);
                    let value = self.expr(value);
                    clauses.lets.push(Let { name, value });
                }
            }
            Rule::norm => clauses.norms.extend(self.norm(pair)),
            Rule::add_norm => {
                let norm = pair.into_inner().next().and_then(|norm| self.norm(norm));
                clauses.added.extend(norm);
            }
            Rule::except => clauses.excepts.extend(self.except(pair)),
            Rule::force => {
                if let Some(other) = &clauses.force {
                    self.slips
                        .push(Slip::at(span, "doubled-clause", "a second `in force`").label("this one").other(other.span, "the first"));
                }
                clauses.force = Some(self.force(pair));
            }
            Rule::remedy => {
                let text = pair.into_inner().next().map(|texts| self.texts(texts));
                self.remedy(text, clauses, span);
            }
            Rule::cite => self.attach_cite(pair, clauses, trail),
            _ => {}
        }
        trail.after_cite = rule == Rule::cite;
    }

    fn remedy(&mut self, text: Option<Text>, clauses: &mut Clauses, span: crate::source::Span) {
        let mut taken = false;
        for norm in
            clauses.norms.iter_mut().chain(clauses.added.iter_mut()).filter(|norm| norm.remedy.is_none() && norm.span.start < span.start)
        {
            norm.remedy.clone_from(&text);
            taken = true;
        }
        if !taken && !clauses.unread {
            self.slip(
                Slip::at(span, "unattached-remedy", "a remedy that belongs to no clause")
                    .label("this remedy")
                    .hint("a remedy stands below the clauses it belongs to, and each has one"),
            );
        }
    }

    fn attach_cite(&mut self, pair: P, clauses: &mut Clauses, trail: &mut Trail) {
        let Some(cite) = self.cite(pair) else { return };
        if !trail.after_cite {
            let open = |norms: &[Norm], added: bool| -> Vec<(bool, usize)> {
                norms.iter().enumerate().filter(|(_, norm)| norm.cites.is_empty()).map(|(index, _)| (added, index)).collect()
            };
            trail.cited = open(&clauses.norms, false);
            trail.cited.extend(open(&clauses.added, true));
        }
        if trail.cited.is_empty() && !clauses.unread {
            self.slip(
                Slip::at(cite.span, "unattached-cite", "a citation that belongs to no clause")
                    .label("this citation")
                    .hint("a citation stands below the clauses it belongs to"),
            );
        }
        for (added, index) in &trail.cited {
            let norms = if *added { &mut clauses.added } else { &mut clauses.norms };
            if let Some(norm) = norms.get_mut(*index) {
                norm.cites.push(cite.clone());
            }
        }
    }

    fn binder(&mut self, pair: P) -> Option<Binder> {
        let span = self.span(&pair);
        let (mut over, mut bound, mut filter) = (None, None, None);
        for part in pair.into_inner() {
            let rule = part.as_rule();
            if rule == Rule::filter {
                filter = part.into_inner().next().map(|expr| self.expr(expr));
                continue;
            }
            let words: Vec<Name> = part.into_inner().map(|word| self.name(&word)).collect();
            let mut words = words.into_iter();
            let what = words.next()?;
            let first = words.next();
            bound = Some(first.unwrap_or_else(|| what.clone()));
            over = Some(match rule {
                Rule::pair => Over::Pair(what, words.next()?),
                Rule::row_of => Over::Row(what),
                _ => Over::Each(what),
            });
        }
        Some(Binder { over: over?, bound: bound?, filter, span })
    }

    fn norm(&mut self, pair: P) -> Option<Norm> {
        let span = self.span(&pair);
        let (mut modal, mut label, mut condition, mut body) = (Modal::Shall, None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::modal => modal = self.modal(&part),
                Rule::label => label = Some(self.name(&part)),
                Rule::rule_if => {
                    let mut inner = part.into_inner();
                    condition = inner.next().map(|expr| self.expr(expr));
                    body = inner.next().map(|expr| self.expr(expr));
                }
                _ => body = Some(self.expr(part)),
            }
        }
        Some(Norm { modal, label, condition, body: body?, remedy: None, cites: Vec::new(), reviewed: false, span })
    }

    fn modal(&mut self, pair: &P) -> Modal {
        match pair.as_str() {
            "shall" => Modal::Shall,
            "should" => Modal::Should,
            other => {
                let span = self.span(pair);
                let right = if matches!(other, "may" | "can") {
                    "`should` for what is recommended; what is merely allowed needs no clause, or an exception"
                } else {
                    "`shall` for what is mandatory"
                };
                self.slip(
                    Slip::at(span, "wrong-form", format!("`{other}` is not how this language demands"))
                        .label("here")
                        .hint(format!("write {right}")),
                );
                Modal::Shall
            }
        }
    }

    fn except(&mut self, pair: P) -> Option<Except> {
        let span = self.span(&pair);
        let (mut label, mut text, mut filter, mut unless) = (None, None, None, None);
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::label => label = Some(self.name(&part)),
                Rule::texts => text = Some(self.texts(part)),
                Rule::filter => filter = part.into_inner().next().map(|expr| self.expr(expr)),
                Rule::unless => unless = part.into_inner().next().map(|expr| self.expr(expr)),
                _ => {}
            }
        }
        if filter.is_none() && unless.is_none() {
            self.slip(
                Slip::at(span, "open-exception", "an exception without a condition")
                    .label("this exception would always hold")
                    .hint("say `where` it holds, or repeal the clause"),
            );
        }
        Some(Except { label, text: text?, filter, unless, span })
    }

    /// An amendment.
    pub fn amend(&mut self, pair: P) -> Amend {
        let span = self.span(&pair);
        let target = Target { pack: String::new(), item: String::new(), span };
        let mut amend = Amend { target, clauses: Clauses::default(), rows: Vec::new(), fields: Vec::new(), words: Vec::new(), span };
        let mut trail = Trail::default();
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::sid => amend.target = self.target(&part),
                Rule::row => amend.rows.push(self.row(part)),
                Rule::field => amend.fields.extend(self.field(part)),
                Rule::add_values => amend.words.extend(part.into_inner().map(|word| self.name(&word))),
                Rule::stray_clause => {
                    amend.clauses.unread = true;
                    self.stray_clause(&part, Rule::only_amend_part);
                }
                _ => self.clause(part, &mut amend.clauses, &mut trail),
            }
        }
        amend
    }

    /// A repeal.
    pub fn repeal(&mut self, pair: P) -> Repeal {
        let span = self.span(&pair);
        let target = Target { pack: String::new(), item: String::new(), span };
        let mut repeal = Repeal { target, labels: Vec::new(), exceptions: Vec::new(), because: None, cite: None, span };
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::sid => repeal.target = self.target(&part),
                Rule::label => repeal.labels.push(self.name(&part)),
                Rule::repeal_exception => repeal.exceptions.extend(part.into_inner().map(|label| self.name(&label))),
                Rule::because => repeal.because = part.into_inner().next().map(|texts| self.texts(texts)),
                Rule::cite => repeal.cite = self.cite(part),
                _ => {}
            }
        }
        repeal
    }
}
