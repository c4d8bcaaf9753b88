//! Checks of conduit fill and cover. They must not know how the tables are kept.

use super::{INCH, SQUARE_INCH, near};
use pintle::reckon::Unreckonable;
use pintle::reckon::conduit::{Bundle, fill, fill_limit, most_alike, round_area, smallest};
use pintle::reckon::conduit_table::{ConduitKind, Insulation, conductor_area, conduit_area, conduits};
use pintle::reckon::cover::{Ground, Method, least_cover};

fn thhn(count: u32, gauge: i32) -> Bundle {
    Bundle { count, area: conductor_area(Insulation::Thhn, gauge).unwrap() }
}

fn ratio(bundles: &[Bundle], kind: ConduitKind, size: f64) -> (f64, f64) {
    let fill = fill(bundles, conduit_area(kind, size).unwrap(), false).unwrap();
    (fill.ratio, fill.limit)
}

#[test]
fn limits() {
    // NEC chapter 9 table 1 and note 4, published, high.
    for (count, limit) in [(1, 0.53), (2, 0.31), (3, 0.40), (30, 0.40)] {
        near(fill_limit(count, false).unwrap(), limit, 0.0);
        near(fill_limit(count, true).unwrap(), 0.60, 0.0);
    }
    assert_eq!(fill_limit(0, false), Err(Unreckonable::Nothing { what: "conductor" }));
}

#[test]
fn printed_columns_for_every_size() {
    // NEC chapter 9 table 4, columns of 40 % and 31 % for tubing and both plastics, published in a public data file, high.
    let tubing =
        [(0.5, 0.122, 0.094), (0.75, 0.213, 0.165), (1.0, 0.346, 0.268), (1.25, 0.598, 0.464), (1.5, 0.814, 0.631), (2.0, 1.342, 1.040)];
    let plastic_40 =
        [(0.5, 0.114, 0.088), (0.75, 0.203, 0.157), (1.0, 0.333, 0.258), (1.25, 0.581, 0.450), (1.5, 0.794, 0.616), (2.0, 1.316, 1.020)];
    let plastic_80 =
        [(0.5, 0.087, 0.067), (0.75, 0.164, 0.127), (1.0, 0.275, 0.213), (1.25, 0.495, 0.383), (1.5, 0.684, 0.530), (2.0, 1.150, 0.891)];
    let rigid = [(1.0, 0.355, 0.275), (1.25, 0.610, 0.473), (1.5, 0.829, 0.642), (2.0, 1.363, 1.056)];
    type Rows<'a> = &'a [(f64, f64, f64)];
    let tables: [(ConduitKind, Rows); 4] = [
        (ConduitKind::MetallicTubing, &tubing),
        (ConduitKind::Plastic40, &plastic_40),
        (ConduitKind::Plastic80, &plastic_80),
        (ConduitKind::RigidMetal, &rigid),
    ];
    for (kind, rows) in tables {
        for &(size, forty, thirty_one) in rows {
            let area = conduit_area(kind, size).unwrap() / SQUARE_INCH;
            near(area * 0.40, forty, 0.0007);
            near(area * 0.31, thirty_one, 0.0007);
        }
    }
}

#[test]
fn sizes_are_in_order() {
    for kind in [ConduitKind::MetallicTubing, ConduitKind::RigidMetal, ConduitKind::Plastic40, ConduitKind::Plastic80] {
        assert!(conduits(kind).windows(2).all(|pair| pair[0].size < pair[1].size && pair[0].area < pair[1].area));
    }
}

#[test]
fn trade_institute_example() {
    // Steel tube institute question and answer, published, high: 3 of 12, 4 of 10 and 8 of 8 gauge THWN: 0.4171 in², so 1-1/4 in tubing.
    let bundles = [thhn(3, 12), thhn(4, 10), thhn(8, 8)];
    let full = fill(&bundles, conduit_area(ConduitKind::MetallicTubing, 1.0).unwrap(), false).unwrap();
    near(full.area / SQUARE_INCH, 0.4171, 1e-9);
    assert!(full.ratio > full.limit);
    assert_eq!(smallest(conduits(ConduitKind::MetallicTubing), &bundles, false).unwrap().unwrap().size, 1.25);
    // The same institute, published, high: sixteen 12 gauge THHN in 3/4 in rigid metal conduit.
    let inside = conduit_area(ConduitKind::RigidMetal, 0.75).unwrap();
    assert_eq!(most_alike(conductor_area(Insulation::Thhn, 12).unwrap(), inside).unwrap(), 16);
}

#[test]
fn fills() {
    // Recomputed from the published tables, high.
    near(ratio(&[thhn(9, 12)], ConduitKind::MetallicTubing, 0.5).0, 0.394, 0.0005);
    near(ratio(&[thhn(10, 12)], ConduitKind::MetallicTubing, 0.5).0, 0.438, 0.0006);
    near(ratio(&[thhn(8, 12)], ConduitKind::Plastic40, 0.5).0, 0.373, 0.0005);
    near(ratio(&[thhn(9, 12)], ConduitKind::Plastic40, 0.5).0, 0.420, 0.0005);
    // Recomputed, high: two cables 0.30 in across.
    let cables = [Bundle { count: 2, area: round_area(0.30 * INCH).unwrap() }];
    let (half_inch, limit) = ratio(&cables, ConduitKind::MetallicTubing, 0.5);
    near(half_inch, 0.465, 0.0005);
    near(limit, 0.31, 0.0);
    near(ratio(&cables, ConduitKind::MetallicTubing, 0.75).0, 0.265, 0.0005);
    assert_eq!(smallest(conduits(ConduitKind::MetallicTubing), &[thhn(900, 4)], false).unwrap(), None);
    assert!(fill(&[thhn(0, 12)], 1.0, false).is_err());
}

