//! Widens measured values by the tolerance that the job states for their kind. It must not know how values are written.

use super::record::{Fact, Job, RecordId, ToleranceFrom};
use crate::datum::{Datum, Kind, Place};
use crate::language::program::{JOB, Program};
use crate::quantity::{Dimension, Exact, Interval};

/// Widens every measured value that states no tolerance of its own by the tolerance that the job states for its kind.
pub fn apply_tolerances(job: &mut Job, program: &Program) {
    job.tolerances = stated_tolerances(job, program);
    let mut unstated = Vec::new();
    let tolerances = job.tolerances.clone();
    for (number, record) in job.records.iter_mut().enumerate() {
        let id = RecordId(u32::try_from(number).unwrap_or(u32::MAX));
        let fields = &program.definition(record.def).fields;
        for (at, (fact, field)) in record.facts.iter_mut().zip(fields).enumerate().filter(|(_, (_, field))| field.measured) {
            let Fact::Stated(stated) = fact else { continue };
            let dimension = match &field.kind {
                Kind::Measure(dimension) => *dimension,
                Kind::Point | Kind::Points => Dimension::LENGTH,
                _ => continue,
            };
            if stated.tolerance != ToleranceFrom::Nowhere {
                continue;
            }
            let Some((_, tolerance)) = tolerances.iter().find(|(of, _)| *of == dimension) else {
                unstated.extend(field.read.then_some((id, at)));
                continue;
            };
            let widen = |interval: &mut Interval| {
                *interval = interval.add(Interval::between(tolerance.negated(), *tolerance)).unwrap_or(*interval);
            };
            match &mut stated.datum {
                Datum::Number(interval, _) => widen(interval),
                Datum::Point(place) => place.coordinates_mut().for_each(widen),
                Datum::Points(places) => places.iter_mut().flat_map(Place::coordinates_mut).for_each(widen),
                _ => continue,
            }
            stated.tolerance = ToleranceFrom::Job;
        }
    }
    job.judged_as_read = unstated;
}

fn stated_tolerances(job: &Job, program: &Program) -> Vec<(Dimension, Exact)> {
    let Some(root) = job.records.first() else { return Vec::new() };
    let fields = &program.definition(JOB).fields;
    let given = root.facts.iter().zip(fields).filter(|(_, field)| field.gives_tolerance);
    given
        .filter_map(|(fact, field)| match (fact, &field.kind) {
            (Fact::Stated(stated), Kind::Measure(dimension)) => match &stated.datum {
                Datum::Number(interval, _) => Some((*dimension, interval.hi?.size())),
                _ => None,
            },
            _ => None,
        })
        .collect()
}
