//! Files that are written: whole or not at all, and never over what is being read.

use std::fs::{self, File};
use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use diagnostic::{Diagnostic, Place};

use crate::args::MessageFormat;
use crate::input::file;
use crate::outcome::{Stop, cannot_write};
use crate::terminal::Terminal;

/// A file on its way. What is written goes to a file beside it and takes its place in one step at
/// the end; until then, and if the end is never reached, an older file stays as it was.
#[derive(Debug)]
pub(crate) struct Output {
    path: PathBuf,
    /// The file beside it; `None` for what is no ordinary file, such as a pipe.
    beside: Option<PathBuf>,
    file: BufWriter<File>,
}

impl Output {
    /// Begins to write a file. What is read in this run is refused.
    ///
    /// # Errors
    /// A finding where it is read in this run, or cannot be written.
    pub(crate) fn begin<'a>(
        path: &Path,
        read: impl IntoIterator<Item = &'a Path>,
    ) -> Result<Self, Stop> {
        let place = fs::canonicalize(path).ok();
        let same = |other: &Path| place.is_some() && fs::canonicalize(other).ok() == place;
        if read.into_iter().any(same) {
            let found = Diagnostic::error(
                "output-is-input",
                Place::whole(file::name(path)),
                "this file is read in the same run and would be lost",
            );
            return Err(Stop::Found(Box::new(found.help("give another name for the output"))));
        }
        let ordinary = fs::metadata(path).map_or(true, |found| found.is_file());
        let beside = ordinary.then(|| beside(path));
        let file = File::create(beside.as_deref().unwrap_or(path))
            .map_err(|error| cannot_be_written(path, &error))?;
        Ok(Self { path: path.to_path_buf(), beside, file: BufWriter::new(file) })
    }

    /// All is written: the file takes its place, which a person is told.
    ///
    /// # Errors
    /// A finding where it cannot be written.
    pub(crate) fn finish(
        mut self,
        format: MessageFormat,
        terminal: &mut Terminal,
    ) -> Result<(), Stop> {
        let done = self.file.flush().and_then(|()| match &self.beside {
            Some(beside) => {
                self.file.get_ref().sync_all()?;
                fs::rename(beside, &self.path)
            }
            None => Ok(()),
        });
        done.map_err(|error| cannot_be_written(&self.path, &error))?;
        self.beside = None;
        if format != MessageFormat::Json {
            terminal.complain(&format!("written: {}", file::name(&self.path)));
        }
        Ok(())
    }
}

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Seek for Output {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

impl Drop for Output {
    fn drop(&mut self) {
        // Not finished: nothing is left behind. If even that fails there is nobody to tell.
        if let Some(beside) = &self.beside {
            let _ = fs::remove_file(beside);
        }
    }
}

fn cannot_be_written(path: &Path, error: &io::Error) -> Stop {
    Stop::Found(Box::new(cannot_write(&file::name(path), error)))
}

/// The name of the file in which another is prepared.
fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{}.part", std::process::id()));
    path.with_file_name(name)
}

/// Puts `after` in the place of a file that a person wrote and that held `before` when it was read,
/// in one step. `path` is the file's own path, not that of a link to it; `name` is how it is called.
/// Its rights stay as they are, and so does its owner where that is allowed.
///
/// # Errors
/// A finding where nothing was written: it may not be, it cannot be, or the file is not as it was
/// read any more.
pub(crate) fn replace(
    path: &Path,
    name: &str,
    before: &[u8],
    after: &[u8],
) -> Result<(), Box<Diagnostic>> {
    let cannot = |error: io::Error| Box::new(cannot_write(name, &error));
    let metadata = fs::metadata(path).map_err(cannot)?;
    // A file that is protected could be replaced all the same where its folder is not.
    if metadata.permissions().readonly() || !metadata.is_file() {
        return Err(cannot(io::ErrorKind::PermissionDenied.into()));
    }
    File::options().write(true).open(path).map_err(cannot)?;
    if fs::read(path).map_err(cannot)? != before {
        let place = Place::whole(name);
        let headline = "this file has been changed since it was read, so it is left as it is";
        let found = Diagnostic::error("changed-meanwhile", place, headline);
        return Err(Box::new(found.help("give the command again")));
    }
    let beside = beside(path);
    let written = File::create(&beside).and_then(|mut file| {
        file.write_all(after)?;
        keep_owner(&beside, &metadata);
        file.set_permissions(metadata.permissions())?;
        file.sync_all()?;
        fs::rename(&beside, path)
    });
    written.map_err(|error| {
        // Nothing is left behind. If even that fails there is nobody to tell.
        let _ = fs::remove_file(&beside);
        cannot(error)
    })
}

#[cfg(unix)]
fn keep_owner(path: &Path, of: &fs::Metadata) {
    use std::os::unix::fs::{MetadataExt, chown};
    // Only the owner himself or root may; for others the file becomes theirs.
    let _ = chown(path, Some(of.uid()), Some(of.gid()));
}

#[cfg(not(unix))]
fn keep_owner(_: &Path, _: &fs::Metadata) {}

/// The files of a tour: itself, and those its plan names as seen from its folder.
pub(crate) fn files_of(tour: &Path, plan: &plan::Plan) -> Vec<PathBuf> {
    let folder = tour.parent().unwrap_or(Path::new(""));
    let named = plan.sources.iter().map(|source| folder.join(source));
    std::iter::once(tour.to_path_buf()).chain(named).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    #[test]
    fn a_file_is_replaced_only_as_it_was_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("t.yaml");
        fs::write(&path, "saved meanwhile").unwrap();
        let replace = |path: &Path, before: &[u8]| replace(path, "t.yaml", before, b"mended");
        let name = |result: Result<(), Box<Diagnostic>>| result.unwrap_err().name;
        assert_eq!(name(replace(&path, b"as read")), "changed-meanwhile");
        assert_eq!(fs::read(&path).unwrap(), b"saved meanwhile");
        replace(&path, b"saved meanwhile").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"mended");
        assert_eq!(name(replace(folder.path(), b"")), "output-unwritable");
        assert_eq!(name(replace(&folder.path().join("none"), b"")), "output-unwritable");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
    }
}
