//! When the sun shines into the receivers of beams, where the job tells where they stand and look: totals, months, hours. It must not
//! know how much is too much.

use super::Sheet;
use crate::datum::{Datum, Place};
use crate::job::RecordId;
use crate::language::program::{Op, Program};
use crate::language::walk::section_exprs;
use crate::quantity::Interval;
use crate::reckon::sun::{Ends, Glare, Receiver, SunYear, compare_ends};
use crate::report::blocks::Ledger;
use crate::report::document::{Block, Document, Line, words};
use std::sync::LazyLock;

/// The year that is looked at: from year to year the windows move by less than a minute a day.
const YEAR: i32 = 2026;
/// Most beams that are looked at in one job.
const MOST: usize = 24;

static SUN: LazyLock<Option<SunYear>> = LazyLock::new(|| SunYear::new(YEAR).ok());

const MONTHS: [&str; 12] =
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/// The windows of every beam that can be reckoned, and which cannot.
pub fn windows(sheet: &Sheet, document: &mut Document) {
    document.heading(2, "sun", "Sun in the receivers");
    let facts = &sheet.facts;
    let beams = facts.things("beam");
    if beams.is_empty() {
        document.paragraph(words("The job lists no beam."));
        return;
    }
    // Beams that wait for the same things are told together.
    let mut without: Vec<(String, Vec<String>)> = Vec::new();
    for (at, beam) in beams.iter().enumerate() {
        if let Some(seen) = SUN.as_ref().filter(|_| at < MOST).and_then(|sun| seen(sheet, sun, *beam)) {
            of_beam(&facts.name(*beam), &seen, document);
            continue;
        }
        let why = if at < MOST { lacking(sheet, *beam) } else { format!("only the first {MOST} beams of a job are reckoned") };
        match without.iter_mut().find(|(known, _)| *known == why) {
            Some((_, names)) => names.push(facts.name(*beam)),
            None => without.push((why, vec![facts.name(*beam)])),
        }
    }
    for (why, names) in without {
        document.paragraph(words(format!("Not reckoned: {}; {why}.", names.join(", "))));
    }
}

/// What the job does not state of what it takes to reckon the sun at a beam.
fn lacking(sheet: &Sheet, beam: RecordId) -> String {
    let facts = &sheet.facts;
    let place = facts.things("place").first().copied();
    let gate = sheet.subject.job.record(beam).parent;
    let stated = |id: Option<RecordId>, name: &str| id.is_some_and(|id| facts.datum(id, name).is_some());
    let upright = |name: &str| matches!(facts.datum(beam, name), Some(Datum::Point(place)) if place.z.is_some());
    let needs = [
        (stated(place, "latitude") && stated(place, "longitude"), "the site's latitude and longitude"),
        (stated(gate, "bearing"), "the gate's bearing"),
        (upright("sender") && upright("mate"), "both ends of the beam as points with their heights"),
        (stated(Some(beam), "style"), "how the beam works"),
        (
            stated(Some(beam), "acceptance") || usual_half_angle(sheet.subject.program).is_some(),
            "the half-angle of acceptance, which neither the job nor a pack in force gives",
        ),
    ];
    let missing: Vec<&str> = needs.iter().filter(|(given, _)| !given).map(|(_, what)| *what).collect();
    if missing.is_empty() { "it cannot be worked out with these values".into() } else { format!("it takes {}", missing.join(", ")) }
}

