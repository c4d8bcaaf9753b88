//! Owns the check values of the trade that belong to geometry and beams. Each names the fact it rests on and how sure that is: `sure`
//! means high confidence, `probably` medium; `from memory` where the standard was not looked up. Limits are arguments here, never built in.

use pintle::reckon::beam::{shiny_clearance, through_fog};
use pintle::reckon::geometry::{
    Band, BarrierArm, Fixed, GROUND_GAP_ERROR, Ground, Leaf, Movement, Point, Polygon, Range, Side, Slide, Standing, Swing, footprint,
    greatest_gap, least_gap, under_leaf,
};

const INCH: f64 = 0.0254;

fn band(over_inches: f64, under_inches: f64) -> Band {
    Band::new(over_inches * INCH, under_inches * INCH).expect("a band")
}

/// How one gap stands to a hazardous range.
fn stands(band: &Band, gap: f64, error: f64) -> Standing {
    band.of_all(gap, gap, error)
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
    (stands(&zone, gap_inches * INCH, 0.0), stands(&zone, gap.gap, gap.error))
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
        assert_eq!(stands(&band(4.0, 16.0), inches * INCH, 0.0), zone, "{inches} in");
        assert_eq!(stands(&band(6.0, 16.0), inches * INCH, 0.0), sensor, "{inches} in");
        let movement = Leaf::Swing(swing(inches * INCH)).movement().expect("a sound leaf");
        let under = under_leaf(&movement, &Ground::level(0.0).expect("ground")).expect("a gap");
        assert!((under.least.gap - inches * INCH).abs() < 1e-9 && under.greatest.gap - under.least.gap < 1e-9, "{under:?}");
        let reckoned = band(4.0, 16.0).of_all(under.least.gap, under.greatest.gap, GROUND_GAP_ERROR);
        assert!(reckoned == zone || (reckoned == Standing::AtLimit && zone == Standing::Clear), "{inches} in: {reckoned:?}");
    }
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
    let near = Band::new(0.0, 24.0 * INCH).expect("a band");
    for (inches, stated, reckoned) in [(24.0, Standing::Clear, Standing::AtLimit), (23.0, Standing::Hazardous, Standing::Hazardous)] {
        let top = 0.95 - inches * INCH;
        let gap = least_gap(&movement, &fixed((2.0, 2.3), (-0.2, 0.2), (0.0, top))).expect("a gap");
        assert!((gap.gap - inches * INCH).abs() < 1e-9 && gap.at == 0.0, "{gap:?}");
        assert_eq!(stands(&near, inches * INCH, 0.0), stated);
        assert_eq!(stands(&near, gap.gap, gap.error), reckoned);
    }
}

/// Check 29: hinge gap 7, 20, 26 mm over the travel (EN practice for reducing gaps: at most 8 or at least 25 mm, sure, from memory).
#[test]
fn check_29_hinge_gap_over_the_travel_en_from_memory_sure() {
    let fingers = Band::new(0.008, 0.025).expect("a band");
    for (gap, expected) in [(0.007, Standing::Clear), (0.020, Standing::Hazardous), (0.026, Standing::Clear)] {
        assert_eq!(stands(&fingers, gap, 0.0), expected);
        // A leaf whose heel is a quarter round about the pivot would keep its gap; a thin leaf that ends at the pivot nearly does.
        let leaf = Swing { thickness: 2e-6, opening_angle: 1.0, closed_direction: -0.5, ..swing(0.1) };
        let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
        let post = fixed((-gap - 0.1, -gap), (-0.1, 0.1), (0.0, 2.0));
        let (least, greatest) = (least_gap(&movement, &post).expect("a gap"), greatest_gap(&movement, &post).expect("a gap"));
        assert!((least.gap - gap).abs() < 3e-6 && greatest.gap - least.gap < 3e-6, "{least:?} {greatest:?}");
        assert_eq!(fingers.of_all(least.gap, greatest.gap, least.error + greatest.error), expected);
    }
    // Harmless closed and harmless open, and yet it passes through the range.
    assert_eq!(fingers.of_all(0.007, 0.026, 0.0), Standing::Hazardous);
}

/// Check 90: a leaf of 3.5 m over ground that rises 1 in 20: the gap closes by 175 mm across the leaf (computed, sure).
#[test]
fn check_90_swing_leaf_over_rising_ground_computed_sure() {
    let leaf = Swing { thickness: 1e-6, ..swing(0.3) };
    let movement = Leaf::Swing(leaf).movement().expect("a sound leaf");
    // Level along the gate, rising into the secured side: the open leaf stands up the slope.
    let ground = Ground::plane(0.0, 0.0, 1.0 / 20.0).expect("ground");
    let under = under_leaf(&movement, &ground).expect("gaps");
    assert!((under.greatest.gap - under.least.gap - 0.175).abs() < 1e-5, "{under:?}");
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

/// Check 79: 200 m visibility over a 20 m beam (Koschmieder's law, published, sure): 1.70 dB lost, 67.6 % through.
#[test]
fn check_79_fog_over_a_20_m_beam_published_sure() {
    let lost = |way| -10.0 * through_fog(way, 200.0).expect("a share").log10();
    assert!((lost(20.0) - 1.70).abs() < 5e-3);
    assert!((through_fog(20.0, 200.0).expect("a share") - 0.676).abs() < 5e-4);
    // The same source: 85 dB in a kilometre.
    assert!((lost(1000.0) - 85.0).abs() < 0.1);
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
