//! Jobs that come as a stream: YAML documents, each behind a line `--- # NAME`, or JSON lines with `name` and `text`, and with the texts of recordings by
//! their names in `beside`. A few are
//! held at once, whatever the length of the stream. It must not know how they are judged.

use crate::job::yaml::LARGEST_FILE;
use crate::report::escape;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::io::BufRead;

/// Longest line of a stream, in bytes: a job of the largest size may come as one line of JSON, with every character escaped.
const LONGEST_LINE: usize = 6 * LARGEST_FILE as usize;

/// Bytes after which no more jobs are taken before those at hand are judged.
const MOST_HELD: usize = 32 * 1024 * 1024;

/// One job of a stream.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Document {
    /// Its name, ready to be shown.
    pub name: String,
    /// Its text, or why there is none, as a clause.
    pub text: Result<Vec<u8>, String>,
    /// The texts of files beside it, by their names.
    pub beside: BTreeMap<String, String>,
}

/// A line of JSON.
#[derive(Deserialize)]
struct Record {
    name: String,
    text: String,
    #[serde(default)]
    beside: BTreeMap<String, String>,
}

/// What a stream is made of.
enum Form {
    Yaml { next: Option<String> },
    Json,
}

/// The jobs of a stream, one after the other.
pub struct Documents<R> {
    input: R,
    form: Option<Form>,
    /// A line that was read to see what the stream is made of.
    ahead: Option<Vec<u8>>,
    met: usize,
}

impl<R: BufRead> Documents<R> {
    /// The jobs of this stream.
    pub fn new(input: R) -> Documents<R> {
        Documents { input, form: None, ahead: None, met: 0 }
    }

    /// The next jobs, at most so many; none at the end.
    ///
    /// # Errors
    /// Where the stream cannot be read, as a sentence.
    pub fn next(&mut self, most: usize) -> Result<Vec<Document>, String> {
        let (mut documents, mut bytes) = (Vec::new(), 0);
        while documents.len() < most
            && bytes < MOST_HELD
            && let Some(document) = self.document().map_err(|error| format!("the jobs on standard input cannot be read: {error}"))?
        {
            bytes += document.text.as_ref().map_or(0, Vec::len) + document.beside.values().map(String::len).sum::<usize>();
            documents.push(document);
        }
        Ok(documents)
    }

    fn document(&mut self) -> std::io::Result<Option<Document>> {
        if self.form.is_none() {
            let Some(first) = self.line()? else { return Ok(None) };
            let json = serde_json::from_slice::<Record>(&first).is_ok();
            self.form = Some(if json { Form::Json } else { Form::Yaml { next: None } });
            self.ahead = Some(first);
        }
        match self.form {
            Some(Form::Json) => self.json(),
            _ => self.yaml(),
        }
    }

    fn json(&mut self) -> std::io::Result<Option<Document>> {
        loop {
            let Some(line) = self.line()? else { return Ok(None) };
            self.met += 1;
            if line.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            return Ok(Some(match serde_json::from_slice::<Record>(&line) {
                Ok(Record { name, text, beside }) => {
                    Document { name: escape::visible(&name).into_owned(), text: Ok(text.into_bytes()), beside }
                }
                Err(error) => {
                    let why = format!("not an object with the texts `name` and `text`: {error}");
                    Document { name: format!("line {}", self.met), text: Err(why), beside: BTreeMap::new() }
                }
            }));
        }
    }

    fn yaml(&mut self) -> std::io::Result<Option<Document>> {
        let (mut text, mut too_large, mut begun) = (Vec::new(), false, false);
        let mut name = match &mut self.form {
            Some(Form::Yaml { next }) => next.take(),
            _ => None,
        };
        begun |= name.is_some();
        while let Some(line) = self.line()? {
            if let Some(after) = separator(&line) {
                let (next, inline) = named(after);
                // Nothing stands before the first separator.
                if !begun && !too_large && text.iter().all(u8::is_ascii_whitespace) {
                    (name, begun) = (Some(next), true);
                    text.clear();
                    text.extend_from_slice(inline);
                    continue;
                }
                self.form = Some(Form::Yaml { next: Some(next) });
                self.ahead = (!inline.is_empty()).then(|| inline.to_vec());
                return Ok(Some(self.whole(name, text, too_large)));
            }
            too_large |= text.len() + line.len() > LARGEST_FILE as usize;
            if !too_large {
                text.extend_from_slice(&line);
            }
        }
        let nothing = !begun && text.iter().all(u8::is_ascii_whitespace) && !too_large;
        Ok((!nothing).then(|| self.whole(name, text, too_large)))
    }

    fn whole(&mut self, name: Option<String>, text: Vec<u8>, too_large: bool) -> Document {
        self.met += 1;
        let name = name.filter(|name| !name.is_empty()).unwrap_or_else(|| format!("document {}", self.met));
        let text = if too_large { Err(format!("more than {LARGEST_FILE} bytes; a job has no more")) } else { Ok(text) };
        Document { name, text, beside: BTreeMap::new() }
    }

    /// The next line with its line feed; of one that is too long, the beginning.
    fn line(&mut self) -> std::io::Result<Option<Vec<u8>>> {
        if let Some(line) = self.ahead.take() {
            return Ok(Some(line));
        }
        let mut line = Vec::new();
        loop {
            let piece = self.input.fill_buf()?;
            if piece.is_empty() {
                return Ok((!line.is_empty()).then_some(line));
            }
            let end = piece.iter().position(|byte| *byte == b'\n');
            let length = end.map_or(piece.len(), |end| end + 1);
            line.extend_from_slice(&piece[..length.min(LONGEST_LINE.saturating_sub(line.len()))]);
            self.input.consume(length);
            if end.is_some() {
                return Ok(Some(line));
            }
        }
    }
}

/// What stands behind the separator of two YAML documents, where the line is one.
fn separator(line: &[u8]) -> Option<&[u8]> {
    let after = line.strip_prefix(b"---")?;
    after.first().is_none_or(u8::is_ascii_whitespace).then_some(after)
}

/// The name in the comment behind a separator, and what else stands on the line.
fn named(after: &[u8]) -> (String, &[u8]) {
    let trimmed = after.trim_ascii();
    match trimmed.strip_prefix(b"#") {
        Some(name) => (escape::visible(String::from_utf8_lossy(name).trim()).into_owned(), &[]),
        None if trimmed.is_empty() => (String::new(), &[]),
        None => (String::new(), after.trim_ascii_start()),
    }
}
