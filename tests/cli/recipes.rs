//! The recipes in `examples/ci`: each is run here as far as one machine can.

use super::{GOOD, Seen, Site, TODAY, good_but};
use serde_yaml::Value;
use std::path::Path;
use std::process::Command;

fn recipe(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ci").join(name)).unwrap()
}

/// A command with the program on its path, on the day of these tests.
fn command(program: &str, site: &Site) -> Command {
    let own = Path::new(env!("CARGO_BIN_EXE_pintle")).parent().unwrap();
    let path =
        std::env::join_paths(std::iter::once(own.to_path_buf()).chain(std::env::split_paths(&std::env::var_os("PATH").unwrap()))).unwrap();
    let mut command = Command::new(program);
    command.current_dir(site.path("")).env("PATH", path).env("PINTLE_TODAY", TODAY);
    command
}

fn step(site: &Site, arguments: &[&str]) -> Seen {
    Seen::of(&command("sh", site).arg("ci/step.sh").args(arguments).output().unwrap())
}

fn yard() -> Site {
    Site::new().with("ci/step.sh", recipe("step.sh"))
}

#[test]
fn the_step_keeps_every_report_and_the_worst_exit_code() {
    for (job, code) in [(GOOD.to_string(), 0), (good_but("24 in", "28 in"), 1), (good_but("24 in", "24"), 2)] {
        let site = yard().with("jobs/a.yaml", job);
        let seen = step(&site, &["jobs", "reports"]);
        assert_eq!(seen.code, code, "{seen}");
        assert_eq!(site.names("reports"), ["gates.md", "gates.sarif", "gates.txt", "gates.xml"]);
        assert_eq!(site.read("reports/gates.txt"), seen.out);
        super::sarif::log(&Seen { code, out: site.read("reports/gates.sarif"), err: String::new() });
        super::test_xml::check(&Seen { code, out: site.read("reports/gates.xml"), err: String::new() });
    }
}

#[test]
fn the_step_uses_a_punch_list_and_pins_where_they_are() {
    let site = yard().with("jobs/a.yaml", good_but("24 in", "28 in"));
    let list = [
        "punch-list",
        "jobs",
        "--in",
        "punch-list.yaml",
        "--today",
        TODAY,
        "--reason",
        "Ordered",
        "--owner",
        "Crew",
        "--due",
        "2026-06-01",
    ];
    assert_eq!(site.run(&list).code, 0);
    assert_eq!(step(&site, &["jobs"]).says("on the punch list until 2026-06-01").code, 0);
    assert_eq!(site.check(&["jobs", "--write-pins", "pins.yaml"]).code, 1);
    assert_eq!(step(&site, &["jobs"]).code, 0);
    std::fs::write(site.path("rules/yard.rules"), super::yard_but("26 in", "30 in")).unwrap();
    assert_eq!(step(&site, &["jobs"]).says("other-text").code, 2);
}

#[test]
fn the_step_says_what_is_missing() {
    let site = yard().with("jobs/a.yaml", GOOD).with("file", "");
    for arguments in [&[][..], &["gone"], &["jobs", "file/below"]] {
        let seen = step(&site, arguments);
        assert_eq!(seen.code, 2, "{arguments:?}\n{seen}");
        assert!(!seen.err.is_empty());
    }
}

/// A repository with the hook in place; without git there is nothing to run.
fn repository() -> Option<Site> {
    let site = Site::new().with("hook", recipe("pre-commit"));
    let done = command("git", &site).args(["init", "-q", "."]).output().ok()?;
    assert!(done.status.success());
    let hook = site.path(".git/hooks/pre-commit");
    std::fs::create_dir_all(hook.parent().unwrap()).unwrap();
    std::fs::rename(site.path("hook"), &hook).unwrap();
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(&hook, std::fs::Permissions::from_mode(0o755)).unwrap();
    Some(site)
}

fn git(site: &Site, arguments: &[&str]) -> Seen {
    let mut git = command("git", site);
    git.args(["-c", "user.name=Hasp County", "-c", "user.email=nobody@example.org", "-c", "commit.gpgsign=false"]);
    Seen::of(&git.args(arguments).output().unwrap())
}

#[test]
fn the_git_hook_judges_what_is_about_to_be_committed() {
    let Some(site) = repository() else { return };
    let site = site.with("jobs/a b.yaml", GOOD).with("notes.yaml", "nothing: here\n").with("readme", "x");
    let commit = |site: &Site| {
        git(site, &["add", "-A"]);
        git(site, &["commit", "-q", "-m", "change"])
    };
    let seen = commit(&site).says("every mandatory clause that applies is met");
    assert_eq!(seen.code, 0, "{seen}");
    std::fs::write(site.path("readme"), "y").unwrap();
    let seen = commit(&site).keeps_quiet_of("outcome");
    assert_eq!(seen.code, 0, "{seen}");
    std::fs::write(site.path("notes.yaml"), "still: nothing\n").unwrap();
    assert_eq!(commit(&site).code, 0);
    std::fs::write(site.path("jobs/a b.yaml"), good_but("height: 24 in", "height:")).unwrap();
    assert_eq!(commit(&site).says("open").code, 0, "a survey that is going on");
    std::fs::write(site.path("jobs/a b.yaml"), good_but("24 in", "28 in")).unwrap();
    assert_ne!(commit(&site).says("not met: yard/lens-height (a)").code, 0);
    // What is judged is what stands in the index, whatever the working files hold.
    git(&site, &["add", "-A"]);
    std::fs::write(site.path("jobs/a b.yaml"), GOOD).unwrap();
    assert_ne!(git(&site, &["commit", "-q", "-m", "change"]).code, 0);
    assert_eq!(git(&site, &["commit", "-q", "-a", "-m", "change"]).code, 0);
    // A rule that changes is judged against every job, though no job changes.
    std::fs::write(site.path("rules/yard.rules"), super::yard_but("26 in", "20 in")).unwrap();
    assert_ne!(commit(&site).says("not met: yard/lens-height (a)").code, 0);
}

