//! Where what is written goes: standard output, or a file that is complete or not there at all. It must not know what is written.

use super::{complain, missing_packs, standard_failed};
use crate::report::escape;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Where a report goes.
pub enum Sink {
    /// Standard output.
    Standard,
    /// A file that takes the place of the older one only when it is whole.
    File(Part),
}

/// A file in the making, beside the place that it will take. Dropped unfinished, it is gone, and what stood there stays.
pub struct Part {
    to: PathBuf,
    part: PathBuf,
    file: Option<File>,
}

impl Sink {
    /// A file, or standard output where none is named. The error is a sentence.
    ///
    /// # Errors
    /// Where the file cannot be made.
    pub fn open(out: Option<&Path>) -> Result<Sink, String> {
        out.map_or(Ok(Sink::Standard), |out| Part::open(out).map(Sink::File))
    }

    /// Writes some more.
    ///
    /// # Errors
    /// Where not all of it was written; the file is then given up.
    pub fn write(&mut self, text: &str) -> Result<(), String> {
        match self {
            Sink::Standard => std::io::stdout().lock().write_all(text.as_bytes()).map_err(|error| standard_failed(&error)),
            Sink::File(part) => part.write(text),
        }
    }

    /// Makes sure that everything is written; a file takes its place.
    ///
    /// # Errors
    /// Where it is not.
    pub fn finish(self) -> Result<(), String> {
        match self {
            Sink::Standard => std::io::stdout().lock().flush().map_err(|error| standard_failed(&error)),
            Sink::File(part) => part.finish(),
        }
    }
}

impl Part {
    /// Begins a file that will take that place.
    ///
    /// # Errors
    /// Where it cannot be made, as a sentence.
    pub fn open(to: &Path) -> Result<Part, String> {
        let fails = |error: &std::io::Error| failed(to, error);
        // A link is followed, so that it stays a link.
        let to = if to.exists() { std::fs::canonicalize(to).map_err(|error| fails(&error))? } else { to.to_path_buf() };
        let name = to.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let part = to.with_file_name(format!(".{name}.part-{}", std::process::id()));
        let file = File::create(&part).map_err(|error| fails(&error))?;
        let begun = Part { to, part, file: Some(file) };
        begun.like_before().map_err(|error| fails(&error))?;
        Ok(begun)
    }

    /// The file has the permissions of the one that it will replace, which must be one that may be written.
    fn like_before(&self) -> std::io::Result<()> {
        let (Ok(meta), Some(file)) = (std::fs::metadata(&self.to), &self.file) else { return Ok(()) };
        if meta.permissions().readonly() {
            return Err(std::io::Error::new(std::io::ErrorKind::PermissionDenied, "it may not be written"));
        }
        file.set_permissions(meta.permissions())
    }

    /// Writes some more.
    ///
    /// # Errors
    /// Where not all of it was written, as a sentence; the file is then given up.
    pub fn write(&mut self, text: &str) -> Result<(), String> {
        let Some(file) = &mut self.file else { return Err(failed(&self.to, &std::io::Error::other("given up before"))) };
        file.write_all(text.as_bytes()).map_err(|error| {
            self.file = None;
            failed(&self.to, &error)
        })
    }

    /// Takes the place.
    ///
    /// # Errors
    /// Where that fails, as a sentence.
    pub fn finish(mut self) -> Result<(), String> {
        let Some(file) = self.file.take() else { return Err(failed(&self.to, &std::io::Error::other("given up before"))) };
        let done = file.sync_all().and_then(|()| std::fs::rename(&self.part, &self.to));
        done.map_err(|error| failed(&self.to, &error))?;
        // The new name must outlast a loss of power as well; a folder that cannot be synced is no reason to call the report lost.
        let folder = self.to.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
        Ok(())
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        // After a rename there is nothing of that name.
        let _ = std::fs::remove_file(&self.part);
    }
}

fn failed(to: &Path, error: &std::io::Error) -> String {
    format!("{} cannot be written: {error}", escape::path(to))
}

/// Writes a whole file at once, or leaves what stands there.
///
/// # Errors
/// Where it could not be written, as a sentence.
pub fn write_whole(to: &Path, text: &str) -> Result<(), String> {
    let mut part = Part::open(to)?;
    part.write(text)?;
    part.finish()
}

/// Puts a report into a file, or on standard output where none is named; the result is the exit code.
pub fn deliver(text: &str, out: Option<&Path>) -> u8 {
    let written = Sink::open(out).and_then(|mut sink| {
        sink.write(text)?;
        sink.finish()
    });
    written.map_or_else(|why| complain(&why), |()| 0)
}

/// Why a file that is to be written must not be: it would take the place of an input, or of something that is no plain file.
pub fn refusal(option: &str, out: &Path, inputs: &[&Path]) -> Option<String> {
    let shown = escape::path(out);
    if out.is_dir() {
        return Some(format!("{option} {shown}: a folder stands there"));
    }
    if out.exists() && !out.is_file() {
        return Some(format!("{option} {shown}: something that is no plain file stands there"));
    }
    let same =
        |input: &&Path| std::fs::canonicalize(input).ok().is_some_and(|input| std::fs::canonicalize(out).is_ok_and(|out| out == input));
    inputs.iter().any(same).then(|| format!("{option} {shown}: that is one of the files to check"))
}

/// The same for a file that is never kept under the name of a job or a pack: what stands there would be somebody's work.
pub fn refuse_out(out: &Path, inputs: &[PathBuf]) -> Option<String> {
    let inputs: Vec<&Path> = inputs.iter().map(PathBuf::as_path).collect();
    refusal_of_report("--out", out, &inputs)
}

/// Why a report must not be written there, for an option of this name.
pub fn refusal_of_report(option: &str, out: &Path, inputs: &[&Path]) -> Option<String> {
    let kept = out.extension().is_some_and(|end| ["yaml", "yml", "rules"].iter().any(|known| end.eq_ignore_ascii_case(known)));
    let refused = refusal(option, out, inputs);
    refused.or_else(|| (kept && out.exists()).then(|| format!("{option} {}: a job or a pack stands there", escape::path(out))))
}

/// Why a command must not begin: a place of packs that is not there, or a report that would take the place of an input.
pub fn refused(inputs: &[&PathBuf], packs: &[PathBuf], out: Option<&Path>) -> Option<String> {
    missing_packs(packs).or_else(|| {
        let inputs: Vec<PathBuf> = inputs.iter().copied().chain(packs).cloned().collect();
        out.and_then(|out| refuse_out(out, &inputs))
    })
}
