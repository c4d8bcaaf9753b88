//! Reading, checking and judging take time in step with the size of a file: four times the input, far less than sixteen times
//! the time. Bounds are wide, since other programs run beside the tests; a quadratic step is far outside them.

use super::{compiled, day, verdicts};
use pintle::command::workbench::Compiled;
use pintle::job::read_job;
use pintle::job::yaml::read_yaml;
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::report::slips;
use pintle::source::{Files, Source, Sources};
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

/// Measures `run` on inputs of n and 4n, up to three times, and fails when it never keeps to the bound.
fn in_step(what: &str, n: usize, make: impl Fn(usize) -> String, run: impl Fn(&str)) {
    let (small, large) = (make(n), make(4 * n));
    let time = |text: &str| {
        let start = Instant::now();
        run(text);
        start.elapsed()
    };
    let mut told = String::new();
    for _ in 0..3 {
        let (one, four) = (time(&small), time(&large));
        if std::env::var_os("PINTLE_TIMES").is_some() {
            eprintln!("{what}: {n} {one:?}, {} {four:?}", 4 * n);
        }
        if four < one * 10 + Duration::from_millis(50) {
            return;
        }
        let _ = writeln!(told, "{what}: {one:?} for {n}, {four:?} for {}", 4 * n);
    }
    panic!("{told}");
}

const HEAD: &str = "pack made \"M\"\n  language 1\n  edition \"1\"\n  authority \"Nobody\"\nsource book \"B\" invented\nvalues k \"K\" = a, b\ndefinition job \"J\"\n  title text \"T\"\n  codes list of text \"C\"\n\
    definition gate \"G\" among job.gates\n  kind one of k \"K\"\n  height length measured \"H\"\n  latch yes-or-no \"L\"\n  other length taken as none \"O\"\n";
const TAIL: &str = "  remedy \"No.\"\n  cite book \"1\"\n";

/// Reads and checks a pack, and tells every slip as a sentence.
fn pack(text: &str) {
    let mut library = Library::new(vec![Shelf::Memory(vec![("made".into(), text.into())])]);
    let (_, told) = compile(&mut library, &[Wanted { name: "made".into(), span: None }]);
    let files = Files { packs: &library.sources, job: None };
    let length: usize = told.iter().map(|slip| slips::sentence(slip, files).len()).sum();
    assert!(length < usize::MAX);
}

/// The same of a pack that must be free of slips.
fn good_pack(text: &str) {
    let compiled = compiled(&[("made", text)], "made");
    assert!(compiled.program.is_some(), "{}", super::sentences(&compiled));
}

static PLAIN: LazyLock<Arc<Compiled>> = LazyLock::new(|| {
    compiled(
        &[(
            "made",
            &format!(
                "{HEAD}section s \"S\"\n  applies to each gate\n  shall (a) gate.height at most 26 in\n  shall (b) if gate.kind is a then gate.latch\n{TAIL}"
            ),
        )],
        "made",
    )
});

/// Reads a job and judges it, whatever slips it has.
fn job(text: &str) {
    let program = PLAIN.program.as_ref().expect("no slips");
    let source = Source::new("job.yaml", text);
    let (yaml, mut told) = read_yaml(&source);
    told.extend(read_job(&yaml, program).slips);
    let packs = Sources::default();
    let files = Files { packs: &packs, job: Some(&source) };
    let length: usize = told.iter().map(|slip| slips::sentence(slip, files).len()).sum();
    assert!(length < usize::MAX);
}

fn good_job(text: &str) {
    let program = PLAIN.program.as_ref().expect("no slips");
    if let Err(slips) = verdicts(program, text, day()) {
        panic!("{}", slips[0]);
    }
}

fn section(body: &str) -> String {
    format!("{HEAD}section s \"S\"\n  applies to each gate\n  shall {body}\n{TAIL}")
}

/// One piece so many times, with its number where it says `#n`.
fn times(n: usize, piece: &str) -> String {
    (0..n).map(|number| piece.replace("#n", &number.to_string())).collect()
}