#[test]
fn the_step_keeps_results_where_it_is_told_to() {
    let site = yard().with("jobs/a.yaml", GOOD);
    let run = || Seen::of(&command("sh", &site).env("PINTLE_KEPT", "kept").arg("ci/step.sh").arg("jobs").output().unwrap());
    let first = run();
    assert_eq!(first.code, 0, "{first}");
    assert_eq!(site.names("kept"), ["plain.kept", "sarif.kept", "summary.kept", "test-xml.kept"]);
    assert_eq!(first, run());
}

#[test]
fn each_hook_of_the_manifest_is_a_call_that_the_program_takes() {
    let hooks: Vec<Value> = serde_yaml::from_str(&recipe("hooks.yaml")).unwrap();
    let site = Site::new().with("jobs/a.yaml", GOOD).with("jobs/b.yaml", good_but("24 in", "28 in")).with("rules/bad.rules", "pack bad\n");
    for hook in &hooks {
        for key in ["id", "name", "description", "entry", "language", "files"] {
            assert!(hook[key].as_str().is_some_and(|text| !text.is_empty()), "{key} of {hook:?}");
        }
        let words: Vec<&str> = hook["entry"].as_str().unwrap().split(' ').collect();
        let run = |file: &str| command(words[0], &site).args(&words[1..]).arg(file).output().unwrap().status.code();
        let (good, bad) =
            if hook["files"].as_str().unwrap().contains("rules") { ("yard.rules", "bad.rules") } else { ("a.yaml", "b.yaml") };
        let folder = if good.ends_with("rules") { "rules" } else { "jobs" };
        assert_eq!(run(&format!("{folder}/{good}")), Some(0), "{hook:?}");
        assert_ne!(run(&format!("{folder}/{bad}")), Some(0), "{hook:?}");
    }
    assert_eq!(hooks.len(), 2);
}

#[test]
fn the_steps_of_the_workflow_run_in_order() {
    let workflow: Value = serde_yaml::from_str(&recipe("workflow.yaml")).unwrap();
    let steps = workflow["jobs"]["check"]["steps"].as_sequence().unwrap();
    for (job, code) in [(GOOD.to_string(), 0), (good_but("24 in", "28 in"), 1)] {
        let site = yard().with("jobs/a.yaml", job);
        let (mut worst, mut page) = (0, String::new());
        for step in steps {
            let Some(line) = step["run"].as_str() else { continue };
            // Once a step has failed, only those that run always are run.
            if worst > 0 && step["if"].as_str() != Some("always()") {
                continue;
            }
            let seen = Seen::of(&command("sh", &site).args(["-c", line]).output().unwrap());
            worst = worst.max(seen.code);
            page = seen.out;
        }
        assert_eq!(worst, code);
        assert!(page.starts_with("# Gate check: "), "the last step shows the summary\n{page}");
    }
}

/// A partitioned check on a local cluster of three workers says what one machine says.
#[test]
fn a_cluster_says_what_one_machine_says() {
    let there = |program: &str, arguments: &[&str]| Command::new(program).args(arguments).output().is_ok_and(|done| done.status.success());
    if !there("java", &["-version"]) || !there("python3", &["-c", "import pyspark"]) {
        println!("skipped: PySpark with Java is not on this machine");
        return;
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let site = Site::empty();
    let copy = |from: &str, to: &str| {
        let done = Command::new("cp").arg("-r").arg(root.join(from)).arg(site.path(to)).status().unwrap();
        assert!(done.success(), "cp {from}");
    };
    copy("examples/jobs", "jobs");
    copy("examples/rules", "ordinances");
    copy("examples/cluster/check_jobs.py", "check_jobs.py");
    let one = site.run(&["check", "jobs", "--as", "lines", "--packs", "ordinances", "--today", TODAY, "--out", "one.jsonl"]);
    let call = ["check_jobs.py", "jobs", "--out", "many.jsonl", "--packs", "ordinances", "--today", TODAY, "--shares", "5"];
    let many = Seen::of(&command("python3", &site).args(call).args(["--master", "local-cluster[3,1,1024]"]).output().unwrap());
    assert_eq!(many.code, one.code, "{many}");
    assert!(site.read("one.jsonl") == site.read("many.jsonl"), "the cluster's report differs: {many}");
}
