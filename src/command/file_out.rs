//! Writes a text that is made as a whole, so that its file is whole or as it was before; a run that writes piece by piece goes
//! through `sink`. It must not know what is written.

use super::{complain, standard_failed};
use crate::report::escape;
use std::io::Write;
use std::path::Path;

/// Puts `bytes` in the place of a file, which keeps its permissions. A link is followed, so that it stays a link.
///
/// # Errors
/// The file could not be written; what stood there still stands there.
pub fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let path = if path.exists() { std::fs::canonicalize(path)? } else { path.to_path_buf() };
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let part = path.with_file_name(format!(".{name}.part-{}", std::process::id()));
    let written = write_new(&part, &path, bytes).and_then(|()| std::fs::rename(&part, &path));
    if written.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    written
}

fn write_new(part: &Path, path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::File::create(part)?;
    if let Ok(meta) = std::fs::metadata(path) {
        if meta.permissions().readonly() {
            return Err(std::io::Error::new(std::io::ErrorKind::PermissionDenied, "it may not be written"));
        }
        file.set_permissions(meta.permissions())?;
    }
    file.write_all(bytes)?;
    file.sync_all()
}

/// Puts a report into a file, or on standard output where none is named; the result is the exit code.
pub fn deliver(text: &str, out: Option<&Path>) -> u8 {
    let written = match out {
        Some(out) => write_whole(out, text.as_bytes()).map_err(|error| format!("--out {}: {error}", escape::path(out))),
        None => {
            let mut standard = std::io::stdout().lock();
            standard.write_all(text.as_bytes()).and_then(|()| standard.flush()).map_err(|error| standard_failed(&error))
        }
    };
    written.map_or_else(|why| complain(&why), |()| 0)
}
