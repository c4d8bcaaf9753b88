//! Owns the least cover over buried wiring (NEC table 300.5). It must not know what a job buried where.

use super::unreckonable::Unreckonable;

/// How the wiring is protected: the columns of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Column 1: cable or conductors laid in the ground.
    DirectBuried,
    /// Column 2: rigid or intermediate metal conduit.
    MetalConduit,
    /// Column 3: plastic and other listed raceways.
    OtherRaceway,
    /// Column 4: residential branch circuit, at most 120 V and 20 A, with ground-fault protection.
    ProtectedBranch,
    /// Column 5: irrigation and landscape lighting at most 30 V. Gate control is not in it.
    LandscapeLighting,
}

/// What lies over the wiring: the rows of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// None of the others.
    Open,
    /// A trench under 2 in (50 mm) of concrete or its equal.
    ThinConcrete,
    /// A building.
    Building,
    /// A concrete slab of at least 4 in (102 mm) without vehicles, 6 in (152 mm) wider than the wiring.
    Slab,
    /// Streets, roads, alleys, driveways and parking lots.
    Driveway,
    /// The driveway or parking of a one- or two-family dwelling, used for nothing else.
    DwellingDriveway,
    /// An airport runway.
    Runway,
}

/// A least cover, from the top of cable or conduit to finished grade, as printed in both systems.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// Inches.
    pub inches: f64,
    /// Millimetres, rounded by the table on its own.
    pub millimetres: f64,
    /// The figure holds only inside a raceway.
    pub in_raceway: bool,
}

impl Cover {
    /// The least cover in metres, from the inches, which are the deeper of the two.
    pub fn metres(&self) -> f64 {
        self.inches * 0.0254
    }
}

/// Least cover for a method under a kind of ground. `raceway` says whether methods 4 and 5 lie in one.
///
/// Source: NEC table 300.5 (300.5(A) from 2023), published (high confidence). Errors: a method that may not lie there as told: under a
/// building only in a raceway.
pub fn least_cover(method: Method, ground: Ground, raceway: bool) -> Result<Cover, Unreckonable> {
    use Ground::{Building, Driveway, DwellingDriveway, Open, Runway, Slab, ThinConcrete};
    use Method::{DirectBuried, LandscapeLighting, MetalConduit, OtherRaceway, ProtectedBranch};
    let conduit = matches!(method, MetalConduit | OtherRaceway);
    let inches = match (ground, method) {
        (Building, _) if conduit || raceway => 0.0,
        (Building, _) => return Err(Unreckonable::OnlyInRaceway),
        (Driveway, _) => 24.0,
        (DwellingDriveway, ProtectedBranch) => 12.0,
        (DwellingDriveway | Runway, _) => 18.0,
        (Open, DirectBuried) => 24.0,
        (Open, OtherRaceway) => 18.0,
        (Open, ProtectedBranch) => 12.0,
        (Open, MetalConduit | LandscapeLighting) => 6.0,
        (ThinConcrete, DirectBuried) => 18.0,
        (ThinConcrete, OtherRaceway) => 12.0,
        (ThinConcrete, MetalConduit | ProtectedBranch | LandscapeLighting) => 6.0,
        (Slab, DirectBuried) => 18.0,
        (Slab, MetalConduit | OtherRaceway) => 4.0,
        (Slab, ProtectedBranch | LandscapeLighting) => {
            if raceway {
                4.0
            } else {
                6.0
            }
        }
    };
    let in_raceway = ground == Building || (ground == Slab && raceway && !conduit && method != DirectBuried);
    Ok(Cover { inches, millimetres: inches * 25.0, in_raceway })
}
