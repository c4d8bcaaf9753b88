//! Results of an earlier run, used again where nothing that they rest on has changed: the program, the packs that could be
//! found, the options, the day, the job's place and its bytes. It must not know what a result looks like.
//!
//! The file has a line for each job: the key, a digest of the rest, and the result as JSON. A line that does not read back
//! whole is no result, and its job is judged again.

use super::sink::Part;
use crate::language::library::{Shelf, packs_in, rule_files};
use serde::{Serialize, de::DeserializeOwned};
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::fs::File;
use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// What identifies a result.
pub type Key = [u8; 32];

/// Hexadecimal digits of a key, and of the digest of a result behind it.
const KEY: usize = 64;
const SUM: usize = 16;

/// The results of an earlier run, and those of this one.
pub struct Reuse {
    /// What all results of this run rest on.
    run: Key,
    /// The earlier file, and where each result lies in it.
    old: Option<Mutex<File>>,
    places: HashMap<Key, (u64, usize)>,
    /// The texts on shelves that were looked through.
    shelves: Mutex<HashMap<Vec<Shelf>, Key>>,
    new: Part,
}

/// A digest of parts, each told from the next.
fn digest(parts: &[&[u8]]) -> Key {
    let mut hasher = Sha256::new();
    for part in parts {
        hasher.update((part.len() as u64).to_le_bytes());
        hasher.update(part);
    }
    hasher.finalize().into()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn key_of(hex: &str) -> Option<Key> {
    let mut key = [0; 32];
    for (at, byte) in key.iter_mut().enumerate() {
        *byte = u8::from_str_radix(hex.get(2 * at..2 * at + 2)?, 16).ok()?;
    }
    Some(key)
}

impl Reuse {
    /// Opens the results of an earlier run, if there are any, and begins those of this one. `rests` is what all results rest on
    /// besides the program itself: options, the day, lists and pins.
    ///
    /// # Errors
    /// Where the file or the program cannot be read, or the new file cannot be made, as a sentence.
    pub fn open(place: &Path, rests: &[String]) -> Result<Reuse, String> {
        let program = std::env::current_exe().and_then(std::fs::read).map_err(|error| format!("the program cannot be read: {error}"))?;
        let program: &[u8] = &Sha256::digest(program);
        let rests: Vec<&[u8]> = rests.iter().map(String::as_bytes).collect();
        Reuse::of_run(place, digest(&[&[program], rests.as_slice()].concat()))
    }

    /// The same where it is known what all results of this run rest on.
    ///
    /// # Errors
    /// Where the file cannot be read, or the new one cannot be made, as a sentence.
    pub fn of_run(place: &Path, run: Key) -> Result<Reuse, String> {
        let old = match File::open(place) {
            Ok(file) => Some(file),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
            Err(error) => return Err(format!("--reuse {}: {error}", crate::report::escape::path(place))),
        };
        let places = old.as_ref().map(places).unwrap_or_default();
        if places.is_empty() && old.as_ref().is_some_and(|old| old.metadata().is_ok_and(|meta| meta.len() > 0)) {
            let place = crate::report::escape::path(place);
            return Err(format!("--reuse {place}: what stands there holds no results of a run; take it away first"));
        }
        Ok(Reuse { run, old: old.map(Mutex::new), places, shelves: Mutex::default(), new: Part::open(place)? })
    }

    /// The key of a job.
    pub fn key(&self, path: &Path, named: bool, shelves: &[Shelf], text: &str) -> Key {
        let texts = self.texts_on(shelves);
        digest(&[&self.run, path.as_os_str().as_encoded_bytes(), &[u8::from(named)], &texts, text.as_bytes()])
    }

    /// The result of an earlier run under this key.
    pub fn earlier<T: DeserializeOwned>(&self, key: &Key) -> Option<T> {
        let (at, length) = self.places.get(key)?;
        let mut line = vec![0; *length];
        {
            let mut file = self.old.as_ref()?.lock().ok()?;
            file.seek(SeekFrom::Start(*at)).ok()?;
            file.read_exact(&mut line).ok()?;
        }
        let line = std::str::from_utf8(&line).ok()?;
        let (sum, result) = line.split_at_checked(SUM)?;
        let result = result.strip_prefix(' ')?;
        (sum_of(key, result) == sum).then(|| serde_json::from_str(result).ok()).flatten()
    }

    /// A result as a line of the file.
    pub fn line(key: &Key, result: &impl Serialize) -> Option<String> {
        let result = serde_json::to_string(result).ok()?;
        Some(format!("{} {} {result}\n", hex(key), sum_of(key, &result)))
    }

    /// Keeps lines for the next run.
    ///
    /// # Errors
    /// Where they cannot be written, as a sentence.
    pub fn keep(&mut self, lines: &str) -> Result<(), String> {
        self.new.write(lines)
    }

    /// Puts this run's results in the place of the earlier ones.
    ///
    /// # Errors
    /// Where that fails, as a sentence.
    pub fn finish(self) -> Result<(), String> {
        self.new.finish()
    }

    /// A digest of every rule file on the shelves; what is embedded is part of the program.
    fn texts_on(&self, shelves: &[Shelf]) -> Key {
        let Ok(mut known) = self.shelves.lock() else { return [0; 32] };
        if let Some(texts) = known.get(shelves) {
            return *texts;
        }
        let mut parts: Vec<Vec<u8>> = Vec::new();
        for shelf in shelves {
            let places: Vec<PathBuf> = match shelf {
                Shelf::Embedded | Shelf::Memory(_) => Vec::new(),
                Shelf::Folder(folder) => packs_in(folder),
                Shelf::Pack(place) => vec![place.clone()],
            };
            parts.push(format!("{} packs", places.len()).into_bytes());
            for file in places.iter().flat_map(|place| rule_files(place)) {
                parts.push(file.as_os_str().as_encoded_bytes().to_vec());
                // One that cannot be read is told by the run; it counts as empty here, and is read again there.
                parts.push(std::fs::read(&file).unwrap_or_default());
            }
        }
        let texts = digest(&parts.iter().map(Vec::as_slice).collect::<Vec<_>>());
        known.insert(shelves.to_vec(), texts);
        texts
    }
}

fn sum_of(key: &Key, result: &str) -> String {
    hex(&digest(&[key, result.as_bytes()])[..SUM / 2])
}

/// Where each result lies in a file. What is no result is passed over.
fn places(file: &File) -> HashMap<Key, (u64, usize)> {
    let mut places = HashMap::new();
    let (mut reader, mut at, mut line) = (BufReader::new(file), 0u64, Vec::new());
    while let Ok(length @ 1..) = reader.read_until(b'\n', &mut line) {
        let head = line.get(..KEY).and_then(|head| std::str::from_utf8(head).ok()).and_then(key_of);
        if let Some(key) = head
            && line.ends_with(b"\n")
            && length > KEY + 2
        {
            places.insert(key, (at + KEY as u64 + 1, length - KEY - 2));
        }
        at += length as u64;
        line.clear();
    }
    places
}
