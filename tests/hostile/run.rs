//! Runs a hostile case by the real program: a small stack, a ceiling on what it may ask for, its peak as the system counted it.

use super::case::{Case, Planned, bytes, cooked};
use crate::cli::{Seen, Site, TODAY, assert_harmless};
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The stack that every case has to do with, in KiB; threads have as much.
const STACK: u64 = 512;
/// No run may ask for more than this, in KiB: a case that goes wrong must not take the machine with it.
const CEILING: u64 = 4 * 1024 * 1024;
/// Longest name of a file of a case that is shown.
const SHOWN: usize = 2000;

/// What one run took.
#[derive(Clone, Copy, Debug, Default)]
pub struct Took {
    pub time: Duration,
    /// Peak memory, where the machine has a way to tell.
    pub kib: Option<u64>,
}

/// Makes a file of a case.
fn make(site: Site, planned: &Planned, value: Option<&str>) -> Site {
    let text = value.map_or_else(|| planned.text.clone(), |value| planned.text.replace("@@", value));
    let name = planned.name.as_str();
    match planned.how.split_once(' ').unwrap_or((&planned.how, "")) {
        ("take", from) => site.with(name, std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(from)).unwrap()),
        ("sparse", size) => {
            let site = site.with(name, "");
            let file = std::fs::OpenOptions::new().write(true).open(site.path(name)).unwrap();
            file.set_len(size.parse().unwrap()).unwrap();
            site
        }
        ("pipe", _) => site.with_pipe(name),
        ("link", to) => {
            let folder = site.path(name);
            std::fs::create_dir_all(folder.parent().unwrap()).unwrap();
            site.with_link(name, to)
        }
        ("folder", _) => site.with_folder(name),
        ("times", many) => (0..many.parse::<usize>().unwrap()).fold(site, |site, number| {
            let put = |text: &str| text.replace("#n+1", &(number + 1).to_string()).replace("#n", &number.to_string());
            site.with(put(name), put(&text))
        }),
        (how, _) => site.with(name, bytes(&cooked(&text), how)),
    }
}

/// Runs a call under the limits.
pub fn limited(site: &Site, call: &[String]) -> (Seen, Took) {
    let peak = site.path(".peak");
    let measured = Path::new("/usr/bin/time").exists();
    let script = format!("ulimit -s {STACK}; ulimit -v {CEILING}; exec \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &script, "sh"]);
    if measured {
        command.arg("/usr/bin/time").args(["-q", "-f", "%M", "-o"]).arg(&peak);
    }
    command.arg("timeout").arg("60").arg(env!("CARGO_BIN_EXE_pintle")).args(call);
    command.current_dir(site.path("")).env("RUST_MIN_STACK", (STACK * 1024).to_string()).env_remove("CLICOLOR_FORCE");
    let began = Instant::now();
    let done = command.stdin(Stdio::null()).output().unwrap();
    let time = began.elapsed();
    let kib = std::fs::read_to_string(&peak).ok().and_then(|text| text.trim().parse().ok());
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("what the program writes is UTF-8");
    let seen = Seen { code: done.status.code().unwrap_or(-1), out: text(&done.stdout), err: text(&done.stderr) };
    (seen, Took { time, kib })
}

/// How a run came out: what does not hold of it, its exit code and its slips.
pub struct Outcome {
    pub wrong: Option<String>,
    pub exit: i32,
    pub slips: String,
}

/// The outcome of a case, or of each of its values.
pub fn outcomes(case: &Case) -> Vec<Outcome> {
    if case.each.is_empty() {
        return vec![once(case, None)];
    }
    let of = |each: &super::case::Each| {
        let case = Case { slips: each.slips.clone(), exit: each.exit, ..case.clone() };
        let outcome = once(&case, Some(&each.value));
        Outcome { wrong: outcome.wrong.map(|why| format!("{:?}: {why}", each.value)), ..outcome }
    };
    case.each.iter().map(of).collect()
}

fn once(case: &Case, value: Option<&str>) -> Outcome {
    let site = case.files.iter().fold(Site::new(), |site, planned| make(site, planned, value));
    let checks = case.run[0] == "check";
    let mut call = case.run.clone();
    if ["check", "calcs", "envelope", "effect", "punch-list"].contains(&call[0].as_str()) {
        call.extend(["--today".into(), TODAY.into()]);
    }
    if checks && !call.contains(&"--as".into()) {
        call.extend(["--as".into(), "lines".into()]);
    }
    let (seen, took) = limited(&site, &call);
    if std::env::var_os("PINTLE_TIMES").is_some() {
        eprintln!("{} {:?} {:?} {} KiB", case.row, value.unwrap_or(""), took.time, took.kib.unwrap_or(0));
    }
    let mut wrong = Vec::new();
    if seen.code != case.exit {
        wrong.push(format!("ends with {}, not {}", seen.code, case.exit));
    }
    if took.time > Duration::from_millis(case.within_ms) {
        wrong.push(format!("takes {:?}", took.time));
    }
    if took.kib.is_some_and(|kib| kib > case.memory_kib) {
        wrong.push(format!("takes {} KiB", took.kib.unwrap_or(0)));
    }
    let slips: Vec<Value> =
        seen.out.lines().filter_map(|line| serde_json::from_str(line).ok()).filter(|line: &Value| line["kind"] == "slip").collect();
    let mut names: Vec<&str> = slips.iter().filter_map(|slip| slip["name"].as_str()).collect();
    let mut told = std::collections::BTreeSet::new();
    names.retain(|name| told.insert(*name));
    if checks && names != case.slips {
        wrong.push(format!("slips {}, not {}", names.join(", "), case.slips.join(", ")));
    }
    let place = slips.first().map(|slip| format!("{}:{}", slip["place"]["line"], slip["place"]["column"]));
    if case.at.is_some() && case.at != place {
        wrong.push(format!("the first slip stands at {}", place.unwrap_or_default()));
    }
    wrong.extend(
        case.says.iter().filter(|text| !seen.out.contains(*text) && !seen.err.contains(*text)).map(|text| format!("`{text}` is not told")),
    );
    wrong.extend(
        case.never.iter().filter(|text| seen.out.contains(*text) || seen.err.contains(*text)).map(|text| format!("`{text}` is told")),
    );
    assert_harmless(&seen.out);
    assert_harmless(&seen.err);
    let shown = |text: &str| text.chars().take(SHOWN).collect::<String>();
    let told = (!wrong.is_empty()).then(|| format!("{}\n--- out\n{}\n--- err\n{}", wrong.join("; "), shown(&seen.out), shown(&seen.err)));
    Outcome { wrong: told, exit: seen.code, slips: if names.is_empty() { "none".into() } else { names.join(", ") } }
}