#[test]
fn packs_with_slips() {
    in_step("brackets that are not closed, a line each", 400, |n| section(&times(n, "((gate.latch\n  shall ")), pack);
    in_step("stray items", 1000, |n| format!("{HEAD}{}", times(n, "rule x#n says nothing\n")), pack);
    in_step("stray clauses", 1000, |n| section(&format!("gate.latch\n{}", times(n, "  must be #n\n"))), pack);
    in_step(
        "clauses that stop half-way",
        500,
        |n| section(&format!("gate.latch\n{}", times(n, "  shall gate.height at most at most #n in\n"))),
        pack,
    );
    in_step("one clause that stops after many words", 500, |n| section(&format!("{}at most", times(n, "gate.latch and "))), pack);
    in_step("words that nothing defines", 500, |n| section(&format!("{}gate.latch", times(n, "gate.latsh and "))), pack);
    in_step("texts that are not closed", 1000, |n| section(&format!("gate.latch\n{}", times(n, "  remedy \"open #n\n"))), pack);
    in_step(
        "rows that do not fit",
        1000,
        |n| format!("{HEAD}table t \"T\"\n  cite book \"1\"\n  by kind\n  kind | v\n{}", times(n, "  a | 1 in | 2 in | x\n")),
        pack,
    );
    in_step("doubled names", 300, |n| format!("{HEAD}{}", times(n, "source book \"B\" invented\n")), pack);
    in_step("one long word", 100_000, |n| format!("{HEAD}{}", "x".repeat(n)), pack);
    in_step("one long line of marks", 20_000, |n| format!("{HEAD}section s \"S\"\n  shall {}", "| ".repeat(n)), pack);
}

#[test]
fn packs_without_slips() {
    in_step(
        "comment lines",
        5000,
        |n| format!("{}{}{TAIL}", times(n, "# nothing\n"), section("gate.latch").trim_end_matches(TAIL)),
        good_pack,
    );
    in_step("comment lines inside a section", 5000, |n| section(&format!("gate.latch\n{}", times(n, "  # nothing\n"))), good_pack);
    in_step("blank lines", 10_000, |n| section(&format!("gate.latch\n{}", "\n".repeat(n))), good_pack);
    in_step("blanks at the ends of lines", 40_000, |n| section(&format!("gate.latch{}\n", " ".repeat(n))), good_pack);
    in_step("a long chain of and", 300, |n| section(&format!("{}gate.latch", times(n, "gate.height at most #n in and "))), good_pack);
    in_step("a long sum", 30, |n| section(&format!("gate.height{} at most 5 in", times(n, " + #n in"))), good_pack);
    in_step(
        "a long list of conditions",
        300,
        |n| {
            section(&format!(
                "any of {}",
                (1..=n).map(|label| format!("({label}) gate.height at most {label} in\n    ")).collect::<String>()
            ))
        },
        good_pack,
    );
    in_step(
        "many sections",
        150,
        |n| format!("{HEAD}{}", times(n, &format!("section s#n \"S\"\n  applies to each gate\n  shall gate.height at most #n in\n{TAIL}"))),
        good_pack,
    );
    in_step(
        "many facts",
        500,
        |n| format!("{}{}section s \"S\"\n  applies to each gate\n  shall gate.latch\n{TAIL}", HEAD, times(n, "  fact-#n length \"F\"\n")),
        good_pack,
    );
    in_step(
        "a long text",
        200_000,
        |n| {
            format!(
                "{HEAD}section s \"S\"\n  applies to each gate\n  shall gate.latch\n  remedy \"{}\"\n  cite book \"1\"\n",
                "word ".repeat(n / 5)
            )
        },
        good_pack,
    );
}

#[test]
fn tables() {
    let asked = "section s \"S\"\n  applies to each gate\n  shall gate.height at most t.v(gate.height)\n";
    in_step(
        "a long table",
        200,
        |n| {
            format!(
                "{HEAD}table t \"T\"\n  cite book \"1\"\n  by length next row down\n  length | v\n{}{asked}{TAIL}",
                times(n, "  #n in | 1#n in\n")
            )
        },
        pack,
    );
    let wide = |n: usize| {
        let (names, cells): (String, String) = (times(n, " | v#n"), times(n, " | #n in"));
        format!(
            "{HEAD}table t \"T\"\n  cite book \"1\"\n  by kind\n  kind{names}\n  a{cells}\n  b{cells}\nsection s \"S\"\n  applies to each gate\n  shall gate.height at most t.v0(gate.kind)\n{TAIL}"
        )
    };
    in_step("a wide table", 300, wide, pack);
}

