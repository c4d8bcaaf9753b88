//! The manual of the rule language, executed: every example in rules/README.md does what the manual says it does.
//!
//! Fenced blocks, by what stands behind their first fence:
//!
//! - `rules`: whole packs, or items or clauses that are wrapped into one; no slips.
//! - `rules more`: more of the pack before it; the pack so far has no slips.
//! - `rules slip NAME`, `rules more slip NAME`: it has the slip of that name, and is forgotten again.
//! - `slip`: how the program draws the slips of the block before.
//! - `job`: a job, or its gates alone, judged with the packs before it; `verdicts` lists all that comes out for the sections it names.
//! - `text`: nothing to run.
//!
//! Tables are told by their first heading: see the tests below.

use clap::Parser;
use jiff::civil::date;
use pintle::builtin::{self, Gives, Takes};
use pintle::command::workbench::judge_texts;
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::quantity::{Dimension, Unit, unit::UnitKind};
use pintle::report::slips;
use pintle::source::Files;
use std::collections::BTreeSet;
use std::path::Path;

const ITEMS: [&str; 9] = ["pack", "source", "values", "definition", "table", "formula", "section", "amend", "repeal"];
const HEADER: [&str; 6] = ["language", "edition", "authority", "in force", "adopts", "reviewed"];
/// Kinds that measure nothing; those that do are the named dimensions.
const PLAIN_KINDS: [&str; 9] = ["yes-or-no", "count", "temperature", "date", "period", "text", "wire-size", "point", "list of point"];

/// Packs by name; the last one is the code.
type Packs = Vec<(String, String)>;

/// A fenced block: its marker, its text, its line in the manual.
struct Block {
    marker: String,
    text: String,
    line: usize,
}

/// A table: its headings, and its rows with their lines in the manual.
struct Table {
    headings: Vec<String>,
    rows: Vec<(usize, Vec<String>)>,
}

fn root(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn manual() -> String {
    std::fs::read_to_string(root("rules/README.md")).unwrap()
}

fn blocks(manual: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = false;
    for (at, line) in manual.lines().enumerate() {
        if let Some(marker) = line.strip_prefix("```") {
            open = !open;
            if open {
                blocks.push(Block { marker: marker.trim().to_string(), text: String::new(), line: at + 1 });
            }
        } else if open {
            let block = blocks.last_mut().unwrap();
            block.text.push_str(line);
            block.text.push('\n');
        }
    }
    assert!(!open, "the last fence of the manual is not closed");
    blocks
}

/// Tables outside fences.
fn tables(manual: &str) -> Vec<Table> {
    let mut tables: Vec<Table> = Vec::new();
    let (mut fenced, mut inside) = (false, false);
    for (at, line) in manual.lines().enumerate() {
        fenced ^= line.starts_with("```");
        let row = !fenced && line.starts_with('|');
        if row && !line.starts_with("| ---") {
            let inner = line.strip_prefix('|').and_then(|line| line.trim_end().strip_suffix('|')).unwrap_or(line);
            let cells = inner.split('|').map(|cell| cell.trim().to_string()).collect();
            match tables.last_mut().filter(|_| inside) {
                None => tables.push(Table { headings: cells, rows: Vec::new() }),
                Some(table) => table.rows.push((at + 1, cells)),
            }
        }
        inside = row;
    }
    tables
}

fn tables_of<'t>(tables: &'t [Table], heading: &str) -> Vec<&'t Table> {
    let found: Vec<&Table> = tables.iter().filter(|table| table.headings[0] == heading).collect();
    assert!(!found.is_empty(), "the manual has no table whose first heading is `{heading}`");
    found
}

/// What stands between backticks.
fn ticked(cell: &str) -> Vec<String> {
    cell.split('`').skip(1).step_by(2).map(str::to_string).collect()
}

fn begins(line: &str, words: &[&str]) -> bool {
    words.iter().any(|word| line.strip_prefix(word).is_some_and(|rest| rest.starts_with(' ')))
}

/// A pack made of a fragment: `header` lines, and items or the clauses of a section about each beam.
fn wrapped(header: &str, fragment: &str) -> String {
    let mut body = fragment.to_string();
    if !fragment.lines().any(|line| begins(line, &ITEMS)) && !fragment.trim().is_empty() {
        body = "section example \"Example\"\n".to_string();
        if !fragment.contains("applies to") {
            body.push_str("  applies to each beam\n");
        }
        body.extend(fragment.lines().map(|line| format!("  {line}\n")));
        if !fragment.lines().any(|line| begins(line, &["cite"])) {
            body.push_str("  cite ordinance \"1\"\n");
        }
    }
    let mut pack = format!("pack example \"Example\"\n  language 1\n  edition \"1\"\n  adopts terms\n{header}");
    for adopted in ["us-gates", "field-practice"].into_iter().filter(|pack| body.contains(&format!("{pack}/"))) {
        pack.push_str(&format!("  adopts {adopted}\n"));
    }
    let cited = body.lines().any(|line| line.split_whitespace().collect::<Vec<_>>().join(" ").starts_with("cite ordinance"));
    if cited && !body.contains("source ordinance") {
        pack.push_str("source ordinance \"Example ordinance\" invented\n");
    }
    pack + &body
}

