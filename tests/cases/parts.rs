//! The parts of a `.case` file: lines that start with `===` begin one.

/// A case of verdicts.
#[derive(Default)]
pub struct Case {
    /// Everything before the expectation, as written.
    head: String,
    /// Packs by name.
    pub packs: Vec<(String, String)>,
    /// The job's codes.
    pub codes: Vec<String>,
    /// The job.
    pub job: String,
    /// The day of judging.
    pub today: String,
    /// The sections whose verdicts are looked at; all, where none is named.
    pub sections: Vec<String>,
    /// What is expected.
    pub expected: String,
}

impl Case {
    /// Reads a case: `=== pack NAME`, `=== codes NAME…`, `=== today DAY`, `=== sections NAME…`, `=== job`, `=== expect`.
    pub fn read(text: &str) -> Case {
        let mut case = Case { today: "2026-03-02".into(), ..Case::default() };
        let mut part = String::new();
        for line in text.lines() {
            if let Some(head) = line.strip_prefix("=== ") {
                part = head.trim().to_string();
                let words: Vec<&str> = part.split(' ').collect();
                match words.as_slice() {
                    ["pack", name] => case.packs.push(((*name).to_string(), String::new())),
                    ["codes", names @ ..] => case.codes = names.iter().map(|name| (*name).to_string()).collect(),
                    ["today", day] => case.today = (*day).to_string(),
                    ["sections", names @ ..] => case.sections = names.iter().map(|name| (*name).to_string()).collect(),
                    ["job" | "expect"] => {}
                    _ => panic!("no part of a case: {line}"),
                }
            } else {
                let into = match part.split(' ').next() {
                    Some("pack") => case.packs.last_mut().map(|(_, text)| text),
                    Some("job") => Some(&mut case.job),
                    Some("expect") => Some(&mut case.expected),
                    _ => None,
                };
                if let Some(into) = into {
                    into.push_str(line);
                    into.push('\n');
                }
            }
            if part != "expect" {
                case.head.push_str(line);
                case.head.push('\n');
            }
        }
        if case.codes.is_empty() {
            case.codes = case.packs.last().map(|(name, _)| name.clone()).into_iter().collect();
        }
        case
    }

    /// The case's text with another expectation.
    pub fn with_expected(&self, expected: &str) -> String {
        format!("{}=== expect\n{}\n", self.head, expected.trim())
    }
}
