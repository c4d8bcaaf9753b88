//! The command line from outside: the real program on real files. This file owns the fresh folder that each test works in, the small
//! pack and job that most of them start from, and what every output must hold to.
//!
//! A test that is ignored as a `bug` fails because of the program; it is run again with `cargo test -- --ignored`.

mod absence;
mod absence_of_parts;
mod calcs;
mod consolidate;
mod damaged;
mod draw;
mod envelope;
mod escapes;
mod exit_codes;
mod faults;
mod folders;
mod help;
mod hostile;
mod lines;
mod manual;
mod neaten;
mod packs;
mod pins;
mod punch_list;
mod reasons;
mod recipes;
mod recordings;
mod report_file;
mod reuse;
mod sarif;
mod stream_in;
mod streams;
mod summary;
mod test_xml;
mod totals;

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// The day of judging in these tests.
pub const TODAY: &str = "2026-04-01";
/// The views that `check` has.
pub const VIEWS: [&str; 6] = ["text", "plain", "lines", "sarif", "test-xml", "summary"];
/// No single run may take longer; most take a few hundredths of a second.
const LONGEST: Duration = Duration::from_secs(60);

/// A pack of invented rules: one limit with an exception, one ratio that cannot always be computed, one recommendation.
pub const YARD: &str = r#"pack yard "Yard rules"
  language   1
  edition    "2026"
  authority  "Hasp County"
  in force   from 2026-01-01 by job.permit-date
  adopts     terms

source book "Yard book of Hasp County" invented

section lens-height "A beam low enough to find a person"
  applies to each beam where beam.duty is entrapment
  shall   beam.height at most 26 in
  except  (1) "A coded beam" where beam.coded
  remedy  "Lower beam {beam.id} of gate {gate.id}: {value} over grade, {limit} is the most."
  cite    book "1"

section reach "The span is no more than so many offsets"
  applies to each beam
  shall   beam.span / beam.offset at most 100
  remedy  "Move beam {beam.id} of gate {gate.id}."
  cite    book "2"

section offset "A beam close to the leaf"
  applies to each beam where beam.duty is entrapment
  should  beam.offset at most 6 in
  remedy  "Move beam {beam.id} nearer to the leaf: {value}, {limit} is the most."
  cite    book "3"
"#;

/// A job that meets all of it.
pub const GOOD: &str = "title: Ferrule Yard
codes: [yard]
permit-date: 2026-03-02
gates:
  - id: main
    beams:
      - id: low
        duty: entrapment
        height: 24 in
        offset: 4 in
        span: 20 ft
";

/// The job with one of its texts changed; the text must be there.
pub fn good_but(from: &str, to: &str) -> String {
    changed(GOOD, from, to)
}

/// The pack with one of its texts changed; the text must be there.
pub fn yard_but(from: &str, to: &str) -> String {
    changed(YARD, from, to)
}

fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "`{from}` is not in:\n{text}");
    text.replacen(from, to, 1)
}

/// A fresh folder for one test; it is gone afterwards. It lies outside the project, so that no `rules/` stands above it.
pub struct Site {
    root: PathBuf,
}

impl Site {
    /// An empty folder.
    pub fn empty() -> Site {
        static NUMBER: AtomicUsize = AtomicUsize::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let root = std::env::temp_dir().join(format!("pintle-test-{}-{number}", std::process::id()));
        let _ = std::fs::remove_dir_all(&root);
        std::fs::create_dir_all(&root).unwrap();
        Site { root }
    }

    /// A folder with the pack `yard` in `rules/`.
    pub fn new() -> Site {
        Site::empty().with("rules/yard.rules", YARD)
    }

    /// The same with one more file; folders on the way are made.
    pub fn with(self, name: impl AsRef<Path>, content: impl AsRef<[u8]>) -> Site {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
        self
    }

    /// The same with one more folder.
    pub fn with_folder(self, name: &str) -> Site {
        std::fs::create_dir_all(self.path(name)).unwrap();
        self
    }

    /// The same with a named pipe, which nobody writes to: reading it would never end.
    pub fn with_pipe(self, name: &str) -> Site {
        let made = std::process::Command::new("mkfifo").arg(self.path(name)).status().unwrap();
        assert!(made.success(), "mkfifo {name}");
        self
    }

