//! The README is run: every command in a block marked `console` gives the output that stands below it, and every path that the
//! documents name exists. A line `...` in such an output stands for any number of lines.

use std::path::Path;

/// The documents at the root of the project.
const DOCUMENTS: [&str; 2] = ["README.md", "DEVELOPERS.md"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn document(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// A command with the output that is said to follow, and the line on which it stands.
struct Shown {
    line: usize,
    command: String,
    output: Vec<String>,
}

/// The commands in the blocks marked `console`.
fn shown(text: &str) -> Vec<Shown> {
    let mut found: Vec<Shown> = Vec::new();
    let mut within = false;
    for (number, line) in text.lines().enumerate() {
        match line.strip_prefix("```") {
            Some(mark) => within = !within && mark.trim() == "console",
            None if !within => {}
            None => match (line.strip_prefix("$ "), found.last_mut()) {
                (Some(command), _) => found.push(Shown { line: number + 1, command: command.trim().to_string(), output: Vec::new() }),
                (None, Some(last)) => last.output.push(line.to_string()),
                (None, None) => panic!("line {}: output before any command", number + 1),
            },
        }
    }
    assert!(!within, "a block that is never closed");
    found
}

/// Whether the output is as shown; the error is the first shown line that is not found where it belongs.
fn compare(shown: &[&str], output: &[&str]) -> Result<(), String> {
    let Some((first, rest)) = shown.split_first() else {
        return if output.is_empty() { Ok(()) } else { Err(format!("more output than shown: {}", output[0])) };
    };
    if *first != "..." {
        return match output.split_first() {
            Some((line, others)) if line == first => compare(rest, others),
            other => Err(format!("shown:   {first}\nprinted: {}", other.map_or("(nothing)", |(line, _)| line))),
        };
    }
    // What follows the gap must follow it somewhere; the error of the longest match says most.
    let mut wrong = Err(format!("not printed after the gap: {}", rest.first().unwrap_or(&"")));
    for start in 0..=output.len() {
        match compare(rest, &output[start..]) {
            Ok(()) => return Ok(()),
            Err(why) if output.get(start) == rest.first() => wrong = Err(why),
            Err(_) => {}
        }
    }
    wrong
}

/// The words of a command; a text between quotes is one word.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quote = None;
    for c in command.chars() {
        match (quote, c) {
            (None, '\'' | '"') => quote = Some(c),
            (Some(open), _) if open == c => quote = None,
            (None, ' ') => words.push(String::new()),
            _ => words.last_mut().unwrap().push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Lines without blanks at their ends, and without empty lines at the end.
fn tidy<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut lines: Vec<&str> = lines.map(str::trim_end).collect();
    while lines.last().is_some_and(|line| line.is_empty()) {
        lines.pop();
    }
    lines
}

fn run(document: &str, shown: &Shown) -> Result<(), String> {
    let words = words(&shown.command);
    match words[0].as_str() {
        "pintle" => {}
        "cargo" => return Ok(()),
        other => return Err(format!("{document}:{}: `{other}` cannot be run here", shown.line)),
    }
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    let done = command.current_dir(root()).args(&words[1..]).output().unwrap();
    let printed = String::from_utf8(done.stdout).unwrap() + &String::from_utf8(done.stderr).unwrap();
    let (expected, printed) = (tidy(shown.output.iter().map(String::as_str)), tidy(printed.lines()));
    compare(&expected, &printed)
        .map_err(|why| format!("{document}:{}: $ {}\n{why}\nwhole output:\n{}", shown.line, shown.command, printed.join("\n")))
}

#[test]
fn every_command_of_the_readme_prints_what_is_shown() {
    let shown = shown(&document("README.md"));
    assert!(shown.iter().any(|shown| shown.command.starts_with("pintle ")), "no command at all");
    let wrong: Vec<String> = shown.iter().filter_map(|shown| run("README.md", shown).err()).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn a_judging_command_of_the_readme_says_on_which_day() {
    for shown in shown(&document("README.md")) {
        let judges = shown.command.starts_with("pintle check") && !shown.command.contains(".rules");
        assert!(!judges || shown.command.contains("--today "), "README.md:{}: another day, another output", shown.line);
    }
}

#[test]
fn gaps_stand_for_any_number_of_lines() {
    let lines = ["a", "b", "c", "d"];
    for shown in
        [&["a", "b", "c", "d"][..], &["...", "d"], &["a", "..."], &["a", "...", "c", "..."], &["..."], &["a", "...", "b", "c", "d"]]
    {
        assert_eq!(compare(shown, &lines), Ok(()), "{shown:?}");
    }
    for shown in [&["a", "b", "c"][..], &["b", "..."], &["...", "c"], &["a", "...", "x", "..."], &["d", "...", "a"], &[]] {
        assert!(compare(shown, &lines).is_err(), "{shown:?}");
    }
}

/// Paths of the project that a document names: words that start with one of its folders, or that end like one of its files.
fn paths(text: &str) -> Vec<String> {
    let folders: Vec<String> = std::fs::read_dir(root())
        .unwrap()
        .map(Result::unwrap)
        .filter(|entry| entry.path().is_dir())
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| name != "target" && name != ".git")
        .collect();
    let plain = |word: &str| word.chars().all(|c| c.is_ascii_alphanumeric() || "._-/".contains(c));
    let named = |word: &str| {
        let first = word.split('/').next().unwrap_or("");
        let below = word.contains('/') && folders.iter().any(|folder| folder == first);
        let file =
            [".md", ".rs", ".rules", ".yaml", ".toml", ".pest", ".json"].iter().any(|end| word.ends_with(end) && word.len() > end.len());
        plain(word) && (below || file && !word.starts_with('/') && !word.starts_with('.'))
    };
    let split = text.split(|c: char| c.is_whitespace() || "`()[]{},;:|\"'*".contains(c));
    let words = split.map(|word| word.trim_end_matches('.')).filter(|word| named(word));
    words.map(str::to_string).collect()
}

/// The text without its blocks of YAML, of rules and of commands, whose words are those of a job or a pack, or of a reader's folder.
fn without_samples(text: &str) -> String {
    let mut result = String::new();
    let mut skipping = false;
    for line in text.lines() {
        match line.strip_prefix("```") {
            Some("") if skipping => skipping = false,
            Some("yaml" | "rules" | "sh") => skipping = true,
            _ if skipping => {}
            _ => result.push_str(&format!("{line}\n")),
        }
    }
    result
}

#[test]
fn every_path_that_the_documents_name_exists() {
    let mut missing = Vec::new();
    for name in DOCUMENTS {
        let paths = paths(&without_samples(&document(name)));
        assert!(paths.len() > 5, "{name} names hardly a path: {paths:?}");
        missing.extend(paths.into_iter().filter(|path| !root().join(path).exists()).map(|path| format!("{name}: {path}")));
    }
    missing.sort();
    missing.dedup();
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

/// Every test that the page of promises names is one of this program's, and every case that it names beside one is a file.
#[test]
fn every_test_behind_a_promise_exists() {
    let page = document("tests/PROMISES.md");
    let listed = std::process::Command::new(std::env::current_exe().unwrap()).args(["--list", "--format", "terse"]).output().unwrap();
    let listed = String::from_utf8(listed.stdout).unwrap();
    let known: std::collections::BTreeSet<&str> = listed.lines().filter_map(|line| line.strip_suffix(": test")).collect();
    let named: Vec<&str> = page.split('`').skip(1).step_by(2).filter(|name| name.contains("::") || name.contains('-')).collect();
    assert!(named.len() > 60, "{named:?}");
    let is_there = |name: &str| {
        let case = |folder: &str, end: &str| root().join(folder).join(format!("{name}.{end}")).exists();
        known.contains(name) || case("tests/cases/packs", "rules") || case("tests/cases/verdicts", "case")
    };
    let missing: Vec<&str> = named.into_iter().filter(|name| !is_there(name) && !name.starts_with("cargo ")).collect();
    assert!(missing.is_empty(), "{missing:?}");
    assert_eq!(page.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit())).count(), 12, "twelve promises");
}

/// The drawing in the README is what the program draws.
#[test]
fn the_drawing_is_the_programs_own() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let call = ["draw", "examples/jobs/slide-left-drawn.yaml", "--view", "plan", "--today", "2026-04-01"];
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root).args(call).output().unwrap();
    let drawn = String::from_utf8(done.stdout).unwrap();
    let place = root.join("examples/papers/slide-left-drawn-plan.svg");
    if std::env::var_os("PINTLE_UPDATE").is_some() {
        std::fs::write(&place, &drawn).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&place).unwrap(), drawn);
}
