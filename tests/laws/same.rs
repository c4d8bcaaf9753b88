//! Verdicts do not change when a job or a pack is written otherwise: other units by exact ratio, keys in another order, block
//! or flow style, quotes, aliases, comments, line ends; items of a pack in another order, in several files, beside others.

use super::tree::{Style, Tree, write};
use super::{Choices, EXAMPLES, Verdicts, compiled, config, day, difference, pack_text, sentences, verdicts};
use crate::second;
use jiff::civil::Date;
use pintle::command::workbench::{Compiled, Workbench};
use pintle::language::library::Shelf;
use pintle::language::pack::digest_of;
use pintle::language::program::Program;
use pintle::quantity::unit::UnitKind;
use pintle::quantity::{Dimension, Exact, Unit, read};
use pintle::source::Source;
use proptest::prelude::*;
use std::sync::Arc;

/// A random pack with its job and day.
pub struct Made {
    pub pack: String,
    pub job: String,
    pub today: Date,
    compiled: Arc<Compiled>,
}

impl Made {
    pub fn new(seed: u64) -> Made {
        let (pack, job, today) = second::texts(seed);
        let compiled = compiled(&[("made", &pack)], "made");
        Made { pack, job, today: today.parse().expect("a day"), compiled }
    }

    pub fn program(&self) -> &Program {
        self.compiled.program.as_ref().unwrap_or_else(|| panic!("{}\n{}", sentences(&self.compiled), self.pack))
    }

    fn verdicts(&self) -> Verdicts {
        verdicts(self.program(), &self.job, self.today).unwrap_or_else(|slips| panic!("{}\n{}", slips.join("\n"), self.job))
    }
}

/// Rewrites a job's tree and text, and compares the verdicts of both. Even numbers take example jobs, odd ones made-up ones.
fn job_law(number: usize, bytes: &[u8], style: Style, change: impl Fn(&mut Tree, &mut Choices)) -> Result<(), TestCaseError> {
    let example = &EXAMPLES[number / 2 % EXAMPLES.len()];
    if number.is_multiple_of(2) {
        same_job(example.program(), &example.text, day(), bytes, style, change)
    } else {
        let made = Made::new(number as u64);
        same_job(made.program(), &made.job, made.today, bytes, style, change)
    }
}

fn same_job(
    program: &Program,
    text: &str,
    today: Date,
    bytes: &[u8],
    style: Style,
    change: impl Fn(&mut Tree, &mut Choices),
) -> Result<(), TestCaseError> {
    let mut tree = Tree::read(text).map_err(|slips| TestCaseError::fail(slips.join("\n")))?;
    let before = verdicts(program, text, today).map_err(|slips| TestCaseError::fail(slips.join("\n")))?;
    let mut choices = Choices::new(bytes);
    change(&mut tree, &mut choices);
    let other = write(&tree, style, &mut choices);
    let after = verdicts(program, &other, today).map_err(|slips| TestCaseError::fail(format!("{}\n{other}", slips.join("\n"))))?;
    prop_assert!(before == after, "{}\n{other}", difference(&before, &after));
    Ok(())
}

/// A number as an exact text: decimals where they end, a whole number and a fraction where they do not.
pub fn exact_text(number: Exact, choices: &mut Choices) -> String {
    match number.decimals(20).filter(|_| !choices.chance(4)) {
        // A point before three digits may mark thousands, and is asked about.
        Some(places) => pintle::quantity::show::rounded(number, if places == 3 { 4 } else { places }),
        None if number.is_whole() => number.upper().to_string(),
        None => {
            let (sign, upper, lower) = (if number.is_negative() { "-" } else { "" }, number.size().upper(), number.lower());
            match upper / lower {
                0 => format!("{sign}{upper}/{lower}"),
                whole => format!("{sign}{whole} {}/{lower}", upper % lower),
            }
        }
    }
}

/// One measure in another unit of its dimension, by exact ratio; other texts stay.
fn in_other_unit(text: &str, choices: &mut Choices) -> Option<String> {
    let reading = read(text).ok()?;
    let unit = reading.unit.filter(|unit| unit.kind() == UnitKind::Measure && unit.dimension() != Dimension::NONE)?;
    // A wire's size is an area, and its kind knows mm² only.
    if unit.dimension() == Dimension::AREA {
        return None;
    }
    let alike: Vec<Unit> = Unit::all().filter(|other| other.kind() == unit.kind() && other.dimension() == unit.dimension()).collect();
    let other = alike[choices.of(alike.len())];
    let mut out = format!("{} {}", exact_text(other.from_base(reading.value)?, choices), other.symbol());
    if let Some(tolerance) = reading.tolerance {
        let third = alike[choices.of(alike.len())];
        out += &format!(" +/- {} {}", exact_text(third.from_base(tolerance)?, choices), third.symbol());
    }
    // Only what reads back to the same value says the same; a number can have too many digits.
    let back = read(&out).ok()?;
    (back.value == reading.value && back.tolerance == reading.tolerance).then_some(out)
}

