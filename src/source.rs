//! Files and places in them: owns text, spans and line tables. It must not know what the text means.

use serde::{Deserialize, Serialize};
use std::cell::Cell;
use std::collections::BTreeMap;
use std::io::Read;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

/// Which file a span lies in. The job being judged is always [`FileId::JOB`]; packs are numbered as they were loaded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

impl FileId {
    /// The job file of the judging at hand.
    pub const JOB: FileId = FileId(u32::MAX);
}

thread_local! {
    /// The file that the spans being read on this thread lie in.
    static AT_HAND: Cell<FileId> = const { Cell::new(FileId::JOB) };
}

/// Does `work`, in which every span that is read from its stored form is one of `file`: a span is stored without its file, whose number
/// is known only when it is loaded.
pub fn as_spans_of<T>(file: FileId, work: impl FnOnce() -> T) -> T {
    let before = AT_HAND.replace(file);
    let result = work();
    AT_HAND.set(before);
    result
}

fn at_hand() -> FileId {
    AT_HAND.get()
}

/// A half-open range of bytes of one file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Span {
    /// The file.
    #[serde(skip, default = "at_hand")]
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span of `file` from byte `start` to byte `end`; offsets past 4 GiB are clipped (files are capped far below).
    pub fn new(file: FileId, start: usize, end: usize) -> Span {
        let clip = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { file, start: clip(start), end: clip(end.max(start)) }
    }

    /// The bytes of the span.
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// A part of this span, by byte offsets within it.
    pub fn part(self, range: Range<usize>) -> Span {
        let start = self.start as usize + range.start;
        Span::new(self.file, start, (self.start as usize + range.end).min(self.end as usize))
    }

    /// The smallest span over this one and another of the same file.
    pub fn to(self, other: Span) -> Span {
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// A line and a column as a person counts them: both from 1, columns in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Bytes that are looked through at once for the end of a line.
const LOOKED_THROUGH: usize = 16;

/// One file: the name it is shown by and its text.
#[derive(Debug)]
pub struct Source {
    name: String,
    text: String,
    folder: Option<PathBuf>,
    beside: BTreeMap<String, String>,
    lines: OnceLock<Vec<u32>>,
    shown: OnceLock<Option<String>>,
}

impl Source {
    /// A file called `name` with this text. A byte order mark at the start is taken off.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let mut text = text.into();
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Source { name: name.into(), text, folder: None, beside: BTreeMap::new(), lines: OnceLock::new(), shown: OnceLock::new() }
    }

    /// The same file, kept in this folder, so that files beside it can be found.
    pub fn kept_in(mut self, folder: &Path) -> Source {
        self.folder = Some(folder.to_path_buf());
        self
    }

    /// The same file, which came with the texts of files beside it, by their names.
    pub fn come_with(mut self, beside: BTreeMap<String, String>) -> Source {
        self.beside = beside;
        self
    }

    /// The text of a file beside it that came with it.
    pub fn beside(&self, file: &str) -> Option<&str> {
        self.beside.get(file).map(String::as_str)
    }

    /// The folder that it is kept in, where it is a file on disk.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// The name as given: a path, or a made-up name in brackets. It is not escaped.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text of a range, or nothing where the range does not fall on characters of this file.
    pub fn slice(&self, range: Range<usize>) -> &str {
        self.text.get(range).unwrap_or("")
    }

    /// The text as it may be shown, made once: `make` gives nothing where the text can be shown as it is.
    pub fn shown(&self, make: impl FnOnce(&str) -> Option<String>) -> &str {
        self.shown.get_or_init(|| make(&self.text)).as_deref().unwrap_or(&self.text)
    }

    /// Byte offsets at which lines start. CRLF, LF and a lone CR each end a line, as editors count.
    pub fn line_starts(&self) -> &[u32] {
        self.lines.get_or_init(|| {
            let bytes = self.text.as_bytes();
            let mut starts = vec![0];
            // Most pieces hold no line end, and a piece is looked through at once.
            for (piece, part) in bytes.chunks(LOOKED_THROUGH).enumerate() {
                if !part.iter().fold(false, |found, byte| found | (*byte == b'\n') | (*byte == b'\r')) {
                    continue;
                }
                let first = piece * LOOKED_THROUGH;
                for (at, byte) in part.iter().enumerate().map(|(at, byte)| (first + at, byte)) {
                    let ends = *byte == b'\n' || *byte == b'\r' && bytes.get(at + 1) != Some(&b'\n');
                    if ends {
                        starts.push(u32::try_from(at + 1).unwrap_or(u32::MAX));
                    }
                }
            }
            starts
        })
    }

    /// Line and column of a byte offset; an offset past the end is the end, one inside a character is that character.
    pub fn place(&self, offset: usize) -> Place {
        let offset = self.text.floor_char_boundary(offset);
        let starts = self.line_starts();
        let line = starts.partition_point(|start| *start as usize <= offset);
        let start = starts[line - 1] as usize;
        let column = self.text.get(start..offset).map_or(0, |part| part.chars().count()) + 1;
        Place { line, column }
    }

    /// The bytes of a line, from 1, without its ending.
    pub fn line(&self, line: usize) -> &str {
        let starts = self.line_starts();
        let Some(start) = line.checked_sub(1).and_then(|index| starts.get(index)) else { return "" };
        let end = starts.get(line).map_or(self.text.len(), |next| *next as usize);
        self.slice(*start as usize..end).trim_end_matches(['\n', '\r'])
    }
}