/// The packs that a text writes out, or the one that wraps it.
fn packs_of(text: &str) -> Packs {
    if !text.lines().any(|line| begins(line, &["pack"])) {
        return vec![("example".to_string(), wrapped("", text))];
    }
    let mut packs: Packs = Vec::new();
    for line in text.lines() {
        if begins(line, &["pack"]) {
            packs.push((line.split_whitespace().nth(1).unwrap().to_string(), String::new()));
        }
        if let Some((_, pack)) = packs.last_mut() {
            pack.push_str(line);
            pack.push('\n');
        }
    }
    packs
}

/// The names of all slips, the harmless ones too, and how the program draws them.
fn slips_of(packs: &Packs) -> (Vec<String>, String) {
    let name = packs.last().unwrap().0.clone();
    let mut library = Library::new(vec![Shelf::Memory(packs.clone()), Shelf::Embedded]);
    let (program, mut told) = compile(&mut library, &[Wanted { name, span: None }]);
    told.extend(program.into_iter().flat_map(|program| program.notices));
    let files = Files { packs: &library.sources, job: None };
    let drawn = told.iter().map(|slip| slips::drawn(slip, files, false) + "\n").collect();
    (told.iter().map(|slip| slip.name.to_string()).collect(), drawn)
}

/// The verdicts of a job as sentences. A job that starts with `gates:` gets a title and the last pack as its code.
fn judged(packs: &Packs, job: &str) -> Result<Vec<String>, String> {
    let last = &packs.last().unwrap().0;
    let job = if job.starts_with("gates:") { format!("title: Example\ncodes: [{last}]\n{job}") } else { job.to_string() };
    let named = job.lines().find_map(|line| line.strip_prefix("codes: [")?.strip_suffix(']'));
    let codes: Vec<&str> = named.unwrap_or(last).split(", ").collect();
    let texts: Vec<(&str, &str)> = packs.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let verdicts = judge_texts(&texts, &codes, &job, date(2026, 6, 1)).map_err(|slips| slips.join("\n"))?;
    Ok(verdicts.iter().map(|(section, clause, thing, verdict)| format!("{section} ({clause}) {thing}: {verdict}")).collect())
}

/// What the blocks so far have left behind.
#[derive(Default)]
struct Bench {
    packs: Packs,
    drawn: String,
    verdicts: Vec<String>,
}

impl Bench {
    /// Runs a block; the error says what came out instead.
    fn run(&mut self, block: &Block) -> Result<(), String> {
        let words: Vec<&str> = block.marker.split_whitespace().collect();
        match words.as_slice() {
            ["rules", rest @ ..] => self.rules(&block.text, rest),
            ["slip"] => alike(&block.text, &self.drawn),
            ["job"] => {
                self.verdicts = judged(&self.packs, &block.text)?;
                Ok(())
            }
            ["verdicts"] => {
                let section = |line: &str| line.split(' ').next().unwrap_or("").to_string();
                let named: BTreeSet<String> = block.text.lines().map(section).collect();
                let got: BTreeSet<&str> = self.verdicts.iter().map(String::as_str).filter(|line| named.contains(&section(line))).collect();
                let wanted: BTreeSet<&str> = block.text.lines().collect();
                if got == wanted { Ok(()) } else { Err(got.into_iter().collect::<Vec<_>>().join("\n")) }
            }
            ["text"] => Ok(()),
            _ => Err("a marker that no test knows".to_string()),
        }
    }

    fn rules(&mut self, text: &str, how: &[&str]) -> Result<(), String> {
        let more = how.first() == Some(&"more");
        let packs = if more {
            let mut packs = self.packs.clone();
            packs.last_mut().ok_or("there is no pack before it")?.1.push_str(&format!("\n{text}"));
            packs
        } else {
            packs_of(text)
        };
        let (names, drawn) = slips_of(&packs);
        self.drawn.clone_from(&drawn);
        match &how[usize::from(more)..] {
            [] if names.is_empty() => {
                self.packs = packs;
                Ok(())
            }
            ["slip", wanted] if names.iter().any(|name| name == wanted) => Ok(()),
            _ => Err(format!("slips: {}\n{drawn}", names.join(", "))),
        }
    }
}

