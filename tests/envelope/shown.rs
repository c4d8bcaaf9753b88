//! What `pintle envelope` says of the examples is kept as snapshots in tests/envelope/snapshots.
//! `INSTA_UPDATE=always cargo test envelope` writes them; read what was written.

const SHOWN: &[(&str, &[&str])] = &[
    ("too-high", &["examples/jobs/beam-too-high.yaml", "upper"]),
    ("too-high-as-lines", &["examples/jobs/beam-too-high.yaml", "upper.height", "--as", "lines"]),
    ("survey", &["examples/jobs/incomplete-survey.yaml", "thigh"]),
    ("variance", &["examples/jobs/variance-in-force.yaml", "upper"]),
    ("marginal", &["examples/jobs/marginal-measures.yaml"]),
    ("metric", &["examples/jobs/swing-double-metric-good.yaml", "gate main"]),
    ("metric-in-inches", &["examples/jobs/swing-double-metric-good.yaml", "gate main", "--units", "inch"]),
    ("too-high-in-metric", &["examples/jobs/beam-too-high.yaml", "upper", "--units", "metric"]),
];

fn run(arguments: &[&str]) -> String {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("pintle");
    let done =
        command.current_dir(env!("CARGO_MANIFEST_DIR")).arg("envelope").args(arguments).args(["--today", "2026-04-01"]).output().unwrap();
    let (out, err) = (String::from_utf8(done.stdout).unwrap(), String::from_utf8(done.stderr).unwrap());
    assert!(!out.contains(env!("CARGO_MANIFEST_DIR")), "a path of this machine");
    format!("{out}{err}exit {}\n", done.status.code().unwrap_or(-1))
}

#[test]
fn the_examples_say_what_they_said() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings.bind(|| {
        for (name, arguments) in SHOWN {
            insta::assert_snapshot!(*name, run(arguments));
        }
    });
}
