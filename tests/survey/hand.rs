//! A pack made up so that each way of reading a fact is the only one: what a form asks is told fact by fact, by hand.

use super::form_of;
use pintle::command::workbench::Workbench;
use pintle::language::library::Shelf;
use std::collections::BTreeSet;

const PACK: &str = r#"pack hand "Made up for the ways of reading"
  language   1
  edition    "2026"
  authority  "Hasp County"
  in force   from 2026-01-01 by job.permit-date
  adopts     terms

source book "Hand book of Hasp County" invented

amend terms/gate
  then-fact        length                    "Read where a condition holds"
  else-fact        length                    "Read where it does not"
  formula-fact     length                    "Read by a formula"
  force-day        date                      "Read to know what is in force"
  let-fact         length                    "Read by a name"
  key-fact         one of side               "Read as the key of a table"
  except-fact      yes-or-no                 "Read by an exception"
  unless-fact      yes-or-no                 "Read by what undoes it"
  slide-fact       yes-or-no                 "Read of slide gates"
  other-fact       yes-or-no                 "Read of all but swing gates"
  asked-fact       length taken as none      "Read to know whether it is given"

amend terms/beam
  filter-fact      yes-or-no                 "Read to choose among beams"
  within-fact      length                    "Read of those that are chosen"
  complied-fact    length                    "Read by the section that another rests on"

definition cone "A cone" among gate.cones
  height           length                    "Its height, which nobody reads"

definition flag "A flag" among gate.flags
  height           length                    "Its height, which nobody reads"

table widths "Widths by side"
  cite    book "1"
  by      side
  side    | most
  public  | 5 in
  secured | 6 in

formula reach of g, a gate, gives length "Reach"
  = 2 * g.formula-fact
  cite    book "2"

section choice "A choice"
  applies to each gate where gate.kind is swing
  shall   (if gate.latch then gate.then-fact else gate.else-fact) at most 5 in
  remedy  "Look at {gate.id}."
  cite    book "3"

section by-formula "A formula"
  applies to each gate
  shall   reach(gate) at most 5 in
  remedy  "Look at {gate.id}."
  cite    book "4"

section dated "A date"
  applies to each gate
  in force from 2020-01-01 by gate.force-day
  shall   gate.stop-open
  remedy  "Look at {gate.id}."
  cite    book "5"

section counted "A count"
  applies to each gate
  shall   (count of c among gate.cones) at least 1
  remedy  "Look at {gate.id}."
  cite    book "6"

section named "A name and a table"
  applies to each gate
  let     most = widths.most(gate.key-fact)
  let     wide = gate.let-fact
  shall   wide at most most
  remedy  "Look at {gate.id}."
  cite    book "7"

section excepted "An exception"
  applies to each gate
  shall   gate.stop-closed
  except  (1) "A gate as excepted" where gate.except-fact unless gate.unless-fact
  remedy  "Look at {gate.id}."
  cite    book "8"

section slides "Slide gates"
  applies to each gate where gate.kind is horizontal-slide
  shall   gate.slide-fact
  remedy  "Look at {gate.id}."
  cite    book "9"

section others "All but swing gates"
  applies to each gate
  shall   gate.kind is swing or gate.other-fact
  remedy  "Look at {gate.id}."
  cite    book "10"

section given "A fact that is given"
  applies to each gate
  shall   gate.asked-fact is given
  remedy  "Look at {gate.id}."
  cite    book "11"

section chosen "Beams that are chosen"
  applies to each gate
  shall   every b among gate.beams where b.filter-fact has b.within-fact at most 5 in
  remedy  "Look at {gate.id}."
  cite    book "12"

section rests "A beam that rests on another section"
  applies to each beam
  shall   beam complies with hand/low
  remedy  "Look at {beam.id}."
  cite    book "13"

section low "A low beam"
  applies to each beam
  shall   beam.complied-fact at most 5 in
  remedy  "Look at {beam.id}."
  cite    book "14"

section devices "Every device acts while closing"
  applies to each device
  shall   device.watches includes closing
  remedy  "Look at {device.id}."
  cite    book "15"

section flagged "Every flag stands at a gate that stops"
  applies to each flag
  shall   gate.stop-open
  remedy  "Look at {flag.id}."
  cite    book "17"

section machine "The machine"
  applies to each gate where gate.operator is given
  shall   gate.operator.earthed
  remedy  "Look at {gate.id}."
  cite    book "16"
"#;

/// What is asked: facts as `kind.fact`, lists and single records by their keys.
fn asked(kind: &str) -> BTreeSet<String> {
    let shelf = Shelf::Memory(vec![("hand".into(), PACK.into())]);
    let packs = Workbench::default().compile(vec![shelf, Shelf::Embedded], vec!["hand".into()]);
    let program = packs.program.as_ref().unwrap_or_else(|| panic!("{:?}", packs.slips));
    let mut all = BTreeSet::new();
    for part in form_of(program, kind, false).parts() {
        let definition = program.definition(part.def);
        all.extend(part.number.filter(|_| !part.askers.is_empty()).map(|_| definition.key.clone()));
        // What is asked for the papers is no reading of a section.
        let read = part.questions.iter().filter(|question| question.askers != [pintle::survey::needs::Asker::Papers]);
        all.extend(read.map(|question| format!("{}.{}", definition.name, definition.fields[question.field].name)));
    }
    all
}

#[test]
fn each_way_of_reading_a_fact_asks_for_it() {
    let always = [
        "job.title",
        "job.codes",
        "job.permit-date",
        "gate.kind",
        "gate.formula-fact",
        "gate.force-day",
        "gate.stop-open",
        "cones",
        "flags",
        "gate.key-fact",
        "gate.let-fact",
        "gate.stop-closed",
        "gate.except-fact",
        "gate.unless-fact",
        "gate.asked-fact",
        "beams",
        "beam.filter-fact",
        "beam.within-fact",
        "beam.complied-fact",
        "beam.watches",
        "edges",
        "edge.watches",
        "inherent",
        "inherent-sensing.watches",
        "operator",
        "operator.earthed",
    ];
    let with = |more: &[&str]| always.iter().chain(more).map(|name| (*name).to_string()).collect::<BTreeSet<String>>();
    assert_eq!(asked("swing"), with(&["gate.latch", "gate.then-fact", "gate.else-fact"]));
    assert_eq!(asked("horizontal-slide"), with(&["gate.slide-fact", "gate.other-fact"]));
    assert_eq!(asked("bifold"), with(&["gate.other-fact"]));
}
