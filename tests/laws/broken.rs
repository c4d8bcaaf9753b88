//! Breaks real files: tokens and lines are deleted, doubled, swapped, replaced; and the pieces that are put in.

use super::Choices;

/// Pieces of job files, and what is odd in them.
pub const YAML_TOKENS: &[&str] = &[
    "\n",
    "\n",
    "\n",
    "\n  ",
    "\n    ",
    "\n- ",
    "\n  - ",
    ": ",
    ": ",
    ":",
    " ",
    "  ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "&a ",
    "&b ",
    "*a",
    "*b",
    "|\n",
    ">\n",
    "|+2\n",
    "\"",
    "'",
    "\\",
    "\\x1b",
    "\"\\u001b[31m\"",
    " #",
    "# note",
    "!!str ",
    "!x ",
    "---\n",
    "...\n",
    "? ",
    "%YAML 1.1\n",
    "\t",
    "\r\n",
    "\r",
    "\u{feff}",
    "\u{85}",
    "\u{2028}",
    "\u{202e}",
    "é",
    "e\u{301}",
    "😀",
    "\u{1b}",
    "~",
    "null",
    "none",
    "yes",
    "<<: *a",
    "codes",
    "codes: [us-gates]",
    "gates",
    "id",
    "id: main",
    "beams",
    "height",
    "kind",
    "24 in",
    "2 ft to 40 ft",
    "21 in +/- 1/4 in",
    "2026-02-30",
    "010",
    "1e400",
    ".nan",
    "5'-6 1/2\"",
    "value",
    "as-found",
    "variances",
    "allows",
    "allows: beam.height at most 32 in",
    "watches: [closing]",
    "title: x\ncodes: [us-gates]\ngates:\n  - id: main\n    ",
];

/// Pieces of rule files, and what is odd in them.
pub const RULE_TOKENS: &[&str] = &[
    "\n",
    "\n",
    "\n  ",
    "\n  ",
    "\n    ",
    " ",
    " ",
    "\npack ",
    "\nsource ",
    "\nvalues ",
    "\ndefinition ",
    "\ntable ",
    "\nformula ",
    "\nsection ",
    "\namend ",
    "\nrepeal ",
    "language 1",
    "edition \"1\"",
    "in force from 2026-01-01",
    "adopts ",
    "as minimum",
    "applies to each ",
    "gate",
    "each pair of gate as a and b",
    "each row of t as r",
    "where ",
    "let x = ",
    "shall ",
    "should ",
    "except (1) \"x\"",
    "unless ",
    "remedy \"{gate.id} {limit} {value to 0.1 V}\"",
    "remedy \"{\"",
    "cite book \"1\"",
    "from memory",
    "gate.kind",
    "gate.height",
    "job.today",
    " is ",
    " is not ",
    " is one of (a, b)",
    " at most ",
    " at least ",
    " within ",
    " includes ",
    " is given",
    " complies with made/s",
    " and ",
    " or ",
    "not ",
    "if ",
    " then ",
    " else ",
    "count of g among job.gates",
    "sum of ",
    "least of ",
    " for ",
    " among ",
    "every g among job.gates has ",
    "any of (1) ",
    " (2) ",
    "(",
    ")",
    ", ",
    " + ",
    " - ",
    " * ",
    " / ",
    "^2",
    "30 in",
    "2 1/4 in (57 mm)",
    "12 AWG",
    "3 %",
    "2026-03-02",
    "12 months",
    "1e9",
    "\"text\"",
    "\"",
    "{",
    "}",
    "|",
    " | ",
    "any",
    "none",
    "by kind",
    "next row down",
    "straight between rows",
    "length measured",
    "one of a, b",
    "taken as none",
    "gives tolerance",
    "range of length",
    "<=",
    "must ",
    "maximum",
    "=",
    " = a, b in order",
    "# note",
    "\t",
    "\r\n",
    "\r",
    "\u{feff}",
    "°",
    "é",
    "😀",
    "\u{202e}",
    "\u{0}",
    "larger(",
    "difference(a, b)",
    "made/s",
    "terms/gate",
    "add shall (c) ",
    "because \"x\"",
    "repeal made/s (b)",
    "A",
    "0",
    "-",
    ".",
    ":",
    "§",
];

/// Words, runs of blanks, line ends and single marks.
fn split(text: &str) -> Vec<&str> {
    let class = |c: char| {
        if c.is_alphanumeric() || c == '-' {
            0
        } else if c == ' ' {
            1
        } else {
            2
        }
    };
    let mut parts = Vec::new();
    let mut from = 0;
    let mut last = None;
    for (at, c) in text.char_indices() {
        if last.is_some_and(|last| last != class(c) || class(c) == 2) {
            parts.push(&text[from..at]);
            from = at;
        }
        last = Some(class(c));
    }
    parts.push(&text[from..]);
    parts
}

/// Deletes, doubles, swaps and replaces tokens or whole lines, a few times.
pub fn broken(text: &str, bytes: &[u8], spare: &[&str]) -> String {
    let mut choices = Choices::new(bytes);
    let mut text = text.to_string();
    for _ in 0..1 + choices.of(5) {
        let by_line = choices.chance(6);
        let mut parts: Vec<&str> = if by_line { text.split_inclusive('\n').collect() } else { split(&text) };
        let far = |choices: &mut Choices| (choices.of(256) * 256 + choices.of(256)) % parts.len().max(1);
        let (one, other) = (far(&mut choices), far(&mut choices));
        match choices.of(6) {
            0 => drop(parts.remove(one)),
            1 => parts.insert(one, parts[one]),
            2 => parts.swap(one, other),
            3 => parts[one] = parts[other],
            4 => parts.insert(one, spare[choices.of(spare.len())]),
            _ => parts.truncate(one + 1),
        }
        text = parts.concat();
        if text.is_empty() {
            break;
        }
    }
    text
}
