//! How a hostile case is written.
//!
//! ```text
//! row     Y-03
//! about   what it is
//! run     check job.yaml          the call; by itself this one
//! exit    2
//! slips   too-deep, odd-key       names in the order told, each once; `none`
//! at      7:17                    where the first slip stands
//! says    a text                  that either output holds; may be repeated
//! never   a text                  that neither output holds
//! within  5 s                     by itself so
//! memory  128 MiB                 peak, by itself so
//! === job.yaml
//! gates: @(20000 "- ")
//! ```
//!
//! `@(20000 "- ")` stands for so many pieces, in which `#n` is the number of each, `#n+1` that of the next, and `\n \t \" \\ \xff \u{202e}` are written
//! out. A file may be taken from elsewhere (`=== job.yaml take tests/cases/jobs/a.yaml`), come many times (`=== p#n.rules times 50`),
//! be sparse (`=== job.yaml sparse 5000000000`), a pipe (`=== a.yaml pipe`), a link (`=== a.yaml link b.yaml`), be written in another
//! encoding (`=== job.yaml utf-16le`), or lack its last line end (`=== job.yaml open`).
//!
//! `=== each` at the end lists values that stand in place of `@@`, one after the other: `value => slips` or `value => slips => exit`.

use std::fmt::Write as _;

/// One hostile input and what is expected of the program.
#[derive(Clone, Debug, Default)]
pub struct Case {
    pub row: String,
    pub run: Vec<String>,
    pub exit: i32,
    pub slips: Vec<String>,
    pub at: Option<String>,
    pub says: Vec<String>,
    pub never: Vec<String>,
    pub within_ms: u64,
    pub memory_kib: u64,
    pub files: Vec<Planned>,
    pub each: Vec<Each>,
}

/// A file to be made: its name, how, and its text before recipes.
#[derive(Clone, Debug)]
pub struct Planned {
    pub name: String,
    pub how: String,
    pub text: String,
}

/// A value in place of `@@`.
#[derive(Clone, Debug)]
pub struct Each {
    pub value: String,
    pub slips: Vec<String>,
    pub exit: i32,
}

impl Case {
    /// Reads a case; the error says what is wrong with it.
    pub fn read(text: &str) -> Result<Case, String> {
        let mut case = Case { run: words("check job.yaml"), within_ms: 5000, memory_kib: 128 * 1024, exit: -1, ..Case::default() };
        let mut parts = text.split("\n=== ");
        for line in parts.next().unwrap_or("").lines() {
            case.head(line)?;
        }
        for part in parts {
            let (head, body) = part.split_once('\n').unwrap_or((part, ""));
            if head == "each" {
                case.each = body.lines().map(|line| case.value(line)).collect::<Result<_, _>>()?;
                continue;
            }
            let (name, how) = head.split_once(' ').unwrap_or((head, ""));
            let text = if body.is_empty() || how == "open" {
                body.trim_end_matches('\n').to_string()
            } else {
                format!("{}\n", body.trim_end_matches('\n'))
            };
            case.files.push(Planned { name: name.into(), how: how.into(), text });
        }
        if case.row.is_empty() || case.exit < 0 {
            return Err("row and exit must be told".into());
        }
        Ok(case)
    }

    /// The text of this case with the exit codes and slips that came out.
    pub fn with_outcomes(&self, text: &str, came: &[(i32, &str)]) -> String {
        let (head, rest) = text.split_once("\n=== each\n").unwrap_or((text, ""));
        if !self.each.is_empty() {
            let line = |(line, (exit, slips)): (&str, &(i32, &str))| {
                let value = line.split(" => ").next().unwrap_or("");
                let exit = if *exit == self.exit { String::new() } else { format!(" => {exit}") };
                format!("{value} => {slips}{exit}\n")
            };
            return format!("{head}\n=== each\n{}", rest.lines().zip(came).map(line).collect::<String>());
        }
        let (head, rest) = head.find("\n=== ").map_or((head, "\n"), |at| head.split_at(at));
        let line = |line: &str| match line.split(' ').next() {
            Some("exit") => format!("exit    {}", came[0].0),
            Some("slips") => format!("slips   {}", came[0].1),
            _ => line.to_string(),
        };
        format!("{}{rest}", head.lines().map(line).collect::<Vec<_>>().join("\n"))
    }

