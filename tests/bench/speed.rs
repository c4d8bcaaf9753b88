//! Speed, on demand (`cargo bench`): a folder of made jobs is checked and, in the same run, only read with serde_yaml; and the
//! start-up of a check of one file; then the costly calculations, and the check of a job with its drawing; `-- many` does what `many.rs` says. Figures are ratios: this machine's own speed drops out.

#[path = "drawings.rs"]
mod drawings;
#[path = "many.rs"]
mod many;

use rayon::prelude::*;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const JOBS: usize = 2000;
const MANY: usize = 100_000;
const ROUNDS: usize = 5;

fn main() {
    let folder = std::env::temp_dir().join(format!("pintle-speed-{}", std::process::id()));
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(at) = arguments.iter().position(|argument| argument == "many") {
        return many::run(arguments.get(at + 1).and_then(|number| number.parse().ok()).unwrap_or(MANY), &folder);
    }
    let (paths, bytes) = make_jobs(&folder, JOBS);
    println!("{JOBS} jobs, {} bytes each on average, {ROUNDS} rounds, medians", bytes / JOBS);
    for threads in [1, 2] {
        let (mut check, mut read) = (Vec::new(), Vec::new());
        for _ in 0..ROUNDS {
            check.push(timed(|| check_folder(&folder, threads)));
            read.push(timed(|| read_all(&paths, threads)));
        }
        let (check, read) = (median(check), median(read));
        println!(
            "threads {threads}: check {check:.0?}, reading with serde_yaml {read:.0?}, ratio {:.2}",
            check.as_secs_f64() / read.as_secs_f64()
        );
    }
    let (mut check, mut valid) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        check.push(timed(|| check_folder(&folder, 1)));
        valid.push(timed(|| validate_all(&paths)));
    }
    let (check, valid) = (median(check), median(valid));
    println!(
        "threads 1: check {check:.0?}, a compiled JSON Schema of what a schema can say {valid:.0?}, ratio {:.2}",
        check.as_secs_f64() / valid.as_secs_f64()
    );
    let one = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs/beam-too-high.yaml");
    let (mut start, mut floor) = (Vec::new(), Vec::new());
    for _ in 0..40 {
        start.push(timed(|| quiet(Command::new(env!("CARGO_BIN_EXE_pintle")).args(["check", "--as", "plain"]).arg(&one))));
        floor.push(timed(|| quiet(&mut Command::new("true"))));
    }
    let (start, floor) = (median(start), median(floor));
    println!(
        "start-up: check of one file {start:.1?}, a program that does nothing {floor:.1?}, ratio {:.1}",
        start.as_secs_f64() / floor.as_secs_f64()
    );
    let envelopes = envelopes(&one);
    println!("envelope of one measure of that job, median over its measured facts: {envelopes:.1?}");
    let _ = std::fs::remove_dir_all(folder);
    drawings::all();
}

/// The time of one envelope, in this process: for every measured fact of a job.
fn envelopes(path: &Path) -> Duration {
    let bench = pintle::command::workbench::Workbench::default();
    let source = pintle::command::workbench::read_file(path).expect("the example");
    let shelves = bench.shelves_for(path.parent().expect("a folder"));
    let pintle::command::workbench::Read::Job(program, job) = bench.read(&source, shelves, true) else { panic!("a job") };
    let program = program.as_ref();
    let today = jiff::civil::date(2026, 4, 1);
    let (variances, _) = pintle::judge::variance::variances(program, &job, &source);
    let ask = pintle::judge::Subject { program, job: &job, source: &source, variances: &variances, today };
    let facts = pintle::envelope::asked_for(program, &job, None).expect("measured facts");
    median(facts.into_iter().map(|fact| timed(|| drop(pintle::envelope::envelope(&ask, fact)))).collect())
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn quiet(command: &mut Command) {
    let _ = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).status();
}

/// Jobs made from an example, each with its own title, ids and heights.
fn make_jobs(folder: &Path, jobs: usize) -> (Vec<PathBuf>, usize) {
    std::fs::create_dir_all(folder).expect("a folder for the jobs");
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs/slide-left-good.yaml");
    let text = std::fs::read_to_string(example).expect("the example");
    let mut bytes = 0;
    let paths = (0..jobs).map(|number| {
        let job = text.replacen("title: ", &format!("title: Job {number}, "), 1).replace("id: main\n", &format!("id: gate-{number}\n"));
        bytes += job.len();
        let path = folder.join(format!("job-{number:05}.yaml"));
        std::fs::write(&path, job).expect("a job written");
        path
    });
    (paths.collect(), bytes)
}

fn check_folder(folder: &Path, threads: usize) {
    let out = folder.with_extension("report");
    quiet(&mut check(folder, threads, &out));
    let _ = std::fs::remove_file(out);
}

/// The check of a folder, yet to be started.
fn check(folder: &Path, threads: usize, out: &Path) -> Command {
    let threads = threads.to_string();
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.args(["check", "--as", "plain", "--today", "2026-04-01", "--threads", &threads, "--out"]).arg(out).arg(folder);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Reads every job with serde_yaml and holds it against a compiled JSON Schema: which facts must be there and how a measure is written, which
/// is what a schema can say of these rules. No limit of a measure with a unit is among it.
fn validate_all(paths: &[PathBuf]) {
    let measure =
        |units: &str| serde_json::json!({"type": "string", "pattern": format!("^[0-9][0-9 ./]*({units})( [0-9][0-9 ./]* ({units}))*$")});
    let (length, yes_no) = (measure("in|ft|mm|cm|m"), serde_json::json!({"type": ["string", "boolean"]}));
    let beam = serde_json::json!({
        "type": "object",
        "required": ["id", "duty", "watches", "height", "offset", "span"],
        "properties": {
            "duty": {"enum": ["entrapment", "vehicle", "presence"]},
            "watches": {"type": "array", "items": {"enum": ["opening", "closing"]}},
            "height": length, "mate-height": length, "offset": length, "span": length, "monitored": yes_no
        }
    });
    let schema = serde_json::json!({
        "type": "object",
        "required": ["title", "codes", "permit-date", "gates"],
        "properties": {"gates": {"type": "array", "items": {
            "type": "object",
            "required": ["id", "kind", "usage-class", "opening", "operator", "leaves", "beams"],
            "properties": {"opening": length, "beams": {"type": "array", "items": beam}}
        }}}
    });
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let valid = paths.iter().filter(|path| {
        let text = std::fs::read_to_string(path).expect("a job read");
        let value: serde_json::Value = serde_yaml::from_str(&text).expect("YAML");
        validator.is_valid(&value)
    });
    assert_eq!(valid.count(), paths.len());
}

fn read_all(paths: &[PathBuf], threads: usize) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    let read = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).expect("a job read");
        serde_yaml::from_str::<serde_yaml::Value>(&text).expect("YAML").as_mapping().map_or(0, serde_yaml::Mapping::len)
    };
    let keys: usize = pool.install(|| paths.par_iter().map(read).sum());
    assert!(keys > 0);
}