fn rewrite_units(tree: &mut Tree, choices: &mut Choices) {
    tree.each_scalar(&mut |text, _| {
        let other = match text.split_once(" to ") {
            Some((low, high)) => {
                in_other_unit(low, choices).zip(in_other_unit(high, choices)).map(|(low, high)| format!("{low} to {high}"))
            }
            None => in_other_unit(text, choices),
        };
        if let Some(other) = other {
            *text = other;
        }
    });
}

fn any_choices() -> impl Strategy<Value = Vec<u8>> {
    prop::collection::vec(any::<u8>(), 1..257)
}

proptest! {
    #![proptest_config(config(128))]

    #[test]
    fn measures_in_another_unit(number in 0usize..100_000, bytes in any_choices()) {
        job_law(number, &bytes, Style::default(), rewrite_units)?;
    }

    #[test]
    fn keys_in_another_order(number in 0usize..100_000, bytes in any_choices()) {
        job_law(number, &bytes, Style::default(), Tree::reorder)?;
    }

    #[test]
    fn block_or_flow_style(number in 0usize..100_000, bytes in any_choices()) {
        job_law(number, &bytes, Style { flow: true, ..Style::default() }, |_, _| ())?;
    }

    #[test]
    fn values_in_quotes(number in 0usize..100_000, bytes in any_choices()) {
        job_law(number, &bytes, Style { quotes: true, ..Style::default() }, |_, _| ())?;
    }

    #[test]
    fn values_as_aliases(number in 0usize..100_000, bytes in any_choices()) {
        job_law(number, &bytes, Style { aliases: true, ..Style::default() }, |_, _| ())?;
    }

    #[test]
    fn comments_blank_lines_and_line_ends(number in 0usize..100_000, bytes in any_choices(), carriage in any::<bool>()) {
        job_law(number, &bytes, Style { comments: true, carriage, ..Style::default() }, |_, _| ())?;
    }

    #[test]
    fn everything_at_once(number in 0usize..100_000, bytes in any_choices(), carriage in any::<bool>()) {
        let style = Style { flow: true, quotes: true, aliases: true, comments: true, carriage };
        job_law(number, &bytes, style, |tree, choices| {
            rewrite_units(tree, choices);
            tree.reorder(choices);
        })?;
    }
}

#[test]
fn example_jobs_with_other_line_ends() {
    for example in EXAMPLES.iter() {
        let before = verdicts(example.program(), &example.text, day()).expect("no slips");
        for text in [
            example.text.replace('\n', "\r\n"),
            example.text.replace('\n', "\r"),
            format!("\u{feff}{}", example.text),
            example.text.trim_end().to_string(),
        ] {
            let after = verdicts(example.program(), &text, day());
            assert_eq!(Ok(&before), after.as_ref(), "{}", example.name);
        }
    }
}

/// The items of a rule file, each with its clauses and with the comments inside it.
fn items(text: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for line in text.lines() {
        let starts = !line.starts_with([' ', '#']) && !line.trim().is_empty();
        match items.last_mut() {
            Some(item) if !starts => item.push_str(&format!("{line}\n")),
            _ if starts => items.push(format!("{line}\n")),
            _ => {}
        }
    }
    items
}

fn shuffled(mut items: Vec<String>, choices: &mut Choices) -> Vec<String> {
    for at in (1..items.len()).rev() {
        items.swap(at, at - choices.of(at + 1));
    }
    items
}

/// Comments and blank lines between the lines of a pack, and more blanks within them where they change nothing.
pub fn with_notes(text: &str, choices: &mut Choices) -> String {
    let notes = ["# shall nothing", "  # a \"note", "", "    ", "#", "      # section x"];
    let mut out = String::new();
    for line in text.lines() {
        for _ in 0..choices.of(16).saturating_sub(12) {
            out += notes[choices.of(notes.len())];
            out.push('\n');
        }
        if line.starts_with(' ') && choices.chance(4) {
            out += "   ";
        }
        out += line;
        if choices.chance(3) {
            out += ["  # and so on", "   ", " #"][choices.of(3)];
        }
        out.push('\n');
    }
    out
}

/// A pack in several files, in a folder of its own that goes when this does.
struct Folder(std::path::PathBuf);

