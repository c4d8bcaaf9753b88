//! Owns a slow and independent reckoning to compare with: it places the leaf as a box in space by formulas of its own and finds
//! distances by throwing a point to and fro between the two convex bodies. It must not use the crate's kinematics or distances.

use pintle::reckon::geometry::{Bifold, Lead, Leaf, Point, Side};

type P3 = [f64; 3];

/// A box in space: middle, three unit axes, three half sizes.
#[derive(Clone, Copy)]
pub struct Block {
    pub middle: P3,
    pub axes: [P3; 3],
    pub half: P3,
}

fn level(x: f64, y: f64, z: (f64, f64), along: f64, half: (f64, f64)) -> Block {
    let (sin, cos) = along.sin_cos();
    Block {
        middle: [x, y, (z.0 + z.1) / 2.0],
        axes: [[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]],
        half: [half.0, half.1, (z.1 - z.0) / 2.0],
    }
}

/// A rectangle given from a pivot at the origin by its extent along and across, turned by an angle in the plane of x and z.
fn raised(angle: f64, along: (f64, f64), across: (f64, f64), y: (f64, f64)) -> Block {
    let (sin, cos) = angle.sin_cos();
    let (s, c) = ((along.0 + along.1) / 2.0, (across.0 + across.1) / 2.0);
    Block {
        middle: [s * cos - c * sin, y.0, s * sin + c * cos],
        axes: [[cos, 0.0, sin], [-sin, 0.0, cos], [0.0, 1.0, 0.0]],
        half: [(along.1 - along.0) / 2.0, (across.1 - across.0) / 2.0, y.1 / 2.0],
    }
}

/// The leaf's panels at a position.
pub fn blocks(leaf: &Leaf, t: f64) -> Vec<Block> {
    match *leaf {
        Leaf::Slide(l) => {
            let moved = if l.opens == Side::Right { l.travel * t } else { -l.travel * t };
            let x = l.left_end + l.length / 2.0 + moved;
            vec![level(x, l.offset, (l.bottom, l.bottom + l.height), 0.0, (l.length / 2.0, l.thickness / 2.0))]
        }
        Leaf::Swing(l) => {
            let angle = l.closed_direction + l.opening_angle * t;
            let s = l.heel + l.length / 2.0;
            let x = l.hinge.x + s * angle.cos() - l.offset * angle.sin();
            let y = l.hinge.y + s * angle.sin() + l.offset * angle.cos();
            vec![level(x, y, (l.bottom, l.bottom + l.height), angle, (l.length / 2.0, l.thickness / 2.0))]
        }
        Leaf::VerticalLift(l) => {
            let low = l.bottom + l.travel * t;
            let x = l.left_side + l.width / 2.0;
            vec![level(x, l.offset, (low, low + l.height), 0.0, (l.width / 2.0, l.thickness / 2.0))]
        }
        Leaf::VerticalPivot(l) => {
            let mut block = raised(l.opening_angle * t, (-l.tail, l.length), (-l.below, l.above), (l.offset, l.thickness));
            place(&mut block, l.reaches == Side::Left, (l.pivot_x, l.pivot_z));
            vec![block]
        }
        Leaf::BarrierArm(l) => {
            let (angle, half) = (l.closed_angle + l.opening_angle * t, l.depth / 2.0);
            let mut block = raised(angle, (-l.tail, l.length), (-half, half), (l.offset, l.thickness));
            place(&mut block, l.reaches == Side::Left, (l.pivot_x, l.pivot_z));
            vec![block]
        }
        Leaf::Bifold(l) => folded(&l, t),
    }
}

/// The two panels of a folding leaf.
fn folded(l: &Bifold, t: f64) -> Vec<Block> {
    let z = (l.bottom, l.bottom + l.height);
    let a = l.opening_angle * t;
    let inner = l.closed_direction + a;
    let outer = match l.lead {
        Lead::Geared(ratio) => l.closed_direction - ratio * a,
        Lead::Guided => l.closed_direction - (l.first * a.sin() / l.second).clamp(-1.0, 1.0).asin(),
    };
    let fold = (l.hinge.x + l.first * inner.cos(), l.hinge.y + l.first * inner.sin());
    let half = l.thickness / 2.0;
    let (x1, y1) = ((l.hinge.x + fold.0) / 2.0, (l.hinge.y + fold.1) / 2.0);
    let (x2, y2) = (fold.0 + l.second / 2.0 * outer.cos(), fold.1 + l.second / 2.0 * outer.sin());
    vec![level(x1, y1, z, inner, (l.first / 2.0, half)), level(x2, y2, z, outer, (l.second / 2.0, half))]
}