fn alike(wanted: &str, got: &str) -> Result<(), String> {
    let plain = |text: &str| text.trim_matches('\n').lines().map(|line| line.trim_end().to_string()).collect::<Vec<_>>();
    if plain(wanted) == plain(got) { Ok(()) } else { Err(got.to_string()) }
}

/// Fails with every failure at once, each at its line of the manual.
fn report(failures: &[(usize, String)]) {
    let told: Vec<String> = failures.iter().map(|(line, what)| format!("rules/README.md:{line}:\n{what}")).collect();
    assert!(told.is_empty(), "{}", told.join("\n\n"));
}

#[test]
fn every_block_does_what_it_says() {
    let mut bench = Bench::default();
    let blocks = blocks(&manual());
    let failures: Vec<(usize, String)> = blocks.iter().filter_map(|block| Some((block.line, bench.run(block).err()?))).collect();
    report(&failures);
}

#[test]
fn what_people_write_has_a_slip_and_its_mend_has_none() {
    let (manual, mut failures) = (manual(), Vec::new());
    for (line, cells) in tables_of(&tables(&manual), "What people write").into_iter().flat_map(|table| &table.rows) {
        let (wrong, name, right) = (&ticked(&cells[0])[0], &ticked(&cells[1])[0], &ticked(&cells[2])[0]);
        // What the mend is decides where both stand: a line of the header, an item, or a clause.
        let pack = |text: &str| {
            let text = text.replace(" ⏎ ", "\n");
            let pack = match right {
                right if begins(right, &HEADER) => wrapped(&format!("  {text}\n"), ""),
                right if begins(right, &ITEMS) => wrapped("", &format!("source example \"Example\" invented\n{text}\n")),
                _ => wrapped("", &text),
            };
            vec![("example".to_string(), pack)]
        };
        let (names, drawn) = slips_of(&pack(wrong));
        if !names.contains(name) {
            failures.push((*line, format!("`{wrong}` has slips: {}\n{drawn}", names.join(", "))));
        }
        let (names, drawn) = slips_of(&pack(right));
        if names.iter().any(|name| name != "idle-name" && name != "old-cite") {
            failures.push((*line, format!("`{right}` has slips: {}\n{drawn}", names.join(", "))));
        }
    }
    report(&failures);
}

#[test]
fn commands_are_taken() {
    let manual = manual();
    let commands: Vec<String> = ticked(&manual).into_iter().filter(|code| code.starts_with("pintle ")).collect();
    assert!(!commands.is_empty());
    for command in commands {
        assert!(pintle::command::Line::try_parse_from(command.split_whitespace()).is_ok(), "the command line does not take `{command}`");
    }
}

#[test]
fn slips_that_are_named_exist() {
    let mut sources = Vec::new();
    for entry in walkdir::WalkDir::new(root("src")).into_iter().filter_map(Result::ok).filter(|entry| entry.file_type().is_file()) {
        sources.push(std::fs::read_to_string(entry.path()).unwrap_or_default());
    }
    let manual = manual();
    let named: Vec<&str> = manual.split("slip `").skip(1).filter_map(|rest| rest.split('`').next()).collect();
    assert!(!named.is_empty());
    for name in named {
        assert!(sources.iter().any(|source| source.contains(&format!("\"{name}\""))), "no slip `{name}` in the program");
    }
}

#[test]
fn the_units_are_all_of_the_program() {
    let (mut shown, mut also, mut failures) = (BTreeSet::new(), BTreeSet::new(), Vec::new());
    for (line, cells) in &tables_of(&tables(&manual()), "Kind")[0].rows {
        let kinds = ticked(&cells[0]);
        let fits =
            |unit: Unit| unit.kind() != UnitKind::Measure || kinds.iter().any(|kind| Dimension::named(kind) == Some(unit.dimension()));
        for symbol in ticked(&cells[1]) {
            if !Unit::named(&symbol).is_some_and(|unit| unit.symbol() == symbol && fits(unit)) {
                failures.push((*line, format!("`{symbol}` is no unit of {}", kinds.join(", "))));
            }
            shown.insert(symbol);
        }
        for symbol in ticked(&cells[2]) {
            if !Unit::named(&symbol).is_some_and(fits) {
                failures.push((*line, format!("`{symbol}` is not read as a unit of {}", kinds.join(", "))));
            }
            also.insert(folded(&symbol));
        }
    }
    report(&failures);
    assert_eq!(shown, Unit::all().map(|unit| unit.symbol().to_string()).collect(), "units of the manual and of the program");
    let others = Unit::symbols().filter(|symbol| Unit::all().all(|unit| unit.symbol() != *symbol));
    assert_eq!(also, others.map(folded).filter(|symbol| !shown.contains(symbol)).collect(), "what is also read");
}

