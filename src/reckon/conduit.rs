//! Owns how full a conduit is and how many conductors it takes. It must not know which conduits and cables exist.

use super::number::{answer, finite, not_negative, positive, some};
use super::unreckonable::Unreckonable;

/// Conductors of one kind in a conduit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bundle {
    /// How many; a cable of several conductors counts as one, and earth conductors count.
    pub count: u32,
    /// Cross-section of each with its insulation, in m².
    pub area: f64,
}

/// How full a conduit is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Conductors in all.
    pub count: u64,
    /// Cross-section of them all, in m².
    pub area: f64,
    /// Part of the conduit's cross-section that they take: 0.4 is 40 %.
    pub ratio: f64,
    /// Part that so many may take.
    pub limit: f64,
}

/// A conduit on offer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trade {
    /// Trade size in inches; a name, not a measure.
    pub size: f64,
    /// Cross-section inside, in m².
    pub area: f64,
}

/// Part of a conduit that `count` conductors may take: 0.53 for one, 0.31 for two, 0.40 for more, 0.60 in a nipple (24 in or 600 mm at most).
///
/// Source: NEC chapter 9 table 1 and its note 4, published (high confidence). Errors: no conductor.
pub fn fill_limit(count: u64, nipple: bool) -> Result<f64, Unreckonable> {
    match count {
        0 => Err(Unreckonable::Nothing { what: "conductor" }),
        _ if nipple => Ok(0.60),
        1 => Ok(0.53),
        2 => Ok(0.31),
        _ => Ok(0.40),
    }
}

/// Cross-section in m² of a round cable of `diameter` metres outside.
///
/// Source: geometry. Errors: `diameter` not positive.
pub fn round_area(diameter: f64) -> Result<f64, Unreckonable> {
    let diameter = positive("outside diameter", diameter)?;
    answer("cross-section", core::f64::consts::FRAC_PI_4 * diameter * diameter)
}

/// How full a conduit of `inside` m² is with these bundles.
///
/// The ratio is that of the areas, not of the printed columns of 40 %, which are rounded. Source: NEC chapter 9 table 1.
/// Errors: no conductor, more than 10,000 bundles, an area not positive.
pub fn fill(bundles: &[Bundle], inside: f64, nipple: bool) -> Result<Fill, Unreckonable> {
    let inside = positive("cross-section of the conduit", inside)?;
    let (mut count, mut area) = (0_u64, 0.0);
    for bundle in some("conductor", bundles, 10_000)? {
        count += u64::from(bundle.count);
        area += f64::from(bundle.count) * positive("cross-section of a conductor", bundle.area)?;
    }
    let limit = fill_limit(count, nipple)?;
    Ok(Fill { count, area: answer("cross-section of the conductors", area)?, ratio: answer("conduit fill", area / inside)?, limit })
}

/// The smallest conduit on offer that takes the bundles within the limit; none where even the largest is too small.
///
/// Source and errors: as for [`fill`], and an empty offer.
pub fn smallest(offer: &[Trade], bundles: &[Bundle], nipple: bool) -> Result<Option<Trade>, Unreckonable> {
    let mut best: Option<Trade> = None;
    for trade in some("conduit size", offer, 1_000)? {
        finite("trade size", trade.size)?;
        let filled = fill(bundles, trade.area, nipple)?;
        if filled.ratio <= filled.limit && best.is_none_or(|best| trade.area < best.area) {
            best = Some(*trade);
        }
    }
    Ok(best)
}

/// How many conductors of one kind, each of `area` m², a conduit of `inside` m² takes. Eight tenths of a further one count as one.
///
/// Source: NEC chapter 9 table 1 and note 7, which make the tables of its annex C; where those were made with square millimetres, one less can
/// come out here. Errors: an area not positive, a ratio beyond all counts.
pub fn most_alike(area: f64, inside: f64) -> Result<u64, Unreckonable> {
    let room = positive("cross-section of the conduit", inside)? / positive("cross-section of a conductor", area)?;
    let room = not_negative("room", answer("number of conductors", room)?)?;
    // A count is kept below 2^53, where every whole number is a number.
    let take = |limit: f64| libm::floor((limit * room + 0.2 + 1e-9).min(9e15)) as u64;
    let (many, pair, single) = (take(0.40), take(0.31), take(0.53));
    Ok(if many >= 3 {
        many
    } else if pair >= 2 {
        2
    } else {
        single.min(1)
    })
}
