//! Owns a tiny deterministic generator and the random gates, objects and zones drawn with it. It must not judge anything.

use pintle::reckon::geometry::{BarrierArm, Bifold, Lead, Leaf, Point, Polygon, Side, Slide, Swing, VerticalLift, VerticalPivot};

/// A counter whose every state is mixed into a number (splitmix, a published public-domain recipe).
pub struct Draw(u64);

impl Draw {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub fn whole(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn share(&mut self) -> f64 {
        (self.whole() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn chance(&mut self, of: f64) -> bool {
        self.share() < of
    }

    pub fn side(&mut self) -> Side {
        if self.chance(0.5) { Side::Left } else { Side::Right }
    }

    /// A convex outline: a rectangle or triangle, turned anyhow. In one of six it lies along the axes, for the flat cases.
    pub fn convex(&mut self, cx: f64, cy: f64) -> Vec<Point> {
        let turn = if self.chance(0.17) { 0.0 } else { self.between(-3.0, 3.0) };
        let (w, d) = (self.between(0.05, 0.7), self.between(0.05, 0.7));
        let mut own = vec![(-w, -d), (w, -d), (w, d), (-w, d)];
        if self.chance(0.25) {
            own.pop();
        }
        let (sin, cos) = f64::sin_cos(turn);
        own.into_iter().map(|(x, y)| Point::new(cx + x * cos - y * sin, cy + x * sin + y * cos)).collect()
    }

    pub fn leaf(&mut self) -> Leaf {
        let kind = self.whole() % 6;
        self.leaf_of(kind)
    }

    pub fn leaf_of(&mut self, kind: u64) -> Leaf {
        let turn = if self.chance(0.5) { 1.0 } else { -1.0 };
        let (bottom, height) = (self.between(0.02, 0.3), self.between(0.8, 2.2));
        let (offset, thickness) = (self.between(-0.2, 0.2), self.between(0.03, 0.15));
        match kind {
            0 => Leaf::Slide(Slide {
                left_end: self.between(-1.0, 1.0),
                offset,
                length: self.between(2.0, 7.0),
                thickness,
                bottom,
                height,
                travel: self.between(1.0, 6.0),
                opens: self.side(),
            }),
            1 => Leaf::Swing(Swing {
                hinge: Point::new(self.between(-1.0, 1.0), self.between(-0.5, 0.5)),
                closed_direction: self.between(-3.1, 3.1),
                opening_angle: turn * self.between(0.3, 3.0),
                heel: self.between(-0.4, 0.2),
                length: self.between(1.0, 4.5),
                offset,
                thickness,
                bottom,
                height,
            }),
            2..=4 => self.raised(kind, (offset, thickness), (bottom, height)),
            _ => self.bifold(turn, thickness, bottom, height),
        }
    }

    /// The leaves that move in the gate's plane.
    fn raised(&mut self, kind: u64, (offset, thickness): (f64, f64), (bottom, height): (f64, f64)) -> Leaf {
        match kind {
            2 => Leaf::VerticalLift(VerticalLift {
                left_side: self.between(-1.0, 1.0),
                width: self.between(2.0, 5.0),
                offset,
                thickness,
                bottom,
                height,
                travel: self.between(0.5, 4.0),
            }),
            3 => Leaf::VerticalPivot(VerticalPivot {
                pivot_x: self.between(-1.0, 1.0),
                pivot_z: self.between(0.2, 1.2),
                reaches: self.side(),
                length: self.between(1.5, 4.5),
                tail: self.between(0.0, 1.0),
                below: self.between(0.05, 0.3),
                above: self.between(0.2, 1.5),
                offset,
                thickness,
                opening_angle: self.between(0.4, 1.7),
            }),
            _ => Leaf::BarrierArm(BarrierArm {
                pivot_x: self.between(-1.0, 1.0),
                pivot_z: self.between(0.7, 1.2),
                reaches: self.side(),
                length: self.between(2.0, 5.0),
                tail: self.between(0.0, 0.5),
                depth: self.between(0.05, 0.2),
                offset,
                thickness,
                closed_angle: self.between(-0.05, 0.1),
                opening_angle: self.between(0.8, 1.6),
            }),
        }
    }

    fn bifold(&mut self, turn: f64, thickness: f64, bottom: f64, height: f64) -> Leaf {
        let guided = self.chance(0.5);
        let first = self.between(0.8, 2.5);
        let lead = if guided { Lead::Guided } else { Lead::Geared(self.between(0.5, 1.5)) };
        Leaf::Bifold(Bifold {
            hinge: Point::new(self.between(-1.0, 1.0), self.between(-0.5, 0.5)),
            closed_direction: self.between(-3.1, 3.1),
            opening_angle: turn * self.between(0.5, 1.55),
            first,
            second: if guided && self.chance(0.3) { first } else { first + self.between(0.0, 1.0) },
            lead,
            thickness,
            bottom,
            height,
        })
    }
}

/// An outline from its corners.
pub fn outline(corners: &[Point]) -> Polygon {
    Polygon::new(corners).expect("drawn outlines are sound")
}