/// Mirrors a block at the axis when it reaches to the left, and moves it to its axis.
fn place(block: &mut Block, mirror: bool, axis: (f64, f64)) {
    if mirror {
        block.middle[0] = -block.middle[0];
        block.axes.iter_mut().for_each(|a| a[0] = -a[0]);
    }
    block.middle[0] += axis.0;
    block.middle[2] += axis.1;
}

fn dot(a: P3, b: P3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn minus(a: P3, b: P3) -> P3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

impl Block {
    /// The point of the block nearest to a point.
    pub fn nearest(&self, p: P3) -> P3 {
        let off = minus(p, self.middle);
        let mut q = self.middle;
        for (axis, half) in self.axes.iter().zip(self.half) {
            let way = dot(off, *axis).clamp(-half, half);
            for (coordinate, part) in q.iter_mut().zip(axis) {
                *coordinate += way * part;
            }
        }
        q
    }
}

/// The point of a convex outline (either sense) nearest to a point in plan.
pub fn nearest_in_plan(corners: &[Point], (x, y): (f64, f64)) -> (f64, f64) {
    let count = corners.len();
    let area: f64 = (0..count)
        .map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % count]);
            a.x * b.y - a.y * b.x
        })
        .sum();
    let mut inside = true;
    let mut best = (f64::INFINITY, (x, y));
    for i in 0..count {
        let (a, b) = (corners[i], corners[(i + 1) % count]);
        let (ux, uy) = (b.x - a.x, b.y - a.y);
        inside &= (ux * (y - a.y) - uy * (x - a.x)) * area.signum() >= 0.0;
        let share = (((x - a.x) * ux + (y - a.y) * uy) / (ux * ux + uy * uy)).clamp(0.0, 1.0);
        let (qx, qy) = (a.x + share * ux, a.y + share * uy);
        let distance = (x - qx).hypot(y - qy);
        if distance < best.0 {
            best = (distance, (qx, qy));
        }
    }
    if inside { (x, y) } else { best.1 }
}

/// Distance of a block from an upright prism.
pub fn to_prism(block: &Block, corners: &[Point], z: (f64, f64)) -> f64 {
    thrown(block, |p| {
        let (x, y) = nearest_in_plan(corners, (p[0], p[1]));
        [x, y, p[2].clamp(z.0, z.1)]
    })
}

/// Distance of a block from a line between two points: along the line the distance from a convex body is convex, so thirds are dropped.
pub fn to_line(block: &Block, a: P3, b: P3) -> f64 {
    let way = minus(b, a);
    let distance = |share: f64| {
        let p = [a[0] + share * way[0], a[1] + share * way[1], a[2] + share * way[2]];
        let off = minus(p, block.nearest(p));
        dot(off, off).sqrt()
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..80 {
        let (one, other) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if distance(one) < distance(other) { high = other } else { low = one }
    }
    distance((low + high) / 2.0)
}

/// Throws a point to and fro until the distance settles; Aitken's rule is not needed at the accuracy asked for.
fn thrown(block: &Block, nearest: impl Fn(P3) -> P3) -> f64 {
    let mut q = nearest(block.middle);
    let mut before = f64::INFINITY;
    for _ in 0..20_000 {
        let p = block.nearest(q);
        q = nearest(p);
        let off = minus(p, q);
        let distance = dot(off, off).sqrt();
        if before - distance < 1e-13 {
            return distance;
        }
        before = distance;
    }
    before
}

/// The least or greatest of a function over the travel by samples, then closer samples about the best three.
pub fn sampled(mut value: impl FnMut(f64) -> f64, samples: usize) -> (f64, f64) {
    let mut seen: Vec<(f64, f64)> = (0..=samples).map(|i| i as f64 / samples as f64).map(|t| (value(t), t)).collect();
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best = seen[0];
    let mut near: Vec<f64> = Vec::new();
    for (_, t) in seen.iter().take(12) {
        if near.iter().all(|n| (n - t).abs() > 1.5 / samples as f64) {
            near.push(*t);
        }
    }
    for start in near.into_iter().take(3) {
        let (mut middle, mut half) = (start, 1.0 / samples as f64);
        for _ in 0..7 {
            let closer = (-5..=5).map(|i| (middle + half * f64::from(i) / 5.0).clamp(0.0, 1.0));
            let found = closer.map(|t| (value(t), t)).min_by(|a, b| a.0.total_cmp(&b.0)).expect("eleven samples");
            if found.0 < best.0 {
                best = found;
            }
            (middle, half) = (found.1, half / 4.0);
        }
    }
    best
}
