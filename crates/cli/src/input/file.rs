//! Opening and reading files, with plain words for what can go wrong.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use diagnostic::{Diagnostic, Place};

/// The file is not there.
pub(crate) const MISSING: &str = "file-missing";
/// It is a directory or something else that is no file.
pub(crate) const NOT_A_FILE: &str = "not-a-file";
/// It is a file where a folder is wanted.
pub(crate) const NOT_A_FOLDER: &str = "not-a-folder";
/// It cannot be opened or read.
pub(crate) const UNREADABLE: &str = "file-unreadable";
/// It has no content.
pub(crate) const EMPTY: &str = "file-empty";
/// It is larger than anything that is meant.
pub(crate) const TOO_LARGE: &str = "file-too-large";

/// The most bytes of an authored file, a plan or a hand file.
pub(crate) const MOST_BYTES: u64 = 64 << 20;

/// A path as the person gave it, for messages.
pub(crate) fn name(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// Opens a file that has some content; `what` says what is wanted, such as `a recorded flight`.
/// Also tells its size.
///
/// # Errors
/// A finding that says what is the matter and what to do.
pub(crate) fn open(path: &Path, what: &str) -> Result<(File, u64), Box<Diagnostic>> {
    let at = || Place::whole(name(path));
    let file = File::open(path).map_err(|error| Box::new(cannot_open(path, what, &error)))?;
    let metadata = file.metadata().map_err(|error| Box::new(cannot_open(path, what, &error)))?;
    if metadata.is_dir() {
        return Err(Box::new(
            Diagnostic::error(NOT_A_FILE, at(), format!("this is a directory and not {what}"))
                .help("name one of the files in it"),
        ));
    }
    if metadata.is_file() && metadata.len() == 0 {
        return Err(Box::new(
            Diagnostic::error(EMPTY, at(), format!("the file is empty, and {what} is wanted"))
                .help("copy or export it again"),
        ));
    }
    Ok((file, metadata.len()))
}

fn cannot_open(path: &Path, what: &str, error: &io::Error) -> Diagnostic {
    let at = Place::whole(name(path));
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            Diagnostic::error(MISSING, at, format!("there is no such file; {what} is wanted"))
                .help("check the name, and the directory in which the command is given")
        }
        io::ErrorKind::PermissionDenied => {
            Diagnostic::error(UNREADABLE, at, "the file may not be read")
                .help("give yourself the right to read it")
        }
        _ => Diagnostic::error(UNREADABLE, at, format!("the file cannot be read: {error}"))
            .help("check the disk or card it is on, or copy it again"),
    }
}

/// Reads a whole file of at most [`MOST_BYTES`].
///
/// # Errors
/// A finding that says what is the matter and what to do.
pub(crate) fn read(path: &Path, what: &str) -> Result<Vec<u8>, Box<Diagnostic>> {
    read_up_to(path, what, MOST_BYTES)
}

/// Reads a whole file of at most so many bytes.
///
/// # Errors
/// A finding that says what is the matter and what to do.
pub(crate) fn read_up_to(path: &Path, what: &str, most: u64) -> Result<Vec<u8>, Box<Diagnostic>> {
    let (file, _) = open(path, what)?;
    let mut bytes = Vec::new();
    file.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Box::new(cannot_open(path, what, &error)))?;
    if bytes.len() as u64 > most {
        let headline = format!("the file is larger than {} MB, which {what} never is", most >> 20);
        return Err(Box::new(
            Diagnostic::error(TOO_LARGE, Place::whole(name(path)), headline)
                .help("check that this is the file that you mean"),
        ));
    }
    if bytes.is_empty() {
        return Err(Box::new(
            Diagnostic::error(
                EMPTY,
                Place::whole(name(path)),
                format!("the file is empty, and {what} is wanted"),
            )
            .help("copy or write it again"),
        ));
    }
    Ok(bytes)
}
