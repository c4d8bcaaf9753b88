//! The recipes in `examples/ci`: each is run here as far as one machine can.

use super::{GOOD, Seen, Site, TODAY, good_but};
use serde_yaml::Value;
use std::path::Path;
use std::process::Command;

const LIST: [&str; 12] =
    ["punch-list", "jobs", "--in", "punch-list.yaml", "--today", TODAY, "--reason", "Ordered", "--owner", "Crew", "--due", "2026-06-01"];

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
    assert_eq!(site.run(&LIST).code, 0);
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
fn the_git_hook_uses_punch_list_and_pins_and_says_when_the_program_is_missing() {
    let Some(site) = repository() else { return };
    let site = site.with("jobs/a.yaml", good_but("24 in", "28 in"));
    let commit = |site: &Site| {
        git(site, &["add", "-A"]);
        git(site, &["commit", "-q", "-m", "change"])
    };
    assert_eq!(site.run(&LIST).code, 0);
    assert_eq!(site.check(&["jobs", "--write-pins", "pins.yaml"]).code, 1);
    let seen = commit(&site).says("on the punch list until 2026-06-01");
    assert_eq!(seen.code, 0, "{seen}");
    std::fs::write(site.path("rules/yard.rules"), super::yard_but("26 in", "30 in")).unwrap();
    assert_ne!(commit(&site).says("other-text").code, 0);
    let mut hook = Command::new("/bin/sh");
    hook.current_dir(site.path("")).env("PATH", site.path("nothing")).arg(site.path(".git/hooks/pre-commit"));
    assert_eq!(Seen::of(&hook.output().unwrap()).says("no pintle on the path, so no job was judged").code, 2);
}

#[test]
fn the_hook_of_the_manifest_is_the_git_hook() {
    let manifest: Value = serde_yaml::from_str(&recipe("hooks.yaml")).unwrap();
    let hooks: Vec<&Value> =
        manifest["repos"].as_sequence().unwrap().iter().flat_map(|repo| repo["hooks"].as_sequence().unwrap()).collect();
    let [hook] = hooks[..] else { panic!("one hook: {hooks:?}") };
    for key in ["id", "name", "description", "entry", "language", "files"] {
        assert!(hook[key].as_str().is_some_and(|text| !text.is_empty()), "{key} of {hook:?}");
    }
    assert_eq!(hook["pass_filenames"], Value::Bool(false), "the hook finds the files by itself");
    let Some(site) = repository() else { return };
    let site = site.with("ci/pre-commit", recipe("pre-commit"));
    let words: Vec<&str> = hook["entry"].as_str().unwrap().split(' ').collect();
    for (job, good) in [(GOOD.to_string(), true), (good_but("24 in", "28 in"), false)] {
        std::fs::create_dir_all(site.path("jobs")).unwrap();
        std::fs::write(site.path("jobs/a.yaml"), job).unwrap();
        git(&site, &["add", "-A"]);
        let seen = Seen::of(&command(words[0], &site).args(&words[1..]).output().unwrap());
        assert_eq!(seen.code == 0, good, "{seen}");
    }
}

/// A stand-in for cargo that installs what was built already.
fn cargo(site: &Site) -> String {
    let own = env!("CARGO_BIN_EXE_pintle");
    let text = format!(
        "#!/bin/sh\nfor word; do last=$word; done\ncase \"$*\" in \"install --locked --quiet --path \"*) ;; *) exit 9 ;; esac\nmkdir -p \"$last/bin\" && ln -sf {own} \"$last/bin/pintle\"\n"
    );
    std::fs::create_dir_all(site.path("tools")).unwrap();
    std::fs::write(site.path("tools/cargo"), text).unwrap();
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(site.path("tools/cargo"), std::fs::Permissions::from_mode(0o755)).unwrap();
    format!("{}:{}", site.path("tools").display(), std::env::var("PATH").unwrap())
}

#[test]
fn the_program_is_installed_from_its_source() {
    let site = yard().with("ci/install.sh", recipe("install.sh")).with("source/Cargo.toml", "");
    let path = cargo(&site);
    let install = |path: &str, arguments: &[&str]| {
        Seen::of(&command("/bin/sh", &site).env("PATH", path).arg("ci/install.sh").args(arguments).output().unwrap())
    };
    let seen = install(&path, &["source", "there"]).says(env!("CARGO_PKG_VERSION"));
    assert_eq!(seen.code, 0, "{seen}");
    assert_eq!(install(&path, &["nothing", "there"]).says("no source of Pintle in nothing").code, 2);
    assert_eq!(install("/nothing", &["source", "there"]).says("no cargo here").code, 2);
    let step = |program: &str| {
        let mut step = command("sh", &site);
        step.env("PATH", std::env::var_os("PATH").unwrap()).env("PINTLE", program).args(["ci/step.sh", "jobs"]);
        Seen::of(&step.output().unwrap())
    };
    std::fs::create_dir_all(site.path("jobs")).unwrap();
    std::fs::write(site.path("jobs/a.yaml"), GOOD).unwrap();
    assert_eq!(step("there/bin/pintle").code, 0);
    assert_eq!(step("nowhere/pintle").says("no nowhere/pintle here").code, 2);
}

