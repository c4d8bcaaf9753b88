//! Owns the check values of the trade that belong to geometry and beams. Each names the fact it rests on and how sure that is: `sure`
//! means high confidence, `probably` medium; `from memory` where the standard was not looked up. Limits are arguments here, never built in.

use pintle::reckon::beam::{Crossing, Dirt, excess_gain, fog_loss, shiny_clearance, through_fog};
use pintle::reckon::geometry::{
    Band, BarrierArm, Fixed, Ground, Leaf, Movement, Point, Polygon, Range, Side, Slide, Standing, Swing, beside, footprint, gap_along,
    least_gap, reducing_gap, under_leaf,
};

const INCH: f64 = 0.0254;

fn band(over_inches: f64, under_inches: f64) -> Band {
    Band::new(over_inches * INCH, under_inches * INCH).expect("a band")
}

fn fixed(x: (f64, f64), y: (f64, f64), z: (f64, f64)) -> Fixed {
    let outline = Polygon::rectangle(Point::new(x.0, y.0), Point::new(x.1, y.1)).expect("an outline");
    Fixed::new(outline, Range::new("heights", z.0, z.1).expect("a range")).expect("an object")
}

fn slide() -> Movement {
    let leaf =
        Slide { left_end: 0.0, offset: 0.0, length: 7.0, thickness: 0.05, bottom: 0.05, height: 1.8, travel: 6.0, opens: Side::Right };
    Leaf::Slide(leaf).movement().expect("a sound leaf")
}

fn swing(bottom: f64) -> Swing {
    Swing {
        hinge: Point::new(0.0, 0.0),
        closed_direction: 0.0,
        opening_angle: std::f64::consts::FRAC_PI_2,
        heel: 0.0,
        length: 3.5,
        offset: 0.0,
        thickness: 0.05,
        bottom,
        height: 1.5,
    }
}

/// A slide leaf beside a fixed post at a gap: what the surveyed gap says, and what the gap reckoned from points says.
fn post_beside_slide(gap_inches: f64) -> (Standing, Standing) {
    let zone = band(2.25, 16.0);
    let face = 0.025 + gap_inches * INCH;
    let gap = least_gap(&slide(), &fixed((7.5, 7.6), (face, face + 0.1), (0.0, 2.0))).expect("a gap");
    assert!((gap.gap - gap_inches * INCH).abs() < 1e-9, "{gap:?}");
    (zone.of(gap_inches * INCH, 0.0), zone.of(gap.gap, gap.error))
}

/// Checks 1 to 5: slide gate zone over 2 1/4 in and under 16 in (UL 325, sure, from memory; 5 is `probably`).
#[test]
fn checks_1_to_5_slide_gate_gap_to_a_post_ul_325_from_memory_sure() {
    assert_eq!(post_beside_slide(2.00), (Standing::Clear, Standing::Clear));
    assert_eq!(post_beside_slide(2.25), (Standing::Clear, Standing::AtLimit));
    assert_eq!(post_beside_slide(2.26), (Standing::Hazardous, Standing::Hazardous));
    assert_eq!(post_beside_slide(15.9), (Standing::Hazardous, Standing::Hazardous));
    assert_eq!(post_beside_slide(16.0), (Standing::Clear, Standing::AtLimit));
}

/// Check 6: bottom of a swing gate over the ground (UL 325, sure, from memory): zone over 4 in and under 16 in, bottom sensor over 6 in.
#[test]
fn check_6_bottom_of_a_swing_gate_ul_325_from_memory_sure() {
    let expected = [
        (4.0, Standing::Clear, Standing::Clear),
        (5.0, Standing::Hazardous, Standing::Clear),
        (6.0, Standing::Hazardous, Standing::Clear),
        (7.0, Standing::Hazardous, Standing::Hazardous),
        (16.0, Standing::Clear, Standing::Clear),
    ];
    for (inches, zone, sensor) in expected {
        assert_eq!(band(4.0, 16.0).of(inches * INCH, 0.0), zone, "{inches} in");
        assert_eq!(band(6.0, 16.0).of(inches * INCH, 0.0), sensor, "{inches} in");
        let movement = Leaf::Swing(swing(inches * INCH)).movement().expect("a sound leaf");
        let under = under_leaf(&movement, &Ground::level(0.0).expect("ground")).expect("a gap");
        assert!((under.least.gap - inches * INCH).abs() < 1e-9 && under.change() < 1e-9, "{under:?}");
        let reckoned = under.standing(&band(4.0, 16.0));
        assert!(reckoned == zone || (reckoned == Standing::AtLimit && zone == Standing::Clear), "{inches} in: {reckoned:?}");
    }
}