#[test]
fn jobs_with_slips() {
    let head = "title: T\ncodes: [made]\n";
    in_step("unknown keys", 1000, |n| format!("{head}{}", times(n, "key-#n: 5 in\n")), job);
    in_step("doubled keys", 1000, |n| format!("{head}{}", times(n, "title: #n\n")), job);
    in_step(
        "values that cannot be read",
        500,
        |n| format!("{head}gates:\n{}", times(n, "  - {id: g#n, height: 5 inches, latch: maybe}\n")),
        job,
    );
    in_step("records without an id", 500, |n| format!("{head}gates:\n{}", times(n, "  - {height: 5 in}\n")), job);
    in_step("records with one id", 500, |n| format!("{head}gates:\n{}", times(n, "  - {id: g, height: 5 in}\n")), job);
    in_step("open brackets", 5000, |n| format!("{head}gates: {}", "[".repeat(n)), job);
    in_step("dashes in a line", 5000, |n| format!("{head}gates:\n  {}", "- ".repeat(n)), job);
    in_step("aliases", 1000, |n| format!("{head}gates:\n  - &a {{id: a, height: 5 in}}\n{}", times(n, "  - *a\n")), job);
    in_step("an open quote", 100_000, |n| format!("{head}site: \"{}", "word\n".repeat(n / 5)), job);
}

#[test]
fn jobs_without_slips() {
    let head = "title: T\ncodes: [made]\n";
    in_step("gates", 500, |n| format!("{head}gates:\n{}", times(n, "  - {id: g#n, height: 5 in, kind: a, latch: yes}\n")), good_job);
    in_step("comment lines", 20_000, |n| format!("{}{head}gates: none\n", times(n, "# nothing\n")), good_job);
    in_step("blank lines", 40_000, |n| format!("{head}{}gates: none\n", "\n".repeat(n)), good_job);
    in_step("a long text", 200_000, |n| format!("{head}gates: none\n").replace("T\n", &format!("{}\n", "word ".repeat(n / 5))), good_job);
    in_step("a text of many lines", 10_000, |n| format!("title: |\n{}codes: [made]\ngates: none\n", times(n, "  word #n\n")), good_job);
    in_step("a list of texts", 2000, |n| format!("title: T\ngates: none\ncodes: [made{}]\n", times(n, ", made#n")), good_job);
}

/// What a terminal shows of many slips: each block is drawn by itself.
#[test]
fn many_slips_are_drawn() {
    let draw = |text: &str| {
        let source = Source::new("made.rules", text);
        let mut files = Sources::default();
        let file = files.add(Source::new("made.rules", text));
        let parsed = pintle::language::build::read_rules(&source, file);
        let files = Files { packs: &files, job: None };
        let length: usize = parsed.slips.iter().map(|slip| slips::drawn(slip, files, false).len()).sum();
        assert!(length > 0);
    };
    in_step("blocks", 400, |n| format!("{HEAD}{}", times(n, "rule x#n says nothing\n")), draw);
    // A letter that is made harmless anywhere in the file must not cost a copy of the file for each block.
    in_step("blocks of a file with an odd letter", 400, |n| format!("# \u{202e}\n{HEAD}{}", times(n, "rule x#n says nothing\n")), draw);
}

#[test]
fn a_table_of_thousands_of_rows() {
    let asked = "section s \"S\"\n  applies to each gate\n  shall gate.height at most t.v(gate.height)\n";
    in_step(
        "a long table",
        1000,
        |n| {
            format!(
                "{HEAD}table t \"T\"\n  cite book \"1\"\n  by length next row down\n  length | v\n{}{asked}{TAIL}",
                times(n, "  #n in | 1#n in\n")
            )
        },
        pack,
    );
}

