//! Reasons of findings: a calculation of the house is told by what it is asked of, as a person would say it.

use super::Site;

const PACK: &str = r#"pack told "Told"
  language   1
  edition    "1"
  adopts     terms

source book "Invented book" invented

section told "Calculations are told by their arguments"
  applies to each gate
  let     room = gate.opening - 2 ft
  shall (a) larger(gate.opening, 12 ft) at most 14 ft
  shall (b) larger(smaller(gate.opening, room), 1 ft) at most 10 ft
  shall (c) difference(gate.opening, room) at most 1 ft
  shall (d) round-up(gate.opening / 3 ft) at most 5
  shall (e) larger(gate.opening + 1 in + 1 in + 1 in + 1 in + 1 in + 1 in, room) at most 14 ft
  shall (f) every b among gate.beams has distance(b.sender, b.mate) at most 2 ft
  remedy  "Look."
  cite    book "1"
"#;

const JOB: &str = "codes: [told]\ngates:\n  - id: main\n    opening: 16 ft\n    beams:\n      - {id: low, sender: [0 ft, 0 ft, 2 ft], mate: [3 ft, 0 ft, 2 ft]}\n";

#[test]
fn calculations_are_told_by_what_they_are_asked_of() {
    let site = Site::empty().with("rules/told.rules", PACK).with("job.yaml", JOB);
    let seen = site.view("plain", &["job.yaml"]);
    for says in [
        "(a), gate main: the larger of gate.opening and 12 ft is 16 ft; it must be at most 14 ft",
        "(b), gate main: the larger of the smaller of gate.opening and room and 1 ft is 14 ft; it must be at most 10 ft",
        "(c), gate main: how far gate.opening and room are apart is 2 ft; it must be at most 1 ft",
        "(d), gate main: gate.opening / 3 ft rounded up to a whole number is 6; it must be at most 5",
        "(e), gate main: the larger of a value worked out and room is 16 ft 6 in; it must be at most 14 ft",
        "(f), gate main: distance between b.sender and b.mate is 3 ft; it must be at most 2 ft",
    ] {
        assert!(seen.out.contains(says), "{says}\n{seen}");
    }
    assert!(!seen.out.contains("of one kind") && !seen.out.contains("two points"), "{seen}");
}

#[test]
fn no_name_of_an_argument_is_put_into_another() {
    let row = pintle::builtin::ROWS.iter().find(|row| row.name == "larger").unwrap();
    assert_eq!(row.says_of(&["{b}", "x"]), "the larger of {b} and x: two numbers of one kind");
    for row in pintle::builtin::ROWS.iter() {
        let says = row.says();
        assert!(!says.contains(['{', '}']), "`{}` names a parameter that it has not: {says}", row.name);
        for (_, named) in row.doc.match_indices('{').map(|(at, _)| (at, row.doc[at + 1..].split('}').next().unwrap())) {
            assert!(row.parameter_names().contains(&named), "`{}` has no parameter {named}", row.name);
        }
    }
}
