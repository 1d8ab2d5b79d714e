//! Files that are written: whole or not at all, and never over what is being read.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use crate::input::file;
use crate::outcome::Stop;
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
    pub(crate) fn begin<'a>(
        path: &Path,
        read: impl IntoIterator<Item = &'a Path>,
        terminal: &mut Terminal,
    ) -> Result<Self, Stop> {
        let place = fs::canonicalize(path).ok();
        let same = |other: &Path| place.is_some() && fs::canonicalize(other).ok() == place;
        if read.into_iter().any(same) {
            terminal.complain(&format!(
                "error: {}: this file is read in the same run and would be lost; give another name for the output",
                file::name(path)
            ));
            return Err(Stop::Reported);
        }
        let ordinary = fs::metadata(path).map_or(true, |found| found.is_file());
        let beside = ordinary.then(|| {
            let mut name = path.file_name().unwrap_or_default().to_os_string();
            name.push(format!(".{}.part", std::process::id()));
            path.with_file_name(name)
        });
        let file = File::create(beside.as_deref().unwrap_or(path))
            .map_err(|error| cannot_be_written(path, &error, terminal))?;
        Ok(Self { path: path.to_path_buf(), beside, file: BufWriter::new(file) })
    }

    /// All is written: the file takes its place.
    pub(crate) fn finish(mut self, terminal: &mut Terminal) -> Result<(), Stop> {
        let done = self.file.flush().and_then(|()| match &self.beside {
            Some(beside) => {
                self.file.get_ref().sync_all()?;
                fs::rename(beside, &self.path)
            }
            None => Ok(()),
        });
        done.map_err(|error| cannot_be_written(&self.path, &error, terminal))?;
        self.beside = None;
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

impl Drop for Output {
    fn drop(&mut self) {
        // Not finished: nothing is left behind. If even that fails there is nobody to tell.
        if let Some(beside) = &self.beside {
            let _ = fs::remove_file(beside);
        }
    }
}

fn cannot_be_written(path: &Path, error: &io::Error, terminal: &mut Terminal) -> Stop {
    terminal.complain(&format!("error: {}: cannot be written: {error}", file::name(path)));
    Stop::Reported
}

/// The files of a tour: itself, and those its plan names as seen from its folder.
pub(crate) fn files_of(tour: &Path, plan: &plan::Plan) -> Vec<PathBuf> {
    let folder = tour.parent().unwrap_or(Path::new(""));
    let named = plan.sources.iter().map(|source| folder.join(source));
    std::iter::once(tour.to_path_buf()).chain(named).collect()
}
