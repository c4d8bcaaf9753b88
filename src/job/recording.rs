//! Reads recordings that a job names: a table of times and values, as a force meter writes it. It must not know folders: whoever
//! knows the job's folder hands over the text.

use super::record::{Fact, Job, Named, Stated, ToleranceFrom};
use crate::datum::{Datum, Kind, Recording};
use crate::language::program::Program;
use crate::quantity::{Dimension, Exact, Unit, read};
use crate::slip::Slip;
use std::sync::Arc;

/// Most samples of one recording.
const MOST_SAMPLES: usize = 200_000;

/// Reads every recording that the job names. `beside` gives the text of a file beside the job, or a sentence why not.
pub fn read_recordings(job: &mut Job, program: &Program, beside: &dyn Fn(&str) -> Result<String, String>) {
    job.rests_on_files |= !job.recordings.is_empty();
    for named in std::mem::take(&mut job.recordings) {
        let def = job.record(named.record).def;
        let Kind::Recording(dimension) = program.definition(def).fields[named.field].kind else { continue };
        let read = safe_name(&named.file).and_then(beside).and_then(|text| samples(&text, dimension));
        let fact = match read {
            Ok((samples, unit)) => {
                let recording = Recording { file: named.file.clone(), samples, unit };
                let datum = Datum::Recording(Arc::new(recording));
                Fact::Stated(Box::new(Stated { tolerance: ToleranceFrom::NotMeasured, key: named.key, ..Stated::plain(datum, named.span) }))
            }
            Err(why) => {
                job.slips.push(told(&named, &why));
                Fact::Spoiled(named.span)
            }
        };
        job.records[named.record.0 as usize].facts[named.field] = fact;
    }
}

fn told(named: &Named, why: &str) -> Slip {
    let slip = Slip::at(named.span, "unreadable-recording", format!("recording {}: {why}", named.file)).label("named here");
    slip.hint("two columns with a head line such as `time s,force N`, times increasing, beside the job or in a folder below it")
}

/// Whether a name that a file gives stays in the folder of that file and below it.
pub fn is_inside(file: &str) -> bool {
    let plain = |part: &str| !part.is_empty() && part != "." && part != ".." && !part.contains(':');
    !file.contains(['\\', '\0']) && file.split('/').all(plain)
}

fn safe_name(file: &str) -> Result<&str, String> {
    if is_inside(file) { Ok(file) } else { Err("a recording lies beside the job or in a folder below it".into()) }
}

type Samples = (Vec<(Exact, Exact)>, Option<Unit>);

fn samples(text: &str, dimension: Dimension) -> Result<Samples, String> {
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter(text)).comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
    let head = reader.headers().map_err(|error| error.to_string())?.clone();
    let (Some(first), Some(second), 2) = (head.get(0), head.get(1), head.len()) else {
        return Err(format!("{} columns; time and one measure are wanted", head.len()));
    };
    let time = unit_of(first, Dimension::named("time").unwrap_or(Dimension::NONE))?;
    let unit = unit_of(second, dimension)?;
    let mut samples: Vec<(Exact, Exact)> = Vec::new();
    for (at, record) in reader.records().enumerate() {
        let line = at + 2;
        let record = record.map_err(|error| error.to_string())?;
        let number = |column: usize, unit: Unit| {
            let written = record.get(column).unwrap_or("");
            let reading = read(written).ok().filter(|reading| reading.unit.is_none());
            let number = reading.and_then(|reading| reading.value.mul(unit.factor()));
            number.ok_or_else(|| format!("line {line}: `{written}` is no number"))
        };
        let sample = (number(0, time)?, number(1, unit)?);
        if samples.last().is_some_and(|(before, _)| sample.0 <= *before) {
            return Err(format!("line {line}: the time does not increase"));
        }
        samples.push(sample);
        if samples.len() > MOST_SAMPLES {
            return Err(format!("more than {MOST_SAMPLES} samples"));
        }
    }
    if let Some(below) = wrong_way(&samples, dimension) {
        return Err(format!("line {}: the {dimension} is far below nought; its sign or the meter's nought is wrong", below + 2));
    }
    if samples.len() < 2 { Err("fewer than two samples".into()) } else { Ok((samples, Some(unit))) }
}

/// The first sample that is further below nought than a twentieth of the greatest: more than a meter drifts before it is touched. A recording
/// with its sign turned round would have no peak at all. Times may begin below nought, since only what lies between two counts.
fn wrong_way(samples: &[(Exact, Exact)], dimension: Dimension) -> Option<usize> {
    if Kind::Measure(dimension).goes_below_nought() {
        return None;
    }
    let greatest = samples.iter().map(|sample| sample.1).max()?;
    samples.iter().position(|(_, value)| value.is_negative() && value.negated().mul(Exact::whole(20)).is_none_or(|drift| drift > greatest))
}

/// A comma, unless the head line holds a semicolon or a tab.
fn delimiter(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.starts_with('#')).unwrap_or("");
    [b';', b'\t'].into_iter().find(|mark| head.as_bytes().contains(mark)).unwrap_or(b',')
}

/// The unit that a column's heading ends with: `time s`, `force (N)`, `Kraft [kN]`.
fn unit_of(heading: &str, dimension: Dimension) -> Result<Unit, String> {
    let last = heading.split([' ', '(', ')', '[', ']']).rfind(|part| !part.is_empty()).unwrap_or("");
    let unit = Unit::named(last).filter(|unit| unit.dimension() == dimension);
    unit.ok_or_else(|| format!("the heading `{heading}` ends with no unit of {dimension}"))
}
