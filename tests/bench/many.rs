//! Whether a large folder costs more a job than a small one (`cargo bench -- many`, or `-- many 20000` for another size): time a job and peak
//! memory of a check of 100,000 made jobs beside those of 2,000. It must not know what is checked.

use super::{check, make_jobs};
use std::path::Path;
use std::time::{Duration, Instant};

/// Jobs of the small folder.
const FEW: usize = 2000;

/// What one run took.
struct Cost {
    wall: Duration,
    peak_kib: u64,
}

/// Makes both folders, checks each three times, and prints the medians.
pub fn run(many: usize, folder: &Path) {
    let costs: Vec<Cost> = [FEW, many]
        .into_iter()
        .map(|jobs| {
            let folder = folder.with_extension(jobs.to_string());
            make_jobs(&folder, jobs);
            let mut costs: Vec<Cost> = (0..3).map(|_| cost(&folder)).collect();
            let _ = std::fs::remove_dir_all(folder);
            costs.sort_by_key(|cost| cost.wall);
            let peak_kib = costs.iter().map(|cost| cost.peak_kib).max().unwrap_or(0);
            let wall = costs[1].wall / u32::try_from(jobs).expect("a number of jobs");
            println!("{jobs} jobs on two threads: {wall:.1?} a job, peak memory {:.1} MB", mb(peak_kib));
            Cost { wall, peak_kib }
        })
        .collect();
    println!(
        "{many} jobs beside {FEW}: {:.2} times the time a job, {:.2} times the peak memory",
        costs[1].wall.as_secs_f64() / costs[0].wall.as_secs_f64(),
        mb(costs[1].peak_kib) / mb(costs[0].peak_kib)
    );
}

/// Checks a folder, and looks at the highest memory of the process while it runs; the number only grows, so looking often is enough.
fn cost(folder: &Path) -> Cost {
    let out = folder.with_extension("report");
    let start = Instant::now();
    let mut child = check(folder, 2, &out).spawn().expect("the program");
    let status = format!("/proc/{}/status", child.id());
    let mut peak_kib = 0;
    while child.try_wait().expect("a child").is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let now = text.lines().find_map(|line| line.strip_prefix("VmHWM:")?.split_whitespace().next()?.parse().ok());
        peak_kib = peak_kib.max(now.unwrap_or(0));
        std::thread::sleep(Duration::from_millis(5));
    }
    let wall = start.elapsed();
    let _ = std::fs::remove_file(out);
    Cost { wall, peak_kib }
}

#[allow(clippy::cast_precision_loss)]
fn mb(kib: u64) -> f64 {
    kib as f64 * 1024.0 / 1e6
}
