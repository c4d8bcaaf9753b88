//! Reads what a job states of a thing, as a drawing needs it. It must not know what is drawn of it.

use crate::datum::{Datum, Kind};
use crate::job::{Children, Fact, Job, RecordId, Stated};
use crate::judge::paths::thing_name;
use crate::judge::words::{datum_text, middle_text_in};
use crate::language::program::{Key, Program};
use crate::quantity::{Dimension, Exact, Unit, Units, show};
use crate::reckon::geometry::Point3;
use crate::source::Source;

/// Longest text of a measure as written.
const LONGEST: usize = 40;

/// A measure, as the job gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// As a pack names it: `beam.height`.
    pub fact: String,
    /// Its value in base units, exact; the middle of a tolerance.
    pub exact: Exact,
    /// The same as a floating number: metres, degrees.
    pub at: f64,
    /// In the job's own units, as written there, or in those that the reader wants; where it follows, as it would be read.
    pub written: String,
    /// Whether it follows from points and is not stated itself.
    pub follows: bool,
}

/// What there is to read of a job.
#[derive(Clone, Copy)]
pub struct Facts<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job, with what follows already worked out.
    pub job: &'a Job,
    /// The text of the job.
    pub source: &'a Source,
}

impl<'a> Facts<'a> {
    /// A record as reports name it.
    pub fn name(&self, id: RecordId) -> String {
        thing_name(self.program, self.job, id)
    }

    /// The id of a record.
    pub fn id(&self, id: RecordId) -> String {
        self.job.record(id).id.clone().unwrap_or_default()
    }

    fn stated(&self, id: RecordId, name: &str) -> Option<(&'a Stated, &'a Kind)> {
        let record = self.job.record(id);
        let Some(Key::Field(field)) = self.program.index[record.def.0 as usize].get(name) else { return None };
        match record.facts.get(*field)? {
            Fact::Stated(stated) => Some((stated, &self.program.definition(record.def).fields[*field].kind)),
            _ => None,
        }
    }

    /// A measure of that dimension, where it is stated or follows.
    pub fn measure(&self, id: RecordId, name: &str, dimension: &str) -> Option<Measure> {
        let (stated, kind) = self.stated(id, name)?;
        let fits = matches!(kind, Kind::Measure(own) if Dimension::named(dimension) == Some(*own));
        let Datum::Number(interval, _) = &stated.datum else { return None };
        let exact = stated.as_read.or_else(|| interval.middle()).filter(|_| fits)?;
        let at = exact.to_f64();
        let definition = &self.program.definition(self.job.record(id).def).name;
        at.is_finite().then(|| Measure {
            fact: format!("{definition}.{name}"),
            exact,
            at,
            written: self.written(stated),
            follows: !stated.follows.is_empty(),
        })
    }

    /// Every length and angle that is stated of a record or follows, in the order of the vocabulary.
    pub fn measures(&self, id: RecordId) -> Vec<Measure> {
        let definition = self.program.definition(self.job.record(id).def);
        let names = definition.fields.iter().map(|field| field.name.as_str());
        names.filter_map(|name| self.length(id, name).or_else(|| self.angle(id, name))).collect()
    }

    /// A length.
    pub fn length(&self, id: RecordId, name: &str) -> Option<Measure> {
        self.measure(id, name, "length")
    }

    /// An angle, in degrees.
    pub fn angle(&self, id: RecordId, name: &str) -> Option<Measure> {
        self.measure(id, name, "angle")
    }

    fn written(&self, stated: &Stated) -> String {
        let units = self.job.units;
        if !stated.follows.is_empty() {
            return followed(&stated.datum, units).unwrap_or_else(|| middle_text_in(self.program, &stated.datum, units));
        }
        if matches!(&stated.datum, Datum::Number(_, Some(unit)) if units.changes(*unit)) {
            return middle_text_in(self.program, &stated.datum, units);
        }
        let text = self.source.slice(stated.span.range()).trim();
        let plain = !text.is_empty() && !text.contains(['\n', '\r']) && text.chars().count() <= LONGEST;
        if plain { text.to_string() } else { datum_text(self.program, &stated.datum) }
    }

