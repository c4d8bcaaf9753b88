//! Writes a folder of pages as a whole: into a folder beside it, which takes its place only when every page is there. It must not know
//! what is in the pages.

use crate::report::escape;
use std::fs::{File, OpenOptions};
use std::io::{BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

/// The file by which a folder of pages is known again: it lists what stands in it.
const LIST: &str = "pages.txt";
/// How that file begins.
const HEAD: &str = "Pages written by pintle sheet; a folder that holds anything else is not written over.";
/// Where rows of the index wait until all of them are known.
const ROWS: &str = "rows.part";

/// A folder of pages in the making. Dropped unfinished, it is gone, and what stood there stays.
pub struct SiteOut {
    to: PathBuf,
    part: PathBuf,
    list: BufWriter<File>,
    rows: Option<BufWriter<File>>,
}

/// What went wrong, with the place.
fn failed(to: &Path, error: &std::io::Error) -> String {
    format!("--out {}: the pages cannot be written: {error}", escape::path(to))
}

impl SiteOut {
    /// Begins a folder of pages.
    ///
    /// # Errors
    /// Where something else stands there, or nothing can be written beside it.
    pub fn begin(to: &Path) -> Result<SiteOut, String> {
        if let Some(why) = refusal(to) {
            return Err(why);
        }
        let name = to
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .ok_or_else(|| format!("--out {}: no folder can be made so", escape::path(to)))?;
        let part = to.with_file_name(format!(".{name}.part-{}", std::process::id()));
        let begun = || -> std::io::Result<SiteOut> {
            std::fs::create_dir(&part)?;
            let mut list = BufWriter::new(File::create(part.join(LIST))?);
            writeln!(list, "{HEAD}\nindex.html")?;
            let rows = Some(BufWriter::new(File::create(part.join(ROWS))?));
            Ok(SiteOut { to: to.to_path_buf(), part: part.clone(), list, rows })
        };
        begun().map_err(|error| failed(to, &error))
    }

    /// Adds a page, and its row of the index.
    ///
    /// # Errors
    /// Where it could not be written, or a page of that name is there.
    pub fn page(&mut self, name: &str, html: &str, row: &str) -> Result<(), String> {
        let mut add = || -> std::io::Result<()> {
            OpenOptions::new().write(true).create_new(true).open(self.part.join(name))?.write_all(html.as_bytes())?;
            writeln!(self.list, "{name}")?;
            self.rows.as_mut().map_or(Ok(()), |rows| rows.write_all(row.as_bytes()))
        };
        add().map_err(|error| failed(&self.to, &error))
    }

    /// Writes the index round its rows, and puts the whole in its place.
    ///
    /// # Errors
    /// Where it could not be; what stood there stands there still.
    pub fn finish(mut self, before: &str, after: &str) -> Result<(), String> {
        let rows = self.rows.take();
        let whole = || -> std::io::Result<()> {
            if let Some(rows) = rows {
                rows.into_inner().map_err(std::io::IntoInnerError::into_error)?.sync_all()?;
            }
            let mut index = BufWriter::new(File::create(self.part.join("index.html"))?);
            index.write_all(before.as_bytes())?;
            std::io::copy(&mut BufReader::new(File::open(self.part.join(ROWS))?), &mut index)?;
            index.write_all(after.as_bytes())?;
            index.into_inner().map_err(std::io::IntoInnerError::into_error)?.sync_all()?;
            std::fs::remove_file(self.part.join(ROWS))?;
            self.list.flush()?;
            self.list.get_ref().sync_all()
        };
        whole().and_then(|()| self.take_place()).map_err(|error| failed(&self.to, &error))
    }

    fn take_place(&self) -> std::io::Result<()> {
        // Asked again: somebody may have put a file there while the jobs were judged.
        if let Some(why) = refusal(&self.to) {
            return Err(std::io::Error::other(why));
        }
        if !self.to.exists() {
            return std::fs::rename(&self.part, &self.to);
        }
        let old = self.part.with_extension("old");
        std::fs::rename(&self.to, &old)?;
        if let Err(error) = std::fs::rename(&self.part, &self.to) {
            let _ = std::fs::rename(&old, &self.to);
            return Err(error);
        }
        std::fs::remove_dir_all(&old)
    }
}

impl Drop for SiteOut {
    fn drop(&mut self) {
        // After a rename there is nothing of that name.
        let _ = std::fs::remove_dir_all(&self.part);
    }
}

/// Why a folder must not be written over: it holds what no earlier run wrote there.
fn refusal(to: &Path) -> Option<String> {
    let meta = std::fs::symlink_metadata(to).ok()?;
    let shown = escape::path(to);
    if !meta.is_dir() {
        return Some(format!("--out {shown}: something that is no folder stands there"));
    }
    let names: Vec<String> = match std::fs::read_dir(to) {
        Ok(entries) => entries.filter_map(Result::ok).map(|entry| entry.file_name().to_string_lossy().into_owned()).collect(),
        Err(error) => return Some(format!("--out {shown}: {error}")),
    };
    if names.is_empty() {
        return None;
    }
    let list = std::fs::read_to_string(to.join(LIST)).unwrap_or_default();
    let mut own = list.lines();
    let known: std::collections::BTreeSet<&str> = if own.next() == Some(HEAD) { own.collect() } else { std::collections::BTreeSet::new() };
    let other = names.iter().filter(|name| *name != LIST && !known.contains(name.as_str())).min();
    match (known.is_empty(), other) {
        (true, _) => Some(format!("--out {shown}: the folder holds other things; name a new one, or one that this command wrote")),
        (false, Some(other)) => {
            Some(format!("--out {shown}: `{}` in it was not written by this command; take it out first", escape::visible(other)))
        }
        (false, None) => None,
    }
}
