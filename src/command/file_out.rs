//! Writes a file so that it is whole or as it was before. It must not know what is written.

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