/// What a beam gets of the sun.
struct Seen {
    ends: Ends,
    /// Hours that the clock is ahead of universal time.
    offset: i32,
    /// Half-angle in degrees, and who gives it.
    half: (f64, &'static str),
}

fn seen(sheet: &Sheet, sun: &SunYear, beam: RecordId) -> Option<Seen> {
    let facts = &sheet.facts;
    let middle = |interval: Interval| interval.middle().map(crate::quantity::Exact::to_f64);
    let number = |id: RecordId, name: &str| match facts.datum(id, name)? {
        Datum::Number(interval, _) => middle(*interval),
        _ => None,
    };
    let point = |name: &str| match facts.datum(beam, name)? {
        Datum::Point(place) => coordinates(place),
        _ => None,
    };
    let gate = sheet.subject.job.record(beam).parent?;
    let place = *facts.things("place").first()?;
    let (latitude, longitude, bearing) = (number(place, "latitude")?, number(place, "longitude")?, number(gate, "bearing")?);
    let (sender, mate) = (point("sender")?, point("mate")?);
    let half = match number(beam, "acceptance") {
        Some(half) => (half, "from the data sheet"),
        None => (usual_half_angle(sheet.subject.program)?, "the usual one, since no data sheet is given"),
    };
    let at_mate = matches!(facts.word(beam, "style")?, "through-beam" | "light-curtain");
    let (at, toward) = if at_mate { (mate, sender) } else { (sender, mate) };
    let (x, y, z) = (toward[0] - at[0], toward[1] - at[1], toward[2] - at[2]);
    // Bearings turn clockwise; the drawing's y lies counter-clockwise of its x.
    let receiver = Receiver {
        latitude: latitude.to_radians(),
        longitude: longitude.to_radians(),
        bearing: (bearing - libm::atan2(y, x).to_degrees()).to_radians(),
        tilt: libm::atan2(z, libm::hypot(x, y)),
        half_angle: half.0.to_radians(),
        skyline: 0.0,
    };
    let offset = libm::round(longitude / 15.0).clamp(-12.0, 12.0);
    let ends = compare_ends(sun, offset * 3600.0, &receiver).ok()?;
    Some(Seen { ends, offset: offset as i32, half })
}

fn coordinates(place: &Place) -> Option<[f64; 3]> {
    let one = |interval: Interval| interval.middle().map(crate::quantity::Exact::to_f64);
    Some([one(place.x)?, one(place.y)?, one(place.z?)?])
}

/// The half-angle that the packs in force take where no data sheet gives one, in degrees.
fn usual_half_angle(program: &Program) -> Option<f64> {
    let mut found = None;
    for section in &program.sections {
        section_exprs(section, &mut |expr| {
            if let Op::BuiltIn(row, arguments) = &expr.op
                && crate::builtin::ROWS[*row].name == "sun-time"
                && let Some(Op::Literal(Datum::Number(angle, _))) = arguments.get(1).map(|argument| &argument.op)
            {
                found = found.or_else(|| angle.as_point().map(crate::quantity::Exact::to_f64));
            }
        });
    }
    found
}

fn of_beam(name: &str, seen: &Seen, document: &mut Document) {
    let (here, there) = (&seen.ends.here, &seen.ends.there);
    let zone = match seen.offset {
        0 => "universal time".to_string(),
        ahead if ahead > 0 => format!("{ahead} h ahead of universal time"),
        behind => format!("{} h behind universal time", -behind),
    };
    let longest = here
        .longest
        .map_or_else(String::new, |(day, seconds)| format!("; the longest day is {} {} with {}", day.day, month(day.month), span(seconds)));
    document.paragraph(words(format!(
        "{}: {} in the year on {} days{longest}. With the receiver at the other end it would be {}. Half-angle of acceptance {:.1}°, {}. Clock: {zone}, no summer \
         time; open level horizon; within a minute.",
        super::top::upper(name),
        span(here.total),
        here.days,
        span(there.total),
        seen.half.0,
        seen.half.1,
    )));
    let rows = months(here);
    if !rows.is_empty() {
        let caption = format!("{}: when the sun shines into the receiver", super::top::upper(name));
        document.blocks.push(Block::Ledger(Ledger::plain(caption, &["Month", "Days", "Between the hours of", "In all"], rows)));
    }
}

fn month(number: u8) -> &'static str {
    MONTHS.get(usize::from(number).wrapping_sub(1)).copied().unwrap_or("")
}

/// The windows month by month: first and last day, earliest and latest hour, mornings and afternoons apart.
fn months(glare: &Glare) -> Vec<Vec<Line>> {
    const NOON: f64 = 43_200.0;
    let mut rows = Vec::new();
    for number in 1..=12u8 {
        for half in [true, false] {
            let windows: Vec<_> = glare.windows.iter().filter(|it| it.day.month == number && (it.from < NOON) == half).collect();
            let (Some(first), Some(last)) = (windows.first(), windows.last()) else { continue };
            let total: f64 = windows.iter().map(|window| window.to - window.from).sum();
            let from = windows.iter().map(|window| window.from).fold(f64::INFINITY, f64::min);
            let to = windows.iter().map(|window| window.to).fold(0.0, f64::max);
            let days =
                if first.day.day == last.day.day { first.day.day.to_string() } else { format!("{} to {}", first.day.day, last.day.day) };
            rows.push(vec![words(month(number)), words(days), words(format!("{} and {}", clock(from), clock(to))), words(span(total))]);
        }
    }
    rows
}

fn clock(seconds: f64) -> String {
    let minutes = libm::floor(seconds / 60.0) as u32;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

fn span(seconds: f64) -> String {
    let minutes = libm::round(seconds / 60.0) as u64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}
