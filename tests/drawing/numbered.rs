//! The numbers of findings: 1, 2, 3 and on without a hole, mandatory first, the same in every figure.

use super::FIGURES;
use std::collections::BTreeSet;

#[test]
fn every_finding_of_a_gate_stands_in_the_twin_of_each_of_its_figures() {
    let mut most = 0;
    for (name, figures) in FIGURES.iter() {
        let mut before: Option<BTreeSet<usize>> = None;
        for figure in figures {
            let rows = figure.twin.rows.iter().flat_map(|row| row[3].split(", ")).filter(|text| !text.is_empty());
            let numbers: BTreeSet<usize> = rows.map(|text| text.parse().unwrap_or_else(|_| panic!("{name}: {text}"))).collect();
            let told: Vec<usize> = figure.twin.findings.iter().map(|line| line.split(' ').next().unwrap().parse().unwrap()).collect();
            assert_eq!(told, numbers.iter().copied().collect::<Vec<_>>(), "{name}: each number is explained, in order");
            most = most.max(numbers.len());
            if let Some(before) = &before {
                assert_eq!(*before, numbers, "{name}: another view names other findings");
            }
            before = Some(numbers);
        }
    }
    assert!(most > 8, "no example has many findings: {most}");
}

#[test]
fn a_beam_too_high_bears_its_number_in_the_drawing() {
    let figures = &FIGURES.iter().find(|(name, _)| name == "beam-too-high").unwrap().1;
    let row = figures[0].twin.rows.iter().find(|row| row[0] == "beam upper").expect("the beam");
    assert!(row[3].split(", ").any(|number| number == "1"), "{row:?}");
    let first = figures[0].twin.findings.first().unwrap();
    assert!(first.starts_with("1 not met: beam.height is "), "{first}");
    assert!(figures[0].svg.contains(">1</text>"), "the number stands beside the beam");
}
