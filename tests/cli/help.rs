//! `--help`: what the program can do, with an example for each command, and what its exit codes mean.

use super::Site;

/// The names of all commands, as `--help` lists them.
fn commands() -> Vec<String> {
    let seen = Site::empty().run(&["--help"]);
    let listed = seen.out.split("Commands:\n").nth(1).expect("a list of commands").split("\n\n").next().unwrap().to_string();
    let names =
        listed.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")).filter_map(|line| line.split_whitespace().next());
    let names: Vec<String> = names.map(str::to_string).collect();
    assert!(names.contains(&"check".to_string()), "{names:?}");
    names
}

/// The lines of help that show an example of a command.
fn examples(command: &str) -> Vec<String> {
    let seen = Site::empty().run(&[command, "--help"]);
    assert_eq!(seen.code, 0, "{command}\n{seen}");
    let start = format!("pintle {command} ");
    seen.out.lines().map(str::trim).filter(|line| line.starts_with(&start)).map(str::to_string).collect()
}

#[test]
fn commands_stand_in_the_order_of_a_job() {
    let job = ["survey", "check", "envelope", "calcs", "draw", "sheet", "revisit", "punch-list"];
    let packs = ["trial", "consolidate", "effect", "neaten"];
    assert_eq!(commands(), [&job[..], &packs, &["schema", "manual"]].concat());
}

#[test]
fn every_command_shows_an_example() {
    for command in commands() {
        assert!(!examples(&command).is_empty(), "`pintle {command} --help` shows no example");
    }
}

#[test]
fn every_example_is_a_call_that_the_program_takes() {
    let site = Site::empty();
    for line in commands().iter().flat_map(|command| examples(command)) {
        // What stands behind a wide gap is a remark, and what stands behind `>` is for the shell.
        let call = line.split("   ").next().unwrap().split(" > ").next().unwrap();
        let mut words: Vec<&str> = call.split_whitespace().skip(1).collect();
        if let Some(out) = words.iter().position(|word| *word == "--out") {
            words.drain(out..out + 2);
        }
        // What writes files by itself does so in a folder of its own.
        let place = if words[0] == "manual" { site.path("") } else { env!("CARGO_MANIFEST_DIR").into() };
        let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
        let done = command.current_dir(place).args(&words).output().unwrap();
        let err = String::from_utf8(done.stderr).unwrap();
        assert!(!err.starts_with("error:"), "{call}\n{err}");
    }
}

#[test]
fn the_exit_codes_are_told() {
    let seen = Site::empty().run(&["--help"]);
    for code in ["  0  ", "  1  ", "  2  ", "  3  "] {
        assert!(seen.out.contains(&format!("\n{code}")), "{code}\n{seen}");
    }
    for word in ["met", "open", "marginal", "--unfinished", "slips", "not a certificate"] {
        assert!(seen.out.contains(word), "{word}\n{seen}");
    }
}

#[test]
fn every_option_is_explained() {
    for command in commands() {
        let seen = Site::empty().run(&[command.as_str(), "-h"]);
        for line in seen.out.lines().filter(|line| line.trim_start().starts_with("--")) {
            assert!(line.trim().contains("  "), "{command}: `{}` is not explained", line.trim());
        }
    }
}

/// Every kind of gate that the vocabulary knows.
#[test]
fn a_form_s_help_lists_every_kind_of_gate() {
    let terms = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/rules/terms/terms.rules")).unwrap();
    let line = terms.lines().find(|line| line.starts_with("values gate-kind ")).unwrap();
    let help = Site::empty().run(&["survey", "--help"]).out;
    for kind in line.split(" = ").nth(1).unwrap().split(", ") {
        assert!(help.contains(kind), "{kind} in\n{help}");
    }
}

#[test]
fn help_holds_no_control_character() {
    for command in commands() {
        super::assert_harmless(&Site::empty().run(&[command.as_str(), "--help"]).out);
    }
}

#[test]
fn the_version_is_the_crate_s() {
    let seen = Site::empty().run(&["--version"]);
    assert_eq!(seen.out.trim(), format!("pintle {}", env!("CARGO_PKG_VERSION")));
}