/// A chain of `many` steps of one kind, none of them in brackets.
fn chain(kind: &str, many: usize) -> String {
    let clause = |asked: &str| format!("section s \"S\"\n  applies to each gate\n  shall {asked}\n{TAIL}");
    let step = |number: usize| match kind {
        "sum" => format!(" + {number} in"),
        "lets" => format!("  let x{} = x{number} + 1 in\n", number + 1),
        _ => format!("formula f{} of x, a length, gives length \"F\"\n  = f{number}(x) + 1 in\n", number + 1),
    };
    let steps: String = (0..many).map(step).collect();
    match kind {
        "sum" => format!("{HEAD}{}", clause(&format!("gate.height{steps} at most 5 in"))),
        "lets" => {
            format!("{HEAD}section s \"S\"\n  applies to each gate\n  let x0 = gate.height\n{steps}  shall x{many} at most 5 in\n{TAIL}")
        }
        _ => format!(
            "{HEAD}formula f0 of x, a length, gives length \"F\"\n  = x\n{steps}{}",
            clause(&format!("f{many}(gate.height) at most 5 in"))
        ),
    }
}

#[test]
fn chains_within_reach() {
    for kind in ["sum", "lets", "formulas"] {
        in_step(&format!("a chain of {kind}"), 40, |n| chain(kind, n), good_pack);
    }
}

/// The program itself is run, since a full stack ends the process.
#[test]
fn a_chain_that_is_too_long_is_a_slip() {
    let file = std::env::temp_dir().join(format!("pintle-chain-{}.rules", std::process::id()));
    for kind in ["sum", "lets", "formulas"] {
        std::fs::write(&file, chain(kind, 3000)).unwrap();
        let ended = std::process::Command::new(env!("CARGO_BIN_EXE_pintle")).arg("check").arg(&file).output().unwrap();
        std::fs::remove_file(&file).unwrap();
        assert!(ended.status.code().is_some(), "a chain of {kind} ended the program: {}", ended.status);
    }
}

#[test]
fn sections_that_rest_on_each_other() {
    let section = |number: usize, asked: &str| format!("section s{number} \"S\"\n  applies to each gate\n  shall {asked}\n{TAIL}");
    let pack = |n: usize| {
        (0..n).map(|number| section(number, &format!("gate complies with made/s{}", number + 1))).collect::<String>()
            + &section(n, "gate.latch")
    };
    in_step("sections that rest on each other", 250, |n| format!("{HEAD}{}", pack(n)), good_pack);
}

#[test]
fn a_table_of_many_any_cells() {
    let rows: String = (0..200).map(|number| format!("  any | {number} | 1 in\n")).collect();
    let text = format!("{HEAD}table t \"T\"\n  cite book \"1\"\n  by kind, number\n  kind | number | v\n{rows}");
    let source = Source::new("made.rules", text);
    let parsed = pintle::language::build::read_rules(&source, pintle::source::FileId(0));
    assert!(parsed.slips.iter().all(|slip| slip.name != "too-deep"), "{}", parsed.slips[0].message);
}

#[test]
fn formulas_that_call_each_other() {
    in_step("formulas", 1000, |n| chain("formulas", n), pack);
}

#[test]
fn chains_in_brackets_are_a_slip() {
    let file = std::env::temp_dir().join(format!("pintle-brackets-{}.rules", std::process::id()));
    let sum = (0..40).fold("gate.height".to_string(), |sum, _| format!("({sum}{})", " + 1 in".repeat(100)));
    let call = (0..40).fold("gate.height".to_string(), |sum, _| format!("larger({sum}{}, 1 in)", " + 1 in".repeat(150)));
    for asked in [sum, call] {
        std::fs::write(&file, section(&format!("{asked} at most 5 in"))).unwrap();
        let ended = std::process::Command::new(env!("CARGO_BIN_EXE_pintle")).arg("check").arg(&file).output().unwrap();
        std::fs::remove_file(&file).unwrap();
        assert!(ended.status.code().is_some(), "the program was ended: {}", ended.status);
    }
}
