//! Every call of the system that a run makes fails once: a full disk, a device that fails, a file that is refused. A run that ends
//! well has then written the whole report all the same; any other leaves the older file, or the whole new one, and nothing beside it.
//!
//! The failures are put in by `strace`; where the machine has none, that is told and nothing is tested.

use super::{GOOD, Site, TODAY, YARD, good_but};
use std::collections::BTreeMap;
use std::process::{Command, Stdio};

/// Which calls fail, and how.
const FAULTS: [(&str, &str); 12] = [
    ("write", "ENOSPC"),
    ("write", "EIO"),
    ("openat", "EACCES"),
    ("openat", "EIO"),
    ("read", "EIO"),
    ("/rename.*", "EXDEV"),
    ("fsync", "EIO"),
    ("close", "EIO"),
    ("statx,newfstatat,stat,lstat,fstat", "EACCES"),
    ("getdents64", "EIO"),
    ("readlink,readlinkat", "EACCES"),
    ("getcwd", "ENOENT"),
];
/// More calls of one kind than any of these runs makes.
const MOST: usize = 600;

/// A command, and the file that it writes; none where it writes to standard output.
struct Run {
    call: &'static str,
    writes: Option<&'static str>,
    /// What stands there before; nothing where there is no such file.
    older: Option<String>,
}

fn runs() -> Vec<Run> {
    let run = |call, writes, older: Option<&str>| Run { call, writes, older: older.map(str::to_string) };
    let untidy = YARD.replace("  shall   ", "  shall  ");
    vec![
        run("check jobs --as lines --threads 1 --out report", Some("report"), Some("the older one")),
        run("check jobs --as sarif --threads 1 --out report", Some("report"), None),
        run("check jobs --as text --threads 1", None, None),
        run("check jobs --as test-xml --threads 1", None, None),
        run("consolidate yard --out report", Some("report"), Some("the older one")),
        run("calcs jobs/a.yaml --as html --out report", Some("report"), Some("the older one")),
        run("calcs jobs/a.yaml", None, None),
        run("punch-list jobs --in list --reason ordered --owner crew --due 2026-06-01 --threads 1", Some("list"), None),
        run("neaten untidy.rules", Some("untidy.rules"), Some(&untidy)),
    ]
}

/// Three jobs and two packs beside them. One pack has the name of an embedded one, so that a folder that cannot be read would let the
/// other text judge; and it has two files, so that one that is lost would judge less.
fn site(run: &Run) -> Site {
    let other = GOOD.replace("[yard]", "[yard, pedestrian-access]");
    let near = YARD.replace("pack yard", "pack pedestrian-access").replace("26 in", "27 in").replace("book", "near-book");
    let (first, more) = near.split_once("section reach").unwrap();
    let site = Site::new().with("rules/pedestrian-access/pedestrian-access.rules", first);
    let site = site.with("rules/pedestrian-access/more.rules", format!("section reach{more}"));
    let site = site.with("jobs/a.yaml", GOOD).with("jobs/b.yaml", other);
    let site = site.with("jobs/c.yaml", good_but("24 in", "26.5 in").replace("[yard]", "[pedestrian-access]"));
    match (&run.older, run.writes) {
        (Some(older), Some(file)) => site.with(file, older),
        _ => site,
    }
}

fn arguments(run: &Run) -> Vec<String> {
    let mut all: Vec<String> = run.call.split(' ').map(str::to_string).collect();
    if ["check", "calcs", "punch-list"].contains(&all[0].as_str()) {
        all.extend(["--today".into(), TODAY.into()]);
    }
    all
}

/// What stands in each file of a folder and below it.
fn held(site: &Site, without: &[&str]) -> BTreeMap<String, Vec<u8>> {
    let root = site.path("");
    let files = walkdir::WalkDir::new(&root).into_iter().map(Result::unwrap).filter(|entry| entry.file_type().is_file());
    let named = files.map(|entry| {
        let name = entry.path().strip_prefix(&root).unwrap().to_string_lossy().into_owned();
        (name, std::fs::read(entry.path()).unwrap())
    });
    named.filter(|(name, _)| !without.contains(&name.as_str())).collect()
}

/// What the run writes when nothing fails, and its exit code.
fn whole(run: &Run) -> (i32, Vec<u8>) {
    let site = site(run);
    let seen = site.run(&arguments(run));
    let written = run.writes.map_or(seen.out.clone().into_bytes(), |file| std::fs::read(site.path(file)).unwrap());
    assert!(seen.code <= 1 && !written.is_empty(), "{}\n{seen}", run.call);
    assert_ne!(run.older.as_ref().map(|older| older.as_bytes()), Some(written.as_slice()), "{}", run.call);
    (seen.code, written)
}

/// Bytes without blanks and line ends, and without every place where a text stands in them.
fn without(bytes: &[u8], text: &[u8]) -> Vec<u8> {
    let bytes: Vec<u8> = bytes.iter().copied().filter(|byte| !byte.is_ascii_whitespace()).collect();
    let (mut result, mut at) = (Vec::with_capacity(bytes.len()), 0);
    while at < bytes.len() {
        if bytes[at..].starts_with(text) {
            at += text.len();
        } else {
            result.push(bytes[at]);
            at += 1;
        }
    }
    result
}

