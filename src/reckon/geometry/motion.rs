//! Owns how a panel moves in its plane from closed (0) to open (1), and bounds on its speed and bend. It must not know obstacles.

use super::point::Point;

/// A course of movement in a plane. Lengths in metres, angles in radians, all over the whole travel from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Course {
    /// Straight, without turning.
    Straight { from: Point, way: Point },
    /// About a fixed point, from an angle through a signed angle.
    Turn { pivot: Point, from: f64, through: f64 },
    /// Hung on the end of a turning arm and turning back: an outer panel.
    Fold { pivot: Point, from: f64, through: f64, arm: f64, back: Back },
}

/// How an outer panel turns back against the line of the closed leaf.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Back {
    /// Geared to the inner panel: turns back through this many times its angle, measured from the closed line.
    Geared(f64),
    /// Its far end kept on the closed line; the length is that of the outer panel.
    Guided(f64),
}

/// Where a panel is: the place of its origin and the direction of its own first axis.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pose {
    pub origin: Point,
    pub along: Point,
    /// Velocity of the origin, in metres per whole travel.
    pub velocity: Point,
    /// Rate of turning, in radians per whole travel.
    pub spin: f64,
}

/// The most that holds anywhere on the course, per whole travel.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limits {
    /// Speed of the origin, in metres.
    speed: f64,
    /// Acceleration of the origin, in metres.
    bend: f64,
    /// Rate of turning, in radians.
    spin: f64,
    /// Change of the rate of turning, in radians.
    swerve: f64,
}

impl Pose {
    /// A point given in the panel's own coordinates.
    pub fn place(&self, own: Point) -> Point {
        self.origin + self.along * own.x + self.along.left() * own.y
    }

    /// A point of the plane in the panel's own coordinates.
    pub fn own(&self, placed: Point) -> Point {
        let offset = placed - self.origin;
        Point::new(offset.dot(self.along), self.along.cross(offset))
    }

    /// Velocity of the panel's matter at a point of the plane, in metres per whole travel.
    pub fn velocity_at(&self, placed: Point) -> Point {
        self.velocity + (placed - self.origin).left() * self.spin
    }
}

impl Limits {
    /// The most speed of a point of the panel at a distance from its origin.
    pub fn speed(&self, radius: f64) -> f64 {
        self.speed + self.spin * radius
    }

    /// The most acceleration of a point of the panel at a distance from its origin.
    pub fn bend(&self, radius: f64) -> f64 {
        self.bend + (self.spin * self.spin + self.swerve) * radius
    }

    /// The most acceleration of a fixed point seen from the panel, at a distance that it never exceeds.
    pub fn bend_seen(&self, distance: f64) -> f64 {
        (self.spin * self.spin + self.swerve) * distance + 2.0 * self.spin * self.speed + self.bend
    }

    /// How far the origin moves at most over a share of the travel.
    pub fn drift(&self, share: f64) -> f64 {
        self.speed * share
    }
}

impl Course {
    /// The pose at a position from 0 (closed) to 1 (open).
    pub fn pose(&self, at: f64) -> Pose {
        match *self {
            Self::Straight { from, way } => Pose { origin: from + way * at, along: Point::new(1.0, 0.0), velocity: way, spin: 0.0 },
            Self::Turn { pivot, from, through } => {
                Pose { origin: pivot, along: Point::at_angle(from + through * at), velocity: Point::default(), spin: through }
            }
            Self::Fold { pivot, from, through, arm, back } => {
                let (turned, rate) = back.turned(through * at, arm);
                let inner = Point::at_angle(from + through * at);
                Pose {
                    origin: pivot + inner * arm,
                    along: Point::at_angle(from - turned),
                    velocity: inner.left() * (arm * through),
                    spin: -rate * through,
                }
            }
        }
    }

    /// Bounds that hold on the whole course.
    pub fn limits(&self) -> Limits {
        match *self {
            Self::Straight { way, .. } => Limits { speed: way.length(), bend: 0.0, spin: 0.0, swerve: 0.0 },
            Self::Turn { through, .. } => Limits { speed: 0.0, bend: 0.0, spin: through.abs(), swerve: 0.0 },
            Self::Fold { through, arm, back, .. } => {
                let (rate, change) = back.most(arm);
                Limits {
                    speed: arm * through.abs(),
                    bend: arm * through * through,
                    spin: rate * through.abs(),
                    swerve: change * through * through,
                }
            }
        }
    }
}

impl Back {
    /// The angle turned back for an angle of the inner panel, and its rate of change with that angle.
    fn turned(self, inner: f64, arm: f64) -> (f64, f64) {
        match self {
            Self::Geared(ratio) => (inner * ratio, ratio),
            Self::Guided(outer) => {
                let share = arm / outer;
                // Panels of one length stay mirror images; the general form would divide zero by zero when folded flat.
                if share >= 1.0 {
                    return (inner, 1.0);
                }
                let (sin, cos) = libm::sincos(inner);
                let lean = share * sin;
                (libm::asin(lean), share * cos / (1.0 - lean * lean).sqrt())
            }
        }
    }

    /// The most that the rate and its change can be.
    ///
    /// For a guided panel the angle is asin(k sin a) with k below 1: its first derivative is at most k and its second at most
    /// k / sqrt(1 - k²), reached when the inner panel stands square to the closed line.
    fn most(self, arm: f64) -> (f64, f64) {
        match self {
            Self::Geared(ratio) => (ratio, 0.0),
            Self::Guided(outer) => {
                let share = arm / outer;
                if share >= 1.0 { (1.0, 0.0) } else { (share, share / (1.0 - share * share).sqrt()) }
            }
        }
    }
}
