//! Peak memory of a run over many jobs, and of one hostile job under every view.

use super::run::limited;
use crate::cli::{GOOD, Site, VIEWS, good_but};

fn peak(site: &Site, call: &str) -> Option<u64> {
    let call: Vec<String> = call.split(' ').map(str::to_string).collect();
    let (seen, took) = limited(site, &call);
    assert!(seen.code < 3, "{call:?}\n{}", seen.err);
    took.kib
}

fn jobs(many: usize) -> Site {
    let job = |number: usize| if number.is_multiple_of(10) { good_but("24 in", "28 in") } else { GOOD.to_string() };
    (0..many).fold(Site::new(), |site, number| site.with(format!("jobs/{number}.yaml"), job(number)))
}

#[test]
fn memory_does_not_grow_with_the_number_of_jobs() {
    let (few, many) = (jobs(200), jobs(2000));
    for view in VIEWS {
        let call = format!("check jobs --today 2026-04-01 --threads 2 --as {view}");
        let Some((one, mut ten)) = peak(&few, &call).zip(peak(&many, &call)) else {
            eprintln!("this machine has no way to tell the peak memory of a run");
            return;
        };
        // A log keeps its five thousand worst results until the end, and so grows up to there.
        let within = |ten: u64| view == "sarif" || ten * 10 < one * 13;
        // What the allocator keeps back depends on how the threads were interrupted; what the run needs does not, and
        // growth with the jobs would show every time.
        for _ in 0..4 {
            if within(ten) {
                break;
            }
            ten = ten.min(peak(&many, &call).unwrap_or(ten));
        }
        assert!(within(ten), "{view}: {one} KiB for 200 jobs, {ten} KiB for 2000");
        assert!(ten < 64 * 1024, "{view}: {ten} KiB");
    }
}

/// A job of a mebibyte in which as much is wrong as can be.
#[test]
fn one_hostile_job_has_a_bound_in_every_view() {
    let beams: String = (0..9000)
        .map(|number| format!("      - {{id: b{number}, duty: entrapment, height: 28 in, offset: 4 in, span: 90 ft, extra: 1}}\n"))
        .collect();
    let job = format!("title: T\ncodes: [yard]\npermit-date: 2026-03-02\ngates:\n  - id: g\n    beams:\n{beams}");
    assert!(job.len() < 1 << 20);
    let site = Site::new().with("job.yaml", job);
    for view in VIEWS {
        let began = std::time::Instant::now();
        let Some(kib) = peak(&site, &format!("check job.yaml --today 2026-04-01 --as {view}")) else { return };
        if std::env::var_os("PINTLE_TIMES").is_some() {
            eprintln!("{view}: {kib} KiB, {:?}", began.elapsed());
        }
        assert!(kib < 320 * 1024, "{view}: {kib} KiB");
        assert!(began.elapsed().as_secs() < 20, "{view}: {:?}", began.elapsed());
    }
}