    /// A word.
    pub fn word(&self, id: RecordId, name: &str) -> Option<&'a str> {
        match &self.stated(id, name)?.0.datum {
            Datum::Word(word) => Some(self.program.word(*word)),
            _ => None,
        }
    }

    /// Words of a set, or a word by itself.
    pub fn words(&self, id: RecordId, name: &str) -> Vec<&'a str> {
        match self.stated(id, name).map(|(stated, _)| &stated.datum) {
            Some(Datum::WordSet(words)) => words.iter().map(|word| self.program.word(*word)).collect(),
            Some(Datum::Word(word)) => vec![self.program.word(*word)],
            _ => Vec::new(),
        }
    }

    /// Yes or no.
    pub fn yes(&self, id: RecordId, name: &str) -> Option<bool> {
        match &self.stated(id, name)?.0.datum {
            Datum::YesNo(yes) => Some(*yes),
            _ => None,
        }
    }

    /// A text.
    pub fn text(&self, id: RecordId, name: &str) -> Option<&'a str> {
        match &self.stated(id, name)?.0.datum {
            Datum::Text(text) => Some(text),
            _ => None,
        }
    }

    /// A point; without a height it lies at nought, and the flag says so.
    pub fn point(&self, id: RecordId, name: &str) -> Option<(Point3, bool)> {
        match &self.stated(id, name)?.0.datum {
            Datum::Point(place) => spot(place),
            _ => None,
        }
    }

    /// Several points.
    pub fn points(&self, id: RecordId, name: &str) -> Option<Vec<Point3>> {
        match &self.stated(id, name)?.0.datum {
            Datum::Points(places) => places.iter().map(|place| spot(place).map(|(at, _)| at)).collect(),
            _ => None,
        }
    }

    /// The first fact of a record that is a list of points, whatever a local pack calls it.
    pub fn any_points(&self, id: RecordId) -> Option<Vec<Point3>> {
        let definition = self.program.definition(self.job.record(id).def);
        let names = definition.fields.iter().filter(|field| field.kind == Kind::Points).map(|field| field.name.as_str());
        names.filter_map(|name| self.points(id, name)).next()
    }

    /// A list below a record; nothing where the job does not say.
    pub fn list(&self, id: RecordId, key: &str) -> Option<&'a [RecordId]> {
        let record = self.job.record(id);
        let Some(Key::Child(child)) = self.program.index[record.def.0 as usize].get(key) else { return None };
        match record.children.get(*child)? {
            Children::Given(records, _) => Some(records),
            Children::Nothing(_) => Some(&[]),
            Children::Unknown(_) => None,
        }
    }
}

fn spot(place: &crate::datum::Place) -> Option<(Point3, bool)> {
    let middle = |interval: crate::quantity::Interval| interval.middle().map(Exact::to_f64).filter(|at| at.is_finite());
    let z = match place.z {
        Some(z) => Some(middle(z)?),
        None => None,
    };
    Some((Point3::new(middle(place.x)?, middle(place.y)?, z.unwrap_or(0.0)), z.is_some()))
}

/// A length that follows, without the traces of its reckoning: to the nearest 64th of an inch or tenth of a millimetre, where that is as
/// near as nobody can measure; feet and inches, or metres, where it is long.
fn followed(datum: &Datum, units: Units) -> Option<String> {
    let Datum::Number(interval, Some(unit)) = datum else { return None };
    let unit = units.of(*unit);
    let inches = matches!(unit.symbol(), "in" | "ft");
    if unit.dimension() != Dimension::named("length")? {
        return None;
    }
    let step = if inches { Unit::named("in")?.to_base(Exact::ratio(1, 64)?)? } else { Unit::named("mm")?.to_base(Exact::ratio(1, 10)?)? };
    let middle = interval.middle()?;
    let steps = middle.div(step)?.add(Exact::ratio(1, 2)?)?.floor();
    let snapped = Exact::whole(steps).mul(step)?;
    let near = snapped.sub(middle)?.size() <= Exact::ratio(2, 100_000)?;
    let long = snapped.size() >= Exact::ONE;
    let unit = if inches && long { units.of(Unit::named("ft")?) } else { unit };
    near.then(|| show::in_unit(snapped, unit))
}