/// Whether a report is whole and says itself that something could not be judged: an input failed, and not the writing.
fn tells_the_trouble(run: &Run, out: &[u8]) -> bool {
    let text = String::from_utf8_lossy(out);
    if run.call.contains("--as lines") {
        return text.ends_with("\"exit\":2}\n");
    }
    let log: Option<serde_json::Value> = run.call.contains("--as sarif").then(|| serde_json::from_str(&text).ok()).flatten();
    log.is_some_and(|log| log["runs"][0]["invocations"][0]["executionSuccessful"] == false)
}

/// One run in which the call number `at` fails. Nothing where there is no such call any more; else what is wrong.
fn failed(run: &Run, fault: (&str, &str), at: usize, whole: &(i32, Vec<u8>)) -> Option<Option<String>> {
    let site = site(run);
    let log = site.path(".log");
    let (calls, error) = fault;
    let mut command = Command::new("strace");
    command.args(["-f", "-qq", "-o"]).arg(&log).args([
        "-e",
        &format!("trace={calls}"),
        "-e",
        &format!("inject={calls}:error={error}:when={at}"),
    ]);
    command.arg(env!("CARGO_BIN_EXE_pintle")).args(arguments(run)).current_dir(site.path("")).stdin(Stdio::null());
    let done = command.output().unwrap();
    if !std::fs::read_to_string(&log).unwrap_or_default().contains("(INJECTED)") {
        return None;
    }
    let err = String::from_utf8_lossy(&done.stderr).into_owned();
    let code = done.status.code().unwrap_or(-1);
    // The loader of the system failed before the program began.
    if code == 127 || err.contains("error while loading shared libraries") {
        return Some(None);
    }
    let out = run.writes.map_or(done.stdout.clone(), |file| std::fs::read(site.path(file)).unwrap_or_default());
    // Where the working folder cannot be learnt, places are shown whole, and lines are broken elsewhere.
    let root = format!("{}/", site.path("").canonicalize().unwrap().display()).into_bytes();
    let address = [b"file://", root.as_slice()].concat();
    // What a file is laid out into differs in blanks only, and names no place.
    let plainly = |bytes: &[u8]| if run.call.starts_with("neaten") { bytes.to_vec() } else { without(&without(bytes, &address), &root) };
    let (raw, out) = (out.clone(), plainly(&out));
    let older = plainly(run.older.clone().unwrap_or_default().as_bytes());
    let whole = &(whole.0, plainly(&whole.1));
    let mut wrong = Vec::new();
    let well = code == whole.0;
    if well && out != whole.1 {
        wrong.push(format!("ends with {code} and a report of {} bytes instead of {}", out.len(), whole.1.len()));
    }
    if !well && code != 2 && !err.contains("closedir") {
        wrong.push(format!("ends with {code}"));
    }
    if run.writes.is_some() && out != older && out != whole.1 && !(code == 2 && tells_the_trouble(run, &raw)) && !err.contains("closedir") {
        wrong.push("leaves neither the older file nor the new one".into());
    }
    // Where closing a folder fails the standard library itself gives up.
    let given_up = err.contains("closedir");
    if err.contains("panicked") && !given_up {
        wrong.push("panics".into());
    }
    let told = !err.is_empty() || !done.stdout.is_empty() || run.writes.is_some() && out != older;
    if !well && !told {
        wrong.push("ends without a word".into());
    }
    let mut left = held(&site, &[".log", run.writes.unwrap_or("")]);
    left.retain(|name, _| name.contains(".part-") || name.starts_with("report"));
    if !left.is_empty() {
        wrong.push(format!("leaves {:?}", left.keys()));
    }
    Some((!wrong.is_empty()).then(|| format!("{}, {calls} number {at} gives {error}: {}\n{err}", run.call, wrong.join("; "))))
}

#[test]
fn no_call_of_the_system_that_fails_makes_half_a_report_a_whole_one() {
    let there = Command::new("strace").args(["-o", "/dev/null", "true"]).output().is_ok_and(|done| done.status.success());
    if !there {
        eprintln!("strace is not at hand: no call of the system was made to fail");
        return;
    }
    let all = runs();
    let (mut wrong, mut many) = (Vec::new(), 0);
    // All of them take minutes: by itself the test takes some, others for each command and kind.
    let step = if std::env::var_os("PINTLE_FAULTS").is_some() { 1 } else { 6 };
    for (number, run) in all.iter().enumerate() {
        let whole = whole(run);
        for (kind, fault) in FAULTS.into_iter().enumerate() {
            for at in (1 + (number + kind) % step..MOST).step_by(step) {
                let Some(found) = failed(run, fault, at, &whole) else { break };
                many += 1;
                wrong.extend(found);
            }
        }
    }
    eprintln!("{many} calls of the system were made to fail");
    assert!(many > 100, "only {many} calls were made to fail");
    assert!(wrong.is_empty(), "{} of {many}\n{}", wrong.len(), wrong.join("\n"));
}