/// A column that the open leaf covers, from the pivot's centre line along the leaf, and its distance from the leaf's face.
fn column(covers_inches: f64, away_inches: f64) -> (f64, f64) {
    let face = -0.025 - away_inches * INCH;
    let object = fixed((face - 0.3, face), (-0.3, covers_inches * INCH), (0.0, 2.0));
    // Opened by a quarter turn the leaf points along +y, and the column stands to its left as seen from the public side.
    let movement = Leaf::Swing(swing(0.1)).movement().expect("a sound leaf");
    let open = beside(&movement, &object, 1.0).expect("measures").expect("a leaf that moves in plan");
    (open.ends, open.gap)
}

/// Checks 7 to 9: an object covered by the open swing leaf is at most 4 in wide from the pivot's centre line, unless the leaf keeps at
/// least 16 in from it (ASTM F2200, sure, from memory).
#[test]
fn checks_7_to_9_pivot_to_end_of_column_f2200_from_memory_sure() {
    let fine = |(covers, away): (f64, f64)| covers <= 4.0 * INCH + 1e-9 || away >= 16.0 * INCH - 1e-9;
    let four = column(4.0, 1.0);
    assert!((four.0 - 4.0 * INCH).abs() < 1e-9 && fine(four), "{four:?}");
    let wide = column(4.5, 10.0);
    assert!((wide.0 - 4.5 * INCH).abs() < 1e-9 && (wide.1 - 10.0 * INCH).abs() < 1e-9 && !fine(wide), "{wide:?}");
    assert!(fine(column(4.5, 16.0)));
}

/// Check 10: a barrier arm whose nearest rigid object is 24 in or 23 in away (UL 325, probably, from memory): under 2 ft needs means.
#[test]
fn check_10_barrier_arm_near_a_rigid_object_ul_325_from_memory_probably() {
    let arm = BarrierArm {
        pivot_x: 0.0,
        pivot_z: 1.0,
        reaches: Side::Right,
        length: 4.0,
        tail: 0.0,
        depth: 0.1,
        offset: 0.0,
        thickness: 0.05,
        closed_angle: 0.0,
        opening_angle: 1.5,
    };
    let movement = Leaf::BarrierArm(arm).movement().expect("a sound arm");
    let near = Band::under(24.0 * INCH).expect("a band");
    for (inches, stated, reckoned) in [(24.0, Standing::Clear, Standing::AtLimit), (23.0, Standing::Hazardous, Standing::Hazardous)] {
        let top = 0.95 - inches * INCH;
        let gap = least_gap(&movement, &fixed((2.0, 2.3), (-0.2, 0.2), (0.0, top))).expect("a gap");
        assert!((gap.gap - inches * INCH).abs() < 1e-9 && gap.at == 0.0, "{gap:?}");
        assert_eq!(near.of(inches * INCH, 0.0), stated);
        assert_eq!(near.of(gap.gap, gap.error), reckoned);
    }
}

/// Check 29: hinge gap 7, 20, 26 mm over the travel (EN practice for reducing gaps: at most 8 or at least 25 mm, sure, from memory).
#[test]
fn check_29_hinge_gap_over_the_travel_en_from_memory_sure() {
    let fingers = Band::new(0.008, 0.025).expect("a band");
    for (gap, expected) in [(0.007, Standing::Clear), (0.020, Standing::Hazardous), (0.026, Standing::Clear)] {
        assert_eq!(fingers.of(gap, 0.0), expected);
        // A leaf whose heel is a quarter round about the pivot would keep its gap; a thin leaf that ends at the pivot nearly does.
        let leaf = Swing { thickness: 2e-6, opening_angle: 1.0, closed_direction: -0.5, ..swing(0.1) };
        let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
        let post = fixed((-gap - 0.1, -gap), (-0.1, 0.1), (0.0, 2.0));
        let found = reducing_gap(&movement, &post).expect("gaps");
        assert!((found.least.gap - gap).abs() < 3e-6 && found.change() < 3e-6, "{found:?}");
        assert_eq!(found.standing(&fingers), expected);
    }
    // Harmless closed and harmless open, and yet it passes through the range.
    assert_eq!(fingers.of_all(0.007, 0.026, 0.0), Standing::Hazardous);
}

/// Check 30: a wall behind the open leaf at 200 mm, 200 mm or 300 mm of it facing the leaf (EN, probably, from memory): 200 mm suffice
/// where at most 250 mm face the leaf, else 500 mm.
#[test]
fn check_30_wall_behind_the_open_leaf_en_from_memory_probably() {
    for (facing, fine) in [(0.2, true), (0.3, false)] {
        let wall = fixed((-0.4, -0.225), (1.0, 1.0 + facing), (0.0, 2.0));
        let movement = Leaf::Swing(swing(0.1)).movement().expect("a sound leaf");
        let open = beside(&movement, &wall, 1.0).expect("measures").expect("a leaf that moves in plan");
        assert!((open.gap - 0.2).abs() < 1e-9 && (open.facing - facing).abs() < 1e-9, "{open:?}");
        let needed = if open.facing <= 0.25 + 1e-9 { 0.2 } else { 0.5 };
        assert_eq!(open.gap >= needed - 1e-9, fine);
    }
}