const SIZES: [f64; 6] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0];

#[test]
fn annex_of_alike_conductors_in_tubing() {
    // NEC annex C table C.1, THHN in metallic tubing, as printed on an engineering page, high.
    let printed = [
        (14, [12, 22, 35, 61, 84, 138]),
        (12, [9, 16, 26, 45, 61, 101]),
        (10, [5, 10, 16, 28, 38, 63]),
        (8, [3, 6, 9, 16, 22, 36]),
        (6, [2, 4, 7, 12, 16, 26]),
        (4, [1, 2, 4, 7, 10, 16]),
        (3, [1, 1, 3, 6, 8, 13]),
        (2, [1, 1, 3, 5, 7, 11]),
        (1, [1, 1, 1, 4, 5, 8]),
    ];
    for (gauge, counts) in printed {
        let area = conductor_area(Insulation::Thhn, gauge).unwrap();
        let found = SIZES.map(|size| most_alike(area, conduit_area(ConduitKind::MetallicTubing, size).unwrap()).unwrap());
        assert_eq!(found, counts, "{gauge} gauge");
    }
}

#[test]
fn annex_of_alike_conductors_in_plastic() {
    // NEC annex C table C.9, XHHW in plastic schedule 80, as printed in the 2018 residential code (table E3904.6(9)), high. Two cells differ, to the
    // safe side: 14 gauge in 1 in is printed as 20 and 12 gauge in 1/2 in as 5, made with square millimetres (19.85 and 4.83); square inches give
    // 19.798 and 4.796, just short of eight tenths.
    let printed = [
        (14, [6, 11, 19, 35, 49, 82]),
        (12, [4, 9, 15, 27, 38, 63]),
        (10, [3, 6, 11, 20, 28, 47]),
        (8, [1, 3, 6, 11, 15, 26]),
        (6, [1, 2, 4, 8, 11, 19]),
        (4, [1, 1, 3, 6, 8, 14]),
        (3, [1, 1, 3, 5, 7, 12]),
        (2, [1, 1, 2, 4, 6, 10]),
        (1, [0, 1, 1, 3, 4, 7]),
        (0, [0, 1, 1, 2, 3, 6]),
        (-1, [0, 1, 1, 1, 3, 5]),
    ];
    for (gauge, counts) in printed {
        let area = conductor_area(Insulation::Xhhw, gauge).unwrap();
        let found = SIZES.map(|size| most_alike(area, conduit_area(ConduitKind::Plastic80, size).unwrap()).unwrap());
        assert_eq!(found, counts, "{gauge} gauge");
    }
}

#[test]
fn cover_for_every_place_and_method() {
    // NEC table 300.5, public code text, high: inches for direct burial, metal conduit, other raceways, residential branch, landscape lighting.
    let printed = [
        (Ground::Open, [24.0, 6.0, 18.0, 12.0, 6.0]),
        (Ground::ThinConcrete, [18.0, 6.0, 12.0, 6.0, 6.0]),
        (Ground::Slab, [18.0, 4.0, 4.0, 6.0, 6.0]),
        (Ground::Driveway, [24.0; 5]),
        (Ground::DwellingDriveway, [18.0, 18.0, 18.0, 12.0, 18.0]),
        (Ground::Runway, [18.0; 5]),
    ];
    use Method::{DirectBuried, LandscapeLighting, MetalConduit, OtherRaceway, ProtectedBranch};
    let methods = [DirectBuried, MetalConduit, OtherRaceway, ProtectedBranch, LandscapeLighting];
    for (ground, row) in printed {
        for (method, inches) in methods.into_iter().zip(row) {
            near(least_cover(method, ground, false).unwrap().inches, inches, 0.0);
        }
    }
    for method in methods {
        near(least_cover(method, Ground::Building, true).unwrap().inches, 0.0, 0.0);
    }
    assert_eq!(least_cover(DirectBuried, Ground::Building, false), Err(Unreckonable::OnlyInRaceway));
    near(least_cover(ProtectedBranch, Ground::Slab, true).unwrap().inches, 4.0, 0.0);
    // Published, high: direct burial under a driveway and a dwelling's; plastic for 24 V control under a public driveway, 24 in (600 mm).
    near(least_cover(DirectBuried, Ground::Driveway, false).unwrap().metres(), 24.0 * INCH, 1e-12);
    near(least_cover(DirectBuried, Ground::DwellingDriveway, false).unwrap().metres(), 18.0 * INCH, 1e-12);
    near(least_cover(OtherRaceway, Ground::Driveway, true).unwrap().millimetres, 600.0, 0.0);
}
