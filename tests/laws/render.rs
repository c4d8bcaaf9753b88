//! Any place of any text can be drawn: no panic, and nothing in what is drawn that a terminal would obey.

use super::{config, obeyed};
use pintle::report::escape::{short, visible};
use pintle::report::excerpt::{Mark, Weight, draw, place_text, under};
use pintle::source::{FileId, Files, Source, Sources, Span};
use proptest::prelude::*;

/// Pieces that texts of files are hard to draw for.
const PIECES: &[&str] = &[
    "height: 24 in",
    "  - id: low",
    "\n",
    "\n",
    "\r\n",
    "\r",
    "\t",
    " \t ",
    "é",
    "e\u{301}",
    "汉字",
    "😀",
    "👩\u{200d}🔧",
    "\u{202e}abc\u{202c}",
    "\u{feff}",
    "\u{200b}",
    "\u{2028}",
    "\u{85}",
    "\u{0}",
    "\u{1b}[31m",
    "\u{7f}",
    "\u{9b}2J",
    "\u{8}",
    "ﷺ",
    "\u{300}\u{301}\u{302}",
    "\u{10ffff}",
    "\n\n\n",
    "                                        ",
];

fn odd_text() -> impl Strategy<Value = String> {
    let long = (1usize..30).prop_map(|many| "long line ".repeat(many * 10));
    let piece =
        prop_oneof![20 => prop::sample::select(PIECES).prop_map(str::to_string), 1 => long, 2 => any::<char>().prop_map(String::from)];
    prop::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

fn on_a_character(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

fn weight() -> impl Strategy<Value = Weight> {
    prop::sample::select(vec![Weight::Heavy, Weight::Light, Weight::Clause])
}

proptest! {
    #![proptest_config(config(256))]

    /// Places as the program makes them: on characters, in the file.
    #[test]
    fn any_place_can_be_drawn(text in odd_text(), places in prop::collection::vec((any::<prop::sample::Index>(), 0usize..60, odd_text()), 1..5), head in odd_text(), weight in weight(), name in odd_text()) {
        let source = Source::new(name, text.clone());
        let text = source.text();
        let packs = Sources::default();
        let files = Files { packs: &packs, job: Some(&source) };
        let marks: Vec<Mark> = places.iter().map(|(start, length, says)| {
            let start = on_a_character(text, start.index(text.len() + 1));
            Mark { span: Span::new(FileId::JOB, start, on_a_character(text, start + length)), says: says.clone() }
        }).collect();
        let drawn = draw(files, weight, &head, &marks, false);
        prop_assert_eq!(obeyed(&drawn), None, "{:?}", drawn);
        prop_assert_eq!(obeyed(&place_text(files, marks[0].span)), None);
        // In colour, only the marks of colour are added: escape, bracket, digits and semicolons, m.
        let coloured = draw(files, weight, &head, &marks, true);
        let stripped: String = coloured.split("\u{1b}[").enumerate().map(|(at, part)| if at == 0 { part } else { part.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';').strip_prefix('m').unwrap_or("\u{1b}") }).collect();
        prop_assert_eq!(obeyed(&stripped), None, "{:?}", coloured);
    }

    /// Places that no file has: past its end, in a file that is not there.
    #[test]
    fn a_place_that_is_not_there_can_be_drawn(text in odd_text(), start in 0usize..5000, length in 0usize..5000, here in any::<bool>(), more in 0usize..40) {
        let source = Source::new("job.yaml", text.clone());
        let packs = Sources::default();
        let files = Files { packs: &packs, job: Some(&source) };
        let file = if here { FileId::JOB } else { FileId(3) };
        let start = if start.is_multiple_of(2) { source.text().len() + more } else { start };
        let marks = [Mark { span: Span::new(file, start, start + length), says: "here".into() }];
        let drawn = draw(files, Weight::Heavy, "head", &marks, false);
        prop_assert_eq!(obeyed(&drawn), None, "{:?}", drawn);
        let _ = (place_text(files, marks[0].span), files.text(marks[0].span));
    }

    #[test]
    fn any_text_is_made_harmless(text in odd_text(), most in 0usize..200) {
        prop_assert_eq!(obeyed(&visible(&text)), None);
        prop_assert!(!visible(&text).contains('\n'));
        let cut = short(&text, most);
        prop_assert!(obeyed(&cut).is_none() && cut.chars().count() <= most.max(1), "{} of {}", cut, most);
        prop_assert_eq!(obeyed(&under("do", &text)), None);
    }

    /// Every line and column leads back to its byte.
    #[test]
    fn places_follow_each_other(text in odd_text()) {
        let source = Source::new("job.yaml", text);
        let mut last = None;
        for (at, _) in source.text().char_indices() {
            let place = source.place(at);
            prop_assert!(last.is_none_or(|last| last < (place.line, place.column)), "{:?} after {:?}", place, last);
            last = Some((place.line, place.column));
            prop_assert!(place.line <= source.line_starts().len());
        }
    }
}

#[test]
fn a_carriage_return_inside_a_line_is_made_harmless() {
    let source = Source::new("job.yaml", "title: \"a\rmet\"\nfoo: 1\n");
    let packs = Sources::default();
    let files = Files { packs: &packs, job: Some(&source) };
    let drawn = draw(files, Weight::Heavy, "head", &[Mark { span: Span::new(FileId::JOB, 0, 5), says: "here".into() }], false);
    assert!(!drawn.contains('\r'), "{drawn:?}");
}