/// Check 90: a leaf of 3.5 m over ground that rises 1 in 20: the gap closes by 175 mm across the leaf (computed, sure).
#[test]
fn check_90_swing_leaf_over_rising_ground_computed_sure() {
    let leaf = Swing { thickness: 1e-6, ..swing(0.3) };
    let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
    // Level along the gate, rising into the secured side: the open leaf stands up the slope.
    let ground = Ground::plane(0.0, 0.0, 1.0 / 20.0).expect("ground");
    let under = under_leaf(&movement, &ground).expect("gaps");
    assert!((under.change() - 0.175).abs() < 1e-5, "{under:?}");
    assert!((under.least.gap - 0.125).abs() < 1e-5 && under.least.at == 1.0, "{under:?}");
    assert!((under.greatest.gap - 0.3).abs() < 1e-5, "{under:?}");
    assert!((under.least.place.y - 3.5).abs() < 1e-5, "{under:?}");
}

/// Checks 50 and 51: distance of reflecting surfaces (IEC 61496-2: 5 deg for type 2 and 2.5 deg for type 4, fixed under 3 m, sure).
#[test]
fn checks_50_and_51_reflecting_surfaces_iec_61496_2_sure() {
    let expected = [(5.0_f64, [0.262, 0.525, 0.875]), (2.5, [0.131, 0.262, 0.437])];
    for (degrees, distances) in expected {
        for (span, distance) in [3.0, 6.0, 10.0].into_iter().zip(distances) {
            let found = shiny_clearance(span, degrees.to_radians(), 3.0).expect("a distance");
            assert!((found - distance).abs() <= 5e-4, "{span} m at {degrees} deg: {found}");
        }
        let short = shiny_clearance(1.0, degrees.to_radians(), 3.0).expect("a distance");
        assert!((short - distances[0]).abs() <= 5e-4, "under 3 m the distance is fixed, found {short}");
    }
}

/// Check 79: 200 m visibility over a 20 m beam (published fog formula, sure): 1.70 dB lost, 67.6 % through.
#[test]
fn check_79_fog_over_a_20_m_beam_published_sure() {
    assert!((fog_loss(20.0, 200.0).expect("a loss") - 1.70).abs() < 5e-3);
    assert!((through_fog(20.0, 200.0).expect("a share") - 0.676).abs() < 5e-4);
    // The same source: 85 dB in a kilometre.
    assert!((fog_loss(1000.0, 200.0).expect("a loss") - 85.0).abs() < 0.1);
}

/// Excess gain falls with the square over one crossing and the fourth power over two (published, sure); advice for dirt (published, sure).
#[test]
fn excess_gain_over_the_span_published_sure() {
    let gain = |crossing| excess_gain(5.0, 10.0, 1.0, crossing).expect("a gain");
    assert!((gain(Crossing::Once) - 4.0).abs() < 1e-12);
    assert!((gain(Crossing::Twice) - 16.0).abs() < 1e-12);
    let needed = [Dirt::Clean, Dirt::Slight, Dirt::Moderate, Dirt::Heavy].map(Dirt::gain_needed);
    assert_eq!(needed, [1.5, 5.0, 10.0, 50.0]);
}

/// The gap that is measured parallel to the roadway, which runs square to the gate (ASTM F2200, sure, from memory).
#[test]
fn gap_parallel_to_the_roadway_f2200_from_memory_sure() {
    let square = std::f64::consts::FRAC_PI_2;
    let post = fixed((7.5, 7.6), (0.1, 0.2), (0.0, 2.0));
    let open = gap_along(&slide(), &post, square, 1.0).expect("a gap").expect("it meets the post");
    assert!((open - 0.075).abs() < 1e-9, "{open}");
    assert_eq!(gap_along(&slide(), &post, square, 0.0), Ok(None));
    let ahead = gap_along(&slide(), &fixed((8.0, 8.1), (-0.1, 0.1), (0.0, 2.0)), 0.0, 0.0).expect("a gap");
    assert!(ahead.is_some_and(|way| (way - 1.0).abs() < 1e-9), "{ahead:?}");
}

/// Check 11: a control at 72 in or 71 in from any moving part (UL 325, sure, from memory): at least 6 ft.
#[test]
fn check_11_control_to_moving_part_ul_325_from_memory_sure() {
    let moving = footprint(&slide()).expect("an area");
    for (inches, fine) in [(72.0, true), (71.0, false)] {
        let control = Point::new(3.0, 0.025 + inches * INCH);
        let away = moving.distance_to(control).expect("an area that is not empty");
        assert!((away - inches * INCH).abs() < 2e-9, "{away}");
        assert_eq!(away >= 72.0 * INCH - 2e-9, fine);
        assert_eq!(!moving.grown(72.0 * INCH - 1e-3).expect("an area").contains(control), fine);
    }
}