/// The pack files that have been loaded, in the order of loading.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Arc<Source>>,
}

impl Sources {
    /// Takes in a file and numbers it.
    pub fn add(&mut self, source: Source) -> FileId {
        self.files.push(Arc::new(source));
        FileId(u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX - 1))
    }

    /// How many files there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there is no file.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// Whether the files at these positions hold the same texts as `others`, in order.
    pub fn hold(&self, at: Range<usize>, others: &[Source]) -> bool {
        let own = self.files.get(at).unwrap_or(&[]);
        own.len() == others.len() && own.iter().zip(others).all(|(one, other)| one.text() == other.text())
    }

    /// The file of that number.
    pub fn get(&self, file: FileId) -> Option<&Source> {
        self.files.get(file.0 as usize).map(Arc::as_ref)
    }
}

/// Every file that one report may point into: the packs and at most one job.
#[derive(Clone, Copy, Debug)]
pub struct Files<'a> {
    /// The packs.
    pub packs: &'a Sources,
    /// The job, where one is at hand.
    pub job: Option<&'a Source>,
}

impl<'a> Files<'a> {
    /// The file that a span lies in.
    pub fn source(&self, file: FileId) -> Option<&'a Source> {
        if file == FileId::JOB { self.job } else { self.packs.get(file) }
    }

    /// The text under a span.
    pub fn text(&self, span: Span) -> &'a str {
        self.source(span.file).map_or("", |source| source.slice(span.range()))
    }

    /// File name, line and column of a span's start.
    pub fn place(&self, span: Span) -> Option<(&'a str, Place)> {
        let source = self.source(span.file)?;
        Some((source.name(), source.place(span.start as usize)))
    }
}

/// The bytes of a plain file; the error is a clause, for one that has too many the one given. What is asked of the path is asked again
/// of the open file, which may be another by then, and no more is read than may be.
///
/// # Errors
/// Where it is no plain file, is too large, or cannot be read.
pub fn read_plain(path: &Path, most: u64, too_large: impl Fn(u64) -> String) -> Result<Vec<u8>, String> {
    let told = |error: std::io::Error| error.to_string();
    let plain = |meta: &std::fs::Metadata| if meta.is_file() { Ok(()) } else { Err("not a plain file".to_string()) };
    // A pipe is not even opened: that would wait for somebody to write.
    plain(&std::fs::metadata(path).map_err(told)?)?;
    let file = std::fs::File::open(path).map_err(told)?;
    let meta = file.metadata().map_err(told)?;
    plain(&meta)?;
    if meta.len() > most {
        return Err(too_large(meta.len()));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(meta.len()).unwrap_or(0));
    file.take(most + 1).read_to_end(&mut bytes).map_err(told)?;
    let read = bytes.len() as u64;
    if read > most { Err(too_large(read)) } else { Ok(bytes) }
}
