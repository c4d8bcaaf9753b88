//! Speed of the costly calculations: the sun over a year, what beams do not see, gaps over a movement, a job with its drawing.

use pintle::command::workbench::{Read, Workbench, judge_job, read_file};
use pintle::reckon::Unreckonable;
use pintle::reckon::beam::{Beam, Stance, blind_area, widest_unseen};
use pintle::reckon::geometry::{
    Band, Fixed, Ground, Leaf, Movement, Point, Point3, Polygon, Range, Side, Slide, Swing, hazard_zones, least_gap, swept,
};
use pintle::reckon::sun::{Receiver, SunYear, glare};
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

/// Every figure, one a line.
pub fn all() {
    let sun = SunYear::new(2026).expect("a year");
    line("a year of sun at one receiver, 5 degrees", || sun_of_a_year(&sun));
    line("blind area of a zone under 6 beams, upright", || blind().map(black_box));
    line("widest unseen body in that zone", || unseen().map(black_box));
    for (name, movement) in [("swing", swing()), ("slide", slide())] {
        let (movement, objects) = (movement.expect("a leaf"), objects());
        line(&format!("least gaps of a {name} leaf to 20 obstacles"), || gaps(&movement, &objects));
        line(&format!("hazard zones of a {name} leaf among 20 obstacles"), || {
            hazard_zones(&movement, &objects, Band::new(0.057, 0.406)?, 1.83).map(|zones| black_box(zones.len() as f64))
        });
        line(&format!("area swept by a {name} leaf"), || swept(&movement).map(|swept| black_box(swept.whole.area())));
    }
    drawn_job();
}

fn line(name: &str, mut work: impl FnMut() -> Result<f64, Unreckonable>) {
    let mut times: Vec<Duration> = (0..15)
        .map(|_| {
            let start = Instant::now();
            black_box(work()).expect("a figure");
            start.elapsed()
        })
        .collect();
    times.sort();
    println!("{name}: {:.3?}", times[times.len() / 2]);
}

fn sun_of_a_year(sun: &SunYear) -> Result<f64, Unreckonable> {
    let receiver = Receiver {
        latitude: 39.1_f64.to_radians(),
        longitude: -101.2_f64.to_radians(),
        bearing: 85_f64.to_radians(),
        tilt: 0.0,
        half_angle: 5_f64.to_radians(),
        skyline: 0.0,
    };
    Ok(black_box(glare(sun, 0.0, &receiver)?.total))
}

fn six_beams() -> Result<Vec<Beam>, Unreckonable> {
    let places = [(-0.6, 0.3), (-0.6, 0.7), (-0.1, 0.5), (0.15, 0.5), (0.7, 0.3), (0.7, 0.7)];
    places.into_iter().map(|(y, z)| Beam::new(Point3::new(-0.1, y, z), Point3::new(6.2, y + 0.02, z))).collect()
}

fn zone() -> Result<Polygon, Unreckonable> {
    Polygon::rectangle(Point::new(-0.3, -1.2), Point::new(6.4, 1.2))
}

fn blind() -> Result<f64, Unreckonable> {
    Ok(blind_area(&zone()?, &six_beams()?, &Ground::level(0.0)?, Stance::new(0.3, 0.2, 0.7)?)?.area)
}

fn unseen() -> Result<f64, Unreckonable> {
    Ok(widest_unseen(&zone()?, &six_beams()?, &Ground::level(0.0)?, 0.7)?.width)
}

fn swing() -> Result<Movement, Unreckonable> {
    Leaf::Swing(Swing {
        hinge: Point::new(0.0, 0.0),
        closed_direction: 0.0,
        opening_angle: 1.6,
        heel: 0.05,
        length: 3.6,
        offset: 0.02,
        thickness: 0.05,
        bottom: 0.08,
        height: 1.8,
    })
    .movement()
}

fn slide() -> Result<Movement, Unreckonable> {
    Leaf::Slide(Slide {
        left_end: -2.0,
        offset: 0.1,
        length: 8.2,
        thickness: 0.08,
        bottom: 0.06,
        height: 1.8,
        travel: 6.3,
        opens: Side::Left,
    })
    .movement()
}

fn objects() -> Vec<Fixed> {
    let at = |number: usize| {
        let (x, y) = (-3.0 + 0.5 * number as f64, if number.is_multiple_of(2) { 0.5 + 0.1 * number as f64 } else { -0.4 });
        let corners = [Point::new(x, y), Point::new(x + 0.3, y + 0.1), Point::new(x + 0.2, y + 0.4), Point::new(x - 0.1, y + 0.3)];
        Fixed::new(Polygon::new(&corners)?, Range { low: 0.0, high: 2.0 })
    };
    (0..20).map(|number| at(number).expect("an obstacle")).collect()
}

fn gaps(movement: &Movement, objects: &[Fixed]) -> Result<f64, Unreckonable> {
    let mut least = f64::INFINITY;
    for object in objects {
        least = least.min(least_gap(movement, object)?.gap);
    }
    Ok(black_box(least))
}

/// The whole check of a job with its drawing, packs compiled before, against the same gate with typed measures.
fn drawn_job() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs");
    let bench = Workbench::default();
    let mut medians = Vec::new();
    for name in ["slide-left-good.yaml", "slide-left-drawn.yaml"] {
        let source = read_file(&root.join(name)).expect("the example");
        let shelves = bench.shelves_for(&root);
        let mut times: Vec<Duration> = (0..41)
            .map(|_| {
                let start = Instant::now();
                let Read::Job(program, mut job) = bench.read(&source, shelves.clone(), true) else { panic!("{name} cannot be read") };
                let today = jiff::civil::date(2026, 4, 1);
                black_box(judge_job(&program, &mut job, &source, today, |_, _, judgement| judgement.judged.len()));
                start.elapsed()
            })
            .collect();
        times.sort();
        medians.push(times[times.len() / 2]);
    }
    let ratio = medians[1].as_secs_f64() / medians[0].as_secs_f64();
    println!("one job, packs ready: measures typed {:.3?}, with its drawing {:.3?}, ratio {ratio:.2}", medians[0], medians[1]);
}