#[test]
fn the_step_says_what_to_do_about_each_exit_code() {
    for (job, says) in [
        (GOOD.to_string(), None),
        (good_but("24 in", "28 in"), Some("step.sh: exit 1: a mandatory clause is not met")),
        (good_but("24 in", "24"), Some("step.sh: exit 2: something could not be judged")),
    ] {
        let seen = step(&yard().with("jobs/a.yaml", job), &["jobs"]);
        assert_eq!(says.map_or("", |_| "step.sh: exit"), seen.err.get(..13).unwrap_or(""), "{seen}");
        assert!(seen.err.contains(says.unwrap_or("")), "{seen}");
    }
    // A report of an earlier build is not left to be taken for this one's.
    let site = yard().with("jobs/a.yaml", GOOD).with("reports/gates.txt", "Yesterday\n");
    std::fs::write(site.path("punch-list.yaml"), "").unwrap();
    std::fs::remove_dir_all(site.path("jobs")).unwrap();
    let seen = step(&site, &["jobs"]).keeps_quiet_of("Yesterday");
    assert_eq!(seen.code, 2, "{seen}");
}

#[test]
fn the_steps_of_the_workflow_run_in_order() {
    let workflow: Value = serde_yaml::from_str(&recipe("workflow.yaml")).unwrap();
    let steps = workflow["jobs"]["check"]["steps"].as_sequence().unwrap();
    let place = workflow["env"]["PINTLE"].as_str().unwrap();
    for (job, code) in [(GOOD.to_string(), 0), (good_but("24 in", "28 in"), 1), (good_but("24 in", "24"), 2)] {
        let site = yard().with("jobs/a.yaml", job).with("ci/install.sh", recipe("install.sh")).with(".pintle/Cargo.toml", "");
        let path = cargo(&site);
        let here = |text: &str| text.replace("/tmp/pintle", &site.path("program").display().to_string());
        let (mut worst, mut page, mut kept) = (0, String::new(), false);
        for step in steps {
            let always = step["if"].as_str() == Some("always()");
            kept |= always && step["with"]["path"].as_str() == Some("reports");
            let Some(line) = step["run"].as_str() else { continue };
            // Once a step has failed, only those that run always are run.
            if worst > 0 && !always {
                continue;
            }
            let mut sh = command("sh", &site);
            let seen = Seen::of(&sh.env("PATH", &path).env("PINTLE", here(place)).args(["-c", &here(line)]).output().unwrap());
            worst = worst.max(seen.code);
            page = seen.out;
        }
        assert_eq!(worst, code);
        assert!(kept, "the reports are kept whether the check failed or not");
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
    // The list agrees to some findings; what else is on it is wrong in a way that every share tells.
    let agreed = ["--reason", "Ordered", "--owner", "Crew", "--due", "2026-06-01", "--packs", "ordinances", "--today", TODAY];
    assert_eq!(
        site.run(&[&["punch-list", "jobs/two-codes", "jobs/marginal-measures.yaml", "--in", "punch.yaml"][..], &agreed].concat()).code,
        0
    );
    std::fs::write(site.path("punch.yaml"), site.read("punch.yaml") + "  - {job: nothing more}\n").unwrap();
    for more in [&[][..], &["--punch-list", "punch.yaml", "--unfinished"]] {
        let one = ["check", "jobs", "--as", "lines", "--packs", "ordinances", "--today", TODAY, "--out", "one.jsonl"];
        let one = site.run(&[&one[..], more].concat());
        let call = ["check_jobs.py", "jobs", "--out", "many.jsonl", "--packs", "ordinances", "--today", TODAY, "--shares", "5"];
        let call = [&call[..], more, &["--master", "local-cluster[3,1,1024]"]].concat();
        let many = Seen::of(&command("python3", &site).args(call).output().unwrap());
        assert_eq!(many.code, one.code, "{many}");
        // Shares tell what is wrong with the list where they end.
        let sorted = |name: &str| {
            let text = site.read(name);
            let mut lines: Vec<String> = text.lines().map(str::to_string).collect();
            if !more.is_empty() {
                lines.sort();
            }
            lines
        };
        assert!(sorted("one.jsonl") == sorted("many.jsonl"), "the cluster's report differs: {many}");
        assert!(site.read("many.jsonl").lines().last().unwrap().starts_with("{\"kind\":\"end\""));
    }
}
