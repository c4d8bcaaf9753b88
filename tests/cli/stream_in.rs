//! Jobs on standard input: they are judged as files are, in order, each under its name.

use super::{GOOD, Site, TODAY, good_but};
use proptest::prelude::*;
use std::io::Write;
use std::process::{Command, Stdio};

fn fed(site: &Site, arguments: &[&str], input: &[u8]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.args(["check", "-", "--today", TODAY]).args(arguments).current_dir(site.path(""));
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut pipe = child.stdin.take().unwrap();
    let input = input.to_vec();
    let writer = std::thread::spawn(move || drop(pipe.write_all(&input)));
    let done = child.wait_with_output().unwrap();
    writer.join().unwrap();
    (done.status.code().unwrap_or(-1), String::from_utf8(done.stdout).unwrap(), String::from_utf8(done.stderr).unwrap())
}

/// The jobs as YAML documents and as JSON lines.
fn streams(jobs: &[(String, String)]) -> [String; 2] {
    let yaml = jobs.iter().map(|(name, text)| format!("--- # {name}\n{text}"));
    let json = jobs.iter().map(|(name, text)| serde_json::json!({"name": name, "text": text}).to_string() + "\n");
    [yaml.collect(), json.collect()]
}

#[test]
fn a_stream_is_judged_as_its_files_are() {
    let jobs: Vec<(String, String)> =
        (0..300).map(|number| (format!("jobs/{number:03}.yaml"), good_but("24 in", &format!("{} in", 20 + number % 10)))).collect();
    let site = jobs.iter().fold(Site::new(), |site, (name, text)| site.with(name, text));
    for view in ["lines", "plain", "text"] {
        let files = site.view(view, &["jobs"]);
        for stream in streams(&jobs) {
            for threads in ["1", "3"] {
                let (code, out, err) = fed(&site, &["--as", view, "--threads", threads], stream.as_bytes());
                assert_eq!((code, &out), (files.code, &files.out), "{view} {threads}: {err}");
            }
        }
    }
}

#[test]
fn each_document_stands_for_itself() {
    let site = Site::new();
    let stream = format!("{GOOD}---\n{GOOD}---\n- [\n--- # last.yaml\n{}", good_but("24 in", "28 in"));
    let (code, out, _) = fed(&site, &["--as", "plain"], stream.as_bytes());
    assert_eq!(code, 2, "one cannot be read: {out}");
    for says in ["document 1: outcome: every", "document 2: outcome: every", "document 3:1:3: slip", "last.yaml:9:17"] {
        assert!(out.contains(says), "{says} is not in {out}");
    }
    let (code, out, _) = fed(&site, &["--as", "plain"], b"{\"name\": \"a\", \"text\": \"codes: [yard]\"}\n{\"name\": 5}\n\nnonsense\n");
    assert_eq!(code, 2, "{out}");
    assert!(out.contains("line 2: not an object") && out.contains("line 4: not an object"), "{out}");
}

#[test]
fn nothing_on_standard_input_is_no_pass() {
    for input in ["", "\n\n", "--- # empty.yaml\n"] {
        let (code, out, err) = fed(&Site::new(), &[], input.as_bytes());
        assert_eq!(code, 2, "{input:?}: {out} {err}");
    }
    let (code, _, err) = fed(&Site::new().with("job.yaml", GOOD), &["job.yaml"], GOOD.as_bytes());
    assert!(code == 2 && err.contains("stands alone"), "{err}");
}

#[test]
fn a_recording_can_come_with_its_job() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs");
    let name = "europe-slide-metric-good.yaml";
    let text = std::fs::read_to_string(root.join(name)).unwrap();
    let beside: std::collections::BTreeMap<String, String> = std::fs::read_dir(root.join("recordings"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (format!("recordings/{}", path.file_name().unwrap().to_str().unwrap()), std::fs::read_to_string(&path).unwrap()))
        .collect();
    let site = beside.iter().fold(Site::empty().with(name, &text), |site, (name, text)| site.with(name, text));
    let alone = site.view("lines", &[name]);
    let record = serde_json::json!({"name": name, "text": text, "beside": beside}).to_string();
    let (code, out, err) = fed(&site, &["--as", "lines"], record.as_bytes());
    assert_eq!((code, out), (alone.code, alone.out), "{err}");
}

#[test]
fn a_name_leads_to_no_folder() {
    let inner = Site::new();
    let site = Site::empty().with("job.yaml", GOOD);
    let name = inner.path("job.yaml").display().to_string();
    let (code, out, _) = fed(&site, &["--as", "plain"], format!("--- # {name}\n{GOOD}").as_bytes());
    assert!(code == 2 && out.contains("no pack `yard` is found"), "{out}");
}

#[test]
fn a_job_without_end_holds_no_memory() {
    // 40 MB without a line feed, and as much in short lines; then a job that is judged.
    let endless =
        [vec![b'a'; 40 << 20], b"\n--- # lines\n".to_vec(), b"title: x\n".repeat(4 << 20), b"--- # good.yaml\n".to_vec()].concat();
    let (code, out, _) = fed(&Site::new(), &["--as", "plain"], &[endless.as_slice(), GOOD.as_bytes()].concat());
    assert_eq!(code, 2);
    assert!(
        out.contains("document 1: more than") && out.contains("lines: more than") && out.contains("good.yaml: outcome: every"),
        "{out:.2000}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    /// Whatever comes, it is told, and nothing is judged that is no job.
    #[test]
    fn any_bytes_can_come(bytes in proptest::collection::vec(any::<u8>(), 0..300), cut in 0usize..200) {
        let mut input = GOOD.as_bytes()[..cut.min(GOOD.len())].to_vec();
        input.extend(bytes);
        let (code, out, err) = fed(&Site::new(), &["--as", "plain"], &input);
        prop_assert!((0..=2).contains(&code), "{code} {out} {err}");
    }
}

#[test]
fn two_jobs_of_one_name_are_told() {
    let (code, _, err) = fed(&Site::new(), &["--as", "plain"], format!("--- # a\n{GOOD}--- # b\n{GOOD}--- # a\n{GOOD}").as_bytes());
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("two jobs of the stream are called a;"), "{err}");
}
