//! Recordings of a force meter beside a job: read, judged, and refused with a reason.

use super::Site;

const PACK: &str = "pack meter \"Force meter\"\n  language   1\n  edition    \"1\"\n  adopts     terms\n\nsource made \"Made up\" invented\n\n\
    section force \"Force\"\n  applies to each test\n  shall (a) test.force is given and test.force at most 400 N\n  \
    shall (b) test.time-over-150 is given and test.time-over-150 at most 750 ms\n  cite made \"1\"\n";

/// A peak of 380 N; over 150 N from 0.1 s to 0.6 s, when the line from 100 N to 200 N at 0.05 s and 0.15 s is crossed half way.
const CURVE: &str = "time s,force N\n0,0\n0.05,100\n0.15,200\n0.3,380\n0.55,200\n0.65,100\n0.9,20\n1.2,0\n";

fn job(recording: &str) -> String {
    format!("title: Meter\ncodes: [meter]\ngates:\n  - id: main\n    tests:\n      - {{id: push, recording: {recording}}}\n")
}

fn site(recording: &str, file: &str, text: &str) -> Site {
    Site::empty().with("rules/meter.rules", PACK).with("job.yaml", job(recording)).with(file, text)
}

#[test]
fn peak_and_time_follow_from_a_recording() {
    site("push.csv", "push.csv", CURVE).expect(0, &["job.yaml"]);
    let kilonewtons = CURVE.replace("time s,force N", "t (ms);F [kN]").replace(',', ";").replace("0.3;380", "300;0.401");
    let scaled: String =
        kilonewtons.lines().take(1).chain(["0;0", "50;0.1", "150;0.2", "300;0.401", "550;0.2", "1200;0"]).collect::<Vec<_>>().join("\n");
    site("curves/push.csv", "curves/push.csv", &scaled).expect(1, &["job.yaml"]).says("test.force is 0.401 kN");
    let long = CURVE.replace("0.55,200", "0.95,200").replace("0.65,100", "1.05,100").replace("0.9,20", "1.1,20");
    site("push.csv", "push.csv", &long).expect(1, &["job.yaml"]).says("900 ms").says("150 ms too much");
}

#[test]
fn a_recording_that_ends_too_early_tells_no_time() {
    let cut: String = CURVE.lines().take(5).collect::<Vec<_>>().join("\n");
    site("push.csv", "push.csv", &cut).expect(1, &["job.yaml"]).says("test.time-over-150 is not stated");
}

#[test]
fn a_recording_that_cannot_be_read_is_told_on_its_line() {
    for (name, text, why) in [
        ("push.csv", "", "columns"),
        ("push.csv", "time s,force N\n", "fewer than two samples"),
        ("push.csv", "time s,force N\n0,1\n0,2\n", "line 3: the time does not increase"),
        ("push.csv", "time s,force N\n0,1\n1,-400\n2,2\n", "line 3: the force is far below nought"),
        ("push.csv", "time s,force N\n0,-1\n1,19\n", "line 2: the force is far below nought"),
        ("push.csv", "time s,force N\n0,1\n1,lots\n", "line 3: `lots` is no number"),
        ("push.csv", "time s,force lux\n0,1\n1,2\n", "ends with no unit of force"),
        ("push.csv", "time s,force N,more\n0,1,2\n1,2,3\n", "3 columns"),
        ("push.csv", "time s,force N\n0,1\n1\n", "fields"),
        ("gone.csv", CURVE, "No such file"),
        ("../push.csv", CURVE, "beside the job or in a folder below it"),
        ("/etc/hostname", CURVE, "beside the job or in a folder below it"),
    ] {
        let seen = site(name, "push.csv", text).expect(2, &["job.yaml"]);
        seen.says("job.yaml:6:").says(why).says("unreadable-recording");
    }
    let site = site("pipe.csv", "push.csv", CURVE).with_pipe("pipe.csv");
    site.expect(2, &["job.yaml"]).says("not a plain file");
    let site = Site::empty().with("rules/meter.rules", PACK).with("job.yaml", job("link.csv")).with_link("link.csv", "/etc/hostname");
    site.expect(2, &["job.yaml"]).says("not a plain file");
}