impl Folder {
    fn new(name: &str, files: &[String]) -> Folder {
        static COUNT: std::sync::atomic::AtomicUsize = std::sync::atomic::AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        let folder = std::env::temp_dir().join(format!("pintle-laws-{}-{number}", std::process::id()));
        std::fs::create_dir_all(folder.join(name)).unwrap();
        for (at, file) in files.iter().enumerate() {
            std::fs::write(folder.join(name).join(format!("part-{at}.rules")), file).unwrap();
        }
        Folder(folder)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn same_pack(made: &Made, other: &Compiled, text: &str) -> Result<(), TestCaseError> {
    let Some(program) = &other.program else { return Err(TestCaseError::fail(format!("{}\n{text}", sentences(other)))) };
    let before = made.verdicts();
    let mut after = verdicts(program, &made.job, made.today).map_err(|slips| TestCaseError::fail(slips.join("\n")))?;
    after.retain(|(section, ..)| section != "made/unrelated");
    prop_assert!(before == after, "{}\n{text}\n{}", difference(&before, &after), made.job);
    Ok(())
}

const UNRELATED: &str = "section unrelated \"About nothing else\"\n  applies to each gate\n  shall   gate.kind is swing\n  remedy  \"Hang it.\"\n  cite    book \"99\"\n";

proptest! {
    #![proptest_config(config(128))]

    #[test]
    fn items_of_a_pack_in_another_order(seed in 0u64..1_000_000, bytes in any_choices()) {
        let made = Made::new(seed);
        let text = shuffled(items(&made.pack), &mut Choices::new(&bytes)).join("\n");
        same_pack(&made, &compiled(&[("made", &text)], "made"), &text)?;
    }

    #[test]
    fn an_unrelated_section_beside(seed in 0u64..1_000_000, bytes in any_choices()) {
        let made = Made::new(seed);
        let mut all = items(&made.pack);
        all.insert(Choices::new(&bytes).of(all.len() + 1), UNRELATED.into());
        let text = all.join("\n");
        same_pack(&made, &compiled(&[("made", &text)], "made"), &text)?;
    }

    #[test]
    fn comments_in_a_pack(seed in 0u64..1_000_000, bytes in any_choices(), carriage in any::<bool>()) {
        let made = Made::new(seed);
        let text = with_notes(&made.pack, &mut Choices::new(&bytes));
        let text = if carriage { text.replace('\n', "\r\n") } else { text };
        same_pack(&made, &compiled(&[("made", &text)], "made"), &text)?;
        // Two layouts of the same rules have one hash.
        let hash = |text: &str| digest_of(&[Source::new("made.rules", text)]);
        prop_assert_eq!(hash(&made.pack), hash(&text), "{}", text);
    }

    #[test]
    fn sections_by_other_names(seed in 0u64..1_000_000) {
        let made = Made::new(seed);
        let mut text = made.pack.clone();
        let mut wanted = made.verdicts();
        for name in ["first", "second", "third", "fourth"] {
            text = text.replace(&format!("section {name} "), &format!("section other-{name} ")).replace(&format!("made/{name}"), &format!("made/other-{name}"));
            for (section, ..) in &mut wanted {
                *section = section.replace(&format!("made/{name}"), &format!("made/other-{name}"));
            }
        }
        wanted.sort();
        let other = compiled(&[("made", &text)], "made");
        let Some(program) = &other.program else { return Err(TestCaseError::fail(sentences(&other))) };
        prop_assert_eq!(Ok(wanted), verdicts(program, &made.job, made.today));
    }
}

proptest! {
    #![proptest_config(config(64))]

    #[test]
    fn a_pack_in_several_files(seed in 0u64..1_000_000, bytes in any_choices()) {
        let made = Made::new(seed);
        let mut choices = Choices::new(&bytes);
        let mut files = vec![String::new(); 1 + choices.of(4)];
        for item in items(&made.pack) {
            let file = choices.of(files.len());
            files[file] += &format!("{item}\n");
        }
        let folder = Folder::new("made", &files);
        let other = Workbench::default().compile(vec![Shelf::Folder(folder.0.clone())], vec!["made".into()]);
        same_pack(&made, &other, &files.join("\n===\n"))?;
    }
}

proptest! {
    #![proptest_config(config(6))]

    /// The embedded packs as one file each, their items in another order: all example jobs are judged as before.
    #[test]
    fn embedded_packs_in_another_order(bytes in any_choices()) {
        let mut choices = Choices::new(&bytes);
        let mut packs = Vec::new();
        for name in ["terms", "us-gates", "field-practice"] {
            let all = pack_text(name);
            packs.push((name.to_string(), with_notes(&shuffled(items(&all), &mut choices).join("\n"), &mut choices)));
        }
        let bench = Workbench::default();
        let codes = vec!["us-gates".to_string(), "field-practice".to_string()];
        let other = bench.compile(vec![Shelf::Memory(packs), Shelf::Embedded], codes.clone());
        let Some(program) = &other.program else { return Err(TestCaseError::fail(sentences(&other))) };
        for example in EXAMPLES.iter().filter(|example| example.program().codes.iter().map(|code| &code.name).eq(&codes)) {
            let (before, after) = (verdicts(example.program(), &example.text, day()), verdicts(program, &example.text, day()));
            prop_assert!(before == after, "{}: {}", example.name, difference(&before.unwrap_or_default(), &after.unwrap_or_default()));
        }
    }
}
