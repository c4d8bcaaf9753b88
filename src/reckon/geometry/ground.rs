//! Owns the ground of a site as surveyed: level, a plane, or heights along a line with a slope across it. It must not know what
//! stands on it.

use super::number::sized;
use super::point::Point;
use crate::reckon::Unreckonable;
use crate::reckon::number::angle;

/// The steepest slope taken, as rise over run.
const STEEPEST: f64 = 5.0;

/// Ground whose height is known along a survey line and slopes evenly across it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Direction of the survey line through the plan's origin.
    along: Point,
    /// Distance along the line and height, in metres, distances increasing.
    stations: Vec<(f64, f64)>,
    /// Rise over run to the left of the line.
    cross_slope: f64,
    /// Whether the first and last slopes go on for ever.
    endless: bool,
}

impl Ground {
    /// Level ground at a height, in metres.
    pub fn level(height: f64) -> Result<Self, Unreckonable> {
        Self::plane(height, 0.0, 0.0)
    }

    /// A plane: height at the plan's origin in metres, and slopes (rise over run) along x and along y.
    pub fn plane(height: f64, slope_x: f64, slope_y: f64) -> Result<Self, Unreckonable> {
        let height = sized("height of the ground", height)?;
        let slope = slope("slope along the gate", slope_x)?;
        Ok(Self {
            along: Point::new(1.0, 0.0),
            stations: vec![(0.0, height), (1.0, height + slope)],
            cross_slope: self::slope("slope square to the gate", slope_y)?,
            endless: true,
        })
    }

    /// Heights along a survey line through the plan's origin. The direction is counter-clockwise from +x in radians, stations are
    /// (distance along the line, height) in metres with distances increasing, and the cross slope is rise over run to the left.
    pub fn profile(direction: f64, stations: &[(f64, f64)], cross_slope: f64) -> Result<Self, Unreckonable> {
        let whole_turn = 2.0 * std::f64::consts::PI;
        let direction = angle("direction of the survey line", direction, -whole_turn, whole_turn)?;
        let mut kept: Vec<(f64, f64)> = Vec::with_capacity(stations.len());
        for (station, height) in stations {
            let (station, height) = (sized("station of the survey", *station)?, sized("height of the ground", *height)?);
            if let Some((before, low)) = kept.last() {
                if station <= *before {
                    return Err(Unreckonable::StationsOutOfOrder { station });
                }
                slope("slope of the ground", (height - low) / (station - before))?;
            }
            kept.push((station, height));
        }
        if kept.len() < 2 {
            return Err(Unreckonable::ZeroSpan { what: "ground survey" });
        }
        let cross_slope = slope("slope across the survey line", cross_slope)?;
        // Directions along an axis are taken exactly, so that a survey along x or y does not pick up a rounding slope.
        let along = Point::at_angle(direction);
        let tidy = |v: f64| if v.abs() < 1e-15 { 0.0 } else { v };
        Ok(Self { along: Point::new(tidy(along.x), tidy(along.y)), stations: kept, cross_slope, endless: false })
    }

    /// Height of the ground at a point in plan, in metres.
    pub fn height_at(&self, point: Point) -> Result<f64, Unreckonable> {
        let point = point.checked("point on the ground")?;
        let station = self.along.dot(point);
        let (first, last) = self.ends();
        if !self.endless && !(first - 1e-9..=last + 1e-9).contains(&station) {
            return Err(Unreckonable::BeyondGround { station, from: first, to: last });
        }
        Ok(self.profile_height(station) + self.cross_slope * self.along.cross(point))
    }

    /// The steepest slope anywhere, as rise over run.
    pub(crate) fn steepest(&self) -> f64 {
        let along = self.legs().map(|((s0, z0), (s1, z1))| ((z1 - z0) / (s1 - s0)).abs()).fold(0.0, f64::max);
        libm::hypot(along, self.cross_slope)
    }

    /// Heights along a straight line in plan: the shares of the way where the slope changes, 0 and 1 included, with the height there.
    pub(crate) fn along_line(&self, from: Point, to: Point) -> Result<Vec<(f64, f64)>, Unreckonable> {
        let (start, end) = (self.along.dot(from), self.along.dot(to));
        let mut shares = vec![0.0, 1.0];
        if !self.endless && start != end {
            let breaks = self.stations.iter().map(|(station, _)| (station - start) / (end - start));
            shares.extend(breaks.filter(|share| *share > 0.0 && *share < 1.0));
            shares.sort_by(f64::total_cmp);
        }
        shares.into_iter().map(|share| Ok((share, self.height_at(from.toward(to, share))?))).collect()
    }

    fn ends(&self) -> (f64, f64) {
        let of = |end: Option<&(f64, f64)>| end.map_or(0.0, |(station, _)| *station);
        (of(self.stations.first()), of(self.stations.last()))
    }

    fn legs(&self) -> impl Iterator<Item = ((f64, f64), (f64, f64))> + '_ {
        self.stations.iter().zip(self.stations.iter().skip(1)).map(|(a, b)| (*a, *b))
    }

    fn profile_height(&self, station: f64) -> f64 {
        let leg = self.legs().find(|(_, (end, _))| station <= *end).or_else(|| self.legs().last());
        leg.map_or(0.0, |((s0, z0), (s1, z1))| z0 + (station - s0) / (s1 - s0) * (z1 - z0))
    }
}

/// A slope that ground can have.
fn slope(what: &'static str, slope: f64) -> Result<f64, Unreckonable> {
    if !slope.is_finite() {
        return Err(Unreckonable::NotFinite { what });
    }
    if slope.abs() > STEEPEST {
        return Err(Unreckonable::TooLarge { what, value: slope, most: STEEPEST });
    }
    Ok(slope)
}
