//! Finds the kind that a pack names: a dimension, a word list, points, a kind of record. It must not know facts or sections.

use super::check::Checker;
use super::tree::{KindName, Text};
use crate::datum::{DefId, Kind, ListId, WordList};
use crate::quantity::Dimension;
use crate::slip::{Slip, suggest};

impl Checker<'_> {
    /// A kind by its words.
    pub fn kind(&mut self, kind: &KindName) -> Option<Kind> {
        match kind {
            KindName::Word(name) => self.kind_word(name),
            KindName::OneOf(names) => self.inline_list(names).map(Kind::Word),
            KindName::AnyOf(names) => self.inline_list(names).map(Kind::WordSet),
            KindName::RangeOf(name) => match self.kind_word(name)? {
                Kind::Measure(dimension) => Some(Kind::Range(dimension)),
                other => {
                    let text = self.kind_text(&other);
                    self.slip(
                        Slip::at(name.span, "unknown-kind", format!("a range of {text}"))
                            .label("here")
                            .hint("ranges are of measures, as in `range of length`"),
                    );
                    None
                }
            },
            KindName::IdOf(_) => Some(Kind::Text),
            KindName::ListOf(name) if name.text == "text" => Some(Kind::TextList),
            KindName::ListOf(name) if name.text == "point" => Some(Kind::Points),
            KindName::RecordingOf(name) => match self.kind_word(name)? {
                Kind::Measure(dimension) => Some(Kind::Recording(dimension)),
                other => {
                    let text = self.kind_text(&other);
                    self.slip(
                        Slip::at(name.span, "unknown-kind", format!("a recording of {text}"))
                            .label("here")
                            .hint("recordings are of measures, as in `recording of force`"),
                    );
                    None
                }
            },
            KindName::ListOf(name) => {
                self.slip(
                    Slip::at(name.span, "unknown-kind", format!("a list of {}", name.text))
                        .label("here")
                        .hint("only `list of text` and `list of point`; records have a definition of their own"),
                );
                None
            }
        }
    }

    /// The kinds of record that `id of …` names; other kinds name none.
    pub fn named_kinds(&mut self, kind: &KindName) -> Vec<DefId> {
        let KindName::IdOf(names) = kind else { return Vec::new() };
        let found = names.iter().filter_map(|name| {
            let found = self.definitions.iter().position(|definition| definition.name == name.text && definition.name != "job");
            if found.is_none() {
                let known: Vec<String> =
                    self.definitions.iter().map(|definition| definition.name.clone()).filter(|name| name != "job").collect();
                let hint = suggest(&name.text, known.iter().map(String::as_str))
                    .unwrap_or_else(|| "name a kind of record that a `definition` makes, as in `id of leaf`".into());
                self.slips.push(Slip::at(name.span, "unknown-word", format!("no kind of record `{}`", name.text)).label("here").hint(hint));
            }
            found.map(|at| DefId(u32::try_from(at).unwrap_or(u32::MAX)))
        });
        found.collect()
    }

    fn kind_word(&mut self, name: &Text) -> Option<Kind> {
        Some(match name.text.as_str() {
            "yes-or-no" => Kind::YesNo,
            "count" => Kind::Count,
            "temperature" => Kind::Temperature,
            "date" => Kind::Date,
            "period" => Kind::Period,
            "text" => Kind::Text,
            "wire-size" => Kind::Wire,
            "point" => Kind::Point,
            word => {
                if let Some(dimension) = Dimension::named(word) {
                    return Some(Kind::Measure(dimension));
                }
                if let Some(at) = self.definitions.iter().position(|definition| definition.name == word) {
                    return Some(Kind::Thing(DefId(u32::try_from(at).unwrap_or(u32::MAX))));
                }
                let words = ["yes-or-no", "count", "temperature", "date", "period", "text", "wire-size", "point"];
                let known: Vec<&str> = words
                    .into_iter()
                    .chain(Dimension::names())
                    .chain(["one of", "any of", "range of", "list of text", "list of point", "id of", "recording of"])
                    .collect();
                let hint = match self.list_names.contains_key(word) {
                    true => Some(format!("write `one of {word}` or `any of {word}`")),
                    false if lay_kind(word).is_some() => lay_kind(word).map(|kind| format!("write `{kind}`")),
                    false => suggest(word, known.iter().copied()).or_else(|| Some(format!("kinds: {}", known.join(", ")))),
                };
                self.slip(Slip::at(name.span, "unknown-kind", format!("no kind `{word}`")).label("here").hint_maybe(hint));
                return None;
            }
        })
    }

    /// `one of LIST`, or words that make a list of their own.
    fn inline_list(&mut self, names: &[Text]) -> Option<ListId> {
        if let [name] = names {
            if let Some(list) = self.list_names.get(&name.text) {
                return Some(*list);
            }
            let known: Vec<String> = self.list_names.keys().cloned().collect();
            let hint = suggest(&name.text, known.iter().map(String::as_str))
                .unwrap_or_else(|| "define it with `values`, or list several words".into());
            self.slip(Slip::at(name.span, "unknown-word", format!("no word list `{}`", name.text)).label("here").hint(hint));
            return None;
        }
        let words = names.iter().map(|name| self.lists.word(&name.text)).collect();
        Some(self.lists.add(WordList { name: None, words, ordered: false }))
    }
}

/// The kind that a word of everyday or of other languages stands for.
fn lay_kind(word: &str) -> Option<&'static str> {
    Some(match word {
        "boolean" | "bool" | "flag" => "yes-or-no",
        "string" | "words" | "name" => "text",
        "integer" | "int" | "number" => "count",
        "inches" | "inch" | "feet" | "foot" | "metres" | "meters" | "millimetres" | "millimeters" | "distance" | "height" | "width" => {
            "length"
        }
        "seconds" | "minutes" | "duration" => "time",
        "day" | "datetime" => "date",
        "degrees" => "angle",
        "volts" => "voltage",
        "amps" | "amperes" => "current",
        "watts" => "power",
        "pounds" | "newtons" => "force",
        _ => return None,
    })
}
