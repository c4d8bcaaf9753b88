//! Worked examples from outside against what a rule author gets: the built-in calculations, and the tables of us-wiring, each
//! asked for in the rule language. The file of examples names the source of each line and how sure it is.

use jiff::civil::date;
use pintle::command::workbench::judge_texts;
use std::fmt::Write as _;

const EXAMPLES: &str = include_str!("worked-examples.txt");
const HEAD: &str = r#"
pack worked "Worked examples"
  language   1
  edition    "2026"
  authority  "Nobody"
  adopts     us-wiring

source outside "The source that the line of the example names" published
"#;
const JOB: &str = "title: Worked examples\ncodes: [worked]\npermit-date: 2026-03-02\ngates: [{id: g, kind: swing}]\n";

#[test]
fn worked_examples_come_out_as_published() {
    let mut pack = HEAD.to_string();
    let mut asked = Vec::new();
    for (at, line) in EXAMPLES.lines().enumerate().filter(|(_, line)| !line.is_empty() && !line.starts_with('#')) {
        let cells: Vec<&str> = line.split(" | ").collect();
        let [call, expected, within, source] = cells[..] else { panic!("line {} is no example: {line}", at + 1) };
        assert!(["high", "medium", "low"].iter().any(|sure| source.contains(sure)), "line {} does not say how sure it is", at + 1);
        let section = format!("line-{}", at + 1);
        write!(pack, "\nsection {section} \"A line\"\n  applies to each gate\n  shall   difference({call}, {expected}) at most {within}\n  cite    outside \"line\"\n").unwrap();
        asked.push((section, line));
    }
    let found =
        judge_texts(&[("worked", &pack)], &["worked"], JOB, date(2026, 4, 1)).unwrap_or_else(|slips| panic!("{}", slips.join("\n")));
    for (section, line) in &asked {
        let verdict = found.iter().find(|row| row.0 == format!("worked/{section}")).map(|row| row.3.as_str());
        assert_eq!(verdict, Some("met"), "{section}: {line}");
    }
    assert!(asked.len() > 150, "{} examples", asked.len());
}