    fn head(&mut self, line: &str) -> Result<(), String> {
        let (key, value) = line.split_once(' ').unwrap_or((line, ""));
        let value = value.trim();
        let number = |end: &str| value.trim_end_matches(end).trim().parse::<u64>().map_err(|_| format!("`{value}` is not in {end}"));
        match key {
            "row" => self.row = value.into(),
            "about" => {}
            "run" => self.run = words(value),
            "exit" => self.exit = value.parse().map_err(|_| "no exit code")?,
            "slips" => self.slips = names(value),
            "at" => self.at = Some(value.into()),
            "says" => self.says.push(unescaped(value)),
            "never" => self.never.push(unescaped(value)),
            "within" if value.ends_with("ms") => self.within_ms = number("ms")?,
            "within" => self.within_ms = number("s")? * 1000,
            "memory" => self.memory_kib = number("MiB")? * 1024,
            _ => return Err(format!("`{key}` is no word of a case")),
        }
        Ok(())
    }

    fn value(&self, line: &str) -> Result<Each, String> {
        let mut parts = line.split(" => ");
        let value = unescaped(parts.next().unwrap_or(""));
        let slips = names(parts.next().ok_or_else(|| format!("`{line}` has no slips"))?);
        let exit = parts.next().map_or(Ok(self.exit), |exit| exit.trim().parse().map_err(|_| "no exit code"))?;
        Ok(Each { value, slips, exit })
    }
}

fn words(text: &str) -> Vec<String> {
    text.split(' ').map(str::to_string).collect()
}

fn names(text: &str) -> Vec<String> {
    text.split(", ").map(str::trim).filter(|name| *name != "none" && !name.is_empty()).map(str::to_string).collect()
}

/// A text with its escapes written out.
fn unescaped(text: &str) -> String {
    let (mut result, mut rest) = (String::new(), text.chars());
    while let Some(c) = rest.next() {
        if c != '\\' {
            result.push(c);
            continue;
        }
        match rest.next() {
            Some('n') => result.push('\n'),
            Some('r') => result.push('\r'),
            Some('t') => result.push('\t'),
            Some('u') => {
                let code: String = rest.by_ref().skip(1).take_while(|c| *c != '}').collect();
                result.extend(u32::from_str_radix(&code, 16).ok().and_then(char::from_u32));
            }
            // A byte that is no UTF-8 stands in a text as a letter that nothing else uses, until the file is written.
            Some('x') => {
                let code: String = rest.by_ref().take(2).collect();
                result.extend(u32::from_str_radix(&code, 16).ok().and_then(|code| char::from_u32(BYTES + code)));
            }
            Some(c) => result.push(c),
            None => result.push('\\'),
        }
    }
    result
}

/// Where the stand-ins for single bytes begin: letters for private use.
const BYTES: u32 = 0xf_0000;

/// A text with its recipes carried out.
pub fn cooked(text: &str) -> String {
    let (mut result, mut rest) = (String::new(), text);
    while let Some(at) = rest.find("@(") {
        result.push_str(&rest[..at]);
        let recipe = &rest[at + 2..];
        let Some((count, (piece, length))) = recipe.find(" \"").and_then(|blank| {
            let count: usize = recipe[..blank].parse().ok()?;
            Some((count, quoted(&recipe[blank + 2..]).map(|(piece, length)| (piece, blank + 2 + length))?))
        }) else {
            result.push_str("@(");
            rest = recipe;
            continue;
        };
        let numbered = piece.contains("#n");
        for number in 0..count {
            if numbered {
                let _ = write!(result, "{}", piece.replace("#n+1", &(number + 1).to_string()).replace("#n", &number.to_string()));
            } else {
                result.push_str(&piece);
            }
        }
        rest = &recipe[length..];
    }
    result + rest
}

/// The text up to a quote and a closing bracket, and how long it is with them.
fn quoted(text: &str) -> Option<(String, usize)> {
    let end = text.find("\")")?;
    Some((unescaped(&text[..end]), end + 2))
}

/// The bytes of a text: stand-ins for single bytes are written as these.
pub fn bytes(text: &str, how: &str) -> Vec<u8> {
    let wide = |big: bool| move |unit: u16| if big { unit.to_be_bytes() } else { unit.to_le_bytes() };
    match how {
        "utf-16le" => text.encode_utf16().flat_map(wide(false)).collect(),
        "utf-16be" => text.encode_utf16().flat_map(wide(true)).collect(),
        "utf-32le" => text.chars().flat_map(|c| u32::from(c).to_le_bytes()).collect(),
        "utf-32be" => text.chars().flat_map(|c| u32::from(c).to_be_bytes()).collect(),
        _ => {
            let mut result = Vec::with_capacity(text.len());
            for c in text.chars() {
                match u32::from(c).checked_sub(BYTES) {
                    Some(byte @ 0..=255) => result.push(u8::try_from(byte).unwrap_or(0)),
                    _ => result.extend(c.encode_utf8(&mut [0; 4]).as_bytes()),
                }
            }
            result
        }
    }
}