/// Signs that look alike on paper count as one.
fn folded(symbol: &str) -> String {
    symbol.replace('\u{2126}', "Ω").replace('μ', "µ").replace('″', "\"").replace('′', "'")
}

#[test]
fn the_kinds_are_all_of_the_program() {
    let mut named = BTreeSet::new();
    let mut pack = "definition part \"A part\" among gate.parts\n".to_string();
    let mut job = "gates:\n  - id: main\n    parts:\n      - id: one\n".to_string();
    for (line, cells) in &tables_of(&tables(&manual()), "Kind")[0].rows {
        let (kinds, values) = (ticked(&cells[0]), ticked(&cells[3]));
        assert_eq!(kinds.len(), values.len(), "rules/README.md:{line}: one value for each kind");
        for (kind, value) in kinds.into_iter().zip(values) {
            pack.push_str(&format!("  fact-{} {kind} \"How to measure it\"\n", named.len()));
            job.push_str(&format!("        fact-{}: {value}\n", named.len()));
            named.insert(kind);
        }
    }
    assert_eq!(judged(&packs_of(&pack), &job), Ok(Vec::new()), "{pack}\n{job}");
    for kind in Dimension::names().chain(PLAIN_KINDS) {
        assert!(named.contains(kind), "the manual's table of kinds has no `{kind}`");
    }
}

#[test]
fn every_built_in_comes_out_as_its_example_says() {
    let (mut pack, mut wanted) = (String::new(), Vec::new());
    for row in builtin::ROWS.iter().filter(|row| !row.example.is_empty()) {
        let (name, example) = (row.name, row.example);
        pack.push_str(&format!("section try-{name} \"Try\"\n  applies to each gate\n  shall {example}\n  cite ordinance \"1\"\n"));
        wanted.push(format!("example/try-{name} (a) gate main: met"));
    }
    wanted.sort();
    assert_eq!(judged(&packs_of(&pack), "gates:\n  - id: main\n"), Ok(wanted));
}

/// What a parameter takes, in words.
fn takes(takes: &Takes) -> String {
    match takes {
        Takes::Alike => "number".into(),
        Takes::Plain => "plain number".into(),
        Takes::Measure(name) => (*name).into(),
        Takes::Temperature => "temperature".into(),
        Takes::Wire => "wire-size".into(),
        Takes::Word(list) => format!("word of {list}"),
        Takes::Point => "point".into(),
        Takes::Points => "list of point".into(),
        Takes::Recording(name) => format!("recording of {name}"),
        Takes::Thing(forms) => forms.iter().map(|form| form.of).collect::<Vec<_>>().join(" or "),
    }
}

/// The page of all built-ins, as the program knows them.
fn calculations() -> String {
    let mut page = "# Calculations that rules can ask for\n\n\
        One section each: what it takes and gives, what it reads of a thing, its formula, and where that comes from. `PINTLE_UPDATE=1 cargo test manual` writes this page.\n\
        A result with roots or angles carries its own rounding outward; where a limit lies within it, the verdict is *unanswered*, never *met*.\n"
        .to_string();
    for row in builtin::ROWS.iter() {
        let parameters: Vec<String> = row.parameters.iter().map(|(name, kind)| format!("{name}: {}", takes(kind))).collect();
        let gives = match row.gives {
            Gives::Alike => "a number of that kind".into(),
            Gives::Count => "count".into(),
            Gives::Measure(name) => name.to_string(),
            Gives::YesNo => "yes-or-no".into(),
        };
        page.push_str(&format!("\n## {}\n`{}({})` gives {gives}: {}.\n\n", row.name, row.name, parameters.join(", "), row.says()));
        if !row.formula.is_empty() {
            page.push_str(&format!("- Formula: {}\n", row.formula));
        }
        let mut reads: Vec<String> = row.reads().map(|(of, fact)| format!("`{of}.{fact}`")).collect();
        reads.dedup();
        if !reads.is_empty() {
            page.push_str(&format!("- Reads: {}\n", reads.join(", ")));
        }
        page.push_str(&format!("- Source: {}\n", row.source));
        if !row.example.is_empty() {
            page.push_str(&format!("- Example: `{}`\n", row.example));
        }
    }
    page
}

#[test]
fn the_page_of_calculations_is_what_the_program_offers() {
    let path = root("rules/CALCULATIONS.md");
    if std::env::var_os("PINTLE_UPDATE").is_some() {
        std::fs::write(&path, calculations()).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), calculations(), "run PINTLE_UPDATE=1 cargo test manual");
}
