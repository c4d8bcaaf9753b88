//! `pintle manual`: every command and every option of `--help` is in the pages and in the completions, and both are whole or not
//! there.

use super::Site;
use std::collections::BTreeSet;
use std::process::{Command, Stdio};

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];

/// The commands, and their long options as `--help` shows them.
fn options() -> Vec<(String, BTreeSet<String>)> {
    let site = Site::empty();
    let listed = site.run(&["--help"]).out;
    let listed = listed.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap().to_string();
    let commands =
        listed.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")).filter_map(|line| line.split_whitespace().next());
    let of = |command: &str| {
        let help = site.run(&[command, "-h"]).out;
        let words = help.split(|c: char| c.is_whitespace() || ",<[".contains(c)).filter(|word| word.starts_with("--"));
        words.filter(|word| word[2..].chars().all(|c| c.is_ascii_lowercase() || c == '-') && word.len() > 2).map(str::to_string).collect()
    };
    commands.map(|command| (command.to_string(), of(command))).collect()
}

#[test]
fn a_page_for_each_command_with_each_option() {
    let site = Site::empty();
    let seen = site.run(&["manual", "--pages", "man/man1"]);
    assert_eq!((seen.code, seen.out.as_str(), seen.err.as_str()), (0, "", ""), "{seen}");
    let mut names: Vec<String> = options().iter().map(|(command, _)| format!("pintle-{command}.1")).collect();
    names.push("pintle.1".into());
    names.sort();
    assert_eq!(site.names("man/man1"), names);
    for (command, options) in options() {
        let page = site.read(&format!("man/man1/pintle-{command}.1")).replace('\\', "");
        assert!(!options.is_empty());
        for option in options {
            assert!(page.contains(&option), "{option} is not in the page of {command}");
        }
        assert!(page.contains(&format!("pintle {command} ")), "no example in the page of {command}");
    }
    assert!(site.read("man/man1/pintle.1").contains("Exit codes"));
}

#[test]
fn completions_for_each_shell_with_each_option() {
    for shell in SHELLS {
        let seen = Site::empty().run(&["manual", "--completion", shell]);
        assert_eq!((seen.code, seen.err.as_str()), (0, ""), "{shell}");
        for (command, options) in options() {
            assert!(seen.out.contains(&command), "{shell}: {command}");
            for option in options {
                let name = option.trim_start_matches('-');
                assert!(seen.out.contains(name), "{shell}: {command} {option}");
            }
        }
    }
}

#[test]
fn the_completions_are_good_shell() {
    let site = Site::empty();
    for shell in ["bash", "zsh", "fish"] {
        let script = site.path(shell);
        std::fs::write(&script, site.run(&["manual", "--completion", shell]).out).unwrap();
        // Not every shell is on every machine.
        let Ok(done) = Command::new(shell).arg("-n").arg(&script).stderr(Stdio::piped()).output() else { continue };
        assert!(done.status.success(), "{shell}: {}", String::from_utf8_lossy(&done.stderr));
    }
}

#[test]
fn the_pages_are_good_troff() {
    let site = Site::empty();
    site.run(&["manual", "--pages", "."]);
    for name in site.names(".") {
        let mut command = Command::new("groff");
        let Ok(done) = command.args(["-man", "-Tutf8", "-ww", "-z"]).arg(site.path(&name)).output() else { return };
        assert_eq!(String::from_utf8_lossy(&done.stderr), "", "{name}");
    }
}

#[test]
fn the_same_again() {
    let site = Site::empty();
    site.run(&["manual", "--pages", "a"]);
    site.run(&["manual", "--pages", "b"]);
    for name in site.names("a") {
        assert_eq!(site.read(&format!("a/{name}")), site.read(&format!("b/{name}")));
    }
}

#[test]
fn what_cannot_be_written_is_told() {
    let site = Site::empty().with("file", "x");
    for arguments in
        [&["manual"][..], &["manual", "--pages", "file"], &["manual", "--pages", "file/below"], &["manual", "--completion", "csh"]]
    {
        let seen = site.run(arguments);
        assert_eq!((seen.code, seen.out.as_str()), (2, ""), "{arguments:?}\n{seen}");
        assert!(!seen.err.is_empty());
    }
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    let done = command.args(["manual", "--completion", "bash"]).stdout(full).stderr(Stdio::piped()).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
}