    /// The same with a symbolic link; the target is written as given.
    #[cfg(unix)]
    pub fn with_link(self, name: &str, target: &str) -> Site {
        std::os::unix::fs::symlink(target, self.path(name)).unwrap();
        self
    }

    /// A path in the folder.
    pub fn path(&self, name: impl AsRef<Path>) -> PathBuf {
        self.root.join(name)
    }

    /// What a file holds, as text.
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The names in a folder, sorted.
    pub fn names(&self, folder: &str) -> Vec<String> {
        let entries = std::fs::read_dir(self.path(folder)).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// Runs the program in the folder.
    pub fn run<A: AsRef<OsStr>>(&self, arguments: &[A]) -> Seen {
        self.run_in("", arguments)
    }

    /// Runs the program in a folder below it.
    pub fn run_in<A: AsRef<OsStr>>(&self, folder: &str, arguments: &[A]) -> Seen {
        let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
        command.current_dir(self.path(folder)).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").args(arguments).timeout(LONGEST);
        Seen::of(&command.output().unwrap())
    }

    /// `check`, on the day of these tests, in the plain view.
    pub fn check(&self, arguments: &[&str]) -> Seen {
        self.view("plain", arguments)
    }

    /// `check`, on the day of these tests.
    pub fn view(&self, view: &str, arguments: &[&str]) -> Seen {
        let mut all = vec!["check", "--today", TODAY, "--as", view];
        all.extend(arguments);
        self.run(&all)
    }

    /// `check` in every view: all end with this code, say something, and say nothing that a terminal would obey. The plain view is
    /// handed back.
    pub fn expect(&self, code: i32, arguments: &[&str]) -> Seen {
        let mut plain = None;
        for view in VIEWS {
            let seen = self.view(view, arguments);
            assert_eq!(seen.code, code, "{view} {arguments:?}\n{seen}");
            assert!(!(seen.out.is_empty() && seen.err.is_empty()), "{view} {arguments:?} says nothing");
            match view {
                "lines" => drop(lines::records(&seen)),
                "sarif" => drop(sarif::log(&seen)),
                "test-xml" => test_xml::check(&seen),
                _ => {}
            }
            assert_harmless(&seen.out);
            assert_harmless(&seen.err);
            if view == "plain" {
                plain = Some(seen);
            }
        }
        plain.unwrap()
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.root);
    }
}

/// What one run said and how it ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    /// The exit code; -1 where a signal ended it.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Seen {
    fn of(output: &std::process::Output) -> Seen {
        let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("what the program writes is UTF-8");
        Seen { code: output.status.code().unwrap_or(-1), out: text(&output.stdout), err: text(&output.stderr) }
    }

    /// The same run, whose output holds this text.
    #[track_caller]
    pub fn says(self, text: &str) -> Seen {
        assert!(self.out.contains(text) || self.err.contains(text), "`{text}` is not told:\n{self}");
        self
    }

    /// The same run, whose output does not hold this text.
    #[track_caller]
    pub fn keeps_quiet_of(self, text: &str) -> Seen {
        assert!(!self.out.contains(text) && !self.err.contains(text), "`{text}` is told:\n{self}");
        self
    }
}

impl std::fmt::Display for Seen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "exit {}\n--- out\n{}\n--- err\n{}", self.code, self.out, self.err)
    }
}

/// Marks that turn the direction of writing or that take no room: a reader would see another text than the file holds.
const UNSEEN: &str = "\u{202a}\u{202b}\u{202c}\u{202d}\u{202e}\u{2066}\u{2067}\u{2068}\u{2069}\u{200e}\u{200f}\u{61c}\u{200b}\u{200c}\u{200d}\u{2060}\u{feff}\u{2028}\u{2029}";

/// The first character of an output that could change how a terminal or a reader takes what follows.
pub fn unsafe_in(text: &str) -> Option<(usize, char)> {
    text.char_indices().find(|(_, c)| *c != '\n' && (c.is_control() || UNSEEN.contains(*c)))
}

#[track_caller]
pub fn assert_harmless(text: &str) {
    if let Some((at, c)) = unsafe_in(text) {
        let line = text[..at].rsplit('\n').next().unwrap_or("");
        panic!("U+{:04X} reaches the output after {line:?}", u32::from(c));
    }
}
